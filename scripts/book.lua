--- What is booked: every line of the ledger with mass, place, share, basis and carrier?
-- Usage: steelyard book CAR [PART] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "The ledger line by line, or one group of it; weighed assemblies are checked against their booked parts.",
  usage = "book CAR [PART] [--state NAME]",
  examples = {"steelyard book vehicles/first_guess.lua", "steelyard book vehicles/twayblade.lua powertrain"},
  args = {{"car", "vehicle file"}, {"part", "a part, group or tag", optional = true}},
  options = {state = {"NAME", "load state, one of the file's"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:book(o.part))
