--- The body set lower or higher by its perches, left and right alike: car:lower, car:raise (answers/heights.lua).
--
-- Heights are kept beside the edits (c.heights_set, mm up at the axle lines) and put on the loaded ledger last, so an edit made later goes
-- by the drawn places too. What the body carries turns and rises with it, what wheels carry stays, what both carry goes by its share.
-- The body turns about a point over the front axle at its wheels' height, which only rises.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"

local ride_height = {}

local function contents_cross(c) return c.measured and c.measured.cross or nil end

-- How far a wheel stands behind its axle line, mm.
local function behind_line(list, i, side)
  local axle = list[i]
  if not (side and (axle.left or axle.right)) then return 0 end
  local off = sides.at(axle, side) - axle.at
  return list[#list].at > list[1].at and off or -off
end

-- Height of the body at an axle, mm up; side: over that wheel of it.
local function height_at(c, i, side)
  local s = c.heights_set
  local list = c.axles
  local function place(k) return math.abs(list[k].at - list[1].at) - (list[k].moved or 0) + (list[1].moved or 0) end
  return s.front + (s.rear - s.front) * (place(i) + behind_line(list, i, side)) / place(#list)
end
ride_height.height_at = height_at

-- Less bump is left when the body stands lower, and more droop.
local function check_travel(c)
  for i, axle in ipairs(c.axles) do
    for _, side in ipairs(sides.of(axle)) do
      local height = height_at(c, i, side)
      local bump, droop = sides.number(axle, side, "bump"), sides.number(axle, side, "droop")
      if bump and bump + height < 0 or droop and droop - height < 0 then
        core.fail{code = "range", file = c.shared.file, part = axle.name, kind = "axle", field = height < 0 and "bump" or "droop",
          message = ("ends %s mm from the design height; a body %s is out of range"):format(
            text.plain(height < 0 and bump or droop), text.worded(height, 1, "mm higher", "mm lower"))}
      end
    end
  end
end

-- What stands in the entry of an axle, or of one of its sides, with the travel that is left there; nil without an entry.
local function with_travel(c, i, side, entry)
  if not entry then return nil end
  local height, left = height_at(c, i, side), {}
  for key, value in pairs(entry) do left[key] = value end
  local bump, droop = sides.number(c.axles[i], side, "bump"), sides.number(c.axles[i], side, "droop")
  left.bump, left.droop = bump and bump + height, droop and droop - height
  local curve, stop = sides.number(c.axles[i], side, "motion_ratio"), c.axles[i].bump_stop
  if type(curve) == "table" or stop then
    local own = {motion_ratio = curve, bump_stop = stop}
    require("steelyard.file.suspension").shifted(own, height)
    left.motion_ratio, left.bump_stop = own.motion_ratio, own.bump_stop
  end
  return left
end

--- The geometry with the wheel travel that is left at this height. cross: see build.geometry; else as measured, or as filed.
function ride_height.geometry(c, cross)
  local axles = {}
  for i, axle in ipairs(c.axles) do
    axles[i] = with_travel(c, i, 0, axle)
    axles[i].left, axles[i].right = with_travel(c, i, 1, axle.left), with_travel(c, i, -1, axle.right)
  end
  return build.geometry(c.shared.spec, axles, cross or contents_cross(c), c.measured)
end

-- ---- moving the body --------------------------------------------------------------------------------------------------------

-- Where the front axle is and how the body turns: mm forward and up, degrees nose down.
local function motion(c)
  local lines = c.geometry:axle_lines()
  local forward, length = lines[1], lines[1] - lines[#lines]
  local sine = (c.heights_set.rear - c.heights_set.front) / length
  return forward, (sides.mean(c.axles[1], "loaded_radius")), math.asin(sine)
end

--- By how many degrees the set heights put the nose down.
function ride_height.nose_down(c)
  local _, _, angle = motion(c)
  return math.deg(angle)
end

--- Where the body takes a point (mm forward, left, up).
function ride_height.point(c, p)
  if not c.heights_set then return p end
  local forward, up, angle = motion(c)
  local x, z = p[1] - forward, p[3] - up
  local cos, sin = math.cos(angle), math.sin(angle)
  return {forward + cos * x + sin * z, p[2], up + c.heights_set.front - sin * x + cos * z}
end

--- The same as a frame: turn by rows, then the shift in mm.
function ride_height.frame(c)
  local o = ride_height.point(c, {0, 0, 0})
  local _, _, angle = motion(c)
  local cos, sin = math.cos(angle), math.sin(angle)
  return {cos, 0, sin, 0, 1, 0, -sin, 0, cos, o[1], o[2], o[3]}
end

--- The share of a part that wheels carry.
function ride_height.unsprung_share(node)
  local share = 0
  for _, entry in ipairs(node and node.unsprung or {}) do share = share + entry.fraction end
  return share
end

-- Routes of groups with something in them that wheels carry.
local function mixed_groups(c, items)
  local mixed = {}
  for _, item in ipairs(items) do
    if item.form ~= "group" and ride_height.unsprung_share(c.shared.nodes[item.number]) > 0 then
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
      local share = item.form ~= "group" and ride_height.unsprung_share(c.shared.nodes[item.number]) or 0
      if share > 0 then
        if share < 1 then ledger = shift_share(c, ledger, item, share) end
      elseif not mixed[item.route] then
        if angle ~= 0 then ledger = ledger:turn(item.route, turn, forward, 0, up) end
        ledger = ledger:shift(item.route, 0, 0, c.heights_set.front)
        inside = item.form == "group" and item.route or nil
      end
    end
  end
  return ledger
end

--- Puts the set heights on a car that was just loaded: its ledger and the travel that is left.
function ride_height.put(d)
  check_travel(d)
  d.geometry = ride_height.geometry(d)
  d.now = ride_height.stand(d, d.now)
end

local function line_of(c, ...) return require("steelyard.file.first_problem").line_of(c.shared.spec, ...) end

--- Refuses heights of which one end stands above the other by more than the body can turn. by: the call or the field.
function ride_height.check_turn(c, by, new)
  local lines = c.geometry:axle_lines()
  local length, apart = lines[1] - lines[#lines], math.abs(new.rear - new.front)
  if apart < length then return end
  local field = new.rear > new.front and "rear" or "front"
  local in_file = by == "lowered"
  core.fail{code = "geometry", file = c.shared.file, line = in_file and line_of(c, by, field) or nil,
    field = in_file and by .. "." .. field or field,
    message = ("would stand %s mm above the other end, %s has only the wheelbase of %s mm to turn over"):format(text.plain(apart),
      by, text.plain(length))}
end

--- The heights that a vehicle file states in `lowered`, on a car that was just made.
function ride_height.load(c, lowered)
  local new = {front = -(lowered.front or 0), rear = -(lowered.rear or 0), front_sd = lowered.front_sd or 0, rear_sd = lowered.rear_sd or 0}
  ride_height.check_turn(c, "lowered", new)
  ride_height.set(c, new)
  if not c.heights_set then return end
  local fine, err = pcall(ride_height.put, c)
  if fine then return end
  if getmetatable(err) ~= core.error_metatable or err.kind ~= "axle" then error(err, 0) end
  core.fail{code = err.code, file = c.shared.file, line = line_of(c, "lowered", err.part == c.axles[1].name and "front" or "rear"),
            field = "lowered",
            message = ("%s of the %s axle %s"):format(err.field, err.part, err.message)}
end

--- Set heights for a car, or none when it is back at the drawn heights.
function ride_height.set(d, new)
  if new.front == 0 and new.rear == 0 then
    d.heights_set = false
    d.geometry = build.geometry(d.shared.spec, d.axles, contents_cross(d), d.measured)
  else
    d.heights_set = new
  end
end

return ride_height
