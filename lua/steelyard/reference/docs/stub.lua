--- The editor stubs: types of everything a script meets, in the notation of the Lua language server.

local core = require "steelyard.core"
local calls = require "steelyard.reference.calls"
local docs = require "steelyard.reference.docs"
local docs_fields = require "steelyard.reference.docs.fields"
local docs_options = require "steelyard.reference.docs.options"
local fields = require "steelyard.file.fields"
local language = require "steelyard.file.language"
local pictures = require "steelyard.reference.pictures"
local vehicle_file = require "steelyard.file.vehicle_file"

local docs_stub = {}

local MOST_AXLES = core.constants.most_axles

local own = {car = true, item = true, uncertainty = true, shape = true, what = true, move = true, spec = true, options = true, trial = true,
             set = true, point = true, some_of_point = true, by_wheel = true, by_axle = true, unknown = true, column = true}
for _, result in ipairs(calls.results) do own[result[1]] = true end

local plain_words = {text = "string", list = "any[]", value = "steelyard.number"}

local function in_notation(word)
  return word:gsub("[%a_][%w_.]*", function(name)
    return plain_words[name] or (own[name] or name:find "^fields%." or name:find "^options%.") and "steelyard." .. name or nil
  end)
end

-- 'car[]|text|"full"' -> 'steelyard.car[]|string|"full"'
local function type_of(word)
  return (word:gsub('([^"]*)("?[^"]*"?)', function(outside, quoted) return in_notation(outside) .. quoted end))
end

-- {path, type, unit, meaning} into a tree of classes: a node has fields (in order) and nodes below it; "?" behind a piece of the path
-- marks what may be missing.
local function grow(list)
  local top = {order = {}, below = {}}
  for _, field in ipairs(list) do
    local node, path = top, field[1]
    while true do
      local name, mark, optional, rest = path:match "^([%a_]*)(%[?%]?)(%??)%.(.+)$"
      if not name then break end
      local below = node.below[name .. mark]
      if not below then
        below = {order = {}, below = {}, name = name, list = mark == "[]", mark = ""}
        node.below[name .. mark] = below
        node.order[#node.order + 1] = below
      end
      if optional == "?" then below.mark = "?" end
      node, path = below, rest
    end
    node.order[#node.order + 1] = {path, field[2], field[3], field[4]}
  end
  return top
end

local function print_class(lines, class, node, meaning, parent)
  local own_lines = {"---" .. meaning, ("---@class %s%s"):format(class, parent and " : " .. parent or "")}
  for _, entry in ipairs(node.order) do
    if entry.order then
      local below = class .. "." .. (entry.name == "" and "entry" or entry.name)
      print_class(lines, below, entry, "Part of " .. class .. ".")
      own_lines[#own_lines + 1] = entry.name == "" and ("---@field [integer] %s"):format(below)
        or ("---@field %s%s %s%s"):format(entry.name, entry.mark, below, entry.list and "[]" or "")
    else
      own_lines[#own_lines + 1] = ("---@field %s %s %s%s"):format(entry[1], type_of(entry[2]),
        entry[3] ~= "" and entry[3] .. "; " or "", entry[4])
    end
  end
  lines[#lines + 1] = table.concat(own_lines, "\n") .. "\n"
end

-- What a car's wheels are called, all that any vehicle may have: a class of that name, with such fields. others: {name, of which}.
local function print_wheels(lines, name, of, others)
  local class, names = {"---By wheel, those that there are: of two axles, or of more by their number from the front.",
                        "---@class steelyard." .. name}, {}
  local function add(key, side, axle)
    names[key] = true
    class[#class + 1] = ("---@field %s? %s %s%s"):format(key, of, side, axle)
  end
  for _, key in ipairs(docs_fields.wheels) do add(key[1], key[2], "") end
  for axle = 1, MOST_AXLES do
    for _, side in ipairs{{"l", "left wheel"}, {"c", "single wheel"}, {"r", "right wheel"}} do
      add(side[1] .. axle, side[2], (" of axle %d"):format(axle))
    end
  end
  for _, other in ipairs(others or {}) do add(other[1], "another name of " .. other[2], "") end
  lines[#lines + 1] = table.concat(class, "\n") .. "\n"
  return names
end

local function without(list, names)
  local kept = {}
  for _, field in ipairs(list) do
    if not names[field[1]:match "^[^?]*"] then kept[#kept + 1] = field end
  end
  return kept
end

local function print_results(lines)
  local wheels = print_wheels(lines, "wheels", "number kg;")
  for _, result in ipairs(calls.results) do
    local list, class, sd = docs.fields(result), "steelyard." .. result[1], docs_fields.sd(result)
    if sd then
      print_class(lines, class .. ".sd", grow(sd), "Standard uncertainties.", sd.wheels and "steelyard.wheels")
      list[#list + 1] = {"sd", class .. ".sd", "", "standard uncertainties under the same names"}
    end
    if result.wheels then list = without(list, wheels) end
    if pictures.of[result[1]] then
      list[#list + 1] = {"plot", ("fun(self: %s, path: string, o?: steelyard.options.picture): string"):format(class), "",
                         "writes its picture"}
    end
    print_class(lines, class, grow(list), result[2], result.wheels and "steelyard.wheels")
  end
end

local no_options = {}

local function written_as(field)
  local reader, kind = field[2], (field[3] or no_options).kind
  if reader == "fields" then return "steelyard.fields." .. kind end
  if reader == "tables" then
    return (kind == "limit" and "(steelyard.item|steelyard.fields.%s)[]" or "steelyard.fields.%s[]"):format(kind)
  end
  return assert(language.readers[reader][2], reader)
end

local function unchanged(kind, name) return vehicle_file.not_changed[name] or kind == "axle" and name == "at" end

local function range_of(options)
  local pieces = {}
  if options.unit and options.unit ~= "" then pieces[1] = options.unit end
  if options.words then pieces[#pieces + 1] = table.concat(options.words, ", ") end
  if options.above then pieces[#pieces + 1] = "above " .. core.shortest(options.above) end
  if options.min then pieces[#pieces + 1] = core.shortest(options.min) .. " or more" end
  if options.max then pieces[#pieces + 1] = "up to " .. core.shortest(options.max) end
  return table.concat(pieces, "; ")
end

local function print_file_kind(lines, kind, class, meaning, is_set)
  local own_lines = {meaning, "---@class " .. class}
  if kind == "group" and not is_set then own_lines[3] = "---@field [integer] steelyard.item what is in it" end
  for _, field in ipairs(fields.kinds[kind]) do
    local options, of = field[3] or no_options, written_as(field)
    if is_set and of == "steelyard.point" then of = "steelyard.some_of_point" end
    local needed = options.required and not options.unless and not is_set
    if not (is_set and unchanged(kind, field[1])) then
      own_lines[#own_lines + 1] = ("---@field %s%s %s %s"):format(field[1], needed and "" or "?", of, range_of(options)):gsub(" +$", "")
    end
  end
  lines[#lines + 1] = table.concat(own_lines, "\n") .. "\n"
end

-- What car:set takes of each kind: any of its fields, none is needed.
local set_kinds = {}
for i, item in ipairs(language.words.items) do set_kinds[i] = item.entry and item[1] or nil end
set_kinds[#set_kinds + 1] = "axle"

local function print_file_fields(lines)
  for _, kind in ipairs(fields.all_kinds()) do
    print_file_kind(lines, kind, "steelyard.fields." .. kind,
      ("---What the file says under %s; vehicles/README.md explains each."):format(kind))
  end
  local names = {}
  for i, kind in ipairs(set_kinds) do
    names[i] = "steelyard.set." .. kind
    print_file_kind(lines, kind, names[i], ("---Some of the fields of %s, for car:set."):format(kind), true)
  end
  lines[#lines + 1] = "---@alias steelyard.set " .. table.concat(names, "|") .. "\n"
end

local function print_call(lines, call)
  local names, block = {}, {"---" .. call[4]}
  for _, argument in ipairs(call[2]) do
    names[#names + 1] = argument[1]:gsub("%?", "")
    block[#block + 1] = ("---@param %s %s %s"):format(argument[1], type_of(argument[2]), docs_options.meaning(argument))
  end
  if call[3] then block[#block + 1] = "---@return " .. type_of(call[3]) end
  if not call.does then block[#block + 1] = "---@nodiscard" end
  block[#block + 1] = ("function %s(%s) end"):format(call[1], table.concat(names, ", "))
  lines[#lines + 1] = table.concat(block, "\n") .. "\n"
end

local preface = [[
---@meta steelyard

-- Made by `make docs`.

---@alias steelyard.what string|string[]
---@alias steelyard.number number|steelyard.uncertainty
---@alias steelyard.point steelyard.number[]|{x: steelyard.number, y: steelyard.number, z: steelyard.number}
---@alias steelyard.some_of_point steelyard.number[]|{x?: steelyard.number, y?: steelyard.number, z?: steelyard.number}
---@alias steelyard.trial fun(mm: number): number, {x: number, y: number, z: number}, number, number, number, ...

---@class steelyard.uncertainty
---@field value number
---@field sd number one standard deviation

---By axle: front and rear, or the axles' names.
---@class steelyard.by_axle
---@field front? steelyard.number
---@field rear? steelyard.number
---@field [string] steelyard.number

---What scales read at one go, in a record of a vehicle file: loads by wheel or axle, a list of repeats of one.
---@class steelyard.run
---@field pads? table<string, string|integer> under which wheel
---@field zero_before? steelyard.number|table<string|integer, steelyard.number> what empty pads showed
---@field zero_after? steelyard.number|table<string|integer, steelyard.number>
---@field facing? "forward"|"back"
---@field others? "blocks"|"floor"
---@field sd? number
---@field step? number
---@field name? string
---@field [string] steelyard.number|steelyard.number[]

---One number or word a variant; nil where it is not known.
---@class steelyard.column
---@field [integer] number|string
---@field list fun(self: steelyard.column): (number|string)[] all entries
---@field min fun(self: steelyard.column): number? least of what is known
---@field max fun(self: steelyard.column): number? greatest

---@class steelyard.unknown
---@class steelyard.item
---@class steelyard.shape

---Where something moves and turns. Lengths mm, angles deg.
---@class steelyard.move
---@field forward? number mm
---@field back? number mm
---@field left? number mm
---@field right? number mm
---@field up? number mm
---@field down? number mm
---@field out? number mm; pieces of a pair, or a part off the centre plane, away from it
---@field nose_up? number deg
---@field nose_down? number deg
---@field left_up? number deg
---@field right_up? number deg
---@field nose_left? number deg
---@field nose_right? number deg
---@field about? "origin"|"cg"|steelyard.point what a turn leaves in place

---@class steelyard.spec
---@field about? string what the script answers
---@field usage? string the command line, after "steelyard"
---@field examples? string[]
---@field args? table[]
---@field options? table<string, table>

---@class steelyard.options
---@field json boolean one JSON document instead of text
---@field quiet boolean no remarks on stderr
---@field [string] any
]]

--- The stub file.
function docs_stub.text()
  local lines = {preface}
  print_file_fields(lines)
  print_results(lines)
  print_wheels(lines, "by_wheel", "steelyard.number", {{"fl", "lf"}, {"fr", "rf"}, {"rl", "lr"}})
  docs_options.print_classes(lines, type_of)
  local class = {"---@class steelyard.car", "local car = {}\n"}
  lines[#lines + 1] = table.concat(class, "\n")
  for _, call in ipairs(calls.car) do print_call(lines, call) end
  class = {"---@class steelyard"}
  for _, unit in ipairs(docs.units()) do
    class[#class + 1] = ("---@field %s number %s"):format(unit[1], core.shortest(unit[2]))
  end
  for _, item in ipairs(language.words.items) do
    class[#class + 1] = ("---@field %s fun(name: string): fun(fields: steelyard.fields.%s): steelyard.item %s"):format(item[1], item[1],
      item[2])
  end
  for _, word in ipairs(language.words.others) do
    if word[4] then class[#class + 1] = ("---@field %s %s %s"):format(word[1], word[4], word[3]) end
  end
  for _, shape in ipairs(language.words.shapes) do
    if not shape.from_file then -- sy.mesh is a call
      class[#class + 1] = ("---@field %s fun(sizes: table): steelyard.shape mm: %s"):format(shape[1], table.concat(shape[2], ", "))
    end
  end
  class[#class + 1] = "local sy = {}\n"
  lines[#lines + 1] = table.concat(class, "\n")
  for _, call in ipairs(calls.module) do print_call(lines, call) end
  lines[#lines + 1] = "return sy\n"
  return table.concat(lines, "\n")
end

return docs_stub
