--- What sy.report was asked, checked: {cars, studies = results, fits = results, title}.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local made = require "steelyard.study.made"
local options = require "steelyard.reference.options"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local asked = {}

local EXAMPLE = "as in sy.report{car, title = \"Before the first test\"}"

local function check_fields(given)
  if type(given) ~= "table" or getmetatable(given) ~= nil then
    core.fail{code = "type", message = ("sy.report takes a table, not %s"):format(contents.is_car(given) and "a car"
                or user_values.what(given)),
              hint = EXAMPLE}
  end
  local known, names = options.known("report", "report"), options.names("report", "report")
  for key in pairs(given) do
    if math.type(key) ~= "integer" and not known[key] then
      local near = type(key) == "string" and core.nearest(key, names)
      core.fail{code = "unknown", message = ("sy.report has no field %s"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(names)}
    end
  end
end

local function cars_of(given)
  local cars = {}
  for i = 1, #given do cars[i] = given[i] end
  if given.car ~= nil then
    if cars[1] ~= nil then core.fail{code = "clash", field = "car", message = "is given twice"} end
    cars[1] = given.car
  end
  if #cars == 0 then core.fail{code = "missing", field = "car", message = "is missing", hint = EXAMPLE} end
  for i, car in ipairs(cars) do
    if not contents.is_car(car) then
      core.fail{code = "type", field = #cars > 1 and ("car, number %d"):format(i) or "car",
                message = ("must be a car, is %s"):format(user_values.what(car)),
                hint = type(car) == "string" and ("sy.load(%q) makes a car of a file"):format(car) or nil}
    end
  end
  return cars
end

local function list_of(given, field)
  local list = given[field]
  if list == nil then return {} end
  if type(list) ~= "table" or getmetatable(list) ~= nil or contents.is_car(list) or next(list) ~= nil and #list == 0 then
    core.fail{code = "type", field = field, message = ("must be a list, is %s"):format(user_values.what(list)),
              hint = ("as in %s = {%s}"):format(field, field == "studies" and "sy.study{...}" or "sy.cg_height{...}")}
  end
  return list
end

local function name_of(result)
  local meta = type(result) == "table" and not contents.is_car(result) and getmetatable(result)
  return type(meta) == "table" and rawget(meta, "__name") or nil
end

-- A study that is done, or what sy.study takes, of the first car unless it names another.
local function study_of(entry, car, field)
  if name_of(entry) == "study" then return entry end
  if type(entry) ~= "table" or getmetatable(entry) ~= nil or contents.is_car(entry) then
    core.fail{code = "type", field = field, message = ("must be a study, is %s"):format(user_values.what(entry)),
              hint = "sy.study{...}, or a table with what it takes"}
  end
  local request = {quiet = true}
  for key, value in pairs(entry) do request[key] = value end
  if request[1] == nil and request.car == nil then request.car = car end
  return require("steelyard.study.study").of(request)
end

local function check_columns(study, field)
  local from = made.from[study]
  if from and from.stores and not rawget(study, "shard") then return end
  core.fail{code = "unavailable", field = field, message = "has no columns: it was reduced, or is one shard of several",
            hint = "run it without reduce, or join its shards by sy.merge"}
end

local function studies_of(given, car)
  local list = {}
  for i, entry in ipairs(list_of(given, "studies")) do
    local field = ("studies, number %d"):format(i)
    list[i] = study_of(entry, car, field)
    check_columns(list[i], field)
  end
  return list
end

local function fits_of(given)
  local list = {}
  for i, result in ipairs(list_of(given, "fits")) do
    local meta = name_of(result) and getmetatable(result)
    if not (meta and meta.__tostring) then
      core.fail{code = "type", field = ("fits, number %d"):format(i),
                message = ("must be a result, is %s"):format(user_values.what(result)),
                hint = "such as sy.cg_height, sy.corner_scales or car:reconcile give"}
    end
    list[i] = result
  end
  return list
end

--- See above.
function asked.of(given)
  check_fields(given)
  local title = given.title
  if title ~= nil and (type(title) ~= "string" or not title:find "%S") then
    core.fail{code = "type", field = "title", message = ("must be a text, is %s"):format(user_values.what(title))}
  end
  local cars = cars_of(given)
  return {cars = cars, title = title, fits = fits_of(given), studies = studies_of(given, cars[1])}
end

return asked
