--- Which single error would explain a misfit between ledger and scales, and which look just the same.
--
-- Of every number of the ledger and every reading (a line's mass, a place along one axis, a reading, a scale's zero or gain) the core gives
-- its standardised residual w, whose square is what the chi-square would lose were that number free, and the error it would need. What may
-- be the matter otherwise (causes.lua: who was in the car, fills, pads, pounds, what is usually forgotten) is tried as a whole.
--
-- All of them are ranked by -2 ln of what each would have made of the measured values, times how usual it is:
--   a number that slipped by an error of spread t     chi2 - w^2 t^2 / (t^2 + s^2) + ln(1 + t^2 / s^2) - 2 ln P     s = |needed error / w|
--   another ledger or other readings                  chi2 + ln det S of theirs, less ln det S of the ledger's      - 2 ln P
-- so that 24 kg for a pulley of half a kilogram comes after what needs no such error. The spreads t and chances P below are common
-- practice, no source: they order what fits and hide nothing.
-- Source  chances of models that explain the same data: H. Jeffreys, Theory of Probability, 3rd ed. 1961, ch. V (from memory); of a linear
--         error with a normal prior: derived here, S + t^2 g g^T by the matrix determinant lemma.

local core = require "steelyard.core"
local causes = require "steelyard.measure.reconcile.causes"
local in_kg = require("steelyard.file.user_values").in_kg
local slips = require "steelyard.measure.closure.slips"
local text = require "steelyard.print.text"

local suspects = {}

local TIED = 1     -- of chi-square: a likelihood ratio of 0.6 (as in measure/closure/slips.lua)
local FITS = 0.05  -- as in reconcile.lua, of the rest
local LIKELY = 6   -- of the rank: what is 20 times less likely than the first is not named on the page
local LISTED = 14  -- and 1000 times less: not listed

-- Chance of each kind of error, shared by all of its kind.
local chance = {aboard = 0.25, state = 0.1, fill = 0.15, exchanged = 0.08, unit = 0.1, forgotten = 0.1, slip = 0.08, mass = 0.15,
                side = 0.04, place = 0.1, reading = 0.1, scale = 0.05}
-- Spread of an error that nobody meant to make: share of a mass, mm of a place, share of a load and kg, mm of a height, times the stated sd
-- of a scale's zero or gain.
local OF_MASS, OF_PLACE, OF_LOAD, LEAST_LOAD, OF_HEIGHT, OF_SCALE, TIMES_SD = 0.3, 150, 0.1, 5, 30, 5, 3

local words_of = {forward = {"forward", "back"}, left = {"to the left", "to the right"}, up = {"up", "down"}}

local Search = {}
Search.__index = Search

-- A number that may have slipped: e of the core, spread t.
function Search:number(kind, what, field, e, spread, entry)
  if not e.sigmas then return end
  local w2, s2, t2 = e.sigmas ^ 2, (e.alone / e.sigmas) ^ 2, spread ^ 2
  entry.kind, entry.what, entry.field, entry.sigmas, entry.order, entry.w2 = kind, what, field, e.sigmas, #self.list + 1, w2
  entry.ease = e.before > 0 and math.abs(e.change) / e.before or 0
  local gained = t2 > 0 and w2 * t2 / (t2 + s2) or 0
  entry.rest, entry.free = self.chi2 - gained, 1
  entry.rank = entry.rest + (s2 > 0 and math.log(1 + t2 / s2) or 0)
  self.list[#self.list + 1] = entry
  return entry
end

-- The same number with one known error: chi2 is a parabola in it.
function Search:known(kind, what, field, e, error_size, entry)
  if not e.sigmas then return end
  local s2 = (e.alone / e.sigmas) ^ 2
  entry.kind, entry.what, entry.field, entry.sigmas, entry.order, entry.w2 = kind, what, field, e.sigmas, #self.list + 1, -1
  entry.rest, entry.free = self.chi2 - e.sigmas ^ 2 + (error_size - e.alone) ^ 2 / s2, 0
  entry.rank = entry.rest
  self.list[#self.list + 1] = entry
end

-- ---- lines of the ledger ------------------------------------------------------------------------------------------------------------

local function mass_text(line, mass)
  return ("%s kg%s instead of %s"):format(text.fixed(mass, mass < 1 and 3 or 1), (line.pair or line.pieces > 1) and " each" or "",
    text.fixed(line.stated, line.stated < 1 and 3 or 1))
end

-- A line's mass, as it stands in the file, through the slips of a teardown.
local function add_mass_slips(search, line)
  local function add(why, mass)
    local shown = mass_text(line, mass)
    search:known("slip", line.name, "mass", line.mass, mass - line.stated, {would_be = mass, unit = "kg", why = why,
      says = shown, text = ("the mass of %s (%s, %s)"):format(line.name, why, shown)})
  end
  if not (line.stated > 0) then return end
  add("lb read as kg", line.stated * in_kg.lb)
  add("kg read as lb", line.stated / in_kg.lb)
  add("decimal mark one place off", line.stated * 10)
  add("decimal mark one place off", line.stated / 10)
  for _, other in ipairs(slips.swapped(line.stated)) do
    if other > 0 then add("two digits swapped", other) end
  end
end

local function add_mass(search, c, line)
  local mass = line.stated + (line.mass.alone or 0)
  local node = c.shared.nodes[c.now:item(line.route).number]
  if node.kind == "tank" and node.density then
    local dry = node.dry_mass or 0
    local litres = (mass - dry) / node.density
    if litres < 0 or node.capacity and litres > node.capacity * (1 + 1e-9) then return end
    local spread = (node.capacity or 2 * (node.fill or 0)) * node.density / math.sqrt(12)
    local says = ("%s L instead of %s"):format(text.fixed(litres, 1), text.fixed((line.stated - dry) / node.density, 1))
    search:number("fill", line.name, "mass", line.mass, spread, {would_be = mass, unit = "kg", says = says,
      text = ("the fill of %s (%s)"):format(line.name, says)})
    return
  end
  if mass < 0 then return end -- a negative mass is not an explanation
  local says = mass_text(line, mass)
  search:number("mass", line.name, "mass", line.mass, math.max(OF_MASS * line.stated, TIMES_SD * line.mass.before), {would_be = mass,
    unit = "kg", exact = line.mass.before == 0 or nil, says = says, text = ("the mass of %s (%s)"):format(line.name, says)})
  add_mass_slips(search, line)
end

local function side_text(left) return text.worded(left, 0, "mm left", "mm right") end

-- in the vehicle's words: which letter of the file runs that way is of no interest here
local place_words = {forward = "fore-aft place", left = "sideways place", up = "height"}

local function add_places(search, line, axes)
  for i, way in ipairs{"forward", "left", "up"} do
    local e, axis, words = line[way], axes[way], words_of[way]
    if e.sigmas then
      local says = ("%s mm %s"):format(text.fixed(math.abs(e.alone), 0), e.alone >= 0 and words[1] or words[2])
      local entry = search:number("place", line.name, "at." .. axis.letter, e, math.max(OF_PLACE, TIMES_SD * e.before), {
        would_be = line.at[axis.index] + axis.sign * e.alone, unit = "mm", off = e.alone, way = way, exact = e.before == 0 or nil,
        says = says, text = ("the %s of %s (%s)"):format(place_words[way], line.name, says)})
      -- where nothing of the car lies it is not an explanation
      entry.far = not search.inside[way](line.place[i] + e.alone) or nil
    end
  end
  local left = line.place[2]
  if line.left.sigmas and not line.pair and math.abs(left) >= 20 then -- mm: nearer the middle the side hardly shows
    local says = ("%s instead of %s"):format(side_text(-left), side_text(left))
    search:known("side", line.name, "at." .. axes.left.letter, line.left, -2 * left, {would_be = line.at[axes.left.index]
      - 2 * axes.left.sign * left, unit = "mm", off = -2 * left, way = "left", says = says, text = ("the side of %s (%s)"):format(line.name,
      says)})
  end
end

-- ---- readings and scales ------------------------------------------------------------------------------------------------------------

local function add_readings(search, given, found)
  for i, key in ipairs(given.keys) do
    local e, read = found.readings[i], given.supports[i].load
    local load = read - e.alone
    if load >= 0 then
      local says = ("%s kg instead of %s"):format(text.fixed(load, 1), text.fixed(read, 1))
      search:number("reading", key, "reading", e, math.max(LEAST_LOAD, OF_LOAD * read), {would_be = load, unit = "kg", says = says,
        text = ("the reading of %s (%s)"):format(key, says)})
    end
  end
  if found.height then
    local height = given.height - found.height.alone
    local says = ("%s mm instead of %s"):format(text.fixed(height, 0), text.fixed(given.height, 0))
    search:number("reading", "height", "reading", found.height, OF_HEIGHT, {would_be = height, unit = "mm", says = says,
      text = ("the measured height (%s)"):format(says)})
  end
end

local function add_scales(search, c, found)
  local names = {}
  for name, number in pairs(c.shared.context.scales) do names[number] = name end
  for i, scale in ipairs(found.instruments) do
    if names[i] and scale.bias.before > 0 and scale.bias.sigmas then -- none where it weighed nothing that is aboard
      local says = ("a zero off by %s kg"):format(text.fixed(scale.bias.alone, 2))
      search:number("scale", names[i], "bias", scale.bias, OF_SCALE * scale.bias.before, {would_be = scale.bias.alone, unit = "kg",
        says = says, text = ("the zero of scale of %s (%s)"):format(names[i], says)})
    end
    if names[i] and scale.gain.before > 0 and scale.gain.sigmas then
      local says = ("a gain off by %s %%"):format(text.fixed(100 * scale.gain.alone, 2))
      search:number("scale", names[i], "gain", scale.gain, OF_SCALE * scale.gain.before, {would_be = scale.gain.alone, unit = "",
        says = says, text = ("the gain of scale of %s (%s)"):format(names[i], says)})
    end
  end
end

-- ---- other cars and other readings ------------------------------------------------------------------------------------------------------

local function add_causes(search, from)
  for _, cause in ipairs(causes.list(from.c, from.car, from.given, from.found.missing)) do
    -- another car may not come together with the scales at all
    local fine, found = pcall(core.reconcile, cause.ledger or from.c.now, cause.given or from.given, true)
    if fine then
      search.list[#search.list + 1] = {kind = cause.kind, what = cause.what, field = cause.field, would_be = cause.would_be,
        unit = cause.unit, says = cause.says, text = cause.says, order = #search.list + 1, w2 = -1, rest = found.chi2, free = 0,
        rank = found.chi2 + found.log_det - from.found.log_det}
    end
  end
end

-- ---- ranking --------------------------------------------------------------------------------------------------------------------------

-- Is a coordinate one at which a car has parts? mm of the vehicle's frame.
local function inside_of(c)
  local front, rear, half_track = -math.huge, math.huge, 0
  for _, wheel in ipairs(c.geometry:wheels()) do
    front, rear = math.max(front, wheel.forward), math.min(rear, wheel.forward)
    half_track = math.max(half_track, math.abs(wheel.left))
  end
  local over = 0.5 * (front - rear)
  return {forward = function(x) return x <= front + over and x >= rear - over end,
          left = function(y) return math.abs(y) <= half_track + 150 end,
          up = function(z) return z >= -50 and z <= front - rear end}
end

-- How usual each is: the chance of its kind, shared by all that are of it.
local function add_chances(list)
  local count = {}
  for _, entry in ipairs(list) do count[entry.kind] = (count[entry.kind] or 0) + 1 end
  for _, entry in ipairs(list) do entry.rank = entry.rank - 2 * math.log(chance[entry.kind] / count[entry.kind]) end
end

local function by_rank(a, b)
  if a.rank ~= b.rank then return a.rank < b.rank end
  return a.order < b.order
end

-- As before any thought of what is usual: the number whose own stated uncertainty explains it best.
local function by_ease(a, b)
  if a.ease ~= b.ease then return a.ease > b.ease end
  return a.order < b.order
end

-- Those that explain all of it, the likeliest first; behind them numbers that would do as well with an error nobody makes.
local function choose(list, chi2, dof)
  local explain, same, best = {}, {}, 0
  for _, entry in ipairs(list) do best = math.max(best, entry.w2) end
  for _, entry in ipairs(list) do
    if not entry.far and core.chi2_tail(entry.rest, dof - entry.free) >= FITS then
      explain[#explain + 1] = entry
    elseif entry.w2 >= best - TIED then
      entry.unlikely = true
      same[#same + 1] = entry
    end
  end
  table.sort(explain, by_rank)
  table.sort(same, by_ease)
  local chosen, enough = {}, #explain > 0
  for _, entry in ipairs(explain) do
    if entry.rank <= explain[1].rank + LISTED then
      entry.likely = entry.rank <= explain[1].rank + LIKELY
      chosen[#chosen + 1] = entry
    end
  end
  for _, entry in ipairs(same) do
    if not enough then entry.likely, entry.rest = true, math.max(0, chi2 - best) end
    chosen[#chosen + 1] = entry
  end
  if not enough then enough = core.chi2_tail(math.max(0, chi2 - best), dof - 1) >= FITS end
  return chosen, enough
end

--- For readings that do not come together with the ledger at all: what would make them agree, "... would explain it"; or nil.
function suspects.hint(c, car, given)
  local best, least
  for _, cause in ipairs(causes.list(c, car, given, {mass = 0})) do
    local fine, found = pcall(core.reconcile, cause.ledger or c.now, cause.given or given, true)
    if fine and (not least or found.chi2 < least) then best, least = cause, found.chi2 end
  end
  local dof = (given.lateral and 3 or 2) + (given.height and 1 or 0)
  return best and core.chi2_tail(least, dof) >= FITS and best.says .. " would explain it" or nil
end

--- {what, field, sigmas, would_be, says, text, rest, enough, tied = all that explain it too, itself first; likely = true of those that the
-- page names}; nil when no single error is left to think of. from: {c, car, lines, axes, given, found}.
function suspects.find(from)
  local search = setmetatable({list = {}, chi2 = from.found.chi2, inside = inside_of(from.c)}, Search)
  for _, line in ipairs(from.lines) do
    add_mass(search, from.c, line)
    add_places(search, line, from.axes)
  end
  add_readings(search, from.given, from.found)
  add_scales(search, from.c, from.found)
  add_causes(search, from)
  add_chances(search.list)
  local tied, enough = choose(search.list, from.found.chi2, from.found.dof)
  if not tied[1] then return nil end
  for _, entry in ipairs(tied) do
    for _, key in ipairs{"order", "kind", "ease", "w2", "free", "rank", "far", "unlikely"} do entry[key] = nil end
  end
  local suspect = {}
  for key, value in pairs(tied[1]) do suspect[key] = value end
  suspect.tied, suspect.enough = tied, enough
  return suspect
end

return suspects
