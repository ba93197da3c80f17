--- How car:stands() prints: the metatable of its result.

local figures = require "steelyard.print.figures"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local Stands = require("steelyard.reference.results").kind "stands"

--- What is said once at the end, on pages and pictures.
Stands.cautions = {"Nobody in or under the car while something heavy comes out; stands on firm level ground, high enough to stay put, "
  .. "straps or weights at the light end. Ratings of stands and jacks are the maker's. Arithmetic, not permission: local codes and "
  .. "licensed practice decide."}

local function pull(result, step, key)
  if step.tips then return "tips" end
  local kg = step.kg_to_tip[key]
  return kg and text.plus_minus(kg, step.sd.kg_to_tip[key], figures.kg(result, 0)) or "never"
end

-- "nose tub/nose box, 540 mm ahead of the front axle"
local function pulled_at(result, step, key)
  local spot = step.pulled_at[key]
  if not spot then return nil end
  local decimals = figures.mm(result, 0)
  local ahead = text.fixed(math.abs(spot.ahead), decimals)
  return ("the %s %s mm %s the front axle (%s)"):format(key == "front" and "nose" or "tail", ahead,
    text.way(spot.ahead, decimals, "ahead of", "behind"), spot.kind == "given" and "given" or spot.name)
end

function Stands.__tostring(result)
  local rows, kg = {}, figures.kg(result, 1)
  for i, step in ipairs(result.steps) do
    rows[i] = {step.what, text.fixed(step.mass, kg)}
    for _, name in ipairs(result.stands) do rows[i][#rows[i] + 1] = step.tips and "-" or text.fixed(step.loads[name], kg) end
    local row = rows[i]
    row[#row + 1] = text.plus_minus(step.margin, step.sd.margin, figures.mm(result, 0))
    row[#row + 1], row[#row + 2], row[#row + 3] = pull(result, step, "front"), pull(result, step, "rear"), verdicts.mark[step.status]
  end
  local headings = {{"", "%s"}, {"mass, kg", "%s"}}
  for _, name in ipairs(result.stands) do headings[#headings + 1] = {name, "%s"} end
  for _, label in ipairs{"CG inside, mm", "tips at nose, kg", "at tail, kg", ""} do headings[#headings + 1] = {label, "%s"} end
  local lines = {page.heading(result.heading), text.table(headings, rows)}
  lines[#lines + 1] = "Loads of the stands in kg."
  local front, rear = pulled_at(result, result.steps[1], "front"), pulled_at(result, result.steps[1], "rear")
  if front then lines[#lines + 1] = ("Somebody pulls down at %s, or at %s."):format(front, rear) end
  lines[#lines + 1] = ("Overall: %s, %s."):format(verdicts.mark[result.status], result.why)
  return page.of(result, lines, {cautions = Stands.cautions})
end

return Stands
