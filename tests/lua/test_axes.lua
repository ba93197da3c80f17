-- One car, stated along every choice of axes: 6 orders of the three lines times 8 ways along them, half of them left-handed.
--
-- The car is laid out here in x forward, y left, z up (ISO 8855:2011) as plain bodies. A file letter that points along the unit
-- vector d reads d . p + origin there, a tensor entry of two letters is d1 . J d2: also for left-handed letters, since
-- J = sum m (|r|^2 1 - r r^T) is built of products of two coordinates each. The sums below know nothing of the library.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local way = {forward = {1, 0, 0}, back = {-1, 0, 0}, left = {0, 1, 0}, right = {0, -1, 0}, up = {0, 0, 1}, down = {0, 0, -1}}
local lines = {{"forward", "back"}, {"left", "right"}, {"up", "down"}}
local letters = {"x", "y", "z"}

local function dot(a, b) return a[1] * b[1] + a[2] * b[2] + a[3] * b[3] end
local function apply(m, v) return {dot(m[1], v), dot(m[2], v), dot(m[3], v)} end

-- where a file's numbers start, as the file's own reading there
local origin = {forward = 731, left = -57, up = 112} -- of the front axle, the centre plane, the ground

local function origin_of(word)
  for i, line in ipairs(lines) do
    if word == line[1] or word == line[2] then return origin[lines[i][1]] end
  end
end

local function length_out(axes, p) -- a point of the vehicle as the file reads it
  local q = {}
  for i, letter in ipairs(letters) do q[i] = dot(way[axes[letter]], p) + origin_of(axes[letter]) end
  return q
end

local function vector_out(axes, v)
  local q = {}
  for i, letter in ipairs(letters) do q[i] = dot(way[axes[letter]], v) end
  return q
end

local function tensor_out(axes, j)
  local t = {}
  for a, first in ipairs(letters) do
    for b = a, 3 do t[first .. letters[b]] = dot(way[axes[first]], apply(j, way[axes[letters[b]]])) end
  end
  return t
end

-- ---- the car, in the vehicle's own frame (mm, kg) -----------------------------------------------------------------------

local WHEELBASE, TRACK = 2400, 1430

local loose = {
  {name = "tub", mass = 187.3, at = {-1043, 31, 349}, sd = {3, 2, 1},
   tensor = {{11.7, 0.83, -1.9}, {0.83, 31.3, 0.41}, {-1.9, 0.41, 37.1}}},
  {name = "battery", mass = 12.9, at = {-430, 333, 251}, sd = {4, 1, 2}, box = {180, 130, 165}},
  {name = "link", mass = 14.1, at = {57, -12, 329}, sd = {1, 1, 1}, unsprung = {front = 0.5}},
}
local pair = {name = "corner", mass = 27.9, at = {4, 713, 287}, sd = {2, 3, 1}}
-- inside a group that stands at `at` and is turned nose up
local powertrain = {at = {-1781, -14, 331}, nose_up = 7,
  {name = "engine", mass = 96.2, at = {13, 29, 12}, sd = {1, 1, 1}, box = {540, 620, 470}},
  {name = "gearbox", mass = 61.7, at = {-577, 3, -41}, sd = {1, 2, 2},
   tensor = {{0.9, 0.02, 0.11}, {0.02, 2.1, -0.03}, {0.11, -0.03, 2.4}}},
}

local function box_tensor(m, s)
  local a, b, c = (s[1] / 1000) ^ 2, (s[2] / 1000) ^ 2, (s[3] / 1000) ^ 2
  return {{m / 12 * (b + c), 0, 0}, {0, m / 12 * (a + c), 0}, {0, 0, m / 12 * (a + b)}}
end

local function own_tensor(p) return p.tensor or p.box and box_tensor(p.mass, p.box) or {{0, 0, 0}, {0, 0, 0}, {0, 0, 0}} end

local function turned(j, r) -- r j r^T
  local rj = {}
  for i = 1, 3 do rj[i] = apply({{j[1][1], j[2][1], j[3][1]}, {j[1][2], j[2][2], j[3][2]}, {j[1][3], j[2][3], j[3][3]}}, r[i]) end
  return {apply(r, rj[1]), apply(r, rj[2]), apply(r, rj[3])}
end

local function bodies()
  local list = {}
  for _, p in ipairs(loose) do list[#list + 1] = {p.mass, p.at, own_tensor(p)} end
  local a = pair.at
  for _, side in ipairs{1, -1} do list[#list + 1] = {pair.mass, {a[1], side * a[2], a[3]}, own_tensor(pair)} end
  local c, s = math.cos(math.rad(powertrain.nose_up)), math.sin(math.rad(powertrain.nose_up))
  local r = {{c, 0, -s}, {0, 1, 0}, {s, 0, c}} -- what lies ahead rises
  for _, p in ipairs(powertrain) do
    local v = apply(r, p.at)
    list[#list + 1] = {p.mass, {powertrain.at[1] + v[1], powertrain.at[2] + v[2], powertrain.at[3] + v[3]}, turned(own_tensor(p), r)}
  end
  return list
end

local function whole(list)
  local mass, cg, j = 0, {0, 0, 0}, {{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}
  for _, b in ipairs(list) do
    mass = mass + b[1]
    for i = 1, 3 do cg[i] = cg[i] + b[1] * b[2][i] end
  end
  for i = 1, 3 do cg[i] = cg[i] / mass end
  for _, b in ipairs(list) do
    local d = {(b[2][1] - cg[1]) / 1000, (b[2][2] - cg[2]) / 1000, (b[2][3] - cg[3]) / 1000}
    for i = 1, 3 do
      for k = 1, 3 do j[i][k] = j[i][k] + b[3][i][k] + b[1] * ((i == k and dot(d, d) or 0) - d[i] * d[k]) end
    end
  end
  return mass, cg, j
end

-- ---- the same car as a file states it -------------------------------------------------------------------------------------

local function stated(axes, p, place)
  local at, sd = place(axes, p.at), vector_out(axes, p.sd)
  local fields = {mass = sy.sd(p.mass, p.mass / 50), at = {}, unsprung = p.unsprung, pair = p.pair}
  for i = 1, 3 do fields.at[i] = sy.sd(at[i], math.abs(sd[i])) end
  if p.tensor then fields.inertia = tensor_out(axes, p.tensor) end
  if p.box then fields.shape = sy.box(p.box) end -- length fore-aft, width across, height upright, whatever the axes
  return sy.part(p.name)(fields)
end

local function car_of(axes)
  local reads = {}
  for _, letter in ipairs(letters) do
    if axes[letter] == "forward" or axes[letter] == "back" then reads.ahead = way[axes[letter]][1] end
  end
  local parts = {}
  for i, p in ipairs(loose) do parts[i] = stated(axes, p, length_out) end
  parts[#parts + 1] = stated(axes, setmetatable({pair = true, unsprung = "front"}, {__index = pair}), length_out)
  local inside = {at = length_out(axes, powertrain.at), turned = {nose_up = powertrain.nose_up}}
  for i, p in ipairs(powertrain) do inside[i] = stated(axes, p, vector_out) end
  parts[#parts + 1] = sy.group "powertrain" (inside)
  return sy.car{
    title = "All ways (invented)", axes = axes, ground = origin.up, centre = origin.left, cross_share = 48,
    axles = {{name = "front", at = origin.forward, track = TRACK, loaded_radius = 290},
             {name = "rear", at = origin.forward - reads.ahead * WHEELBASE, track = TRACK, loaded_radius = 300}},
    parts = parts,
  }
end

local function every_choice(visit)
  for _, order in ipairs{{1, 2, 3}, {1, 3, 2}, {2, 1, 3}, {2, 3, 1}, {3, 1, 2}, {3, 2, 1}} do
    for signs = 0, 7 do
      local axes, odd = {}, 0
      for i, letter in ipairs(letters) do
        local back = signs >> (i - 1) & 1
        axes[letter] = lines[order[i]][back + 1]
        odd = odd + back
      end
      local swapped = (order[2] < order[1] and 1 or 0) + (order[3] < order[1] and 1 or 0) + (order[3] < order[2] and 1 or 0)
      visit(axes, (odd + swapped) % 2 == 1, ("x %s, y %s, z %s"):format(axes.x, axes.y, axes.z))
    end
  end
end

-- ---- the claims -------------------------------------------------------------------------------------------------------------

-- 1e-9 mm and 1e-9 kg m2: rounding of numbers of some thousand in double precision with room, far below any digit printed
local TINY = 1e-9

test("every_choice_of_axes_states_the_same_car", function()
  local mass, cg, j = whole(bodies())
  local seen = 0
  every_choice(function(axes, _, name)
    seen = seen + 1
    local b = car_of(axes):balance()
    check.near(b.mass, mass, TINY, name)
    check.near(b.cg_behind, -cg[1], TINY, name)
    check.near(b.cg_left, cg[2], TINY, name)
    check.near(b.height, cg[3], TINY, name)
    check.near(b.rear, mass * -cg[1] / WHEELBASE, TINY, name)
    check.near(b.front_share, 100 * (1 + cg[1] / WHEELBASE), TINY, name)
    -- one track: right - left = -2 m y/track
    check.near(b.right - b.left, -2 * mass * cg[2] / TRACK, TINY, name)
    check.near(b.rf + b.lr, 0.48 * mass, TINY, name)
    check.near(b.cross_share, 48, TINY, name)
    check.near(b.yaw_inertia, j[3][3], TINY, name)
    local place = length_out(axes, cg)
    for i, letter in ipairs(letters) do check.near(b.cg[letter], place[i], TINY, name .. ": cg." .. letter) end
    for entry, value in pairs(tensor_out(axes, j)) do check.near(b.inertia[entry], value, TINY, name .. ": " .. entry) end
  end)
  check.equal(seen, 48)
end)

test("every_choice_of_axes_gives_the_same_uncertainties", function()
  local plain = car_of{x = "forward", y = "left", z = "up"}:balance().sd
  local iso = {forward = "x", back = "x", left = "y", right = "y", up = "z", down = "z"}
  every_choice(function(axes, _, name)
    local sd = car_of(axes):balance().sd
    for _, answer in ipairs{"mass", "cg_behind", "cg_left", "height", "front", "rear", "left", "lf", "rr", "front_share", "yaw_inertia",
                            "yaw_index"} do
      check.near(sd[answer], plain[answer], TINY, name .. ": " .. answer)
    end
    for _, first in ipairs(letters) do
      check.near(sd.cg[first], plain.cg[iso[axes[first]]], TINY, name .. ": cg." .. first)
      for _, second in ipairs(letters) do
        local entry, same = first .. second, iso[axes[first]] .. iso[axes[second]]
        if sd.inertia[entry] then
          check.near(sd.inertia[entry], plain.inertia[same] or plain.inertia[same:reverse()], TINY, name .. ": " .. entry)
        end
      end
    end
  end)
end)

test("every_choice_of_axes_moves_by_the_vehicles_own_words", function()
  local mass, cg = whole(bodies())
  every_choice(function(axes, _, name)
    local car = car_of(axes)
    local b = car:move("tub", {back = 50, left = 20, down = 10}):move("powertrain", {up = 15}):balance()
    check.near(b.cg_behind, -cg[1] + 187.3 * 50 / mass, TINY, name)
    check.near(b.cg_left, cg[2] + 187.3 * 20 / mass, TINY, name)
    check.near(b.height, cg[3] + (157.9 * 15 - 187.3 * 10) / mass, TINY, name)
    -- nose up about the CG of the tub: what was the tub's own tensor turns, its place stays
    local pitched = car:move("tub", {nose_up = 90})
    check.near(pitched:balance().height, cg[3], TINY, name)
    local d = 37.1 - 11.7 -- a quarter turn of pitch lays the tub's xx upright
    check.near(car:balance().yaw_inertia - pitched:balance().yaw_inertia, d, TINY, name)
    local point = length_out(axes, {-1043, 31, 0})
    -- about the ground below it, left side up: 349 above the point becomes 349 to the right of it
    local rolled = car:move("tub", {left_up = 90, about = point}):balance()
    check.near(rolled.cg_left - cg[2], -187.3 * 349 / mass, TINY, name)
    check.near(rolled.height - cg[3], -187.3 * 349 / mass, TINY, name)
  end)
end)

test("left_handed_axes_are_said_and_right_handed_ones_are_not", function()
  local said = 0
  every_choice(function(axes, left_handed, name)
    local found = table.concat(car_of(axes):balance().notes, "\n"):find("left-handed", 1, true) ~= nil
    check.equal(found, left_handed, name)
    if found then said = said + 1 end
  end)
  check.equal(said, 24)
end)

test("cars_with_different_axes_are_compared_in_the_vehicles_directions", function()
  local a, b = car_of{x = "forward", y = "left", z = "up"}, car_of{x = "back", y = "right", z = "up"}
  local rows = {}
  for _, row in ipairs(sy.compare{a, b:move("tub", {back = 50}), show = {"cg_behind", "cg_left", "height", "front"}}.rows) do
    rows[row.name] = row
  end
  local mass = whole(bodies())
  check.near(rows.cg_behind.changes[2], 50 * 187.3 / mass, TINY)
  check.near(rows.cg_left.changes[2], 0, TINY)
  check.near(rows.front.changes[2], -50 * 187.3 / WHEELBASE, TINY)
end)

check.done()
