--- What two files measure alike: their axes and zeros, and what a line of one says along the axes of the other.
--
-- A file may be restated: along other axes, or from another zero. Then only the vehicle is common to both, and what is compared are
-- places on the vehicle and shapes by its directions. A file of the same axes and zero whose front axle stands elsewhere has moved its
-- axle and not every part.

local changes_frame = {}

local line_of = {forward = 1, back = 1, left = 2, right = 2, up = 3, down = 3}
local sign_of = {forward = 1, back = -1, left = 1, right = -1, up = 1, down = -1}
local letters = {"x", "y", "z"}

function changes_frame.same_axes(a, b) return a.x == b.x and a.y == b.y and a.z == b.z end

--- Where a file's own zero lies in the vehicle's frame, mm.
function changes_frame.zero_of(c) return {c.geometry:point_in(0, 0, 0)} end

-- ---- zeros --------------------------------------------------------------------------------------------------------------

-- A tenth of the last digit anybody writes: places of two files that are less apart are the same.
local SAME_MM = 1e-4

local function near(a, b, by)
  for i = 1, 3 do
    if math.abs(b[i] - a[i] - by[i]) > SAME_MM then return false end
  end
  return true
end

--- How far the zero of the new file lies from the old one's, {forward, left, up} in mm, where its numbers still mean the same: the
-- wheels or the ground were moved in the file. Nil for the same zero, for other axes, and for a file measured from elsewhere, in which
-- more parts
-- lie where they lay on the vehicle than where they lay in numbers. old_list, new_by_path: as changes_lines has them.
function changes_frame.shift(old, new, old_list, new_by_path)
  if old.shared == new.shared or not changes_frame.same_axes(old.shared.spec.axes, new.shared.spec.axes) then return nil end
  local from, to = changes_frame.zero_of(old), changes_frame.zero_of(new)
  local by, nothing = {to[1] - from[1], to[2] - from[2], to[3] - from[3]}, {0, 0, 0}
  if near(nothing, by, nothing) then return nil end
  local vehicle, numbers = 0, 0
  for _, was in ipairs(old_list) do
    local is = new_by_path[was.path]
    if is and is.form == was.form and is.form ~= "group" then
      if near(was.item.origin, is.item.origin, nothing) then vehicle = vehicle + 1 end
      if near(was.item.origin, is.item.origin, by) then numbers = numbers + 1 end
    end
  end
  return vehicle <= numbers and by or nil
end

--- Were the two measured along other axes or from another zero, so that their numbers mean nothing to each other?
function changes_frame.restated(old, new, shift)
  if old.shared == new.shared or shift then return false end
  local from, to = changes_frame.zero_of(old), changes_frame.zero_of(new)
  return not changes_frame.same_axes(old.shared.spec.axes, new.shared.spec.axes) or not near(from, to, {0, 0, 0})
end

-- ---- statements ---------------------------------------------------------------------------------------------------------

-- For each letter of `to` that of `from` along the same line, and whether they run the same way.
local function mapping(from, to)
  local map = {}
  for _, letter in ipairs(letters) do
    for _, other in ipairs(letters) do
      if line_of[from[other]] == line_of[to[letter]] then
        map[letter] = {letter = other, sign = sign_of[from[other]] * sign_of[to[letter]]}
      end
    end
  end
  return map
end

local function tensor(j, map)
  local out = {}
  for a = 1, 3 do
    for b = a, 3 do
      local p, q = map[letters[a]], map[letters[b]]
      out[letters[a] .. letters[b]] = p.sign * q.sign * (j[p.letter .. q.letter] or j[q.letter .. p.letter])
    end
  end
  return out
end

local function axis_in(letter, map)
  for to, entry in pairs(map) do if entry.letter == letter then return to end end
end

-- Two meshes were read from two files: the same body when volume and inertia are, as far as sums over triangles can tell.
local function same_mesh(shape, other, map)
  if other.kind ~= "mesh" or math.abs(shape.litres - other.litres) > 1e-9 * other.litres then return false end
  local j = tensor(shape.per_kg, map)
  local size = j.xx + j.yy + j.zz
  for key, value in pairs(j) do
    if math.abs(value - other.per_kg[key]) > 1e-9 * size then return false end
  end
  return true
end

--- A line's statement along other axes: `node` with its shape and inertia as the file with axes `to` would write them. other: that
-- file's own node, whose mesh is taken for the same body when it is.
function changes_frame.translated(node, from, to, other)
  local shape, inertia, per_kg = node.shape, node.inertia, node.per_kg -- per_kg: of a person's segments
  if not (shape or inertia or per_kg) then return node end
  local map = mapping(from, to)
  if shape and shape.kind == "mesh" then
    if other.shape and same_mesh(shape, other.shape, map) then shape = other.shape end
  elseif shape and shape.axis then
    local copy = {}
    for key, value in pairs(shape) do copy[key] = value end
    copy.axis = axis_in(shape.axis, map)
    shape = copy
  end
  return setmetatable({shape = shape, inertia = inertia and tensor(inertia, map), per_kg = per_kg and tensor(per_kg, map)},
    {__index = node})
end

return changes_frame
