--- What a vehicle file lists beside its parts: the readers of states, points, limits and other lists of named things.
-- named_entry(ctx, value, inside, i, kind) is there for lists of a kind of their own (file/records.lua).

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local fields = require "steelyard.file.fields"
local most = require "steelyard.file.most"
local nodes = require "steelyard.file.nodes"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local readers, wrong = {}, entries.wrong

-- ---- states ---------------------------------------------------------------------------------------------------------

function readers.fills(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value, most.entries) then return end
  local inside, fills, tanks = problems.inside(owner, key), {}, {}
  for name in next, value do
    if type(name) == "string" then
      tanks[#tanks + 1] = name
    else
      wrong(ctx, inside, name, "type", "needs the name of a tank in front",
        "as in fill = { fuel = \"90 %\" }")
    end
  end
  table.sort(tanks, core.before) -- what is reported of two names does not hang on the order of a table
  for _, name in ipairs(tanks) do
    local fill = nodes.read_fill(ctx, inside, name, value[name])
    fills[name] = fill
    entries.refer(ctx, {owner = inside, key = name, name = name, fill = fill or {}, said_in = value})
  end
  out[key] = fills
end

function readers.swaps(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value, most.entries) then return end
  local inside, swaps = problems.inside(owner, key), {}
  for old, new in next, value do
    if type(old) ~= "string" or type(new) ~= "string" then
      wrong(ctx, inside, old, "type",
        "must be a name for a name, as in swap = { driver = \"tall driver\" }")
    else
      swaps[#swaps + 1] = {old = old, new = new}
    end
  end
  table.sort(swaps, function(a, b) return core.before(a.old, b.old) end)
  for _, swap in ipairs(swaps) do
    entries.refer(ctx, {owner = inside, key = swap.old, name = swap.old})
    entries.refer(ctx, {owner = inside, key = swap.old, name = swap.new, comes_in = out, said_in = value})
  end
  out[key] = swaps
end

-- One entry of a list of things with names: an item of that kind, or a plain table with `name`.
-- kind, name, fields, owner; nil after a problem.
local function named_entry(ctx, value, inside, i, kind)
  if not (user_values.is_item(value) or user_values.is_plain(value)) then
    return wrong(ctx, inside, i, "type", ("must be %s, is %s"):format(entries.a(kind), user_values.what(value)))
  end
  if user_values.is_item(value) then
    local is, name, from = value.kind, value.name, value.fields
    local owner = {item = value, part = name, kind = is}
    if is ~= kind then return wrong(ctx, owner, nil, "type", ("%s has no place here, %s has"):format(entries.a(is), entries.a(kind))) end
    if not ctx.problems.origin.bytes and not value.file then owner.item = inside.item end
    ctx.reached[value] = true
    if from then return name, from, owner end
    return wrong(ctx, owner, nil, "missing", "has no { ... } behind its name")
  end
  local name = type(value.name) == "string" and value.name or kind == "limit" and value.quantity or nil
  if type(name) ~= "string" then return nil, value, problems.inside(inside, i) end
  return value.name, value, problems.inside(inside, i, name, kind)
end

local function is_name_key(key) return key == "name" end

function readers.states(ctx, owner, key, value, _, out)
  ctx.state_names = {}
  local states, taken = {}, {}
  entries.list(ctx, owner, key, value, function(i, entry, inside)
    local name, from, own = named_entry(ctx, entry, inside, i, "state")
    if not own then return end
    if type(name) ~= "string" or name == "" then
      return wrong(ctx, own, nil, "missing", "needs a name", "as in state \"kerb\" { ... }")
    end
    if #name > most.text then return wrong(ctx, own, nil, "limit", ("has a name of %d bytes, %d are possible"):format(#name, most.text)) end
    if taken[name] then wrong(ctx, own, nil, "clash", "the name is taken by another state") end
    taken[name] = true
    local state = entries.read(ctx, own, "state", from, false, is_name_key)
    ctx.state_names[#ctx.state_names + 1] = name
    state.name, state.line = name, user_values.is_item(entry) and entry.line or nil
    states[#states + 1] = state
  end, most.states)
  out[key] = states
end

-- ---- limits and the like ------------------------------------------------------------------------------------------

-- A bound written with a unit word has the quantity's kind: no kilograms on a share. What is counted in g takes a plain number.
local function check_bounds(ctx, owner, limit, from)
  local quantity = limit.quantity and ctx.quantity_of and ctx.quantity_of(limit.quantity)
  if not quantity then return end
  local unit = user_values.knows(quantity.unit) and quantity.unit or ""
  for _, key in ipairs{"min", "max", "near"} do
    if limit[key] ~= nil and type(from[key]) ~= "number" then
      local number, code, message = user_values.number(from[key], unit)
      if not number then
        wrong(ctx, owner, key, code, ("%s; %s is in %s"):format(message, limit.quantity, quantity.unit ~= "" and quantity.unit
          or "plain numbers"))
      end
    end
  end
end

local function check_limit(ctx, owner, limit, meant, from)
  check_bounds(ctx, owner, limit, from)
  for _, name in ipairs(limit.state or {}) do
    local known, names = false, ctx.state_names or {}
    for _, state in ipairs(names) do known = known or state == name end
    if not known then
      wrong(ctx, owner, "state", "unknown", ("no state is called %q"):format(name), entries.did_you_mean(core.nearest(name, names)))
    end
  end
  if limit.min == nil and limit.max == nil and not (meant.min or meant.max) then
    wrong(ctx, owner, nil, "missing", "has neither min nor max")
  end
  if limit.min and limit.max and limit.min > limit.max then
    wrong(ctx, owner, "min", "clash", ("is %s, above max %s"):format(text.plain(limit.min), text.plain(limit.max)))
  end
  limit.name = limit.name or limit.quantity
end

-- The fields of an item whose kind wants a name among them.
local function with_name(ctx, own, from, name)
  if from.name ~= nil then wrong(ctx, own, "name", "clash", ("stands inside, and %q in front"):format(name), "one of the two is enough") end
  local named = {}
  for key, value in next, from do named[key] = value end
  named.name = name
  return named
end

function readers.tables(ctx, owner, key, value, options, out)
  local list, taken, kind = {}, {}, options.kind
  entries.list(ctx, owner, key, value, function(i, entry, inside)
    local name, from, own = named_entry(ctx, entry, inside, i, kind)
    if not own then return end
    if kind == "instrument" and user_values.is_item(entry) then from = with_name(ctx, own, from, name) end
    local made, meant = entries.read(ctx, own, kind, from, false, is_name_key)
    if type(name) == "string" then made.name = name end
    if kind == "limit" then check_limit(ctx, own, made, meant, from) end
    if kind == "instrument" then made = require("steelyard.file.weighings").instrument(made) end
    if kind == "shaft" then require("steelyard.file.shaft_file").check(ctx, own, made) end
    if made.name and taken[made.name] then
      wrong(ctx, own, nil, "clash", ("the name is taken by another %s"):format(kind))
    end
    taken[made.name or i] = true
    list[#list + 1] = made
  end, most[key])
  out[key] = list
  if kind == "instrument" then ctx.instruments = list end
end

function readers.bound(ctx, owner, key, value, _, out)
  local number, code, message, hint = user_values.any(value)
  if not number then return wrong(ctx, owner, key, code, message, hint) end
  if key == "near" and number < 0 then
    return wrong(ctx, owner, key, "range", ("must be 0 or more, is %s"):format(text.plain(number)))
  end
  out[key] = number
end

function readers.quantity(ctx, owner, key, value, options, out)
  entries.readers.text(ctx, owner, key, value, options, out)
  local known = ctx.quantities
  if type(known) == "function" then known = known() end
  if not out[key] or not known then return end
  for _, name in ipairs(known) do
    if name == value then return end
  end
  local means = ctx.quantity_of and ctx.quantity_of(value).name or value
  if means ~= value then -- another name of a quantity that is known
    out[key] = means
    return
  end
  local axle = value:match "^axle%.(.+)$"
  local tank = value:match "^usable%.(.+)$"
  for _, node in ipairs(tank and ctx.nodes or {}) do
    if node.kind == "tank" and (node.name == tank or node.path == tank) then return end
  end
  if ctx.wheels and ctx.wheels[value] == value then return end
  if axle and ctx.carriers and ctx.carriers[axle] and not ctx.carriers[axle].side then return end
  wrong(ctx, owner, key, "unknown", ("there is no quantity %q"):format(value),
    entries.did_you_mean(core.nearest(value, known)))
end

-- {["front jack"] = {x, y, z}}, or a list of {name =, at =, part =}
function readers.points(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value, most.points) then return end
  local keys, list, inside = {}, {}, problems.inside(owner, key)
  for k in next, value do
    if type(k) == "string" or math.type(k) == "integer" then
      keys[#keys + 1] = k
    else
      wrong(ctx, inside, k, "type", "a point needs a name")
    end
  end
  table.sort(keys, function(a, b)
    if type(a) ~= type(b) then return type(a) == "number" end
    if type(a) == "number" then return a < b end
    return core.before(a, b)
  end)
  for _, k in ipairs(keys) do
    local entry = value[k]
    local name = type(k) == "string" and k or user_values.is_plain(entry) and entry.name
    local own = type(name) == "string" and problems.inside(inside, k, name, "point") or problems.inside(inside, k)
    if type(name) ~= "string" then
      wrong(ctx, own, nil, "missing", "needs a name", "as in points = { [\"front jack\"] = {x, y, z} }")
    elseif user_values.is_plain(entry) and entry.at ~= nil then
      local point = entries.read(ctx, own, "point", entry, false, is_name_key)
      point.name = name
      list[#list + 1] = point
    else
      local point = {name = name}
      local rest = core.read_fields(fields.ready.point, false, {at = entry}, point)
      if rest then entries.readers.point(ctx, problems.inside(owner, key), k, entry) end
      list[#list + 1] = point
    end
  end
  out[key] = list
end

return {readers = readers, named_entry = named_entry}
