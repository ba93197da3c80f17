-- Bodies drawn elsewhere: sy.mesh, and mesh as a shape.
local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local core = require "steelyard.core"
local test = check.test

local function write(name, text)
  local path = os.tmpname() .. name
  local file <close> = assert(io.open(path, "wb"))
  file:write(text)
  return path
end

-- A box of 300 x 200 x 100 with its corner at the file's zero; `flip` is the number of a face to turn inward.
local function box_obj(scale, flip, leave_out)
  local lines = {}
  for i = 0, 7 do
    local sides = {(i & 1) * 300 * scale, (i >> 1 & 1) * 200 * scale, (i >> 2 & 1) * 100 * scale}
    for k = 1, 3 do sides[k] = core.shortest(sides[k]) end -- a point in every locale
    lines[#lines + 1] = "v " .. table.concat(sides, " ")
  end
  for k, f in ipairs {{1, 3, 4, 2}, {5, 6, 8, 7}, {1, 2, 6, 5}, {3, 7, 8, 4}, {1, 5, 7, 3}, {2, 4, 8, 6}} do
    if k == flip or flip == "all" then f = {f[4], f[3], f[2], f[1]} end
    if k ~= leave_out then lines[#lines + 1] = "f " .. table.concat(f, " ") end
  end
  return table.concat(lines, "\n") .. "\n"
end

local box = write(".obj", box_obj(1))

test("body_of_a_file_has_the_handbook_s_volume_and_inertia", function()
  -- box: m (b^2 + c^2) / 12, Meriam, Kraige & Bolton, Engineering Mechanics: Dynamics, Table D/4
  local b = sy.mesh(box, {unit = "mm", mass = sy.sd(12, 0.3)})
  check.near(b.volume, 6, 1e-12)
  check.near(b.area, 2 * (0.3 * 0.2 + 0.3 * 0.1 + 0.2 * 0.1), 1e-15)
  check.contains(tostring(b), "surface area, m2")
  check.near(b.cg.x, 150, 1e-10)
  check.near(b.cg.y, 100, 1e-10)
  check.near(b.cg.z, 50, 1e-10)
  check.near(b.inertia.xx, 0.2 ^ 2 + 0.1 ^ 2, 1e-14)
  check.near(b.inertia.yy, 0.3 ^ 2 + 0.1 ^ 2, 1e-14)
  check.near(b.inertia.zz, 0.3 ^ 2 + 0.2 ^ 2, 1e-14)
  check.near(b.inertia.xy, 0, 1e-14)
  check.near(b.sd.mass, 0.3, 0)
  check.near(b.sd.inertia.xx, b.inertia.xx * 0.3 / 12, 1e-14)
  check.contains(tostring(b), "an estimate")
  check.near(b.size.x, 300, 1e-10)
  check.near(b.size.y, 200, 1e-10)
  check.near(b.size.z, 100, 1e-10)
  check.near(sy.mesh(box, {unit = "mm", density = 2.7}).mass, 6 * 2.7, 1e-12)
  check.equal(sy.mesh(box, {unit = "mm"}).mass, nil)
  check.near(sy.mesh(box, {unit = "inch"}).volume, 6 * 25.4 ^ 3, 1e-7)
end)

test("unit_is_asked_for_and_guessed_by_size", function()
  local refused = check.raises(function() return sy.mesh(box) end, {code = "missing"})
  check.equal(refused.field, "unit")
  check.contains(refused.hint, 'unit = "mm" makes it 300 x 200 x 100 mm')
  local metres = write(".obj", box_obj(0.001))
  refused = check.raises(function() return sy.mesh(metres, {}) end, {code = "missing"})
  check.contains(refused.message, "measures 0.3 x 0.2 x 0.1 of it")
  check.contains(refused.hint, 'unit = "m" makes it 300 x 200 x 100 mm')
  refused = check.raises(function() return sy.mesh(box, {unit = "mn"}) end, {code = "unknown"})
  check.contains(refused.hint, "mm")
end)

test("files_that_hold_no_body_are_refused_in_a_sentence", function()
  local function refuses(text, code, says, options)
    local path = write(".obj", text)
    local e = check.raises(function() return sy.mesh(path, options or {unit = "mm"}) end, {code = code})
    check.contains(tostring(e), path .. ": ")
    check.contains(tostring(e), says)
    return e
  end
  refuses("", "read", "is empty")
  refuses("hello\n", "content", "is neither STL nor OBJ")
  refuses("solid x\nfacet", "content", "line 2: ends where normal should stand")
  refuses(box_obj(1, nil, 6), "geometry", "is open: 4 of its edges belong to one triangle only")
  refuses(box_obj(1, "all"), "geometry", "is inside out: all of its 12 triangles look inward")
  check.contains(refuses(box_obj(1, 3), "geometry", "has 2 of 12 triangles that look the wrong way").hint, "turn_outward = true")
  refuses(("\0"):rep(80) .. "\255\255\255\255", "content", "it says it has 4294967295 triangles, its bytes hold 0")
  local turned = sy.mesh(write(".obj", box_obj(1, "all")), {unit = "mm", turn_outward = true})
  check.near(turned.volume, 6, 1e-12)
  check.contains(turned.notes[1], "12 triangles turned round")
  check.raises(function() return sy.mesh(box, {unit = "mm", mas = 3}) end, {code = "unknown"})
  check.raises(function() return sy.mesh(box, {unit = "mm", mass = -3}) end, {code = "range"})
  check.raises(function() return sy.mesh(box, {unit = "mm", mass = 3, density = 1}) end, {code = "clash"})
  check.raises(function() return sy.mesh(42) end, {code = "type"})
  check.raises(function() return sy.mesh "there is no such file.stl" end, {code = "read"})
end)

local function car_of(part, axes)
  return sy.car {title = "mesh", axes = axes or {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {part}}
end

test("shape_mesh_gives_a_part_the_inertia_of_its_body", function()
  for _, axes in ipairs {{x = "back", y = "right", z = "up"}, {x = "right", y = "back", z = "up"}} do
    local along = axes.x == "back" and {300, 200, 100} or {200, 300, 100}
    local a = car_of(sy.part "sump" {mass = 12, at = {700, 40, 320}, shape = sy.mesh {box, unit = "mm"}, turned = {nose_up = 20}}, axes)
    local b = car_of(sy.part "sump" {mass = 12, at = {700, 40, 320}, shape = sy.box(along), turned = {nose_up = 20}}, axes)
    local p, q = a:balance(), b:balance()
    for _, name in ipairs {"xx", "yy", "zz", "xy", "xz", "yz"} do check.near(p.inertia[name], q.inertia[name], 1e-12, name) end
    check.near(p.cg.x, q.cg.x, 1e-12)
    check.equal(p.points, 0)
  end
end)

test("vehicle_file_names_a_mesh_below_its_own_folder", function()
  local folder = os.tmpname()
  os.remove(folder)
  assert(os.execute("mkdir " .. folder))
  local function put(name, text)
    local file <close> = assert(io.open(folder .. "/" .. name, "wb"))
    file:write(text)
  end
  put("box.obj", box_obj(1))
  put("flat.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\nf 1 3 2\n")
  local function load(shape)
    put("car.lua", ([[vehicle { axles = { { name = "front", at = 0, track = 1400, loaded_radius = 300 },
      { name = "rear", at = 2400, track = 1400, loaded_radius = 300 } },
      parts = { part "sump" { mass = 3, at = {1, 2, 3},
        shape = %s } } }]]):format(shape))
    return sy.load(folder .. "/car.lua")
  end
  check.near(load('mesh {"box.obj", unit = "mm"}'):balance().inertia.zz, 3 * (0.09 + 0.04) / 12, 1e-12)
  check.near(load('mesh {file = "box.obj", unit = "mm"}'):balance().inertia.zz, 3 * (0.09 + 0.04) / 12, 1e-12)
  local function refuses(shape, code, says)
    local e = check.raises(function() return load(shape) end, {code = code})
    check.contains(tostring(e), 'car.lua:4: part "sump", shape')
    check.contains(tostring(e), says)
  end
  refuses('mesh {"box.obj"}', "missing", 'mesh "box.obj" needs its unit: the file does not say its unit and measures 300 x 200 x 100')
  refuses('mesh {"flat.obj", unit = "mm"}', "geometry", 'mesh "flat.obj" encloses nothing')
  refuses('mesh {"none.obj", unit = "mm"}', "read", 'mesh "none.obj" there is no such file')
  refuses('mesh {"../box.obj", unit = "mm"}', "read", "is not below the vehicle's own folder")
  refuses('mesh {"box.obj", unti = "mm"}', "unknown", 'did you mean "unit"')
  refuses('mesh {unit = "mm"}', "missing", "a mesh needs its file")
  refuses('mesh {7, unit = "mm"}', "type", "must be the name of a file")
  refuses('mesh {"box.obj", file = "box.obj", unit = "mm"}', "clash", "given by name and as number 1")
  refuses('mesh {"box.obj", unit = "mm", turn_outward = 1}', "type", "must be true or false")
  assert(os.execute("rm -r " .. folder))
end)

check.done()
