--- sy.pendulum{...}: the moment of inertia of a part from the time it takes to swing; fields in reference/options/swings.lua.

local core = require "steelyard.core"
local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"
local swung = require "steelyard.measure.pendulum.period"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local pendulum = {}
local Pendulum = require("steelyard.reference.results").kind "pendulum"
local refuse = measurement.refuse

local kinds = {"compound", "bifilar", "trifilar", "torsion"}

-- which fields a kind reads, with the words for them in a budget
local needs = {
  compound = {"mass", "arm", "g"}, bifilar = {"mass", "arms", "wire", "g", "platform"},
  trifilar = {"mass", "radius", "wire", "g", "platform"}, torsion = {"rod", "stiffness", "platform"},
}
local words = {
  g = "gravity", arm = "pivot to CG", arm_a = "wire arms", arm_b = "wire arms", wire = "wire length", radius = "wire radius",
  platform_mass = "platform mass", platform_period = "platform period", rod_mass = "rod", rod_length = "rod", rod_diameter = "rod",
  rod_period = "rod period", stiffness = "wire stiffness", swing = "width of swing",
}

-- ---- reading ----------------------------------------------------------------------------------------------------------

-- A set of inputs: in[name] = {value, sd, id}; two inputs with one id are the same error.
local function put(inputs, name, value, sd, id) inputs[name] = {value = value, sd = sd, id = id .. "." .. name} end

local function read_number(inputs, t, key, unit, where, id, name, shown)
  local value, sd = measurement.number(t, key, unit, {above = 0}, where, shown)
  if value then put(inputs, name or key, value, sd, id) end
  return value ~= nil
end

-- m/s2: standard gravity (NIST SP 811, 2008, B.8); on the ground it lies between 9.780 at the equator and 9.832 at the poles (normal
-- gravity of the World Geodetic System 1984, from memory), so that unless it is given it is uncertain by 0.026 / sqrt 3
local STANDARD_GRAVITY, GRAVITY_SD = core.constants.standard_gravity, 0.015

local readers = {}
function readers.mass(inputs, t, where, id) return read_number(inputs, t, "mass", "kg", where, id) end
function readers.arm(inputs, t, where, id) return read_number(inputs, t, "arm", "mm", where, id) end
function readers.wire(inputs, t, where, id) return read_number(inputs, t, "wire", "mm", where, id) end
function readers.radius(inputs, t, where, id) return read_number(inputs, t, "radius", "mm", where, id, "arm_a") end
function readers.stiffness(inputs, t, where, id) return read_number(inputs, t, "stiffness", "", where, id) end

function readers.g(inputs, t, where, id)
  local value, sd = measurement.number(t, "g", "m/s2", {above = 0}, where)
  if value then put(inputs, "g", value, sd or 0, id) else put(inputs, "g", STANDARD_GRAVITY, GRAVITY_SD, id) end
end

function readers.arms(inputs, t, where, id)
  if t.arms == nil then return false end
  local arms = measurement.fields(t.arms, measurement.listed(options.names("swings", "arms")), where .. ", arms")
  for i, name in ipairs{"arm_a", "arm_b"} do
    local key = arms[i] ~= nil and i or "r" .. i
    measurement.number(arms, key, "mm", {need = true}, where, "arms.r" .. i)
    read_number(inputs, arms, key, "mm", where, id, name, "arms.r" .. i)
  end
  return true
end

function readers.platform(inputs, t, where, id)
  if t.platform == nil then return false end
  local p = measurement.fields(t.platform, options.names("swings", "platform"), where .. ", platform")
  read_number(inputs, p, "mass", "kg", where, id, "platform_mass", "platform.mass")
  local period = swung.read(p, where .. ", platform")
  put(inputs, "platform_period", period.value, period.sd, id)
  return true
end

function readers.rod(inputs, t, where, id)
  if t.rod == nil then return false end
  local r = measurement.fields(t.rod, options.names("swings", "rod"), where .. ", rod")
  measurement.number(r, "mass", "kg", {need = true}, where, "rod.mass")
  measurement.number(r, "length", "mm", {need = true}, where, "rod.length")
  read_number(inputs, r, "mass", "kg", where, id, "rod_mass", "rod.mass")
  read_number(inputs, r, "length", "mm", where, id, "rod_length", "rod.length")
  local diameter, sd = measurement.number(r, "diameter", "mm", {need = true, min = 0}, where, "rod.diameter")
  put(inputs, "rod_diameter", diameter, sd, id)
  local period = swung.read(r, where .. ", rod")
  put(inputs, "rod_period", period.value, period.sd, id)
  inputs.on_platform = measurement.flag(r, "on_platform", where)
  return true
end

-- What one swing says: its own fields first, what the whole says otherwise.
local function read_swing(t, outer, where, outer_where)
  local kind = measurement.text(t, "kind", where, kinds) or outer and measurement.text(outer, "kind", outer_where, kinds)
  if not kind then refuse(where, "kind", "missing", "is missing: " .. text.join(kinds, "or")) end
  local inputs = {}
  local wanted = {}
  for _, key in ipairs(needs[kind]) do wanted[key] = true end
  for _, key in ipairs(options.names("swings", "hang")) do
    if readers[key] and t[key] ~= nil and not wanted[key] and (outer or key ~= "mass") then
      refuse(where, key, "clash", ("says nothing about a %s pendulum"):format(kind), "it needs " .. text.join(needs[kind]))
    end
  end
  for _, key in ipairs(needs[kind]) do
    local own = t[key] ~= nil or not outer
    readers[key](inputs, own and t or outer, own and where or outer_where, own and where or outer_where)
  end
  local from = t.swing ~= nil and t or outer or t
  local swing, swing_sd = measurement.number(from, "swing", "deg", {min = 0, max = 90}, where)
  if swing then put(inputs, "swing", swing, swing_sd, from == t and where or outer_where) end
  local period = swung.read(t, where)
  put(inputs, "period", period.value, period.sd, where)
  return {kind = kind, inputs = inputs, period = period, where = where}
end

-- ---- one axis -----------------------------------------------------------------------------------------------------------

local function solve(swing)
  local flat = {}
  for name, input in pairs(swing.inputs) do
    if name ~= "on_platform" then flat[name] = input.value end
  end
  local fine, r = pcall(core.pendulum, swing.kind, flat, swing.inputs.on_platform)
  if not fine then
    if getmetatable(r) == core.error_metatable then r.part, r.kind = swing.where, "" end
    error(r, 0)
  end
  swing.result = r
  swing.causes, swing.exact = {}, {}
  local names = {}
  for name in pairs(r.sensitivity) do names[#names + 1] = name end
  table.sort(names, core.before)
  for _, name in ipairs(names) do
    local input = swing.inputs[name]
    local source = name == "arm_a" and swing.kind == "trifilar" and words.radius or words[name] or name
    if input and input.sd then
      swing.causes[#swing.causes + 1] = {source = source, u = r.sensitivity[name] * input.sd, id = input.id}
    elseif input then
      swing.exact[#swing.exact + 1] = source
    end
  end
  swing.sd = measurement.budget(swing.causes)
  return swing
end

-- causes of one source joined: the two arms of a bifilar pendulum
local function joined(causes)
  local list, by = {}, {}
  for _, cause in ipairs(causes) do
    local entry = by[cause.source]
    if not entry then
      entry = {source = cause.source, u = 0}
      by[cause.source], list[#list + 1] = entry, entry
    end
    entry.u = math.sqrt(entry.u ^ 2 + cause.u ^ 2)
  end
  return list
end

local function advice(swing, notes)
  local inputs, r = swing.inputs, swing.result
  for _, note in ipairs(swing.period.notes) do notes[#notes + 1] = note end
  if #swing.exact > 0 then
    local names, seen = {}, {}
    for _, name in ipairs(swing.exact) do
      if not seen[name] then names[#names + 1], seen[name] = name, true end
    end
    notes[#notes + 1] = measurement.exact_note(names)
  end
  if swing.kind == "compound" then
    local gyration = 1e3 * math.sqrt(r.inertia / inputs.mass.value)
    if inputs.arm.value > 2 * gyration then
      notes[#notes + 1] = ("the inertia is a small difference of large numbers: hung %s mm from its CG instead of %s, an error of that "
        .. "distance would cancel"):format(text.fixed(gyration, 0), text.fixed(inputs.arm.value, 0))
    end
  end
  if not inputs.swing and swing.kind ~= "torsion" then
    notes[#notes + 1] = "taken as small swings: 5 degrees to each side make the period 0.05 % too long, 10 degrees 0.2 %; `swing` "
      .. "corrects it"
  end
end

local function state_of(t, where) return measurement.text(t, "state", where) or "as swung" end

local caution = "Stand clear of what hangs; hooks, wires and clamps carry it with their makers' margin, a second tie catches it. Local "
  .. "codes and licensed practice decide"

local function single(t, where)
  local swing = solve(read_swing(t, nil, where))
  local notes = {}
  advice(swing, notes)
  local sd, budget = measurement.budget(joined(swing.causes))
  local mass = swing.inputs.mass
  local r = swing.result
  notes[#notes + 1] = caution
  return {kind = swing.kind, inertia = r.inertia, period = swing.period.value, stiffness = r.stiffness, amplitude = r.amplitude,
    gyration = mass and 1e3 * math.sqrt(r.inertia / mass.value) or nil, budget = budget, notes = notes,
    sd = {inertia = sd, period = swing.period.sd or 0}}
end

-- ---- several axes ---------------------------------------------------------------------------------------------------------

-- What two inertias share: an input with one id errs once for both.
local function covariance(swings)
  local cov, n = {}, #swings
  for i = 1, n do
    for k = 1, n do
      local sum = 0
      for _, a in ipairs(swings[i].causes) do
        for _, b in ipairs(swings[k].causes) do
          if a.id == b.id then sum = sum + a.u * b.u end
        end
      end
      cov[(i - 1) * n + k] = sum
    end
  end
  return cov
end

-- A body's tensor, as far as the uncertainties can tell?
local function physical(value, sd)
  if not (value.xx and value.yy and value.zz) then return true end
  local largest = math.max(value.xx, value.yy, value.zz)
  local slack = text.K95 * math.sqrt(sd.xx ^ 2 + sd.yy ^ 2 + sd.zz ^ 2) / largest + 1e-9 -- rounding
  return core.can_be_inertia(value.xx, value.yy, value.zz, value.xy or 0, value.xz or 0, value.yz or 0, slack)
end

local function several(t, where)
  local swings, given, notes, seen = {}, {}, {}, {}
  for i, hang in ipairs(t.hangs) do
    local name = "hang " .. i
    measurement.fields(hang, options.names("swings", "hang"), name)
    local axis, axis_sd = measurement.point(hang, "axis", name, "")
    swings[i] = solve(read_swing(hang, t, name, where))
    given[i] = {axis = axis, axis_sd = axis_sd, inertia = swings[i].result.inertia}
    local own = {}
    advice(swings[i], own)
    for _, note in ipairs(own) do
      if not seen[note] then notes[#notes + 1], seen[note] = note, true end
    end
  end
  local mirror = measurement.flag(t, "mirror", where)
  local fit = core.tensor(given, covariance(swings), mirror)
  local rows = {}
  for i, swing in ipairs(swings) do
    rows[i] = {hang = i, kind = swing.kind, period = swing.period.value, inertia = swing.result.inertia, residual = fit.residual[i],
               sd = {inertia = swing.sd, period = swing.period.sd or 0}}
  end
  for i, row in ipairs(rows) do
    if math.abs(row.residual) > text.K95 * row.sd.inertia and row.sd.inertia > 0 then
      notes[#notes + 1] = ("hang %d is off the fit by more than its uncertainty: time it again, "
        .. "and look at the direction of its axis"):format(i)
    end
  end
  if mirror then notes[#notes + 1] = "taken as its own mirror image in y = 0: xy = yz = 0" end
  if fit.dof == 0 then notes[#notes + 1] = "just as many hangs as entries: nothing checks them, one more would" end
  if not physical(fit.value, fit.sd) then
    notes[#notes + 1] = "no body has this tensor: one moment is larger than the two others together; check axes and periods"
  end
  notes[#notes + 1] = caution
  return {kind = swings[1].kind, inertia = fit.value, rows = rows, dof = fit.dof, stiffness = swings[1].result.stiffness, notes = notes,
    sd = {inertia = fit.sd}}
end

--- sy.pendulum.
function pendulum.of(t)
  local where = "pendulum"
  measurement.fields(t, options.names("swings", "pendulum"), where)
  local hangs = measurement.list(t, "hangs", where)
  if hangs and (t.period ~= nil or t.times ~= nil) then
    refuse(where, t.period ~= nil and "period" or "times", "clash", "belongs into each of the hangs")
  end
  if not hangs and t.mirror ~= nil then refuse(where, "mirror", "clash", "goes with hangs") end
  local result = hangs and several(t, where) or single(t, where)
  result.title = measurement.text(t, "title", where)
  result.state = state_of(t, where)
  local kind = result.kind .. " pendulum"
  result.heading = ("%s, %s"):format(result.title and result.title .. ", " .. kind or kind:gsub("^%l", string.upper), result.state)
  return setmetatable(result, Pendulum)
end

-- ---- printing ---------------------------------------------------------------------------------------------------------------

local entries = {"xx", "yy", "zz", "xy", "xz", "yz"}

local function single_lines(r, lines)
  local rows = {{"period, s", measurement.shown(r.period, r.sd.period, 4)}}
  if r.stiffness then rows[#rows + 1] = {"wire, N m/rad", text.fixed(r.stiffness, 4)} end
  rows[#rows + 1] = {"inertia, kg m2", measurement.shown(r.inertia, r.sd.inertia, 6)}
  if r.gyration then rows[#rows + 1] = {"radius of gyration, mm", text.fixed(r.gyration, 1)} end
  lines[#lines + 1] = text.table({{"", "%s"}, {"", "%s"}}, rows)
  local made = measurement.budget_text(r.budget)
  if made ~= "" then lines[#lines + 1] = "Its uncertainty comes from: " .. made .. "." end
end

local function several_lines(r, lines)
  local rows = {}
  for i, row in ipairs(r.rows) do
    rows[i] = {row.hang, row.kind, measurement.shown(row.period, row.sd.period, 4), measurement.shown(row.inertia, row.sd.inertia, 6),
               r.dof > 0 and text.signed(row.residual, measurement.decimals(row.sd.inertia, 6)) or "-"}
  end
  lines[#lines + 1] = text.table({{"hang", "%d"}, {"pendulum", "%s"}, {"period, s", "%s"}, {"inertia about its axis, kg m2", "%s"},
    {"off the fit", "%s"}}, rows)
  rows = {}
  for _, name in ipairs(entries) do
    local value = r.inertia[name]
    rows[#rows + 1] = {name, value and measurement.shown(value, r.sd.inertia[name], 6) or "not measured"}
  end
  lines[#lines + 1] = "\n" .. text.table({{"about its CG", "%s"}, {"kg m2 (xy is minus the integral of x y dm)", "%s"}}, rows) .. "\n"
end

function Pendulum.__tostring(r)
  local lines = {page.heading(r.heading)}
  if r.rows then several_lines(r, lines) else single_lines(r, lines) end
  return page.of(r, lines)
end

return pendulum
