--- Options of searches. See options.lua for what a row says.

local seek = {"What sy.seek takes; settings of what is asked for stand beside it or under settings.",
  {"car?", "car", "", "the first entry", "the car that is changed"},
  {"vary", "vary[]", "", "", "what may be changed: from and to are bounds; with a number of values, or a list of them, only these may be"},
  {"target?", "table<string, number|number[]>", "its unit", "needed unless least or most is given",
    "by quantity the value to reach, or {value, within}; within is half a unit of the last place printed unless given, or half of what one "
    .. "step changes"},
  {"least?", "text", "", "none", "a quantity to make as small as can be"},
  {"most?", "text", "", "none", "a quantity to make as great as can be"},
  {"limits?", "table<string, number[]|table<string, number>>", "its unit", "those of the file alone",
    "{from, to} or {min =, max =, near =} by quantity"},
  {"worst_over?", "text[]", "", "nothing", "states of the file, or what is varied: all combinations, of which the worst counts"},
  {"starts?", "number", "", "8", "from how many places it is sought: the car as it is, and others spread over the bounds"},
  {"seed?", "number", "", "1", "of these others, a Latin hypercube"},
  {"settings?", "table<string, value|text|boolean|table<string, value>>", "", "none", "what calls take beside the car, as below"},
}

require "steelyard.reference.options.settings"(seek)
seek[#seek + 1] = {"[integer]", "car", "", "", "the car, as the first entry"}

return {seek = seek}
