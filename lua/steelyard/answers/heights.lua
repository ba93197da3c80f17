--- car:lower, car:raise, car:heights: how far the body is asked to stand lower or higher, and where it then stands.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local sides = require "steelyard.file.sides"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"

local heights = {}

local MOST = 500 -- mm: more is a typing error

-- ---- what was asked -------------------------------------------------------------------------------------------------------

local function read(call, words)
  local o = springs.options(call, words, "ends")
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

--- The set heights after lowering (sign -1) or raising (1), and words for the heading.
function heights.changed(c, call, words, sign)
  local front, rear, front_sd, rear_sd = read(call, words)
  local before = springs.heights_set(c)
  local new = {front = before.front + sign * front, rear = before.rear + sign * rear,
               front_sd = together(before.front_sd, front_sd), rear_sd = together(before.rear_sd, rear_sd)}
  require("steelyard.car.ride_height").check_turn(c, call, new)
  local how = sign < 0 and "lowered " or "raised "
  local where = front == rear and text.plain(front)
    or ("%s front and %s rear"):format(text.plain(front), text.plain(rear))
  return new, how .. where
end

local Heights = require("steelyard.reference.results").kind "heights"

--- Heights set by perches, and with what is aboard where the springs are known.
function heights.of(c, self)
  local s = springs.heights_set(c)
  local r = {front = s.front, rear = s.rear, state = loading.title(c), heading = self:heading(), notes = {}, sd = {}}
  local sprung = true
  for _, axle in ipairs(c.axles) do sprung = sprung and sides.all_have(axle, "spring_rate") and sides.all_have(axle, "tyre_rate") end
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

return heights
