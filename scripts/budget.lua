--- How heavy may it still get: mass, growth allowance, target, headroom?
-- Step: book
-- Usage: steelyard budget CAR [--target KG] [--state NAME] [--practice WORD] [--growth BASIS=PERCENT,...] [--for QUANTITY] ...

local sy = require "steelyard"
local rates = require "steelyard.file.growth_rates"

local o = sy.options{
  about = "What is booked, what may still be added to it before the part is finished, and what is left under a target. Growth and "
    .. "uncertainty are kept apart. An allowance stated in the file wins over the one by basis. Kinds of hardware for the practice s120: "
    .. table.concat(rates.categories(), ", ") .. ".",
  usage = "budget CAR [--target KG] [--state NAME] [--practice WORD] [--growth BASIS=PERCENT,...] [--category NAME=KIND,...] "
    .. "[--for QUANTITY]",
  prints = "result",
  examples = {"steelyard budget vehicles/twayblade.lua --target 800 --for front_share",
    "steelyard budget vehicles/twayblade.lua --practice s120 --category electrics=wiring_instrumentation --growth estimate=L"},
  args = {{"car", "vehicle file"}},
  options = {
    state = {"NAME", "a load state of the file"}, target = {"KG", "what it may weigh in that state", number = true},
    practice = {"WORD", "allowances by basis", choices = rates.practices, default = "european"},
    growth = {"BASIS=PERCENT,...", "other allowances, in percent or as a step of s120: E L P C X A", list = true, words = true},
    category = {"NAME=KIND,...", "kind of hardware of a part, group or tag", list = true, words = true},
    ["for"] = {"QUANTITY", "what lines count in, by their share of its variance: mass, front_share, height, yaw_inertia or another; "
      .. "without, by kilograms of uncertainty or growth"},
    top = {"COUNT", "how many of the largest lines to list", number = true, whole = true, min = 0, max = 1000, default = 5}},
}
local function pairs_of(list, option)
  local map = {}
  for _, pair in ipairs(list or {}) do
    local key, value = pair:match "^%s*(.-)%s*=%s*(.-)%s*$"
    if not key then
      require("steelyard.core").fail{code = "usage", message = ("--%s takes NAME=VALUE, not %q"):format(option, pair)}
    end
    map[key] = require("steelyard.core").number(value) or value
  end
  return map
end
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, require("steelyard.answers.budget").of(car, {target = o.target, practice = o.practice, growth = pairs_of(o.growth, "growth"),
  category = pairs_of(o.category, "category"), top = o.top, ["for"] = o["for"]}))
