--- How good were the guesses, now that parts are weighed?
-- Step: keep
-- Usage: steelyard guesses CAR [CAR ...]

local sy = require "steelyard"

local o = sy.options{
  about = "Every weighed line beside what was booked for it before, by basis and by group: how much heavier it came out, how much that "
    .. "scatters, how many lay inside what was stated, and which assume would have been honest. With several files, oldest first, guesses "
    .. "of the last one's weighed lines are looked for in the earlier ones too.",
  usage = "guesses CAR [CAR ...]",
  prints = "result",
  examples = {"steelyard guesses vehicles/tansy.lua",
              "steelyard guesses vehicles/history/sedge-2024-01-18.lua vehicles/history/sedge-2024-02-15.lua "
                .. "vehicles/history/sedge-2024-03-14.lua"},
  args = {{"car", "vehicle file"}, {"later", "later files of the same car", many = true, optional = true}},
}
local files = table.move(o.later or {}, 1, #(o.later or {}), 2, {o.car})
local last = table.remove(files)
sy.out(o, sy.load(last):guesses(files))
