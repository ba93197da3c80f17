--- What is fixed to parts and wheels, into the tables of a file: joints of shafts, places of clearances, points, stand-ins. A file
-- states them as drawn, so they go where the edits took what carries them.

local aboard = require "steelyard.car.draft.aboard"
local places = require "steelyard.car.shaft_places"
local user_values = require "steelyard.file.user_values"
local written = require "steelyard.file.written"

local fixed = {}
local is_plain = user_values.is_plain

local LEAST_MM = 4e-10 -- below half a picometre a length is kept as the same

local function fields_of(item) return rawget(item, "fields") end

local function key_of(raw, i) return (select(2, written.coordinate(raw, i))) end

-- The coordinates of a point of the file: plain numbers.
local function numbers(raw)
  local list = {}
  for i = 1, 3 do list[i] = user_values.number(written.coordinate(raw, i), "mm") end
  return list
end

local function put_number(raw, key, new)
  local is = user_values.number(raw[key], "mm")
  new = written.length(new)
  if math.abs(new - is) > LEAST_MM then raw[key] = written.number_over(raw[key], new, "mm", LEAST_MM) end
end

local function went(c, frame, raw)
  local at = numbers(raw)
  local p = places.went(frame, {c.geometry:point_in(at[1], at[2], at[3])})
  return {c.geometry:point_out(p[1], p[2], p[3])}
end

local function put_point(c, frame, raw)
  if not is_plain(raw) then return end
  local new = went(c, frame, raw)
  for i = 1, 3 do put_number(raw, key_of(raw, i), new[i]) end
end

local function is_turned(frame)
  for i = 1, 9 do
    if frame[i] ~= ((i == 1 or i == 5 or i == 9) and 1 or 0) then return true end
  end
  return false
end

-- Where what holds a joint or a place went; nil where it stays. at: of it, in the file.
local function frame_of(c, raw, at)
  if raw.wheel ~= nil then return (places.wheel_frame(c, raw)) end
  if type(raw.part) ~= "string" or not is_plain(at) then return nil end
  local p = numbers(at)
  return places.drawn_frame(c, raw.part, {c.geometry:point_in(p[1], p[2], p[3])})
end

-- ---- shafts -----------------------------------------------------------------------------------------------------------------

-- The arc and the path of a joint keep their places about it.
local function shift_travel(joint, from, to)
  for i = 1, 3 do
    local by = to[i] - from[i]
    if is_plain(joint.pivot) then
      local key = key_of(joint.pivot, i)
      put_number(joint.pivot, key, user_values.number(joint.pivot[key], "mm") + by)
    end
    for _, line in ipairs(is_plain(joint.path) and joint.path or {}) do
      put_number(line, i + 1, user_values.number(line[i + 1], "mm") + by)
    end
  end
end

local function put_axis(c, joint, axis)
  local out, list = {c.geometry:vector_out(axis[1], axis[2], axis[3])}, {}
  for i = 1, 3 do list[i] = written.length(out[i]) end
  joint.axis = list
end

local function settle_joint(d, shaft, raw, which)
  local c, joint = d.c, raw[which]
  if not (is_plain(joint) and is_plain(joint.at)) then return end
  local frame = frame_of(c, joint, joint.at)
  joint.part = aboard.name_now(d, joint.part)
  if not frame then return end
  local from, to = numbers(joint.at), went(c, frame, joint.at)
  put_point(c, frame, joint.at)
  shift_travel(joint, from, to)
  if is_turned(frame) then put_axis(c, joint, places.axis_of(c, shaft, shaft[which], frame)) end
end

-- ---- the others ---------------------------------------------------------------------------------------------------------------

local function settle_place(d, raw)
  if type(raw) == "string" then return aboard.name_now(d, raw) end
  if not is_plain(raw) then return raw end
  local frame = frame_of(d.c, raw, raw.at)
  raw.part = aboard.name_now(d, raw.part)
  if frame and is_plain(raw.at) then
    put_point(d.c, frame, raw.at)
    if raw.to ~= nil then put_point(d.c, frame, raw.to) end
  end
  return raw
end

-- A stand-in with a place of its own goes along with its part.
local function settle_stand_in(d, entry)
  local inside = fields_of(entry.item)
  local at = is_plain(inside.stand_in) and inside.stand_in.at
  local node = d:node(entry)
  if not is_plain(at) or d.into[entry.route] or not node.at then return end
  local want = d:stated(d.c.base, entry)
  for i = 1, 3 do
    local key = key_of(at, i)
    local new = written.length(user_values.number(at[key], "mm") + (want[i] - node.at[i]))
    if math.abs(want[i] - node.at[i]) > LEAST_MM then
      if entry.table then entry.table.touched = true end
      put_number(at, key, new)
    end
  end
end

--- Settles all of them. d: the draft, see car/draft.lua.
function fixed.settle(d)
  local c, inside = d.c, fields_of(d.vehicle)
  for i, raw in ipairs(inside.shafts or {}) do
    for _, which in ipairs{"inner", "outer"} do settle_joint(d, c.shared.spec.shafts[i], raw, which) end
  end
  for _, raw in ipairs(inside.clearances or {}) do raw.a, raw.b = settle_place(d, raw.a), settle_place(d, raw.b) end
  for _, raw in pairs(inside.points or {}) do
    if is_plain(raw) and raw.part ~= nil and is_plain(raw.at) then settle_place(d, raw) end
  end
  for _, entry in ipairs(d.entries) do
    settle_stand_in(d, entry)
    local bolted = fields_of(entry.item) and fields_of(entry.item).bolted_to
    for i, word in ipairs(is_plain(bolted) and bolted or {}) do bolted[i] = aboard.name_now(d, word) end
  end
  aboard.settle_states(d)
end

return fixed
