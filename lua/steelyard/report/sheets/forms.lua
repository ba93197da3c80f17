--- Forms to fill in at the car: what to read, in the order of the work, with the car's own wheels, people, tanks and parts. Nothing that
-- the car is expected to weigh or to measure stands on them: who knows what should come out reads it.

local aboard = require "steelyard.car.aboard"
local contents = require "steelyard.car.contents"
local corner_notes = require "steelyard.measure.corner_scales.notes"
local lift_remarks = require "steelyard.measure.cg_height.remarks"
local lift_geometry = require("steelyard.measure.cg_height.car").geometry
local resolve = require "steelyard.car.resolve"
local shared = require "steelyard.shop.sheet_words"
local words = require "steelyard.draw.words"

local forms = {}

local ACROSS = 6 -- wheels beside each other in a table at most

-- ---- what all have ------------------------------------------------------------------------------------------------------------------

local function begin(s, c, title)
  s:sheet{title = title, state = words.name(c.shared.spec.title or ""), lines = {}}
  local state = c.state and c.state.name
  s:fill{{"date", 30}, {"by", 50}, {"place", 30, rest = true}}
  s:fill(state and {{"load state: " .. words.name(state) .. ", but for", 40, rest = true}} or {{"load state", 60, rest = true}})
end

local function wheel_names(c)
  local list = {}
  for i, wheel in ipairs(c.geometry:wheels()) do list[i] = {key = wheel.key, name = words.wheel(wheel.key), axle = wheel.axle} end
  return list
end

local function rows_named(list)
  local rows = {}
  for i, entry in ipairs(list) do rows[i] = {entry.name or entry} end
  return rows
end

-- Rows of what is read at each wheel, the wheels side by side as they stand seen from behind; six at most in a table.
local function by_wheel(s, c, rows, name)
  local wheels = wheel_names(c)
  for first = 1, #wheels, ACROSS do
    local columns = {}
    for i = first, math.min(#wheels, first + ACROSS - 1) do columns[#columns + 1] = wheels[i].name end
    s:blanks{name = name, columns = columns, rows = rows_named(rows)}
  end
end

-- What persons and tanks weigh on the day: a state's litres and kilograms are measured too.
local function aboard_blanks(s, c)
  local rows = {}
  for _, entry in ipairs(aboard.list(c) or {}) do
    rows[#rows + 1] = {words.name(entry.name), without = not entry.litres and {true} or nil}
  end
  rows[#rows + 1] = {"tools, luggage, others", without = {true}}
  s:section("Aboard", 3 * 7)
  s:blanks{name = "as weighed or read on the day", columns = {"litres", "kg"}, rows = rows}
end

local function scales_line(s)
  s:fill{{"scales", 50}, {"certificate", 40}, {"display step", unit = "kg"}}
end

local function caution(s, sentence)
  s.y = s.y + 2
  s:sentences({sentence .. "."}, {bold = true})
end

-- ---- weighing -----------------------------------------------------------------------------------------------------------------------

function forms.weighing(s, car)
  local c = contents.inside(car)
  begin(s, c, "Weighing")
  scales_line(s)
  s:checks{shared.pads_level, shared.free, shared.settled, "nobody leans on it while it is read"}
  aboard_blanks(s, c)
  s:section "Wheel by wheel"
  s:blanks{name = "wheel", columns = {"pad", "zero before, kg", "reading, kg", "zero after, kg"}, rows = rows_named(wheel_names(c))}
  s:section "Axle by axle"
  local axles = {}
  for i, axle in ipairs(c.axles) do axles[i] = words.name(axle.name) end
  s:blanks{name = "axle", columns = {"ticket or scale", "zero before, kg", "reading, kg", "zero after, kg"}, rows = rows_named(axles)}
  s:fill{{"sum of the wheels", unit = "kg"}, {"sum of the axles", unit = "kg"}, {"all at once", unit = "kg"}}
  caution(s, corner_notes.CAUTION)
end

-- ---- corner scales ---------------------------------------------------------------------------------------------------------------------

function forms.corners(s, car)
  local c = contents.inside(car)
  begin(s, c, "Corner scales")
  scales_line(s)
  s:checks{shared.pads_level, shared.free, shared.bars, shared.settled}
  aboard_blanks(s, c)
  s:section("Scales", 5 * 7)
  local rows = {"pad", "zero before, kg"}
  for i, run in ipairs(shared.runs) do rows[#rows + 1] = ("%d: %s, kg"):format(i, run) end
  rows[#rows + 1] = "zero after, kg"
  by_wheel(s, c, rows, "read at")
  s:fill{{"front", unit = "kg"}, {"rear", unit = "kg"}, {"left", unit = "kg"}, {"right", unit = "kg"}}
  s:section("Ride heights and collars", 5 * 7)
  by_wheel(s, c, {"tyre pressure, bar", "ride height before, mm", "collar count before", "turned, turns up or down", "collar count after",
    "ride height after, mm", "reading after, kg"}, "heights from the plane of the pads")
  s:fill{{"heights measured at", 60, rest = true}}
  caution(s, corner_notes.CAUTION)
end

-- ---- floor levels ----------------------------------------------------------------------------------------------------------------------

function forms.levels(s, car)
  local c = contents.inside(car)
  begin(s, c, "Floor levels")
  s:fill{{"instrument", 60}, {"reads to", unit = "mm"}, {"set up at", 30, rest = true}}
  s:checks{"tyre prints marked on the floor, wheels straight ahead", "floor swept, pads and shims clean",
           "benchmark read first and last", "read again from the other end: both agree"}
  s:section "Where each tyre stands"
  s:blanks{name = "height, mm: up is more", columns = {"rear edge", "middle", "front edge", "middle, from the other end", "shim put, mm",
    "after, mm"}, rows = rows_named(wheel_names(c))}
  s:fill{{"benchmark first", unit = "mm"}, {"benchmark last", unit = "mm"}, {"highest pad", 24}}
  s:section "Where the wheels stand"
  local rows = {}
  for i = 1, #c.axles - 1 do rows[i] = {("%s to %s"):format(words.name(c.axles[i].name), words.name(c.axles[i + 1].name))} end
  if #rows > 0 then s:blanks{name = "wheel centres along the car, mm", columns = {"left", "right"}, rows = rows} end
  rows = {}
  for _, axle in ipairs(c.axles) do
    if axle.wheels ~= 1 then rows[#rows + 1] = {words.name(axle.name)} end
  end
  if #rows > 0 then
    s:blanks{name = "middles of the tyres, mm", columns = {"apart", "left of the centre line", "right of the centre line"}, rows = rows}
  end
  caution(s, corner_notes.CAUTION)
end

-- ---- CG height -------------------------------------------------------------------------------------------------------------------------

-- Two pages: what is prepared at the car, then what is read with it up, which nobody turns a page for.
local BLOCKS = {"A", "B", "C", "D", "E", "F"}

-- The pads that are read: of the axle that stays first.
local function pad_columns(c)
  local list = {{"blocks under each", 24}, "rear lifted, mm", "or angle, deg"}
  for _, axle in ipairs{1, 2} do
    for _, wheel in ipairs(wheel_names(c)) do
      if wheel.axle == axle then list[#list + 1] = wheel.name .. ", kg" end
    end
  end
  return list
end

function forms.cg_height(s, car)
  local c = contents.inside(car)
  lift_geometry(c, "the form", true) -- refuses a car with other than two axles, as the lift does
  begin(s, c, "CG height, rear lifted")
  scales_line(s)
  s:checks{shared.nobody, {shared.brim, unit = "litres"}, {shared.locked .. ", front", unit = "mm"}, {"rear", unit = "mm"}, shared.chocked,
           shared.tied, shared.straps}
  aboard_blanks(s, c)
  s:section "Lengths, level"
  by_wheel(s, c, {"loaded radius, mm"}, "wheel centre above the pad")
  s:fill{{"wheelbase left", unit = "mm"}, {"wheelbase right", unit = "mm"}}
  s:section "Blocks"
  s:blanks{columns = BLOCKS, rows = {{"height, mm"}}}
  caution(s, lift_remarks.CAUTION)
  s:sheet{title = "CG height, readings", state = words.name(c.shared.spec.title or ""), lines = {}}
  s:section "Up by steps and down again"
  local rows = {}
  for i, going in ipairs(shared.going) do rows[i] = {going, without = going:find "^zero" and {true, true, true} or nil} end
  s:blanks{name = "wait until it rests", columns = pad_columns(c), rows = rows}
end

-- ---- teardown ---------------------------------------------------------------------------------------------------------------------------

function forms.teardown(s, car, o)
  local c = contents.inside(car)
  if o.part ~= nil then resolve.parts(c, o.part) end -- a form for what is not there is a typing error
  begin(s, c, "Teardown" .. (o.part and ", " .. words.name(o.part) or ""))
  scales_line(s)
  s:fill{{"zero first", unit = "kg"}, {"zero last", unit = "kg"}, {"known mass put on", unit = "kg"}, {"it showed", unit = "kg"}}
  local rows = {}
  for _, row in ipairs(car:book(o.part).rows) do
    local name = ("\u{A0}\u{A0}"):rep(row.depth) .. words.name(row.name)
    if row.kind == "group" then
      rows[#rows + 1] = {name .. " (whole)", bold = true, without = {true}}
    elseif row.kind ~= "person" and row.aboard then
      rows[#rows + 1] = {name}
    end
  end
  s:section "On the scale"
  s:blanks{name = "part", columns = {"pieces on the scale", "reading, kg", "tare, kg", {"on the scale with it; what it still holds", 44}},
           rows = rows}
  s:fill{{"fasteners, in bags of their own", unit = "kg"}, {"drained, in cans of their own", unit = "kg"}}
  s.y = s.y + 2
  s:sentences({shared.whole_first, shared.two_people}, {bold = true})
end


return forms
