--- car:lower, car:raise, car:heights: the body set lower or higher by its perches, left and right alike.
--
-- Heights are kept beside the edits (c.stance, mm up at the axle lines) and put on the loaded ledger last, so an edit made later goes
-- by the drawn places too. What the body carries turns and rises with it, what wheels carry stays, what both carry goes by its share.
-- The body turns about a point over the front axle at its wheels' height, which only rises.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local springs = require "steelyard.answers.springs"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local ride_height = {}

local MOST = 500 -- mm: more is a typing error

-- ---- what was asked -------------------------------------------------------------------------------------------------------

local function read(call, words)
  local o = springs.options(call, words, {"front", "rear"})
  if o.front == nil and o.rear == nil then
    core.fail{code = "missing", message = ("%s needs front, rear or both, mm at the axle lines"):format(call)}
  end
  local front, front_sd = 0, 0
  local rear, rear_sd = 0, 0
  if o.front then front, front_sd = springs.number(o.front, "mm", "front", MOST) end
  if o.rear then rear, rear_sd = springs.number(o.rear, "mm", "rear", MOST) end
  return front, rear, front_sd, rear_sd
end

local function together(a, b) return math.sqrt((a or 0) ^ 2 + b ^ 2) end

-- The body can only turn so far that one axle line stands above the other.
local function check_turn(c, call, new)
  local wheels = c.geometry:wheels()
  local length, apart = wheels[1].forward - wheels[#wheels].forward, math.abs(new.rear - new.front)
  if apart < length then return end
  core.fail{code = "geometry", file = c.shared.file, field = new.rear > new.front and "rear" or "front",
    message = ("would stand %s mm above the other end, %s has only the wheelbase of %s mm to turn over"):format(core.shortest(apart),
      call, core.shortest(length))}
end

--- The stance after lowering (sign -1) or raising (1), and words for the heading.
function ride_height.changed(c, call, words, sign)
  local front, rear, front_sd, rear_sd = read(call, words)
  local before = springs.stance(c)
  local new = {front = before.front + sign * front, rear = before.rear + sign * rear,
               front_sd = together(before.front_sd, front_sd), rear_sd = together(before.rear_sd, rear_sd)}
  check_turn(c, call, new)
  local how = sign < 0 and "lowered " or "raised "
  local where = front == rear and core.shortest(front)
    or ("%s front and %s rear"):format(core.shortest(front), core.shortest(rear))
  return new, how .. where
end

-- Height of the body at an axle, mm up.
local function height_at(c, i)
  local s = c.stance
  local list = c.axles
  local function place(k) return math.abs(list[k].at - list[1].at) - (list[k].moved or 0) + (list[1].moved or 0) end
  return s.front + (s.rear - s.front) * place(i) / place(#list)
end
ride_height.height_at = height_at

-- Less bump is left when the body stands lower, and more droop.
local function check_travel(c)
  for i, axle in ipairs(c.axles) do
    local height = height_at(c, i)
    if axle.bump and axle.bump + height < 0 or axle.droop and axle.droop - height < 0 then
      core.fail{code = "range", file = c.shared.file, part = axle.name, kind = "axle", field = height < 0 and "bump" or "droop",
        message = ("ends %s mm from the drawn height, the body cannot stand %s there"):format(
          core.shortest(height < 0 and axle.bump or axle.droop), text.worded(height, 1, "mm higher", "mm lower"))}
    end
  end
end

--- The geometry with the wheel travel that is left at this height.
function ride_height.geometry(c)
  local axles = {}
  for i, axle in ipairs(c.axles) do
    local height, left = height_at(c, i), {}
    for key, value in pairs(axle) do left[key] = value end
    left.bump, left.droop = axle.bump and axle.bump + height, axle.droop and axle.droop - height
    axles[i] = left
  end
  return build.geometry(c.shared.spec, axles)
end

-- ---- moving the body --------------------------------------------------------------------------------------------------------

-- Where the front axle is and how the body turns: mm forward and up, degrees nose down.
local function motion(c)
  local wheels = c.geometry:wheels()
  local forward, length = wheels[1].forward, wheels[1].forward - wheels[#wheels].forward
  local sine = (c.stance.rear - c.stance.front) / length
  return forward, c.axles[1].loaded_radius, math.asin(sine)
end

--- By how many degrees the stance puts the nose down.
function ride_height.nose_down(c)
  local _, _, angle = motion(c)
  return math.deg(angle)
end

--- Where the body takes a point (mm forward, left, up).
function ride_height.point(c, p)
  if not c.stance then return p end
  local forward, up, angle = motion(c)
  local x, z = p[1] - forward, p[3] - up
  local cos, sin = math.cos(angle), math.sin(angle)
  return {forward + cos * x + sin * z, p[2], up + c.stance.front - sin * x + cos * z}
end

--- The same as a frame: turn by rows, then the shift in mm.
function ride_height.frame(c)
  local o = ride_height.point(c, {0, 0, 0})
  local _, _, angle = motion(c)
  local cos, sin = math.cos(angle), math.sin(angle)
  return {cos, 0, sin, 0, 1, 0, -sin, 0, cos, o[1], o[2], o[3]}
end

--- The share of a part that wheels carry.
function ride_height.unsprung_share(record)
  local share = 0
  for _, entry in ipairs(record and record.unsprung or {}) do share = share + entry.fraction end
  return share
end

-- Routes of groups with something in them that wheels carry.
local function mixed_groups(c, items)
  local mixed = {}
  for _, item in ipairs(items) do
    if item.form ~= "group" and ride_height.unsprung_share(c.shared.records[item.record]) > 0 then
      for last = 0, #item.route, 4 do mixed[item.route:sub(1, last)] = true end
    end
  end
  return mixed
end

-- A piece that wheels carry in part goes by the rest of it, without turning.
local function shift_share(c, ledger, item, share)
  local at = item.origin
  local to = ride_height.point(c, at)
  local rest = 1 - share
  return ledger:shift(item.route, rest * (to[1] - at[1]), 0, rest * (to[3] - at[3]))
end

-- Items in file order, of a pair its pieces: each may be carried in a way of its own.
local function single_items(ledger)
  local list = {}
  for _, item in ipairs(ledger:items(true)) do
    if item.form ~= "pair" then list[#list + 1] = item end
  end
  return list
end

--- The ledger with the body at its height.
function ride_height.stand(c, ledger)
  local items = single_items(ledger)
  local mixed = mixed_groups(c, items)
  local forward, up, angle = motion(c)
  local turn, inside = {nose_down = math.deg(angle)}, nil
  for _, item in ipairs(items) do
    local covered = inside and item.route:sub(1, #inside) == inside
    if not covered then
      inside = nil
      local share = item.form ~= "group" and ride_height.unsprung_share(c.shared.records[item.record]) or 0
      if share > 0 then
        if share < 1 then ledger = shift_share(c, ledger, item, share) end
      elseif not mixed[item.route] then
        if angle ~= 0 then ledger = ledger:turn(item.route, turn, forward, 0, up) end
        ledger = ledger:shift(item.route, 0, 0, c.stance.front)
        inside = item.form == "group" and item.route or nil
      end
    end
  end
  return ledger
end

--- Puts the stance on a car that was just loaded: its ledger and the travel that is left.
function ride_height.put(d)
  check_travel(d)
  d.geometry = ride_height.geometry(d)
  d.now = ride_height.stand(d, d.now)
end

--- A stance for a car, or none when it is back at the drawn heights.
function ride_height.set(d, new)
  if new.front == 0 and new.rear == 0 then
    d.stance = false
    d.geometry = build.geometry(d.shared.spec, d.axles)
  else
    d.stance = new
  end
end

-- ---- car:heights() ------------------------------------------------------------------------------------------------------------

local Heights = require("steelyard.reference.results").kind "heights"

--- Heights set by perches, and with what is aboard where the springs are known.
function ride_height.heights(c, self)
  local s = springs.stance(c)
  local r = {front = s.front, rear = s.rear, state = loading.title(c), heading = self:heading(), notes = {}, sd = {}}
  local sprung = true
  for _, axle in ipairs(c.axles) do sprung = sprung and axle.spring_rate and axle.tyre_rate end
  if sprung then
    local a = self:attitude()
    r.loaded = {front = a.heights.front, rear = a.heights.rear}
    r.notes = a.notes
  else
    r.notes[1] = "spring_rate and tyre_rate are not given, so what the load does to the heights is not known"
  end
  return origin.of_car(setmetatable(r, Heights), c)
end

local function both(t)
  return ("front %s, rear %s"):format(text.worded(t.front, 1, "mm up", "mm down"), text.worded(t.rear, 1, "mm up", "mm down"))
end

function Heights.__tostring(r)
  local lines = {r.heading, ("Set by the perches, from the drawn heights: %s."):format(both(r))}
  if r.loaded then lines[#lines + 1] = ("With what is aboard: %s."):format(both(r.loaded)) end
  return page.of(r, lines)
end

return ride_height
