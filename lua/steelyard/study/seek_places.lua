--- Places that sy.seek asks about: many quickly by the plan of a study, and one exactly, as every car is.
--
-- places.new(s) (of seek_asked.lua) -> p, with
--   p.folds       combinations of what worst_over folds, 1 without any
--   p.quantities  list {size, column, out}: first the outputs of s, then those of each state that a limit names; p.first[k] is the
--                 number before the first of state k
--   p.columns     columns of the inputs sought, for places to be written into: each `folds` times
--   p.ask(count), p.exact(count)  fill the columns of the quantities
--   p.fold_points columns of the inputs folded: one entry for each combination
--   p.made(values, f) -> car and settings at the place, in combination f, nil for as the car has what is folded
--   p.inside(values, k, f) the same of state k: the inside of the car

local core = require "steelyard.core"
local answer = require "steelyard.study.answer"
local contents = require "steelyard.car.contents"
local evaluate = require "steelyard.study.evaluate"
local points_of = require "steelyard.study.points"
local text = require "steelyard.print.text"
local variants = require "steelyard.study.variants"

local places = {}

local BATCH, MOST_ANSWERS = core.seek_most.batch, core.seek_most.answers
local of_state = {state = true, fill = true} -- a state says these itself

local function picked(list, numbers)
  local some = {}
  for k, j in ipairs(numbers) do some[k] = list[j] end
  return some
end

-- What is sought may be anything between its bounds until it is rounded.
local function between_bounds(input)
  return setmetatable({values = false, ranged = true, from = input.low, to = input.high}, {__index = input})
end

local function folded(s)
  local inner = picked(s.inputs, s.inner)
  if not inner[1] then return {n = 1, columns = {}, each = {}}, inner end
  return points_of.grid(inner), inner
end

-- Columns of all inputs, as evaluate.lua takes them: those sought are written by the core, those folded go around.
local function point_columns(s, grid, inner, size)
  local sought, list = {}, {}
  for k in ipairs(s.outer) do
    sought[k] = core.column(size)
    list[k] = sought[k]
  end
  for k, input in ipairs(inner) do list[#list + 1] = core.column_grid(input.values, grid.each[k], size) end
  return sought, list
end

local function columns_of(outputs, size, quantities)
  local columns, none = {}, {}
  for o, out in ipairs(outputs) do
    columns[o], none[o] = core.column(size), false
    quantities[#quantities + 1] = {size = out.size, column = columns[o], out = out}
  end
  return columns, none
end

-- Who answers for the car, and who for it in a state.
local function group_of(s, car, inputs, outputs, skip, size, quantities)
  local columns, none = columns_of(outputs, size, quantities)
  return {e = evaluate.new{car = car, inputs = inputs, outputs = outputs, settings = s.settings, skip = skip}, columns = columns,
    none = none, make = variants.new{car = car, inputs = inputs, settings = s.settings, skip = skip}, answer = answer.new(outputs)}
end

local function too_many(count, folds)
  core.fail{code = "limit", field = "worst_over", message = ("folds %s combinations of %s: %s answers at a place, at most %s are possible")
    :format(text.grouped(folds), text.count(count, "quantity", "quantities"), text.grouped(count * folds), text.grouped(MOST_ANSWERS))}
end

--- See above.
function places.new(s)
  local grid, inner = folded(s)
  local p = {folds = grid.n, quantities = {}, first = {}, groups = {}, fold_points = grid.columns}
  local count = #s.outputs
  for _, entry in ipairs(s.states) do count = count + #entry.outputs end
  if count * grid.n > MOST_ANSWERS then too_many(count, grid.n) end
  local size, inputs = BATCH * grid.n, {}
  for k, j in ipairs(s.outer) do inputs[k] = between_bounds(s.inputs[j]) end
  table.move(inner, 1, #inner, #inputs + 1, inputs)
  local points
  p.columns, points = point_columns(s, grid, inner, size)
  p.groups[1] = group_of(s, s.car, inputs, s.outputs, nil, size, p.quantities)
  for k, entry in ipairs(s.states) do
    p.first[k] = #p.quantities
    p.groups[k + 1] = group_of(s, s.car:state(entry.state), inputs, entry.outputs, of_state, size, p.quantities)
  end

  function p.ask(n)
    for _, group in ipairs(p.groups) do
      if group.columns[1] then group.e:run(1, n * p.folds, points, group.columns, group.none, {}) end
    end
  end

  -- Values by input, of those sought and of combination f of those folded.
  local function all_values(values, f)
    local list = table.move(values, 1, #s.outer, 1, {})
    for k in ipairs(inner) do list[#s.outer + k] = f and grid.columns[k][f] or nil end
    return list
  end

  -- A car that cannot be made so, an axle that would pass another, is not there to be asked.
  local function made(group, values, f)
    local list = all_values(values, f)
    local fine, car, settings = pcall(group.make, list)
    if fine then return car, settings end
    if type(car) == "table" and car.code == "geometry" then return nil end
    error(car, 0)
  end

  function p.exact(n)
    for i = 1, n * p.folds do
      local values = {}
      for k, column in ipairs(p.columns) do values[k] = column[i] end
      for _, group in ipairs(p.groups) do
        local car, settings = made(group, values, inner[1] and (i - 1) % p.folds + 1)
        local found = car and group.answer(car, settings) or {}
        for o, column in ipairs(group.columns) do core.column_set(column, i, found[o]) end
      end
    end
  end

  function p.made(values, f, k) return made(p.groups[(k or 0) + 1], values, inner[1] and f) end

  function p.inside(values, k, f)
    local car = p.made(values, f, k)
    return car and contents.inside(car)
  end
  return p
end

return places
