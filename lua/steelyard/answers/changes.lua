--- sy.changes(old, new): why the balance is not what it was. Every part that was added, removed, moved or weighed again, with its
-- share of the change; the lines add up to the whole (answers/changes/shares.lua says how).

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local lines_of = require("steelyard.answers.changes.lines").of
local load = require "steelyard.car.load"
local loading = require "steelyard.car.loading"
local match = require "steelyard.answers.changes.match"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local quantities = require "steelyard.reference.quantities"
local reference = require "steelyard.reference.options"
local shares = require "steelyard.answers.changes.shares"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local function limits() return require "steelyard.answers.limits" end -- only what is printed has them

local changes = {}
local compared = setmetatable({}, {__mode = "k"}) -- result -> {insides of the car before, after}

-- Both cars' limits, each by its own file; the status is that of the car as it is now.
local late_fields = {
  limits = function(result)
    local cars = compared[result]
    local rows = limits().several{{"after", cars[2]}, {"before", cars[1]}}
    return rows[1] and rows
  end,
  status = function(result) return result.limits and limits().status(result.limits, "after") end,
}

local Changes = require("steelyard.reference.results").kind("changes", nil, late_fields)

local function check_options(options)
  if type(options) ~= "table" then
    core.fail{code = "type", message = ("sy.changes needs its options in a table, such as {by = \"front_share\"}, not %s"):format(
      text.named(options))}
  end
  local renamed = options.renamed
  if renamed ~= nil and type(renamed) ~= "table" then
    core.fail{code = "type", field = "renamed", message = "must be a table {[\"old name\"] = \"new name\"}"}
  end
  for key in pairs(options) do
    if not reference.known("whole", "changes")[key] then
      local near = core.nearest(tostring(key), reference.names("whole", "changes"))
      core.fail{code = "unknown", message = ("sy.changes has no option %s"):format(text.named(key)),
        hint = near and ("did you mean %q?"):format(near) or "it takes state, by and renamed"}
    end
  end
  for _, name in ipairs(shares.quantities) do
    if options.by == nil or options.by == name then return end
  end
  local near = core.nearest(tostring(options.by), shares.quantities)
  core.fail{code = "unknown", field = "by", message = ("changes are not sorted by %s"):format(text.named(options.by)),
    hint = near and ("did you mean %q?"):format(near) or "by is one of " .. text.join(shares.quantities, "or")}
end

--- A car from a car or the path of a file, in a load state if one is given, and what to call it.
function changes.car(given, state)
  if not contents.is_car(given) and type(given) ~= "string" then
    core.fail{code = "type", message = ("sy.changes needs two cars or the paths of two vehicle files, not %s"):format(text.named(given))}
  end
  local self = contents.is_car(given) and given or load.file(given)
  if state then self = self:state(state) end
  return self, contents.is_car(given) and (contents.inside(given).label or given:heading()) or given
end

local function answers_of(c, ledger)
  local values = core.answers(ledger or c.now, c.geometry, shares.quantities)
  local list = {}
  for i, name in ipairs(shares.quantities) do list[name] = values[i] end
  return list
end

local function same_state(old, new)
  local a, b = loading.title(old), loading.title(new)
  if a ~= b then
    core.fail{code = "clash", message = ("the cars are in different load states: %s, and %s"):format(a, b), field = "state",
      hint = "give both the same, or state = NAME"}
  end
end

local function millimetres(value) return (core.fixed(value, 1):gsub("%.0$", "")) end

-- How far each axle lies ahead of the vehicle's own zero, mm; behind it below 0.
local function places_of_axles(c) return c.geometry:axle_lines() end

-- How far the wheels of an axle stand out from the centre plane and ahead of their axle line, by side.
local function wheels_of(c, index)
  local list, line = {}, c.geometry:axle_lines()[index]
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.axle == index then list[wheel.side] = {out = math.abs(wheel.left), ahead = wheel.forward - line} end
  end
  return list
end

local SAME = 1e-6 -- mm: rounding of numbers far apart

-- Of an axle whose sides are unlike, before or after: each wheel's change. False where both are equal-sided.
local function sides_text(said, old, new, index)
  local axle, was = new.axles[index], old.axles[index]
  if not (axle.left or axle.right or was.left or was.right) or axle.wheels == 1 or was.wheels == 1 then return false end
  local from, to = wheels_of(old, index), wheels_of(new, index)
  for _, side in ipairs{1, -1} do
    local name, a, b = side == 1 and "left" or "right", from[side], to[side]
    if math.abs(a.out - b.out) > SAME then
      said[#said + 1] = ("%s %s half track %s to %s"):format(axle.name, name, millimetres(a.out), millimetres(b.out))
    end
    if math.abs(a.ahead - b.ahead) > SAME then
      said[#said + 1] = ("%s %s wheel %s on its axle"):format(axle.name, name, text.worded(b.ahead - a.ahead, 1, "mm forward", "mm back"))
    end
  end
  return true
end

-- "rear axle 20 back, front track 1450 to 1460": what is different about wheels and ground
local function geometry_text(old, new, restated)
  local said, from, to = {}, places_of_axles(old), places_of_axles(new)
  for i, axle in ipairs(new.axles) do
    local was = old.axles[i]
    if not was then
      said[#said + 1] = ("%s axle added"):format(axle.name)
    elseif not sides_text(said, old, new, i) and (was.track or 0) ~= (axle.track or 0) then
      said[#said + 1] = ("%s track %s to %s"):format(axle.name, millimetres(was.track or 0), millimetres(axle.track or 0))
    end
    local moved = was and axle.at + (axle.moved or 0) ~= was.at + (was.moved or 0)
    if restated then moved = was and math.abs(to[i] - from[i]) > SAME end
    if moved then said[#said + 1] = axle.name .. " axle moved" end
  end
  if #old.axles > #new.axles then said[#said + 1] = "fewer axles" end
  local a, b = old.shared.spec, new.shared.spec
  if not restated and (a.ground or 0) ~= (b.ground or 0) then said[#said + 1] = "ground moved" end
  if not restated and (a.centre or 0) ~= (b.centre or 0) then said[#said + 1] = "centre plane moved" end
  if (a.cross_share or 50) ~= (b.cross_share or 50) then said[#said + 1] = "cross weight changed" end
  return table.concat(said, ", ")
end

local function named(list)
  local row = {}
  for name, value in pairs(list) do row["d_" .. name] = value end
  return row
end

local function geometry_row(work, old, new, before)
  local after, change = answers_of(new, work.placed), {}
  local any = false
  for _, name in ipairs(shares.quantities) do
    change[name] = after[name] - before[name]
    any = any or math.abs(change[name]) > 1e-9 -- %, mm, kg m2: rounding
  end
  if not any then return nil end
  local row = named(change)
  row.part, row.happened, row.kinds = "axles and ground", geometry_text(old, new, work.restated), {"geometry"}
  return row
end

local function rows_of(work, before)
  local rows = {geometry_row(work, work.old, work.new, before)}
  local effects = shares.effects(work.new.geometry, shares.sums(work.placed, ""), shares.sums(work.new.now, ""))
  for _, line in ipairs(work.lines) do
    local row = named(effects(line.change))
    row.part, row.happened, row.kinds, row.question = line.part, line.happened, line.kinds, line.question
    rows[#rows + 1] = row
  end
  return rows
end

-- Largest effect first, equal ones in file order.
local function sort_rows(rows, by)
  local at, key = {}, "d_" .. by
  for i, row in ipairs(rows) do at[row] = i end
  table.sort(rows, function(a, b)
    local x, y = math.abs(a[key]), math.abs(b[key])
    if x ~= y then return x > y end
    return at[a] < at[b]
  end)
end

-- A thousandth of the last printed digit: the lines are an exact splitting, so more than rounding is a fault.
local RESIDUAL = {mass = 1e-6, front_share = 1e-6, left_share = 1e-6, height = 1e-4, yaw_inertia = 1e-4}

local function check_sums(sums, total)
  for _, name in ipairs(shares.quantities) do
    local left = total["d_" .. name] - sums["d_" .. name]
    if not (math.abs(left) <= RESIDUAL[name]) then
      core.fail{code = "content", field = name,
        message = ("the lines leave %s of the change unexplained; please report this"):format(text.plain(left))}
    end
  end
end

local function totals_of(rows, before, after)
  local sums, total = {}, {}
  for _, name in ipairs(shares.quantities) do
    local key, sum = "d_" .. name, 0
    for _, row in ipairs(rows) do sum = sum + row[key] end
    sums[key], total[key] = sum, after[name] - before[name]
  end
  check_sums(sums, total)
  return sums, total
end

-- How far the whole change is known: what both cars state the same is one error of both and goes out.
local function uncertainties(work)
  local old, new, sd = work.old, work.new, {}
  local list = core.change("balance", {now = old.now, geometry = old.geometry}, {now = new.now, geometry = new.geometry},
    shares.quantities, match.pairing(work))
  for i, name in ipairs(shares.quantities) do sd["d_" .. name] = list[i] end
  return sd
end

local function all_notes(work)
  local list = {"each line has its effect on the mean of the two cars: lines add up to the change, in any order"}
  if #work.not_aboard > 0 then list[#list + 1] = "changed but not aboard: " .. text.list_names(work.not_aboard) end
  for i, c in ipairs{work.old, work.new} do
    local b = core.balance(c.now, c.geometry)
    for _, note in ipairs(notes.gaps_and_height(c, b)) do list[#list + 1] = (i == 1 and "before: " or "after: ") .. note end
    if i == 2 and b.points > 0 then
      list[#list + 1] = ("the change of inertia leaves out the own inertia of %d of %d parts, which have no shape"):format(b.points,
        b.parts)
    end
  end
  return list
end

--- rows (part, happened, kinds, d_mass, d_front_share, d_left_share, d_height, d_yaw_inertia), sums, total, before, after.
-- options: state, a load state for both; by, the quantity whose largest movers come first (else file order); renamed = {old = new},
-- the answer to a question asked before.
function changes.of(old, new, options)
  if options == nil then options = {} end
  check_options(options)
  local old_car, old_label = changes.car(old, options.state)
  local new_car, new_label = changes.car(new, options.state)
  local a, b = contents.inside(old_car), contents.inside(new_car)
  same_state(a, b)
  local before, after = answers_of(a), answers_of(b)
  local work = lines_of(a, b, options.renamed or {})
  local rows = rows_of(work, before)
  local sums, total = totals_of(rows, before, after)
  if options.by then sort_rows(rows, options.by) end
  local sd = uncertainties(work)
  local title = b.shared.spec.title
  local result = setmetatable({rows = rows, sums = sums, total = total, before = before, after = after, questions = work.questions,
    sd = sd or {}, notes = all_notes(work, sd), state = loading.title(b), by = options.by,
    heading = ("%s, %s: %s, then %s"):format(title, loading.title(b), old_label, new_label)}, Changes)
  compared[result] = {a, b}
  result.other_files = {origin.file_of(a)}
  return origin.of_car(figures.keep(result, b), b)
end

local columns = {"mass", "front_share", "left_share", "height", "yaw_inertia"}

-- What rounds to zero is left blank.
local function change_cell(value, q) return math.abs(value) * 10 ^ q.change < 0.5 and "" or text.signed(value, q.change) end

-- In a row of its own below the sum: beside the one number of each column that has it, it would take the room of the words.
local function uncertainty_cell(sd, q) return text.plus_minus(0, sd, q.change):match "+%-.*" or "" end

function Changes.__tostring(result)
  local headings, rows = {{"part", "%s"}, {"what happened", "%s"}}, {}
  for _, name in ipairs(columns) do headings[#headings + 1] = {quantities.heading(quantities.by_name[name]), "%s"} end
  local function as_printed(q)
    return {unit = q.unit, decimals = figures.decimals(result, q.unit, q.decimals), change = figures.decimals(result, q.unit, q.change)}
  end
  local function add(first, second, cell)
    local row = {first, second}
    for _, name in ipairs(columns) do row[#row + 1] = cell(name, as_printed(quantities.by_name[name])) end
    rows[#rows + 1] = row
  end
  for _, each in ipairs(result.rows) do
    add(each.part, each.happened, function(name, q) return change_cell(each["d_" .. name], q) end)
  end
  local any = false
  add("all changes", "", function(name, q)
    local key = "d_" .. name
    local known = (result.sd[key] or 0) > 0
    any = any or known
    return known and text.signed(result.total[key], q.change) or change_cell(result.total[key], q)
  end)
  if any then add("", "", function(name, q) return uncertainty_cell(result.sd["d_" .. name], q) end) end
  add("before", "", function(name, q) return text.fixed(result.before[name], q.decimals) end)
  add("after", "", function(name, q) return text.fixed(result.after[name], q.decimals) end)
  local lines = {page.heading(result.heading), text.table(headings, rows)}
  if #result.rows == 0 then lines[2] = "Nothing has changed." end
  for _, question in ipairs(result.questions) do lines[#lines + 1] = text.sentence(question) end
  return page.of(result, lines)
end

return changes
