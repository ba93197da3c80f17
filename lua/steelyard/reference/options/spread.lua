--- Options of simulations. See options.lua for what a row says.

return {
  spread = {"What sy.spread takes.",
    {"car?", "car", "", "the first entry", "the car that is asked"},
    {"draws", "number", "", "", "how often everything stated is drawn: 100000 know a standard deviation to 0.2 %; at most 2^34"},
    {"seed", "number", "", "", "a whole number; with the same one a line draws the same numbers, as long as its name stays, whatever else "
      .. "is in the file"},
    {"show", "text[]", "", "", "names of quantities, in order: of the balance, corners, attitude, stability, shafts, clearances, "
      .. "usable"},
    {"growth?", "boolean", "", "false", "true draws the growth allowances too, of each line anything from nothing to all of it"},
    {"below?", "table<string, number>", "its unit", "none", "by quantity that is shown: how often is it less?"},
    {"above?", "table<string, number>", "its unit", "none", "how often is it more?"},
    {"pads?", "options.level_pads", "", "exactly level", "of corners and attitude: how level the pads are"},
    {"slope?", "options.slope", "", "level", "of corners and attitude: how the ground slopes"},
    {"to?", "text", "", "nothing is written", "JSON file that the result goes to; goes on where it was stopped"},
    {"shard?", "number[]|text", "", "all of it", "{k, n}: the k-th of n runs, for sy.merge; needs to"},
    {"replace?", "boolean", "", "false", "true writes over that file"},
    {"quiet?", "boolean", "", "false", "true shows no progress"},
    {"threads?", "number", "", "as many as there are processors", "how many work at once; no result depends on it"},
    {"[integer]", "car", "", "", "the car, as the first entry"}},
  level_pads = {"How level pads are with one another.",
    {"sd", "number", "mm", "", "standard uncertainty of the height of each, by itself"}},
}
