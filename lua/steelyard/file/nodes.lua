--- Parts, groups, tanks and persons: from items to the nodes of a spec (file/vehicle_file.lua says what they hold).

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local user_values = require "steelyard.file.user_values"
local most = require "steelyard.file.most"
local placing = require "steelyard.file.placing"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local nodes = {}
local type, next = type, next
local enter_item = core.item_reader(language.entry_kinds, most.name)
local readers, wrong = entries.readers, entries.wrong

local DEEPEST = 30        -- groups inside one another: the ledger has 32 levels, the car and a pair take one each
local SUM_ROUNDING = 1e-9 -- what decimal fractions such as three times 0.33333 may exceed 1 by, far above rounding

-- ---- who carries it ---------------------------------------------------------------------------------------------------

local function add_carrier(ctx, inside, key, name, fraction, list)
  local carrier = ctx.carriers[name]
  if not carrier then
    local near = core.nearest(name, ctx.carrier_names)
    return wrong(ctx, inside, key, "unknown", ("%q is neither an axle nor a wheel of this file"):format(name),
      entries.did_you_mean(near) or "they are " .. text.list_names(ctx.carrier_names))
  end
  list[#list + 1] = {carrier = carrier.name, fraction = fraction}
end

local function read_fractions(ctx, owner, key, value)
  local inside, list, names, sum = problems.inside(owner, key), {}, {}, 0
  for name in next, value do
    if type(name) ~= "string" then
      wrong(ctx, inside, name, "type", "needs the name of an axle or a wheel in front",
        "as in unsprung = { front = 0.5 }")
    else
      names[#names + 1] = name
    end
  end
  table.sort(names, core.before)
  for _, name in ipairs(names) do
    local fraction, code, message, hint = user_values.fraction(value[name])
    if not fraction then
      wrong(ctx, inside, name, code, message, hint)
    else
      sum = sum + fraction
      if fraction > 0 then add_carrier(ctx, inside, name, name, fraction, list) end
    end
  end
  if sum > 1 + SUM_ROUNDING then
    wrong(ctx, owner, key, "range", ("the fractions add up to %s, 1 is all of it"):format(text.plain(sum)))
  end
  return list
end

function readers.unsprung(ctx, owner, key, value, _, out)
  local list = {}
  if type(value) == "string" then
    if ctx.carriers then add_carrier(ctx, owner, key, value, 1.0, list) end
  elseif entries.table(ctx, owner, key, value) then
    if ctx.carriers then list = read_fractions(ctx, owner, key, value) end
  end
  if #list > most.carriers then
    wrong(ctx, owner, key, "limit", ("is shared by %d carriers, %d are possible"):format(#list, most.carriers))
  end
  table.sort(list, function(a, b) return ctx.carriers[a.carrier].order < ctx.carriers[b.carrier].order end)
  for i = #list, 2, -1 do
    if list[i].carrier == list[i - 1].carrier then
      wrong(ctx, owner, key, "clash", ("names %s twice"):format(list[i].carrier))
    end
  end
  out[key] = (#list > 0 or ctx.partial) and list or nil -- a change may take all carriers away
end

-- Where the wheels stand that carry it, along the car, and their radius: of a wheel its own, of an axle its line and mean.
local function place_of_wheels(ctx, carrier)
  local axle = ctx.axles[carrier.axle]
  if not (axle.left or axle.right) then return axle, axle.at, axle.loaded_radius end
  return axle, require("steelyard.file.sides").place(axle, carrier.side)
end

-- mm from the line between the wheels of an axle, seen from the side
local function distance_to_wheels(ctx, at, radius, point)
  local fore_aft, upright = ctx.index.fore_aft, ctx.index.upright
  local height = (point[upright] - ctx.ground) * (ctx.axes[ctx.letters.upright] == "up" and 1 or -1)
  return math.sqrt((point[fore_aft] - at) ^ 2 + (height - radius) ^ 2)
end

local function check_carried(ctx, node, frame)
  if #node.at < 3 then return end
  local point = placing.point(frame, node.at)
  for _, share in ipairs(node.unsprung) do
    local axle, at, radius = place_of_wheels(ctx, ctx.carriers[share.carrier])
    if at and radius then
      local distance = distance_to_wheels(ctx, at, radius, point)
      if distance > radius then
        ctx.notes[#ctx.notes + 1] = ("%s is said to be carried by the %s wheels but lies %s mm from their axle, more than "
          .. "their radius"):format(node.path, axle.name, core.fixed(distance, 0))
      end
    end
  end
end

-- ---- tanks, stand-ins ------------------------------------------------------------------------------------------------

--- Litres or a share of the capacity: {litres =, litres_sd =} or {share =}; nil after noting a problem.
function nodes.read_fill(ctx, owner, key, value)
  if user_values.is_share(value) then
    local share, code, message, hint = user_values.fraction(value)
    if share and share <= 1 then return {share = share} end
    wrong(ctx, owner, key, code or "range", message or ("is %s, a tank holds 100 %%"):format(value), hint)
    return nil
  end
  local litres, sd = entries.number(ctx, owner, key, value, {unit = "litre", min = 0})
  return litres and {litres = litres, litres_sd = sd, limits = user_values.has_limits(value)}
end

--- A problem when `fill` is more than `capacity` (litre, may be nil); brim-full where it is so but for rounding.
function nodes.check_fill(ctx, owner, key, fill, capacity)
  if not fill.litres then return end
  local litres = user_values.held(fill.litres, capacity)
  if litres then
    fill.litres = litres
  else
    wrong(ctx, owner, key, "range", ("is %s litres, the tank holds %s"):format(text.plain(fill.litres),
      user_values.litres_text(capacity)))
  end
end

function readers.fill(ctx, owner, key, value, _, out) out[key] = nodes.read_fill(ctx, owner, key, value) end

-- kg/L: liquefied natural gas and concentrated sulphuric acid, the ends of what vehicles carry as a liquid. Source: CRC Handbook
-- of Chemistry and Physics, densities of liquids (from memory).
local LIGHTEST, HEAVIEST = 0.42, 1.84

local function check_density(ctx, owner, density)
  if density and (density < LIGHTEST or density > HEAVIEST) then
    ctx.notes[#ctx.notes + 1] = ("tank %s: a density of %s kg/L is that of no usual liquid, they have %s to %s"):format(
      owner.part, text.plain(density), text.plain(LIGHTEST), text.plain(HEAVIEST))
  end
end

-- A change that leaves less room than the line's own fill needs.
local function check_room(ctx, owner, node, before)
  local field = node.capacity_by_shape and "shape" or "capacity"
  if node.capacity and before.fill and not user_values.held(before.fill, node.capacity) then
    wrong(ctx, owner, field, "range", ("holds %s litres, and the fill is %s"):format(user_values.litres_text(node.capacity),
      text.plain(before.fill)), "state another fill with it")
  end
end

local function finish_tank(ctx, owner, node, from, meant)
  check_density(ctx, owner, node.density)
  local before = ctx.node or {}
  local stated_before = before.capacity and not before.capacity_by_shape -- goes on beside another shape
  if node.capacity then node.capacity_by_shape = false end
  if not node.capacity and node.shape and not stated_before then
    node.capacity_by_shape = true
    node.capacity = require("steelyard.file.bodies").volume(node.shape)
    if not node.capacity then
      return wrong(ctx, owner, "shape", "geometry", ("a %s holds no liquid"):format(node.shape.kind), "give the capacity")
    end
  end
  local capacity = node.capacity or before.capacity
  local stated = from.capacity ~= nil or from.shape ~= nil -- but wrongly, which is named already
  if not capacity and not ctx.partial and not (stated or meant.capacity or meant.shape) then
    return wrong(ctx, owner, "capacity", "missing", "is missing, and there is no shape to work it out from")
  end
  if node.unusable or node.pick_up or before.unusable or before.pick_up then
    require("steelyard.file.unusable_fuel").finish(ctx, owner, node, capacity)
  end
  local fill = node.fill
  if not fill then return check_room(ctx, owner, node, before) end
  nodes.check_fill(ctx, owner, "fill", fill, capacity)
  node.fill = fill.litres or fill.share * (capacity or 0)
  node.fill_sd, node.fill_limits = fill.litres_sd, fill.limits
end

function readers.stand_in(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local partial = ctx.partial
  ctx.partial = false
  out[key] = entries.read(ctx, problems.inside(owner, key), "stand_in", value)
  ctx.partial = partial
  if out[key].unknown then wrong(ctx, problems.inside(owner, key), "mass", "missing", "a stand-in's mass must be known") end
end

-- ---- nodes ------------------------------------------------------------------------------------------------------------

-- What does not depend on who else is there.
local function check_together(ctx, owner, node)
  if node.inertia and node.shape then
    wrong(ctx, owner, "inertia", "clash", "stands beside shape, one of the two is enough")
  end
  local pair = node.pair or ctx.node and ctx.node.pair
  if pair and node.count then
    wrong(ctx, owner, "count", "clash", "stands beside pair, one of the two is enough")
  end
  if not (pair and node.unsprung) or ctx.side then return end
  for _, share in ipairs(node.unsprung) do
    local carrier = ctx.carriers[share.carrier]
    if carrier.side and carrier.side ~= 0 then
      wrong(ctx, owner, "unsprung", "clash", ("a pair has a piece on each side, %s is on one"):format(share.carrier),
        ("name the axle: \"%s\""):format(ctx.axles[carrier.axle].name))
    end
  end
end

-- See unaccounted.lua, which books the line once all masses are known.
local function check_unaccounted(ctx, owner, node, from, meant)
  if ctx.partial then
    return wrong(ctx, owner, "unaccounted", "unavailable", "is booked when the file is loaded", "write it in the file")
  end
  if not (node.whole or meant.whole or from.whole ~= nil) then
    return wrong(ctx, owner, "unaccounted", "missing", "stands without whole, the mass of the group as weighed")
  end
  for i = 1, #from do
    local child = from[i]
    local name = user_values.is_item(child) and rawget(child, "name") or user_values.is_plain(child) and child.name
    if name == "unaccounted" then
      wrong(ctx, owner, "unaccounted", "clash", "books a line of that name, and the group has one already")
    end
  end
end

-- What such a group has beyond its parts was worked out from those it was weighed with, and goes on being that.
local function refuse_weighed_again(ctx, owner, from)
  for _, field in ipairs{"whole", "weighed", "unaccounted"} do
    if from[field] ~= nil then
      return wrong(ctx, owner, field, "unavailable",
        "belongs to a group that counts as it was weighed, which is booked when the file is loaded", "write it in the file")
    end
  end
end

--- The fields of one part, group, tank or person, read and checked, into `out` if given. partial: for changes. Also tells whether nothing
-- has kept the owner.
function nodes.fields(ctx, owner, kind, from, skip, out)
  local node, meant, unused = entries.read(ctx, owner, kind, from, ctx.partial, skip, out)
  if kind == "group" then
    if node.at == true then node.at = {0.0, 0.0, 0.0} end
    if node.at_sd then
      wrong(ctx, owner, "at", "unavailable", "the place of a group takes no uncertainty", "state it on the parts inside")
    end
    if node.weighed then require("steelyard.file.weighings").finish_group(ctx, owner, node, from) end
    if node.unaccounted then check_unaccounted(ctx, owner, node, from, meant) end
    if ctx.partial and ctx.node.unaccounted then refuse_weighed_again(ctx, owner, from) end
  else
    check_together(ctx, owner, node)
    if kind == "tank" then finish_tank(ctx, owner, node, from, meant) end
    if kind == "person" then require("steelyard.file.posture").finish(ctx, owner, node, from) end
    if node.weighed or node.instrument then require("steelyard.file.weighings").finish(ctx, owner, node, from) end
  end
  return node, unused and kind == "part" and not (node.weighed or node.instrument)
end

local read_node

-- A file may write so many of a kind: more is reported, with all that was wrong before, and nothing else is read.
local function stop_at(ctx, owner, key, count, possible, what)
  if count <= possible then return end
  wrong(ctx, owner, key, "limit", ("is number %d, a vehicle file has %d %s at most"):format(count, possible, what),
    what == "parts and groups" and "long lists of parts are read from tables, with from_csv" or nil)
  ctx.problems:raise_first()
end

local function count_written(ctx, owner, node, before)
  if node.kind == "tank" then
    ctx.tanks = ctx.tanks + 1
    stop_at(ctx, owner, nil, ctx.tanks, most.tanks, "tanks")
  elseif node.whole then
    ctx.wholes = ctx.wholes + 1
    stop_at(ctx, owner, "whole", ctx.wholes, most.wholes, "groups weighed whole")
    ctx.in_wholes = ctx.in_wholes + ctx.written - before
    if ctx.most_written == most.parts and ctx.in_wholes > most.in_wholes then
      wrong(ctx, owner, "whole", "limit", ("groups weighed whole hold more than %d parts, each counted as often as it lies in one"):format(
        most.in_wholes))
      ctx.problems:raise_first()
    end
  end
end

--- Does this value stand for all parts of a table?
function nodes.is_table(value) return user_values.is_item(value) and value.kind == "from_csv" end

-- What an entry of a list of parts stands for goes to the end of `list`: one node, or all that a table holds.
local function read_entry(ctx, list, value, parent, index, path, frame, siblings, depth)
  if not nodes.is_table(value) then
    ctx.written = ctx.written + 1
    if ctx.written > ctx.most_written then
      stop_at(ctx,
      user_values.is_item(value) and {item = value, part = value.name, kind = value.kind} or problems.inside(parent, index), nil,
        ctx.written, ctx.most_written, "parts and groups")
    end
    list[#list + 1] = read_node(ctx, value, parent, index, path, frame, siblings, depth)
    return
  end
  for _, item in ipairs(require("steelyard.file.from_csv").items(ctx, value)) do
    list[#list + 1] = read_node(ctx, item, parent, index, path, frame, siblings, depth)
  end
end

local MANY = 100 -- entries of a list in which plain parts are looked for first

local function plain_taker(ctx, list, from, path, siblings, depth)
  if #from < MANY or depth > DEEPEST then return nil end
  return require("steelyard.file.node_list").taker(ctx, list, from, path, siblings)
end

local function read_children(ctx, owner, node, from, frame, depth)
  local inside = placing.inside(frame, ctx.axes, #node.at == 3 and node.at or {0, 0, 0}, node.turned)
  local siblings, children, i, last = {}, {}, 1, #from
  local take = plain_taker(ctx, children, from, node.path, siblings, depth + 1)
  while i <= last do
    local taken = take and take(i) or 0
    if taken == 0 then
      read_entry(ctx, children, from[i], owner, i, node.path, inside, siblings, depth + 1)
      taken = 1
    end
    i = i + taken
  end
  node.children = children
end

-- Most parts have no use for their owner and leave it to the next: a fifth of the memory that reading takes.
local function new_owner(ctx, item, path, kind)
  local owner = ctx.unused_owner
  if not owner then return {item = item, part = path, kind = kind} end
  ctx.unused_owner, owner.item, owner.part, owner.kind = nil, item, path, kind
  return owner
end

--- One item and what lies in it; nil after a problem that leaves nothing to go on with.
function read_node(ctx, value, parent, index, path, frame, siblings, depth)
  local owner, skip
  local before, problems_before = ctx.written, #ctx.problems.list
  local kind, name, from, line, full = enter_item(value, siblings, ctx.reached, path, depth <= DEEPEST)
  local in_order = kind ~= nil
  if in_order then
    owner = new_owner(ctx, value, full, kind)
  else
    kind, name, from, line, full, owner, skip = require("steelyard.file.entry_closely").look(ctx, value, parent, index, path, siblings,
      depth, DEEPEST)
    if not kind then return nil end
  end
  if #full > most.path then
    return wrong(ctx, owner, nil, "limit", ("has a name of %d bytes with its groups, %d are possible"):format(#full, most.path))
  end
  -- the names of the fields that most parts have make room for them at once
  local node, unused = nodes.fields(ctx, owner, kind, from, skip, {kind = kind, name = name, line = line, path = full, at = nil, mass = nil,
    mass_sd = nil, basis = nil})
  if kind == "group" then
    node.at = node.at or {}
    ctx.on_path[value] = true
    read_children(ctx, owner, node, from, frame, depth)
    ctx.on_path[value] = nil
  elseif node.unsprung and node.at then
    check_carried(ctx, node, frame)
  end
  if kind == "tank" then node.up, node.group_turn = placing.up(frame, ctx.axes), frame.turn end
  count_written(ctx, owner, node, before)
  local n = #ctx.nodes + 1
  ctx.nodes[n], ctx.items[n] = node, value
  if not in_order then ctx.owners[n] = owner end
  if in_order and unused and #ctx.problems.list == problems_before then ctx.unused_owner = owner end
  return node
end

--- The owner of node number n of the context, for problems that are found later.
function nodes.owner(ctx, n)
  local node = ctx.nodes[n]
  return ctx.owners[n] or {item = ctx.items[n], part = node.path, kind = node.kind}
end

--- Read one item at the top of a ledger.
function nodes.read(ctx, value, parent, index, siblings)
  return read_node(ctx, value, parent, index, "", placing.top, siblings, 0)
end

--- For a list of them: see node_list.taker.
function nodes.plain_taker(ctx, list, from, siblings) return plain_taker(ctx, list, from, "", siblings, 0) end

--- The same for an entry of a list, which may stand for all parts of a table.
function nodes.read_entry(ctx, list, value, parent, index, siblings)
  read_entry(ctx, list, value, parent, index, "", placing.top, siblings, 0)
end

return nodes
