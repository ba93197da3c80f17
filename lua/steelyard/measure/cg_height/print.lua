--- The page of a CG height.

local measurement = require "steelyard.measure.measurement"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local print_height = {}

local plus = text.plus_minus

-- What is restated or read alone rests on the readings as the height does, and has its factor.
local function as_height(result, value, sd, decimals) return plus(value, sd and sd * result.interval.factor / text.K95, decimals) end

-- value +- half the interval of an answer: Student's factor where readings or runs scattered
local function wide(result, name, value, decimals)
  local factor = result.intervals[name] and result.intervals[name].factor or text.K95
  return plus(value, result.sd[name] and result.sd[name] * factor / text.K95, decimals)
end

-- "rear" when one end is up in all, nil when both were
local function lifted_end(result)
  local found
  for _, row in ipairs(result.rows) do
    if row.lifted ~= "level" then
      if found and found ~= row.lifted then return nil end
      found = row.lifted
    end
  end
  return found
end

local function end_read(result)
  local found
  for _, row in ipairs(result.rows) do
    if found and found ~= row.end_read then return nil end
    found = row.end_read
  end
  return found
end

-- As many decimals as the finest load was written with.
local function load_decimals(rows)
  local most = 0
  for _, row in ipairs(rows) do most = math.max(most, #(text.plain(row.load):match "^%d+%.(%d+)$" or "")) end
  return math.min(most, 3)
end

local function readings_table(result)
  local up, on, decimals = lifted_end(result), end_read(result), load_decimals(result.rows)
  local headings = {{"run", "%s"}}
  if not up then headings[#headings + 1] = {"lifted", "%s"} end
  if result.by ~= "angle" then headings[#headings + 1] = {(up and up .. " up" or "by") .. ", mm", "%s"} end
  headings[#headings + 1] = {"tilt, deg", "%s"}
  if not on then headings[#headings + 1] = {"read on", "%s"} end
  headings[#headings + 1] = {(on or "load") .. ", kg", "%s"}
  headings[#headings + 1] = {"off the fit", "%s"}
  headings[#headings + 1] = {"this reading alone, mm", "%s"}
  local rows, before = {}, nil
  for i, row in ipairs(result.rows) do
    local cells = {row.run ~= before and row.run or ""}
    before = row.run
    if not up then cells[#cells + 1] = row.lifted end
    if result.by ~= "angle" then cells[#cells + 1] = text.plain(row.lift) end
    cells[#cells + 1] = text.fixed(row.angle, 2)
    if not on then cells[#cells + 1] = row.end_read end
    cells[#cells + 1] = text.fixed(row.load, decimals)
    cells[#cells + 1] = row.redundancy and row.redundancy > 1e-8 and text.signed(row.residual, 2) or "untested"
    cells[#cells + 1] = row.height and as_height(result, row.height, row.sd.height, 0) or "level"
    rows[i] = cells
  end
  return text.table(headings, rows)
end

-- "pads 5.2, rear radius 1.9, lifts 0.6": half-widths, mm
local function made_of(result)
  local parts = {}
  for i, row in ipairs(result.budget) do
    if i == 1 or row.share >= 0.5 then parts[#parts + 1] = ("%s %s"):format(row.source, text.fixed(result.interval.factor * row.u, 1)) end
  end
  return #parts > 0 and "; " .. table.concat(parts, ", ") or ""
end

local function headline(result)
  local half = (result.interval.high - result.interval.low) / 2
  local shown = half > 0 and ("%s +- %s"):format(text.fixed(result.height, measurement.decimals(half / text.K95, 1)),
    text.fixed(half, measurement.decimals(half / text.K95, 1))) or text.fixed(result.height, 1)
  return ("CG height %s mm above ground, as it stood%s"):format(shown, made_of(result))
end

local function person(result, key, word)
  local p = result[key]
  if not p then return nil end
  local mm = p.at >= 0 and text.fixed(p.at, 0) .. " up" or text.fixed(-p.at, 0) .. " below ground"
  return ("%s the %s, %s kg at %s: %s, %s kg"):format(word, p.name, text.plain(p.mass), mm,
    as_height(result, p.height, p.sd.height, measurement.decimals(p.sd.height, 1)), text.fixed(p.total, 1))
end

--- The height at ride height, with and without somebody, and against the ledger: sentences.
function print_height.restated(result)
  local lines = {}
  if result.at_ride then
    local ride = result.at_ride
    lines[#lines + 1] = ("At ride height, front %s mm and rear %s: %s"):format(text.worded(ride.front, 1, "up", "down"),
      text.worded(ride.rear, 1, "up", "down"), as_height(result, ride.height, ride.sd.height, measurement.decimals(ride.sd.height, 1)))
  end
  lines[#lines + 1] = person(result, "with_driver", "With")
  lines[#lines + 1] = person(result, "without_driver", "Without")
  local a = result.against
  if not a then return lines end
  lines[#lines + 1] = ("The %s said %s: %s"):format(a.name, plus(a.ledger, a.sd.ledger, 0), a.agrees and "agrees"
    or ("%s mm %s, %s"):format(text.fixed(math.abs(a.gap), 0), a.gap > 0 and "more" or "less", a.sigmas and
      ("%s times the uncertainty of both"):format(text.fixed(a.sigmas, 1)) or "and no uncertainty is stated"))
  if a.mass_agrees == false then
    lines[#lines + 1] = ("The scales read %s kg %s than the %s: was it loaded as stated"):format(text.fixed(math.abs(a.mass_gap), 1),
      a.mass_gap > 0 and "more" or "less", a.name) .. "?"
  end
  return lines
end

local by_words = {wheel = "under the wheels", jack = "at the jacking point", angle = "by the angle of the body",
  held = "at the jacking point, by the angle of the body"}

--- How it was lifted, in a line.
function print_height.set_up(result)
  local first, second = "front", "rear"
  local r = result.radii
  if result.on == "plane" then
    return ("%s %s, %s up, car and pads on one tilted plane"):format(r.front and "Wheelbase" or "Track", text.plain(result.wheelbase),
      lifted_end(result) or "both ends")
  end
  if not r.front then
    return ("Track %s, tyre crown %s, %s lifted, %s"):format(text.plain(result.wheelbase), text.plain(r.left),
      lifted_end(result) or "both sides", by_words[result.by])
  end
  return ("Wheelbase %s, loaded radii %s %s and %s %s, suspension %s, %s lifted, %s"):format(text.plain(result.wheelbase),
    text.plain(r.front), first, text.plain(r.rear), second, result.suspension, lifted_end(result) or "both ends",
    by_words[result.held and "held" or result.by])
end

local function place(result)
  local parts = {("%s kg"):format(wide(result, "mass", result.mass, 1))}
  if result.cg_behind then
    parts[#parts + 1] = ("CG %s mm %s the front axle"):format(wide(result, "cg_behind", math.abs(result.cg_behind), 0),
      text.way(result.cg_behind, 0, "behind", "ahead of"))
    parts[#parts + 1] = ("front %s %%"):format(wide(result, "front_share", result.front_share, 2))
  end
  if result.cg_left then
    parts[#parts + 1] = ("%s mm %s of the centre"):format(wide(result, "cg_left", math.abs(result.cg_left), 0),
      text.way(result.cg_left, 0, "left", "right"))
  end
  return table.concat(parts, ", ")
end

--- All of it.
function print_height.page(result)
  local lines = {page.heading(("%s: %s"):format(result.heading, place(result))), print_height.set_up(result), readings_table(result),
                 headline(result)}
  local more = print_height.restated(result)
  table.move(more, 1, #more, #lines + 1, lines)
  lines[#lines + 1] = require("steelyard.measure.cg_height.remarks").touching(result)
  lines[#lines + 1] = text.sentence("what spoils it: " .. result.spoils)
  return page.of(result, lines)
end

return print_height
