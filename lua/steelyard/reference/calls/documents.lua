--- The table of calls, continued: what commands print with --json beside the results of calls, and units inside tables by name. See
-- calls.lua for what an entry says; a type of "= KIND" means a result of that kind.

local common = require "steelyard.reference.calls.common"

local stated, status = common.stated, common.status

local calls = {}

-- a row of a trend, and of a car moved
local balance_row = {front_share = "%", left_share = "%", height = "mm", yaw_inertia = "kg m2", mass = "kg"}

local function with_balance(path, fields)
  for _, name in ipairs{"mass", "front_share", "left_share", "height", "yaw_inertia"} do
    fields[#fields + 1] = {path .. name .. "?", "number", balance_row[name], "of the car"}
  end
  return fields
end

calls.documents = {
  {"engine_back", "What engine_back prints.", fields = stated(
    {"step", "= comparison", "", "the one step"}, {"part", "text", "", "what moves"}, {"rows[].words", "text", "", "where it is"},
    {"rows[].back", "number", "mm", "back from where it is booked, forward negative"}, {"rows[].front", "number", "kg", "first axle"},
    {"rows[].rear", "number", "kg", "all others"}, {"rows[].front_share", "number", "%", "front by total"},
    {"rows[].cg_behind", "number", "mm", "CG behind the front axle"},
    {"rows[].yaw_inertia", "number", "kg m2", "about the upright axis through the CG"})},
  {"half_shafts", "What half_shafts prints.", fields = stated(
    {"as_booked", "= shafts", "", "where the file has it"}, {"part?", "text", "", "what moves"},
    {"positions[].back", "number", "mm", "back from where it is booked, forward negative"},
    {"positions[].front_share", "number", "%", "front by total"}, {"positions[].status", "text", "", status},
    {"positions[].shafts", "= shafts", "", "the shafts there"})},
  {"propshaft", "What propshaft prints.", fields = stated(
    {"as_booked", "= shafts", "", "where the file has it"}, {"part?", "text", "", "what moves"},
    {"positions[].words", "text", "", "how it moved"}, {"positions[].shafts", "= shafts", "", "the shafts there"})},
  {"fuel_burn", "What fuel_burn prints.", limits = true, fields = stated({"tank", "text", "", "whose liquid burns"},
    {"stint[].lap?", "number", "", "its number"}, {"stint[].litres", "number", "litre", "in the tank"},
    {"stint[].mass", "number", "kg", "of the car"}, {"stint[].front_share", "number", "%", "front by total"},
    {"stint[].height", "number", "mm", "CG above the ground"}, {"stint[].left_share", "number", "%", "left by total"},
    {"stint[].cross_share?", "number", "%", "on its springs"},
    {"stint[].heights?", "table<string, number>", "mm", "of the body, up from where it is drawn"},
    {"unusable?", "number", "litre", "cannot be drawn"}, {"under[].asked?", "text", "", "a steady force"},
    {"under[].braking?", "number", "g", "0 without"}, {"under[].drive?", "number", "g", "0 without"},
    {"under[].left_turn?", "number", "g", "0 without"}, {"under[].right_turn?", "number", "g", "0 without"},
    {"under[].unusable?", "number", "litre", "cannot be drawn then"}, {"under[].dry?", "boolean", "", "the pick-up draws air"},
    {"run_off?", "table<string, number>", "mm", "how far the liquid runs"})},
  {"drivers", "What drivers prints.", limits = true, fields = stated(
    {"drivers[].name", "text", "", "who"}, {"drivers[].stature", "number", "mm", "standing height"},
    {"drivers[].mass", "number", "kg", "of the person"}, {"drivers[].cg.x", "number", "mm", "of the person, file axes"},
    {"drivers[].cg.y", "number", "mm", "the same"}, {"drivers[].cg.z", "number", "mm", "the same"},
    {"drivers[].car_mass", "number", "kg", "with that person"}, {"drivers[].front_share", "number", "%", "front by total"},
    {"drivers[].left_share", "number", "%", "left by total"}, {"drivers[].height", "number", "mm", "CG of the car above the ground"},
    {"drivers[].cross_share?", "number", "%", "on its springs"}, {"drivers[].lower_legs", "number", "kg", "shanks and feet"},
    {"drivers[].heels_least?", "number", "kg", "on a pad under the heels, the seat carrying the thighs"},
    {"drivers[].heels_most?", "number", "kg", "the same when nothing carries the legs"})},
  {"budget", "What budget prints.", fields = stated(
    {"groups[].name", "text", "", "a group or a part outside all groups"}, {"groups[].parts", "number", "", "lines in it"},
    {"groups[].mass", "number", "kg", "booked"}, {"groups[].growth", "number", "kg", "allowance"},
    {"groups[].mass_with_growth", "number", "kg", "both"}, {"groups[].sd.mass", "number", "kg", "standard uncertainty"},
    {"by_basis[].name", "text", "", "a basis"}, {"by_basis[].parts", "number", "", "lines on it"},
    {"by_basis[].mass", "number", "kg", "booked"}, {"by_basis[].growth", "number", "kg", "allowance"},
    {"by_basis[].share", "number", "%", "of the mass"}, {"movers[].name", "text", "", "a line that counts most"},
    {"movers[].mass", "number", "kg", "booked"}, {"movers[].growth", "number", "kg", "allowance"},
    {"movers[].basis", "text", "", "its basis"},
    {"movers[].sd.mass", "number", "kg", "standard uncertainty"}, {"total.mass", "number", "kg", "booked"},
    {"total.growth", "number", "kg", "allowance"}, {"total.mass_with_growth", "number", "kg", "both"},
    {"counts?.quantity", "text", "", "what lines were asked to count in"}, {"counts?.unit", "text", "", "its unit"},
    {"counts?.value", "number", "", "what it is, in its unit"}, {"counts?.sd", "number", "", "its standard uncertainty"},
    {"counts?.rows[].name", "text", "", "a line, the largest share first"}, {"counts?.rows[].path", "text", "", "with its groups"},
    {"counts?.rows[].field", "text", "", "what of it"}, {"counts?.rows[].sigma?", "number", "", "its standard uncertainty"},
    {"counts?.rows[].input_unit?", "text", "", "the unit of that"},
    {"counts?.rows[].change", "number", "", "of the quantity by one of it"},
    {"counts?.rows[].variance_share", "number", "%", "of the variance"},
    {"counts?.rest_share", "number", "%", "of the lines not listed"},
    {"target?", "number", "kg", "as asked"}, {"headroom.booked?", "number", "kg", "under the target"},
    {"headroom.with_growth?", "number", "kg", "the same with the allowance"}, {"status?", "text", "", status},
    {"why?", "text", "", "in words"})},
  {"trend", "What what_changed prints of more than two files.", limits = true, fields = with_balance("rows[].", stated(
    {"by", "text", "", "what the largest change is judged by"}, {"rows[].file", "text", "", "its path"},
    {"rows[].date?", "text", "", "of it"}, {"rows[].mass_with_growth", "number", "kg", "with the growth allowances of parts"},
    {"rows[].title", "text", "", "of the vehicle"}, {"rows[].changed?", "number", "", "lines that changed since the file before"},
    {"rows[].most.part?", "text", "", "the line that did most"}, {"rows[].most.happened?", "text", "", "in words"},
    {"rows[].most.kinds?", "text[]", "", "as in changes"}, {"rows[].most.question?", "text", "", "as in changes"},
    {"rows[].most.d_mass?", "number", "kg", "its share of the change"}, {"rows[].most.d_front_share?", "number", "%", "the same"},
    {"rows[].most.d_left_share?", "number", "%", "the same"}, {"rows[].most.d_height?", "number", "mm", "the same"},
    {"rows[].most.d_yaw_inertia?", "number", "kg m2", "the same"}))},
  {"forgotten", "What forgotten prints.", fields = stated(
    {"missing[].name", "text", "", "what is usually booked"}, {"missing[].low", "number", "kg", "a light one"},
    {"missing[].high", "number", "kg", "a heavy one"}, {"missing[].when?", "text", "", "which cars have it"},
    {"missing[].spare?", "boolean", "", "it is among the spares"}, {"range.low", "number", "kg", "of all of them"},
    {"range.high", "number", "kg", "the same"}, {"twice", "list", "", "included twice"}, {"gaps", "list", "", "excluded and nowhere"},
    {"duplicates[].a", "text", "", "a line"}, {"duplicates[].b", "text", "", "one like it at the same place"},
    {"duplicates[].mass", "number", "kg", "of each"}, {"duplicates[].text", "text", "", "in words"},
    {"one_sided[].part", "text", "", "a line of two pieces"}, {"one_sided[].left", "number", "mm", "left of the centre"},
    {"one_sided[].text", "text", "", "in words"})},
  {"teardown", "What teardown prints.", fields = stated(
    {"tables[]", "= closure", "", "each table"}, {"together?", "= closure", "", "all in one list"})},
  {"sheets", "What sheets_text prints.", fields = stated({"sheets[].name", "text", "", "of the form"},
    {"sheets[].text", "text", "", "the form"})},
  {"workshop_sheets", "What sheets prints.", fields = stated({"kind", "text", "", "which sheets"}, {"paper", "text", "", "a4, a3 or long"},
    {"pages[].width", "number", "mm", "of the paper"}, {"pages[].height", "number", "mm", "the same"},
    {"pages[].texts", "text[]", "", "all that stands above the foot, in the order it was set"},
    {"evidence?.records[]?.name", "text", "", "a record of the file"}, {"evidence?.records[]?.kind", "text", "", "its kind"},
    {"evidence?.records[]?.method", "text", "", "in words"}, {"evidence?.records[]?.date?", "text", "", "as the file has it"},
    {"evidence?.records[]?.instrument?.name", "text", "", "what it was read on"},
    {"evidence?.records[]?.instrument?.certificate?", "text", "", "as the file has it"},
    {"evidence?.records[]?.instrument?.words", "text", "", "what is known of it"},
    {"evidence?.records[]?.zeros?", "text", "", "before and after, in words"},
    {"evidence?.records[]?.state", "text", "", "in which it was measured"},
    {"evidence?.records[]?.as_state", "boolean", "", "loaded as that state, nothing filled, added or taken out"},
    {"evidence?.records[]?.aboard?[].name", "text", "", "as of every result"},
    {"evidence?.records[]?.aboard?[].mass", "number", "kg", "likewise"},
    {"evidence?.records[]?.aboard?[].litres?", "number", "litre", "likewise"},
    {"evidence?.records[]?.stood_in?", "text", "", "an earlier file, of the car as it was then"},
    {"evidence?.records[]?.whole_car", "boolean", "", "not an assembly apart from it"},
    {"evidence?.records[]?.results[].name", "text", "", "a quantity, wheel, axle or point"},
    {"evidence?.records[]?.results[].label", "text", "", "as printed"},
    {"evidence?.records[]?.results[].unit", "text", "", "of its numbers"},
    {"evidence?.records[]?.results[].value", "number", "", "as measured"}, {"evidence?.records[]?.results[].sd?", "number", "", "of it"},
    {"evidence?.records[]?.results[].half?", "number", "", "half the width of its 95 %"},
    {"evidence?.records[]?.results[].decimals", "number", "", "as printed"},
    {"evidence?.records[]?.readings?", "table", "", "what it was worked out from, as printed"},
    {"evidence?.records[]?.working?", "text[]", "", "how, in sentences"}, {"evidence?.records[]?.note?", "text", "", "as the file has it"},
    {"evidence?.limits[]?.name", "text", "", "of the limit"}, {"evidence?.limits[]?.quantity", "text", "", "what is limited"},
    {"evidence?.limits[]?.label", "text", "", "as printed"}, {"evidence?.limits[]?.unit", "text", "", "of its numbers"},
    {"evidence?.limits[]?.state?", "text", "", "that it names, or in which it was measured"},
    {"evidence?.limits[]?.min?", "number", "", "lower limit"}, {"evidence?.limits[]?.max?", "number", "", "upper limit"},
    {"evidence?.limits[]?.value?", "number", "", "as measured; none when unknown"}, {"evidence?.limits[]?.sd?", "number", "", "of it"},
    {"evidence?.limits[]?.half?", "number", "", "half the width of its 95 %"},
    {"evidence?.limits[]?.decimals", "number", "", "as printed"}, {"evidence?.limits[]?.margin?", "number", "", "to the nearer limit"},
    {"evidence?.limits[]?.status", "text", "", status}, {"evidence?.limits[]?.why", "text", "", "in words"},
    {"evidence?.limits[]?.record?", "text", "", "that measured it"},
    {"evidence?.left_out", "text[]", "", "records that cannot be worked out"},
    {"order?.datum", "text", "", "the axes and where their zero is"}, {"order?.axes", "text[]", "", "the ways x, y and z run"},
    {"order?.points[]?.name", "text", "", "of the file"}, {"order?.points[]?.x", "number", "mm", "from the datum"},
    {"order?.points[]?.y", "number", "mm", "the same"}, {"order?.points[]?.z", "number", "mm", "the same"},
    {"order?.points[]?.on?", "text", "", "the part that carries it"}, {"order?.absent", "text[]", "", "points on parts that are not there"},
    {"order?.wheels[].name", "text", "", "key of the wheel"}, {"order?.wheels[].x", "number", "mm", "its centre, from the datum"},
    {"order?.wheels[].y", "number", "mm", "the same"}, {"order?.wheels[].z", "number", "mm", "the same"},
    {"order?.joints[]?.name", "text", "", "shaft and joint"}, {"order?.joints[]?.x", "number", "mm", "its centre, from the datum"},
    {"order?.joints[]?.y", "number", "mm", "the same"}, {"order?.joints[]?.z", "number", "mm", "the same"},
    {"order?.loads[].state", "text", "", "a load state"}, {"order?.loads[].mass", "number", "kg", "of the car"},
    {"order?.loads[].axles", "number[]", "kg", "on each axle"}, {"order?.loads[].cg", "table<string, number>", "mm", "from the datum"},
    {"order?.envelope.least", "table<string, number>", "mm", "the CG over the states"},
    {"order?.envelope.greatest", "table<string, number>", "mm", "the same"}, {"order?.mounts[]?.what", "text", "", "hangs on them"},
    {"order?.mounts[]?.points", "list", "", "names or places"}, {"order?.mounts[]?.rows[].state", "text", "", "a load state"},
    {"order?.mounts[]?.rows[].mass?", "number", "kg", "of what hangs on them"},
    {"order?.mounts[]?.rows[].loads?", "number[]", "kg", "on each at rest"},
    {"order?.mounts[]?.rows[].even?", "boolean", "", "more than three: shared as if all gave alike"},
    {"order?.mounts[]?.rows[].why?", "text", "", "why nothing is said"}, {"order?.frame[]?.name", "text", "", "a part of the frame"},
    {"order?.frame[]?.mass", "number", "kg", "booked"}, {"order?.frame[]?.growth", "number", "kg", "its allowance"},
    {"order?.frame[]?.x?", "number", "mm", "its CG from the datum"}, {"order?.frame[]?.y?", "number", "mm", "the same"},
    {"order?.frame[]?.z?", "number", "mm", "the same"}, {"order?.frame_total.mass", "number", "kg", "booked, together"},
    {"order?.frame_total.growth", "number", "kg", "the allowances together"},
    {"markout?.view", "text", "", "plan or side"}, {"markout?.width", "number", "mm", "of what is drawn"},
    {"markout?.height", "number", "mm", "the same"}, {"markout?.rows", "number", "", "of tiles"},
    {"markout?.columns", "number", "", "the same"}, {"lift?.lifted", "text", "", "the end that goes up"},
    {"lift?.lift", "number", "mm", "the greatest lift"}, {"lift?.angle", "number", "deg", "its tilt"},
    {"lift?.steps", "number", "", "equal ones"}, {"lift?.repeats", "number", "", "times up and down"},
    {"lift?.blocks", "number", "mm", "equal blocks under all tyres, 0 without"},
    {"lift?.half_width", "number", "mm", "what the height is good to"},
    {"lift?.possible", "boolean", "", "within what was asked"})},
  {"weigh_next", "What weigh_next prints.", fields = stated(
    {"names", "text[]", "", "what was asked about, in order"}, {"values", "table<string, number>", "by name", "what they are"},
    {"unit", "table<string, text>", "", "by name: of values and uncertainties"},
    {"weigh_next[].name", "text", "", "the line, best first; each further one on the car as weighed and measured so far"},
    {"weigh_next[].path", "text", "", "with its groups"},
    {"weigh_next[].field", "text", "", "mass, dry_mass of a tank, whole of a weighed group, or place"},
    {"weigh_next[].with", "text", "", "scale or tape: how well it is known then"},
    {"weigh_next[].before", "table<string, number>", "by name", "standard uncertainties by name before the step"},
    {"weigh_next[].after", "table<string, number>", "by name", "and after it"},
    {"weigh_next[].drop", "number", "%", "what the step takes of the variance at the start; of several quantities the mean"},
    {"weigh_next[].share", "number", "%", "what the line has of it at the start"},
    {"left", "table<string, number>", "by name", "by name when all is done, also what is not listed"},
    {"scale", "number", "kg", "as asked"},
    {"tape", "number", "mm", "as asked"}, {"lines", "number", "", "booked lines aboard"})},
  {"start", "What start prints.", fields = stated(
    {"path", "text", "", "of the file"}, {"title", "text", "", "of the vehicle"}, {"lines", "number", "", "parts in it"},
    {"mass", "number", "kg", "as it stands"}, {"front_share", "number", "%", "the same"}, {"next", "text[]", "", "commands"})},
  {"take_parts", "What take_parts prints.", fields = stated(
    {"preview", "text", "", "what was read"}, {"table", "text", "", "its path"}, {"file", "text", "", "the vehicle file"},
    {"written", "boolean", "", "was it written"}, {"kept?", "boolean", "", "it was there and stays"},
    {"book?", "text", "", "the line to book it with"},
    {"assumed?", "text", "", "what was taken for granted"}, {"balance?", "text", "", "as the car then stands"},
    {"mass?", "number", "kg", "the same"}, {"front_share?", "number", "%", "the same"}, {"height?", "number", "mm", "the same"},
    {"next", "text[]", "", "commands"})},
}

-- Units inside tables where they are not one for all: {[kind] = {[path] = unit}}. What stands in a table named here has its unit unless
-- it is named itself; "*" stands for any name.
local function add(units, path, list)
  for name, unit in pairs(list) do units[name == "" and path or path .. "." .. name] = unit end
  return units
end

-- what wheels carry, with shares
local loads = {[""] = "kg", cross_share = "%", front_share = "%", left_share = "%", diagonal_ratio = ""}
local step = {["*"] = "kg", ["*.cross_share"] = "%", ["*.height"] = "mm", ["*.heights"] = "mm"}
local changed = {d_mass = "kg", d_front_share = "%", d_left_share = "%", d_height = "mm", d_yaw_inertia = "kg m2"}

local perches = {}
for _, path in ipairs{"before", "loads", "without_driver", "exact.loads", "rule_of_thumb.loads", "nearest.loads", "reading", "next",
                     "next.with_driver", "next.without_driver"} do
  add(perches, path, loads)
end
for _, path in ipairs{"exact", "rule_of_thumb", "nearest"} do
  add(perches, path, {heights = "mm", turns = "turns", spring_mm = "mm", travel = "mm", cross_share = "%", pitch = "deg", roll = "deg",
                      twist = "deg"})
end

calls.inside = {
  corners = add(add({}, "per_turn", step), "per_pad_mm", step),
  transfer = {["first_lift.g"] = "g", ["first_lift.tips"] = "g", ["rigid_lift.g"] = "g", ["rigid_lift.tips"] = "g"},
  perches = perches,
  stability = add({}, "brake", {at = "g", critical_z = "g", ["curve[].z"] = "g", ["curve[].front_share"] = "%", ["curve[].sd"] = "%",
                                front_share = "%", ideal = "%", front_locks = "g", rear_locks = "g"}),
  changes = add(add(add(add({}, "before", balance_row), "after", balance_row), "sums", changed), "total", changed),
  track = add(add({}, "rows[].change.total", changed), "rows[].change.sd", changed),
  clearances = {["[].nearest"] = "mm", ["[].faces"] = "mm"},
}

return calls
