--- The page of what answers rest on: a table a quantity, its largest inputs first, each with a bar from one sigma less to one more; then
-- what to weigh next in a sentence.

local errors = require "steelyard.print.errors"
local made = require "steelyard.study.made"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local weigh = require "steelyard.study.sensitivity_weigh"

local print = {}

local HALF = 12 -- characters of the longest bar to one side

local function with_unit(x, unit) return unit and unit ~= "" and errors.few(x) .. " " .. unit or errors.few(x) end

local function size_of(row) return row.sigma and with_unit(row.sigma, row.input_unit) or "" end

local function name_of(row) return ("%s, %s"):format(row.what, errors.field(row.field)) end

-- "    ---|+++": less to that side, more to the other.
local function bar(row, value, most)
  if not (row.low and row.high) then return "unknown" end
  if most == 0 then return (" "):rep(HALF) .. "|" end
  local function length(x) return math.floor(HALF * math.abs(x - value) / most + 0.5) end
  local left, right = {}, {}
  for _, side in ipairs{{row.low, "-"}, {row.high, "+"}} do
    local to = side[1] < value and left or right
    if #to == 0 or length(side[1]) > #to[1] then to[1] = side[2]:rep(length(side[1])) end
  end
  local before, after = left[1] or "", right[1] or ""
  return (" "):rep(HALF - #before) .. before .. "|" .. after
end

local function reach(rows)
  local most = 0
  for _, row in ipairs(rows) do
    for _, x in ipairs{row.low or rows.value, row.high or rows.value} do most = math.max(most, math.abs(x - rows.value)) end
  end
  return most
end

local function shown(x, decimals) return x and text.fixed(x, decimals) or "unknown" end

local function rest_row(q)
  local share = q.rest_share
  if not share or share < 0.05 then return nil end
  return {"all others", "", "", "", text.fixed(share, 1), ""}
end

local function heading_of(out, q)
  return ("%s %s%s"):format(out.label, text.plus_minus(q.value, q.sd, out.decimals), out.unit ~= "" and " " .. out.unit or "")
end

local function quantity_table(out, q)
  local heading = heading_of(out, q)
  if not q[1] then
    return q.sd and q.sd > 0 and heading or ("%s: nothing that is stated with an uncertainty moves it"):format(heading)
  end
  local rows, most = {}, reach(q)
  for i, row in ipairs(q) do
    rows[i] = {name_of(row), size_of(row), shown(row.low, out.change), shown(row.high, out.change), text.fixed(row.variance_share, 1),
               bar(row, q.value, most)}
  end
  rows[#rows + 1] = rest_row(q)
  return text.table({{heading, "%s"}, {"one sigma", "%s"}, {"less", "%s"}, {"more", "%s"}, {"share, %", "%s"}, {"", "%s"}}, rows)
end

-- Of inputs that were varied.
local function varied_table(out, q)
  local rows, most = {}, reach(q)
  for i, row in ipairs(q) do
    rows[i] = {row.what, text.plain(row.from), shown(row.low, out.change), with_unit(row.to, row.input_unit), shown(row.high, out.change),
               with_unit(row.step, row.input_unit), row.change and text.signed(row.change, out.change) or "unknown",
               bar(row, q.value, most)}
  end
  return text.table({{heading_of(out, q), "%s"}, {"from", "%s"}, {"", "%s"}, {"to", "%s"}, {"", "%s"}, {"a step", "%s"}, {"changes", "%s"},
    {"", "%s"}}, rows)
end

--- The page.
function print.page(r)
  local s = made.from[r].s
  local lines = {page.heading(("%s: what the answers rest on"):format(r.heading))}
  for o, out in ipairs(s.outputs) do
    lines[#lines + 1] = (o > 1 and "\n" or "") .. (s.inputs and varied_table or quantity_table)(out, r.quantities[out.name])
  end
  lines[#lines + 1] = s.inputs and "Bars: - at the first value, + at the last."
    or "Bars: - one sigma less, + one sigma more. Shares are of the variance; an error counts once."
  for _, line in ipairs(weigh.sentences(r, s)) do lines[#lines + 1] = line end
  return page.of(r, lines)
end

return print
