--- The page of car:perches: the table that goes to the car, then what it rests on.

local core = require "steelyard.core"
local corners = require "steelyard.answers.corners"
local figures = require "steelyard.print.figures"
local given = require "steelyard.answers.perches.given"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local print = {}

-- Collars are turned by halves, quarters and eighths, and are counted so.
local function turns_text(turns)
  for _, parts in ipairs{1, 2, 4, 8} do
    local count = turns * parts
    if math.abs(count - math.floor(count + 0.5)) < 1e-9 then
      local whole, rest = count // parts, math.floor(count % parts + 0.5)
      local pieces = {whole > 0 and ("%d"):format(whole) or nil}
      if rest > 0 then pieces[#pieces + 1] = ("%d/%d"):format(rest, parts) end
      return #pieces > 0 and table.concat(pieces, " ") or "0"
    end
  end
  return (core.fixed(turns, 3):gsub("0+$", ""):gsub("%.$", ""))
end

--- "1 1/4 up", "leave"
function print.turn_words(turns)
  local shown = turns_text(math.abs(turns))
  if not shown:find "[1-9]" then return "leave" end
  return shown .. (turns > 0 and " up" or " down")
end

local function assumed_table(r, a)
  local headings = {{"perch", "%s"}, {"turns", "%s"}, {"spring seat, mm", "%s"}, {"body moves, mm", "%s"}, {"kg now", "%s"},
                 {"kg then", "%s"}}
  if a.without_driver then headings[#headings + 1] = {"nobody aboard, kg", "%s"} end
  local rows, kg, mm = {}, figures.kg(r, 1), figures.mm(r, 1)
  for i, key in ipairs(r.wheels) do
    local line_key = a.heights[key] and key or i == 1 and "front" or "rear" -- a single wheel
    rows[i] = {key, print.turn_words(a.turns[key]), text.worded(a.spring_mm[key], mm + 1, "up", "down"),
               text.worded(a.heights[line_key] - r.before_heights[line_key], mm, "up", "down"), text.fixed(r.before[key], kg),
               text.fixed(a.loads[key], kg), a.without_driver and text.fixed(a.without_driver[key], kg)}
  end
  return text.table(headings, rows)
end

-- Columns of loads behind the turns: {heading, loads}.
local function columns_after(r, a)
  local n, list = a.next, {{"then reads", a.next}}
  local same = r.reading.state == r.state
  if n.with_driver and n.with_driver.mass > n.mass then
    list[2] = {"with " .. (#n.people == 1 and n.people[1] or #n.people .. " people"), n.with_driver}
  elseif n.without_driver.mass < n.mass then
    list[2] = {"nobody aboard", n.without_driver}
  end
  if not same then list[#list + 1] = {r.state, a.loads} end
  return list
end

-- The page the mechanic holds: what the scales read, what to do, what they read then.
local function measured_table(r, a)
  local kg, mm, after = figures.kg(r, 1), figures.mm(r, 1), columns_after(r, a)
  local headings = {{"", "%s"}, {"scales read", "%s"}, {"turns", "%s"}, {"spring seat, mm", "%s"}}
  for _, column in ipairs(after) do headings[#headings + 1] = {column[1], "%s"} end
  local rows = {}
  local function row(name, key, decimals, turns, seat)
    local cells = {name, text.fixed(r.reading[key], decimals), turns, seat}
    for _, column in ipairs(after) do cells[#cells + 1] = text.fixed(column[2][key], decimals) end
    rows[#rows + 1] = cells
  end
  for _, key in ipairs(r.wheels) do
    row(key .. "  kg", key, kg, print.turn_words(a.turns[key]), text.worded(a.spring_mm[key], mm, "up", "down"))
  end
  row("cross weight, %", "cross_share", 2, "", "")
  return text.table(headings, rows)
end

-- How far the body moves at most.
local function most_moved(r, a)
  local most = 0
  for key, height in pairs(a.heights) do most = math.max(most, math.abs(height - r.before_heights[key])) end
  return most
end

local function notch_words(r)
  if r.notch == 0 then return "Turns are not rounded" end
  local named = {[1] = "whole turns", [0.5] = "half turns", [0.25] = "quarter turns", [0.125] = "eighths of a turn"}
  return "Rounded to " .. (named[r.notch] or text.plain(r.notch) .. " turns")
end

-- What stays while the perches turn.
local held = {
  heights = "holding the body at both axles and its mean roll",
  ["front heights"] = "holding the body at both front corners and the rear axle",
  ["rear heights"] = "holding the body at both rear corners and the front axle", ["least turns"] = "by the least turns",
  ["all heights"] = "holding the body at all four corners as well as can be",
}

local function what_for(r)
  local list = {next(r.target) and given.words(r.target) or nil}
  if r.asked_roll and (#list > 0 or not r.asked_heights) then list[#list + 1] = "roll" end
  return (#list > 0 and text.join(list) or "heights") .. " by the perches"
end

local function measured_lines(r, a, lines)
  lines[#lines + 1] = measured_table(r, a)
  local asked = r.asked_heights or r.asked_roll
  lines[#lines + 1] = ("up = collar that lengthens the spring seat and raises that corner. %s %s mm."):format(
    asked and "A corner of the body moves up to" or "Ride heights stay within", text.fixed(most_moved(r, a), 1))
  lines[#lines + 1] = ("%s; exact turns would give %s %%%s, %s."):format(notch_words(r), core.fixed(a.exact.loads.cross_share, 2),
    r.reading.state ~= r.state and " in " .. r.state or "",
    r.reached and "as far as it goes" or asked and "with the body as asked for" or held[r.hold])
  lines[#lines + 1] = ("Then %s %% on the scales."):format(text.plus_minus(a.next.cross_share, a.next.sd.cross_share, 2))
end

local function assumed_lines(r, a, lines)
  lines[#lines + 1] = assumed_table(r, a)
  if a.cross_share then
    lines[#lines + 1] = ("Cross weight %s %% now, %s %% then (exact turns: %s %%), %s."):format(core.fixed(r.before.cross_share, 2),
      text.plus_minus(a.cross_share, r.sd.cross_share, 2), core.fixed(a.exact.loads.cross_share, 2),
      r.reached and "as far as it goes" or r.asked_heights and "with the heights asked for" or held[r.hold])
  end
end

--- The result as it is printed.
function print.page(r)
  local read = r.reading and r.reading.mass and r.reading
  local heading = ("%s: %s"):format(r.heading, what_for(r))
  local lines, a = {read and page.heading(heading) or heading}, r
  if read then
    lines[2] = ("As read, %s: %s kg, cross weight (RF + LR) %s %% measured."):format(read.state,
      text.plus_minus(read.mass, read.sd.mass, figures.kg(r, 1)), text.plus_minus(read.cross_share, read.sd.cross_share, 2))
  end
  if not r.possible then
    lines[#lines + 1] = "Not possible: " .. text.sentence(r.why)
    a = r.nearest
  end
  if a.turns then
    (read and measured_lines or assumed_lines)(r, a, lines)
    lines[#lines + 1] = text.sentence(corners.pose(a))
  elseif a.wheel then
    lines[#lines + 1] = ("The cross weight is %s %% now; it can go to %s %%."):format(core.fixed(r.before.cross_share, 2),
      core.fixed(a.cross_share, 2))
  end
  return page.of(r, lines)
end

return print
