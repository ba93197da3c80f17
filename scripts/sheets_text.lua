--- Which numbers must I take at the car: blank forms to print?
-- Step: weigh
-- Usage: steelyard sheets_text CAR [--sheet NAME] [--part NAME] [--state NAME]

local sy = require "steelyard"
local sheets = require "steelyard.shop.sheets_text"

local o = sy.options{
  about = "Forms as plain text with the car's own names, its wheels in their order and drawn lengths beside the blanks. Print them, fill "
    .. "them in and type them into a file of readings.",
  usage = "sheets_text CAR [--sheet NAME] [--part NAME] [--state NAME]",
  prints = "sheets",
  examples = {"steelyard sheets_text vehicles/twayblade.lua --sheet corners",
    "steelyard sheets_text vehicles/twayblade.lua --sheet teardown --part engine"},
  args = {{"car", "vehicle file"}},
  options = {sheet = {"NAME", "one form only", choices = sheets.names}, state = {"NAME", "a load state of the file"},
             part = {"NAME", "the part or group that is torn down or weighed"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
sy.out(o, sheets.of(car, {sheet = o.sheet, part = o.part}))
