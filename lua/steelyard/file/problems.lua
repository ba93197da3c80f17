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

-- ---- placing --------------------------------------------------------------------------------------------------

-- line, and place in the order of the text
local function follow(scan, owner, key)
  local item = owner.item
  local line, at, order = item.line, scan:find(item.kind, item.name, item.line)
  local function step(k)
    if not at then return end
    local entry_line, entry_order, inside = scan:entry(at, k)
    at = inside
    if entry_line then line, order = entry_line, entry_order end
  end
  local function walk(o)
    if not o.up then return end
    walk(o.up)
    step(o.key)
  end
  walk(owner)
  if key ~= nil then step(key) end
  return line, order
end

local function place(self, scan, problem)
  local owner = problem.owner
  if not owner then return end
  local item = owner.item
  problem.file = item and item.file or self.origin.file
  if not item then return end
  if scan and not item.file then problem.line, problem.at = follow(scan, owner, problem.key) end
  local locate = rawget(item, "locate")
  if locate then
    problem.listed = rawget(item, "listed")
    problem.message = locate(problem.field) .. problem.message
  end
  problem.line = problem.line or item.line
  if problem.line <= 0 then problem.line = nil end
end

-- Lowest line first; what a table holds counts where the table is named (`listed`), by its own lines. On one line in the
-- order of the text; then by field, so that the order of Lua's tables, which changes from run to run, decides nothing.
local function before(a, b)
  local la, lb = a.listed or a.line or math.huge, b.listed or b.line or math.huge
  if la ~= lb then return la < lb end
  la, lb = a.listed and a.line or 0, b.listed and b.line or 0
  if la ~= lb then return la < lb end
  local pa, pb = a.at or 0, b.at or 0
  if pa ~= pb then return pa < pb end
  local fa, fb = a.field or "", b.field or ""
  if fa ~= fb then return core.before(fa, fb) end
  return a.order < b.order
end

-- The other problems of the table that the first one lies in: a table is corrected in one go, in the spreadsheet.
local function others_of_table(list, first)
  local more = {}
  for _, problem in ipairs(list) do
    if problem ~= first and problem.listed == first.listed and problem.file == first.file then more[#more + 1] = problem end
  end
  table.sort(more, before)
  local plain = {}
  for i, problem in ipairs(more) do
    plain[i] = {code = problem.code, message = problem.message, file = problem.file, line = problem.line, part = problem.part,
               kind = problem.kind, field = problem.field, hint = problem.hint}
    if type(plain[i].hint) == "function" then plain[i].hint = plain[i].hint() end
  end
  return #plain > 0 and plain or nil
end

--- Raise the first problem of the text, if there is any; of a table all.
function problems:raise_first()
  if #self.list == 0 then return end
  local scan = self.origin.bytes and core.scan(self.origin.bytes)
  local first
  for _, problem in ipairs(self.list) do
    place(self, scan, problem)
    if not first or before(problem, first) then first = problem end
  end
  if type(first.hint) == "function" then first.hint = first.hint() end
  if first.listed and not first.more then first.more = others_of_table(self.list, first) end
  core.fail(first)
end

return problems
