--- The fields of a vehicle file as Markdown tables, from file/language.lua.

local core = require "steelyard.core"
local fields = require "steelyard.file.fields"
local language = require "steelyard.file.language"

local file_fields = {}

local no_options = {}

-- What a number may be at most anywhere is said once, for all fields.
local general = {mm = language.MOST_LENGTH, kg = language.MOST_MASS, ["N/mm"] = language.MOST_RATE, ["N m/deg"] = language.MOST_RATE}

local function range_of(options)
  local max = options.max
  if max and max == general[options.unit] then max = nil end
  local most = general[options.unit]
  if not max and most and options.min == -most then return "any" end
  if options.min and max then return ("%s to %s"):format(core.shortest(options.min), core.shortest(max)) end
  if options.above then return "above " .. core.shortest(options.above) .. (max and ", up to " .. core.shortest(max) or "") end
  return options.min and core.shortest(options.min) .. " or more" or ""
end

local function form_of(row, options)
  if options.unit then return options.unit end
  if options.words then return '`"' .. table.concat(options.words, '"` `"') .. '"`' end
  if options.kind then return "see " .. options.kind end
  return language.readers[row[2]][3] or ""
end

local function default_of(row, options)
  if row.otherwise then return row.otherwise end
  if options.required then return "required" .. (options.unless and (", or `%s`"):format(options.unless) or "") end
  if type(options.default) == "number" then return core.shortest(options.default) end
  return type(options.default) == "string" and ('`"%s"`'):format(options.default) or ""
end

local function cell(words) return (words:gsub("|", "\\|")) end

local function is_same(a, b) return b ~= nil and a[2] == b[2] and a[4] == b[4] end

--- The lines of a table of the fields of a kind. without: a kind whose fields are left out; notes: the note too.
function file_fields.lines(kind, without, notes)
  local others = without and fields.by_name[without] or {}
  local lines = {"| field | meaning | unit, form | range | default |", "|---|---|---|---|---|"}
  for _, row in ipairs(fields.kinds[kind]) do
    local options = row[3] or no_options
    if not is_same(row, others[row[1]]) and (notes or row ~= language.note) then
      lines[#lines + 1] = ("| `%s` | %s | %s | %s | %s |"):format(row[1], cell(row[4]), cell(row.form or form_of(row, options)),
        cell(row.range or range_of(options)), cell(default_of(row, options))):gsub(" +|", " |")
    end
  end
  return lines
end

--- The table of the shapes.
function file_fields.shapes()
  local lines = {"| word | sizes | axis |", "|---|---|---|"}
  for _, shape in ipairs(language.words.shapes) do
    local sizes = shape[2]
    local written = shape.from_file and '"sump.stl", unit = "mm"' or table.concat(sizes, ", ")
    local axis = sizes.axis and ("`%s`, default %s"):format(sizes.axis, sizes.along == "across" and "across the car" or sizes.along) or ""
    lines[#lines + 1] = ("| `%s {%s}` | %s | %s |"):format(shape[1], written, cell(shape[3]), axis):gsub(" +|", " |")
  end
  return lines
end

--- The table of the unit words.
function file_fields.units()
  local lines, at = {"| kind | words |", "|---|---|"}, {}
  for _, unit in ipairs(language.words.units) do
    local word, dims = unit[1], unit[2]
    if not at[dims] then
      lines[#lines + 1] = ("| %s |"):format(language.words.dimensions[dims]:gsub("^an? ", ""))
      at[dims] = #lines
    end
    lines[at[dims]] = lines[at[dims]]:gsub("|$", function() return (lines[at[dims]]:find "`" and "" or "| ") .. "`" .. word .. "` |" end)
  end
  return lines
end

return file_fields
