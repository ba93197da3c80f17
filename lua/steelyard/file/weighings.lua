--- Weighing records: from what a scale showed to a mass with its uncertainty. What was read is kept as it was read.
--
--   m = ((reading - zero) / gain - bias - what else was on) / pieces          zero: mean of before and after
--   m = ((reading - tare) / gain - what else was on) / pieces                 tare: the same scale with all but the part on it
--
-- Own to each weighing, and so in the part's mass_sd: repeatability, resolution step^2 / 12, the moved zero, all between before
-- and after equally likely, (after - before)^2 / 12, and what is said of the other things on the scale.
-- Common to all that one scale weighed, and so with the scale: its bias and its gain. A tare takes the bias away.
-- Source  JCGM 100:2008: 4.3.7 (limits a: u^2 = a^2 / 3, so (step / 2)^2 / 3 for a step), F.2.2.1 (resolution), 4.2.3 (a mean of n
--         repeats: s^2 / n), 5.2.2 (errors in common).
--
-- What a part gets: mass, mass_sd (of one piece), basis "weighed", instrument, bias_share and gain_mass (kg of one piece per kg of the
-- scale's bias and per unit of its relative gain error), was = the mass in the file, weighed = {reading = {as read, ...}, unit =,
-- instrument =, zero_before =, zero_after =, tare =, with = {{name =, value =, sd =}, ...}, pieces =, note =}, each in `unit`.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local most = require "steelyard.file.most"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local weighings = {readers = {}}
local readers, wrong = weighings.readers, entries.wrong

local STEP_VARIANCE, DRIFT_VARIANCE = 12, 12 -- the variance of a rectangle is its width squared by this (JCGM 100:2008, 4.3.7)
local ROUNDING = 1e-9        -- of a mass: what arithmetic may do, far below any digit of a scale
local STEPS_OF_DRIFT = 3     -- a zero that moves by more is worth a word; common practice, no source
local TIMES_SCATTER = 3      -- and so are repeats that scatter by more than so many times the scale's own; common practice, no source

-- ---- reading ------------------------------------------------------------------------------------------------------------

--- One thing that a scale showed, {value =, sd =, unit =}; nil after noting a problem.
function weighings.shown(ctx, owner, key, value, limits)
  local shown, code, message, hint = user_values.as_read(value)
  if not shown then return wrong(ctx, owner, key, code, message, hint) end
  code, message = user_values.outside(shown.value, limits or {}, shown.unit or "")
  if code then return wrong(ctx, owner, key, code, message) end
  return shown
end

function readers.shown(ctx, owner, key, value, options, out) out[key] = weighings.shown(ctx, owner, key, value, options) end

function readers.gain(ctx, owner, key, value, options, out)
  out[key], out[key .. "_sd"] = entries.number(ctx, owner, key, value, options)
end

--- One reading, or a list of repeats.
function readers.readings(ctx, owner, key, value, _, out)
  local list = {}
  if user_values.is_plain(value) then
    entries.list(ctx, owner, key, value, function(i, entry, inside)
      list[#list + 1] = weighings.shown(ctx, inside, i, entry)
    end, most.readings)
    if next(value) == nil then wrong(ctx, owner, key, "missing", "is empty, a reading is needed") end
    ctx.repeats = (ctx.repeats or 0) + math.max(0, #value - 1)
    if ctx.most_written == most.parts and ctx.repeats > most.repeats then -- in a vehicle file
      wrong(ctx, owner, key, "limit", ("the file has more than %d repeated readings"):format(most.repeats))
      ctx.problems:raise_first()
    end
  else
    list[1] = weighings.shown(ctx, owner, key, value)
  end
  out[key] = list
end

--- What else was on the scale: {strap = 0.35, ["two bolts"] = sd(0.12, 0.01)}.
function readers.loads(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value, most.entries) then return end
  local inside, list = problems.inside(owner, key), {}
  for name in next, value do
    if type(name) ~= "string" then
      wrong(ctx, inside, name, "type", "needs a name in front", "as in with = { strap = 0.35 }")
    else
      local load = weighings.shown(ctx, inside, name, value[name], {min = 0})
      if load then
        load.name = name
        list[#list + 1] = load
      end
    end
  end
  table.sort(list, function(a, b) return core.before(a.name, b.name) end)
  out[key] = list
end

-- A group weighed in one piece, with what else was measured of it: {value, sd, cg, cg_sd, inertia, inertia_sd}. A number comes here only
-- when it is wrong.
function readers.whole(ctx, owner, key, value, options, out)
  if not (options.body and user_values.is_plain(value)) then return entries.number(ctx, owner, key, value, options) end
  local partial = ctx.partial
  ctx.partial = false
  local said = entries.read(ctx, problems.inside(owner, key), "whole", value)
  ctx.partial = partial
  out[key] = {value = said.mass, sd = said.mass_sd, cg = said.cg, cg_sd = said.cg_sd, inertia = said.inertia,
              inertia_sd = said.inertia_sd}
end

function readers.weighed(ctx, owner, key, value, _, out)
  if not entries.table(ctx, owner, key, value) then return end
  local partial = ctx.partial
  ctx.partial = false -- a record is whole, also in car:set
  out[key] = entries.read(ctx, problems.inside(owner, key), "weighed", value)
  ctx.partial = partial
end

-- ---- units ----------------------------------------------------------------------------------------------------------------

-- A thing that was shown, in another unit than it was said in.
local function convert(shown, unit)
  if not shown then return nil end
  local by = shown.unit and shown.unit ~= unit and user_values.in_kg[shown.unit] / user_values.in_kg[unit] or 1
  return {name = shown.name, value = shown.value * by, sd = shown.sd and shown.sd * by or nil}
end

local function kilograms(shown, unit) return shown and convert(shown, unit).value * user_values.in_kg[unit] end

--- An instrument as the file says it: all in kg, the uncertainty of its gain relative. Bias and gain are what a pad shows in all, with what
-- `each` has by itself; their uncertainties stand apart.
function weighings.instrument(said)
  local unit = said.unit or "kg"
  local function errors(from)
    local bias, gain = from.bias and convert(from.bias, unit), from.gain or 1
    return bias and bias.value * user_values.in_kg[unit] or 0, bias and bias.sd and bias.sd * user_values.in_kg[unit] or nil, gain,
      from.gain_sd and from.gain_sd / gain
  end
  local made = {name = said.name, unit = unit, note = said.note, certificate = said.certificate, sd = kilograms(said.sd, unit),
                step = kilograms(said.step, unit), range = kilograms(said.range, unit)}
  made.bias, made.bias_sd, made.gain, made.gain_sd = errors(said)
  if said.each then
    local each = {}
    each.bias, each.bias_sd, each.gain, each.gain_sd = errors(said.each)
    made.each, made.bias, made.gain = each, made.bias + each.bias, made.gain * each.gain
  end
  return made
end

local no_scale = {bias = 0, gain = 1}

--- The instrument of that name; without one a scale that is exact, nil after noting a problem.
function weighings.find(ctx, owner, key, name)
  if not name then return no_scale end
  local names = {}
  for _, instrument in ipairs(ctx.instruments or {}) do
    if instrument.name == name then return instrument end
    names[#names + 1] = instrument.name
  end
  wrong(ctx, owner, key, "unknown", ("no instrument is called %q"):format(name), entries.did_you_mean(core.nearest(name, names))
    or #names > 0 and "the file has " .. text.list_names(names)
    or ("the file must say so: instruments = { instrument %q { step = 0.1 } }"):format(name))
end

-- A record's unit is that of its readings. Tares, zeros and what else was on may have been read elsewhere, in units of their own.
local function check_units(ctx, owner, said)
  for i, shown in ipairs(said.reading) do
    if shown.unit and said.unit and shown.unit ~= said.unit then
      local several = #said.reading > 1
      wrong(ctx, several and problems.inside(owner, "reading") or owner, several and i or "reading", "clash",
        ("is in %s, the record says unit = %q"):format(shown.unit, said.unit), "leave out the one that is wrong")
    end
  end
end

-- All of a record in one unit: its own, else that of the first thing said with one, else what the scale reads in.
local function in_one_unit(said, scale)
  local unit = said.unit or said.reading[1].unit or scale.unit or "kg"
  local record = {reading = {}, unit = unit, pieces = said.pieces, note = said.note}
  for i, shown in ipairs(said.reading) do record.reading[i] = convert(shown, unit) end
  for _, key in ipairs{"zero_before", "zero_after", "tare"} do record[key] = convert(said[key], unit) end
  for i, load in ipairs(said.with or {}) do
    record.with = record.with or {}
    record.with[i] = convert(load, unit)
  end
  return record
end

-- ---- from readings to a mass ----------------------------------------------------------------------------------------------

local function square(x) return x * x end

-- Mean of repeats, their sample standard deviation (nil for one).
local function mean_of(list)
  local first, off, squares = list[1].value, 0, 0
  for _, shown in ipairs(list) do off = off + (shown.value - first) end -- from the first: equal readings scatter by nothing at all
  local mean = first + off / #list
  for _, shown in ipairs(list) do squares = squares + square(shown.value - mean) end
  return mean, #list > 1 and math.sqrt(squares / (#list - 1)) or nil
end

-- Variance of a mean of readings, in the record's unit: what was said of it, else the scale's repeatability or the scatter of the
-- repeats, and the step, which repeats do not make smaller.
local function reading_variance(list, scale, scatter)
  local said, n = 0, #list
  for _, shown in ipairs(list) do said = said + square((shown.sd or 0) / n) end
  if said > 0 then return said end
  local own = scale.sd or scatter or 0
  return square(own) / n + square(scale.step or 0) / STEP_VARIANCE
end

-- Variance of what one pad of a set has by itself: nobody says which pad a part stood on, so no two parts share it.
local function pad_variance(scale, by, bias_share, on_scale)
  local each = scale and scale.each
  return each and square(bias_share * (each.bias_sd or 0) / by) + square(on_scale * (each.gain_sd or 0)) or 0
end

-- The scale's own figures in the record's unit.
local function scale_in(scale, unit)
  local by = user_values.in_kg[unit]
  return {sd = scale.sd and scale.sd / by, step = scale.step and scale.step / by, range = scale.range and scale.range / by,
          bias = scale.bias / by, gain = scale.gain}
end

-- The zero, the variance from its moving, and that of its own readings where it was said.
local function zero_of(record)
  local before, after = record.zero_before, record.zero_after
  if before and after then
    return (before.value + after.value) / 2, square(after.value - before.value) / DRIFT_VARIANCE,
      (square(before.sd or 0) + square(after.sd or 0)) / 4
  end
  local one = before or after or {value = 0}
  return one.value, 0, square(one.sd or 0)
end

--- What a record comes to, of one piece and in kg: {mass =, sd = or nil, bias_share =, gain_mass =, scatter =}.
function weighings.work_out(record, instrument)
  local scale = scale_in(instrument or no_scale, record.unit)
  local gross, scatter = mean_of(record.reading)
  local zero, moved, zero_read = zero_of(record)
  local variance = reading_variance(record.reading, scale, scatter) + moved
  local on_scale, rest
  if record.tare then
    on_scale = (gross - record.tare.value) / scale.gain
    rest, variance = on_scale, variance + reading_variance({record.tare}, scale)
  else
    on_scale = (gross - zero) / scale.gain
    rest, variance = on_scale - scale.bias, variance + zero_read
  end
  variance = variance / square(scale.gain) + pad_variance(instrument, user_values.in_kg[record.unit], record.tare and 0 or 1, on_scale)
  for _, load in ipairs(record.with or {}) do
    rest, variance = rest - load.value, variance + square(load.sd or 0)
  end
  local each = user_values.in_kg[record.unit] / (record.pieces or 1)
  local known = variance > 0 or instrument and (instrument.bias_sd or instrument.gain_sd)
  return {mass = rest * each, sd = known and math.sqrt(variance) * each or nil, gross = gross, scatter = scatter,
          bias_share = (record.tare and 0 or 1) / (record.pieces or 1), gain_mass = on_scale * each}
end

-- ---- what cannot be, and what is worth a word -----------------------------------------------------------------------------

local function with_unit(number, unit) return text.plain(number) .. " " .. unit end

-- Is every reading one the scale can show, and is anything left of it?
local function check(ctx, owner, record, scale, result)
  local own = scale_in(scale, record.unit)
  for i, shown in ipairs(record.reading) do
    if own.range and shown.value > own.range then
      local inside = #record.reading > 1 and problems.inside(owner, "reading") or owner
      return wrong(ctx, inside, #record.reading > 1 and i or "reading", "range", ("is %s, %s reads up to %s"):format(
        with_unit(shown.value, record.unit), scale.name, with_unit(own.range, record.unit)), "is it in another unit?")
    end
  end
  if record.tare and record.tare.value >= result.gross then
    return wrong(ctx, owner, "tare", "range", ("is %s, no less than the reading with the part on, %s"):format(
      with_unit(record.tare.value, record.unit), with_unit(result.gross, record.unit)))
  end
  if result.mass > 0 then return true end
  wrong(ctx, owner, record.with and "with" or "reading", "range", ("leaves %s kg for the part"):format(
    text.plain(core.number(core.fixed(result.mass, 6)))),
    record.with and "what else was on is more than was read" or "the scale read no more than its zero")
end

local function on_what(scale) return scale.name and " on " .. scale.name or "" end

local function remark(ctx, name, record, scale, result)
  local own, unit = scale_in(scale, record.unit), record.unit
  local function say(words, ...) ctx.notes[#ctx.notes + 1] = words:format(...) end
  local before, after = record.zero_before, record.zero_after
  local moved = before and after and math.abs(after.value - before.value) or 0
  local step = own.step or own.sd
  if step and moved > STEPS_OF_DRIFT * step * (1 + 1e-9) then -- decimals such as 0.3 are not exact multiples
    say("%s: the zero%s moved by %s while it was weighed, its %s is %s: weigh it again", name, on_what(scale),
      with_unit(core.number(core.fixed(moved, 9)), unit), own.step and "step" or "sd", with_unit(step, unit))
  end
  local n, least = #record.reading, math.max(own.sd or 0, (own.step or 0) / math.sqrt(STEP_VARIANCE))
  if n > 1 and result.scatter == 0 and least == 0 and not record.reading[1].sd then
    say("%s: %d equal readings%s prove nothing about its uncertainty as long as the scale's step is not said", name, n, on_what(scale))
  elseif least > 0 and (result.scatter or 0) > TIMES_SCATTER * least then
    say("%s: its %d readings%s scatter by %s, the scale itself by %s: was something touching it?", name, n, on_what(scale),
      with_unit(core.number(core.fixed(result.scatter, 3)), unit), with_unit(core.number(core.fixed(least, 3)), unit))
  end
end

-- A table may say itself what a reading comes to: worth a word where it is not what is booked.
local function compare_with_table(ctx, owner, name, result, scale)
  local said = owner.item and rawget(owner.item, "said")
  if not said then return end
  local variance = square(result.sd or 0) + square(result.bias_share * (scale.bias_sd or 0))
    + square(result.gain_mass * (scale.gain_sd or 0))
  if math.abs(said.mass - result.mass) <= said.room + text.K95 * math.sqrt(variance) + ROUNDING * result.mass then return end
  ctx.notes[#ctx.notes + 1] = ("%s: the table says %s kg, its reading comes to %s kg, which is booked"):format(name,
    text.plain(said.mass), text.plain(core.number(core.fixed(result.mass, 4))))
end

-- ---- onto the part --------------------------------------------------------------------------------------------------------

-- The mass booked before: the file's, or that of the part that car:set changes.
local function was(node, before, from)
  local stated = (from.mass ~= nil or from.dry_mass ~= nil) and node or before
  if not stated then return node.was end
  local basis = stated.basis or "estimate"
  if stated.unknown then return {unknown = true, basis = basis} end
  if stated.kind == "tank" then
    return {value = stated.dry_mass, sd = stated.dry_mass_sd, basis = basis, limits = stated.dry_mass_limits}
  end
  return {value = stated.mass, sd = stated.mass_sd, basis = basis, limits = stated.mass_limits}
end

local function put(node, result, before, from)
  node.was = was(node, before, from)
  if (before or node).kind == "tank" then -- weighed empty
    node.dry_mass, node.dry_mass_sd, node.dry_mass_limits = result.mass, result.sd, nil
  else
    node.mass, node.mass_sd, node.mass_limits, node.unknown = result.mass, result.sd, nil, false
  end
  node.basis, node.bias_share, node.gain_mass = "weighed", result.bias_share, result.gain_mass
end

-- The word that a table says its instrument by: `old` is the older one.
local function written(from, old) return type(from) == "table" and from[old] ~= nil and old or "instrument" end

-- A mass that the file states as read on that scale, corrected by whoever wrote it.
local function finish_stated(ctx, owner, node, from)
  local word = written(from, "scale")
  weighings.find(ctx, owner, word, node.instrument)
  local record = ctx.node and ctx.node.weighed
  if record and node.mass == nil and record.instrument ~= node.instrument then
    return wrong(ctx, owner, word, "clash", "cannot be changed under a weighing record", "set weighed instead")
  end
  local mass = node.mass or (ctx.node or {}).mass
  if mass then node.bias_share, node.gain_mass = 1, mass end
end

-- What the record `said` comes to: the record in one unit, the result, the scale's name; nil after noting a problem.
local function evaluate(ctx, owner, inside, node, said, from)
  local on = said.instrument or node.instrument
  local scale = weighings.find(ctx, said.instrument and inside or owner,
    said.instrument and written(from.weighed, "on") or written(from, "scale"), on)
  if not (scale and said.reading and said.reading[1]) then return nil end
  check_units(ctx, inside, said)
  local record = in_one_unit(said, scale)
  record.instrument = on
  local result = weighings.work_out(record, scale)
  if not check(ctx, inside, record, scale, result) then return nil end
  local name = node.path or owner.part or "part"
  remark(ctx, name, record, scale, result)
  compare_with_table(ctx, owner, name, result, scale)
  return record, result, scale
end

--- What a record comes to that stands by itself, as in a teardown, on a scale nobody knows more of: as work_out gives it, and the record in
-- one unit, and remarks on it. Raises what is wrong with it, its field as "weighed.tare".
function weighings.alone(said, name)
  local ctx = {problems = problems.new(), notes = {}}
  local owner = {part = name, kind = ""}
  local inside = problems.inside(owner, "weighed")
  local read = entries.read(ctx, inside, "weighed", said)
  read.instrument = nil -- its errors, common to all it weighed, are stated beside the table
  local record, result = evaluate(ctx, owner, inside, {}, read, {})
  ctx.problems:raise_first()
  return result, record, ctx.notes
end

--- A group weighed in one piece: its `whole`, with the uncertainty of the scale in it; own = what is not common to that scale.
function weighings.finish_group(ctx, owner, node, from)
  local said, inside = node.weighed, problems.inside(owner, "weighed")
  if node.whole then
    return wrong(ctx, owner, "whole", "clash", "stands beside weighed, which is the group weighed in one piece", "one of the two is enough")
  end
  if said.pieces then return wrong(ctx, inside, "pieces", "clash", "has no place here, a group is weighed in one piece") end
  local record, result, scale = evaluate(ctx, owner, inside, node, said, from)
  if not record then return end
  local common = square(result.bias_share * (scale.bias_sd or 0)) + square(result.gain_mass * (scale.gain_sd or 0))
  node.whole = {value = result.mass, sd = result.sd and math.sqrt(square(result.sd) + common), own = result.sd or 0,
                instrument = record.instrument, bias_share = result.bias_share, gain_mass = result.gain_mass}
  node.weighed = record
end

--- The part `node`, whose fields are read from `from`, with what its weighing comes to.
function weighings.finish(ctx, owner, node, from)
  local said = node.weighed
  if not said then return finish_stated(ctx, owner, node, from) end
  local inside = problems.inside(owner, "weighed")
  if said.instrument and node.instrument and said.instrument ~= node.instrument then
    return wrong(ctx, owner, written(from, "scale"), "clash",
      ("says %q, the weighing record says %q"):format(node.instrument, said.instrument))
  end
  if node.mass and from.basis == "weighed" then
    wrong(ctx, owner, "mass", "clash", "is weighed already, and here is a weighing record beside it",
      "the record counts; the mass is what was thought before, and basis says where that came from")
  end
  if node.was and from.mass ~= nil then
    wrong(ctx, owner, "was", "clash", "stands beside mass and a weighing record", "the mass is what was thought before")
  end
  local record, result = evaluate(ctx, owner, inside, node, said, from)
  if not record then return end
  put(node, result, ctx.node, from)
  node.weighed, node.instrument = record, record.instrument
end

-- The standard uncertainty of a part's mass with what its scale does to it. own: beside the scale.
local function whole_sd(node, own, instruments)
  for _, scale in ipairs(instruments or {}) do
    if scale.name == node.instrument then
      local bias, gain = (node.bias_share or 0) * (scale.bias_sd or 0), (node.gain_mass or 0) * (scale.gain_sd or 0)
      return math.sqrt(square(own) + square(bias) + square(gain))
    end
  end
  return own
end

--- What car:set must add where it states another mass for a part that was weighed: the reading speaks no longer, and neither does the
-- scale. A plain number keeps the uncertainty, with what the scale had in it: no scale read it, so it shares no error with what one read.
-- own: the standard uncertainty beside the scale.
function weighings.overruled(node, changes, own, instruments)
  if changes.weighed or not (changes.mass or changes.unknown) then return end
  if node.weighed then changes.weighed = false end
  if changes.instrument then return end
  if changes.mass and not changes.mass_sd and node.instrument then
    local sd = whole_sd(node, own or 0, instruments)
    if sd > (own or 0) then changes.mass_sd = sd end
  end
  changes.instrument, changes.bias_share, changes.gain_mass = false, 0, 0
end

return weighings
