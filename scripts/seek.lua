--- Where must it sit, how heavy must it be, how must it be set?
-- Step: lay out
-- Usage: steelyard seek CAR --vary "PART WAY FROM TO",... [--target "QUANTITY VALUE [WITHIN]",...] [--least QUANTITY | --most QUANTITY]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "Values between bounds that reach targets, or make one answer least or most; limits of the file hold. Where that is impossible: "
    .. "the nearest, and what is in the way.",
  usage = 'seek CAR --vary "PART WAY FROM TO",... [--target "QUANTITY VALUE [WITHIN]",...] [--least QUANTITY | --most QUANTITY] '
    .. '[--limit "QUANTITY MIN MAX",...] [--worst STATE,...] [--with "SETTING VALUE",...] [--starts N] [--seed N] [--state NAME]',
  examples = {'steelyard seek vehicles/first_guess.lua --vary "powertrain back -60 80" --target "front_share 42.8" --state "race start"',
              'steelyard seek vehicles/first_guess.lua --vary "battery back -300 900,powertrain back -60 80" --least yaw_inertia '
              .. '--limit "front_share 42 43"'},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"},
             vary = {"INPUT,...", "what may be changed: a part, a way and its bounds; a fifth word says how many values",
                     list = true},
             target = {"TARGET,...", "a quantity, the value to reach and how far off counts as reached", list = true},
             least = {"QUANTITY", "make it as small as can be"}, most = {"QUANTITY", "make it as great as can be"},
             limit = {"LIMIT,...", "a quantity and its bounds; - stands for none", list = true},
             worst = {"STATE,...", "of these states the worst counts", list = true},
             ["with"] = {"SETTING,...", "what the car is asked under, as left_turn 0.8", list = true},
             starts = {"N", "from how many places it is sought", default = 8, number = true, whole = true},
             seed = {"N", "others for another one", default = 1, number = true, whole = true}},
  apart = {{"least", "most"}}, needs = {{"vary"}, {"target", "least", "most"}}, prints = "result",
}
-- The words of one entry and the numbers behind them, from `least` to `most`; "-" is none.
local function read(option, entry, pattern, least, most, example)
  local front, rest = entry:match(pattern)
  local numbers, count = {}, 0
  for word in (rest or ""):gmatch "%S+" do
    count = count + 1
    numbers[count] = core.number(word)
    if not (numbers[count] or word == "-" and option == "limit") then count = most + 1 end
  end
  if not front or count < least or count > most then
    core.fail{code = "usage", message = ("--%s takes %s, not %q"):format(option, example, entry)}
  end
  return front, numbers
end
local vary, target, limits, settings = {}, {}, {}, {}
for i, entry in ipairs(o.vary) do
  local input, n = read("vary", entry, "^%s*(.-[^%s%d.+-]%S*)%s+([-+.%d].*)$", 2, 3, "PART WAY FROM TO [N]")
  local what, way = input:match "^(.-)%s+(%S+)$"
  vary[i] = what and sy.vary(what, way, n[1], n[2], n[3]) or sy.vary(input, n[1], n[2], n[3])
end
for _, entry in ipairs(o.target or {}) do
  local name, n = read("target", entry, "^%s*(%S+)%s+(.*)$", 1, 2, "QUANTITY VALUE [WITHIN]")
  target[name] = n
end
for _, entry in ipairs(o.limit or {}) do
  local name, n = read("limit", entry, "^%s*(%S+)%s+(.*)$", 2, 2, "QUANTITY MIN MAX")
  limits[name] = {min = n[1], max = n[2]}
end
for _, entry in ipairs(o["with"] or {}) do
  local name, n = read("with", entry, "^%s*(%S+)%s+(.*)$", 1, 1, "SETTING VALUE")
  settings[name] = n[1]
end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
sy.out(o, sy.seek{car, vary = vary, target = o.target and target, least = o.least, most = o.most, limits = limits, worst_over = o.worst,
                  settings = settings, starts = o.starts, seed = o.seed})
