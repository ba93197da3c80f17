--- How far may mass, balance and CG height be off, and how likely is a limit?
-- Step: book
-- Usage: steelyard spread CAR [--for QUANTITY,...] [--below "QUANTITY VALUE",...] [--growth] [--draws N] [--seed N] [--state NAME]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "All stated uncertainties are drawn at random and the car solved with them, thousands of times: how the answers then spread.",
  usage = 'spread CAR [--for QUANTITY,...] [--below "QUANTITY VALUE",...] [--above "QUANTITY VALUE",...] [--growth] [--draws N] [--seed N] '
    .. "[--state NAME]",
  examples = {'steelyard spread vehicles/first_guess.lua --state "race start" --growth --below "mass 790"',
              "steelyard spread vehicles/sedge.lua --for corners.lf,corners.rr,corners.cross_share --draws 20000 --plot spread.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"},
             ["for"] = {"QUANTITY,...", "quantities, as results have them", default = {"mass", "front_share", "height"}, list = true},
             below = {"LIMIT,...", "how often is a quantity less: its name and a value", list = true},
             above = {"LIMIT,...", "how often is it more", list = true},
             growth = {nil, "draw the growth allowances of unfinished parts too"},
             draws = {"N", "how often everything is drawn", default = 100000, number = true, whole = true},
             seed = {"N", "other numbers are drawn for another one", default = 1, number = true, whole = true}},
  study = true, plots = true,
}
local function limits(name)
  local found = {}
  for _, words in ipairs(o[name] or {}) do
    local quantity, value = words:match "^%s*(%S+)%s+(%S+)%s*$"
    if not (value and core.number(value)) then
      core.fail{code = "usage", message = ("--%s takes a quantity and a value, not %q"):format(name, words),
                hint = ('as in --%s "mass 790"'):format(name)}
    end
    found[quantity] = core.number(value)
  end
  return found
end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, sy.spread{car, draws = o.draws, seed = o.seed, show = o["for"], growth = o.growth or nil, below = limits "below",
                    above = limits "above", threads = o.threads, to = o.to, replace = o.replace, shard = o.shard, quiet = o.quiet})
