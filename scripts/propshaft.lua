--- Does the propeller shaft turn evenly: joint angles, speed ripple, plunge?
-- Step: lay out
-- Usage: steelyard propshaft CAR [--move PART] [--up MM,MM,...] [--tilt DEG,DEG,...] [--state NAME]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local out = require "steelyard.command.out"
local page = require "steelyard.print.page"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local o = sy.options{
  about = "The shafts as booked, then one line for each height of the engine and for each tilt, nose up positive.",
  usage = "propshaft CAR [--move PART] [--up MM,MM,...] [--tilt DEG,DEG,...] [--state NAME]",
  prints = "result", plots = true,
  examples = {"steelyard propshaft vehicles/teasel.lua",
              "steelyard propshaft vehicles/teasel.lua --up -20,20 --tilt -1,0,1 --plot propshaft.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, move = {"PART", "what moves, the powertrain unless stated"},
             up = {"MM,...", "heights from where it is", default = {-20, -10, 10, 20}, number = true, list = true},
             tilt = {"DEG,...", "turns about its own place", default = {-1, 1}, number = true, list = true}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local as_booked = car:shafts()
local what, why = resolve.asked_or_usual(contents.inside(car), o.move, "powertrain", "move")
if not what then out.remark(o, why) end
local rows, positions = {}, {}
local function add(words, change)
  local shafts = car:move(what, change):shafts()
  positions[#positions + 1] = {words = words, shafts = shafts}
  for _, shaft in ipairs(shafts) do
    local ride = shaft.at and shaft.at.ride or {}
    rows[#rows + 1] = {words, shaft.name, ride.inner or "unknown", ride.outer or "unknown", shaft.worst_angle or "unknown",
                       shaft.ripple and shaft.ripple.both or "-", shaft.plunge_used or "unknown",
                         shaft.status == "fail" and "FAIL" or shaft.status}
  end
end
for _, up in ipairs(what and o.up or {}) do add(text.worded(up, 0, "up", "down"), up < 0 and {down = -up} or {up = up}) end
for _, tilt in ipairs(what and o.tilt or {}) do
  add(tilt < 0 and "nose down " .. text.plain(-tilt) or "nose up " .. text.plain(tilt),
    tilt < 0 and {nose_down = -tilt} or {nose_up = tilt})
end
if #rows > 0 then
  page.add(as_booked, "\n" .. sy.table({{what, "%s"}, {"shaft", "%s"}, {"inner, deg", "%.2f"}, {"outer, deg", "%.2f"}, {"worst, deg",
    "%.2f"},
    {"ripple, %", "%.2f"}, {"plunge, mm", "%.1f"}, {"", "%s"}}, rows) .. "\n")
end
local result = {as_booked = as_booked, part = what, positions = positions, state = as_booked.state}
sy.out(o, page.result("propshaft", result, as_booked), as_booked.status)
