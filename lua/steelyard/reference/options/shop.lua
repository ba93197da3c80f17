--- Options of shafts, lifting, stands and the mock-up on the floor. See options.lua for what a row says.

local spot = "text|point" -- a point of the file or coordinates
local floor_spot = "text|some_of_point" -- the same on the floor

local function ratio(name, meaning) return {name .. "?", "value", "", "1", meaning} end

return {
  survey = {"What sy.survey takes.",
    {"drawn", "table<string, some_of_point>|markout", "mm", "", "drawn places on the floor by name, or what car:markout gave"},
    {"measured", "table<string, some_of_point|options.taped>", "mm", "", "measured places by the same names, or lengths of two tapes"},
    {"sd?", "value", "mm", "2", "standard uncertainty of a reading without its own"},
    {"tapes?", "some_of_point[]|options.tapes", "mm", "needed with lengths of tapes", "the two points on the floor that tapes start at"}},
  taped = {"Lengths of two tapes to a point.", {"a", "value", "mm", "", "from tape point A"}, {"b", "value", "mm", "", "from B"},
    {"z?", "value", "mm", "not compared", "height"}},
  tapes = {"The two points on the floor that tapes start at.", {"A", "some_of_point", "mm", "", "the first"},
    {"B", "some_of_point", "mm", "", "the second"}},
  handling = {"What car:handling takes: a limit, or the conditions of the lift.",
    {"limit?", "value", "kg", "25", "what one person may lift"}, {"what?", "what", "", "everything", "a part, a group or a tag"},
    {"reach?", "value", "mm", "250", "hands before the ankles"}, {"height?", "value", "mm", "750", "of the hands at the start"},
    {"travel?", "value", "mm", "250", "how far up or down"}, {"twist?", "value", "deg", "0", "of the body"},
    ratio("frequency", "multiplier for frequent lifts, 1 for single ones"), ratio("grip", "multiplier for a poor grip, 1 for a good one")},
  hoist = {"What car:hoist takes.",
    {"points", ("(%s)[]|table<string, %s>"):format(spot, spot), "mm", "", "where up to four legs hold on: names of the file's points or "
      .. "{x, y, z}, in order or by names of your own"},
    {"legs?", "value|value[]|table<string, value>", "mm", "chosen", "one length for all legs, or one each"},
    {"hook?", spot, "mm", "by the legs", "a fixed place of the hook, in place of legs"},
    {"boom?", "(value[]|options.boom_line)[]", "", "not rated", "ratings of the boom, the shortest reach first"},
    {"reach?", "value", "mm", "not stated", "of the boom, in use"},
    {"hang?", "options.hanging", "deg", "as it stands", "how it is to hang"},
    {"tackle?", "value", "kg", "0", "tackle on the boom besides"}},
  boom_line = {"A position of a boom.", {"reach", "value", "mm", "", "its reach"}, {"kg", "value", "kg", "", "its rating"}},
  hanging = {"How something is to hang, from how it stands: one of nose_up and nose_down, one of left_up and right_up.",
    {"nose_up?", "number", "deg", "0", "its nose higher"}, {"nose_down?", "number", "deg", "0", "or lower"},
    {"left_up?", "number", "deg", "0", "its left side higher"}, {"right_up?", "number", "deg", "0", "or its right side"}},
  markout = {"What car:markout takes.",
    {"state?", "text", "", "the car's", "load state"},
    {"points?", ("(%s)[]|table<string, %s>"):format(floor_spot, floor_spot), "mm", "all marks", "what to chalk out: names of the file's "
      .. "points or {x, y, z}"},
    {"what?", "what", "", "all marks", "a part, a group or a tag to chalk out"},
    {"tapes?", "some_of_point[]|options.tapes", "mm", "left of the car", "the two points on the floor that tapes start at"},
    {"tape_sd?", "value", "mm", "2", "standard uncertainty of a length"},
    {"trolleys?", "(number|text|some_of_point)[]", "mm", "none", "two places along the car, or three points and more"}},
  stands = {"What car:stands takes.",
    {"at", ("(%s)[]|table<string, %s>"):format(floor_spot, floor_spot), "mm", "",
      "three stands or more: {x, y}, {x, y, z}, names of points, keys of wheels that stay on the ground"},
    {"without?", "text|text[]", "", "nothing", "what comes out, one after the other"},
    {"nose?", spot, "mm", "the foremost point", "where somebody may pull: the foremost of shapes, of the file's points and of tyres"},
    {"tail?", spot, "mm", "the rearmost point", "the same at the rear"}},
  clearances = {"What car:clearances takes.",
    {"at?", "text|text[]", "", "design", '"design", "as loaded", "bump", "front bump", "rear bump", "droop", "steer" or "rock", or a list '
      .. "of them"},
    {"steer?", "value", "deg", "unknown", "how far the front wheels steer, each way"},
    {"rock?", "options.rock", "", "the powertrain 3 deg", "what rocks on its mounts, and how far each way about its CG"}},
  rock = {"What rocks on its mounts, each way about its CG.",
    {"what?", "what", "", "powertrain", "a part, a group or a tag"}, {"left_up?", "value", "deg", "3", "sideways"},
    {"right_up?", "value", "deg", "3", "the same"}, {"nose_up?", "value", "deg", "0", "fore and aft, in place of sideways"},
    {"nose_down?", "value", "deg", "0", "the same"}},
  shafts = {"What car:shafts takes.",
    {"travels?", "options.travels", "mm", "the file's", "wheel travel in place of the file's, and travels to be listed as well"}},
  travels = {"Wheel travel, both counted from the drawn height; in the list up positive.",
    {"droop?", "number", "mm", "the file's", "how far the wheel goes down"}, {"bump?", "number", "mm", "the file's", "how far it goes up"},
    {"[integer]", "number", "mm", "none", "travels to be listed as well"}},
}
