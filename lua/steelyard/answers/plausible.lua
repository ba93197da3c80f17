--- Is that the height of a car, is that a mass? Objections in words; nothing is refused for them.
--
-- Heights are held against 204 light vehicles measured by G. J. Heydinger et al., Measured Vehicle Inertial Parameters - NHTSA's Data
-- Through November 1998, SAE 1999-01-1336 (25 of them in tests/reference/vehicle_inertia.csv): CG 489 to 838 mm above ground, static
-- stability factor 0.964 to 1.478. They are road cars, vans and off-road vehicles: low one-off cars lie below all of them and are right,
-- so a height below is only mentioned where it was measured (plausible.low), and objected to where the wheels say it too.
--
-- A car is what stands on three or four wheels and weighs 150 to 3500 kg; models, karts, mock-ups and lorries are not judged, but for a CG
-- below the ground. 150 kg: the lightest single-seaters without a driver; common practice, no source. 3500 kg: the most that light
-- vehicles of the classes M1 and N1 may weigh (Regulation (EU) 2018/858, Article 4, from memory).

local axles = require "steelyard.file.axles"
local core = require "steelyard.core"
local text = require "steelyard.print.text"

local plausible = {}

local LEAST_MASS, MOST_MASS = 150, 3500  -- kg
local LOWEST, HIGHEST = 489, 838         -- mm, SAE 1999-01-1336
local LEAST_FACTOR = 0.964               -- mean track by twice the CG height, SAE 1999-01-1336
local SAFE_FACTOR = 0.9                  -- 7 % below the least of them, more than a driver and luggage make
-- Of the wheel centres' height. Open-wheeled racing cars come down to 0.8 to 0.9 (CG 250 to 300 mm, wheels of 330 mm radius: values from
-- memory), all measured road cars lie above 1: lower than 0.7 no driveline and driver fit.
local FAR_BELOW = 0.7
local BELOW_GROUND = -1e-6               -- mm: less is rounding

local SOURCE = "204 measured light vehicles (SAE 1999-01-1336)"

-- ---- heights ------------------------------------------------------------------------------------------------------------

local function is_car(case) return case.car ~= false and case.mass >= LEAST_MASS and case.mass <= MOST_MASS end

local function mean(sum, count) return count > 0 and sum / count or nil end

--- Between which heights (mm) nothing is said of a car with these wheels: low, high. track: the mean one, radius: mean height of the wheel
-- centres, mm; nil where it is not known.
local function bounds(track, radius)
  return radius and FAR_BELOW * radius or 0, track and math.min(HIGHEST, track / (2 * SAFE_FACTOR)) or HIGHEST
end

local function add_low(list, height, radius)
  list[#list + 1] = ("CG height %s mm is %s %% of the wheel centres' %s mm, lower than racing cars lie, and %s have %d to %d mm: look for "
    .. "a height from another zero than `ground`, or a heavy part too low"):format(text.fixed(height, 0),
      text.fixed(100 * height / radius, 0), text.fixed(radius, 0), SOURCE, LOWEST, HIGHEST)
end

local function add_high(list, height, track)
  if height > HIGHEST then
    list[#list + 1] = ("CG height %s mm is above all of %s, which have up to %d mm: check what lies high"):format(text.fixed(height, 0),
      SOURCE, HIGHEST)
  end
  local factor = track and track / (2 * height)
  if factor and factor < SAFE_FACTOR then
    list[#list + 1] = ("static stability factor %s (mean track %s mm by twice the CG height): the least of %s is %s; such a car may roll "
      .. "over before it slides, check heights and tracks"):format(text.fixed(factor, 2), text.fixed(track, 0), SOURCE,
        text.fixed(LEAST_FACTOR, 2))
  end
end

--- Sentences on a height. case = {height = mm above ground, mass = kg, track = mean track or nil, radius = mean height of the wheel centres
-- or nil (mm), car = false: something else than a car}.
function plausible.height(case)
  local list, h = {}, case.height
  if h < BELOW_GROUND then
    list[1] = ("the CG comes out %s mm below the ground: look for a wrong sign of a height, a wrong `ground` or axes the wrong way up")
      :format(text.fixed(-h, h > -10 and 1 or 0))
  elseif is_car(case) then
    local low, high = bounds(case.track, case.radius)
    if h < low then add_low(list, h, case.radius) elseif h > high then add_high(list, h, case.track) end
  end
  return list
end

--- For a height that was measured and is below all measured vehicles, where nothing else is said: a sentence, or nil.
function plausible.low(case)
  if case.height >= LOWEST or not is_car(case) or case.radius and case.height < FAR_BELOW * case.radius then return nil end
  return ("a CG lower than in %s, which have %d to %d mm: low one-off cars lie there"):format(SOURCE, LOWEST, HIGHEST)
end

-- What the wheels of a car say, the same for all cars with these axles.
local function wheels_of(c)
  local kept = c.shared.known.wheels_say
  if kept and kept.axles == c.axles then return kept end
  local wheels, tracks, pairs_of_wheels, radii = #c.geometry:wheels(), 0, 0, 0
  for _, axle in ipairs(c.axles) do
    radii = radii + ((axle.left or axle.right) and (require("steelyard.file.sides").mean(axle, "loaded_radius")) or axle.loaded_radius)
    if axle.track then tracks, pairs_of_wheels = tracks + axle.track, pairs_of_wheels + 1 end
  end
  kept = {axles = c.axles, car = (wheels == 3 or wheels == 4) and not axles.is_trailer(c.axles),
          track = mean(tracks, pairs_of_wheels), radius = mean(radii, #c.axles)}
  kept.low, kept.high = bounds(kept.track, kept.radius)
  c.shared.known.wheels_say = kept
  return kept
end

local none = {}

--- Sentences on the height (mm) of the inside of a car that weighs `mass` kg; most are none. Cheap: two comparisons.
function plausible.of_car(c, height, mass)
  local w = wheels_of(c)
  if height >= w.low and height <= w.high then return none end
  return plausible.height{height = height, mass = mass, track = w.track, radius = w.radius,
                          car = w.car and not (c.state and c.state.stand_ins)}
end

-- ---- masses -------------------------------------------------------------------------------------------------------------

local MOST_NAMED = 3

-- Does the stated uncertainty of a mass allow a negative one? Limits end there (3 within 3 kg is fine, rounding left out); of an sd the
-- 95 % count.
local function allows_negative(value, sd, limits)
  return sd ~= nil and value ~= nil and (limits and core.constants.root_3 * (1 - 1e-12) or text.K95) * sd > value
end

-- Which fields of a line allow it: {mass =, stand_in =, fill =} or nil. A gap that is booked is a difference of two masses.
local function uncertain_fields(node)
  if node.kind == "group" or node.books_gap then return nil end
  local s = node.stand_in
  if not (s or node.fill_sd or node.dry_mass_sd) then -- most lines state nothing but a mass
    return allows_negative(node.mass, node.mass_sd, node.mass_limits) and {mass = true} or nil
  end
  local found = {}
  found.mass = allows_negative(node.mass, node.mass_sd, node.mass_limits)
    or allows_negative(node.dry_mass, node.dry_mass_sd, node.dry_mass_limits) or nil
  found.fill = allows_negative(node.fill, node.fill_sd, node.fill_limits) or nil
  found.stand_in = s and allows_negative(s.mass, s.mass_sd, s.mass_limits) or nil
  return next(found) and found
end

-- Lines of the file and of its edits that allow it, by number. Nodes are only ever added, so each is looked at once.
local function uncertain(shared)
  local kept, nodes = shared.known.uncertain, shared.nodes
  if not kept then
    kept = {upto = 0, any = false, by_number = {}}
    shared.known.uncertain = kept
  end
  for i = kept.upto + 1, #nodes do
    local found = uncertain_fields(nodes[i])
    if found then kept.by_number[i], kept.any = found, true end
  end
  kept.upto = #nodes
  return kept
end

local function is_uncertain(c, item, node, found)
  if c.state and c.state.stand_ins and node.stand_in then return found.stand_in end
  return found.mass or found.fill and item.litres_sd == node.fill_sd -- another fill may have come
end

local function number(x) return text.plain(core.number(core.fixed(x, 6))) end

-- "bracket (3 within 5 kg)"
local function stated(name, value, sd, limits, unit)
  name = text.name(name)
  if limits then return ("%s (%s within %s %s)"):format(name, number(value), number(core.constants.root_3 * sd), unit) end
  return ("%s (%s %s, sd %s)"):format(name, number(value), unit, number(sd))
end

local function shown(c, name, node)
  local s = c.state and c.state.stand_ins and node.stand_in
  if s then return stated(name, s.mass, s.mass_sd, s.mass_limits, "kg") end
  if node.kind ~= "tank" then return stated(name, node.mass, node.mass_sd, node.mass_limits, "kg") end
  if allows_negative(node.dry_mass, node.dry_mass_sd, node.dry_mass_limits) then
    return stated(name, node.dry_mass, node.dry_mass_sd, node.dry_mass_limits, "kg")
  end
  return stated(name, node.fill, node.fill_sd, node.fill_limits, "litres")
end

-- Names of the lines aboard. Of a pair the line is named once, unless a script has set one piece alone.
local function lines_aboard(c, by_number)
  local resolve, list, pair = require "steelyard.car.resolve", {}, nil
  for _, item in ipairs(c.now:items(true)) do
    local node, found = c.shared.nodes[item.number], by_number[item.number]
    local flagged = found and item.aboard and is_uncertain(c, item, node, found)
    if item.form == "pair" then
      pair = {name = item.name}
    elseif flagged and item.side and pair.first then
      list[pair.first] = shown(c, pair.name, node)
    elseif flagged then
      list[#list + 1] = shown(c, item.side and resolve.path(c.now, item.route) or item.name, node)
      if item.side then pair.first = #list end
    end
  end
  return list
end

-- Fills that a state states or that were asked for; one that car:set stated is its line's.
local function add_fills(list, fills, but)
  for _, what in ipairs(next(fills) and require("steelyard.car.loading").sorted_keys(fills) or {}) do
    local fill = fills[what]
    if not but[what] and allows_negative(fill.litres, fill.litres_sd, fill.limits) then
      list[#list + 1] = stated(what, fill.litres, fill.litres_sd, fill.limits, "litres")
    end
  end
end

local function find_masses(c)
  local kept, list = uncertain(c.shared), {}
  if kept.any then list = lines_aboard(c, kept.by_number) end
  if c.state and next(c.held.fills) == nil then add_fills(list, c.state.fill or none, c.fills) end
  add_fills(list, c.fills, none)
  if #list == 0 then return none end
  local more = #list - MOST_NAMED
  local names = table.move(list, 1, MOST_NAMED, 1, {})
  if more > 0 then names[#names + 1] = ("%d more"):format(more) end
  return {("the stated uncertainty allows negative values: %s; state narrower limits, or `unknown`"):format(text.join(names))}
end

--- Sentences on masses and fills whose own uncertainty allows a negative one; most cars have none.
function plausible.masses(c)
  local said = c.aboard.negative
  if not said then
    said = find_masses(c)
    c.aboard.negative = said
  end
  return said
end

return plausible
