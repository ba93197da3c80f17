--- Does the car keep the limits of its file, and by how much?
-- Step: prove
-- Usage: steelyard checks CAR [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Every limit of a vehicle file: what was found, how far inside or outside it lies, and whether that is more than is uncertain. "
    .. "A limit that names states is judged in these. A broken one ends the command with exit code 4.",
  usage = "checks CAR [--state NAME]",
  prints = "result",
  examples = {"steelyard checks vehicles/twayblade.lua", 'steelyard checks vehicles/bistort.lua --state "race start"'},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "load state, one of the file's"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, car:checks())
