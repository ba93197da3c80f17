-- Every call of sy and of a car with each of its arguments, and each value inside them, replaced by something else of every type: an
-- answer or an error object, never an internal error. What is right is in right_calls.lua.
-- Under the command alone: half a minute, and what is refused does not depend on who runs it.
-- With one compiler: the sentences are Lua's; test_wrong_core.lua has those of C under both.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"

local right, another, three, sprung = dofile "tests/lua/right_calls.lua".of(sy)

local absent = {} -- stands for nothing at all

local strange = {
  {"nothing", absent}, {"true", true}, {"0", 0}, {"-1", -1}, {"1e308", 1e308}, {"nan", 0 / 0}, {"inf", math.huge},
  {"a huge integer", math.maxinteger},
  {"0.5", 0.5}, {"an empty text", ""}, {"a text", "x"}, {"a zero byte", "a\0b"}, {"a long text", ("y"):rep(5000)},
  {"bad bytes", "\xff"}, {"percent", "50 %"},
  {"an empty table", {}},
  {"a table in a table", {{}}}, {"a list", {1, 2, 3}}, {"a list from 2", {[2] = "x"}}, {"a list from 0", {[0] = {lf = 1}, {lf = 2}}},
  {"named", {x = {}}}, {"a key of another kind", {[true] = 1}},
  {"a function", function() end}, {"a car of another vehicle", another}, {"a car on three axles", three},
  {"another car on springs", sprung}, {"a part", sy.part "x" {mass = 1, at = {0, 0, 0}}}, {"an uncertainty", sy.sd(1, 0.1)},
  {"unknown", sy.unknown}, {"a file handle", io.stdout}, {"a result", another:balance()}, {"a route", core.error_metatable},
}

local function is_plain(value) return type(value) == "table" and getmetatable(value) == nil end

-- A copy of `value` with the value at `path` (a list of keys, from `at` on) replaced.
local function replaced(value, path, at, by)
  if at > #path then return by ~= absent and by or nil end
  local copy = {}
  for k, v in pairs(value) do copy[k] = v end
  local inside = copy[path[at]]
  if type(inside) == "table" and getmetatable(inside) ~= nil and at < #path then inside = rawget(inside, "fields") end
  copy[path[at]] = replaced(inside, path, at + 1, by)
  return copy
end

local function each_path(value, path, visit)
  visit(path)
  if not is_plain(value) then return end
  local keys = {}
  for k in pairs(value) do keys[#keys + 1] = k end
  table.sort(keys, function(a, b) return tostring(a) < tostring(b) end)
  for _, k in ipairs(keys) do
    path[#path + 1] = k
    each_path(value[k], path, visit)
    path[#path] = nil
  end
end

local function show(path)
  local words = {}
  for i, k in ipairs(path) do words[i] = tostring(k) end
  return table.concat(words, ".")
end

-- What goes wrong with a call, or nil.
local function outcome(name, arguments, count)
  local call
  if name:find "^car:" then
    local method = name:sub(5)
    call = function() return another[method](table.unpack(arguments, 1, count)) end
  else
    call = function() return sy[name:sub(4)](table.unpack(arguments, 1, count)) end
  end
  local fine, err = pcall(call)
  if fine then
    if type(err) == "table" and getmetatable(err) and getmetatable(err).__tostring then
      fine, err = pcall(tostring, err)
      if not fine and getmetatable(err) ~= core.error_metatable then return "printing: " .. tostring(err) end
    end
    return nil
  end
  if getmetatable(err) == core.error_metatable then
    local text = tostring(err)
    if text:find "\n" then return "more than a line: " .. text end
    return nil
  end
  return tostring(err)
end

local function try_all(case)
  local name, first = case[1], 2 -- a car itself is an argument too
  local found, tried = {}, 0
  local arguments = table.move(case, 2, #case, 1, {})
  local fine = outcome(name, arguments, #arguments)
  if fine then found[1] = "right: " .. fine end
  local function try(given, what)
    tried = tried + 1
    local wrong = outcome(name, given, math.max(#case - 1, first - 1))
    if wrong and #found < 10 then found[#found + 1] = what .. ": " .. wrong:match "[^\n]*" end
  end
  for i = first, #case do
    each_path(case[i], {}, function(path)
      for _, other in ipairs(strange) do
        local given = table.move(case, 2, #case, 1, {})
        given[i - 1] = replaced(case[i], path, 1, other[2])
        try(given, ("argument %d %s = %s"):format(i - first + 1, show(path), other[1]))
      end
    end)
  end
  for _, other in ipairs(strange) do -- one argument more
    local given = table.move(case, 2, #case, 1, {})
    given[#case] = other[2] ~= absent and other[2] or nil
    tried = tried + 1
    local wrong = outcome(name, given, #case)
    if wrong and #found < 10 then found[#found + 1] = "one more, " .. other[1] .. ": " .. wrong:match "[^\n]*" end
  end
  return found, tried
end

local only = os.getenv "ONLY"
for _, case in ipairs(right) do
  if not only or case[1] == only then
    check.test(case[1] .. "_with_wrong_arguments_raises_no_internal_error", function()
      local found, tried = try_all(case)
      check.ok(tried > 20)
      check.equal(table.concat(found, "\n      "), "")
    end)
  end
end

-- ---- files of readings: each cell replaced ---------------------------------------------------------------------------------

local cells = {"", "0", "-1", "1e308", "0.5", "9", "x", "a\0b"}
local files = {
  ["cg_height.file"] = {"rear_lift"}, ["corner_scales.file"] = {"corners_swapped", "corners_plank", "weighbridge"},
  ["hang_cg.file"] = {"hang_engine"},
  ["part_cg.file"] = {"engine_three_pads", "tub_on_feet"}, ["pendulum.file"] = {"engine_trifilar", "front_wheel_swing", "upright_tensor"},
  ["subtract.file"] = {"battery_before_after", "tank_in_the_tub"}, ["closure.csv"] = {"teardown", "teardown_slip"},
}

local function read(name)
  local file <close> = assert(io.open(name, "rb"))
  return file:read "a"
end

-- Answers of one module for a text in a file.
local function answer(module, text, path)
  local file = assert(io.open(path, "wb"))
  file:write(text)
  file:close()
  local fine, err = pcall(function()
    local of = require("steelyard.measure." .. module)
    return tostring(module == "closure.csv" and sy.closure(of.read(text)) or of.of(path))
  end)
  if fine or getmetatable(err) == core.error_metatable then return nil end
  return tostring(err):match "[^\n]*"
end

for module, names in pairs(files) do
  for _, name in ipairs(names) do
    if not only or only == name then
      check.test("readings_of_" .. name .. "_with_wrong_cells_raise_no_internal_error", function()
        local text, path, found, tried = read("vehicles/readings/" .. name .. ".csv"), os.tmpname(), {}, 0
        found[1] = answer(module, text, path)
        for at, cell, behind in text:gmatch "()([^,\n]+)()" do
          if cell:sub(1, 1) ~= "#" then
            for _, other in ipairs(cells) do
              tried = tried + 1
              local wrong = answer(module, text:sub(1, at - 1) .. other .. text:sub(behind), path)
              if wrong and #found < 10 then found[#found + 1] = ("%s for %s: %s"):format(other:sub(1, 10), cell, wrong) end
            end
          end
        end
        os.remove(path)
        check.ok(tried > 100)
        check.equal(table.concat(found, "\n      "), "")
      end)
    end
  end
end

check.done()
