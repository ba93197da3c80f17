-- Tables of a vehicle file as core.read_fields reads them by rows: what is right is taken over in the field's unit, what is wrong is left
-- to the readers in Lua.
--
-- Factors: NIST Special Publication 811 (2008), Appendix B. Limits: u = a / sqrt 3, JCGM 100:2008, 4.3.7.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local language = require "steelyard.file.language"
local sy = require "steelyard"

local limits = {length = 1000, pieces = 12, text = 10, texts = 3}
local rows = {
  {"span", "number", {unit = "mm", min = -5, max = 900}}, {"rate", "number", {unit = "N/mm", above = 0}},
  {"mass", "mass", {unit = "kg", min = 0}}, {"whole", "whole", {unit = "kg", above = 0}}, {"within_mm", "within", {unit = "mm", min = 0}},
  {"at", "point", {required = true}},
  {"basis", "choice", {words = {"guess", "known"}, default = "guess"}}, {"count", "count"}, {"pair", "flag"}, {"name", "text"},
  {"tags", "texts"}, {"share", "fraction"}, {"note", "text"}, {"shape", "shape"},
}
local kind = core.fields_kind(rows, {6, 7}, language.field_units, limits)

local function marked(name, value) return setmetatable(value, core.vocabulary_functions.marked(name)) end
local function amount(value, factor, dims) return marked("amount", {value = value, factor = factor, dims = dims}) end

local function read(from, partial)
  local out = {}
  local rest, bad, missing = core.read_fields(kind, partial, from, out, false)
  return out, rest, bad, missing
end

-- What is read of one field.
local function taken(name, value, partial)
  local out, rest, bad, missing = read({[name] = value}, partial ~= false)
  check.equal(bad, nil)
  check.equal(missing, nil)
  check.equal(rest ~= nil and rest[1] or nil, next(out) == nil and name or nil, name)
  return next(out) ~= nil and out or nil
end

check.test("numbers_are_taken_in_the_unit_of_the_field", function()
  check.equal(taken("span", 12).span, 12.0)
  check.equal(math.type(taken("span", 12).span), "float")
  check.near(taken("span", amount(2, 304.8, "L")).span, 609.6, 1e-12)
  check.near(taken("rate", amount(100, 4.4482216152605 / 25.4, "L-1F")).rate, 17.5126835, 1e-7) -- lbf/inch to N/m: 1.751268 E+02
  check.near(taken("mass", amount(3, 0.45359237, "M")).mass, 1.36077711, 1e-15)
  check.near(taken("within_mm", amount(1, 25.4, "L")).within, 25.4, 1e-13)
end)

check.test("uncertainties_are_taken_beside_the_number", function()
  local out = taken("span", sy.sd(12, 0.5))
  check.equal(out.span_sd, 0.5)
  check.equal(out.span_limits, nil)
  out = taken("span", sy.within(12, 3))
  check.near(out.span_sd, 1.7320508075688772, 1e-15) -- 3 / sqrt 3
  check.equal(out.span_limits, true)
  out = taken("mass", marked("uncertainty", {value = amount(10, 0.45359237, "M"), sd = amount(1, 0.45359237, "M")}))
  check.near(out.mass, 4.5359237, 1e-15)
  check.near(out.mass_sd, 0.45359237, 1e-15)
  out = taken("whole", sy.sd(7, 0.25)).whole
  check.equal(out.value, 7.0)
  check.equal(out.sd, 0.25)
  check.equal(taken("mass", sy.unknown).unknown, true)
end)

check.test("numbers_that_are_wrong_are_left", function()
  for _, wrong in ipairs{-5.1, 900.5, "12", true, 0 / 0, 1 / 0, {}, {12}, sy.unknown, amount(1, 1, "M"), amount("1", 1, "L"),
                         amount(1, 1 / 0, "L"),
                         marked("uncertainty", {value = 1, sd = -1}), marked("uncertainty", {value = 1, sd = amount(1, 1, "L3")}),
                         marked("uncertainty", {value = 1, sd = 0 / 0}), marked("uncertainty", {value = 2000, sd = 1}),
                         marked("uncertainty", {sd = 1})} do
    check.equal(taken("span", wrong), nil)
  end
  check.equal(taken("rate", 0), nil) -- above
  check.equal(taken("within_mm", sy.sd(1, 0.1)), nil) -- its uncertainty has no use, which is remarked
end)

check.test("points_are_taken_as_lists_and_by_letter", function()
  local function point(value, partial)
    local out = taken("at", value, partial)
    if not out then return nil end
    local words = ("%s %s %s / %s %s %s"):format(out.at[1], out.at[2], out.at[3], (out.at_sd or {})[1], (out.at_sd or {})[2],
      (out.at_sd or {})[3])
    return (words:gsub(",", ".")) -- as Lua writes numbers where decimals take a comma
  end
  check.equal(point{1, -2, 3.5}, "1.0 -2.0 3.5 / nil nil nil")
  check.equal(point{z = 3, y = 2, x = 1}, "1.0 2.0 3.0 / nil nil nil")
  check.equal(point{1, sy.sd(2, 0.5), amount(1, 25.4, "L")}, "1.0 2.0 25.4 / nil 0.5 nil")
  check.equal(point{y = sy.sd(2, 0.5)}, "nil 2.0 nil / nil 0.5 nil")
  check.equal(point{4, 5}, "4.0 5.0 nil / nil nil nil")
  for _, wrong in ipairs{{}, {1, 2, 3, 4}, {1, 2, 1001}, {1, 2, "3"}, {1, y = 2}, {1, 2, 3, w = 4}, {x = 1, y = 2, w = 3}, {[2] = 1},
                         {1, nil, 3}, 5, marked("uncertainty", {1, 2, 3})} do
    check.equal(point(wrong), nil)
  end
  -- all three of a whole table
  local _, rest = read{at = {1, 2}}
  check.equal(rest[1], "at")
  _, rest = read{at = {x = 1, z = 2}}
  check.equal(rest[1], "at")
end)

check.test("texts_words_counts_and_shares_are_taken_when_right", function()
  check.equal(taken("name", "ten bytes!").name, "ten bytes!")
  check.equal(taken("note", "a longer text\non two lines").note, "a longer text\non two lines")
  check.equal(table.concat(taken("tags", {"a", "b", "c"}).tags, " "), "a b c")
  check.equal(taken("tags", "one").tags[1], "one")
  check.equal(taken("basis", "known").basis, "known")
  check.equal(taken("count", 12).count, 12)
  check.equal(math.type(taken("count", 2.0).count), "integer")
  check.equal(taken("pair", false).pair, false)
  check.equal(taken("share", "15 %").share, 0.15)
  check.equal(taken("share", 1).share, 1.0)
  for name, list in pairs{name = {"", "eleven byte", "two\nlines", 5},
                          tags = {{"a", "b", "c", "d"}, {"a", 1}, {a = "b"}, {"a", ""}, {"a", nil, "c"}, ""},
                          basis = {"guessed", 1}, count = {0, 13, 2.5, "2"}, pair = {"true", 0}, share = {"15", "-1 %", 1.5, "15,5 %", {}},
                          shape = {marked("shape", {shape = "box"})}} do
    for _, wrong in ipairs(list) do check.equal(taken(name, wrong), nil, name) end
  end
end)

check.test("what_must_be_there_is_missed_and_what_has_a_default_gets_it", function()
  local out, rest, bad, missing = read{span = 1, colour = "red", [3] = 4}
  check.equal(out.basis, "guess")
  check.equal(rest, nil)
  table.sort(bad, function(a, b) return tostring(a) < tostring(b) end)
  check.equal(table.concat(bad, " "), "3 colour")
  check.equal(#missing, 1)
  check.ok(rawequal(missing[1], rows[6]))
  out, rest, bad, missing = read({span = 1}, true)
  check.equal(out.basis, nil)
  check.equal(rest or bad or missing, nil)
  -- a list that is somebody else's business
  check.equal(select(2, core.read_fields(kind, true, {"a", "b"}, {}, true)), nil)
  check.equal(#select(2, core.read_fields(kind, true, {"a", "b"}, {}, false)), 2)
end)

check.test("wrong_rows_and_kinds_are_refused", function()
  local function refuses(words, ...) check.contains(select(2, pcall(...)), words) end
  refuses("a kind of core.fields_kind", core.read_fields, {}, false, {}, {}, false)
  refuses("a kind of core.fields_kind", core.read_fields, io.stdout, false, {}, {}, false)
  refuses("rows are tables", core.fields_kind, {1}, {}, language.field_units, limits)
  refuses("short name", core.fields_kind, {{("a"):rep(41), "text"}}, {}, language.field_units, limits)
  refuses("numbers of rows", core.fields_kind, {{"a", "text"}}, {2}, language.field_units, limits)
  local many = {}
  for i = 1, 65 do many[i] = {"field" .. i, "text"} end
  refuses("too many fields", core.fields_kind, many, {}, language.field_units, limits)
  for _, row in ipairs{{"a"}, {"a", "number", {unit = "stone"}}, {"a", "choice", {words = {1}}},
                       {"a", "choice", {words = {"1", "2", "3", "4", "5", "6", "7", "8", "9"}}}} do
    check.ok(not pcall(core.read_fields, core.fields_kind({row}, {}, language.field_units, limits), true, {a = 1}, {}, false))
  end
end)

check.done()
