-- Random cars with everything at once (mixed_cars.lua): where features meet. What a car is must not depend on the axes and zeros of its
-- file, on which hand it is built, on whether its records name a copy of the file, or on the order of edits.
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local compare = dofile "tests/lua/conventions_compare.lua"
local conventions = dofile "tests/lua/conventions.lua"
local mixed = dofile "tests/lua/mixed_cars.lua"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

local CARS = 6

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder .. " " .. folder .. "/history"))

local function load(tree, name)
  for _, path in ipairs{("%s/%s.lua"):format(folder, name), ("%s/history/%s.lua"):format(folder, name)} do
    local file <close> = assert(io.open(path, "wb"))
    file:write(conventions.text(tree))
  end
  return sy.load(("%s/%s.lua"):format(folder, name))
end

-- Every other car's first record names a file of the car as it stood, which is a copy of the whole.
local function random_car(n)
  local tree, kind = mixed.tree()
  mixed.add_records(tree, load(tree, "car"), n % 2 == 0 and "history/car.lua" or nil)
  return tree, load(tree, "car"), ("car %d (%s): "):format(n, kind)
end

local function each_car(f)
  mixed.seed(13)
  for n = 1, CARS do f(random_car(n)) end
end

-- Every number of a result by its path; lists of rows are left out, which go by left and right.
local function numbers(value, path, out, name)
  for key, inside in pairs(value) do
    local at = ("%s.%s"):format(path, name and name(key) or key)
    if type(inside) == "number" then out[at] = inside
    elseif type(inside) == "table" and key ~= "notes" and key ~= "aboard" and key ~= "file" and key ~= "rows" then
      numbers(inside, at, out, name)
    end
  end
  return out
end

-- Corrections are iterated until a step is 1e-10 of a standard deviation; what is on springs is solved to a nanometre.
local function same(what, a, b, tolerance)
  for path, value in pairs(a) do
    check.ok(b[path], what .. path)
    check.near(b[path] or 0, value, tolerance * math.max(1, math.abs(value)), what .. path)
  end
end

local asks = {
  balance = function(car) return car:balance() end,
  corners = function(car) return car:corners{bars = "connected"} end,
  attitude = function(car) return car:attitude{measured = {nose = 130, tail = 180}} end,
  transfer = function(car) return car:transfer{left_turn = 0.6, braking = 0.3} end,
  stability = function(car) return car:stability{drive = 0.1, drive_front_share = 40} end,
  record = function(car) return car:record "first scales" end,
  heights = function(car) return car:perches{heights = {front = 2, rear = 3}} end,
}

-- ---- the same car -----------------------------------------------------------------------------------------------------------------

test("as_built_does_not_depend_on_a_copy_of_the_file", function()
  each_car(function(_, car, what)
    local built = car:as_built()
    local saved = built:save(folder .. "/saved.lua", {replace = true}) -- its records then name car.lua
    local again = sy.load(saved.path)
    same(what .. "stated", numbers(car:balance(), "", {}), numbers(again:balance(), "", {}), 1e-12)
    local rebuilt = again:as_built()
    same(what .. "fit", {chi2 = built.chi2}, {chi2 = rebuilt.chi2}, 1e-7)
    for _, name in ipairs{"balance", "corners"} do
      same(what .. name, numbers(asks[name](built), "", {}), numbers(asks[name](rebuilt), "", {}), 1e-6)
    end
  end)
end)

local hand = {y = true, cg_left = true, roll = true, twist = true, xy = true, yz = true, left_share = true, cross_share = true}

test("built_with_left_and_right_exchanged_it_weighs_the_same", function()
  each_car(function(tree, car, what)
    local mirrored = mixed.mirrored(tree)
    local first = mirrored.fields.records[1].fields
    first.file = first.file and "history/image.lua"
    local image = load(mirrored, "image")
    local function looked(of, name) -- what has a hand of its own, or is a ratio of diagonals, changes by more than its name
      local out = {}
      for path, value in pairs(numbers(of, "", {}, name)) do
        local last = path:match "[^.]*$"
        if not hand[last] and last ~= "diagonal_ratio" and not path:find "liquids" then out[path] = value end
      end
      return out
    end
    for _, pair in ipairs{{"drawn ", car, image}, {"built ", car:as_built(), image:as_built()}} do
      for _, name in ipairs{"balance", "corners", "attitude"} do
        same(what .. pair[1] .. name, looked(asks[name](pair[2])), looked(asks[name](pair[3]), mixed.mirrored_name), 1e-6)
      end
    end
  end)
end)

local ways = {{{x = "forward", y = "right", z = "up"}, {front = 1310, centre = 640, ground = -125}},
              {{x = "right", y = "forward", z = "down"}, {front = -700, centre = 100, ground = 900}}}

test("pages_are_the_same_along_other_axes_from_another_zero", function()
  mixed.seed(14)
  for n = 1, CARS // 2 do
    local tree, car, what = random_car(n)
    for i, way in ipairs(ways) do
      local map = conventions.map(conventions.of(tree), conventions.new(way[1], way[2]))
      local turned = load(conventions.restated(tree, map), "turned") -- a record that names history/car.lua counts with it as it stands
      for _, pair in ipairs{{"drawn ", car, turned}, {"built ", car:as_built(), turned:as_built()}} do
        for name, ask in pairs(asks) do
          local a, b = tostring(ask(pair[2])), tostring(ask(pair[3]))
          local function plain(page) return (page:gsub("%l+%.lua %x+", "car.lua")) end
          local why = compare.texts(plain(a), plain(b), map, {}, {})
          check.ok(why == nil, ("%s%s%s, way %d: %s"):format(what, pair[1], name, i, why or ""))
        end
      end
    end
  end
end)

-- ---- edits ------------------------------------------------------------------------------------------------------------------------

local edits = {
  function(car) return car:move("powertrain", {back = 20}) end,
  function(car) return car:set("tub", {mass = sy.sd(88, 2)}) end,
  function(car) return car:set("seat", {at = {z = sy.sd(340, 2)}}) end,
  function(car) return car:without "hoop" end,
  function(car) return car:state "empty" end,
  function(car) return car:lower{front = 2, rear = 3} end,
  function(car) return car:set("rear axle", {spring_rate = 55}) end,
}

test("the_order_of_edits_does_not_change_an_as_built_car", function()
  each_car(function(_, car, what)
    local built = car:as_built()
    local there, back = built, built
    for i = 1, #edits do there, back = edits[i](there), edits[#edits + 1 - i](back) end
    for _, name in ipairs{"balance", "corners"} do
      same(what .. name, numbers(asks[name](there), "", {}), numbers(asks[name](back), "", {}), 1e-9)
    end
    -- records speak of the file: corrected and then changed is changed and then corrected
    same(what .. "move", numbers(edits[1](built):balance(), "", {}), numbers(edits[1](car):as_built():balance(), "", {}), 1e-9)
    local c = sy.compare{car, built, show = {"mass"}}
    check.equal(c.rows[1].sd[2], 0, what .. "a correction has no uncertainty")
    check.ok(sy.compare{built, built:move("powertrain", {back = 20}), show = {"front_share"}}.rows[1].sd[2] > 0, what .. "a change has one")
  end)
end)

test("pages_of_cars_with_everything_fit_and_say_nothing_twice", function()
  each_car(function(_, car, what)
    for _, of in ipairs{car, car:as_built(), car:as_built():lower{front = 3}:state "tall"} do
      for name, ask in pairs(asks) do
        local r = ask(of)
        for said in (tostring(r) .. "\n"):gmatch "([^\n]*)\n" do
          check.ok(text.width(said) <= 100, ("%s%s: %s"):format(what, name, said))
          check.ok(not (said:find "%f[%w]nan%f[%W]" or said:find "%f[%w]nil%f[%W]" or said:find "table: 0x"), said)
        end
        local seen = {}
        for _, note in ipairs(rawget(r, "notes") or {}) do
          check.ok(not seen[note], ("%s%s says twice: %s"):format(what, name, note))
          seen[note] = true
        end
      end
    end
  end)
end)

os.execute("rm -rf " .. folder)
check.done()
