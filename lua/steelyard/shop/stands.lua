--- car:stands{at =, without =}: what each stand carries, and whether the car tips when something heavy comes out.
--
-- Plan view, level ground; statics by core/shop/support.h. Every step of taking things out is looked at: the car may stand safely
-- with its engine and without it, and tip in between.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local car_ends = require "steelyard.car.car_ends"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local stands = {}

-- What a person leaning on a spanner or pulling at one end of the car comes to, in kg: common practice, no source.
local A_PERSON = 30
-- What weighs less than twice that is handled and not leaned on: half of its own mass counts (our own rule, no source).
local LIGHT_SHARE = 0.5

local function pull_of(mass) return math.min(A_PERSON, LIGHT_SHARE * mass) end

-- Two stands nearer than this are one that was named twice, and would share its load: common practice, no source.
local APART = 10 -- mm

local function refuse(code, message, field, hint) core.fail{code = code, message = message, field = field, hint = hint} end

-- A stand: a point, or a wheel that goes on standing on its tyre.
local function find_stand(c, value, field)
  for _, wheel in ipairs(c.geometry:wheels()) do
    if value == wheel.key then return {name = wheel.key, at = {wheel.forward, wheel.left, 0}, sd = {0, 0, 0}} end
  end
  return named_places.find(c, value, field, true)
end

local function read_stands(c, list)
  if type(list) ~= "table" then refuse("missing", "is needed: where the stands are", "at",
    "a list of {x, y, z}, names of points or wheels") end
  local found, taken = named_places.list(c, list, "at", true, function(value, field) return find_stand(c, value, field) end), {}
  for i, stand in ipairs(found) do
    if taken[stand.name] then refuse("clash", ("%s is given twice"):format(stand.name), ("at[%d]"):format(i)) end
    taken[stand.name] = true
    for k = 1, i - 1 do
      local apart = math.sqrt((stand.at[1] - found[k].at[1]) ^ 2 + (stand.at[2] - found[k].at[2]) ^ 2)
      if apart < APART then
        refuse("clash", ("is %s mm from %s, two stands do not fit nearer than %d mm"):format(text.fixed(apart, 0), found[k].name, APART),
          ("at[%d]"):format(i))
      end
    end
  end
  return found
end

-- Of the points that lie equally far out at each end the one that tips the car first, in the order front, rear.
local function weakest(at, cg, ends)
  local chosen, list = {}, {}
  for i, key in ipairs{"front", "rear"} do
    for k, spot in ipairs(ends[key]) do list[k] = {spot.at[1], spot.at[2]} end
    local _, pulls = core.support(at, cg, table.move(list, 1, #ends[key], 1, {}))
    local least = 1
    for k in ipairs(pulls) do least = pulls[k] < pulls[least] and k or least end
    chosen[i] = ends[key][least]
  end
  return chosen
end

-- Variance of the CG across the edge, and of the stands at its ends.
local function margin_uncertainty(held, b, found)
  local x, y = held.outward[1], held.outward[2]
  local sum = (x * b.sd.cg_behind) ^ 2 + (y * b.sd.cg_left) ^ 2
  for end_of, weight in pairs{[held.from] = 1 - held.share, [held.to] = held.share} do
    local sd = found[end_of].sd
    sum = sum + weight ^ 2 * ((x * sd[1]) ^ 2 + (y * sd[2]) ^ 2)
  end
  return math.sqrt(sum)
end

-- The places in a look at the car that have an uncertainty: {place, its coordinate, standard uncertainty}.
local function uncertain_places(view, b, found, pulled)
  local list = {{view.cg, 1, b.sd.cg_behind}, {view.cg, 2, b.sd.cg_left}}
  for k = 1, 2 do
    for i, stand in ipairs(found) do list[#list + 1] = {view.at[i], k, stand.sd[k]} end
    for i, spot in ipairs(pulled) do list[#list + 1] = {view.weights[i], k, spot.sd[k]} end
  end
  return list
end

-- The pulls with one coordinate of a place moved by `sd`.
local function pulls_with(view, place, k, sd)
  local stated = place[k]
  place[k] = stated + sd
  local _, pulls = core.support(view.at, view.cg, view.weights)
  place[k] = stated
  return pulls
end

-- Uncertainty of the kilograms that tip it at each end: by moving the CG, the stands and the places pulled at by their own either way.
local function pull_uncertainties(view, b, pulls, found, pulled)
  local sums = {}
  for i, pull in ipairs(pulls) do sums[i] = (pull * b.sd.mass) ^ 2 end
  for _, input in ipairs(uncertain_places(view, b, found, pulled)) do
    if input[3] > 0 then
      local less, more = pulls_with(view, input[1], input[2], -input[3]), pulls_with(view, input[1], input[2], input[3])
      for i, pull in ipairs(pulls) do
        -- a place that may as well lie between the stands, where nothing tips, counts by its other side
        local low = less[i] ~= math.huge and less[i] or 2 * pull - more[i]
        local high = more[i] ~= math.huge and more[i] or 2 * pull - less[i]
        if math.abs(high - low) < math.huge then sums[i] = sums[i] + (b.mass * (high - low) / 2) ^ 2 end
      end
    end
  end
  for i in ipairs(pulls) do sums[i] = math.sqrt(sums[i]) end
  return sums
end

local function person_text(kg, f) return text.fixed(kg, kg < A_PERSON and f.kg or 0) end

local function judge_pull(step, where, kg, sd, f)
  if kg == math.huge then return end
  local status = verdicts.of(kg, sd, {min = step.person})
  step.status = verdicts.worse(step.status, status)
  local shown = text.plus_minus(kg, sd, f.kg)
  if status == "fail" then
    table.insert(step.reasons, ("%s kg at the %s tip it, and a person pulling counts %s"):format(shown, where,
      person_text(step.person, f)))
  elseif status == "near" then
    table.insert(step.reasons, ("%s kg at the %s tip it, little more than a person pulling"):format(shown, where))
  end
end

local function pulled_at(c, spot)
  local p = named_places.out(c, spot.at)
  return {name = spot.name, kind = spot.kind, x = p.x, y = p.y, z = p.z, ahead = spot.at[1]}
end

-- One look at the car as it is at that moment.
local function look(self, found, ends, what)
  local c = contents.inside(self)
  local b = core.balance(c.now, c.geometry)
  local at = {}
  for i, stand in ipairs(found) do at[i] = {stand.at[1], stand.at[2]} end
  local cg = {-b.cg_behind, b.cg_left}
  local pulled = weakest(at, cg, ends)
  local weights = {{pulled[1].at[1], pulled[1].at[2]}, {pulled[2].at[1], pulled[2].at[2]}}
  local held, pulls = core.support(at, cg, weights)
  local f = figures.of(c)
  local step = {what = what, mass = b.mass, person = pull_of(b.mass), margin = held.margin, tips = held.margin <= 0,
                even = held.even, loads = {}, edge = {found[held.from].name, found[held.to].name}, kg_to_tip = {},
                pulled_at = {}, cg = named_places.out(c, {cg[1], cg[2], b.height}), sd = {kg_to_tip = {}}, reasons = {}, status = "pass"}
  step.sd.margin = margin_uncertainty(held, b, found)
  for i, stand in ipairs(found) do step.loads[stand.name] = held.loads[i] * b.mass end
  local status = verdicts.of(held.margin, step.sd.margin, {min = 0})
  if step.tips then
    step.status = "fail"
    step.reasons[1] = ("it tips over %s and %s: the CG lies %s mm outside"):format(step.edge[1], step.edge[2], text.fixed(-held.margin,
      f.mm))
    return step, b, c
  elseif status == "near" then
    step.status = "near"
    step.reasons[1] = ("the CG is %s mm inside, less than its own +-"):format(text.plus_minus(held.margin, step.sd.margin, f.mm))
  end
  local uncertainties = pull_uncertainties({at = at, cg = cg, weights = weights}, b, pulls, found, pulled)
  for i, key in ipairs{"front", "rear"} do
    step.pulled_at[key] = pulled_at(c, pulled[i])
    if pulls[i] ~= math.huge then
      step.kg_to_tip[key] = pulls[i] * b.mass
      step.sd.kg_to_tip[key] = uncertainties[i]
      judge_pull(step, i == 1 and "nose" or "tail", step.kg_to_tip[key], step.sd.kg_to_tip[key], f)
    end
  end
  if b.unknown > 0 then
    step.status = verdicts.worse(step.status, "unknown")
    table.insert(step.reasons, ("%s not known"):format(b.unknown == 1 and "a mass is" or b.unknown .. " masses are"))
  end
  return step, b, c
end

local function in_order(list)
  if list == nil then return {} end
  if type(list) == "string" then return {list} end
  if type(list) ~= "table" then refuse("type", "is a name or a list of names, in the order they come out", "without") end
  return list
end

local function persons_aboard(c)
  local list = {}
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node and node.kind == "person" then list[#list + 1] = item.name end
  end
  return list
end

-- What may lie farther out than all that the file states.
local function end_notes(list, pulled)
  for _, key in ipairs{"front", "rear"} do
    local spot, way, name = pulled[key], key == "front" and "ahead" or "behind", key == "front" and "nose" or "tail"
    if spot and spot.kind == "cg" then
      list[#list + 1] = ("the %s is taken at the CG of %s, which has no shape: it lies farther out and tips with less; state its shape, a "
        .. "point of the file or %s"):format(name, spot.name, name)
    elseif spot and spot.kind == "tyre" then
      list[#list + 1] = ("no shape and no point of the file lies %s of the %s: state the %s if bodywork does, it tips with less"):format(
        way, spot.name, name)
    end
  end
end

local function notes_of(c, b, result, persons)
  local list = notes.gaps_and_height(c, b)
  end_notes(list, result.steps[1].pulled_at)
  if result.even then list[#list + 1] = "more than three stands share the load as if all gave alike; one a little high takes more" end
  if #persons > 0 then
    list[#list + 1] = ("%s %s aboard: nobody is in a car on stands, choose a state without"):format(text.join_names(persons),
      #persons == 1 and "is" or "are")
  end
  return list
end

--- car:stands. The result is that of the last step; `steps` has all.
function stands.of(c, self, o)
  o = named_places.check_fields(o, "car:stands", options.known("shop", "stands"))
  -- the ends of the whole car, also for later steps: somebody pulls at what comes out until it is out
  local found, ends = read_stands(c, o.at), car_ends.of(c, o.nose, o.tail)
  local step, b, at_last = look(self, found, ends, "as it stands")
  local steps, status, car = {step}, step.status, self
  for i, what in ipairs(in_order(o.without)) do
    car = car:without(what)
    steps[i + 1], b, at_last = look(car, found, ends, "without " .. (type(what) == "table" and text.join_names(what) or what))
    status = verdicts.worse(status, steps[i + 1].status)
  end
  local last = steps[#steps]
  local result = {state = loading.title(c), heading = car:heading(), stands = {}, places = {}, steps = steps, status = status}
  for _, key in ipairs{"loads", "margin", "kg_to_tip", "pulled_at", "edge", "tips", "mass", "person", "sd", "even"} do
    result[key] = last[key]
  end
  for i, stand in ipairs(found) do
    result.stands[i] = stand.name
    result.places[i] = named_places.out(c, stand.at)
  end
  local reasons, said = {}, {}
  for _, each in ipairs(steps) do
    each.why, each.reasons = text.join(each.reasons), nil
    if each.why ~= "" and each.status == status and not said[each.why] then reasons[#reasons + 1] = each.what .. ": " .. each.why end
    said[each.why] = true
  end
  result.why = #reasons > 0 and table.concat(reasons, "; ") or ("more than %s kg to tip it at either end"):format(person_text(last.person,
    figures.of(at_last)))
  result.notes = notes_of(at_last, b, result, persons_aboard(at_last))
  if last.person < A_PERSON then
    table.insert(result.notes, 1, ("it weighs under %d kg, so a person pulling counts half its mass, %s kg, and not %d"):format(
      A_PERSON / LIGHT_SHARE, person_text(last.person, figures.of(at_last)), A_PERSON))
  end
  return origin.of_car(figures.keep(setmetatable(result, require "steelyard.shop.stands.print"), at_last), at_last)
end

return stands
