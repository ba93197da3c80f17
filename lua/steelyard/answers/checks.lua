--- car:checks(): the file's limits, each answered with pass, near, fail or unknown (verdicts.lua).
--
-- The overall status is the worst of fail > unknown > near > pass.
-- A mass with unknown parts and an inertia with parts that have no shape are "at least": only more can come, so an upper
-- limit is broken for certain or not known to hold, and a lower one the other way round.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local figures = require "steelyard.print.figures"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local quantities = require "steelyard.reference.quantities"
local verdicts = require "steelyard.answers.verdicts"

local checks = {}
local Checks = require("steelyard.reference.results").kind "checks"

-- value, standard uncertainty, why the car cannot stand so, why the value is only "at most that"
local function answer(c, b, name)
  if name == "mass_with_growth" then return growth.total(c, b.mass) end
  local q = quantities.limited(name)
  if q.set and (q.set ~= "balance" or core.knows(c.geometry, name)) then
    local value, sd, fails = asking.quantity(c, q)
    if value or fails then return value, sd, fails end
  end
  local elsewhere = quantities.answer(c, name)
  if elsewhere and elsewhere.fails then return nil, nil, elsewhere.fails end
  if elsewhere then return elsewhere.value, quantities.doubt(elsewhere), nil, elsewhere.at_most end
  local value = b
  for key in name:gmatch "[^.]+" do value = type(value) == "table" and value[key] or nil end
  return type(value) == "number" and value or nil
end

local quantity = quantities.limited

-- Why more may come, or nil.
local function at_least(b, name)
  local kind = quantity(name).grows
  if kind and b.unknown > 0 then return b.unknown == 1 and "a mass is unknown" or ("%d masses are unknown"):format(b.unknown) end
  if kind == "inertia" and b.points > 0 then
    return ("%d of %d parts %s no shape"):format(b.points, b.parts, b.points == 1 and "has" or "have")
  end
end

local function judge(c, b, limit, f)
  local value, sd, fails, at_most = answer(c, b, limit.quantity)
  local row = {name = limit.name, quantity = limit.quantity, unit = quantity(limit.quantity).unit,
               min = limit.min, max = limit.max, value = value, sd = sd}
  if fails then
    row.status, row.why = "fail", fails
    return row
  end
  if not value then
    row.status, row.why = "unknown", ("%s is not known for this car"):format(limit.quantity)
    return row
  end
  local q = quantity(limit.quantity)
  local unit = q.unit ~= "" and " " .. q.unit or ""
  local status, margin, bound, what = verdicts.of(value, sd, limit)
  row.margin = margin
  local more = at_least(b, limit.quantity)
  if more and not (limit.max and value > limit.max) and (limit.max or margin < 0) then
    row.status, row.why = "unknown", ("at least that: %s"):format(more)
    return row
  end
  if at_most and not (limit.min and value < limit.min) and (limit.min or margin < 0) then
    row.status, row.why = "unknown", ("at most that: %s"):format(at_most)
    return row
  end
  local by = text.fixed(math.abs(margin), q.decimals + (f[q.unit] or 0)) .. unit
  row.status = status
  if status == "fail" then
    row.why = ("%s %s the limit"):format(by, bound == limit.max and "over" or "under")
  else
    row.why = status == "near" and ("%s inside, less than %s"):format(by, what) or ("%s inside"):format(by)
  end
  return row
end

--- list of {name, quantity, value, min, max, margin, status, why}, with `status` the worst
function checks.of(c, self)
  local b = core.balance(c.now, c.geometry)
  local result = {state = loading.title(c), heading = self:heading(), notes = notes.gaps_and_height(c, b), sd = {}}
  local wheels, rests_on_split, f = {}, false, figures.of(c, b.mass)
  for _, wheel in ipairs(c.geometry:wheels()) do wheels[wheel.key] = true end
  for i, limit in ipairs(c.shared.spec.limits or {}) do
    local row = judge(c, b, limit, f)
    result[i], result.sd[i] = row, row.sd or 0
    rests_on_split = rests_on_split or wheels[row.quantity]
  end
  if rests_on_split then table.insert(result.notes, 1, notes.corner_basis(c)) end
  if #result == 0 then
    table.insert(result.notes, 1, "the file states no limits")
  end
  result.status = verdicts.worst(result)
  return origin.of_car(figures.keep(setmetatable(result, Checks), c), c)
end

local mark = verdicts.mark

function Checks.__tostring(result)
  local rows = {}
  for i, row in ipairs(result) do
    local q = quantity(row.quantity)
    local function shown(x) return x and text.fixed(x, figures.decimals(result, q.unit, q.decimals)) or "" end
    rows[i] = {row.name, q.unit, row.value and shown(row.value) or "unknown", shown(row.min), shown(row.max), mark[row.status], row.why}
  end
  local lines = {page.heading(result.heading)}
  if #rows > 0 then
    lines[2] = text.table({{"limit", "%s"}, {"unit", "%s"}, {"value", "%s"}, {"from", "%s"}, {"to", "%s"}, {"", "%s"}, {"why", "%s"}}, rows)
  end
  lines[#lines + 1] = ("Overall: %s."):format(mark[result.status])
  return page.of(result, lines)
end

return checks
