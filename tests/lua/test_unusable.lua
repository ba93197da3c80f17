-- What cannot be drawn from a tank: stated in litres or worked out from a pick-up.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function car_of(parts, more)
  local fields = {title = "remainders", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = parts}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function fuel(fields)
  local tank = {shape = sy.box {420, 300, 320}, at = {1290, 40, 310}, density = 0.75, fill = 30}
  for key, value in pairs(fields or {}) do
    if value == false then tank[key] = nil else tank[key] = value end
  end
  return sy.tank "fuel" (tank)
end

-- ---- refusals ---------------------------------------------------------------------------------------------------------

local HEAD = 'vehicle { axes = {x = "back", y = "right", z = "up"}, axles = { { name = "front", at = 0, track = 1400, loaded_radius = 300 }, '
  .. '{ name = "rear", at = 2400, track = 1400, loaded_radius = 300 } },\nparts = { tank "fuel" { at = {1290, 0, 310}, density = 0.745, fill = 9,\n'

local function refuses(fields, want)
  local path = folder .. "/car.lua"
  local file <close> = assert(io.open(path, "w"))
  file:write(HEAD, fields, " } } }\n")
  file:close()
  want.part, want.kind, want.file, want.line = "fuel", "tank", path, want.line or 3
  check.raises(function() sy.load(path) end, want)
end

test("remainders_that_cannot_be_are_refused", function()
  refuses("capacity = 45, unusable = 46", {code = "range", field = "unusable", message = "is 46 litres, the tank holds 45"})
  refuses("capacity = 45, unusable = -1", {code = "range", field = "unusable", message = "must be 0 litre or more, is -1 litre"})
  refuses("capacity = 45, unusable = 2*kg", {code = "type", field = "unusable", message = "must be a volume in litre"})
  refuses("shape = box {420, 300, 320}, unusable = 2, pick_up = {0, 0, -150}",
    {code = "clash", field = "pick_up", message = "stands beside unusable, one of the two is enough"})
  refuses("capacity = 45, pick_up = {0, 0, -150}",
    {code = "missing", field = "pick_up", message = "needs the tank's shape", hint = "state unusable in litres instead"})
  refuses("shape = cone {300, 400}, pick_up = {0, 0, 0}", {code = "geometry", field = "pick_up", message = "is in a cone"})
  refuses("shape = box {420, 300, 320}, pick_up = {0, 0, -161}",
    {code = "geometry", field = "pick_up", message = "lies outside the tank's shape; it is measured from the tank's own place"})
  refuses("shape = box {420, 300, 320}, pick_up = {1290, 0, 160}", {code = "geometry", field = "pick_up", hint = "did you mean {0, 0, -150}?"})
  refuses("shape = box {420, 300, 320}, pick_up = {0, 0}", {code = "missing", field = "pick_up", message = "has no z"})
  refuses("shape = box {420, 300, 320}, pickup = {0, 0, 0}", {code = "unknown", field = "pickup", hint = "\"pick_up\""})
  refuses("capacity = 45, unuseable = 3", {code = "unknown", field = "unuseable", hint = "\"unusable\""})
end)

test("pick_ups_in_every_shape_are_measured_along_the_files_axes", function()
  -- x is back and y right here: a lying cylinder across, 300 round and 900 long
  for _, at in ipairs {{0, 449, 0}, {0, -449, 0}, {149, 0, 0}, {0, 0, -150}} do
    car_of {fuel {shape = sy.cylinder {300, 900}, pick_up = at}}
  end
  check.raises(function() car_of {fuel {shape = sy.cylinder {300, 900}, pick_up = {0, 451, 0}}} end, {code = "geometry"})
  check.raises(function() car_of {fuel {shape = sy.cylinder {300, 900}, pick_up = {151, 0, 0}}} end, {code = "geometry"})
  check.raises(function() car_of {fuel {shape = sy.box {420, 300, 320}, pick_up = {0, 200, 0}}} end, {code = "geometry"})
  car_of {fuel {shape = sy.box {420, 300, 320}, pick_up = {200, 0, 0}}}
  check.raises(function() car_of {fuel {shape = sy.ellipsoid {500, 400, 300}, pick_up = {200, 0, 100}}} end, {code = "geometry"})
  local saddle = sy.mesh {"vehicles/shapes/saddle_tank.obj", unit = "mm"}
  check.raises(function() car_of {fuel {shape = saddle, fill = 1, pick_up = {0, 0, -900}}} end, {code = "geometry"})
  check.raises(function() car_of {fuel {shape = saddle, fill = 1, pick_up = {0, 0, 0}}} end, {code = "geometry"}) -- over the shaft
  check.ok(car_of {fuel {shape = saddle, fill = 1, pick_up = {0, -165, -80}}}, "in one of its legs")
end)

test("changes_of_a_tank_keep_to_the_same_rules", function()
  local point, stated = car_of {fuel {pick_up = {0, 0, -150}}}, car_of {fuel {unusable = 3}}
  check.raises(function() point:set("fuel", {unusable = 2}) end, {code = "clash", part = "fuel", field = "unusable"})
  check.raises(function() stated:set("fuel", {pick_up = {0, 0, 0}}) end, {code = "clash", field = "pick_up"})
  check.raises(function() point:set("fuel", {shape = sy.box {420, 300, 290}}) end, {code = "geometry", field = "pick_up"})
  check.raises(function() stated:set("fuel", {capacity = 2}) end, {code = "range", field = "unusable", message = "is 3 litres, the tank holds 2"})
  check.raises(function() car_of {fuel()}:set("fuel", {pick_up = {z = -150}}) end, {code = "missing", field = "pick_up", message = "has no x"})
  check.raises(function() car_of {sy.part "tub" {mass = 90, at = {1300, 0, 300}}}:add(fuel {unusable = 99}) end, {code = "range", field = "unusable"})
end)

os.execute("rm -r " .. folder)
check.done()
