--- The table of quantities: what can be printed, compared, limited and asked for by name.
--
-- name      the path in the result: "front_share", "cg.x", "inertia.zz"
-- label     for headings and rows      unit, decimals   as printed
-- change    decimals of a change, where finer than the value's
-- meaning   one line for the reference page
-- from      "core": steelyard.core answers it, doubts included; "balance": a field of the balance sheet without doubt;
--           "later": the name is kept for limits and tables, the answer is "unknown" until the car can give it

local list = {
  {"mass", "mass", "kg", 1, "total of everything aboard", change = 2},
  {"mass_with_growth", "mass with growth", "kg", 1, "the same with the growth allowances of immature parts", from = "balance"},
  {"front", "front", "kg", 1, "load on the first axle", change = 2},
  {"rear", "rear", "kg", 1, "load on all other axles", change = 2},
  {"left", "left", "kg", 1, "load on the left wheels, a wheel on the centre line counting half", change = 2},
  {"right", "right", "kg", 1, "load on the right wheels", change = 2},
  {"front_share", "front", "%", 2, "front axle load by total"},
  {"left_share", "left", "%", 2, "left load by total"},
  {"cross_share", "cross share (RF + LR)", "%", 2, "right front and left rear by total"},
  {"diagonal_ratio", "diagonal ratio", "", 4, "(right front + left rear) / (left front + right rear)"},
  {"lf", "left front", "kg", 1, "load on the left front wheel", change = 2},
  {"rf", "right front", "kg", 1, "load on the right front wheel", change = 2},
  {"lr", "left rear", "kg", 1, "load on the left rear wheel", change = 2},
  {"rr", "right rear", "kg", 1, "load on the right rear wheel", change = 2},
  {"f", "front wheel", "kg", 1, "load on a single front wheel", change = 2},
  {"r", "rear wheel", "kg", 1, "load on a single rear wheel", change = 2},
  {"cg.x", "CG x", "mm", 0, "centre of gravity along the file's x", change = 1},
  {"cg.y", "CG y", "mm", 0, "centre of gravity along the file's y", change = 1},
  {"cg.z", "CG z", "mm", 0, "centre of gravity along the file's z", change = 1},
  {"height", "CG height", "mm", 0, "centre of gravity above the ground", change = 1},
  {"cg_behind", "CG behind front axle", "mm", 0, "fore-aft place of the centre of gravity, whatever the file's axes", change = 1},
  {"cg_left", "CG left of centre", "mm", 0, "sideways place of the centre of gravity, left positive, whatever the file's axes", change = 1},
  {"yaw_inertia", "yaw inertia", "kg m2", 0, "moment of inertia about the upright axis through the CG", change = 1},
  {"yaw_index", "yaw index k2/(ab)", "", 3, "yaw inertia / (mass x CG to front axle x CG to rear axle)"},
  {"inertia.xx", "inertia xx", "kg m2", 1, "about the file's x through the CG"},
  {"inertia.yy", "inertia yy", "kg m2", 1, "about the file's y through the CG"},
  {"inertia.zz", "inertia zz", "kg m2", 1, "about the file's z through the CG"},
  {"inertia.xy", "inertia xy", "kg m2", 1, "tensor entry, minus the integral of x y dm"},
  {"inertia.xz", "inertia xz", "kg m2", 1, "tensor entry, minus the integral of x z dm"},
  {"inertia.yz", "inertia yz", "kg m2", 1, "tensor entry, minus the integral of y z dm"},
  {"sprung.mass", "sprung mass", "kg", 1, "what the springs carry", change = 2},
  {"unsprung.mass", "unsprung mass", "kg", 1, "what the wheels carry directly", change = 2},
  {"wheelbase", "wheelbase", "mm", 0, "first to last axle", from = "balance"},
  {"shafts.static_angle", "half-shaft, ride", "deg", 1, "largest joint angle at ride height", from = "later"},
  {"shafts.worst_angle", "half-shaft, worst", "deg", 1, "largest joint angle over the wheel travel", from = "later"},
  {"shafts.plunge", "plunge over travel", "mm", 1, "largest change of shaft length over the wheel travel", from = "later"},
  {"clearances.tightest", "tightest gap", "mm", 0, "smallest gap between named envelopes", from = "later"},
}

local quantities = {list = {}, by_name = {}, names = {}}
for i, q in ipairs(list) do
  local entry = {name = q[1], label = q[2], unit = q[3], decimals = q[4], meaning = q[5], change = q.change or q[4],
                 from = q.from or "core"}
  quantities.list[i], quantities.by_name[q[1]], quantities.names[i] = entry, entry, q[1]
end

--- What sy.compare shows when nothing is asked for.
quantities.usual = {"mass", "front", "rear", "front_share", "cg_behind", "height", "yaw_inertia", "yaw_index"}

--- "front, kg"
function quantities.heading(q) return q.unit ~= "" and q.label .. ", " .. q.unit or q.label end

return quantities
