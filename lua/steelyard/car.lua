--- A car: a ledger with a load state, seen through a geometry. Cars never change; every change gives a new one.
--
-- Inside (field `_`):
--   shared     what all cars from one file have: spec, file, records (what each part's line said), carriers
--   base       the ledger with all lasting edits, no state        now    the same as loaded
--   lasting    what `base` comes from: see below
--   geometry   axes and wheels                                    axles  as stated, with `moved` where one was moved
--   state      the chosen load state or nil                       fills  litres asked for since
--   swaps      route of a part -> route of the one in its place   changes  texts for headings
--   structure  what names mean (see resolve.lua)                  label  a heading of the user's own
--   stance     how far car:lower and car:raise have set the body, see stance.lua
--   aboard     what is known of who is aboard: the same for all cars that only moves tell apart
--   turned     route -> rotation of a part that was turned by itself, which the ledger does not keep (core.turn_alone), or nil

local core = require "steelyard.core"
local build = require "steelyard.build"
local directions = require "steelyard.directions"
local loading = require "steelyard.loading"
local resolve = require "steelyard.resolve"

local car = {}
local Car = {__name = "car"}
Car.__index = car

function Car.__newindex()
  core.fail{code = "type", message = "a car does not change; car:move, car:set and the others give a new one"}
end

--- The inside of a car, checked.
function car.inside(self)
  if getmetatable(self) ~= Car then
    core.fail{code = "type", message = ("a car is needed, not a %s; write car:method(...), with a colon"):format(type(self))}
  end
  return rawget(self, "_")
end
local inside = car.inside

--- Is this value a car?
function car.is(value) return getmetatable(value) == Car end

local function wrap(c) return setmetatable({_ = c}, Car) end

-- Most cars that are moved in a load state are balanced and forgotten, and no balance reads `base`: so what a move does to it waits
-- until somebody asks. lasting = a ledger, or {before = lasting, edit = function, depth = edits that wait}.
local MOST_WAITING = 64

local function settle(lasting)
  local waiting = {}
  while type(lasting) == "table" do
    waiting[#waiting + 1] = lasting
    lasting = lasting.before
  end
  for i = #waiting, 1, -1 do lasting = waiting[i].edit(lasting) end
  return lasting
end

local function wait(lasting, edit)
  local depth = type(lasting) == "table" and lasting.depth or 0
  if depth == MOST_WAITING then lasting, depth = settle(lasting), 0 end
  return {before = lasting, edit = edit, depth = depth + 1}
end

local Inside = {}

function Inside.__index(c, key)
  if key ~= "base" then return nil end
  c.lasting = settle(c.lasting)
  return c.lasting
end

function Inside.__newindex(c, key, value) rawset(c, key == "base" and "lasting" or key, value) end

--- A car from what a file says. scale_numbers: as in build.car.
function car.new(spec, scale_numbers)
  local shared, geometry, ledger = build.car(spec, scale_numbers)
  shared.filed = ledger
  local c = setmetatable({shared = shared, geometry = geometry, axles = spec.axles, lasting = ledger, now = ledger, fills = {},
                          swaps = {}, changes = {}, structure = resolve.new_structure(), aboard = {}}, Inside)
  for _, axle in ipairs(spec.axles) do axle.moved = axle.moved or 0 end
  return wrap(c)
end

-- A copy that shares all but what the caller is about to replace.
local function derive(c, change)
  local changes = c.changes
  if change then
    changes = table.move(changes, 1, #changes, 1, {})
    changes[#changes + 1] = change
  end
  return setmetatable({shared = c.shared, geometry = c.geometry, axles = c.axles, lasting = c.lasting, now = c.now, state = c.state,
                       fills = c.fills, swaps = c.swaps, changes = changes, structure = c.structure, label = c.label,
                       aboard = c.aboard, turned = c.turned, stance = c.stance}, Inside)
end

-- After edits that a state may treat in its own way.
local function reload(d)
  d.now, d.aboard = loading.apply(d), {}
  if d.stance then require("steelyard.stance").put(d) end
  return wrap(d)
end

-- The same edit on both ledgers: what the state did stays done, and totals do not depend on the order of edits.
local function edit_both(d, edit)
  local same = d.lasting == d.now
  d.now = edit(d.now)
  d.lasting = same and d.now or wait(d.lasting, edit)
end

--- "First guess (invented), race start, powertrain 50 back"
function car:heading()
  local c = inside(self)
  if c.label then return c.label end
  local text = c.shared.spec.title .. ", " .. loading.title(c)
  if next(c.fills) then
    for _, what in ipairs(loading.sorted_keys(c.fills)) do text = text .. ", " .. loading.fill_text(what, c.fills[what]) end
  end
  for i = 1, #c.changes do text = text .. ", " .. c.changes[i] end
  return text
end

--- Headings of this car say `label` from now on.
function car:named(label)
  local c = inside(self)
  if type(label) ~= "string" or label == "" then
    core.fail{code = "type", message = "car:named needs a text"}
  end
  local d = derive(c)
  d.label = label
  return wrap(d)
end

--- The names of the load states, in file order.
function car:states()
  local names = {}
  for i, state in ipairs(inside(self).shared.spec.states or {}) do names[i] = state.name end
  return names
end

--- The car in another load state; nil leaves all states.
function car:state(name)
  local c = inside(self)
  local d = derive(c)
  d.fills, d.state = {}, nil
  if name ~= nil then
    for _, state in ipairs(c.shared.spec.states or {}) do
      if state.name == name then d.state = state end
    end
    if not d.state then
      local names = self:states()
      local near = core.nearest(tostring(name), names)
      core.fail{code = "unknown", message = ("no state is called %q"):format(tostring(name)), file = c.shared.file,
        hint = near and ("did you mean %q?"):format(near) or #names > 0 and "the states are " .. table.concat(names, ", ")
          or "the file states none"}
    end
  end
  return reload(d)
end

-- ---- move -----------------------------------------------------------------------------------------------------

local function joint_cg(c, routes)
  local mass, x, y, z = 0, 0, 0, 0
  for _, route in ipairs(routes) do
    local t = core.item_totals(c.now, c.geometry, route)
    if t.cg then
      mass = mass + t.mass
      x, y, z = x + t.mass * t.cg.x, y + t.mass * t.cg.y, z + t.mass * t.cg.z
    end
  end
  if mass <= 0 then core.fail{code = "geometry", message = "things without mass have no CG to turn about", field = "about"} end
  return c.geometry:point_in(x / mass, y / mass, z / mass)
end

-- The fixed point of a turn, in the vehicle's frame.
local function turning_point(c, found, about)
  about = about or (found.several and "cg" or "origin")
  if about == "cg" then return joint_cg(c, found.routes) end
  if about == "origin" then
    local item = c.now:item(found.routes[1])
    local origin, liquid = item.origin, loading.liquid_in(c, c.now, item, c.shared.records[item.record])
    local offset = liquid and core.tank_offset(liquid, c.geometry) or {0, 0, 0} -- a tank's own place is its middle
    return origin[1] - offset[1], origin[2] - offset[2], origin[3] - offset[3]
  end
  if type(about) ~= "table" then
    core.fail{code = "type", message = 'is "origin", "cg" or a point {x, y, z}', field = "about"}
  end
  local p = {about.x or about[1], about.y or about[2], about.z or about[3]}
  for i = 1, 3 do
    if type(p[i]) ~= "number" then core.fail{code = "type", message = "is a point of three numbers", field = "about"} end
  end
  return c.geometry:point_in(p[1], p[2], p[3])
end

-- Pieces of a pair, or a part off the centre plane, move away from it.
local function spread(ledger, route, distance)
  local item = ledger:item(route)
  if item.form == "pair" then
    for k = 0, 1 do
      local side = route .. string.pack("=I4", k)
      if ledger:item(side).origin[2] == 0 then ledger = ledger:shift(side, 0, k == 0 and distance or -distance, 0)
      else ledger = spread(ledger, side, distance) end
    end
    return ledger
  end
  local y = item.origin[2]
  if y == 0 then
    core.fail{code = "geometry", message = "lies on the centre plane, so out has no direction", part = item.name, field = "out",
              hint = "write left or right"}
  end
  return ledger:shift(route, 0, y > 0 and distance or -distance, 0)
end

-- What is fixed to a part turns with it; a turn of nil is taken back.
local function note_turn(d, route, turn)
  local turned = {}
  for key, value in pairs(d.turned or {}) do turned[key] = value end
  turned[route] = turn
  d.turned = turned
end

local function move_routes(d, found, way)
  if #found.routes == 0 then return end
  if way.turn then
    local x, y, z = turning_point(d, found, way.about)
    for _, route in ipairs(found.routes) do
      if d.now:item(route).form == "part" then
        note_turn(d, route, core.turn_alone(d.now, route, way.turn, d.turned and d.turned[route]))
      end
      edit_both(d, function(ledger) return ledger:turn(route, way.turn, x, y, z) end)
    end
  end
  if way.out ~= 0 then
    for _, route in ipairs(found.routes) do
      edit_both(d, function(ledger) return spread(ledger, route, way.out) end)
    end
  end
  local forward, left, up = way.forward, way.left, way.up
  if forward ~= 0 or left ~= 0 or up ~= 0 then
    for _, route in ipairs(found.routes) do
      edit_both(d, function(ledger) return ledger:shift(route, forward, left, up) end)
    end
  end
end

-- How much of a part an axle's wheels carry.
local function carried_by(d, record, index)
  local share = 0
  for _, entry in ipairs(record.unsprung or {}) do
    local key = entry.carrier
    if key == d.axles[index].name then share = share + entry.fraction end
    for _, wheel in ipairs(d.geometry:wheels()) do
      if wheel.key == key and wheel.axle == index then share = share + entry.fraction end
    end
  end
  return share
end

-- An axle takes along what its wheels carry; a link that is half carried moves half as far.
local function move_axle(d, index, way)
  if way.left ~= 0 or way.up ~= 0 or way.out ~= 0 or way.turn then
    core.fail{code = "geometry", message = "an axle moves forward or back only", part = d.axles[index].name .. " axle",
              hint = "its track and radius are changed with car:set"}
  end
  local axles = {}
  for i, axle in ipairs(d.axles) do axles[i] = axle end
  axles[index] = setmetatable({moved = axles[index].moved + way.forward}, {__index = axles[index]})
  local plain = {}
  for i, axle in ipairs(axles) do
    local entry = {}
    for _, source in ipairs{d.shared.spec.axles[i], d.axles[i]} do
      for key, value in pairs(source) do entry[key] = value end
    end
    entry.moved = axle.moved
    plain[i] = entry
  end
  d.axles, d.geometry = plain, build.geometry(d.shared.spec, plain)
  for _, item in ipairs(d.base:items(false)) do
    local record = d.shared.records[item.record]
    local share = item.form ~= "group" and carried_by(d, record, index) or 0
    if share > 0 then
      edit_both(d, function(ledger) return ledger:shift(item.route, share * way.forward, 0, 0) end)
    end
  end
end

--- Move and turn something: car:move("powertrain", {back = 50}). Turn first, then shift; the vehicle's own directions.
function car:move(what, words)
  local c = inside(self)
  local found = resolve.what(c, what)
  local way = directions.read(words)
  local d = derive(c, found.label .. " " .. way.text)
  if d.stance then d.now = loading.apply(d) end -- edits go by the drawn places
  if found.axle then move_axle(d, found.axle, way) end
  for _, index in ipairs(found.axles or {}) do move_axle(d, index, way) end
  move_routes(d, found, way)
  return d.stance and reload(d) or wrap(d)
end

-- The body at other heights; left and right alike, by the perches.
local function restand(self, call, words, sign)
  local c = inside(self)
  local stance = require "steelyard.stance"
  local new, how = stance.changed(c, call, words, sign)
  local d = derive(c, how)
  stance.set(d, new)
  return reload(d)
end

--- The body lower: car:lower{front = 10, rear = 15}, mm at the axle lines. The wheels stay.
function car:lower(words) return restand(self, "car:lower", words, -1) end

--- The body higher.
function car:raise(words) return restand(self, "car:raise", words, 1) end

--- How far the body stands from its drawn heights.
function car:heights() return require("steelyard.stance").heights(inside(self), self) end

-- ---- other edits ----------------------------------------------------------------------------------------------

local function set_axle(c, found, changes)
  local vehicle_file = require "steelyard.vehicle_file"
  local checked = vehicle_file.fields("axle", changes, {spec = c.shared.spec, name = found.label})
  local axles = {}
  for i, axle in ipairs(c.axles) do axles[i] = axle end
  local entry = {}
  for key, value in pairs(axles[found.axle]) do entry[key] = value end
  for key, value in pairs(checked) do entry[key] = value end
  axles[found.axle] = entry
  local d = derive(c, found.label .. " changed")
  d.axles, d.geometry = axles, build.geometry(c.shared.spec, axles)
  return reload(d)
end

-- The record as it now reads.
local function merged(record, changes)
  local m = {}
  for key, value in pairs(record) do m[key] = value end
  for key, value in pairs(changes) do m[key] = value end
  return m
end

-- Only what was changed goes to the ledger, so a part that was moved before keeps its place, and one that was turned its attitude.
-- was: what a tank held before, see loading.liquid_in.
local function set_booking(c, record, changes, index, was)
  if record.kind == "group" then
    return {record = index, at = changes.at, turned = changes.turned}
  end
  local full = build.booking(c.shared.context, record, index)
  local booking = {record = index, growth = full.growth, count = full.count, carry = full.carry, point = full.point,
                   inertia = full.inertia, per_kg = full.per_kg, shape = full.shape,
                   turned = (full.inertia or full.shape or full.liquid) and full.turned or nil,
                   as_it_lies = not (changes.shape or changes.inertia or changes.turned), liquid = full.liquid, liquid_was = was,
                   mass = full.mass, mass_sd = full.mass_sd, instrument = full.instrument, bias_share = full.bias_share,
                   gain_mass = full.gain_mass, unstated = full.unstated, unknown = full.unknown}
  if full.liquid and was and not changes.turned then full.liquid.alone = was.alone end
  if changes.at then booking.at = changes.at end
  if changes.at_sd then booking.at_sd = full.at_sd end
  return booking
end

-- "mass 97" for headings
local function change_text(given)
  local parts = {}
  for _, key in ipairs(loading.sorted_keys(given)) do
    local value = given[key]
    local shown = type(value) == "number" and core.shortest(value) or type(value) == "string" and value
      or type(value) == "table" and rawget(value, "value") and core.shortest(value.value) or "changed"
    parts[#parts + 1] = key .. " " .. shown
  end
  return table.concat(parts, ", ")
end

--- Other values for a part: car:set("engine", {mass = 97}). A plain mass keeps the old standard uncertainty.
function car:set(what, changes)
  local c = inside(self)
  if type(changes) ~= "table" then
    core.fail{code = "type", message = "car:set needs a table of fields, such as {mass = 97}"}
  end
  local found = resolve.what(c, what)
  if found.axle then return set_axle(c, found, changes) end
  if found.axles then core.fail{code = "type", message = "set axles one by one"} end
  local vehicle_file = require "steelyard.vehicle_file"
  local d = derive(c, found.label .. " " .. change_text(changes))
  for _, route in ipairs(found.routes) do
    local item = d.base:item(route)
    local record = c.shared.records[item.record]
    local kind = item.side and "part" or record.kind
    local checked = vehicle_file.fields(kind, changes, {spec = c.shared.spec, name = item.name, node = record})
    if record.scale or record.weighed then require("steelyard.weighings").overruled(record, checked) end
    if checked.mass and not checked.mass_sd and not checked.weighed then
      -- "a plain number keeps the old standard uncertainty": also one that `assume` gave
      local piece = item.form == "pair" and d.base:item(route .. string.pack("=I4", 0)) or item
      checked.mass_sd = not record.unknown and piece.mass_sd and not (record.mass_sd == nil and piece.mass_sd == 0)
        and piece.mass_sd or record.mass_sd
    end
    if checked.mass then checked.unknown = false end
    local new = merged(record, checked)
    c.shared.records[#c.shared.records + 1] = new
    d.base = d.base:put(route, c.geometry, set_booking(d, new, checked, #c.shared.records,
      loading.liquid_in(d, d.base, item, record)))
    if checked.turned and d.turned then note_turn(d, route, nil) end
  end
  return reload(d)
end

--- One more part, group, tank or person: car:add(sy.part "ballast" {...}), car:add(item, "powertrain") into a group.
function car:add(item, into)
  local c = inside(self)
  local vehicle_file = require "steelyard.vehicle_file"
  local route = ""
  if into ~= nil then
    local found = resolve.parts(c, into)
    route = found.routes[1]
    if #found.routes > 1 or c.base:item(route).form ~= "group" then
      core.fail{code = "type", message = ("%s is no group, nothing can be added to it"):format(found.label)}
    end
  end
  local node = vehicle_file.item(item, {spec = c.shared.spec, file = c.shared.file})
  local prefix = into and resolve.path(c.base, route) .. "/" or ""
  for _, sibling in ipairs(c.base:items(false)) do
    if sibling.name == node.name and sibling.route:sub(1, -5) == route then
      core.fail{code = "clash", message = ("there is already a %q"):format(prefix .. node.name), part = prefix .. node.name,
                hint = "give it another name"}
    end
  end
  local builder = core.builder(c.geometry, c.base, route)
  build.book(c.shared.context, builder, node)
  local d = derive(c, node.name .. " added")
  d.base = build.gaps(c.shared.context, c.geometry, d.base:append(route, builder), {})
  d.structure = resolve.new_structure()
  return reload(d)
end

--- Take things out: car:without("passenger"), car:without{"passenger", "luggage"}. Holds under all states.
function car:without(what)
  local c = inside(self)
  local found = resolve.parts(c, what)
  local d = derive(c, "without " .. found.label)
  for _, route in ipairs(found.routes) do d.base = d.base:aboard(route, false) end
  return reload(d)
end

--- Put one part in another's place: car:swap("driver", "tall driver"). Holds under all states, which go on meaning the
-- role: a state without the driver leaves the tall one out too.
function car:swap(old, new)
  local c = inside(self)
  local from, to = resolve.parts(c, old), resolve.parts(c, new)
  if #from.routes ~= 1 or #to.routes ~= 1 then
    core.fail{code = "type", message = "car:swap needs one part and the one to take its place"}
  end
  local role, taking = from.routes[1], to.routes[1]
  local d = derive(c, ("%s for %s"):format(to.label, from.label))
  if role == taking then
    core.fail{code = "clash", message = ("%s cannot take its own place"):format(from.label)}
  end
  local aboard = c.swaps[role] or role
  d.base = d.base:aboard(aboard, false):aboard(taking, true)
  d.swaps = {}
  for key, value in pairs(c.swaps) do d.swaps[key] = value end
  d.swaps[role] = taking
  return reload(d)
end

--- Fill tanks: car:fill{fuel = 20} in litres, car:fill{fuel = "90 %"}. Holds until the next car:state.
function car:fill(fills)
  local c = inside(self)
  local vehicle_file = require "steelyard.vehicle_file"
  local d = derive(c)
  d.fills = {}
  for key, value in pairs(c.fills) do d.fills[key] = value end
  for key, value in pairs(vehicle_file.fills(fills, {spec = c.shared.spec})) do d.fills[key] = value end
  return reload(d)
end

-- ---- answers, each in its own file, loaded when first asked for ------------------------------------------------------

-- method = module
local answers = {
  attitude = "attitude",
  balance = "balance",
  book = "book",
  cg_height = "cg_height_car",
  checks = "checks",
  corners = "corners",
  handling = "handling",
  clearances = "clearances",
  hoist = "hoist",
  markout = "markout",
  perches = "perches",
  person = "person",
  plan_lift = "plan_lift_car",
  reconcile = "reconcile",
  shafts = "shafts",
  stability = "stability",
  stands = "stands",
  transfer = "transfer",
  trial = "trial",
}
for method, module in pairs(answers) do
  car[method] = function(self, ...)
    local answer = require("steelyard." .. module).of
    car[method] = function(me, ...) return answer(inside(me), me, ...) end
    return car[method](self, ...)
  end
end

function Car:__tostring() return self:heading() end

return car
