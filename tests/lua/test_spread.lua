--- Simulations: what sy.spread gives is what the draws are, which draws hang on what, files of them, and what is refused.

local check = dofile "tests/lua/check.lua"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local json = require "steelyard.print.json"
local sources_of = require "steelyard.study.spread_sources"
local sy = require "steelyard"
local test = check.test

local guess = sy.load "vehicles/first_guess.lua":state "race start"

local function axles()
  return {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1420, loaded_radius = 300}}
end

local function car_of(parts, more)
  local fields = {title = "Drawn", axes = {x = "back", y = "left", z = "up"}, axles = axles(), parts = parts}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local function tub() return sy.part "tub" {mass = sy.sd(300, 4), at = {sy.sd(1100, 6), 0, sy.sd(350, 5)}} end
local function engine() return sy.part "engine" {mass = sy.within(150, 6), at = {1800, sy.sd(20, 3), 320}} end

-- The draws of a block themselves.
local function values(car, names, seed, block)
  local c = contents.inside(car)
  local plan = core.spread{{set = "balance", asked = {now = c.now, geometry = c.geometry}, names = names}}
  local list = sources_of.of(c, {c.now}, core.spread_sources(plan))
  assert(core.spread_start(plan, list, {draws = 1000, seed = seed, wider = {}, below = {}, above = {}}))
  return core.spread_values(plan, block or 0)
end

-- ---- figures --------------------------------------------------------------------------------------------------------------------

-- The sum of a normal mass of 4 kg and one between +- 6: exact moments, and the draws of the script behind them.
test("spread_figures_are_those_of_the_draws", function()
  local car = car_of{tub(), engine()}
  local r = sy.spread{car, draws = 1024, seed = 4, show = {"mass", "cg_behind"}, below = {mass = 447}, above = {mass = 455}}
  local all, sum, square, below, above = {}, 0, 0, 0, 0
  for block = 0, 3 do
    for _, m in ipairs(values(car, {"mass", "cg_behind"}, 4, block)[1]) do
      all[#all + 1], sum, square = m, sum + m - 450, square + (m - 450) ^ 2
      below, above = below + (m < 447 and 1 or 0), above + (m > 455 and 1 or 0)
    end
  end
  table.sort(all)
  check.equal(#all, 1024)
  check.near(r.mass.mean, 450 + sum / 1024, 1e-9, "mean")
  check.near(r.mass.sd, math.sqrt((square - sum * sum / 1024) / 1023), 1e-9, "sd")
  check.equal({r.mass.low, r.mass.high}, {all[1], all[1024]})
  local bin = (r.mass.histogram.to - r.mass.histogram.from) / 16384 -- what counting in bins rounds, and the next draw
  check.near(r.mass.p50, all[512], bin + all[513] - all[511], "median")
  check.near(r.mass.p2_5, all[26], bin + all[28] - all[25], "2.5 %")
  check.equal({r.mass.probability[1].p, r.mass.probability[2].p}, {below / 1024, above / 1024})
  check.near(r.mass.first_order_sd, math.sqrt(16 + 36 / 3), 1e-12, "4 kg, and 6 by the root of 3")
  check.equal(r.mass.agrees, true)
  check.equal({r.mass.inputs[1].what, r.mass.inputs[1].field}, {"tub", "mass"})
  check.near(r.mass.inputs[1].correlation, 4 / math.sqrt(28), 4 * (1 - 16 / 28) / 32, "four errors of a correlation of 1024")
  check.near(r.correlation.mass.mass, 1, 0)
  local total = r.mass.histogram.under + r.mass.histogram.over
  for _, count in ipairs(r.mass.histogram.counts) do total = total + count end
  check.equal(total, 1024)
end)

test("spread_limits_end_where_they_are_stated", function()
  local r = sy.spread{car_of{engine()}, draws = 20000, seed = 1, show = {"mass", "cg_left"}}
  check.ok(r.mass.low >= 144 and r.mass.high <= 156, "within(150, 6)")
  check.ok(r.mass.low < 144.01 and r.mass.high > 155.99, "all of it")
  check.ok(r.cg_left.high > 20 + 3 * 3 and r.cg_left.low < 20 - 3 * 3, "an sd has no end")
  local two = car_of{sy.part "a" {mass = 9, at = {100, sy.within(5, 2), 300}}, sy.part "b" {mass = 1, at = {100, 5, 300}, within_mm = 4}}
  local places = sy.spread{two, draws = 4000, seed = 2, show = {"cg_left", "height"}}
  check.ok(places.cg_left.high <= 5 + 0.9 * 2 + 0.1 * 4 and places.height.high <= 300 + 0.1 * 4, "places too")
  check.ok(places.height.high > 300.39, "all of it")
end)

-- Allowances: of a line anything from nothing to all of it, so half of it on average and a root of 12th as sd.
test("spread_growth_is_drawn_from_nothing_to_the_allowance", function()
  local car = car_of{sy.part "frame" {mass = 100, at = {1000, 0, 300}, growth = 0.2},
    sy.part "engine" {mass = 150, at = {1800, 0, 320}, growth = 0}}
  local r = sy.spread{car, draws = 40000, seed = 3, show = {"mass", "cg_behind"}, growth = true}
  check.near(r.mass.first_order, 260, 1e-9)
  check.near(r.mass.first_order_sd, 20 / math.sqrt(12), 1e-9)
  check.near(r.mass.mean, 260, 4 * r.mass.mean_error)
  check.ok(r.mass.low >= 250 and r.mass.high <= 270)
  check.equal({r.mass.agrees, r.cg_behind.agrees}, {true, true})
  check.near(r.cg_behind.first_order, (110 * 1000 + 150 * 1800) / 260, 1e-9)
  check.equal({r.mass.inputs[1].what, r.mass.inputs[1].field, r.mass.inputs[2]}, {"frame", "growth", nil})
  check.equal(sy.spread{car, draws = 100, seed = 3, show = {"mass"}}.mass.sd, 0.0)
end)

-- A product of two large errors is not linear: 1 / m of a mass of 300 +- 60 has a mean above its first order.
test("spread_says_where_first_order_does_not_hold", function()
  local car = car_of{sy.part "tub" {mass = sy.sd(300, 75), at = {1100, 0, 350}}, sy.part "driver" {mass = 90, at = {200, 0, 400}}}
  local r = sy.spread{car, draws = 20000, seed = 1, show = {"cg_behind", "mass"}}
  check.equal({r.mass.agrees, r.cg_behind.agrees}, {true, false})
  check.contains(r.cg_behind.why, "first")
  check.contains(tostring(r), r.cg_behind.why)
end)

test("spread_wider_bins_hold_what_first_order_does_not_see", function()
  -- yaw inertia of two masses at one place: nothing to first order, but squares of their places
  local car = car_of{sy.part "a" {mass = 50, at = {sy.sd(1000, 50), 0, 300}}, sy.part "b" {mass = 50, at = {sy.sd(1000, 50), 0, 300}}}
  local r = sy.spread{car, draws = 2000, seed = 1, show = {"yaw_inertia"}}
  -- m / 2 (x1 - x2)^2 with sd of the difference 0.05 sqrt 2 m: mean 50 / 2 x 0.005
  check.near(r.yaw_inertia.mean, 0.125, 5 * r.yaw_inertia.mean_error)
  check.ok(r.yaw_inertia.histogram.under + r.yaw_inertia.histogram.over <= 1e-4 * 2000)
  check.ok(r.yaw_inertia.p50 > 0.02 and r.yaw_inertia.p50 < 0.1, "the median of chi-square, 0.455 of the mean")
  check.equal(r.yaw_inertia.agrees, false)
end)

-- ---- which draws hang on what ---------------------------------------------------------------------------------------------------

test("spread_a_part_more_leaves_the_draws_of_the_others", function()
  local with = values(car_of{tub(), engine()}, {"mass", "inertia.xz"}, 6)
  local without = values(car_of{tub()}, {"mass", "inertia.xz"}, 6)
  local alone = values(car_of{engine()}, {"mass", "inertia.xz"}, 6)
  for i = 1, 256 do check.near(with[1][i], without[1][i] + alone[1][i], 1e-9) end -- what the sums round
  local renamed = values(car_of{tub(), sy.part "motor" {mass = sy.within(150, 6), at = {1800, sy.sd(20, 3), 320}}}, {"mass"}, 6)
  check.ok(math.abs(renamed[1][1] - with[1][1]) > 1e-6, "another name draws other numbers")
end)

test("spread_a_pair_and_a_count_err_together", function()
  local pair = sy.part "wheel" {mass = sy.sd(10, 1), at = {0, 700, 300}, pair = true}
  local r = sy.spread{car_of{pair, sy.part "box" {mass = sy.sd(5, 0.1), at = {900, 0, 300}, count = 4}}, draws = 20000, seed = 1,
    show = {"mass", "cg_left"}}
  check.near(r.mass.first_order_sd, math.sqrt(4 + 0.16), 1e-9)
  check.near(r.mass.sd, r.mass.first_order_sd, 4 * r.mass.sd_error)
  check.near(r.cg_left.high - r.cg_left.low, 0, 1e-9, "what both sides weigh more moves nothing")
end)

test("spread_parts_of_one_instrument_err_together", function()
  local function weighed(name, x) return sy.part(name){mass = 40, at = {x, 0, 300}, weighed = {reading = {40}, on = "scale"}} end
  local scale = sy.instrument "scale" {unit = "kg", bias = sy.sd(0, 0.5), sd = 0.01}
  local car = car_of({weighed("a", 0), weighed("b", 2400)}, {instruments = {scale}})
  local r = sy.spread{car, draws = 20000, seed = 1, show = {"mass"}}
  check.near(r.mass.sd, car:balance().sd.mass, 4 * r.mass.sd_error)
  check.ok(r.mass.sd > 0.99, "1 kg of both, not 0.7")
end)

-- ---- other sets, threads, seeds -----------------------------------------------------------------------------------------------------

test("spread_springs_pads_and_slope_are_drawn_with_their_errors", function()
  local sedge = sy.load "vehicles/sedge.lua"
  local r = sy.spread{sedge, draws = 3000, seed = 1, show = {"corners.lf", "corners.cross_share", "height"}, pads = {sd = 1},
    slope = {nose_up = sy.sd(0.5, 0.1)}}
  local pad = sy.sd(0, 1)
  local b = sedge:corners{pads = {lf = pad, rf = pad, lr = pad, rr = pad}, slope = {nose_up = sy.sd(0.5, 0.1)}}
  check.near(r["corners.lf"].first_order, b.lf, 1e-9)
  check.near(r["corners.lf"].first_order_sd, b.sd.lf, 1e-6 * b.sd.lf)
  check.near(r["corners.lf"].sd, b.sd.lf, 4 * r["corners.lf"].sd_error)
  check.near(r["corners.cross_share"].sd, b.sd.cross_share, 4 * r["corners.cross_share"].sd_error)
end)

test("spread_threads_do_not_show_and_seeds_do", function()
  local function text(threads, seed)
    local r = sy.spread{guess, draws = 10007, seed = seed, show = {"mass", "front_share", "yaw_inertia", "lf"}, growth = true,
      threads = threads}
    return json.encode(require("steelyard.reference.document").of(r))
  end
  local one = text(1, 5)
  for _, threads in ipairs{2, 3, 5} do check.ok(text(threads, 5) == one, threads) end
  check.ok(text(1, 6) ~= one, "another seed")
end)

-- ---- files ------------------------------------------------------------------------------------------------------------------------------

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function read(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

test("spread_shards_merge_to_the_bytes_of_one_run", function()
  local function spread(more)
    local request = {guess, draws = 60000, seed = 9, show = {"mass", "front_share", "inertia.xz"}, below = {mass = 760}, quiet = true}
    for key, value in pairs(more or {}) do request[key] = value end
    return sy.spread(request)
  end
  local whole = spread{to = folder .. "/whole.json"}
  for k = 1, 3 do spread{to = ("%s/%d"):format(folder, k), shard = {k, 3}} end
  local merged = sy.merge{folder .. "/3", folder .. "/1", folder .. "/2"}
  check.equal(merged.hash, whole.hash)
  local document = require "steelyard.reference.document"
  check.ok(json.encode(document.of(merged)) .. "\n" == read(folder .. "/whole.json"), "the same document")
  check.equal(tostring(merged), tostring(spread()))
  check.raises(function() sy.merge{folder .. "/3", folder .. "/1"} end, {code = "missing", message = "shard 2 of 3"})
end)

-- The draws of other shards are not draws without an answer.
test("spread_shard_tells_of_its_own_draws", function()
  local function shard(k, n, draws)
    return sy.spread{guess, draws = draws, seed = 9, show = {"mass"}, quiet = true, to = ("%s/own.%d"):format(folder, k),
                     shard = ("%d/%d"):format(k, n), replace = true}
  end
  local said, sum = {"Shard 1 of 2: 32,768 of 60,000 draws.", "Shard 2 of 2: 27,232 of 60,000 draws."}, 0
  for k = 1, 2 do
    local one = shard(k, 2, 60000)
    check.equal({one.shard, one.draws, one.unknown, one.mass.unknown, one.n_done}, {{k, 2}, 60000, 0, 0})
    check.contains(tostring(one), said[k])
    check.ok(not tostring(one):find "unknown", tostring(one))
    for _, count in ipairs(one.mass.histogram.counts) do sum = sum + count end
    sum = sum + one.mass.histogram.under + one.mass.histogram.over
  end
  check.equal(sum, 60000)
  local none = shard(1, 2, 100) -- fewer blocks than shards
  check.equal({none.unknown, none.notes[1]}, {0})
  check.contains(tostring(none), "Shard 1 of 2 has none of 100 draws: there are fewer blocks of work than shards.")
end)

-- ---- what is refused ----------------------------------------------------------------------------------------------------------

test("spread_refuses_what_it_cannot_draw", function()
  local function refused(fields, says)
    local request = {guess, draws = 100, seed = 1, show = {"mass"}}
    for key, value in pairs(fields) do request[key] = value ~= "none" and value or nil end
    check.raises(function() sy.spread(request) end, says)
  end
  refused({draws = "none"}, {code = "missing", field = "draws"})
  refused({seed = "none"}, {code = "missing", field = "seed"})
  refused({show = {"transfer.roll"}}, {code = "unavailable", field = "show", message = "under a force, and sy.spread takes none"})
  refused({draws = 2 ^ 34 + 1}, {code = "limit", field = "draws", message = "17179869184"})
  refused({draws = 0}, {code = "range", field = "draws"})
  refused({draws = 10.5}, {code = "type", field = "draws", message = "whole number"})
  refused({show = {"front_shar"}}, {code = "unknown", field = "show", hint = "front_share"})
  refused({show = {"mass_with_growth"}}, {code = "unavailable", field = "show"})
  refused({show = {"corners.lf"}}, {field = "show", message = "corners"})
  check.raises(function() sy.spread{sy.load "vehicles/burnet.lua", draws = 9, seed = 1, show = {"corners.rr"}} end, {code = "unavailable",
    field = "show", message = "not known of this vehicle"})
  refused({below = {height = 300}}, {code = "unknown", field = "below", message = "not among what is shown"})
  refused({below = {mass = "760"}}, {code = "type", field = "below.mass"})
  refused({growth = 1}, {code = "type", field = "growth"})
  refused({drawz = 100}, {code = "unknown", hint = "draws"})
  refused({pads = {sd = 1}}, {code = "clash", field = "pads", message = "does nothing"})
  refused({threads = 100}, {code = "range", field = "threads"})
  check.raises(function() sy.spread{"vehicles/first_guess.lua", draws = 1, seed = 1, show = {"mass"}} end, {code = "type", field = "car",
    hint = "sy.load"})
end)

test("spread_a_draw_without_an_answer_is_counted", function()
  -- a mass of 1 kg +- 1 is below nothing in one draw of six
  local r = sy.spread{car_of{sy.part "a" {mass = sy.sd(1, 1), at = {900, 0, 300}}}, draws = 4096, seed = 1, show = {"mass", "height"}}
  check.near(r.unknown / 4096, 0.1587, 4 * math.sqrt(0.1587 * 0.8413 / 4096), "the normal distribution at -1")
  check.contains(tostring(r), "is unknown in")
end)

test("spread_one_draw_says_so", function()
  local r = sy.spread{guess, draws = 1, seed = 1, show = {"mass"}}
  check.equal({r.mass.sd, r.mass.agrees}, {nil, nil})
  check.contains(tostring(r), "1 draw of")
end)

os.execute("rm -r " .. folder)
-- Limits of where an axle stands, or one of its wheels, are drawn as limits: no share lies beyond those of the cars at both ends. A normal
-- error of that standard uncertainty passes a limit in one draw of twelve.
test("limits_of_a_place_of_an_axle_or_a_wheel_are_drawn_as_such", function()
  local function share(rear, draws)
    rear.name, rear.track, rear.loaded_radius = "rear", 1450, 290
    local car = sy.car{title = "Limits (invented)", axes = {x = "back", y = "right", z = "up"},
      axles = {{name = "front", at = 0, track = 1450, loaded_radius = 290}, rear},
      parts = {sy.part "tub" {mass = 400, at = {1300, 0, 300}}}}
    return draws and sy.spread{car = car, show = {"front_share"}, draws = 4096, seed = 5}.front_share or car:balance().front_share
  end
  local function near_limits(r, low, high)
    local width, bin = high - low, 0.02 * (high - low)
    check.ok(r.low >= low - bin and r.low < low + 0.1 * width, "low")
    check.ok(r.high <= high + bin and r.high > high - 0.1 * width, "high")
  end
  near_limits(share({at = sy.within(2400, 12)}, true), share{at = 2388}, share{at = 2412})
  local function right(at) return {at = 2400, right = {at = at}} end
  near_limits(share(right(sy.within(2430, 12)), true), share(right(2418)), share(right(2442)))
end)

check.done()
