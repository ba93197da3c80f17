--- sy.compare{car, car2, ...}: the same answers side by side, each change with its own uncertainty.
--
-- What two cars share cancels: a part with the same identity and the same stated values carries the same error in both,
-- so a change is usually known far better than the totals.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local plausible = require "steelyard.answers.plausible"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"

local compare = {}
local MOST_SHOWN = 64 -- what the core answers at a time

local function describe(c, name)
  local q = quantities.find(name)
  if q then return q end
  if type(name) ~= "string" or not core.knows(c.geometry, name) then
    local near = core.nearest(tostring(name), quantities.names)
    core.fail{code = "unknown", message = ("no quantity is called %s"):format(text.named(name)), field = "show",
              hint = near and ("did you mean %q?"):format(near) or "the reference page lists them"}
  end
  return {name = name, label = name, unit = "kg", decimals = 1, change = 2, set = "balance", answer = name}
end

-- What is asked of a set: the quantities it has, their names in the core, and which of those asked they are.
local function asked_of_set(geometry, group, asked)
  local list, names, numbers = {}, {}, {}
  for i, q in ipairs(asked) do
    if q.set == group.set and q.of == group.of and (q.set ~= "balance" or core.knows(geometry, q.name)) then
      list[#list + 1], names[#names + 1], numbers[#numbers + 1] = q, q.answer, i
    end
  end
  return list, names, numbers
end

-- Names that have a meaning in two cars, and which of those asked they are.
local function in_both(names, numbers, a, b)
  local both, both_numbers = {}, {}
  for k, i in ipairs(numbers) do
    if a[i] and b[i] then both[#both + 1], both_numbers[#both_numbers + 1] = names[k], i end
  end
  return both, both_numbers
end

-- Answers of a group by number of what was asked, false where there is none. Where nothing else is asked the list itself is that.
local function put(numbers, whole, list, into)
  if not whole then
    for k = 1, #numbers do
      local x = list[k]
      into[numbers[k]] = x == x and x
    end
    return into
  end
  for k = 1, #list do
    local x = list[k]
    if x ~= x then list[k] = false end
  end
  return list
end

-- A car that does not stand as it is asked about fails everything that was asked.
local function put_failure(list, why, found)
  for _, q in ipairs(list) do found[q.name] = {verdict = "FAIL", notes = {("%s: %s"):format(q.label, why)}} end
end

-- ---- what is asked ------------------------------------------------------------------------------------------------------

-- What a list of quantities is asked by: {asked = the rows of quantities, groups = asking.groups of them, booked = those that the sheet
-- has, words = those that are texts, both by number, by_geometry = where it is kept: geometry -> what each group asks of cars on it}.
local function plan_of(asked)
  local plan = {asked = asked, groups = asking.groups(asked), booked = {}, words = {}}
  for i, q in ipairs(asked) do
    if q.from == "balance" then plan.booked[i] = q end
    if q.words then plan.words[i] = q end
    if q.name == "mass" then plan.mass = i end
  end
  return plan
end

local usual -- the plan without `show`: most comparisons of a loop state none, and cars made from one another have one geometry

local function usual_plan()
  if usual then return usual end
  local asked = {}
  for i, name in ipairs(quantities.usual) do asked[i] = quantities.find(name) end
  usual = plan_of(asked)
  usual.by_geometry = setmetatable({}, {__mode = "k"})
  return usual
end

local function plan_for(c, show)
  if not show then return usual_plan() end
  local asked = {}
  for i, name in ipairs(show) do asked[i] = describe(c, name) end
  return plan_of(asked)
end

-- By group: {list = its quantities, names, numbers = which of those asked they are, whole = are they all, says = numbers of those that say
-- something beside the number, found = asking.names or nil}.
local function questions(plan, geometry)
  local kept = plan.by_geometry and plan.by_geometry[geometry]
  if kept then return kept end
  kept = {}
  for k, group in ipairs(plan.groups) do
    local list, names, numbers = asked_of_set(geometry, group, plan.asked)
    local says = {}
    for n, q in ipairs(list) do says[#says + 1] = q.says and numbers[n] or nil end
    kept[k] = {list = list, names = names, numbers = numbers, whole = #numbers == #plan.asked, says = says,
               found = plan.by_geometry and #names > 0 and asking.names(group.set, geometry, names) or nil}
  end
  if plan.by_geometry then plan.by_geometry[geometry] = kept end
  return kept
end

-- ---- answers ------------------------------------------------------------------------------------------------------------

local function all_known(numbers, values)
  for k = 1, #numbers do
    if not values[numbers[k]] then return false end
  end
  return true
end

-- Standard uncertainties of the changes of a group; q_first, q: what it asks of the first car and of this one.
local function put_changes(group, first, car, q_first, q, values_first, values, pairing, into)
  if q_first.found and q.found and #q_first.numbers == #q.numbers and all_known(q.numbers, values_first)
    and all_known(q.numbers, values) then
    return put(q.numbers, q.whole, asking.changes(group.set, first, car, q_first.found, pairing, q.found), into)
  end
  local both, both_numbers = in_both(q.names, q.numbers, values_first, values)
  if #both > 0 then put(both_numbers, false, asking.changes(group.set, first, car, both, pairing), into) end
  return into
end

-- Values and changes in one go, where the first car is one without any unknown and the other of the same kind; nil: asked one by one.
local function in_one_go(group, first, car, q_first, q, values_first, pairing)
  if not (first and q.whole and q.found and q_first.found and not q.says[1]) or car.fails or first.fails or #q_first.numbers ~= #q.numbers
    or not all_known(q.numbers, values_first) then return nil end
  return asking.changes_and_values(group.set, first, car, q_first.found, pairing, q.found)
end

-- What group k answers of car i: values, what is said beside them, and standard uncertainties of the first car's own answers, of the
-- others' changes against it. first: what the first car was asked by, by group.
local function answer_from_set(cars, i, k, plan, first, found, values, sds, pairing)
  local group, q = plan.groups[k], questions(plan, cars[i].geometry)[k]
  if #q.names == 0 then return end
  local car = asking.car(cars[i], group.set, group.of)
  if i == 1 then first[k] = car end
  if not car then return end
  local q_first = questions(plan, cars[1].geometry)[k]
  if i > 1 then
    local changes, answers = in_one_go(group, first[k], car, q_first, q, values[1], pairing)
    if answers then
      values[i], sds[i] = put(q.numbers, true, answers), put(q.numbers, true, changes)
      return
    end
  end
  local answers, of_first = car, nil
  if not car.fails then answers, of_first = asking.values(group.set, car, q.found or q.names, i == 1) end
  if answers.fails then return put_failure(q.list, answers.fails, found[i]) end
  values[i] = put(q.numbers, q.whole, answers, values[i])
  for _, number in ipairs(q.says) do
    local says = plan.asked[number]
    found[i][says.name] = values[i][number] and quantities.verdict(cars[i], says) or nil
  end
  if i == 1 then
    sds[1] = put(q.numbers, q.whole, of_first, sds[1])
  else
    sds[i] = put_changes(group, first[k], car, q_first, q, values[1], values[i], pairing, sds[i])
  end
end

local function put_words(c, words, found, values)
  for number, q in pairs(words) do
    local answer = quantities.words(c, q)
    if answer then found[q.name], values[number] = answer, answer.value end
  end
end

-- What the usual comparison asks of a first car, by its inside: it is the same in every comparison of a loop, and cars do not change.
local firsts = setmetatable({}, {__mode = "k"})

local function kept_first(cars, plan, values, sds, found)
  if plan ~= usual then return false end
  local kept = firsts[cars[1]]
  if not kept then return false end
  values[1], sds[1], found[1] = kept.values, kept.sds, {}
  return kept.first
end

-- Values for each car by number of what was asked, the standard uncertainties (of the first car's own answers, of the others' changes
-- against it), and what verdicts were found
local function answers_of(cars, plan, sheets)
  local values, sds, found = {}, {}, {}
  local kept = kept_first(cars, plan, values, sds, found)
  local first = kept or {}
  for i = kept and 2 or 1, #cars do
    local c = cars[i]
    values[i], sds[i], found[i] = {}, {}, {}
    for number, q in pairs(plan.booked) do
      values[i][number] = q.name == "mass_with_growth" and growth.total(c, sheets[i].mass) or sheets[i][q.name]
    end
    local pairing
    if c.shared ~= cars[1].shared then pairing = require("steelyard.answers.changes.match").pairing_of(cars[1], c) end
    for k = 1, #plan.groups do answer_from_set(cars, i, k, plan, first, found, values, sds, pairing) end
    put_words(c, plan.words, found[i], values[i])
  end
  if not kept and plan == usual and next(found[1]) == nil then
    firsts[cars[1]] = {values = values[1], sds = sds[1], first = first}
  end
  return values, sds, found
end

-- A row of texts: nothing to subtract.
local function row_of_words(q, number, values)
  local row = {name = q.name, unit = q.unit, label = q.label, decimals = 0, change_decimals = 0, values = {},
               changes = {}, sd = {}, clear = {},
               words = true}
  for i = 1, #values do row.values[i], row.changes[i], row.sd[i], row.clear[i] = values[i][number] or "unknown", "", 0, false end
  return row
end

local function verdicts_of(name, found)
  local list
  for i = 1, #found do
    local verdict = found[i][name] and found[i][name].verdict
    if verdict then
      list = list or {}
      list[i] = verdict
    end
  end
  for i = 1, list and #found or 0 do list[i] = list[i] or "unknown" end
  return list
end

-- A list of n, none yet known: one that grew entry by entry would be moved at every second.
local function list_of(n)
  local list = {}
  for i = 1, n do list[i] = false end
  return list
end

local K95 = text.K95

-- Is a change clear beside its standard uncertainty?
local function is_clear(change, sd) return change > K95 * sd or change < -K95 * sd end

-- found: false where no car has a verdict.
local function row_of(q, number, values, uncertainties, found, f)
  if q.words then return row_of_words(q, number, values) end
  local name, n, more = q.name, #values, f[q.unit] or 0
  local base, base_sd = values[1][number], uncertainties[1][number] or 0
  local shown, changes, sds, clear = list_of(n), list_of(n), list_of(n), list_of(n)
  shown[1], changes[1], sds[1] = base or "unknown", 0, base_sd
  for i = 2, n do
    local value, sd = values[i][number], uncertainties[i][number] or 0
    shown[i], sds[i] = value or "unknown", sd
    if value and base then
      changes[i] = value - base
      clear[i] = is_clear(changes[i], sd)
    else
      changes[i] = "unknown"
    end
  end
  return {name = name, unit = q.unit, label = q.label, decimals = q.decimals + more, change_decimals = q.change + more, values = shown,
          changes = changes, sd = sds, clear = clear, verdicts = found and verdicts_of(name, found) or nil}
end

-- Of two cars without verdicts and texts, as a loop compares them: the same, with lists of two made as they are.
local function rows_of_two(asked, values, uncertainties, f)
  local rows, sds = {}, core.room(#asked)
  local first, second, first_sd, second_sd = values[1], values[2], uncertainties[1], uncertainties[2]
  for i = 1, #asked do
    local q = asked[i]
    local name, unit, base, value, sd = q.name, q.unit, first[i], second[i], second_sd[i] or 0
    local more, change, clear = f[unit] or 0, "unknown", false
    if base and value then
      change = value - base
      clear = is_clear(change, sd)
    end
    local both_sds = {first_sd[i] or 0, sd}
    rows[i] = {name = name, unit = unit, label = q.label, decimals = q.decimals + more, change_decimals = q.change + more,
               values = {base or "unknown", value or "unknown"}, changes = {0, change}, sd = both_sds, clear = {false, clear}}
    sds[name] = both_sds
  end
  return rows, sds
end

local function rows_of(plan, values, uncertainties, found, f)
  local asked, judged = plan.asked, false
  for i = 1, #found do judged = judged or next(found[i]) ~= nil and found end
  if #values == 2 and not judged and not next(plan.words) then return rows_of_two(asked, values, uncertainties, f) end
  local rows, sds = {}, core.room(#asked)
  for i = 1, #asked do
    local row = row_of(asked[i], i, values, uncertainties, judged, f)
    rows[i], sds[row.name] = row, row.sd
  end
  return rows, sds
end

-- How many of its changes a car has in common with the first one.
local function shared_changes(first, changes)
  for i = 1, #first do
    if changes[i] ~= first[i] then return 0 end
  end
  return #first
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
  local changes = contents.changes(c)
  for i = shared_changes(contents.changes(first), changes) + 1, #changes do parts[#parts + 1] = changes[i] end
  return #parts > 0 and table.concat(parts, ", ") or "as before"
end

-- The gaps of the first car stand for all; what is another car's own is said with its name.
local function add_notes(list, column, i, c, b)
  local common = {}
  for _, note in ipairs(list) do common[note] = true end
  for _, note in ipairs(notes.gaps(c, b)) do
    if i == 1 then list[#list + 1] = note elseif not common[note] then list[#list + 1] = column .. ": " .. note end
  end
  local own = notes.edits(c)
  own[#own + 1] = notes.lifted(c, b)
  for _, note in ipairs(plausible.of_car(c, b.height, b.mass)) do own[#own + 1] = note end
  for _, note in ipairs(own) do list[#list + 1] = column .. ": " .. note end
end

-- What the modules have to say of the first car; of another only what is its own.
local function add_found_notes(list, columns, name, found)
  local said = {}
  for _, note in ipairs(list) do said[note] = true end
  for i = 1, #found do
    for _, note in ipairs(found[i][name] and found[i][name].notes or {}) do
      local shown = i == 1 and note or columns[i] .. ": " .. note
      if not said[note] and not said[shown] then list[#list + 1] = shown end
      said[note], said[shown] = true, true
    end
  end
end

-- Loads of single wheels rest on a split that must be said.
local function shows_wheels(cars, asked)
  for _, key in ipairs(cars[1].shared.spec.wheel_keys) do
    for _, q in ipairs(asked) do
      if q.name == key then return true end
    end
  end
  return false
end

local function records_of(c) return c.measured and c.measured.records or nil end

local function same_records(cars)
  for i = 2, #cars do
    if records_of(cars[i]) ~= records_of(cars[1]) then return false end
  end
  return true
end

-- Balance sheets of the cars, each made when something of it is needed.
local Sheets = {}
function Sheets.__index(list, i)
  local c = list.cars[i]
  list[i] = core.balance(c.now, c.geometry)
  return list[i]
end

local function sheets_of(cars) return setmetatable({cars = cars}, Sheets) end

-- What must be said beside the numbers, when it is looked at: most comparisons of a loop are made for a number.
local function notes_of(cars, columns, asked, sheets, found)
  local list = {}
  for i, c in ipairs(cars) do add_notes(list, columns[i], i, c, sheets[i]) end
  if not same_records(cars) then
    table.insert(list, 1, "changes without +- are corrections: the cars do not rest on the same records")
  end
  if shows_wheels(cars, asked) then table.insert(list, 1, notes.corner_basis(cars[1])) end
  for _, q in ipairs(asked) do add_found_notes(list, columns, q.name, found) end
  return list
end

-- Files of the cars that are not from the first one's, each once; nil without any.
local function other_files(cars)
  local others, seen
  for i = 2, #cars do
    local shared = cars[i].shared
    if shared ~= cars[1].shared then
      others, seen = others or {}, seen or {}
      if not seen[shared] then others[#others + 1], seen[shared] = origin.file_of(cars[i]), true end
    end
  end
  return others and others[1] and others or nil
end

--- columns, rows (name, unit, values, changes, sd, clear: lists by column); the first car is the baseline
function compare.of(request)
  if type(request) ~= "table" or #request < 2 then
    core.fail{code = "type", message = "sy.compare needs a list of two or more cars: sy.compare{car, car:move(...)}"}
  end
  for i = 1, #request do
    if not contents.is_car(request[i]) then
      local given = request[i]
      local said = given == nil and "missing" or text.named(given)
      core.fail{code = "type", message = ("sy.compare needs cars, number %d is %s"):format(i, said),
        hint = type(given) == "string" and ("sy.load(%q) makes a car of a file; a state is car:state(%q)"):format(given, given) or nil}
    end
  end
  for key in pairs(request) do
    if math.type(key) ~= "integer" and key ~= "show" then
      core.fail{code = "unknown", message = ("sy.compare has no field %s"):format(text.named(key)),
        hint = type(key) == "string" and core.nearest(key, {"show"}) and 'did you mean "show"?'
          or "it takes cars in order and show = {names of quantities}"}
    end
  end
  local show = request.show
  if show ~= nil and (type(show) ~= "table" or #show == 0) then
    core.fail{code = "type", field = "show", message = "must be a list of names of quantities",
      hint = ("as in show = {%q, %q}"):format(type(show) == "string" and show or "mass", show == "front_share" and "mass" or "front_share")}
  end
  if #(request.show or {}) > MOST_SHOWN then
    core.fail{code = "limit", message = ("%d quantities are asked for, %d are possible"):format(#request.show, MOST_SHOWN), field = "show"}
  end
  local cars, columns = {}, {}
  for i = 1, #request do cars[i] = contents.inside(request[i]) end
  columns[1] = cars[1].label or "as booked"
  for i = 2, #cars do columns[i] = column_title(cars[1], cars[i], request[i]) end
  local plan, sheets = plan_for(cars[1], request.show), sheets_of(cars)
  local at_least = {}
  for i = 1, #cars do
    loading.need_mass(cars[i])
    at_least[i] = core.points(cars[i].now) > 0
  end
  local values, uncertainties, found = answers_of(cars, plan, sheets)
  local rows, sds = rows_of(plan, values, uncertainties, found, figures.of(cars[1], values[1][plan.mass] or nil))
  local result = {columns = columns, rows = rows, state = loading.title(cars[1]), heading = request[1]:heading(), sd = sds,
                  at_least = at_least, other_files = other_files(cars)}
  local function say() return notes_of(cars, columns, plan.asked, sheets, found) end
  return origin.of_car(require("steelyard.answers.compare.print").made(result, cars, say), cars[1])
end

return compare
