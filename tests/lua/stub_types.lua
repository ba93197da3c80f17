--- What the editor stubs say, read back: the notation of the Lua language server, as far as lua/meta/steelyard.lua uses it.
--
--   local stub = dofile("tests/lua/stub_types.lua").read(text)
--   stub.classes[name] = {fields = {[name] = {type = T, optional = boolean}}, parents = {names}, index = {[kind] = T}}
--   stub.calls["car:set"] = {params = {{name, type, optional}}, returns = T or nil}
--   stub.problems                 what is declared twice, in words
--   stub:misfit(value, T, path)   what does not fit, in words; nil when all fits
--   stub:loose_fields(class)      its fields that are typed `any`
--   stub:unknown_names()          names of types that nothing declares
--
-- A type is {kind = ...}: "name" (name), "list" (of), "map" (key, of), "record" (fields), "call", "text" (is), "union" (of several).

local stub_types = {}

local read_type

-- ---- types -------------------------------------------------------------------------------------------------------------

local function skip(text, at) return text:find("%S", at) or #text + 1 end

local function expect(text, at, piece)
  at = skip(text, at)
  if text:sub(at, at + #piece - 1) ~= piece then
    error(("%s: %q expected, found %q"):format(text, piece, text:sub(at, at + 20)), 0)
  end
  return at + #piece
end

-- {x: number, y?: number}
local function read_record(text, at)
  local fields = {}
  at = expect(text, at, "{")
  while text:sub(skip(text, at), skip(text, at)) ~= "}" do
    local name, mark, after = text:match("^%s*([%a_][%w_]*)(%??)%s*:()", at)
    if not name then error(text .. ": the name of a field expected", 0) end
    local of
    of, at = read_type(text, after)
    fields[name] = {type = of, optional = mark == "?"}
    at = text:match("^%s*,()", at) or at
  end
  return {kind = "record", fields = fields}, expect(text, at, "}")
end

-- fun(name: type, ...): type, type
local function read_call(text, at)
  at = expect(text, at, "(")
  while text:sub(skip(text, at), skip(text, at)) ~= ")" do
    local after = text:match("^%s*[%a_][%w_]*%??%s*:()", at)
    if not after then error(text .. ": an argument expected", 0) end
    local _
    _, at = read_type(text, after)
    at = text:match("^%s*,()", at) or at
  end
  at = expect(text, at, ")")
  local more = text:match("^%s*:()", at)
  while more do
    local _
    at = text:match("^%s*%.%.%.()", more)
    if not at then _, at = read_type(text, more) end
    more = text:match("^%s*,()", at)
  end
  return {kind = "call"}, at
end

local function read_single(text, at)
  at = skip(text, at)
  if text:sub(at, at) == "(" then
    local of
    of, at = read_type(text, at + 1)
    return of, expect(text, at, ")")
  end
  if text:sub(at, at) == "{" then return read_record(text, at) end
  local is, after = text:match('^"([^"]*)"()', at)
  if is then return {kind = "text", is = is}, after end
  local name
  name, after = text:match("^([%a_][%w_.]*[%w_])()", at)
  if not name then error(("%s: a type expected, found %q"):format(text, text:sub(at, at + 20)), 0) end
  if name == "fun" then return read_call(text, after) end
  if name == "table" and text:sub(after, after) == "<" then
    local key, of
    key, at = read_type(text, after + 1)
    of, at = read_type(text, expect(text, at, ","))
    return {kind = "map", key = key, of = of}, expect(text, at, ">")
  end
  return {kind = "name", name = name}, after
end

-- A type from there on, and the place behind it: one or several with | between, each with [] behind it.
function read_type(text, at)
  local several = {}
  repeat
    local one
    one, at = read_single(text, at)
    while text:sub(at, at + 1) == "[]" do one, at = {kind = "list", of = one}, at + 2 end
    several[#several + 1] = one
    local more = text:match("^|()", at)
    at = more or at
  until not more
  return several[2] and {kind = "union", of = several} or several[1], at
end

-- ---- declarations --------------------------------------------------------------------------------------------------------

local plain = {number = true, integer = true, string = true, boolean = true, ["false"] = true, table = true, any = true}

local function read_class(stub, line)
  local name, parents = line:match "^%-%-%-@class ([%w_.]+)%s*:?%s*(.*)$"
  if stub.classes[name] then table.insert(stub.problems, name .. " is declared twice") end
  stub.classes[name] = {name = name, fields = {}, parents = {}, index = {}}
  for parent in parents:gmatch "[%w_.]+" do table.insert(stub.classes[name].parents, parent) end
  return stub.classes[name]
end

local function read_field(stub, class, line)
  local key, of = line:match "^%-%-%-@field %[(%a+)%] (.*)$"
  if key then
    class.index[key] = read_type(of, 1)
    return
  end
  local name, mark, rest = line:match "^%-%-%-@field ([%a_][%w_]*)(%??) (.*)$"
  if not name then error("not understood: " .. line, 0) end
  if class.fields[name] then table.insert(stub.problems, ("%s: %s is declared twice"):format(class.name, name)) end
  class.fields[name] = {type = read_type(rest, 1), optional = mark == "?"}
end

local Stub = {}
Stub.__index = Stub

--- Reads a stub; what it does not understand is an error.
function stub_types.read(text)
  local stub = setmetatable({classes = {}, aliases = {}, calls = {}, problems = {}}, Stub)
  local class, call = nil, {params = {}}
  for line in text:gmatch "[^\n]*" do
    if line:find "^%-%-%-@class" then class = read_class(stub, line)
    elseif line:find "^%-%-%-@field" then read_field(stub, class, line)
    elseif line:find "^%-%-%-@alias" then
      local name, of = line:match "^%-%-%-@alias ([%w_.]+) (.*)$"
      stub.aliases[name] = read_type(of, 1)
    elseif line:find "^%-%-%-@param" then
      local name, mark, of = line:match "^%-%-%-@param ([%w_]+)(%??) (.*)$"
      table.insert(call.params, {name = name, optional = mark == "?", type = read_type(of, 1)})
    elseif line:find "^%-%-%-@return" then call.returns = read_type(line:match "^%-%-%-@return (.*)$", 1)
    elseif line:find "^function " then
      stub.calls[line:match "^function ([%w_:.]+)%("], call = call, {params = {}}
    elseif line:find "^%-%-%-@" and not line:find "^%-%-%-@meta" and not line:find "^%-%-%-@nodiscard" then
      error("not understood: " .. line, 0)
    end
  end
  return stub
end

local function each_name(of, seen)
  if of.kind == "name" then seen[of.name] = true end
  for _, below in ipairs(of.kind == "union" and of.of or {}) do each_name(below, seen) end
  if of.kind == "list" or of.kind == "map" then each_name(of.of, seen) end
  if of.kind == "map" then each_name(of.key, seen) end
  for _, field in pairs(of.fields or {}) do each_name(field.type, seen) end
end

--- Fields of a class whose type holds `any` or a table of any kind, sorted.
function Stub:loose_fields(name)
  local loose = {}
  for key, field in pairs(self.classes[name].fields) do
    local seen = {}
    each_name(field.type, seen)
    if seen.any or seen.table then loose[#loose + 1] = name .. "." .. key end
  end
  table.sort(loose)
  return loose
end

--- Types that nothing declares, sorted.
function Stub:unknown_names()
  local seen, unknown = {}, {}
  for _, class in pairs(self.classes) do
    for _, field in pairs(class.fields) do each_name(field.type, seen) end
    for _, of in pairs(class.index) do each_name(of, seen) end
    for _, parent in ipairs(class.parents) do seen[parent] = true end
  end
  for _, of in pairs(self.aliases) do each_name(of, seen) end
  for _, call in pairs(self.calls) do
    if call.returns then each_name(call.returns, seen) end
    for _, param in ipairs(call.params) do each_name(param.type, seen) end
  end
  for name in pairs(seen) do
    if not (plain[name] or self.classes[name] or self.aliases[name]) then unknown[#unknown + 1] = name end
  end
  table.sort(unknown)
  return unknown
end

-- ---- values ------------------------------------------------------------------------------------------------------------

--- A field of a class or of one that it is made from.
function Stub:field(name, key)
  local class = self.classes[name]
  if class.fields[key] then return class.fields[key] end
  for _, parent in ipairs(class.parents) do
    local field = self:field(parent, key)
    if field then return field end
  end
end

function Stub:index_of(name, kind)
  local class = self.classes[name]
  if class.index[kind] then return class.index[kind] end
  for _, parent in ipairs(class.parents) do
    local index = self:index_of(parent, kind)
    if index then return index end
  end
end

function Stub:absent(value, name, path)
  local class = self.classes[name]
  for key, field in pairs(class.fields) do
    if not field.optional and value[key] == nil then return ("%s.%s is not there, and declared without ?"):format(path, key) end
  end
  for _, parent in ipairs(class.parents) do
    local misfit = self:absent(value, parent, path)
    if misfit then return misfit end
  end
end

function Stub:misfit_class(value, name, path)
  if type(value) ~= "table" then return ("%s is a %s, declared %s"):format(path, type(value), name) end
  for key, item in pairs(value) do
    local misfit
    if type(key) == "string" then
      local field = self:field(name, key)
      local of = field and field.type or self:index_of(name, "string")
      if not of then return ("%s.%s is not declared"):format(path, key) end
      misfit = self:misfit(item, of, path .. "." .. key)
    else
      local of = math.type(key) == "integer" and self:index_of(name, "integer")
      if not of then return ("%s[%s] is not declared"):format(path, tostring(key)) end
      misfit = self:misfit(item, of, path .. "[]")
    end
    if misfit then return misfit end
  end
  return self:absent(value, name, path)
end

local fits = {}

function fits.text(_, value, of, path) return value ~= of.is and ("%s is not %q"):format(path, of.is) or nil end

function fits.call(_, value, _, path) return type(value) ~= "function" and ("%s is not a function"):format(path) or nil end

function fits.list(stub, value, of, path)
  if type(value) ~= "table" then return ("%s is a %s, declared a list"):format(path, type(value)) end
  for key, item in pairs(value) do
    if math.type(key) ~= "integer" or key < 1 or key > #value then return ("%s.%s is not a place of a list"):format(path, tostring(key)) end
    local misfit = stub:misfit(item, of.of, path .. "[]")
    if misfit then return misfit end
  end
end

function fits.map(stub, value, of, path)
  if type(value) ~= "table" then return ("%s is a %s, declared a table"):format(path, type(value)) end
  for key, item in pairs(value) do
    local misfit = stub:misfit(key, of.key, path .. ", a key,") or stub:misfit(item, of.of, path .. ".*")
    if misfit then return misfit end
  end
end

function fits.record(stub, value, of, path)
  if type(value) ~= "table" then return ("%s is a %s, declared a record"):format(path, type(value)) end
  for key, item in pairs(value) do
    local field = of.fields[key]
    local misfit = not field and ("%s.%s is not declared"):format(path, tostring(key))
      or stub:misfit(item, field.type, path .. "." .. key)
    if misfit then return misfit end
  end
  for key, field in pairs(of.fields) do
    if not field.optional and value[key] == nil then return ("%s.%s is not there, and declared without ?"):format(path, key) end
  end
end

function fits.union(stub, value, of, path)
  local first
  for _, one in ipairs(of.of) do
    local misfit = stub:misfit(value, one, path)
    if not misfit then return nil end
    first = first or misfit
  end
  return first
end

function fits.name(stub, value, of, path)
  local name = of.name
  if stub.aliases[name] then return stub:misfit(value, stub.aliases[name], path) end
  if name == "steelyard.column" and type(value) == "userdata" and type(value.list) == "function" then value = {list = value.list,
    min = value.min, max = value.max} end
  if name == "steelyard.car" then return type(value) ~= "table" and path .. " is not a car" or nil end -- its fields are calls
  if name == "steelyard.shape" then return type(value) ~= "table" and path .. " is not a shape" or nil end
  if name == "steelyard.item" then -- sy.part "name" {...}
    if type(value) ~= "table" or not value.kind then return path .. " is not an item" end
    return stub:misfit_class(value.fields, "steelyard.fields." .. value.kind, ("%s, %s %q"):format(path, value.kind, value.name))
  end
  if stub.classes[name] then return stub:misfit_class(value, name, path) end
  if name == "false" then return value ~= false and path .. " is not false" or nil end
  local is = name == "integer" and math.type(value) or type(value)
  if name == "any" or is == name then return nil end
  return ("%s is a %s, declared %s"):format(path, is, name)
end

--- What of a value does not fit its type, in words; nil when all of it does.
function Stub:misfit(value, of, path) return fits[of.kind](self, value, of, path) end

return stub_types
