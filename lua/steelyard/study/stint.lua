--- car:stint{fuel = {from =, to =}, ...}: what changes as fuel burns and drivers change, its mean, and the car at the mean.
--
-- One study for each driver asks the car at the litres of the rows and, between them, where the mean needs it. A quantity of a car with
-- less fuel in a tank that says no shape is a ratio of polynomials in the litres, so Gauss's rule of three points finds its mean to the
-- last digits; a shape has corners, which is why every PANELS-th of the stint is a piece of its own.

local core = require "steelyard.core"
local answer = require "steelyard.study.answer"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local given = require "steelyard.study.stint.given"
local limits = require "steelyard.answers.limits"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local outputs_of = require "steelyard.study.outputs"
local results = require "steelyard.reference.results"
local study = require "steelyard.study.study"
local tanks = require "steelyard.answers.tank"
local text = require "steelyard.print.text"
local vary = require "steelyard.study.vary"

local stint = {}
local Stint = results.kind "stint"
local End = results.kind "stint_end"

local PANELS = 32
-- Gauss-Legendre of three points on -1 to 1: exact for polynomials up to the fifth degree.
local GAUSS = {{-math.sqrt(0.6), 5 / 9}, {0, 8 / 9}, {math.sqrt(0.6), 5 / 9}}

-- ---- where the car is asked ---------------------------------------------------------------------------------------------------

-- The litres at which a driver has rows: those of the whole stint, counted from its start, and where he begins and ends.
local function rows_of(s, d)
  local list = {d.from}
  local steps = math.ceil((s.from - s.to) / s.step - 1e-9) -- 26 / 1.3 is 20 steps, whatever its last digit
  for i = 1, steps - 1 do
    local litres = s.from - i * s.step
    if litres < d.from - 1e-9 and litres > d.to + 1e-9 then list[#list + 1] = litres end
  end
  list[#list + 1] = d.to
  return list
end

-- Points by falling litres: {litres, row = true} and {litres, weight = litres it counts for in the mean}.
local function points_of(s, d)
  local rows, points = rows_of(s, d), {}
  for i, litres in ipairs(rows) do
    points[#points + 1] = {litres = litres, row = true}
    local length = rows[i + 1] and litres - rows[i + 1] or 0
    local pieces = math.ceil(length / ((s.from - s.to) / PANELS) - 1e-9)
    for k = 1, pieces do
      local half = length / pieces / 2
      local middle = litres - (2 * k - 1) * half
      for _, node in ipairs(GAUSS) do
        points[#points + 1] = {litres = middle + node[1] * -half, weight = node[2] * half}
      end
    end
  end
  return points
end

-- Asks a driver's car at its points: values and sds by output.
local function ask(s, d)
  local points, litres = points_of(s, d), {}
  for i, p in ipairs(points) do litres[i] = p.litres end
  local r = study.of{d.car, vary = {vary.of(s.tank, "fill", litres)}, show = s.show, uncertainty = true, quiet = true}
  for i, p in ipairs(points) do
    p.values, p.sds, p.driver = {}, {}, d
    for _, out in ipairs(s.outputs) do
      local value, sd = r.columns[out.name][i], r.sd[out.name] and r.sd[out.name][i]
      if not (value and value == value) then
        core.fail{code = "unavailable", field = "show", message = ("%s is not known of this vehicle with %s litres in the tank"):format(
          out.name, text.fixed(p.litres, 1))}
      end
      p.values[out.name], p.sds[out.name] = value, sd and sd == sd and sd or nil
    end
  end
  return points
end

-- ---- what comes of it ---------------------------------------------------------------------------------------------------------

-- Means over all litres. An uncertainty is common to the whole stint, so that of a mean is at most the mean of the uncertainties.
local function means(s, points)
  local mean, sd = {}, {}
  for _, out in ipairs(s.outputs) do
    local name, sum, sd_sum = out.name, 0, 0
    -- from the first value on, so that no digits are lost in what does not change
    local first = points[1].values[name]
    for _, p in ipairs(points) do
      if p.weight then
        sum = sum + p.weight * (p.values[name] - first)
        sd_sum = sd_sum and p.sds[name] and sd_sum + p.weight * p.sds[name]
      end
    end
    mean[name], sd[name] = first + sum / (s.from - s.to), sd_sum and sd_sum / (s.from - s.to) or nil
  end
  return mean, sd
end

local function extremes(s, rows)
  local lowest, highest = {}, {}
  for _, out in ipairs(s.outputs) do
    local name, low, high = out.name, rows[1], rows[1]
    for _, row in ipairs(rows) do
      if row.values[name] < low.values[name] then low = row end
      if row.values[name] > high.values[name] then high = row end
    end
    for into, row in pairs{[lowest] = low, [highest] = high} do
      into[name] = setmetatable({value = row.values[name], litres = row.litres, driver = row.driver}, End)
    end
  end
  return lowest, highest
end

local function car_with(s, d, litres) return d.car:fill{[s.tank] = litres} end

-- Between two points of one driver with the mean between their values: the litres of the mean, by halves.
local function halve(s, out, mean, above, below)
  local asked = answer.new{out}
  local d, upper, lower = above.driver, above.litres, below.litres
  local rises = below.values[out.name] > mean
  while true do
    local middle = (upper + lower) / 2
    if middle >= upper or middle <= lower or upper - lower < 1e-10 then return middle end
    local value = asked(car_with(s, d, middle), {})[1]
    if (value > mean) == rises then lower = middle else upper = middle end
  end
end

-- Where the first quantity is its mean, nearest half way: litres, driver, and a sentence where there is something to say.
local function place_of_mean(s, points, mean)
  local out, half_way = s.outputs[1], (s.from + s.to) / 2
  local name, target, found, nearest, most = out.name, mean[out.name], {}, points[1], 0
  for i, p in ipairs(points) do
    local miss, following = p.values[name] - target, points[i + 1]
    most = math.max(most, math.abs(miss))
    if math.abs(miss) < math.abs(nearest.values[name] - target) then nearest = p end
    if following and following.driver == p.driver and (miss > 0) ~= (following.values[name] - target > 0) then
      found[#found + 1] = {halve(s, out, target, p, following), p.driver}
    end
  end
  if most <= 1e-12 * math.max(1, math.abs(target)) then -- rounding alone
    for _, d in ipairs(s.drivers) do
      if half_way <= d.from and half_way >= d.to then
        return half_way, d, ("%s does not change in this stint: the car to set up is that of half way"):format(out.label)
      end
    end
  end
  if not found[1] then
    return nearest.litres, nearest.driver, ("nowhere in the stint is %s its mean, it steps over it as drivers change: the car to set up "
      .. "is the nearest"):format(out.label)
  end
  local best = found[1]
  for _, one in ipairs(found) do -- of two as near the first; litres are found to 1e-10
    if math.abs(one[1] - half_way) < math.abs(best[1] - half_way) - 1e-6 then best = one end
  end
  return best[1], best[2], found[2] and ("%s is its mean at %d places: the car to set up is that of the one nearest half way"):format(
    out.label, #found) or nil
end

-- The file's limits of the car as each driver begins and ends.
local function judge(s, r)
  local list, seen = {}, {}
  for _, d in ipairs(s.drivers) do
    for _, litres in ipairs{d.from, d.to} do
      local words = given.litres(litres) .. (d.name and ", " .. d.name or "")
      if not seen[words] then
        seen[words], list[#list + 1] = true, {words, contents.inside(car_with(s, d, litres))}
      end
    end
  end
  local rows = limits.several(list)
  if rows[1] then r.limits, r.status = rows, limits.status(rows) end
end

local function notes_of(s, c, self, where)
  local list = {}
  list[1] = s.usual
  list[#list + 1] = where
  list[#list + 1] = "means: every litre burnt counts the same, also between the rows; their +- is at most that, all errors being common "
    .. "to the stint"
  local held = tanks.remarks(s.contents, s.from)
  table.move(held, 1, #held, #list + 1, list)
  local _, has_level = require("steelyard.car.liquids").litres(self, s.tank)
  list[#list + 1] = has_level and "liquid at rest on level ground, as deep in the tank as it is full"
    or "the file gives the tank no shape: its liquid counts at the tank's own place"
  if s.seat then list[#list + 1] = ("who drives sits in the place of %s"):format(text.name(s.seat)) end
  if s.pair then list[#list + 1] = "litres are those of one of the pair; both burn alike" end
  local b = core.balance(c.now, c.geometry)
  for _, out in ipairs(s.outputs) do
    if out.q and out.q.grows == "inertia" and b.points > 0 then
      list[#list + 1] = ("%s counts %d of %d parts as points: read it as \"at least\""):format(out.label, b.points, b.parts)
    end
  end
  local gaps = require("steelyard.answers.notes").gaps(c, b)
  return table.move(gaps, 1, #gaps, #list + 1, list)
end

--- The result table of car:stint.
function stint.of(c, self, o)
  loading.need_mass(c)
  local s = given.of(c, self, o)
  s.outputs = outputs_of.of(c, s.show)
  local points, rows = {}, {}
  for _, d in ipairs(s.drivers) do
    local list = ask(s, d)
    table.move(list, 1, #list, #points + 1, points)
  end
  for _, p in ipairs(points) do
    if p.row then rows[#rows + 1] = {litres = p.litres, driver = p.driver.name, values = p.values, sd = p.sds} end
  end
  local r = {state = loading.title(c), heading = self:heading(), tank = s.contents.name, from = s.from, to = s.to, step = s.step,
             names = {}, rows = rows}
  for i, out in ipairs(s.outputs) do r.names[i] = out.name end
  r.mean, r.sd = means(s, points)
  r.lowest, r.highest = extremes(s, rows)
  local at, driver, where = place_of_mean(s, points, r.mean)
  r.at, r.at_driver, r.car, r.reached = at, driver.name, car_with(s, driver, at), {}
  local there = answer.new(s.outputs)(r.car, {})
  for i, out in ipairs(s.outputs) do r.reached[out.name] = there[i] end
  judge(s, r)
  r.notes = notes_of(s, c, self, where)
  require("steelyard.study.made").from[r] = {outputs = s.outputs, mean_alone = s.mean}
  return origin.of_car(figures.keep(setmetatable(r, Stint), c), c)
end

-- Of tables by quantity.
function Stint.__units(r)
  local units = {}
  for _, out in ipairs(require("steelyard.study.made").from[r].outputs) do
    local unit = out.unit ~= "" and out.unit or nil
    for _, field in ipairs{"mean", "reached", "rows[].values", "rows[].sd", "sd"} do units[field .. "." .. out.name] = unit end
    units["lowest." .. out.name .. ".value"], units["highest." .. out.name .. ".value"] = unit, unit
  end
  return units
end

function Stint.__tostring(r) return require("steelyard.study.stint.print").page(r) end

return stint
