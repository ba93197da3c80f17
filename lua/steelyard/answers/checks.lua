--- car:checks(): the file's limits as a list, answers/limits.lua.
--
-- The overall status is the worst of fail > unknown > near > pass.

local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local limits = require "steelyard.answers.limits"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local checks = {}
local Checks = require("steelyard.reference.results").kind "checks"

--- list of {name, quantity, state, value, min, max, margin, status, why}, with `status` the worst
function checks.of(c, self)
  local b = core.balance(c.now, c.geometry)
  local result = {state = loading.title(c), heading = self:heading(), notes = notes.gaps_and_height(c, b), sd = {}}
  local wheels, rests_on_split = {}, false
  for _, wheel in ipairs(c.geometry:wheels()) do wheels[wheel.key] = true end
  for i, row in ipairs(limits.of(c, b)) do
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
  local rows, any_state = {}, false
  for i, row in ipairs(result) do
    local q = quantities.limited(row.quantity)
    local function shown(x) return x and text.fixed(x, figures.decimals(result, q.unit, q.decimals)) or "" end
    any_state = any_state or row.state
    rows[i] = {row.name, row.state or "as shown", q.unit, row.value and shown(row.value) or "unknown", shown(row.min), shown(row.max),
               mark[row.status], row.why}
  end
  local lines = {page.heading(result.heading)}
  local headings = {{"limit", "%s"}, {"state", "%s"}, {"unit", "%s"}, {"value", "%s"},
    {"from", "%s"}, {"to", "%s"}, {"", "%s"}, {"why", "%s"}}
  if not any_state then
    for _, list in ipairs{headings, table.unpack(rows)} do table.remove(list, 2) end
  end
  if #rows > 0 then lines[2] = text.table(headings, rows) end
  lines[#lines + 1] = ("Overall: %s."):format(mark[result.status])
  return page.of(result, lines)
end

return checks
