--- What an experienced colleague would say to readings of corner scales.

local text = require "steelyard.print.text"

local notes_of = {}

local function kg(x) return text.fixed(x, 2) end

-- Repeats that are the same to the last digit.
local function repeats(m, notes)
  local alike, repeated, coarse = 0, 0, nil
  for _, g in ipairs(m.groups) do
    if #g.list > 1 then
      repeated = repeated + 1
      if g.alike then alike = alike + 1 end
    end
    coarse = coarse or g.list[1].step
  end
  if alike > 0 then
    notes[#notes + 1] = coarse and ("the same number again proves nothing on a display that steps by %s kg: no reading counts as "
      .. "better than %s kg")
      :format(text.plain(coarse), text.fixed(coarse / math.sqrt(12), 3))
      or "the same number again proves nothing: the display may be too coarse to show a change; state its step"
  elseif coarse then
    notes[#notes + 1] = ("no reading counts as better than the display's step of %s kg over the root of 12, %s kg"):format(
      text.plain(coarse), text.fixed(coarse / math.sqrt(12), 3))
  end
  if repeated > 0 and m.result.repeatability > 0 then
    notes[#notes + 1] = ("repeats scatter by %s kg (standard, %s)"):format(kg(m.result.repeatability),
      text.count(m.dof, "degree of freedom", "degrees of freedom"))
  end
end

local function zeros(m, notes)
  local bare, moved = {}, {}
  for _, pad in ipairs(m.pads) do
    if not pad.zeroed then bare[#bare + 1] = pad.name end
    local worth = 0
    for _, g in ipairs(m.groups) do
      if g.pad == pad.name then worth = math.max(worth, g.list[1].step or 0, g.sd) end
    end
    if pad.drift and math.abs(pad.drift) > worth then
      moved[#moved + 1] = ("%s by %s kg"):format(pad.name, text.signed(pad.drift, 2))
    end
  end
  if #bare > 0 and not m.ctx.plank and not m.ctx.sd.offset then
    notes[#notes + 1] = ("no zero was read of %s: whatever %s with nothing on it is in the loads"):format(
      #bare == #m.pads and "any pad" or "pad " .. text.join_names(bare), #bare == 1 and "it shows" or "they show")
  end
  if #moved > 0 then
    notes[#notes + 1] = ("the zero moved between before and after: %s; half of it is taken off, the rest is uncertainty"):format(
      text.join(moved))
  end
end

local function offsets(m, notes)
  local swapped = false
  for i, pad in ipairs(m.pads) do
    swapped = swapped or pad.swapped and pad.offset_sd > 0
    local off, u = m.fit.offsets[i], m.fit.offset_sd[i]
    if pad.offset_sd > 0 and math.abs(off) > text.K95 * u then
      notes[#notes + 1] = ("pad %s reads %s +- %s kg %s"):format(pad.name, kg(math.abs(off)), kg(text.K95 * u),
        off > 0 and "heavy" or "light")
    end
  end
  if swapped and not m.ctx.sd.offset then
    notes[#notes + 1] = "how far pads are off is judged by how much they differ; what all have in common shows only in their zeros and "
      .. "on a known mass"
  elseif not swapped and #m.groups > 2 and #m.pads > 1 and not m.ctx.sd.offset then
    notes[#notes + 1] = "the pads were not swapped: a pad that reads heavy cannot be distinguished from a heavy wheel; "
      .. "swap left and right once"
  end
end

local function floor(m, notes)
  local f = m.result.floor
  if not f then return end
  local along = text.worded(f.front, 2, "kg more on each front wheel", "kg less on each front wheel")
  local across = text.worded(f.left, 2, "kg more on each left wheel", "kg less on each left wheel")
  notes[#notes + 1] = ("the floor's slope, as the car first stood: %s, %s; turning the car took it out, but not a pad that is high"):format(
    along, across)
end

local function parts(m, notes)
  local all, partly, blocked = (1 << #m.ctx.layout.keys) - 1, false, true
  for _, run in ipairs(m.ctx.runs) do
    if run.bits ~= all then
      partly = true
      blocked = blocked and run.others == "blocks"
    end
  end
  if partly and not blocked then
    notes[#notes + 1] = "weighed part by part, and not said to stand on blocks: the other wheels must stand as high as the pads, or the "
      .. "car is tilted and its load moves (others = \"blocks\" when they did)"
  end
end

local function fits(m, notes)
  local c = m.closure
  if c and c.gap > text.K95 * c.sd and c.gap > 0 then
    notes[#notes + 1] = ("the totals do not close: %s says %s kg more than %s, and their uncertainty is +- %s"):format(
      c.high, kg(c.gap), c.low, kg(text.K95 * c.sd))
  end
  local worst = m.fit.worst and m.result.rows[m.fit.worst]
  if worst and worst.sigmas and math.abs(worst.sigmas) > m.fit.critical then
    notes[#notes + 1] = ("%s on pad %s (%s %s) reads %s kg %s than the others allow: look for a wheel not free, a brake on, a pad on "
      .. "an edge")
      :format(worst.what, worst.pad, #worst.runs == 1 and "run" or "runs", text.join(worst.runs), kg(math.abs(worst.residual)),
        worst.residual > 0 and "more" or "less")
  end
end

--- What is said once at the end.
notes_of.CAUTION = "Wheels free, brakes off, gearbox in neutral, chocks clear of the pads while reading and back before anybody leans in; "
  .. "roll on and off on ramps that cannot slide. Local codes and licensed practice decide"

--- m: ctx, groups, pads, fit, result, closure, dof, exact as measure/corner_scales.lua has them.
function notes_of.list(m)
  local notes = {}
  fits(m, notes)
  repeats(m, notes)
  zeros(m, notes)
  offsets(m, notes)
  floor(m, notes)
  parts(m, notes)
  if m.exact then notes[#notes + 1] = "no uncertainty stated: readings count as exact; state sd, or the display's step" end
  if m.ctx.plank then
    notes[#notes + 1] = ("through a plank: each reading less %s kg, times %s"):format(text.plain(m.ctx.plank.tare),
      text.plain(m.ctx.plank.ratio)) .. (m.ctx.plank.stated and "" or "; the ratio has no stated uncertainty and counts as exact")
  end
  notes[#notes + 1] = notes_of.CAUTION
  return notes
end

return notes_of
