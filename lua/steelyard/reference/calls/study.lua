--- The table of calls, continued: studies of many cars. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.module = {
  {"sy.vary", {{"what", "what", 'a name, a tag or a list of names; "chassis" or "vehicle"; "state"; or a setting such as "left_turn"'},
    {"way?", "text|number|any[]",
      "a direction (mm), a turning word (deg), \"fill\" (litres), \"swap\" or a field; not of a state or a setting"},
    {"from?", "number|any[]", "the first value, or the list of all; names for states and swaps"}, {"to?", "number", "the last value"},
    {"n?", "number", "how many, both ends among them; not needed for Latin hypercubes and Sobol points"}},
    "vary", "One input of a study. Directions count from where the car has it; of all else the values are what it then is."},
  {"sy.study", {{"study", "options.study"}}, "study",
    "Many cars at once: what is varied goes with what it is varied with, every variant is asked and judged by the limits."},
  {"sy.merge", {{"paths", "text[]", "files that a study has written, a shard each: all of them, in any order"}}, "study",
    "The whole result of a study that was worked out in shards, as one run gives it."},
}

calls.results = {
  {"vary", "What sy.vary gives.", apart = true, fields = {
    {"name", "text", "", "in results: item and way, or the setting"}, {"what?", "what", "", "as given"}, {"way?", "text", "", "as given"},
    {"kind", "text", "", "move, turn, field, fill, swap, state or setting"}, {"unit?", "text", "", "of the values, where the way says it"},
    {"from?", "number", "", "least or first value"}, {"to?", "number", "", "greatest or last value"}, {"n?", "number", "", "how many"},
    {"values?", "number[]", "", "all; of words 1, 2 and so on"}, {"words?", "text[]", "", "names, of states, swaps and bars"},
    {"ranged?", "boolean", "", "from, to and not a list"}, {"shares?", "text[]", "", "fills in percent, as given"}}},
  {"study", "What sy.study gives. What is not known is nil in a column, empty in CSV and null in JSON.", fields = common.stated(
    {"n", "number", "", "variants, without what is folded"}, {"shape?", "number[]", "", "of a grid: values of each input"},
    {"method", "text", "", "as asked"}, {"seed?", "number", "", "of a Latin hypercube"},
    {"inputs[].name", "text", "", "item and way"}, {"inputs[].label", "text", "", "as printed"}, {"inputs[].unit", "text", "",
      "of the values"},
    {"inputs[].kind", "text", "", "as sy.vary says"}, {"inputs[].values", "(number|text)[]", "", "numbers or words; of a range its ends"},
    {"outputs[].name", "text", "", "of the quantity"}, {"outputs[].label", "text", "", "as printed"}, {"outputs[].unit", "text", "",
      "of it"},
    {"outputs[].decimals", "number", "", "as printed"}, {"outputs[].unknown", "number", "", "variants in which it is not known"},
    {"columns", "table<string, column>", "", "by name of input and output: an entry a variant"},
    {"sd?", "table<string, column>", "", "standard uncertainties by name of output; without any unless asked for"},
    {"verdict?", "column", "", "of each variant: pass, near, fail or unknown; where there are limits"},
    {"counts?.pass", "number", "", "variants"}, {"counts?.near", "number", "", "inside, by less than their uncertainty"},
    {"counts?.fail", "number", "", "that break a limit"}, {"counts?.unknown", "number", "", "not decided"},
    {"feasible?", "number", "", "that keep all limits: pass and near"},
    {"judged[]?.name", "text", "", "of a limit"}, {"judged[]?.quantity", "text", "", "of it"}, {"judged[]?.unit", "text", "",
      "of its numbers"}, {"judged[]?.min?", "number", "", "in its unit"},
    {"judged[]?.max?", "number", "", "in its unit"}, {"judged[]?.from", "text", "", "file or study"},
    {"judged[]?.state?", "text", "", "in which it is judged, where it names one"},
    {"summary", "table<string, table<string, number>>", "", "by output: min, max, mean, at_min and at_max, numbers of variants"},
    {"folded?", "text[]", "", "inputs that worst_over folds"},
    {"lowest?", "table<string, column>", "", "least answer over what is folded"}, {"highest?", "table<string, column>", "", "greatest"},
    {"lowest_at?", "table<string, column>", "", "where that is, in words"}, {"highest_at?", "table<string, column>", "", "the same"},
    {"front?", "number[]", "", "variants in the front, from the least of the first output wished for"},
    {"wishes[]?.name", "text", "", "an output wished for, in order; where there is a front"},
    {"wishes[]?.way", "text", "", "least or most"},
    {"asked", "table<string, number>", "", "answers of the car itself, by output"},
    {"asked_sd", "table<string, number>", "", "their standard uncertainties"},
    {"solved_singly", "number", "", "cars solved each by itself, of what is folded each combination: those that lift a wheel, "
      .. "meet a stop or have liquid that runs, and all whose answers or verdicts no other way gives"},
    {"n_done?", "number", "", "of a study that was stopped: how many variants there are"},
    {"shard?", "number[]", "", "which of how many, of one shard"},
    {"hash", "text", "", "what was asked of which car by which version: the same for all shards"},
    {"status?", "text", "", "fail where no variant is feasible, else pass or near; where there are limits"})},
}

return calls
