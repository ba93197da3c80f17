--- car:person("driver"): what the legs of somebody weigh, and what of it stands on the heels.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local posture = require "steelyard.file.posture"
local resolve = require "steelyard.car.resolve"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local person = {}
local Person = require("steelyard.reference.results").kind "person"

local function one(c, what)
  local found = resolve.parts(c, what)
  local item = c.now:item(found.routes[1])
  local node = c.shared.nodes[item.number]
  if #found.routes ~= 1 or not node or node.kind ~= "person" then
    core.fail{code = "type", message = ("car:person needs one person, not %s"):format(found.label)}
  end
  if not node.per_kg then
    core.fail{code = "missing", part = node.name, field = "hip", message = "is not given: how the person sits is not known"}
  end
  return node
end

local function flat(body)
  return {lower_legs = body.lower_legs, heels_least = body.heels_least, heels_most = body.heels_most, forward = body.heels[1],
          up = body.heels[3]}
end

-- Standard uncertainties from the stated ones of mass and posture. Those of the tables of segments are reported in a note.
local function uncertainties(node, body, mass, mass_sd)
  local at, sum = flat(body), {}
  for name, value in pairs(at) do
    sum[name] = (name == "forward" or name == "up") and 0 or (value * mass_sd / mass) ^ 2
  end
  for _, number in ipairs(posture.numbers) do
    local sd = node[number .. "_sd"]
    if sd then
      local beside, step = posture.beside(node, mass, number)
      local other = flat(beside)
      for name, value in pairs(at) do
        if other[name] then sum[name] = sum[name] + ((other[name] - value) / step * sd) ^ 2 end
      end
    end
  end
  local function root(name) return sum[name] and math.sqrt(sum[name]) end
  return {lower_legs = root "lower_legs", heels_least = root "heels_least", heels_most = root "heels_most",
          heels = {forward = root "forward", up = root "up"}}
end

--- One person whose posture the file gives.
function person.of(c, me, what)
  if what == nil then core.fail{code = "missing", message = "car:person needs the name of a person"} end
  local node = one(c, what)
  local whole = me:book(what).rows[1]
  if whole.mass <= 0 then
    core.fail{code = "missing", part = node.name, field = "mass", message = "is not known, so what the legs weigh is not known either"}
  end
  local body = posture.body(node, whole.mass)
  local sd = uncertainties(node, body, whole.mass, whole.sd.mass)
  sd.mass, sd.cg = whole.sd.mass, whole.sd.cg
  local list = {node.taken}
  if not body.heels_least then
    list[#list + 1] = "the heels are not ahead of the knees, what stands on them is not worked out"
  end
  -- De Leva's 11.40 % of a man beside 12.20 % in D. Winter, Biomechanics and Motor Control of Human Movement, and 12.36 % in S. Plagenhoef
  -- and others, Anatomical Data for Analyzing Human Motion, 1983
  list[#list + 1] = "segments are averages of people who were measured; other tables give shanks and feet up to 8 % more"
  return origin.of_car(setmetatable({
    name = node.name, mass = whole.mass, cg = whole.cg, lower_legs = body.lower_legs, lower_legs_share = 100 * body.lower_legs / whole.mass,
    heels = {forward = body.heels[1], up = body.heels[3]}, heels_least = body.heels_least,
    heels_most = body.heels_least and body.heels_most, state = me:balance().state, heading = me:heading(), notes = list, sd = sd,
  }, Person), require("steelyard.car.contents").inside(me))
end

-- Statures: R. Huston, Principles of Biomechanics, CRC 2009 (women 5 %, men 50 % and 95 %). Masses: C. Gordon and others, 1988
-- Anthropometric Survey of U.S. Army Personnel, the same shares of women and men (from memory).
person.usual = {
  {name = "small", stature = 1518, mass = 49.6, segments = "women"}, {name = "median", stature = 1759, mass = 77.7, segments = "men"},
  {name = "large", stature = 1869, mass = 98.1, segments = "men"},
}
person.usual_source = "statures: R. Huston, Principles of Biomechanics, 2009; masses: a survey of army personnel of 1988, from memory"

--- A car in which `who` = {name =, stature =, mass =, segments =?} sits in place of `driver`, as the file says or as `sits` = {hip =,
-- torso =, knee =, thigh =} does; and what to call the new one there.
function person.seat(me, driver, who, sits)
  local c = require("steelyard.car.contents").inside(me)
  local found = resolve.parts(c, driver)
  local node = c.shared.nodes[c.now:item(found.routes[1]).number]
  local group = not sits.hip and resolve.path(c.base, found.routes[1]):match "^(.*)/" or nil
  local fields = {hip = sits.hip or node.hip, stature = who.stature, mass = who.mass, segments = who.segments or node.segments}
  if not fields.hip then
    core.fail{code = "missing", part = node.name, field = "hip", message = "is not in the file: say where the hips are, torso and knee"}
  end
  for _, name in ipairs(posture.numbers) do
    fields[name] = fields[name] or sits[name] or not sits.hip and node[name] or nil
  end
  local item = require("steelyard.file.vocabulary").person(who.name)(fields)
  return me:without(driver):add(item, group), group and group .. "/" .. who.name or who.name
end

--- A word for who sits in the place of `driver` in the car's state: the one of that name or who was swapped in for him.
function person.sitting(me, driver)
  local c = require("steelyard.car.contents").inside(me)
  local route = loading.in_place(c, resolve.parts(c, driver).routes[1])
  if not c.now:item(route).aboard then
    core.fail{code = "missing", part = driver, message = ("is not aboard (%s), so nobody can take that place"):format(loading.title(c)),
              hint = "choose a state with somebody there, or name another"}
  end
  return resolve.word_for(c, route)
end

function Person:__tostring()
  local sd = self.sd
  local function kg(name) return text.plus_minus(self[name], sd[name], 1) .. " kg" end
  local lines = {page.heading(self.heading), ("%s, %s: shanks and feet %s, %s %% of it"):format(self.name, kg "mass",
    kg "lower_legs", core.fixed(self.lower_legs_share, 1))}
  lines[#lines + 1] = ("heels %s mm ahead of the hips and %s mm %s"):format(text.plus_minus(self.heels.forward, sd.heels.forward, 0),
    text.plus_minus(math.abs(self.heels.up), sd.heels.up, 0), text.way(self.heels.up, 0, "above", "below"))
  if self.heels_least then
    lines[#lines + 1] = ("on a pad under the heels: %s when the seat carries thighs and knees, %s when nothing does"):format(
      kg "heels_least", kg "heels_most")
  end
  return page.of(self, lines)
end

return person
