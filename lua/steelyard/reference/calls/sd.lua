--- The table of calls, continued: which numbers of a result have a standard uncertainty under `sd`.
--
-- {[result] = paths}: words as in calls.lua, "?" where it may be missing; types and units are those of the fields of the same names.
-- WHEELS: of the load of each wheel. A list has the words first and then fields of its own, as in calls.lua.

-- All that the core has of a balance, but for the wheels.
local function of_balance()
  local wheels, words = {lf = true, rf = true, lr = true, rr = true, f = true, r = true}, {}
  for _, q in ipairs(require("steelyard.reference.quantities").list) do
    if q.set == "balance" and not wheels[q.name] then words[#words + 1] = q.name .. (q.optional and "? " or " ") end
  end
  return table.concat(words)
end

local loads = "mass front rear left right front_share left_share cross_share? diagonal_ratio?"

return {
  balance = of_balance() .. "sprung.cg.x? sprung.cg.y? sprung.cg.z? unsprung.cg.x? unsprung.cg.y? unsprung.cg.z? axle WHEELS",
  corners = loads .. " WHEELS",
  ballast = {"", {"[string]", "number", "", "of each target as reached, by its name"}},
  stint = {"", {"[string]", "number", "", "of each mean by the name of its quantity, in its unit: the most it can be"}},
  perches = {"cross_share? WHEELS", {"mass?", "number", "kg", "of the loads then"}, {"front?", "number", "kg", "the same"},
    {"rear?", "number", "kg", "the same"}, {"left?", "number", "kg", "the same"}, {"right?", "number", "kg", "the same"},
    {"front_share?", "number", "%", "the same"}, {"left_share?", "number", "%", "the same"}, {"diagonal_ratio?", "number", "", "the same"}},
  transfer = "front_transfer_share? total_transfer? gain? heights? pitch? pitch_gain? roll? twist? rigid_lift?.g? first_lift?.g WHEELS",
  stability = "ssf? side_g margin margins tip grade.up grade.down traction? split?.ideal? side.left_turn? side.right_turn? brake?.ideal "
    .. "brake?.critical_z? brake?.front_locks? brake?.rear_locks? brake?.at? compliant?.tip lift.left.angle? lift.right.angle? "
    .. "compliant?.lift.left.angle? compliant?.lift.right.angle?",
  person = "mass cg.x cg.y cg.z lower_legs heels.forward heels.up heels_least? heels_most?",
  body_inertia = {"roll_inertia pitch_inertia yaw_inertia", {"inertia", "table<string, number>", "kg m2", "of each entry"},
    {"principal", "number[]", "kg m2", "of each moment"}},
  tank = {"litres unusable? usable?", {"under?", "number[]", "litre", "of what cannot be drawn, force by force"}},
  attitude = "height heights? pitch? roll? twist? rake?",
  book = {"", {"mass", "number", "kg", "of the total"}, {"cg.x", "number", "mm", "the same"}, {"cg.y", "number", "mm", "the same"},
    {"cg.z", "number", "mm", "the same"}},
  checks = {"", {"[integer]", "number", "", "of each value, by its place in the list"}},
  clearances = {"", {"[integer]", "number", "mm", "of each gap, by its place in the list"}},
  overlaps = {"", {"[integer]", "number", "mm", "of each gap, by its place in the list; 0 of what intersects"}},
  comparison = {"", {"[string]", "number[]", "", "of each row by the name of its quantity, as in the row"}},
  changes = {"", {"d_mass?", "number", "kg", "of the total"}, {"d_front_share?", "number", "%", "the same"},
    {"d_left_share?", "number", "%", "the same"}, {"d_height?", "number", "mm", "the same"},
    {"d_yaw_inertia?", "number", "kg m2", "the same"}},
  pendulum = "inertia period?",
  guesses = {"", {"assume", "table<string, number>", "%", "of each, by basis"}},
  built = "mass front_share left_share cross_share? height",
  recorded = "mass? height? front_share? left_share? cross_share?",
  corner_scales = "mass? front? rear? left? right? lf? rf? lr? rr? f? r? front_share? left_share? cross_share? diagonal_ratio? "
    .. "pad? closure?",
  part_cg = "mass? cg.x? cg.y? cg.z?",
  hung = "cg.x cg.y cg.z",
  reconciled = {"mass cg.x cg.y cg.z lf? rf? lr? rr? f? r? cross_share?", {"warp?", "number", "kg", "of the first wheel's"}},
  remainder = "mass cg.x? cg.y? cg.z? inertia?",
  cg_height = {"height mass cg.x? cg.y? cg.z front_share? left_share? cg_behind? cg_left?",
    {"pad", "number", "kg", "of one pad, widened where the readings scatter"}},
  lift_plan = {"", {"height", "number", "mm", "of the height of the CG that the plan comes to"}},
  hoist = "mass pitch roll",
  scene = "mass front_share height cg_behind cg_left",
  drawing = {"mass front_share cg_height cg_behind cg_left", {"axles", "number[]", "kg", "of each load"}},
  survey = "turn shift.x shift.y",
  stands = "margin kg_to_tip.front? kg_to_tip.rear?",
  shafts = "worst_angle?",
  sensitivity = {"", {"[string]", "number", "", "of each quantity by its name, in its unit"}},
  weigh_next = {"", {"[string]", "number", "", "of each quantity by its name, in its unit"}},
  seek = {"", {"[string]", "number", "", "of each answer reached, also of the nearest place, by the name of its quantity"}},
}
