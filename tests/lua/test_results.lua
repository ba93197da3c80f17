-- Results are plain tables that refuse names their kind does not have: a misspelt name is not an answer that happens to be missing.

local check = dofile "tests/lua/check.lua"
local json = require "steelyard.print.json"
local sy = require "steelyard"
local test = check.test

-- measured forward from a bulkhead, left-handed, its ground and centre plane not at zero
local function odd(one_wheel)
  return sy.car{
    title = "Odd (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 35,
    axles = {{name = "front", at = 1430, track = 1400, loaded_radius = 290, wheels = one_wheel and "one" or "two", spring_rate = 30,
              motion_ratio = 0.9, tyre_rate = 180},
             {name = "rear", at = -970, track = 1420, loaded_radius = 300, spring_rate = 35, motion_ratio = 0.9, tyre_rate = 190}},
    parts = {sy.part "tub" {mass = 210, at = {300, 35, 180}}, sy.part "engine" {mass = 96, at = {-300, 35, 210}}},
    limits = {sy.limit "light" {quantity = "mass", max = 400}},
  }
end

local function refuses(result, key, hint)
  check.raises(function() return result[key] end, {code = "unknown", field = key, hint = hint})
end

test("a_misspelt_name_is_refused_with_the_nearest", function()
  local car = odd()
  local b = car:balance()
  refuses(b, "front_shar", 'did you mean "front_share"?')
  refuses(b, "cross_weight")
  refuses(b.sd, "front_shar", 'did you mean "front_share"?')
  refuses(car:book(), "row", 'did you mean "rows"?')
  refuses(car:corners(), "lef", 'did you mean "left"?')
  refuses(car:checks(), "stat", 'did you mean "state"?')
  refuses(sy.compare{car, car:move("tub", {back = 10})}, "row", 'did you mean "rows"?')
  refuses(car:stands{at = {"lf", "rf", {-900, 400}, {-900, -330}}}, "margins", 'did you mean "margin"?')
  refuses(sy.hang_cg{lines = {{from = {0, 0, 0}, to = {0, 0, -500}}, {from = {100, 0, 0}, to = {0, 0, -100}}}}, "gc", 'did you mean "cg"?')
end)

test("what_a_result_leaves_out_is_nil", function()
  local b = odd(true):balance()
  check.equal(b.lf, nil)
  check.ok(b.f > 0)
  check.equal(b.cross_share, nil)
  check.equal(b.sd.lf, nil)
  check.equal(b.l2, nil, "a wheel of a vehicle with more axles")
  check.equal(odd():book().by_scale, nil)
  check.equal(odd():checks()[2], nil)
end)

test("lists_and_loops_see_a_plain_table", function()
  local b, count = odd():balance(), 0
  for key, value in pairs(b) do
    check.ok(rawget(b, key) == value, key)
    count = count + 1
  end
  local raw = 0
  for _ in next, b do raw = raw + 1 end
  check.equal(count, raw)
  local rows = 0
  for _ in ipairs(odd():checks()) do rows = rows + 1 end
  check.equal(rows, 1)
  check.equal(json.decode(json.encode(b)).mass, b.mass)
end)

-- The sheet of the core has all in one go.
local function holds(whole, part, path)
  for key, value in pairs(part) do
    local is = whole[key]
    if type(value) == "table" then holds(is, value, path .. key .. ".") else check.equal(is, value, path .. key) end
  end
end

test("what_comes_when_looked_at_is_what_the_whole_sheet_says_in_any_order", function()
  local core = require "steelyard.core"
  for _, one_wheel in ipairs{false, true} do
    local car = odd(one_wheel):move("engine", {back = 137})
    local sheet = core.balance(car._.now, car._.geometry)
    holds(car:balance(), sheet, "")
    for key in pairs(sheet) do
      local b = car:balance()
      if type(sheet[key]) == "table" then holds(b[key], sheet[key], key .. ".") else check.equal(b[key], sheet[key], key) end
      check.equal(json.encode(b), json.encode(car:balance()), key .. " first")
    end
    check.equal(car:balance().heading, car:heading())
    check.equal(table.concat(car:balance().notes, "\n"):find(car:balance().corner_basis, 1, true), 1)
  end
end)

test("what_a_script_has_set_stays", function()
  local b = odd():balance()
  b.axle, b.notes, b.sd.cg = "mine", {"mine"}, "mine"
  check.ok(b.cg.x and b.inertia.xx and b.sd.axle.front)
  check.equal(b.axle, "mine")
  check.equal(b.sd.cg, "mine")
  check.equal(json.decode(json.encode(b)).notes[1], "mine")
end)

test("a_car_without_mass_has_no_balance_and_is_named", function()
  local car = odd():without "tub":without "engine"
  for _, ask in ipairs{function() return car:balance() end, function() return sy.compare{odd(), car} end} do
    check.raises(ask, {code = "missing", message = "nothing aboard has a mass"})
  end
end)

test("notes_of_a_comparison_are_there_for_loops", function()
  local car = odd()
  local result, seen = sy.compare{car, car:move("engine", {back = 10})}, {}
  for key in pairs(result) do seen[key] = true end
  check.ok(seen.notes and seen.rows and #result.notes > 0)
  local again = sy.compare{car, car:move("engine", {back = 10})} -- what was asked of the first car is kept
  check.equal(json.encode(result), json.encode(again))
  check.equal(tostring(result), tostring(again))
end)

check.done()
