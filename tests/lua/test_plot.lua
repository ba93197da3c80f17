-- result:plot and --plot: the picture of a result.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local sy = require "steelyard"
local test = check.test

local function read(path)
  local file = assert(io.open(path, "rb"))
  local bytes = file:read "a"
  file:close()
  return bytes
end

-- Without the title, which is the result's.
local function marks(path) return (read(path):gsub("<title>.-</title>", "")) end

local car = sy.load "vehicles/twayblade.lua":state "race start"

test("the_picture_of_a_balance_is_the_car_from_the_side", function()
  local path = os.tmpname()
  check.equal(car:balance():plot(path .. ".svg", {width = 120}), path .. ".svg")
  local drawn = os.tmpname() .. ".svg"
  car:draw{width = 120}:save(drawn)
  check.equal(marks(path .. ".svg"), marks(drawn))
  for _, name in ipairs{path, path .. ".svg", drawn} do os.remove(name) end
end)

test("a_file_that_is_there_stays_unless_it_is_to_be_replaced", function()
  local path = os.tmpname() .. ".svg"
  local b = car:balance()
  b:plot(path)
  check.raises(function() b:plot(path) end, {code = "clash", file = path})
  check.equal(b:plot(path, {replace = true}), path)
  os.remove(path)
end)

test("wrong_words_are_named", function()
  local b = car:balance()
  check.raises(function() b:plot("a.svg", {kind = "layot"}) end, {code = "unknown", field = "kind", hint = 'did you mean "layout"?'})
  check.raises(function() b:plot("a.svg", {width = 20}) end, {code = "range", field = "width"})
  check.raises(function() b:plot "a.svgg" end, {code = "unknown", field = "path"})
  check.raises(function() b:plot("a.svg", {kinds = "layout"}) end, {code = "unknown", hint = "kind"})
  check.raises(function() return sy.load("vehicles/first_guess.lua"):guesses().plot end, {code = "unknown", field = "plot"})
end)

test("pictures_keep_the_rules", function()
  local picture = require "steelyard.draw.picture"
  for _, width in ipairs{180, 90} do rules.keep(check, picture.of(car:balance(), {width = width}), "layout") end
end)

test("every_picture_of_the_table_is_a_module_that_draws", function()
  for kind, rows in pairs(require("steelyard.reference.pictures").of) do
    check.ok(require("steelyard.reference.results").schema(kind), kind)
    for _, row in ipairs(rows) do check.equal(type(require("steelyard." .. row[2]).draw), "function", row[2]) end
  end
end)

test("the_command_writes_the_picture_beside_its_answer", function()
  local path = os.tmpname() .. ".svg"
  local ran = check.command(("%s balance vehicles/twayblade.lua --state 'race start' --plot %s"):format(check.steelyard, path))
  check.contains(ran.err, path .. " is written.")
  check.equal(ran.code, 0)
  local drawn = os.tmpname() .. ".svg"
  car:draw{}:save(drawn)
  check.equal(marks(path), marks(drawn))
  os.remove(path)
  os.remove(drawn)
end)

check.done()
