--- Poses of a car for its clearances: how an envelope moves against what it was drawn beside, and over the road.
--
-- A pose answers for an envelope e (envelopes.lua) with a list of frames: every way it may then stand, or nil and why that is not
-- known. pose.body: seen from the drawn body; pose.road: seen from the road, on which the wheels stand.

local core = require "steelyard.core"
local axle_means = require "steelyard.car.axle_means"
local attitude = require "steelyard.answers.attitude"
local contents = require "steelyard.car.contents"
local places = require "steelyard.car.shaft_places"
local resolve = require "steelyard.car.resolve"
local named_places = require "steelyard.car.named_places"
local ride_height = require "steelyard.car.ride_height"
local sides = require "steelyard.file.sides"

local poses = {}

--- deg: how far an engine rocks on its mounts, each way; common practice, no source
poses.ROCK = 3

local STILL = {1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0}
poses.STILL = STILL

local function shift(up) return {1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, up} end

-- A turn by `deg` about an axis (1 forward, 2 left, 3 up) through a point.
local function turn_about(axis, deg, p)
  local c, s = math.cos(math.rad(deg)), math.sin(math.rad(deg))
  local i, k = axis % 3 + 1, (axis + 1) % 3 + 1
  local m = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
  m[i][i], m[i][k], m[k][i], m[k][k] = c, -s, s, c
  local frame = {}
  for r = 1, 3 do
    local at = p[r]
    for col = 1, 3 do
      frame[3 * r - 3 + col] = m[r][col]
      at = at - m[r][col] * p[col]
    end
    frame[9 + r] = at
  end
  return frame
end

local function still() return {STILL} end

local function both(way) return {body = way, road = way} end

-- ---- wheel travel ---------------------------------------------------------------------------------------------------------

local function height_at(c, axle, side) return c.heights_set and ride_height.height_at(c, axle, side) or 0 end

-- Where the wheel on that side of an axle stops, mm up in the body as drawn: the stops are in the body, so one that stands lower takes them
-- down. side 0: where the body goes down to on the axle's line, the larger travel of both wheels. nil, why.
local function stop_of(c, axle, side, field, sign)
  local a = c.axles[axle]
  local travel = sides.travel(a, side, field)
  if not travel then return nil, ("the %s axle states no %s"):format(a.name, field) end
  return sign * travel + height_at(c, axle, side)
end

-- The body turned and moved so that it stands by `front` and `rear` mm lower at the first and the last axle's line.
local function lowered(c, front, rear)
  local lines = c.geometry:axle_lines()
  local first, last = lines[1], lines[#lines]
  local frame = turn_about(2, math.deg(math.atan(front - rear, first - last)), {first, 0, 0})
  frame[12] = frame[12] - front
  return frame
end

-- Wheels of the axles that `moves` picks at the end of their travel; the others as drawn.
local function at_stops(c, field, sign, moves)
  local function travel(axle, side)
    if not moves(axle) then return 0 end
    return stop_of(c, axle, side, field, sign)
  end
  return {
    body = function(e)
      if not e.axle then return {STILL} end
      local up, why = travel(e.axle, sides.beside(e.left))
      if not up then return nil, why end
      return {shift(up)}
    end,
    road = function(e) -- the wheels stay on it and the body comes down to them
      if e.axle then return {STILL} end
      local front, why = travel(1, 0)
      local rear, reason = travel(#c.axles, 0)
      if not (front and rear) then return nil, why or reason end
      return {lowered(c, front, rear)}
    end,
  }
end

local function every() return true end
local function first(axle) return axle == 1 end
local function later(axle) return axle ~= 1 end

-- ---- on the springs -----------------------------------------------------------------------------------------------------------

local SPAN = 100 -- mm: the body's lean is its rise over that much; it is a plane but for the chassis' twist

-- Where an envelope's own zero lies now.
local function place_of(e)
  local p = e.part.points and e.part.points[1] or {0, 0, 0}
  for _, frame in ipairs(e.part.frames) do p = places.went(frame, p) end
  return p
end

local function loaded(c)
  local stand = attitude.loaded(c)
  local function move(e)
    if e.axle then return {shift(stand.wheel_rise(e.axle, e.wheel, e.left))} end
    local p = place_of(e)
    local here, ahead, beside = table.unpack(stand.rises{p, {p[1] + SPAN, p[2], p[3]}, {p[1], p[2] + SPAN, p[3]}})
    local pitched = turn_about(2, -math.deg(math.atan(ahead - here, SPAN)), p)
    local frame = places.composed(turn_about(1, math.deg(math.atan(beside - here, SPAN)), p), pitched)
    frame[12] = frame[12] + here
    return {frame}
  end
  return {body = move, road = move}
end

-- ---- steered, rocked -----------------------------------------------------------------------------------------------------------

-- Wheels of the first axle turned each way about an upright line through their middles.
local function steered(c, o)
  return function(e)
    if e.axle ~= 1 then return {STILL} end
    if not o.steer then return nil, "no steer angle is given" end
    local wheel
    for _, w in ipairs(c.geometry:wheels()) do
      if w.axle == 1 and (not wheel or math.abs(w.left - e.left) < math.abs(wheel.left - e.left)) then wheel = w end
    end
    local centre = {wheel.forward, wheel.left, 0}
    return {turn_about(3, o.steer, centre), turn_about(3, -o.steer, centre)}
  end
end

-- Words of a rocking, with the axis it turns about.
local rocking = {{"left_up", 1}, {"right_up", 1}, {"nose_up", 2}, {"nose_down", 2}}

-- Axis and degrees of a rocking.
local function rock_of(rock)
  local axis, deg, by = 1, poses.ROCK, nil
  for _, way in ipairs(rocking) do
    local word = way[1]
    if rock[word] ~= nil then
      if by then core.fail{code = "clash", field = "rock." .. word, message = ("stands beside %s, and it rocks one way"):format(by)} end
      axis, deg, by = way[2], named_places.number(rock[word], "deg", "rock." .. word), word
    end
  end
  return axis, deg
end

-- The engine rocked each way on its mounts, about its CG.
local function rocked(c, o)
  local rock = o.rock or {}
  local what = rock.what or "powertrain"
  if not (rock.what or resolve.has(c, what)) then
    return function() return nil, ("nothing is called %s, and rock.what does not say what rocks"):format(what) end
  end
  local found = resolve.parts(c, what)
  local axis, deg = rock_of(rock)
  local totals = core.item_totals(c.now, c.geometry, found.routes[1])
  local cg = {c.geometry:point_in(totals.cg.x, totals.cg.y, totals.cg.z)}
  return function(e)
    for _, route in ipairs(found.routes) do
      if e.route and e.route:sub(1, #route) == route then return {turn_about(axis, deg, cg), turn_about(axis, -deg, cg)} end
    end
    return {STILL}
  end
end

-- ---- lifted -----------------------------------------------------------------------------------------------------------------

-- The axle that stands: its number, and the mean of its wheels.
local function axle_pivot(c, number)
  return {axle_means.forward(c, number), 0, (axle_means.number(c, number, "loaded_radius"))}
end

-- Of a car tilted sideways: the crowns of the tyres on which it rolls, in the mean of all axles.
local function side_pivot(c, side, crown)
  local sum, count = 0, 0
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.side == side then sum, count = sum + wheel.left, count + 1 end
  end
  if count == 0 then core.fail{code = "geometry", field = "lifted", message = "needs wheels on both sides"} end
  return {0, sum / count, crown or 0}
end

local ends = {"rear", "front", "left", "right"}

--- The car with an end up, turned about the wheels that stand: stiff tyres, suspension locked. lift = {lifted = "rear", "front", "left" or
-- "right", angle = deg, crown = mm or nil, plane = true when the ground tilts with it}; gets lift.pivot, mm forward, left and up.
function poses.lifted(c, lift)
  local word, pivot = lift.lifted, nil
  if word == "rear" or word == "front" then pivot = axle_pivot(c, word == "rear" and 1 or #c.axles)
  elseif word == "left" or word == "right" then pivot = side_pivot(c, word == "left" and -1 or 1, lift.crown)
  else
    core.fail{code = "unknown", field = "lifted", message = ("must be rear, front, left or right, is %s"):format(
      require("steelyard.print.text").named(word)), hint = type(word) == "string" and core.nearest(word, ends) or nil}
  end
  if lift.plane then pivot[3] = 0 end
  lift.pivot = pivot
  local across = word == "left" or word == "right"
  local deg = (word == "rear" or word == "left") and lift.angle or -lift.angle
  local frame = turn_about(across and 1 or 2, deg, pivot)
  return both(function() return {frame} end)
end

--- What that takes for granted.
function poses.lifted_note(lift)
  return ("%s up, turned by %s degrees about %s, tyres stiff and suspension locked"):format(lift.lifted, core.fixed(lift.angle, 2),
    lift.plane and "where the others stand" or "the middles of the wheels that stand")
end

-- ---- by name -----------------------------------------------------------------------------------------------------------------

local by_name = {
  design = function() return both(still) end,
  ["as loaded"] = loaded,
  bump = function(c) return at_stops(c, "bump", 1, every) end,
  ["front bump"] = function(c) return at_stops(c, "bump", 1, first) end,
  ["rear bump"] = function(c) return at_stops(c, "bump", 1, later) end,
  droop = function(c) return at_stops(c, "droop", -1, every) end,
  steer = function(c, o) return both(steered(c, o)) end,
  rock = function(c, o) return both(rocked(c, o)) end,
}

poses.names = {"design", "as loaded", "bump", "front bump", "rear bump", "droop", "steer", "rock"}

--- The names asked for: one, a list, or none for "design".
function poses.asked(at)
  local list = type(at) == "table" and at or {at or "design"}
  for _, name in ipairs(list) do
    if not by_name[name] then
      local near = type(name) == "string" and core.nearest(name, poses.names)
      core.fail {code = "unknown", field = "at",
        message = ("there is no %s for a clearance"):format(require("steelyard.print.text").named(name)),
        hint = near and ("did you mean %q?"):format(near) or table.concat(poses.names, ", ") .. " are possible"}
    end
  end
  return list
end

--- What a car in a chosen state is asked about: on its springs where the file states them, else as drawn.
function poses.usual(car)
  for _, axle in ipairs(contents.inside(car).axles) do
    if not (sides.all_have(axle, "spring_rate") and sides.all_have(axle, "tyre_rate")) then return "design" end
  end
  return "as loaded"
end

function poses.of(c, name, o) return by_name[name](c, o) end

local function unlike_travel(c, field)
  for _, axle in ipairs(c.axles) do
    if not sides.alike(axle, {field}) then return true end
  end
end

--- What a pose takes for granted: a sentence, or nil.
function poses.note(c, name, o)
  if name == "steer" then return "wheels are steered about an upright line through their middles" end
  if name == "rock" and not o.rock and resolve.has(c, "powertrain") then
    return ("powertrain rocked %d degrees each way about a fore-aft line through its CG (common practice, no source)"):format(poses.ROCK)
  end
  if name:find "bump$" or name == "droop" then
    return "wheels move straight up and down in the body; over the road they stay on it and the body moves, tyres as drawn"
      .. (unlike_travel(c, name == "droop" and name or "bump") and ", on an axle of unlike travel by the larger" or "")
  end
  if name == "as loaded" then return "body and wheels stand as ride_height says; +- is of places alone, not of load and springs" end
end

return poses
