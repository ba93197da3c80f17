--- The table of calls, continued: shafts, lifting, stands, the mock-up on the floor. See calls.lua for what an entry says.

local common = require "steelyard.calls_common"

local stated, status = common.stated, common.status

local calls = {}

local what = {"what", "what", 'a name, "group/part", a tag, or a list of them'}

calls.module = {
  {"sy.survey", {{"request", "table",
    "drawn = {name = {x, y}} or what car:markout gave, measured = {name = {x, y}} or {name = {a =, b =}} by two tapes, "
    .. "sd = mm of a reading, 2 unless given, tapes = the two floor points they start at"}}, "survey",
    "Points measured on the floor against the drawing: the rigid fit, and the point that does not fit."},
}

calls.car = {
  {"car:handling", {{"options?", "table",
    "what = a part, group or tag, all unless given; limit = kg one person may lift, 25 unless given, or "
    .. "the conditions of the lift: reach, height, travel (mm), twist (deg), frequency and grip (multipliers up to 1)"}}, "handling",
    "Who lifts what by published guidance, never permission, and what to take off to come under the limit."},
  {"car:hoist", {what, {"options", "table",
    'points = up to four of {x, y, z} or names of the file\'s points, also {name = {x, y, z}}; legs = a length or a list of them, '
    .. "or hook = a place (neither: lengths are chosen); hang = how it is to hang, such as {nose_down = 3}; boom = {{reach, kg}, ...} "
    .. "and reach; tackle = kg of it on the boom"}}, "hoist",
    "How something hangs, what each leg carries, and where to hook it so that it hangs as it is to be fitted."},
  {"car:markout", {{"options?", "table",
    "state = NAME; points = names or {x, y, z}, what = a group (all marks unless given); tapes = {A, B} on "
    .. "the floor, under the first and last axle unless given; tape_sd = mm, 2 unless given; trolleys = two places along the car or three "
    .. "points and more"}}, "markout",
    "Floor coordinates, heights and two-tape distances to chalk out, and what trolleys carry."},
  {"car:stands", {{"options", "table",
    "at = three or more of {x, y}, {x, y, z}, names of points, wheels that stay on the ground; without = what comes out, "
    .. "one after the other; nose, tail = where somebody may pull, else the foremost and rearmost part or tyre"}}, "stands",
    "What each stand carries, and whether the car tips when something heavy comes out."},
  {"car:clearances", {{"options?", "table", 'at = "design" (default), "bump", "droop", "steer" or "rock", or a list of them; steer = '
    .. 'degrees each way; rock = {what = "powertrain", left_up = 3} degrees each way about its CG, or nose_up'}}, "clearances",
    "The gaps of the file between what must not touch: shapes as drawn and moved, wheel travel, steering, rocking; ways out; the ground."},
  {"car:shafts", {{"options?", "table", "travels = {droop = 60, bump = 60}: wheel travel in mm in place of the file's; numbers in it, up "
    .. "positive, are travels to be listed as well"}}, "shafts",
    "Half-shafts and propeller shafts: joint angles in space, length and plunge, at ride height and over the travel."},
}

calls.results = {
  {"handling", "What car:handling gives: a list of what is aboard, persons left out, and the others beside the list.", fields = stated(
    {"[].name", "text", "", "as in the file"}, {"[].path", "text", "", "with its groups"}, {"[].kind", "text", "", "part, tank or group"},
    {"[].depth", "number", "", "groups around it"}, {"[].pieces", "number", "", "2 for a pair, the count else: each is lifted by itself"},
    {"[].mass?", "number", "kg", "as lifted: of one piece"}, {"[].sd.mass", "number", "kg", "standard uncertainty"},
    {"[].lift", "text", "", "one person, two people, team (three), hoist or unknown"},
    {"[].near?", "text", "", "why it may belong to the next heavier lift"}, {"[].whole", "boolean", "",
      "an assembly that was weighed whole"},
    {"[].strip[].name?", "text", "", "what to take off, most kilograms for each piece first"}, {"[].strip[].kg?", "number", "kg",
      "that piece"},
    {"[].strip[].left?", "number", "kg", "what is left then"}, {"[].left?", "number", "kg", "left at the end"},
    {"[].left_lift?", "text", "", "who lifts that"}, {"[].base?", "text", "", "the heaviest piece, which stays"},
    {"limit", "number", "kg", "for one person"})},
  {"hoist", "What car:hoist gives.", fields = stated(
    {"what", "text", "", "as asked"}, {"mass", "number", "kg", "lifted"}, {"tackle", "number", "kg", "on the boom besides"},
    {"pitch", "number", "deg", "nose up, from how it stands now"}, {"roll", "number", "deg", "left side up"},
    {"legs[].point", "text", "", "where it holds on"}, {"legs[].length", "number", "mm", "to the hook"},
    {"legs[].tension", "number", "kg", "what a scale in it would read"}, {"legs[].angle", "number", "deg", "from the upright"},
    {"legs[].slack", "boolean", "", "carries nothing"}, {"legs[].status", "text", "", "near over 45 deg, fail over 60"},
    {"legs[].sd.tension", "number", "kg", "standard uncertainty"},
    {"slack", "text[]", "", "points whose legs carry nothing"}, {"chosen", "boolean", "", "no legs were given: those shown would fit"},
    {"shared", "boolean", "", "four legs are tight: how they share rests on all being equally tight"},
    {"hook.x", "number", "mm", "where the hook belongs so that it hangs as it is to be fitted, file axes"}, {"hook.y", "number", "mm",
      "the same"},
    {"hook.z", "number", "mm", "the same"}, {"hook_shift?", "text", "", "from where it is, in words"},
    {"fit.lengths", "number[]", "mm", "legs for that"}, {"fit.pitch?", "number", "deg", "how it hangs then"},
    {"fit.roll?", "number", "deg", "the same"}, {"fit.off?", "number", "deg", "how far that is from what was asked"},
    {"fit.move_point?", "text", "", "of a single leg: how its point would have to move"},
    {"boom_margin?", "number", "kg", "to the rating at the next longer position"},
    {"status", "text", "", status}, {"why", "text", "", "in words"})},
  {"markout", "What car:markout gives: a list of marks, and the others beside the list. Floor coordinates are the file's own.",
    fields = stated(
    {"[].name", "text", "", "what to chalk"}, {"[].assembly", "text", "", "the group at the top, wheels, shafts or car"},
    {"[].x", "number", "mm", "on the floor"}, {"[].y", "number", "mm", "the same"}, {"[].height", "number", "mm",
      "above the floor at ride height"},
    {"[].tapes.a", "number", "mm", "from tape point A"}, {"[].tapes.b", "number", "mm", "from B"},
    {"[].sd.x?", "number", "mm", "standard uncertainty by the two tapes; none on the line between A and B"}, {"[].sd.y?", "number", "mm",
      "the same"},
    {"[].poor", "boolean", "", "the tapes cross at less than 30 deg"}, {"[].why?", "text", "", "in words"},
    {"tape_points[].x", "number", "mm", "A, then B"}, {"tape_points[].y", "number", "mm", "the same"}, {"tape_sd", "number", "mm",
      "of a length"},
    {"trolleys[].name", "text", "", "as asked"}, {"trolleys[].x", "number", "mm", "on the floor"}, {"trolleys[].y?", "number", "mm",
      "of a point"},
    {"trolleys[].height?", "number", "mm", "of a point"}, {"trolleys[].load", "number", "kg", "what it carries"},
    {"trolleys[].share", "number", "%", "of the whole"}, {"trolleys[].sd.load?", "number", "kg",
      "standard uncertainty, of two places along the car"},
    {"mass", "number", "kg", "of everything aboard in this state"})},
  {"survey", "What sy.survey gives.", fields = {
    {"turn", "number", "deg", "of the measured points against the drawing, from x towards y"},
    {"shift.x", "number", "mm", "the same, after the turn about the datum"}, {"shift.y", "number", "mm", "the same"},
    {"shift.height?", "number", "mm", "mean, where heights were measured"},
    {"rows[].name", "text", "", "of the point, sorted"}, {"rows[].x", "number", "mm", "as measured"}, {"rows[].y", "number", "mm",
      "the same"},
    {"rows[].off.x", "number", "mm", "measured less fitted"}, {"rows[].off.y", "number", "mm", "the same"}, {"rows[].miss", "number",
      "mm", "how far that is"},
    {"rows[].rise?", "number", "mm", "measured less drawn height, less the mean"},
    {"rows[].sigmas?", "number", "", "the larger standardised residual; none where the survey cannot tell"},
    {"fits", "boolean", "", "no residual beyond what chance exceeds in 5 % of surveys"},
    {"suspect?", "text", "", "the point that does not fit"}, {"tied?", "text[]", "",
      "points of which one does not fit, and the survey cannot say which"},
    {"others.turn?", "number", "deg", "without the suspect"}, {"others.shift.x?", "number", "mm", "the same"}, {"others.shift.y?",
      "number", "mm", "the same"},
    {"others.miss?", "number", "mm", "largest of the others then"},
    {"chi2", "number", "", "sum of squared residuals by their uncertainties"}, {"dof", "number", "", "readings less three"},
    {"notes", "text[]", "", "assumptions, each a sentence"}}},
  {"stands", "What car:stands gives: of the last step, and of every one.", fields = stated(
    {"stands", "text[]", "", "their names"}, {"loads", "table<string, number>", "kg", "by stand, all 0 when it tips"},
    {"mass", "number", "kg", "of the car"}, {"margin", "number", "mm", "of the CG to the nearest edge, negative when it tips"},
    {"edge", "text[]", "", "the two stands it would tip over"}, {"kg_to_tip.front?", "number", "kg",
      "set down at the nose; none where it never tips"},
    {"kg_to_tip.rear?", "number", "kg", "at the tail"}, {"tips", "boolean", "", "by itself"},
    {"even", "boolean", "", "more than three stands share the load as if all gave alike"},
    {"steps[].what", "text", "", "as it stands, or without what"}, {"steps[].mass", "number", "kg", "then"},
    {"steps[].loads", "table<string, number>", "kg", "then"}, {"steps[].margin", "number", "mm", "then"}, {"steps[].edge", "text[]", "",
      "then"},
    {"steps[].kg_to_tip.front?", "number", "kg", "then"}, {"steps[].kg_to_tip.rear?", "number", "kg", "then"},
    {"steps[].tips", "boolean", "", "then"}, {"steps[].even", "boolean", "", "then"}, {"steps[].status", "text", "", status},
    {"steps[].why", "text", "", "in words"}, {"steps[].sd.margin", "number", "mm", "standard uncertainty"},
    {"steps[].sd.kg_to_tip.front?", "number", "kg", "the same"}, {"steps[].sd.kg_to_tip.rear?", "number", "kg", "the same"},
    {"status", "text", "", "the worst of all steps"}, {"why", "text", "", "in words"})},
  {"clearances", "What car:clearances gives: a list of gaps, and the others beside the list.", fields = stated(
    {"[].name", "text", "", "as in the file"}, {"[].a", "text", "", "part, group, wheel or place"},
    {"[].b", "text", "", "the other, or ground"}, {"[].at", "text", "", "design, bump, droop, steer or rock"},
    {"[].gap?", "number", "mm", "least distance; below 0 by how far roundings or marks overlap"},
    {"[].overlap?", "boolean", "", "they touch or overlap"}, {"[].asked?", "number", "mm", "the gap to keep"},
    {"[].leaves?", "boolean", "", "true when a was swept along its way out"},
    {"[].margin?", "number", "mm", "gap less asked"}, {"[].status", "text", "", status}, {"[].why", "text", "", "in words"},
    {"[].sd?", "number", "mm", "standard uncertainty from the places of the two parts"},
    {"[].errors?", "table<string, number>", "mm", "effect of one standard uncertainty of each place"},
    {"[].nearest?", "table", "", "a and b: the nearest points {x, y, z}, file axes, without roundings"},
    {"tightest?", "number", "mm", "the gap that keeps least of what is asked"},
    {"status", "text", "", "the worst of fail > unknown > near > pass"})},
  {"shafts", "What car:shafts gives: a list of shafts, and the others beside the list. Lengths are between joint centres.", fields = stated(
    {"[].name", "text", "", "as in the file"}, {"[].side?", "text", "", "left or right, of the wheel it drives"},
    {"[].joint", "text", "", "cv or cardan"}, {"[].status", "text", "", status}, {"[].why", "text", "", "in words"},
    {"[].static_angle?", "number", "deg", "the larger joint angle at ride height; none when a place is not known"},
    {"[].worst_angle?", "number", "deg", "the largest over the travel, and steered if the file says so"},
    {"[].worst_at.travel?", "number", "mm", "where that is, up positive"}, {"[].worst_at.joint?", "text", "", "inner or outer"},
    {"[].worst_at.steer?", "number", "deg", "steered to the left positive"},
    {"[].at.ride.inner?", "number", "deg", "angle of the inner joint at ride height"}, {"[].at.ride.outer?", "number", "deg",
      "of the outer joint"},
    {"[].at.ride.length?", "number", "mm", "at ride height"}, {"[].at.ride.plunge?", "number", "mm",
      "longer than the cut length or, without one, than at ride height"},
    {"[].at.droop.inner?", "number", "deg", "angle of the inner joint at full droop"}, {"[].at.droop.outer?", "number", "deg",
      "of the outer joint"},
    {"[].at.droop.length?", "number", "mm", "at full droop"}, {"[].at.droop.plunge?", "number", "mm",
      "longer than the cut length or, without one, than at ride height"},
    {"[].at.bump.inner?", "number", "deg", "angle of the inner joint at full bump"}, {"[].at.bump.outer?", "number", "deg",
      "of the outer joint"},
    {"[].at.bump.length?", "number", "mm", "at full bump"}, {"[].at.bump.plunge?", "number", "mm",
      "longer than the cut length or, without one, than at ride height"},
    {"[].listed[].travel?", "number", "mm", "a travel asked for"}, {"[].listed[].inner?", "number", "deg",
      "angle of the inner joint there"},
    {"[].listed[].outer?", "number", "deg", "of the outer joint"}, {"[].listed[].length?", "number", "mm", "there"},
    {"[].listed[].plunge?", "number", "mm", "as above"},
    {"[].travels.droop?", "number", "mm", "reckoned with"}, {"[].travels.bump?", "number", "mm", "the same"},
    {"[].offset?", "text", "", "where the outer joint lies from the inner one, in words"},
    {"[].plunge_used?", "number", "mm", "longest less shortest over the travel"},
    {"[].plunge_status?", "text", "", status .. "; unknown when the file gives no allowance, which spoils no angle"},
    {"[].cut_length?", "number", "mm", "as the file says it was cut"},
    {"[].cut_for?", "number", "mm", "a length that shares the plunge evenly"},
    {"[].ripple.inner?", "number", "%", "speed ripple of a Cardan joint at ride height, fastest less slowest"},
    {"[].ripple.outer?", "number", "%", "the same"}, {"[].ripple.both?", "number", "%", "of the two together"},
    {"[].equivalent_angle?", "number", "deg", "of the one Cardan joint that turns as unevenly as the two"},
    {"[].checks[].what?", "text", "", "static angle, worst angle, plunge, plunge from the cut length, equivalent angle"},
    {"[].checks[].value?", "number", "", "deg, plunges mm"}, {"[].checks[].limit?", "number", "", "the same"},
    {"[].checks[].basis?", "text", "", "where the limit comes from: file or common practice"},
    {"[].checks[].margin?", "number", "", "to the limit, negative when broken"}, {"[].checks[].status?", "text", "", status},
    {"[].checks[].why?", "text", "", "why it is unknown"},
    {"[].sd", "table<string, number>", "",
      "standard uncertainties of static_angle, worst_angle and plunge_used from what the file states of "
      .. "the joints' places"},
    {"worst_angle?", "number", "deg", "of all shafts"}, {"status", "text", "", "the worst of fail > unknown > near > pass"})},
}

return calls
