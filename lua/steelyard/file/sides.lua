--- The two sides of an axle: what each says for itself, over what the axle says of both.
--
-- An axle keeps `left` and `right` as the file has them, each a table of the fields of kinds.side, or nil. A number that a side does not
-- state is the axle's. Where one side states a half_track both have one, and `track` is their sum. A number that a side states is an error
-- of its own, one that the axle states is one error of both wheels.

local text = require "steelyard.print.text"

local sides = {}

local key_of = {[1] = "left", [-1] = "right"} -- by the side of a wheel as geometry:wheels() has it; 0: the only one

--- Numbers that each wheel of an axle may have for itself, beside its place.
sides.fields = {"loaded_radius", "spring_rate", "motion_ratio", "tyre_rate", "perch_pitch", "bump", "droop"}

--- The sides of an axle: {1, -1}, or {0} with one wheel.
function sides.of(axle) return axle.wheels == 1 and {0} or {1, -1} end

--- "left" or "right".
function sides.name(side) return key_of[side] end

--- A number of the wheel on that side: value and standard uncertainty, nil where not stated.
function sides.number(axle, side, field)
  local own = axle[key_of[side]]
  if own and own[field] ~= nil then return own[field], own[field .. "_sd"] end
  return axle[field], axle[field .. "_sd"]
end

--- Where the wheel stands along the car, in the file's coordinate, and its standard uncertainty.
function sides.at(axle, side) return sides.number(axle, side, "at") end

--- From the centre plane to the wheel, mm; nil for the only one.
function sides.half_track(axle, side)
  local own = axle[key_of[side]]
  return own and own.half_track or axle.track and axle.wheels ~= 1 and axle.track / 2 or nil
end

--- Where the wheels stand along the car and their radius: of one side, or of none (0, nil) the axle's line and the mean.
function sides.place(axle, side)
  if not side or side == 0 then return axle.at, (sides.mean(axle, "loaded_radius")) end
  return (sides.at(axle, side)), (sides.number(axle, side, "loaded_radius"))
end

--- What the core takes of a side. forward: from the file's coordinate to mm forward.
function sides.entry(side, forward)
  if not side then return nil end
  local entry = {}
  for key, value in pairs(side) do entry[key] = value end
  entry.forward = side.at and forward(side.at)
  return entry
end

--- Do all wheels of the axle have that number?
function sides.all_have(axle, field)
  for _, side in ipairs(sides.of(axle)) do
    if sides.number(axle, side, field) == nil then return false end
  end
  return true
end

--- The mean of a number over the wheels of an axle, and its standard uncertainty or nil; the number itself where both have the same
-- statement, nil where a wheel has none.
function sides.mean(axle, field)
  local left, right = axle.left, axle.right
  if not (left and left[field] ~= nil or right and right[field] ~= nil) then return axle[field], axle[field .. "_sd"] end
  local a, a_sd = sides.number(axle, 1, field)
  local b, b_sd = sides.number(axle, -1, field)
  if not (a and b) then return nil end
  local sd = math.sqrt((a_sd or 0) ^ 2 + (b_sd or 0) ^ 2) / 2
  return (a + b) / 2, sd > 0 and sd or nil
end

--- The side that something lies on which is `left` mm left of the centre plane: 1, -1, or 0 on it.
function sides.beside(left) return left > 0 and 1 or left < 0 and -1 or 0 end

--- bump or droop of what goes with the wheels of an axle and lies on that side; on the centre plane (0) the larger of both. Then its
-- standard uncertainty and who states it, "left" or "right" or nil for the axle. Nil where a wheel that counts states none.
function sides.travel(axle, side, field)
  if axle.left or axle.right then
    local a, b = sides.number(axle, 1, field), sides.number(axle, -1, field)
    if side == 0 and not (a and b) then return nil end
    if side == 0 then side = a >= b and 1 or -1 end
    local own = axle[key_of[side]]
    local value, sd = sides.number(axle, side, field)
    return value, sd, own and own[field] ~= nil and key_of[side] or nil
  end
  return axle[field], axle[field .. "_sd"]
end

--- Of one side, mm: what the wheels of the first and last axle there stand off their lines, beside the wheelbase between these.
function sides.wheelbase(axles, side, between)
  local first, last = axles[1], axles[#axles]
  if not (first.left or first.right or last.left or last.right) then return between end
  local off = (sides.at(last, side) - last.at) - (sides.at(first, side) - first.at)
  return between + (last.at > first.at and off or -off)
end

--- Do the wheels of two axles stand at the same places?
function sides.same_places(axle, other)
  for _, side in ipairs(sides.of(axle)) do
    if sides.at(axle, side) ~= sides.at(other, side) or sides.half_track(axle, side) ~= sides.half_track(other, side) then return false end
  end
  return true
end

--- "42", or "42 left, 44 right" where they differ; shown(number) for each, plain unless given.
function sides.words(axle, field, shown)
  shown = shown or text.plain
  local left, right = sides.number(axle, 1, field), sides.number(axle, -1, field)
  if axle.wheels == 1 or left == right then return shown(sides.number(axle, 0, field) or left) end
  return ("%s left, %s right"):format(shown(left), shown(right))
end

--- Are both wheels of an axle alike in all these fields?
function sides.alike(axle, fields)
  if not (axle.left or axle.right) then return true end
  for _, field in ipairs(fields) do
    if sides.number(axle, 1, field) ~= sides.number(axle, -1, field) then return false end
  end
  return true
end

return sides
