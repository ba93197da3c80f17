--- What is usually booked and not in this file, and what may be in it twice?
-- Step: book
-- Usage: steelyard forgotten CAR

local sy = require "steelyard"

local o = sy.options{
  about = "Usual items that no name, tag or `includes` of the file covers, with the range they usually weigh (common practice, no "
    .. "source); what is included twice, or excluded and nowhere booked; lines that look booked twice; two pieces that are probably a "
    .. "pair.",
  usage = "forgotten CAR",
  prints = "result",
  examples = {"steelyard forgotten vehicles/first_guess.lua", "steelyard forgotten vehicles/twayblade.lua --json"},
  args = {{"car", "vehicle file"}},
}
sy.out(o, require("steelyard.answers.forgotten").of(sy.load(o.car)))
