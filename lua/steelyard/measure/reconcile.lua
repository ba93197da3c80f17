--- car:reconcile{corners =, ...}: the ledger against what the scales say of the whole car; fields in reference/options/scales.lua.
--
-- A line here is a booked line: the two pieces of a pair that state the same are one, and its place is the left piece's.

local core = require "steelyard.core"
local given_of = require "steelyard.measure.reconcile.given"
local loading = require "steelyard.car.loading"
local notes_of = require "steelyard.measure.reconcile.notes"
local origin = require "steelyard.print.origin"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local reconcile = {}
local Reconciled = require("steelyard.reference.results").kind "reconciled"

local FITS = 0.05 -- a chi-square that chance exceeds in fewer cases is a misfit (the 95 % of everything else here)

local ways = {"forward", "left", "up"}
local units = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
local letters = {"x", "y", "z"}

-- The file's axes behind forward, left and up: {letter =, sign =} each.
local function axes_of(c)
  local axes = {}
  for i, way in ipairs(ways) do
    local v = table.pack(c.geometry:vector_out(table.unpack(units[i])))
    for k, letter in ipairs(letters) do
      if v[k] ~= 0 then axes[way] = {letter = letter, index = k, sign = v[k]} end
    end
  end
  return axes
end

-- Lines with their names; of a pair that is one line the left piece, under the pair's name.
local function named_lines(c, found)
  local lines = {}
  for i, line in ipairs(found.lines) do
    local partner = found.lines[i + 1]
    if not line.same then
      line.pair = line.side and partner ~= nil and partner.same
      line.route = line.pair and line.route:sub(1, -5) or line.route
      line.name = resolve.path(c.now, line.route)
      line.at = table.pack(c.geometry:point_out(table.unpack(line.place)))
      lines[#lines + 1] = line
    end
  end
  return lines
end

local function row_of(name, field, unit, before, e)
  return {name = name, field = field, unit = unit, before = before, after = before + e.change, sd = e.after, sd_before = e.before,
          sigmas = e.sigmas}
end

-- What the readings can move, in file order: each line's mass, then its place.
local function rows_of(lines, axes)
  local rows = {}
  for _, line in ipairs(lines) do
    if line.mass.before > 0 and line.mass.sigmas then rows[#rows + 1] = row_of(line.name, "mass", "kg", line.stated, line.mass) end
    for _, way in ipairs(ways) do
      local e, axis = line[way], axes[way]
      if e.before > 0 and e.sigmas then
        local turned = {change = axis.sign * e.change, before = e.before, after = e.after, sigmas = axis.sign * e.sigmas}
        local row = row_of(line.name, "at." .. axis.letter, "mm", line.at[axis.index], turned)
        row.way, row.moved = way, e.change
        rows[#rows + 1] = row
      end
    end
  end
  return rows
end

-- A body of the core's in file axes: mass, cg, sd.
local function body_of(b, c, axes)
  local place = table.pack(c.geometry:point_out(b.forward or 0, b.left or 0, b.up or 0))
  local cg, sd = {}, {}
  for _, way in ipairs(ways) do
    local axis = axes[way]
    if b[way] then cg[axis.letter], sd[axis.letter] = place[axis.index], b.sd[way] end
  end
  return {mass = b.mass, cg = cg, sd = {mass = b.sd.mass, cg = sd}}
end

local function missing_of(found, c, axes)
  local body, sigmas = body_of(found.missing, c, axes), found.off.mass
  local clear = math.abs(sigmas) > text.K95
  return {mass = body.mass, at = clear and body.cg or nil, sd = {mass = body.sd.mass, at = clear and body.sd.cg or nil}, sigmas = sigmas,
          clear = clear}
end

-- Ledger, scales and both, as people speak of them.
local function sums_of(found)
  local list = {}
  for _, entry in ipairs{{"mass", "mass", 1, "kg"}, {"cg_behind", "forward", -1, "mm"}, {"cg_left", "left", 1, "mm"},
                         {"height", "up", 1, "mm"}} do
    local name, from, sign, unit = table.unpack(entry)
    local row = {name = name, unit = unit, sd = {}, sigmas = found.off[from] and sign * found.off[from]}
    for _, which in ipairs{"ledger", "scales", "both"} do
      local value = found[which][from]
      row[which], row.sd[which] = value and sign * value, found[which].sd[from]
    end
    list[#list + 1] = row
  end
  return list
end

local function readings_of(given, found, result)
  result.readings = {}
  for i, key in ipairs(given.keys) do
    local e = found.readings[i]
    result.readings[i] = {what = key, read = given.supports[i].load, after = found.loads[i], sd = e.after, sd_before = e.before,
                          sigmas = e.sigmas}
    if given.lateral then result[key], result.sd[key] = found.loads[i], e.after end
  end
  if not found.warp then return end
  result.warp = {}
  for i, key in ipairs(given.keys) do result.warp[key] = found.warp[i] end
  result.sd.warp = found.warp_sd
  if result.lf and result.rf and result.lr and result.rr then
    result.cross_share = 100 * (result.rf + result.lr) / (result.lf + result.rf + result.lr + result.rr)
  end
end

-- "lr reads 2100.0 kg where the ledger has 221.7 kg": the reading furthest from the ledger, in its own uncertainties.
local function furthest(c, given)
  local b, said, most = core.balance(c.now, c.geometry), nil, 0
  for i, support in ipairs(given.supports) do
    local key = given.keys[i]
    local booked = b[key] or b.axle and b.axle[key]
    local off = booked and math.abs(support.load - booked) / support.sd or 0
    if off > most then
      most = off
      said = ("%s reads %s kg where the ledger has %s kg"):format(key, text.fixed(support.load, 1), text.fixed(booked, 1))
    end
  end
  return said
end

-- The core's answer. Readings that no adjustment brings together with the ledger may be one slip away from it: then the refusal says which.
local function solve(c, car, given)
  local fine, found = pcall(core.reconcile, c.now, given)
  if fine then return found end
  if type(found) == "table" and found.code == "limit" then
    found.hint = require("steelyard.measure.reconcile.suspects").hint(c, car, given) or furthest(c, given) or found.hint
  end
  error(found, 0)
end

--- The answer for this car in its load state.
function reconcile.of(c, car, fields)
  local given = given_of.read(c, fields)
  local found, axes = solve(c, car, given), axes_of(c)
  local lines = named_lines(c, found)
  local both = body_of(found.both, c, axes)
  local result = {state = loading.title(c), heading = car:heading(), chi2 = found.chi2, dof = found.dof, p = found.p,
    fits = found.p >= FITS, mass = both.mass, cg = both.cg, sd = both.sd, sums = sums_of(found), missing = missing_of(found, c, axes),
    rows = rows_of(lines, axes), lines = #lines, measured_height = given.height}
  readings_of(given, found, result)
  if not result.fits then
    result.suspect = require("steelyard.measure.reconcile.suspects").find{c = c, car = car, lines = lines, axes = axes, given = given,
      found = found}
  end
  result.notes = notes_of.list(c, given, result, lines)
  if given.correct then result.car = require("steelyard.measure.reconcile.car").of(c, car, given) end
  return origin.of_car(setmetatable(result, Reconciled), c)
end

function Reconciled.__tostring(result) return require("steelyard.measure.reconcile.print").page(result) end

return reconcile
