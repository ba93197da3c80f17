--- The problem of a vehicle file that is reported: all are placed in the text, the one on the lowest line is first.

local core = require "steelyard.core"

local first_problem = {}

-- line, and place in the order of the text
local function follow(map, owner, key)
  local item = owner.item
  local line, at, order = item.line, map:find(item.kind, item.name, item.line)
  local function step(k)
    if not at then return end
    local entry_line, entry_order, inside = map:entry(at, k)
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

local function place(origin, map, problem)
  local owner = problem.owner
  if not owner then return end
  local item = owner.item
  problem.file = item and item.file or origin.file
  if not item then return end
  if map and not item.file then problem.line, problem.at = follow(map, owner, problem.key) end
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

--- The first of a list of problems, with the others of its table. origin: as in problems.new.
function first_problem.of(list, origin)
  local map = origin.bytes and core.source_map(origin.bytes)
  local first
  for _, problem in ipairs(list) do
    place(origin, map, problem)
    if not first or before(problem, first) then first = problem end
  end
  if type(first.hint) == "function" then first.hint = first.hint() end
  if first.listed and not first.more then first.more = others_of_table(list, first) end
  return first
end

--- The line of what the file of a spec says under keys of its vehicle, such as "axles", 1, "bump", as far as they lead; nil where it has
-- no text.
function first_problem.line_of(spec, ...)
  local bytes = spec.file and spec.sources[1]
  if not (bytes and spec.line) then return nil end
  local owner = {item = {kind = "vehicle", name = "", line = spec.line}}
  for i = 1, select("#", ...) do owner = {up = owner, key = (select(i, ...)), item = owner.item} end
  return (follow(core.source_map(bytes), owner))
end

return first_problem
