--- A study of a car whose every variant takes a millisecond, for tests/reference/watching.py: as a script of a user's own has it.

local core = require "steelyard.core"
local sy = require "steelyard"

local o = sy.options{about = "A window, slowly.", usage = "slow", examples = {"steelyard slow", "steelyard slow --quiet"}, study = true}

local function slowly(car, row)
  local till = core.seconds() + 1e-3
  repeat until core.seconds() >= till
  return car:move("engine", {up = row["driver mass"] / 10})
end

local car = sy.load "vehicles/first_guess.lua":state "race start"
sy.out(o, sy.study{car, vary = {sy.vary("powertrain", "back", -50, 75, 40), sy.vary("driver", "mass", 60, 100, 20)},
                   show = {"front_share", "height"}, change = slowly, to = o.to, replace = o.replace, shard = o.shard, quiet = o.quiet})
