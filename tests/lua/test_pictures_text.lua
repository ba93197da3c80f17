-- Pictures as text of 80, of 120 and of more columns: every word of them whole, none written over another, on cars that differ in all that
-- a picture rests on.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the words that it is laid out with.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local picture = require "steelyard.draw.picture"
local rules = dofile "tests/lua/picture_rules.lua"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

local COLUMNS = {[144] = 80, [216] = 120, [300] = 166} -- of a picture so many mm wide
local twayblade = sy.load "vehicles/twayblade.lua"

local cars = {twayblade:state "race start", sy.load "vehicles/burnet.lua", sy.load "vehicles/first_guess.lua",
              sy.load "vehicles/bistort.lua", rules.restated "vehicles/burnet.lua"}

local function readable(d, what)
  for line in d:text():gmatch "[^\n]+" do check.equal(utf8.len(line) <= COLUMNS[d.width], true, line) end
  rules.a_terminal_shows_every_text(check, d, what)
end

test("views_are_read_at_80_and_120_columns", function()
  for i, car in ipairs(cars) do
    for _, view in ipairs{"side", "plan", "front", "beam"} do
      for width in pairs(COLUMNS) do readable(car:draw{view = view, width = width}, ("car %d, %s, %d"):format(i, view, width)) end
    end
  end
end)

test("pictures_of_the_shop_are_read_at_80_and_120_columns", function()
  local results = {twayblade:markout{state = "mock-up", trolleys = {-150, 2600}}, twayblade:state "kerb":perches{cross_share = 51.5}}
  for _, car in ipairs(cars) do
    for _, ask in ipairs{"clearances", "shafts", "markout"} do results[#results + 1] = car[ask](car) end
    results[#results + 1] = rules.lifted(car)
  end
  results[#results + 1] = cars[2]:corners{}
  for i, result in ipairs(results) do
    for width in pairs(COLUMNS) do
      local d = picture.of(result, {width = width})
      readable(d, ("%s %d, %d"):format(d.picture, i, width))
    end
  end
end)

-- A heading of a table stands over its column: the same numbers that the paper has, in their order, in one row.
test("a_table_keeps_its_rows_in_text", function()
  local result = twayblade:markout{state = "mock-up", trolleys = {-150, 2600}}
  local shown = picture.of(result, {width = 144}):text()
  for _, row in ipairs(result) do
    local numbers = {}
    for i, value in ipairs{row.x, row.y, row.height, row.tapes.a, row.tapes.b} do numbers[i] = text.fixed(value, 0) end
    local found = false
    for line in shown:gmatch "[^\n]+" do
      found = found or line:find(table.concat(numbers, " +"):gsub("%-", "%%-")) ~= nil
    end
    check.equal(found, true, row.name)
  end
end)

check.done()
