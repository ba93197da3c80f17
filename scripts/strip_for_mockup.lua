--- What must come off an assembly so that people can lift it, in what order?
-- Step: build
-- Usage: steelyard strip_for_mockup CAR [PART] [--limit KG] [--reach MM] [--height MM] [--state NAME]

local sy = require "steelyard"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local MOST_NAMED = 2 -- of what comes along

local o = sy.options{
  about = "Who can lift what by published guidance, and which pieces to take off one assembly: nothing before what is bolted to it or "
    .. "round it, most kilograms first. With --reach or --height the limit follows from the conditions of the lift.",
  usage = "strip_for_mockup CAR [PART] [--limit KG] [--reach MM] [--height MM] [--state NAME]",
  prints = "result",
  examples = {"steelyard strip_for_mockup vehicles/twayblade.lua engine",
    "steelyard strip_for_mockup vehicles/teasel.lua powertrain --limit 20"},
  args = {{"car", "vehicle file"}, {"part", "part, group or tag; all unless given", optional = true}},
  options = {state = {"NAME", "a load state of the file"}, limit = {"KG", "what one person may lift, 25 unless given", number = true,
    min = 1},
             reach = {"MM", "hands before the ankles", number = true, min = 0}, height = {"MM", "hands above the floor at the start",
               number = true, min = 0}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local result = car:handling{what = o.part, limit = o.limit, reach = o.reach, height = o.height}
local first = result[1]
if o.part and first and #first.strip > 0 then
  local rows = {}
  for i, step in ipairs(first.strip) do
    local with = text.names(table.move(step.with, 1, math.min(#step.with, MOST_NAMED), 1, {}))
    if #step.with > #with then with[#with + 1] = ("%d more"):format(#step.with - #with) end
    rows[i] = {i, step.name .. (#with > 0 and " with " .. text.join(with) or ""), step.kg, step.left}
  end
  page.add(result, ("\n%s, %s kg, piece by piece (%s stays):\n"):format(first.name, text.fixed(first.mass, 1), first.base)
    .. sy.table({{"", "%d"}, {"take off", "%s"}, {"kg", "%.1f"}, {"left, kg", "%.1f"}}, rows))
  for _, piece in ipairs(first.kept) do page.add(result, ("Not offered: %s, %s."):format(piece.name, piece.why)) end
  page.add(result, "")
end
sy.out(o, result)
