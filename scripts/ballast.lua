--- How much ballast goes where, for a front share, a side or a minimum mass?
-- Step: set up
-- Usage: steelyard ballast CAR --slot NAME,X,Y,Z,MAX[,STEP[,MIN]] ... [--front PERCENT] [--left PERCENT] [--target Q=V,...] [--minimum KG]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "The least mass in the slots, in whole steps, that brings the car where it is wanted and keeps the file's limits; what that "
    .. "costs, what binds, and of what cannot be had the nearest and what stands in the way. A slot is its name, its place in the file's "
    .. "axes, the most it holds and the mass of one piece; without that it is filled to the gram.",
  usage = "ballast CAR --slot NAME,X,Y,Z,MAX[,STEP[,MIN]] ... [--front PERCENT] [--left PERCENT] [--target Q=V,...] [--within Q=V,...] "
    .. "[--minimum KG] [--finish TANK=L,...] [--state NAME]",
  prints = "result",
  examples = {'steelyard ballast vehicles/twayblade.lua --front 43 --slot "nose,-500,0,200,15,0.1" --state "race start"',
    'steelyard ballast vehicles/twayblade.lua --front 43 --left 49 --slot "nose,300,-300,20,15,0.5" --slot "tray,2300,-300,60,10,0.5" '
      .. '--finish fuel=4 --state "race start"'},
  args = {{"car", "vehicle file"}},
  options = {
    slot = {"NAME,...", "where ballast may go: name, x, y, z, the most it holds, mass of one piece, least it holds; once for each slot",
            list = true, again = true, field = "slots"},
    front = {"PERCENT", "front share to reach", number = true, field = "target.front_share"},
    left = {"PERCENT", "left share to reach", number = true, field = "target.left_share"},
    target = {"Q=V,...", "other quantities to reach, as in height=330,corners.lf=150", list = true},
    within = {"Q=V,...", "how near is near enough, by quantity; half of what one step changes unless given", list = true},
    minimum = {"KG", "the least the car may weigh, at the finish where one is given", number = true, min = 0},
    finish = {"TANK=L,...", "litres in tanks at the finish", list = true}, state = {"NAME", "a load state of the file"}},
  needs = {{"slot"}, {"front", "left", "target", "minimum"}},
}
local function refuse(...) core.fail{code = "usage", message = string.format(...)} end

-- "name=value" words as a table.
local function by_name(list, option)
  local found = {}
  for _, word in ipairs(list or {}) do
    local name, value = word:match "^([^=]+)=(.+)$"
    if not name or not core.number(value) then refuse("--%s takes NAME=NUMBER, not %q", option, word) end
    if found[name] then refuse("--%s gives %s twice", option, name) end
    found[name] = core.number(value)
  end
  return found
end

local slots = {}
for i, words in ipairs(o.slot) do
  local numbers = {}
  for k = 2, #words do
    numbers[k - 1] = core.number(words[k])
    if not numbers[k - 1] then refuse("--slot %s: %q is not a number", words[1], words[k]) end
  end
  if #words < 5 or #words > 7 then refuse("--slot takes NAME,X,Y,Z,MAX[,STEP[,MIN]], not %q", table.concat(words, ",")) end
  slots[i] = {name = words[1], at = {numbers[1], numbers[2], numbers[3]}, max = numbers[4], step = numbers[5], min = numbers[6]}
end
local target, within = by_name(o.target, "target"), by_name(o.within, "within")
target.front_share, target.left_share = o.front or target.front_share, o.left or target.left_share
for name, near in pairs(within) do
  if not target[name] then refuse("--within names %s, for which there is no target", name) end
  target[name] = {target[name], near}
end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, car:ballast{target = target, slots = slots, minimum = o.minimum, finish = o.finish and by_name(o.finish, "finish"),
                          quiet = o.quiet})
