--- How many litres are in a tank, by the height of its liquid?
-- Step: build
-- Usage: steelyard dipstick CAR TANK [--step MM] [--lean nose_up=3,right_up=1] [--csv]

local sy = require "steelyard"
local springs = require "steelyard.answers.springs"

local o = sy.options{
  about = "What to mark on a stick: litres by height above the lowest point of the tank, for a car that stands level or leans.",
  usage = "dipstick CAR TANK [--step MM] [--lean nose_up=3,right_up=1] [--csv]",
  prints = "result",
  examples = {"steelyard dipstick vehicles/twayblade.lua fuel", "steelyard dipstick vehicles/twayblade.lua fuel --lean nose_up=3 --csv"},
  args = {{"car", "vehicle file"}, {"tank", "whose shape the file gives"}},
  options = {step = {"MM", "from row to row; 20 unless given", number = true},
             lean = {"WAY=DEG,...", "how the car leans: nose_up, nose_down, left_up, right_up", list = true, words = true},
             csv = {nil, "a table for spreadsheets"}},
  apart = {{"csv", "json"}},
}
local asked = springs.pairs_of(o.lean, "lean") or {}
asked.step = o.step
local result = sy.load(o.car):dipstick(o.tank, asked)
sy.out(o, o.csv and (require("steelyard.answers.dipstick").csv(result):gsub("\n$", "")) or result)
