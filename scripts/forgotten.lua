--- What is usually left out of a ledger and not in this one, and what may be in it twice?
-- Usage: steelyard forgotten CAR

local sy = require "steelyard"

local o = sy.options{
  about = "Usual omissions that no name, tag or `includes` of the file covers, with the range they usually weigh (common practice, no "
    .. "source); what is included twice or excluded and nowhere; lines that look booked twice; two pieces that are probably a pair.",
  usage = "forgotten CAR",
  examples = {"steelyard forgotten vehicles/first_guess.lua", "steelyard forgotten vehicles/twayblade.lua --json"},
  args = {{"car", "vehicle file"}},
}
sy.out(o, require("steelyard.answers.forgotten").of(sy.load(o.car)))
