--- What must come off an assembly so that people can lift it, most kilograms for each piece first?
-- Usage: steelyard strip_for_mockup CAR [PART] [--limit KG] [--reach MM] [--height MM] [--state NAME]

local sy = require "steelyard"
local text = require "steelyard.text"

local o = sy.options{
  about = "Who lifts what by published guidance, and the pieces to take off one assembly in order. With reach or height the limit follows "
    .. "from the conditions of the lift.",
  usage = "strip_for_mockup CAR [PART] [--limit KG] [--reach MM] [--height MM] [--state NAME]",
  examples = {"steelyard strip_for_mockup vehicles/twayblade.lua engine",
    "steelyard strip_for_mockup vehicles/teasel.lua powertrain --limit 20"},
  args = {{"car", "vehicle file"}, {"part", "part, group or tag; all unless given", optional = true}},
  options = {state = {"NAME", "load state, one of the file's"}, limit = {"KG", "what one person may lift, 25 unless given", number = true,
    min = 1},
             reach = {"MM", "hands before the ankles", number = true, min = 0}, height = {"MM", "hands above the floor at the start",
               number = true, min = 0}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local result = car:handling{what = o.part, limit = o.limit, reach = o.reach, height = o.height}
local shown = tostring(result)
local first = result[1]
if o.part and first and #first.strip > 0 then
  local rows = {}
  for i, step in ipairs(first.strip) do rows[i] = {i, step.name, step.kg, step.left} end
  shown = shown .. ("\n\n%s, %s kg, piece by piece (%s stays):\n"):format(first.name, text.fixed(first.mass, 1), first.base)
    .. sy.table({{"", "%d"}, {"take off", "%s"}, {"kg", "%.1f"}, {"left, kg", "%.1f"}}, rows)
end
sy.out(o, o.json and result or setmetatable({}, {__tostring = function() return shown end}))
