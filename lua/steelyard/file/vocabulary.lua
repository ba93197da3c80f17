--- The words of a vehicle file, the same in scripts (`sy.part`) and in the sandbox that reads a file.
--
-- What they make, distinguished by metatable (registry "steelyard.item" and so on: host.marked):
--   item     {kind = "part", name = "engine", line = 12, file = nil, fields = {the user's table}}
--            kind: part group tank person state limit vehicle from_csv; `fields` is nil when no {...} followed.
--            `file` is the script, nil in a sandbox
--   shape    {shape = "box", line = 12, fields = {the user's table}}
--   uncertainty  {value = v, sd = u, limits = true or nil}  v and u plain numbers or amounts; u is one sd, from limits if so
--   amount   {value = v, factor = f, dims = "L 1"}     v times the unit; f times it in kg, mm, N, deg
--   unknown  {}                          a mass that is not known
--
-- In a sandbox a unit word is an amount, and all of these are sealed: a file cannot look into them or change them (host.open gives
-- the table). In a script a unit word is a plain multiplier into mm, kg, N, deg and litre.
--
-- Which words there are says file/language.lua. In a sandbox the chunk gets its host (lua/reader/vocabulary_functions.h) and a copy of
-- language.words as arguments and returns the environment of the user's text and the result {vehicle = item, made = {items}}; as a module
-- it returns the vocabulary.

local host, words = ...
if host == "steelyard.file.vocabulary" then
  host, words = require("steelyard.core").vocabulary_functions, require("steelyard.file.language").words
end
local raise, where, type, setmetatable = host.raise, host.where, host.type, host.setmetatable
local getmetatable, seal, open = host.getmetatable, host.seal, host.open

local vocabulary = {}
local result = {made = {}}

-- ---- uncertainty and amounts ------------------------------------------------------------------------------------------

local Amount, Uncertainty, Unknown = host.marked "amount", host.marked "uncertainty", host.marked "unknown"
local Shape, Item = host.marked "shape", host.marked "item"

-- base units: M kg, L mm, F N, A deg; exponents in that order
local bases = {"M", "L", "F", "A"}

local function make_amount(value, factor, exponents)
  local dims = ""
  for i = 1, 4 do
    local e = exponents[i]
    if e ~= 0 then dims = dims .. bases[i] .. (e == 1 and "" or e) end
  end
  return seal({value = value, factor = factor, exponents = exponents, dims = dims}, Amount)
end

local function what(value)
  local meta = getmetatable(value)
  value = open(value)
  if meta == Amount then return words.dimensions[value.dims] or "a quantity of its own kind" end
  if meta == Uncertainty then return "a value with its uncertainty" end
  if meta == Unknown then return "the word unknown" end
  if meta == Item then return value.kind .. " \"" .. (value.name or "") .. "\"" end
  if meta == Shape then return "a " .. value.shape end
  if type(value) == "string" then return "the text \"" .. value .. "\"" end
  if type(value) == "number" then return value == value and "the number " .. value or "not a number (0/0)" end
  if value == nil then return "nothing" end
  if type(value) == "boolean" then return value and "true" or "false" end
  return "a " .. type(value)
end

local function bad(message, hint, code)
  return raise {code = code or "type", message = message, hint = hint}
end

local function is_amount(value) return getmetatable(value) == Amount end
local function is_number(value) return type(value) == "number" end
local function is_value(value) return is_number(value) or is_amount(value) end

local plain = {0, 0, 0, 0}

-- value, factor, exponents of a number or an amount
local function split(value, doing)
  if is_number(value) then return value, 1, plain end
  if is_amount(value) then
    local amount = open(value)
    return amount.value, amount.factor, amount.exponents
  end
  return bad(doing .. " " .. what(value) .. ", which is not a quantity")
end

local function combine(a, b, sign)
  local e = {}
  for i = 1, 4 do e[i] = a[i] + sign * b[i] end
  return e
end

local function scale_uncertainty(uncertainty, by)
  local of = open(uncertainty)
  local sd = of.sd * by
  if is_number(sd) and sd < 0 then sd = -sd end
  if is_amount(sd) and open(sd).value < 0 then sd = -sd end
  return seal({value = of.value * by, sd = sd, limits = of.limits}, Uncertainty)
end

function Amount.__mul(a, b)
  if getmetatable(a) == Uncertainty then return scale_uncertainty(a, b) end
  if getmetatable(b) == Uncertainty then return scale_uncertainty(b, a) end
  local va, fa, ea = split(a, "multiplies by")
  local vb, fb, eb = split(b, "multiplies by")
  return make_amount(va * vb, fa * fb, combine(ea, eb, 1))
end

function Amount.__div(a, b)
  if getmetatable(a) == Uncertainty then return scale_uncertainty(a, 1 / b) end
  local va, fa, ea = split(a, "divides")
  local vb, fb, eb = split(b, "divides by")
  return make_amount(va / vb, fa / fb, combine(ea, eb, -1))
end

function Amount.__pow(a, n)
  if not is_amount(a) or (n ~= 1 and n ~= 2 and n ~= 3 and n ~= -1 and n ~= -2) then
    return bad("a unit can be raised to the powers 1, 2, 3, -1 and -2 only")
  end
  local amount, e = open(a), {}
  for i = 1, 4 do e[i] = n * amount.exponents[i] end
  return make_amount(amount.value ^ n, amount.factor ^ n, e)
end

local function add(a, b, sign, verb)
  local va, fa = split(a, verb)
  local vb, fb = split(b, verb)
  if not (is_amount(a) and is_amount(b) and open(a).dims == open(b).dims) then
    return bad(verb .. " " .. what(a) .. " and " .. what(b))
  end
  return make_amount(va + sign * vb * (fb / fa), fa, open(a).exponents)
end

function Amount.__add(a, b) return add(a, b, 1, "adds") end
function Amount.__sub(a, b) return add(a, b, -1, "subtracts") end
function Amount.__unm(a)
  local amount = open(a)
  return make_amount(-amount.value, amount.factor, amount.exponents)
end

function Uncertainty.__mul(a, b)
  if getmetatable(a) ~= Uncertainty then a, b = b, a end
  if not is_value(b) then return bad("multiplies a value with its uncertainty by " .. what(b)) end
  return scale_uncertainty(a, b)
end

function Uncertainty.__div(a, b)
  if getmetatable(a) ~= Uncertainty or not is_value(b) then return bad("divides by " .. what(b)) end
  return scale_uncertainty(a, 1 / b)
end

function Uncertainty.__unm(a) return scale_uncertainty(a, -1) end

local function no_sum()
  return bad("adds a value with its uncertainty to another", "add the values, then state one sd for the sum")
end
Uncertainty.__add, Uncertainty.__sub = no_sum, no_sum

local function check_uncertainty(word, value, uncertainty, more)
  if more == nil and is_number(value) and is_number(uncertainty) and uncertainty >= 0 and uncertainty < 1 / 0 then return end -- most are
  if more ~= nil then
    return bad(word .. " takes a value and its uncertainty, got more", "decimals take a point: " .. word .. "(12.5, 0.1)")
  end
  if not is_value(value) then return bad(word .. ": the value is " .. what(value) .. ", must be a number") end
  if not is_value(uncertainty) then return bad(word .. ": the uncertainty is " .. what(uncertainty) .. ", must be a number") end
  if is_amount(value) ~= is_amount(uncertainty) or (is_amount(value) and open(value).dims ~= open(uncertainty).dims) then
    return bad(word .. ": the value is " .. what(value) .. " and the uncertainty " .. what(uncertainty))
  end
  local size = is_amount(uncertainty) and open(uncertainty).value or uncertainty
  if not (size >= 0 and size < 1 / 0) then
    return bad(word .. ": the uncertainty is " .. (size == size and size or "not a number (0/0)") .. ", must be 0 or more", nil, "range")
  end
end

--- A value and its standard uncertainty, one standard deviation.
function vocabulary.sd(value, uncertainty, more)
  check_uncertainty("sd", value, uncertainty, more)
  return seal({value = value, sd = uncertainty}, Uncertainty)
end

--- A value and the limits it lies within, every value between equally likely. `limits` says that it ends there: an sd has no end.
function vocabulary.within(value, limit, more)
  check_uncertainty("within", value, limit, more)
  return seal({value = value, sd = limit / words.root_3, limits = true}, Uncertainty)
end

vocabulary.unknown = seal({}, Unknown)

local units = words.units
local exponents = {M = {1, 0, 0, 0}, L = {0, 1, 0, 0}, F = {0, 0, 1, 0}, A = {0, 0, 0, 1}, L3 = {0, 3, 0, 0}}
for i = 1, #units do
  local unit, dims, size = units[i][1], units[i][2], units[i][3]
  if host.sandbox then
    vocabulary[unit] = make_amount(1, size, exponents[dims])
  else
    vocabulary[unit] = dims == "L3" and size / 1e6 or size -- volumes are litres in a script
  end
end

-- ---- shapes -----------------------------------------------------------------------------------------------------

local shapes = words.shapes
for i = 1, #shapes do
  local name = shapes[i][1]
  vocabulary[name] = function(sizes)
    if type(sizes) ~= "table" or getmetatable(sizes) then
      local example = name == "mesh" and "mesh {\"sump.stl\", unit = \"mm\"}" or name .. " {540}"
      return bad(name .. " takes its sizes in braces, got " .. what(sizes), "as in " .. example)
    end
    return seal({shape = name, line = where() or 0, fields = sizes}, Shape)
  end
end

-- ---- items ------------------------------------------------------------------------------------------------------

local function make_item(kind, name, fields)
  local line, file = where()
  local item = seal({kind = kind, name = name, line = line or 0, file = file or false, fields = fields}, Item)
  if host.sandbox then result.made[#result.made + 1] = item end
  return item
end

local function refuse(item, message, hint, code)
  local of = open(item)
  return raise {code = code or "content", part = of.name, kind = of.kind, message = message, hint = hint}
end

-- the braces behind `part "engine"`
function Item.__call(item, fields)
  local of = open(item)
  if of.fields then
    return refuse(item, "is followed by more than one { ... }", "is a comma missing behind the first?")
  end
  if type(fields) ~= "table" or getmetatable(fields) then
    return refuse(item, "takes its fields in braces, got " .. what(fields), "as in part \"x\" { ... }", "type")
  end
  of.fields = fields
  return item
end

local function in_quotes(key) return type(key) == "string" and "\"" .. key .. "\"" or "a " .. type(key) end

-- what Lua has and a vehicle file has not
local lua_words, text_methods = {}, {}
for i = 1, #words.lua_words do lua_words[words.lua_words[i]] = true end
for i = 1, #words.text_methods do text_methods[words.text_methods[i]] = true end

-- fields that are always there are found before this is asked; part ("x"):rep(3) asks for a method of its name
function Item.__index(item, key)
  if text_methods[key] then
    return refuse(item, "is asked for " .. in_quotes(key) .. ", which works on texts in a script and not in a vehicle file",
      "write the text out")
  end
  return refuse(item, "has nothing to read under " .. in_quotes(key) .. " here", "keep the number in a local of its own")
end

function Item.__newindex(item, key)
  return refuse(item, "cannot be given " .. in_quotes(key) .. " afterwards", "write the field inside its { ... }")
end

local items = words.items
for i = 1, #items do
  local kind = items[i][1]
  vocabulary[kind] = function(name)
    if type(name) ~= "string" then
      return bad(kind .. " needs a name first, got " .. what(name), "as in " .. kind .. " \"name\" { ... }")
    end
    return make_item(kind, name, false)
  end
end

--- The parts of a table: from_csv "parts.csv", or from_csv "parts.csv" { decimal = "," }.
function vocabulary.from_csv(name)
  if type(name) ~= "string" then
    return bad("from_csv needs the name of a table, got " .. what(name), "as in parts = from_csv \"parts.csv\"")
  end
  return make_item("from_csv", name, false)
end

function vocabulary.vehicle(fields)
  if type(fields) ~= "table" or getmetatable(fields) then
    return bad("vehicle takes its fields in braces, got " .. what(fields), "as in vehicle { title = \"...\" }")
  end
  if result.vehicle then
    return bad("a second vehicle { ... }", "a file holds one; the first is on line " .. open(result.vehicle).line, "clash")
  end
  local item = make_item("vehicle", "", fields)
  if host.sandbox then result.vehicle = item end
  return item
end

if not host.sandbox then -- what is as it should be takes a shorter way (lua/reader/script_words.c)
  vocabulary.sd = host.uncertain_word(Uncertainty, nil, vocabulary.sd)
  vocabulary.within = host.uncertain_word(Uncertainty, words.root_3, vocabulary.within)
  for i = 1, #items do
    local kind = items[i][1]
    vocabulary[kind] = host.item_word(kind, Item, vocabulary[kind])
  end
  Item.__call = host.braces_word(Item.__call)
  return vocabulary
end

-- What is sealed stays as it was written: kg.factor = 1000 would give every mass another unit.
local sealed = {{Amount, "quantity"}, {Uncertainty, "uncertain value"}, {Unknown, "unknown"}, {Shape, "shape"}, {Item}}
for i = 1, #sealed do
  local meta, name = sealed[i][1], sealed[i][2]
  meta.__name = name or "item" -- in Lua's own messages
  if meta ~= Item then -- which says more
    function meta.__index(value, key)
      return bad("reads " .. in_quotes(key) .. " of " .. what(value) .. ", which has no fields", "keep the number in a local of its own")
    end

    function meta.__newindex(value, key)
      return bad("changes " .. in_quotes(key) .. " of " .. what(value) .. ", which stays as it is",
        "work out another value: local x = 2*kg", "content")
    end
  end
end

-- ---- the world of the user's text -------------------------------------------------------------------------------

local function unknown_word(_, name)
  if lua_words[name] then
    return bad("\"" .. name .. "\" belongs to Lua's libraries, which a vehicle file does not have",
      "write the number or text out, or work it out in a script", "unknown")
  end
  local list, all = {}, {words.others, items, shapes, units}
  for i = 1, #all do
    for k = 1, #all[i] do list[#list + 1] = all[i][k][1] end
  end
  local near = type(name) == "string" and host.nearest(name, list)
  return bad("unknown word \"" .. name .. "\"", near and "did you mean \"" .. near .. "\"?"
    or "it is not a unit, shape or item of a vehicle file; a text stands between quotes", "unknown")
end

local function new_global(_, name)
  return bad("gives a value to \"" .. name .. "\"", "write local " .. name .. " = ... for a name of your own",
    "content")
end

local environment = setmetatable({}, {
  __index = setmetatable(vocabulary, {__index = unknown_word}),
  __newindex = new_global,
})
return environment, result
