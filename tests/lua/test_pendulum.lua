--- sy.pendulum and the script: published cases through the Lua face, timings, what axes share, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

-- J. Moore, M. Hubbard, D. Peterson, A. Schwab, J. Kooijman, An accurate method of measuring and comparing a bicycle's physical
-- parameters, Bicycle and Motorcycle Dynamics 2010, Delft, and its open data set, bicycle "A"; tolerances are half a last digit
test("published_wheel_on_a_knife_edge", function()
  local r = sy.pendulum{kind = "compound", mass = 2.02, arm = 293, period = 1.4811273727, g = 9.81}
  check.near(r.inertia, 0.1492, 0.00005)
  check.equal(r.sd.inertia, 0, "nothing is stated")
  check.contains(table.concat(r.notes, "\n"), "pivot to CG, mass and period have no stated uncertainty and count as exact")
end)

local rod = {mass = 5.56, length = 1050, diameter = 30, period = 1.89399317145}

test("published_wheel_on_a_torsion_wire", function()
  local r = sy.pendulum{kind = "torsion", rod = rod, period = 0.787577011406}
  check.near(r.inertia, 0.0884, 0.00005)
  check.near(r.stiffness, 5.62524, 0.000005)
end)

local function frame(wire)
  local hangs = {}
  for i, hang in ipairs{{3.4, 2.09957410356}, {138.7, 2.37671750273}, {229.8, 1.83976940999}} do
    local beta = math.rad(22.9 - hang[1])
    hangs[i] = {axis = {math.cos(beta), 0, -math.sin(beta)}, period = hang[2]}
  end
  local t = {kind = "torsion", hangs = hangs}
  for key, value in pairs(wire) do t[key] = value end
  return sy.pendulum(t)
end

test("published_frame_about_three_axes", function()
  local r = frame{rod = rod}
  check.near(r.inertia.xx, 0.5296, 0.00005)
  check.near(r.inertia.xz, -0.1163, 0.00005)
  check.near(r.inertia.zz, 0.7568, 0.00005)
  check.equal(r.inertia.yy, nil)
  check.contains(tostring(r), "not measured")
end)

test("what_axes_share_errs_once_for_all", function()
  -- a stiffness 1 % off makes every entry 1 % off, not 1 % of each axis by itself
  local r = frame{stiffness = sy.sd(5.62524, 0.0562524)}
  check.near(r.sd.inertia.xx / r.inertia.xx, 0.01, 1e-12)
  check.near(r.sd.inertia.xz / math.abs(r.inertia.xz), 0.01, 1e-12)
end)

-- ---- timings --------------------------------------------------------------------------------------------------------

local function timed(times, more)
  local t = {kind = "torsion", stiffness = 3.1, times = times, swings = 20}
  for key, value in pairs(more or {}) do t[key] = value end
  return sy.pendulum(t)
end

test("timings_give_the_mean_and_the_uncertainty_of_few_repeats", function()
  local r = timed{25.10, 25.16, 25.08, 25.13, 25.11}
  check.near(r.period, 25.116 / 20, 1e-14)
  -- by hand: s = 0.0304959, s / sqrt 5 = 0.0136382; Student's 97.5 % with 4 degrees of freedom 2.776 (tables)
  check.near(text.K95 * r.sd.period, 2.776 * 0.0136382 / 20, 4e-7, "2.776 has three decimals")
end)

test("a_stated_uncertainty_counts_when_it_is_the_larger", function()
  local r = timed{sy.sd(25.10, 0.2), sy.sd(25.11, 0.2), sy.sd(25.10, 0.2), sy.sd(25.11, 0.2)}
  check.near(r.sd.period, 0.2 / 2 / 20, 1e-15)
end)

test("timings_that_tell_nothing_are_reported", function()
  check.contains(table.concat(timed({25.1, 25.1, 25.1}).notes, "\n"), "all timings are the same")
  check.contains(table.concat(timed({25.1}).notes, "\n"), "one timing without a stated uncertainty")
  check.contains(table.concat(timed({6.3, 6.4}, {swings = 5}).notes, "\n"), "5 swings a timing are few")
end)

test("a_miscounted_timing_is_named", function()
  check.raises(function() timed{25.10, 25.16, 26.36, 25.13} end,
    {code = "content", part = "pendulum", field = "times[3]", message = "1 swing more than the others"})
  check.raises(function() timed{nil, 25.12, 25.13} end, {code = "missing", part = "pendulum", field = "times[1]"})
  check.raises(function() timed{25.10, nil, 25.12} end, {code = "missing", part = "pendulum", field = "times[2]"})
  check.raises(function() timed{25.10, 22.6, 25.12, 25.13} end, {field = "times[2]", message = "2 swings less"})
end)

test("gravity_is_uncertain_unless_it_is_given", function()
  local t = {kind = "trifilar", mass = 96, radius = 450, wire = 2210, period = 1.7}
  local r = sy.pendulum(t)
  check.near(r.sd.inertia / r.inertia, 0.015 / 9.80665, 1e-12)
  t.g = 9.81
  check.near(sy.pendulum(t).sd.inertia, 0, 0)
end)

test("a_bad_arm_is_reported", function()
  local r = sy.pendulum{kind = "compound", mass = 14.2, arm = 900, period = 1.95, g = 9.81}
  check.ok(r.gyration * 2 < 900)
  check.contains(table.concat(r.notes, "\n"), "an error of that distance would cancel")
end)

test("the_best_arm_makes_its_error_cancel", function()
  -- d inertia / d arm = (I - m d^2) / d is 0 where the arm is the radius of gyration
  local k = 0.25
  local period = 2 * math.pi * math.sqrt(2 * k / 9.81)
  local r = sy.pendulum{kind = "compound", mass = 14.2, arm = sy.sd(1000 * k, 5), period = period, g = 9.81}
  check.near(r.inertia, 14.2 * k * k, 1e-12)
  check.near(r.sd.inertia, 0, 1e-9)
end)

test("impossible_tensors_and_hangs_off_the_fit_are_reported", function()
  local hangs = {{axis = {1, 0, 0}, period = 1}, {axis = {0, 1, 0}, period = 1}, {axis = {0, 0, 1}, period = sy.sd(3, 0.001)}}
  local r = sy.pendulum{kind = "torsion", stiffness = 3, hangs = hangs}
  check.contains(table.concat(r.notes, "\n"), "no body has this tensor")
  for i = 1, 3 do hangs[i + 3] = {axis = hangs[i].axis, period = sy.sd(i == 3 and 3.1 or 1, 0.001)} end
  r = sy.pendulum{kind = "torsion", stiffness = 3, hangs = hangs}
  check.equal(r.dof, 3)
  check.contains(table.concat(r.notes, "\n"), "hang 6 is off the fit")
end)

-- ---- refusals ----------------------------------------------------------------------------------------------------------

test("wrong_fields_are_refused_by_name", function()
  local function refuse(t, want) check.raises(function() sy.pendulum(t) end, want) end
  refuse(3, {code = "type", part = "pendulum"})
  refuse({kind = "compund"}, {code = "unknown", field = "kind", hint = "compound"})
  refuse({mass = 3}, {code = "missing", field = "kind"})
  refuse({kind = "compound", mas = 3}, {code = "unknown", field = "mas", hint = "mass"})
  refuse({kind = "compound", mass = "14,2", arm = 3, period = 1}, {code = "type", field = "mass", hint = "point"})
  refuse({kind = "compound", mass = -3, arm = 3, period = 1}, {code = "range", field = "mass", message = "above 0 kg"})
  refuse({kind = "compound", mass = 3, arm = 3}, {code = "missing", field = "period", hint = "times"})
  refuse({kind = "compound", mass = 3, arm = 3, swings = 20}, {code = "missing", field = "times"})
  refuse({kind = "compound", mass = 3, arm = 3, period = 1, times = {1}}, {code = "clash", field = "times"})
  refuse({kind = "compound", mass = 3, arm = 3, swings = 9, times = {}}, {code = "type", field = "times"})
  refuse({kind = "compound", mass = 3, arm = 3, times = {20, 20}}, {code = "missing", field = "swings"})
  refuse({kind = "compound", mass = 3, arm = 3, times = {20, 20}, swings = 9.5}, {code = "range", field = "swings"})
  refuse({kind = "compound", mass = 3, arm = 3, times = {20, -1}, swings = 9}, {code = "range", field = "times[2]"})
  refuse({kind = "compound", mass = 3, period = 1.5}, {code = "missing", field = "arm"})
  refuse({kind = "compound", mass = 3, arm = 300, period = 0.5}, {code = "geometry", field = "period", message = "count of swings"})
  refuse({kind = "compound", mass = 3, arm = 300, period = 1.5, radius = 3}, {code = "clash", field = "radius", hint = "arm"})
  refuse({kind = "bifilar", mass = 3, wire = 300, period = 1.5, arms = {300}}, {code = "missing", field = "arms.r2"})
  refuse({kind = "torsion", period = 1.5}, {code = "missing", field = "rod"})
  refuse({kind = "torsion", period = 1.5, rod = {mass = 3}}, {code = "missing", field = "rod.length"})
  refuse({kind = "torsion", period = 1.5, rod = rod, stiffness = 3}, {code = "clash", field = "rod"})
  refuse({kind = "torsion", period = 1.5, rod = {mass = 3, lenght = 3}}, {code = "unknown", field = "lenght", hint = "length"})
  refuse({kind = "torsion", period = 1.5, stiffness = 3, mirror = true}, {code = "clash", field = "mirror"})
end)

test("wrong_hangs_are_refused_by_number", function()
  local function refuse(hangs, want, more)
    local t = {kind = "torsion", stiffness = 3, hangs = hangs}
    for key, value in pairs(more or {}) do t[key] = value end
    check.raises(function() sy.pendulum(t) end, want)
  end
  local x, y, z = {axis = {1, 0, 0}, period = 1}, {axis = {0, 1, 0}, period = 1}, {axis = {0, 0, 1}, period = 1}
  refuse({}, {code = "type", field = "hangs"})
  refuse({x, {axis = {0, 1, 0}}}, {code = "missing", part = "hang 2", field = "period"})
  refuse({x, {period = 2}}, {code = "missing", part = "hang 2", field = "axis"})
  refuse({x, y, {axis = {1, 2}, period = 2}}, {code = "missing", part = "hang 3", field = "axis.z"})
  refuse({x, y, z, {axis = {1, 1, 1}, period = 1}}, {code = "missing", part = "hangs", message = "add 2 more"})
  refuse({x, y, z}, {code = "clash", field = "period"}, {period = 3})
  refuse({x, y, {axis = {0, 0, 1}, period = 1, arm = 3}}, {code = "clash", part = "hang 3", field = "arm"})
  refuse({x, {axis = {1, 0, 1}, period = 0}}, {code = "range", part = "hang 2", field = "period"})
end)

-- ---- files -----------------------------------------------------------------------------------------------------------------

local of_lines = dofile "tests/lua/readings_file.lua"("steelyard.measure.pendulum.file")
local function of(...) return of_lines{...} end

test("files_say_what_tables_say", function()
  local r = of("kind;bifilar", "mass;\"14,2\";\"0,1\"", "arms.r1;310", "arms.r2;350", "wire;1900", "g;\"9,81\"", "swings;20", "time",
    "40,1", "40,3")
  local same = sy.pendulum{kind = "bifilar", mass = sy.sd(14.2, 0.1), arms = {310, 350}, wire = 1900, g = 9.81, swings = 20,
                           times = {40.1, 40.3}}
  check.near(r.inertia, same.inertia, 0)
  check.near(r.sd.inertia, same.sd.inertia, 0)
end)

test("errors_of_files_are_reported_by_line", function()
  local function refuse(want, ...)
    local lines = {...}
    check.raises(function() of(table.unpack(lines)) end, want)
  end
  local head = {"kind,torsion", "stiffness,3", "swings,20"}
  local function with(...) return head[1], head[2], head[3], ... end
  refuse({file = "the file", line = 4, field = "masss", code = "unknown", hint = "mass"}, with("masss,3", "time", "20"))
  refuse({line = 4, field = "swings", code = "clash"}, with("swings,3", "time", "20"))
  refuse({line = 4, field = "mass", code = "type"}, with("mass,heavy", "time", "20"))
  refuse({line = 4, field = "mass", code = "range"}, with("mass,3,-1", "time", "20"))
  refuse({line = 4, field = "mass", code = "content"}, with("mass,3,1,kg", "time", "20"))
  refuse({line = 4, field = "mirror", code = "type"}, with("mirror,perhaps", "time", "20"))
  refuse({line = 4, field = "title", code = "missing"}, with("title,", "time", "20"))
  refuse({line = 4, field = "tim", code = "unknown", hint = "time"}, with("what,tim", "part,20"))
  refuse({line = 4, field = "time", code = "clash"}, with("what,time,time", "part,20,21"))
  refuse({line = 5, field = "what", code = "unknown"}, with("what,time", "wheel,20"))
  refuse({line = 5, code = "content"}, with("what,time", "part,20,30"))
  refuse({line = 5, field = "hang", code = "content"}, with("time,hang,x", "20,2,1"))
  refuse({line = 6, field = "times[2]", code = "range"}, with("time", "20", "-20"))
  refuse({line = 1, field = "kind", code = "unknown", hint = "torsion"}, "kind,torsoin", "time", "20")
  refuse({line = 7, field = "times[3]", code = "content"}, with("time", "20", "20", "21", "20"))
  refuse({file = "the file", field = "rod", code = "missing"}, "kind,torsion", "swings,20", "time", "20")
end)

check.done()
