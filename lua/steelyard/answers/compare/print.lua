--- How a comparison prints: the metatable of its result.
--
-- A row with verdicts shows them in place of the change: whether the limit holds is what is asked of it.

local quantities = require "steelyard.reference.quantities"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local compared = setmetatable({}, {__mode = "k"}) -- result -> {cars =, say = function that makes its notes}

-- What stands in no row: how the cars stand to their limits, and what is said of them.
local late_fields = {
  notes = function(result) return compared[result].say() end,
  limits = function(result)
    local list = {}
    for i, c in ipairs(compared[result].cars) do list[i] = {result.columns[i], c} end
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

function Compare.__pairs(result)
  local _ = result.notes
  return next, result, nil
end

--- The result with what it prints by; cars: their insides; say(): what must be said beside the numbers.
function Compare.made(result, cars, say)
  compared[result] = {cars = cars, say = say}
  return setmetatable(result, Compare)
end

local function change_text(row, i)
  local change, sd = row.changes[i], row.sd[i]
  if type(change) == "string" then return change end
  local shown = text.signed(change, row.change_decimals)
  local same = not shown:find "[1-9]"
  local uncertainty = sd > 0 and text.fixed(text.K95 * sd, row.change_decimals) or nil
  if same and not (uncertainty and uncertainty:find "[1-9]") then return "same" end
  if same then shown = text.fixed(0, row.change_decimals) end
  if uncertainty and uncertainty:find "[1-9]" then shown = shown .. " +- " .. uncertainty end
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

-- The cells of car i in a row: its value, behind it the change or the verdict.
local function cells_of(result, row, i)
  local value = row.values[i]
  local verdict = row.verdicts and row.verdicts[i]
  local shown = type(value) == "string" and value or text.fixed(value, row.decimals)
  if i > 1 then
    if row.words and value == row.values[1] and value ~= "unknown" then shown = "same" end
    return shown, verdict or change_text(row, i)
  end
  if type(value) == "number" and row.sd[1] > 0 then shown = text.plus_minus(value, row.sd[1], row.decimals) end
  if value ~= "unknown" and grows(row.name) and result.at_least[1] then shown = "at least " .. text.fixed(value, row.decimals) end
  if verdict and (value ~= "unknown" or verdict == "FAIL") then shown = shown .. "  " .. verdict end
  return shown
end

-- The table of the cars from..to under these titles, as wide as it comes unless a width is given.
local function block(result, titles, from, to, width)
  local headings, rows = {{"", "%s"}}, {}
  for i = from, to do
    headings[#headings + 1] = {titles[i], "%s"}
    if i > 1 then headings[#headings + 1] = {"change", "%s"} end
  end
  for k, each in ipairs(result.rows) do
    local row = printed(each)
    rows[k] = {quantities.heading(row)}
    for i = from, to do
      for _, cell in ipairs{cells_of(result, row, i)} do table.insert(rows[k], cell) end
    end
  end
  return require("steelyard.print.table").print(headings, rows, width or math.huge)
end

-- As many cars side by side as fit, at least one.
local function blocks(result, titles)
  local list, from, count = {}, 1, #titles
  while from <= count do
    local to, shown = from, block(result, titles, from, from)
    while to < count do
      local wider = block(result, titles, from, to + 1)
      if not page.fits(wider) then break end
      to, shown = to + 1, wider
    end
    if not page.fits(shown) then shown = block(result, titles, from, to, page.WIDTH) end
    list[#list + 1], from = shown, to + 1
  end
  return list
end

-- One table, with letters for long titles, in blocks one below the other where that is not enough. Second, what stands for which title.
local function tables(result)
  local whole = block(result, result.columns, 1, #result.columns)
  if page.fits(whole) then return {whole} end
  local titles, short, legend = {result.columns[1]}, {}, {}
  for i = 2, #result.columns do
    titles[i] = i <= 27 and string.char(("A"):byte() + i - 2) or ("A%d"):format(i - 27)
    short[result.columns[i]] = titles[i]
    legend[#legend + 1] = ("%s: %s"):format(titles[i], result.columns[i])
  end
  local list = blocks(result, titles)
  list[#list + 1] = table.concat(legend, "; ") .. "."
  return list, short
end

function Compare.__tostring(result)
  local list, short = tables(result)
  return page.of(result, {page.heading(result.heading), table.unpack(list)}, {short = short})
end

return Compare
