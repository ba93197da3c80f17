--- The table of calls, continued: the height of the CG by lifting an end. See calls.lua for what an entry says.

local calls = {}

local set_up = "wheelbase (a number or {left, right}); radii {front, rear}, loaded; tracks? {front, rear}; lifted \"rear\" (default), "
  .. "\"front\", \"left\" or \"right\"; by \"wheel\" (default: height under the tyre), \"jack\" (at the point jack = {back, height}) "
  .. "or \"angle\" (with a jack: of a body held there); on \"pads\" (default: level) or \"plane\" (pads tilt with the "
  .. "car); suspension \"locked\" (default) or {front, "
  .. "rear}, N/mm at a wheel; tyre_rate? (N/mm, only lifts in mm ask for it); unsprung? {front, rear}; tanks? \"full\", \"empty\" or "
  .. "a list of {mass, at = {back, height}, tilted = {{nose_up or nose_down, back, height}, ...}} or {mass, centre = function of "
  .. "degrees nose up that gives back, height}; crown_radius for a side; blocks? {name = mm}, heights under both wheels that a "
  .. "reading's lift may list: {\"a\", \"b\"} (the same block errs the same); mass? weighed elsewhere; roof?; sd {pad, step, lift, "
  .. "angle, radius, wheelbase, zero}: pad is of each load as written, lift and angle of lifted readings and of blocks without their "
  .. "own (a level reading has what it states), zero the drift over the session; readings, a list in the order they "
  .. "were taken, of {run?, going?, lift or angle, front, rear or lf, rf, lr, rr, lifted?}; against? {height, mass?}; at_ride? "
  .. "{front, rear}, mm up; with_driver?, without_driver? {mass, height}; title, state"

local plan = "within, mm (95 %); pads {sd, step}; lifted \"rear\" or \"front\"; wheelbase, radii, mass, front_share, height (a "
  .. "guess); corners? {lf, rf, lr, rr}, level; lifts?, a list of mm to say the pads' readings for (default: the plan's steps); "
  .. "steps (4); low_points, a list of {name, back or forward, height}; most, mm; sd {lift, radius, wheelbase, zero}"

calls.module = {
  {"sy.cg_height", {{"fields", "table", set_up}}, "cg_height",
    "Height of the CG from loads read level and with an end lifted, what its uncertainty is made of and what spoils it. result:plan(mm) "
    .. "says what it would take to do better."},
  {"sy.plan_lift", {{"fields", "table", plan}}, "lift_plan",
    "How high to lift, how often, what touches first, how high to block the pads and what each pad will read, before the lift."},
}

calls.car = {
  {"car:cg_height", {{"fields", "table", "as sy.cg_height; geometry, radii, tracks, unsprung masses, tyres and the ledger's height "
    .. "come from the car, suspension may be \"free\", jack a point of the file, with_driver and without_driver a part's name "
    .. "(nobody who is aboard is added again)"}}, "cg_height",
    "The same for this car in its load state; cg is in file axes."},
  {"car:plan_lift", {{"fields", "table", "as sy.plan_lift; geometry, mass and height come from the car, low points from the file's "
    .. "points"}},
    "lift_plan", "The plan for this car in its load state."},
}

-- what both say
local function lifted(...)
  return {
    {"state", "text", "", "as weighed, in which load state"}, {"heading", "text", "", "title and state"},
    {"notes", "text[]", "", "assumptions, warnings and cautions, each a sentence"}, ...,
  }
end

calls.results = {
  {"cg_height", "What sy.cg_height and car:cg_height give. Side lifts answer left_share and cg.y in place of front_share and cg.x.",
    fields = lifted(
    {"title?", "text", "", "as given"}, {"height", "number", "mm", "of the CG above the ground, as the car stood level"},
    {"interval.low", "number", "mm", "of the interval that holds it"}, {"interval.high", "number", "mm", "the same"},
    {"interval.coverage", "number", "", "with this probability"}, {"interval.factor", "number", "", "its half-width / sd"},
    {"interval.dof?", "number", "", "effective degrees of freedom; none when all uncertainties are stated"},
    {"intervals.height.low", "number", "mm", "the same as interval"}, {"intervals.height.high", "number", "mm", "the same"},
    {"intervals.height.coverage", "number", "", "0.95"}, {"intervals.height.factor", "number", "", "its half-width / sd"},
    {"intervals.height.dof?", "number", "", "effective degrees of freedom"},
    {"intervals.mass.low", "number", "kg", "of the mass"}, {"intervals.mass.high", "number", "kg", "the same"},
    {"intervals.mass.coverage", "number", "", "0.95"}, {"intervals.mass.factor", "number", "", "its half-width / sd"},
    {"intervals.mass.dof?", "number", "", "effective degrees of freedom"},
    {"intervals.cg_behind?.low", "number", "mm", "of the place behind the front axle"},
    {"intervals.cg_behind?.high", "number", "mm", "the same"},
    {"intervals.cg_behind?.coverage", "number", "", "0.95"}, {"intervals.cg_behind?.factor", "number", "", "its half-width / sd"},
    {"intervals.cg_behind?.dof?", "number", "", "effective degrees of freedom"},
    {"intervals.cg_left?.low", "number", "mm", "of the place left of the centre"},
    {"intervals.cg_left?.high", "number", "mm", "the same"},
    {"intervals.cg_left?.coverage", "number", "", "0.95"}, {"intervals.cg_left?.factor", "number", "", "its half-width / sd"},
    {"intervals.cg_left?.dof?", "number", "", "effective degrees of freedom"},
    {"intervals.front_share?.low", "number", "%", "of the front share"}, {"intervals.front_share?.high", "number", "%", "the same"},
    {"intervals.front_share?.coverage", "number", "", "0.95"}, {"intervals.front_share?.factor", "number", "", "its half-width / sd"},
    {"intervals.front_share?.dof?", "number", "", "effective degrees of freedom"},
    {"intervals.left_share?.low", "number", "%", "of the left share, of a side lift"},
    {"intervals.left_share?.high", "number", "%", "the same"},
    {"intervals.left_share?.coverage", "number", "", "0.95"}, {"intervals.left_share?.factor", "number", "", "its half-width / sd"},
    {"intervals.left_share?.dof?", "number", "", "effective degrees of freedom"},
    {"mass", "number", "kg", "mean of the runs"}, {"cg.x?", "number", "mm", "behind the front axle, or the file's x"},
    {"cg.y?", "number", "mm", "right of the centre, or the file's y, from four pads"},
    {"cg.z", "number", "mm", "height, or the file's z"},
    {"cg_behind?", "number", "mm", "behind the front axle, whatever the axes"},
    {"cg_left?", "number", "mm", "left of the centre, whatever the axes; from four pads or a side lift"},
    {"front_share?", "number", "%", "level"}, {"left_share?", "number", "%", "level, of a side lift"},
    {"wheelbase", "number", "mm", "or the track of a side lift"}, {"radii", "table<string, number>", "mm", "as used"},
    {"by", "text", "", "wheel, jack or angle"},
    {"on", "text", "", "pads, or a plane that tilts with them"}, {"suspension", "text", "", "locked or free"},
    {"rows[].run", "text", "", "its run"}, {"rows[].what", "text", "", "in words"},
    {"rows[].lifted", "text", "", "the end that is up, or level"},
    {"rows[].lift?", "number", "mm", "as read"}, {"rows[].angle", "number", "deg", "tilt of the body, by lift or angle"},
    {"rows[].end_read", "text", "", "the end whose load is shown: the one that stays, if it was read"},
    {"rows[].load", "number", "kg", "as read"}, {"rows[].residual", "number", "kg", "read less fitted"},
    {"rows[].sigmas?", "number", "", "residual over its own uncertainty; none where the fit cannot test it"},
    {"rows[].redundancy", "number", "", "share of an error that would show in the residual"},
    {"rows[].height?", "number", "mm", "from this reading with its run's level"},
    {"rows[].sd.height?", "number", "mm", "standard uncertainty"},
    {"runs[].run", "text", "", "name"}, {"runs[].readings", "number", "", "how many"},
    {"runs[].front?", "number", "kg", "level load, fitted"}, {"runs[].rear?", "number", "kg", "the same"},
    {"runs[].left?", "number", "kg", "the same, of a side lift"}, {"runs[].right?", "number", "kg", "the same"},
    {"runs[].sd", "table<string, number>", "kg", "by the same names"},
    {"chi2", "number", "", "of the fit"}, {"dof", "number", "", "readings to spare"}, {"p?", "number", "", "chance of a larger chi2"},
    {"widened", "number", "", "factor on pads and lifts when the readings scatter more than stated, else 1"},
    {"run_sd?", "number", "kg", "of a level load from run to run, when they differ more than the readings explain"},
    {"held?", "boolean", "", "true when by angle at a jacking point"},
    {"suspect?.what?", "text", "", "the load or lift that is off"}, {"suspect?.reading?", "text", "", "of which reading"},
    {"suspect?.run?", "text", "", "in which run"}, {"suspect?.lift?", "number", "", "as read"},
    {"suspect?.sigmas?", "number", "", "how far off"},
    {"suspect?.critical?", "number", "", "what chance allows, 5 % over all"},
    {"suspect?.tied?", "text[]", "", "what would look just the same, were it wrong"},
    {"hysteresis?.end", "text", "", "axle with the largest gap between two runs' levels"},
    {"hysteresis?.gap", "number", "kg", "to less from"},
    {"hysteresis?.sd", "number", "kg", "of the gap"}, {"hysteresis?.sigmas", "number", "", "gap / sd"},
    {"hysteresis?.clear", "boolean", "", "more than 2 sigmas"}, {"hysteresis?.from", "text", "", "a run"},
    {"hysteresis?.to", "text", "", "a run"},
    {"hysteresis?.height_with_one_level?", "number", "mm", "what one level for all runs would have said"},
    {"trend?.change", "number", "mm", "of the height from level to the steepest tilt, were it to change"},
    {"trend?.sd", "number", "mm", "of that change"}, {"trend?.sigmas", "number", "", "change / sd"},
    {"trend?.to", "number", "deg", "steepest tilt"},
    {"trend?.clear", "boolean", "", "more than 2 sigmas"},
    {"budget[].source", "text", "", "what the uncertainty comes from, the largest first"},
    {"budget[].u", "number", "mm", "standard uncertainty by it"},
    {"budget[].share", "number", "%", "of the variance"}, {"spoils", "text", "", "the one thing that spoils it, in words"},
    {"against?.name?", "text", "", "what it is held against"}, {"against?.ledger?", "number", "mm", "its height"},
    {"against?.gap?", "number", "mm", "measured less that"}, {"against?.sigmas?", "number", "", "gap over the uncertainty of both"},
    {"against?.agrees?", "boolean", "", "within the 95 % of both"}, {"against?.sd.ledger?", "number", "mm", "of its height"},
    {"against?.sd.gap?", "number", "mm", "of the gap"}, {"against?.mass?", "number", "kg", "its mass"},
    {"against?.mass_gap?", "number", "kg", "measured less that"}, {"against?.sd.mass_gap?", "number", "kg", "of that gap"},
    {"against?.mass_agrees?", "boolean", "", "within the 95 % of both"},
    {"at_ride?.height", "number", "mm", "at the ride height asked for"}, {"at_ride?.rise", "number", "mm", "of the CG"},
    {"at_ride?.front", "number", "mm", "up at the front axle"}, {"at_ride?.rear", "number", "mm", "up at the rear axle"},
    {"at_ride?.sd.height", "number", "mm", "standard uncertainty"},
    {"with_driver?.name", "text", "", "who"}, {"with_driver?.mass", "number", "kg", "of the person"},
    {"with_driver?.at", "number", "mm", "height of the person's CG"}, {"with_driver?.height", "number", "mm", "of the CG then"},
    {"with_driver?.total", "number", "kg", "the mass then"}, {"with_driver?.sd.height", "number", "mm", "standard uncertainty"},
    {"without_driver?.name", "text", "", "who"}, {"without_driver?.mass", "number", "kg", "of the person"},
    {"without_driver?.at", "number", "mm", "height of the person's CG"}, {"without_driver?.height", "number", "mm", "of the CG then"},
    {"without_driver?.total", "number", "kg", "the mass then"}, {"without_driver?.sd.height", "number", "mm", "standard uncertainty"})},
  {"lift_plan", "What sy.plan_lift, car:plan_lift and result:plan give.", fields = lifted(
    {"title?", "text", "", "as given"}, {"within", "number", "mm", "asked for, 95 %"}, {"lifted", "text", "", "rear or front"},
    {"possible", "boolean", "", "up to 20 degrees, or the most that was allowed"},
    {"lift", "number", "mm", "least lift that does it, or the highest"},
    {"angle", "number", "deg", "its tilt"}, {"repeats", "number", "", "times up and down"}, {"steps", "number", "", "each way"},
    {"half_width", "number", "mm", "what it is then good to, 95 %"},
    {"pad", "number", "kg", "standard uncertainty of one pad, its step among it"},
    {"choices[].lift", "number", "mm", "the same from so many repeats"}, {"choices[].angle", "number", "deg", "its tilt"},
    {"choices[].repeats", "number", "", "times up and down"}, {"choices[].half_width", "number", "mm", "what it is good to"},
    {"touches[].point", "text", "", "a low point, the first to touch first"},
    {"touches[].lift?", "number", "mm", "at which it touches; none up to 20 degrees"},
    {"touches[].back", "number", "mm", "behind the front axle"}, {"touches[].height", "number", "mm", "above the ground, level"},
    {"pads_needed?.sd", "number", "kg", "pads that would do in one session"},
    {"pads_needed?.lift?", "number", "mm", "up to this lift, where nothing touches yet"},
    {"expected[].lift", "number", "mm", "what the pads will read at this lift, by the height assumed"},
    {"expected[].angle", "number", "deg", "its tilt"}, {"expected[].front", "number", "kg", "both front pads"},
    {"expected[].rear", "number", "kg", "both rear pads"}, {"expected[].lf?", "number", "kg", "that pad, each axle shared as level"},
    {"expected[].rf?", "number", "kg", "the same"}, {"expected[].lr?", "number", "kg", "the same"},
    {"expected[].rr?", "number", "kg", "the same"},
    {"expected[].per_10_mm", "number", "kg", "more on the axle that stays down were the CG 10 mm higher"},
    {"expected_height", "number", "mm", "height of the CG that was assumed"},
    {"blocks", "number", "mm", "equal blocks under all four pads, 20 mm to spare; 0 when none are needed"},
    {"limited_by", "text", "", "what most of the uncertainty comes from"}, {"limited_share", "number", "%", "how much of it"})},
}

return calls
