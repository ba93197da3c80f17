-- 100 random cars (saved_cars.lua), each edited at random, saved and read again: what was saved is the car.
-- Under the command alone: it writes its random files with numbers as the locale has them, and a vehicle file has decimal points.
--
-- The measure is the car itself: all numbers of its balance and of its corners set up anew are the same bits. Where something was turned
-- or came to stand in another group, and where the front axle moved (coordinates count from it inside), they are the same to 1e-12 of
-- what they are made of.

local check = dofile "tests/lua/check.lua"
local cars = dofile "tests/lua/saved_cars.lua"
local sy = require "steelyard"

local CARS = tonumber(arg[1]) or 100

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function write(path, text)
  local file <close> = assert(io.open(path, "wb"))
  file:write(text)
end

-- A place is kept to a picometre, and a dozen of them add up: 1e-12 of the car's length of 3 m and of what is worked out from it.
local TURNED, SUMS = 1e-12, 20
local sizes = {mm = 3e3, kg = 1e3, ["kg m2"] = 2e3}

-- Every number of a result by its path.
local function numbers(value, path, out)
  for key, inside in pairs(value) do
    local at = path .. "." .. tostring(key)
    if type(inside) == "number" then out[at] = inside
    elseif type(inside) == "table" and key ~= "aboard" and key ~= "file" and key ~= "notes" then numbers(inside, at, out) end
  end
  return out
end

local function compare(what, one, other, turned)
  local a, b = numbers(one, "", {}), numbers(other, "", {})
  for path, value in pairs(a) do
    if path:find "uncertainty" then -- a sum of squares line by line, and an added part stands behind the spares in the car that was edited
      check.near(b[path], value, (turned and 1e-9 or 1e-12) * value, what .. path)
    elseif not turned then
      check.equal(b[path], value, what .. path)
    else
      local size = path:find "inertia" and sizes["kg m2"] or path:find "cg" and sizes.mm or path:find "height" and sizes.mm or sizes.kg
      check.near(b[path], value, SUMS * TURNED * size, what .. path)
    end
  end
  for path in pairs(b) do check.ok(a[path], what .. path) end
end

local function balance_of(car)
  local r = car:balance()
  local sd = {}
  for _, name in ipairs{"mass", "front_share", "left_share", "height", "yaw_inertia", "lf", "rr"} do sd[name] = r.sd[name] end
  return {mass = r.mass, cg = r.cg, height = r.height, front = r.front, rear = r.rear, lf = r.lf, rf = r.rf, lr = r.lr, rr = r.rr,
          front_share = r.front_share, left_share = r.left_share, inertia = r.inertia, yaw_inertia = r.yaw_inertia, parts = r.parts,
          sprung = r.sprung, unsprung = r.unsprung, unstated = r.unstated, with_growth = r.mass_with_growth, uncertainty = sd}
end

local function loads_of(car, reset)
  local fine, r = pcall(car.corners, car, {reset = reset})
  if not fine then return {} end
  return {lf = r.lf, rf = r.rf, lr = r.lr, rr = r.rr, heights = r.heights}
end

local saved, refused = 0, {}

check.test("random_cars_read_back_as_they_were_saved", function()
  cars.seed(13)
  for n = 1, CARS do
    local text, table_text = cars.text(n)
    local path, new = ("%s/car%d.lua"):format(folder, n), ("%s/new%d.lua"):format(folder, n)
    write(path, text)
    write(folder .. "/saved_cars.csv", table_text)
    local car, names, turned = cars.edited(sy.load(path), sy)
    local what = ("car %d (%s): "):format(n, names)
    local fine, result = pcall(car.save, car, new)
    if not fine then
      refused[#refused + 1] = what .. tostring(result)
    else
      saved = saved + 1
      check.equal(result.path, new)
      check.equal(#result.rewritten > 0 and result.rewritten[1] or "", n % 10 == 0 and "the whole file" or "", what .. "written anew")
      local again = sy.load(new)
      compare(what, balance_of(car), balance_of(again), turned)
      for _, state in ipairs(car:states()) do
        compare(what .. state, balance_of(car:state(state)), balance_of(again:state(state)), turned)
      end
      compare(what .. "corners", loads_of(car, true), loads_of(again), true)
      os.remove(new)
    end
    os.remove(path)
  end
  check.equal(table.concat(refused, "\n"), "")
  check.equal(saved, CARS)
end)

os.execute("rm -r " .. folder)
check.done()
