--- car:attitude{...}: where the body stands with what is aboard, what is left under it, how it bounces and pitches.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local corners = require "steelyard.answers.corners"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local measurement = require "steelyard.measure.measurement"
local notes = require "steelyard.answers.notes"
local force = require "steelyard.answers.force"
local origin = require "steelyard.print.origin"
local sides = require "steelyard.file.sides"
local springs = require "steelyard.answers.springs"
local ride_height = require "steelyard.car.ride_height"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local attitude = {}
local Attitude = require("steelyard.reference.results").kind "attitude"

-- ---- named points ---------------------------------------------------------------------------------------------------------

local function follow(c, point, at)
  local places = require "steelyard.car.shaft_places"
  local frame, route = places.drawn_frame(c, point.part, at)
  if not frame then return at end
  local node = c.shared.nodes[c.base:item(route).number]
  return places.went(frame, at), (places.carried_by(c, node)), places.wheel_of(c, node, route)
end

-- Where the file's points are before the load moves the body: mm forward, left, up; `axle` when its wheels carry it, `wheel` when one does.
-- Those of parts that are not aboard are left out: their names come second. drawn: where the perches have not set the body either.
local function points_of(c, drawn)
  local list, left_out = {}, {}
  for _, point in ipairs(c.shared.spec.points or {}) do
    local at, axle, wheel = {c.geometry:point_in(point.at[1], point.at[2], point.at[3])}, nil, nil
    if point.part and not require("steelyard.car.shaft_places").point_is_aboard(c, point, at[2]) then
      left_out[#left_out + 1] = point.name
    else
      if point.part then at, axle, wheel = follow(c, point, at) end
      if not axle and not drawn then at = ride_height.point(c, at) end
      at.name, at.axle, at.wheel = point.name, axle, wheel
      list[#list + 1] = at
    end
  end
  return list, left_out
end

-- A wheel goes up by what the body and the travel do together. What one wheel carries goes with it (key), what both wheels of an axle carry
-- as a beam between them: left is its place across the car.
local function wheel_rise(c, r, axle, key, left)
  local at, rise = {}, {}
  for _, wheel in ipairs(c.geometry:wheels()) do
    if wheel.axle == axle then
      local body = r.heights[wheel.key] or axle == 1 and r.heights.front or r.heights.rear
      at[#at + 1], rise[#rise + 1] = wheel.left, body + r.travel[wheel.key]
      if wheel.key == key then return rise[#rise] end
    end
  end
  return rise[2] and rise[1] + (rise[2] - rise[1]) * (left - at[1]) / (at[2] - at[1]) or rise[1]
end

local function ground_of(c, r, points)
  local ground = {}
  for i, point in ipairs(points) do
    ground[point.name] = point[3] + (point.axle and wheel_rise(c, r, point.axle, point.wheel, point[2]) or r.rises[i])
  end
  return ground
end

-- ---- measured points -----------------------------------------------------------------------------------------------------

local MOST_ABOVE = 5000 -- mm above the floor: more is a typing error

local function measured_points(c, given, where)
  local list, names, by_name = {}, {}, {}
  for i, point in ipairs(points_of(c, true)) do names[i], by_name[point.name] = point.name, point end
  if not user_values.is_plain(given) then
    measurement.refuse(where, nil, "type", "is a table such as {nose = 98, tail = 121}, mm above the floor, not "
      .. user_values.what(given))
  end
  for _, name in ipairs(loading.sorted_keys(given)) do
    local point = by_name[name]
    if not point then
      local near = core.nearest(tostring(name), names)
      measurement.refuse(where, type(name) == "string" and name or text.named(name), "unknown", "is not a point of this car",
        near and ("did you mean %q?"):format(near) or #names > 0 and "the points are " .. text.list_names(names) or "the file has none")
    elseif point.axle then
      measurement.refuse(where, name, "geometry", "is carried by wheels, which do not pitch with the body")
    end
    local height, sd = measurement.number(given, name, "mm", {min = -MOST_ABOVE, max = MOST_ABOVE}, where)
    list[#list + 1] = {point[1], point[3], height, sd or 0, name = name, left = point[2]}
  end
  if #list ~= 2 then
    measurement.refuse(where, nil, #list < 2 and "missing" or "clash", ("has %s, two points say how the body pitches"):format(
      text.count(#list, "point")))
  end
  return list
end

--- How the body stands two of whose points were measured, {nose = 98, tail = sy.sd(121, 1)} in mm above the floor: {front, rear = mm up
-- from drawn at the axle lines, rake, pitch (nose up), points = names, off_centre = is one beside the centre plane, sd}.
function attitude.measured(c, given, where)
  local points = measured_points(c, given, where)
  local fine, r, sd = pcall(core.rake, c.geometry, points)
  if not fine then
    if getmetatable(r) ~= core.error_metatable then error(r, 0) end
    measurement.refuse(where, nil, r.code, ("%s and %s %s"):format(points[1].name, points[2].name, r.message))
  end
  local off_centre = math.abs(points[1].left) > 1 or math.abs(points[2].left) > 1 -- mm
  return {front = r.front, rear = r.rear, rake = r.rear - r.front, pitch = -r.nose_down, points = {points[1].name, points[2].name},
          off_centre = off_centre, sd = {front = sd.front, rear = sd.rear, pitch = sd.nose_down}}
end

--- How the car stands with what is aboard, for other answers: {rises(points) -> list of how far points of the body, mm forward, left and
-- up, go up from where they are drawn; wheel_rise(axle, wheel or nil, left) -> the same of what a wheel, or both of an axle, carry there,
-- as tyres give}. Raises what car:attitude refuses.
function attitude.loaded(c)
  local drawn, reset = springs.drawn(c)
  springs.check(c, drawn)
  local s = corners.setting(c, {}, drawn, reset)
  s.tanks = springs.tanks(c, reset)
  local function ask(points) return core.attitude(s, points) end
  local r = ask {}
  return {rises = function(points) return ask(points).rises end, wheel_rise = function(...) return wheel_rise(c, r, ...) end}
end

-- ---- the answer --------------------------------------------------------------------------------------------------------------

-- The CG in file axes, moved with the body and the wheels.
local function put_cg(c, r)
  local b = core.balance(c.now, c.geometry)
  local forward, left, up = c.geometry:point_in(b.cg.x, b.cg.y, b.cg.z)
  local s = r.cg_shift
  local x, y, z = c.geometry:point_out(forward + s.forward, left + s.left, up + s.up)
  r.cg, r.height = {x = x, y = y, z = z}, b.height + s.up
  r.cg_shift = nil
  return b
end

-- By axle; of one whose wheels differ the mean, and each wheel's own.
local function wheel_rates(c)
  local rates, by_axle = {}, {}
  for _, wheel in ipairs(c.geometry:wheels()) do
    local axle, own = c.axles[wheel.axle], by_axle[wheel.axle] or {}
    local rate = sides.number(axle, wheel.side, "spring_rate") * (sides.number(axle, wheel.side, "motion_ratio") or 1) ^ 2
    own[#own + 1], by_axle[wheel.axle] = {key = wheel.key, rate = rate}, own
  end
  for i, own in ipairs(by_axle) do
    local first, second = own[1], own[2] or own[1]
    rates[springs.axle_key(c, i)] = first.rate == second.rate and first.rate or (first.rate + second.rate) / 2
    if first.rate ~= second.rate then rates[first.key], rates[second.key] = first.rate, second.rate end
  end
  return rates
end

local function all_notes(c, drawn, s, r, reset, b)
  local list = corners.notes(c, drawn, s, r, reset)
  if b.points > 0 and r.pitch_inertia then
    list[#list + 1] = ('pitch inertia is "at least": %d of %d parts have no shape; with more of it the pitch frequency is lower'):format(
      b.points, b.parts)
  end
  for _, note in ipairs(notes.edits(c)) do list[#list + 1] = note end
  return list
end

-- The other car: a car, or the name of a state of this one.
local function other_of(self, against)
  if contents.is_car(against) then return against end
  if type(against) == "string" then return self:state(against) end
  core.fail{code = "type", field = "against", message = "is a car or the name of a load state"}
end

local function less(a, b)
  local d = {}
  for key, value in pairs(a) do d[key] = b[key] and value - b[key] or nil end
  return d
end

-- Standard uncertainties of the changes: errors that both cars have count with the difference of what they do.
local function sd_of_changes(r, c, s, other_car, other_s)
  local names = {"heights.front", "heights.rear", "rake", "pitch", "roll", "twist"}
  local pairing = require("steelyard.answers.changes.match").pairing_of(other_car, c)
  local list = core.change("attitude", other_s, s, names, pairing)
  r.sd.heights = {front = list[1], rear = list[2]}
  for i = 3, #names do r.sd[names[i]] = list[i] end
end

-- Heights, angles and travels as changes against another car.
local function compare(r, other)
  for _, key in ipairs(r.wheels) do
    if not other.travel[key] or #r.wheels ~= #other.wheels then
      core.fail{code = "clash", field = "against", message = ("%s stands on %s, this car on %s: their heights are not compared"):format(
        other.heading, table.concat(other.wheels, ", "), table.concat(r.wheels, ", "))}
    end
  end
  r.against = other.heading
  r.heights, r.travel, r.ground_change = less(r.heights, other.heights), less(r.travel, other.travel), less(r.ground, other.ground)
  for _, key in ipairs{"pitch", "roll", "twist", "rake"} do r[key] = r[key] - other[key] end
end

--- What the library is asked with these options: the car with its set-up and its air.
function attitude.asked_with(c, o)
  local s, drawn, reset = corners.asked_with(c, o)
  s.downforce, s.downforce_sd = force.downforce(c, o)
  return s, drawn, reset
end

--- The result table of car:attitude.
function attitude.of(c, self, given)
  local o = springs.options("car:attitude", given, "attitude")
  local s, drawn, reset = attitude.asked_with(c, o)
  local points, left_out = points_of(c)
  local r = core.attitude(s, points)
  r.ground = ground_of(c, r, points)
  r.rises = nil
  local _, sd = core.ask("attitude", s, nil, true)
  r.sd = {heights = {front = sd["heights.front"], rear = sd["heights.rear"]}, rake = sd.rake, pitch = sd.pitch, roll = sd.roll,
          twist = sd.twist, height = sd.height}
  springs.add_heights_set(c, r)
  r.rake = r.heights.rear - r.heights.front
  r.measured = o.measured ~= nil and attitude.measured(c, o.measured, "measured") or nil
  r.wheel_rate = r.wheel_rate or wheel_rates(c)
  local b = put_cg(c, r)
  r.state, r.heading = loading.title(c), self:heading()
  r.notes = all_notes(c, drawn, s, r, reset, b)
  if #left_out > 0 then r.notes[#r.notes + 1] = "points of parts that are not aboard are left out: " .. text.join_names(left_out) end
  r.downforce = force.by_key(c, s.downforce)
  if r.measured and r.measured.off_centre then
    r.notes[#r.notes + 1] = "measured points beside the centre plane count as on it: a roll of the body is not in their heights"
  end
  if s.downforce then table.insert(r.notes, 2, force.AIR .. "; frequencies and static deflections are of the masses alone") end
  r.wheels, r.at_least, r.axles = springs.wheels(c), b.points > 0, {}
  for i in ipairs(c.axles) do r.axles[i] = springs.axle_key(c, i) end
  if o.against ~= nil then
    local other = {}
    for key, value in pairs(o) do if key ~= "against" and key ~= "measured" then other[key] = value end end
    local there = other_of(self, o.against):attitude(other)
    local other_car = origin.car_of(there)
    compare(r, there)
    sd_of_changes(r, c, s, other_car, (attitude.asked_with(other_car, other)))
  end
  return origin.of_car(figures.keep(setmetatable(r, Attitude), c), c)
end

-- ---- in words -----------------------------------------------------------------------------------------------------------------

local function up_down(r, mm, sd)
  local decimals = figures.mm(r, 1)
  local shown = text.worded(mm, decimals, "up", "down")
  if not sd or sd == 0 then return shown end
  return text.plus_minus(math.abs(mm), sd, decimals) .. text.way(mm, decimals, " up", " down")
end

local function axle_table(r)
  local headings, rows = {{"", "%s"}}, {{"ride frequency, Hz"}, {"wheel hop, Hz"}, {"static deflection of spring and tyre, mm"}}
  for i, key in ipairs(r.axles) do
    headings[i + 1] = {key, "%s"}
    rows[1][i + 1] = r.frequency[key] and text.fixed(r.frequency[key], 2) or "-"
    rows[2][i + 1] = r.hop[key] and text.fixed(r.hop[key], 1) or "-"
    rows[3][i + 1] = r.deflection[key] and text.fixed(r.deflection[key], figures.mm(r, 0)) or "-"
  end
  return text.table(headings, rows)
end

local function stand_table(r)
  local rows = {}
  for i, key in ipairs(r.wheels) do
    local line = r.heights[key] and key or i == 1 and "front" or "rear"
    rows[i] = {key, up_down(r, r.heights[line]), text.worded(r.travel[key], figures.mm(r, 1), "bump", "droop")}
  end
  local sd = r.sd.heights or {}
  rows[#rows + 1] = {"front axle", up_down(r, r.heights.front, sd.front), ""}
  rows[#rows + 1] = {"rear axle", up_down(r, r.heights.rear, sd.rear), ""}
  return text.table({{r.against and "change, mm" or "from the drawn state, mm", "%s"}, {"body", "%s"}, {"wheel travel", "%s"}}, rows)
end

local function ground_table(r)
  if not next(r.ground) then return nil end
  local rows = {}
  for i, name in ipairs(loading.sorted_keys(r.ground)) do
    local change = r.ground_change and r.ground_change[name]
    rows[i] = {name, text.fixed(r.ground[name], figures.mm(r, 0)), change and up_down(r, change)}
  end
  local headings = {{"point", "%s"}, {"above ground, mm", "%s"}}
  if r.ground_change then headings[3] = {"change", "%s"} end
  return text.table(headings, rows)
end

-- Wheelbases from the sprung CG, beyond which a turning point is reported as none: over the length of the car the motion differs by less
-- than a tenth of itself.
local FAR = 10

local function node_words(r, mm, is_bounce)
  local axles = origin.car_of(r).axles
  if is_bounce and mm and math.abs(mm) > FAR * math.abs(axles[#axles].at - axles[1].at) then
    return ("and does not pitch: its turning point lies more than %d wheelbases away"):format(FAR)
  end
  if not mm then return "with no turning point: all of it goes up and down alike" end
  local decimals = figures.mm(r, 0)
  return ("about a point %s mm %s the sprung CG"):format(text.fixed(math.abs(mm), decimals), text.way(mm, decimals, "ahead of", "behind"))
end

local function mode_lines(r)
  if not r.node then return {"Bounce and pitch are not known: nothing sprung has an extent along the car."} end
  return {
    ("Bounce %s Hz %s; pitch %s Hz %s."):format(text.fixed(r.frequency.bounce, 2), node_words(r, r.node.bounce, true),
      text.fixed(r.frequency.pitch, 2), node_words(r, r.node.pitch)),
    ("Uncoupled %s and %s Hz; dynamic index (pitch inertia / m a b, not the yaw index) %s%s."):format(text.fixed(r.uncoupled.bounce, 2),
      text.fixed(r.uncoupled.pitch, 2), r.at_least and "at least " or "", r.dynamic_index and text.fixed(r.dynamic_index, 3) or "none"),
  }
end

function Attitude.__tostring(r)
  local lines = {page.heading(("%s: how it stands"):format(r.heading))}
  if r.against then lines[#lines + 1] = ("Changes against %s%s."):format(r.against, r.downforce and ", under the same downforce" or "") end
  if r.downforce then lines[#lines + 1] = force.air(r) end
  lines[#lines + 1] = stand_table(r)
  local rake = up_down(r, r.rake, r.sd.rake)
  rake = rake:find "[1-9]" and rake:gsub(" (%a+)$", " mm %1 against the nose") or "and nose alike"
  lines[#lines + 1] = text.sentence(("%s; tail %s"):format(corners.pose(r), rake))
  lines[#lines + 1] = ("CG height above ground %s mm."):format(text.plus_minus(r.height, r.sd.height, figures.mm(r, 0)))
  local m = r.measured
  if m then
    lines[#lines + 1] = ("By %s as measured: front axle %s, rear axle %s from the drawn state."):format(text.join_names(m.points),
      up_down(r, m.front, m.sd.front), up_down(r, m.rear, m.sd.rear))
  end
  local ground = ground_table(r)
  if ground then
    lines[#lines + 1] = ""
    lines[#lines + 1] = ground
  end
  lines[#lines + 1] = ""
  lines[#lines + 1] = axle_table(r)
  table.move(mode_lines(r), 1, 2, #lines + 1, lines)
  return page.of(r, lines)
end

return attitude
