--- Which layouts are worth a look: those that no other betters in every wish?
-- Step: lay out
-- Usage: steelyard pareto CAR [--vary "PART WAY FROM TO N",...] [--least QUANTITY,...] [--most QUANTITY,...] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "Parts at several places, each with each: of all layouts that keep the limits those of which no other is better in every wish.",
  usage = 'pareto CAR [--vary "PART WAY FROM TO N",...] [--least QUANTITY,...] [--most QUANTITY,...] [--state NAME]',
  examples = {'steelyard pareto vehicles/first_guess.lua --state "race start"',
              'steelyard pareto vehicles/first_guess.lua --vary "battery back -400 900 14,powertrain back -50 50 11" --least yaw_inertia '
              .. "--most front_share --plot front.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"},
             vary = {"INPUT,...", "what is varied: a part, a way and from, to and how many",
                     default = {"powertrain back -60 80 15", "battery back -300 900 13"}, list = true},
             least = {"QUANTITY,...", "of these less is better; yaw inertia and the worst shaft angle unless something is asked",
               list = true},
             most = {"QUANTITY,...", "of these more is better", list = true}},
  study = true, plots = true,
}
local vary, show, front = require("steelyard.command.varied").of(o.vary), {}, {}
if not (o.least or o.most) then o.least = {"yaw_inertia", "shafts.worst_angle"} end
for word, list in pairs{least = o.least or {}, most = o.most or {}} do
  for _, name in ipairs(list) do front[name] = word end
end
for _, list in ipairs{o.least or {}, o.most or {}} do table.move(list, 1, #list, #show + 1, show) end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, sy.study{car, vary = vary, show = show, front = front, to = o.to, replace = o.replace, shard = o.shard,
                   threads = o.threads, quiet = o.quiet})
