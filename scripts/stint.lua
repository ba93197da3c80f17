--- What do fuel and drivers change over a stint, and which car is its mean?
-- Step: set up
-- Usage: steelyard stint CAR [--from L] [--down-to L] [--driver NAME[,FROM[,TO]]] ... [--step L] [--mean] [--state NAME]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "A row for each step of fuel and each change of drivers, the mean in which every litre burnt counts the same, and how full the "
    .. "tank is when the first quantity is its mean: so the car is set up. A driver is a name of the file, from and to in litres.",
  usage = "stint CAR [--from L] [--down-to L] [--driver NAME[,FROM[,TO]]] ... [--step L] [--tank NAME] [--for QUANTITY,...] [--mean] "
    .. "[--state NAME]",
  prints = "result", plots = true,
  examples = {'steelyard stint vehicles/twayblade.lua --state "race start"',
    'steelyard stint vehicles/twayblade.lua --from 30 --down-to 4 --driver driver,30,17 --driver "tall driver,17,4" --state "race start" '
      .. "--plot stint.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, tank = {"NAME", "whose liquid burns; the fuel, or the only tank aboard"},
             from = {"L", "litres at the start; what is in the tank unless given", number = true, min = 0, field = "fuel.from"},
             down_to = {"L", "litres at the end; what cannot be drawn unless given", number = true, min = 0, field = "fuel.to"},
             step = {"L", "litres a row", default = 5, number = true, min = 0.01},
             driver = {"NAME,...", "who drives, from and down to how many litres; once for each in turn", list = true, again = true,
                       field = "drivers"},
             ["for"] = {"QUANTITY,...", "quantities, as results have them; the first is set up at its mean",
                        default = {"front_share", "left_share", "height", "mass"}, list = true, field = "show"},
             mean = {nil, "the means alone, without the rows"}},
}
local function refuse(...) core.fail{code = "usage", message = string.format(...)} end
if tonumber(o.to) then refuse("--to names a file to write; --down-to %s is where the fuel ends", o.to) end

local drivers
for i, words in ipairs(o.driver or {}) do
  local litres = {}
  for k = 2, #words do
    litres[k - 1] = core.number(words[k])
    if not litres[k - 1] then refuse("--driver %s: %q is not a number", words[1], words[k]) end
  end
  if #words > 3 then refuse("--driver takes NAME[,FROM[,TO]], not %q", table.concat(words, ",")) end
  drivers = drivers or {}
  drivers[i] = {name = words[1], from = litres[1], to = litres[2]}
end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, car:stint{fuel = {from = o.from, to = o.down_to}, tank = o.tank, step = o.step, drivers = drivers, show = o["for"],
                    mean = o.mean and true or nil})
