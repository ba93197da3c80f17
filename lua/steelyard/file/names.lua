--- Names in a vehicle file: what each means once all parts are read, and names that must not be equal.

local core = require "steelyard.core"
local entries = require "steelyard.file.entries"

local names = {}
local wrong = entries.wrong

local function owner_of(ctx, n) return require("steelyard.file.nodes").owner(ctx, n) end

-- The group that each node lies in.
local function parents_of(nodes)
  local parents = {}
  for _, node in ipairs(nodes) do
    for _, child in ipairs(node.children or {}) do parents[child] = node end
  end
  return parents
end

-- Nodes of one last name, or of the same last names: {nodes, with the node that bears the outermost of these names for each}.
local function new_bucket() return {nodes = {}, bearers = {}} end

local function add(buckets, name, node, bearer)
  local bucket = buckets[name]
  if not bucket then
    bucket = new_bucket()
    buckets[name] = bucket
  end
  bucket.nodes[#bucket.nodes + 1], bucket.bearers[#bucket.bearers + 1] = node, bearer
end

-- The nodes by their own name: each alone, or a list of them. Most names are looked up alone, so it is made without buckets.
local function by_name(index)
  if index.by_name then return index.by_name end
  local found = {}
  for _, node in ipairs(index.nodes) do
    local same = found[node.name]
    if same == nil then
      found[node.name] = node
    elseif same.name then
      found[node.name] = {same, node}
    else
      same[#same + 1] = node
    end
  end
  index.by_name = found
  return found
end

local FEW = 5 -- names that are looked up by going through the nodes: making the table takes as long
local FEW_OF_RUNS = 200 -- the same where it would make the nodes of all plain lines

local function nodes_called(index, name)
  if not index.by_name and index.asked < (index.nodes.runs and FEW_OF_RUNS or FEW) then
    index.asked = index.asked + 1
    local found = {}
    if index.nodes.runs then
      for k, i in ipairs(require("steelyard.file.node_list").called(index.nodes, name)) do found[k] = index.nodes[i] end
      return found
    end
    for _, node in ipairs(index.nodes) do
      if node.name == name then found[#found + 1] = node end
    end
    return found
  end
  local found = by_name(index)[name]
  return found == nil and {} or found.name and {found} or found
end

-- Those in the bucket whose next group outward has this name. Parted once, when first asked, so that looking up many names takes no
-- longer than going through the parts, and strings of paths are made for none.
local function outward(index, bucket, name)
  if not bucket.outward then
    bucket.outward = {}
    index.parents = index.parents or parents_of(index.nodes)
    for i, bearer in ipairs(bucket.bearers) do
      local group = index.parents[bearer]
      if group then add(bucket.outward, group.name, bucket.nodes[i], group) end
    end
  end
  return bucket.outward[name]
end

-- The nodes whose path ends in `name`: a list.
local function ending_in(index, name)
  if not name:find("/", 1, true) then return nodes_called(index, name) end
  local path = {}
  for word in (name .. "/"):gmatch "([^/]*)/" do path[#path + 1] = word end
  local last = path[#path]
  local bucket = index.buckets[last]
  if not bucket then
    local nodes = nodes_called(index, last)
    bucket = {nodes = nodes, bearers = nodes}
    index.buckets[last] = bucket
  end
  for i = #path - 1, 1, -1 do
    bucket = outward(index, bucket, path[i])
    if not bucket then return {} end
  end
  return bucket.nodes
end

--- for i, node: those that stand by themselves, and of runs of plain lines (file/node_list.lua) those with a name that is a key of `called`
function names.single(list, called)
  if list.runs then return require("steelyard.file.node_list").single(list, called) end
  return ipairs(list)
end

local function build_index(ctx)
  local index = {tags = {}, nodes = ctx.nodes, buckets = {}, asked = 0}
  for _, node in names.single(ctx.nodes) do -- plain lines have no tags
    if node.tags then
      for _, tag in ipairs(node.tags) do index.tags[tag] = true end
    end
  end
  return index
end

-- The word of the file that was probably meant.
local function suggest(index, name)
  local list, with_paths = {}, name:find("/", 1, true)
  for _, node in ipairs(index.nodes) do list[#list + 1] = with_paths and node.path or node.name end
  for tag in pairs(index.tags) do list[#list + 1] = tag end
  table.sort(list, core.before)
  return entries.did_you_mean(core.nearest(name, list))
end

-- The nodes that "engine", "powertrain/engine" or "front rim/left" may mean.
local function find(index, name)
  local found = ending_in(index, name)
  if #found > 0 then return found end
  local sides = {}
  local pair = name:match "^(.+)/left$" or name:match "^(.+)/right$"
  for _, node in ipairs(pair and ending_in(index, pair) or {}) do
    if node.pair then sides[#sides + 1] = node end
  end
  return sides
end

local MOST_PATHS = 5 -- that a message lists

local function list_paths(nodes)
  local paths = {}
  for i = 1, math.min(#nodes, MOST_PATHS) do paths[i] = ("%q"):format(nodes[i].path) end
  table.sort(paths, core.before)
  return table.concat(paths, ", ") .. (#nodes > MOST_PATHS and ", ..." or "")
end

-- Does a word of a state's `without` mean this node or what it lies in?
local function means(index, word, node)
  local function around(other) return node.path == other.path or node.path:sub(1, #other.path + 1) == other.path .. "/" end
  for _, other in ipairs(find(index, word)) do
    if around(other) then return true end
  end
  for _, other in ipairs(index.tags[word] and index.nodes or {}) do
    for _, tag in ipairs(around(other) and other.tags or {}) do
      if tag == word then return true end
    end
  end
  return false
end

-- Is a part aboard before a state swaps? All are but the spares and what the state leaves out; a mock-up is another matter.
local function is_aboard(index, state, node)
  if state.stand_ins or index.spares[node.path:match "^[^/]*"] then return false end
  for _, word in ipairs(state.without or {}) do
    if means(index, word, node) then return false end
  end
  return true
end

-- The key under which the same table, of fills or swaps, names this node already; nil the first time.
local function said_before(ctx, ref, node)
  local said = ctx.said[ref.said_in]
  if not said then
    said = {}
    ctx.said[ref.said_in] = said
  end
  local before = said[node.path]
  said[node.path] = before or ref.key
  return before
end

local function check_ref(ctx, index, ref)
  local found = find(index, ref.name)
  if #found > 1 then
    return wrong(ctx, ref.owner, ref.key, "clash", ("%q fits several: %s"):format(ref.name, list_paths(found)),
      "write the group with it")
  end
  if #found == 0 then
    if ref.tags and index.tags[ref.name] then return end
    return wrong(ctx, ref.owner, ref.key, "unknown", ("no part%s is called %q"):format(ref.tags and ", group or tag" or
      " or group", ref.name), function() return suggest(index, ref.name) end)
  end
  if ref.comes_in or ref.fill then
    local before = said_before(ctx, ref, found[1])
    if before then
      return wrong(ctx, ref.owner, ref.key, "clash", ref.fill and ("is the same tank as %q"):format(before)
        or ("%q takes the place of %q already"):format(ref.name, before))
    end
  end
  if ref.comes_in and is_aboard(index, ref.comes_in, found[1]) then
    return wrong(ctx, ref.owner, ref.key, "clash", ("%q is aboard already and cannot take another's place as well"):format(ref.name),
      "name a spare, or leave it out with without")
  end
  if ref.fill then
    if found[1].kind ~= "tank" then
      return wrong(ctx, ref.owner, ref.key, "type", ("is a %s, only a tank is filled"):format(found[1].kind))
    end
    local nodes = require "steelyard.file.nodes"
    nodes.check_fill(ctx, ref.owner, ref.key, ref.fill, found[1].capacity)
  end
end

local function is_name(index, name)
  if index.nodes.runs then return #nodes_called(index, name) > 0 end
  return by_name(index)[name] ~= nil
end

--- Look up every name that was used, and compare names with tags and axles.
function names.check(ctx, spec)
  local index = build_index(ctx)
  index.spares, ctx.said = {}, {}
  for _, node in ipairs(spec.spares or {}) do index.spares[node.name] = true end
  local axles = {}
  for _, axle in ipairs(spec.axles or {}) do
    if axle.name then axles[axle.name .. " axle"] = true end
  end
  for i, node in names.single(ctx.nodes, axles) do
    if axles[node.name] then
      wrong(ctx, owner_of(ctx, i), nil, "clash", ("%q is what the axle itself is called"):format(node.name))
    end
    if node.tags then
      for _, tag in ipairs(node.tags) do
        if is_name(index, tag) or axles[tag] then
          wrong(ctx, owner_of(ctx, i), "tags", "clash", ("the tag %q is also the name of a part"):format(tag))
        end
      end
    end
  end
  for _, ref in ipairs(ctx.refs) do check_ref(ctx, index, ref) end
end

return names
