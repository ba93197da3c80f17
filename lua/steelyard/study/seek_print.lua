--- The page of a search: what to do, what comes of it, and what stands in the way of more.

local made = require "steelyard.study.made"
local page = require "steelyard.print.page"
local phrases = require "steelyard.study.phrases"
local text = require "steelyard.print.text"
local words_of = require "steelyard.study.words"

local print = {}

-- So many figures, without noughts at the end.
local function figures(x, count)
  if x == 0 then return "0" end
  local fixed = text.fixed(x, math.max(0, count - 1 - math.floor(math.log(math.abs(x), 10))))
  return fixed:find(".", 1, true) and (fixed:gsub("0+$", ""):gsub("%.$", "")) or fixed
end

local function with_unit(x, unit) return unit ~= "" and ("%s %s"):format(x, unit) or x end

local function heading_of(out) return out.unit ~= "" and ("%s, %s"):format(out.label, out.unit) or out.label end

-- ---- what to do ---------------------------------------------------------------------------------------------------------------

local function moves_table(s, moves)
  local rows = {}
  for k, j in ipairs(s.outer) do
    local input = s.inputs[j]
    local few = input.list and ("%s of %d values"):format("one", #input.list) or ""
    rows[k] = {words_of.heading(input), words_of.value(input, input.low), words_of.value(input, input.high), words_of.value(input,
      moves[k].value), few}
  end
  local headings = {{"", "%s"}, {"from", "%s"}, {"to", "%s"}, {"found", "%s"}, {"", "%s"}}
  local any = false
  for _, row in ipairs(rows) do any = any or row[5] ~= "" end
  if not any then
    headings[5] = nil
    for _, row in ipairs(rows) do row[5] = nil end
  end
  return text.table(headings, rows)
end

-- ---- what comes of it ---------------------------------------------------------------------------------------------------------

local function shown(value, sd, decimals) return value and text.plus_minus(value, sd or 0, decimals) or "unknown" end

local function asked_text(r, target)
  local within = r.within[target.name]
  return ("%s, within %s"):format(text.plain(target.value), target.within and text.plain(within) or figures(within, 2))
end

local function answers_table(s, r, reached, at)
  local headings = {{"", "%s"}, {"asked for", "%s"}, {"as booked", "%s"}, {r.possible and "found" or "nearest", "%s"}}
  if at then headings[5] = {"there", "%s"} end
  local rows = {}
  local function add(o, asked)
    local out = s.outputs[o]
    rows[#rows + 1] = {heading_of(out), asked, shown(r.asked[out.name], r.asked_sd[out.name], out.decimals),
                       shown(reached[out.name], r.sd[out.name], out.decimals), at and (at[out.name] or "")}
  end
  for _, target in ipairs(s.targets) do add(target.out, asked_text(r, target)) end
  if s.aimed then add(s.aimed, s.aim) end
  return text.table(headings, rows)
end

-- ---- what binds -----------------------------------------------------------------------------------------------------------------

local function output_named(s, name)
  for _, out in ipairs(s.outputs) do
    if out.name == name then return out end
  end
end

local function better(r, s)
  if not r.possible then return "nearer" end
  return s.aim == "least" and "less" or s.aim == "most" and "more"
end

local function place_of(s, entry)
  for _, j in ipairs(s.outer) do
    local input = s.inputs[j]
    if entry.kind == "bound" and input.name == entry.name then
      local from_booked = input.kind == "move" or input.kind == "turn"
      return ("%s at its bound, %s"):format(from_booked and words_of.item(input) or words_of.label(input),
        (from_booked and words_of.value or words_of.beside)(input, entry.value))
    end
  end
  if entry.kind == "limit" then return ("%s at its limit, %s"):format(entry.name, with_unit(text.plain(entry.value), entry.unit)) end
  local out = output_named(s, entry.name)
  return ("%s held to its target, %s"):format(out.label, with_unit(text.plain(entry.value), entry.unit))
end

local function binding_text(r, s, entry)
  if not entry.gain then return place_of(s, entry) end
  local out = made.from[r].better
  return ("%s (%s more room: %s %s %s)"):format(place_of(s, entry), with_unit("1", entry.unit), out.label, with_unit(figures(entry.gain, 3),
    out.unit), better(r, s))
end

local function binding_lines(r, s, list)
  local pieces = {}
  for k, entry in ipairs(list) do pieces[k] = binding_text(r, s, entry) end
  if not pieces[1] then return nil end
  return ("%s: %s."):format(r.possible and "Binds" or "In the way", table.concat(pieces, "; "))
end

-- Targets that hold one another off, where nothing else does.
local function contradiction(from, hinders)
  if hinders[1] or #from.missed < 2 then return nil end
  local names = {}
  for k, entry in ipairs(from.missed) do names[k] = from.s.outputs[entry.target.out].label end
  return ("In the way: the targets of %s, of one another."):format(text.join(names))
end

-- ---- the page ---------------------------------------------------------------------------------------------------------------------

local units_rounded = {mm = "0.01 mm", kg = "1 gram"}

local function how(s, r)
  local rounded, seen = {}, {}
  for _, j in ipairs(s.outer) do
    local input = s.inputs[j]
    local step = not input.list and (units_rounded[input.unit] or with_unit("0.001", input.unit or ""))
    if step and not seen[step] then rounded[#rounded + 1], seen[step] = step, true end
  end
  local list = ("Sought from %s"):format(text.count(r.tried.starts, "start"))
  return rounded[1] and ("%s; rounded to %s and judged so."):format(list, text.join(rounded)) or list .. "."
end

local function wished(s)
  local list = {}
  for k, target in ipairs(s.targets) do
    local out = s.outputs[target.out]
    list[k] = with_unit(("%s %s"):format(out.label, text.plain(target.value)), out.unit)
  end
  if s.aimed then list[#list + 1] = ("%s %s"):format(s.aim, s.outputs[s.aimed].label) end
  return text.join(list)
end

--- The page.
function print.page(r)
  local from = made.from[r]
  local s, near = from.s, r.nearest
  local pieces = {}
  for k, move in ipairs(from.moves) do
    local input = s.inputs[s.outer[k]]
    local moves = input.kind == "move" or input.kind == "turn"
    pieces[k] = moves and move.words ~= "as booked" and move.words
      or ("%s %s"):format(moves and words_of.item(input) or words_of.label(input), move.words)
  end
  local lines = {page.heading(("%s: %s"):format(r.heading, wished(s)))}
  lines[#lines + 1] = r.possible and ("Possible: %s."):format(table.concat(pieces, "; ")) or ("Impossible: %s."):format(r.why)
  if near then lines[#lines + 1] = ("Nearest: %s."):format(table.concat(pieces, "; ")) end
  lines[#lines + 1] = moves_table(s, from.moves)
  lines[#lines + 1] = answers_table(s, r, near and near.reached or r.reached, near and near.reached_at or r.reached_at)
  local hinders = near and near.hinders or r.binding
  lines[#lines + 1] = binding_lines(r, s, hinders) or not r.possible and contradiction(from, hinders) or nil
  lines[#lines + 1] = phrases.lines((near or r).what_if)
  lines[#lines + 1] = how(s, r)
  return page.of(r, lines)
end

return print
