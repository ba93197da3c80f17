-- Texts with other values in them: what comes out reads as what was asked for, and what was not asked for stays byte for byte.
--
-- The measure is the reader of vehicle files itself (core.run_file): 1,000 random texts of tables in tables, items, comments and odd
-- commas, each with random values replaced, added, taken out and moved, are read again and compared with the tables that were to be
-- written.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local load = require "steelyard.car.load"
local text_edits = require "steelyard.file.text_edits"
local user_values = require "steelyard.file.user_values"
local written = require "steelyard.file.written"
local test = check.test

local TEXTS = tonumber(arg[1]) or 1000

local dice = dofile("tests/lua/dice.lua")(5)
local below, pick, chance = dice.below, dice.pick, dice.chance

-- ---- random texts -----------------------------------------------------------------------------------------------------------

local blanks = {" ", "  ", "\n    ", " --[==[ } , = ]==] ", " -- part \"x\" { a = 1 }\n", ""}
local function gap() return pick(blanks) end

-- alone: without a key. A bare number behind `a = 1` would be a decimal comma, so numbers stand in lists of their own.
local function scalar(alone)
  if alone then return pick{"sd(3, 0.1)", "unknown", "true", "\"text, { }\"", "'it\\'s'", "box {1, 2, 3}"} end
  return pick{"{1, -2.5, --[==[ 3 ]==] 30*lb}", "1", "-2.5", "30*lb", "sd(3, 0.1)", "within(2*mm, 1*inch)", "unknown", "true",
              "\"text, { }\"", "'it\\'s'", "box {1, 2, 3}", "0.7*kg/litre"}
end


local value

local function entries(depth, items)
  local list, used = {}, {}
  for _ = 1, below(5) do
    local key = pick{"a", "b", "c", "long name", "mass", "at"}
    if not used[key] then
      used[key] = true
      local left = key:find " " and ("[\"%s\"]"):format(key) or key
      list[#list + 1] = left .. gap() .. "=" .. gap() .. value(depth + 1, false)
    end
  end
  for _ = 1, below(4) do table.insert(list, 1 + below(#list + 1), value(depth + 1, items, true)) end
  return list
end

local function braces(depth, items)
  local list, out = entries(depth, items), {"{", gap()}
  for i, entry in ipairs(list) do
    out[#out + 1] = entry .. gap()
    if i < #list or chance(30) then out[#out + 1] = pick{",", ",", ";"} .. gap() end
  end
  out[#out + 1] = "}"
  return table.concat(out)
end

-- In a list of items all that stands alone is an item.
function value(depth, items, alone)
  if items then
    local name = pick{"x", "y", "two words", "a \\\"q\\\""}
    local inside = braces(depth, depth < 4 and chance(40))
    return ("%s %s\"%s\"%s%s"):format(pick{"part", "group", "tank"}, gap(), name, gap(), inside)
  end
  if depth < 4 and chance(25) then return braces(depth, chance(50)) end
  return scalar(alone)
end

-- A comment to the end of its line before what must be on that line would hide it: such gaps end the line themselves.
local function random_text()
  return "-- first\nvehicle " .. braces(0, chance(70)) .. gap() .. "\n"
end

-- ---- random drafts ------------------------------------------------------------------------------------------------------------

local is_item, is_plain = user_values.is_item, user_values.is_plain

local function copied(v, from)
  if not (is_item(v) or is_plain(v)) then return v end
  local copy = {}
  for key, inside in next, v do copy[key] = copied(inside, from) end
  from[copy] = v
  return setmetatable(copy, getmetatable(v))
end

local function tables_in(v, list)
  if is_item(v) then v = rawget(v, "fields") end
  list[#list + 1] = v
  local keys = {}
  for key, inside in next, v do
    if is_item(inside) or is_plain(inside) then keys[#keys + 1] = key end
  end
  table.sort(keys, function(a, b) return tostring(a) < tostring(b) end) -- the same in every run
  for _, key in ipairs(keys) do tables_in(v[key], list) end
  return list
end

local function new_item()
  return setmetatable({kind = "part", name = "new", line = 0, file = false, fields = {mass = below(100), at = {1, 2, 3}}},
    core.vocabulary_functions.marked "item")
end

local function has_items(t)
  for i = 1, #t do if is_item(t[i]) then return true end end
  return false
end

-- Changes one of the tables; gives what was taken out of a list of items, to stand elsewhere.
-- What is new is written anew with all in it, so nothing old goes there.
local function change(list, loose, from)
  local t = pick(list)
  local keys = {}
  for key in next, t do if type(key) == "string" then keys[#keys + 1] = key end end
  table.sort(keys)
  local what = below(6)
  if what == 0 and #keys > 0 then t[pick(keys)] = pick{#t == 0 and below(1000) or true, "other", written.uncertain(below(50), 0.5)}
  elseif what == 1 and #keys > 0 then t[pick(keys)] = nil
  elseif what == 2 then t[pick{"new", "note", "odd key"}] = pick{below(10), "said \"so\"", {1, 2}}
  elseif what == 3 and #t > 0 and not has_items(t) then t[1 + below(#t)] = "text " .. below(1000)
  elseif what == 4 and has_items(t) then
    local item = table.remove(t, 1 + below(#t))
    if is_item(item) then loose[#loose + 1] = item end
  elseif what == 5 and (has_items(t) or #t == 0) then
    table.insert(t, 1 + below(#t + 1), #loose > 0 and from[t] and chance(50) and table.remove(loose) or new_item())
  end
end

local function same(a, b, where)
  if type(a) ~= "table" then
    return a == b and math.type(a) == math.type(b) or error(("%s: %s and %s"):format(where, a, b))
  end
  if getmetatable(a) ~= getmetatable(b) then error(where) end
  for key, inside in next, a do
    if key ~= "line" then same(inside, rawget(b, key), where .. "." .. tostring(key)) end
  end
  for key in next, b do
    if rawget(a, key) == nil then error(where .. "." .. tostring(key)) end
  end
  return true
end

local function read(text) return load.raw(text, "random.lua") end

test("random_texts_edited_read_as_the_tables_that_were_asked_for", function()
  local tried = 0
  for i = 1, TEXTS do
    local text = random_text()
    local fine, raw, is_data = pcall(read, text)
    if fine and is_data then
      tried = tried + 1
      local from, loose = {}, {}
      local draft = copied(raw.vehicle, from)
      check.equal(text_edits.apply(text, raw.vehicle, draft, {from = from}), text)
      for _ = 1, 1 + below(5) do change(tables_in(draft, {}), loose, from) end
      local out = text_edits.apply(text, raw.vehicle, draft, {from = from})
      local good, again, data = pcall(read, out)
      local equal, why = good, again
      if good then equal, why = pcall(same, rawget(draft, "fields"), rawget(again.vehicle, "fields"), "vehicle") end
      check.ok(equal and data, ("text %d: %s\n%s\n---- became ----\n%s"):format(i, tostring(why), text, out))
    end
  end
  check.ok(tried > TEXTS / 2, ("%d texts that are data"):format(tried))
end)

test("item_that_is_to_be_written_anew_is_the_only_one_that_is", function()
  local text = "vehicle { parts = { part \"a\" { mass = 1, --[[ x ]] at={1,2,3} }, part \"b\" { mass=2 } } }"
  local raw = read(text)
  local from = {}
  local draft = copied(raw.vehicle, from)
  local first = rawget(draft, "fields").parts[1]
  check.equal(text_edits.apply(text, raw.vehicle, draft, {from = from, anew = {[first] = true}}),
    "vehicle { parts = { part \"a\" { mass = 1, at = {1, 2, 3} }, part \"b\" { mass=2 } } }")
end)

-- ---- where things stand ---------------------------------------------------------------------------------------------------------

test("map_gives_the_bytes_of_entries_and_braces", function()
  local text = "vehicle { a = 'x' , [\"b c\"] = 2*mm; part \"p\" { 1, -2 --[[ } ]] } }"
  local map = core.source_map(text)
  local function piece(constructor, key)
    local from, first, last, behind = map:span(constructor, key)
    return {text:sub(from, behind), text:sub(first, last)}
  end
  check.equal(piece(0, "a"), {"a = 'x' ,", "'x'"})
  check.equal(piece(0, "b c"), {"[\"b c\"] = 2*mm;", "2*mm"})
  check.equal(piece(0, 1)[1], "part \"p\" { 1, -2 --[[ } ]] }")
  check.equal(piece(1, 2), {"-2", "-2"})
  check.equal(table.pack(map:span(0, "d")).n, 0)
  local opening, closing = map:braces(1)
  check.equal(text:sub(opening, closing), "{ 1, -2 --[[ } ]] }")
  check.equal(table.pack(core.source_map "vehicle { a = 1":braces(0)).n, 0, "never closed")
end)

test("number_keeps_its_unit_word_where_its_digits_can_say_it", function()
  local raw = read "vehicle { a = 70*inch, b = 12.5*cm, c = sd(3*lb, 0.1*lb), d = within(5, 0.3), e = 1/3 }"
  local fields = rawget(raw.vehicle, "fields")
  local function over(key, new, unit, room) return written.value(written.number_over(fields[key], new, unit, room), "", "\n") end
  check.equal(over("a", 1803.4, "mm", 4e-10), "71*inch")
  check.equal(over("a", 1800, "mm", 4e-10), "70.86614173228*inch")
  check.equal(over("b", 126.3, "mm", 4e-10), "12.63*cm")
  check.equal(over("c", 4 * 0.45359237, "kg", 0), "sd(4*lb, 0.1*lb)")
  check.equal(over("d", 6.5, "kg", 0), "within(6.5, 0.3)")
  check.equal(over("e", 0.1, "kg", 0), "0.1")
end)

check.done()
