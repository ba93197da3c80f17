--- sy.part_cg and its scripts: hand numbers, words for tilt, what is determined, who is to blame, every refusal.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local test = check.test

local places = {A = {150, -200, 0}, B = {150, 200, 0}, C = {-300, 0, -40}}
local mass, cg = 96, {-120, 15, 60}

-- What three scales read, by areas of the triangle on the ground; degrees of pitch (nose down) and roll (left up).
local function loads(pitch, roll)
  local p, r = math.rad(pitch or 0), math.rad(roll or 0)
  local function ground(v)
    return math.cos(p) * v[1] + math.sin(p) * (math.sin(r) * v[2] + math.cos(r) * v[3]), math.cos(r) * v[2] - math.sin(r) * v[3]
  end
  local function area(a, b, c)
    local ax, ay = ground(a)
    local bx, by = ground(b)
    local cx, cy = ground(c)
    return (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
  end
  local whole = area(places.A, places.B, places.C)
  return {A = mass * area(cg, places.B, places.C) / whole, B = mass * area(places.A, cg, places.C) / whole,
          C = mass * area(places.A, places.B, cg) / whole}
end

local function part(poses, more)
  local t = {supports = places, poses = poses, sd = {reading = 0.05, place = 1, tilt = 0.1}}
  for key, value in pairs(more or {}) do t[key] = value end
  return sy.part_cg(t)
end

local function all_notes(r) return table.concat(r.notes, "\n") end

test("level_and_tilted_give_mass_and_all_of_the_cg", function()
  for word, angles in pairs{nose_up = {-22, 0}, nose_down = {22, 0}, left_up = {0, 22}, right_up = {0, -22}} do
    local r = part{{readings = loads()}, {readings = loads(angles[1], angles[2]), [word] = 22}}
    check.near(r.mass, mass, 1e-8, word)
    for i, letter in ipairs{"x", "y", "z"} do check.near(r.cg[letter], cg[i], 1e-6, word .. " " .. letter) end
    check.equal(r.determined, {x = true, y = true, z = true})
    check.equal(r.dof, 2)
  end
end)

test("level_alone_leaves_the_height_unknown", function()
  local r = part{{readings = loads()}}
  check.equal(r.determined, {x = true, y = true, z = false})
  check.equal(r.cg.z, nil)
  check.contains(all_notes(r), "z is not determined by level weighings: weigh it once more tilted")
  check.contains(all_notes(r), "nothing checks them")
  check.contains(tostring(r), "CG z, mm  unknown")
  r = part{{readings = loads(-22), nose_up = 22}}
  check.equal(r.determined, {x = false, y = true, z = false})
  check.contains(all_notes(r), "gives a line, not a point")
end)

test("axes_only_rename_the_directions", function()
  local back = {}
  for name, p in pairs(places) do back[name] = {-p[1], -p[2], p[3]} end
  local a = part{{readings = loads()}, {readings = loads(-15), nose_up = 15}}
  local b = part({{readings = loads()}, {readings = loads(-15), nose_up = 15}}, {supports = back,
    axes = {x = "back", y = "right", z = "up"}})
  check.near(b.cg.x, -a.cg.x, 1e-9)
  check.near(b.cg.z, a.cg.z, 1e-9)
  check.near(b.sd.cg.z, a.sd.cg.z, 1e-9)
end)

test("tare_is_taken_off_and_adds_its_uncertainty", function()
  local full = loads()
  for name in pairs(full) do full[name] = full[name] + 2 end
  local a, b = part{{readings = full, tare = 2}}, part{{readings = full, tare = {A = 2, B = sy.sd(2, 0), C = 2}}}
  check.near(a.mass, mass, 1e-9)
  check.near(b.mass, mass, 1e-9)
  check.near(a.sd.mass, 0.05 * math.sqrt(6), 1e-9)
  check.near(b.sd.mass, 0.05 * math.sqrt(5), 1e-9)
end)

test("a_display_step_is_the_floor_of_the_uncertainty", function()
  -- JCGM 100:2008, 4.3.7: a rectangle of one step has a standard deviation of step / sqrt 12
  local r = part({{readings = loads()}}, {sd = {reading = 0.001, place = 1}, step = 0.5})
  check.near(r.sd.mass, 0.5 / math.sqrt(12) * math.sqrt(3), 1e-9)
  check.contains(all_notes(r), "the same number twice proves nothing")
end)

test("nothing_unstated_passes_in_silence", function()
  local r = part({{readings = loads()}, {readings = loads(-22), nose_up = 22}}, {sd = {}})
  check.equal(r.sd.cg.z, 0)
  check.contains(all_notes(r), "readings, places and angles have no stated uncertainty and count as exact")
  check.equal(r.rows[1].sigmas, nil)
end)

test("the_reading_that_does_not_fit_is_named", function()
  local tilted = loads(-22)
  tilted.B = tilted.B + 1
  local poses = {{readings = loads()}, {readings = tilted, nose_up = 22}, {readings = loads(0, 15), left_up = 15}}
  local r = part(poses, {sd = {reading = 0.05, place = 0.1, tilt = 0.05}})
  check.equal(r.suspect, {pose = 2, support = "B"})
  check.contains(all_notes(r), "B of pose 2 reads 1.00 kg more than the rest allows")
  -- with one pose less nobody can say which of its readings it is
  poses[3] = nil
  r = part(poses, {sd = {reading = 0.05, place = 0.1, tilt = 0.05}})
  check.equal(r.suspect, nil)
  check.contains(all_notes(r), "are indistinguishable")
end)

test("the_budget_says_what_to_measure_better", function()
  local r = part{{readings = loads()}, {readings = loads(-22), nose_up = 22}}
  local sum = 0
  for _, row in ipairs(r.budget) do
    if row.of == "z" then sum = sum + row.u ^ 2 end
  end
  check.near(math.sqrt(sum), r.sd.cg.z, 1e-9)
  check.equal(r.budget[1].source, "places of the supports")
end)

test("an_edge_tells_one_coordinate_and_with_a_known_mass_the_mass", function()
  local r = sy.part_cg{sd = {place = 1}, edge = {{balance_at = 410, along = "y"},
    {balance_at = 520, along = "y", known_mass = 20, at = 900}}}
  check.near(r.cg.y, 410, 1e-9)
  check.near(r.mass, 20 * 380 / 110, 1e-8)
  check.equal(r.determined, {x = false, y = true, z = false})
  check.equal(r.state, "balanced on an edge")
  -- beside scales it is one more observation
  local with = part({{readings = loads()}}, {edge = {balance_at = cg[1]}})
  check.equal(with.dof, 1)
  check.ok(with.sd.cg.x < part{{readings = loads()}}.sd.cg.x)
end)

test("lists_do_as_well_as_names", function()
  local r = sy.part_cg{supports = {places.A, places.B, places.C}, sd = {place = 1},
                       poses = {{readings = {15.6, 22.8, 57.6}, tare = {0, 0, 1}}}}
  check.near(r.mass, 95, 1e-9)
  check.equal(r.rows[3].support, "3")
  check.raises(function() sy.part_cg{supports = {places.A, places.B}, poses = {{readings = {1, 2, 3}}}} end,
    {code = "unknown", part = "pose 1", field = "readings.3"})
end)

-- In three conventions of the part's axes: all pads level, then tilted with one pad's reading lost, then with two.
test("a_pad_of_the_set_up_that_was_not_read_is_unknown", function()
  local ways = {
    {axes = {x = "forward", y = "left", z = "up"}, sign = {1, 1}}, {axes = {x = "back", y = "right", z = "up"}, sign = {-1, -1}},
    {axes = {x = "forward", y = "right", z = "up"}, sign = {1, -1}}}
  for _, way in ipairs(ways) do
    local pads = {}
    for name, p in pairs(places) do pads[name] = {way.sign[1] * p[1] + 37, way.sign[2] * p[2] - 12, p[3] + 250} end
    local function of(poses) return part(poses, {supports = pads, axes = way.axes}) end
    local function lost(names, ...)
      local list = loads(...)
      for _, name in ipairs(names) do list[name] = nil end
      return list
    end
    local whole = of{{readings = loads()}, {readings = loads(-22), nose_up = 22}}
    local last
    for _, names in ipairs{{"A"}, {"B"}, {"A", "B"}} do
      local r = of{{readings = loads()}, {readings = lost(names, -22), nose_up = 22}}
      check.near(r.mass, mass, 1e-8)
      check.near(r.cg.x, way.sign[1] * cg[1] + 37, 1e-6)
      check.near(r.cg.y, way.sign[2] * cg[2] - 12, 1e-6)
      check.near(r.cg.z, cg[3] + 250, 1e-6)
      check.ok(r.sd.cg.z >= whole.sd.cg.z, "less read is not better known")
      check.equal(#r.rows, 6 - #names)
      check.contains(all_notes(r), ("not read: %s of pose 2."):format(#names == 1 and names[1] or "A and B"))
      last = r
    end
    check.equal(last.dof, 0)
  end
  -- two of three read and no other pose: nothing tells the mass
  check.raises(function() part{{readings = {A = 10, B = 20}}} end,
    {code = "geometry", part = "pose 1", field = "readings", hint = "C was not read"})
  -- said not to stand there: two supports, which tell the CG along their line
  local two = part{{readings = {A = 40, B = 56, C = false}}}
  check.near(two.mass, 96, 1e-9)
  check.near(two.cg.y, 200 * (56 - 40) / 96, 1e-6)
end)

-- Engines are compared with their crankshaft in words that the part's axes give, and the rule for flat engines is for those alone.
test("the_rule_of_thumb_belongs_to_flat_engines", function()
  local poses = {{readings = loads()}, {readings = loads(-22), nose_up = 22}}
  local rule = "the CG of a flat engine lies close to the crankshaft centreline"
  local flat = part(poses, {kind = "flat engine", crank = {y = 0, z = 75}})
  check.equal(flat.notes[1], "the CG lies 15 mm below and 15 mm left of the crankshaft centreline; rule of thumb (common practice, no "
    .. "source): " .. rule)
  local inline = part(poses, {kind = "inline engine", crank = {y = 0, z = 75}})
  check.equal(inline.notes[1], "the CG lies 15 mm below and 15 mm left of the crankshaft centreline")
  for _, r in ipairs{inline, part(poses), part(poses, {kind = "gearbox"}), part(poses, {crank = {y = 3}})} do
    check.equal(all_notes(r):find(rule, 1, true), nil)
  end
  check.contains(all_notes(part(poses, {kind = "flat engine"})), rule .. "; crank.y and crank.z in the readings compare it")
  -- other axes, other signs, the same words
  local turned = {}
  for name, p in pairs(places) do turned[name] = {-p[3], p[2], -p[1]} end
  local down = part(poses, {supports = turned, axes = {x = "down", y = "left", z = "back"}, kind = "engine", crank = {x = -75, y = 0}})
  check.equal(down.notes[1], "the CG lies 15 mm left of and 15 mm below the crankshaft centreline")
  check.raises(function() part(poses, {kind = "flat engin"}) end, {code = "unknown", field = "kind", hint = "flat engine"})
  check.raises(function() part(poses, {crank = {why = 3}}) end, {code = "unknown", field = "why"})
end)

test("round_feet_come_with_their_own_caution", function()
  local r = part({{readings = loads()}, {readings = loads(-22), nose_up = 22}}, {feet = "round"})
  check.contains(all_notes(r), "Round feet slip")
  check.contains(all_notes(r), "centres of the balls")
end)

test("a_support_that_pulls_is_reported", function()
  local r = part{{readings = {A = -5, B = 10, C = 30}}}
  check.contains(all_notes(r), "A of pose 1 reads negative; check the tare")
end)

test("little_tilt_is_reported", function()
  check.contains(all_notes(part{{readings = loads()}, {readings = loads(-5), nose_up = 5}}), "5.0 degrees of tilt are little")
end)

test("wrong_fields_are_refused_by_pose_and_support", function()
  local function refuse(poses, want, more) check.raises(function() part(poses, more) end, want) end
  local level = {readings = loads()}
  refuse({}, {code = "type", field = "poses"})
  check.raises(function() sy.part_cg{supports = places} end, {code = "missing", field = "poses"})
  refuse({level}, {code = "unknown", field = "suports", hint = "supports"}, {suports = {}})
  local many, crowd, seats = {}, {}, {}
  for i = 1, 17 do many[i] = level end
  for i = 1, 9 do crowd[i], seats[i] = 10, {i * i, i, 0} end
  refuse(many, {code = "range", part = "part_cg", field = "poses", message = "are 17, more than 16"})
  refuse({{readings = crowd, supports = seats}}, {code = "range", part = "pose 1", field = "readings", message = "more than 8"})
  refuse({level}, {code = "unknown", part = "part_cg, sd", field = "readings", hint = "reading"}, {sd = {readings = 3}})
  refuse({level}, {code = "range", field = "step"}, {step = 0})
  refuse({level}, {code = "missing", field = "axes.z"}, {axes = {x = "back", y = "right"}})
  refuse({level}, {code = "clash", field = "axes"}, {axes = {x = "back", y = "forward", z = "up"}})
  refuse({level}, {code = "unknown", hint = "back"}, {axes = {x = "bck", y = "right", z = "up"}})
  refuse({level}, {code = "unknown", field = "feet"}, {feet = "wheels"})
  refuse({level, {}}, {code = "missing", part = "pose 2", field = "readings"})
  refuse({{readings = {A = 1, B = 2, D = 3}}}, {code = "unknown", part = "pose 1", field = "readings.D"})
  refuse({{readings = {A = 1, B = 2, C = "3"}}}, {code = "type", part = "pose 1", field = "readings.C"})
  refuse({{readings = loads(), tare = {E = 1}}}, {code = "unknown", part = "pose 1", field = "tare.E"})
  refuse({{readings = loads(), nose_up = 3, nose_down = 2}}, {code = "clash", part = "pose 1", field = "nose_down"})
  refuse({{readings = loads(), nose_up = 90}}, {code = "range", part = "pose 1", field = "nose_up"})
  refuse({{readings = loads(), noseup = 9}}, {code = "unknown", part = "pose 1", field = "noseup", hint = "nose_up"})
  refuse({{readings = {A = 3}, supports = {A = {1, 2, 3}, B = {2, 3, 4}}}},
    {code = "geometry", part = "pose 1", field = "readings", hint = "B was not read"})
  refuse({{readings = {A = false, B = false, C = false}}}, {code = "missing", part = "pose 1", field = "readings"})
  refuse({{readings = {A = 3}, supports = {A = {1, 2}}}}, {code = "missing", part = "pose 1", field = "supports.A.z"})
  refuse({{readings = {A = 1, B = 2, C = 3}, supports = {A = {0, 0, 0}, B = {1, 1, 0}, C = {2, 2, 0}}}},
    {code = "geometry", part = "pose 1", field = "supports", message = "in one line"})
  refuse({level}, {code = "missing", part = "edge", field = "balance_at"}, {edge = {known_mass = 3, at = 4}})
  refuse({level}, {code = "missing", part = "edge", field = "at"}, {edge = {known_mass = 3, balance_at = 4}})
  refuse({level}, {code = "missing", part = "edge", field = "known_mass"}, {edge = {balance_at = 3, at = 4}})
  check.raises(function() sy.part_cg{edge = {balance_at = 3, known_mass = 3, at = 4}} end, {code = "missing", message = "too few"})
  check.raises(function() sy.part_cg{poses = {level}} end, {code = "missing", part = "pose 1", field = "supports"})
end)

-- ---- files --------------------------------------------------------------------------------------------------------------

local of = dofile "tests/lua/readings_file.lua"("steelyard.measure.part_cg.file")

-- A tilted pose of a file in which one pad of three was read: not a part that stood on that pad alone.
test("a_row_left_out_or_without_a_reading_was_not_read", function()
  local level, tilted = loads(), loads(22)
  local function file(...)
    local list = {"sd.reading,0.05", "sd.place,1", "sd.tilt,0.1", "pose,support,x,y,z,reading,nose_down"}
    for _, name in ipairs{"A", "B", "C"} do
      local p = places[name]
      list[#list + 1] = ("1,%s,%d,%d,%d,%s,"):format(name, p[1], p[2], p[3], core.shortest(level[name]))
    end
    for _, name in ipairs{...} do list[#list + 1] = ("2,%s,,,,%s,22"):format(name, core.shortest(tilted[name])) end
    return list
  end
  local function expect(r)
    check.near(r.mass, mass, 1e-6)
    for i, letter in ipairs{"x", "y", "z"} do check.near(r.cg[letter], cg[i], 1e-5) end
  end
  expect(of(file "C"))
  expect(of(file("B", "C")))
  check.contains(all_notes(of(file "C")), "not read: A and B of pose 2.")
  local empty = file "C"
  empty[#empty + 1] = "2,A,,,,,"
  expect(of(empty))
  -- a pose on supports of its own
  local own = file()
  for _, row in ipairs{"2,A,,,,30,", "2,D,-300,0,0,66,"} do own[#own + 1] = row end
  check.equal(#of(own).rows, 5)
end)

test("a_file_is_reported_by_line", function()
  local function lines(...) return {"sd.reading,0.05", "pose,support,x,y,z,reading,tare,nose_up", ...} end
  local a, b, c = "1,A,150,-200,0,15.6,,", "1,B,150,200,0,22.8,,", "1,C,-300,0,-40,58.6,1,"
  local r = of(lines(a, b, c))
  check.near(r.mass, 96, 1e-9)
  check.near(r.cg.x, -120, 1e-9)
  local function refuse(list, want) check.raises(function() of(list) end, want) end
  refuse(lines(a, b, "3,C,1,2,3,4,,"), {line = 5, field = "pose", code = "content"})
  refuse(lines(a, b, "1,B,1,2,3,4,,"), {line = 5, field = "support", code = "clash"})
  refuse(lines(a, b, "1,,1,2,3,4,,"), {line = 5, field = "support", code = "missing"})
  refuse(lines(a, b, "1,C,1,2,3,,,"), {line = 3, part = "pose 1", field = "readings", code = "geometry", hint = "C was not read"})
  refuse(lines(a, b, "1,C,,,,4,,"), {line = 5, field = "x", code = "missing"})
  refuse(lines(a, b, "1,C,1,2,,4,,"), {line = 5, field = "supports.C.z", code = "missing"})
  refuse(lines(a, b, "1,C,150,0,0,4,,"), {line = 3, part = "pose 1", code = "geometry"})
  refuse(lines(a, b, c, "2,A,,,,4,,95"), {line = 6, field = "nose_up", code = "range"})
  refuse({"sd.place,-1", "pose,support,x,y,z,reading", "1,A,1,2,3,4"}, {line = 1, field = "sd.place", code = "range"})
  refuse({"step,0.1"}, {field = "poses", code = "missing"})
end)

check.done()
