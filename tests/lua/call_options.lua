--- For tests of what calls take in a table: one right table of every set of options, and the call that takes it.
--
--   of(sy).SET = {right table, ask, wrong = {[name] = value}, any = {[name] = true}, other = {[name] = {right table, ask}}}
--
-- ask(t) makes the call with t in place of the right table. wrong: a value without sense where a function has one; any: what takes whatever
-- is written; other: another call, for an option that the first one has no use for.

local call_options = {}

local stub_cars = dofile "tests/lua/stub_cars.lua"

local function lift_readings()
  return {{lift = 0, front = 283, rear = 418}, {lift = 300, front = 287}, {lift = 600, front = 291}}
end

-- The sets of cars on springs and of whole cars.
local function of_cars(sets, sy, car)
  sets.corners = {{}, function(t) return car:corners(t) end}
  sets.slope = {{nose_up = 1}, function(t) return car:corners{slope = t} end}
  sets.ends = {{front = 1}, function(t) return car:lower(t) end}
  sets.heights = {{front = 1}, function(t) return car:perches{heights = t} end}
  sets.reading = {{lf = 200, rf = 200, lr = 190, rr = 190}, function(t) return car:perches{cross_share = 50, reading = t} end}
  sets.perches = {{cross_share = 50.5}, function(t) return car:perches(t) end}
  sets.attitude = {{}, function(t) return car:attitude(t) end}
  sets.transfer = {{left_turn = 0.2}, function(t) return car:transfer(t) end}
  sets.stability = {{}, function(t) return car:stability(t) end}
  sets.tank = {{}, function(t) return car:tank("pod", t) end}
  sets.comparison = {{car, car}, function(t) return sy.compare(t) end}
  sets.save = {{}, function(t)
    local path = os.tmpname()
    os.remove(path)
    local saved = car:save(path, t)
    os.remove(path)
    return #saved.rewritten
  end}
  sets.changes = {{}, function(t) return sy.changes(car, car, t) end}
  sets.track = {{}, function(t) return sy.track("vehicles/history/tansy-2026-02-01.lua", t) end, wrong = {car = 5, dates = 5}}
  local function closure(t) return sy.closure(t) end
  sets.closure = {{whole = 10, parts = {{name = "case", mass = 10}}}, closure}
  sets.closure_line = {{name = "case", mass = 10}, function(t) return closure{parts = {t}} end}
  sets.closure_scale = {{}, function(t) return closure{parts = {{name = "case", mass = 10}}, scale = t} end}
  sets.reconcile = {{corners = {lf = 150, rf = 150, lr = 210, rr = 210}}, function(t) return car:reconcile(t) end}
end

-- Those of a lift.
local function of_lifts(sets, sy, car)
  local function whole() return {wheelbase = 2450, radii = {front = 290, rear = 305}, readings = lift_readings()} end
  local function within(name, more)
    return function(t)
      local fields = whole()
      for key, value in pairs(more or {}) do fields[key] = value end
      fields[name] = t
      return sy.cg_height(fields)
    end
  end
  local function tilted()
    return {lifted = "left", by = "angle", crown_radius = 60, tracks = {front = 1500, rear = 1480}, sd = {pad = 0.1},
            readings = {{angle = 0, left = 350, right = 350}, {angle = 8, left = 330}, {angle = 12, left = 319}}}
  end
  sets.cg_height = {whole(), function(t) return sy.cg_height(t) end,
    other = {crown_radius = {tilted(), function(t) return sy.cg_height(t) end}}}
  sets.car_cg_height = {{readings = lift_readings()}, function(t) return car:cg_height(t) end,
    other = {crown_radius = {tilted(), function(t) return car:cg_height(t) end},
             with_driver = {{readings = lift_readings()}, function(t) return car:state "no driver":cg_height(t) end}}}
  sets.sides = {{left = 2450, right = 2451}, within "wheelbase"}
  sets.radii = {{front = 290, rear = 305}, within "radii"}
  sets.tracks = {{front = 1400, rear = 1410}, within "tracks"}
  sets.half_tracks = {{left = 700, right = 704}, function(t) return within "tracks"{front = t, rear = 1410} end}
  sets.wheel_rates = {{front = 200, rear = 210}, within "tyre_rate"}
  sets.unsprung = {{front = 30, rear = 40}, within "unsprung"}
  sets.ride = {{front = -10, rear = -12}, within "at_ride"}
  sets.place = {{back = 2300, height = 200}, within("jack", {by = "jack"})}
  sets.jacks = {{rear = {back = 2300, height = 200}}, within("jack", {by = "jack"})}
  sets.lift_sd = {{pad = 0.1}, within "sd", other = {angle = {{pad = 0.1}, within("sd", {by = "angle", readings = {
    {angle = 0, front = 283, rear = 418}, {angle = 6, front = 287}, {angle = 12, front = 291}}})}}}
  sets.lift_against = {{height = 350}, within "against"}
  sets.with_driver = {{mass = 80, height = 400}, within "with_driver"}
  sets.without_driver = {{mass = 80, height = 400}, within "without_driver"}
  sets.lift_reading = {{lift = 0, front = 283, rear = 418}, function(t)
    local fields = whole()
    fields.readings[1] = t
    return sy.cg_height(fields)
  end, any = {note = true, run = true}}
  local function leant() return {nose_down = 20, back = 1280, height = 312} end
  sets.lift_tank = {{mass = 20, at = {back = 1290, height = 310}, tilted = {leant()}}, function(t) return within "tanks"{t} end,
    wrong = {centre = 5}}
  sets.tilted_place = {leant(), function(t)
    return within "tanks"{{mass = 20, at = {back = 1290, height = 310}, tilted = {t}}}
  end}
  local function plan() return {within = 10, pads = {sd = 0.1}, wheelbase = 2450, radii = {front = 290, rear = 305}, mass = 700} end
  local function planned(name, list)
    return function(t)
      local fields = plan()
      fields[name] = list and {t} or t
      return sy.plan_lift(fields)
    end
  end
  sets.plan_lift = {plan(), function(t) return sy.plan_lift(t) end}
  sets.car_plan_lift = {{within = 10, pads = {sd = 0.1}}, function(t) return car:plan_lift(t) end}
  sets.plan_pads = {{sd = 0.1}, planned "pads"}
  sets.low_point = {{back = 100, height = 90}, planned("low_points", true)}
  sets.plan_sd = {{}, planned "sd"}
  sets.corner_loads = {{lf = 150, rf = 150, lr = 200, rr = 200}, planned "corners"}
end

-- Those of measuring parts, and of a car on scales.
local function of_measuring(sets, sy)
  sets.pendulum = {{kind = "compound", mass = 14, arm = 196, period = 1.26}, function(t) return sy.pendulum(t) end}
  sets.hang = {{axis = {1, 0, 0}, kind = "torsion", stiffness = 3, period = 1}, function(t) return sy.pendulum{hangs = {t}} end}
  sets.arms = {{r1 = 300, r2 = 310}, function(t) return sy.pendulum{kind = "bifilar", mass = 20, wire = 1500, arms = t, period = 2} end}
  sets.rod = {{mass = 2, length = 900, diameter = 20, period = 1}, function(t)
    return sy.pendulum{kind = "torsion", rod = t, period = 2}
  end}
  sets.platform = {{period = 1}, function(t) return sy.pendulum{kind = "torsion", stiffness = 3, platform = t, period = 2} end}
  local function run() return {lf = 150, rf = 150, lr = 210, rr = 210} end
  sets.corner_scales = {{runs = {run()}}, function(t) return sy.corner_scales(t) end}
  sets.scales_run = {run(), function(t) return sy.corner_scales{runs = {t}} end}
  sets.scales_sd = {{reading = 0.1}, function(t) return sy.corner_scales{runs = {run()}, sd = t} end}
  sets.plank = {{ratio = 2}, function(t) return sy.corner_scales{runs = {run()}, plank = t} end}
  local function feet() return {A = {150, -200, 0}, B = {150, 200, 0}, C = {-300, 0, 0}} end
  local function stood() return {readings = {A = 15, B = 22, C = 57}} end
  local function part(name)
    return function(t)
      local fields = {supports = feet(), poses = {stood()}}
      fields[name] = t
      return sy.part_cg(fields)
    end
  end
  sets.part_cg = {{supports = feet(), poses = {stood()}}, function(t) return sy.part_cg(t) end}
  sets.pose = {stood(), function(t) return part "poses"{t} end, any = {name = true}}
  sets.part_sd = {{reading = 0.1}, part "sd"}
  sets.edge = {{balance_at = 120}, function(t) return sy.part_cg{edge = t} end}
  sets.part_axes = {{x = "back", y = "right", z = "up"}, part "axes"}
  sets.crank = {{y = 0, z = 10}, part "crank"}
  local function line() return {from = {-310, -20, 240}, to = {8, 18, -85}} end
  local function other() return {from = {180, 0, 310}, to = {-146, 9, -68}} end
  sets.hang_cg = {{lines = {line(), other()}}, function(t) return sy.hang_cg(t) end}
  sets.plumb_line = {line(), function(t) return sy.hang_cg{lines = {t, other()}} end}
  local function body() return {mass = 50, cg = {100, 20, 30}} end
  local function rest() return {mass = 40, cg = {110, 10, 20}} end
  local function less(t) return sy.subtract(t) end
  sets.subtract = {{whole = body(), without = rest()}, less, other = {
    tracks = {{whole = {lf = 20, rf = 20, lr = 30, rr = 30}, without = {lf = 10, rf = 10, lr = 20, rr = 20}, wheelbase = 2400}, less}}}
  sets.weighed_body = {body(), function(t) return sy.subtract{whole = t, without = rest()} end}
  sets.some_point = {{x = 100}, function(t) return sy.subtract{whole = {mass = 50, cg = t}, without = rest()} end}
  sets.inertia = {{xx = 3, yy = 4, zz = 5}, function(t)
    local whole, without = body(), rest()
    whole.inertia, without.inertia = t, {xx = 2, yy = 3, zz = 3.5}
    return sy.subtract{whole = whole, without = without}
  end}
  sets.mesh = {{unit = "mm"}, function(t) return sy.mesh("vehicles/shapes/saddle_tank.obj", t) end}
end

-- Those of the shop.
local function of_shop(sets, sy, car)
  local function drawn() return {a = {0, 700}, b = {0, -700}, c = {2400, 700}, d = {2400, -700}} end
  local function surveyed(name)
    return function(t)
      local fields = {drawn = drawn(), measured = drawn()}
      fields[name] = t
      return sy.survey(fields)
    end
  end
  sets.survey = {{drawn = drawn(), measured = drawn()}, function(t) return sy.survey(t) end}
  sets.tapes = {{A = {0, 2000}, B = {2400, 2000}}, surveyed "tapes"}
  sets.taped = {{a = 1300, b = 2730}, function(t)
    local measured = drawn()
    measured.a = t
    return sy.survey{drawn = drawn(), measured = measured, tapes = {{0, 2000}, {2400, 2000}}}
  end}
  local function handling(t) return car:handling(t) end
  local lifted = {{grip = 0.9}, handling}
  sets.handling = {{}, handling, other = {reach = lifted, height = lifted, travel = lifted, twist = lifted, frequency = lifted,
    grip = {{twist = 10}, handling}}}
  local points = {{900, 200, 600}, {900, -200, 600}, {1300, 0, 600}}
  local function hoisted(name, more)
    return function(t)
      local fields = {points = points}
      for key, value in pairs(more or {}) do fields[key] = value end
      fields[name] = t
      return car:hoist("tub", fields)
    end
  end
  local function hoist(t) return car:hoist("tub", t) end
  sets.hoist = {{points = points}, hoist, other = {reach = {{points = points, boom = {{1200, 900}}}, hoist}}}
  sets.boom_line = {{reach = 1200, kg = 900}, function(t) return hoisted("boom", {reach = 1000}){t} end}
  sets.hanging = {{nose_up = 1}, hoisted "hang"}
  sets.markout = {{}, function(t) return car:markout(t) end}
  sets.stands = {{at = {{0, 600}, {0, -600}, {2300, 0}}}, function(t) return car:stands(t) end}
  sets.clearances = {{}, function(t) return car:clearances(t) end}
  sets.dipstick = {{}, function(t) return sy.load "vehicles/twayblade.lua":dipstick("fuel", t) end}
  sets.inertia_of = {{}, function(t) return car:inertia(t) end}
  sets.overlaps = {{}, function(t) return car:overlaps(t) end}
  sets.scene = {{}, function(t) return car:scene(t) end}
  sets.drawing = {{}, function(t) return car:draw(t) end}
  sets.picture = {{replace = true}, function(t)
    local path = os.tmpname()
    os.remove(path)
    car:balance():plot(path .. ".svg", t)
    local file <close> = assert(io.open(path .. ".svg", "rb"))
    os.remove(path .. ".svg")
    return file:read "a"
  end}
  sets.rock = {{what = "tub"}, function(t) return car:clearances{at = "rock", rock = t} end}
  sets.shafts = {{}, function(t) return car:shafts(t) end}
  sets.travels = {{droop = 60}, function(t) return car:shafts{travels = t} end}
end

-- Studies: a setting needs something shown that it acts on.
local function of_studies(sets, sy, car)
  local function study(t) return sy.study(t) end
  local function of(show, more)
    local t = {car, vary = {sy.vary("tub", "back", 0, 20, 2)}, show = {show}}
    for key, value in pairs(more or {}) do t[key] = value end
    return {t, study}
  end
  local corners, turn, tips = of "corners.lf", of("transfer.roll", {left_turn = 0.3}), of "stability.ssf"
  local driven = of("transfer.roll", {drive = 0.1})
  sets.study = of "mass"
  sets.study.wrong = {change = 5}
  local folded = of("mass", {vary = {sy.vary("tub", "back", 0, 20, 2), sy.vary("tub", "mass", 300, 310, 2)}})
  sets.study.other = {
    car = {{car = car, vary = {sy.vary("tub", "back", 0, 20, 2)}, show = {"mass"}}, study}, worst_over = folded,
    points = of("mass", {method = "list", points = {{5}, {9}}}), seed = of("mass", {method = "latin", points = 3}),
    pads = corners, perches = corners, preload = corners, slope = corners, bars = turn, reset = turn, downforce = turn, left_turn = turn,
    right_turn = of("transfer.roll", {right_turn = 0.3}), braking = turn, drive = driven, brake_front_share = turn, mu = tips,
      required = tips,
    drive_front_share = tips}
end

-- Simulations: pads and slopes need something shown that stands on them.
local function of_spreads(sets, sy, car)
  local function spread(t) return sy.spread(t) end
  local function of(show, more)
    local t = {car, draws = 100, seed = 1, show = {show}}
    for key, value in pairs(more or {}) do t[key] = value end
    return {t, spread}
  end
  sets.spread = of "mass"
  sets.spread.other = {car = {{car = car, draws = 100, seed = 1, show = {"mass"}}, spread}, pads = of "corners.lf", slope = of "corners.lf"}
  sets.level_pads = {{sd = 0.5}, function(t) return sy.spread{car, draws = 100, seed = 1, show = {"corners.lf"}, pads = t} end}
end

-- Ballast in a slot, and the slot.
local function of_ballast(sets, car)
  local function slot() return {"lead", at = {-300, 0, 100}, max = 20} end
  local function ballast(t) return car:ballast(t) end
  sets.ballast = {{target = {front_share = {42, 3}}, slots = {slot()}, minimum = 300, quiet = true}, ballast,
                  other = {finish = {{target = {front_share = {42, 3}}, slots = {slot()}, finish = {pod = 1}}, ballast}}}
  local function slotted(t) return ballast{target = {front_share = {42, 3}}, slots = {t}} end
  sets.ballast_slot = {slot(), slotted, other = {name = {{name = "lead", at = {-300, 0, 100}, max = 20}, slotted}}}
end

-- A stint, and one of its drivers.
local function of_stints(sets, car)
  local function stint(t) return car:stint(t) end
  sets.stint = {{fuel = {from = 5, to = 2}, tank = "pod", show = {"mass"}}, stint}
  local function driven(t) return stint{fuel = {5, 2}, tank = "pod", show = {"mass"}, drivers = {t}} end
  sets.stint_driver = {{"driver"}, driven, other = {name = {{name = "driver"}, driven}}}
end

local function of_reports(sets, sy, car)
  local function report(t) return #sy.report(t).sections end
  sets.report = {{car}, report, other = {car = {{car = car}, report}}}
end

local function of_sensitivities(sets, sy, car)
  local function sensitivity(t) return sy.sensitivity(t) end
  local function of(more)
    local t = {car, show = {"mass"}}
    for key, value in pairs(more or {}) do t[key] = value end
    return {t, sensitivity}
  end
  sets.sensitivity = of()
  sets.sensitivity.other = {car = {{car = car, show = {"mass"}}, sensitivity}, vary = of{vary = {sy.vary("tub", "back", 0, 20, 2)}}}
end

-- Searches: likewise; least and most go together with a target, and not with each other. Where the solver is not built in, all that is
-- refused is refused before.
local function of_searches(sets, sy, car)
  local not_built_in = {}
  local function seek(t)
    local fine, r = pcall(sy.seek, t)
    if not fine and not (type(r) == "table" and r.code == "unavailable") then error(r, 0) end
    return fine and r or not_built_in
  end
  local function of(more)
    local t = {car, vary = {sy.vary("tub", "back", 0, 20)}, starts = 2}
    for key, value in pairs(more) do t[key] = value end
    return {t, seek}
  end
  local usual, least = of{target = {front_share = {50, 60}}}, of{least = "front_share"}
  local corners, turn, tips = of{least = "corners.lf"}, of{least = "transfer.roll", left_turn = 0.3}, of{least = "stability.grade.up"}
  sets.seek = usual
  sets.seek.other = {
    car = {{car = car, vary = {sy.vary("tub", "back", 0, 20)}, least = "front_share"}, seek}, least = least,
    most = of{most = "front_share"},
    worst_over = of{least = "front_share", vary = {sy.vary("tub", "back", 0, 20), sy.vary("tub", "mass", 300, 310, 2)}},
    pads = corners, perches = corners, preload = corners, slope = corners, bars = turn, reset = turn, downforce = turn, left_turn = turn,
    right_turn = of{least = "transfer.roll", right_turn = 0.3}, braking = turn, drive = of{least = "transfer.roll", drive = 0.1},
    brake_front_share = turn, mu = tips, required = tips, drive_front_share = tips}
  if not pcall(require, "steelyard.seek_nlopt") then -- what stands inside them is looked at by the search itself
    sets.seek.any = {}
    for name in ([[pads perches preload slope bars reset downforce left_turn right_turn braking drive brake_front_share mu required
      drive_front_share]]):gmatch "%S+" do
      sets.seek.any[name] = true
    end
  end
end

--- All sets, on a car of two axles on springs.
function call_options.of(sy)
  local sets, car = {}, sy.car(stub_cars[1])
  of_cars(sets, sy, car)
  of_lifts(sets, sy, car)
  of_measuring(sets, sy)
  of_shop(sets, sy, car)
  of_studies(sets, sy, car)
  of_ballast(sets, car)
  of_stints(sets, car)
  of_spreads(sets, sy, car)
  of_sensitivities(sets, sy, car)
  of_reports(sets, sy, car)
  of_searches(sets, sy, car)
  return sets
end

return call_options
