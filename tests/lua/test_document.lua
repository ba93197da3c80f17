-- What commands print with --json: units of all numbers, empty records as {}, names as values.
-- Under the command alone: what it looks at are the command's own processes.
-- With one compiler: documents are made in Lua.
-- Not under sanitizers: its command lines are those of tests/scripts, which run there.

local check = dofile "tests/lua/check.lua"
local document = require "steelyard.reference.document"
local json = require "steelyard.print.json"
local sy = require "steelyard"
local test = check.test

-- counts, numbers of things and ratios
local plain = {}
for name in ([[parts points unknown depth pieces decimals change_decimals lines steps repeats readings runs run pose line lap hang
    triangles shells cavities chi2 dof p sigmas critical redundancy coverage factor widened diagonal_ratio yaw_index dynamic_index ssf mu
    amplitude blow_up changed changes inside stated left_out bodies axis draws seed n_done
    near fail pass feasible n shape front at_min at_max solved_singly boxes combinations scale
    starts agree fits cars]]):gmatch "%S+" do plain[name] = true end

local function has_unit(units, path)
  if units[path] then return true end
  for known in pairs(units) do
    local pattern = "^" .. known:gsub("[^%w_*]", "%%%0"):gsub("%*", ".-") .. "$"
    if known:find("*", 1, true) and path:find(pattern) then return true end
  end
  return false
end

-- Numbers without a unit and empty lists called sd.
local function gaps_in(value, path, row, units, found)
  if type(value) == "number" then
    local name = path:gsub("%[%]$", ""):match "[^.%[%]]+$"
    if not (has_unit(units, path) or plain[name] or row and row.unit) then found[#found + 1] = path end
  elseif type(value) == "table" and value ~= json.null and path ~= "correlation" then -- ratios, by two names
    row = type(value.unit) == "string" and value or row
    for key, item in pairs(value) do
      if math.type(key) == "integer" then
        gaps_in(item, path .. "[]", row, units, found)
      elseif not (path == "" and key == "units") and not (key == "sd" and type(item) == "table") then
        gaps_in(item, path == "" and key or path .. "." .. key, row, units, found)
      end
    end
  end
  return found
end

-- Command lines of tests/scripts that print a result.
local function command_lines()
  local lines, list = {}, io.popen "ls tests/scripts/*.cmd"
  for path in list:lines() do
    local file = assert(io.open(path))
    local line = file:read "a":gsub("%s+$", "")
    file:close()
    local plain_line = line:find "^steelyard [%w_]+ " and not line:find "[|&;<>\n]"
    if plain_line and not (line:find("--help", 1, true) or line:find("--csv", 1, true) or line:find("--semicolon", 1, true)) then
      lines[#lines + 1] = line:find("--json", 1, true) and line or line .. " --json"
    end
  end
  list:close()
  return lines
end

test("every_number_that_a_command_prints_has_a_unit_or_needs_none", function()
  local seen = 0
  for _, line in ipairs(command_lines()) do
    local out = check.command(line:gsub("^steelyard", check.steelyard)).out
    if out ~= "" then
      local fine, made = pcall(json.decode, out)
      check.ok(fine, line)
      if not made.error then
        check.equal(type(made.units), "table", line)
        check.equal(table.concat(gaps_in(made, "", nil, made.units, {}), " "), "", line)
      end
      check.ok(not out:find('"sd": []', 1, true), line)
      seen = seen + 1
    end
  end
  check.ok(seen > 60, seen)
end)

-- measured forward from a bulkhead, left-handed, its ground and centre plane not at zero
local function odd(shaft)
  return sy.car{
    title = "Odd (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 35,
    axles = {{name = "front", at = 1430, track = 1400, loaded_radius = 290},
             {name = "a.b", at = -970, track = 1420, loaded_radius = 300, bump = 40, droop = 50}},
    parts = {sy.part "tub" {mass = 210, at = {300, 35, 180}}, sy.part "engine" {mass = 96, at = {-900, 35, 210}}},
    shafts = {{name = shaft, joint = "cv", inner = {part = "engine", at = {-950, 200, 190}},
               outer = {wheel = "rr", at = {-970, 680, 180}}}},
  }
end

local function file_with_shafts()
  local path = os.tmpname()
  local file = assert(io.open(path, "w"))
  file:write [[vehicle {
    title = "Odd (invented)", axes = {x = "forward", y = "right", z = "up"}, ground = -120, centre = 35,
    axles = {{name = "front", at = 1430, track = 1400, loaded_radius = 290},
             {name = "rear", at = -970, track = 1420, loaded_radius = 300, bump = 40, droop = 50}},
    parts = {part "tub" {mass = 210, at = {300, 35, 180}}, part "engine" {mass = 96, at = {-900, 35, 210}}},
    shafts = {{name = "status", joint = "cv", inner = {part = "engine", at = {-950, 200, 190}},
               outer = {wheel = "rr", at = {-970, 680, 180}}},
              {name = "back", joint = "cv", inner = {part = "engine", at = {-950, -130, 190}},
               outer = {wheel = "lr", at = {-970, -610, 180}}}},
  }]]
  file:close()
  return path
end

test("names_are_values_and_stand_for_no_field", function()
  local b = document.of(odd("status"):balance())
  check.equal(b.units["axle.*"], "kg")
  check.equal(b.units["cg.x"], "mm")
  check.equal(b.units["inertia.zz"], "kg m2")
  check.equal(b.units["sd.mass"], nil)
  local path = file_with_shafts()
  local ran = check.command(("%s half_shafts %s --move engine --back 20 --json"):format(check.steelyard, path))
  os.remove(path)
  check.equal(ran.err, "")
  local made = json.decode(ran.out)
  local position = made.positions[1]
  check.equal(position.back, 20)
  check.equal(type(position.status), "string")
  check.equal(position.shafts.list[1].name, "status")
  check.equal(position.shafts.list[2].name, "back")
  check.equal(made.units["positions[].shafts.list[].static_angle"], "deg")
end)

test("empty_records_are_objects_and_empty_lists_are_lists", function()
  local car = odd "s"
  local text = json.encode(document.of(car:checks()))
  check.contains(text, '"sd": {}')
  check.contains(text, '"notes": [')
  text = json.encode(document.of(car:stands{at = {{-900, 400}, {-900, -330}, {1400, 35}}}))
  check.ok(not text:find('"kg_to_tip": []', 1, true))
  check.equal(json.encode{sd = {}, rows = {}}, '{\n  "rows": [],\n  "sd": {}\n}')
  check.equal(json.encode{json.object}, "[\n  {}\n]")
  check.raises(function() json.object.x = 1 end, {code = "type"})
end)

test("without_a_powertrain_a_command_answers_what_it_can", function()
  local path = file_with_shafts()
  local function run(line)
    local ran = check.command(("%s %s"):format(check.steelyard, line:gsub("CAR", path)))
    return ran
  end
  local shafts = run "half_shafts CAR"
  check.contains(shafts.out, "2.7")
  check.contains(shafts.err, "nothing in this file is called powertrain, so nothing is moved; --move names what moves")
  check.ok(not shafts.out:find("50 forward", 1, true))
  check.equal(shafts.code, 0)
  check.contains(run "propshaft CAR".out, "status")
  check.contains(run "compare_layouts CAR".out, "306.0 kg")
  local back = run "engine_back CAR"
  check.contains(back.out, "306.0 kg")
  check.contains(back.err, "--part names what moves")
  check.contains(run "engine_back CAR --part engine".out, "50 back")
  check.contains(run "engine_back CAR --part powertrain".err, 'no part, group, tag or axle is called "powertrain"')
  os.remove(path)
end)

check.done()
