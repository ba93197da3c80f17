--- The vehicle file: from the tables a user wrote to a spec of plain numbers, with every mistake found and placed.
--
--   vehicle_file.read(raw, origin) -> spec
--       raw     what core.run_file gave (origin.bytes is then its text), or a table with the fields of a vehicle
--       origin  {file =, bytes =, quantities = list of names that limits may use, or a function that gives it}
--   vehicle_file.item(item, {spec =, file =}) -> node            for car:add
--   vehicle_file.fields(kind, changes, {spec =, name =, node =, side =}) -> only what `changes` says, checked the same way;
--       kind: part group tank person axle; node: as it was; side: it is one piece of a pair. A plain mass comes without
--       mass_sd. `at` may be partial: the list then has holes. What cannot be changed this way (pair, an axle's at) is refused.
--   vehicle_file.fills(fills, {spec =}) -> {[name] = {litres =, litres_sd =} or {share = 0.9}}
--   vehicle_file.wheel_keys(axles) -> {"lf", "rf", "lr", "rr"}   in the order of the wheels: axle by axle, left first
--   All raise error objects; of several problems the one on the lowest line.
--
-- All numbers of a spec are plain, in workshop units (mm, kg, deg, litre, N/mm, kg m2, N m/deg), along the file's own
-- axes. An uncertainty is a standard uncertainty under the name of its value with _sd behind it; nil: not stated. Points are
-- lists {x, y, z}. Fields that were not given are nil unless a default stands here.
--
-- spec = {
--   title =, file =, note =,
--   axes = {x = "back", y = "right", z = "up"}, ground = 0, centre = 0, cross_share = 50, design = name of a state,
--   lowered = {front =, front_sd =, rear =, rear_sd =} or nil,
--   assume = {estimate = 0.15, calculated =, supplier =, weighed =, within_mm = limits in mm} or nil; not applied yet,
--   chassis = {torsion =} or nil,
--   axles = {{name =, at =, wheels = 2 or 1, track =, loaded_radius =, tyre_rate =, spring_rate =, motion_ratio =,
--             bar_rate =, roll_centre =, perch_pitch =, bump =, droop =, left = {at =, half_track =, ...}, right = {...}: see
--             file/sides.lua}, ...},
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
--   limits = {{name =, quantity =, min =, max =, near =, state = {names}}, ...},
--   instruments = {{name =, unit =, sd =, step =, range =, bias =, bias_sd = (kg), gain = 1, gain_sd = relative,
--                   each = {bias =, bias_sd =, gain =, gain_sd =} or nil: of each pad by itself, certificate =}, ...},
--   records = list, see file/records.lua, or nil,
--   more_instruments = {{name =, bias_sd =, gain_sd =}, ...} or nil: instruments that no part may name: what a pad has of its own, and of a
--                   file that a record names those of the file with the record
--   liquids = {names of tanks whose liquid lies as deep as its fill says} or nil,
--   notes = {sentences to be shown with every result},
--   tables = {paths of the tables its parts come from},
--   sources = {the bytes of the file, then of the tables and meshes it names, as they were read},
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
--            includes = {...}, excludes = {...}, bolted_to = {...}, instrument = name,
--            weighed = the record as read, bias_share =, gain_mass =: see weighings.lua,
--            was = {value =, sd =, basis =, unknown =}: the mass booked before, shown and never used,
--            stand_in = {mass =, mass_sd =, at =, at_sd =}
--   person:  hip =, hip_sd =, stature =, torso =, thigh =, knee =, ankle =, shoulder =, elbow =, head =, segments = "men" or "women", all
--            or none; then at and at_sd are worked out and per_kg = {xx ... yz} is the inertia of each kg: see posture.lua
--   tank:    density =, density_sd =, fill = litres, fill_sd =, capacity = litres, dry_mass = 0, dry_mass_sd =;
--            no mass of its own: dry_mass + density x fill; up = the direction up in a turned group, group_turn = the rotation
--            of that group, both nil in others;
--            unusable = litres, unusable_sd =, or pick_up = point, pick_up_sd =: see file/unusable_fuel.lua
-- }

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local axles = require "steelyard.file.axles"
local held_liquid = require "steelyard.file.held_liquid"
local fields = require "steelyard.file.fields"
local names = require "steelyard.file.names"
local nodes = require "steelyard.file.nodes"
local most = require "steelyard.file.most"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"

local vehicle_file = {wheel_keys = axles.wheel_keys}
local readers, wrong = entries.readers, entries.wrong

-- ---- parts ------------------------------------------------------------------------------------------------------------

function readers.ledger(ctx, owner, key, value, _, out)
  local list = {}
  if nodes.is_table(value) then value = {value} end
  entries.list(ctx, owner, key, value, function(i, entry, inside)
    nodes.read_entry(ctx, list, entry, inside, i, ctx.siblings)
  end, math.huge, -- counted one by one, with those in groups
    user_values.is_plain(value) and nodes.plain_taker(ctx, list, value, ctx.siblings) or nil)
  if key == "parts" and user_values.is_plain(value) and next(value) == nil then wrong(ctx, owner, key, "missing", "is empty") end
  out[key] = list
end

function readers.fields(ctx, owner, key, value, options, out)
  if entries.table(ctx, owner, key, value) then
    local meant
    out[key], meant = entries.read(ctx, problems.inside(owner, key), options.kind, value)
    if next(meant) ~= nil then ctx.misspelt[out[key]] = meant end
  end
end

-- Another name of a field.
function readers.alias(ctx, owner, key, value, options, out, from, kind)
  local of = options.of
  if from[of] ~= nil then return wrong(ctx, owner, key, "clash", ("means the same as %s"):format(of), "leave one of the two out") end
  if core.read_fields(fields.ready[kind], true, {[of] = value}, out) then
    local row = fields.by_name[kind][of]
    readers[row[2]](ctx, owner, key, value, row[3] or {}, {})
  end
end

-- ---- putting it together ----------------------------------------------------------------------------------------------

local function new_context(origin)
  local ctx = {problems = problems.new(origin), notes = {}, tables = {}, refs = {}, nodes = {}, items = {}, owners = {}, reached = {},
               misspelt = {}, -- table of fields that was read -> those that misspelt ones were probably meant to be
               on_path = {}, siblings = {}, ground = 0, quantities = origin.quantities, quantity_of = origin.quantity_of,
               written = 0, tanks = 0, wholes = 0, in_wholes = 0, most_written = origin.bytes and most.parts or math.huge,
               most_names = origin.bytes and most.names or math.huge}
  axles.use_axes(ctx, axles.DEFAULT_AXES) -- until the file says otherwise
  return ctx
end

-- Items that were written but stand nowhere. One that lies in another such item is reported by the outer one.
local function check_used(ctx, made)
  local function reach(value)
    if not user_values.is_plain(value) and not user_values.is_item(value) then return end
    local from = value
    if user_values.is_item(value) then from = rawget(value, "fields") end
    if ctx.reached[value] then return end
    ctx.reached[value] = true
    for _, child in ipairs(type(from) == "table" and from or {}) do reach(child) end
  end
  for i = #made, 1, -1 do
    local item = made[i]
    if user_values.is_item(item) and item.kind ~= "vehicle" and not ctx.reached[item] then
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
    entries.did_you_mean(core.nearest(spec.design, list)))
end

local function say_unused(ctx)
  local n = ctx.unused_uncertainties
  if n then
    ctx.notes[#ctx.notes + 1] = ("%d stated %s of an angle, a size or an inertia %s not used"):format(n,
      n == 1 and "uncertainty" or "uncertainties", n == 1 and "is" or "are")
  end
  if ctx.axle_uncertainties then
    ctx.notes[#ctx.notes + 1] = "uncertainties of loaded radii count in cg_height alone, those of perch pitches nowhere"
  end
end

-- Names of tanks whose liquid lies as deep as its fill says.
local function liquids_of(ctx)
  local tanks = {}
  for _, node in names.single(ctx.nodes) do
    if held_liquid.has_level(node) then tanks[#tanks + 1] = node.name end
  end
  return #tanks > 0 and tanks or nil
end

local function vehicle_of(raw, origin)
  if not origin.bytes then
    if user_values.is_item(raw) then return raw, rawget(raw, "fields") end
    return {kind = "vehicle", name = "", line = 0, file = false}, raw
  end
  if raw.vehicle then return raw.vehicle, rawget(raw.vehicle, "fields") end
  core.fail(raw.silent_error or {code = "content", file = origin.file, message = "holds no vehicle { ... }",
    hint = "everything of a vehicle file stands inside one"})
end

--- Read and check a whole vehicle.
function vehicle_file.read(raw, origin)
  local item, from = vehicle_of(raw, origin)
  local ctx = new_context(origin)
  if raw.silent_error and origin.bytes then ctx.problems:take(raw.silent_error) end
  local owner = {item = item}
  if not user_values.is_plain(from) then
    core.fail {code = "type", file = origin.file, message = "vehicle takes its fields in braces"}
  end
  local spec = entries.read(ctx, owner, "vehicle", from)
  spec.file, spec.sources = origin.file, origin.sources or {}
  spec.line = origin.bytes and item.line or nil
  spec.title = spec.title or origin.file and origin.file:match "([^/\\]+)%.lua$" or origin.file or "untitled vehicle"
  spec.axes = spec.axes or axles.DEFAULT_AXES
  spec.wheel_keys, spec.notes, spec.tables = ctx.wheel_keys, ctx.notes, ctx.tables
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

--- What a change of a part or an axle cannot say.
vehicle_file.not_changed = {
  pair = "a pair stays a pair", name = "a name stays what it is", wheels = "an axle keeps its wheels",
}

--- An axle with what a change says of it and its sides: context.axles[context.index] is the one it changes.
function vehicle_file.axle(changes, context)
  local said = vehicle_file.fields("axle", changes, context)
  local ctx, index, list = context_for(context), context.index, context.axles
  local owner, side_checks = {part = list[index].name, kind = "axle"}, require "steelyard.file.side_checks"
  local axle = side_checks.changed(ctx, owner, list[index], said)
  if axle.left or axle.right then
    local sign = axles.counts_back(ctx) and 1 or -1
    if list[index - 1] then side_checks.order(ctx, owner, list[index - 1], axle, sign) end
    if list[index + 1] then side_checks.order(ctx, {part = list[index + 1].name, kind = "axle"}, axle, list[index + 1], sign) end
  end
  ctx.problems:raise_first()
  return axle
end

--- Changes of a part, group, tank, person or axle.
function vehicle_file.fields(kind, changes, context)
  local ctx = context_for(context)
  ctx.partial, ctx.node, ctx.side = true, context.node, context.side
  local owner = {part = context.name, kind = kind}
  local node = context.node or {}
  for key, why in pairs(vehicle_file.not_changed) do
    if changes[key] ~= nil then wrong(ctx, owner, key, "unavailable", why, "add another part instead") end
  end
  local result
  if kind == "axle" then
    owner.part = context.name and context.name:gsub(" axle$", "")
    if changes.at ~= nil then
      wrong(ctx, owner, "at", "unavailable", "an axle is moved with car:move", "its parts then go with it")
    end
    result = entries.read(ctx, owner, kind, changes, true, function(key) return vehicle_file.not_changed[key] end)
  elseif fields.kinds[kind] then
    result = nodes.fields(ctx, owner, kind, changes, function(key) return vehicle_file.not_changed[key] end)
  else
    core.fail {code = "type", message = ("%s is not a kind of part"):format(require("steelyard.print.text").named(kind))}
  end
  if result.shape and node.inertia or result.inertia and node.shape then
    wrong(ctx, owner, result.shape and "shape" or "inertia", "clash", ("the part has %s already"):format(
      result.shape and "an inertia" or "a shape"))
  end
  ctx.problems:raise_first()
  return result
end

--- A changed axle, number i of `count`, as a whole: its fields against one another.
function vehicle_file.check_axle(axle, context, i, count)
  local suspension = require "steelyard.file.suspension"
  if not suspension.needs_check(axle) then return end
  local ctx = context_for(context)
  suspension.check(ctx, {part = context.name and context.name:gsub(" axle$", ""), kind = "axle"}, axle, i, count)
  ctx.problems:raise_first()
end

--- Fills asked for by car:fill.
function vehicle_file.fills(fills, context)
  local ctx, out = context_for(context), {}
  readers.fills(ctx, {}, "fill", fills, {}, out)
  ctx.problems:raise_first()
  return out.fill
end

return vehicle_file
