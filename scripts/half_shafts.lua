--- Do the half-shafts allow the engine there: joint angles by its position?
-- Step: lay out
-- Usage: steelyard half_shafts CAR [--move PART] [--back MM,MM,...] [--state NAME] [--droop MM] [--bump MM]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local out = require "steelyard.command.out"
local page = require "steelyard.print.page"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local o = sy.options{
  about = "The shafts as booked, then one line for each fore-aft position of the part that carries the inner joints.",
  usage = "half_shafts CAR [--move PART] [--back MM,MM,...] [--state NAME] [--droop MM] [--bump MM]",
  prints = "result", plots = true,
  examples = {"steelyard half_shafts vehicles/first_guess.lua",
              "steelyard half_shafts vehicles/twayblade.lua --back -40,-20,0,20,40 --bump 50 --plot shafts.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, move = {"PART", "what moves, the powertrain unless stated"},
             back = {"MM,...", "positions, negative forward", default = {-50, -25, 0, 25, 50, 75, 100}, number = true, list = true},
             droop = {"MM", "wheel travel down, instead of the file's", number = true, min = 0},
             bump = {"MM", "wheel travel up, instead of the file's", number = true, min = 0}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local request = {travels = {droop = o.droop, bump = o.bump}}
local as_booked = car:shafts(request)
local what, why = resolve.asked_or_usual(contents.inside(car), o.move, "powertrain", "move")
if not what then out.remark(o, why) end
local rows, positions = {}, {}
for i, back in ipairs(what and o.back or {}) do
  local moved = back == 0 and car or car:move(what, back > 0 and {back = back} or {forward = -back})
  local shafts, b = moved:shafts(request), moved:balance()
  positions[i] = {back = back, front_share = b.front_share, status = shafts.status, shafts = shafts}
  for _, shaft in ipairs(shafts) do
    rows[#rows + 1] = {back == 0 and "as booked" or text.worded(back, 0, "back", "forward"), b.front_share, shaft.name,
                       shaft.static_angle or "unknown", shaft.worst_angle or "unknown", shaft.at and shaft.at.ride.length or "unknown",
                       shaft.plunge_used or "unknown", shaft.offset or "unknown", shaft.status == "fail" and "FAIL" or shaft.status}
  end
end
if #rows > 0 then
  page.add(as_booked, "\n" .. sy.table({{what .. ", mm", "%s"}, {"front, %", "%.2f"}, {"shaft", "%s"}, {"ride, deg", "%.2f"},
    {"worst, deg", "%.2f"},
    {"length, mm", "%.1f"}, {"plunge, mm", "%.1f"}, {"outer joint lies", "%s"}, {"", "%s"}}, rows) .. "\n")
end
local result = {as_booked = as_booked, part = what, positions = positions, state = as_booked.state}
sy.out(o, page.result("half_shafts", result, as_booked), as_booked.status)
