--- What do a small, a median and a large driver change, pedals included?
-- Step: lay out
-- Usage: steelyard drivers CAR [--driver NAME] [--hip X,Y,Z --torso DEG --knee DEG] [--people STATURE:KG,...] [--state NAME]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local limits = require "steelyard.answers.limits"
local page = require "steelyard.print.page"
local person = require "steelyard.answers.person"
local springs = require "steelyard.answers.springs"

local o = sy.options{
  about = "Each driver sits as the file says or as stated here: hips in the same place, joints at the same angles, so the pedals move "
    .. "with the legs. Without --people: a small woman, a median man and a large man (5th, 50th and 95th percentile).",
  usage = "drivers CAR [--driver NAME] [--hip X,Y,Z --torso DEG --knee DEG] [--people STATURE:KG,...] [--state NAME]",
  prints = "result", plots = true,
  examples = {"steelyard drivers vehicles/first_guess.lua --hip 1160,180,230 --torso 40 --knee 125",
              "steelyard drivers vehicles/first_guess.lua --hip 1160,180,230 --torso 40 --knee 125 --people 1700:65,1900:100 "
                .. "--plot drivers.svg"},
  args = {{"car", "vehicle file"}},
  options = {driver = {"NAME", "whose seat is used", default = "driver"}, state = {"NAME", "a load state of the file"},
             hip = {"X,Y,Z", "middle of the hip joints, mm, as the file measures", number = true, list = true},
             torso = {"DEG", "hips to shoulders, back from upright", number = true},
             knee = {"DEG", "between thigh and shank, 180 is straight", number = true},
             thigh = {"DEG", "hip to knee, up from level", number = true}, people = {"MM:KG,...", "stature and mass of each", list = true}},
}
local people = o.people and {} or person.usual
for i, word in ipairs(o.people or {}) do
  local stature, mass = word:match "^(%d+%.?%d*):(%d+%.?%d*)$"
  if not stature then core.fail{code = "usage", message = ("--people: %q is not a stature:mass such as 1760:78"):format(word)} end
  people[i] = {name = ("driver %d"):format(i), stature = tonumber(stature), mass = tonumber(mass)}
end
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local has_springs, why_not = springs.try(car)
local result, rows, judged = {drivers = {}}, {}, {}
for i, who in ipairs(people) do
  local now, name = person.seat(car, o.driver, who, {hip = o.hip, torso = o.torso, knee = o.knee, thigh = o.thigh})
  local b, p, cross = now:balance(), now:person(name), has_springs and now:corners().cross_share or nil
  result.drivers[i] = {name = who.name, stature = who.stature, mass = who.mass, cg = p.cg, car_mass = b.mass, front_share = b.front_share,
                       left_share = b.left_share, height = b.height, cross_share = cross, lower_legs = p.lower_legs,
                       heels_least = p.heels_least, heels_most = p.heels_most}
  rows[i] = {who.name, who.stature, who.mass, b.mass, b.front_share, b.left_share, b.height, cross and core.fixed(cross, 2) or "-",
             p.lower_legs, p.heels_least and core.fixed(p.heels_least, 1) .. " to " .. core.fixed(p.heels_most, 1) or "-"}
  result.notes, judged[i] = p.notes, {who.name, contents.inside(now)}
end
local answers = limits.several(judged)
if #answers > 0 then result.limits, result.status = answers, limits.status(answers) end
table.insert(result.notes, 1, "hips and angles are the same for all, the pedals move with the legs")
if not o.people then table.insert(result.notes, person.usual_source) end
if not has_springs then table.insert(result.notes, "no cross weight: " .. why_not) end
result.state, result.heading = car:balance().state, car:heading()
local headings = {{"driver", "%s"}, {"stature, mm", "%.0f"}, {"kg", "%.1f"}, {"car, kg", "%.1f"}, {"front, %", "%.2f"}, {"left, %", "%.2f"},
               {"CG height, mm", "%.1f"}, {"cross, %", "%s"}, {"shanks and feet, kg", "%.1f"}, {"on the heels, kg", "%s"}}
sy.out(o, page.result("drivers", result, car, {result.heading, sy.table(headings, rows)}))
