--- The picture of a trend: steps from file to file, their 95 %, limits of the latest file, and of the mass what it may still grow by.

local chart = require "steelyard.draw.chart"
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local timeline = require "steelyard.draw.timeline"
local words = require "steelyard.draw.words"

local history = {}

local TALL = {96, 68} -- mm of a panel: of one, of two

-- Place of each row in time, and the axis: by date where all have one and time goes on, else one after the other.
local function times_of(r)
  local places, ticks, dated = {}, {}, true
  for i, row in ipairs(r.rows) do
    places[i] = timeline.days(row.date)
    dated = dated and places[i] ~= nil and (i == 1 or places[i] > places[i - 1])
  end
  for i, row in ipairs(r.rows) do
    if not dated then places[i] = i end
    ticks[i] = {places[i], row.date or row.file:match "[^/\\]*$"}
  end
  local axis = timeline.axis(places[1], places[#places], ticks)
  axis.name = not dated and "one after the other, not by date" or nil
  return places, axis
end

function history.draw(page, r)
  local places, times = times_of(r)
  local shown = r.by == "mass" and {"mass"} or {"mass", r.by}
  local labels, answer, first, last = {}, {}, r.rows[1], r.rows[#r.rows]
  for i, name in ipairs(shown) do
    local q = quantities.by_name[name]
    labels[i] = words.noun(name)
    answer[i] = {words.noun(name), words.value(last[name], last.sd[name], q.decimals, q.unit ~= "" and q.unit or nil)}
  end
  local title = ("%s from file to file"):format(studied.title(text.join(labels)))
  local lines = {"Tinted: 95\u{A0}%. Open bars: what unfinished parts may still grow by."}
  if last.most then
    lines[2] = ("Since %s: %s, mostly %s, %s."):format(r.rows[#r.rows - 1].date or "the file before", text.count(last.changed, "line"),
      last.most.part, words.sentence(last.most.happened))
  end
  local y = sheet.heading(page, {title = title, state = r.heading or first.title, lines = lines, answer = answer})
  local plans = {}
  for i, name in ipairs(shown) do plans[i] = timeline.plan(page, r, name, times) end
  chart.align(plans)
  for _, o in ipairs(plans) do
    timeline.panel(page.canvas, r, o, places, TALL[#shown], y + 1)
    y = o.bottom + 3
  end
  return y - 2, {notes = studied.notes(r), words = title}
end

return history
