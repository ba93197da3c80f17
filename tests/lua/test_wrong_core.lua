-- steelyard.core is called by steelyard's own modules with what they have checked; a script that calls it otherwise gets an error, never
-- undefined behaviour (run under the sanitizers by `make sanitize`). Every function and method is called as the modules call it, recorded
-- here, with each argument and each value inside one replaced by something else.
-- Under the command alone: what the functions take does not depend on who runs it.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"

-- ---- recording ------------------------------------------------------------------------------------------------------------

-- Of each function that are kept. Undefined behaviour is seen under the sanitizers; elsewhere one call shows that an error comes.
local MOST_CALLS = (os.getenv "STEELYARD" or ""):find("sanitize", 1, true) and 3 or 1
local recorded, names, methods = {}, {}, {}

local function copy(value, depth)
  if type(value) ~= "table" or depth > 6 then return value end
  local t = {}
  for k, v in next, value do t[k] = copy(v, depth + 1) end
  return setmetatable(t, getmetatable(value))
end

-- Calls that end the process, or are about the process as a whole.
local left_alone = {fail = true}

local wrap_methods

local function wrap(name, f)
  recorded[name], names[#names + 1] = {}, name
  return function(...)
    local calls = recorded[name]
    if #calls < MOST_CALLS then
      local call = table.pack(...)
      for i = 1, call.n do call[i] = copy(call[i], 0) end
      calls[#calls + 1] = call
    end
    local results = table.pack(f(...))
    for i = 1, results.n do
      if type(results[i]) == "userdata" then wrap_methods(results[i]) end
    end
    return table.unpack(results, 1, results.n)
  end
end

local plain = {} -- name -> the function itself

function wrap_methods(handle)
  local meta = debug.getmetatable(handle)
  local index = type(meta) == "table" and meta.__index
  if type(index) ~= "table" or methods[index] then return end
  methods[index] = true
  local list = {}
  for name, f in pairs(index) do if type(f) == "function" then list[#list + 1] = {name, f} end end
  table.sort(list, function(a, b) return a[1] < b[1] end)
  for _, entry in ipairs(list) do
    local name = (meta.__name or "handle") .. ":" .. entry[1]
    plain[name] = entry[2]
    index[entry[1]] = wrap(name, entry[2])
  end
end

local all = {}
for name, f in pairs(core) do
  if type(f) == "function" and not left_alone[name] then all[#all + 1] = name end
end
table.sort(all)
for _, name in ipairs(all) do
  plain[name] = core[name]
  core[name] = wrap(name, core[name])
end

-- What the modules do: every call that a user has.
local sy = require "steelyard"
local right = dofile "tests/lua/right_calls.lua".of(sy)
for _, case in ipairs(right) do
  local name = case[1]
  local fine, answer
  if name:find "^car:" then
    fine, answer = pcall(function() return case[2][name:sub(5)](table.unpack(case, 2)) end)
  else
    fine, answer = pcall(function() return sy[name:sub(4)](table.unpack(case, 2)) end)
  end
  if fine then pcall(tostring, answer) end -- printing calls core too
end
for _, name in ipairs{"twayblade", "burnet", "fescue"} do
  local car = sy.load("vehicles/" .. name .. ".lua")
  tostring(car:book())
  tostring(car:balance())
  pcall(function() tostring(require("steelyard.answers.book.csv").text(car:book())) end)
end
sy.load("x.lua", "local z = 1\nvehicle { axles = {{name = 'f', at = 0, track = 1, loaded_radius = 1}, {name = 'r', at = 9, track = 1,"
  .. " loaded_radius = 1}}, parts = {part 'a' {mass = 1, at = {1, 0, 1}, inertia = {xx = 1, yy = 1, zz = 1}}} }")
do -- what these calls did not need
  local c = require("steelyard.car.contents").inside(sy.load "vehicles/twayblade.lua")
  core.cardan(10)
  core.cardan_pair(10, 12, 3)
  core.student(0.975, 5)
  local map = core.source_map "vehicle { parts = { part 'a' { mass = 1 } } }"
  map:entry(map:find("part", "a", 1), "mass")
  map:span(0, "parts")
  map:braces(0)
  core.stated(c.now, c.now:items(false)[2].route, c.geometry, {into = "", turned = {nose_up = 1}, alone = {1, 0, 0, 0, 1, 0, 0, 0, 1}})
  core.is_link "vehicles"
  c.geometry:left_handed()
  c.now:tagged "x"
  core.same_sums(c.now, "", c.now, "", 1)
  core.vocabulary_functions.nearest("x", {"y"})
end
for name, f in pairs(plain) do -- from here on the functions themselves
  if not name:find(":", 1, true) then core[name] = f end
end

-- ---- replacing ------------------------------------------------------------------------------------------------------------

local strange = {
  true, 0, -1, 2, 1e308, 0 / 0, math.huge, math.maxinteger, math.mininteger, 2 ^ 31, 2 ^ 32 + 1, 1000000, 0.5, "", "x", "a\0b",
  ("\0\1\0\0"):rep(40), "\xff\xff\xff\xff", {}, {{}}, {1, 2, 3}, {[2] = "x"}, {[0] = 1}, function() end, io.stdout,
  setmetatable({}, {__len = function() return 1 << 40 end}), setmetatable({}, {__len = function() return -5 end}),
  setmetatable({}, {__index = function() return 1e18 end, __len = function() return 3 end}),
}
local absent = {}
strange[#strange + 1] = absent

local handles = {} -- one of each kind of userdata
local function note_handles(value, depth)
  if type(value) == "userdata" then
    local meta = debug.getmetatable(value)
    local kind = meta and meta.__name or tostring(meta)
    if not handles[kind] then
      handles[kind] = true
      strange[#strange + 1] = value
    end
  elseif type(value) == "table" and depth < 5 then
    for _, v in next, value do note_handles(v, depth + 1) end
  end
end
table.sort(names)
for _, name in ipairs(names) do
  for _, call in ipairs(recorded[name]) do for i = 1, call.n do note_handles(call[i], 0) end end
end

local function replaced(value, path, at, by)
  if at > #path then
    if by == absent then return nil end
    return by
  end
  local t = {}
  for k, v in next, value do t[k] = v end
  t[path[at]] = replaced(value[path[at]], path, at + 1, by)
  return setmetatable(t, getmetatable(value))
end

local MOST_PATHS = 60 -- values looked at in one argument

local function paths_of(value, path, list, depth)
  if #list >= MOST_PATHS then return list end
  list[#list + 1] = {table.unpack(path)}
  if type(value) ~= "table" or depth > 4 then return list end
  local keys = {}
  for k in next, value do keys[#keys + 1] = k end
  table.sort(keys, function(a, b) return tostring(a) < tostring(b) end)
  for i, k in ipairs(keys) do
    if i > 12 then break end
    path[#path + 1] = k
    paths_of(rawget(value, k), path, list, depth + 1)
    path[#path] = nil
  end
  return list
end

local TRACE = os.getenv "TRACE" -- says each call before it is made: the last one crashed

local function each_wrong(name, call, visit)
  for i = 1, call.n do
    for _, path in ipairs(paths_of(call[i], {}, {}, 0)) do
      for k, other in ipairs(strange) do
        local given = table.pack(table.unpack(call, 1, call.n))
        given[i] = replaced(call[i], path, 1, other)
        if TRACE then io.stderr:write(name, " argument ", i, " ", #path, " deep, ", k, " ", tostring(other), "\n") end
        visit(given)
      end
    end
  end
  for n = 0, call.n do -- too few arguments, and too many
    visit(table.pack(table.unpack(call, 1, n)))
  end
end

-- What makes files or reads much is not asked for it.
local slow = {read_file = true, read_beside = true, write_file = true}

local only = os.getenv "ONLY"
if only == "none" then
  local with = {}
  for _, name in ipairs(names) do if #recorded[name] > 0 then with[#with + 1] = name end end
  io.stderr:write("names: ", table.concat(with, " "), "\n")
end
local called = 0
for _, name in ipairs(names) do
  if #recorded[name] > 0 and not slow[name] and (not only or only == name) then
    check.test("core_" .. name:gsub("%W", "_") .. "_with_wrong_arguments_raises_or_answers", function()
      local tried = 0
      for _, call in ipairs(recorded[name]) do
        each_wrong(name, call, function(given)
          tried = tried + 1
          pcall(plain[name], table.unpack(given, 1, given.n))
        end)
      end
      called = called + 1
      check.ok(tried > 0)
      collectgarbage()
    end)
  end
end

check.test("most_functions_of_core_are_called", function()
  local never = {}
  for _, name in ipairs(names) do if #recorded[name] == 0 then never[#never + 1] = name end end
  if TRACE or only then io.stderr:write("never called: ", table.concat(never, " "), "\n") end
  check.ok(only or called >= 105, "called: " .. called .. ", never: " .. table.concat(never, " "))
end)

check.done()
