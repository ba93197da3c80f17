--- car:cg_height(fields): sy.cg_height with what the car knows: geometry, radii, tracks, unsprung masses, liquids, and the
-- ledger to hold the answer against. What the fields say comes first.

local axle_means = require "steelyard.car.axle_means"
local held_liquid = require "steelyard.file.held_liquid"
local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local measurement = require "steelyard.measure.measurement"
local origin = require "steelyard.print.origin"
local plausible = require "steelyard.answers.plausible"
local resolve = require "steelyard.car.resolve"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vocabulary = require "steelyard.file.vocabulary"

local cg_height_car = {}
local inside = require("steelyard.car.contents").inside
local refuse = measurement.refuse

local function with_sd(value, sd) return sd and sd > 0 and vocabulary.sd(value, sd) or value end

-- {left =, right =} of the car where its two sides have wheelbases of their own, else its one.
local function wheelbase_of(c)
  local front, rear = c.axles[1], c.axles[2]
  local function uncertainty(side)
    local _, a = sides.at(front, side)
    local _, b = sides.at(rear, side)
    return math.sqrt((a or 0) ^ 2 + (b or 0) ^ 2)
  end
  local lines = c.geometry:axle_lines()
  local left, right = sides.wheelbase(c.axles, 1, lines[1] - lines[2]), sides.wheelbase(c.axles, -1, lines[1] - lines[2])
  if left == right then return with_sd(left, uncertainty(0)) end
  return {left = with_sd(left, uncertainty(1)), right = with_sd(right, uncertainty(-1))}
end

-- The track of an axle, or where each of its wheels stands.
local function tracks_of(axle)
  if not (axle.left or axle.right) then return with_sd(axle.track, axle.track_sd) end
  local left, right = axle.left or {}, axle.right or {}
  if not (left.half_track or right.half_track) then return with_sd(axle.track, axle.track_sd) end
  return {left = with_sd(left.half_track, left.half_track_sd), right = with_sd(right.half_track, right.half_track_sd)}
end

--- Wheelbase, radii and tracks in the fields of sy.cg_height. one: a single number for the wheelbase, that of the axles as a whole.
function cg_height_car.geometry(c, where, one)
  if #c.axles ~= 2 then
    refuse(where, nil, "geometry", ("needs a car of two axles, this one has %d"):format(#c.axles),
      "use sy.cg_height with axle groups as two")
  end
  local front, rear = c.axles[1], c.axles[2]
  local fields = {wheelbase = wheelbase_of(c), radii = {front = with_sd(axle_means.number(c, 1, "loaded_radius")),
                                                       rear = with_sd(axle_means.number(c, 2, "loaded_radius"))}}
  if one and user_values.is_plain(fields.wheelbase) then
    local a, a_sd = axle_means.forward(c, 1)
    local b, b_sd = axle_means.forward(c, 2)
    fields.wheelbase = with_sd(a - b, math.sqrt((a_sd or 0) ^ 2 + (b_sd or 0) ^ 2))
  end
  if front.track and rear.track then fields.tracks = {front = tracks_of(front), rear = tracks_of(rear)} end
  return fields
end

-- Of springs on a curve of motion ratios the rate at the design height: a lift takes the suspension for straight.
local function rate_as_drawn(c, name, axle)
  local springs = require "steelyard.answers.springs"
  local ledger = springs.drawn(c)
  springs.check(c, ledger)
  local rate = core.corners{now = ledger, geometry = c.geometry}.wheel_rate[name]
  local spring, sd = sides.mean(axle, "spring_rate")
  return with_sd(rate, rate * (sd or 0) / spring)
end

local function on_curve(axle)
  for _, side in ipairs(sides.of(axle)) do
    if type(sides.number(axle, side, "motion_ratio")) == "table" then return true end
  end
  return false
end

-- Rate at the wheel, N/mm, of the axle's wheels in the mean. An error that both have counts once with what it does to both.
local function wheel_rate(axle)
  local list, own = sides.of(axle), 0
  local rate, common = 0, {spring = 0, ratio = 0}
  for _, side in ipairs(list) do
    local spring, spring_sd = sides.number(axle, side, "spring_rate")
    local ratio, ratio_sd = sides.number(axle, side, "motion_ratio")
    ratio = ratio or 1
    rate = rate + spring * ratio ^ 2 / #list
    local stated = axle[sides.name(side)] or {}
    for what, error in pairs{spring = {(spring_sd or 0) * ratio ^ 2, stated.spring_rate},
                             ratio = {2 * spring * ratio * (ratio_sd or 0), stated.motion_ratio}} do
      if error[2] ~= nil then own = own + (error[1] / #list) ^ 2 else common[what] = common[what] + error[1] / #list end
    end
  end
  return with_sd(rate, math.sqrt(common.spring ^ 2 + common.ratio ^ 2 + own))
end

local AS_DRAWN = "suspension free: wheels are taken to give as at the design height; where a curve of motion ratios or a bump stop changes "
  .. "that as the car tilts the height is off, so lock the suspension"

-- "locked" or the rates of a wheel in N/mm: the file's when the fields say "free".
local function suspension(c, given, notes)
  if given ~= "free" then return given end
  local rate, bent = {}, false
  for i, name in ipairs{"front", "rear"} do
    local axle = c.axles[i]
    bent = bent or axle.bump_stop ~= nil or on_curve(axle)
    if not sides.all_have(axle, "spring_rate") then
      refuse("CG height", "suspension", "missing", ("is free, but the %s axle has no spring_rate"):format(axle.name))
    end
    rate[name] = on_curve(axle) and rate_as_drawn(c, name, axle) or wheel_rate(axle)
  end
  if bent then notes[#notes + 1] = AS_DRAWN end
  return rate
end

-- tanks = "full" or "empty": the car that was on the scales.
local function filled(c, car, tanks)
  if tanks ~= "full" and tanks ~= "empty" then return car end
  local fills, any = {}, false
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node and node.kind == "tank" and (node.capacity or tanks == "empty") then
      fills[resolve.path(c.now, item.route)], any = tanks == "full" and "100 %" or 0, true
    end
  end
  return any and car:fill(fills) or car
end

-- The liquid's centre behind and above the tank's middle when the car is tilted by so many degrees, nose or left side up.
local function centre_in(c, liquid, side)
  return function(degrees)
    local angle = math.rad(degrees)
    local up = side and {0, math.sin(angle), math.cos(angle)} or {math.sin(angle), 0, math.cos(angle)}
    local turned = up
    if liquid.alone then -- a tank that was turned by itself carries its liquid along in the ledger; on the scales it flows
      turned = {}
      for i = 1, 3 do turned[i] = liquid.alone[i] * up[1] + liquid.alone[3 + i] * up[2] + liquid.alone[6 + i] * up[3] end
    end
    local alone = {dry = 0, up = {c.geometry:vector_out(turned[1], turned[2], turned[3])}}
    local offset = core.tank_offset(setmetatable(alone, {__index = liquid}), c.geometry)
    return side and -offset[2] or -offset[1], offset[3]
  end
end

-- Tanks between empty and full; what is in them moves when the car tilts. Those whose shape is known, as sy.cg_height takes them, and
-- the names of those and of the others.
local function part_full(c, side)
  local tanks, moving, unknown = {}, {}, {}
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node and node.kind == "tank" and node.capacity then
      local pieces = item.form == "pair" and 2 or 1
      local litres = held_liquid.litres(node, item.mass / pieces)
      local share = litres / node.capacity
      local name = ("%s (%s %%)"):format(item.name, core.fixed(100 * share, 0))
      local liquid = loading.liquid_in(c, c.now, item, node)
      if share > 0.001 and share < 0.999 and liquid then
        moving[#moving + 1] = name
        tanks[#tanks + 1] = {name = item.name, mass = pieces * liquid.mass, centre = centre_in(c, liquid, side)}
      elseif share > 0.001 and share < 0.999 then
        unknown[#unknown + 1] = name
      end
    end
  end
  return tanks, moving, unknown
end

local function is_side(t)
  local first = type(t.readings) == "table" and t.readings[1]
  local word = t.lifted or type(first) == "table" and first.lifted
  return word == "left" or word == "right"
end

-- Who is to be aboard, or removed: {name =, mass =, height =} of an item by its name.
local function person(c, what)
  local found = resolve.parts(c, what)
  local mass, moment, mass_var, moment_var = 0, 0, 0, 0
  for _, route in ipairs(found.routes) do
    local t = core.item_totals(c.now, c.geometry, route)
    if not t.cg then refuse("CG height", "with_driver", "range", ("%s has no mass"):format(found.label)) end
    local _, _, up = c.geometry:point_in(t.cg.x, t.cg.y, t.cg.z)
    local _, _, spread = c.geometry:vector_in(t.sd.cg.x, t.sd.cg.y, t.sd.cg.z)
    mass, moment = mass + t.mass, moment + t.mass * up
    mass_var, moment_var = mass_var + t.sd.mass ^ 2, moment_var + (t.mass * spread) ^ 2
  end
  return {name = found.label, mass = with_sd(mass, math.sqrt(mass_var)), height = with_sd(moment / mass, math.sqrt(moment_var) / mass)}
end

-- ---- who sits in it ---------------------------------------------------------------------------------------------------------

-- Names of the persons who are booked and aboard.
local function persons_aboard(c)
  local names = {}
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node and node.kind == "person" then names[#names + 1] = item.name end
  end
  return names
end

local function any_aboard(c, what)
  local routes = resolve.parts(c, what).routes
  for _, item in ipairs(c.now:items(false)) do
    if item.aboard and resolve.within(item.route, routes) then return true end
  end
  return false
end

--- Sentences for a lift of a car with somebody in it.
function cg_height_car.objections(c)
  local names = persons_aboard(c)
  if #names == 0 then return {} end
  return {("%s %s aboard in this state: nobody may sit in a car that is lifted; strap ballast in the seat, or take the state without "
    .. "a driver"):format(text.join_names(names), #names == 1 and "is" or "are")}
end

-- with_driver and without_driver as sy.cg_height takes them. Nobody is added who is aboard, or taken out who is not: those are left out
-- of the fields and said in `notes`.
local function take_persons(c, fields, notes)
  for _, key in ipairs{"with_driver", "without_driver"} do
    local given, adding = fields[key], key == "with_driver"
    if type(given) == "string" then
      if any_aboard(c, given) == adding then
        fields[key] = nil
        notes[#notes + 1] = adding and ("with_driver: %s is aboard in this state already and is not added again; without_driver tells the "
          .. "height without"):format(given) or ("without_driver: %s is not aboard in this state, there is nothing to take out")
          :format(given)
      else
        fields[key] = person(c, given)
      end
    elseif adding and given ~= nil and #persons_aboard(c) > 0 then
      local name = type(given) == "table" and given.name or nil
      for _, aboard in ipairs(persons_aboard(c)) do
        if name == nil or name == aboard then
          fields[key] = nil
          notes[#notes + 1] = ("with_driver: %s is aboard in this state already and %s is not added; give somebody else a name of their "
            .. "own"):format(aboard, name or "the driver")
          break
        end
      end
    end
  end
end

-- A point of the file as {back =, height =}.
local function jack_point(c, p)
  if type(p) ~= "table" or getmetatable(p) ~= nil or p.back or p.forward or p.front or p.rear then return p end
  local v, sd = measurement.point({jack = p}, "jack", "CG height")
  local forward, _, up = c.geometry:point_in(v[1], v[2], v[3])
  local along, _, above = c.geometry:vector_in(sd[1], sd[2], sd[3])
  return {back = with_sd(-forward, math.abs(along)), height = with_sd(up, math.abs(above))}
end

-- The file's coordinates for what was measured forward, left and up.
local function file_axes(c, result)
  local cg, sd = result.cg, result.sd.cg
  local behind, left = result.cg_behind, result.cg_left
  local place = table.pack(c.geometry:point_out(-(behind or 0), left or 0, cg.z))
  local spread = table.pack(c.geometry:vector_out(sd.x or 0, sd.y or 0, sd.z))
  local along = table.pack(c.geometry:vector_out(1, 0, 0))
  local across = table.pack(c.geometry:vector_out(0, 1, 0))
  result.cg, result.sd.cg = {}, {}
  for i, letter in ipairs{"x", "y", "z"} do
    local known = (along[i] == 0 or behind) and (across[i] == 0 or left)
    if known then result.cg[letter], result.sd.cg[letter] = place[i], math.abs(spread[i]) end
  end
end

-- The fields, the user's over the car's.
local function fields_of(c, car, t, notes)
  local fields = cg_height_car.geometry(c, "CG height")
  local b = core.balance(c.now, c.geometry)
  fields.title, fields.state = car:heading(), loading.title(c)
  fields.unsprung = {front = b.unsprung.axle[c.axles[1].name] or 0, rear = b.unsprung.axle[c.axles[2].name] or 0}
  if sides.all_have(c.axles[1], "tyre_rate") and sides.all_have(c.axles[2], "tyre_rate") then
    fields.tyre_rate = {front = with_sd(sides.mean(c.axles[1], "tyre_rate")), rear = with_sd(sides.mean(c.axles[2], "tyre_rate"))}
  end
  for _, sentence in ipairs(plausible.of_car(c, b.height, b.mass)) do notes[#notes + 1] = "ledger: " .. sentence end
  fields.against = {name = "ledger", height = with_sd(b.height, b.sd.height), mass = with_sd(b.mass, b.sd.mass)}
  for key, value in pairs(t) do fields[key] = value end
  fields.suspension = suspension(c, fields.suspension, notes)
  fields.jack = fields.jack ~= nil and jack_point(c, fields.jack) or nil
  take_persons(c, fields, notes)
  return fields
end

-- A place along the car counts from where the front wheels press; from their axle line where they stand off it.
local function from_the_line(c, result)
  if not result.cg_behind or sides.alike(c.axles[1], {"at"}) then return end
  local ahead = axle_means.forward(c, 1) - c.geometry:axle_lines()[1]
  result.cg_behind, result.cg.x = result.cg_behind - ahead, result.cg.x - ahead
  local interval = result.intervals.cg_behind
  interval.low, interval.high = interval.low - ahead, interval.high - ahead
end

local function add_touches(c, result)
  local cg_height = require "steelyard.measure.cg_height"
  require("steelyard.measure.cg_height.touches").add(c, result, function(lifted) return cg_height.lifted_car(result, lifted) end,
    cg_height.left_track(result))
end

--- The measurement of this car in its load state.
function cg_height_car.of(c, car, t)
  if type(t) ~= "table" then
    refuse("CG height", nil, "type", "car:cg_height needs a table of fields, such as {readings = {...}}")
  end
  car = filled(c, car, t.tanks)
  c = inside(car)
  local objections = cg_height_car.objections(c)
  local fields = fields_of(c, car, t, objections)
  local tanks, moving, unknown = {}, {}, {}
  if t.tanks == nil then tanks, moving, unknown = part_full(c, is_side(t)) end
  if #tanks > 0 then fields.tanks = tanks end
  local result = require("steelyard.measure.cg_height").of(fields)
  if t.title == nil and t.state == nil then result.heading = car:heading() end
  from_the_line(c, result)
  file_axes(c, result)
  add_touches(c, result)
  table.move(result.notes, 1, #result.notes, #objections + 1)
  table.move(objections, 1, #objections, 1, result.notes)
  if #unknown > 0 then
    table.insert(result.notes, 1, ("part full in this state: %s; a liquid that moves as the car tilts is not in this, fill it up or "
      .. "empty it"):format(text.list_names(unknown)))
  end
  if #moving > 0 then
    table.insert(result.notes, 1, ("part full in this state: %s; what moves as the car tilts is taken out by the tank's shape"):format(
      text.list_names(moving)))
  end
  return origin.of_car(result, c)
end

return cg_height_car
