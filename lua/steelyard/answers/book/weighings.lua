--- What a book says of weighings: what was read, what the mass was thought to be before, and what the scales have in common.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local text = require "steelyard.print.text"

local book_weighings = {}

local function value_of(shown) return shown and shown.value or nil end

-- The record as plain numbers, for those who read the result.
local function plain(record)
  local readings, with = {}, nil
  for i, shown in ipairs(record.reading) do readings[i] = shown.value end
  for i, load in ipairs(record.with or {}) do
    with = with or {}
    with[i] = {name = load.name, mass = load.value}
  end
  return {reading = readings, unit = record.unit, on = record.instrument, zero_before = value_of(record.zero_before),
          zero_after = value_of(record.zero_after), tare = value_of(record.tare), with = with, pieces = record.pieces or 1,
          note = record.note}
end

--- Into a row: `weighed`, the record, and `was`, the mass of all pieces as it was booked before (of a tank: dry).
function book_weighings.add(row, node)
  if node.weighed then row.weighed = plain(node.weighed) end
  local was = node.was
  if not was then return end
  row.was = {mass = was.value and was.value * row.pieces, sd = was.sd and was.sd * row.pieces, basis = was.basis, unknown = was.unknown}
end

--- What was booked before, for a line below that of the part: its label, "12.0 +- 3.4" or "unknown", and its basis.
function book_weighings.before(row, decimals)
  local was = row.was
  return row.kind == "tank" and "was, dry" or "was", was.mass and text.plus_minus(was.mass, was.sd, decimals) or "unknown", was.basis or ""
end

local function square(x) return x * x end

-- Pieces that are aboard under a line, whatever became of its pair.
local function pieces_of(item, node) return (node.pair and 2 or 1) * (item.count or 1) end

-- Of the parts aboard that one instrument weighed: their list, and kg per kg of its bias and per unit of its relative gain error.
local function weighed_on(c, name, items)
  local list, bias, gain = {}, 0, 0
  for _, item in ipairs(items) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node.instrument == name and item.form ~= "group" then
      local pieces = pieces_of(item, node)
      list[#list + 1] = item
      bias, gain = bias + pieces * (node.bias_share or 0), gain + pieces * (node.gain_mass or 0)
    end
  end
  return list, bias, gain
end

--- What one instrument has weighed of what is aboard: {name, parts, mass, sd}, sd being the standard uncertainty that all those
-- masses have in common; nil when it weighed none of them. items: as ledger:items gives them.
function book_weighings.on_scale(c, instrument, items)
  local list, bias, gain = weighed_on(c, instrument.name, items)
  if #list == 0 then return nil end
  local mass = 0
  for _, item in ipairs(list) do mass = mass + core.item_totals(c.now, c.geometry, item.route).mass end
  return {name = instrument.name, parts = #list, mass = mass,
          sd = math.sqrt(square(bias * (instrument.bias_sd or 0)) + square(gain * (instrument.gain_sd or 0)))}
end

--- Standard uncertainties of a weighed whole and of the sum of its parts, without double counting what both have in common: parts
-- that were weighed on the scale of the whole err with it, and only the difference of its bias and gain counts (JCGM 100:2008, 5.2.2).
function book_weighings.apart(c, whole, items, sum_sd)
  local instrument
  for _, each in ipairs(whole.instrument and c.shared.spec.instruments or {}) do
    if each.name == whole.instrument then instrument = each end
  end
  if not instrument then return whole.sd, sum_sd end
  local _, bias, gain = weighed_on(c, whole.instrument, items)
  local bias_sd, gain_sd = instrument.bias_sd or 0, instrument.gain_sd or 0
  local parts = square(bias * bias_sd) + square(gain * gain_sd)
  local common = square((whole.bias_share - bias) * bias_sd) + square((whole.gain_mass - gain) * gain_sd)
  return math.sqrt(square(whole.own) + common), math.sqrt(math.max(0, square(sum_sd) - parts))
end

--- "On bench scale: 34 lines, 61.2 kg; its own error, common to all of them, +- 0.13 kg."
function book_weighings.scale_text(entry)
  local common = ""
  if entry.sd > 0 then
    common = ("; its own error%s, %s kg"):format(entry.parts > 1 and ", common to all of them" or "",
      text.plus_minus(0, entry.sd, 2):gsub("^0.00 ", ""), nil)
  end
  return ("On %s: %s, %s kg%s."):format(entry.name, text.count(entry.parts, "line"), text.fixed(entry.mass, 1), common)
end

local function with_unit(number, unit) return text.plain(number) .. " " .. unit end

local function readings_text(record)
  local list, same = {}, true
  for i, number in ipairs(record.reading) do
    list[i], same = text.plain(number), same and number == record.reading[1]
  end
  if #list == 1 then return list[1] .. " " .. record.unit end
  if same then return ("%d times %s %s"):format(#list, list[1], record.unit) end
  return ("%s %s, mean of %d"):format(text.join(list), record.unit, #list)
end

local function zero_text(record)
  local before, after = record.zero_before, record.zero_after
  if before and after then return ("zero %s before and %s after"):format(text.plain(before), text.plain(after)) end
  if before or after then return ("zero %s %s"):format(text.plain(before or after), before and "before" or "after") end
end

--- "hoop read 30.42 lb on bench scale (13.798 kg), zero 0 before and 0.02 after, less strap 0.35 lb: 13.61 +- 0.05 kg"
function book_weighings.record_text(row)
  local r = row.weighed
  local said = {readings_text(r) .. (r.pieces > 1 and (" for %d pieces"):format(r.pieces) or "") .. (r.on and " on " .. r.on or "")}
  said[#said + 1] = zero_text(r)
  if r.tare then said[#said + 1] = "less tare " .. with_unit(r.tare, r.unit) end
  for _, load in ipairs(r.with or {}) do said[#said + 1] = ("less %s %s"):format(load.name, with_unit(load.mass, r.unit)) end
  local kg = r.unit ~= "kg" and #r.reading == 1 and (" (%s)"):format(with_unit(core.number(core.fixed(r.reading[1]
    * user_values.in_kg[r.unit], 3)), "kg")) or ""
  said[1] = said[1] .. kg
  local mass = row.kind ~= "tank" and (": %s kg"):format(text.plus_minus(row.mass, row.sd.mass, 2)) or ", empty"
  if row.kind == "group" then mass = (": %s kg in one piece"):format(text.fixed(row.closure.whole, 2)) end
  local pieces = row.pieces > 1 and row.kind ~= "tank" and (" for all %d"):format(row.pieces) or ""
  return ("%s read %s%s%s%s"):format(row.path, table.concat(said, ", "), mass, pieces, r.note and "; " .. r.note or "")
end

return book_weighings
