-- Plans (study/plan.lua): what C gives for many variants is what the ordinary edits and calls give for each. Random mixes of all kinds of
-- inputs on random cars with everything at once, in three conventions of axes; and the same bytes however the work is cut.
-- Under the command alone: numbers against numbers; what a script prints of a study is under every Lua in tests/scripts.

local check = dofile "tests/lua/check.lua"
local conventions = dofile "tests/lua/conventions.lua"
local mixed = dofile "tests/lua/mixed_cars.lua"
local new_dice = dofile "tests/lua/dice.lua"
local tank_cars = dofile "tests/lua/tank_cars.lua"
local core = require "steelyard.core"
local answer = require "steelyard.study.answer"
local contents = require "steelyard.car.contents"
local inputs_of = require "steelyard.study.inputs"
local outputs_of = require "steelyard.study.outputs"
local plan = require "steelyard.study.plan"
local sy = require "steelyard"
local variants = require "steelyard.study.variants"
local vary = require("steelyard.study.vary").of
local test = check.test

local MIXES = tonumber(os.getenv "PLAN_MIXES" or 60) -- 500 by hand: PLAN_MIXES=500

-- ---- a study without its page ---------------------------------------------------------------------------------------------

local function study(car, list, show, settings, uncertainty)
  require("steelyard.study.settings").known "left_turn"
  local s = {car = car, inputs = inputs_of.of(car, list), settings = settings or {}}
  s.outputs, s.uncertainty = outputs_of.of(contents.inside(car), show), uncertainty
  for _, out in ipairs(s.outputs) do out.with_sd = uncertainty or nil end
  return s
end

local function grid(s)
  local n, points = 1, {}
  for _, input in ipairs(s.inputs) do n = n * #input.values end
  local each = n
  for i, input in ipairs(s.inputs) do
    each = each // #input.values
    points[i] = core.column_grid(input.values, each, n)
  end
  return n, points
end

local function run(p, s, n, points)
  local columns, sds = {}, {}
  for _, out in ipairs(s.outputs) do
    if p.covers[out.name] == true then columns[out.name] = core.column(n) end
    if s.uncertainty and p.covers_sd[out.name] == true then sds[out.name] = core.column(n) end
  end
  local singly = p:run(1, n, points, columns, sds)
  return columns, sds, singly
end

-- A ledger keeps lengths to a whole picometre, which no polynomial follows: 1e-12 m of some hundred kilograms at arms of metres. So of
-- answers that are small differences of large numbers that is what counts: misses are relative to the answer or to this, in workshop units.
-- Of a length two picometres: half of one in the car asked by itself, and half of one in each node, which weigh up to three together.
local size_of = {["kg m2"] = 100, kg = 10, mm = 2000, deg = 1, ["%"] = 10, g = 0.1}

-- Every variant in `which` by the ordinary edits and calls.
local sds_seen = 0

local function worst_miss(p, s, points, columns, sds, which)
  local make, ask = variants.new{car = s.car, inputs = s.inputs, settings = s.settings}, answer.new(s.outputs)
  local worst, what = 0, ""
  for _, i in ipairs(which) do
    local values = {}
    for k in ipairs(s.inputs) do values[k] = points[k][i] end
    local fine, car, given = pcall(make, values)
    local real, real_sds
    if fine then fine, real, real_sds = pcall(ask, car, given) end -- a car that there is not, or does not come to rest, is an error there
    for k, out in ipairs(fine and s.outputs or {}) do
      if p.covers[out.name] == true then
        local mine, ours = columns[out.name][i], real[k]
        local miss = (mine == nil or ours == nil) and (mine == ours and 0 or math.huge)
          or math.abs(mine - ours) / math.max(math.abs(mine), math.abs(ours), size_of[out.unit] or 0)
        if sds[out.name] then -- variances are sums of squares and products that cancel: of shares two digits more
          local sd, other = sds[out.name][i], real_sds[k]
          sds_seen = sds_seen + 1
          miss = math.max(miss, (sd == nil or other == nil) and (sd == other and 0 or math.huge)
            or 1e-3 * math.abs(sd - other) / math.max(sd, other, 1e-6))
        end
        if miss > worst then worst, what = miss, ("%s of variant %d: %s, singly %s"):format(out.name, i, mine, ours) end
      end
    end
  end
  return worst, what
end

-- ---- random mixes -----------------------------------------------------------------------------------------------------------

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function load(tree)
  local path = folder .. "/car.lua"
  local file <close> = assert(io.open(path, "wb"))
  file:write(conventions.text(tree))
  file:close()
  return sy.load(path)
end

local axes = {{x = "back", y = "right", z = "up"}, {x = "forward", y = "left", z = "up"}, {x = "down", y = "forward", z = "right"}}

-- What may be varied of a mixed car: function(dice) -> input.
local function some(dice, low, high)
  if dice.chance(30) then return low + dice.below(1000) * (high - low) / 1000, high + dice.below(7), dice.between(2, 9) end
  local list = {}
  for i = 1, dice.between(1, 3) do list[i] = low + (high - low) * (dice.below(100) + 100 * i) / 400 end
  return list
end
local function move(dice) return dice.pick{"back", "forward", "left", "right", "up", "down"} end
local kinds = {
  function(dice)
    local what = dice.pick{"powertrain", "engine", "box", "gears", "bolt", "seat", "driver", "panel", "fuel"}
    return vary(what, move(dice), some(dice, -30, 40))
  end,
  function(dice)
    return vary(dice.pick{"powertrain", "box", "engine", "tub", "fuel"}, dice.pick{"nose_up", "left_up", "nose_right"}, some(dice, -4, 7))
  end,
  function(dice)
    return vary(dice.pick{"engine", "gears", "seat", "sill", "bolt", "driver", "tub", "front corner"}, "mass", some(dice, 10, 40))
  end,
  function(dice) return vary(dice.pick{"sill", "front corner"}, dice.pick{"out", "up", "back"}, some(dice, 2, 9)) end,
  function(dice) return vary({"engine", "seat"}, dice.pick{"back", "up"}, some(dice, -20, 20)) end,
  function(dice) return vary("fuel", "fill", some(dice, 1, 20)) end,
  function(dice) return vary("fuel", dice.pick{"density", "dry_mass"}, some(dice, 0.7, 0.8)) end,
  function(dice) return vary("rear axle", dice.pick{"back", "forward"}, some(dice, -40, 60)) end,
  function(dice) return vary("front axle", dice.pick{"spring_rate", "tyre_rate", "bar_rate", "roll_centre"}, some(dice, 40, 70)) end,
  function(dice) return vary("front axle", "track", some(dice, 1380, 1470)) end,
  function(dice) return vary("chassis", "torsion", some(dice, 3000, 9000)) end,
  function() return vary("driver", "swap", {"driver", "tall driver"}) end,
  function() return vary("state", {"race", "empty", "tall"}) end,
  function(dice) return vary("left_turn", some(dice, 0.05, 0.5)) end,
  function(dice) return vary("braking", some(dice, 0, 0.4)) end,
  function(dice) return vary("slope.nose_up", some(dice, -1, 2)) end,
}

local show = {"mass", "front_share", "left_share", "cg.x", "cg.y", "cg.z", "cg_behind", "yaw_inertia", "yaw_index", "yaw_inertia_rear",
              "inertia.xz", "pitch_inertia", "sprung.mass", "unsprung.mass"}
local on_springs = {"corners.mass", "corners.front_share", "attitude.roll", "attitude.pitch", "attitude.heights.front", "transfer.roll",
                    "transfer.pitch", "transfer.front_transfer_share", "stability.ssf", "stability.side.left_turn", "stability.grade.up"}

local function mix(car, dice)
  local list, names = {}, {}
  for _ = 1, dice.between(1, 4) do
    local fine, v = pcall(dice.pick(kinds), dice)
    assert(fine, v)
    if not names[v.name] then list[#list + 1], names[v.name] = v, true end
  end
  local all = table.move(show, 1, #show, 1, {})
  if dice.chance(40) then table.move(on_springs, 1, #on_springs, #all + 1, all) end
  local settings = {left_turn = not names.left_turn and 0.4 or nil}
  local fine, s = pcall(study, car, list, all, settings, dice.chance(40))
  return fine and s or nil, s
end

test("plan_random_mixes_equal_ordinary_edits", function()
  local covered, all, mixes, refused = 0, 0, 0, 0
  for n = 1, math.ceil(MIXES / 5) do
    mixed.seed(1000 + n)
    local tree = mixed.tree()
    tree.fields.records = nil
    local to = conventions.new(axes[1 + n % 3], {front = 250, centre = -15, ground = 40})
    if n % 3 ~= 0 then tree = conventions.restated(tree, conventions.map(conventions.of(tree), to)) end
    local car, dice = load(tree), new_dice(n)
    if n % 4 ~= 0 then car = car:state "race" end
    for _ = 1, 5 do
      local s, why = mix(car, dice)
      if s then
        local count, points = grid(s)
        local p = plan.make(s)
        local columns, sds = run(p, s, count, points)
        local which = {}
        for i = 1, math.min(count, 3) do which[i] = 1 + dice.below(count) end
        local worst, what = worst_miss(p, s, points, columns, sds, which)
        local said = {}
        for i, input in ipairs(s.inputs) do said[i] = tostring(input.name) end
        check.ok(worst <= 1e-12, ("car %d, %s: %g, %s"):format(n, table.concat(said, ", "), worst, what))
        mixes = mixes + 1
        for _, out in ipairs(s.outputs) do
          all = all + 1
          if p.covers[out.name] == true then covered = covered + 1
          elseif os.getenv "PLAN_WHY" then print(n, table.concat(said, ", "), out.name, p.covers[out.name]) end
        end
      else
        refused = refused + 1
        if os.getenv "PLAN_WHY" then print(n, "refused", tostring(why)) end
      end
    end
  end
  check.ok(covered > 0.9 * all and sds_seen > MIXES, ("%d of %d outputs have a plan, %d uncertainties seen"):format(covered, all, sds_seen))
  if os.getenv "PLAN_WHY" then print(mixes, refused, covered, all) end
end)

-- ---- vehicles of the file --------------------------------------------------------------------------------------------------------

local everything = {"height", "yaw_index", "clearances.tightest", "shafts.worst_angle", "shafts.static_angle", "shafts.plunge",
  "corners.lf", "corners.heights.rear", "attitude.height", "transfer.lf", "transfer.roll", "transfer.front_transfer_share", "stability.ssf"}

-- file, inputs, outputs that must have a plan
local of_files = {
  {"twayblade", {vary("powertrain", "back", -40, 60, 3), vary("rear axle", "back", 0, 100, 3)}, everything},
  {"twayblade", {vary("powertrain", "nose_up", -3, 3, 3), vary("fuel", "fill", 0, 30, 4), vary("engine", "up", 0, 20, 2)}, everything},
  {"twayblade", {vary("state", {"kerb", "race start", "end of race"}), vary("fuel", "back", -20, 20, 3)}, everything},
  {"bistort", {vary("transaxle", "left_up", -2, 2, 3), vary("left shaft", "mass", 5, 9, 2), vary("front axle", "track", 1420, 1500, 2)},
    everything},
  {"bistort", {vary("driver", "swap", {"driver", "tall driver"}), vary("engine oil", "fill", 0, 4, 3)}, everything},
  {"burnet", {vary("luggage", "mass", 0, 40, 3), vary("front axle", "bar_rate", 0, 12, 3), vary("left_turn", 0, 0.4, 3)},
    {"corners.front_share", "transfer.roll", "attitude.roll", "stability.side_g"}},
  {"sedge", {vary({"engine", "exhaust"}, "nose_right", -3, 3, 3), vary("powertrain", "back", -30, 30, 3),
    vary("rear axle", "back", -30, 30, 3)}, {"yaw_index", "corners.lf", "transfer.roll", "attitude.pitch"}},
}

test("plan_of_files_with_shafts_gaps_tanks_and_states_equals_calls", function()
  for n, entry in ipairs(of_files) do
    local s = study(sy.load("vehicles/" .. entry[1] .. ".lua"), entry[2], entry[3], {left_turn = n ~= 6 and 0.4 or nil})
    local count, points = grid(s)
    local p = plan.make(s)
    for _, name in ipairs(entry[3]) do check.equal(p.covers[name], true, ("%s %d: %s"):format(entry[1], n, name)) end
    local columns, dice, which = run(p, s, count, points), new_dice(n), {1}
    for i = 2, 4 do which[i] = dice.between(1, count) end
    local worst, what = worst_miss(p, s, points, columns, {}, which)
    check.ok(worst <= 1e-11, ("%s %d: %g, %s"):format(entry[1], n, worst, what)) -- a sweep ends within a micrometre of its worst place
  end
end)

-- ---- fills --------------------------------------------------------------------------------------------------------------------

-- A box goes by powers, also with its uncertainties; a round tank, whose level follows no polynomial, piece by piece; few values are a
-- table. Asked in a thousand places of which no node knows.
test("plan_of_a_fill_holds_between_the_fills_it_tried", function()
  local round = sy.cylinder{diameter = 340, length = 500, axis = "y"}
  for name, shape in pairs{box = sy.box{420, 300, 320}, cylinder = round, sphere = sy.sphere{diameter = 440}} do
    for _, density in ipairs{0.75, sy.sd(0.745, 0.008)} do
      local car = tank_cars.car_of{tank_cars.fuel{shape = shape, density = density}, sy.part "body" {mass = 700, at = {1200, 3, 400}}}
      local uncertain = density ~= 0.75
      local s = study(car, {vary("fuel", "fill", 1, 35, 1237)}, {"front_share", "cg.z", "mass", "inertia.xx", "yaw_inertia", "lf"}, nil,
        uncertain)
      local n, points = grid(s)
      local p, dice, which = plan.make(s), new_dice(3), {1, n}
      for _, out in ipairs(s.outputs) do check.equal(p.covers[out.name], true, name .. " " .. out.name) end
      for i = 3, 40 do which[i] = dice.between(1, n) end
      local columns, sds = run(p, s, n, points)
      check.equal(next(sds) ~= nil, uncertain)
      local worst, what = worst_miss(p, s, points, columns, sds, which)
      check.ok(worst <= 1e-11, ("%s: %g, %s"):format(name, worst, what)) -- pieces are proved to 4e-12 of the largest number
    end
  end
end)

-- ---- the same bytes ------------------------------------------------------------------------------------------------------------

-- All columns as text, which differs with any bit.
local function bytes_of(s, columns)
  local all = {}
  for _, out in ipairs(s.outputs) do
    if columns[out.name] then
      for i = 1, #columns[out.name] do all[#all + 1] = string.pack("<d", columns[out.name][i] or 0) end
    end
  end
  return table.concat(all)
end

local N = 10007 -- a prime: no block ends with it

local function random_study()
  local s = study(sy.load "vehicles/tansy.lua":state "race start", {vary("powertrain", "back", -50, 50, 9),
    vary("powertrain", "nose_up", -3, 3, 9), vary("driver", "mass", 60, 100, 9), vary("rear axle", "back", -20, 20, 9),
    vary("state", {"race start", "no driver"}), vary("radiator", "up", -20, 20, 9)}, {"mass", "front_share", "cg.x", "cg.z", "lf", "rr",
    "cross_share", "yaw_inertia", "yaw_index", "sprung.mass", "corners.lf", "transfer.roll"}, {left_turn = 0.5})
  local dice, points = new_dice(5), {}
  for k, input in ipairs(s.inputs) do
    local list = {}
    for i = 1, N do
      -- runs of one value among single ones: what stands beside a variant must not show in it
      local same = i > 1 and dice.chance(k == 4 and 95 or 40)
      list[i] = same and list[i - 1] or input.words and dice.between(1, 2)
        or input.from + (input.to - input.from) * (k == 4 and dice.between(0, 4) / 4 or dice.below(100000) / 99999)
    end
    points[k] = core.column_of(list)
  end
  return s, points
end

-- A car whose rates follow the wheelbase by no polynomial: its values are compiled one by one, also the one that leaves the axle where it
-- is.
test("plan_of_two_axles_one_of_which_is_always_moved", function()
  mixed.seed(29)
  local car = load((mixed.tree()))
  local s = study(car, {vary("rear axle", "back", 0, 120, 4), vary("front axle", "track", {1400, 1480})}, {"front_share", "cg.z",
    "corners.lf"})
  local n, points = grid(s)
  local p = plan.make(s)
  for _, out in ipairs(s.outputs) do check.equal(p.covers[out.name], true, out.name) end
  local columns, sds = run(p, s, n, points)
  local worst, what = worst_miss(p, s, points, columns, sds, {1, 2, 3, 4, 5, 6, 7, 8})
  check.ok(worst < 1e-12, what)
end)

test("plan_bytes_do_not_depend_on_threads_blocks_slices_or_processor", function()
  local s, points = random_study()
  local p = plan.make(s)
  for _, out in ipairs(s.outputs) do check.equal(p.covers[out.name], true, out.name) end
  local first = bytes_of(s, (run(p, s, N, points)))
  for _, threads in ipairs{1, 2, 3, 5} do
    for _, block in ipairs{64, 256, 1000} do
      p.threads, p.block = threads, block
      check.ok(bytes_of(s, (run(p, s, N, points))) == first, ("%d threads, blocks of %d"):format(threads, block))
    end
  end
  p.threads, p.block = nil, nil
  local columns = {}
  for _, out in ipairs(s.outputs) do columns[out.name] = core.column(N) end
  for from = 1, N, 777 do p:run(from, math.min(777, N - from + 1), points, columns) end
  check.ok(bytes_of(s, columns) == first, "slices of 777")
  for _, level in ipairs{1, 3, 4} do
    local there = true
    for _, entry in ipairs(p.spec.sets) do
      for _, each in ipairs(entry.plans) do there = there and (not each or each:level(level)) end
    end
    if there then check.ok(bytes_of(s, (run(p, s, N, points))) == first, "level " .. level) end
  end
  local dice, which = new_dice(8), {}
  for i = 1, 12 do which[i] = dice.between(1, N) end
  local worst, what = worst_miss(p, s, points, (run(p, s, N, points)), {}, which)
  check.ok(worst <= 1e-12, what)
end)

-- Of what was not kept, too: in the bytes of a summary are counts, extremes and the variants that have them, and the exact sum.
test("plan_sums_up_to_the_same_bytes_with_any_threads_and_blocks_kept_or_not", function()
  local s, points = random_study()
  local p, want = plan.make(s), {}
  local columns, _, singly = run(p, s, N, points)
  for _, out in ipairs(s.outputs) do
    local whole = core.summary():add(columns[out.name], 1, N, 1)
    want[out.name] = whole:bytes()
    check.ok(whole:read().known > N / 2, out.name)
  end
  for _, threads in ipairs{1, 2, 3, 5} do
    for _, block in ipairs{64, 1000, false} do
      for _, keeps in ipairs{true, false} do
        local into, sums = {}, {}
        for _, out in ipairs(s.outputs) do into[out.name], sums[out.name] = keeps and core.column(N), core.summary() end
        p.threads, p.block = threads, block or nil
        local what = ("%d threads, blocks of %s"):format(threads, block)
        check.equal(p:run(1, N, points, into, nil, sums), singly, what)
        for _, out in ipairs(s.outputs) do check.ok(sums[out.name]:bytes() == want[out.name], what .. ": " .. out.name) end
      end
    end
  end
end)

check.done()
