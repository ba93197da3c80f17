--- Writes the reference page and the editor stubs from the tables of calls, quantities and fields.
--
--   steelyard lua/steelyard/reference/docs/write.lua FOLDER [FOLDER]      reference.md into the first, steelyard.lua into the second
--                                                         (lua/meta unless given; then pieces.lua makes its pieces too)

local core = require "steelyard.core"
local calls = require "steelyard.reference.calls"
local file_fields = require "steelyard.reference.docs.file_fields"
local docs_fields = require "steelyard.reference.docs.fields"
local docs_options = require "steelyard.reference.docs.options"
local fields = require "steelyard.file.fields"
local language = require "steelyard.file.language"
local pictures = require "steelyard.reference.pictures"
local quantities = require "steelyard.reference.quantities"

local docs = {}

docs.fields = docs_fields.of

--- Names and sizes of the unit words, sorted: {{"inch", 25.4}, ...}.
function docs.units()
  local units = {}
  local vocabulary = require "steelyard.file.vocabulary"
  for i, unit in ipairs(language.words.units) do units[i] = {unit[1], vocabulary[unit[1]]} end
  table.sort(units, function(a, b) return core.before(a[1], b[1]) end)
  return units
end

-- a cell of a Markdown table
local function cell(words) return (words:gsub("|", "\\|")) end

local function row(...) return "| " .. table.concat({...}, " | ") .. " |" end

local function signature(call)
  local names = {}
  for i, argument in ipairs(call[2]) do names[i] = argument[1] end
  return ("%s(%s)"):format(call[1], table.concat(names, ", "))
end

local function add_call(lines, call)
  lines[#lines + 1] = ("### `%s`%s"):format(signature(call), call[3] and " gives " .. call[3] or "")
  lines[#lines + 1] = ""
  lines[#lines + 1] = call[4]
  lines[#lines + 1] = ""
  for _, argument in ipairs(call[2]) do
    lines[#lines + 1] = ("- `%s`: %s"):format(argument[1], docs_options.opening(argument))
  end
  if #call[2] > 0 then lines[#lines + 1] = "" end
  for _, argument in ipairs(call[2]) do
    local set = docs_options.set(argument[2])
    if set then
      table.move(docs_options.lines(set), 1, 999, #lines + 1, lines)
      lines[#lines + 1] = ""
    end
  end
end

-- One row for all that has a standard uncertainty.
local function add_sd(lines, sd)
  local names = {}
  for i, field in ipairs(sd or {}) do names[i] = "`" .. field[1] .. "`" end
  if sd and sd.wheels then names[#names + 1] = "each wheel" end
  if names[1] then lines[#lines + 1] = row("`sd`", "", "standard uncertainties of " .. table.concat(names, ", ")) end
end

local function add_result(lines, result)
  lines[#lines + 1] = "### " .. result[1]
  lines[#lines + 1] = ""
  lines[#lines + 1] = result[2]
  lines[#lines + 1] = ""
  lines[#lines + 1] = row("field", "unit", "meaning")
  lines[#lines + 1] = row("---", "---", "---")
  for _, field in ipairs(docs.fields(result)) do
    lines[#lines + 1] = row("`" .. field[1] .. "`", field[2]:match "^= (.+)$" or field[3], cell(field[4]))
  end
  if result.wheels then
    lines[#lines + 1] = row("`l1?` `c1?` `r1?` ...", "kg", "of more than two axles: left, single and right wheel of each, by its number "
      .. "from the front")
  end
  add_sd(lines, docs_fields.sd(result))
  lines[#lines + 1] = ""
end

local preface = [[
# Reference

Made by `make docs` from the tables the library itself works with.

Lengths are mm, masses and loads kg, angles degrees, shares percent, fills litres, inertia kg m2 about the centre of
gravity in the file's axes (tensor sign), moments kg m. Places are in the axes of the vehicle file; directions are words:
forward back left right up down out (mm), nose_up nose_down left_up right_up nose_left nose_right (degrees).

Cars never change: every change gives a new one. Results are plain tables that print as a page; their `sd` holds standard
uncertainties under the same names, printed "+-" covers 95 %. A `?` marks what may be missing. Mistakes raise an error
object {code, message, file, line, part, field, hint}; so does a name that a result does not have.

Options stand in a table: `car:corners{pads = {lf = 1}, bars = "off"}`; a record is a table with the fields named below it. A value is
a number, or one with its uncertainty, as sy.sd(290, 1) gives it. A point is {x, y, z} or has these names; on the floor the upright one
may be left out. Keys of wheels are lf rf lr rr (or fl fr rl rr), f or r of a single one, and l1 c1 r1 l2 ... of more than two axles;
keys of axles are front and rear, or their names.

With `--json` a command prints its result as one document. Its `units` say what numbers are in by their path: `rows[].mass` is in each of
a list, `*` stands for any name. `sd` has the units of the same names; what is not listed is a count or a ratio, or its row has a
`unit` of its own. An empty record is `{}`, an empty list `[]`.
]]

-- Which results have which pictures.
local function add_pictures(lines)
  lines[#lines + 1] = "Pictures, the usual one of each kind of result first:\n"
  local kinds = {}
  for kind in pairs(pictures.of) do kinds[#kinds + 1] = kind end
  table.sort(kinds, core.before)
  for _, kind in ipairs(kinds) do
    for _, one in ipairs(pictures.of[kind]) do lines[#lines + 1] = ("- %s, `%s`: %s"):format(kind, one[1], one[3]) end
  end
  lines[#lines + 1] = ""
end

--- The reference page, Markdown.
function docs.reference()
  local lines = {preface, "## Calls", ""}
  for _, group in ipairs{calls.module, calls.car, calls.result} do
    for _, call in ipairs(group) do add_call(lines, call) end
  end
  add_pictures(lines)
  lines[#lines + 1] = "## Words\n\nThe words of a vehicle file, in a script:\n"
  for _, word in ipairs(calls.words) do lines[#lines + 1] = ("- `%s`: %s"):format(word[1], word[2]) end
  local units = {}
  for i, unit in ipairs(docs.units()) do units[i] = ("`sy.%s` %s"):format(unit[1], core.shortest(unit[2])) end
  lines[#lines + 1] = "\nUnits, multipliers into mm, kg, N, degrees and litres: " .. table.concat(units, ", ") .. ".\n"
  lines[#lines + 1] = "## The vehicle file\n\nFields by kind; vehicles/README.md explains them.\n"
  for _, kind in ipairs(fields.all_kinds()) do
    lines[#lines + 1] = ("### %s\n"):format(kind)
    table.move(file_fields.lines(kind, nil, true), 1, 99, #lines + 1, lines)
    lines[#lines + 1] = ""
  end
  lines[#lines + 1] = "## Results\n"
  for _, result in ipairs(calls.results) do add_result(lines, result) end
  lines[#lines + 1] = "## Documents\n\nWhat commands print with `--json` beside results of calls; "
    .. "a kind in the unit's column is a result above.\n"
  for _, made in ipairs(calls.documents) do add_result(lines, made) end
  lines[#lines + 1] = "## Quantities\n\nNames for `show`, for limits and for tables. Those marked * answer \"unknown\" for now.\n"
  lines[#lines + 1] = row("name", "label", "unit", "decimals", "meaning")
  lines[#lines + 1] = row("---", "---", "---", "---", "---")
  for _, q in ipairs(quantities.list) do
    lines[#lines + 1] = row("`" .. q.name .. "`" .. (q.from == "later" and " *" or ""), cell(q.label), q.unit,
      core.shortest(q.decimals), cell(q.meaning))
  end
  return table.concat(lines, "\n") .. "\n"
end

return docs
