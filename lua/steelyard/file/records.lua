--- Records of a vehicle file: what was measured of the whole car, or of an assembly apart from it. Read and checked here, worked out when
-- asked for (measure/records.lua).
--
-- spec.records = {{
--   name =, kind = "corners" "axles" "lift" "ride heights" or "assembly", line =, date = text, who =, note =, of = name,
--   state = name, fill = as in a state, with = {names}, without = {names}, instrument = name,
--   file = vehicle file as the car then stood, from = table of readings: names from the folder of this file on,
--   runs = {fields of a run of sy.corner_scales in kg; of axles by their names}, wheels in their own names where they are known,
--   heights = {{name =, value =, sd =}, ...}, mass =, mass_sd =, cg = {x, y, z}, cg_sd =, inertia = {xx =, ...}, inertia_sd = {...}}, ...}

local core = require "steelyard.core"
local axle_names = require "steelyard.file.axles"
local user_values = require "steelyard.file.user_values"
local most = require "steelyard.file.most"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"
local vehicle_lists = require "steelyard.file.vehicle_lists"
local vocabulary = require "steelyard.file.vocabulary"
local weighings = require "steelyard.file.weighings"

local readers, wrong = {}, entries.wrong

-- ---- readings -------------------------------------------------------------------------------------------------------------

-- One reading or a list of repeats.
local function read_repeats(ctx, owner, key, value)
  local out = {}
  weighings.readers.readings(ctx, owner, key, value, nil, out)
  return out[key] and #out[key] > 0 and out[key] or nil
end

-- What empty pads showed: one number for all, or by pad or wheel.
local function read_zero(ctx, owner, key, value)
  if not user_values.is_plain(value) then return weighings.shown(ctx, owner, key, value) end
  local by, inside = {}, problems.inside(owner, key)
  for name in next, entries.table(ctx, owner, key, value, most.entries) or {} do
    by[name] = weighings.shown(ctx, inside, name, value[name])
  end
  return {by = by}
end

local together = {front = true, rear = true, total = true}

-- The wheel or axle that a key of a run means; nil after noting a problem. A record that names a file speaks of that file's wheels, which
-- are looked at when it is worked out.
local function support_of(ctx, owner, what, key)
  local known = ctx.records_known
  if not known then return axle_names.also_called[key] or key end
  local list = known[what]
  if list[key] then return list[key] end
  if what == "corners" and together[key] or key == "total" then return key end
  wrong(ctx, owner, key, "unknown", ("%q is not %s of this car"):format(tostring(key), what == "corners" and "a wheel" or "an axle"),
    entries.did_you_mean(core.nearest(tostring(key), list.names)) or "they are " .. text.join(list.names))
end

local function read_pads(ctx, owner, key, value, what)
  local pads, inside = {}, problems.inside(owner, key)
  for wheel in next, entries.table(ctx, owner, key, value, most.entries) or {} do
    local name = value[wheel]
    if math.type(name) == "integer" then name = core.shortest(name) end
    local support = type(wheel) == "string" and support_of(ctx, inside, what, wheel)
    if type(wheel) ~= "string" then
      wrong(ctx, inside, wheel, "type", "needs a wheel in front", 'as in pads = { lf = "A", rf = "B" }')
    elseif type(name) ~= "string" or name == "" then
      wrong(ctx, inside, wheel, "type", ("must be the name of a pad, is %s"):format(user_values.what(value[wheel])))
    elseif support then
      pads[support] = name
    end
  end
  return pads
end

function readers.pads(ctx, owner, key, value, _, out) out[key] = read_pads(ctx, owner, key, value, "corners") end

-- What a run says beside its loads: name = function(ctx, owner, key, value, what).
local of_run = {
  pads = read_pads, zero_before = read_zero, zero_after = read_zero,
  sd = function(ctx, owner, key, value) return weighings.shown(ctx, owner, key, value, {min = 0}) end,
  step = function(ctx, owner, key, value) return weighings.shown(ctx, owner, key, value, {above = 0}) end,
}
local function choice(...)
  local words = {...}
  return function(ctx, owner, key, value)
    for _, word in ipairs(words) do
      if value == word then return value end
    end
    entries.readers.choice(ctx, owner, key, value, {words = words})
  end
end
of_run.facing, of_run.others = choice("forward", "back"), choice("blocks", "floor")
function of_run.name(ctx, owner, key, value)
  local out = {}
  entries.readers.text(ctx, owner, key, value, {}, out)
  return out.name
end

local function before(a, b)
  if type(a) ~= type(b) then return type(a) < type(b) end
  if type(a) == "string" then return core.before(a, b) end
  return a < b
end

-- {loads = {[wheel] = {shown, ...}}, and what stands beside them}
local function read_run(ctx, owner, value, what)
  local keys, run = {}, {loads = {}}
  for key in next, value do
    if type(key) == "string" or type(key) == "number" then keys[#keys + 1] = key end
  end
  table.sort(keys, before)
  for _, key in ipairs(keys) do
    if of_run[key] then
      run[key] = of_run[key](ctx, owner, key, value[key], what)
    elseif type(key) ~= "string" then
      wrong(ctx, owner, key, "type", "needs a wheel in front", "as in corners = { lf = 150.2, rf = 148.9, lr = 210.4, rr = 208.0 }")
    else
      local support = support_of(ctx, owner, what, key)
      run.unknown = run.unknown or not support
      if support and run.loads[support] then
        wrong(ctx, owner, key, "clash", ("is %s, which was read already"):format(support))
      elseif support then
        run.loads[support] = read_repeats(ctx, owner, key, value[key])
        run.unknown = run.unknown or not run.loads[support]
      end
    end
  end
  return run
end

--- A run, or a list of runs.
function readers.read_loads(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value, most.entries) then return end
  local list = {}
  if #value > 0 then
    entries.list(ctx, owner, key, value, function(i, entry, inside)
      if entries.table(ctx, inside, i, entry, most.entries) then
        list[#list + 1] = read_run(ctx, problems.inside(inside, i), entry, key)
      end
    end, most.readings)
  else
    list[1] = read_run(ctx, problems.inside(owner, key), value, key)
  end
  out[key] = list
end

function readers.read_heights(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value, most.points) then return end
  local list, inside = {}, problems.inside(owner, key)
  for name in next, value do
    if type(name) ~= "string" then
      wrong(ctx, inside, name, "type", "needs the name of a point in front", 'as in heights = { ["front jack"] = 182 }')
    else
      local number, sd = entries.number(ctx, inside, name, value[name], {unit = "mm", min = 0, max = 1e6})
      list[#list + 1] = {name = name, value = number, sd = sd}
    end
  end
  table.sort(list, function(a, b) return core.before(a.name, b.name) end)
  if #list == 0 then wrong(ctx, owner, key, "missing", "is empty, a point is needed") end
  out[key] = list
end

local entries_of_tensor = {"xx", "yy", "zz", "xy", "xz", "yz"}

function readers.read_inertia(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local inside, tensor, sds, left, some = problems.inside(owner, key), {}, {}, 0, false
  for _ in next, value do left = left + 1 end
  for i, name in ipairs(entries_of_tensor) do
    if value[name] ~= nil then
      tensor[name], sds[name] = entries.number(ctx, inside, name, value[name], {unit = "kg m2", above = i <= 3 and 0 or nil})
      left, some = left - 1, true
    end
  end
  if left > 0 or not some then
    wrong(ctx, owner, key, "content", "takes some of xx, yy, zz, xy, xz, yz by name", "as in inertia = { zz = sd(12.4, 0.2) }")
  end
  out[key], out[key .. "_sd"] = tensor, sds
end

-- ---- what belongs together ------------------------------------------------------------------------------------------------

-- field that holds what a kind measures -> kinds
local data_of = {corners = {corners = true}, axles = {axles = true}, heights = {["ride heights"] = true}, of = {assembly = true},
                 mass = {assembly = true}, cg = {assembly = true}, inertia = {assembly = true},
                 from = {corners = true, axles = true, lift = true}, pads = {corners = true}}
local data_order = {"of", "from", "corners", "axles", "heights", "mass", "cg", "inertia", "pads"}
local needed = {corners = {"corners", "from"}, axles = {"axles", "from"}, lift = {"from"}, ["ride heights"] = {"heights"},
                assembly = {"of"}}
local examples = {corners = "corners = { lf = 150.2, rf = 148.9, lr = 210.4, rr = 208.0 }, or from = \"readings/corners.csv\"",
                  axles = "axles = { front = 299.1, rear = 418.4 }", lift = 'from = "readings/lift.csv"',
                  heights = 'heights = { ["front jack"] = 182 }', of = 'of = "powertrain", mass = sd(168.4, 0.2)'}

-- unread: a field of it could not be read, or is called otherwise: it may be the one that is missing
local function check_data(ctx, owner, record, from, unread)
  for _, field in ipairs(data_order) do
    if from[field] ~= nil and not data_of[field][record.kind] then
      wrong(ctx, owner, field, "clash", ("has no place in a record of kind %q"):format(record.kind))
    end
  end
  local either = needed[record.kind]
  local first, second = from[either[1]] ~= nil, either[2] and from[either[2]] ~= nil
  if first and second then
    wrong(ctx, owner, "from", "clash", ("stands beside %s: one of the two is enough"):format(either[1]))
  elseif not (first or second or unread) then
    wrong(ctx, owner, either[1], "missing", "is missing: what was measured", "as in " .. (examples[either[1]] or examples[record.kind]))
  end
  if record.kind == "assembly" and from.mass == nil and not unread then
    wrong(ctx, owner, "mass", "missing", "is missing: what was measured")
  end
end

-- A wheel that nobody read leaves the others without meaning.
local function check_read(ctx, owner, record, what)
  local read, known = {}, ctx.records_known and ctx.records_known[what]
  local alone = what == "corners" -- loads of axles, no wheel among them
  for _, run in ipairs(record[what]) do
    if run.unknown then return end -- it may be the one that is missing
    for key in pairs(run.loads) do read[key], alone = true, alone and together[key] end
  end
  if alone and next(read) then
    return wrong(ctx, owner, what, "missing", "has no reading of a wheel, loads of axles alone",
      'a record of kind "axles" takes them')
  end
  if not known or read.total or what == "corners" and (read.front or read.rear) then return end -- sy.corner_scales knows what that leaves
  for _, key in ipairs(known.names) do
    if not read[key] then
      wrong(ctx, owner, what, "missing", ("has no reading of %s: %s of this car are needed"):format(key,
        text.join(known.names)), what == "corners" and "a record of kind \"axles\" takes axles alone" or nil)
    end
  end
end

local function check_state(ctx, owner, record)
  local list = ctx.state_names or {}
  for _, name in ipairs(list) do
    if name == record.state then return end
  end
  wrong(ctx, owner, "state", "unknown", ("no state is called %q"):format(record.state),
    entries.did_you_mean(core.nearest(record.state, list)) or #list > 0 and "the states are " .. text.list_names(list)
    or "the file states none")
end

local function check_points(ctx, owner, record, points)
  local known, list = {}, {}
  for i, point in ipairs(points or {}) do known[point.name], list[i] = true, point.name end
  for _, height in ipairs(record.heights) do
    if not known[height.name] then
      wrong(ctx, problems.inside(owner, "heights"), height.name, "unknown", ("no point is called %q"):format(height.name),
        entries.did_you_mean(core.nearest(height.name, list)) or "points = { ... } of the file names them")
    end
  end
end

local function check_path(ctx, owner, key, name)
  if core.stays_below(name) then return true end
  wrong(ctx, owner, key, "content", ("%q is not in the folder of this file or below it"):format(name),
    key == "file" and "it is named from there, as in history/first.lua" or "it is named from there, as in readings/corners.csv")
end

local function check_file(ctx, owner, record)
  local own = ctx.problems.origin.file
  if check_path(ctx, owner, "file", record.file) and own and record.file == own:match "[^/]*$" then
    wrong(ctx, owner, "file", "clash", "names this file itself",
      "leave it out: a record without file speaks of this file as it is written; the car as it then stood is kept under another name")
  end
end

-- ---- in kilograms -----------------------------------------------------------------------------------------------------------

local function kilograms(shown, unit)
  local by = user_values.in_kg[shown.unit or unit]
  local value = shown.value * by
  return shown.sd and vocabulary.sd(value, shown.sd * by) or value
end

local function check_range(ctx, owner, what, key, shown, instrument)
  local unit = shown.unit or instrument.unit
  if not instrument.range or shown.value * user_values.in_kg[unit] <= instrument.range then return end
  wrong(ctx, problems.inside(owner, what), key, "range", ("is %s %s, %s reads up to %s %s"):format(text.plain(shown.value), unit,
    instrument.name, text.plain(instrument.range / user_values.in_kg[instrument.unit]), instrument.unit), "is it in another unit?")
end

-- Runs of sy.corner_scales: those of repeats one after the other.
local function runs_of(ctx, owner, record, what, instrument)
  local unit, runs = instrument and instrument.unit or "kg", {}
  for _, said in ipairs(record[what]) do
    local count = 0
    for key, list in pairs(said.loads) do
      count = math.max(count, #list)
      for _, shown in ipairs(instrument and list or {}) do check_range(ctx, owner, what, key, shown, instrument) end
    end
    for i = 1, count do
      local others = said.others or i > 1 and "blocks" or nil -- of repeats the other wheels stand on their pads
      local run = {facing = said.facing, others = others, name = said.name, pads = said.pads or record.pads,
                   sd = said.sd and kilograms(said.sd, unit), step = said.step and kilograms(said.step, unit)}
      for key, list in pairs(said.loads) do run[key] = list[i] and kilograms(list[i], unit) end
      for _, key in ipairs{"zero_before", "zero_after"} do
        local zero = said[key]
        if zero and zero.by then
          run[key] = {}
          for name, shown in pairs(zero.by) do run[key][name] = kilograms(shown, unit) end
        elseif zero then
          run[key] = kilograms(zero, unit)
        end
      end
      runs[#runs + 1] = run
    end
  end
  return runs
end

local function finish(ctx, owner, record, from, spec, unread)
  if not record.kind then return end
  check_data(ctx, owner, record, from, unread)
  if record.from then check_path(ctx, owner, "from", record.from) end
  if record.file then
    check_file(ctx, owner, record)
  else
    if record.state then check_state(ctx, owner, record) end
    if record.heights then check_points(ctx, owner, record, spec.points) end
    if record.of then entries.refer(ctx, {owner = owner, key = "of", name = record.of}) end
  end
  local instrument = record.instrument and weighings.find(ctx, owner, "instrument", record.instrument) or nil
  local what = record.kind
  if record[what] and (what == "corners" or what == "axles") then
    check_read(ctx, owner, record, what)
    record.runs, record[what], record.pads = runs_of(ctx, owner, record, what, instrument), nil, nil
  end
end

-- ---- pads ------------------------------------------------------------------------------------------------------------------

-- What pads have of their own errs in the ledger too, so that two records that were read on them share it: an instrument "pads/A" for each
-- pad that a record names.
local function add_pads(ctx, list, record)
  local instrument
  for _, each in ipairs(record.runs and ctx.instruments or {}) do
    if each.name == record.instrument then instrument = each.each and each end
  end
  local names = {}
  for _, run in ipairs(instrument and record.runs or {}) do
    for _, pad in pairs(run.pads or {}) do names[#names + 1] = ("%s/%s"):format(record.instrument, pad) end
  end
  table.sort(names, core.before)
  for _, name in ipairs(names) do
    if not list[name] and #list + #ctx.instruments < most.instruments then
      list[#list + 1] = {name = name, bias_sd = instrument.each.bias_sd, gain_sd = instrument.each.gain_sd}
      list[name] = true
    end
  end
end

-- ---- the list ---------------------------------------------------------------------------------------------------------------

-- Wheels and axles that this file's records may name: {names, [word] = key}.
local function known_of(ctx)
  if not ctx.wheels then return nil end
  local wheels, axles = {names = ctx.wheel_keys}, {names = {}}
  for word, key in pairs(ctx.wheels) do wheels[word] = key end
  for i, axle in ipairs(ctx.axles) do axles[axle.name], axles.names[i] = axle.name, axle.name end
  return {corners = wheels, axles = axles}
end

local function is_name_key(key) return key == "name" end

local function read_record(ctx, own, name, from, known, spec)
  local refs = ctx.refs
  ctx.records_known = from.file == nil and known or nil
  if from.file ~= nil then ctx.refs = {} end -- its parts are that file's
  local noted = #ctx.problems.list
  local record = entries.read(ctx, own, "record", from, false, is_name_key)
  ctx.refs = refs
  record.name = name
  finish(ctx, own, record, from, spec, #ctx.problems.list > noted)
  return record
end

-- Records that do not count are not read; they stand where they belong.
local function skip(ctx, value)
  for _, entry in next, user_values.is_plain(value) and value or {} do
    if type(entry) == "table" then ctx.reached[entry] = true end
  end
end

function readers.records(ctx, owner, key, value, _, out)
  if ctx.problems.origin.without_records then return skip(ctx, value) end
  local list, taken, known, pads = {}, {}, known_of(ctx), {}
  entries.list(ctx, owner, key, value, function(i, entry, inside)
    local name, from, own = vehicle_lists.named_entry(ctx, entry, inside, i, "record")
    if not own then return end
    if type(name) ~= "string" or name == "" then
      return wrong(ctx, own, nil, "missing", "needs a name", "as in record \"first scales\" { ... }")
    end
    if #name > most.text then return wrong(ctx, own, nil, "limit", ("has a name of %d bytes, %d are possible"):format(#name, most.text)) end
    if taken[name] then wrong(ctx, own, nil, "clash", "the name is taken by another record") end
    taken[name] = true
    local record = read_record(ctx, own, name, from, known, out)
    record.line = user_values.is_item(entry) and entry.line or nil
    add_pads(ctx, pads, record)
    list[#list + 1] = record
  end, most.records)
  out[key] = list
  for i = 1, #pads do -- by number alone
    out.more_instruments = out.more_instruments or {}
    out.more_instruments[i] = pads[i]
  end
end

return {readers = readers}
