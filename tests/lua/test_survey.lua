--- sy.survey: points measured back against the drawing. The fit behind it is tested in tests/test_survey.c.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local drawn = {["left front"] = {0, -720}, ["right front"] = {0, 715}, ["left rear"] = {2400, -730}, ["right rear"] = {2405, 728},
  crank = {1790, 12}}

-- The drawing turned by `degrees` from x towards y and shifted.
local function moved(degrees, x, y, change)
  local c, s, list = math.cos(math.rad(degrees)), math.sin(math.rad(degrees)), {}
  for name, p in pairs(drawn) do list[name] = {c * p[1] - s * p[2] + x, s * p[1] + c * p[2] + y} end
  if change then change(list) end
  return list
end

test("turn_and_shift_are_found", function()
  local s = sy.survey{drawn = drawn, measured = moved(1.5, 40, -25)}
  check.near(s.turn, 1.5, 1e-9)
  check.near(s.shift.x, 40, 1e-9)
  check.near(s.shift.y, -25, 1e-9)
  check.equal(s.fits, true)
  check.equal(s.suspect, nil)
  check.equal(s.dof, 7)
  check.contains(tostring(s), "All points fit.")
  -- half round is found as well
  check.near(math.abs(sy.survey{drawn = drawn, measured = moved(180, 0, 0)}.turn), 180, 1e-9)
end)

test("the_point_that_does_not_fit_is_named", function()
  for name in pairs(drawn) do
    local s = sy.survey{drawn = drawn, measured = moved(0.4, 12, 7, function(list) list[name][2] = list[name][2] + 14 end)}
    check.equal(s.suspect, name)
    check.equal(s.fits, false)
    check.near(s.others.miss, 0, 1e-6)
    check.near(s.others.turn, 0.4, 1e-6)
    check.contains(tostring(s), "Does not fit: " .. name)
  end
  -- the same 14 mm is nothing when the readings are good to 10 mm
  local rough = sy.survey{drawn = drawn, sd = 10, measured = moved(0.4, 12, 7, function(list) list.crank[2] = list.crank[2] + 14 end)}
  check.equal(rough.fits, true)
end)

-- Two points carry one test: their distance. Drawn 1435 apart, measured 15 more; each end then misses by 7.5.
test("two_points_cannot_say_which_of_them_is_wrong", function()
  local s = sy.survey{drawn = drawn, measured = {["left front"] = {10, -720}, ["right front"] = {10, 730}}}
  check.equal(s.suspect, nil)
  check.equal(s.tied, {"left front", "right front"})
  check.near(s.rows[1].miss, 7.5, 1e-9)
  check.near(s.rows[1].sigmas, 15 / math.sqrt(2 * 2 ^ 2), 1e-9)
  check.contains(table.concat(s.notes, "\n"), "not which is wrong")
  check.contains(table.concat(s.notes, "\n"), "not measured: crank, left rear and right rear")
end)

test("tapes_and_coordinates_may_be_mixed", function()
  local tapes = {{-500, -2000}, {2900, -2000}}
  local measured = moved(0.2, 5, 9)
  for _, name in ipairs{"crank", "left rear"} do
    local p = measured[name]
    local function from(t) return math.sqrt((p[1] - t[1]) ^ 2 + (p[2] - t[2]) ^ 2) end
    measured[name] = {a = from(tapes[1]), b = sy.sd(from(tapes[2]), 1)}
  end
  local s = sy.survey{drawn = drawn, measured = measured, tapes = tapes}
  check.near(s.turn, 0.2, 1e-8)
  check.near(s.shift.y, 9, 1e-6)
  check.equal(s.rows[1].name, "crank")
  check.near(s.rows[1].miss, 0, 1e-6)
  measured.crank.a = measured.crank.a + 20
  check.equal(sy.survey{drawn = drawn, measured = measured, tapes = tapes}.suspect, "crank")
end)

test("heights_are_compared_after_their_mean", function()
  local with = {a = {0, 0, 300}, b = {2000, 0, 300}, c = {0, 900, 250}, d = {2000, 900, 250}}
  local s = sy.survey{drawn = with, measured = {a = {0, 0, 350}, b = {2000, 0, 350}, c = {0, 900, 300}, d = {2000, 900, 312}}}
  check.near(s.shift.height, 53, 1e-9)
  check.near(s.rows[4].rise, 9, 1e-9)
  check.equal(s.suspect, "d")
  check.contains(tostring(s), "9.0 high")
end)

test("a_markout_may_be_the_drawing", function()
  local car = sy.load "vehicles/twayblade.lua"
  local m = car:markout{points = {"front jack, left", "front jack, right", "rear jack, left", "rear jack, right"}}
  local measured = {}
  for _, row in ipairs(m) do measured[row.name] = {row.x + 30, row.y - 4} end
  local s = sy.survey{drawn = m, measured = measured}
  check.near(s.shift.x, 30, 1e-9)
  check.near(s.turn, 0, 1e-9)
end)

test("messages_of_bad_input", function()
  local function says(o, want) check.equal(tostring(check.raises(function() sy.survey(o) end, "")), want) end
  says(nil, "sy.survey needs a table: sy.survey{drawn = {...}, measured = {...}}")
  says({measured = {}}, "drawn: is needed: {name = {x, y}} or what car:markout gave")
  says({drawn = drawn}, "measured: is needed: {name = {x, y}}")
  says({drawn = drawn, measured = {crank = {1, 2}}}, "measured: has 1 points, two or more are needed")
  says({drawn = drawn, measured = {crnk = {1, 2}}}, 'measured: no drawn point is called "crnk" (did you mean "crank"?)')
  says({drawn = {{0, 0}}, measured = {}}, "drawn: must be {name = {x, y}}")
  says({drawn = drawn, measured = {{0, 0}}}, "measured: must be {name = {x, y}}")
  says({drawn = drawn, measured = {crank = {1}}}, "measured[crank]: has no y")
  says({drawn = drawn, measured = {crank = {1, 0 / 0}}}, "measured[crank].y: is not a number (0/0)")
  says({drawn = drawn, measured = {crank = {a = 5}}}, "measured[crank]: has no b")
  says({drawn = drawn, measured = {crank = {a = 5, b = 6}, ["left rear"] = {1, 2}}},
    "tapes: are not given: where the two tapes are held to the floor")
  says({drawn = drawn, tapes = {{0, 0}, {9000, 0}}, measured = {crank = {a = 5, b = 6}, ["left rear"] = {1, 2}}},
    "tapes: of 5 and 6 mm do not meet: the points they start at are 9000 mm apart (point 1)")
  says({drawn = {a = {0, 0}, b = {0, 0}}, measured = {a = {0, 0}, b = {0, 1}}}, "drawn: has all its points in one place")
  says({drawn = drawn, measured = {crank = {x = 1, y = 2, zz = 3}}}, "measured[crank]: a point is {x, y, z} and has no zz")
  says({drawn = {crank = {1, 2, 3, 4}}, measured = {}}, "drawn[crank]: a point is {x, y, z} and has no 4")
  says({drawn = drawn, measured = {crank = {a = 5, b = 6, zz = 3}}}, 'measured[crank] has no field "zz" (did you mean "z"?)')
  says({drawn = drawn, measured = {}, tapes = {{0, 0, q = 1}, {9, 0}}}, "tapes[1]: a point is {x, y, z} and has no q")
  says({drawn = drawn, measured = {}, tapes = {A = {0, 0}, B = {9, 0}, C = {1, 1}}}, 'tapes has no field "C" (it has A and B)')
  says({drawn = drawn, measured = {}, sd = 0}, "sd: must be above 0 mm")
  says({drawn = drawn, measured = {}, tape = 0}, 'sy.survey has no field "tape" (did you mean "tapes"?)')
end)

check.done()
