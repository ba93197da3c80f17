--- What every result says of its origin: what is aboard, the file and its digest, the version; at the end of each page and in its document.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local core = require "steelyard.core"
local document = require "steelyard.reference.document"
local json = require "steelyard.print.json"
local test = check.test

local function read(path)
  local file = assert(io.open(path, "rb"))
  local text = file:read "a"
  file:close()
  return text
end

local function last_line(page) return tostring(page):match "[^\n]*$" end

local twayblade = sy.load "vehicles/twayblade.lua"

test("the_last_line_of_a_page_names_file_digest_and_version", function()
  local sum = core.sha256(read "vehicles/first_guess.lua")
  local car = sy.load "vehicles/first_guess.lua"
  check.equal(last_line(car:balance()), ("first_guess.lua %s, steelyard %s"):format(sum:sub(1, 8), core.version))
  check.equal(car:balance().file, {name = "first_guess.lua", sha256 = sum})
  local moved = car:state "race start":move("powertrain", {back = 50}):fill{fuel = 20}
  check.equal(last_line(moved:balance()), ("first_guess.lua %s + 2 changes, steelyard %s"):format(sum:sub(1, 8), core.version))
  check.equal(last_line(car:move("driver", {up = 5}):book()), ("first_guess.lua %s + 1 change, steelyard %s"):format(sum:sub(1, 8),
    core.version))
end)

-- The digest is that of the files one behind the other, as `cat car.lua parts.csv | sha256sum` gives it.
test("the_digest_goes_over_tables_and_meshes_too", function()
  local folder = check.command("mktemp -d").out:match "%S+"
  local function write(name, text)
    local file = assert(io.open(folder .. "/" .. name, "wb"))
    file:write(text)
    file:close()
  end
  write("parts.csv", "part,mass (kg),x (mm),y (mm),z (mm)\ntub,80,1000,0,300\n")
  write("body.obj", read "vehicles/shapes/saddle_tank.obj")
  write("car.lua", [[vehicle { title = "t", axes = {x = "back", y = "right", z = "up"},
    axles = { {name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300} },
    parts = { from_csv "parts.csv", part "sump" { mass = 2, at = {1500, 0, 200}, shape = mesh {"body.obj", unit = "mm"} } } }]])
  local file = sy.load(folder .. "/car.lua"):balance().file
  check.equal(file.name, "car.lua") -- no folder: the same page wherever it lies
  check.equal(file.sha256, core.sha256(read(folder .. "/car.lua"), read(folder .. "/parts.csv"), read(folder .. "/body.obj")))
  write("parts.csv", "part,mass (kg),x (mm),y (mm),z (mm)\ntub,81,1000,0,300\n")
  check.ok(sy.load(folder .. "/car.lua"):balance().file.sha256 ~= file.sha256, "another table is another car")
  check.command("rm -r " .. folder)
end)

test("pages_say_who_and_what_is_aboard", function()
  check.contains(tostring(twayblade:state "race start":balance()), "\nAboard: driver 78 kg, fuel 30 L, washer 1.5 L.\n")
  check.contains(tostring(twayblade:state "two up":corners()), "passenger")
  local kerb = twayblade:state "kerb":balance()
  check.equal(kerb.aboard[1].name, "fuel")
  check.near(kerb.aboard[1].mass, kerb.aboard[1].litres * 0.745, 1e-9) -- of the liquid alone
  local bare = sy.car{title = "bare", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {sy.part "tub" {mass = 100, at = {1000, 0, 300}}, sy.person "driver" {mass = 70, at = {1000, 0, 300}}}}
  check.equal(bare:without "driver":balance().aboard, {})
  check.contains(tostring(bare:without "driver":balance()), "Aboard: no person, no liquid.")
  check.equal(last_line(bare:balance()), "steelyard " .. core.version) -- from a script: no file
  check.equal(bare:balance().file, nil)
end)

test("a_measurement_of_a_car_names_both_files", function()
  local out = check.command(check.steelyard .. " cg_height vehicles/first_guess.lua vehicles/readings/rear_lift.csv --json").out
  local made = json.decode(out)
  check.equal(made.file.name, "first_guess.lua")
  check.equal(made.readings_file, {name = "rear_lift.csv", sha256 = core.sha256(read "vehicles/readings/rear_lift.csv")})
end)

test("documents_have_all_of_it_and_tables_of_a_script_too", function()
  local made = document.of(twayblade:state "race start":balance())
  check.equal(made.version, core.version)
  check.equal(made.file.name, "twayblade.lua")
  check.equal(made.aboard[1].name, "driver")
  for _, line in ipairs{"fuel_burn vehicles/twayblade.lua", "engine_back", "half_shafts vehicles/twayblade.lua",
                        "what_if vehicles/twayblade.lua 'engine 5 up'", "book vehicles/twayblade.lua",
                        "clearance vehicles/twayblade.lua"} do
    local ran = check.command(check.steelyard .. " " .. line .. " --json")
    check.equal(ran.err, "", line)
    made = json.decode(ran.out)
    for _, field in ipairs{"heading", "state", "aboard", "notes", "file", "version"} do
      check.ok(made[field] ~= nil, line .. ": " .. field)
    end
  end
end)

test("another_file_is_named_beside", function()
  local old, new = sy.load "vehicles/first_guess.lua", twayblade
  check.contains(last_line(sy.compare{old, new}), "twayblade.lua ")
  check.contains(last_line(sy.compare{old, new}), "first_guess.lua ")
end)

check.done()
