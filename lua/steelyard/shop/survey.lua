--- sy.survey{drawn =, measured =, sd =, tapes =}: points measured back against the drawing: the rigid fit, and the point that does not fit.
--
-- drawn is {name = {x, y}} or what car:markout gave; measured {name = {x, y}} or {name = {a =, b =}} by two tapes. With a third
-- coordinate heights are compared too, after their mean. Fit by core/shop/survey.h.

local core = require "steelyard.core"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local text = require "steelyard.print.text"

local survey = {}

local SD = 2 -- mm, of a coordinate or a tape on a workshop floor: common practice

local function refuse(code, message, field, hint) core.fail{code = code, message = message, field = field, hint = hint} end

local function sorted_names(t, field)
  local names = {}
  for name in pairs(t) do
    if type(name) ~= "string" then refuse("type", "must be {name = {x, y}}", field) end
    names[#names + 1] = name
  end
  table.sort(names, core.before)
  return names
end

-- {name = {x =, y =, z =}} from either form of `drawn`.
local function read_drawn(given)
  if type(given) ~= "table" then refuse("missing", "is needed: {name = {x, y}} or what car:markout gave", "drawn") end
  local points = {}
  if type(given[1]) == "table" and given[1].name then
    for _, row in ipairs(given) do points[row.name] = {x = row.x, y = row.y, z = row.height} end
    return points
  end
  for _, name in ipairs(sorted_names(given, "drawn")) do
    local p, field = given[name], ("drawn[%s]"):format(name)
    if type(p) ~= "table" then refuse("type", "must be {name = {x, y}}", field) end
    named_places.check_point(p, field)
    local point = {}
    for i, letter in ipairs{"x", "y", "z"} do
      local value = p[letter] == nil and p[i] or p[letter]
      if value == nil and i < 3 then refuse("missing", ("has no %s"):format(letter), field) end
      if value ~= nil then point[letter] = named_places.number(value, "mm", field .. "." .. letter) end
    end
    points[name] = point
  end
  return points
end

-- value, sd of one reading
local function reading(value, field, sd)
  local number, stated = named_places.number(value, "mm", field)
  return number, stated > 0 and stated or sd
end

local function read_measured(name, p, sd)
  local field = ("measured[%s]"):format(name)
  if type(p) ~= "table" then refuse("type", "must be {x, y} or {a =, b =} by two tapes", field) end
  local line = {name = name, taped = p.a ~= nil or p.b ~= nil, value = {}, sd = {}}
  if line.taped then named_places.check_fields(p, field, options.known("shop", "taped")) else named_places.check_point(p, field) end
  local letters = line.taped and {"a", "b"} or {"x", "y"}
  for i, letter in ipairs(letters) do
    local value = p[letter]
    if value == nil and not line.taped then value = p[i] end
    if value == nil then refuse("missing", ("has no %s"):format(letter), field) end
    line.value[i], line.sd[i] = reading(value, field .. "." .. letter, sd)
  end
  local z = p.z
  if z == nil and not line.taped then z = p[3] end
  if z ~= nil then line.z, line.z_sd = reading(z, field .. ".z", sd) end
  return line
end

local function read_lines(o, drawn, sd)
  if type(o.measured) ~= "table" then refuse("missing", "is needed: {name = {x, y}}", "measured") end
  local lines = {}
  for _, name in ipairs(sorted_names(o.measured, "measured")) do
    local p = drawn[name]
    if not p then
      local near = core.nearest(name, sorted_names(drawn))
      refuse("unknown", ("no drawn point is called %q"):format(name), "measured", near and ("did you mean %q?"):format(near))
    end
    local line = read_measured(name, o.measured[name], sd)
    line.drawn, line.drawn_z = {p.x, p.y}, p.z
    lines[#lines + 1] = line
  end
  return lines
end

-- Heights against their own mean: rows' rise and sigmas.
local function put_heights(lines, rows)
  local sum, count = 0, 0
  for _, line in ipairs(lines) do
    if line.z and line.drawn_z then sum, count = sum + line.z - line.drawn_z, count + 1 end
  end
  if count < 2 then return nil end
  local mean = sum / count
  for i, line in ipairs(lines) do
    if line.z and line.drawn_z then
      rows[i].rise = line.z - line.drawn_z - mean
      local sigmas = math.abs(rows[i].rise) / (line.z_sd * math.sqrt(1 - 1 / count))
      rows[i].sigmas = math.max(rows[i].sigmas or 0, sigmas)
      rows[i].height_sigmas = sigmas
    end
  end
  return mean
end

local function rows_of(lines, fit, tapes)
  local rows = {}
  for i, line in ipairs(lines) do
    local p = fit.points[i]
    local x, y = line.value[1], line.value[2]
    if line.taped then x, y = core.tape_place(tapes, x, y, {p.x, p.y}) end
    rows[i] = {name = line.name, x = x, y = y, off = {x = x - p.x, y = y - p.y}, miss = math.sqrt((x - p.x) ^ 2 + (y - p.y) ^ 2),
               sigmas = p.sigmas}
  end
  return rows
end

-- The point that does not fit; several when the survey cannot tell them apart.
local function put_suspect(result, lines, fit)
  local worst = 0
  for _, row in ipairs(result.rows) do worst = math.max(worst, row.sigmas or 0) end
  result.fits = worst <= fit.critical
  if result.fits then return end
  local names = {}
  for _, row in ipairs(result.rows) do
    if row.height_sigmas == worst then names[#names + 1] = row.name end
  end
  if #names == 0 then -- in plan: the worst, and those whose error would look just like it
    for i, row in ipairs(result.rows) do if fit.points[i].worst then names[#names + 1] = row.name end end
  end
  table.sort(names, core.before)
  if #names == 1 and #lines > 2 then result.suspect = names[1] else result.tied = names end
end

-- How well the others agree without the suspect.
local function put_others(result, lines, tapes)
  if not result.suspect or #lines < 4 then return end
  local others = {}
  for _, line in ipairs(lines) do if line.name ~= result.suspect then others[#others + 1] = line end end
  local fit = core.survey(others, tapes)
  local most = 0
  for _, row in ipairs(rows_of(others, fit, tapes)) do most = math.max(most, row.miss) end
  result.others = {turn = fit.turn, shift = {x = fit.x, y = fit.y}, miss = most}
end

local function notes_of(drawn, lines, used_default)
  local list, left = {}, {}
  local seen = {}
  for _, line in ipairs(lines) do seen[line.name] = true end
  for _, name in ipairs(sorted_names(drawn)) do if not seen[name] then left[#left + 1] = name end end
  if used_default then list[1] = ("readings without a stated uncertainty are taken as good to %d mm, one standard deviation"):format(SD) end
  if #left > 0 then list[#list + 1] = "not measured: " .. text.join_names(left) end
  if #lines == 2 then list[#list + 1] = "two points show only that their distance differs, not which is wrong" end
  return list
end

--- sy.survey.
function survey.of(o)
  if type(o) ~= "table" then refuse("type", "sy.survey needs a table: sy.survey{drawn = {...}, measured = {...}}") end
  o = named_places.check_fields(o, "sy.survey", options.known("shop", "survey"))
  local sd = o.sd == nil and SD or named_places.number(o.sd, "mm", "sd")
  if sd <= 0 then refuse("range", "must be above 0 mm", "sd") end
  local drawn, tapes = read_drawn(o.drawn), o.tapes ~= nil and named_places.tapes(o.tapes) or nil
  local lines = read_lines(o, drawn, sd)
  local fit = core.survey(lines, tapes)
  local result = {turn = fit.turn, shift = {x = fit.x, y = fit.y}, chi2 = fit.chi2, dof = fit.dof,
                  sd = {turn = fit.sd.turn, shift = {x = fit.sd.x, y = fit.sd.y}},
                  rows = rows_of(lines, fit, tapes), notes = notes_of(drawn, lines, o.sd == nil)}
  result.shift.height = put_heights(lines, result.rows)
  put_suspect(result, lines, fit)
  put_others(result, lines, tapes)
  for _, row in ipairs(result.rows) do row.height_sigmas = nil end
  return setmetatable(result, require "steelyard.shop.survey.print")
end

return survey
