--- Every option that the reference names is taken by its call, and every one that a call takes is named, with its default: each set of
-- options, tried in a call of its own.
-- Under the command alone: which options a call takes does not depend on who runs it.
-- With one compiler: they are checked in Lua.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local options = require "steelyard.reference.options"

-- What calls without options load of the tables, before anything else here does.
local car = sy.load "vehicles/twayblade.lua"
local printed = tostring(car:balance()) .. tostring(car:corners()) .. tostring(sy.compare{car, car:move("powertrain", {back = 10})})
local loaded = {}
for _, file in ipairs(options.files) do loaded[#loaded + 1] = package.loaded["steelyard.reference.options." .. file] and file or nil end

local sets, order = options.all()
local cases = dofile "tests/lua/call_options.lua".of(sy)

local function names_of(set)
  local list = {}
  for i = 2, #set do list[#list + 1] = set[i][1]:match "^[%a_][%w_]*" end
  return list
end

local function with(t, name, value)
  local copy = {}
  for key, item in pairs(t) do copy[key] = item end
  copy[name] = value
  return copy
end

-- The error object of a call, nil without one.
local function error_of(ask, t)
  local fine, err = pcall(ask, t)
  if fine then return nil end
  if getmetatable(err) ~= core.error_metatable then error(err, 0) end
  return err
end

-- The default of a row where it is a value to write: a number, one of some words, true or false; nil for others.
local function default_of(row)
  local kind, default = row[2], row[4]
  if kind == "boolean" then return default == "true" end
  if kind == "value" or kind == "number" then return tonumber(default) end
  return kind:find('"' .. default .. '"', 1, true) and default or nil
end

-- What a result prints but for its notes, which say what was not stated.
local function answer(result)
  if type(result) == "table" and rawget(result, "notes") then result.notes = {} end
  return tostring(result)
end

local function hint_of(err) return type(err.hint) == "table" and err.hint[1] or err.hint or "" end

check.test("calls_without_options_load_no_table_of_them", function()
  check.ok(#printed > 1000)
  check.equal(table.concat(loaded, ", "), "")
  check.equal(package.loaded["steelyard.reference.calls"], nil, "the table of calls")
end)

check.test("every_set_of_options_is_tried", function()
  local without = {}
  for _, name in ipairs(order) do without[#without + 1] = not cases[name] and name or nil end
  check.equal(table.concat(without, ", "), "")
  for name in pairs(cases) do check.ok(sets[name], name) end
end)

check.test("every_row_has_a_name_a_type_a_unit_a_default_and_a_meaning", function()
  for _, name in ipairs(order) do
    for i, row in ipairs(sets[name]) do
      if i == 1 then check.ok(row:find "^%u.*%.$", name .. ": a sentence, which")
      else
        check.equal(#row, 5, ("%s, row %d"):format(name, i))
        check.ok(row[1]:find "^[%a_][%w_]*%??$" or row[1] == "[integer]", row[1])
        check.ok(row[2] ~= "" and row[5] ~= "", ("%s: type and meaning of %s"):format(name, row[1]))
        if row[1]:find "%?$" then check.ok(row[4] ~= "", ("%s: what holds without %s"):format(name, row[1])) end
      end
    end
  end
end)

local function no_sense() end

local NONE = "qqqqqqqqqqqq" -- near no option

-- Does the error say that there is no such option? As that of another name does.
local function says_unknown(err, option, case)
  local other = error_of(case[2], with(case[1], NONE, 1))
  return err.message == other.message:gsub(NONE, option) and err.field == (other.field and other.field:gsub(NONE, option))
end

-- The names in a hint such as "they are A, B and C" or "it takes travels = {droop =, bump =}".
local function listed_in(hint)
  local names = {}
  hint = hint:gsub("^[%a ]- are ", ""):gsub("^it has ", ""):gsub("^it takes ", ""):gsub("cars in order and ", "")
  for word in hint:gsub(" = %b{}", ""):gsub(" and ", ", "):gmatch "[%a_][%w_]*" do names[#names + 1] = word end
  return names
end

for _, name in ipairs(order) do
  local case, names = cases[name], names_of(sets[name])

  check.test(name .. "_takes_every_option_that_is_listed", function()
    check.equal(error_of(case[2], case[1]), nil, "the right table")
    for _, option in ipairs(names) do
      if not (case.any and case.any[option]) then
        local tried = case.other and case.other[option] or case
        check.equal(error_of(tried[2], tried[1]), nil, option .. ", the right table")
        local err = error_of(tried[2], with(tried[1], option, case.wrong and case.wrong[option] or no_sense))
        check.ok(err, option .. ": a value without sense is refused, which")
        check.ok(err.code ~= "unknown" or not says_unknown(err, option, case), ("%s: %s, which"):format(option, tostring(err)))
      end
    end
  end)

  check.test(name .. "_has_the_defaults_that_are_listed", function()
    check.equal(error_of(case[2], case[1]), nil, "the right table")
    for i = 2, #sets[name] do
      local option, default = names[i - 1], default_of(sets[name][i])
      local tried = case.other and case.other[option] or case
      if default ~= nil and tried[1][option] == nil then
        local err = error_of(tried[2], with(tried[1], option, default))
        if err then check.equal(err.code, "clash", ("%s: %s"):format(option, tostring(err))) -- beside its opposite
        else check.equal(answer(tried[2](with(tried[1], option, default))), answer(tried[2](tried[1])), option) end
      end
    end
  end)

  check.test(name .. "_refuses_other_options_with_the_nearest_one", function()
    for _, option in ipairs(names) do
      local err = check.ok(error_of(case[2], with(case[1], option .. "_", 1)), option .. "_ is refused, which")
      check.equal(err.code, "unknown", tostring(err))
      check.contains(hint_of(err), option)
    end
  end)

  check.test(name .. "_takes_no_option_that_is_not_listed", function()
    local err = check.ok(error_of(case[2], with(case[1], NONE, 1)), "a word like none is refused, which")
    check.equal(err.code, "unknown", tostring(err))
    local named = {}
    for _, option in ipairs(names) do named[option] = true end
    for _, option in ipairs(listed_in(hint_of(err))) do
      -- words of another call that reads this one, of no use here
      check.ok(named[option] or error_of(case[2], with(case[1], option, 1)), option .. " is taken and not listed: its refusal")
      named[option] = nil
    end
    check.equal(next(named), nil, "not taken")
  end)
end

check.done()
