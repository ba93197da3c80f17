--- car:markout{state =, points =, what =, tapes =, tape_sd =, trolleys =}: what to chalk on the floor, and how high things are above it.
--
-- Floor coordinates are the file's own two level axes, its datum where they are 0: x and y of the result, whatever the letters of these
-- axes are in the file (`level` says). Heights are those at the ride height drawn, on
-- the loaded radii. Each place is also given by two tapes from two fixed points.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local places = require "steelyard.car.shaft_places"
local resolve = require "steelyard.car.resolve"
local named_places = require "steelyard.car.named_places"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"

local markout = {}

local TAPE_SD = 2 -- mm: a tape along a workshop floor, common practice
local SHARP = 30 -- deg: tapes that cross at less double a tape's uncertainty and more; common practice

-- Of the tape points from the outermost mark, where nobody says where they are, mm: room to kneel, and no farther than a tape is handy.
local CLEAR, FAR, STEP = 300, 2500, 100

local letters = {"x", "y", "z"}

local function refuse(code, message, field, hint) core.fail{code = code, message = message, field = field, hint = hint} end

-- Which of the file's coordinates lie level, in their order.
local function level_axes(c)
  local list = {}
  for i, letter in ipairs(letters) do
    local way = c.shared.spec.axes[letter]
    if way ~= "up" and way ~= "down" then list[#list + 1] = i end
  end
  return list
end

-- forward, left, up to the two floor coordinates and the height above the floor
local function on_floor(c, at)
  local p, axes = {c.geometry:point_out(at[1], at[2], at[3])}, level_axes(c)
  return p[axes[1]], p[axes[2]], at[3]
end

-- ---- what is marked -------------------------------------------------------------------------------------------------

local function top_group(path) return path and path:match "^[^/]+" or "car" end

local function add_wheels(c, list)
  for _, wheel in ipairs(c.geometry:wheels()) do
    list[#list + 1] = {name = wheel.key .. " wheel", assembly = "wheels",
                       at = {wheel.forward, wheel.left, (sides.number(c.axles[wheel.axle], wheel.side, "loaded_radius"))}}
  end
end

local function add_spot(c, list, spot)
  local part
  for _, point in ipairs(spot.named and c.shared.spec.points or {}) do if point.name == spot.name then part = point.part end end
  local route = part and c.shared.filed:find(part)[1]
  list[#list + 1] = {name = spot.name, assembly = top_group(route and resolve.path(c.base, route)), at = spot.at}
end

-- All points of the file; those on a part that is not there cannot be marked.
local function add_points(c, list, asked, left_out)
  if asked ~= nil then
    if type(asked) ~= "table" then refuse("type", "is a list of names or {x, y, z}", "points") end
    for _, spot in ipairs(named_places.list(c, asked, "points", true)) do add_spot(c, list, spot) end
    return
  end
  for _, point in ipairs(c.shared.spec.points or {}) do
    local fine, spot = pcall(named_places.find, c, point.name, "points")
    if fine then
      add_spot(c, list, spot)
    elseif type(spot) == "table" then
      left_out[#left_out + 1] = point.name
    else
      error(spot, 0)
    end
  end
end

local function add_joints(c, list)
  for _, shaft in ipairs(c.shared.spec.shafts or {}) do
    local place = places.find(c, shaft)
    for _, which in ipairs{"inner", "outer"} do
      if place then list[#list + 1] = {name = ("%s, %s joint"):format(shaft.name, which), assembly = "shafts", at = place[which].at} end
    end
  end
end

-- Places of parts: all stand-ins of a mock-up, or what is asked for.
local function add_parts(c, list, what)
  local routes = what ~= nil and resolve.parts(c, what).routes or nil
  if not routes and not (c.state and c.state.stand_ins) then return end
  for _, item in ipairs(c.now:items(true)) do
    if resolve.within(item.route, routes) and item.aboard and item.form == "part" then
      local path = resolve.path(c.now, item.route)
      list[#list + 1] = {name = path, assembly = top_group(path), at = item.origin}
    end
  end
end

-- ---- tapes -----------------------------------------------------------------------------------------------------------

-- How sharply the tapes cross at a place, deg.
local function crossing_at(c, tapes, at)
  local x, y = on_floor(c, at)
  local _, _, crossing = core.tape_uncertainty(tapes, {x, y}, TAPE_SD, TAPE_SD)
  return crossing
end

-- A coordinate that can be chalked: without the rounding that a file's own datum brings in.
local function to_chalk(x) return math.floor(x * 10 + 0.5) / 10 end

-- Left of the car on the lines of its first and last axle, as near as lets most marks be good: on the centre line between the two, tapes
-- would lie along one another. Distances from the centre plane in whole 100 mm.
local function beside(c, marks)
  local lines, out = c.geometry:axle_lines(), 0
  for _, wheel in ipairs(c.geometry:wheels()) do out = math.max(out, wheel.left) end
  for _, mark in ipairs(marks) do out = math.max(out, mark.at[2]) end
  local best, fewest = nil, math.huge
  for away = math.ceil((out + CLEAR) / STEP), (out + FAR) // STEP do
    local tapes, poor = {}, 0
    for i, forward in ipairs{lines[1], lines[#lines]} do
      local x, y = on_floor(c, {forward, away * STEP, 0})
      tapes[i] = {to_chalk(x), to_chalk(y)}
    end
    for _, mark in ipairs(marks) do
      if not (crossing_at(c, tapes, mark.at) >= SHARP) then poor = poor + 1 end
    end
    if poor < fewest then best, fewest = tapes, poor end
  end
  return best
end

-- ---- trolleys -------------------------------------------------------------------------------------------------------

local function read_trolleys(c, list)
  if type(list) ~= "table" then refuse("type", "is a list of places along the car or points", "trolleys") end
  local found = {}
  for i, value in ipairs(list) do
    local field = ("trolleys[%d]"):format(i)
    if type(value) == "number" then
      local p = {0, 0, 0}
      for k, letter in ipairs(letters) do
        local way = c.shared.spec.axes[letter]
        if way == "forward" or way == "back" then p[k] = named_places.number(value, "mm", field) end
      end
      local forward = c.geometry:point_in(p[1], p[2], p[3])
      found[i] = {at = {forward, 0, 0}, line = true, name = named_places.coordinate(value)}
    else
      found[i] = named_places.find(c, value, field, true)
    end
  end
  return found
end

local function line_loads(found, b)
  if #found ~= 2 then refuse("range", ("are %d; two places along the car, or three points and more"):format(#found), "trolleys") end
  local first, last = found[1].at[1], found[2].at[1]
  if first == last then refuse("geometry", "stand in one place", "trolleys") end
  local share = (first + b.cg_behind) / (first - last) -- of the second one; the CG lies cg_behind behind 0
  return {1 - share, share}
end

-- Uncertainties of two trolleys' loads: those of a car with its axles there. Nil where the file has more axles than two.
local function line_uncertainties(c, found)
  if #c.axles ~= 2 then return {} end
  local first = found[1].at[1] > found[2].at[1] and 1 or 2
  local axles = {}
  for i, axle in ipairs(c.axles) do
    axles[i] = {}
    for key, value in pairs(axle) do axles[i][key] = value end
    axles[i].at_sd, axles[i].track_sd = nil, nil -- it stands where it is put
    axles[i].left, axles[i].right, axles[i].loaded_radius = nil, nil, (sides.mean(axle, "loaded_radius")) -- a trolley is a line
    local at = c.geometry:axle_lines()[i]
    axles[i].moved = (axle.moved or 0) + found[i == 1 and first or 3 - first].at[1] - at
  end
  local b = core.balance(c.now, build.geometry(c.shared.spec, axles))
  local sd = {}
  sd[first], sd[3 - first] = b.sd.front, b.sd.rear
  return sd
end

local function plan_loads(found, b)
  local at = {}
  for i, spot in ipairs(found) do at[i] = {spot.at[1], spot.at[2]} end
  local held = core.support(at, {-b.cg_behind, b.cg_left}, {})
  if held.margin <= 0 then
    refuse("geometry", ("do not hold it: the CG lies %s mm outside"):format(text.fixed(-held.margin, 0)), "trolleys")
  end
  return held.loads
end

local function put_trolleys(c, result, list)
  if list == nil then return end
  local b = core.balance(c.now, c.geometry)
  local found = read_trolleys(c, list)
  local line = true
  for _, spot in ipairs(found) do line = line and spot.line end
  local shares = line and line_loads(found, b) or plan_loads(found, b)
  local uncertainties = line and line_uncertainties(c, found) or {}
  for i, spot in ipairs(found) do
    local x, y, height = on_floor(c, spot.at)
    if line then -- a place along the car alone: the floor coordinate across it says nothing
      local way = c.shared.spec.axes[letters[level_axes(c)[1]]]
      if way == "left" or way == "right" then x = nil else y = nil end
      height = nil
    end
    result.trolleys[i] = {name = spot.name, x = x, y = y, height = height, load = shares[i] * b.mass, share = 100 * shares[i],
                          sd = {load = uncertainties[i]}}
    if shares[i] < 0 then
      result.notes[#result.notes + 1] = ("the trolley at %s would lift: the CG lies outside the two"):format(spot.name)
    end
  end
end

-- ---- the list -------------------------------------------------------------------------------------------------------

local function row_of(c, mark, tapes, tape_sd)
  local x, y, height = on_floor(c, mark.at)
  local a, b = core.tape_lengths(tapes, {x, y})
  local sd_x, sd_y, crossing = core.tape_uncertainty(tapes, {x, y}, tape_sd, tape_sd)
  local row = {name = mark.name, assembly = mark.assembly, x = x, y = y, height = height, tapes = {a = a, b = b}, sd = {}}
  if sd_x < math.huge then
    row.sd.x, row.sd.y = sd_x, sd_y
    row.crossing, row.poor = crossing, crossing < SHARP
    if row.poor then row.why = ("the tapes cross at %s deg"):format(text.fixed(crossing, 0)) end
  else
    row.poor, row.why = true, "on the line between the tape points: measure along it"
  end
  return row
end

--- car:markout.
function markout.of(c, self, o)
  o = named_places.check_fields(o, "car:markout", options.known("shop", "markout"))
  if o.state ~= nil then
    self = self:state(o.state)
    c = contents.inside(self)
  end
  local tape_sd = o.tape_sd == nil and TAPE_SD or named_places.number(o.tape_sd, "mm", "tape_sd")
  if tape_sd <= 0 then refuse("range", "must be above 0 mm", "tape_sd") end
  local marks, left_out = {}, {}
  if o.points == nil and o.what == nil then add_wheels(c, marks) end
  if o.points ~= nil or o.what == nil then add_points(c, marks, o.points, left_out) end
  if o.points == nil and o.what == nil then add_joints(c, marks) end
  if o.points == nil then add_parts(c, marks, o.what) end
  local tapes = o.tapes ~= nil and named_places.tapes(o.tapes) or beside(c, marks)
  local result = {state = loading.title(c), heading = self:heading(), tape_points = {{x = tapes[1][1], y = tapes[1][2]}, {x = tapes[2][1],
    y = tapes[2][2]}},
                  tape_sd = tape_sd, trolleys = {}, sd = {}, notes = {}}
  if o.tapes == nil then
    result.notes[1] = "no tape points were given: A and B lie left of the car on the lines of its first and last axle"
  end
  local level = level_axes(c)
  result.level = {letters[level[1]], letters[level[2]]}
  local poor = 0
  for i, mark in ipairs(marks) do
    result[i] = row_of(c, mark, tapes, tape_sd)
    if result[i].poor then poor = poor + 1 end
  end
  if poor > 0 then
    result.notes[#result.notes + 1] = ("the tapes cross at less than %d deg at %s: hold them to points further to the side"):format(SHARP,
      text.count(poor, "point"))
  end
  if #left_out > 0 then result.notes[#result.notes + 1] = "not marked, their part is not there: " .. text.join_names(left_out) end
  put_trolleys(c, result, o.trolleys)
  local b = core.balance(c.now, c.geometry)
  result.mass = b.mass
  if c.state and c.state.stand_ins then
    result.notes[#result.notes + 1] = "stand-ins only: this is the mock-up, its mass is not the car's"
  end
  for _, note in ipairs(notes.gaps(c, b)) do result.notes[#result.notes + 1] = note end
  return origin.of_car(setmetatable(result, require "steelyard.shop.markout.print"), c)
end

return markout
