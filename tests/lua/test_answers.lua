-- The balance sheet: every answer with its uncertainty, and what is said about lines that state nothing.
--
-- Uncertainties are held against the law of propagation, JCGM 100:2008, 5.1.2, with the derivatives written out beside each:
-- x = sum m x / M gives dx/dm_i = (x_i - x)/M and dx/dx_i = m_i/M; a share front/M = 1 - x/L for x behind the front axle;
-- Izz = sum m ((x - xc)^2 + (y - yc)^2) gives dI/dm_i = (x_i - xc)^2 + (y_i - yc)^2 and dI/dx_i = 2 m_i (x_i - xc).
-- Tolerances of 1e-9 are far above the roundings of sums of some thousand (2^-52 of them) and far below any digit printed.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local json = require "steelyard.print.json"
local quantities = require "steelyard.reference.quantities"
local test = check.test

local BASE = 2500
local function car_of(parts, more)
  local fields = {
    title = "Answered (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = BASE, track = 1440, loaded_radius = 300}},
    parts = parts, states = {sy.state "as raced" {}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function at_path(value, path)
  for key in path:gmatch "[^.]+" do value = type(value) == "table" and value[key] or nil end
  return value
end

local function copy(value)
  if type(value) ~= "table" then return value end
  local t = {}
  for key, item in pairs(value) do t[key] = copy(item) end
  return t
end

local function notes_of(b) return table.concat(b.notes, "\n") end

local function hypot(list)
  local sum = 0
  for _, x in ipairs(list) do sum = sum + x * x end
  return math.sqrt(sum)
end

-- ---- values and uncertainties ----------------------------------------------------------------------------------------------

-- name, kg of the line, its uncertainty, x back, y right, z up (mm), uncertainty of x, y, z
local lines = {
  {"tub", 183.7, 2.3, 1070, 13, 361, 4, 2, 3},
  {"engine", 96.2, 0.4, 1790, -17, 318, 1, 1, 1},
  {"ballast", 31.9, 0.2, 410, 222, 147, 5, 5, 2},
}
local function lines_as_parts()
  local parts = {}
  for i, l in ipairs(lines) do
    parts[i] = sy.part(l[1]) {mass = sy.sd(l[2], l[3]), at = {sy.sd(l[4], l[7]), sy.sd(l[5], l[8]), sy.sd(l[6], l[9])}}
  end
  return parts
end

-- value of sum m x^k and so on, straight from the list
local function totals()
  local t = {mass = 0, x = 0, y = 0, z = 0, izz = 0}
  for _, l in ipairs(lines) do
    t.mass = t.mass + l[2]
    t.x, t.y, t.z = t.x + l[2] * l[4], t.y + l[2] * l[5], t.z + l[2] * l[6]
  end
  t.x, t.y, t.z = t.x / t.mass, t.y / t.mass, t.z / t.mass
  for _, l in ipairs(lines) do t.izz = t.izz + l[2] * ((l[4] - t.x) ^ 2 + (l[5] - t.y) ^ 2) / 1e6 end
  return t
end

test("balance_of_three_lines_by_hand_sums", function()
  local b, t = car_of(lines_as_parts()):state("as raced"):balance(), totals()
  check.near(b.mass, t.mass, 1e-9)
  check.near(b.cg.x, t.x, 1e-9)
  check.near(b.cg.y, t.y, 1e-9)
  check.near(b.cg.z, t.z, 1e-9)
  check.near(b.height, t.z, 1e-9)
  check.near(b.cg_behind, t.x, 1e-9)
  check.near(b.cg_left, -t.y, 1e-9, "the file counts y to the right")
  check.near(b.rear, t.mass * t.x / BASE, 1e-9)
  check.near(b.front, t.mass * (1 - t.x / BASE), 1e-9)
  check.near(b.axle.front, b.front, 1e-9)
  check.near(b.axle.rear, b.rear, 1e-9)
  check.near(b.front_share, 100 * (1 - t.x / BASE), 1e-9)
  check.near(b.left + b.right, b.mass, 1e-9)
  check.near(b.left_share, 100 * b.left / b.mass, 1e-9)
  check.near(b.yaw_inertia, t.izz, 1e-9)
  check.near(b.inertia.zz, t.izz, 1e-9)
  check.near(b.yaw_index, t.izz / (t.mass * t.x * (BASE - t.x) * 1e-6), 1e-12)
  check.near(b.wheelbase, BASE, 1e-9)
  check.near(b.sprung.mass, t.mass, 1e-9)
  check.near(b.unsprung.mass, 0, 0)
  check.equal(b.state, "as raced")
  check.equal(b.parts, 3)
end)

test("wheels_of_four_fulfil_the_three_balances_and_the_cross_share", function()
  for _, cross in ipairs{50, 48, 53.5} do
    local b = car_of(lines_as_parts(), {cross_share = cross}):balance()
    check.near(b.lf + b.rf, b.front, 1e-9)
    check.near(b.lr + b.rr, b.rear, 1e-9)
    -- moments about the centre plane: half the track of each axle (right positive)
    check.near((b.rf - b.lf) * 1400 / 2 + (b.rr - b.lr) * 1440 / 2, b.mass * b.cg.y, 1e-6)
    check.near(100 * (b.rf + b.lr) / b.mass, cross, 1e-9)
    check.near(b.cross_share, cross, 1e-9)
    check.near(b.diagonal_ratio, cross / (100 - cross), 1e-12)
    check.near(b.lf + b.lr, b.left, 1e-9)
    check.contains(b.corner_basis, ("cross weight of %s %%"):format(cross == 53.5 and "53.5" or tostring(cross)))
    check.near(b.sd.cross_share, 0, 1e-12, "it is set, not found")
  end
end)

test("uncertainties_of_three_lines_by_the_law_of_propagation", function()
  local b, t = car_of(lines_as_parts()):balance(), totals()
  local mass, x, y, z, share, rear, yaw = {}, {}, {}, {}, {}, {}, {}
  for _, l in ipairs(lines) do
    local m, um, dx, dy, dz = l[2], l[3], l[4] - t.x, l[5] - t.y, l[6] - t.z
    mass[#mass + 1] = um
    x[#x + 1], x[#x + 2] = dx / t.mass * um, m / t.mass * l[7]
    y[#y + 1], y[#y + 2] = dy / t.mass * um, m / t.mass * l[8]
    z[#z + 1], z[#z + 2] = dz / t.mass * um, m / t.mass * l[9]
    rear[#rear + 1], rear[#rear + 2] = l[4] / BASE * um, m / BASE * l[7]
    yaw[#yaw + 1] = (dx * dx + dy * dy) * um / 1e6
    yaw[#yaw + 1], yaw[#yaw + 2] = 2 * m * dx * l[7] / 1e6, 2 * m * dy * l[8] / 1e6
  end
  for i, each in ipairs(x) do share[i] = 100 * each / BASE end
  check.near(b.sd.mass, hypot(mass), 1e-9)
  check.near(b.sd.cg.x, hypot(x), 1e-9)
  check.near(b.sd.cg.y, hypot(y), 1e-9)
  check.near(b.sd.cg.z, hypot(z), 1e-9)
  check.near(b.sd.cg_behind, hypot(x), 1e-9)
  check.near(b.sd.cg_left, hypot(y), 1e-9)
  check.near(b.sd.height, hypot(z), 1e-9)
  check.near(b.sd.front_share, hypot(share), 1e-9)
  check.near(b.sd.rear, hypot(rear), 1e-9)
  check.near(b.sd.axle.rear, hypot(rear), 1e-9)
  check.near(b.sd.yaw_inertia, hypot(yaw), 1e-9)
  check.near(b.sd.inertia.zz, hypot(yaw), 1e-9)
end)

test("every_answer_has_its_uncertainty_also_those_worked_out_late", function()
  local car = car_of{
    sy.part "tub" {mass = sy.sd(183.7, 2.3), at = {1070, 13, 361}, within_mm = 7},
    sy.part "corner" {pair = true, mass = sy.sd(27.4, 0.1), at = {5, 700, 285}, within_mm = 2, unsprung = "front"},
    sy.part "tail" {mass = sy.sd(90, 1), at = {2400, -40, 300}, within_mm = 5, unsprung = {rear = 0.25}},
  }
  local b = car:balance()
  local asked = 0
  for _, q in ipairs(quantities.list) do
    if q.set == "balance" and at_path(b, q.name) then
      asked = asked + 1
      local sd = at_path(b.sd, q.name)
      check.equal(type(sd), "number", q.name)
      check.ok(sd > 0 or q.name == "cross_share" or q.name == "diagonal_ratio", q.name .. " has an uncertainty")
    end
  end
  local all = 0
  for _, q in ipairs(quantities.list) do if q.set == "balance" then all = all + 1 end end
  check.equal(asked, all - 2, "all but the two single wheels")
  -- the same whether asked one by one, by pairs or by JSON
  local by_pairs = copy(car:balance().sd)
  local by_json = json.decode(json.encode(car:balance())).sd
  for _, q in ipairs(quantities.list) do
    if q.set == "balance" and at_path(b, q.name) then
      check.equal(at_path(by_pairs, q.name), at_path(b.sd, q.name), q.name)
      check.equal(at_path(by_json, q.name), at_path(b.sd, q.name), q.name)
    end
  end
  check.equal(at_path(by_pairs, "unsprung.cg.x"), at_path(b.sd, "unsprung.cg.x"))
  check.equal(by_pairs.no_such_answer, nil)
  check.raises(function() return b.sd.no_such_answer end, {code = "unknown", field = "no_such_answer"})
end)

test("no_uncertainty_without_an_answer", function()
  -- CG ahead of the front axle: k^2/(ab) means nothing there; nothing unsprung: no centre of it
  local b = car_of{sy.part "lump" {mass = sy.sd(100, 1), at = {-30, 0, 300}}}:balance()
  check.equal(b.yaw_index, nil)
  local sd = copy(b.sd)
  check.equal(sd.yaw_index, nil, "uncertainty of the yaw index")
  check.equal(b.unsprung.cg.x, nil)
  check.equal(sd.unsprung and sd.unsprung.cg and sd.unsprung.cg.x, nil, "uncertainty of the unsprung centre")
end)

test("half_a_link_is_unsprung_and_its_uncertainty_with_it", function()
  local b = car_of{
    sy.part "tub" {mass = sy.sd(200, 3), at = {1300, 0, 350}},
    sy.part "wheels" {mass = sy.sd(50, 0.6), at = {0, 0, 290}, unsprung = "front"},
    sy.part "links" {mass = sy.sd(14, 0.8), at = {60, 0, 330}, unsprung = {front = 0.5, rear = 0.25}},
  }:balance()
  check.near(b.unsprung.axle.front, 50 + 7, 1e-9)
  check.near(b.unsprung.axle.rear, 3.5, 1e-9)
  check.near(b.unsprung.mass, 60.5, 1e-9)
  check.near(b.sprung.mass, 264 - 60.5, 1e-9)
  check.near(b.unsprung.cg.x, (14 * 0.75 * 60) / 60.5, 1e-9)
  check.near(b.sprung.cg.x, (200 * 1300 + 14 * 0.25 * 60) / 203.5, 1e-9)
  check.near(b.sd.unsprung.mass, hypot{0.6, 0.75 * 0.8}, 1e-9)
  check.near(b.sd.sprung.mass, hypot{3, 0.25 * 0.8}, 1e-9)
end)

-- ---- pairs and counts -----------------------------------------------------------------------------------------------

test("a_pair_is_two_pieces_with_one_error", function()
  local b = car_of{
    sy.part "tub" {mass = 100, at = {1000, 0, 400}},
    sy.part "corner" {pair = true, mass = sy.sd(12, 0.3), at = {sy.sd(100, 4), sy.sd(650, 6), 280}},
  }:balance()
  check.near(b.mass, 124, 1e-9)
  check.near(b.sd.mass, 2 * 0.3, 1e-12, "both pieces err alike")
  check.near(b.cg.y, 0, 1e-12)
  check.near(b.sd.cg.y, 0, 1e-12, "a track error is the same on both sides")
  local xc = (100 * 1000 + 24 * 100) / 124
  check.near(b.sd.cg.x, hypot{(100 - xc) / 124 * 0.6, 24 / 124 * 4}, 1e-9)
  -- Izz holds 2 m (y^2): dI/dy = 4 m y for the common error of both
  local late = {((100 - xc) ^ 2 + 650 ^ 2) * 0.6 / 1e6, 2 * 24 * (100 - xc) * 4 / 1e6, 4 * 12 * 650 * 6 / 1e6}
  check.near(b.sd.yaw_inertia, hypot(late), 1e-9)
  check.equal(b.parts, 2, "one line")
end)

test("a_count_is_n_pieces_with_one_error", function()
  local car = car_of{
    sy.part "tub" {mass = 100, at = {1000, 0, 400}},
    sy.part "bolt" {count = 7, mass = sy.sd(0.31, 0.02), at = {sy.sd(1900, 9), 40, 300}},
  }
  local b = car:balance()
  check.near(b.mass, 102.17, 1e-9)
  check.near(b.sd.mass, 7 * 0.02, 1e-12)
  check.near(b.sd.rear, hypot{1900 / BASE * 0.14, 2.17 / BASE * 9}, 1e-12)
  check.equal(b.parts, 2)
  check.near(car:set("bolt", {count = 14}):balance().mass, 104.34, 1e-9)
end)

-- ---- how sure --------------------------------------------------------------------------------------------------------

test("within_is_limits_and_sd_is_a_deviation", function()
  -- a rectangular distribution of half-width a has the standard uncertainty a / sqrt 3: JCGM 100:2008, 4.3.7
  local function uncertainty(mass) return car_of{sy.part "lump" {mass = mass, at = {1000, 0, 300}}}:balance().sd.mass end
  check.near(uncertainty(sy.sd(118, 0.5)), 0.5, 1e-12)
  check.near(uncertainty(sy.within(118, 1)), 1 / math.sqrt(3), 1e-12)
  check.near(uncertainty(sy.within(260 * sy.lb, 3 * sy.lb)), 3 * 0.45359237 / math.sqrt(3), 1e-12)
  local function place(at, within_mm)
    return car_of{sy.part "lump" {mass = 100, at = at, within_mm = within_mm}}:balance().sd.cg
  end
  check.near(place({1000, 0, 300}, 6).x, 6 / math.sqrt(3), 1e-12)
  local own = place({sy.sd(1000, 2), 0, sy.within(300, 3)}, 6)
  check.near(own.x, 2, 1e-12, "its own uncertainty stands")
  check.near(own.y, 6 / math.sqrt(3), 1e-12)
  check.near(own.z, 3 / math.sqrt(3), 1e-12)
end)

test("assume_fills_in_by_basis_and_yields_to_what_is_stated", function()
  local assume = {estimate = "15 %", calculated = "5 %", supplier = "3 %", weighed = "0.5 %", within_mm = 12}
  local function lump(fields)
    fields.at = fields.at or {1000, 0, 300}
    return car_of({sy.part "lump" (fields)}, {assume = assume}):balance()
  end
  check.near(lump{mass = 200}.sd.mass, 30, 1e-9, "estimate unless said otherwise")
  check.near(lump{mass = 200, basis = "calculated"}.sd.mass, 10, 1e-9)
  check.near(lump{mass = 200, basis = "supplier"}.sd.mass, 6, 1e-9)
  check.near(lump{mass = 200, basis = "weighed"}.sd.mass, 1, 1e-9)
  check.near(lump{mass = sy.sd(200, 0.25)}.sd.mass, 0.25, 1e-12)
  check.near(lump{mass = 200}.sd.cg.x, 12 / math.sqrt(3), 1e-9)
  check.near(lump{mass = 200, within_mm = 3}.sd.cg.x, 3 / math.sqrt(3), 1e-12)
  check.near(lump{mass = 200, at = {sy.sd(1000, 1), 0, 300}}.sd.cg.x, 1, 1e-12)
  check.equal(lump{mass = 200}.unstated.parts, 0, "assumed is not unstated")
  -- a basis that `assume` leaves out stays unstated
  local half = car_of({sy.part "lump" {mass = 200, at = {1000, 0, 300}, basis = "weighed"}}, {assume = {estimate = 0.15}}):balance()
  check.near(half.sd.mass, 0, 0)
  check.equal(half.unstated.parts, 1)
end)

test("tank_mass_is_dry_plus_density_times_fill_with_all_uncertainties", function()
  local b = car_of{sy.tank "fuel" {capacity = 60, at = {1200, 0, 300}, density = sy.sd(0.745, 0.008), fill = sy.sd(30, 0.5),
                                   dry_mass = sy.sd(6.3, 0.1)}}:balance()
  check.near(b.mass, 6.3 + 0.745 * 30, 1e-9)
  -- m = d + rho V: u^2 = u_d^2 + (V u_rho)^2 + (rho u_V)^2
  check.near(b.sd.mass, hypot{0.1, 30 * 0.008, 0.745 * 0.5}, 1e-12)
end)

-- ---- what is not known ------------------------------------------------------------------------------------------------

test("lines_without_an_uncertainty_are_counted_and_said", function()
  local b = car_of{
    sy.part "a" {mass = 60, at = {1000, 0, 300}, shape = sy.box {500, 400, 300}},
    sy.part "b" {mass = sy.sd(30, 0.1), at = {1200, 0, 300}, shape = sy.box {500, 400, 300}},
    sy.part "c" {pair = true, mass = 5, at = {0, 700, 290}, shape = sy.sphere {200}},
  }:balance()
  check.equal(b.unstated.parts, 2)
  check.near(b.unstated.mass_share, 70, 1e-9) -- (60 + 2 x 5) of 100
  check.contains(notes_of(b), "2 of 3 parts have no stated uncertainty and count as exact (70 % of the mass)")
  local one = car_of{sy.part "a" {mass = 1, at = {1000, 0, 300}}, sy.part "b" {mass = sy.sd(30, 1), at = {1200, 0, 300}}}:balance()
  check.contains(notes_of(one), "1 of 2 parts has no stated uncertainty and counts as exact (3.2 % of the mass)")
  local none = car_of{sy.part "b" {mass = sy.sd(30, 1), at = {1200, 0, 300}}}:balance()
  check.ok(not notes_of(none):find("no stated", 1, true), "nothing to say")
  check.equal(none.unstated.parts, 0)
  check.near(none.unstated.mass_share, 0, 0)
end)

test("points_are_counted_and_inertia_is_at_least", function()
  local car = car_of{
    sy.part "a" {mass = sy.sd(60, 1), at = {1000, 0, 300}, shape = sy.box {500, 400, 300}},
    sy.part "b" {mass = sy.sd(30, 1), at = {1200, 0, 300}, inertia = {xx = 1, yy = 1.2, zz = 1.4}},
    sy.part "c" {pair = true, mass = sy.sd(5, 0.1), at = {0, 700, 290}},
  }
  local b = car:balance()
  check.equal(b.points, 1)
  check.contains(notes_of(b), "inertia is \"at least\": 1 of 3 parts has no shape and counts as a point")
  check.contains(tostring(b), "at least " .. ("%.0f"):format(b.yaw_inertia))
  local whole = car:without "c":balance()
  check.equal(whole.points, 0)
  check.ok(not tostring(whole):find("at least", 1, true))
  check.contains(notes_of(car_of{sy.part "a" {mass = 1, at = {0, 0, 300}}, sy.part "b" {mass = 1, at = {900, 0, 300}}}:balance()),
    "2 of 2 parts have no shape and count as points")
end)

test("an_unknown_mass_is_in_no_total_and_every_result_says_so", function()
  local car = car_of({
    sy.part "tub" {mass = sy.sd(200, 2), at = {1100, 0, 340}},
    sy.part "paint" {mass = sy.unknown, at = {1150, 0, 480}},
    sy.part "trim" {mass = sy.unknown, at = {950, 0, 400}},
  }, {limits = {{name = "mass", quantity = "mass", max = 300}}})
  local b = car:balance()
  check.near(b.mass, 200, 1e-9)
  check.equal(b.unknown, 2)
  for what, result in pairs{balance = b, book = car:book(), checks = car:checks(),
                            comparison = sy.compare{car, car:move("tub", {back = 10})}} do
    check.contains(notes_of(result), "not in any total, mass unknown: paint, trim", what)
    check.contains(tostring(result), "Not in any total, mass unknown: paint, trim", what)
  end
  local set = car:set("paint", {mass = sy.sd(4, 1)})
  check.equal(set:balance().unknown, 1)
  check.near(set:balance().mass, 204, 1e-9)
  check.contains(notes_of(set:balance()), "mass unknown: trim")
  check.equal(car:without{"paint", "trim"}:balance().unknown, 0)
end)

test("every_result_says_how_much_counts_as_exact", function()
  local car = car_of({sy.part "tub" {mass = 200, at = {1100, 0, 340}}, sy.part "rest" {mass = sy.sd(50, 1), at = {1300, 0, 300}}},
    {limits = {{name = "mass", quantity = "mass", max = 300}}})
  for what, result in pairs{balance = car:balance(), book = car:book(), checks = car:checks(),
                            comparison = sy.compare{car, car:move("tub", {back = 10})}} do
    check.contains(notes_of(result), "1 of 2 parts has no stated uncertainty", what)
  end
end)

test("growth_is_kept_apart_from_mass_and_uncertainty", function()
  local car = car_of{
    sy.part "tub" {mass = sy.sd(200, 2), at = {1100, 0, 340}, growth = "10 %"},
    sy.part "loom" {pair = true, mass = sy.sd(4, 0.5), at = {900, 100, 350}, growth = 0.25},
    sy.part "engine" {mass = sy.sd(96, 0.1), at = {1800, 0, 320}},
  }
  local b = car:balance()
  check.near(b.mass, 304, 1e-9)
  check.near(b.mass_with_growth, 304 + 20 + 2 + 0.20 * 96, 1e-9) -- the engine says nothing of it: as any estimate
  check.near(require("steelyard.answers.budget").of(car).total.mass_with_growth, b.mass_with_growth, 1e-9)
  check.near(car:book().total.mass_with_growth, b.mass_with_growth, 1e-9)
  check.near(b.sd.mass, hypot{2, 1, 0.1}, 1e-9)
  check.equal(b.sd.mass_with_growth, nil)
  check.contains(tostring(b), "mass with growth allowance, kg")
  check.near(car:without "tub":balance().mass_with_growth, 104 + 2 + 0.20 * 96, 1e-9)
  local weighed = car_of{sy.part "engine" {mass = sy.sd(96, 0.1), at = {1800, 0, 320}, basis = "weighed"},
                         sy.person "driver" {mass = 78, at = {900, 0, 370}}}
  check.ok(not tostring(weighed:balance()):find("growth", 1, true))
end)

-- ---- as a result --------------------------------------------------------------------------------------------------------

local function is_plain(value)
  local kind = type(value)
  if kind == "table" then
    for key, item in pairs(value) do
      if not (is_plain(key) and is_plain(item)) then return false end
    end
    return true
  end
  return kind == "number" or kind == "string" or kind == "boolean"
end

test("results_are_plain_tables_that_print_with_state_and_coverage", function()
  local car = car_of({
    sy.group "powertrain" {at = {1780, 0, 330}, whole = sy.sd(97, 0.5), sy.part "engine" {mass = sy.sd(96.2, 0.1), at = {0, 0, 12}}},
    sy.part "tub" {mass = sy.sd(200, 2), at = {1100, 0, 340}},
  }, {limits = {{name = "share", quantity = "front_share", min = 20, max = 60}}})
  car = car:state "as raced"
  local moved = car:move("engine", {back = 50})
  for what, result in pairs{balance = moved:balance(), book = moved:book(), checks = moved:checks(),
                            comparison = sy.compare{car, moved}} do
    check.ok(is_plain(result), what)
    check.equal(type(result.notes), "table", what)
    check.equal(type(result.sd), "table", what)
    check.equal(result.state, "as raced", what)
    local page = tostring(result)
    check.contains(page, "as raced", what)
    check.contains(page, "engine 50 back", what)
    check.equal(select(2, page:gsub("%+%- covers 95 %%", "")), 1, what .. " says its coverage once")
    check.ok(not page:find("nan", 1, true) and not page:find("nil", 1, true), page)
    check.equal(json.encode(json.decode(json.encode(result))), json.encode(result), what)
  end
  check.contains(tostring(car:state():balance()), "everything in the file, no state chosen")
end)

test("printed_uncertainties_are_1_96_standard_uncertainties", function()
  -- normal distribution, 95 %: JCGM 100:2008, Table G.1
  local page = tostring(car_of{sy.part "tub" {mass = sy.sd(200, 2), at = {1100, 0, 340}}}:balance())
  check.contains(page, "200.0 +- 3.9 kg")
end)

test("places_have_words_instead_of_signs", function()
  local function page(x, y) return tostring(car_of{sy.part "tub" {mass = sy.sd(200, 2), at = {x, y, 340}}}:balance()) end
  check.contains(page(1100, 30), "CG right of centre, mm")
  check.contains(page(1100, -30), "CG left of centre, mm")
  check.contains(page(1100, 30), "CG behind front axle, mm")
  check.contains(page(-40, 30), "CG ahead of front axle, mm")
end)

test("answers_write_nothing_into_a_car", function()
  local contents = require "steelyard.car.contents"
  local function fields(t)
    local list = {}
    for key, value in next, t do list[key] = value end
    return list
  end
  local function same(before, now, what)
    for key, value in next, now do check.ok(rawequal(before[key], value), what .. "." .. key) end
  end
  for file, moves in pairs{twayblade = "engine", burnet = "engine and gearbox", bistort = "engine"} do
    local filed = sy.load("vehicles/" .. file .. ".lua")
    local car = filed:state(filed:states()[1]):move(moves, {back = 10}):lower{front = 5, rear = 5}
    local c = contents.inside(car)
    local base = c.base -- settles `lasting`, which is the same ledger before and after
    local before, shared = fields(c), fields(c.shared)
    for _, ask in ipairs{"balance", "book", "corners", "attitude", "stability", "clearances", "shafts", "checks", "handling", "heading"} do
      pcall(function() tostring(car[ask](car)) end)
    end
    pcall(function() car:corners{reset = true} end)
    pcall(function() car:transfer{left_turn = 0.5} end)
    same(before, c, file)
    same(shared, c.shared, file .. ".shared")
    check.ok(rawequal(base, c.base))
  end
end)

check.done()
