--- Where must powertrain and driver sit to meet the shares, alone and two up?
-- Step: lay out
-- Usage: steelyard meet_target CAR [--front PERCENT] [--left PERCENT] [--states NAME,...] [--fore-aft MM] [--across MM]

local sy = require "steelyard"

local o = sy.options{
  about = "One place of the powertrain fore and aft and one of the driver across that bring every named state near enough to both shares; "
    .. "where that is impossible, the nearest, and what is in the way. steelyard seek asks other questions of the kind.",
  usage = "meet_target CAR [--front PERCENT] [--left PERCENT] [--front-within PERCENT] [--left-within PERCENT] [--states NAME,...] "
    .. "[--fore-aft MM] [--across MM] [--powertrain NAME] [--driver NAME]",
  prints = "result",
  examples = {"steelyard meet_target vehicles/twayblade.lua",
              'steelyard meet_target vehicles/twayblade.lua --front 42.2 --left 49 --states "race start,end of race" --left-within 0.5'},
  args = {{"car", "vehicle file"}},
  options = {
    front = {"PERCENT", "front share to meet", number = true, default = 42.5, field = "target.front_share"},
    left = {"PERCENT", "left share to meet", number = true, default = 49.7, field = "target.left_share"},
    front_within = {"PERCENT", "how near is near enough", number = true, min = 0.001, default = 0.25},
    left_within = {"PERCENT", "how near is near enough; a passenger moves it most", number = true, min = 0.001, default = 0.9},
    states = {"NAME,...", "load states that must all be near enough; race start and two up of those in the file", list = true,
              field = "worst_over"},
    fore_aft = {"MM", "how far the powertrain may move from where it is booked", number = true, min = 1, default = 80},
    across = {"MM", "how far the driver may", number = true, min = 1, default = 40},
    powertrain = {"NAME", "what moves fore and aft", default = "powertrain"},
    driver = {"NAME", "what moves across", default = "driver"}},
}
local car, states = sy.load(o.car), o.states or {}
for _, name in ipairs(o.states and {} or car:states()) do
  if name == "race start" or name == "two up" then states[#states + 1] = name end
end
sy.out(o, sy.seek{car, worst_over = states[1] and states,
  vary = {sy.vary(o.powertrain, "back", -o.fore_aft, o.fore_aft), sy.vary(o.driver, "left", -o.across, o.across)},
  target = {front_share = {o.front, o.front_within}, left_share = {o.left, o.left_within}}})
