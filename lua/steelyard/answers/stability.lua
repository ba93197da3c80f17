--- car:stability{...}: when it tips and when its first wheel lifts, grades, traction by driven axle, brake split.
--
-- Rigid answers need masses and wheels only. Those on springs come from the model of car:transfer, on a table that leans.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local axles = require "steelyard.file.axles"
local figures = require "steelyard.print.figures"
local held_liquid = require "steelyard.file.held_liquid"
local liquids = require "steelyard.car.liquids"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local force = require "steelyard.answers.force"
local origin = require "steelyard.print.origin"
local springs = require "steelyard.answers.springs"
local springs_said = require "steelyard.answers.springs.said"
local verdicts = require "steelyard.answers.verdicts"
local text = require "steelyard.print.text"
local unusable_fuel = require "steelyard.file.unusable_fuel"

local stability = {}

-- Braking, or with a minus drive, of the list of tip lines, in g.
local LINES = {0, 0.25, 0.5, 0.75, -0.25}
-- Decelerations of the curve of ideal brake shares, in g.
local CURVE = {0.2, 0.4, 0.6, 0.8, 1}

-- ---- what was asked ---------------------------------------------------------------------------------------------------------

local function number(o, field, unit, low, high, default)
  if o[field] == nil then return default, 0 end
  local value, sd = springs.number(o[field], unit, field)
  if value < low or value > high then
    core.fail{code = "range", field = field, message = ("is %s, must be between %s and %s"):format(text.plain(value),
      text.plain(low), text.plain(high))}
  end
  return value, sd
end

-- A share in per cent; so: what no car has at 1 % or less.
local function read_share(o, field, so)
  local value, sd = number(o, field, "%", 0, 100, nil)
  if value and value > 0 and value <= 1 then
    core.fail{code = "range", field = field, message = ("is %s %%, no %s so"):format(text.plain(value), so),
      hint = "shares are in per cent: 60, not 0.6"}
  end
  return value, sd
end

local function asked(c, given)
  local o = springs.options("car:stability", given, "stability")
  local a = {sd = {}}
  a.mu, a.sd.mu = number(o, "mu", "", 0.01, 3, 1)
  a.required, a.sd.required = number(o, "required", "deg", 0, 89, 60)
  a.forward, a.sd.forward = force.forward(o)
  a.share, a.sd.share = force.brake_front_share(o)
  a.drive_share, a.sd.drive_share = read_share(o, "drive_front_share", "drive is split")
  a.bars, a.reset = force.bars(o), o.reset
  a.down, a.down_sd = force.downforce(c, o)
  return a
end

-- ---- rigid ------------------------------------------------------------------------------------------------------------------

-- The car as the core is asked about it as a rigid one. Under downforce it sinks as its springs say.
local function rigid_car(c, a)
  loading.need_mass(c)
  local car = {now = c.now, geometry = c.geometry, bars = a.bars, downforce = a.down, downforce_sd = a.down_sd, mu = a.mu,
               mu_sd = a.sd.mu, forward = a.forward, forward_sd = a.sd.forward, brake_front_share = a.share,
               brake_front_share_sd = a.sd.share, drive_front_share = a.drive_share, drive_front_share_sd = a.sd.drive_share}
  local reset = false
  if a.down and not springs.unknown(c) then
    car.drawn, reset = springs.drawn(c, a.reset)
    springs.check(c, car.drawn)
  end
  car.tanks = springs.tanks(c, reset)
  return car
end

-- The same at another force or coefficient of friction, without its uncertainty.
local function at(car, field, value)
  local other = {}
  for key, x in pairs(car) do other[key] = x end
  other.mu_sd, other.forward_sd, other[field] = nil, nil, value
  return other
end

local function lines(car)
  local list = {}
  for i, forward in ipairs(LINES) do
    local there = core.tip_lines(at(car, "forward", forward))
    list[i] = {braking = math.max(forward, 0), drive = math.max(-forward, 0), left_turn = there.left_turn,
               right_turn = there.right_turn, edge = there.edges}
  end
  return list
end

local IDEAL = {"brake.ideal"}

local function curve(car)
  local list = {}
  for i, z in ipairs(CURVE) do
    local there = at(car, "mu", z)
    there.forward, there.tanks = 0, car.downforce and car.tanks -- else no liquid runs: it counts where it is booked
    local value, sd = core.ask("stability", there, IDEAL, true)
    list[i] = {z = z, front_share = value[1], sd = sd[1]}
  end
  return list
end

-- Which axle locks first, and when.
local function put_locks(share, brake, sd)
  brake.front_share = share
  local front, rear = brake.front_locks or math.huge, brake.rear_locks or math.huge
  brake.locks_first = front <= rear and "front" or "rear"
  brake.at = math.min(front, rear)
  sd.at = sd[brake.locks_first .. "_locks"]
end

local function is_trailer(c) return axles.is_trailer(c.axles) end

-- A CG behind a trailer's wheels is named by what it does to the coupling.
local function fail_rigid(c, why)
  local nose = is_trailer(c) and core.answers(c.now, c.geometry, {"front"})[1]
  if nose and nose < 0 then
    core.fail{code = "geometry", field = "nose_load",
      message = ("would be %s kg up: its load lies behind the wheels and lifts the coupling"):format(core.fixed(-nose, 1))}
  end
  error(why, 0)
end

local function put_wheels(lift, wheel)
  for side, key in pairs(wheel) do lift[side].wheel = key end
end

-- Tables that are there whether or not any of their numbers is.
local function complete(tree)
  tree.tip, tree.lift = tree.tip or {}, tree.lift or {}
  for _, side in ipairs{"left", "right"} do tree.lift[side] = tree.lift[side] or {} end
end

local function put_rigid(c, a, r)
  local car = rigid_car(c, a)
  local k, sds = core.stability(car, true)
  if not k then fail_rigid(c, sds) end
  local wheel, edge, split_by = k.lift_wheel, k.edges, k.split_by
  a.sink, k.lift_wheel, k.edges, k.sink, k.split_by = k.sink, nil, nil, nil, nil
  local found, sd = asking.nested(k), asking.nested(sds)
  if is_trailer(c) then -- neither driven nor braked by its coupling
    found.traction, found.brake, sd.traction, sd.brake, found.split, sd.split = nil, nil, nil, nil, nil, nil
  end
  for _, tree in ipairs{found, sd} do
    complete(tree)
    tree.side, tree.grade = tree.side or {}, tree.grade or {}
  end
  for key, value in pairs(found) do r[key] = value end
  r.sd = sd
  put_wheels(r.lift, wheel)
  r.side.edge, r.lines = edge, lines(car)
  if a.drive_share and r.traction then
    r.split = r.split or {}
    r.split.front_share, r.split.limited_by = a.drive_share, split_by
  end
  if not r.brake then return end
  r.brake.curve = curve(car)
  if a.share then put_locks(a.share, r.brake, sd.brake) end
end

-- ---- on springs --------------------------------------------------------------------------------------------------------------

-- The car as the core is asked about it on its springs, whose rates are known; and whether they were set anew.
local function springs_car(c, a)
  local drawn, reset = springs.drawn(c, a.reset)
  springs.check(c, drawn)
  local geometry, beside = springs.set_with(c, drawn, reset)
  return {now = c.now, drawn = drawn, geometry = geometry, beside = beside, bars = a.bars, tanks = springs.tanks(c, reset)}, reset
end

local function put_springs(c, a, r)
  local why = springs.unknown(c)
  if why then
    r.compliant = {status = "unknown", why = why}
    return nil
  end
  local car, reset = springs_car(c, a)
  local k, sd = core.stability_springs(car)
  local wheel = k.lift_wheel
  k.lift_wheel = nil
  r.compliant, r.sd.compliant = asking.nested(k), asking.nested(sd)
  for _, tree in ipairs{r.compliant, r.sd.compliant} do complete(tree) end
  put_wheels(r.compliant.lift, wheel)
  return reset
end

-- ---- the verdict ---------------------------------------------------------------------------------------------------------------

-- The angle that is judged and its standard uncertainty. On springs a wheel never lifts later than the rigid vehicle tips; without rates
-- only that is known.
local function judged(r, side)
  if not r.compliant.lift then return r.tip[side] or 0, r.sd.tip[side] or 0 end
  return r.compliant.lift[side].angle or 90, r.sd.compliant.lift[side].angle or 0
end

local function judge(a, r)
  r.required, r.margins, r.sd.margins, r.status = a.required, {}, {}, "pass"
  for _, side in ipairs{"left", "right"} do
    local angle, sd = judged(r, side)
    local u = math.sqrt(sd ^ 2 + a.sd.required ^ 2)
    local status = verdicts.of(angle, u, {min = a.required})
    if not r.compliant.lift and status ~= "fail" then status = "unknown" end
    r.margins[side], r.sd.margins[side] = angle - a.required, u
    r.status = verdicts.worse(r.status, status)
  end
  local worse = r.margins.left <= r.margins.right and "left" or "right"
  r.margin, r.sd.margin, r.worse_side = r.margins[worse], r.sd.margins[worse], worse
end

-- Tanks with a pick-up aboard, and whether it is dry where the liquid lies on the table.
local function pick_ups(c, sideways)
  local list, numbers = {}, {}
  for i, node in ipairs(c.shared.nodes) do
    numbers[i] = node.kind == "tank" and node.pick_up and held_liquid.has_level(node) and true or nil
  end
  if next(numbers) == nil then return nil end
  for _, item in ipairs(c.now:items(false, nil, numbers)) do
    local node = c.shared.nodes[item.number]
    if item.aboard then
      local litres = held_liquid.litres(node, item.mass / (item.form == "pair" and 2 or 1))
      local stays = unusable_fuel.litres(c.shared.spec, node, liquids.leaning(c, 0, sideways))
      list[#list + 1] = {tank = item.name, litres = litres, unusable = stays, dry = litres < stays}
    end
  end
  return #list > 0 and list or nil
end

-- The table where the first wheel lifts, the worse side low (without rates: as far as it is then known, rigid): what presses on it. A
-- table of angle a is a turn of tan a in which all weighs cos a, but for how far springs stand up under less weight.
local function put_hill(c, a, r)
  local low = r.worse_side
  local first = (r.compliant.lift or r.lift)[low]
  if not (first and first.angle) or first.angle >= 89 then return end
  local sideways = math.tan(math.rad(first.angle)) * (low == "right" and -1 or 1) -- as of a right turn
  local car = springs.unknown(c) and {now = c.now, drawn = springs.drawn(c, a.reset), geometry = c.geometry, bars = a.bars,
                                      tanks = springs.tanks(c, false)} or springs_car(c, a)
  car.forward, car.left = 0, sideways
  local there = core.transfer(car)
  if not there then return end
  local press, up = math.cos(math.rad(first.angle)), low == "right" and "left" or "right"
  local down, rest = there[low], there[up]
  if not down and there.total_transfer then -- without rates: what goes across, at the mean track
    local standing = core.answers(c.now, c.geometry, {low, up})
    down, rest = standing[1] + there.total_transfer, standing[2] - there.total_transfer
  end
  r.hill = {angle = first.angle, wheel = first.wheel, low = low, on_springs = r.compliant.lift ~= nil,
            down = down and press * down, up = rest and press * rest,
            pick_ups = pick_ups(c, sideways)}
end

local function nose(c, r)
  if not is_trailer(c) then return end
  r.nose_load = core.answers(c.now, c.geometry, {"front"})[1]
  r.nose_share = core.answers(c.now, c.geometry, {"front_share"})[1]
  r.sd.nose_load = select(2, core.ask("balance", {now = c.now, geometry = c.geometry}, {"front"}, true))[1]
end

local function all_notes(c, a, r, reset)
  local list = {}
  if r.compliant.lift then
    list[1] = springs_said.drawn_note(c, reset)
    for _, note in ipairs(force.spring_notes(c, a.bars)) do list[#list + 1] = note end
  else
    list[1] = ("on springs and tyres: unknown, %s; a wheel lifts at a smaller angle than the rigid car tips at"):format(r.compliant.why)
  end
  list[#list + 1] = "rigid lift-off assumes the same vertical stiffness at all wheels"
  if is_trailer(c) then list[#list + 1] = "a trailer: traction and brake split are those of the vehicle that draws it" end
  if a.down then
    list[#list + 1] = force.AIR .. "; it counts in turns, traction and braking, not on tables and grades"
    if springs.unknown(c) then list[#list + 1] = "how far the body sinks under it is not known: " .. springs.unknown(c) end
  end
  if #c.axles ~= 2 then list[#list + 1] = "traction and brake split are for two axles" end
  springs.note_liquids("note_limits", c, list)
  for _, note in ipairs(notes.gaps_and_height(c, core.balance(c.now, c.geometry))) do list[#list + 1] = note end
  return list
end

--- The result table of car:stability.
function stability.of(c, self, given)
  local a = asked(c, given)
  local r = {state = loading.title(c), heading = self:heading(), mu = a.mu, forward = a.forward}
  put_rigid(c, a, r)
  if a.down then
    r.downforce, r.sink, r.axles = force.by_key(c, a.down), not springs.unknown(c) and a.sink or nil, {}
    for i in ipairs(c.axles) do r.axles[i] = springs.axle_key(c, i) end
  end
  local reset = put_springs(c, a, r)
  judge(a, r)
  nose(c, r)
  put_hill(c, a, r)
  r.notes = all_notes(c, a, r, reset)
  return origin.of_car(figures.keep(setmetatable(r, require "steelyard.answers.stability.print"), c), c)
end

--- The car as the core is asked about it with options of car:stability: rigid, and with `on_springs` the other way; nil without rates.
function stability.asked_with(c, given, on_springs)
  local a = asked(c, given)
  if not on_springs then return rigid_car(c, a) end
  return not springs.unknown(c) and springs_car(c, a) or nil
end

--- The car as limits and comparisons ask about it: nothing but its masses and wheels.
function stability.asked(c)
  return {now = c.now, geometry = c.geometry, tanks = springs.tanks(c, false)}
end

return stability
