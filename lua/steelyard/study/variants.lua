--- The cars of a study: from the values of the inputs to a car and the settings it is asked with.
--
-- variants.new{car =, inputs =, settings =, skip = {[kind] = true}?, change = function?} -> function(values) -> car, settings; values: list
-- by input, nil where the car has it as it is. Cars that variants have in common are kept from one call to the next: a grid makes a new
-- state, swap or fill only where one changes.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local inputs_of = require "steelyard.study.inputs"
local settings_of = require "steelyard.study.settings"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local variants = {}

-- The line of the caller's own function that an error came from; where it begins, if it ended with `return car:move(...)`: such a call
-- takes its place.
local function line_of(change)
  local about = debug.getinfo(change, "S")
  for level = 3, 60 do
    local info = debug.getinfo(level, "Slf")
    if not info or info.func == xpcall then break end
    if info.short_src == about.short_src and info.currentline > 0 then return ("%s:%d"):format(about.short_src, info.currentline) end
  end
  return ("%s:%d"):format(about.short_src, about.linedefined)
end

-- What a row of values is called in errors: "variant 3 (engine 20 back, state kerb)".
local function row_text(row, inputs)
  local list = {}
  for _, input in ipairs(inputs) do
    local value = row[input.name]
    if value ~= nil then list[#list + 1] = ("%s %s"):format(input.name, type(value) == "number" and text.plain(value) or value) end
  end
  return table.concat(list, ", ")
end

-- An error of the caller's function, which was raised at the line `where` of it, with the row it was called with.
local function raise_in_change(err, where, row, inputs)
  local at = ("change, with %s"):format(row_text(row, inputs))
  if type(err) ~= "table" then error(("%s (in %s)"):format(tostring(err), at), 0) end
  local copy = {}
  for key, value in pairs(err) do copy[key] = value end
  copy.message = ("%s (in %s%s)"):format(err.message or "fails", where and where .. ", " or "", at)
  error(setmetatable(copy, getmetatable(err)), 0)
end

-- function(car, row) -> what the caller's function makes of the car, checked.
local function changer(change, inputs)
  local where
  local function note(err)
    where = line_of(change)
    return err
  end
  return function(car, row)
    local fine, given = xpcall(change, note, car, row)
    if not fine then raise_in_change(given, where, row, inputs) end
    if not contents.is_car(given) then
      core.fail{code = "type", field = "change", message = ("must give a car back, gave %s (with %s)"):format(
        given == nil and "nothing" or user_values.what(given), row_text(row, inputs)),
        hint = "write return car:move(...), a car does not change"}
    end
    return given
  end
end

local function row_of(inputs, values)
  local row = {}
  for j = 1, #inputs do
    local input, value = inputs[j], values[j]
    row[input.name] = value and (input.words and input.words[value] or value)
  end
  return row
end

--- The values of the settings among inputs, by name; nil without any.
function variants.set_by(inputs, values)
  local found
  for j, input in ipairs(inputs) do
    if input.kind == "setting" and not input.free and values[j] then
      found = found or {}
      found[input.name] = input.words and input.words[values[j]] or values[j]
    end
  end
  return found
end

--- See above.
function variants.new(o)
  local inputs, order = o.inputs, {}
  for _, j in ipairs(inputs_of.order(inputs)) do
    local kind = inputs[j].kind
    if kind ~= "setting" and not (o.skip and o.skip[kind]) then order[#order + 1] = j end
  end
  local sets_any = false
  for _, input in ipairs(inputs) do sets_any = sets_any or input.kind == "setting" end
  local kept, last = {[0] = o.car}, {} -- the car after the first k inputs of the order, and the value each had
  local valid = 0
  local changed = o.change and changer(o.change, inputs)
  return function(values)
    local k = 0
    while k < valid and last[k + 1] == values[order[k + 1]] do k = k + 1 end
    for i = k + 1, #order do
      local j = order[i]
      valid = i - 1
      kept[i] = values[j] ~= nil and inputs[j].apply(kept[i - 1], values[j]) or kept[i - 1]
      last[i], valid = values[j], i
    end
    local car, found = kept[#order], sets_any and variants.set_by(inputs, values)
    if changed then car = changed(car, row_of(inputs, values)) end
    return car, found and settings_of.with(o.settings, found) or o.settings
  end
end

return variants
