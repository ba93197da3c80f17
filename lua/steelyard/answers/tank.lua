--- car:tank("fuel", {braking = 1}): what is in a tank and how much of it can be drawn, standing and under steady forces.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local liquids = require "steelyard.car.liquids"
local loading = require "steelyard.car.loading"
local force = require "steelyard.answers.force"
local origin = require "steelyard.print.origin"
local springs = require "steelyard.answers.springs"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local unusable_fuel = require "steelyard.file.unusable_fuel"

local tank = {}
local Tank = require("steelyard.reference.results").kind "tank"

-- Braking (or with a minus drive) and right turn (or left), in g, of those who ask for nothing.
local USUAL = {{1, 0}, {-1, 0}, {0, -1}, {0, 1}}

-- Node, litres in it (of a pair in one of the two) and their standard uncertainty.
local function contents(c, what)
  local item, node = liquids.item(c, what)
  if c.state and c.state.stand_ins and node.stand_in then
    core.fail{code = "unavailable", part = node.name, message = "has its stand-in aboard, which holds nothing",
              hint = "choose another state"}
  end
  local piece = loading.piece(c.now, item)
  local litres = held_liquid.litres(node, piece.mass)
  return node, litres, piece.litres_sd or 0
end

local function asked(given)
  local o = springs.options("car:tank", given, "tank")
  local forward, left = force.forward(o), force.left(o)
  return forward == 0 and left == 0 and USUAL or {{forward, left}}
end

-- What stays under steady forces.
local function under(c, node, litres, list)
  local rows, sds = {}, {}
  for i, pull in ipairs(list) do
    local forward, left = pull[1], pull[2]
    local stays, sd = unusable_fuel.litres(c.shared.spec, node, liquids.leaning(c, forward, left))
    rows[i] = {asked = force.words(forward, left), braking = math.max(forward, 0), drive = math.max(-forward, 0),
               left_turn = math.max(-left, 0), right_turn = math.max(left, 0), unusable = stays, dry = litres < stays}
    sds[i] = sd
  end
  return rows, sds
end

local function all_notes(node, r)
  local list = {}
  if not r.unusable then
    list[1] = "the file says neither unusable nor pick_up: how much of it can be drawn is not known"
  elseif not r.under then
    list[1] = "the file states litres and no pick_up: what cannot be drawn under braking and in bends is not known"
  else
    list[1] = "liquid at rest: waves, baffles and what a swirl pot holds are not counted"
    if node.capacity < 0.999 * require("steelyard.file.bodies").volume(node.shape) then
      list[2] = "foam and baffles in the tank are taken to be spread evenly"
    end
  end
  if (node.dry_mass or 0) > 0 and held_liquid.has_level(node) then
    list[#list + 1] = ("the %s kg of the empty tank count as an even sheet all over its shape"):format(text.plain(node.dry_mass))
  end
  if node.pair then list[#list + 1] = "litres of one of the pair, as it is written; of the other left and right turn change places" end
  return list
end

--- What is in a tank, and how much of it can be drawn.
function tank.of(c, self, what, forces)
  if what == nil then core.fail{code = "missing", message = "car:tank needs the name of a tank"} end
  local list = asked(forces)
  local node, litres, litres_sd = contents(c, what)
  local stays, sd = unusable_fuel.litres(c.shared.spec, node)
  local r = {name = node.name, capacity = node.capacity, litres = litres, unusable = stays, state = loading.title(c),
             heading = self:heading(), sd = {litres = litres_sd, unusable = sd}}
  if stays then
    r.usable = math.max(0, litres - stays)
    r.sd.usable = r.usable > 0 and math.sqrt(litres_sd ^ 2 + sd ^ 2) or 0
  end
  if node.pick_up then r.under, r.sd.under = under(c, node, litres, list) end
  r.notes = all_notes(node, r)
  return origin.of_car(setmetatable(r, Tank), c)
end

--- What a result of car:tank has to say where a tank is emptied: sentences. from, lap: litres at the start and a lap, or nil.
function tank.remarks(r, from, lap)
  if not r.unusable then return {"how much stays in the tank is not known: the file says neither unusable nor pick_up"} end
  local list = {("the last %s litres stay in the tank, nothing can draw them"):format(text.plus_minus(r.unusable, r.sd.unusable, 1))}
  if lap then
    local laps = (from - r.unusable) / lap + 1e-9 -- 26 / 1.3 is 20 laps, whatever its last digit
    list[1] = list[1] .. (": %s litres last %s"):format(text.fixed(from, 1), text.count(math.floor(laps), "whole lap"))
  end
  if not r.under then return list end
  local words = {}
  for i, row in ipairs(r.under) do words[i] = ("%s in %s"):format(text.fixed(row.unusable, 1), row.asked) end
  list[#list + 1] = ("the pick-up draws air below so many litres: %s, each steady and without what a swirl pot holds"):format(
    text.join(words))
  return list
end

--- The car as limits and comparisons ask what of a tank is usable; nil when its line does not say what stays in it.
function tank.asked(c, name)
  local node, litres, litres_sd = contents(c, name)
  local unusable = unusable_fuel.found(c.shared.spec, node)
  if not unusable then return nil end
  local _, _, fill = core.litres_found(name .. " fill", litres, litres_sd) -- another fill is measured anew, the remainder is the same
  return {now = c.now, geometry = c.geometry, usable = select(3, core.usable(fill, unusable))}
end

function Tank.__tostring(r)
  local sd, plus = r.sd, text.plus_minus
  local lines = {page.heading(("%s: %s"):format(r.heading, r.name))}
  local holds = r.capacity and ("holds %s litres, "):format(text.fixed(r.capacity, 1)) or ""
  lines[2] = text.sentence(("%s%s in it"):format(holds, plus(r.litres, sd.litres, 1)) .. (r.unusable and
    (", the last %s cannot be drawn: %s usable"):format(plus(r.unusable, sd.unusable, 1), plus(r.usable, sd.usable, 1)) or ""))
  if r.under then
    local rows = {}
    for i, row in ipairs(r.under) do rows[i] = {row.asked, plus(row.unusable, sd.under[i], 1), row.dry and "draws air now" or ""} end
    lines[3] = text.table({{"steady", "%s"}, {"cannot be drawn, litres", "%s"}, {"", "%s"}}, rows)
  end
  return page.of(r, lines)
end

return tank
