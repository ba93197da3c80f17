--- Blank forms to fill in at the car, plain text, with the car's own names and its wheels in their order: what is read off goes into a
-- readings file as the form says.

local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local resolve = require "steelyard.car.resolve"
local shared = require "steelyard.shop.sheet_words"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"

local sheets_text = {}
local Sheets = require("steelyard.reference.results").kind "sheets"

local BLANK, WIDE = ("_"):rep(9), ("_"):rep(30)

sheets_text.names = {"corners", "lift", "teardown", "part"}

local function rows_of(headings, rows)
  local columns = {}
  for i, heading in ipairs(headings) do columns[i] = {heading, "%s"} end
  return text.table(columns, rows)
end

local function heading_of(car, title, for_command)
  local c = contents.inside(car)
  return {title:upper() .. "   " .. c.shared.spec.title, "",
    ("date %s   by %s   load state %s"):format(BLANK, BLANK, c.state and loading.title(c) or WIDE), "for: steelyard " .. for_command, ""}
end

local function add(lines, ...)
  for _, line in ipairs{...} do lines[#lines + 1] = line end
  return lines
end

local function finish(lines) return table.concat(lines, "\n") end

-- "1450" of a length in the file, to be measured again
local function drawn(label, value)
  return ("%s %s mm (drawn %s)"):format(label, BLANK, value and text.plain(math.floor(value * 10 + 0.5) / 10) or "not stated")
end

-- ---- corner weights ------------------------------------------------------------------------------------------------------

local function wheel_keys(car)
  local keys = {}
  for i, wheel in ipairs(contents.inside(car).geometry:wheels()) do keys[i] = wheel.key end
  return keys
end

local function run_table(keys)
  local rows = {}
  for i, key in ipairs(keys) do rows[i] = {key, ("_"):rep(5), BLANK, BLANK, BLANK} end
  return rows_of({"wheel", "pad", "zero before, kg", "reading, kg", "zero after, kg"}, rows)
end

function sheets_text.corners(car)
  local c, keys = contents.inside(car), wheel_keys(car)
  local lines = heading_of(car, "Corner weights", "read_corners")
  add(lines, ("Before:  [ ] %s   [ ] display step "):format(shared.pads_level) .. BLANK .. " kg   [ ] gain from the certificate "
    .. "" .. BLANK,
    ("         [ ] %s   [ ] %s   [ ] driver %s"):format(shared.free, shared.bars, WIDE),
    ("         [ ] fuel %s litres   [ ] %s"):format(BLANK, shared.settled), "", "tyre pressures, bar:  " .. (function()
      local list = {}
      for i, key in ipairs(keys) do list[i] = key .. " " .. ("_"):rep(6) end
      return table.concat(list, "   ")
    end)())
  for _, axle in ipairs(c.axles) do
    if not sides.alike(axle, {"half_track"}) then
      add(lines, drawn(axle.name .. " left wheel from the centre plane", sides.half_track(axle, 1)),
        drawn(axle.name .. " right wheel from the centre plane", sides.half_track(axle, -1)))
    elseif axle.track then
      add(lines, drawn(axle.name .. " track", axle.track))
    end
  end
  for run, words in ipairs(shared.runs) do
    add(lines, "", ("run %d: %s"):format(run, words), run_table(keys))
  end
  return finish(add(lines, "",
    "A row each in the file: run,wheel,pad,reading,zero_before,zero_after,facing. Not all wheels at once: the others on blocks as",
    "high as the pads (others = blocks). Chocks back before anybody leans in. Local codes and licensed practice decide."))
end

-- ---- rear lift -----------------------------------------------------------------------------------------------------------

function sheets_text.lift(car)
  local c = contents.inside(car)
  local b = car:balance()
  local lines = heading_of(car, "CG height, rear lifted", "cg_height")
  add(lines, ("Before:  [ ] %s   [ ] %s %s"):format(shared.nobody, shared.brim, BLANK),
    ("         [ ] %s %s front %s rear"):format(shared.locked, BLANK, BLANK),
    ("         [ ] %s   [ ] %s   [ ] %s"):format(shared.chocked, shared.tied, shared.straps),
    "", drawn("wheelbase left", sides.wheelbase(c.axles, 1, b.wheelbase)), drawn("wheelbase right", sides.wheelbase(c.axles, -1,
      b.wheelbase)))
  for _, axle in ipairs(c.axles) do
    add(lines, drawn(axle.name .. " loaded radius left", (sides.number(axle, 1, "loaded_radius"))),
      drawn(axle.name .. " loaded radius right", (sides.number(axle, -1, "loaded_radius"))))
  end
  local headings = {"", "rear lifted, mm", "or angle, deg"}
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.axle == 1 then headings[#headings + 1] = wheel.key .. ", kg" end
  end
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.axle > 1 then headings[#headings + 1] = wheel.key .. ", kg" end
  end
  local rows = {}
  for _, going in ipairs(shared.going) do
    local row = {going}
    for i = 2, #headings do row[i] = (i < 4 and going:find "^zero") and "" or BLANK end
    rows[#rows + 1] = row
  end
  add(lines, "", rows_of(headings, rows), "",
    "A row each in the file: run,lift,lf,rf,lr,rr with the wheels of this car; settings as in vehicles/readings/README.md.",
    "Lift under the tyres, in steps, to 15 degrees or what the nose allows; wait until the reading rests; read going down as well.",
    "Stands under it before hands. Nobody under or in the car. Follow the hoist's and the local rules.")
  return finish(lines)
end

-- ---- teardown --------------------------------------------------------------------------------------------------------------

local function booked(row)
  if row.unknown then return "unknown" end
  if row.pieces and row.pieces > 1 then
    return ("%s (%d x %s)"):format(text.fixed(row.mass, 2), row.pieces, text.fixed(row.mass / row.pieces, 3))
  end
  return text.fixed(row.mass, 2)
end

function sheets_text.teardown(car, what)
  local lines = heading_of(car, "Teardown" .. (what and ", " .. what or ""), "book, take_parts")
  add(lines, "scale " .. WIDE .. "   step " .. BLANK .. " kg   zero first " .. BLANK .. " kg, last " .. BLANK .. " kg", "")
  local rows, sum = {}, 0
  for _, row in ipairs(car:book(what).rows) do
    if row.kind == "group" then
      rows[#rows + 1] = {("  "):rep(row.depth) .. row.name .. " (whole)", booked(row), BLANK, BLANK, ""}
    elseif row.kind ~= "person" and row.aboard then
      sum = sum + (row.mass or 0)
      rows[#rows + 1] = {("  "):rep(row.depth) .. row.name, booked(row), BLANK, BLANK, ("_"):rep(24)}
    end
  end
  add(lines, rows_of({"part", "booked, kg", "read, kg", "tare, kg", "on the scale with it; what it still holds"}, rows), "",
    ("Booked together %s kg. Fasteners and what drained out go into bags and cans of their own, weighed too: __________ kg"):format(
      text.fixed(sum, 1)), shared.whole_first, shared.two_people)
  return finish(lines)
end

-- ---- CG of a part ----------------------------------------------------------------------------------------------------------

function sheets_text.part(car, what)
  local lines = heading_of(car, "CG of a part" .. (what and ": " .. what or ""), "engine_cg")
  add(lines, "part " .. (what or WIDE) .. "   origin at " .. WIDE, "x points " .. BLANK .. "   y points " .. BLANK .. "   z points "
    .. "" .. BLANK
    .. "   display step " .. BLANK .. " kg", "")
  local rows = {}
  for i, name in ipairs{"A", "B", "C", "(D)"} do rows[i] = {name, BLANK, BLANK, BLANK, BLANK, BLANK, BLANK, BLANK} end
  add(lines, rows_of({"support", "x, mm", "y, mm", "z, mm", "tare, kg", "level, kg", "tilted, kg", "tilted more, kg"}, rows), "",
    "tilted, nose / left side up by __________ degrees, then __________ degrees; angle read to +- __________, places to +- __________ "
      .. "mm", "",
    "Supports are points: balls or edges, each on its own scale, the same points in all poses. Straps before tilting, stands under it",
    "before hands.", "", "Or hung, for: steelyard hang_engine", "")
  rows = {}
  for i = 1, 3 do rows[i] = {text.plain(i), BLANK, BLANK, BLANK, BLANK, BLANK, BLANK} end
  add(lines, rows_of({"line", "hung at x", "y", "z", "mark below x", "y", "z"}, rows), "",
    "Nobody under what hangs. Local codes and licensed practice decide.")
  return finish(lines)
end

-- ---- all ----------------------------------------------------------------------------------------------------------------------

--- sheets_text.of(car, {sheet = one of names or nil, part = "engine"}) -> {sheets = {{name, text}}, heading, state, notes}
function sheets_text.of(car, options)
  options = options or {}
  if options.part ~= nil then resolve.parts(contents.inside(car), options.part) end -- a form for what is not there is a typing error
  local result = {sheets = {}, heading = car:heading(), state = loading.title(contents.inside(car)), notes = {}}
  for _, name in ipairs(sheets_text.names) do
    if options.sheet == nil or options.sheet == name then
      result.sheets[#result.sheets + 1] = {name = name, text = sheets_text[name](car, options.part)}
    end
  end
  return origin.of_car(setmetatable(result, Sheets), contents.inside(car))
end

function Sheets.__tostring(result)
  local list = {}
  for i, sheet in ipairs(result.sheets) do list[i] = sheet.text end
  return table.concat(list, "\n\n" .. ("-"):rep(100) .. "\n\n")
end

return sheets_text
