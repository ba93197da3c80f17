--- A reading of the scales, and of ride heights, that car:perches starts from: who was aboard, what each wheel read, where the body stood.

local core = require "steelyard.core"
local attitude = require "steelyard.answers.attitude"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local measurement = require "steelyard.measure.measurement"
local ride_height = require "steelyard.car.ride_height"
local match = require "steelyard.answers.changes.match"
local origin = require "steelyard.print.origin"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vocabulary = require "steelyard.file.vocabulary"
local wheel_loads = require "steelyard.measure.wheel_loads"

local reading = {}
local inside = contents.inside
local refuse = measurement.refuse

local WHERE = "reading"
local MOST_HEIGHT = 300 -- mm: more is a typing error

-- ---- what was given -----------------------------------------------------------------------------------------------------------

local others = {state = true, heights = true} -- what stands beside the wheels

local function refuse_unknown(c, given)
  local keys, index = springs.wheels(c)
  for _, key in ipairs(loading.sorted_keys(given)) do
    if not index[key] and not others[key] then
      local known = table.move(keys, 1, #keys, 3, {"state", "heights"})
      local near = core.nearest(tostring(key), known)
      refuse(WHERE, type(key) == "string" and key or text.named(key), "unknown", "there is no such field",
        near and ("did you mean %q?"):format(near) or "the fields are " .. text.join(known))
    end
  end
end

local function loads_only(given)
  local rest = {}
  for key, value in pairs(given) do
    if not others[key] then rest[key] = value end
  end
  return rest
end

-- Loads say something of the perches on four wheels only.
local function need_crossed(c, field)
  local split = core.split(c.geometry)
  if split == "cross weight" then return end
  refuse(WHERE, field, "geometry", split == "determinate"
    and "three wheels carry what balance gives them, so loads say nothing of the perches"
    or "of the loads a cross weight is taken, on two axles of two wheels only",
    "give the ride heights that were measured: reading = {heights = {front = 0, rear = 0}}")
end

-- The loads in the order of the wheels, or nil when only heights were read.
local function read_loads(c, given)
  local result = not user_values.is_plain(given) -- of sy.corner_scales
  local loads = result and given or loads_only(given)
  if not result and next(loads) == nil then return nil end
  local keys = springs.wheels(c)
  need_crossed(c, not result and loading.sorted_keys(loads)[1] or nil)
  local list, assumed = wheel_loads.read(loads, keys, {where = WHERE, wheels = true})
  for i, one in ipairs(list) do
    if not (one.load > 0) then
      refuse(WHERE, keys[i], "range", "reads 0 kg: a wheel off the scale says nothing of its perch")
    end
  end
  return list, assumed
end

-- At the axle lines from drawn, or two points of the file above the floor.
local function read_heights(c, given)
  if user_values.is_plain(given) and given.heights ~= nil then
    local t, list = given.heights, {}
    if not user_values.is_plain(t) or (next(t) ~= nil and t.front == nil and t.rear == nil) then
      local m = attitude.measured(c, t, WHERE .. ", heights")
      return {front = m.front, rear = m.rear, front_sd = m.sd.front, rear_sd = m.sd.rear}
    end
    measurement.fields(t, {"front", "rear"}, WHERE .. ", heights")
    for _, key in ipairs{"front", "rear"} do
      list[key], list[key .. "_sd"] = measurement.number(t, key, "mm", {min = -MOST_HEIGHT, max = MOST_HEIGHT}, WHERE .. ", heights")
    end
    if list.front or list.rear then return list end
    refuse(WHERE, "heights", "missing", "has neither front nor rear", "they are mm from the drawn heights, up positive")
  end
end

-- The car with its body where it was measured: set there by the perches, whatever the file says. A body set higher leans a little more on
-- one end, so the second time corrects the first; what is left is below a micrometre.
local function raised(self, state, heights, drawn_o)
  for _ = 1, 3 do
    local stood = state and self:state(state) or self
    local now = stood:corners(drawn_o).heights
    local c = inside(self)
    local set, d = c.heights_set or {front = 0, rear = 0}, contents.from(c)
    ride_height.set(d, {front = set.front + (heights.front and heights.front - now.front or 0),
                        rear = set.rear + (heights.rear and heights.rear - now.rear or 0),
                        front_sd = heights.front and heights.front_sd or set.front_sd,
                        rear_sd = heights.rear and heights.rear_sd or set.rear_sd})
    self = contents.reload(d)
  end
  return self
end

-- ---- a record of the file ---------------------------------------------------------------------------------------------------

-- covariance: of the loads, row by row; nil: each errs by itself.
local function found_of(self, stood, list, covariance, more)
  local found, n = {car = self, stood = stood, loads = {}, covariance = covariance or {}}, #list
  for i, one in ipairs(list) do
    found.loads[i] = one.load
    for k = 1, covariance and 0 or n do found.covariance[(i - 1) * n + k] = i == k and one.sd ^ 2 or 0 end
  end
  for key, value in pairs(more) do found[key] = value end
  return found
end

-- The car as it then stood, with its lines as the records leave them where this one's are: the reading is among those records.
local function as_measured(c, stood, name)
  for _, entry in ipairs(c.measured and c.measured.given or {}) do
    if entry.name == name then
      local d = contents.from(inside(stood))
      d.measured = {records = c.measured.records, given = c.measured.given, places = c.measured.places}
      d.geometry = d.heights_set and require("steelyard.car.ride_height").geometry(d)
        or require("steelyard.car.build").geometry(d.shared.spec, d.axles, nil, d.measured)
      return contents.reload(d)
    end
  end
  return stood
end

-- What it read of the wheels, and the car as it then stood: this file as written or the one that the record names.
local function of_record(self, name)
  local record = self:record(name)
  if record.kind ~= "corners" then
    refuse(WHERE, nil, "clash", ("%s is a record of %s; the perches start from one of corners"):format(text.named(name), record.kind),
      record.kind == "ride heights" and "write what it measured as reading = {heights = {...}}" or nil)
  end
  local c, stood, list = inside(self), contents.wrap(origin.car_of(record)), {}
  local keys, index = springs.wheels(c)
  local then_keys = springs.wheels(inside(stood))
  for i, key in ipairs(keys) do
    if then_keys[i] ~= key then
      refuse(WHERE, nil, "clash", ("%s weighed a car on %s, this one stands on %s"):format(text.named(name), text.join(then_keys),
        text.join(keys)))
    end
    list[i] = {load = record.reading[key], sd = record.reading.sd[key] or wheel_loads.DEFAULT_SD}
  end
  need_crossed(c, index.lf and "lf")
  stood = as_measured(c, stood, name)
  local covariance = wheel_loads.covariance(record.reading, keys)
  return found_of(self, stood, list, covariance, {record = name, date = record.date, pairing = match.pairing_of(inside(stood), c)})
end

--- What was read, checked: {car = the car with its body where it was measured, stood = the same as it stood on the scales, loads,
-- covariance (lists, nil when only heights were read), heights, assumed}. how: pads, bars, preload, slope and reset of the call.
function reading.of(self, given, how)
  if type(given) == "string" then return of_record(self, given) end
  if type(given) ~= "table" then
    refuse(WHERE, nil, "type", "is a table such as {lf = 131.2, rf = 138, lr = 168.9, rr = 191.3, state = \"scales\"}, not "
      .. user_values.what(given))
  end
  local c, plain = inside(self), user_values.is_plain(given)
  if plain then refuse_unknown(c, given) end
  local state = plain and measurement.text(given, "state", WHERE) or nil
  local heights = read_heights(c, given)
  local list, assumed = read_loads(c, given)
  if not list and not heights then
    refuse(WHERE, nil, "missing", "says nothing",
      "write reading = {lf = 131.2, rf = 138, lr = 168.9, rr = 191.3}, heights = {...}, or both")
  end
  if heights then self = raised(self, state, heights, how) end
  local found = {car = self, stood = state and self:state(state) or self, heights = heights, assumed = assumed}
  if list then
    found = found_of(self, found.stood, list, wheel_loads.covariance(given, springs.wheels(c)), {heights = heights, assumed = assumed})
    loading.need_mass(inside(found.stood))
    wheel_loads.check_units(list, core.balance(inside(found.stood).now, c.geometry).mass, WHERE)
  end
  return found
end

local function misused(...) core.fail{code = "usage", message = (...):format(select(2, ...))} end

-- What was typed: loads with commas between in the order of a balance, or a name.
local function typed_loads(car, words, sd)
  local keys, list, wrong = springs.wheels(inside(car)), {}, nil
  for piece in (words .. ","):gmatch "([^,]*)," do
    piece = piece:match "^%s*(.-)%s*$"
    local load = core.number(piece)
    if load then list[#list + 1] = sd and vocabulary.sd(load, sd) or load else wrong = piece end
  end
  if #list == 0 then return words end -- no number: a name
  if wrong then misused("--reading takes loads, %s, or the name of a record; %q is not a number", table.concat(keys, ","), wrong) end
  return wheel_loads.typed(list, keys, "reading")
end

--- The load state of a record that was typed in place of loads, where this file has it too; else nil.
function reading.state_of(car, words)
  local c = inside(car)
  for _, record in ipairs(words and c.shared.spec.records or {}) do
    local name = record.name == words and (record.state or record.from and car:record(words).state) -- a table may name it
    for _, state in ipairs(name and c.shared.spec.states or {}) do
      if state.name == name then return name end
    end
  end
end

local function has_record(c, name)
  for _, record in ipairs(name and c.shared.spec.records or {}) do
    if record.name == name then return true end
  end
  return false
end

--- The reading of a command's options reading, reading_state, reading_front, reading_rear and sd; nil without any.
function reading.typed(car, o)
  local named = has_record(inside(car), o.reading)
  local given = named and o.reading or o.reading and typed_loads(car, o.reading, o.sd)
  if type(given) == "string" then
    for _, name in ipairs{"reading_state", "reading_front", "reading_rear", "sd"} do
      if o[name] then misused("--%s is of loads that are typed, record %q says it itself", (name:gsub("_", "-")), given) end
    end
    return given
  end
  local heights = (o.reading_front or o.reading_rear) and {front = o.reading_front, rear = o.reading_rear} or nil
  if not given and not heights then
    local alone = o.reading_state and "reading-state" or o.sd and "sd"
    if alone then misused("--%s says of what scales read, and --reading is not given", alone) end
    return nil
  end
  given = given or {}
  given.state, given.heights = o.reading_state, heights
  return given
end

-- ---- the set-up ------------------------------------------------------------------------------------------------------------------

--- The car on the scales as steelyard.core takes it, set up as it was read; its cross_share goes for all cars made from it. s: the car
-- asked about.
function reading.set_up(found, s, reset)
  local c, stood = inside(found.stood), {}
  for key, value in pairs(s) do stood[key] = value end
  stood.now, stood.tanks = c.now, springs.tanks(c, reset)
  if found.record then -- as it was set up then
    stood.geometry, stood.drawn = c.geometry, springs.drawn(c)
    stood.tanks = springs.tanks(c, false)
  end
  if found.loads then stood.cross_share = core.set_as_read(stood, found.loads) end
  return stood
end

-- ---- in words ------------------------------------------------------------------------------------------------------------------------

--- Sentences about the reading `r` of a result.
function reading.notes(found, stood, r)
  local list = {found.assumed and wheel_loads.ASSUMED or nil}
  if found.record then
    local c = inside(found.stood)
    list[1] = ("set from record %q%s, the car as in %s"):format(found.record, found.date and " of " .. found.date or "",
      c.shared.file and c.shared.file:match "[^/]*$" or "this file")
  end
  if r.mass then
    local value, sd = core.ask("corners", stood, {"mass"}, true)
    local off, both = r.mass - value[1], text.K95 * (sd[1] + r.sd.mass)
    list[#list + 1] = ("the scales read %s kg in all, the ledger has %s kg in that state (%s); the difference is carried along, for the "
      .. "perches only the cross weight counts"):format(text.plus_minus(r.mass, r.sd.mass, 1), text.plus_minus(value[1], sd[1], 1), r.state)
    if math.abs(off) > both then
      list[#list + 1] = ("the scales read %s kg %s than the ledger, more than both uncertainties: check who and what was aboard"):format(
        text.fixed(math.abs(off), 1), off > 0 and "more" or "less")
    end
  end
  if found.heights then list[#list + 1] = "ride heights count as measured: the body set there by the perches" end
  return list
end

return reading
