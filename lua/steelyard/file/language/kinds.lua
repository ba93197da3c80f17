--- The fields of each kind of a vehicle file: what a row says stands in file/language.lua.
--
-- A kind is a function that makes its rows: most files have few kinds.

local language = require "steelyard.file.language"

local ranges, needed, note = language.ranges, language.needed, language.note
local MOST_MASS, MOST_LENGTH, MOST_RATE = language.MOST_MASS, language.MOST_LENGTH, language.MOST_RATE

local kinds = {}

-- ---- the vehicle as a whole, its axles and load states ----------------------------------------------------------------------

function kinds.vehicle()
  return {
    {"title", "text", nil, "name in every heading", range = "one line", otherwise = "the file's name"},
    {"date", "date", nil, "the day from which on the car is as the file says, for `steelyard track`",
      range = "a day of the calendar, with a time or without, or a month", otherwise = "as the file's name says, `mycar-2026-03-14.lua`"},
    {"axes", "axes", nil, "directions of x, y, z", range = "three different lines", otherwise = "x back, y right, z up"},
    {"ground", "number", ranges.zero, "the upright coordinate (z in these files) of the ground at the design ride height"},
    {"centre", "number", ranges.zero, "the coordinate across (y) of the centre plane"},
    {"axles", "axles", needed, "list of axles, front first", range = "2 to 8, at least 3 wheels"},
    {"chassis", "fields", {kind = "chassis"}, "stiffness between the axles in twist", otherwise = "rigid, and results say so"},
    {"lowered", "fields", {kind = "lowered"}, "how much lower than drawn the body has been set by its perches",
      otherwise = "it stands as drawn"},
    {"design", "text", nil, "name of the state the drawn heights belong to", range = "a state of this file", otherwise = "none"},
    {"cross_share", "number", {unit = "%", above = 0, max = 100, default = 50.0}, "right front plus left rear, of the total, \z
      as the car is to be set up; the one number four wheels leave free; with `sd` its uncertainty is in every wheel load"},
    {"cross_weight", "alias", {of = "cross_share"}, "another name of `cross_share`", form = "%", otherwise = "`cross_share`"},
    {"assume", "fields", {kind = "assume"}, "uncertainty of lines that state none", otherwise = "none: they count as exact"},
    -- before the parts they weigh
    {"instruments", "tables", {kind = "instrument"}, "the scales used, `instrument \"bench scale\" { ... }`",
      otherwise = "none"},
    {"parts", "ledger", needed, "list of parts, groups, tanks, persons", range = "at least one"},
    {"spares", "ledger", nil, "the same kinds of line, not aboard unless a state or a script says so", otherwise = "none",
      range = "names differ from those in `parts`"},
    {"states", "states", nil, "list of load states", range = "names differ", otherwise = "none"},
    {"points", "points", nil, "named places on the vehicle", otherwise = "none"},
    {"shafts", "tables", {kind = "shaft"}, "list of half-shafts and propeller shafts", otherwise = "none"},
    {"clearances", "tables", {kind = "clearance"}, "list of gaps to keep", otherwise = "none"},
    {"limits", "tables", {kind = "limit"}, "list of what must hold", otherwise = "none"},
    {"records", "records", nil, "what was measured of the whole car or of an assembly, and when", otherwise = "none",
      range = "names differ"},
    note,
  }
end

function kinds.lowered()
  local height = {unit = "mm", min = -500, max = 500} -- more is a typing error, as for car:lower
  return {{"front", "number", height, "at the first axle; negative where it was raised", otherwise = "0"},
          {"rear", "number", height, "at the last axle, likewise", otherwise = "0"}}
end

function kinds.assume()
  local function share_of(name)
    return {name, "fraction", nil, ("standard uncertainty of the mass of lines whose `basis` is %s"):format(name),
      otherwise = "exact", form = '`"15 %"` of the mass, or a fraction, `0.15`'}
  end
  local list = {}
  for i, name in ipairs(language.bases) do list[i] = share_of(name) end
  list[#list + 1] = {"within_mm", "number", ranges.travel, "limits of every coordinate that states none (standard \z
      uncertainty: the value over sqrt 3)", otherwise = "exact"}
  list[#list + 1] = {"shape", "choice", {words = {"density"}}, "`\"density\"`: what states neither shape nor inertia counts as a solid \z
      ball of 1,000 kg/m3, whose own inertia is good to 50 %", otherwise = "a point"}
  return list
end

function kinds.chassis()
  return {{"torsion", "number", {unit = "N m/deg", above = 0, max = MOST_RATE}, "stiffness between the axles in twist",
    otherwise = "rigid"}, note}
end

function kinds.axle()
  return {
    {"name", "text", needed, "what parts and answers call it; scripts move it as `\"front axle\"`",
      range = "differs from the other axles"},
    {"at", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH, required = true}, "where it is, in the file's x",
      range = "each behind the one before"},
    {"wheels", "wheels", {default = 2}, "`\"two\"` or `\"one\"`; a trailer's coupling is a first axle with one, named `nose`, \z
      `coupling` or `hitch`: `car:stability` then gives its nose load", otherwise = "`\"two\"`"},
    {"track", "number", ranges.size, "distance between the middles of the two contact patches",
      otherwise = "required with two wheels, unless both sides state a `half_track`"},
    {"loaded_radius", "number", ranges.size, "wheel centre above the ground, standing",
      otherwise = "required, unless both sides state it"},
    {"tyre_rate", "number", ranges.rate, "vertical stiffness of one tyre", otherwise = "not known"},
    {"tyre_lateral_rate", "number", ranges.rate, "sideways stiffness of one tyre: in turns and on tilt tables the car goes outward on it",
      otherwise = "it does not give sideways"},
    {"spring_rate", "number", ranges.rate, "stiffness of one spring, at the spring", otherwise = "not known"},
    {"motion_ratio", "ratio", {unit = "", above = 0, max = 100}, "spring travel over wheel travel; as a curve its points in order, \z
      from droop (below 0) to bump, linear between them, beyond them that of the nearest one", otherwise = "1",
      form = "number, or `{{travel, ratio}, ...}` with mm of wheel travel"},
    {"bar_rate", "number", {unit = "N/mm", min = 0, max = MOST_RATE}, "anti-roll bar: load change at the wheel per mm of \z
      left-right difference in travel; two wheels only", otherwise = "0"},
    {"roll_centre", "number", ranges.any, "height above the ground", otherwise = "0"},
    {"perch_pitch", "number", ranges.size, "spring seat travel in one turn of its collar", otherwise = "not known"},
    {"bump", "number", ranges.travel, "wheel travel up from the design height", otherwise = "not known"},
    {"droop", "number", ranges.travel, "wheel travel down from the design height", otherwise = "not known"},
    {"bump_stop", "fields", {kind = "bump_stop"}, "a rubber or foam stop beside each spring", otherwise = "none"},
    {"anti_dive", "links", nil, "of the first axle: how much of the load that braking puts onto it goes through its links, past the \z
      springs; with 100 the springs stay as they were", range = "-100 to 200; two axles only", otherwise = "0"},
    {"anti_lift", "links", nil, "of the last axle: how much of the load that braking takes off it goes through its links",
      range = "-100 to 200; two axles only", otherwise = "0"},
    {"anti_squat", "links", nil, "of a driven axle: how much of the load that drive puts onto it, or takes off a front one, goes \z
      through its links", range = "-100 to 200; two axles only", otherwise = "0"},
    {"left", "fields", {kind = "side"}, "what the left wheel has otherwise", range = "two wheels only",
      otherwise = "as the axle says"},
    {"right", "fields", {kind = "side"}, "the same of the right wheel", range = "two wheels only", otherwise = "as the axle says"}, note,
  }
end

function kinds.bump_stop()
  return {
    {"gap", "number", {unit = "mm", min = 0, max = MOST_LENGTH, required = true}, "wheel travel up from the design height until it is \z
      touched", range = "less than `bump`"},
    {"rate", "number", {unit = "N/mm", above = 0, max = MOST_RATE, required = true}, "what it adds to the wheel rate from there on, \z
      at the wheel: its own rate times the square of its travel over wheel travel"},
  }
end

function kinds.instant_centre()
  return {{"angle", "number", {unit = "deg", min = -60, max = 60, required = true}, "in side view, of the line from the contact patch to \z
    the instant centre of the wheel's links; with inboard brakes, and under drive, from the wheel centre; above 0 where it holds the \z
    body as the field's name says"}}
end

-- Of an axle's numbers those that a side may state for itself.
local of_each_wheel = {loaded_radius = true, tyre_rate = true, spring_rate = true, motion_ratio = true, perch_pitch = true, bump = true,
                       droop = true}

function kinds.side()
  local list = {
    {"at", "number", ranges.any, "where this wheel is, in the file's x", range = "the axle's `at` lies between its two wheels",
      otherwise = "the axle's"},
    {"half_track", "number", ranges.size, "from the centre plane to the middle of this wheel's contact patch",
      otherwise = "the rest of `track`; half of it where neither side says"},
  }
  for _, row in ipairs(kinds.axle()) do
    if of_each_wheel[row[1]] then
      list[#list + 1] = {row[1], row[2], row[3], row[4], range = row.range, form = row.form, otherwise = "the axle's"}
    end
  end
  list[#list + 1] = note
  return list
end

function kinds.state()
  return {
    {"with", "names", {tags = true}, "spares that come aboard", form = "list of parts, groups or tags", otherwise = "none"},
    {"without", "names", {tags = true}, "what is left out", form = "list of parts, groups or tags", otherwise = "none"},
    {"fill", "fills", nil, "tanks filled otherwise", otherwise = "as in `parts`"},
    {"swap", "swaps", nil, "a spare in the place of a part", otherwise = "none"},
    {"stand_ins", "flag", nil, "the mock-up: only parts with a `stand_in` are aboard, with its mass; `with` adds real parts",
      form = "`true`", otherwise = "`false`"}, note,
  }
end

-- ---- what stands among parts ------------------------------------------------------------------------------------------------

local bent = {unit = "deg", min = 20, max = 180} -- what bodies do: core/mass/person.h
local leaning = {unit = "deg", min = -45, max = 90}
local mass = {unit = "kg", min = 0, max = MOST_MASS, required = true}
local basis = {words = language.bases, default = "estimate"}

-- what parts, tanks and persons share, behind the fields of their own
local function item_fields(list)
  for _, row in ipairs{
    {"at", "point", needed, "its CG, `{x, y, z}` or `{x = , y = , z = }`", form = "mm", range = "any"},
    {"within_mm", "within", ranges.travel, "limits of each coordinate that has no uncertainty of its own",
      otherwise = "`assume.within_mm`"},
    {"turned", "turned", nil, "turns the shape or inertia about the CG", range = "any", otherwise = "not turned"},
    {"shape", "shape", nil, "a solid with the part's own inertia", otherwise = "a point"},
    {"basis", "choice", basis, "where the mass comes from"},
    {"unsprung", "unsprung", nil, "what is carried by wheels and not by the body", range = "0 to 1",
      otherwise = "the body carries all"},
    {"tags", "texts", nil, "words to call several parts by", range = "not the name of a part", otherwise = "none"},
    {"pair", "flag", nil, "`mass` and `at` are of one of two, the other is its mirror image in the centre plane", form = "`true`",
      otherwise = "`false`"},
    {"includes", "texts", nil, "what the booked mass contains beyond its name", otherwise = "none"},
    {"excludes", "texts", nil, "what it does not, although one might think so", otherwise = "none"},
    {"bolted_to", "names", nil, "parts it is fixed to: moving one without the other warns, and none of them comes off before \z
      it (`strip_for_mockup`)", range = "parts of this file", otherwise = "none"},
    {"growth", "fraction", nil, "allowance for a part that is not finished, kept apart from its mass and its uncertainty",
      range = "0 or more", otherwise = "by basis: estimate 20 %, calculated 10 %, supplier 5 %, weighed 0 \z
      (ESA SRE-PA/2011.097); none for persons and liquids"},
    {"stand_in", "stand_in", nil, "what takes its place in a mock-up: `{ mass = 14 }`, with `at` and `within_mm` if it sits \z
      elsewhere",
      otherwise = "none"},
    note,
    {"instrument", "text", nil, "what read the stated mass; its bias and gain are uncertain for all parts it weighed together",
      form = "name", range = "one of `instruments`", otherwise = "none"},
    {"scale", "alias", {of = "instrument"}, "another name of `instrument`", form = "name", otherwise = "`instrument`"},
    {"weighed", "weighed", nil, "what a scale read; the mass beside it is what was thought before", otherwise = "none"},
    {"was", "whole", {unit = "kg", min = 0, max = MOST_MASS}, "the mass booked before it was known better: shown, never used",
      otherwise = "the `mass` beside `weighed`"},
  } do list[#list + 1] = row end
  return list
end

-- A list with the rows of `own` in the place of those of the same name.
local function with_own(list, own)
  local by_name = {}
  for _, row in ipairs(own) do by_name[row[1]] = row end
  for i = 1, #list do list[i] = by_name[list[i][1]] or list[i] end
  return list
end

local part_mass = {"mass", "mass", {unit = "kg", min = 0, max = MOST_MASS, required = true, unless = "weighed"}, "of one piece",
  form = "kg, or `unknown`"}
local inertia = {"inertia", "inertia", nil, "the part's own, about its CG: `{xx, yy, zz, xy, xz, yz}` or by name; the last \z
      three may be left out", range = "of a possible body; not with `shape`", otherwise = "a point"}

function kinds.part()
  return item_fields{part_mass, inertia, {"count", "count", nil, "so many of them, `at` their joint CG, `mass` of one",
    range = "1 to 1,000,000; not with `pair`", otherwise = "1"}}
end

function kinds.group()
  return {
    {"at", "point", {default = true}, "where its own origin is; places inside are measured from there", form = "mm",
      otherwise = "`{0, 0, 0}`: inside and outside measure alike"},
    {"turned", "turned", nil, "turns everything inside about that origin, before it is put at `at`", otherwise = "not turned"},
    {"whole", "whole", {unit = "kg", above = 0, max = MOST_MASS, body = true}, "the assembly weighed in one piece",
      form = "kg, `sd` or `within`, or see whole", otherwise = "not weighed"},
    {"weighed", "weighed", nil, "the same as a weighing record; the gap to the pieces then knows what one scale does to both",
      otherwise = "none"},
    {"unaccounted", "flag", nil, "the group counts as it was weighed: what the whole has beyond the parts is a line of that name",
      form = "`true`, with `whole`",
      otherwise = "`false`"},
    {"tags", "texts", nil, "words to call several parts by", otherwise = "none"}, note,
  }
end

function kinds.tank()
  return with_own(item_fields{
    {"density", "number", {unit = "kg/L", above = 0, max = 30, required = true}, "of the liquid; outside 0.42 to 1.84, which \z
      no usual liquid has, it is mentioned"},
    {"unusable", "number", {unit = "litre", min = 0}, "what stays in the tank because nothing can draw it",
      range = "0 to the capacity",
      otherwise = "not stated"},
    {"pick_up", "point", nil, "the point where the liquid is drawn, instead of `unusable`", form = "`{x, y, z}` in mm from `at`",
      range = "inside `shape`", otherwise = "not stated"},
    {"capacity", "number", {unit = "litre", above = 0}, "brim-full; less than the volume of `shape` when foam or baffles are in it",
      otherwise = "the volume of `shape`"},
    {"fill", "fill", needed, "how much is in it; its uncertainty is of this fill alone, those of dry mass and density stay \z
      with the tank",
      range = "0 to the capacity"},
    {"dry_mass", "number", {unit = "kg", min = 0, max = MOST_MASS, default = 0.0}, "of the empty tank, if it is not a line of \z
      its own; with a shape an even sheet over it, not a solid block"},
  }, {
    {"shape", "shape", nil, "the space the liquid fills, as deep as `fill` says", otherwise = "a point; then `capacity` is \z
      required",
      range = "one that encloses a volume, or state `capacity`"},
  })
end

function kinds.person()
  return with_own(item_fields{
    part_mass, inertia, {"hip", "point", nil, "the point midway between the hip joints, not the seat below it", form = "mm",
      otherwise = "required, unless `at` is given"},
    {"stature", "number", {unit = "mm", min = 500, max = 2500}, "standing height without shoes", otherwise = "required with `hip`"},
    {"torso", "number", leaning, "hips to shoulders, back from upright", otherwise = "required with `hip`"},
    {"knee", "number", bent, "between thigh and shank; 180 is a straight leg", otherwise = "required with `hip`"},
    {"thigh", "number", {unit = "deg", min = -90, max = 90}, "hip to knee, up from level", otherwise = "15"},
    {"ankle", "number", {unit = "deg", min = 45, max = 180}, "between shank and sole", otherwise = "90"},
    {"shoulder", "number", {unit = "deg", min = -45, max = 180}, "upper arm, forward from the line of the torso", otherwise = "40"},
    {"elbow", "number", bent, "between upper arm and forearm; 180 is a straight arm", otherwise = "120"},
    {"head", "number", leaning, "neck to crown, back from upright", otherwise = "half of `torso`"},
    {"segments", "choice", {words = {"men", "women"}}, "whose segments", otherwise = "`\"men\"`"},
  }, {
    {"at", "point", {required = true, unless = "hip"}, "the CG of the seated person", form = "mm", range = "any",
      otherwise = "required, unless `hip` is given"},
    {"basis", "choice", {words = language.bases}, "where the mass comes from", otherwise = "none"},
      -- nobody is an estimate for want of one
  })
end

function kinds.stand_in()
  return {{"mass", "mass", mass, "of what takes the part's place"}, {"at", "point", nil, "its CG", otherwise = "that of the part"},
          {"within_mm", "within", ranges.travel, "limits of each coordinate", otherwise = "`assume.within_mm`"}, note}
end

-- ---- scales, what they read, and records -----------------------------------------------------------------------------------

-- Most files have none of these kinds: they stand in files of their own.
function kinds.weighed() return require("steelyard.file.language.scales").weighed() end
function kinds.instrument() return require("steelyard.file.language.scales").instrument() end
function kinds.pad() return require("steelyard.file.language.scales").pad() end
function kinds.record() return require("steelyard.file.language.record")() end
function kinds.whole()
  return {
    {"mass", "number", {unit = "kg", above = 0, max = MOST_MASS, required = true}, "of the assembly"},
    {"cg", "point", nil, "its CG, measured where places inside the group are measured from", form = "mm", range = "any",
      otherwise = "not measured"},
    {"inertia", "inertia", {sd = true}, "its own about its CG, in the group's directions, as that of a part; each moment may have an \z
      uncertainty", range = "of a possible body", otherwise = "that of the parts"},
  }
end

-- ---- what a file lists beside its parts -------------------------------------------------------------------------------------

function kinds.limit()
  return {
    {"name", "text", nil, "in the list of checks", otherwise = "the quantity"},
    {"quantity", "quantity", needed, "what is limited, by the name it has in results: `mass` `front_share` `cg.x` `height` \z
      `yaw_index` `lf` `axle.front` `usable.fuel` ..."},
    {"min", "bound", nil, "the least allowed; at least one of `min` and `max`", otherwise = "open"},
    {"max", "bound", nil, "the most allowed", otherwise = "open"},
    {"state", "texts", nil, "the state it holds in, or a list of them: judged there, whichever state is shown",
      otherwise = "the state shown"},
    {"near", "bound", nil, "how close to a limit is \"near\"", otherwise = "its own 95 % uncertainty; without one, 5 % of the \z
      limit"}, note,
  }
end

function kinds.shaft()
  return {
    {"name", "text", needed, "in results"},
    {"inner", "joint", nil, "`{ part = \"transaxle\", at = {x, y, z} }`: centre of the joint that stays with the body, as a \z
      place on the vehicle as drawn; moves and turns with that part", otherwise = "unknown"},
    {"outer", "joint", nil, "`{ wheel = \"rr\", at = {x, y, z} }`: centre of the other joint, likewise; moves with that \z
      wheel, or with `part = ` something the wheels carry whole, or a part of the body", otherwise = "unknown"},
    {"joint", "choice", {words = {"cv", "cardan"}, required = true}, "`\"cv\"` is of constant velocity"},
    {"axis", "direction", nil, "direction of the joint axes; inside `inner` or `outer`, of that joint alone",
      otherwise = "across the car for a wheel, else fore-aft"},
    {"static_limit", "number", ranges.angle, "largest joint angle standing", otherwise = "common practice: 10 (cv), 3 \z
      (cardan), and results say so"},
    {"worst_limit", "number", ranges.angle, "largest joint angle over the travel",
      otherwise = "common practice: 26 (cv), 6 (cardan), and results say so"},
    {"plunge_limit", "number", ranges.size, "largest change of length over the travel", otherwise = "not stated: the plunge \z
      answers \"unknown\""},
    {"cut_length", "number", ranges.size, "length of the shaft as cut, between joint centres; the joints then stand in the \z
      middle of their plunge",
      otherwise = "not stated"},
    {"phase", "number", {unit = "deg", min = -360, max = 360}, "cardan: angle of the outer yoke of the shaft from its inner \z
      yoke, clockwise for someone who looks along the shaft from the inner joint to the outer, whatever the file's axes",
      otherwise = "0"}, note,
  }
end

function kinds.joint()
  return {
    {"part", "name", nil, "what it moves with", range = "a part of this file", otherwise = "the body"},
    {"wheel", "wheel", nil, "the wheel it moves with", otherwise = "none"},
    {"at", "point", nil, "its centre, as drawn", otherwise = "unknown"},
    {"axis", "direction", nil, "direction of this joint's axis", otherwise = "that of the shaft"},
    {"pivot", "point", nil, "it swings about the line through this point along `hinge`", otherwise = "straight up and down"},
    {"hinge", "direction", nil, "direction of that line", otherwise = "fore-aft"},
    {"path", "path", nil, "`{{-60, x, y, z}, {0, x, y, z}, {60, x, y, z}}`: wheel travel, up positive, and the place of the \z
      joint's centre; straight in between", otherwise = "straight up and down"},
    {"steer", "number", {unit = "deg", min = 0, max = 80}, "lock of a steered wheel: its axis turns so far both ways about \z
      the upright through the joint", otherwise = "0"},
  }
end

function kinds.clearance()
  return {
    {"name", "text", needed, "in results"},
    {"a", "place", needed, "one of the two that must not touch: a part or group by name, or a place"},
    {"b", "place", needed, "the other, likewise, or `\"ground\"`"},
    {"asked", "number", ranges.travel, "the gap to keep", otherwise = "not stated"},
    {"leaves", "leaves", nil, "the way on which `a` must be free: how it is taken out, the room a filter needs to come off",
      otherwise = "stays"}, note,
  }
end

function kinds.place()
  return {
    {"part", "name", nil, "what it moves with", range = "a part of this file", otherwise = "the body"},
    {"wheel", "wheel", nil, "the wheel it moves with", otherwise = "none"},
    {"at", "point", nil, "where it is, as drawn", otherwise = "all of `part`"},
    {"to", "point", nil, "the other end, which makes it a line from `at`", otherwise = "a point"},
    {"radius", "number", ranges.size, "half the thickness of the line or point", otherwise = "none"},
  }
end

function kinds.point()
  return {{"at", "point", needed, "where it is, as drawn"}, {"part", "name", nil, "what it moves with",
      range = "a part of this file",
    otherwise = "the body"}, note}
end

return kinds
