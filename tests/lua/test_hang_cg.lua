--- sy.hang_cg and the script: lines that meet, one that does not, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

-- lines through (-82, 6, 9), `off` mm aside at the CG for one of them
local hooks = {{-310, -20, 240}, {180, 0, 310}, {-260, -330, 90}, {-60, 330, 190}}
local function lines(count, wrong, off)
  local list = {}
  for i = 1, count do
    local h = hooks[i]
    local to = {}
    for k, c in ipairs{-82, 6, 9} do to[k] = h[k] + 1.5 * (c - h[k]) + (i == wrong and k == 1 and 1.5 * off or 0) end
    list[i] = {from = h, to = to}
  end
  return list
end

test("lines_that_meet_give_their_point", function()
  local r = sy.hang_cg{lines = lines(3)}
  check.near(r.cg.x, -82, 1e-9)
  check.near(r.cg.z, 9, 1e-9)
  check.near(r.miss, 0, 1e-9)
  -- the CG lies two thirds of the way to the mark; every point is good to 3 mm each way
  local share = 1 / 1.5
  check.near(r.rows[1].sd.miss, 3 * math.sqrt((1 - share) ^ 2 + share ^ 2), 1e-9)
  check.contains(table.concat(r.notes, "\n"), "points count as good to 3 mm")
  check.contains(tostring(sy.hang_cg{lines = lines(2)}), "a third checks both")
end)

test("an_uncertainty_of_its_own_goes_before_the_common_one", function()
  local list = lines(3)
  list[1].to[1] = sy.sd(list[1].to[1], 40)
  local loose, tight = sy.hang_cg{lines = list, sd = 1}, sy.hang_cg{lines = lines(3), sd = 1}
  check.ok(loose.sd.cg.x > 5 * tight.sd.cg.x)
end)

test("the_one_bad_line_is_named", function()
  local r = sy.hang_cg{lines = lines(4, 2, 40), sd = 2}
  check.equal(r.suspect, 2)
  check.contains(table.concat(r.notes, "\n"), "line 2 alone explains it: hang it there again")
  check.equal(sy.hang_cg{lines = lines(4, 2, 1), sd = 2}.suspect, nil)
end)

test("swapped_points_are_reported", function()
  local list = lines(3)
  list[2].from, list[2].to = list[2].to, {list[2].to[1] - 100, list[2].to[2], list[2].to[3] - 140}
  check.contains(table.concat(sy.hang_cg{lines = list, sd = 30}.notes, "\n"), "above the hanging point of line 2")
end)

test("wrong_lines_are_refused_by_number", function()
  local function refuse(t, want) check.raises(function() sy.hang_cg(t) end, want) end
  refuse({}, {code = "missing", part = "hang_cg", field = "lines"})
  refuse({line = {}}, {code = "unknown", hint = "lines"})
  refuse({lines = {lines(1)[1]}}, {code = "missing", part = "lines", message = "two at least"})
  refuse({lines = {{from = {1, 2, 3}, too = {1, 2, 4}}}}, {code = "unknown", part = "line 1", field = "too", hint = "to"})
  refuse({lines = {{from = {1, 2, 3}}}}, {code = "missing", part = "line 1", field = "to"})
  refuse({lines = {{from = {1, 2}, to = {1, 2, 3}}}}, {code = "missing", part = "line 1", field = "from.z"})
  refuse({lines = {{from = {1, 2, 3}, to = {1, 2, 3}}, lines(1)[1]}}, {code = "range", part = "line 1", field = "to"})
  refuse({lines = lines(2), sd = -1}, {code = "range", field = "sd"})
  local same = lines(2)
  same[2] = {from = {-308, -20, 240}, to = {same[1].to[1] + 2, same[1].to[2], same[1].to[3]}}
  refuse({lines = same}, {code = "geometry", part = "lines", message = "parallel"})
  local near = lines(3)
  near[3].from = {-81, 6, 11}
  refuse({lines = near}, {code = "geometry", part = "line 3", field = "from", message = "stays in any position"})
end)

test("a_file_is_reported_by_line", function()
  local of = dofile "tests/lua/readings_file.lua"("steelyard.measure.hang_cg.file")
  local head, one, two = "from.x,from.y,from.z,to.x,to.y,to.z", "-310,-20,240,8,18,-85", "180,0,310,-146,9,-68"
  local axes = {"axes.x,back", "axes.y,right", "axes.z,up"}
  local r = of{"sd,2", "kind,flat engine", "crank.y,2", "crank.z,20", axes[1], axes[2], axes[3], head, one, two}
  check.contains(r.notes[1], "mm below and ")
  check.contains(r.notes[1], "mm right of the crankshaft centreline; rule of thumb (common practice, no source)")
  -- nobody said which way y and z run, nor that it is a flat engine
  local bare = of{"sd,2", "crank.y,2", "crank.z,20", head, one, two}
  check.contains(bare.notes[1], "mm in z from and ")
  check.equal(table.concat(bare.notes):find("rule of thumb", 1, true), nil)
  check.raises(function() of{head, one, "", "1,2,3,1,2,3"} end, {line = 4, part = "line 2", field = "to"})
  check.raises(function() of{head, one, "1,2,,1,2,3"} end, {line = 3, part = "line 2", field = "from.z", code = "missing"})
  check.raises(function() of{"sd,-2", head, one, two} end, {line = 1, field = "sd"})
  check.raises(function() of{"sd,2"} end, {field = "lines", code = "missing"})
end)

check.done()
