--- The student formula car: readings in a table, corrected here once more by hand, and mass times arm.

local check = dofile "tests/lua/check.lua"
local book_csv = require "steelyard.answers.book.csv"
local sy = require "steelyard"

-- What vehicles/fescue.lua says of its scales: kg for one of their units, bias in kg, gain.
-- 1 lb = 0.45359237 kg. Source: NIST Special Publication 811 (2008), Appendix B
local scales = {["bench scale"] = {1, 0, 1.0004}, ["parts scale"] = {0.001, 0, 1}, ["hanging scale"] = {0.45359237, 0, 1.004},
                ["floor scale"] = {1, 0, 1}}

-- cells of one line; a quoted one may hold commas, none here holds quotes
local function cells_of(line)
  local cells = {}
  line = line:gsub('"([^"]*)"', function(cell) return (cell:gsub(",", ";")) end)
  for cell in (line .. ","):gmatch "([^,]*)," do cells[#cells + 1] = cell end
  return cells
end

local function rows_of(path)
  local heads, rows
  for line in io.lines(path) do
    local cells = cells_of(line)
    if not heads then
      heads, rows = cells, {}
    else
      local row = {}
      for i, head in ipairs(heads) do row[head] = cells[i] ~= "" and cells[i] or nil end
      rows[#rows + 1] = row
    end
  end
  return rows
end

-- kg of one piece
local function mass_of(row)
  if not row.reading then return tonumber(row["mass (kg)"]) end
  local scale = scales[row.instrument]
  local zero = row["zero before"] and (row["zero before"] + row["zero after"]) / 2 or 0
  local with = row.with and tonumber(row.with:match ": (.*)$") or 0
  return ((row.reading - zero) / scale[3] - with) * scale[1] / (row["pieces weighed"] or 1)
end

local rows = rows_of "vehicles/fescue_parts.csv"
local car = sy.load "vehicles/fescue.lua"
local WHEELBASE = 1550

-- Readings and zeros of a hundred lines, in doubles: far below a milligram.
local ROUNDING = 1e-9

for state, fuel in pairs{race = 5.5, ["no driver"] = 5.5, ["dry, no driver"] = 0} do
  check.test("fescue_" .. state .. "_is_mass_times_arm", function()
    local mass = 1.752 + 0.74 * fuel
    local x, y, z = mass * 800, 0, mass * 190
    for _, row in ipairs(rows) do
      if row.part ~= "driver" or state == "race" then
        local m = mass_of(row) * (row.pair and 2 or row.count or 1)
        mass, x, z = mass + m, x + m * row["x (mm)"], z + m * row["z (mm)"]
        y = y + (row.pair and 0 or m * row["y (mm)"])
      end
    end
    local b = car:state(state):balance()
    check.near(b.mass, mass, ROUNDING * mass)
    check.near(b.cg.x, x / mass, ROUNDING * WHEELBASE)
    check.near(b.cg.y, y / mass, ROUNDING * WHEELBASE)
    check.near(b.cg.z, z / mass, ROUNDING * WHEELBASE)
    check.near(b.front_share, 100 - 100 * x / mass / WHEELBASE, ROUNDING * 100)
  end)
end

check.test("fescue_is_what_it_is_meant_to_be", function()
  check.equal(#rows, 120)
  local race, empty = car:state "race":balance(), car:state "no driver":balance()
  check.ok(empty.mass > 215 and empty.mass < 225, "about 220 kg without driver")
  check.ok(race.front_share > 47 and race.front_share < 49, "about 48 % front")
  check.ok(race.height > 280 and race.height < 300, "CG about 290 up")
  check.equal(race.unstated.parts, 0)
  check.equal(car:state "race":checks().status, "pass")
  check.ok(#race.notes <= 3, "nothing odd about its readings")
end)

check.test("its_book_as_a_table_and_back_is_the_same_car", function()
  local folder = os.tmpname()
  os.remove(folder)
  assert(os.execute("mkdir " .. folder))
  local file <close> = assert(io.open("vehicles/fescue.lua", "rb"))
  local text = book_csv.write(car:state "dry, no driver":book())
  for name, content in pairs{["again.csv"] = text, ["again.lua"] = file:read "a":gsub("fescue_parts", "again"):gsub("tank %b\"\" %b{},", "")
    :gsub("states = %b{},", 'states = { state "race" {} },')} do
    local out <close> = assert(io.open(folder .. "/" .. name, "wb"))
    out:write(content)
  end
  local again = sy.load(folder .. "/again.lua")
  os.execute("rm -r " .. folder)
  local a, b = again:balance(), car:state "dry, no driver":balance()
  -- masses are written to a billionth of a kilogram, places to a millionth of a millimetre
  check.near(a.mass, b.mass, 1e-8)
  check.near(a.sd.mass, b.sd.mass, 1e-8)
  check.near(a.cg.x, b.cg.x, 1e-5)
  check.near(a.front_share, b.front_share, 1e-6)
  check.equal(book_csv.write(again:book()), text)
  check.equal(#again:book().by_scale, 3, "bench, parts and hanging scale; the driver is not aboard")
end)

check.done()
