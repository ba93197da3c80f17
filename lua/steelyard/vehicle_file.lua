--- The vehicle file: from the tables a user wrote to a spec of plain numbers, with every mistake found and placed.
--
--   vehicle_file.read(raw, origin) -> spec
--       raw     what core.run_file gave (origin.bytes is then its text), or a table with the fields of a vehicle
--       origin  {file =, bytes =, quantities = list of names that limits may use}
--   vehicle_file.item(item, {spec =, file =}) -> node            for car:add
--   vehicle_file.fields(kind, changes, {spec =, name =, node =}) -> only what `changes` says, checked the same way;
--       kind: part group tank person axle; node: as it was. A plain mass comes without mass_sd. `at` may be partial:
--       the list then has holes. What cannot be changed this way (pair, an axle's at) is refused.
--   vehicle_file.fills(fills, {spec =}) -> {[name] = {litres =, litres_sd =} or {share = 0.9}}
--   vehicle_file.wheel_keys(axles) -> {"lf", "rf", "lr", "rr"}   in the order of the wheels: axle by axle, left first
--   All raise error objects; of several problems the one on the lowest line.
--
-- All numbers of a spec are plain, in workshop units (mm, kg, deg, litre, N/mm, kg m2, N m/deg), along the file's own
-- axes. A doubt is a standard uncertainty under the name of its value with _sd behind it; nil: not stated. Points are
-- lists {x, y, z}. Fields that were not given are nil unless a default stands here.
--
-- spec = {
--   title =, file =, note =,
--   axes = {x = "back", y = "right", z = "up"}, ground = 0, centre = 0, cross_share = 50, design = name of a state,
--   assume = {estimate = 0.15, calculated =, supplier =, weighed =, within_mm = limits in mm} or nil; not applied yet,
--   chassis = {torsion =} or nil,
--   axles = {{name =, at =, wheels = 2 or 1, track =, loaded_radius =, tyre_rate =, spring_rate =, motion_ratio =,
--             bar_rate =, roll_centre =, perch_pitch =, bump =, droop =}, ...},
--   wheel_keys = {...},
--   parts = {node, ...}, spares = {node, ...},
--   states = {{name =, line =, with = {names or tags}, without = {...}, fill = {[tank] = as in fills()},
--              swap = {{old =, new =}, ...}, stand_ins = true}, ...},
--   points = {{name =, at =, part =}, ...},
--   shafts = {{name =, inner = {part =, at =, at_sd =, axis = {x, y, z}}, outer = {the same, wheel =, pivot =, hinge =,
--              path = {{travel, x, y, z}, ...}, steer =}, joint = "cv" or "cardan", axis = {x, y, z}, static_limit =,
--              worst_limit =, plunge_limit =, cut_length =, phase =}, ...},
--   clearances = {{name =, a = {part =, wheel =, at =, to =, radius =}, b = {...} or {ground = true}, asked =,
--                 leaves = {forward, left, up} in mm}, ...},
--   limits = {{name =, quantity =, min =, max =, near =}, ...},
--   instruments = {{name =, unit =, sd =, step =, range =, bias =, bias_sd = (kg), gain = 1, gain_sd = relative}, ...},
--   liquids = {names of tanks whose liquid lies as deep as its fill says} or nil,
--   notes = {sentences to be shown with every result},
-- }
-- node = {
--   kind = "part" "group" "tank" "person", name =, path = "group/part", line =, note =, tags = {...},
--   at = {x, y, z} in the group's directions from the group's `at`, at_sd = {[1..3] = sd or nil},
--   turned = {nose_up =, left_up =, nose_left =},      signed, only those three words
--   group:   children = {node, ...}, whole = {value =, sd =}
--   others:  mass =, mass_sd =, unknown = true (mass is then nil), basis = "estimate" ..., growth = 0.1,
--            shape = {kind = "tube", sizes in the core's order, and by name, axis = "x" "y" "z"}, or {kind = "mesh",
--            file =, mesh = userdata in m, per_kg = its inertia at 1 kg, litres =}, inertia = {xx ... yz},
--            unsprung = {{carrier = axle name or wheel key, fraction =}, ...}, pair = true, count = n,
--            includes = {...}, excludes = {...}, bolted_to = {...}, scale = instrument,
--            weighed = the record as read, bias_share =, gain_mass =: see weighings.lua,
--            was = {value =, sd =, basis =, unknown =}: the mass booked before, shown and never used,
--            stand_in = {mass =, mass_sd =, at =, at_sd =}
--   person:  hip =, hip_sd =, stature =, torso =, thigh =, knee =, ankle =, shoulder =, elbow =, head =, segments = "men" or "women", all
--            or none; then at and at_sd are worked out and per_kg = {xx ... yz} is the inertia of each kg: see posture.lua
--   tank:    density =, density_sd =, fill = litres, fill_sd =, capacity = litres, dry_mass = 0, dry_mass_sd =;
--            no mass of its own: dry_mass + density x fill; up = the direction up in a turned group, nil in others;
--            unusable = litres, unusable_sd =, or pick_up = point, pick_up_sd =: see unusable.lua
-- }

local core = require "steelyard.core"
local amounts = require "steelyard.amounts"
local axles = require "steelyard.axles"
local build = require "steelyard.build"
local fields = require "steelyard.fields"
local from_csv = require "steelyard.from_csv"
local names = require "steelyard.names"
local nodes = require "steelyard.nodes"
local problems = require "steelyard.problems"
local records = require "steelyard.records"

local vehicle_file = {wheel_keys = axles.wheel_keys}
local readers, wrong = records.readers, records.wrong

-- Not every file has shafts.
local function shaft_file() return require "steelyard.shaft_file" end
for _, reader in ipairs{"joint", "path"} do
  readers[reader] = function(...) return shaft_file().readers[reader](...) end
end

-- Nor clearances.
for _, reader in ipairs{"place", "leaves"} do
  readers[reader] = function(...) return require("steelyard.clearance_file").readers[reader](...) end
end

-- Most files weigh nothing on a scale they name.
local function weighings() return require "steelyard.weighings" end
for _, reader in ipairs{"weighed", "shown", "gain", "readings", "loads"} do
  readers[reader] = function(...) return weighings().readers[reader](...) end
end

-- ---- parts, states --------------------------------------------------------------------------------------------------

function readers.ledger(ctx, owner, key, value, _, out)
  local list = {}
  if from_csv.is(value) then value = {value} end
  records.list(ctx, owner, key, value, function(i, entry, inside)
    nodes.read_entry(ctx, list, entry, inside, i, ctx.siblings)
  end)
  if key == "parts" and amounts.is_plain(value) and next(value) == nil then wrong(ctx, owner, key, "missing", "is empty") end
  out[key] = list
end

function readers.fills(ctx, owner, key, value, _, out)
  if not records.table(ctx, owner, key, value) then return end
  local inside, fills = problems.inside(owner, key), {}
  for name in next, value do
    if type(name) ~= "string" then
      wrong(ctx, inside, name, "type", "needs the name of a tank in front",
        "as in fill = { fuel = \"90 %\" }")
    else
      local fill = nodes.read_fill(ctx, inside, name, value[name])
      fills[name] = fill
      ctx.refs[#ctx.refs + 1] = {owner = inside, key = name, name = name, fill = fill or {}}
    end
  end
  out[key] = fills
end

function readers.swaps(ctx, owner, key, value, _, out)
  if not records.table(ctx, owner, key, value) then return end
  local inside, swaps = problems.inside(owner, key), {}
  for old, new in next, value do
    if type(old) ~= "string" or type(new) ~= "string" then
      wrong(ctx, inside, old, "type",
        "must be a name for a name, as in swap = { driver = \"tall driver\" }")
    else
      swaps[#swaps + 1] = {old = old, new = new}
      ctx.refs[#ctx.refs + 1] = {owner = inside, key = old, name = old}
      ctx.refs[#ctx.refs + 1] = {owner = inside, key = old, name = new}
    end
  end
  table.sort(swaps, function(a, b) return core.before(a.old, b.old) end)
  out[key] = swaps
end

-- One entry of a list of things with names: an item of that kind, or a plain table with `name`.
-- kind, name, fields, owner; nil after a problem.
local function named_entry(ctx, value, inside, i, kind)
  if not (amounts.is_item(value) or amounts.is_plain(value)) then
    return wrong(ctx, inside, i, "type", ("must be %s, is %s"):format(records.a(kind), amounts.what(value)))
  end
  if amounts.is_item(value) then
    local is, name, from = value.kind, value.name, value.fields
    local owner = {item = value, part = name, kind = is}
    if is ~= kind then return wrong(ctx, owner, nil, "type", ("%s has no place here, %s has"):format(records.a(is), records.a(kind))) end
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
  local states, taken = {}, {}
  records.list(ctx, owner, key, value, function(i, entry, inside)
    local name, from, own = named_entry(ctx, entry, inside, i, "state")
    if not own then return end
    if type(name) ~= "string" or name == "" then
      return wrong(ctx, own, nil, "missing", "needs a name", "as in state \"kerb\" { ... }")
    end
    if taken[name] then wrong(ctx, own, nil, "clash", "the name is taken by another state") end
    taken[name] = true
    local state = records.read(ctx, own, "state", from, false, is_name_key)
    state.name, state.line = name, amounts.is_item(entry) and entry.line or nil
    states[#states + 1] = state
  end)
  out[key] = states
end

-- ---- the rest of the vehicle ----------------------------------------------------------------------------------------

function readers.record(ctx, owner, key, value, options, out)
  if records.table(ctx, owner, key, value) then
    out[key] = records.read(ctx, problems.inside(owner, key), options.kind, value)
  end
end

local function check_limit(ctx, owner, limit, meant)
  if limit.min == nil and limit.max == nil and not (meant.min or meant.max) then
    wrong(ctx, owner, nil, "missing", "has neither min nor max")
  end
  if limit.min and limit.max and limit.min > limit.max then
    wrong(ctx, owner, "min", "clash", ("is %s, above max %s"):format(core.shortest(limit.min), core.shortest(limit.max)))
  end
  limit.name = limit.name or limit.quantity
end

function readers.records(ctx, owner, key, value, options, out)
  local list, taken, kind = {}, {}, options.kind
  records.list(ctx, owner, key, value, function(i, entry, inside)
    local name, from, own = named_entry(ctx, entry, inside, i, kind)
    if not own then return end
    local record, meant = records.read(ctx, own, kind, from, false, is_name_key)
    if type(name) == "string" then record.name = name end
    if kind == "limit" then check_limit(ctx, own, record, meant) end
    if kind == "instrument" then record = weighings().instrument(record) end
    if kind == "shaft" then shaft_file().check(ctx, own, record) end
    if record.name and taken[record.name] then
      wrong(ctx, own, nil, "clash", ("the name is taken by another %s"):format(kind))
    end
    taken[record.name or i] = true
    list[#list + 1] = record
  end)
  out[key] = list
  if kind == "instrument" then ctx.instruments = list end
end

function readers.bound(ctx, owner, key, value, _, out)
  local number, code, message, hint = amounts.any(value)
  if not number then return wrong(ctx, owner, key, code, message, hint) end
  if key == "near" and number < 0 then
    return wrong(ctx, owner, key, "range", ("must be 0 or more, is %s"):format(core.shortest(number)))
  end
  out[key] = number
end

function readers.quantity(ctx, owner, key, value, options, out)
  readers.text(ctx, owner, key, value, options, out)
  local known = ctx.quantities
  if not out[key] or not known then return end
  for _, name in ipairs(known) do
    if name == value then return end
  end
  local axle = value:match "^axle%.(.+)$"
  if ctx.wheels and ctx.wheels[value] == value then return end
  if axle and ctx.carriers and ctx.carriers[axle] and not ctx.carriers[axle].side then return end
  wrong(ctx, owner, key, "unknown", ("there is no quantity %q"):format(value),
    records.did_you_mean(core.nearest(value, known)))
end

-- {["front jack"] = {x, y, z}}, or a list of {name =, at =, part =}
function readers.points(ctx, owner, key, value, _, out)
  if not records.table(ctx, owner, key, value) then return end
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
    local name = type(k) == "string" and k or amounts.is_plain(entry) and entry.name
    local own = type(name) == "string" and problems.inside(inside, k, name, "point") or problems.inside(inside, k)
    if type(name) ~= "string" then
      wrong(ctx, own, nil, "missing", "needs a name", "as in points = { [\"front jack\"] = {x, y, z} }")
    elseif amounts.is_plain(entry) and entry.at ~= nil then
      local point = records.read(ctx, own, "point", entry, false, is_name_key)
      point.name = name
      list[#list + 1] = point
    else
      local point = {name = name}
      readers.point(ctx, problems.inside(owner, key), k, entry, {}, point)
      list[#list + 1] = {name = name, at = point[k], at_sd = point[k .. "_sd"]}
    end
  end
  out[key] = list
end

-- ---- putting it together ----------------------------------------------------------------------------------------------

local function new_context(origin)
  local ctx = {problems = problems.new(origin), notes = {}, refs = {}, nodes = {}, owners = {}, reached = {}, on_path = {},
               siblings = {}, ground = 0, quantities = origin.quantities}
  axles.use_axes(ctx, axles.DEFAULT_AXES) -- until the file says otherwise
  return ctx
end

-- Items that were written but stand nowhere. One that lies in another such item is told by the outer one.
local function check_used(ctx, made)
  local function reach(value)
    if not amounts.is_plain(value) and not amounts.is_item(value) then return end
    local from = value
    if amounts.is_item(value) then from = rawget(value, "fields") end
    if ctx.reached[value] then return end
    ctx.reached[value] = true
    for _, child in ipairs(type(from) == "table" and from or {}) do reach(child) end
  end
  for i = #made, 1, -1 do
    local item = made[i]
    if amounts.is_item(item) and item.kind ~= "vehicle" and not ctx.reached[item] then
      wrong(ctx, {item = item, part = item.name, kind = item.kind}, nil, "content", "is written but stands nowhere",
        item.kind == "state" and "it belongs into states = { ... }" or "is it meant to stand in parts = { ... }?")
      reach(item)
    end
  end
end

local function check_design(ctx, owner, spec)
  if not spec.design then return end
  local list = {}
  for i, state in ipairs(spec.states or {}) do
    if state.name == spec.design then return end
    list[i] = state.name
  end
  wrong(ctx, owner, "design", "unknown", ("no state is called %q"):format(spec.design),
    records.did_you_mean(core.nearest(spec.design, list)))
end

local function say_unused(ctx)
  local n = ctx.unused_doubts
  if n then
    ctx.notes[#ctx.notes + 1] = ("%d stated %s of an angle, a size or an inertia %s not used"):format(n,
      n == 1 and "doubt" or "doubts", n == 1 and "is" or "are")
  end
  if ctx.axle_doubts then ctx.notes[#ctx.notes + 1] = "doubts of axle dimensions are kept but do not enter the results" end
end

-- Names of tanks whose liquid lies as deep as its fill says.
local function liquids_of(ctx)
  local tanks = {}
  for _, node in ipairs(ctx.nodes) do
    if build.has_level(node) then tanks[#tanks + 1] = node.name end
  end
  return #tanks > 0 and tanks or nil
end

local function vehicle_of(raw, origin)
  if not origin.bytes then
    if amounts.is_item(raw) then return raw, rawget(raw, "fields") end
    return {kind = "vehicle", name = "", line = 0, file = false}, raw
  end
  if raw.vehicle then return raw.vehicle, rawget(raw.vehicle, "fields") end
  core.fail(raw.loss or {code = "content", file = origin.file, message = "holds no vehicle { ... }",
    hint = "everything of a vehicle file stands inside one"})
end

--- Read and check a whole vehicle.
function vehicle_file.read(raw, origin)
  local item, from = vehicle_of(raw, origin)
  local ctx = new_context(origin)
  if raw.loss and origin.bytes then ctx.problems:take(raw.loss) end
  local owner = {item = item}
  if not amounts.is_plain(from) then
    core.fail {code = "type", file = origin.file, message = "vehicle takes its fields in braces"}
  end
  local spec = records.read(ctx, owner, "vehicle", from)
  spec.file = origin.file
  spec.title = spec.title or origin.file and origin.file:match "([^/\\]+)%.lua$" or origin.file or "untitled vehicle"
  spec.axes = spec.axes or axles.DEFAULT_AXES
  spec.wheel_keys, spec.notes = ctx.wheel_keys, ctx.notes
  names.check(ctx, spec)
  check_design(ctx, owner, spec)
  if origin.bytes then check_used(ctx, raw.made) end
  ctx.problems:raise_first()
  say_unused(ctx)
  spec.liquids = liquids_of(ctx)
  return spec
end

local function context_for(context)
  local ctx = new_context {file = context.file}
  axles.use_axes(ctx, context.spec.axes)
  axles.use_axles(ctx, context.spec.axles)
  ctx.ground, ctx.instruments = context.spec.ground or 0, context.spec.instruments
  return ctx
end

--- One part, group, tank or person that is added to a car.
function vehicle_file.item(item, context)
  local ctx = context_for(context)
  local node = nodes.read(ctx, item, {item = {kind = "vehicle", name = "", line = 0, file = false}}, 1, {})
  ctx.problems:raise_first()
  return node
end

-- What a change of a part or an axle cannot say.
local not_changed = {
  pair = "a pair stays a pair", name = "a name stays what it is", wheels = "an axle keeps its wheels",
}

--- Changes of a part, group, tank, person or axle.
function vehicle_file.fields(kind, changes, context)
  local ctx = context_for(context)
  ctx.partial, ctx.node = true, context.node
  local owner = {part = context.name, kind = kind}
  local node = context.node or {}
  for key, why in pairs(not_changed) do
    if changes[key] ~= nil then wrong(ctx, owner, key, "unavailable", why, "add another part instead") end
  end
  local result
  if kind == "axle" then
    owner.part = context.name and context.name:gsub(" axle$", "")
    if changes.at ~= nil then
      wrong(ctx, owner, "at", "unavailable", "an axle is moved with car:move", "its parts then go with it")
    end
    result = records.read(ctx, owner, kind, changes, true, function(key) return not_changed[key] end)
  elseif fields.kinds[kind] then
    result = nodes.fields(ctx, owner, kind, changes, function(key) return not_changed[key] end)
  else
    core.fail {code = "type", message = ("%q is no kind of part"):format(tostring(kind))}
  end
  if result.shape and node.inertia or result.inertia and node.shape then
    wrong(ctx, owner, result.shape and "shape" or "inertia", "clash", ("the part has %s already"):format(
      result.shape and "an inertia" or "a shape"))
  end
  ctx.problems:raise_first()
  return result
end

--- Fills asked for by car:fill.
function vehicle_file.fills(fills, context)
  local ctx, out = context_for(context), {}
  readers.fills(ctx, {}, "fill", fills, {}, out)
  ctx.problems:raise_first()
  return out.fill
end

return vehicle_file
