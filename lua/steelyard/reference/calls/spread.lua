--- The table of calls, continued: simulations. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.module = {
  {"sy.spread", {{"request", "options.spread"}}, "spread",
    "Everything that is stated with an uncertainty is drawn at random, again and again, and the car solved with it: how answers "
    .. "then spread, beside what the first order says."},
}

calls.results = {
  {"spread_quantity", "What a simulation says of one quantity, in its unit.", fields = {
    {"unit", "text", "", "of the numbers"}, {"mean?", "number", "", "of the draws; this and the next not where no draw has an answer"},
    {"sd?", "number", "", "their standard deviation, of two draws or more"},
    {"mean_error?", "number", "", "standard deviation that so many draws leave the mean"},
    {"sd_error?", "number", "", "and the standard deviation"},
    {"p2_5?", "number", "", "2.5 % of draws lie below; counted in bins"}, {"p50?", "number", "", "half of them"},
    {"p97_5?", "number", "", "97.5 % of them"}, {"low?", "number", "", "the least of all draws"}, {"high?", "number", "", "the greatest"},
    {"first_order?", "number", "", "the answer where all that is drawn has its mean"},
    {"first_order_sd?", "number", "", "its standard uncertainty as every page has it, with growth where that is drawn"},
    {"agrees?", "boolean", "", "mean and sd are those of first order, but for a tenth and a fiftieth of the sd and three errors"},
    {"why?", "text", "", "they are not, or nothing can be said"}, {"unknown", "number", "", "draws in which there is no answer"},
    {"histogram.from", "number", "", "where the first bin begins"}, {"histogram.to", "number", "", "where the last one ends"},
    {"histogram.counts", "number[]", "", "draws in each of 16384 bins of one width"},
    {"histogram.under", "number", "", "draws below all bins"},
    {"histogram.over", "number", "", "and above"},
    {"probability[]?.below?", "number", "", "as asked"}, {"probability[]?.above?", "number", "", "as asked"},
    {"probability[]?.p", "number", "", "share of draws"},
    {"probability[]?.sd", "number", "", "standard deviation that so many draws leave it"},
    {"probability[]?.at_most?", "number", "", "of none of n draws: 3 / n, with 95 %"},
    {"probability[]?.at_least?", "number", "", "of all of them: 1 - 3 / n"},
    {"inputs[].what", "text", "", "line, wheel, axle or instrument, the one that counts most first, at most twelve"},
    {"inputs[].field", "text", "", "of it: mass, x, fill, growth, spring_rate and so on"},
    {"inputs[].correlation?", "number", "", "of its draws with those of the quantity"}}},
  {"spread", "What sy.spread gives; each quantity also stands under its own name, as in r.front_share.sd.", exact = true,
    fields = common.stated(
    {"draws", "number", "", "as asked"}, {"seed", "number", "", "as asked"}, {"growth", "boolean", "", "as asked"},
    {"names", "text[]", "", "what is shown, in order"}, {"quantities", "table<string, spread_quantity>", "", "by name"},
    {"correlation", "table<string, table<string, number>>", "", "of each two, over the draws that have all"},
    {"unknown", "number", "", "draws that lack an answer, of the quantity that lacks it most often"},
    {"n_done?", "number", "", "of one that was stopped: how many draws there are"},
    {"shard?", "number[]", "", "which of how many, of one shard"},
    {"hash", "text", "", "what was asked of which car by which version: the same for all shards"})},
}

return calls
