-- Vehicle files that are only data: read as such they are what the sandbox makes of them, and all others go to the sandbox.
--
-- The measure is the sandbox, which runs the text in Lua itself.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"

local function read_all(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end
local language = require "steelyard.file.language"
local function read_with(code) return {code = code, words = language.words, sorts = language.sorts} end
local words = read_with(read_all "lua/steelyard/file/vocabulary.lua")

-- what is read without a sandbox, or nil
local function as_data(text)
  local fine, raw = pcall(core.run_file, text, "car.lua", read_with(function() error "asked for the words" end))
  return fine and raw or nil
end

local function in_sandbox(text) return core.run_file(text, "car.lua", words, {}) end

-- equal with metatables, kinds of numbers and signs of zeros
local function same(a, b, where)
  if type(a) ~= "table" then
    local equal = math.type(a) == math.type(b) and a == b and (a ~= 0 or 1 / a == 1 / b)
    return equal or error(("%s: %s and %s"):format(where, a, b))
  end
  assert(getmetatable(a) == getmetatable(b), where)
  for key, value in next, a do same(value, rawget(b, key), where .. "." .. tostring(key)) end
  for key in next, b do assert(rawget(a, key) ~= nil, where .. "." .. tostring(key)) end
  return true
end

local data = {
  "vehicle {}", "vehicle({})", "-- a car\nvehicle { -- all of it\n}", "vehicle {}\n\n",
  "vehicle { a = 1, b = -1, c = 1.5, d = -0.0, e = 0x1F, f = 1e3, g = .5, h = 9223372036854775807, i = 9223372036854775808 }",
  "vehicle { a = 0.4 / 0.745, b = 2 * 3, c = 7 / 2 * 3, d = -2 * -3, e = 1e400, f = 6 / 3 }",
  "vehicle { 'one', \"two\"; 'three', [\"front jack\"] = {1, 2, 3}, x = true, y = false, z = unknown }",
  "vehicle { parts = { part \"a\" { mass = sd(1, 0.1) }, part('b') { mass = within(2, 1) }, part 'c' ({ mass = unknown }), part \"d\" } }",
  "vehicle {\n parts = { group 'g' {\n at = {0, 0, 0},\n part 'a' { mass = 1,\n shape = box\n {1, 2, 3} },\n tank 't' {},"
    .. " person 'p' {} } },\nstates = { state 's' {} }, limits = { limit 'l' {} },"
    .. " more = from_csv 'parts.csv', again = from_csv 'x' { decimal = ',' } }",
  "vehicle { " .. ("a%d = %d, "):rep(40):gsub("%%d", function() return "1" end):gsub("a1", "a") .. " }",
  "vehicle { " .. ("1, "):rep(100) .. " }",
  "vehicle { part 'a' { shape = tube {diameter = 30, wall = 2, length = 500} }, mesh {\"sump.stl\", unit = \"mm\"} }",
  "vehicle { title = 'Wägen 1', note = '-- no comment' }\r\n",
  "vehicle { a = 2*inch, b = -30*lb, c = 1.5*mm, d = 2 * 3*us_gallon/4, e = 0.74*kg/litre, f = 5*N/mm, g = 30/lb, h = 2*mm/mm }",
  "vehicle { a = sd(30*lb, 0.2*lb), b = within(3*mm, 1*inch), c = {x = 3*m, 2*ft}, d = within(-2.5*deg, 1*rad), e = sd(1*kg, 5*g) }",
  "vehicle { a = 'it\\'s', b = \"6\\\" pipe\", c = 'a\\\\b\\tc\\nd', part 'x\\'y' { mass = 1*kg }, part(\"\\\"\") }",
}

local keys = {}
for i = 1, 60 do keys[i] = ("key%d = %d, %d"):format(i, i, 100 + i) end
data[10] = "vehicle { " .. table.concat(keys, "; "):gsub("(%d), (%d)", "%1; x%2 = 0, 'y', %2", 1):gsub(", 1", "; 'n', 1") .. " }"

for i, text in ipairs(data) do
  check.test(("file_of_data_%d_is_what_the_sandbox_makes_of_it"):format(i), function()
    local fine, wanted = pcall(in_sandbox, text)
    assert(fine and not wanted.silent_error, text)
    local raw = as_data(text)
    check.ok(raw ~= nil, text)
    same(raw, wanted, "raw")
  end)
end

check.test("demo_vehicles_are_read_as_data_and_the_same_either_way", function()
  for _, name in ipairs{"first_guess", "twayblade", "burnet", "teasel", "fescue", "bistort", "history/sedge-2024-03-14"} do
    local text = read_all("vehicles/" .. name .. ".lua")
    local raw = as_data(text)
    check.ok(raw ~= nil, name)
    same(raw, in_sandbox(text), name)
  end
end)

-- more than data, lost without a word, or wrong: the sandbox decides and tells
local others = {
  "", "vehicle", "vehicle {", "vehicle }", "vehicle {} vehicle {}", "vehicle {},", "return vehicle {}", "local a = 1 vehicle {}",
  "vehicle { a = 1, a = 2 }", "vehicle { [\"a\"] = 1, a = 2 }", "vehicle { mass = 12,5 }", "vehicle { a = -12,5 }",
  "vehicle { at = {x = 1, 2} }", "vehicle { a = b }", "vehicle { a = inch*2 }", "vehicle { a = 2*inches }", "vehicle { a = 1 + 2 }",
  "vehicle { a = 2^3 }", "vehicle { a = 2*mm^2 }", "vehicle { a = sd(1*kg, 1) }", "vehicle { a = sd(1*kg, 1*mm) }",
  "vehicle { a = sd(1*kg, -1*kg) }",
  "vehicle { a = sd(1, 2)*kg }", "vehicle { a = mm }", "vehicle { ['a\\'b'] = 1 }",
  "vehicle { a = 7 // 2 }", "vehicle { a = nil }", "vehicle { [1] = 2 }", "vehicle { [2*3] = 2 }", "vehicle { end = 2 }",
  "vehicle { a = function() end }", "vehicle { a = '\\65' }", "vehicle { a = '\\z ' }", "vehicle { a = [[long]] }",
  "vehicle { a = 'open }",
  "vehicle {} --[[ open", "vehicle { a = 1 b = 2 }", "vehicle { a == 1 }", "vehicle { a = 0x }", "vehicle { a = 3..2 }",
  "vehicle { a = 5and }", "vehicle { a = - -5 }", "vehicle { a = -'5' }", "vehicle { a = #'x' }", "vehicle { sd(1, -1) }",
  "vehicle { sd(1) }", "vehicle { sd(1, 2, 3) }", "vehicle { sd(1, 1e999) }", "vehicle { sd('1', 2) }", "vehicle { part {} }",
  "vehicle { part 'a' 'b' }", "vehicle { part 'a' {} {} }", "vehicle { part ('a', 'b') {} }", "vehicle { part 5 {} }",
  "vehicle { box 5 }", "vehicle { box }", "vehicle { prat 'a' {} }", "vehicle { part 'a' .. 'b' }", "vehicle { (part 'a') }",
  "vehicle 'x' {}", "vehicle { unknown {} }", "vehicle { true {} }", "vehicle { ,}", "vehicle { a = }", "vehicle { a = ; }",
  "vehicle { a.b = 1 }", "vehicle { " .. ("{"):rep(70) .. ("}"):rep(70) .. " }", "vehicle { a = " .. ("1"):rep(200) .. " }",
  "vehicle { " .. ("{}, "):rep(70000) .. " }",
}

check.test("file_of_more_than_data_goes_to_the_sandbox", function()
  for _, text in ipairs(others) do check.ok(as_data(text) == nil, text:sub(1, 60)) end
end)

check.test("file_read_as_data_says_the_same_of_a_mistake_further_on", function()
  local sy = require "steelyard"
  local text = "vehicle {\n axles = { { name = 'front', at = 0, track = 1400, loaded_radius = 300 },\n"
    .. " { name = 'rear', at = 2400, track = 1400, loaded_radius = 300 } },\n parts = { part 'a' {\n mass = -5, at = {0, 0, 0} } } }"
  check.ok(as_data(text) ~= nil)
  local fine, message = pcall(sy.load, "car.lua", text)
  check.equal({fine, tostring(message)}, {false, "car.lua:5: part \"a\", mass: must be 0 kg or more, is -5 kg"})
end)

check.done()
