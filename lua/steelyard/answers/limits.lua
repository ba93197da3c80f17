--- The file's limits, each answered with pass, near, fail or unknown (verdicts.lua): for car:checks, and at the end of every page that
-- prints a balance.
--
-- A limit that names states is judged in these, whichever the car is in, with all lasting edits; one that names none as the car is loaded.
-- A mass with unknown parts and an inertia with parts that have no shape are "at least": only more can come, so an upper limit is broken
-- for certain or not known to hold, and a lower one the other way round. A cross weight that nobody stated with an uncertainty is the
-- one that the wheel loads were taken at: it is not known, whatever its number.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local growth = require "steelyard.answers.growth"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local limits = {}

-- What a balance answers of its own and the springs share out anew; the load of each wheel with it.
local shared_out = {front = true, rear = true, left = true, right = true, front_share = true, left_share = true, cross_share = true,
                    diagonal_ratio = true}
local by_springs = {corners = true, attitude = true}

-- The same quantity as the springs answer it, nil where they do not.
local function on_springs(c, q)
  if by_springs[q.set] then return q end
  if q.set ~= "balance" then return nil end
  local shared = shared_out[q.answer]
  for _, wheel in ipairs(c.geometry:wheels()) do shared = shared or wheel.key == q.answer end
  return shared and {set = "corners", answer = q.answer} or nil
end

-- value, standard uncertainty, why the car cannot stand so, why the value is only "at most that"
local function answer(c, b, name, stand)
  if name == "mass_with_growth" then return growth.total(c, b.mass) end
  local q = quantities.limited(name)
  local shown = stand and on_springs(c, q)
  if shown then return asking.quantity(c, shown, stand) end
  if q.set and (q.set ~= "balance" or core.knows(c.geometry, name)) then
    local value, sd, fails = asking.quantity(c, q)
    local said = value and quantities.verdict(c, q)
    if value or fails then return value, sd, fails, said and said.at_most end
  end
  local value = b
  for key in name:gmatch "[^.]+" do value = type(value) == "table" and rawget(value, key) or nil end
  return type(value) == "number" and value or nil
end

-- Why more may come, or nil.
local function at_least(b, name)
  local kind = quantities.limited(name).grows
  if kind and b.unknown > 0 then return b.unknown == 1 and "a mass is unknown" or ("%d masses are unknown"):format(b.unknown) end
  if kind == "inertia" and b.points > 0 then
    return ("%d of %d parts %s no shape"):format(b.points, b.parts, b.points == 1 and "has" or "have")
  end
end

local on_cross_share = {cross_share = true, diagonal_ratio = true}

--- Which verdicts on a limit are open for this car: "always", "more" where the value is only "at least" that, "less" where it is "at
-- most" that, or
-- nil; second, why.
function limits.open(c, b, limit, at_most)
  if on_cross_share[limit.quantity] and contents.is_cross_assumed(c) then return "always", "assumed, not weighed" end
  local more = at_least(b, limit.quantity)
  if more then return "more", ("at least that: %s"):format(more) end
  if at_most then return "less", ("at most that: %s"):format(at_most) end
end

-- Why the value decides nothing, or nil.
local function undecided(c, b, limit, value, margin, at_most)
  local open, why = limits.open(c, b, limit, at_most)
  if open == "more" and (limit.max and value > limit.max or not limit.max and margin >= 0) then return nil end
  if open == "less" and (limit.min and value < limit.min or not limit.min and margin >= 0) then return nil end
  return why
end

--- How a value stands to a limit, of a car that may have more to come: status; why, where that is not the value's alone to say; else nil
-- and
-- margin, the bound it is counted from and what "near" was measured by. b: the car's core.balance, needed where the quantity grows
-- (quantities.lua). fails: why the car does not stand so.
function limits.verdict(c, b, limit, value, sd, fails, at_most)
  if fails then return "fail", fails end
  if not value then return "unknown", ("%s is not known for this car"):format(limit.quantity) end
  local status, margin, bound, what = verdicts.of(value, sd, limit)
  local why = undecided(c, b, limit, value, margin, at_most)
  if why then return "unknown", why, margin end
  return status, nil, margin, bound, what
end

--- Puts into a row with its status and margin why, in words: how far inside or outside of the bound it is counted from. what: by which
-- "near" was measured; shown: {unit, decimals}. Gives the row back.
function limits.say(row, bound, what, shown)
  local by = text.fixed(math.abs(row.margin), shown.decimals) .. (shown.unit ~= "" and " " .. shown.unit or "")
  if row.status == "fail" then
    row.why = ("%s %s the limit"):format(by, bound == row.max and "over" or "under")
  else
    row.why = row.status == "near" and ("%s inside, less than %s"):format(by, what) or ("%s inside"):format(by)
  end
  return row
end

--- One row as limits.of gives it, of a value that was asked otherwise. found: {value, sd, fails, at_most}; shown: {unit, decimals}.
function limits.row(c, b, limit, found, shown)
  local row = {name = limit.name, quantity = limit.quantity, unit = shown.unit, min = limit.min, max = limit.max, value = found.value,
    sd = found.sd}
  local bound, what
  row.status, row.why, row.margin, bound, what = limits.verdict(c, b, limit, found.value, found.sd, found.fails, found.at_most)
  return row.why and row or limits.say(row, bound, what, shown)
end

local function judge(c, b, limit, f, stand)
  local value, sd, fails, at_most = answer(c, b, limit.quantity, stand)
  local q = quantities.limited(limit.quantity)
  return limits.row(c, b, limit, {value = value, sd = sd, fails = fails, at_most = at_most},
    {unit = q.unit, decimals = q.decimals + (f[q.unit] or 0)})
end

-- The car in a state that a limit names; kept, since several limits may name one.
local function in_state(c, cars, name)
  if not cars[name] then
    local there = contents.inside(contents.wrap(c):state(name))
    cars[name] = {c = there, b = core.balance(there.now, there.geometry), f = figures.of(there)}
  end
  return cars[name]
end

--- list of {name, quantity, unit, value, sd, min, max, margin, status, why, state = the one the limit names}. b: the car's core.balance,
-- where that is at hand. stand: how it stands on its springs, as corners.asked has it, where the page shows the loads so; they are judged
-- then, not those of the balance.
function limits.of(c, b, stand)
  local rows, cars, spec = {}, {}, c.shared.spec.limits or {}
  local shown = spec[1] and {c = c, b = b or core.balance(c.now, c.geometry), f = figures.of(c)}
  for _, limit in ipairs(spec) do
    for _, name in ipairs(limit.state or {false}) do
      local at = name and in_state(c, cars, name) or shown
      local row = judge(at.c, at.b, limit, at.f, not name and stand or nil)
      row.state = name or nil
      rows[#rows + 1] = row
    end
  end
  return rows
end

--- The same of several cars, each row with the `column` of its car: {{words, inside of the car}, ...}
function limits.several(list)
  local rows = {}
  for _, entry in ipairs(list) do
    for _, row in ipairs(limits.of(entry[2])) do
      row.column = entry[1]
      rows[#rows + 1] = row
    end
  end
  return rows
end

--- The worst status of rows; nil when the file states no limits. column: of the rows of that car alone.
function limits.status(rows, column)
  local list = {}
  for _, row in ipairs(rows) do
    if not column or row.column == column then list[#list + 1] = row end
  end
  return list[1] and (verdicts.worst(list)) or nil
end

-- ---- as printed --------------------------------------------------------------------------------------------------------------

local function row_text(row)
  local q = quantities.limited(row.quantity)
  local name = row.state and ("%s (%s)"):format(row.name, row.state) or row.name
  local bounds = row.min and row.max and ("in %s to %s"):format(text.plain(row.min), text.plain(row.max))
    or row.max and "<" .. text.plain(row.max) or ">" .. text.plain(row.min)
  local value = row.value and text.fixed(row.value, q.decimals) or "unknown"
  local status = verdicts.mark[row.status] .. (row.status ~= "pass" and (" (%s)"):format(row.why) or "")
  return ("%s %s %s %s"):format(name, value, bounds, status)
end

local stated = {"name", "state", "quantity", "min", "max"}

-- Has this car's file the limit of that row too, with the same verdict? Cars of two files need not have the same limits.
local function has_same(rows, row)
  for _, other in ipairs(rows) do
    local same = other.status == row.status
    for _, field in ipairs(stated) do same = same and other[field] == row[field] end
    if same then return true end
  end
  return false
end

-- All rows of the first car; of another those that answer with another word than the same limit did there.
local function column_text(rows, first)
  local list = {}
  for _, row in ipairs(rows) do
    if rows == first or not has_same(first, row) then list[#list + 1] = row_text(row) end
  end
  if #list == 0 then return nil end
  return table.concat(list, "; ") .. (#list < #rows and "; the others as above" or "")
end

--- Lines for a page: "Limits: mass 743.1 <850 pass; front share 41.68 in 39.5 to 45 pass". short: what a page calls a column, by its words.
function limits.lines(rows, short)
  local lines, columns, order = {}, {}, {}
  for _, row in ipairs(rows) do
    local key = row.column or ""
    if not columns[key] then
      columns[key] = {}
      order[#order + 1] = key
    end
    table.insert(columns[key], row)
  end
  local same = {}
  for _, key in ipairs(order) do
    local words = column_text(columns[key], columns[order[1]])
    local name = short and short[key] or key
    if words then lines[#lines + 1] = ("Limits%s: %s."):format(key ~= "" and ", " .. name or "", words)
    else same[#same + 1] = name end
  end
  if #same > 0 then lines[#lines + 1] = ("Limits, %s: the same verdicts."):format(#same == #order - 1 and #same > 1 and "the others"
    or table.concat(same, "; ")) end
  return lines
end

return limits
