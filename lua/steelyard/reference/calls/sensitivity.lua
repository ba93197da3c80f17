--- The table of calls, continued: what answers rest on, and what to weigh next. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.module = {
  {"sy.sensitivity", {{"request", "options.sensitivity"}}, "sensitivity",
    "How far each stated error, or each input that is varied, moves each answer, and its share of the answer's variance; and the line "
    .. "whose weighing or measuring would make the answers most certain, the next one after that, and what is left when all are done."},
}

calls.results = {
  {"sensitivity_quantity", "What moves one quantity, the largest first, in its unit; and what stands beside the list. An error counts "
    .. "once: that of a pair in both pieces, an instrument's in all that was weighed on it, that of a record's readings as one.",
    exact = true, apart = true, fields = {
    {"[].what", "text", "", "name of the line, wheel, axle, instrument or record, or of the input that is varied"},
    {"[].path", "text", "", "of a line, with its groups"},
    {"[].field", "text", "", "of it: mass, fill, spring_rate and so on; forward, left, up, or out of a pair, of a place; "
      .. "readings of a record, bias and gain of an instrument"},
    {"[].input_unit?", "text", "", "of sigma, or of step, from and to"},
    {"[].sigma?", "number", "", "one standard uncertainty, of one piece; not where several errors are one"},
    {"[].step?", "number", "", "of an input that is varied: between two of its values"},
    {"[].from?", "number", "", "of such a one: its least value"}, {"[].to?", "number", "", "and its greatest"},
    {"[].change?", "number", "", "of the quantity by one sigma more, to first order; by one step more, the mean over the range"},
    {"[].low?", "number", "", "the quantity worked out with one sigma less, or at from; nil where the car does not stand so"},
    {"[].high?", "number", "", "with one sigma more, or at to"},
    {"[].variance_share?", "number", "%", "of the quantity's variance; not of what is varied"},
    {"unit", "text", "", "of the quantity"}, {"value", "number", "", "the quantity"},
    {"sd?", "number", "", "its standard uncertainty"},
    {"rest_share?", "number", "%", "what all others have of the variance: with those listed 100"}}},
  {"sensitivity", "What sy.sensitivity gives; each quantity also stands under its own name, as in r.front_share[1].what.", fields =
    common.stated(
    {"names", "text[]", "", "what is shown, in order"}, {"quantities", "table<string, sensitivity_quantity>", "", "by name"},
    {"rest_share", "table<string, number>", "%", "by name: of the variance, what the rows do not have"},
    {"weigh_next[].name", "text", "", "the line, best first; each further one on the car as weighed and measured so far"},
    {"weigh_next[].path", "text", "", "with its groups, for car:set"},
    {"weigh_next[].field", "text", "", "mass, dry_mass of a tank, whole of a group that counts as weighed, or place: the "
      .. "coordinates that the tape knows better"},
    {"weigh_next[].with", "text", "", "scale or tape: how well it is known then"},
    {"weigh_next[].before", "table<string, number>", "by name", "standard uncertainties by name before the step"},
    {"weigh_next[].after", "table<string, number>", "by name", "and after it: as those of the car with that line set so"},
    {"weigh_next[].drop", "number", "%", "what the step takes of the variance at the start; of several quantities the mean"},
    {"weigh_next[].share", "number", "%", "what the line has of it at the start"},
    {"left", "table<string, number>", "by name", "standard uncertainties by name when all is done, also what is not listed"},
    {"scale", "number", "kg", "as asked"}, {"tape", "number", "mm", "as asked"}, {"lines", "number", "", "booked lines aboard"})},
}

return calls
