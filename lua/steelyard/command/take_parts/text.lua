--- The vehicle file that take_parts writes beside a parts list.

local core = require "steelyard.core"
local quoted = require("steelyard.command.new_file").quoted

local take_parts_text = {}

local number = core.shortest

local function axle(name, at, track, radius)
  return ("    { name = %s, at = %s, track = %s, loaded_radius = %s },"):format(quoted(name), number(at), number(track), number(radius))
end

local function quoted_list(names)
  local list = {}
  for i, name in ipairs(names) do list[i] = quoted(name) end
  return table.concat(list, ", ")
end

-- Only what differs from 0.
local function zeros(f)
  local said = ""
  if f.ground ~= 0 then said = said .. (" ground = %s,"):format(number(f.ground)) end
  if f.centre ~= 0 then said = said .. (" centre = %s,"):format(number(f.centre)) end
  return said
end

local function instruments(scales)
  local lines = {"  instruments = {   -- say what is known of them: step = 0.02, sd = 0.01, bias = sd(0, 0.02), range = 60"}
  for _, name in ipairs(scales) do lines[#lines + 1] = ("    { name = %s },"):format(quoted(name)) end
  lines[#lines + 1] = "  },"
  return table.concat(lines, "\n")
end

--- f = {title, axes, front_at, rear_at, ground, centre, track, radius, parts, scales, persons}
function take_parts_text.fill(f)
  local lines = {
    "vehicle {",
    ("  title = %s,"):format(quoted(f.title)),
    ('  axes = { x = "%s", y = "%s", z = "%s" },%s   -- where the columns x, y and z run'):format(f.axes[1], f.axes[2], f.axes[3],
      zeros(f)),
    "  axles = {   -- springs, tyres and travel may stand here too",
    axle("front", f.front_at, f.track[1], f.radius[1]),
    axle("rear", f.rear_at, f.track[2], f.radius[2]),
    "  },",
    "  -- uncertainties where the table says none",
    '  assume = { estimate = "15 %", calculated = "5 %", supplier = "3 %", weighed = "0.5 %", within_mm = 20 },',
  }
  if #f.scales > 0 then lines[#lines + 1] = instruments(f.scales) end
  lines[#lines + 1] = ("  parts = { %s },"):format(f.parts)
  local without = #f.persons > 0 and (', state "nobody aboard" { without = { %s } }'):format(quoted_list(f.persons)) or ""
  lines[#lines + 1] = ('  states = { state "as listed" {}%s },'):format(without)
  lines[#lines + 1] = "}\n"
  return table.concat(lines, "\n")
end

return take_parts_text
