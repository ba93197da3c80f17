--- Which variants of a study a page holds: all of them, or every so many-th value of its inputs, so that both ends stay.
--
-- thinned.of(r, most) -> {document, sliders, kept = numbers of the variants in the study, loose = words of each or nil, says}
--   document  what --json writes of the study, its columns with the kept variants alone
--   sliders   list of {name, label, words = of each value, beside = the same where nothing else says what it is, start = the value from
--             which the car itself is nearest, counted from 0}; points that are not a grid have one, for the variant
-- most: numbers that its columns may hold together.

local core = require "steelyard.core"
local document = require "steelyard.reference.document"
local json = require "steelyard.print.json"
local made = require "steelyard.study.made"
local origin = require "steelyard.print.origin"
local text = require "steelyard.print.text"
local words_of = require "steelyard.study.words"

local thinned = {}

local in_columns = {"columns", "sd", "lowest", "highest", "lowest_at", "highest_at"}

-- Entries of each variant.
local function width_of(r)
  local count = rawget(r, "verdict") and 1 or 0
  for _, field in ipairs(in_columns) do
    for _ in pairs(rawget(r, field) or {}) do count = count + 1 end
  end
  return math.max(1, count)
end

-- The inputs that make variants, as the study has them.
local function inputs_of(r)
  local a, list = made.from[r].a, {}
  for i, j in ipairs(a.outer) do list[i] = a.inputs[j] end
  return list
end

-- ---- grids ------------------------------------------------------------------------------------------------------------------------

-- The next larger step between values that divides their number less one; nil where only the ends are left, and of words, each of which
-- is a case of its own.
local function next_step(input, size, step)
  if input.words then return nil end
  for larger = step + 1, size - 1 do
    if (size - 1) % larger == 0 then return larger end
  end
  return nil
end

local function kept_of(size, step) return (size - 1) // step + 1 end

-- Steps by input, so that no more than `most` variants are left; nil where that cannot be. The input with most values is thinned first.
local function steps_of(inputs, shape, most)
  local steps, n = {}, 1
  for j, size in ipairs(shape) do steps[j], n = 1, n * size end
  while n > most do
    local longest, step
    for j, size in ipairs(shape) do
      local larger = next_step(inputs[j], size, steps[j])
      if larger and (not longest or kept_of(size, steps[j]) > kept_of(shape[longest], steps[longest])) then longest, step = j, larger end
    end
    if not longest then return nil end
    n = n // kept_of(shape[longest], steps[longest]) * kept_of(shape[longest], step)
    steps[longest] = step
  end
  return steps
end

-- Numbers of the variants of a grid that the steps leave, in their order.
local function grid_numbers(shape, steps)
  local list = {0}
  for j, size in ipairs(shape) do
    local longer = {}
    for _, before in ipairs(list) do
      for k = 0, size - 1, steps[j] do longer[#longer + 1] = before * size + k end
    end
    list = longer
  end
  for i, number in ipairs(list) do list[i] = number + 1 end
  return list
end

-- Where the car itself is nearest: moves and turns count from it, of all else the middle will do.
local function start_of(input, values)
  if input.kind ~= "move" and input.kind ~= "turn" then return (#values - 1) // 2 end
  local best = 1
  for i, value in ipairs(values) do
    if math.abs(value) < math.abs(values[best]) then best = i end
  end
  return best - 1
end

local function slider_of(input, step)
  local values, slider = {}, {name = input.name, label = input.label, words = {}, beside = {}}
  local numbers = input.words and {} or input.values
  for i in ipairs(input.words or {}) do numbers[i] = i end
  for k = 1, #numbers, step do
    values[#values + 1] = numbers[k]
    local unit = not input.words and input.kind ~= "move" and input.kind ~= "turn" and input.unit ~= "" and " " .. input.unit or ""
    slider.words[#values] = words_of.value(input, numbers[k]) .. unit
    slider.beside[#values] = words_of.beside(input, numbers[k])
  end
  slider.start = start_of(input, values)
  return slider, values
end

local function ordinal(n)
  local tens = n % 100
  local ending = tens > 10 and tens < 14 and "th" or ({"st", "nd", "rd"})[n % 10] or "th"
  return core.shortest(n) .. ending
end

-- "16,362 variants"
local function variants(n) return text.grouped(n) .. (n == 1 and " variant" or " variants") end

local function grid_words(inputs, shape, steps, n, kept)
  local sizes, left = {}, {}
  for j, size in ipairs(shape) do
    sizes[j] = core.shortest(size)
    if steps[j] > 1 then left[#left + 1] = ("every %s of %d values of %s"):format(ordinal(steps[j]), size, inputs[j].label) end
  end
  local grid = ("%s, a grid of %s"):format(variants(n), table.concat(sizes, " by "))
  if #left == 0 then return grid .. ", all of them in this page" end
  return ("of %s this page holds %s: %s"):format(grid, text.grouped(kept), text.join(left))
end

local function of_grid(r, most)
  local inputs, shape = inputs_of(r), r.shape
  local steps = steps_of(inputs, shape, most)
  if not steps then return nil end
  local kept, sliders = grid_numbers(shape, steps), {}
  local left = {} -- values by name
  for j, input in ipairs(inputs) do
    local values
    sliders[j], values = slider_of(input, steps[j])
    if steps[j] > 1 then left[input.name] = values end
  end
  return kept, sliders, grid_words(inputs, shape, steps, r.n, #kept), left
end

-- ---- points -----------------------------------------------------------------------------------------------------------------------

-- What variant i is, in words.
local function point_words(r, inputs, i)
  local pieces = {}
  for j, input in ipairs(inputs) do
    local value = r.columns[input.name] and r.columns[input.name][i]
    if value ~= nil then
      if input.words then pieces[j] = ("%s %s"):format(input.label, value) else pieces[j] = words_of.beside(input, value) end
    end
  end
  local list = {}
  for j = 1, #inputs do list[#list + 1] = pieces[j] end
  return ("variant %d%s"):format(i, list[1] and ": " .. table.concat(list, ", ") or "")
end

local function of_points(r, n, most)
  local inputs, kept, step = inputs_of(r), {}, math.max(1, math.ceil(n / most))
  for i = 1, n, step do kept[#kept + 1] = i end
  local words = {}
  for k, i in ipairs(kept) do words[k] = point_words(r, inputs, i) end
  local says = step == 1 and ("%s, all of them in this page"):format(variants(n))
    or ("of %s this page holds every %s: %s"):format(variants(n), ordinal(step), text.grouped(#kept))
  return kept, {{name = "variant", label = "variant", words = words, beside = words, start = 0}}, says, words
end

-- ---- the whole --------------------------------------------------------------------------------------------------------------------

local function pick(column, kept)
  local list = {}
  for k, i in ipairs(kept) do list[k] = column[i] == nil and json.null or column[i] end
  return list
end

-- The same result with the kept variants alone in its columns; left: values of inputs that were thinned, by name.
local function cut(r, kept, left)
  local copy = {}
  for key, value in next, r do copy[key] = value end
  for _, field in ipairs(in_columns) do
    copy[field] = rawget(r, field) and {}
    for name, column in pairs(rawget(r, field) or {}) do copy[field][name] = pick(column, kept) end
  end
  copy.verdict = rawget(r, "verdict") and pick(r.verdict, kept)
  copy.inputs = {}
  for j, input in ipairs(r.inputs) do
    copy.inputs[j] = {}
    for key, value in pairs(input) do copy.inputs[j][key] = value end
    copy.inputs[j].values = left[input.name] or input.values
  end
  origin.as_of(copy, r)
  return setmetatable(copy, getmetatable(r))
end

--- See above.
function thinned.of(r, most)
  local n, room = r.n_done or r.n, math.max(1, most // width_of(r))
  local kept, sliders, says, left, loose
  if r.shape and not r.n_done then kept, sliders, says, left = of_grid(r, room) end
  if not kept then kept, sliders, says, loose = of_points(r, n, room) end
  return {document = document.of(#kept < r.n and cut(r, kept, left or {}) or r), sliders = sliders, kept = kept, loose = loose, says = says}
end

return thinned
