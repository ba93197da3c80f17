--- The mass budget: sums by hand, rates as published, growth never mixed with uncertainty.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local budget = require "steelyard.answers.budget"
local rates = require "steelyard.file.growth_rates"
local test = check.test

local function car(more)
  local fields = {
    title = "Budgeted (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {
      sy.group "electrics" {tags = {"wired"},
        sy.part "loom" {mass = sy.sd(12.3, 2), at = {900, 0, 300}},
        sy.part "screen" {mass = 1.7, at = {600, 0, 500}, basis = "supplier"},
        sy.part "box" {mass = 2.9, at = {500, 0, 400}, basis = "calculated", growth = "4 %"},
      },
      sy.part "hub" {pair = true, mass = sy.sd(6.2, 0.05), at = {0, 700, 290}, basis = "weighed", unsprung = "front"},
      sy.part "panel" {count = 3, mass = 2.3, at = {1200, 0, 400}, basis = "calculated"},
      sy.part "tub" {mass = sy.sd(83, 4), at = {1100, 0, 350}},
      sy.tank "fuel" {capacity = 40, density = 0.75, fill = 20, dry_mass = 5, at = {1300, 0, 300}},
      sy.person "driver" {mass = 78, at = {1000, 0, 370}},
    },
    states = {sy.state "race" {}, sy.state "empty" {without = {"driver", "electrics"}}},
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function by_name(list, name)
  for _, entry in ipairs(list) do
    if entry.name == name then return entry end
  end
end

-- ---- the published rates ------------------------------------------------------------------------------------------------

local function published()
  local rows, heads = {}, nil
  for line in io.lines "tests/reference/mga.csv" do
    if not line:find "^#" then
      local cells = {}
      for cell in line:gmatch "[^,]+" do cells[#cells + 1] = cell end
      if not heads then heads = cells else rows[#rows + 1] = cells end
    end
  end
  return rows, heads
end

-- tests/reference/mga.csv, with its source at its head
test("rates_are_those_of_the_published_table", function()
  local rows, heads = published()
  check.equal(heads, {"category", "E", "L", "P", "C", "X", "A", "CFE"})
  check.equal(#rows, 11)
  local count = 0
  for _ in pairs(rates.table) do count = count + 1 end
  check.equal(count, #rows)
  for _, row in ipairs(rows) do
    for i = 2, 8 do check.equal(rates.table[row[1]][i - 1], tonumber(row[i]), row[1] .. " " .. heads[i]) end
  end
end)

test("an_allowance_never_rises_as_a_part_matures", function()
  for _, category in ipairs(rates.categories()) do
    local before = math.huge
    for _, step in ipairs(rates.steps) do
      local rate = rates.of(category, step)
      check.ok(rate <= before, category .. " " .. step)
      before = rate
    end
    check.equal(rates.of(category, "A"), 0, "what was weighed does not grow")
  end
  local last = math.huge
  for _, basis in ipairs(rates.bases) do
    check.ok(rates.european[basis] < last, basis)
    last = rates.european[basis]
  end
end)

test("crew_systems_pre_released_is_the_only_erratum_of_the_table", function()
  local risen = {}
  for category, row in pairs(rates.table) do
    for i = 2, #rates.steps do
      if row[i] > row[i - 1] then risen[#risen + 1] = category .. " " .. rates.steps[i] end
    end
  end
  check.equal(risen, {"crew_systems P"})
  check.equal(rates.table.crew_systems[3], 0.19, "as published")
  check.equal(rates.of("crew_systems", "P"), 0.18, "no more than the step before")
end)

-- ESA SRE-PA/2011.097 (2012): 5 % off the shelf, 10 % minor change, 20 % new
test("european_rates", function()
  check.equal(rates.european, {estimate = 0.20, calculated = 0.10, supplier = 0.05, weighed = 0})
end)

-- ---- sums --------------------------------------------------------------------------------------------------------------------

test("groups_and_totals_by_hand", function()
  local result = budget.of(car():state "race")
  local electrics = by_name(result.groups, "electrics")
  check.equal(electrics.parts, 3)
  check.near(electrics.mass, 12.3 + 1.7 + 2.9, 1e-12)
  check.near(electrics.growth, 0.20 * 12.3 + 0.05 * 1.7 + 0.04 * 2.9, 1e-12, "the box's own 4 % wins over 10 %")
  check.near(electrics.mass_with_growth, electrics.mass + electrics.growth, 1e-12)
  check.near(electrics.sd.mass, 2, 1e-12, "growth is not in the uncertainty")
  check.near(by_name(result.groups, "hub").mass, 12.4, 1e-12)
  check.near(by_name(result.groups, "hub").sd.mass, 0.1, 1e-12, "a pair has one common error")
  check.equal(by_name(result.groups, "hub").growth, 0)
  check.near(by_name(result.groups, "panel").growth, 0.10 * 3 * 2.3, 1e-12)
  check.near(by_name(result.groups, "fuel").mass, 20, 1e-12)
  check.near(by_name(result.groups, "fuel").growth, 0.20 * 5, 1e-12, "of the tank, not of what is in it")
  check.equal(by_name(result.groups, "driver").growth, 0, "a person does not mature")
  local mass = 16.9 + 12.4 + 6.9 + 83 + 20 + 78
  local growth = 2.661 + 0.69 + 16.6 + 1
  check.near(result.total.mass, mass, 1e-12)
  check.near(result.total.growth, growth, 1e-12)
  check.near(result.total.mass_with_growth, mass + growth, 1e-12)
  check.near(result.sd.mass, math.sqrt(2 ^ 2 + 0.1 ^ 2 + 4 ^ 2), 1e-12)
  check.near(result.total.mass, car():state("race"):balance().mass, 1e-12)
end)

test("mass_by_basis_adds_up", function()
  local result = budget.of(car())
  check.equal(#result.by_basis, 5)
  check.near(by_name(result.by_basis, "stated").mass, 78, 1e-12, "nobody estimates a person")
  check.near(by_name(result.by_basis, "estimate").mass, 12.3 + 83 + 20, 1e-12)
  local stated = car{parts = {sy.tank "fuel" {capacity = 40, density = 0.75, fill = sy.sd(20, 0.5), dry_mass = 5, at = {1300, 0, 300}},
                              sy.person "driver" {mass = 78, at = {1000, 0, 370}, basis = "weighed"}}, states = {}}
  check.near(by_name(budget.of(stated).by_basis, "stated").mass, 20, 1e-12, "a tank whose fill states its uncertainty")
  check.near(by_name(budget.of(stated).by_basis, "weighed").mass, 78, 1e-12, "what a file says goes first")
  check.near(by_name(result.by_basis, "weighed").mass, 12.4, 1e-12)
  check.near(by_name(result.by_basis, "supplier").mass, 1.7, 1e-12)
  check.near(by_name(result.by_basis, "calculated").mass, 2.9 + 6.9, 1e-12)
  local mass, share, growth = 0, 0, 0
  for _, basis in ipairs(result.by_basis) do mass, share, growth = mass + basis.mass, share + basis.share, growth + basis.growth end
  check.near(mass, result.total.mass, 1e-12)
  check.near(share, 100, 1e-10)
  check.near(growth, result.total.growth, 1e-12)
end)

test("only_what_is_aboard_counts", function()
  local result = budget.of(car():state "empty")
  check.equal(result.state, "empty")
  check.equal(by_name(result.groups, "electrics"), nil)
  check.near(result.total.mass, 12.4 + 6.9 + 83 + 20, 1e-12)
end)

test("rates_can_be_set_by_basis_step_and_kind_of_hardware", function()
  local function of(options) return budget.of(car(), options) end
  check.near(by_name(of{growth = {estimate = 12.5}}.groups, "tub").growth, 0.125 * 83, 1e-12)
  check.near(by_name(of{growth = {estimate = 0}}.groups, "tub").growth, 0, 0)
  check.near(by_name(of{practice = "s120"}.groups, "tub").growth, 0.18 * 83, 1e-12)
  check.near(by_name(of{practice = "s120", growth = {estimate = "L"}}.groups, "tub").growth, 0.15 * 83, 1e-12)
  check.near(by_name(of{practice = "s120", growth = {estimate = "P"}, category = {tub = "crew_systems"}}.groups, "tub").growth, 0.18 * 83,
    1e-12, "the erratum")
  local wired = {practice = "s120", category = {wired = "wiring_instrumentation"}}
  check.near(by_name(of(wired).groups, "electrics").growth, 0.5 * 12.3 + 0.03 * 1.7 + 0.04 * 2.9, 1e-12, "by the tag of the group")
  wired.category.loom = "composites"
  check.near(by_name(of(wired).groups, "electrics").growth, 0.24 * 12.3 + 0.03 * 1.7 + 0.04 * 2.9, 1e-12, "a part's own goes first")
end)

test("biggest_movers_come_by_the_larger_of_uncertainty_and_growth", function()
  local result = budget.of(car())
  check.equal(result.movers[1].name, "tub") -- 16.6 of growth, 7.84 of uncertainty
  check.equal(result.movers[2].name, "loom") -- 2.46 of growth, 3.92 of uncertainty
  check.equal(result.movers[3].name, "fuel")
  check.equal(#budget.of(car(), {top = 2}).movers, 2)
  check.equal(#budget.of(car(), {top = 100}).movers, 7, "the driver has neither uncertainty nor growth")
end)

-- ---- target ------------------------------------------------------------------------------------------------------------------

test("headroom_is_reported_booked_and_with_growth", function()
  local result = budget.of(car(), {target = 260})
  check.near(result.headroom.booked, 260 - 217.2, 1e-12)
  check.near(result.headroom.with_growth, 260 - 217.2 - 20.951, 1e-12)
end)

test("a_target_is_judged_with_growth_and_uncertainty", function()
  -- with growth 238.151 kg, 95 % of the uncertainty 1.96 sqrt(20.01) = 8.77 kg
  local function status(target) return budget.of(car(), {target = target}).status end
  check.equal(status(238), "fail")
  check.equal(status(238.2), "near")
  check.equal(status(246.9), "near")
  check.equal(status(247), "pass")
  check.equal(budget.of(car()).status, nil)
end)

test("an_unknown_mass_is_never_a_pass", function()
  local paint = sy.part "paint" {mass = sy.unknown, at = {1100, 0, 350}}
  local fields = {parts = {sy.part "tub" {mass = 83, at = {1100, 0, 350}}, paint}, states = {}}
  local result = budget.of(car(fields), {target = 300})
  check.equal(result.status, "unknown")
  check.contains(result.why, "1 part without a known mass")
  check.contains(table.concat(result.notes, "\n"), "paint")
  check.equal(budget.of(car(fields), {target = 90}).status, "fail")
end)

test("growth_and_uncertainty_stand_apart_in_print", function()
  local page = tostring(budget.of(car(), {target = 260, practice = "s120", growth = {estimate = "L"}}))
  check.contains(page, "growth, kg")
  check.contains(page, "not an uncertainty and not in any +-")
  check.contains(page, "1 part has an allowance of its own in the file")
  check.contains(page, "attribution from memory")
  check.contains(page, "estimate L of s120 (layout)")
  check.contains(page, "217.2 +- 8.8", "the total's uncertainty has no growth in it")
end)

test("wrong_options_are_refused", function()
  local function of(options) return function() budget.of(car(), options) end end
  check.raises(of{taget = 3}, {code = "unknown", hint = "target"})
  check.raises(of{practice = "europaen"}, {code = "unknown", field = "practice", hint = "european"})
  check.raises(of{growth = {estimat = 3}}, {code = "unknown", field = "growth", hint = "estimate"})
  check.raises(of{growth = {estimate = "Q"}}, {code = "unknown", field = "growth"})
  check.raises(of{growth = {estimate = -1}}, {code = "range", field = "growth"})
  check.raises(of{category = {tub = "compsites"}}, {code = "unknown", field = "category", hint = "composites"})
  check.raises(of{category = {tubb = "composites"}}, {code = "unknown", hint = "tub"})
  check.raises(of{target = 0}, {code = "range", field = "target"})
  check.raises(of{target = 0 / 0}, {code = "range", field = "target"})
end)

-- ---- what counts most in a quantity ----------------------------------------------------------------------------------------

-- Three masses are uncertain: loom 12.3 +- 2, two hubs 6.2 +- 0.05 that err alike, tub 83 +- 4 (standard). A share of the variance
-- is (derivative x sd)^2 over the sum of these; the front share is 100 sum m (L - x) / (M L), its derivative 100 ((L - x) / L - front) / M.
test("lines_count_in_a_quantity_by_their_share_of_its_variance", function()
  local c = car():state "race"
  local b, L = c:balance(), 2400
  local lines = {{"loom", 2, 900, 1}, {"hub", 0.05, 0, 2}, {"tub", 4, 1100, 1}}
  local function shares(derivative)
    local by, sum = {}, 0
    for _, line in ipairs(lines) do
      by[line[1]] = (derivative(line[3]) * line[4] * line[2]) ^ 2
      sum = sum + by[line[1]]
    end
    for name, variance in pairs(by) do by[name] = 100 * variance / sum end
    return by, math.sqrt(sum)
  end
  local function agrees(quantity, want, sd)
    local counts, before, sum = budget.of(c, {["for"] = quantity}).counts, math.huge, 0
    check.equal(counts.quantity, quantity)
    check.near(counts.sd, sd, 1e-9 * sd)
    check.equal(#counts.rows, 3)
    for _, row in ipairs(counts.rows) do
      check.near(row.variance_share, want[row.name], 1e-9 * 100, quantity .. ": " .. row.name)
      check.ok(row.variance_share <= before, "the largest first")
      before, sum = row.variance_share, sum + row.variance_share
    end
    check.near(sum + counts.rest_share, 100, 1e-9)
  end
  agrees("mass", shares(function() return 1 end))
  agrees("front_share", shares(function(x) return 100 * ((L - x) / L - b.front / b.mass) / b.mass end))
end)

test("the_page_lists_as_many_as_asked_and_the_others_together", function()
  local r = budget.of(car(), {["for"] = "front_share", top = 1})
  check.equal(#r.counts.rows, 1)
  check.contains(tostring(r), "counts most: front")
  check.contains(tostring(r), "all others")
  check.equal(budget.of(car()).counts, nil)
  check.raises(function() budget.of(car(), {["for"] = "front_shar"}) end, {code = "unknown", field = "for", hint = '"front_share"'})
  check.raises(function() budget.of(car(), {["for"] = 3}) end, {field = "for"})
end)

check.done()
