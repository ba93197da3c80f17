--- Options of studies. See options.lua for what a row says.

local study = {"What sy.study takes; settings of what is shown stand beside it or under settings.",
  {"car?", "car", "", "the first entry", "the car that is varied"},
  {"vary", "vary[]", "", "", "what is varied; of a grid the last one changes fastest"},
  {"show", "text[]", "", "", "names of quantities, in order; those of corners, attitude, transfer and stability by their paths"},
  {"limits?", "table<string, number[]|table<string, number>>", "its unit", "those of the file alone",
    "{from, to} or {min =, max =, near =} by quantity"},
  {"worst_over?", "text[]", "", "nothing", "states of the file, or what is varied: all combinations, of which the worst counts"},
  {"method?", '"grid"|"one at a time"|"latin"|"sobol"|"list"', "", "grid", "which values go together"},
  {"points?", "number|table<string|integer, number|text>[]", "", "as sy.vary says",
    "how many points of a Latin hypercube or of Sobol, or the rows of a list"},
  {"seed?", "number", "", "1", "of a Latin hypercube"},
  {"uncertainty?", "boolean", "", "false", "true gives the standard uncertainty of every answer too"},
  {"reduce?", "boolean", "", "false", "true keeps counts and extremes alone, however many variants"},
  {"front?", 'table<string, "least"|"most">', "", "none", "what is wished for: the variants that no other betters in all of it"},
  {"change?", "fun(from: car, row: table): car", "", "nothing", "makes a car of the one with the inputs applied and their values by name"},
  {"settings?", "table<string, value|text|boolean|table<string, value>>", "", "none", "what calls take beside the car, as below"},
  {"to?", "text", "", "nothing is written",
    "file that the study goes to, a table where it ends in .csv, else JSON; goes on where it was stopped"},
  {"shard?", "number[]|text", "", "all of it", "{k, n}: the k-th of n runs, for sy.merge; needs to"},
  {"replace?", "boolean", "", "false", "true writes over that file"},
  {"quiet?", "boolean", "", "false", "true shows no progress"},
  {"threads?", "number", "", "as many as there are processors", "how many work at once; no result depends on it"},
}

require "steelyard.reference.options.settings"(study)
study[#study + 1] = {"[integer]", "car", "", "", "the car, as the first entry"}

return {study = study}
