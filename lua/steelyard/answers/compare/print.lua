--- How a comparison prints: the metatable of its result.
--
-- A row with verdicts shows them in place of the change: whether the limit holds is what is asked of it.

local quantities = require "steelyard.reference.quantities"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local compared = setmetatable({}, {__mode = "k"}) -- result -> cars

-- What stands in no row: how the cars stand to their limits.
local late_fields = {
  limits = function(result)
    local list = {}
    for i, c in ipairs(compared[result] or {}) do list[i] = {result.columns[i], c} end
    local rows = require("steelyard.answers.limits").several(list)
    return rows[1] and rows
  end,
  status = function(result)
    local statuses = {}
    for _, row in ipairs(result.limits or {}) do statuses[#statuses + 1] = {status = row.status} end
    for _, row in ipairs(result.rows) do
      for _, verdict in ipairs(row.verdicts or {}) do
        statuses[#statuses + 1] = {status = verdict:find "^FAIL" and "fail" or verdict:match "^%l+"}
      end
    end
    return statuses[1] and verdicts.worst(statuses) or nil
  end,
}

local Compare = require("steelyard.reference.results").kind("comparison", nil, late_fields)

--- The result with what it prints by; cars: their insides.
function Compare.made(result, cars)
  compared[result] = cars
  return setmetatable(result, Compare)
end

local function change_text(row, i)
  local change, sd = row.changes[i], row.sd[i]
  if type(change) == "string" then return change end
  local shown = text.signed(change, row.change_decimals)
  local same = not shown:find "[1-9]"
  local doubt = sd > 0 and text.fixed(text.K95 * sd, row.change_decimals) or nil
  if same and not (doubt and doubt:find "[1-9]") then return "same" end
  if same then shown = text.fixed(0, row.change_decimals) end
  if doubt and doubt:find "[1-9]" then shown = shown .. " +- " .. doubt end
  if not row.clear[i] and not same then shown = shown .. " (not clear)" end
  return shown
end

-- More can only come while parts have no shape.
local function grows(name)
  local q = quantities.by_name[name]
  return q and q.grows == "inertia"
end

-- printed with the word that fits the first car instead of a sign
local worded = {cg_left = "CG right of centre", cg_behind = "CG ahead of front axle"}

local function negative(list)
  local turned = {}
  for i, x in ipairs(list) do turned[i] = type(x) == "number" and -x or x end
  return turned
end

-- The row as printed: the same, or the other way round under the other word.
local function printed(row)
  if not worded[row.name] or type(row.values[1]) ~= "number" or text.way(row.values[1], row.decimals, "+", "-") == "+" then
    return row
  end
  return setmetatable({label = worded[row.name], values = negative(row.values), changes = negative(row.changes)}, {__index = row})
end

function Compare.__tostring(result)
  local heads, rows = {{"", "%s"}}, {}
  for i, title in ipairs(result.columns) do
    heads[#heads + 1] = {title, "%s"}
    if i > 1 then heads[#heads + 1] = {"change", "%s"} end
  end
  for _, each in ipairs(result.rows) do
    local row = printed(each)
    local cells = {quantities.heading(row)}
    for i, value in ipairs(row.values) do
      local verdict = row.verdicts and row.verdicts[i]
      local shown = type(value) == "string" and value or text.fixed(value, row.decimals)
      if i == 1 and type(value) == "number" and row.sd[1] > 0 then shown = text.plus_minus(value, row.sd[1], row.decimals) end
      if i == 1 and value ~= "unknown" and grows(row.name) and result.at_least[1] then
        shown = "at least " .. text.fixed(value, row.decimals)
      end
      if i > 1 and row.words and value == row.values[1] and value ~= "unknown" then shown = "same" end
      if i == 1 and verdict and (value ~= "unknown" or verdict == "FAIL") then shown = shown .. "  " .. verdict end
      cells[#cells + 1] = shown
      if i > 1 then cells[#cells + 1] = verdict or change_text(row, i) end
    end
    rows[#rows + 1] = cells
  end
  local lines = {page.heading(result.heading), text.table(heads, rows)}
  return page.of(result, lines)
end

return Compare
