--- What a user wrote for sy.corner_scales, as net readings by wheel and pad.

local core = require "steelyard.core"
local axles = require "steelyard.file.axles"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local user_values = require "steelyard.file.user_values"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"

local given = {}
local refuse = measurement.refuse

-- key = {front, left}: 1, -1, or 0 on the centre line
local layouts = {
  {keys = {"lf", "rf", "lr", "rr"}, lf = {1, 1}, rf = {1, -1}, lr = {-1, 1}, rr = {-1, -1},
   across = {lf = "rr", rf = "lr", lr = "rf", rr = "lf"}},
  {keys = {"f", "lr", "rr"}, f = {1, 0}, lr = {-1, 1}, rr = {-1, -1}},
  {keys = {"lf", "rf", "r"}, lf = {1, 1}, rf = {1, -1}, r = {-1, 0}},
  {keys = {"front", "rear"}, front = {1, 0}, rear = {-1, 0}},
}
local together = {front = true, rear = true, total = true}

-- ---- which wheels ---------------------------------------------------------------------------------------------------------

-- A run with its wheels under their own names.
local function plain_run(run, where, known)
  measurement.fields(run, known, where)
  local out = {}
  for _, key in ipairs(loading.sorted_keys(run)) do
    local name = axles.also_called[key] or key
    if name ~= key and run[name] ~= nil then refuse(where, key, "clash", ("and %s are the same wheel"):format(name)) end
    out[name] = run[key]
  end
  return out
end

local function layout_of(runs)
  local used = {}
  for _, run in ipairs(runs) do
    for _, key in ipairs{"lf", "rf", "lr", "rr", "f", "r"} do used[key] = used[key] or run[key] ~= nil end
  end
  local wheels = false
  for _, there in pairs(used) do wheels = wheels or there end
  if not wheels then return layouts[4] end
  if used.f and (used.lf or used.rf) or used.r and (used.lr or used.rr) then
    refuse("corner_scales", "runs", "clash", "name wheels of cars with three and with four wheels")
  end
  local layout = used.f and layouts[2] or used.r and layouts[3] or layouts[1]
  for _, key in ipairs(layout.keys) do
    if not used[key] then refuse("corner_scales", key, "missing", "was never weighed: every wheel in one run at least") end
  end
  return layout
end

-- Bits of the wheels that stood on what `key` names.
local function wheels_of(layout, key)
  local bits = 0
  for i, wheel in ipairs(layout.keys) do
    if wheel == key or key == "total" or key == "front" and layout[wheel][1] == 1 or key == "rear" and layout[wheel][1] == -1 then
      bits = bits | 1 << (i - 1)
    end
  end
  return bits
end

-- ---- one number -------------------------------------------------------------------------------------------------------------

local function pad_of(layout, run, key, where)
  if run.pads ~= nil then
    if not user_values.is_plain(run.pads) then
      refuse(where, "pads", "type", "must be a table by wheel, is " .. user_values.what(run.pads))
    end
    local name = run.pads[key]
    for wheel, alias in pairs(run.pads) do
      if axles.also_called[wheel] == key then name = alias end
    end
    if name == nil then refuse(where, "pads." .. key, "missing", "is missing: which pad stood under it?") end
    if math.type(name) == "integer" then name = core.shortest(name) end
    if type(name) ~= "string" then refuse(where, "pads." .. key, "type", "must be the pad's name, is " .. user_values.what(name)) end
    return name
  end
  if together[key] then return (layout == layouts[4] or layout.axles) and "scale" or "bridge" end
  -- pads that stay on the floor are named by the wheels that stand on them when the car faces forward
  return run.facing == "back" and layout.across and layout.across[key] or key
end

-- A zero of a pad: a table by pad or by wheel, or one number for all.
local function zero_of(run, field, key, pad, where)
  local zeros = run[field]
  if zeros == nil then return nil end
  if user_values.is_plain(zeros) then
    local numbered = math.tointeger(tonumber(pad))
    local name = zeros[pad] ~= nil and pad or numbered and zeros[numbered] ~= nil and numbered or key
    return measurement.number(zeros, name, "kg", nil, where, ("%s.%s"):format(field, name))
  end
  return measurement.number(run, field, "kg", nil, where)
end

-- Known names only, so that a slip of the pen is not a missing zero.
local function check_zero_names(run, field, known, where)
  if run[field] == nil or not user_values.is_plain(run[field]) then return end
  for _, name in ipairs(loading.sorted_keys(run[field])) do
    local found = false
    for _, one in ipairs(known) do found = found or one == tostring(name) end
    if not found then
      refuse(where, ("%s.%s"):format(field, tostring(name)), "unknown", "no pad of this run is called so",
        "the pads are " .. text.join_names(known))
    end
  end
end

local function gain_of(ctx, pad)
  local gain = ctx.gain.by[pad] or ctx.gain.all or {1, 0}
  return gain[1], gain[2]
end

local function read_one(ctx, run, key, where)
  local reading, own = measurement.number(run, key, "kg", nil, where)
  local pad = pad_of(ctx.layout, run, key, where)
  local before, after = zero_of(run, "zero_before", key, pad, where), zero_of(run, "zero_after", key, pad, where)
  local step = measurement.number(run, "step", "kg", {above = 0}, where) or ctx.step
  local said = own or measurement.number(run, "sd", "kg", {min = 0}, where) or ctx.sd.reading
  local zero, drift = 0, nil
  if before or after then
    zero = ((before or after) + (after or before)) / 2
    drift = before and after and after - before or nil
  end
  local plank, gain = ctx.plank, gain_of(ctx, pad)
  local scale = (plank and plank.ratio or 1) / gain
  local net = (reading - zero - (plank and plank.tare or 0)) * scale
  if net < 0 then refuse(where, key, "range", ("leaves %s kg after zero and tare, which is negative"):format(text.fixed(net, 2))) end
  return {key = key, pad = pad, reading = reading, net = net, said = said and said * scale, step = step and step * scale,
          zeros = (before and 1 or 0) + (after and 1 or 0), drift = drift, moved = drift and math.abs(drift) * scale / math.sqrt(12) or 0,
          tare = plank and plank.tare_sd * scale or 0, facing = run.facing == "back" and -1 or 1, wheels = wheels_of(ctx.layout, key)}
end

-- ---- the whole -----------------------------------------------------------------------------------------------------------------

-- {by = {pad = {gain, sd}}, all = {gain, sd}}
local function read_gain(t)
  local gain = {by = {}}
  local function read(from, key, name)
    local value, sd = measurement.number(from, key, "", {above = 0}, "corner_scales", name)
    if value < 0.5 or value > 2 then
      refuse("corner_scales", name, "range", ("is %s: a gain is what the scale shows for one kilogram, close to 1"):format(
        text.plain(value)))
    end
    return {value, sd or 0}
  end
  if user_values.is_plain(t.gain) then
    for _, pad in ipairs(loading.sorted_keys(t.gain)) do gain.by[tostring(pad)] = read(t.gain, pad, "gain." .. tostring(pad)) end
  elseif t.gain ~= nil then
    gain.all = read(t, "gain", "gain")
  end
  return gain
end

local function read_plank(t)
  if t.plank == nil then return nil end
  measurement.fields(t.plank, options.names("scales", "plank"), "corner_scales, plank")
  local ratio, ratio_sd = measurement.number(t.plank, "ratio", "", {need = true, above = 0}, "corner_scales", "plank.ratio")
  local tare, tare_sd = measurement.number(t.plank, "tare", "kg", {min = 0}, "corner_scales", "plank.tare")
  return {ratio = ratio, ratio_sd = ratio_sd or 0, tare = tare or 0, tare_sd = tare_sd or 0, stated = ratio_sd ~= nil}
end

local function read_sd(t)
  if t.sd == nil then return {} end
  if not user_values.is_plain(t.sd) then return {reading = measurement.number(t, "sd", "kg", {min = 0}, "corner_scales")} end
  measurement.fields(t.sd, options.names("scales", "scales_sd"), "corner_scales, sd")
  return {reading = measurement.number(t.sd, "reading", "kg", {min = 0}, "corner_scales", "sd.reading"),
          offset = measurement.number(t.sd, "offset", "kg", {min = 0}, "corner_scales", "sd.offset")}
end

-- Pounds among kilograms: a reading that is 2.2 times what the same wheel reads in the other runs, or the other way round.
local function check_units(runs)
  local by_key = {}
  for _, run in ipairs(runs) do
    for _, r in ipairs(run.list) do
      by_key[r.key] = by_key[r.key] or {}
      table.insert(by_key[r.key], r.net)
    end
  end
  local POUNDS = 1 / core.constants.pound -- a kilogram in pounds
  for i, run in ipairs(runs) do
    for _, r in ipairs(run.list) do
      local others = table.move(by_key[r.key], 1, #by_key[r.key], 1, {})
      table.sort(others)
      local middle = others[(#others + 1) // 2]
      local ratio = middle > 0 and r.net / middle or 1
      for _, factor in ipairs{POUNDS, 1 / POUNDS} do
        if math.abs(ratio / factor - 1) < 0.03 and (factor > 1 or #others > 2) then
          refuse("run " .. i, r.key, "content", ("reads %s, %s times as much as in the other runs: pounds among kilograms?"):format(
            text.plain(r.reading), text.fixed(ratio, 2)))
        end
      end
    end
  end
end

local function read_run(ctx, run, i)
  local where = "run " .. i
  measurement.text(run, "facing", where, {"forward", "back"})
  measurement.text(run, "others", where, {"blocks", "floor"})
  local out = {list = {}, name = measurement.text(run, "name", where), others = run.others, keys = {}, bits = 0}
  local known = {}
  for _, keys in ipairs{ctx.layout.keys, {"front", "rear", "total"}} do
    for _, key in ipairs(keys) do
      if run[key] ~= nil and not out.keys[key] then
        local r = read_one(ctx, run, key, where)
        out.list[#out.list + 1], out.keys[key] = r, true
        known[#known + 1] = r.pad
        if r.key ~= r.pad then known[#known + 1] = r.key end
        if out.bits & r.wheels ~= 0 then refuse(where, key, "clash", "was on the scale together with others of this run: make it a "
          .. "run of its own") end
        out.bits = out.bits | r.wheels
      end
    end
  end
  if #out.list == 0 then refuse(where, nil, "missing", "has no reading: lf rf lr rr, or front rear, or total") end
  local taken = {}
  for _, r in ipairs(out.list) do
    if taken[r.pad] and #out.list > 1 and not together[r.key] then
      refuse(where, "pads." .. r.key, "clash", ("pad %q stands under %s already"):format(r.pad, taken[r.pad]))
    end
    taken[r.pad] = r.key
  end
  check_zero_names(run, "zero_before", known, where)
  check_zero_names(run, "zero_after", known, where)
  return out
end

-- Fields of a run, with the wheels or axles of a car of its own.
local function run_fields(own)
  local names = options.names("scales", "scales_run")
  return own and table.move(own.keys, 1, #own.keys, #names + 1, table.move(names, 1, #names, 1, {})) or names
end

--- own: keys and places of the wheels or axles of a car that may have others than sy.corner_scales tells from the readings.
-- {layout, runs = {{list, keys, bits, others}}, gain, plank, sd, step, title, state}; raises what is wrong.
function given.read(t, own)
  measurement.fields(t, options.names("scales", "corner_scales"), "corner_scales")
  local list = measurement.list(t, "runs", "corner_scales")
  if not list then refuse("corner_scales", "runs", "missing", "are missing: a list of {lf =, rf =, lr =, rr =}") end
  local plain, known = {}, run_fields(own)
  for i, run in ipairs(list) do plain[i] = plain_run(run, "run " .. i, known) end
  local ctx = {layout = own or layout_of(plain), gain = read_gain(t), plank = read_plank(t), sd = read_sd(t),
               step = measurement.number(t, "step", "kg", {above = 0}, "corner_scales"), runs = {},
               title = measurement.text(t, "title", "corner_scales"), state = measurement.text(t, "state", "corner_scales") or "as weighed"}
  for i, run in ipairs(plain) do ctx.runs[i] = read_run(ctx, run, i) end
  check_units(ctx.runs)
  return ctx
end

given.gain_of = gain_of

return given
