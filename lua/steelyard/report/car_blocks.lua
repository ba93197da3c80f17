--- What a page holds of one car: a block of data for each result, and the entry of the page's index that names them.
--
-- car_blocks.of(car, id, put) -> entry; put("ID-NAME", result or document) adds a block and gives its id back. Of the entry:
--   states    list of {name, balance = id, rests = id of what its numbers rest on, where anything is uncertain}; of a state in which the
--             car has no answers {name, why}
--   shown     which of them the statement shows, from 0
--   book, scene, records, recorded = list, built or built_why    ids
--   mass_decimals    of the ledger
--   more      decimals beyond the usual ones, by unit    wheels   keys of its wheels

local book = require "steelyard.answers.book"
local contents = require "steelyard.car.contents"
local columns = require "steelyard.report.columns"
local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local scene = require "steelyard.draw.scene"
local scene_block = require "steelyard.report.scene_block"
local sensitivity = require "steelyard.study.sensitivity"

local car_blocks = {}

local MOST_ROWS = {shown = 4, other = 2} -- lines that a number rests on, in the state shown and in others; the rest is one sum

--- f(...) -> true and its value, or false and why not: errors of what was asked, not those of a program.
local function try(f, ...)
  local fine, value = pcall(f, ...)
  if fine then return true, value end
  if type(value) ~= "table" or getmetatable(value) ~= core.error_metatable then error(value, 0) end
  return false, value.message
end
car_blocks.try = try

-- ---- load states ----------------------------------------------------------------------------------------------------------------

-- {name, car}: the car as it is given in the place of its state, else in front of them all.
local function states_of(car)
  local c, list, shown = contents.inside(car), {}, 1
  local given = c.state and c.state.name
  if not given then list[1] = {name = require("steelyard.car.loading").title(c), car = car} end
  for _, name in ipairs(car:states()) do
    local here = name == given
    list[#list + 1] = {name = name, car = here and car or nil}
    if here then shown = #list end
  end
  return list, shown
end

local function known_in(balance, name)
  local value = balance
  for key in name:gmatch "[^.]+" do value = type(value) == "table" and value[key] or nil end
  return type(value) == "number"
end

local function add_known(list, seen, c, balance, names)
  for _, name in ipairs(names) do
    if not seen[name] and core.knows(c.geometry, name) and known_in(balance, name) then list[#list + 1], seen[name] = name, true end
  end
end

-- Every number of a balance that the page shows; of states beside the one shown the headlines.
local function asked_of(c, balance, all)
  local list, seen, wheels = {}, {}, {}
  add_known(list, seen, c, balance, all and columns.states or columns.rests)
  if not all then return list end
  add_known(list, seen, c, balance, columns.headlines)
  for i, wheel in ipairs(c.geometry:wheels()) do wheels[i] = wheel.key end
  add_known(list, seen, c, balance, {"left", "right", table.unpack(wheels)})
  return list
end

-- What numbers rest on; nil of a car without anything uncertain.
local function rests_of(car, balance, all)
  local fine, result = try(sensitivity.of, {car, show = asked_of(contents.inside(car), balance, all), steps = 0,
                                            top = all and MOST_ROWS.shown or MOST_ROWS.other})
  return fine and result or nil
end

local function add_state(entry, state, i, put, car, all)
  local fine, there = true, state.car
  if not there then fine, there = try(car.state, car, state.name) end
  local balance
  if fine then fine, balance = try(there.balance, there) end
  if not fine then
    entry.states[i] = {name = state.name, why = there and balance or there}
    return
  end
  local rests = rests_of(there, balance, all)
  entry.states[i] = {name = state.name, balance = put("balance-" .. i, balance), rests = rests and put("rests-" .. i, rests) or nil}
end

-- ---- records --------------------------------------------------------------------------------------------------------------------

local function add_records(entry, car, put)
  local c = contents.inside(car)
  if not c.shared.spec.records then return end
  local records = car:records()
  entry.records, entry.recorded = put("records", records), {}
  for i, row in ipairs(records) do
    local fine, one = try(car.record, car, row.name)
    if fine then entry.recorded[#entry.recorded + 1] = put("record-" .. i, one) end
  end
  if c.measured then
    entry.built = put("built", require("steelyard.measure.records.built").result(car))
    return
  end
  local fine, built = try(car.as_built, car)
  if fine then entry.built = put("built", require("steelyard.measure.records.built").result(built)) else entry.built_why = built end
end

--- See above.
function car_blocks.of(car, id, put)
  local c, entry = contents.inside(car), {states = {}}
  local function put_here(name, result) return put(id .. "-" .. name, result) end
  local states, shown = states_of(car)
  for i, state in ipairs(states) do add_state(entry, state, i, put_here, car, i == shown) end
  if not entry.states[shown].balance then car:balance() end -- says why
  local more, wheels, drawn = figures.of(c), {}, scene.make(c, car, "design", scene.views, false)
  for i, wheel in ipairs(c.geometry:wheels()) do wheels[i] = wheel.key end
  entry.shown, entry.wheels, entry.more = shown - 1, wheels, {kg = more.kg, mm = more.mm, ["kg m2"] = more["kg m2"]}
  local ledger = car:book()
  entry.mass_decimals, entry.book = book.mass_decimals(ledger), put_here("book", ledger)
  entry.scene = put_here("scene", scene_block.of(drawn, more.mm))
  add_records(entry, car, put_here)
  return entry
end

return car_blocks
