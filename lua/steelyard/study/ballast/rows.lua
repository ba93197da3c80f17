--- What must hold with ballast aboard, row by row, and the cars it must hold in.
--
-- rows.of(self, s) (s: given.lua) -> {cars = list of {car, c, label or nil}, rows = list, notes}. Cars: the one asked about, at the finish,
-- and in each state that a limit of the file names. A row is {car = number, kind = "target" "limit" "minimum", name, quantity, unit,
-- decimals, set, of, answer, target, within or min and max, shift (what is added to the core's answer)}.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local contents = require "steelyard.car.contents"
local given = require "steelyard.study.ballast.given"
local growth = require "steelyard.answers.growth"
local limits = require "steelyard.answers.limits"
local quantities = require "steelyard.reference.quantities"
local rules_of = require "steelyard.study.rules"
local text = require "steelyard.print.text"

local rows = {}

local function sheet(entry)
  entry.b = entry.b or core.balance(entry.c.now, entry.c.geometry)
  return entry.b
end

-- The car of a state that a limit names, made once.
local function in_state(found, self, state)
  for i, entry in ipairs(found.cars) do
    if entry.state == state then return i end
  end
  local car = self:state(state)
  found.cars[#found.cars + 1] = {car = car, c = contents.inside(car), state = state, label = state}
  return #found.cars
end

local function said(rule, label) return label and ("%s (%s)"):format(rule.name or rule.quantity, label) or rule.name or rule.quantity end

-- Bounds that a limit has where more or less may still come; nil: none that could be broken for certain.
local function bounds(rule, open)
  if open == "always" then return nil end
  local min, max = rule.min, rule.max
  if open == "more" then min = nil end
  if open == "less" then max = nil end
  return (min or max) and {min = min, max = max} or nil
end

-- A target that a limit on the same quantity forbids.
local function check_target(found, rule)
  for _, row in ipairs(found.rows) do
    if row.kind == "target" and row.quantity == rule.quantity then
      local within = row.within or 0
      local over, under = rule.max and row.target - within > rule.max, rule.min and row.target + within < rule.min
      if over or under then
        core.fail{code = "clash", field = "target." .. row.name, message = ("is %s, and the limit %s asks for %s or %s"):format(
          text.plain(row.target), rule.name or rule.quantity, text.plain(over and rule.max or rule.min), over and "less" or "more")}
      end
    end
  end
end

-- One limit in one of the cars.
local function add_limit(found, rule, at)
  local entry = found.cars[at]
  local c, b = entry.c, sheet(entry)
  local q, shift = quantities.limited(rule.quantity), 0
  if rule.quantity == "mass_with_growth" then
    shift = growth.total(c, b.mass) - b.mass
    q = quantities.find "mass"
  elseif not q.set or q.set == "balance" and not core.knows(c.geometry, q.answer) then
    return -- nothing that masses change
  end
  local open, why = limits.open(c, b, rule)
  local within = bounds(rule, open)
  if not within then
    found.notes[#found.notes + 1] = ("the limit %s is not looked at: %s"):format(said(rule, entry.label), why)
    return
  end
  found.rows[#found.rows + 1] = {car = at, kind = "limit", name = said(rule, entry.label), quantity = rule.quantity, unit = q.unit,
    decimals = q.decimals, set = q.set, of = q.of, answer = q.answer, min = within.min, max = within.max, shift = shift,
    state = entry.label}
end

-- The limits of the file and of the call; what no state is named for holds in the car asked about and at the finish.
local function add_limits(found, self, s)
  local list = given.said_under("limits", "show", rules_of.of, contents.inside(self), s.limits, {}, {})
  for _, rule in ipairs(list) do
    check_target(found, rule)
    add_limit(found, rule, 1)
    if s.finish then add_limit(found, rule, 2) end
  end
  for _, limit in ipairs(contents.inside(self).shared.spec.limits or {}) do
    for _, state in ipairs(limit.state or {}) do add_limit(found, limit, in_state(found, self, state)) end
  end
end

--- See above.
function rows.of(self, s)
  local found = {cars = {{car = self, c = contents.inside(self)}}, rows = {}, notes = {}}
  if s.finish then found.cars[2] = {car = s.finish, c = contents.inside(s.finish), label = "finish"} end
  for _, target in ipairs(s.targets) do
    local out = target.out
    found.rows[#found.rows + 1] = {car = 1, kind = "target", name = target.name, quantity = target.name, unit = out.unit,
      decimals = out.decimals, set = out.set, of = out.q and out.q.of, answer = out.answer, target = target.value, within = target.within,
      shift = 0, label = out.label}
  end
  if s.minimum then
    local q = quantities.find "mass"
    found.rows[#found.rows + 1] = {car = s.finish and 2 or 1, kind = "minimum", name = "minimum mass", quantity = "mass", unit = "kg",
      decimals = q.decimals, set = q.set, answer = q.answer, min = s.minimum, shift = 0, state = s.finish and "finish" or nil}
  end
  add_limits(found, self, s)
  return found
end

-- What the core is asked about a car for a row; nil where that cannot be.
local function asked_of(entry, row)
  local key = ("%s.%s"):format(row.set, row.of or "")
  entry.asked = entry.asked or {}
  if entry.asked[key] == nil then
    local asked = asking.car(entry.c, row.set, row.of)
    entry.asked[key] = asked and not asked.fails and asked or false
    if asked and asked.fails then entry.asked[key .. ".why"] = asked.fails end
  end
  return entry.asked[key] or nil, entry.asked[key .. ".why"]
end

-- Has the core an answer of that name about this vehicle? A call's result may have more.
local function check_answer(asked, row)
  local fine, err = pcall(core.ask, row.set, asked, {row.answer})
  if fine or type(err) ~= "string" then return end
  core.fail{code = "unavailable", field = "target." .. row.name,
            message = "is not known of this vehicle, or not one that masses are sought for",
            hint = "the reference page lists the quantities"}
end

--- The rows as core.pack takes them, with `cars` of its own: one for every way in which a car is asked. Rows that cannot be asked go to
-- `unknown`.
function rows.for_core(found, probes)
  local cars, by_asked, list, kept, unknown = {}, {}, {}, {}, {}
  for _, row in ipairs(found.rows) do
    local asked, why = asked_of(found.cars[row.car], row)
    if not asked then
      unknown[#unknown + 1] = {row = row, why = why}
    else
      if row.kind == "target" then check_answer(asked, row) end
      if not by_asked[asked] then
        cars[#cars + 1] = {asked = asked, with = probes[row.car], kg = 1}
        by_asked[asked] = #cars
      end
      list[#list + 1] = {car = by_asked[asked], set = row.set, name = row.answer, target = row.target,
                         min = row.min and row.min - row.shift, max = row.max and row.max - row.shift}
      kept[#kept + 1] = row
    end
  end
  return {cars = cars, rows = list}, kept, unknown
end

return rows
