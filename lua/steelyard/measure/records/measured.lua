--- What a record measured, for conditioning the car on it (measure/as_built.lua): loads or an assembly's mass and place, what each reading
-- has of its own, and what its instrument's errors do to them.
--
-- measured.of(c, record) -> {name =, kind =, car =, keys =, loads =, covariance =, height =, height_sd =, instruments =, of =, notes =}, or
-- nil and why it conditions nothing. Instruments are named as in the file, what a pad has of its own as "pads/A".

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local given = require "steelyard.measure.reconcile.given"
local read = require "steelyard.measure.records.read"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"
local wheel_loads = require "steelyard.measure.wheel_loads"

local measured = {}

local function square(x) return x * x end

-- Adds to the covariance what an error does that no ledger knows.
local function fold(entry, by, sd)
  for i, a in ipairs(entry.keys) do
    for k, b in ipairs(entry.keys) do entry.covariance[i][k] = entry.covariance[i][k] + (by[a] or 0) * (by[b] or 0) * square(sd or 0) end
  end
end

-- An instrument of the record's, by its name: shared with what else was read on it where the ledger of that day has it, else of the record
-- alone.
local function add_instrument(entry, name, errors, bias, gain)
  if contents.inside(entry.car).shared.context.scales[name] then
    entry.instruments = entry.instruments or {}
    entry.instruments[name] = {bias = bias, gain = gain}
  else
    fold(entry, bias, errors.bias_sd)
    fold(entry, gain, errors.gain_sd)
  end
end

local function diagonal(variances)
  local rows = {}
  for i, variance in ipairs(variances) do
    rows[i] = {}
    for k = 1, #variances do rows[i][k] = i == k and variance or 0 end
  end
  return rows
end

-- ---- wheels and axles ----------------------------------------------------------------------------------------------------------

local function on_scales(c, record)
  local car = read.car(c, record)
  local r, assumed = read.response(c, record, car)
  local entry = {car = car, keys = r.keys, loads = r.loads, covariance = r.covariance, notes = {}}
  if assumed then
    entry.notes[1] = ("record %s: each reading is taken as good to %s kg, one standard deviation, for nobody stated it"):format(record.name,
      text.plain(assumed))
  end
  local s = read.instrument(c, record)
  if not s then return entry end
  add_instrument(entry, s.name, s, r.bias[""], r.gain[""])
  local pads = {}
  for pad in pairs(s.each and r.bias or {}) do pads[#pads + 1] = pad ~= "" and pad or nil end
  table.sort(pads, core.before)
  for _, pad in ipairs(pads) do add_instrument(entry, ("%s/%s"):format(s.name, pad), s.each, r.bias[pad], r.gain[pad]) end
  return entry
end

-- ---- a lift ----------------------------------------------------------------------------------------------------------------------

-- Variances of the two level loads: those of the mean of the runs' levels, widened as the mass is.
local function level_variances(reading)
  local front, rear = 0, 0
  for _, run in ipairs(reading.runs) do
    front, rear = front + square(run.sd.front or 0), rear + square(run.sd.rear or 0)
  end
  local mass = square(reading.sd.mass)
  if front == 0 or rear == 0 then return mass / 2, mass / 2 end -- one end was read: the other is the mass less it
  return mass * front / (front + rear), mass * rear / (front + rear)
end

-- Errors of the record's instrument, of which `pads` stood under each of the keys.
local function add_lift_instrument(c, record, entry, keys, pads)
  local s = read.instrument(c, record)
  if not s then return end
  local bias, gain = {}, {}
  for _, key in ipairs(keys) do bias[key], gain[key] = pads, entry.loads[key] end
  add_instrument(entry, s.name, s, bias, gain) -- a lift compares loads: the height hardly knows them
  for i, key in ipairs(s.each and keys or {}) do -- which pad stood where nobody says: each has errors of its own
    entry.covariance[i][i] = entry.covariance[i][i] + pads * square(s.each.bias_sd or 0) + square((s.each.gain_sd or 0) * gain[key]) / pads
  end
end

-- Where the wheels of each side stand, mm left of the centre plane: the mean of them.
local function side_lines(then_c)
  local sum, count = {[1] = 0, [-1] = 0}, {[1] = 0, [-1] = 0}
  for _, wheel in ipairs(then_c.geometry:wheels()) do
    local side = wheel.left > 0 and 1 or wheel.left < 0 and -1 or nil
    if side then sum[side], count[side] = sum[side] + wheel.left, count[side] + 1 end
  end
  return {sum[1] / count[1], sum[-1] / count[-1]}
end

-- Errors of the record's instrument, `pads` of it under each side: of the mass, and of how far left the CG lies as the loads level say. The
-- height, from how loads change, hardly knows them.
local function add_side_instrument(c, record, entry, pads)
  local s = read.instrument(c, record)
  if not s then return end
  local mass, left, lines = entry.loads.mass, entry.loads.left, side_lines(contents.inside(entry.car))
  local on_left = {(lines[1] - left) / mass, (lines[2] - left) / mass} -- mm by a kg under that side
  add_instrument(entry, s.name, s, {mass = 2 * pads, left = pads * (on_left[1] + on_left[2])}, {mass = mass})
  for i = 1, s.each and 2 or 0 do -- which pad stood where nobody says: each has errors of its own
    local load = mass * (left - lines[3 - i]) / (lines[i] - lines[3 - i])
    local sd = math.sqrt(pads * square(s.each.bias_sd or 0) + square((s.each.gain_sd or 0) * load) / pads)
    fold(entry, {mass = 1, left = on_left[i]}, sd)
  end
end

-- A side was lifted: how the weight lies from front to rear was not read; the mass, how far left the CG lies and how high were.
local function side_lift(c, record, says)
  local reading = says.reading
  local entry = {car = says.car, body = true, keys = {"mass", "left", "up"}, notes = {},
    loads = {mass = reading.mass, left = reading.cg_left, up = reading.height},
    covariance = diagonal{square(reading.sd.mass), square(reading.sd.cg_left), square(reading.sd.height)}}
  add_side_instrument(c, record, entry, says.pads or 1)
  return entry
end

local function lift(c, record)
  local says = read.of(c, record)
  local reading = says.reading
  if not rawget(reading, "front_share") then return side_lift(c, record, says) end
  local then_c, front = contents.inside(says.car), reading.mass * reading.front_share / 100
  local keys = {then_c.axles[1].name, then_c.axles[2].name}
  local entry = {car = says.car, keys = keys, loads = {[keys[1]] = front, [keys[2]] = reading.mass - front},
                 covariance = diagonal{level_variances(reading)}, height = reading.height, height_sd = reading.sd.height, notes = {}}
  if rawget(reading, "cg_left") then
    entry.notes[1] = ("record %s: how far left the CG lies, as read on four pads, corrects nothing; a record of corners does"):format(
      record.name)
  end
  add_lift_instrument(c, record, entry, keys, says.pads or 1)
  return entry
end

-- ---- an assembly -------------------------------------------------------------------------------------------------------------

local MASS_SD, PLACE_SD = wheel_loads.DEFAULT_SD, given.DEFAULT_HEIGHT_SD

local function assembly(c, record)
  local says = read.of(c, record)
  local then_c, reading = contents.inside(says.car), says.reading
  local route = resolve.parts(then_c, record.of).routes[1]
  local own = says.own_sd
  local entry = {car = says.car, of = resolve.path(then_c.now, route), keys = {"mass"}, loads = {mass = reading.mass}, notes = {}}
  local variances, assumed = {square(own and own > 0 and own or MASS_SD)}, not (own and own > 0)
  if record.cg then
    local g, at, sd = then_c.geometry, record.cg, record.cg_sd or {}
    local forward, left, up = g:point_in(at[1], at[2], at[3])
    local spread = {g:vector_in(sd[1] or PLACE_SD, sd[2] or PLACE_SD, sd[3] or PLACE_SD)}
    assumed = assumed or not (sd[1] and sd[2] and sd[3])
    for i, key in ipairs{"forward", "left", "up"} do
      entry.keys[#entry.keys + 1], entry.loads[key] = key, ({forward, left, up})[i]
      variances[#variances + 1] = square(spread[i])
    end
  end
  if record.inertia then
    entry.notes[1] = ("record %s: its inertia corrects nothing; a group that counts as weighed has it as whole = {inertia = ...}"):format(
      record.name)
  end
  if assumed then
    entry.notes[#entry.notes + 1] = ("record %s: what states no uncertainty is taken as good to %s kg and %s mm, one standard "
      .. "deviation"):format(
      record.name, tostring(MASS_SD), tostring(PLACE_SD))
  end
  entry.covariance = diagonal(variances)
  local s = read.instrument(c, record)
  if s then
    add_instrument(entry, s.name, s, {mass = 1}, {mass = reading.mass})
    if s.each then
      fold(entry, {mass = 1}, s.each.bias_sd)
      fold(entry, {mass = reading.mass}, s.each.gain_sd)
    end
  end
  return entry
end

-- ---- all of them -----------------------------------------------------------------------------------------------------------

local by_kind = {corners = on_scales, axles = on_scales, lift = lift, assembly = assembly}

--- What a record measured; nil and why where it conditions nothing.
function measured.of(c, record)
  if not by_kind[record.kind] then return nil, "ride heights say how the car is set up, not where its masses are" end
  local entry, why = by_kind[record.kind](c, record)
  if not entry then return nil, why end
  entry.name, entry.kind, entry.state = record.name, record.kind, record.state
  return entry
end

return measured
