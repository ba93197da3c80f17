--- The table of calls, continued: reports. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.module = {
  {"sy.report", {{"report", "options.report"}}, "report",
    "One page for a browser with all that is known of a car: no network, no installation. report:save(path) writes it."},
}

calls.results = {
  {"report", "What sy.report gives.", fields = common.stated(
    {"title", "text", "", "of the page"}, {"cars", "number", "", "how many"}, {"sections", "text[]", "", "their headings, in order"},
    {"studies", "text[]", "", "of each, how many of its variants the page holds"}, {"fits", "number", "", "how many"})},
}

return calls
