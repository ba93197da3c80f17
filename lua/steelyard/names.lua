--- Names in a vehicle file: what each means once all parts are read, and names that must not be equal.

local core = require "steelyard.core"
local records = require "steelyard.records"

local names = {}
local wrong = records.wrong

-- by_name: the node of a name, or a list of them
local function build_index(ctx)
  local index = {by_name = {}, tags = {}, nodes = ctx.nodes}
  for _, node in ipairs(ctx.nodes) do
    local same = index.by_name[node.name]
    if not same then
      index.by_name[node.name] = node
    elseif same.name then
      index.by_name[node.name] = {same, node}
    else
      same[#same + 1] = node
    end
    for _, tag in ipairs(node.tags or {}) do index.tags[tag] = true end
  end
  return index
end

-- Everything a name may be, for suggestions.
local function list_of(index, with_paths)
  local list = {}
  for _, node in ipairs(index.nodes) do list[#list + 1] = with_paths and node.path or node.name end
  for tag in pairs(index.tags) do list[#list + 1] = tag end
  table.sort(list, core.before)
  return list
end

local function same_name(index, name)
  local same = index.by_name[name]
  return same == nil and {} or same.name and {same} or same
end

-- The nodes that "engine", "powertrain/engine" or "front rim/left" may mean.
local function find(index, name)
  local found = {}
  for _, node in ipairs(same_name(index, name:match "[^/]*$")) do
    if node.path == name or node.path:sub(-#name - 1) == "/" .. name then found[#found + 1] = node end
  end
  local pair = #found == 0 and (name:match "^(.+)/left$" or name:match "^(.+)/right$")
  for _, node in ipairs(pair and find(index, pair) or {}) do
    if node.pair then found[#found + 1] = node end
  end
  return found
end

local function check_ref(ctx, index, ref)
  local found = find(index, ref.name)
  if #found > 1 then
    local paths = {}
    for i, node in ipairs(found) do paths[i] = ("%q"):format(node.path) end
    table.sort(paths, core.before)
    return wrong(ctx, ref.owner, ref.key, "clash", ("%q fits several: %s"):format(ref.name, table.concat(paths, ", ")),
      "write the group with it")
  end
  if #found == 0 then
    if ref.tags and index.tags[ref.name] then return end
    local list = list_of(index, ref.name:find("/", 1, true))
    return wrong(ctx, ref.owner, ref.key, "unknown", ("no part%s is called %q"):format(ref.tags and ", group or tag" or
      " or group", ref.name), records.did_you_mean(core.nearest(ref.name, list)))
  end
  if ref.fill then
    if found[1].kind ~= "tank" then
      return wrong(ctx, ref.owner, ref.key, "type", ("is a %s, only a tank is filled"):format(found[1].kind))
    end
    local nodes = require "steelyard.nodes"
    nodes.check_fill(ctx, ref.owner, ref.key, ref.fill, found[1].capacity)
  end
end

--- Look up every name that was used, and compare names with tags and axles.
function names.check(ctx, spec)
  local index = build_index(ctx)
  local axles = {}
  for _, axle in ipairs(spec.axles or {}) do
    if axle.name then axles[axle.name .. " axle"] = true end
  end
  for i, node in ipairs(ctx.nodes) do
    if axles[node.name] then
      wrong(ctx, ctx.owners[i], nil, "clash", ("%q is what the axle itself is called"):format(node.name))
    end
    for _, tag in ipairs(node.tags or {}) do
      if index.by_name[tag] or axles[tag] then
        wrong(ctx, ctx.owners[i], "tags", "clash", ("the tag %q is also the name of a part"):format(tag))
      end
    end
  end
  for _, ref in ipairs(ctx.refs) do check_ref(ctx, index, ref) end
end

return names
