-- One table of the file's language: what is added to it, in a copy of the modules, is there for every reader; and no other list of the
-- same words or numbers stands in the sources.
-- Under the command alone: it looks at sources, and at what make docs makes of them.
-- With one compiler: these are the same whatever compiled the reader.
-- Not under sanitizers: all other tests read files there.

local check = dofile "tests/lua/check.lua"
local language = require "steelyard.file.language"

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local function write(path, text)
  local file <close> = assert(io.open(path, "wb"))
  file:write(text)
end

-- ---- a copy with more in it ----------------------------------------------------------------------------------------------------

-- `text` with `more` behind the first place that reads `behind`
local function insert(text, behind, more)
  local _, at = text:find(behind, 1, true)
  return text:sub(1, assert(at, behind)) .. more .. text:sub(at + 1)
end

local folder = os.tmpname()
os.remove(folder)
assert(os.execute(("mkdir %s && cp -r lua vehicles .luacheckrc %s"):format(folder, folder)))
local home <close> = setmetatable({}, {__close = function() os.execute("rm -rf " .. folder) end})

do
  local path = folder .. "/lua/steelyard/file/language.lua"
  local text = insert(contents(path), '{"oz", "M", constants.ounce},', ' {"stone", "M", 14 * constants.pound},')
  write(path, insert(text, '{"sphere", {"diameter"}, "solid"},', ' {"beam", {"length", "width", "height"}, "a box by another name"},'))
  path = folder .. "/lua/steelyard/file/language/kinds.lua"
  write(path, insert(contents(path), "function kinds.chassis()\n  return {",
    '{"sag", "number", {unit = "mm", min = 0, max = 9, required = true}, "how far it hangs through"}, '
    .. '{"finish", "choice", {words = {"paint", "zinc"}, default = "paint"}, "of the tubes"}, '))
end

-- What a script says that runs in the copy.
local function in_copy(script)
  write(folder .. "/script.lua", script)
  local command = ("cd %s && STEELYARD_HOME=%s %s/build/steelyard script.lua"):format(folder, folder, home.top)
  return check.command(command)
end
home.top = check.command("pwd").out:gsub("\n$", "")

local CAR = [[
vehicle { axles = { { name = "front", at = 0, track = 1500, loaded_radius = 290 }, { name = "rear", at = 2000, track = 1500,
  loaded_radius = 290 } }, chassis = { %s },
  parts = { part "a" { mass = %s, at = {700, 0, 300}%s } } }
]]

local function loaded(chassis, mass, more, before)
  local text = (before or "") .. CAR:format(chassis, mass, more or "")
  local said = in_copy(('local sy = require "steelyard"\nlocal car = sy.load("a.lua", %q)\n'
    .. 'local c = require("steelyard.car.contents").inside(car)\nlocal s = c.shared.spec.chassis\n'
    .. 'print(s.sag, s.finish, car:balance().mass)'):format(text))
  return (said.out:gsub("(%d),(%d)", "%1.%2")) .. said.err -- as Lua writes numbers where decimals take a comma
end

-- A number as a script prints it.
local function printed(number) return (tostring(number):gsub(",", ".")) end

check.test("a_field_of_the_table_is_read_in_range_and_with_its_default", function()
  check.equal(loaded("sag = 2.5", "10"), "2.5\tpaint\t10.0\n")
  check.equal(loaded('sag = 2.5, finish = "zinc"', "10", nil, "local x = 1\n"), "2.5\tzinc\t10.0\n")
  check.contains(loaded("sag = 9.5", "10"), "chassis.sag: must be 9 mm or less, is 9.5 mm")
  check.contains(loaded("sag = 1*kg", "10"), "chassis.sag: must be a length in mm, is a mass")
  check.contains(loaded("sgg = 1", "10"), 'did you mean "sag"?')
  check.contains(loaded("torsion = 5000", "10"), "chassis.sag: is missing")
  check.contains(loaded('sag = 1, finish = "pant"', "10"), 'did you mean "paint"?')
end)

check.test("a_unit_word_of_the_table_is_known_in_files_and_scripts", function()
  check.equal(loaded("sag = 1", "2*stone"), "1.0\tpaint\t" .. printed(28 * 0.45359237) .. "\n")
  check.contains(loaded("sag = 1", "2*stome"), 'unknown word "stome" (did you mean "stone"?)')
  check.equal(in_copy('print(require("steelyard").stone)').out:gsub(",", "."), printed(14 * 0.45359237) .. "\n")
end)

check.test("a_shape_of_the_table_is_known_with_and_without_a_sandbox", function()
  for _, before in ipairs{"", "local x = 1\n"} do
    -- the core has no solid of that name, and says so
    check.contains(loaded("sag = 1", "10", ", shape = beam {1, 2, 3}", before), "is a beam, which is not a known shape")
    check.contains(loaded("sag = 1", "10", ", shape = beam {1, 2}", before), "a beam needs its height")
  end
end)

check.test("stubs_reference_readme_and_luacheck_have_what_the_table_has", function()
  local made = in_copy [[
local pieces = require "steelyard.reference.docs.pieces"
local function contents(path) local file <close> = assert(io.open(path)) return file:read "a" end
print(require("steelyard.reference.docs.stub").text())
print(require("steelyard.reference.docs").reference())
for _, path in ipairs{".luacheckrc", "vehicles/README.md"} do print(pieces.renew(path, contents(path))) end]]
  check.equal(made.err, "")
  for _, says in ipairs{
    "---@field sag steelyard.number mm; 0 or more; up to 9", "---@field stone number 6.35029318",
    "---@field beam fun(sizes: table): steelyard.shape mm: length, width, height", "`sy.stone` 6.35029318",
    "`sy.beam {length, width, height}`",
    "| `sag` | how far it hangs through | mm | 0 to 9 | required |", '| `finish` | of the tubes | `"paint"` `"zinc"` | | `"paint"` |',
    "| `beam {length, width, height}` | a box by another name | |", "| mass | `kg` `g` `lb` `oz` `stone` |", '"sphere", "beam",',
    '"oz", "stone",',
  } do check.contains(made.out, says) end
end)

-- ---- no other list --------------------------------------------------------------------------------------------------------------

local sources = {}
for path in check.command("find lua core scripts -name '*.lua' -o -name '*.c' -o -name '*.h'").out:gmatch "[^\n]+" do
  if not (path:find "^lua/meta/" or path:find "^lua/steelyard/file/language") then sources[#sources + 1] = path end
end
table.sort(sources)

local function first_of(rows)
  local list = {}
  for i, row in ipairs(rows) do list[i] = row[1] end
  return list
end

-- Where three words of a list stand in quotes or as keys within so many bytes, and why that is not a list of them.
local NEAR = 120
local allowed = {
  shapes = {["lua/steelyard/file/bodies.lua"] = "each with its volume",
            ["lua/bind/shop/clearance.c"] = "each with its outline",
            ["lua/steelyard/file/held_liquid.lua"] = "those in which a liquid has a level"},
  units = {["lua/bind/mass/constants.c"] = "what core/ has of them",
           ["lua/steelyard/file/parts_csv/dictionary.lua"] = "what column headings call them, in seven languages",
           ["lua/steelyard/print/width.lua"] = "what no line ends before", ["lua/steelyard/file/mesh_file.lua"] = "those that are guessed",
           ["lua/steelyard/measure/closure/slips.lua"] = "those that are read for one another",
           ["lua/steelyard/measure/part_cg/given.lua"] = "of three inputs",
           ["lua/steelyard/reference/options/measuring.lua"] = "of inputs in three units",
           ["lua/steelyard/study/outputs.lua"] = "each with the digits it is shown with",
           ["lua/steelyard/study/sensitivity_names.lua"] = "each field with its own, and what core/ has it in"},
  bases = {["lua/steelyard/file/growth_rates.lua"] = "each with its rate",
           ["lua/steelyard/command/take_parts/text.lua"] = "a file that is written"},
  items = {["lua/steelyard/file/parts_csv/dictionary.lua"] = "what a column of kinds says, not a file",
           ["lua/steelyard/file/parts_csv/rows.lua"] = "kinds of rows"},
}

local function find_list(text, words)
  local places = {}
  for _, word in ipairs(words) do
    for _, pattern in ipairs{'"' .. word .. '"', "[%s{,]" .. word .. " = "} do
      for at in text:gmatch("()" .. pattern) do places[#places + 1] = {at, word} end
    end
  end
  table.sort(places, function(a, b) return a[1] < b[1] end)
  for i = 1, #places do
    local seen, count = {}, 0
    for k = i, #places do
      if places[k][1] - places[i][1] > NEAR then break end
      if not seen[places[k][2]] then seen[places[k][2]], count = true, count + 1 end
    end
    if count >= 3 then return places[i][1] end
  end
end

local function without_comments(path, text)
  if path:find "%.lua$" then return (text:gsub("%-%-[^\n]*", "")) end
  return (text:gsub("/%*.-%*/", ""))
end

local lists = {shapes = first_of(language.words.shapes), units = first_of(language.words.units), bases = language.bases,
               items = first_of(language.words.items)}

check.test("words_stand_in_no_second_list", function()
  local wrong = {}
  for of, words in pairs(lists) do
    check.ok(find_list(contents "lua/steelyard/file/language.lua", words), of .. " are found where they are")
    for _, path in ipairs(sources) do
      local text = without_comments(path, contents(path))
      local at = not path:find "^core/" and find_list(text, words) -- core/ has units of its answers, and knows no file
      if at and not allowed[of][path] then wrong[#wrong + 1] = ("%s in %s: %s"):format(of, path, text:sub(at, at + NEAR)) end
      if allowed[of][path] and not at then wrong[#wrong + 1] = ("no %s in %s, nothing to allow"):format(of, path) end
    end
  end
  table.sort(wrong)
  check.equal(table.concat(wrong, "\n"), "")
end)

-- digits of a constant -> the file that states it
local constants = {
  ["1%.7320508"] = "core/numeric/uncertain.h", ["sqrt%(3"] = "none", ["0%.45359237"] = "core/base/units.h",
  ["0%.0283495"] = "core/base/units.h", ["0%.0254"] = "core/base/units.h", ["0%.3048"] = "core/base/units.h",
  ["4%.44822"] = "core/base/units.h",
  ["57%.29577"] = "none", ["3%.785411784"] = "core/base/units.h", ["4%.54609"] = "core/base/units.h", ["2%.2046"] = "none",
  ["9%.80665"] = "core/base/units.h",
}

check.test("constants_stand_once", function()
  for digits, home_of in pairs(constants) do
    for _, path in ipairs(sources) do
      local text = without_comments(path, contents(path))
      if path ~= home_of then check.equal(text:match(digits .. "[^\n]*"), nil, path) end
    end
    if home_of ~= "none" then check.ok(contents(home_of):find(digits), digits) end
  end
end)

check.done()
