--- What corners, perches and attitude share: the drawn state, the rates they need, tables by wheel and by axle.
--
-- The springs are as they were set for the file: in its design state the body stands at its drawn heights, without twist, and
-- with its cross weight. Loads, edits, pads and perches are changes from there. With `reset` the edits count as drawn too.

local core = require "steelyard.core"
local axles = require "steelyard.file.axles"
local sides = require "steelyard.file.sides"
local user_values = require "steelyard.file.user_values"
local drawn = require "steelyard.car.drawn"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local text = require "steelyard.print.text"

local springs = {}

-- ---- what was asked ---------------------------------------------------------------------------------------------------

local function refuse_unknown(call, given, set)
  local known = options.names("springs", set)
  for _, key in ipairs(loading.sorted_keys(given)) do
    if not options.known("springs", set)[key] then
      local near = core.nearest(tostring(key), known)
      core.fail{code = "unknown", field = type(key) == "string" and key or text.named(key),
                message = "is not an option of " .. call,
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(known)}
    end
  end
end

--- Options are a table with the fields of a set in reference/options/springs.lua.
function springs.options(call, given, set)
  if given == nil then return {} end
  if type(given) ~= "table" then
    core.fail{code = "type", message = ("%s takes its options in braces, got %s"):format(call, user_values.what(given))}
  end
  local known = options.known("springs", set)
  for key in pairs(given) do
    if not known[key] then refuse_unknown(call, given, set) end
  end
  if given.reset ~= nil and type(given.reset) ~= "boolean" then
    core.fail{code = "type", field = "reset", message = ("must be true or false, is %s"):format(user_values.what(given.reset))}
  end
  return given
end

--- One number: value, standard uncertainty or 0.
function springs.number(value, unit, field, most)
  local number, sd, message, hint = user_values.number(value, unit)
  if not number then core.fail{code = sd, field = field, message = message, hint = hint} end
  if most and math.abs(number) > most then
    core.fail{code = "range", field = field, message = ("is %s; the largest accepted value is %s"):format(
      user_values.with_unit(number, unit), user_values.with_unit(most, unit))}
  end
  return number, sd or 0
end

--- Are bars connected? `usual` when nothing is said.
function springs.bars(o, usual)
  if o.bars == nil then return usual end
  if o.bars == "connected" then return true end
  if o.bars == "off" then return false end
  local near = type(o.bars) == "string" and core.nearest(o.bars, {"off", "connected"})
  core.fail{code = "type", field = "bars", message = ('must be "off" or "connected", is %s'):format(user_values.what(o.bars)),
            hint = near and ("did you mean %q?"):format(near) or nil}
end

-- More slope than a floor has; car:transfer and car:stability know what leans then.
local MOST_SLOPE = 15 -- deg

local leaning = {nose_up = {"nose_up", 1}, nose_down = {"nose_up", -1}, left_up = {"left_up", 1}, right_up = {"left_up", -1}}

--- How the ground slopes, {nose_up = 1, right_up = 0.5} in degrees: {nose_up =, left_up =} and the same of standard uncertainties,
-- nil without any.
function springs.slope(given)
  if given == nil then return nil end
  if not user_values.is_plain(given) then
    core.fail{code = "type", field = "slope", message = ("is a table such as {nose_up = 1}, in degrees, not %s"):format(
      user_values.what(given))}
  end
  local values, sds = {}, {}
  for _, key in ipairs(loading.sorted_keys(given)) do
    local way = leaning[key]
    if not way then
      local leanings = options.names("springs", "slope")
      local near = core.nearest(tostring(key), leanings)
      core.fail{code = "unknown", field = "slope", message = ("%s is not a way to lean"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(leanings)}
    end
    if values[way[1]] then
      core.fail{code = "clash", field = "slope", message = ("%s and its opposite exclude each other"):format(key)}
    end
    local angle, sd = springs.number(given[key], "deg", "slope." .. key, MOST_SLOPE)
    values[way[1]], sds[way[1]] = way[2] * angle, sd > 0 and sd or nil
  end
  return next(values) and values, next(sds) and sds or nil
end

--- {"lf=2", "rr=-1"} from a command line as {lf = 2, rr = -1}.
function springs.pairs_of(list, option)
  if not list then return nil end
  local values = {}
  for _, pair in ipairs(list) do
    local key, number = pair:match "^%s*([%w_]+)%s*=%s*(%S+)%s*$"
    local value = number and core.number(number)
    if not value then
      core.fail{code = "usage", message = ("--%s takes %s, not %q"):format(option,
        option == "slope" and "WAY=DEGREES, such as nose_up=0.5" or "WHEEL=NUMBER, such as lf=1.5", pair)}
    end
    if values[key] then core.fail{code = "usage", message = ("--%s gives %s twice"):format(option, key)} end
    values[key] = value
  end
  return values
end

--- {"nose=98", "tail=121"} from a command line as {nose = 98, tail = 121}: names with blanks are whole.
function springs.named_numbers(list, option)
  if not list then return nil end
  local values, before = {}, ""
  for i, piece in ipairs(list) do
    local pair = before .. piece
    if not piece:find "=" and i < #list then -- a comma in the name
      before = pair .. ","
      goto next_piece
    end
    before = ""
    local name, number = pair:match "^%s*(.-)%s*=%s*(%S+)%s*$"
    local value = number and core.number(number)
    if not value then
      core.fail{code = "usage", message = ("--%s takes NAME=NUMBER, such as nose=98, not %q"):format(option, pair)}
    end
    if values[name] then core.fail{code = "usage", message = ("--%s gives %s twice"):format(option, name)} end
    values[name] = value
    ::next_piece::
  end
  return values
end

local wheels_of = setmetatable({}, {__mode = "k"}) -- geometry -> {list, index}

--- Keys of the wheels of a car in their order, and key -> number.
function springs.wheels(c)
  local kept = wheels_of[c.geometry]
  if kept then return kept[1], kept[2] end
  local list, index = {}, {}
  wheels_of[c.geometry] = {list, index}
  for i, wheel in ipairs(c.geometry:wheels()) do
    list[i], index[wheel.key] = wheel.key, i
  end
  for other, key in pairs(axles.also_called) do
    if index[key] and not index[other] then index[other] = index[key] end
  end
  return list, index
end

local function zeros(count)
  local list = {}
  for i = 1, count do list[i] = 0.0 end
  return list
end

local function read_table(given, field, unit, most, names, index, kind)
  if given == nil then return nil end
  if not user_values.is_plain(given) then
    core.fail{code = "type", field = field, message = ("is a table by %s such as {%s = 1}, not %s"):format(kind, names[1],
      user_values.what(given))}
  end
  local values, sds, taken = zeros(#names), nil, {}
  for _, key in ipairs(loading.sorted_keys(given)) do
    local i = index[key]
    if not i then
      local near = core.nearest(tostring(key), names)
      core.fail{code = "unknown", field = field, message = ("%s is not a %s of this car"):format(text.named(key), kind),
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(names)}
    end
    if taken[i] then
      core.fail{code = "clash", field = field, message = ("%s and %s are the same %s"):format(taken[i], key, kind)}
    end
    taken[i] = key
    local value = given[key]
    if type(value) == "number" and value >= -most and value <= most then
      values[i] = value + 0.0
    else
      local sd
      values[i], sd = springs.number(value, unit, ("%s.%s"):format(field, key), most)
      if sd > 0 then
        sds = sds or zeros(#names)
        sds[i] = sd
      end
    end
  end
  return values, sds
end

--- {lf = 1} as a list of numbers in the order of the wheels, and one of standard uncertainties where any was stated.
function springs.by_wheel(c, given, field, unit, most)
  if given == nil then return nil end
  local names, index = springs.wheels(c)
  return read_table(given, field, unit, most, names, index, "wheel")
end

--- The key of an axle in results: front and rear of two, else its name.
function springs.axle_key(c, i) return #c.axles == 2 and (i == 1 and "front" or "rear") or c.axles[i].name end

--- {front = 1} as a list in the order of the axles.
function springs.by_axle(c, given, field, unit, most)
  if given == nil then return nil end
  local names, index = {}, {}
  for i, axle in ipairs(c.axles) do
    names[i] = springs.axle_key(c, i)
    index[names[i]] = i
    index[axle.name] = index[axle.name] or i
  end
  return read_table(given, field, unit, most, names, index, "axle")
end

-- ---- the drawn state ------------------------------------------------------------------------------------------------------

springs.design_state, springs.title, springs.drawn = drawn.design_state, drawn.title, drawn.ledger

-- Most cars have no tank: what this file needs to know of that is kept without the module.
local function has_tanks(c)
  local any = c.structure.has_tanks
  if any == nil then
    any = false
    for _, node in ipairs(c.shared.nodes) do any = any or node.kind == "tank" end
    c.structure.has_tanks = any
  end
  return any
end

local liquids -- steelyard.liquids, once there is a tank

--- The tanks whose liquid follows the body, for steelyard.core; nil when there are none.
function springs.tanks(c, reset)
  if not has_tanks(c) then return nil end
  liquids = liquids or require "steelyard.car.liquids"
  return liquids.tanks(c, reset)
end

--- liquids.note and its like, for a car with tanks; after springs.tanks.
function springs.note_liquids(how, c, ...)
  if has_tanks(c) then liquids[how](c, ...) end
end

--- How far the body was lowered or raised by car:lower and car:raise, mm at the axle lines.
function springs.heights_set(c) return c.heights_set or {front = 0, rear = 0} end

--- Heights, travels and pitch of a result counted from the drawn heights and not from the set ones.
function springs.add_heights_set(c, r)
  if not c.heights_set then return r end
  local ride_height = require "steelyard.car.ride_height"
  local heights, travel = r.heights, r.travel
  heights.front, heights.rear = heights.front + c.heights_set.front, heights.rear + c.heights_set.rear
  for _, wheel in ipairs(c.geometry:wheels()) do
    local height = ride_height.height_at(c, wheel.axle, wheel.side)
    if heights[wheel.key] then heights[wheel.key] = heights[wheel.key] + height end
    travel[wheel.key] = travel[wheel.key] - height
  end
  r.pitch = r.pitch - ride_height.nose_down(c)
  return r
end

-- ---- the cross weight the springs were set to -------------------------------------------------------------------------------------

-- The share of the drawn state with which the car of the record reads as it did: {geometry =, beside =}, kept for the drawn ledger.
local function set_by_record(c, drawn_ledger)
  local cross = c.measured.cross
  cross.set = cross.set or setmetatable({}, {__mode = "k"}) -- by geometry
  local kept = cross.set[c.geometry]
  if not kept or kept.drawn ~= drawn_ledger then
    local stood = {now = cross.stood.now, drawn = drawn_ledger, geometry = c.geometry, tanks = springs.tanks(cross.stood, false)}
    local share, beside = core.beside(stood, cross.share)
    local ride = c.heights_set and require "steelyard.car.ride_height"
    local set = {share = share, sd = cross.sd}
    local geometry = ride and ride.geometry(c, set) or require("steelyard.car.build").geometry(c.shared.spec, c.axles, set, c.measured)
    kept = {drawn = drawn_ledger, geometry = geometry, beside = beside}
    cross.set[c.geometry] = kept
  end
  return kept
end

--- The geometry that the springs were set with, and how its cross weight rests on one that was measured. reset: they are set anew.
function springs.set_with(c, drawn_ledger, reset)
  if not (c.measured and c.measured.cross) then return c.geometry end
  if reset then return require("steelyard.car.build").geometry(c.shared.spec, c.axles, nil, c.measured) end
  local set = set_by_record(c, drawn_ledger)
  return set.geometry, set.beside
end

-- ---- rates -----------------------------------------------------------------------------------------------------------------

local function bends(entry) return entry and (type(entry.motion_ratio) == "table" or entry.bump_stop ~= nil) end

local bent = setmetatable({}, {__mode = "k"}) -- geometry -> boolean

--- Does the rate of any wheel change with its travel: a curve of motion ratios, a bump stop?
function springs.bent(c)
  local is = bent[c.geometry]
  if is == nil then
    is = false
    for _, axle in ipairs(c.axles) do is = is or bends(axle) or bends(axle.left) or bends(axle.right) or false end
    bent[c.geometry] = is
  end
  return is
end

local function refuse(c, axle, code, field, message, hint)
  core.fail{code = code, file = c.shared.file, part = axle.name, kind = "axle", field = field, message = message, hint = hint}
end

-- The line of the ratio of "left front wheel" in the file, where the car has it from there.
local function ratio_line(c, wheel)
  for i, axle in ipairs(c.axles) do
    local side = wheel:match("^(%S+) " .. axle.name:gsub("%p", "%%%0") .. " wheel$")
    if side and axle == c.shared.spec.axles[i] then
      local line_of = require("steelyard.file.first_problem").line_of
      if axle[side] and axle[side].motion_ratio then return line_of(c.shared.spec, "axles", i, side, "motion_ratio") end
      return line_of(c.shared.spec, "axles", i, "motion_ratio")
    end
  end
end

-- Rates that change with travel stay above 0: what the library says of a wheel is one of the file.
local function check_bent(c, ledger)
  local fine, found = pcall(core.corners, {now = ledger, geometry = c.geometry})
  if fine then return end
  if getmetatable(found) ~= core.error_metatable or found.field ~= "motion_ratio" then error(found, 0) end
  core.fail{code = found.code, file = c.shared.file, line = ratio_line(c, found.part), part = found.part, kind = "",
            field = found.field, message = found.message,
            hint = "a softer curve, a stiffer spring or less load on it keep the rate up; such a wheel would fall into bump by itself"}
end

-- All wheels of the axle have that rate.
local function need(c, axle, field, hint)
  if sides.all_have(axle, field) then return end
  local one = sides.number(axle, 1, field) and "right" or sides.number(axle, -1, field) and "left"
  refuse(c, axle, "missing", field, ("is not given%s, so nothing can be said about this car on its springs"):format(
    one and (" for the %s wheel"):format(one) or ""), hint)
end

local checked = setmetatable({}, {__mode = "k"}) -- geometry -> drawn ledger that stood

--- Why nothing can be said about the car on its springs, or nil: "spring_rate of the front axle is not given".
function springs.unknown(c)
  for _, axle in ipairs(c.axles) do
    for _, field in ipairs{"spring_rate", "tyre_rate"} do
      if not sides.all_have(axle, field) then return ("%s of the %s axle is not given"):format(field, axle.name) end
    end
  end
end

--- Everything the springs need is there and the drawn state stands. Asked once for a geometry.
function springs.check(c, ledger)
  loading.need_mass(c)
  if checked[c.geometry] == ledger then return end
  for _, axle in ipairs(c.axles) do
    need(c, axle, "spring_rate")
    need(c, axle, "tyre_rate", "tyres of road cars have 150 to 300 N/mm, from memory")
    if axle.wheels == 1 and (axle.bar_rate or 0) > 0 then
      refuse(c, axle, "geometry", "bar_rate", "is given on a single wheel, a bar joins two wheels")
    end
  end
  local keys = springs.wheels(c)
  for i, load in ipairs(core.answers(ledger, c.geometry, keys)) do
    if load <= 0 then
      local _, tips = pcall(core.corners, {now = ledger, geometry = c.geometry}) -- no cross weight helps a CG outside the wheels
      if type(tips) == "table" and tips.field == "cg" then
        core.fail{code = "geometry", file = c.shared.file, field = "cg",
          message = ("lies outside the wheels as drawn (%s): it would tip"):format(springs.title(c))}
      end
      local crossed = core.split(c.geometry) == "cross weight"
      core.fail{code = "geometry", file = c.shared.file, part = keys[i], kind = "wheel", field = crossed and "cross_share" or nil,
        message = ("would carry %s kg as drawn (%s%s): springs cannot be set for a wheel off the ground"):format(
          core.fixed(load, 1), springs.title(c),
          crossed and (", cross weight %s %%"):format(text.plain(c.shared.spec.cross_share or 50)) or "")}
    end
  end
  if springs.bent(c) then check_bent(c, ledger) end
  checked[c.geometry] = ledger
end

--- car:corners() where the car stands on its springs, else nil and why not: rates that the file does not state, or a drawn state that no
-- springs hold. Any other error goes on.
function springs.try(car)
  local fine, found = pcall(car.corners, car)
  if fine then return found end
  if getmetatable(found) ~= core.error_metatable then error(found, 0) end
  if found.code == "missing" then return nil, "spring and tyre rates are not in the file" end
  return nil, (tostring(found):gsub("^[^:]*%.lua: ", ""))
end

return springs
