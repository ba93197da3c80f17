--- The table of calls, continued: searches. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.module = {
  {"sy.seek", {{"request", "options.seek"}}, "seek",
    "Values of what is varied that reach targets, or make one answer least or most, within bounds and limits, the worst state counting; "
    .. "where that is impossible, the nearest and what is in the way."},
}

-- What stands both in the result and in the nearest place.
local function place(prefix, binding)
  local function at(path) return prefix .. path end
  return
    {at "moves[].name", "text", "", "of an input: item and way"}, {at "moves[].value", "number", "", "to set it to, rounded"},
    {at "moves[].unit", "text", "", "of the value"}, {at "moves[].words", "text", "", "the same in words"},
    {at "what_if?", "text[]", "",
      "the same as changes for `steelyard what_if`; nil where it has no words for an input, as for a setting"},
    {at "reached", "table<string, number>", "by name", "by quantity asked for: the answer then, of the worst of what is folded"},
    {at "reached_at?", "table<string, text>", "", "in which of what is folded that is"},
    {at "misses", "table<string, number>", "by name", "by target: the answer less the target"},
    {at(binding .. "[].kind"), "text", "", "bound, limit or target"},
    {at(binding .. "[].name"), "text", "", "of the input, limit or quantity"},
    {at(binding .. "[].value"), "number", "", "the bound, limit or target"}, {at(binding .. "[].unit"), "text", "", "of it"},
    {at(binding .. "[].gain?"), "number", "",
      "what one unit more room would give, to first order: of what is aimed at, or of the one miss"},
    {at(binding .. "[].gains?"), "text", "", "which quantity that is"}
end

local fields = {
  {"possible", "boolean", "", "targets are reached and limits kept"}, {"why?", "text", "", "it is impossible"},
  {"car?", "car", "", "the car so changed; what is folded is as in the car asked about"},
}
for _, row in ipairs{place("", "binding")} do fields[#fields + 1] = row end
for _, row in ipairs(common.limits) do fields[#fields + 1] = row end
fields[#fields + 1] = {"nearest?.car?", "car", "", "where it is impossible: the nearest that there is"}
for _, row in ipairs{place("nearest?.", "hinders")} do fields[#fields + 1] = row end
for _, row in ipairs{
  {"within", "table<string, number>", "by name", "by target: how far off counts as reached"},
  {"asked", "table<string, number>", "by name", "answers of the car itself, by quantity"},
  {"asked_sd", "table<string, number>", "by name", "their standard uncertainties"},
  {"tried.starts", "number", "", "from how many places it was sought"}, {"tried.agree", "number", "", "how many led as far as the best"},
  {"seed", "number", "", "as asked"}, {"method", "text", "", "SLSQP, or COBYLA where that found nothing"},
  {"status?", "text", "", "fail where it is impossible, else the worst of the limits"}} do
  fields[#fields + 1] = row
end

calls.results = {{"seek", "What sy.seek gives. Of what is folded by worst_over the worst counts everywhere.", fields = common.stated(
  table.unpack(fields))}}

return calls
