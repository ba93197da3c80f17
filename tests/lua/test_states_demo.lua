-- The load states of the vehicles that come with steelyard: what each does to mass, share and side, and what they warn of.
-- (test_demo_vehicles.lua sums every state a second time; here is which way it goes.) Mass times arm: what leaves from behind
-- the CG takes the CG forward, what leaves from the right takes it left.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function states_of(name)
  local car, found = sy.load("vehicles/" .. name .. ".lua"), {}
  for _, state in ipairs(car:states()) do found[state] = car:state(state):balance() end
  return found, car
end

-- What leaves between two states: kg, and where it was (mm behind the front axle, left of the centre plane), from the balances.
local function difference(more, less)
  local mass = more.mass - less.mass
  return mass, (more.mass * more.cg_behind - less.mass * less.cg_behind) / mass,
    (more.mass * more.cg_left - less.mass * less.cg_left) / mass
end

test("first_guess_without_driver_and_fuel", function()
  local s = states_of "first_guess"
  local full = s["race start"]
  local mass, behind, left = difference(full, s["no driver"])
  check.near(mass, 80, 1e-9)
  check.near(behind, 1010, 1e-6) -- 770 kg of rounding over 80 kg
  check.near(left, -180, 1e-6)
  check.ok(s["no driver"].front_share < full.front_share, "the driver sits ahead of the CG")
  check.ok(s["no driver"].cg_left > full.cg_left, "and on the right")
  mass, behind = difference(full, s["no fuel"])
  check.near(mass, 40 * 0.745, 1e-9) -- litres times kg/L as the file states them
  check.near(behind, 1290, 1e-6)
  check.ok(s["no fuel"].front_share < full.front_share)
  check.near(s.neither.mass, full.mass - 80 - 29.8, 1e-9)
end)

test("twayblade_from_kerb_to_two_up", function()
  local s, car = states_of "twayblade"
  check.equal(car:states(), {"kerb", "race start", "end of race", "two up", "mock-up"})
  check.ok(s["mock-up"].mass < s.kerb.mass and s.kerb.mass < s["end of race"].mass and s["end of race"].mass < s["race start"].mass
    and s["race start"].mass < s["two up"].mass)
  local mass, behind = difference(s["race start"], s["end of race"])
  check.near(mass, 26 * 0.745, 1e-9)
  check.near(behind, 1440, 1e-6)
  check.ok(s["end of race"].front_share > s["race start"].front_share, "the tank lies behind the CG")
  check.ok(s.kerb.front_share < s["race start"].front_share, "the driver sits ahead of it")
  check.ok(s.kerb.cg_left > 0 and s["race start"].cg_left < 0, "and on the right: the car without him leans left")
  check.ok(s["two up"].cg_left > s["race start"].cg_left, "the passenger sits on the left")
  check.ok(s["two up"].height > s["race start"].height, "passenger and luggage sit high")
  check.contains(table.concat(s["mock-up"].notes, "\n"), "stand-ins only: this is the mock-up, not the car")
  check.ok(s["mock-up"].unstated.parts == 0, "each stand-in states its uncertainty")
end)

test("burnet_from_empty_to_touring", function()
  local s, car = states_of "burnet"
  local before = 0
  for _, state in ipairs(car:states()) do
    check.ok(s[state].mass > before, state .. " is heavier than the one before")
    before = s[state].mass
  end
  local _, behind, left = difference(s["two up"], s["driver only"])
  check.near(behind, 910, 1e-6)
  check.near(left, 250, 1e-6)
  check.ok(s["driver only"].cg_left < s.kerb.cg_left, "alone, the driver pulls it to the right")
  check.ok(math.abs(s["two up"].cg_left) < 10, "two up it is nearly straight")
  check.ok(s.touring.front_share < s["two up"].front_share, "luggage lies behind the CG")
  check.ok(s.touring.r > s["two up"].r)
  check.near(s.touring.lf + s.touring.rf + s.touring.r, s.touring.mass, 1e-9)
end)

-- Sentences that a sound car may print; any other is a warning.
local fine = {"^wheel loads as if set to a cross weight of %d+ %%$", "^three wheels: the loads follow from balance alone$",
              "^chassis taken as rigid$", "^not in any total, mass unknown: ", "^inertia is \"at least\"", "^stand%-ins only",
              "liquid at rest on level ground"}

test("no_demo_warns_of_anything", function()
  for _, name in ipairs{"first_guess", "twayblade", "burnet", "teasel"} do
    for state, b in pairs(states_of(name)) do
      check.equal(b.lifted, {}, name .. ", " .. state)
      check.equal(b.unstated.parts, 0, name .. ", " .. state .. ": every line has its uncertainty")
      for _, note in ipairs(b.notes) do
        local known = false
        for _, pattern in ipairs(fine) do known = known or note:find(pattern) ~= nil end
        check.ok(known, name .. ", " .. state .. ": " .. note)
      end
    end
  end
end)

test("a_state_changes_what_is_aboard_and_not_the_file", function()
  local car = sy.load "vehicles/twayblade.lua"
  local before = tostring(car:balance())
  for _, state in ipairs(car:states()) do car:state(state):balance() end
  check.equal(tostring(car:balance()), before)
  check.equal(tostring(car:state("kerb"):state("race start"):balance()), tostring(car:state("race start"):balance()))
end)

check.done()
