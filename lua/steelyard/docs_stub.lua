--- The editor stubs: types of everything a script meets, in the notation of the Lua language server.

local core = require "steelyard.core"
local calls = require "steelyard.calls"
local docs = require "steelyard.docs"
local fields = require "steelyard.fields"

local docs_stub = {}

local own = {car = true, item = true, doubt = true, shape = true, what = true, move = true, spec = true, options = true, trial = true}
for _, result in ipairs(calls.results) do own[result[1]] = true end

-- "car[]" -> "steelyard.car[]", "text" -> "string"
local function type_of(word)
  local name, more = word:match "^([%a_.]+)(.*)$"
  if name == "text" then name = "string" elseif name == "list" then name = "any[]"
  elseif own[name] or name:find "^fields%." then name = "steelyard." .. name end
  return name .. more
end

-- {path, type, unit, meaning} into a tree of classes: a node has fields (in order) and nodes below it
local function grow(list)
  local top = {order = {}, below = {}}
  for _, field in ipairs(list) do
    local node, path = top, field[1]
    while true do
      local name, mark, rest = path:match "^([%a_]*)(%[?%]?)%.(.+)$"
      if not name then break end
      local below = node.below[name .. mark]
      if not below then
        below = {order = {}, below = {}, name = name, list = mark == "[]"}
        node.below[name .. mark] = below
        node.order[#node.order + 1] = below
      end
      node, path = below, rest
    end
    node.order[#node.order + 1] = {path, field[2], field[3], field[4]}
  end
  return top
end

local function print_class(lines, class, node, meaning)
  local own_lines = {"---" .. meaning, "---@class " .. class}
  for _, entry in ipairs(node.order) do
    if entry.order then
      local below = class .. "." .. (entry.name == "" and "entry" or entry.name)
      print_class(lines, below, entry, "Part of " .. class .. ".")
      own_lines[#own_lines + 1] = entry.name == "" and ("---@field [integer] %s"):format(below)
        or ("---@field %s %s%s"):format(entry.name, below, entry.list and "[]" or "")
    else
      own_lines[#own_lines + 1] = ("---@field %s %s %s%s"):format(entry[1], type_of(entry[2]),
        entry[3] ~= "" and entry[3] .. "; " or "", entry[4])
    end
  end
  lines[#lines + 1] = table.concat(own_lines, "\n") .. "\n"
end

-- The sd of a balance: the same names for all quantities that have a doubt.
local function balance_doubts()
  local list = {}
  for _, q in ipairs(require("steelyard.quantities").list) do
    if q.from == "core" then list[#list + 1] = {q.name, "number", q.unit, "standard uncertainty"} end
  end
  return list
end

local function print_results(lines)
  for _, result in ipairs(calls.results) do
    local list = docs.fields(result)
    if result.answers then
      print_class(lines, "steelyard." .. result[1] .. ".sd", grow(balance_doubts()), "Standard uncertainties.")
      list[#list + 1] = {"sd", "steelyard." .. result[1] .. ".sd", "", "standard uncertainties under the same names"}
    else
      list[#list + 1] = {"sd", "table", "", "standard uncertainties"}
    end
    print_class(lines, "steelyard." .. result[1], grow(list), result[2])
  end
end

-- How a vehicle file's field is written, by the reader of fields.lua.
local written = {
  text = "string", choice = "string", name = "string", quantity = "string", wheel = "string", direction = "string",
  flag = "boolean", texts = "string[]", names = "string[]", point = "steelyard.point", mass = "steelyard.number",
  shown = "steelyard.number", readings = "steelyard.number|steelyard.number[]", loads = "table<string, steelyard.number>",
  gain = "steelyard.number", weighed = "steelyard.fields.weighed",
  number = "steelyard.number", within = "number", count = "integer", bound = "number", fraction = "number|string",
  whole = "steelyard.number", fill = "steelyard.number|string", stand_in = "steelyard.fields.stand_in",
  shape = "steelyard.shape", ledger = "steelyard.item[]", states = "steelyard.item[]", axles = "steelyard.fields.axle[]",
  unsprung = "string|table<string, number>", turned = "steelyard.move", fills = "table<string, number|string>",
}

local function range_of(options)
  local pieces = {}
  if options.unit and options.unit ~= "" then pieces[1] = options.unit end
  if options.words then pieces[#pieces + 1] = table.concat(options.words, ", ") end
  if options.above then pieces[#pieces + 1] = "above " .. core.shortest(options.above) end
  if options.min then pieces[#pieces + 1] = core.shortest(options.min) .. " or more" end
  if options.max then pieces[#pieces + 1] = "up to " .. core.shortest(options.max) end
  return table.concat(pieces, "; ")
end

local function print_file_fields(lines)
  local kinds = {}
  for _, kind in ipairs(fields.all) do kinds[#kinds + 1] = kind end
  table.sort(kinds, core.before)
  for _, kind in ipairs(kinds) do
    local class = {("---What the file says under %s; vehicles/README.md explains each."):format(kind),
                   "---@class steelyard.fields." .. kind}
    if kind == "group" then class[3] = "---@field [integer] steelyard.item what is in it" end
    for _, field in ipairs(fields.kinds[kind]) do
      local options = field[3]
      local line = ("---@field %s%s %s %s"):format(field[1], options.required and "" or "?", written[field[2]] or "any",
        range_of(options))
      class[#class + 1] = (line:gsub(" +$", ""))
    end
    lines[#lines + 1] = table.concat(class, "\n") .. "\n"
  end
end

local function print_call(lines, call)
  local names, block = {}, {"---" .. call[4]}
  for _, argument in ipairs(call[2]) do
    names[#names + 1] = argument[1]:gsub("%?", "")
    block[#block + 1] = ("---@param %s %s %s"):format(argument[1], type_of(argument[2]), argument[3])
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
---@alias steelyard.number number|steelyard.doubt
---@alias steelyard.point number[]|{x: number, y: number, z: number}
---@alias steelyard.trial fun(mm: number): number, {x: number, y: number, z: number}, number, number, number, ...

---@class steelyard.doubt
---@field value number
---@field sd number one standard deviation

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
  local class = {"---@class steelyard.car", "local car = {}\n"}
  lines[#lines + 1] = table.concat(class, "\n")
  for _, call in ipairs(calls.car) do print_call(lines, call) end
  class = {"---@class steelyard", "---@field unknown any a mass that is not known"}
  for _, unit in ipairs(docs.units()) do
    class[#class + 1] = ("---@field %s number %s"):format(unit[1], core.shortest(unit[2]))
  end
  for _, kind in ipairs{"part", "group", "tank", "person", "state", "limit"} do
    class[#class + 1] = ("---@field %s fun(name: string): fun(fields: steelyard.fields.%s): steelyard.item"):format(kind, kind)
  end
  class[#class + 1] = "---@field from_csv fun(name: string): steelyard.item all the parts of a table"
  class[#class + 1] = "---@field vehicle fun(fields: steelyard.fields.vehicle): steelyard.item"
  local shapes = {}
  for shape in pairs(fields.shapes) do shapes[#shapes + 1] = shape end
  table.sort(shapes, core.before)
  for _, shape in ipairs(shapes) do
    class[#class + 1] = ("---@field %s fun(sizes: table): steelyard.shape mm: %s"):format(shape,
      table.concat(fields.shapes[shape], ", "))
  end
  class[#class + 1] = "local sy = {}\n"
  lines[#lines + 1] = table.concat(class, "\n")
  for _, call in ipairs(calls.module) do print_call(lines, call) end
  lines[#lines + 1] = "return sy\n"
  return table.concat(lines, "\n")
end

return docs_stub
