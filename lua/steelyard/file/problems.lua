--- What is wrong with a vehicle file: collected first, placed in the text, then the one on the lowest line is raised.
--
-- An owner says what a field belongs to:
--   {item =, part = "powertrain/engine", kind = "tank"}        the { ... } of an item, and how an error names it
--   {up = owner, key = "axles", item =, part =, kind =, own =} what lies under a key of another owner; own: it has a name
--                                                              of its own, so fields are reported from here

local core = require "steelyard.core"

local problems = {}
problems.__index = problems

--- origin = {file =, bytes =}: bytes absent for tables that come from a script.
function problems.new(origin)
  return setmetatable({origin = origin or {}, list = {}}, problems)
end

--- The owner of what lies under `key` of `owner`'s table; `name` and `kind` when it has its own.
function problems.inside(owner, key, name, kind)
  local own = name ~= nil or kind ~= nil
  return {up = owner, key = key, item = owner.item, part = own and name or owner.part, kind = own and kind or owner.kind,
          own = own}
end

local function key_name(key)
  if type(key) == "string" then return key end
  return "[" .. (math.type(key) and core.shortest(key) or "a " .. type(key)) .. "]"
end

--- "stand_in.mass", "tags[2]", or nil for the whole.
function problems.field_name(owner, key)
  local name = key ~= nil and key_name(key) or nil
  while owner and not owner.own and owner.up do
    local outer = key_name(owner.key)
    if name == nil then
      name = outer
    else
      name = outer .. (name:sub(1, 1) == "[" and "" or ".") .. name
    end
    owner = owner.up
  end
  return name
end

local MOST = 100 -- mistakes that are collected; nobody corrects more at a time, and finding all of a million takes long

--- Note a problem with field `key` of `owner` (nil: with the whole). hint: a text, or a function that gives one when the
-- problem is the one that is reported. shown: what the field is called, when not so. Raises when there are many.
function problems:add(owner, key, code, message, hint, shown)
  self.list[#self.list + 1] = {
    owner = owner, key = key, order = #self.list, code = code, message = message, hint = hint,
    part = owner.part, kind = owner.kind, field = shown or problems.field_name(owner, key),
  }
  if #self.list >= MOST then self:raise_first() end
end

--- Note a finished error object.
function problems:take(failure)
  failure.order = #self.list
  self.list[#self.list + 1] = failure
end

--- Raise the first problem of the text, if there is any; of a table all.
function problems:raise_first()
  if #self.list > 0 then core.fail(require("steelyard.file.first_problem").of(self.list, self.origin)) end
end

return problems
