--- What car:transfer and car:stability share: the force that is asked for, and what must be said about springs under it.

local core = require "steelyard.core"
local springs = require "steelyard.answers.springs"
local springs_said = require "steelyard.answers.springs.said"
local text = require "steelyard.print.text"

local force = {}

local MOST = 5 -- g: more is a typing error
local MOST_DOWNFORCE = 5000 -- kg
local LEAST = 1e-9 -- g: less is the rounding of a sweep that begins at 0

--- One acceleration as a positive number of g: value, standard uncertainty; nil when it was not given.
function force.g(o, field)
  if o[field] == nil then return nil end
  local value, sd = springs.number(o[field], "", field)
  if value < 0 then
    core.fail{code = "range", field = field, message = ("is %s g, must be 0 or more"):format(text.plain(value)),
      hint = ({left_turn = {"write right_turn for the other way", "--right is the other way"},
        right_turn = {"write left_turn for the other way", "--left is the other way"},
               braking = "write drive for the other way", drive = "write braking for the other way"})[field]}
  end
  if value > MOST then
    core.fail{code = "range", field = field, message = ("is %s g; the largest accepted value is %d g"):format(text.plain(value), MOST),
      hint = "accelerations are in g: 9.81 m/s2 is 1"}
  end
  return value < LEAST and 0 or value, sd
end

-- One of two that exclude each other, the second counted negative: value, standard uncertainty.
local function either(o, plus, minus)
  local a, a_sd = force.g(o, plus)
  local b, b_sd = force.g(o, minus)
  if a and b then
    core.fail{code = "clash", field = minus, message = ("cannot go with %s"):format(plus)}
  end
  if a then return a, a_sd end
  return -(b or 0) + 0.0, b_sd or 0
end

--- Braking (or drive, negative) and its standard uncertainty.
function force.forward(o) return either(o, "braking", "drive") end

--- The force of a right turn (or a left one, negative), to the left, and its standard uncertainty.
function force.left(o) return either(o, "right_turn", "left_turn") end

--- The front part of the brake force, %, and its standard uncertainty; nil when it was not given.
function force.brake_front_share(o)
  if o.brake_front_share == nil then return nil end
  local share, sd = springs.number(o.brake_front_share, "%", "brake_front_share")
  if share < 0 or share > 100 then
    core.fail{code = "range", field = "brake_front_share", message = ("is %s, must be between 0 and 100"):format(text.plain(share))}
  end
  if share > 0 and share <= 1 then
    core.fail{code = "range", field = "brake_front_share", message = ("is %s %%, no brakes are set so"):format(text.plain(share)),
      hint = "shares are in per cent: 60, not 0.6"}
  end
  return share, sd
end

--- Are bars connected? They are on the road, so unless said otherwise.
function force.bars(o) return springs.bars(o, true) end

--- Downforce in kg by axle, negative where air lifts, and its standard uncertainties; nil when it was not given.
function force.downforce(c, o)
  local down, sds = springs.by_axle(c, o.downforce, "downforce", "kg", MOST_DOWNFORCE)
  for i, loaded in ipairs(down and #c.axles == 2 and core.answers(c.now, c.geometry, {"front", "rear"}) or {}) do
    if loaded + down[i] <= 0 and loaded > 0 then
      core.fail{code = "geometry", field = "downforce", message = ("lifts %s kg at the %s axle, which carries %s: it would tip"):format(
        text.plain(-down[i]), springs.axle_key(c, i), core.fixed(loaded, 1))}
    end
  end
  return down, sds
end

--- The same list as results give it: by the axles' keys.
function force.by_key(c, list)
  if not list then return nil end
  local by = {}
  for i = 1, #c.axles do by[springs.axle_key(c, i)] = list[i] end
  return by
end

force.AIR = "downforce acts on the body over each axle, on the centre line"

--- "Downforce 40 kg front and 65 kg rear.": of a result with `downforce` and `axles`.
function force.air(r)
  local list, lift = {}, false
  for i, key in ipairs(r.axles) do
    list[i] = ("%s kg %s"):format(text.plain(r.downforce[key]), key)
    lift = lift or r.downforce[key] < 0
  end
  if not lift then return ("Downforce %s."):format(text.join(list)) end
  for i, key in ipairs(r.axles) do
    local kg = r.downforce[key]
    list[i] = ("%s %s kg %s"):format(key, text.plain(math.abs(kg)), kg < 0 and "up" or "down")
  end
  return ("Air: %s."):format(text.join(list))
end

--- "0.80 g left turn with 0.30 g braking"
function force.words(forward, left)
  local list = {}
  local function g(x) return text.plain(math.abs(x)) .. " g " end
  if left ~= 0 then list[1] = g(left) .. (left > 0 and "right turn" or "left turn") end
  if forward ~= 0 then list[#list + 1] = g(forward) .. (forward > 0 and "braking" or "drive") end
  return table.concat(list, " with ")
end

--- "lf suspension is at its bump stop", "lf is off the ground"
function force.stop_notes(c, r, list)
  for _, key in ipairs(r.lifted) do list[#list + 1] = ("the %s wheel is off the ground"):format(key) end
  springs_said.bump_stop_notes(c, r, list)
  for _, key in ipairs(springs.wheels(c)) do
    if r.stops[key] then list[#list + 1] = springs_said.end_note(r, key) end
  end
end

--- What the answers on springs rest on: roll centres, bars, chassis.
function force.spring_notes(c, bars)
  local list, none, bar = {}, {}, {}
  for i, axle in ipairs(c.axles) do
    if axle.wheels ~= 1 then
      local key = springs.axle_key(c, i)
      if axle.roll_centre == nil then none[#none + 1] = key end
      if (axle.bar_rate or 0) > 0 then bar[#bar + 1] = key end
    end
  end
  if #c.axles > 2 then
    list[1] = "more than two axles: roll centres are left out, sideways force on the body goes through the springs"
  elseif #none > 0 then
    list[1] = ("roll centre taken on the ground, none is given: %s"):format(text.join_names(none))
  end
  local gives, stiff = {}, {}
  for i, axle in ipairs(c.axles) do
    local rate = axle.tyre_lateral_rate
    table.insert(rate and gives or stiff, rate and ("%s %s N/mm"):format(springs.axle_key(c, i), text.plain(rate))
      or springs.axle_key(c, i))
  end
  if #gives > 0 then
    list[#list + 1] = ("tyres give sideways, one of them: %s%s"):format(text.join(gives), #stiff > 0 and "; not at the "
      .. text.join(stiff) or "")
  end
  if not (c.shared.spec.chassis and c.shared.spec.chassis.torsion) then list[#list + 1] = "chassis taken as rigid" end
  list[#list + 1] = #bar == 0 and "no anti-roll bar is given" or not bars and "anti-roll bars off"
    or "anti-roll bars connected: " .. text.join(bar)
  list[#list + 1] = "the car is pushed at the heights where it stands: lower than drawn under more load or downforce, higher on a table "
    .. "that leans"
  return list
end

return force
