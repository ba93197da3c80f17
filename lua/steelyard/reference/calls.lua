--- The table of calls: what a script can ask for, with what, and what comes back. docs.lua makes the reference page and
-- the editor stubs from it and from quantities.lua.
--
-- calls    {name, arguments, returns, meaning}; an argument is {name, type, meaning}, optional with "?" behind its name; of the type
--          options.SET (options.lua) the set says the meaning, unless one stands here;
--          does = true marks a call that is made for what it does, not for what it returns
-- results  {name, meaning, fields}; a field is {path, type, unit, meaning}: "rows[].cg.x" lies in each of a list of rows.
--          "?" behind a piece of the path marks what a result may leave out: of "suspect?.what" the whole record, of "cg.y?" the one field.
--          apart = true: of no car, so it says nothing of its origin and has no sd;
--          exact = true: it has no sd of its own;
--          answers = true adds all quantities that a balance answers; wheels = true the load of each wheel; calls/sd.lua has its sd
-- documents  the same for what commands alone print with --json; inside: units in tables by name
-- The unit "by name" is that of the quantity by whose name a number stands in a table.
-- Types: number text boolean list, a result's name, and the notation of the Lua language server (reference/docs/stub.lua). Units: mm, kg,
-- deg, %, litre and so on.

local language = require "steelyard.file.language"
local common = require "steelyard.reference.calls.common"

local stated, status = common.stated, common.status

local calls = {}

local what = {"what", "what", 'a name, "group/part", a tag, "rear axle", or a list of them'}

calls.module = {
  {"sy.load", {{"path", "text", "of a vehicle file"}}, "car", "A car from a vehicle file."},
  {"sy.car", {{"fields", "fields.vehicle", "what a vehicle file says, as a table; parts by sy.part and the other words"}},
    "car", "A car from a table."},
  {"sy.sd", {{"value", "number", "the value"}, {"uncertainty", "number", "one standard deviation, same unit"}}, "uncertainty",
    "A value with its standard uncertainty."},
  {"sy.within", {{"value", "number", "the value"}, {"limit", "number", "how far off it can be, same unit"}}, "uncertainty",
    "A value between limits, all equally likely: a standard uncertainty of limit / sqrt 3."},
  {"sy.compare", {{"cars", "options.comparison"}},
    "comparison", "The same answers side by side; what two cars share cancels in the uncertainty of a change."},
  {"sy.changes", {{"old", "car|text", "a car or the path of a file"}, {"new", "car|text", "the later one"},
    {"options?", "options.changes"}},
    "changes", "What happened to which part, and each one's share of the change; the lines add up to it."},
  {"sy.track", {{"paths", "text|text[]", "a folder of vehicle files, a file, or a list of them"}, {"options?", "options.track"}},
    "track", "One car over its build: dated files as one history, what changed at each step, and what scales said in between."},
  {"sy.closure", {{"fields", "options.closure"}},
    "closure", "Do the parts of a weighed assembly come to the whole, and if not, which slip would explain it?"},
  {"sy.table", {{"headings", "text[][]", "list of {label, format}; formats are such as %.2f %+.1f %d %g %s"},
    {"rows", "any[][]", "list of lists of cells; nil prints as -"}}, "text",
    "Aligned columns: numbers right, texts left."},
  {"sy.options", {{"spec", "spec", "what the command line may say; see command/options.lua"}}, "options",
    "Reads the command line; prints help or one line about a mistake, and then ends the process.", does = true},
  {"sy.out", {{"o", "options", "what sy.options gave"}, {"result", "any", "anything that prints"},
    {"status?", "text", "pass, near, fail or unknown; result.status unless given"}}, nil,
    "Prints a result, as JSON with --json; \"fail\" ends the process with code 4.", does = true},
}

calls.car = {
  {"car:state", {{"name?", "text", "a load state of the file; none leaves all states"}}, "car",
    "The car in another load state, which replaces the one before."},
  {"car:states", {}, "text[]", "The names of the load states, in file order."},
  {"car:move", {what, {"words", "move", "where to, in the vehicle's own directions"}}, "car",
    "Something moved and turned: turned first, then shifted."},
  {"car:set", {what, {"changes", "set", "some of the fields as in the file; a plain mass keeps its old standard uncertainty"}},
    "car", "Other values for a part or an axle."},
  {"car:add", {{"item", "item", 'as in sy.part "ballast" {...}'}, {"into?", "text", "a group; the top of the list unless given"}},
    "car", "One more part, group, tank or person."},
  {"car:without", {what}, "car", "Things taken out, under all states."},
  {"car:swap", {{"old", "text", "a part aboard"}, {"new", "text", "the one that takes its place, often a spare"}}, "car",
    "One part in another's place, under all states."},
  {"car:fill", {{"fills", "table<string, number|string>", '{fuel = 20} litres or {fuel = "90 %"}'}}, "car",
    "Tanks filled, until the next car:state."},
  {"car:named", {{"label", "text", "for headings"}}, "car", "The car under a name of your own; cars made from it say what was changed."},
  {"car:balance", {}, "balance", "Mass, centre of gravity, axle and wheel loads, inertia."},
  {"car:book", {{"what?", "what", "a part, group or tag; the whole ledger unless given"}}, "book", "The ledger line by line."},
  {"car:trial", {what, {"direction", "text", "forward back left right up or down"}}, "trial",
    "A function of millimetres for loops: mass, CG (a table), yaw inertia, front, rear, then the wheels (lf rf lr rr)."},
  {"car:corners", {{"options?", "options.corners"}}, "corners",
    "The car on its springs: loads, heights, and what a perch turn or a pad changes."},
  {"car:perches", {{"target", "options.perches"}}, "perches",
    "How far to turn each spring perch, rounded to what a spanner can hold, and what the scales then read."},
  {"car:person", {{"what", "what", "one person, given by hip in the file"}}, "person",
    "What somebody's legs weigh, and what of it stands on the heels."},
  {"car:dipstick", {{"what", "what", "one tank with a shape"}, {"options?", "options.dipstick"}}, "dipstick",
    "Litres in a tank by the height of its liquid, level or leaning: what to mark on a stick."},
  {"car:inertia", {{"options?", "options.inertia_of"}}, "body_inertia",
    "Inertia of the car or of something in it about its CG or any point, with principal moments and axes."},
  {"car:tank", {{"what", "what", "one tank"}, {"force?", "options.tank"}}, "tank",
    "What is in a tank, and how much of it can be drawn: standing, and as the liquid leans."},
  {"car:attitude", {{"options?", "options.attitude"}}, "attitude",
    "Where the body stands with what is aboard and under downforce, what is left under it, and how it bounces and pitches."},
  {"car:transfer", {{"force", "options.transfer"}}, "transfer",
    "What the wheels carry in steady cornering, braking, drive and under downforce, by path; the first wheel off the ground."},
  {"car:stability", {{"options?", "options.stability"}},
    "stability", "First wheel lift and tipping on a tilt table, rigid and on springs; tip lines in bends, grades, traction, brake split."},
  {"car:lower", {{"heights", "options.ends", "how much lower the body is to stand"}}, "car",
    "The body set lower by its perches: what the springs carry moves, wheels stay."},
  {"car:raise", {{"heights", "options.ends", "how much higher"}}, "car", "The body set higher."},
  {"car:heights", {}, "heights", "Heights set by car:lower and car:raise, and those reached with what is aboard."},
  {"car:save", {{"path", "text", "of the vehicle file to write"}, {"options?", "options.save"}}, "saved",
    "The car as a vehicle file: the text of its own, edited only where the car differs. What comes out is read again and compared first.",
    does = true},
  {"car:guesses", {{"earlier?", "car|text|(car|text)[]", "earlier cars, or the paths of their files, oldest first"}}, "guesses",
    "How good the guesses were: every weighed line beside what was booked for it before."},
  {"car:checks", {}, "checks", "The file's limits, each answered with pass, near, fail or unknown."},
}

calls.result = {} -- of results of several kinds; see calls/draw.lua

calls.results = {
  {"balance", "What car:balance gives. Loads are what scales read, in kg.", answers = true, wheels = true, limits = true, fields = stated(
    {"axle", "table<string, number>", "kg", "load by axle name"},
    {"corner_basis", "text", "", "where the wheel loads come from"},
    {"lifted", "text[]", "", "wheels with a negative load: the car would tip"},
    {"sprung.cg.x?", "number", "mm", "centre of what the springs carry"}, {"sprung.cg.y?", "number", "mm", "the same"},
    {"sprung.cg.z?", "number", "mm", "the same"},
    {"unsprung.cg.x?", "number", "mm", "centre of what the wheels carry"}, {"unsprung.cg.y?", "number", "mm", "the same"},
    {"unsprung.cg.z?", "number", "mm", "the same"},
    {"unsprung.axle", "table<string, number>", "kg", "unsprung mass by axle name"},
    {"parts", "number", "", "how many parts are aboard"},
    {"points", "number", "", "how many of them have no shape, so that inertia is \"at least\""},
    {"unknown", "number", "", "how many have no known mass and are in no total"},
    {"unstated.parts", "number", "", "how many have no stated uncertainty and count as exact"},
    {"unstated.mass_share", "number", "%", "their share of the mass"},
    {"changes?", "table<string, number>", "", "of car:ballast: against the car without it, by quantity"},
    {"changes_sd?", "table<string, number>", "", "their standard uncertainties"})},
  {"saved", "What car:save gives.", fields = stated(
    {"path", "text", "", "of the file that is written"}, {"kept?", "text", "", "where the file that lay there before is kept"},
    {"rewritten", "text[]", "", "what could not be edited in place and is written anew: paths of parts, or the whole file"})},
  {"person", "What car:person gives.", fields = stated(
    {"name", "text", "", "as in the file"}, {"mass", "number", "kg", "of the person"}, {"cg.x", "number", "mm", "of the person, file axes"},
    {"cg.y", "number", "mm", "the same"}, {"cg.z", "number", "mm", "the same"},
    {"lower_legs", "number", "kg", "shanks and feet"}, {"lower_legs_share", "number", "%", "of the person"},
    {"heels.forward", "number", "mm", "from the hips, as the person sits"}, {"heels.up", "number", "mm", "the same"},
    {"heels_least?", "number", "kg", "on a pad under the heels when the seat carries thighs and knees"},
    {"heels_most?", "number", "kg", "the same when nothing carries the legs between hips and heels"})},
  {"body_inertia", "What car:inertia gives.", fields = stated(
    {"name?", "text", "", "what was asked about; nothing for the car"}, {"mass", "number", "kg", "of it"},
    {"cg.x", "number", "mm", "file axes"}, {"cg.y", "number", "mm", "the same"}, {"cg.z", "number", "mm", "the same"},
    {"point?", "text", "", "the point asked for"},
    {"about.x", "number", "mm", "the point, or the CG"}, {"about.y", "number", "mm", "the same"}, {"about.z", "number", "mm", "the same"},
    {"inertia", "table<string, number>", "kg m2", "xx yy zz xy xz yz about that point, file axes, products with tensor sign"},
    {"roll_inertia", "number", "kg m2", "about a fore-aft line through that point"}, {"pitch_inertia", "number", "kg m2", "across"},
    {"yaw_inertia", "number", "kg m2", "upright"},
    {"principal[].moment", "number", "kg m2", "the least first"},
    {"principal[].axis", "number[]", "", "its direction: three numbers forward, left, up"},
    {"principal[].near", "text", "", "fore-aft, across or upright: what it lies nearest to"},
    {"principal[].off", "number", "deg", "from there"},
    {"parts", "number", "", "aboard in it"}, {"points", "number", "", "of these without a shape: the inertia is at least that"})},
  {"dipstick", "What car:dipstick gives; of a pair, of one of the two.", fields = stated(
    {"name", "text", "", "as in the file"}, {"capacity", "number", "litre", "brim-full"}, {"litres", "number", "litre", "in it now"},
    {"height", "number", "mm", "of these, above the lowest point of the tank as it leans"},
    {"deepest", "number", "mm", "of the brim"}, {"nose_up", "number", "deg", "as asked; below 0: down"},
    {"left_up", "number", "deg", "the same; below 0: the right side"},
    {"rows[].height", "number", "mm", "above the lowest point, square to the surface"}, {"rows[].litres", "number", "litre",
      "up to there"})},
  {"tank", "What car:tank gives, in litres; of a pair, of one of the two.", fields = stated(
    {"name", "text", "", "as in the file"}, {"capacity?", "number", "litre", "brim-full"}, {"litres", "number", "litre", "in it now"},
    {"unusable?", "number", "litre", "cannot be drawn, level as drawn; nothing where the file says nothing of it"},
    {"usable?", "number", "litre", "in it beyond that"},
    {"under[]?.asked", "text", "", "the steady force, where the file gives a pick-up"}, {"under[]?.braking", "number", "g", "0 without"},
    {"under[]?.drive", "number", "g", "0 without"}, {"under[]?.left_turn", "number", "g", "0 without"},
    {"under[]?.right_turn", "number", "g", "0 without"}, {"under[]?.unusable", "number", "litre", "cannot be drawn then"},
    {"under[]?.dry", "boolean", "", "the pick-up draws air with what is in the tank now"})},
  {"book", "What car:book gives.", limits = true, fields = stated(
    {"rows[].name", "text", "", "as in the file"}, {"rows[].path", "text", "", "with its groups: group/part"},
    {"rows[].depth", "number", "", "groups around it"}, {"rows[].kind", "text", "", "part, group, tank or person"},
    {"rows[].mass", "number", "kg", "all pieces together"},
    {"rows[].correction?", "number", "kg", "what records of the car add to it; of a car as measured"},
    {"total.correction?", "number", "kg", "the same, of all that is aboard"},
    {"rows[].pieces", "number", "", "2 for a pair, the count else"},
    {"rows[].each?", "number", "kg", "one piece, where there are several: what car:set takes"},
    {"rows[].sd.each?", "number", "kg", "standard uncertainty"},
    {"rows[].cg?.x", "number", "mm", "file axes"}, {"rows[].cg?.y", "number", "mm", "file axes"},
    {"rows[].cg?.z", "number", "mm", "file axes"},
    {"rows[].moment?", "number", "kg m", "about the front axle, behind it positive"},
    {"rows[].share?", "number", "%", "of the mass of the car"},
    {"rows[].basis?", "text", "", "estimate, calculated, supplier or weighed"},
    {"rows[].carrier?", "text", "", "body, or the axle or wheel that carries it"},
    {"rows[].aboard", "boolean", "", "in this load state"}, {"rows[].growth", "number", "kg", "growth allowance"},
    {"rows[].sd.mass", "number", "kg", "standard uncertainty"}, {"rows[].sd.cg?.x", "number", "mm", "standard uncertainty"},
    {"rows[].sd.cg?.y", "number", "mm", "the same"}, {"rows[].sd.cg?.z", "number", "mm", "the same"},
    {"rows[].unknown?", "boolean", "", "true when the mass is not known"}, {"rows[].note?", "text", "", "as in the file"},
    {"rows[].closure?.whole", "number", "kg", "a group weighed as a whole; only where the file has one"},
    {"rows[].closure?.sum", "number", "kg", "what its booked parts come to"},
    {"rows[].closure?.gap", "number", "kg", "whole - sum"}, {"rows[].closure?.sd", "number", "kg", "of the gap"},
    {"rows[].closure?.sigmas?", "number", "", "gap / sd"},
    {"rows[].closure?.closes", "boolean", "", "gaps of mass and CG within their 95 %"},
    {"rows[].was?.mass?", "number", "kg", "as it was booked before, all pieces; of a tank: dry. No mass where it was unknown"},
    {"rows[].was?.sd?", "number", "kg", "its standard uncertainty"}, {"rows[].was?.basis?", "text", "", "where it came from"},
    {"rows[].was?.unknown?", "boolean", "", "true when it was not known"},
    {"rows[].weighed?.reading", "number[]", "", "a weighing record, as read, in its unit"},
    {"rows[].weighed?.unit", "text", "", "kg g lb or oz"}, {"rows[].weighed?.on?", "text", "", "the instrument"},
    {"rows[].weighed?.zero_before?", "number", "", "in its unit"}, {"rows[].weighed?.zero_after?", "number", "", "the same"},
    {"rows[].weighed?.tare?", "number", "", "the same"}, {"rows[].weighed?.with[]?.name", "text", "", "what else was on"},
    {"rows[].weighed?.with[]?.mass", "number", "", "in its unit"}, {"rows[].weighed?.pieces", "number", "", "weighed together"},
    {"rows[].weighed?.note?", "text", "", "as in the file"},
    {"by_scale[]?.name", "text", "", "an instrument that weighed something of this; only where there is one"},
    {"by_scale[]?.parts", "number", "", "how many lines"}, {"by_scale[]?.mass", "number", "kg", "of these"},
    {"by_scale[]?.sd", "number", "kg", "standard uncertainty that they have in common: of bias and gain"},
    {"rows[].closure?.booked?", "number", "kg", "booked as unaccounted, where the group asks for it; may be below 0"},
    {"rows[].closure?.moment?.x", "number", "kg m", "booked beside it, beyond its mass at the parts' CG, along the file's axes"},
    {"rows[].closure?.moment?.y", "number", "kg m", "the same"}, {"rows[].closure?.moment?.z", "number", "kg m", "the same"},
    {"rows[].closure?.cg?.x", "number", "mm", "where the CG of the whole was measured, file axes"},
    {"rows[].closure?.cg?.y", "number", "mm", "the same"}, {"rows[].closure?.cg?.z", "number", "mm", "the same"},
    {"rows[].closure?.cg_gap?.x", "number", "mm", "that less the parts' CG"}, {"rows[].closure?.cg_gap?.y", "number", "mm", "the same"},
    {"rows[].closure?.cg_gap?.z", "number", "mm", "the same"},
    {"rows[].closure?.cg_sd?.x", "number", "mm", "of that gap"}, {"rows[].closure?.cg_sd?.y", "number", "mm", "the same"},
    {"rows[].closure?.cg_sd?.z", "number", "mm", "the same"},
    {"rows[].closure?.cg_sigmas?.x?", "number", "", "the gap by its sd"}, {"rows[].closure?.cg_sigmas?.y?", "number", "", "the same"},
    {"rows[].closure?.cg_sigmas?.z?", "number", "", "the same"},
    {"rows[].gap?", "boolean", "", "what a weighed whole has beyond its parts: a mass and a moment without a place"},
    {"rows[].closure?.suspects?", "steelyard.closure.suspects[]", "", "lines that would explain a gap, as in the result of sy.closure"},
    {"total.mass", "number", "kg", "of everything aboard"}, {"total.mass_with_growth", "number", "kg", "with allowances"},
    {"total.cg.x", "number", "mm", "file axes"}, {"total.cg.y", "number", "mm", "file axes"},
    {"total.cg.z", "number", "mm", "file axes"},
    {"by_basis[].name", "text", "", "a basis"}, {"by_basis[].mass", "number", "kg", "aboard on that basis"},
    {"by_basis[].parts", "number", "", "how many lines"},
    {"by_group[].name", "text", "", "a group or a part outside all groups"},
    {"by_group[].mass", "number", "kg", "aboard in it"}, {"by_group[].parts", "number", "", "how many lines"})},
  {"guesses", "What car:guesses gives. Masses are of one piece, of a tank dry; errors are (weighed - guess) / guess.", fields = stated(
    {"lines[].path", "text", "", "a weighed line whose earlier mass is known"}, {"lines[].group", "text", "", "the outermost around it"},
    {"lines[].basis", "text", "", "of the guess: estimate, calculated, supplier, or not stated"},
    {"lines[].was", "number", "kg", "as booked before"}, {"lines[].is", "number", "kg", "as weighed"},
    {"lines[].error", "number", "%", "of the guess; positive: came out heavier"},
    {"lines[].inside?", "boolean", "", "within its 95 %, or the limits that were stated; none where nothing was"},
    {"lines[].from?", "text", "", "the earlier file that the guess stands in"},
    {"lines[].sd.was?", "number", "kg", "standard uncertainty, as stated or assumed"}, {"lines[].sd.is?", "number", "kg", "the same"},
    {"rows[].by", "text", "", "basis, group or all"}, {"rows[].name", "text", "", "of the basis or group"},
    {"rows[].lines", "number", "", "how many"}, {"rows[].bias", "number", "%", "mean error"},
    {"rows[].scatter?", "number", "%", "standard deviation of the errors about it, of two lines or more"},
    {"rows[].rms", "number", "%", "root of the mean of the errors' squares: what assume would have been honest"},
    {"rows[].inside", "number", "", "how many lay inside what was stated"}, {"rows[].stated", "number", "", "of so many that stated it"},
    {"rows[].was", "number", "kg", "sum of the guesses"}, {"rows[].is", "number", "kg", "sum as weighed"},
    {"rows[].sd.bias?", "number", "%", "standard uncertainty"}, {"rows[].sd.rms", "number", "%", "the same"},
    {"assume", "table<string, number>", "%", "rms by basis"})},
  {"checks", "What car:checks gives: a list with the fields below in each entry, and the others beside the list.",
    fields = stated(
    {"[].name", "text", "", "of the limit"}, {"[].state?", "text", "", "in which it is judged, where the limit names one"},
    {"[].quantity", "text", "", "what is limited"}, {"[].unit", "text", "", "of its numbers"},
    {"[].value?", "number", "", "in the quantity's unit; none when unknown"}, {"[].sd?", "number", "", "of the value"},
    {"[].min?", "number", "", "lower limit"}, {"[].max?", "number", "", "upper limit"},
    {"[].margin?", "number", "", "to the nearer limit, negative when broken"}, {"[].status", "text", "", status},
    {"[].why", "text", "", "in words"}, {"status", "text", "", "the worst of fail > unknown > near > pass"})},
  {"comparison", "What sy.compare gives. Lists by column; the first column is the baseline.", limits = true, fields = stated(
    {"columns", "text[]", "", "headings"}, {"rows[].name", "text", "", "the quantity"}, {"rows[].label", "text", "", "in words"},
    {"rows[].unit", "text", "", "of all numbers in the row"}, {"rows[].decimals", "number", "", "as its values are printed"},
    {"rows[].change_decimals", "number", "", "as its changes are printed"},
    {"rows[].values", "(number|text)[]", "", 'numbers, or "unknown"'},
    {"rows[].changes", "(number|text)[]", "", 'against the baseline, or "unknown"'},
    {"rows[].sd", "number[]", "", "standard uncertainty: of the baseline first, then of each change"},
    {"rows[].clear", "boolean[]", "", "the change is more than its own 95 %"},
    {"rows[].verdicts?", "text[]", "", 'how each stands to its limit, such as "pass <7", where there is one'},
    {"rows[].words?", "boolean", "", "true when the values are texts"},
    {"at_least", "boolean[]", "", "inertia is \"at least\": parts without a shape count as points"})},
  {"closure", "What sy.closure gives.", fields = stated(
    {"whole?", "number", "kg", "as weighed"}, {"whole_sd?", "number", "kg", "standard uncertainty"},
    {"sum", "number", "kg", "of all parts and extras"}, {"sum_sd", "number", "kg", "standard uncertainty"},
    {"gap?", "number", "kg", "whole - sum"}, {"sd?", "number", "kg", "of the gap, standard uncertainty"},
    {"sigmas?", "number", "", "gap / sd"}, {"closes?", "boolean", "", "gap within its 95 %"},
    {"suspects[].name", "text", "", "a line whose correction would close the gap; empty when it closes"},
    {"suspects[].why", "text", "", "the slip"}, {"suspects[].reading?", "number", "", "as given, in unit"},
    {"suspects[].unit?", "text", "", "of the reading"},
    {"suspects[].would_be", "number", "kg", "what one piece would weigh; 0 for a line too many"},
    {"suspects[].left", "number", "kg", "what the correction leaves of the gap"},
    {"suspects[].count?", "number", "", "pieces there would be, where their number is wrong"},
    {"suspects[].tied?", "text[]", "", "the others that explain it as well"},
    {"suspects[].fits_estimate?", "boolean", "", "true when the line's earlier estimate speaks for it"},
    {"weaker[].name?", "text", "", "a line with less to speak for it; the other fields as above"},
    {"weaker[].why?", "text", "", "the slip"},
    {"weaker[].reading?", "number", "", "as given"}, {"weaker[].unit?", "text", "", "of the reading"},
    {"weaker[].would_be?", "number", "kg", "of one piece"}, {"weaker[].left?", "number", "kg", "of the gap"},
    {"twice[].name", "text", "", "a line that two assemblies book, or that another line includes"},
    {"twice[].mass", "number", "kg", "counted again"}, {"twice[].assemblies", "text[]", "", "where"},
    {"twice[].included_by?", "text", "", "the line that includes it"},
    {"twice_mass", "number", "kg", "of all these"}, {"sum_once", "number", "kg", "sum - twice_mass"},
    {"assemblies[].name", "text", "", "empty for lines without one"}, {"assemblies[].mass", "number", "kg", "of its lines"},
    {"assemblies[].sd", "number", "kg", "standard uncertainty"}, {"assemblies[].lines", "number", "", "how many"},
    {"extra[].name", "text", "", "what the whole holds beside the parts"}, {"extra[].mass", "number", "kg", "of it"},
    {"extra[].sd", "number", "kg", "standard uncertainty"}, {"lines", "number", "", "parts and extras"},
    {"unknown", "number", "", "lines whose mass is not known"}, {"decimals", "number", "", "as masses are printed"})},
  {"track", "What sy.track gives: a row a file, in order of time.", limits = true, exact = true, fields = stated(
    {"rows[].file", "text", "", "its path"}, {"rows[].date", "text", "", "of it, ISO 8601"},
    {"rows[].dated_by", "text", "", "what says so: given, field, name, or record (its last record of the car as it is)"},
    {"rows[].title", "text", "", "of the vehicle"}, {"rows[].mass", "number", "kg", "of the car in it"},
    {"rows[].mass_with_growth", "number", "kg", "with the growth allowances of parts"},
    {"rows[].front_share", "number", "%", "front by total"}, {"rows[].left_share", "number", "%", "left by total"},
    {"rows[].height", "number", "mm", "CG above the ground"}, {"rows[].yaw_inertia", "number", "kg m2", "about the upright axis"},
    {"rows[].cross_share?", "number", "%", "as the file has it, of four wheels"},
    {"rows[].cross_assumed?", "boolean", "", "nobody measured that"},
    {"rows[].sd.mass", "number", "kg", "standard uncertainty"}, {"rows[].sd.front_share", "number", "%", "the same"},
    {"rows[].sd.left_share", "number", "%", "the same"}, {"rows[].sd.height", "number", "mm", "the same"},
    {"rows[].sd.yaw_inertia", "number", "kg m2", "the same"}, {"rows[].sd.cross_share?", "number", "%", "the same"},
    {"rows[].change?.lines", "number", "", "how many lines changed since the file before"},
    {"rows[].change?.total", "table<string, number>", "", "of all of them: d_mass, d_front_share, d_left_share, d_height, d_yaw_inertia"},
    {"rows[].change?.sd", "table<string, number>", "", "its standard uncertainties; what both files state alike goes out"},
    {"rows[].change?.greatest[].part", "text", "", "a line, the greatest first"},
    {"rows[].change?.greatest[].happened", "text", "", "in words"}, {"rows[].change?.greatest[].kinds", "text[]", "", "as in changes"},
    {"rows[].change?.greatest[].d_mass", "number", "kg", "its share of the change"},
    {"rows[].change?.greatest[].d_front_share", "number", "%", "the same"},
    {"rows[].change?.greatest[].d_left_share", "number", "%", "the same"},
    {"rows[].change?.greatest[].d_height", "number", "mm", "the same"},
    {"rows[].change?.greatest[].d_yaw_inertia", "number", "kg m2", "the same"},
    {"rows[].change?.rest?.lines", "number", "", "smaller lines"}, {"rows[].change?.rest?.d_mass", "number", "kg", "of them together"},
    {"rows[].change?.rest?.d_front_share", "number", "%", "the same"}, {"rows[].change?.rest?.d_left_share", "number", "%", "the same"},
    {"rows[].change?.rest?.d_height", "number", "mm", "the same"}, {"rows[].change?.rest?.d_yaw_inertia", "number", "kg m2", "the same"},
    {"records[].name", "text", "", "of the record"}, {"records[].kind", "text", "", "as in car:records"},
    {"records[].date?", "text", "", "as stated"}, {"records[].state?", "text", "", "the load state it was read in"},
    {"records[].file", "text", "", "path of the file that has it: the latest, where several do"},
    {"records[].stood_in?", "text", "", "the file that it names as the car then stood"},
    {"records[].headline?", "text", "", "what it says, in words"},
    {"records[].sigmas?", "number", "", "the largest, against the ledger of that day"},
    {"records[].fits?", "boolean", "", "do the uncertainties explain the difference"},
    {"records[].placed", "boolean", "", "does it say what the car weighed"}, {"records[].why?", "text", "", "why not"},
    {"records[].mass?", "number", "kg", "as read, in the state of the history"}, {"records[].front_share?", "number", "%", "the same"},
    {"records[].height?", "number", "mm", "the same, of the CG"},
    {"records[].cross_share?", "number", "%", "as read, in the state of the record"},
    {"records[].sd.mass?", "number", "kg", "standard uncertainty"}, {"records[].sd.front_share?", "number", "%", "the same"},
    {"records[].sd.height?", "number", "mm", "the same"}, {"records[].sd.cross_share?", "number", "%", "the same"},
    {"records[].carried?", "boolean", "", "it was read in another state and brought to this one"},
    {"records[].ledger?.mass?", "number", "kg", "the ledger of that day in the state of the history"},
    {"records[].ledger?.front_share?", "number", "%", "the same"}, {"records[].ledger?.height?", "number", "mm", "the same"},
    {"left_out[].file", "text", "", "its path"}, {"left_out[].why", "text", "", "in words"},
    {"by", "text", "", "what the greatest lines are judged by"})},
  {"changes", "What sy.changes gives. Each line has its effect on the mean of the two cars.", limits = true, fields = stated(
    {"rows[].part", "text", "", "its path; a group that moved, came or went as a whole is one line"},
    {"rows[].happened", "text", "", "in words"},
    {"rows[].kinds", "text[]", "", "added, removed, renamed, moved, turned, re-weighed, corrected, basis raised, basis lowered, "
      .. "uncertainty, count, mass, filled, shape, carrier, growth, aboard, reformed (a part that became a group) "
      .. "or geometry (axles and ground)"},
    {"rows[].d_mass", "number", "kg", "its share of the change"}, {"rows[].d_front_share", "number", "%", "the same"},
    {"rows[].d_left_share", "number", "%", "the same"}, {"rows[].d_height", "number", "mm", "the same"},
    {"rows[].d_yaw_inertia", "number", "kg m2", "the same"},
    {"rows[].question?", "text", "", "asked of what came where something like it went: renamed?"},
    {"questions", "text[]", "", "all of these"}, {"by?", "text", "", "the quantity whose largest movers come first, as asked"},
    {"sums", "table<string, number>", "", "of the lines, by the same names: d_mass and so on"},
    {"total", "table<string, number>", "", "after less before, which is the same; sd has its standard uncertainty where known"},
    {"before", "table<string, number>", "", "mass, front_share, left_share, height, yaw_inertia"},
    {"after", "table<string, number>", "", "the same"})},
}

-- {words, meaning}
calls.words = {}
for _, item in ipairs(language.words.items) do calls.words[#calls.words + 1] = {('sy.%s "name" {...}'):format(item[1]), item[2]} end
for _, word in ipairs(language.words.others) do
  if word[4] then calls.words[#calls.words + 1] = {("sy.%s %s"):format(word[1], word[2]):gsub(" $", ""), word[3]} end -- others are calls
end
for _, shape in ipairs(language.words.shapes) do
  calls.words[#calls.words + 1] = {("sy.%s {%s}"):format(shape[1], table.concat(shape[2], ", ")), "a shape: " .. shape[3]}
end

-- the car on its springs, the measuring of parts and of the car on its wheels, the work of the shop, studies, and reports
for _, name in ipairs{"springs", "measuring", "lift", "shop", "study", "spread", "seek", "draw", "sensitivity", "ballast", "stint",
                      "report"} do
  local more = require("steelyard.reference.calls." .. name)
  for _, list in ipairs{"module", "car", "result", "results"} do
    if more[list] then table.move(more[list], 1, #more[list], #calls[list] + 1, calls[list]) end
  end
end

local documents = require "steelyard.reference.calls.documents"
calls.documents, calls.inside = documents.documents, documents.inside

return calls
