--- The table of calls, continued: results of a car on its springs. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local stated, status = common.stated, common.status

local run = {"liquids[]?.forward", "liquids[]?.left", "liquids[]?.up"}
-- How far the liquid of each tank lies from where it stands level; the last fields of `fields`.
local function with_liquids(fields)
  fields[#fields + 1] = {"liquids[]?.name", "text", "", "a tank that has a shape"}
  fields[#fields + 1] = {"liquids[]?.litres", "number", "litre", "in it"}
  for i, way in ipairs{"forward of where it stands level", "left", "up"} do fields[#fields + 1] = {run[i], "number", "mm", way} end
  return fields
end

-- The loads of scales under `path`, as read or as they are expected; the last fields of `fields`.
local function with_scales(path, fields)
  local function add(name, kind, unit, says) fields[#fields + 1] = {path .. name, kind, unit, says} end
  for _, key in ipairs{"lf", "rf", "lr", "rr", "f", "r"} do add(key .. "?", "number", "kg", "under that wheel") end
  add("mass?", "number", "kg", "in all")
  add("front_share?", "number", "%", "front by total")
  add("left_share?", "number", "%", "left by total")
  add("cross_share?", "number", "%", "right front and left rear by total") add("diagonal_ratio?", "number", "", "of the diagonals")
  add("[string]", "number", "kg", "under a wheel of more than two axles")
  add("state", "text", "", "load state on the scales")
  add("sd?", "table<string, number>", "", "standard uncertainties of these")
  return fields
end

-- What car:perches found; the last fields of `fields`.
local function with_found(prefix, fields)
  for _, field in ipairs{
    {"turns?", "table<string, number>", "turns", "of each perch, rounded, + lifts that corner"},
    {"spring_mm?", "table<string, number>", "mm", "the same as travel of the spring seat"},
    {"loads?", "table<string, number>", "", "then: kg by wheel, mass, shares"},
    {"heights?", "table<string, number>", "mm", "then: body from the drawn state"}, {"cross_share?", "number", "%", "then"},
    {"pitch?", "number", "deg", "then: nose up"}, {"roll?", "number", "deg", "left side up"},
    {"twist?", "number", "deg", "left side up at the front against the rear"},
    {"travel?", "table<string, number>", "mm", "then: of each wheel, bump positive"}, {"lifted?", "text[]", "", "then off the ground"},
    {"stops?", "table<string, text>", "", "then at a stop"},
    {"bump_stops?", "table<string, number>", "mm", "then on their bump stop, and how far into it"},
    {"exact?.turns", "table<string, number>", "turns", "before rounding"}, {"exact?.loads", "table<string, number>", "", "the same"},
    {"exact?.heights", "table<string, number>", "mm", "the same"},
    {"without_driver?", "table<string, number>", "", "what the pads then read with nobody aboard"},
    {"misfit?", "number", "mm", "by how much the four corners miss what was asked, root of the sum of squares, when not all can be had"},
    {"next?.with_driver?", "table<string, number>", "", "what the scales then read with people aboard: kg by wheel, mass, shares"},
    {"next?.without_driver", "table<string, number>", "", "the same with nobody aboard"},
    {"next?.people", "text[]", "", "who that is"},
    {"rule_of_thumb?.turns", "table<string, number>", "turns", "the same turns at every corner"},
    {"rule_of_thumb?.loads", "table<string, number>", "", "then"}, {"rule_of_thumb?.cross_share", "number", "%", "then"},
    {"rule_of_thumb?.heights", "table<string, number>", "mm", "then"},
  } do fields[#fields + 1] = {prefix .. field[1], field[2], field[3], field[4]} end
  return with_scales(prefix .. "next?.", fields)
end

local calls = {}

calls.results = {
  {"corners", "What car:corners gives: changes of height are from the drawn state. lf, rf ... as in a balance.",
    wheels = true, limits = true, fields = with_liquids(stated(
    {"lf?", "number", "kg", "load of the left front wheel; the others likewise"}, {"rf?", "number", "kg", "right front"},
    {"lr?", "number", "kg", "left rear"}, {"rr?", "number", "kg", "right rear"}, {"f?", "number", "kg", "single front wheel"},
    {"r?", "number", "kg", "single rear wheel"}, {"mass", "number", "kg", "all wheels; on a slope less than the car's mass"},
    {"front", "number", "kg", "first axle"}, {"rear", "number", "kg", "all others"}, {"left", "number", "kg", "left wheels"},
    {"right", "number", "kg", "right wheels"}, {"front_share", "number", "%", "front by total"},
    {"left_share", "number", "%", "left by total"}, {"cross_share?", "number", "%", "right front and left rear by total"},
    {"diagonal_ratio?", "number", "", "(right front + left rear) / (left front + right rear)"},
    {"lifted", "text[]", "", "wheels off the ground"}, {"stops?", "table<string, text>", "", 'wheels at a stop: "bump" or "droop"'},
    {"bump_stops?", "table<string, number>", "mm", "wheels on their bump stop, and how far into it; where the file has any"},
    {"heights", "table<string, number>", "mm", "body at the first axle (front), the last (rear) and over each wheel (by key), up positive"},
    {"pitch", "number", "deg", "nose up"},
    {"roll", "number", "deg", "left side up, mean of both ends"}, {"twist", "number", "deg", "left side up at the front against the rear"},
    {"travel", "table<string, number>", "mm", "of each wheel, bump positive"},
    {"bars", "table<string, number>", "N m", "moment of each connected bar, lifting the left side of the body"},
    {"wheel_rate", "table<string, number>", "N/mm", "by axle: spring rate x motion ratio squared; where rates change with travel at the \z
      present one, the mean of the axle's wheels and, where these differ, each wheel's own by its key"},
    {"ride_hz", "table<string, number>", "Hz", "of the sprung mass on wheel rate and tyre, by axle, as drawn; where rates change with \z
      travel as it stands"},
    {"per_turn?", "table<string, table<string, number|table<string, number>>>", "",
      "what one turn up on each wheel's perch changes, where perch_pitch is given: each load by its key (kg), cross_share (%), height of "
      .. "the body there and heights over all wheels (mm)"},
    {"per_pad_mm?", "table<string, table<string, number|table<string, number>>>", "", "the same for 1 mm more under each wheel's pad"},
    {"bars_setting", "text", "", "off or connected"}, {"wheels", "text[]", "", "keys of the wheels in their order"},
    {"determinate", "boolean", "", "three wheels: loads follow from balance alone"}))},
  {"transfer", "What car:transfer gives. lf, rf ... are the loads then; roll, pitch and twist are changes from standing.",
    wheels = true, fields = with_liquids(stated(
    {"lf?", "number", "kg", "load of the left front wheel; the others likewise"}, {"rf?", "number", "kg", "right front"},
    {"lr?", "number", "kg", "left rear"}, {"rr?", "number", "kg", "right rear"}, {"f?", "number", "kg", "single front wheel"},
    {"r?", "number", "kg", "single rear wheel"}, {"mass", "number", "kg", "all wheels, downforce with them"},
    {"front?", "number", "kg", "first axle"}, {"rear?", "number", "kg", "all others"}, {"left?", "number", "kg", "left wheels"},
    {"right?", "number", "kg", "right wheels"}, {"front_share?", "number", "%", "front by total"},
    {"left_share?", "number", "%", "left by total"}, {"cross_share?", "number", "%", "right front and left rear by total"},
    {"diagonal_ratio?", "number", "", "(right front + left rear) / (left front + right rear)"},
    {"standing", "table<string, number>", "kg", "by wheel, on level ground without downforce"},
    {"gain", "table<string, number>", "kg", "by wheel, from standing"},
    {"paths?", "table<string, table<string, number>>", "kg",
      "by axle, onto the outer wheel: geometric (through the roll centre), elastic (springs, "
      .. "bar and chassis, with the lean of the weight), unsprung, tyres (weight gone sideways over tyres that give), total; when turning"},
    {"front_transfer_share?", "number", "%", "first axle's part of what goes across, when turning"},
    {"total_transfer?", "number", "kg", "onto the outer wheels of all axles together, when turning; without rates at the mean track"},
    {"pitch_gain?", "number", "kg", "onto the first axle by braking, negative in drive; without rates with two axles"},
    {"heights?", "table<string, number>", "mm", "front and rear: rise of the body over the first and last axle, from standing"},
    {"links?.front", "number", "%", "of the load that braking or drive moves onto or off the front axle, what its links carry past the \z
      springs"},
    {"links?.rear", "number", "%", "the same of the rear axle"},
    {"links?.front_share", "number", "%", "front part of the brake or drive force, as it counts where an angle of links is stated"},
    {"roll?", "number", "deg", "left side up"}, {"pitch?", "number", "deg", "nose up"},
    {"twist?", "number", "deg", "left side up at the front against the rear"},
    {"lifted?", "text[]", "", "wheels off the ground"}, {"stops?", "table<string, text>", "", 'wheels at a stop: "bump" or "droop"'},
    {"bump_stops?", "table<string, number>", "mm", "wheels on their bump stop, and how far into it; where the file has any"},
    {"travel?", "table<string, number>", "mm", "of each wheel from the drawn state, bump positive"},
    {"status?", "text", "", "unknown without rates: what rests on springs is then missing"},
    {"why?", "text", "", "then: the rate that is missing"},
    {"rigid_lift?.g?", "number", "g", "without rates: at which the first wheel of the rigid car lifts in a turn, equal vertical rates"},
    {"rigid_lift?.wheel?", "text", "", "that wheel"}, {"rigid_lift?.tips", "number", "g", "at which it goes over"},
    {"rigid_lift?.by", "text", "", "what grows, as in first_lift"},
    {"first_lift?.g", "number", "g", "as the turn (or, going straight, braking or drive) grows and the rest stays: at which the first "
      .. "wheel leaves the ground"},
    {"first_lift?.wheel", "text", "", "that wheel"}, {"first_lift?.tips?", "number", "g", "at which it goes over"},
    {"first_lift?.by", "text", "", "what grows: left_turn, right_turn, braking or drive"},
    {"asked", "text", "", "the force in words"}, {"downforce?", "table<string, number>", "kg", "by axle"},
    {"wheels", "text[]", "", "keys of the wheels in their order"}, {"axles", "text[]", "", "keys of the axles in their order"}))},
  {"stability", "What car:stability gives. left and right name the low side of the table; liquid runs there.", fields = stated(
    {"downforce?", "table<string, number>", "kg", "by axle; it counts in side, lines, traction and brake"},
    {"sink?", "number", "mm", "by which the CG sinks under it, where the springs are known"},
    {"axles?", "text[]", "", "keys of the axles, with downforce"},
    {"ssf?", "number", "", "mean track by twice the CG height, with two wheels on every axle"},
    {"tip", "table<string, number>", "deg", "left and right: angle of a table at which the rigid car goes over"},
    {"lift.left.angle", "number", "deg", "angle at which the first wheel of the rigid car lifts, on equal vertical rates"},
    {"lift.left.wheel", "text", "", "that wheel"}, {"lift.right.angle", "number", "deg", "the same, right side low"},
    {"lift.right.wheel", "text", "", "that wheel"},
    {"compliant.tip?", "table<string, number>", "deg", "the same on springs and tyres: where it goes over"},
    {"compliant.lift?.left.angle?", "number", "deg", "at which the first wheel lifts"},
    {"compliant.lift?.left.wheel?", "text", "", "that wheel"},
    {"compliant.lift?.right.angle?", "number", "deg", "right side low"}, {"compliant.lift?.right.wheel?", "text", "", "that wheel"},
    {"compliant.status?", "text", "", "unknown without rates"}, {"compliant.why?", "text", "", "then"},
    {"side_g", "number", "g", "sideways acceleration that tips the rigid car with the braking or drive given, the worse turn; 0 when "
      .. "that alone does"},
    {"side.left_turn?", "number", "g", "the same by turn; none where braking or drive alone tips it"},
    {"side.right_turn?", "number", "g", "the same"},
    {"side.edge", "table<string, text[]>", "", "for each turn the two wheels it tips over"},
    {"lines[].braking", "number", "g", "rigid tip lines: deceleration"}, {"lines[].drive", "number", "g", "or acceleration"},
    {"lines[].left_turn?", "number", "g", "sideways acceleration that tips it"}, {"lines[].right_turn?", "number", "g", "the same"},
    {"lines[].edge", "table<string, text[]>", "", "for each turn the two wheels it tips over"},
    {"grade.up", "number", "deg", "grade at which the rigid car, facing up, goes over"}, {"grade.down", "number", "deg", "facing down"},
    {"traction?", "table<string, number>", "g", "largest acceleration by driven axle: front, rear, all, and split with a "
      .. "drive_front_share; with two axles"},
    {"split?.front_share", "number", "%", "drive_front_share as given"},
    {"split?.limited_by", "text", "", "what ends it: grip front or rear, or lift of the front wheels"},
    {"split?.ideal?", "number", "%", "front share of the drive with which both axles slip together, at mu"},
    {"brake?.ideal", "number", "%", "with two axles: front share of the braking at which both lock together, at mu"},
    {"brake?.curve[].z", "number", "g", "deceleration"}, {"brake?.curve[].front_share", "number", "%", "the ideal share there"},
    {"brake?.curve[].sd", "number", "%", "of it"}, {"brake?.front_share?", "number", "%", "brake_front_share as given"},
    {"brake?.critical_z?", "number", "g", "at which both lock with that share"},
    {"brake?.front_locks?", "number", "g", "at which the front axle locks, at mu"}, {"brake?.rear_locks?", "number", "g", "the rear axle"},
    {"brake?.at?", "number", "g", "the smaller of both"}, {"brake?.locks_first?", "text", "", "front or rear"},
    {"nose_load?", "number", "kg", 'on a single first wheel named "nose", "coupling" or "hitch"'},
    {"nose_share?", "number", "%", "of the whole"},
    {"required", "number", "deg", "what was asked for"},
    {"margin", "number", "deg", "of the wheel lift-off on springs (without rates: of rigid tipping) over what is required, worse side"},
    {"margins", "table<string, number>", "deg", "of both sides"}, {"worse_side", "text", "", "left or right"},
    {"hill?.angle", "number", "deg", "of the table, worse side low, where the first wheel lifts: what then presses on it"},
    {"hill?.wheel", "text", "", "that wheel"}, {"hill?.low", "text", "", "left or right"},
    {"hill?.on_springs", "boolean", "", "false: of the rigid car, rates are not known"},
    {"hill?.down?", "number", "kg", "across the table under the wheels on the low side, by the turn that pulls as hard"},
    {"hill?.up?", "number", "kg", "under the others"}, {"hill?.pick_ups[]?.tank", "text", "", "a tank with a pick-up"},
    {"hill?.pick_ups[]?.litres", "number", "litre", "in it"},
    {"hill?.pick_ups[]?.unusable", "number", "litre", "what stands below its pick-up there"},
    {"hill?.pick_ups[]?.dry", "boolean", "", "nothing reaches it"},
    {"mu", "number", "", "grip"}, {"forward", "number", "g", "braking, or with a minus drive"},
    {"status", "text", "", status .. "; unknown without rates unless it fails rigid"})},
  {"perches", "What car:perches gives. When not possible, turns and what follows from them stand in nearest.",
    fields = with_scales("reading?.", with_found("nearest?.", with_found("", stated(
    {"possible", "boolean", "", "can the target be reached?"}, {"why?", "text", "", "why not"},
    {"pad_error_allowed?", "number", "mm", "of the worst pad, for 0.1 % of cross weight"},
    {"before", "table<string, number>", "", "loads now"}, {"before_heights", "table<string, number>", "mm", "heights now"},
    {"asked_heights?", "table<string, number>", "mm", "heights asked for"}, {"asked_roll?", "number", "deg", "roll asked for"},
    {"now", "text", "", "assumed or measured: what turns start from"},
    {"reading?.heights?", "table<string, number>", "mm", "measured heights, as what was read of loads beside them"},
    {"nearest?.wheel?", "text", "", "when it is not possible: the wheel that would leave the ground; the others as above"},
    {"reached?", "number", "%", "how far on the way there turns go, when stops or a lifted wheel end it"},
    {"hold", "text", "", "what was held"}, {"notch", "number", "turns", "what was rounded to"},
    {"target?", "table<string, number>", "%", "shares asked for"}, {"wheels", "text[]", "", "keys of the wheels in their order"}))))},
  {"attitude", "What car:attitude gives. Heights are from the drawn ones, up positive; with against they are changes.",
    wheels = true, fields = with_liquids(stated(
    {"heights", "table<string, number>", "mm", "body at the first axle (front), the last (rear) and over each wheel (by key)"},
    {"pitch", "number", "deg", "nose up"}, {"roll", "number", "deg", "left side up"},
    {"twist", "number", "deg", "left side up at the front against the rear"},
    {"rake", "number", "mm", "rear axle line less front, beyond the drawn one: tail up positive"},
    {"travel", "table<string, number>", "mm", "of each wheel, bump positive"},
    {"measured?.front", "number", "mm", "body at the first axle by the two measured points, up from drawn"},
    {"measured?.rear", "number", "mm", "at the last axle"}, {"measured?.rake", "number", "mm", "rear less front"},
    {"measured?.pitch", "number", "deg", "nose up"}, {"measured?.points", "text[]", "", "the two"},
    {"measured?.off_centre", "boolean", "", "is one of them beside the centre plane?"},
    {"measured?.sd", "table<string, number>", "", "standard uncertainties of front, rear and pitch"},
    {"ground?", "table<string, number>", "mm", "height of the file's points above the ground, always absolute"},
    {"ground_change?", "table<string, number>", "mm", "with against"}, {"against?", "text", "", "heading of the other car"},
    {"cg.x", "number", "mm", "with the body where it stands, file axes"}, {"cg.y", "number", "mm", "the same"},
    {"cg.z", "number", "mm", "the same"}, {"height", "number", "mm", "CG above the ground"},
    {"frequency", "table<string, number>", "Hz", "front and rear (each axle alone), bounce and pitch (coupled)"},
    {"uncoupled?.bounce?", "number", "Hz", "without pitch"}, {"uncoupled?.pitch?", "number", "Hz", "without bounce"},
    {"node?.bounce?", "number", "mm", "point that stays still, ahead of the sprung CG; none when not coupled"},
    {"node?.pitch?", "number", "mm", "the same"}, {"hop?", "table<string, number>", "Hz", "wheels of an axle between tyre and spring"},
    {"deflection", "table<string, number>", "mm", "static, of spring and tyre, by axle"},
    {"dynamic_index?", "number", "", "pitch inertia / (sprung mass x a x b), not the yaw index"},
    {"sprung_mass?", "number", "kg", "what the springs carry"}, {"pitch_inertia?", "number", "kg m2", "of it, about its CG"},
    {"at_least", "boolean", "", "parts without a shape count as points in the inertia"},
    {"wheel_rate", "table<string, number>", "N/mm", "by axle, as in car:corners"},
    {"ride_hz", "table<string, number>", "Hz", "by axle, as drawn; where rates change with travel as it stands"},
    {"lf?", "number", "kg", "load of the left front wheel; the others likewise"}, {"rf?", "number", "kg", "right front"},
    {"lr?", "number", "kg", "left rear"}, {"rr?", "number", "kg", "right rear"}, {"f?", "number", "kg", "single front wheel"},
    {"r?", "number", "kg", "single rear wheel"}, {"mass", "number", "kg", "all wheels"}, {"front", "number", "kg", "first axle"},
    {"rear", "number", "kg", "all others"}, {"left", "number", "kg", "left wheels"}, {"right", "number", "kg", "right wheels"},
    {"front_share", "number", "%", "front by total"}, {"left_share", "number", "%", "left by total"},
    {"cross_share?", "number", "%", "right front and left rear by total"},
    {"diagonal_ratio?", "number", "", "(right front + left rear) / (left front + right rear)"},
    {"lifted", "text[]", "", "wheels off the ground"}, {"stops?", "table<string, text>", "", "wheels at a stop"},
    {"bump_stops?", "table<string, number>", "mm", "wheels on their bump stop, and how far into it; where the file has any"},
    {"downforce?", "table<string, number>", "kg", "by axle"}, {"axles", "text[]", "", "keys of the axles, from the front"},
    {"wheels", "text[]", "", "keys of the wheels in their order"}))},
  {"heights", "What car:heights gives.", fields = stated(
    {"front", "number", "mm", "set by the perches, up from the drawn height"}, {"rear", "number", "mm", "the same"},
    {"loaded?.front", "number", "mm", "with what is aboard, where the springs are known"}, {"loaded?.rear", "number", "mm", "the same"})},
}

return calls
