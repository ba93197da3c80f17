--- Lists of nodes, of which long runs may stand as plain lines (lua/reader/plain_lines.h): nodes of these are made when somebody looks at
-- them.
--
-- Such a list is read like any other, by number, with # and with ipairs, and takes more at its end; only next and rawget see the
-- gaps. A node that was made stays in the list. A list without runs is a plain table, and its `runs` nil: few files have such long
-- lists, so who reads a list asks for `runs` first, and for this module when there are any.

local core = require "steelyard.core"
local fields = require "steelyard.file.fields"
local most = require "steelyard.file.most"

local node_list = {}
local math_type, rawget, rawset = math.type, rawget, rawset

local List = {}

-- The run in which number i lies.
local function run_at(list, i)
  local runs = rawget(list, "runs")
  local low, high = 1, #runs
  while low <= high do
    local middle = (low + high) // 2
    local run = runs[middle]
    if i < run.first then
      high = middle - 1
    elseif i > run.last then
      low = middle + 1
    else
      return run
    end
  end
end

function List.__index(list, i)
  if math_type(i) ~= "integer" then return nil end
  local run = run_at(list, i)
  if not run then return nil end
  local node = run.source[run.from + i - run.first]
  rawset(list, i, node)
  return node
end

function List.__len(list) return rawget(list, "count") end

function List.__newindex(list, key, value)
  rawset(list, key, value)
  if key == list.count + 1 then list.count = key end
end

--- `count` nodes go to the end of the list: those of source from number `from` on. They are rows of `lines` from `row` on. source: those
-- lines, or another list that has them.
function node_list.add_run(list, source, from, lines, row, count)
  if not rawget(list, "runs") then
    local before = #list
    list.runs, list.count = {}, before
    setmetatable(list, List)
  end
  local first = list.count + 1
  list.runs[#list.runs + 1] = {first = first, last = first + count - 1, source = source, from = from, lines = lines, row = row}
  list.count = list.count + count
end

local function next_piece(list, at)
  local first = at + 1
  if first > #list then return nil end
  local run = run_at(list, first)
  if run then return run.last, run end
  return first, nil, list[first]
end

--- for last, run, node in node_list.pieces(list): one node after the other, but a run at once; then node is nil.
function node_list.pieces(list) return next_piece, list, 0 end

--- The numbers of the nodes that have this name, in order.
function node_list.called(list, name)
  local found = {}
  for last, run, node in node_list.pieces(list) do
    if node then
      if node.name == name then found[#found + 1] = last end
    else
      for _, i in ipairs(run.lines:called(name, run.row, run.last - run.first + 1) or {}) do found[#found + 1] = run.first + i - 1 end
    end
  end
  return found
end

--- for i, node in node_list.single(list): those that stand in no run, in order. called: also those with a name that is a key of it.
function node_list.single(list, called)
  local numbers, at = {}, 0
  for last, run in node_list.pieces(list) do
    if not run then numbers[#numbers + 1] = last end
  end
  local alone = #numbers
  for name in next, called or {} do
    for _, i in ipairs(node_list.called(list, name)) do
      if run_at(list, i) then numbers[#numbers + 1] = i end
    end
  end
  if #numbers > alone then table.sort(numbers) end
  return function()
    at = at + 1
    return numbers[at], list[numbers[at]]
  end
end

--- take(i): how many entries of the list `from`, read in the context ctx (file/entries.lua), are plain parts that were read, from number i
-- on, into the end of `list`. It reads by the same rows as nodes.fields; all else is left.
function node_list.taker(ctx, list, from, path, siblings)
  local longest = math.min(most.name, most.path - (path == "" and 0 or #path + 1))
  local lines, nodes_so_far = core.plain_lines(#from, fields.ready.part, path), ctx.nodes
  return function(i)
    local count = lines:take(from, i, math.min(#from, ctx.most_written - ctx.written), siblings, ctx.reached, ctx.items,
      #nodes_so_far, longest)
    if count == 0 then return 0 end
    local at = #list + 1
    node_list.add_run(list, lines, i, lines, i, count)
    node_list.add_run(nodes_so_far, list, at, lines, i, count)
    ctx.written = ctx.written + count
    return count
  end
end

return node_list
