--- sy.compare{car, car2, ...}: the same answers side by side, each change with its own doubt.
--
-- What two cars share cancels: a part with the same identity and the same stated values carries the same error in both,
-- so a change is usually known far better than the totals.

local core = require "steelyard.core"
local carlib = require "steelyard.car"
local loading = require "steelyard.loading"
local notes = require "steelyard.notes"
local quantities = require "steelyard.quantities"
local text = require "steelyard.text"

local compare = {}
local Compare = {__name = "comparison"}

local function describe(c, name)
  local q = quantities.by_name[name]
  if q then return q end
  if type(name) ~= "string" or not core.knows(c.geometry, name) then
    local near = core.nearest(tostring(name), quantities.names)
    core.fail{code = "unknown", message = ("no quantity is called %q"):format(tostring(name)), field = "show",
              hint = near and ("did you mean %q?"):format(near) or "the reference page lists them"}
  end
  return {name = name, label = name, unit = "kg", decimals = 1, change = 2, from = "core"}
end

local function values_of(cars, q)
  local values = {}
  for i, c in ipairs(cars) do
    if q.from == "core" and core.knows(c.geometry, q.name) then
      local value = core.answers(c.now, c.geometry, {q.name})[1]
      values[i] = value == value and value or nil
    elseif q.from == "balance" then
      values[i] = core.balance(c.now, c.geometry)[q.name]
    end
  end
  return values
end

local function doubt_of_change(first, c, q)
  if q.from ~= "core" then return nil end
  return core.change_doubts(first.now, first.geometry, c.now, c.geometry, {q.name})[1]
end

local function row_of(cars, q)
  local values = values_of(cars, q)
  local row = {name = q.name, unit = q.unit, label = q.label, decimals = q.decimals, change_decimals = q.change, values = {},
               changes = {}, sd = {}, clear = {}}
  for i = 1, #cars do
    local value = values[i]
    row.values[i] = value or "unknown"
    if i == 1 then
      row.sd[1] = value and q.from == "core" and core.doubts(cars[1].now, cars[1].geometry, {q.name})[1] or 0
      row.changes[1], row.clear[1] = 0, false
    elseif value and values[1] then
      row.changes[i] = value - values[1]
      row.sd[i] = doubt_of_change(cars[1], cars[i], q) or 0
      row.clear[i] = math.abs(row.changes[i]) > text.K95 * row.sd[i]
    else
      row.changes[i], row.sd[i], row.clear[i] = "unknown", 0, false
    end
  end
  return row
end

-- How many of its changes a car has in common with the first one.
local function shared_changes(first, c)
  for i = 1, #first.changes do
    if c.changes[i] ~= first.changes[i] then return 0 end
  end
  return #first.changes
end

-- "powertrain 50 back": what a car has over the first one, or all it says of itself when it comes from another file.
local function column_title(first, c, self)
  if c.label then return c.label end
  if c.shared ~= first.shared then return self:heading() end
  local parts = {}
  if loading.title(c) ~= loading.title(first) then parts[1] = loading.title(c) end
  for _, what in ipairs(loading.sorted_keys(c.fills)) do
    if c.fills[what] ~= first.fills[what] then parts[#parts + 1] = loading.fill_text(what, c.fills[what]) end
  end
  for i = shared_changes(first, c) + 1, #c.changes do parts[#parts + 1] = c.changes[i] end
  return #parts > 0 and table.concat(parts, ", ") or "as before"
end

-- The gaps of the first car stand for all; what is another car's own is said with its name.
local function add_notes(list, column, i, c, b)
  local common = {}
  for _, note in ipairs(list) do common[note] = true end
  for _, note in ipairs(notes.gaps(c, b)) do
    if i == 1 then list[#list + 1] = note elseif not common[note] then list[#list + 1] = column .. ": " .. note end
  end
  if i == 1 then return end
  for _, note in ipairs(notes.torn(c)) do list[#list + 1] = column .. ": " .. note end
  if #b.lifted > 0 then
    list[#list + 1] = ("%s: %s: a negative load, the car would tip"):format(column, table.concat(b.lifted, " and "))
  end
end

--- columns, rows (name, unit, values, changes, sd, clear: lists by column); the first car is the baseline
function compare.of(request)
  if type(request) ~= "table" or #request < 2 then
    core.fail{code = "type", message = "sy.compare needs a list of two or more cars: sy.compare{car, car:move(...)}"}
  end
  for key in pairs(request) do
    if math.type(key) ~= "integer" and key ~= "show" then
      core.fail{code = "unknown", message = ("sy.compare has no field %q"):format(tostring(key)),
        hint = "it takes cars in order and show = {names of quantities}"}
    end
  end
  local cars, columns = {}, {}
  for i, self in ipairs(request) do cars[i] = carlib.inside(self) end
  columns[1] = cars[1].label or "as booked"
  for i = 2, #cars do columns[i] = column_title(cars[1], cars[i], request[i]) end
  local result = {columns = columns, rows = {}, state = loading.title(cars[1]), heading = request[1]:heading(), notes = {}, sd = {}}
  for i, name in ipairs(request.show or quantities.usual) do
    local q = describe(cars[1], name)
    result.rows[i] = row_of(cars, q)
    result.sd[q.name] = result.rows[i].sd
  end
  result.at_least = {}
  for i, c in ipairs(cars) do
    local b = core.balance(c.now, c.geometry)
    result.at_least[i] = b.points > 0
    add_notes(result.notes, columns[i], i, c, b)
  end
  return setmetatable(result, Compare)
end

local function change_text(row, i)
  local change, sd = row.changes[i], row.sd[i]
  if change == "unknown" then return "unknown" end
  local shown = text.signed(change, row.change_decimals)
  local same = not shown:find "[1-9]"
  local doubt = sd > 0 and text.fixed(text.K95 * sd, row.change_decimals) or nil
  if same and not (doubt and doubt:find "[1-9]") then return "same" end
  if same then shown = text.fixed(0, row.change_decimals) end
  if doubt and doubt:find "[1-9]" then shown = shown .. " +- " .. doubt end
  if not row.clear[i] and not same then shown = shown .. " (not clear)" end
  return shown
end

local at_least = {yaw_inertia = true, yaw_index = true}
-- printed with the word that fits the first car instead of a sign
local worded = {cg_left = "CG right of centre", cg_behind = "CG ahead of front axle"}

local function negative(list)
  local turned = {}
  for i, x in ipairs(list) do turned[i] = type(x) == "number" and -x or x end
  return turned
end

-- The row as printed: the same, or the other way round under the other word.
local function printed(row)
  if not worded[row.name] or type(row.values[1]) ~= "number" or row.values[1] >= 0 then return row end
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
      local shown = value == "unknown" and "unknown" or text.fixed(value, row.decimals)
      if i == 1 and value ~= "unknown" and row.sd[1] > 0 then shown = text.plus_minus(value, row.sd[1], row.decimals) end
      if i == 1 and value ~= "unknown" and at_least[row.name] and result.at_least[1] then
        shown = "at least " .. text.fixed(value, row.decimals)
      end
      cells[#cells + 1] = shown
      if i > 1 then cells[#cells + 1] = change_text(row, i) end
    end
    rows[#rows + 1] = cells
  end
  local lines = {("%s   (%s)"):format(result.heading, text.coverage), text.table(heads, rows)}
  for _, note in ipairs(result.notes) do lines[#lines + 1] = text.sentence(note) end
  return table.concat(lines, "\n")
end

return compare
