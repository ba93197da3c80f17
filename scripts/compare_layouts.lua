--- Which of three driveline positions: balance, inertia and shafts side by side?
-- Step: lay out
-- Usage: steelyard compare_layouts CAR [--move PART] [--back MM,MM,...] [--state NAME]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local out = require "steelyard.command.out"
local quantities = require "steelyard.reference.quantities"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local o = sy.options{
  about = "One part or group at several fore-aft positions; the first column is the car as booked.",
  usage = "compare_layouts CAR [--move PART] [--back MM,MM,...] [--state NAME]",
  prints = "result", plots = true,
  examples = {"steelyard compare_layouts vehicles/first_guess.lua",
              "steelyard compare_layouts vehicles/twayblade.lua --move powertrain --back -50,50 --state kerb --plot layouts.svg"},
  args = {{"car", "vehicle file"}},
  options = {state = {"NAME", "a load state of the file"}, move = {"PART", "what moves, the powertrain unless stated"},
             back = {"MM,...", "positions, negative forward", default = {-50, 50}, number = true, list = true}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local what, why = resolve.asked_or_usual(contents.inside(car), o.move, "powertrain", "move")
if not what then -- the car as booked is what can be shown
  out.remark(o, why)
  return sy.out(o, car:balance())
end
local cars = {car, show = {
  "front", "rear", "front_share", "cg_behind", "height", "yaw_inertia", "yaw_index", "shafts.static_angle", "shafts.worst_angle",
  "shafts.offset", "shafts.plunge", "clearances.tightest", "handling.heaviest"}}
for _, back in ipairs(o.back) do
  if back ~= 0 then cars[#cars + 1] = car:move(what, back > 0 and {back = back} or {forward = -back}) end
end
local result = sy.compare(cars)
-- The limit is that of the shaft or gap that is judged, and so must the value be: the row shows the largest shaft's or the tightest gap's.
local function note_of(row, i, verdict)
  local other = quantities.verdict(contents.inside(cars[i]), quantities.by_name[row.name]).other
  return ("%s breaks a limit: %s%s %s %s, %s %s"):format(result.columns[i], other and other.name .. ": " or "", row.label,
    text.fixed(other and other.value or row.values[i], row.decimals), row.unit, verdict:find ">" and "asked for" or "allowed",
    verdict:match "[<>](.*)")
end
local broken = 0 -- in front of what else is to say
for _, row in ipairs(result.rows) do
  for i, verdict in ipairs(row.verdicts or {}) do
    if verdict:find "^FAIL ." then
      broken = broken + 1
      table.insert(result.notes, broken, note_of(row, i, verdict))
    end
  end
end
sy.out(o, result)
