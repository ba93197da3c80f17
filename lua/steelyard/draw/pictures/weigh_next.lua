--- The picture of what to weigh or measure next: how far each answer may be off now, and with one line after the other weighed or measured.

local bars = require "steelyard.draw.bars"
local canvas = require "steelyard.draw.canvas"
local figures = require "steelyard.print.figures"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local weigh_next = {}

local MOST, NARROW_MOST = 14, 8 -- steps that have a bar
local MOST_PANELS = 6

local fields = {place = "place", whole = "whole", dry_mass = "empty"}

-- "engine (place)" and "tape, 2 mm"; apart: "engine" and "place: tape, 2 mm".
local function words_of(r, step, apart)
  local name = isolated(step.name)
  local field = fields[step.field]
  local to = step.with == "tape" and ("tape, %s\u{A0}mm"):format(text.plain(r.tape)) or ("scale, %s\u{A0}kg"):format(text.plain(r.scale))
  if field and apart then return name, ("%s: %s"):format(field, to) end
  return field and ("%s (%s)"):format(name, field) or name, to
end

-- Bars of the 95 % of one answer: now, after each step, and when all is done.
local function rows_of(page, r, name, decimals)
  local steps, most = r.weigh_next, page.narrow and NARROW_MOST or MOST
  local now = steps[1].before[name] or 0
  local rows = {}
  local function add(shown, under, sd, look)
    local one_line = not page.narrow and under ~= "" and ("%s, %s"):format(shown, under) or shown
    rows[#rows + 1] = {words = one_line, under = page.narrow and under ~= "" and under or nil, bold = look.bold,
      value = words.set(text.fixed(text.K95 * sd, decimals)),
      bars = {{from = 0, to = text.K95 * sd, fill = look.fill, what = look.what},
              {from = text.K95 * sd, to = text.K95 * now, fill = "white", what = "gained"}}}
  end
  add("as known now", "", now, {fill = "ink", bold = true, what = "now"})
  for i = 1, math.min(#steps, most) do
    local shown, under = words_of(r, steps[i], page.narrow)
    add(("%d %s"):format(i, shown), under, steps[i].after[name] or 0, {fill = "accent", what = "step " .. i})
  end
  add("all lines done", "", r.left[name] or 0, {fill = "grey", bold = true, what = "all"})
  return rows
end

local function panel(page, r, name, y)
  local c, q = page.canvas, quantities.limited(name)
  local unit = r.unit[name]
  local decimals = figures.decimals(r, unit, q.change or q.decimals)
  local value = words.value(r.values[name], r.sd[name], figures.decimals(r, unit, q.decimals), unit ~= "" and unit or nil)
  c:text(page.left, y + 3, canvas.cut(("%s: %s"):format(studied.title(words.noun(name)), value), page.right - page.left,
         canvas.sizes.state, true), {bold = true, size = canvas.sizes.state})
  local rows = rows_of(page, r, name, decimals)
  local _, lower = bars.draw(c, {left = page.left, right = page.right, top = y + 5, rows = rows, share = 0.5,
    name = "with all down to here done", value = "±" .. (unit ~= "" and ", " .. unit or ""),
    axis = {from = 0, to = text.K95 * (r.sd[name] or 0), least = 4 * 10.0 ^ -decimals,
            name = ("± of %s%s"):format(words.noun(name), unit ~= "" and ", " .. unit or "")}})
  return lower + 5
end

function weigh_next.draw(page, r)
  local answer, shown = {}, math.min(#r.names, MOST_PANELS)
  local title = ("What to weigh next to know %s"):format(words.nouns(r.names))
  local first = r.weigh_next[1]
  local lines = {"Solid: how far off each may still be, 95\u{A0}%, as one line after the other is weighed or measured; open: what is "
    .. "gained."}
  if first then
    local what, with = words_of(r, first)
    answer[1] = {"first", canvas.cut(what, (page.right - page.left) / 3, canvas.sizes.state, true)}
    answer[2] = {"by", with}
  end
  local y = sheet.heading(page, {title = title, state = r.heading, lines = lines, answer = answer})
  if not first then
    y = sheet.sentences(page, y, {("Every line is known better than by a scale of %s kg and a tape of %s mm."):format(text.plain(r.scale),
      text.plain(r.tape))}) + 2
  else
    for i = 1, shown do y = panel(page, r, r.names[i], y + 1) end
    y = y - 4
  end
  local notes = studied.left_out(shown, #r.names)
  local most = page.narrow and NARROW_MOST or MOST
  if #r.weigh_next > most then notes[#notes + 1] = ("the first %d of %d steps are drawn"):format(most, #r.weigh_next) end
  return y, {notes = studied.notes(r, notes), words = title}
end

return weigh_next
