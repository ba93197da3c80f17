--- car:stability{...}: when it tips and when its first wheel lifts, grades, traction by driven axle, brake split.
--
-- Rigid answers need masses and wheels only. Those on springs come from the model of car:transfer, on a table that leans.

local axles = require "steelyard.file.axles"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local force = require "steelyard.answers.force"
local springs = require "steelyard.answers.springs"
local verdicts = require "steelyard.answers.verdicts"

local stability = {}

local known = {"mu", "required", "braking", "drive", "brake_front_share", "bars", "reset", "downforce"}

-- Braking, or with a minus drive, of the list of tip lines, in g.
local LINES = {0, 0.25, 0.5, 0.75, -0.25}
-- Decelerations of the curve of ideal brake shares, in g.
local CURVE = {0.2, 0.4, 0.6, 0.8, 1}

-- ---- what was asked ---------------------------------------------------------------------------------------------------------

local function number(o, field, unit, low, high, default)
  if o[field] == nil then return default, 0 end
  local value, sd = springs.number(o[field], unit, field)
  if value < low or value > high then
    core.fail{code = "range", field = field, message = ("is %s, must be between %s and %s"):format(core.shortest(value),
      core.shortest(low), core.shortest(high))}
  end
  return value, sd
end

local function asked(c, given)
  local o = springs.options("car:stability", given, known)
  local a = {sd = {}}
  a.mu, a.sd.mu = number(o, "mu", "", 0.01, 3, 1)
  a.required, a.sd.required = number(o, "required", "deg", 0, 89, 60)
  a.forward, a.sd.forward = force.forward(o)
  a.share, a.sd.share = number(o, "brake_front_share", "%", 0, 100, nil)
  if a.share and a.share > 0 and a.share <= 1 then
    core.fail{code = "range", field = "brake_front_share", message = ("is %s %%, no brakes are set so"):format(core.shortest(a.share)),
      hint = "shares are in per cent: 60, not 0.6"}
  end
  a.bars, a.reset = force.bars(o), o.reset
  a.down, a.down_sd = force.downforce(c, o)
  return a
end

-- ---- rigid ------------------------------------------------------------------------------------------------------------------

-- Why the springs tell nothing, or nil.
local function no_springs(c)
  for _, axle in ipairs(c.axles) do
    for _, field in ipairs{"spring_rate", "tyre_rate"} do
      if not axle[field] then return ("%s of the %s axle is not given"):format(field, axle.name) end
    end
  end
end

-- By how many mm the CG sinks under downforce; 0 where no springs tell.
local function sink_of(c, a, down)
  if not down or no_springs(c) then return 0 end
  local drawn, reset = springs.drawn(c, a.reset)
  springs.check(c, drawn)
  local tanks = springs.tanks(c, reset)
  local function up(air)
    return core.attitude({now = c.now, drawn = drawn, geometry = c.geometry, bars = a.bars, tanks = tanks, downforce = air}).cg_shift.up
  end
  return up(nil) - up(down)
end

local function rigid_of(c, a, change, doubts)
  local function of(key) return a[key] and a[key] + (change and change[key] or 0) end
  local share = of "share"
  return core.stability(c.now, c.geometry, of "mu", of "forward", share and share / 100, doubts, a.tanks,
                        change and change.down or a.down, change and change.sink or a.sink)
end

local function add_difference(sd, high, low)
  for name, value in pairs(sd) do
    if high[name] and low[name] then sd[name] = math.sqrt(value ^ 2 + (0.5 * (high[name] - low[name])) ^ 2) end
  end
end

-- Downforce one standard uncertainty more and less at an axle.
local function add_air_doubt(c, a, sd)
  for i = 1, a.down_sd and #a.down_sd or 0 do
    local u, side = a.down_sd[i], {}
    for k = 1, u > 0 and 2 or 0 do
      local down = {table.unpack(a.down)}
      down[i] = down[i] + (k == 1 and u or -u)
      side[k] = rigid_of(c, a, {down = down, sink = sink_of(c, a, down)})
    end
    if side[2] then add_difference(sd, side[1], side[2]) end
  end
end

-- Rigid answers with the doubts of masses and of what was given to the call.
local function rigid(c, a)
  local r, sd = rigid_of(c, a, nil, true)
  for _, key in ipairs{"mu", "forward", "share"} do
    local u = a.sd[key]
    if u and u > 0 then
      add_difference(sd, rigid_of(c, a, {[key] = u}), rigid_of(c, a, {[key] = -u}))
    end
  end
  add_air_doubt(c, a, sd)
  return r, sd
end

local function lines(c, a)
  local list = {}
  for i, forward in ipairs(LINES) do
    local at = rigid_of(c, {mu = a.mu, forward = forward, tanks = a.tanks, down = a.down, sink = a.sink})
    list[i] = {braking = math.max(forward, 0), drive = math.max(-forward, 0), left_turn = at.left_turn, right_turn = at.right_turn,
               edge = at.edges}
  end
  return list
end

local function brake_of(c, a, k, sd)
  if not k.brake_ideal then return nil, nil end
  local brake, brake_sd = {curve = {}, ideal = k.brake_ideal}, {ideal = sd.brake_ideal}
  for i, z in ipairs(CURVE) do
    local at, at_sd = rigid_of(c, {mu = z, forward = 0, down = a.down, sink = a.sink}, nil, true)
    add_air_doubt(c, {mu = z, forward = 0, down = a.down, down_sd = a.down_sd, bars = a.bars, reset = a.reset}, at_sd)
    brake.curve[i] = {z = z, front_share = at.brake_ideal, sd = at_sd.brake_ideal}
  end
  if not a.share then return brake, brake_sd end
  brake.front_share, brake.critical_z = a.share, k.critical
  brake.front_locks, brake.rear_locks = k.front_locks, k.rear_locks
  local front, rear = k.front_locks or math.huge, k.rear_locks or math.huge
  brake.locks_first = front <= rear and "front" or "rear"
  brake.at = math.min(front, rear)
  brake_sd.critical_z, brake_sd.front_locks, brake_sd.rear_locks = sd.critical, sd.front_locks, sd.rear_locks
  brake_sd.at = front <= rear and sd.front_locks or sd.rear_locks
  return brake, brake_sd
end

local function lift_of(k)
  return {left = {angle = k.lift_left, wheel = k.lift_wheel.left}, right = {angle = k.lift_right, wheel = k.lift_wheel.right}}
end

local function is_trailer(c) return axles.is_trailer(c.axles) end

-- A CG behind a trailer's wheels is told by what it does to the coupling.
local function try_rigid(c, a)
  local fine, k, sd = pcall(rigid, c, a)
  if fine then return k, sd end
  local nose = is_trailer(c) and core.answers(c.now, c.geometry, {"front"})[1]
  if nose and nose < 0 then
    core.fail{code = "geometry", field = "nose_load",
      message = ("would be %s kg up: its load lies behind the wheels and lifts the coupling"):format(core.fixed(-nose, 1))}
  end
  error(k, 0)
end

local function put_rigid(c, a, r)
  local k, sd = try_rigid(c, a)
  if is_trailer(c) then k.drive_front, k.brake_ideal = nil, nil end -- neither is driven nor brakes by its coupling
  r.ssf = k.ssf
  r.tip, r.lift = {left = k.tip_left, right = k.tip_right}, lift_of(k)
  r.side = {left_turn = k.left_turn, right_turn = k.right_turn, edge = k.edges}
  local left, right = k.left_turn or 0, k.right_turn or 0 -- 0: braking alone tips it
  r.side_g = math.min(left, right)
  r.lines = lines(c, a)
  r.grade = {up = k.grade_up, down = k.grade_down}
  r.traction = k.drive_front and {front = k.drive_front, rear = k.drive_rear, all = k.drive_all} or nil
  r.brake = brake_of(c, a, k, sd)
  r.sd = {ssf = sd.ssf, tip = {left = sd.tip_left, right = sd.tip_right}, lift = {left = sd.lift_left, right = sd.lift_right},
          side = {left_turn = sd.left_turn, right_turn = sd.right_turn}, side_g = left <= right and sd.left_turn or sd.right_turn,
          grade = {up = sd.grade_up, down = sd.grade_down},
          traction = k.drive_front and {front = sd.drive_front, rear = sd.drive_rear, all = sd.drive_all} or nil}
  local _, brake_sd = brake_of(c, a, k, sd)
  r.sd.brake = brake_sd
end

-- ---- on springs --------------------------------------------------------------------------------------------------------------

local function put_springs(c, a, r)
  local why = no_springs(c)
  if why then
    r.compliant = {status = "unknown", why = why}
    return nil
  end
  local drawn, reset = springs.drawn(c, a.reset)
  springs.check(c, drawn)
  local k, sd = core.stability_springs(c.now, drawn, c.geometry, a.bars, springs.tanks(c, reset), springs.doubtful_rates(c))
  r.compliant = {tip = {left = k.tip_left, right = k.tip_right}, lift = lift_of(k)}
  r.sd.compliant = {tip = {left = sd.tip_left, right = sd.tip_right}, lift = {left = sd.lift_left, right = sd.lift_right}}
  return reset
end

-- ---- the verdict ---------------------------------------------------------------------------------------------------------------

-- On springs a wheel never lifts later than the rigid vehicle tips; without rates only that is known.
local function judge(a, r)
  local from, sd
  if r.compliant.lift then
    local lift = r.compliant.lift
    from, sd = {left = lift.left.angle or 90, right = lift.right.angle or 90}, r.sd.compliant.lift
  else
    from, sd = r.tip, r.sd.tip
  end
  r.required, r.margins, r.sd.margins, r.status = a.required, {}, {}, "pass"
  for _, side in ipairs{"left", "right"} do
    local u = math.sqrt((sd[side] or 0) ^ 2 + a.sd.required ^ 2)
    local status = verdicts.of(from[side] or 0, u, {min = a.required})
    if not r.compliant.lift and status ~= "fail" then status = "unknown" end
    r.margins[side], r.sd.margins[side] = (from[side] or 0) - a.required, u
    r.status = verdicts.worse(r.status, status)
  end
  local worse = r.margins.left <= r.margins.right and "left" or "right"
  r.margin, r.sd.margin, r.worse_side = r.margins[worse], r.sd.margins[worse], worse
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
    list[1] = springs.drawn_note(c, reset)
    for _, note in ipairs(force.spring_notes(c, a.bars)) do list[#list + 1] = note end
  else
    list[1] = ("on springs and tyres: unknown, %s; a wheel lifts at a smaller angle than the rigid car tips at"):format(r.compliant.why)
  end
  list[#list + 1] = "rigid first lift as if every wheel stood on the same vertical rate"
  if is_trailer(c) then list[#list + 1] = "a trailer: traction and brake split are those of the vehicle that draws it" end
  if a.down then
    list[#list + 1] = force.AIR .. "; it counts in turns, traction and braking, not on tables and grades"
    if no_springs(c) then list[#list + 1] = "how far the body sinks under it is not known: " .. no_springs(c) end
  end
  if #c.axles ~= 2 then list[#list + 1] = "traction and brake split are for two axles" end
  springs.tell_liquids("tell_limits", c, list)
  for _, note in ipairs(notes.gaps_and_height(c, core.balance(c.now, c.geometry))) do list[#list + 1] = note end
  return list
end

--- The result table of car:stability.
function stability.of(c, self, given)
  local a = asked(c, given)
  a.tanks = springs.tanks(c, false)
  a.sink = sink_of(c, a, a.down)
  local r = {state = loading.title(c), heading = self:heading(), mu = a.mu, forward = a.forward}
  if a.down then
    r.downforce, r.sink, r.axles = force.by_key(c, a.down), not no_springs(c) and a.sink or nil, {}
    for i in ipairs(c.axles) do r.axles[i] = springs.axle_key(c, i) end
  end
  put_rigid(c, a, r)
  local reset = put_springs(c, a, r)
  judge(a, r)
  nose(c, r)
  r.notes = all_notes(c, a, r, reset)
  return figures.keep(setmetatable(r, require "steelyard.answers.stability.print"), c)
end

--- stability.ssf, stability.side_g: for limits and comparisons; stated errors taken as acting alike on cars from one file.
function stability.quantity(c, name)
  local r = {}
  local a = asked(c)
  a.tanks = springs.tanks(c, false)
  put_rigid(c, a, r)
  local field = name:match "^stability%.(.*)$"
  return r[field] and {value = r[field], errors = {ledger = r.sd[field] or 0}}
end

return stability
