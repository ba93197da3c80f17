-- Plain parts of long lists are kept as rows (lua/reader/plain_lines.h): the car has the same bits, and mistakes the same words.
--
-- The measure is the way that reads one entry after the other, which the other tests hold against what is outside of the project.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local core = require "steelyard.core"
local contents = require "steelyard.car.contents"

local plain_lines = core.plain_lines

-- f() with every entry of every list read by itself
local function one_by_one(f)
  core.plain_lines = function() -- luacheck: ignore 122
    return {take = function() return 0 end}
  end
  local fine, result = pcall(f)
  core.plain_lines = plain_lines -- luacheck: ignore 122
  if not fine then error(result, 0) end
  return result
end

local MANY = 130

-- What is plain and what is not, by turns.
local function entry(i, name)
  local fields = {mass = 0.137 * i, at = {10 * i % 2400 + 0.5, 7 - i % 300, 200 + i % 11}}
  if i % 2 == 0 then fields.mass = sy.sd(fields.mass, 0.003 * i) end
  if i % 3 == 0 then fields.at[1] = sy.sd(fields.at[1], 0.25) end
  if i % 5 == 0 then fields.at[2] = sy.within(fields.at[2], 1.5) end
  if i % 7 == 0 then fields.within_mm = 3 end
  if i % 11 == 0 then fields.mass = sy.within(2.25, 0.5) end
  if i % 4 == 1 then fields.basis = "weighed" end
  if i % 13 == 12 then fields.tags = "loose" end
  if i % 17 == 16 then fields.shape = sy.box {30, 20, 10} end
  if i % 19 == 18 then fields.pair = true end
  if i % 23 == 22 then fields.mass = sy.unknown end
  if i % 29 == 28 then fields.at = {x = 5, y = 6, z = 7} end
  return sy.part(name or "line " .. i)(fields)
end

local function fields_of(change)
  local inside, top = {}, {}
  for i = 1, MANY do inside[i], top[i] = entry(i), entry(i + MANY) end
  inside.at, inside.turned = {100, 20, 30}, {nose_left = 12}
  top[MANY + 1] = sy.group "box" (inside)
  local fields = {
    title = "Lines (invented)", axes = {x = "back", y = "right", z = "up"}, assume = {estimate = "8 %", within_mm = 4},
    axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
    parts = top, spares = {sy.part "spare" {mass = 3, at = {0, 0, 300}}},
    states = {sy.state "light" {without = {"line 10", "box/line 20", "loose"}}},
  }
  if change then change(fields, inside, top) end
  return fields
end

local function car_of(change) return sy.car(fields_of(change)) end

-- Without what only one of the ways has.
local function nodes_of(car)
  local list = {}
  for i, node in ipairs(contents.inside(car).shared.nodes) do
    local copy = {}
    for key, value in pairs(node) do copy[key] = key ~= "children" and value or nil end
    copy.children = node.children and #node.children
    list[i] = copy
  end
  return list
end

local function answers(car)
  local b = car:balance()
  local list = {core.shortest(b.mass), core.shortest(b.cg.x), core.shortest(b.cg.y), core.shortest(b.cg.z), core.shortest(b.yaw_inertia)}
  for _, name in ipairs{"mass", "front_share", "left_share", "yaw_inertia"} do list[#list + 1] = core.shortest(b.sd[name]) end
  return table.concat(list, " ")
end

check.test("long_list_is_the_same_car", function()
  local fast, slow = car_of(), one_by_one(car_of)
  check.ok(contents.inside(fast).shared.nodes.runs, "rows are kept")
  check.ok(not contents.inside(slow).shared.nodes.runs, "the measure has none")
  check.equal(answers(fast), answers(slow))
  check.equal(answers(fast:state "light"), answers(slow:state "light"))
  check.equal(tostring(fast:book()), tostring(slow:book()))
  check.equal(nodes_of(fast), nodes_of(slow))
end)

check.test("long_list_is_the_same_car_where_parts_have_usual_shapes", function()
  local function usual(fields) fields.assume.shape = "density" end
  check.equal(answers(car_of(usual)), answers(one_by_one(function() return car_of(usual) end)))
end)

check.test("edits_of_rows_are_those_of_nodes", function()
  local function edited(car)
    car = car:move("line 150", {back = 25}):set("box/line 33", {mass = 7.5}):set("line 160", {at = {1, 2, 3}}):without "line 170"
    car = car:add(sy.part "one more" {mass = 1.5, at = {400, 10, 250}}):swap("line 172", "spare"):set("line 173", {basis = "supplier"})
    return answers(car) .. tostring(car:book())
  end
  check.equal(edited(car_of()), one_by_one(function() return edited(car_of()) end))
end)

-- The user's tables are read once: what becomes of them later does not change the car.
check.test("rows_do_not_follow_the_users_tables", function()
  local given
  local car = car_of(function(_, inside) given = inside end)
  local before = answers(car)
  for _, item in ipairs(given) do
    item.fields.mass, item.fields.at, item.name = 1e3, {9, 9, 9}, "other"
  end
  check.equal(answers(car), before)
  check.equal(contents.inside(car).shared.nodes[MANY + 3].path, "box/line 2")
end)

local mistakes = {
  {"mass_below_zero", function(_, inside) inside[40] = sy.part "line 40" {mass = -1, at = {0, 0, 0}} end},
  {"place_of_two", function(_, inside) inside[40] = sy.part "line 40" {mass = 1, at = {0, 0}} end},
  {"place_too_far", function(_, inside) inside[40] = sy.part "line 40" {mass = 1, at = {0, 0, 1e9}} end},
  {"misspelt", function(_, inside) inside[40] = sy.part "line 40" {mas = 1, at = {0, 0, 0}} end},
  {"no_mass", function(_, _, top) top[40] = sy.part "line 170" {at = {0, 0, 0}} end},
  {"other_unit", function(_, inside) inside[40] = sy.part "line 40" {mass = "4 kg", at = {0, 0, 0}} end},
  {"name_taken", function(_, inside) inside[40] = entry(41, "line 39") end},
  {"name_taken_behind", function(_, _, top) top[40] = entry(41, "line 139") end},
  {"used_twice", function(_, inside) inside[40] = inside[41] end},
  {"used_twice_in_two_lists", function(_, inside, top) top[40] = inside[41] end},
  {"name_of_an_axle", function(_, inside) inside[44] = entry(2, "rear axle") end},
  {"name_with_a_stroke", function(_, inside) inside[44] = entry(2, "rear/axle") end},
  {"name_too_long", function(_, inside) inside[44] = entry(2, ("n"):rep(101)) end},
  {"tag_is_a_name", function(_, inside) inside[44] = sy.part "tagged" {mass = 1, at = {0, 0, 0}, tags = "line 50"} end},
  {"unknown_name", function(fields) fields.states[1].fields.without = {"line 1000"} end},
  {"ambiguous_name", function(_, inside, top)
    inside[44], top[44] = entry(2, "twin"), entry(2, "twin")
    inside[45] = sy.part "bolted" {mass = 1, at = {0, 0, 0}, bolted_to = {"twin"}}
  end},
  {"nothing_stands_there", function(_, _, top) top[44] = false end},
  {"basis", function(_, inside) inside[44] = sy.part "line 44" {mass = 1, at = {0, 0, 0}, basis = "guess"} end},
}

for _, mistake in ipairs(mistakes) do
  check.test("long_list_with_" .. mistake[1] .. "_says_the_same", function()
    local function said()
      local fine, err = pcall(car_of, mistake[2])
      check.ok(not fine, "is refused")
      local list = {tostring(err)}
      for _, key in ipairs{"code", "message", "file", "line", "part", "field", "hint"} do list[#list + 1] = tostring(err[key]) end
      return table.concat(list, "\n")
    end
    check.equal(said(), one_by_one(said))
  end)
end

-- Words of a script: what is right takes a shorter way than what is wrong, to the same tables.
check.test("words_make_what_the_vocabulary_says", function()
  local item = sy.part "wheel"
  local here = debug.getinfo(1, "Sl")
  check.equal({item.kind, item.name, item.line, item.file, item.fields}, {"part", "wheel", here.currentline - 1, here.short_src, false})
  local fields = {mass = 1}
  check.ok(item(fields) == item and item.fields == fields, "braces")
  check.raises(function() return item {} end, {message = "more than one", part = "wheel"})
  check.raises(function() return sy.part "x" (5) end, {message = "takes its fields in braces"})
  check.raises(function() return sy.part(5) end, {message = "needs a name first"})
  check.raises(function() return sy.sd(1, -1) end, {code = "range", message = "the uncertainty is -1"})
  check.raises(function() return sy.sd(1, 2, 3) end, {message = "got more"})
  check.raises(function() return sy.within("1", 2) end, {message = "within: the value is"})
  check.raises(function() return sy.sd(1, 0 / 0) end, {message = "not a number"})
  local limits = sy.within(3, 6)
  check.equal({limits.value, limits.sd, limits.limits}, {3, 6 / math.sqrt(3), true})
end)

check.done()
