--- sy.subtract and the script: hand numbers, where the uncertainty comes from, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function tank(more)
  local t = {whole = {mass = sy.sd(96.4, 0.05), cg = {sy.sd(1120.4, 0.8), 3.1, sy.sd(341, 2)}},
             without = {mass = sy.sd(81.2, 0.05), cg = {x = sy.sd(1088.1, 0.8), y = 4.2, z = sy.sd(350, 2)}}}
  for key, value in pairs(more or {}) do t[key] = value end
  return t
end

test("hand_numbers", function()
  local r = sy.subtract(tank())
  check.near(r.mass, 15.2, 1e-13)
  check.near(r.cg.x, (96.4 * 1120.4 - 81.2 * 1088.1) / 15.2, 1e-9)
  check.near(r.cg.y, (96.4 * 3.1 - 81.2 * 4.2) / 15.2, 1e-11)
  check.near(r.sd.mass, 0.05 * math.sqrt(2), 1e-15)
  local z = r.cg.z
  local u = math.sqrt((96.4 * 2) ^ 2 + (81.2 * 2) ^ 2 + ((341 - z) * 0.05) ^ 2 + ((350 - z) * 0.05) ^ 2) / 15.2
  check.near(r.sd.cg.z, u, 1e-12)
  check.near(r.blow_up, 96.4 / 15.2, 1e-13)
  check.contains(tostring(r), "1 mm in the CG of the whole is 6.3 mm here")
end)

test("the_budget_adds_up_and_its_largest_comes_first", function()
  local r = sy.subtract(tank())
  local sum, before, share = 0, math.huge, 0
  for i = 1, 4 do
    local row = r.budget[i]
    check.equal(row.of, "x")
    sum, share = sum + row.u ^ 2, share + row.share
    check.ok(row.u <= before)
    before = row.u
  end
  check.near(math.sqrt(sum), r.sd.cg.x, 1e-12)
  check.near(share, 100, 1e-10)
  check.equal(r.budget[1].source, "CG of the whole")
  check.contains(tostring(r), "The uncertainty of z comes from: CG of the whole 58 %")
end)

test("axle_and_wheel_loads_say_the_same", function()
  local wheels = {whole = {lf = 151.3, rf = 148.9, lr = 213.7, rr = 219.2}, without = {lf = 149.9, rf = 146.2, lr = 211.1, rr = 211.8},
                  wheelbase = 2400, tracks = {front = 1450, rear = 1460}}
  local axles = {whole = {front = 300.2, rear = 432.9}, without = {front = 296.1, rear = 422.9}, wheelbase = sy.sd(2400, 12)}
  local a, b = sy.subtract(wheels), sy.subtract(axles)
  check.near(a.mass, 14.1, 1e-12)
  check.near(b.mass, 14.1, 1e-12)
  check.near(a.cg.x, 2400 * 10 / 14.1, 1e-9) -- back of the front axle
  check.near(b.cg.x, a.cg.x, 1e-9)
  check.near(a.cg.y, (725 * (2.7 - 1.4) + 730 * (7.4 - 2.6)) / 14.1, 1e-9) -- to the right
  check.equal(b.cg.y, nil)
  check.near(b.sd.cg.x, b.cg.x * 12 / 2400, 1e-9, "a longer wheelbase stretches it")
  wheels.without = {front = 296.1, rear = 422.9}
  check.equal(sy.subtract(wheels).cg.y, nil, "what one of the two does not know is left out")
end)

test("results_are_taken_as_they_are", function()
  local first = sy.subtract(tank())
  local r = sy.subtract{whole = first, without = {mass = sy.sd(3, 0.01), cg = {1300, 0, 280}}}
  check.near(r.mass, 12.2, 1e-12)
  check.near(r.sd.mass, math.sqrt(0.005 + 1e-4), 1e-12)
end)

test("results_of_scales_say_where_with_a_wheelbase", function()
  local with = sy.corner_scales{runs = {{lf = 151.3, rf = 148.9, lr = 213.7, rr = 219.2}}, sd = 0.1}
  local without = sy.corner_scales{runs = {{lf = 149.9, rf = 146.2, lr = 211.1, rr = 211.8}}, sd = 0.1}
  local r = sy.subtract{whole = with, without = without, wheelbase = 2400, tracks = {front = 1450, rear = 1460}}
  check.near(r.mass, 14.1, 1e-10)
  check.near(r.cg.x, 2400 * 10 / 14.1, 1e-8)
  check.near(r.cg.y, (725 * (2.7 - 1.4) + 730 * (7.4 - 2.6)) / 14.1, 1e-8)
  check.near(r.sd.mass, 0.1 * math.sqrt(8), 1e-10)
  check.equal(sy.subtract{whole = with, without = without}.cg.x, nil)
end)

test("inertia_comes_along", function()
  local r = sy.subtract{whole = {mass = 50, cg = {100, 20, 30}, inertia = {xx = 3, yy = 4, zz = 5}},
                        without = {mass = 40, cg = {110, 10, 20}, inertia = {xx = 2, yy = 3, zz = 3.5}}}
  -- about the CG of what is left, (60, 60, 70) mm: 3 + 50 (40^2 + 40^2) - 2 - 40 (50^2 + 50^2), in m
  check.near(r.inertia.xx, 3 + 50 * 0.0032 - 2 - 40 * 0.005, 1e-12)
  check.contains(table.concat(r.notes, "\n"), "2 of 2 weights have no stated uncertainty and count as exact")
end)

test("wrong_fields_are_refused_by_name", function()
  local function refuse(t, want) check.raises(function() sy.subtract(t) end, want) end
  refuse({whole = {mass = 3}}, {code = "missing", part = "subtract", field = "without"})
  refuse(tank{with = {}}, {code = "unknown", field = "with", hint = "without"})
  refuse(tank{whole = {mas = 3}}, {code = "unknown", part = "whole", field = "mas", hint = "mass"})
  refuse(tank{whole = {cg = {1, 2, 3}}}, {code = "missing", part = "whole", field = "mass"})
  refuse(tank{whole = {mass = 96.4, front = 40}}, {code = "clash", part = "whole"})
  refuse(tank{whole = {front = 40, rear = 60}}, {code = "missing", field = "wheelbase"})
  refuse(tank{whole = {lf = 40, rf = 60, lr = 30}, wheelbase = 2400}, {code = "missing", part = "whole", field = "rr"})
  refuse(tank{whole = {mass = 96.4, cg = {1, 2, h = 3}}}, {code = "unknown", part = "whole, cg", field = "h"})
  refuse(tank{whole = {mass = 96.4, cg = {1, 2, "3"}}}, {code = "type", part = "whole", field = "cg.z"})
  refuse(tank{whole = {mass = 96.4, cg = {1, 2}, inertia = {xx = 3, yy = 3, zz = 4}}}, {code = "missing", part = "whole", field = "cg.z"})
  refuse(tank{whole = {mass = 96.4, cg = {1, 2, 3}, inertia = {xx = 3, zz = 4}}}, {code = "missing", field = "inertia.yy"})
  refuse(tank{whole = {mass = 96.4, cg = {1, 2, 3}, inertia = {xx = 3, yy = 4, zz = 4}}},
    {code = "missing", part = "without", field = "inertia"})
  refuse(tank{whole = {mass = 80, cg = {1, 2, 3}}}, {code = "range", part = "without", message = "leaves nothing"})
  refuse(tank{whole = {mass = sy.sd(82, 1), cg = {1, 2, 3}}}, {code = "range", message = "weigh the part alone"})
  refuse(tank{whole = sy.load "vehicles/first_guess.lua"}, {code = "type", part = "whole", hint = "car:book"})
end)

test("a_file_is_reported_by_line", function()
  local of = dofile "tests/lua/readings_file.lua"("steelyard.measure.subtract.file")
  local r = of{"whole.mass,96.4,0.05", "whole.x,1120.4", "without.mass,81.2", "without.x,1088.1"}
  check.near(r.cg.x, (96.4 * 1120.4 - 81.2 * 1088.1) / 15.2, 1e-9)
  check.raises(function() of{"whole.mass,96.4", "whole.x,1120", "without.mass,-3"} end, {line = 3, part = "without", field = "mass"})
  check.contains(of{"whole.mass,96.4", "without.mass,81", "without.x,1"}.notes[1], "x of the CG is known of one weighing only")
  check.raises(function() of{"whole.mass,96.4", "whole.cgx,1"} end, {line = 2, code = "unknown"})
  check.raises(function() of{"whole.mass,80", "", "without.mass,81"} end, {line = 3, field = "mass", code = "range"})
end)

check.done()
