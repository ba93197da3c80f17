--- How do loads, CG height and ride heights change as the fuel burns?
-- Step: lay out
-- Usage: steelyard fuel_burn CAR [--tank NAME] [--from L] [--down-to L] [--step L | --lap L] [--state NAME]

local sy = require "steelyard"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local limits = require "steelyard.answers.limits"
local liquids = require "steelyard.car.liquids"
local page = require "steelyard.print.page"
local springs = require "steelyard.answers.springs"
local tanks = require "steelyard.answers.tank"
local text = require "steelyard.print.text"

local o = sy.options{
  about = "One line for each step of fuel, or each lap, down to what cannot be drawn from the tank. Where the file gives the tank a "
    .. "shape, the liquid lies in it as deep as its fill says. Cross weight and ride heights need spring rates in the file.",
  usage = "fuel_burn CAR [--tank NAME] [--from L] [--down-to L] [--step L | --lap L] [--state NAME]",
  prints = "result", plots = true,
  examples = {'steelyard fuel_burn vehicles/twayblade.lua --state "race start"',
              "steelyard fuel_burn vehicles/twayblade.lua --from 30 --down-to 4 --lap 1.3 --plot burn.svg"},
  args = {{"car", "vehicle file"}},
  options = {tank = {"NAME", "whose liquid burns; the fuel, or the only tank aboard"},
             state = {"NAME", "a load state of the file"},
             from = {"L", "litres at the start; what is in it unless given", number = true, min = 0},
             down_to = {"L", "litres at the end; what cannot be drawn unless given", number = true, min = 0},
             step = {"L", "litres a line; 5 unless given", number = true, min = 0.1},
             lap = {"L", "litres a lap: one line each", number = true, min = 0.05}},
  apart = {{"step", "lap"}},
}
local function refuse(code, ...) core.fail{code = code, message = string.format(...)} end
if tonumber(o.to) then refuse("usage", "--to names a file to write; --down-to %s is where the fuel ends", o.to) end
local car = o.state and sy.load(o.car):state(o.state) or sy.load(o.car)
local burnt = o.tank or liquids.burnt(contents.inside(car))
local tank, full, has_level = car:tank(burnt), liquids.litres(car, burnt)
local stays = tank.unusable or 0
local from, to, each = o.from or full, o.down_to or stays, o.lap or o.step or 5
if to < stays then
  refuse("range", "--down-to, %s litres, is less than the %s that cannot be drawn", core.fixed(to, 2), core.fixed(stays, 2))
end
if from <= to then
  refuse(o.from and o.down_to and "usage" or "range", "%s litres at the start, not more than the %s at the end", core.fixed(from, 2),
    core.fixed(to, 2))
end
local steps = math.ceil((from - to) / each - 1e-9) -- 26 / 1.3 is 20 steps, whatever its last digit
if steps > 1000 then refuse("usage", "that is %d lines, 1000 are possible", steps) end

local sprung, why_not = springs.try(car)
local headings = {{o.lap and "lap" or "", "%s"}, {"litres", "%.1f"}, {"mass, kg", "%.1f"}, {"front, %", "%.2f"}, {"CG height, mm", "%.1f"},
               {"left, %", "%.2f"}}
if sprung then table.move({{"cross, %", "%.2f"}, {"front axle, mm", "%s"}, {"rear axle, mm", "%s"}}, 1, 3, 7, headings) end
local rows, result = {}, {stint = {}, tank = burnt, unusable = tank.unusable, under = tank.under, notes = tanks.remarks(tank, from, o.lap)}
local judged = {} -- the car at the start and at the end
for i = 0, steps do
  local litres = math.max(to, from - i * each) -- count steps, do not add up litres
  local now = car:fill{[burnt] = litres}
  local b, c = now:balance(), sprung and now:corners()
  local line = {lap = o.lap and i or nil, litres = litres, mass = b.mass, front_share = b.front_share, height = b.height,
                left_share = b.left_share, cross_share = c and c.cross_share, heights = c and c.heights}
  result.stint[i + 1] = line
  rows[i + 1] = {o.lap and core.shortest(i) or "", litres, line.mass, line.front_share, line.height, line.left_share}
  local function up(mm) return text.worded(mm, 1, "up", "down") end
  local words = core.shortest(core.number(core.fixed(litres, 1))) .. " litres"
  if i == 0 or i == steps then judged[#judged + 1] = {words, contents.inside(now)} end
  if c then table.move({c.cross_share or "-", up(c.heights.front), up(c.heights.rear)}, 1, 3, 7, rows[i + 1]) end
end
result.state, result.heading = car:balance().state, car:heading()
local notes = result.notes
notes[#notes + 1] = sprung and "heights are of the body at the axles, from where it is drawn"
  or "no cross weight and ride heights: " .. why_not
notes[#notes + 1] = has_level and "liquid at rest on level ground, as deep in the tank as it is full"
  or "the file gives the tank no shape: its liquid counts at the tank's own place"
-- half way: a brim-full tank and an empty one have no surface to run
result.run_off, notes[#notes + 1] = liquids.run_off(car, burnt, (from + to) / 2)
local answers = limits.several(judged)
if #answers > 0 then result.limits, result.status = answers, limits.status(answers) end
sy.out(o, page.result("fuel_burn", result, car, {result.heading, sy.table(headings, rows)}))
