-- A cross weight with an uncertainty of its own, in the balance and all that is asked of it.
--
-- By hand, from the moments about the centre line and the definition of the cross weight (derivation: core/statics/equilibrium.c):
-- a change of the cross weight by u moves m u t_r/(t_f + t_r) kg from left to right in front, m u t_f/(t_f + t_r) kg from right to left
-- behind. First-order propagation: JCGM 100:2008, 5.1.2. 1e-9: far above rounding, far below any digit printed.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local FRONT, REAR, MASS, U = 1400, 1440, 700, 0.003
local TINY = 1e-9

local function axle(name, at, track, more)
  local a = {name = name, at = at, track = track, loaded_radius = 290}
  for key, value in pairs(more or {}) do a[key] = value end
  return a
end

local function car(cross_share, more, rates)
  local fields = {title = "Set up (invented)", cross_share = cross_share,
                  axles = {axle("front", 0, FRONT, rates), axle("rear", 2500, REAR, rates)},
                  parts = {sy.part "body" {mass = MASS, at = {1300, 20, 380}}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local in_front, behind = MASS * U * REAR / (FRONT + REAR), MASS * U * FRONT / (FRONT + REAR)

test("the_uncertainty_of_the_cross_share_is_in_the_wheel_loads", function()
  local b = car(sy.sd(48, 0.3)):balance()
  for key, want in pairs{lf = in_front, rf = in_front, lr = behind, rr = behind, left = in_front - behind, right = in_front - behind,
                         left_share = 100 * (in_front - behind) / MASS, cross_share = 0.3, diagonal_ratio = U / (1 - 0.48) ^ 2,
                         mass = 0, front = 0, rear = 0, front_share = 0, height = 0, cg_left = 0} do
    check.near(b.sd[key], want, TINY, key)
  end
  check.near(b.sd.axle.front, 0, TINY)
  check.contains(tostring(b), "+- " .. require("steelyard.print.text").fixed(1.96 * in_front, 1))
  local plain = car(48):balance()
  check.near(plain.sd.lf, 0, TINY)
  check.equal(plain.lf, b.lf)
end)

test("values_follow_the_cross_share_as_the_uncertainty_says", function()
  local low, high = car(47.7):balance(), car(48.3):balance()
  for key, want in pairs{lf = -in_front, rf = in_front, lr = behind, rr = -behind, left = behind - in_front} do
    check.near((high[key] - low[key]) / 2, want, TINY, key)
  end
end)

test("it_is_added_to_what_the_parts_leave_open", function()
  local parts = {sy.part "body" {mass = sy.sd(MASS, 4), at = {1300, sy.sd(20, 5), 380}}}
  local without, with = car(48, {parts = parts}):balance().sd.rr, car(sy.sd(48, 0.3), {parts = parts}):balance().sd.rr
  check.ok(without > 0.5)
  check.near(with ^ 2, without ^ 2 + behind ^ 2, TINY)
end)

test("balance_and_springs_agree_in_the_drawn_state", function()
  local c = car(sy.sd(48, 0.3), nil, {spring_rate = 40, tyre_rate = 200})
  local b, r = c:balance().sd, c:corners().sd
  for _, key in ipairs{"lf", "rf", "lr", "rr", "cross_share"} do check.near(b[key], r[key], 1e-6, key) end -- springs are solved twice
end)

test("a_change_keeps_only_what_the_cross_share_does_to_it", function()
  local c = car(sy.sd(48, 0.3))
  local function change(other) return sy.compare{c, other, show = {"lf"}}.rows[1].sd[2] end
  check.near(change(c:move("body", {back = 40})), 0, TINY, "the same error in both")
  check.near(change(c:add(sy.part "ballast" {mass = 10, at = {1000, 0, 200}})), in_front * 10 / MASS, TINY)
  check.near(change(car(sy.sd(50, 0.4))), math.sqrt(1 + (4 / 3) ^ 2) * in_front, TINY, "two settings, two errors")
  check.near(sy.compare{c, c, show = {"lf"}}.rows[1].sd[1], in_front, TINY)
end)

test("a_limit_on_a_wheel_is_judged_with_it", function()
  local lf = car(48):balance().lf
  local function judged(cross_share)
    return car(cross_share, {limits = {{quantity = "lf", min = lf - 2}}}):checks()[1]
  end
  check.near(judged(sy.sd(48, 0.3)).sd, in_front, TINY)
end)

test("three_wheels_have_no_cross_share_to_uncertainty", function()
  local b = car(sy.sd(48, 0.3), {axles = {axle("front", 0, FRONT), axle("rear", 2500, nil, {wheels = "one"})}}):balance()
  for _, key in ipairs{"lf", "rf", "r", "left_share"} do check.near(b.sd[key], 0, TINY, key) end
end)

-- ---- the trade's name -------------------------------------------------------------------------------------------------------

-- The field is cross_share; whoever types cross_weight means the same. The cars are the same car: not a rounding may differ.
test("cross_weight_is_another_name_wherever_it_is_typed", function()
  local rates = {spring_rate = 40, tyre_rate = 200, perch_pitch = 2}
  local same = car(nil, {cross_weight = sy.sd(48, 0.3)}, rates)
  local c = car(sy.sd(48, 0.3), nil, rates)
  local a, b = same:balance(), c:balance()
  for _, key in ipairs{"lf", "rf", "lr", "rr", "cross_share"} do
    check.equal(a[key], b[key], key)
    check.equal(a.sd[key], b.sd[key], key)
  end
  local other = car(50)
  local rows = sy.compare{c, other, show = {"cross_weight", "corners.cross_weight"}}.rows
  local wanted = sy.compare{c, other, show = {"cross_share", "corners.cross_share"}}.rows
  for i = 1, 2 do
    check.equal(rows[i].name, wanted[i].name)
    check.equal(rows[i].values[2], wanted[i].values[2])
  end
  local asked, as_share = c:perches{cross_weight = 50}, c:perches{cross_share = 50}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do check.equal(asked.turns[key], as_share.turns[key], key) end
  local function limited(name) return car(sy.sd(48, 0.3), {limits = {{quantity = name, min = 49}}}):checks()[1] end
  check.equal(limited "cross_weight".quantity, "cross_share")
  check.equal(limited "cross_weight".status, "fail")
  check.equal(limited "cross_weight".value, limited "cross_share".value)
end)

test("both_names_at_once_clash_and_a_wrong_value_is_named_as_typed", function()
  check.raises(function() car(50, {cross_weight = 50}) end,
    {code = "clash", field = "cross_weight", message = "means the same as cross_share"})
  check.raises(function() car(nil, {cross_weight = 120}) end,
    {code = "range", field = "cross_weight", message = "must be 100 % or less, is 120 %"})
  check.raises(function() car(nil, {cross_weight = "half"}) end, {code = "type", field = "cross_weight"})
  local c = car(50, nil, {spring_rate = 40, tyre_rate = 200, perch_pitch = 2})
  check.raises(function() c:perches{cross_weight = 50, cross_share = 50} end, {code = "clash", field = "cross_weight"})
end)

check.done()
