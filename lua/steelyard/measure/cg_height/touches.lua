--- What of a car comes to the ground as an end is lifted: by the file's points and the outlines of its parts, as seen from the side, or
-- from the front where a side is lifted. The geometry is that of core/measure/lift.h: stiff tyres, locked suspension.

local core = require "steelyard.core"
local envelopes = require "steelyard.car.envelopes"
local named_places = require "steelyard.car.named_places"
local places = require "steelyard.car.shaft_places"

local touches = {}

--- deg: higher than any axle needs to go; straps, liquids and nerves end before. Common practice, no source
touches.STEEPEST = 20

local CLOSE = 0.001 -- deg: nearer the angle of a touch is not looked for
local BELOW = 0.5   -- mm: what would be deeper below the ground is said

--- The file's points where they are now: {name =, at = mm forward, left and up}. Those of parts that are not aboard touch nothing.
function touches.points(c)
  local list = {}
  for _, point in ipairs(c.shared.spec.points or {}) do
    local _, left = c.geometry:point_in(point.at[1], point.at[2], point.at[3])
    if places.point_is_aboard(c, point, left) then
      local at = named_places.find(c, point.name, "low_points").at
      if at[3] >= 0 then list[#list + 1] = {name = point.name, at = at} end
    end
  end
  return list
end

-- From a pair of an outline to mm behind the front axle, or right of the left track, and mm above the ground.
local function reader(c, view, from)
  local _, sign, zero = core.file_axis(c.geometry, view == "side" and 0 or 1)
  local _, up_sign, up_zero = core.file_axis(c.geometry, 2)
  return function(p) return from - sign * (p[1] - zero), up_sign * (p[2] - up_zero) end
end

-- Does a place come down to the ground up to the steepest? Only what lies beyond the wheels that stand does, and that low.
local function may_touch(look, x, up)
  local beyond = look.lifted == "rear" and -x or x - look.car.wheelbase
  return beyond > 0 and up <= beyond * math.tan(math.rad(touches.STEEPEST))
end

-- How far a shape reaches from its part's place at most, mm: all its lengths together, and once more for a liquid that lies aside of its
-- tank's middle. nil where lengths do not say it.
local function most_reach(shape)
  local sum = 0
  for i = 1, #shape do
    if type(shape[i]) ~= "number" then return nil end
    sum = sum + shape[i]
  end
  return shape.kind ~= "mesh" and sum > 0 and 2 * sum or nil
end

-- May a part touch, by its place and how far it reaches? Most of a car does not, and needs no outline.
local function near_enough(c, look, item, shape)
  local reach = not c.heights_set and most_reach(shape)
  if not reach then return true end
  local at = item.origin
  local x = look.view == "side" and -at[1] or look.from - at[2]
  return may_touch(look, look.lifted == "rear" and x - reach or x + reach, at[3] - reach)
end

-- Everything that may touch: {what =, part = true, spots = {{mm along, mm up}}}.
local function candidates(c, look)
  local list, ledger = {}, envelopes.ledger_now(c)
  for _, point in ipairs(touches.points(c)) do
    local x = look.view == "side" and -point.at[1] or look.from - point.at[2]
    if may_touch(look, x, point.at[3]) then list[#list + 1] = {what = point.name, spots = {{x, point.at[3]}}} end
  end
  local read = reader(c, look.view, look.from)
  for _, item in ipairs(c.now:items(true)) do
    local node = item.form == "part" and item.aboard and c.shared.nodes[item.number]
    local part = node and node.shape and near_enough(c, look, item, node.shape)
      and not (node.unsprung and places.carried_by(c, node)) and envelopes.piece_now(c, ledger, item)
    local found = {what = node and node.name, part = true, spots = {}}
    for _, loop in ipairs(part and core.outline(part, c.geometry, look.view) or {}) do
      for _, p in ipairs(loop) do
        local x, up = read(p)
        if may_touch(look, x, up) then found.spots[#found.spots + 1] = {x, up} end
      end
    end
    if #found.spots > 0 then list[#list + 1] = found end
  end
  return list
end

-- The least clearance of a candidate at a tilt, mm.
local function clearance(look, candidate, tilt)
  local least = math.huge
  for _, spot in ipairs(candidate.spots) do least = math.min(least, core.lift_point(look.car, spot[1], spot[2], tilt)) end
  return least
end

local function first_touch(look, candidate)
  local low, high = 0, touches.STEEPEST
  if clearance(look, candidate, high) > 0 then return nil end
  while high - low > CLOSE do
    local middle = (low + high) / 2
    if clearance(look, candidate, middle) > 0 then low = middle else high = middle end
  end
  return high
end

-- What would be below the ground at the steepest tilt, and in any case the first to touch.
local function find(c, look, steepest, by_angle)
  local list, seen = {}, {}
  for _, candidate in ipairs(candidates(c, look)) do
    local angle = first_touch(look, candidate)
    if angle then
      local below = -clearance(look, candidate, steepest)
      list[#list + 1] = {what = candidate.what, part = candidate.part or false, angle = angle,
                         lift = not by_angle and core.lift_of_tilt(look.car, angle) or nil, below = below > BELOW and below or nil}
    end
  end
  table.sort(list, function(a, b) return a.angle < b.angle or a.angle == b.angle and core.before(a.what, b.what) end)
  local kept = {}
  for i, touch in ipairs(list) do
    if (i == 1 or touch.below) and not seen[touch.what] then kept[#kept + 1], seen[touch.what] = touch, true end
  end
  return kept
end

-- The steepest tilt of each end that was lifted.
local function steepest_of(result)
  local ends, steepest = {}, {}
  for _, row in ipairs(result.rows) do
    if row.lifted ~= "level" then
      if not steepest[row.lifted] then ends[#ends + 1] = row.lifted end
      steepest[row.lifted] = math.max(steepest[row.lifted] or 0, row.angle)
    end
  end
  return ends, steepest
end

--- Puts into the result of a lift what of the car would have been below the ground, by the file: result.touches = {{lifted = end, what =,
-- part = true for a part, false for a point, angle = from which on, lift = mm or nil, below = mm at the steepest reading or nil}}, in any
-- case what is first to touch; and the names of what would be below by reading. Car and pads on one plane tilt together: nothing touches.
-- car_of(lifted): the car as core.lift_point takes it; left_track: of a side lift, mm left of the centre plane.
function touches.add(c, result, car_of, left_track)
  result.touches = {}
  if result.on == "plane" then return end
  local ends, steepest = steepest_of(result)
  for _, lifted in ipairs(ends) do
    local car = car_of(lifted)
    local look = {car = car, lifted = car.lifted, view = left_track and "front" or "side", from = left_track or 0}
    for _, touch in ipairs(find(c, look, steepest[lifted], result.by == "angle")) do
      touch.lifted = lifted
      result.touches[#result.touches + 1] = touch
    end
  end
  for _, row in ipairs(result.rows) do
    for _, touch in ipairs(result.touches) do
      if row.lifted == touch.lifted and touch.below and row.angle > touch.angle then
        row.touches = row.touches or {}
        row.touches[#row.touches + 1] = touch.what
      end
    end
  end
end

return touches
