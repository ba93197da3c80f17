--- Why ballast cannot do what is asked of it, and what would do. s: given.lua; list: the rows that were searched (rows.lua); found: what
-- core.pack gave.

local text = require "steelyard.print.text"

local why = {}

local function masses_text(s, masses)
  local pieces = {}
  for k, slot in ipairs(s.slots) do pieces[k] = ("%s %s kg"):format(text.name(slot.name), text.plain(masses[k])) end
  return text.join(pieces)
end

--- What is wanted, in words.
function why.asked(list)
  local pieces = {}
  for _, row in ipairs(list) do
    if row.kind == "target" then
      pieces[#pieces + 1] = ("%s %s%s"):format(row.label, text.plain(row.target), row.unit ~= "" and " " .. row.unit or "")
    elseif row.kind == "minimum" then
      pieces[#pieces + 1] = ("at least %s kg%s"):format(text.plain(row.min), row.state and " at the finish" or "")
    end
  end
  return text.join(pieces)
end

local function values_text(list, values)
  local pieces = {}
  for i, row in ipairs(list) do
    if row.kind == "target" then
      pieces[#pieces + 1] = ("%s %s%s"):format(row.label, text.fixed(values[i] + row.shift, row.decimals),
        row.unit ~= "" and " " .. row.unit or "")
    end
  end
  return text.join(pieces)
end

local function larger(s, masses)
  for k, slot in ipairs(s.slots) do
    if masses[k] > slot.max + 1e-9 then return true end
  end
end

local function hinder_of(s, list, found)
  local h = {kind = found.kind, masses = {}}
  for k, slot in ipairs(s.slots) do h.masses[slot.name] = found.mass[k] end
  if found.kind == "slot" then
    local slot = s.slots[found.at]
    h.name, h.needs = slot.name, found.mass[found.at]
    h.words = ("%s holds at most %s kg and would have to hold %s kg"):format(text.name(slot.name), text.plain(slot.max),
      text.plain(h.needs))
  elseif found.kind == "slots" then
    h.words = "no slot alone would do, together " .. masses_text(s, found.mass) .. " would"
  elseif found.kind == "steps" then
    h.words = "the steps are too large: to the gram " .. masses_text(s, found.mass) .. " would do"
  elseif found.kind == "limit" then
    local row = list[found.at]
    h.name = row.name
    h.words = ("the %s stands in the way: without it %s would do"):format(row.kind == "minimum" and row.name or "limit " .. row.name,
      masses_text(s, found.mass))
  elseif found.kind == "limits" then
    h.words = (larger(s, found.mass) and "larger slots alone would not do, limits stand in the way too: without these %s would do"
      or "the limits stand in the way together: without them %s would do"):format(masses_text(s, found.mass))
  else
    h.words = ("no masses in these slots, however large, bring it about: %s would come nearest"):format(masses_text(s, found.mass))
    local there = values_text(list, found.values)
    if there ~= "" then h.words = ("%s, with %s"):format(h.words, there) end
  end
  return h
end

--- What stands in the way: slots at their stop first, unless it is said of them what they would have to hold.
function why.hinders(s, list, found, placed)
  local hinders, full, said = {}, {}, {}
  for i, one in ipairs(found.why) do
    hinders[i] = hinder_of(s, list, one)
    if one.kind == "slot" then said[hinders[i].name] = true end
  end
  for _, p in ipairs(placed) do
    if p.full and p.mass > 0 and not said[p.name] then
      full[#full + 1] = {kind = "full", name = p.name, masses = {},
                         words = ("%s is at its stop, full with %s kg"):format(text.name(p.name), text.plain(p.mass))}
    end
  end
  return table.move(hinders, 1, #hinders, #full + 1, full)
end

--- The same in one sentence.
function why.text(hinders, limits_hold, minimum)
  local pieces = {}
  if not limits_hold then
    pieces[1] = ("no masses in these slots hold the limits%s"):format(minimum and " and the minimum" or "")
  end
  for _, h in ipairs(hinders) do pieces[#pieces + 1] = h.words end
  return pieces[1] and table.concat(pieces, "; ") or "no combination of steps comes near enough"
end

return why
