--- The language of a vehicle file: its words, units, shapes, kinds, fields and ranges, each stated here and nowhere else.
--
-- This file has the words, units, ranges and readers; the fields of each kind stand in file/language/kinds.lua. Who reads it: the readers
-- of a file in C (core.run_file, core.read_fields, core.item_reader) and in Lua (file/fields.lua, entries.lua), the words of the sandbox
-- and of scripts (file/vocabulary.lua), the editor stubs and the reference page (reference/docs.lua), and through `make docs` the tables of
-- vehicles/README.md and luacheck's list of words in .luacheckrc. tests/lua/test_language.lua adds a word and a field to a copy of this
-- table and finds them in all of these.

local constants = require("steelyard.core").constants -- what C has of them: SI values of units, sqrt 3, sizes of arrays

local language = {}

-- ---- ranges -----------------------------------------------------------------------------------------------------------------

local MOST_MASS, MOST_LENGTH = 1e5, 1e6 -- kg and mm: what the ledger keeps exactly (core/mass/ledger.h)
local MOST_RATE = 1e9 -- N/mm, N m/deg: rigid for every purpose, and loads still keep their milligrams (core/statics/corner_axle.h)

language.MOST_MASS, language.MOST_LENGTH, language.MOST_RATE = MOST_MASS, MOST_LENGTH, MOST_RATE

-- ---- words ------------------------------------------------------------------------------------------------------------------

--- Where a mass comes from, the least known first.
language.bases = {"estimate", "calculated", "supplier", "weighed"}

-- {word, meaning}; entry: may stand among parts
local items = {
  {"part", "a part, for sy.car and car:add", entry = true}, {"group", "parts that move together", entry = true},
  {"tank", "a tank and its fill", entry = true}, {"person", "somebody aboard", entry = true},
  {"state", "a load state"}, {"limit", "a limit on a quantity"}, {"instrument", "a scale or a set of pads"},
  {"record", "what was measured of a car, and when"},
}

-- {word, what stands behind it, meaning, type in the notation of the Lua language server}
local others = {
  {"vehicle", "{...}", "what a vehicle file begins with; sy.car takes the same fields",
    "fun(fields: steelyard.fields.vehicle): steelyard.item"},
  {"from_csv", '"parts.csv"', "among parts: all the parts of a table from a spreadsheet", "fun(name: string): steelyard.item"},
  {"sd", "(value, u)", "a value and its standard uncertainty"},
  {"within", "(value, limit)", "a value and the limits it lies within, all between equally likely"},
  {"unknown", "", "a mass that is not known", "steelyard.unknown"},
}

-- {word, sizes in the order they are written without names, what it is}; axis: the field that turns it, along: how it lies without
local shapes = {
  {"box", {"length", "width", "height"}, "fore-aft, across, vertical"},
  {"cylinder", {"diameter", "length", axis = "axis", along = "across"}, "solid"},
  {"tube", {"diameter", "wall", "length", axis = "axis", along = "across"}, "outer diameter"},
  {"sphere", {"diameter"}, "solid"},
  {"hollow_sphere", {"diameter", "wall"}, "outer diameter"},
  {"ellipsoid", {"length", "width", "height"}, "fore-aft, across, vertical"},
  {"cone", {"diameter", "length", axis = "axis", along = "across"},
    "base diameter, solid, `at` is its CG; its tip points forward, left or up whichever way the letter runs, `turned` turns it"},
  {"rod", {"length", axis = "axis", along = "across"}, "thin"},
  {"plate", {"length", "width", axis = "normal", along = "upright"},
    "thin: length fore-aft and width across when it lies flat; length upright and width across when its normal is fore-aft; \z
      length fore-aft and width upright when it is across"},
  {"mesh", {"file", "unit", "turn_outward"},
    "the closed surface of a body, STL (binary or text) or OBJ, along the axes of the vehicle file", from_file = true},
}

-- ---- units ------------------------------------------------------------------------------------------------------------------

-- Base units of the files: M kg, L mm, F N, A deg (T s in results); dimension -> what has it.
local dimensions = {
  M = "a mass", L = "a length", F = "a force", A = "an angle", L3 = "a volume", ["ML-3"] = "a density", ["L-1F"] = "a rate",
  ML2 = "an inertia", LF = "a moment", ["LFA-1"] = "a stiffness in twist", T = "a time", ["LT-2"] = "an acceleration",
  [""] = "a plain number",
}

local MM = constants.millimetre
local MM3 = 1e9 -- in a cubic metre

-- {word, dimension, size in the base units}
local units = {
  {"mm", "L", 1}, {"cm", "L", 10}, {"m", "L", 1000}, {"inch", "L", constants.inch / MM}, {"ft", "L", constants.foot / MM},
  {"kg", "M", 1}, {"g", "M", constants.gram}, {"lb", "M", constants.pound}, {"oz", "M", constants.ounce},
  {"N", "F", 1}, {"kN", "F", 1000}, {"lbf", "F", constants.pound_force},
  {"deg", "A", 1}, {"rad", "A", 1 / constants.degree},
  {"litre", "L3", constants.litre * MM3}, {"ml", "L3", constants.litre * MM3 / 1000},
  {"us_gallon", "L3", constants.us_gallon * MM3}, {"imperial_gallon", "L3", constants.imperial_gallon * MM3},
}

--- What a number without a unit word has in a field: unit of the field -> its dimension and size in the base units.
language.field_units = {
  mm = {dims = "L", factor = 1}, kg = {dims = "M", factor = 1}, deg = {dims = "A", factor = 1}, litre = {dims = "L3", factor = 1e6},
  ["kg/L"] = {dims = "ML-3", factor = 1 / 1e6}, ["N/mm"] = {dims = "L-1F", factor = 1}, ["kg m2"] = {dims = "ML2", factor = 1e6},
  ["N m/deg"] = {dims = "LFA-1", factor = 1e3}, s = {dims = "T", factor = 1}, ["m/s2"] = {dims = "LT-2", factor = 1},
  ["%"] = {dims = "", factor = 1}, [""] = {dims = "", factor = 1},
}

-- What a script has and a vehicle file has not: named as such, so that "os" is not taken for "oz".
-- Source  Lua 5.4 Reference Manual, 6.
local lua_words = {"_G", "assert", "collectgarbage", "coroutine", "debug", "dofile", "error", "getmetatable", "io", "ipairs", "load",
                   "loadfile", "math", "next", "os", "package", "pairs", "pcall", "print", "rawequal", "rawget", "rawlen", "rawset",
                   "require", "select", "setmetatable", "string", "table", "tonumber", "tostring", "type", "utf8", "warn", "xpcall"}
local text_methods = {"byte", "find", "format", "gmatch", "gsub", "len", "lower", "match", "rep", "reverse", "sub", "upper"}

--- The words as file/vocabulary.lua makes them, in a sandbox too: nothing but tables, texts and numbers.
language.words = {items = items, others = others, shapes = shapes, units = units, dimensions = dimensions, root_3 = constants.root_3,
                  lua_words = lua_words, text_methods = text_methods}

-- What the rows say, by word.
language.sorts = {}      -- word -> "item", "shape", or the word itself: what core.run_file knows of a file that is mere data
language.entry_kinds = {} -- kind -> true of what may stand among parts
language.shapes = {}     -- shape -> its sizes, of those that have sizes
language.size_of = {}    -- unit -> its size in the base units
language.mass_units, language.length_units = {}, {}

for i = 1, #items do
  language.sorts[items[i][1]] = "item"
  if items[i].entry then language.entry_kinds[items[i][1]] = true end
end
for i = 1, #others do language.sorts[others[i][1]] = others[i][1] end
language.sorts.from_csv = "item" -- read as one
for i = 1, #shapes do
  local shape = shapes[i]
  language.sorts[shape[1]] = "shape"
  if not shape.from_file then language.shapes[shape[1]] = shape[2] end
end
for i = 1, #units do
  local unit, dims = units[i][1], units[i][2]
  local list = dims == "M" and language.mass_units or dims == "L" and language.length_units
  language.size_of[unit] = units[i][3]
  if list then list[#list + 1] = unit end
end

-- ---- kinds and their fields ---------------------------------------------------------------------------------------------------

-- A row is {name, reader, options or nil, meaning}, with what the options do not say in words: form, range, otherwise (the default).
-- Options:
--   required               must be there            default   taken when it is not
--   unless                 a field that makes up for a required one
--   unit, min, above, max  of numbers               words     of a choice: what may be written
--   tags                   names may be tags        kind      of the tables in it
--   of                     the field of the vehicle that an alias is another name of

--- Ranges that several kinds have.
language.ranges = {
  any = {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH}, size = {unit = "mm", above = 0, max = MOST_LENGTH},
  travel = {unit = "mm", min = 0, max = MOST_LENGTH}, zero = {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH, default = 0.0},
  rate = {unit = "N/mm", above = 0, max = MOST_RATE}, angle = {unit = "deg", above = 0, max = 90},
}

--- Options of a field that must be there and has no range.
language.needed = {required = true}

--- The row that every kind with a name has.
language.note = {"note", "text", nil, "free text", otherwise = "none", range = "any number of lines"}

--- How a field is read: name of the reader -> {module of file/ that has it, type for editors (Lua language server), form in words}. Common
-- values are read in C (core.read_fields); the modules read the others and say what is wrong.
language.readers = {
  number = {"readers", "steelyard.number", "number"}, mass = {"readers", "steelyard.number|steelyard.unknown", "kg, or `unknown`"},
  whole = {"weighings", "steelyard.number|steelyard.fields.whole", "kg"}, within = {"readers", "number", "mm"},
  fraction = {"readers", "number|string", '`"10 %"` or `0.1`'}, text = {"texts", "string", "text"},
  flag = {"readers", "boolean", "`true` or `false`"}, choice = {"readers", "string"}, count = {"readers", "integer", "whole number"},
  texts = {"texts", "string|string[]", "text or list of text"}, names = {"texts", "string|string[]", "list of names"},
  name = {"texts", "string", "name"}, point = {"readers", "steelyard.point", "`{x, y, z}` in mm"},
  direction = {"readers", "number[]|{x?: number, y?: number, z?: number}", "`{x, y, z}`"},
  turned = {"readers", "steelyard.move", "deg, see turned"},
  axes = {"axles", "{x: string, y: string, z: string}", "see Axes"}, axles = {"axles", "steelyard.fields.axle[]", "list, see axle"},
  wheels = {"axles", '"one"|"two"|integer', "text"},
  ratio = {"suspension", "steelyard.number|number[][]", "number, or `{{travel, ratio}, ...}` in mm"},
  links = {"suspension", "steelyard.number|steelyard.fields.instant_centre", "%, or `{ angle = }`"},
  shape = {"bodies", "steelyard.shape", "see Shapes"},
  inertia = {"bodies", "number[]|{xx: number, yy: number, zz: number, xy?: number, xz?: number, yz?: number}", "kg m2"},
  unsprung = {"nodes", "string|table<string, number>", "name or fractions, see unsprung"},
  fill = {"nodes", "steelyard.number|string", 'litre, or `"90 %"` of the capacity'},
  stand_in = {"nodes", "steelyard.fields.stand_in", "kg, mm"},
  weighed = {"weighings", "steelyard.fields.weighed", "see weighed"}, shown = {"weighings", "steelyard.number", "number"},
  gain = {"weighings", "steelyard.number", "number"}, readings = {"weighings", "steelyard.number|steelyard.number[]", "number"},
  loads = {"weighings", "table<string, steelyard.number>", '`{ strap = 0.35, ["oil inside"] = sd(0.2, 0.1) }`'},
  ledger = {"vehicle_file", "steelyard.item[]", "list"}, fields = {"vehicle_file"},
  alias = {"vehicle_file", "steelyard.number|string"},
  tables = {"vehicle_lists"}, states = {"vehicle_lists", "steelyard.item[]", "list, see state"},
  points = {"vehicle_lists", "table<string, steelyard.point|steelyard.fields.point>", "see points"},
  fills = {"vehicle_lists", "table<string, steelyard.number|string>", '`{ fuel = 4 }` litres or `{ fuel = "90 %" }`'},
  swaps = {"vehicle_lists", "table<string, string>", '`{ driver = "tall driver" }`, old = new'},
  bound = {"vehicle_lists", "number", "the quantity's unit"}, quantity = {"vehicle_lists", "string", "text"},
  joint = {"shaft_file", "steelyard.fields.joint", "mm, see below"}, path = {"shaft_file", "number[][]", "mm"},
  wheel = {"axles", "string", "key of a wheel"}, date = {"dates", "string", "`\"2026-03-14\"` (ISO 8601)"},
  records = {"records", "steelyard.item[]", "list, see record"}, -- those of its own fields stand in language/record.lua
  place = {"clearance_file", "string|steelyard.fields.place", "name, or a place as below"},
  leaves = {"clearance_file", "{forward?: number, back?: number, left?: number, right?: number, up?: number, down?: number}",
    "`{ up = 600 }`, mm in the vehicle's directions"},
}

return language
