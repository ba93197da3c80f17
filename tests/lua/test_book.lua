-- The ledger line by line: what each row says, and that rows, shares and sums add up to the car.
-- Uncertainties by the law of propagation, JCGM 100:2008, 5.1.2; a joint uncertainty of independent errors is the root of the squares.
-- 1e-9: rounding of sums of some hundred kg or thousand mm, far below a printed digit.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function car(more)
  local fields = {
    title = "Booked (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 100, track = 1450, loaded_radius = 288}, {name = "rear", at = 2500, track = 1460, loaded_radius = 301}},
    parts = {
      sy.group "powertrain" {at = {1880, 0, 330}, whole = sy.sd(161, 0.5),
        sy.part "engine" {mass = sy.sd(96.2, 0.1), at = {sy.sd(0, 3), 0, 12}, basis = "weighed", note = "with oil"},
        sy.part "gearbox" {mass = sy.sd(52, 0.4), at = {400, 0, -45}, basis = "supplier", growth = "5 %"},
        sy.group "exhaust" {at = {300, 0, -100},
          sy.part "header" {pair = true, mass = sy.sd(3.1, 0.2), at = {20, 280, 0}, basis = "calculated"}},
      },
      sy.part "front corner" {pair = true, mass = sy.sd(27.4, 0.1), at = {100, 725, 285}, basis = "weighed", unsprung = "front"},
      sy.part "front links" {mass = sy.sd(14, 1), at = {160, 0, 330}, unsprung = {front = 0.5}},
      sy.part "bolts" {count = 40, mass = 0.05, at = {900, 0, 200}, basis = "calculated"},
      sy.part "paint" {mass = sy.unknown, at = {1000, 0, 400}},
      sy.tank "fuel" {capacity = 40, at = {1390, 0, 310}, density = 0.75, fill = 20, dry_mass = 5},
      sy.person "driver" {mass = sy.sd(78, 0.5), at = {1110, 180, 370}},
    },
    spares = {sy.part "luggage" {mass = sy.sd(15, 2), at = {2700, 0, 430}}},
    states = {sy.state "solo" {without = {"driver"}, fill = {fuel = 40}}, sy.state "tour" {with = {"luggage"}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function by_path(book)
  local rows = {}
  for _, row in ipairs(book.rows) do rows[row.path] = row end
  return rows
end

test("rows_are_in_file_order_with_their_groups_and_kinds", function()
  local seen = {}
  for i, row in ipairs(car():book().rows) do seen[i] = ("%s %d %s"):format(row.path, row.depth, row.kind) end
  check.equal(seen, {"powertrain 0 group", "powertrain/engine 1 part", "powertrain/gearbox 1 part", "powertrain/exhaust 1 group",
    "powertrain/exhaust/header 2 part", "front corner 0 part", "front links 0 part", "bolts 0 part", "paint 0 part", "fuel 0 tank",
    "driver 0 person", "luggage 0 part"})
end)

test("a_row_says_mass_place_moment_basis_carrier_and_uncertainty", function()
  local rows = by_path(car():book())
  local engine = rows["powertrain/engine"]
  check.near(engine.mass, 96.2, 1e-9)
  check.near(engine.cg.x, 1880, 1e-9, "in the file's axes, not the group's")
  check.near(engine.cg.z, 342, 1e-9)
  check.near(engine.moment, 96.2 * 1.780, 1e-9, "kg m behind the front axle, which stands at 100")
  check.near(engine.sd.mass, 0.1, 1e-12)
  check.near(engine.sd.cg.x, 3, 1e-12)
  check.equal(engine.basis, "weighed")
  check.equal(engine.carrier, "body")
  check.equal(engine.note, "with oil")
  check.equal(engine.pieces, 1)
  check.equal(rows["front corner"].carrier, "front")
  check.near(rows["front corner"].mass, 54.8, 1e-9)
  check.near(rows["front corner"].sd.mass, 0.2, 1e-12)
  check.near(rows["front corner"].cg.y, 0, 1e-9)
  check.equal(rows["front corner"].pieces, 2)
  check.equal(rows["front links"].carrier, "0.5 front, rest body")
  check.equal(rows["front links"].basis, "estimate", "unless said otherwise")
  check.near(rows.bolts.mass, 2, 1e-9)
  check.equal(rows.bolts.pieces, 40)
  check.near(rows.fuel.mass, 20, 1e-9)
  check.near(rows["powertrain/gearbox"].growth, 2.6, 1e-9)
  check.equal(rows.paint.unknown, true)
  check.equal(rows.powertrain.basis, nil)
  check.equal(rows.powertrain.carrier, nil)
end)

test("a_group_is_the_sum_of_its_lines", function()
  local rows = by_path(car():book())
  local g = rows.powertrain
  check.near(g.mass, 96.2 + 52 + 6.2, 1e-9)
  check.near(g.growth, 2.6 + 0.10 * 6.2, 1e-9) -- the gearbox by its own 5 %, the headers as calculated
  check.near(g.moment, 96.2 * 1.780 + 52 * 2.180 + 6.2 * 2.100, 1e-9)
  check.near(g.cg.z, (96.2 * 342 + 52 * 285 + 6.2 * 230) / 154.4, 1e-9)
  check.near(g.sd.mass, math.sqrt(0.1 ^ 2 + 0.4 ^ 2 + 0.4 ^ 2), 1e-12) -- both headers err alike: 2 x 0.2
end)

test("shares_of_the_top_level_come_to_a_hundred_and_rows_to_the_total", function()
  for _, state in ipairs{"solo", "tour"} do
    local c = car():state(state)
    local book, b = c:book(), c:balance()
    local share, mass, moment, parts_mass, parts_share = 0, 0, 0, 0, 0
    for _, row in ipairs(book.rows) do
      if row.aboard and row.depth == 0 then
        share, mass, moment = share + row.share, mass + row.mass, moment + (row.moment or 0)
      end
      if row.aboard and row.kind ~= "group" then parts_mass, parts_share = parts_mass + row.mass, parts_share + row.share end
    end
    check.near(share, 100, 1e-9, state)
    check.near(parts_share, 100, 1e-9, state)
    check.near(mass, book.total.mass, 1e-9, state)
    check.near(parts_mass, book.total.mass, 1e-9, state)
    check.near(moment, book.total.mass * (book.total.cg.x - 100) / 1000, 1e-9, state)
    check.near(book.total.mass, b.mass, 0, state)
    check.near(book.total.mass_with_growth, b.mass_with_growth, 0, state)
    check.equal(book.total.cg, b.cg, state)
    check.near(book.sd.mass, b.sd.mass, 0, state)
    check.near(book.sd.cg.x, b.sd.cg.x, 0, state)
    check.equal(book.state, state)
  end
end)

test("by_basis_and_by_group_add_up_too", function()
  local book = car():state("tour"):book()
  local want = {weighed = {96.2 + 54.8, 2}, supplier = {52, 1}, calculated = {6.2 + 2, 2},
                estimate = {14 + 0 + 20 + 15, 4}, stated = {78, 1}}
  local seen, mass = 0, 0
  for _, entry in ipairs(book.by_basis) do
    seen, mass = seen + 1, mass + entry.mass
    check.near(entry.mass, want[entry.name][1], 1e-9, entry.name)
    check.equal(entry.parts, want[entry.name][2], entry.name)
  end
  check.equal(seen, 5)
  check.near(mass, book.total.mass, 1e-9)
  local groups, sum, lines = {}, 0, 0
  for _, entry in ipairs(book.by_group) do
    groups[entry.name] = entry
    sum, lines = sum + entry.mass, lines + entry.parts
  end
  check.near(groups.powertrain.mass, 154.4, 1e-9)
  check.equal(groups.powertrain.parts, 3)
  check.equal(groups["front corner"].parts, 1)
  check.near(sum, book.total.mass, 1e-9)
  check.equal(lines, car():state("tour"):balance().parts)
end)

test("what_is_not_aboard_is_listed_and_counts_nothing", function()
  local book = car():state("solo"):book()
  local rows = by_path(book)
  check.equal(rows.driver.aboard, false)
  check.equal(rows.driver.share, nil)
  check.near(rows.driver.mass, 78, 1e-9, "its mass is still stated")
  check.equal(rows.luggage.aboard, false)
  check.near(rows.fuel.mass, 35, 1e-9)
  check.contains(tostring(book), "driver (not aboard)")
  check.contains(tostring(book), "luggage (not aboard)")
  check.equal(by_path(car():state("tour"):book()).luggage.aboard, true)
end)

test("pairs_counts_and_unknown_masses_are_reported_in_words", function()
  local table_print = require "steelyard.print.table"
  table_print.width = math.huge -- names as they are, however wide
  local page = tostring(car():book())
  table_print.width = 100
  check.contains(page, "front corner x 2, 27.4 each")
  check.contains(page, "  header x 2, 3.1 each")
  check.contains(page, "bolts x 40, 0.050 each")
  check.ok(page:find "paint%s+unknown", "unknown mass")
  check.contains(page, "By basis: weighed 151.0 kg in 2, supplier 52.0 kg in 1, calculated 8.2 kg in 2, "
    .. "estimate 34.0 kg in 3, stated 78.0 kg in 1.")
end)

-- whole 161 +- 0.5, pieces 154.4 +- sqrt(0.1^2 + 0.4^2 + 0.4^2) = 0.574: gap 6.6, joint 0.761, 8.7 sigmas
test("a_weighed_whole_that_its_pieces_do_not_reach", function()
  local book = car():book()
  local k = by_path(book).powertrain.closure
  local joint = math.sqrt(0.25 + 0.01 + 0.16 + 0.16)
  check.near(k.whole, 161, 0)
  check.near(k.sum, 154.4, 1e-9)
  check.near(k.gap, 6.6, 1e-9)
  check.near(k.sd, joint, 1e-12)
  check.near(k.sigmas, 6.6 / joint, 1e-9)
  check.equal(k.closes, false)
  check.near(book.total.mass, car():balance().mass, 0, "never changes a total")
  check.contains(tostring(book), "weighed whole 161.0, gap +6.6 kg: does not close")
  check.contains(table.concat(book.notes, "\n"), "powertrain does not close: weighed whole 161.0 kg, booked parts 154.4 kg")
end)

local function halves(whole, mass, other, states)
  return car{states = states or {}, parts = {sy.group "all" {whole = whole, sy.part "a" {mass = mass, at = {100, 0, 300}},
                                                             sy.part "b" {mass = other or mass, at = {900, 0, 300}}}}}
end
local function closure(...) return halves(...):book().rows[1].closure end

test("a_gap_within_its_own_95_percent_closes", function()
  -- pieces 100 +- sqrt 2 x 0.5, whole +- 0.5: joint sqrt(0.75) = 0.866; 1.96 of it is 1.697
  check.equal(closure(sy.sd(101.69, 0.5), sy.sd(50, 0.5)).closes, true)
  check.equal(closure(sy.sd(101.70, 0.5), sy.sd(50, 0.5)).closes, false)
  check.equal(closure(sy.sd(98.31, 0.5), sy.sd(50, 0.5)).closes, true)
  check.equal(closure(sy.sd(98.30, 0.5), sy.sd(50, 0.5)).closes, false)
  check.near(closure(sy.within(100, 3), 50).sd, 3 / math.sqrt(3), 1e-12)
end)

test("without_any_uncertainty_only_equal_sums_close", function()
  local exact = closure(100, 50)
  check.equal(exact.closes, true)
  check.equal(exact.sigmas, nil, "no uncertainty, no sigmas")
  check.equal(closure(0.2, 0.1).closes, true)
  check.equal(closure(100.001, 50).closes, false)
  -- 0.1 + 0.2 is not 0.3 in binary
  check.equal(closure(0.3, 0.1, 0.2).closes, true)
end)

test("closure_is_judged_on_all_booked_pieces_in_every_state", function()
  local c = halves(sy.sd(100, 0.5), 60, 40, {sy.state "half" {without = {"b"}}})
  check.near(c:state("half"):book().rows[1].mass, 60, 1e-9)
  check.equal(c:state("half"):book().rows[1].closure.closes, true)
  check.equal(c:set("b", {mass = 44}):book().rows[1].closure.closes, false)
end)

test("book_of_something_lists_it_and_what_lies_in_it", function()
  local function paths(what)
    local list = {}
    for i, row in ipairs(car():book(what).rows) do list[i] = row.path end
    return list
  end
  check.equal(paths "powertrain", {"powertrain", "powertrain/engine", "powertrain/gearbox", "powertrain/exhaust",
                                   "powertrain/exhaust/header"})
  check.equal(paths "exhaust/header", {"powertrain/exhaust/header"})
  check.equal(paths{"driver", "bolts"}, {"bolts", "driver"})
  check.near(car():book("engine").rows[1].share, 100 * 96.2 / car():balance().mass, 1e-9, "shares are of the car")
  check.near(car():book("engine").total.mass, car():balance().mass, 0)
  check.raises(function() car():book "rear axle" end, {code = "type", message = "axle"})
  check.raises(function() car():book "engin" end, {code = "unknown", hint = "engine"})
end)

test("the_book_follows_moves_and_changed_masses", function()
  local moved = by_path(car():move("powertrain", {back = 50, up = 5}):set("gearbox", {mass = sy.sd(55, 0.2)}):book())
  check.near(moved["powertrain/engine"].cg.x, 1930, 1e-9)
  check.near(moved["powertrain/engine"].cg.z, 347, 1e-9)
  check.near(moved["powertrain/gearbox"].mass, 55, 1e-9)
  check.near(moved["powertrain/gearbox"].sd.mass, 0.2, 1e-12)
  check.near(moved["powertrain/gearbox"].growth, 2.75, 1e-9)
end)

check.done()
