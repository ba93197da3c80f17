--- Options of weighing and hanging parts, and of meshes. See options.lua for what a row says.

local function title() return {"title?", "text", "", "none", "for the heading"} end
local function state(default) return {"state?", "text", "", default, "in what state it was measured"} end

local function load(name, meaning) return {name .. "?", "value", "kg", "not read", meaning} end

local function sd(name, unit, meaning) return {name .. "?", "number", unit, "not stated", meaning} end

local axis_word = '"forward"|"back"|"left"|"right"|"up"|"down"'
local engine = '"flat engine"|"inline engine"|"vee engine"|"engine"|"gearbox"|"part"'

local axes = {"axes?", "options.part_axes", "", "forward, left, up", "which way its axes point"}
local part_kind = {"kind?", engine, "", "not stated", "what it is; a flat engine is compared with a rule of thumb"}
local crank = {"crank?", "options.crank", "", "not stated", "a point of its crankshaft's centreline: says where the CG lies from it"}
local supports = {"supports?", "table<string, point>|point[]", "mm", "needed with poses", "places of the supports by name"}

local function tilt(name) return {name .. "?", "value", "deg", "0", "how far it was tilted"} end

return {
  part_cg = {"What sy.part_cg takes.",
    {"poses?", "options.pose[]", "", "needed without edge", "how it stood, each with what the scales showed"}, supports,
    {"sd?", "options.part_sd", "", "not stated", "standard uncertainties"},
    {"step?", "number", "kg", "not stated", "smallest step of the scales' display"},
    {"edge?", "options.edge|options.edge[]", "", "none", "balanced on an edge, once or more"}, axes, title(),
    state "weighed level, or level and tilted",
    {"feet?", '"points"|"round"', "", "points", "round feet roll as it tilts"}, part_kind, crank},
  pose = {"How a part stood on its supports.", {"supports?", supports[2], "mm", "as for all", supports[5]},
    {"readings", "table<string, value|false>|(value|false)[]", "kg", "", "what each support's scale showed, by name; false: it did not "
      .. "stand there"},
    {"tare?", "value|table<string, value>|value[]", "kg", "0", "of all supports, or by name"},
    tilt "nose_up", tilt "nose_down", tilt "left_up", tilt "right_up", {"name?", "text", "", "none", "for whoever reads it"}},
  part_sd = {"Standard uncertainties of weighing a part.", sd("reading", "kg", "of a reading"), sd("place", "mm", "of a coordinate"),
    sd("tilt", "deg", "of an angle")},
  edge = {"A part balanced on an edge.",
    {"known_mass?", "value", "kg", "alone", "a mass beside it"}, {"at?", "value", "mm", "needed with known_mass", "where that mass stood"},
    {"balance_at", "value", "mm", "", "coordinate of the edge"}, {"along?", '"x"|"y"|"z"', "", "x", "the axis these coordinates lie on"}},
  part_axes = {"Which way the axes of a part point.", {"x", axis_word, "", "", "its x"}, {"y", axis_word, "", "", "its y"},
    {"z", axis_word, "", "", "its z"}},
  crank = {"A point of a crankshaft's centreline.", {"x?", "value", "mm", "not compared", "in the part's axes"},
    {"y?", "value", "mm", "not compared", "the same"}, {"z?", "value", "mm", "not compared", "the same"}},
  hang_cg = {"What sy.hang_cg takes.", {"lines", "options.plumb_line[]", "", "", "plumb lines through the points it hung from"},
    {"sd?", "number", "mm", "3", "standard uncertainty of each coordinate without its own"}, title(), state "as hung", part_kind, crank,
    {"axes?", "options.part_axes", "", "not stated", axes[5]}},
  plumb_line = {"A plumb line, in axes of the part.", {"from", "point", "mm", "", "the hanging point"},
    {"to", "point", "mm", "", "a mark on the line below it"}, {"name?", "text", "", "its number", "of the point"}},
  subtract = {"What sy.subtract takes.", {"whole", "options.weighed_body|cg_height|part_cg|hung|remainder|corner_scales|mesh", "", "",
      "the weighing with the part: its numbers, or a result that has them"},
    {"without", "options.weighed_body|cg_height|part_cg|hung|remainder|corner_scales|mesh", "", "", "the weighing without it"},
    {"wheelbase?", "value", "mm", "needed with loads", "between the axles"},
    {"tracks?", "options.tracks", "mm", "not known", "with wheel loads: gives the place sideways too"}, title(),
    state "the whole less without it"},
  weighed_body = {"A weighing: mass and CG, or loads of axles or wheels. Places from loads are back of the front axle and to the right.",
    {"mass?", "value", "kg", "needed without loads", "of all"}, {"cg?", "value[]|options.some_point", "mm", "not known", "its CG"},
    {"inertia?", "value[]|options.inertia", "kg m2", "not known", "about its CG"},
    load("front", "first axle"), load("rear", "rear axle"), load("lf", "left front"), load("rf", "right front"), load("lr", "left rear"),
    load("rr", "right rear")},
  some_point = {"The coordinates of a point that are known.", {"x?", "value", "mm", "not known", "along x"},
    {"y?", "value", "mm", "not known", "along y"}, {"z?", "value", "mm", "not known", "along z"}},
  inertia = {"An inertia about the CG, tensor sign.", {"xx", "value", "kg m2", "", "moment"}, {"yy", "value", "kg m2", "", "moment"},
    {"zz", "value", "kg m2", "", "moment"}, {"xy?", "value", "kg m2", "0", "product"}, {"xz?", "value", "kg m2", "0", "product"},
    {"yz?", "value", "kg m2", "0", "product"}},
  mesh = {"What sy.mesh takes.", {"unit", '"mm"|"cm"|"m"|"inch"|"ft"', "", "", "that the file's numbers are in, which it does not say"},
    {"mass?", "value", "kg", "not known", "as weighed"}, {"density?", "value", "kg/L", "not known", "in place of a mass"},
    {"turn_outward?", "boolean", "", "false", "turns faces that look inward"}},
}
