--- Options of lifting an end to measure the height of the CG. See options.lua for what a row says.

local title = {"title?", "text", "", "none", "for the heading"}
local state = {"state?", "text", "", "not stated", "load state as weighed"}

local function load(name, meaning) return {name .. "?", "value", "kg", "not read", meaning} end

local function sd(name, unit, meaning, default) return {name .. "?", "number", unit, default or "not stated", meaning} end

-- {front =, rear =}, both needed
local function pair(meaning, unit, front, rear)
  return {meaning, {"front", "value", unit, "", front or "first axle"}, {"rear", "value", unit, "", rear or "last axle"}}
end

local place = {{"back?", "value", "mm", "or forward", "behind the front axle"}, {"forward?", "value", "mm", "or back", "ahead of it"},
  {"height", "value", "mm", "", "above the ground, level"}}

local function person(meaning)
  return {meaning, {"name?", "text", "", "driver", "who"}, {"mass", "value", "kg", "", "of the person"},
    {"height", "value", "mm", "", "of the person's CG"}}
end

local cg_height = {"What sy.cg_height takes.", title, state,
  {"wheelbase?", "value|options.sides", "mm", "needed when an axle is lifted", "between the wheel centres, or that of each side"},
  {"radii?", "options.radii", "", "needed when an axle is lifted on pads", "loaded radii"},
  {"tracks?", "options.tracks", "", "needed when a side is lifted", "tracks; with four pads they give cg.y too"},
  {"lifted?", '"rear"|"front"|"left"|"right"', "", "rear", "the end that goes up, unless a reading says otherwise"},
  {"by?", '"wheel"|"jack"|"angle"', "", "wheel", "what a lift is read as: height under the tyre, height at the point jack, or angle; with "
    .. "jack that of a body held there"},
  {"on?", '"pads"|"plane"', "", "pads", "level pads, or a plane that tilts with the car"},
  {"jack?", "options.place|options.jacks", "", "needed by jack", "the point that is lifted, or one for each end"},
  {"suspension?", '"locked"|options.wheel_rates', "", "locked", "locked springs, or the rates of free ones"},
  {"tyre_rate?", "value|options.wheel_rates", "N/mm", "rigid tyres", "of one tyre; only lifts in mm ask for it"},
  {"unsprung?", "options.unsprung", "", "0", "unsprung masses"},
  {"tanks?", '"full"|"empty"|options.lift_tank[]', "", "full or empty", "liquids that move as the car tilts"},
  {"crown_radius?", "value", "mm", "needed when a side is lifted on pads", "of the tread's cross-section"},
  {"blocks?", "table<string, value>", "mm", "none", "heights by name, under both wheels; one used again errs the same"},
  {"mass?", "value", "kg", "from the readings", "weighed elsewhere"},
  {"roof?", "value", "mm", "not known", "height of the roof, above which no CG is believed"},
  {"sd?", "options.lift_sd", "", "not stated", "standard uncertainties"},
  {"readings", "options.lift_reading[]", "", "", "in the order they were taken, at most 128"},
  {"against?", "options.lift_against", "", "nothing", "what the answer is held against"},
  {"at_ride?", "options.ride", "", "as it stood", "asks for the height at another ride height"},
  {"with_driver?", "options.with_driver", "", "nobody", "asks for the height with somebody more"},
  {"without_driver?", "options.without_driver", "", "nobody", "asks for the height with somebody less"}}

local plan = {"What sy.plan_lift takes.", title, {"state?", "text", "", "none", "load state, for the heading"},
  {"within", "value", "mm", "", "how good the height is to be, 95 %"},
  {"pads", "options.plan_pads", "", "", "how good the pads are"},
  {"lifted?", '"rear"|"front"', "", "rear", "the end that goes up"},
  {"wheelbase", "value", "mm", "", "between the wheel centres"},
  {"radii", "options.radii", "", "", "loaded radii"},
  {"mass", "value", "kg", "", "of the car"},
  {"front_share?", "value", "%", "50", "front by total"},
  {"height?", "value", "mm", "the larger radius + 50", "a guess of the CG's height"},
  {"steps?", "number", "", "4", "readings on the way up, at most 10"},
  {"low_points?", "options.low_point[]", "", "none", "what may touch the ground"},
  {"most?", "value", "mm", "up to 20 degrees", "the highest lift to think of"},
  {"sd?", "options.plan_sd", "", "0", "standard uncertainties"},
  {"lifts?", "value[]", "mm", "the plan's steps", "lifts to say the pads' readings for"},
  {"corners?", "options.corner_loads", "", "by axle alone", "wheel loads, level"}}

-- The same set with other words for some of its options.
local function changed(name, set, meaning, rows)
  local list, at = {meaning, like = name}, {}
  for i = 2, #set do list[i], at[set[i][1]:match "^[%a_]+"] = set[i], i end
  for _, row in ipairs(rows) do list[at[row[1]:match "^[%a_]+"]] = row end
  return list
end

return {
  cg_height = cg_height,
  car_cg_height = changed("cg_height", cg_height, "What car:cg_height takes: as sy.cg_height, but what is left out comes from the car.", {
    {"title?", "text", "", "the car's heading", "for the heading"}, {"state?", "text", "", "the car's", "load state as weighed"},
    {"wheelbase?", "value|options.sides", "mm", "the car's", "between the wheel centres, or that of each side"},
    {"radii?", "options.radii", "", "the car's", "loaded radii"}, {"tracks?", "options.tracks", "", "the car's", "tracks"},
    {"jack?", "options.place|options.jacks|point", "", "needed by jack", "the point that is lifted, or one for each end; {x, y, z} is a "
      .. "place in the file's axes"},
    {"suspension?", '"locked"|"free"|options.wheel_rates', "", "locked", "locked springs, those of the file free, or the rates of others"},
    {"tyre_rate?", "value|options.wheel_rates", "N/mm", "the car's", "of one tyre; only lifts in mm ask for it"},
    {"unsprung?", "options.unsprung", "", "the car's", "unsprung masses"},
    {"tanks?", '"full"|"empty"|options.lift_tank[]', "", "as filled", "liquids that move as the car tilts"},
    {"against?", "options.lift_against", "", "the ledger", "what the answer is held against"},
    {"with_driver?", "text|options.with_driver", "", "nobody", "asks for the height with somebody more, or with a part of that name; "
      .. "nobody who is aboard is added again"},
    {"without_driver?", "text|options.without_driver", "", "nobody", "asks for the height with somebody less, or without a part of that "
      .. "name"}}),
  plan_lift = plan,
  car_plan_lift = changed("plan_lift", plan, "What car:plan_lift takes: as sy.plan_lift, but what is left out comes from the car.", {
    {"title?", "text", "", "the car's heading", "for the heading"}, {"state?", "text", "", "the car's", "load state, for the heading"},
    {"wheelbase?", "value", "mm", "the car's", "between the wheel centres"}, {"radii?", "options.radii", "", "the car's", "loaded radii"},
    {"mass?", "value", "kg", "the car's", "of the car"}, {"front_share?", "value", "%", "the car's", "front by total"},
    {"height?", "value", "mm", "the ledger's", "a guess of the CG's height"},
    {"low_points?", "options.low_point[]", "", "the file's points", "what may touch the ground"},
    {"corners?", "options.corner_loads", "", "the car's", "wheel loads, level"}}),
  sides = {"The wheelbase of each side.", {"left", "value", "mm", "", "left side"}, {"right", "value", "mm", "", "right side"}},
  radii = pair("Loaded radii: wheel centre to ground, the car standing on it.", "mm"),
  tracks = {"Tracks, or where both wheels stand.", {"front", "value|options.half_tracks", "mm", "", "first axle"},
    {"rear", "value|options.half_tracks", "mm", "", "last axle"}},
  half_tracks = {"From the centre plane to each wheel of an axle.", {"left", "value", "mm", "", "left wheel"},
    {"right", "value", "mm", "", "right wheel"}},
  wheel_rates = pair("Rates of one wheel.", "N/mm"),
  unsprung = pair("Unsprung masses, by axle.", "kg"),
  ride = pair("Ride height, from how it stood, up positive.", "mm"),
  place = {"A point beside the car.", table.unpack(place)},
  jacks = {"The point that is lifted at each end; one of the two does for both.",
    {"front?", "options.place", "", "as the rear", "when the front is up"}, {"rear?", "options.place", "", "as the front",
      "when the rear is up"}},
  lift_tank = {"A liquid that moves as the car tilts: its centre at some tilts, or as a function.",
    {"name?", "text", "", "none", "of the tank"}, {"mass", "value", "kg", "", "of the liquid"},
    {"at?", "options.place", "", "needed without centre", "its centre, level"},
    {"tilted?", "options.tilted_place[]", "", "none", "its centre at some tilts, straight between them"},
    {"centre?", "fun(degrees: number): number, number", "", "by at and tilted", "back and height in mm for degrees nose up"}},
  tilted_place = {"The centre of a liquid at a tilt, measured along the car.",
    {"nose_up?", "value", "deg", "or nose_down", "tilt"}, {"nose_down?", "value", "deg", "or nose_up", "tilt"}, table.unpack(place)},
  lift_sd = {"Standard uncertainties of a lift.",
    sd("pad", "kg", "of each load as written"), sd("step", "kg", "smallest step of the display"),
    sd("lift", "mm", "of lifts, and of blocks without their own; a level reading has what it states"),
    sd("angle", "deg", "of angles, likewise"), sd("radius", "mm", "of radii without their own"),
    sd("wheelbase", "mm", "of a wheelbase without its own"), sd("zero", "kg", "drift of a pad's zero over the session", "none")},
  lift_reading = {"One reading: a lift, and what pads showed. The end that stays down is enough.",
    {"run?", "text|number", "", "by the order of the lifts", "readings taken with the same zeros; all readings name theirs, or none"},
    {"going?", "text", "", "by the order of the lifts", "up or down, where runs have no other name"},
    {"lift?", "value|text|text[]", "mm", "needed unless by angle", "0 when level; or the block, or the blocks, it stands on"},
    {"angle?", "value", "deg", "needed by angle", "0 when level"},
    {"lifted?", '"rear"|"front"|"left"|"right"', "", "as for all", "the end that is up"},
    load("front", "both front pads"), load("rear", "both rear pads"), load("left", "both left pads, of a side lift"),
    load("right", "both right pads, of a side lift"), load("lf", "left front pad"), load("rf", "right front pad"),
    load("lr", "left rear pad"), load("rr", "right rear pad"), load("fl", "another name of lf"), load("fr", "another name of rf"),
    load("rl", "another name of lr"), {"note?", "text", "", "none", "for whoever reads it; nothing is done with it"}},
  lift_against = {"What a measured height is held against.", {"name?", "text", "", "ledger", "what it is"},
    {"height", "value", "mm", "", "its height"}, {"mass?", "value", "kg", "not compared", "its mass"}},
  with_driver = person "Somebody more in the car.",
  without_driver = person "Somebody less in the car.",
  plan_pads = {"How good the pads are: one of the two at least.",
    sd("sd", "kg", "standard uncertainty of a load"), sd("step", "kg", "smallest step of the display")},
  low_point = {"What may touch the ground.", {"name?", "text", "", "by its number", "what it is"}, table.unpack(place)},
  plan_sd = {"Standard uncertainties of a plan.", sd("lift", "mm", "of a lift", "0"), sd("radius", "mm", "of a radius", "0"),
    sd("wheelbase", "mm", "of the wheelbase", "0"), sd("zero", "kg", "drift of a pad's zero over the session", "0")},
  corner_loads = {"Loads of four wheels, level.", {"lf", "value", "kg", "", "left front"}, {"rf", "value", "kg", "", "right front"},
    {"lr", "value", "kg", "", "left rear"}, {"rr", "value", "kg", "", "right rear"}},
}
