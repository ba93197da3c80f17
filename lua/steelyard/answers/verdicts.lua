--- pass, near, fail, unknown: how a value stands to a limit.
--
-- near: inside, but by less than the value's own 95 %; without uncertainty, by less than 5 % of the limit. A limit may set its
-- own margin with `near`.

local text = require "steelyard.print.text"

local verdicts = {}
--- Without uncertainty: within 5 % of the limit, which is what people call near (common practice, no source).
verdicts.NEAR_SHARE = 0.05

-- An overall word is the worst: what fails outranks what is not known, that what is near, and that what passes.
verdicts.rank = {pass = 1, near = 2, unknown = 3, fail = 4}
--- As printed: a broken limit is the one word in capitals.
verdicts.mark = {pass = "pass", near = "near", fail = "FAIL", unknown = "unknown"}

--- The worse of two.
function verdicts.worse(a, b) return verdicts.rank[b] > verdicts.rank[a] and b or a end

--- The worst of a list: its status, and the first entry that has it; "unknown" of an empty list. status_of(entry): entry.status unless
-- given.
function verdicts.worst(list, status_of)
  local status, first
  for _, entry in ipairs(list) do
    local its = status_of and status_of(entry) or entry.status
    if not first or verdicts.rank[its] > verdicts.rank[status] then status, first = its, entry end
  end
  return status or "unknown", first
end

local function margin_of(value, limit)
  local low = limit.min and value - limit.min or math.huge
  local high = limit.max and limit.max - value or math.huge
  if low <= high then return low, limit.min end
  return high, limit.max
end

local function near_band(limit, sd, bound)
  if limit.near then return limit.near, "the margin asked for" end
  if sd and sd > 0 then return text.K95 * sd, "its own +-" end
  return verdicts.NEAR_SHARE * math.abs(bound), "5 % of the limit (no uncertainty stated)"
end

--- How `value` with standard uncertainty `sd` stands to limit {min =, max =, near =}: status, margin (negative outside), the bound
-- it is counted from, and what "near" was measured by.
function verdicts.of(value, sd, limit)
  local margin, bound = margin_of(value, limit)
  local band, what = near_band(limit, sd, bound)
  if margin < 0 then return "fail", margin, bound, what end
  return margin < band and "near" or "pass", margin, bound, what
end

return verdicts
