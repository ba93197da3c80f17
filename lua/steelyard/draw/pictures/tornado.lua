--- The picture of a sensitivity: for each answer a bar for each stated error, or for each input that is varied, the largest first.

local bars = require "steelyard.draw.bars"
local canvas = require "steelyard.draw.canvas"
local errors = require "steelyard.print.errors"
local figures = require "steelyard.print.figures"
local isolated = require("steelyard.draw.svg").isolated
local quantities = require "steelyard.reference.quantities"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local tornado = {}

local MOST = 16 -- rows of a quantity

local function field_words(row) return row.from and "" or errors.field(row.field) end

-- What the error is, or the range: "2 kg", "-50 to 50 mm".
local function size_words(row)
  local unit = row.input_unit and row.input_unit ~= "" and "\u{A0}" .. (row.input_unit == "litre" and "L" or row.input_unit) or ""
  if row.from then return ("%s to %s%s"):format(words.set(text.plain(row.from)), words.set(text.plain(row.to)), unit) end
  return row.sigma and errors.few(row.sigma) .. unit or ""
end

-- "engine", "place forward, 15 mm"
local function words_of(row)
  local field, size = field_words(row), size_words(row)
  return isolated((row.what:gsub("_", " "))), field ~= "" and size ~= "" and field .. ", " .. size or field .. size
end

-- Bars from the value to both ends, the longer first where they lie on one side. Open: less, or at the first value.
local function bars_of(row, value)
  local list = {}
  if row.low then list[1] = {from = value, to = row.low, fill = "white", what = "less " .. row.what} end
  if row.high then list[#list + 1] = {from = value, to = row.high, fill = "ink", what = "more " .. row.what} end
  table.sort(list, function(a, b) return math.abs(a.to - value) > math.abs(b.to - value) end)
  return list
end

local function panel(page, r, name, q, y)
  local c, known, noun = page.canvas, quantities.limited(name), words.noun(name)
  local decimals = figures.decimals(r, q.unit, known.decimals)
  local low, high, rows, varied = q.value, q.value, {}, q[1] and q[1].from ~= nil
  local rest = rawget(q, "rest_share")
  for i, row in ipairs(q) do
    if i <= MOST then
      low, high = math.min(low, row.low or low, row.high or low), math.max(high, row.low or high, row.high or high)
      local what, more = words_of(row)
      local one_line = more ~= "" and ("%s, %s"):format(what, more) or what
      rows[i] = {words = page.narrow and what or one_line, under = page.narrow and more or nil, bars = bars_of(row, q.value),
                 value = row.variance_share and text.fixed(row.variance_share, 1)
                   or row.change and words.set(text.signed(row.change, figures.decimals(r, q.unit, known.change or known.decimals)))}
    elseif rest then rest = rest + row.variance_share end
  end
  if rest and #rows > 0 then rows[#rows + 1] = {words = "all others", value = text.fixed(rest, 1), bars = {}} end
  local heading, unit = quantities.heading{label = noun, unit = q.unit}, q.unit ~= "" and q.unit or nil
  c:text(page.left, y + 3, canvas.cut(("%s: %s"):format(studied.title(noun), words.value(q.value, q.sd, decimals, unit)),
         page.right - page.left, canvas.sizes.state, true), {bold = true, size = canvas.sizes.state})
  if #rows == 0 then
    c:text(page.left, y + 8, "Nothing that is stated with an uncertainty moves it.", {colour = "grey"})
    return y + 12
  end
  local b, lower = bars.draw(c, {left = page.left, right = page.right, top = y + 5, rows = rows,
    name = varied and "input" or "one sigma of", value = varied and "a step" or "variance, %",
    axis = {from = low, to = high, zero = false, least = 10.0 ^ -decimals, name = heading}})
  c:line(b.x(q.value), b.top - 1, b.x(q.value), b.bottom, {weight = "wheel", colour = "accent", what = "value"})
  return lower + 5
end

function tornado.draw(page, r)
  local varied = false
  for _, name in ipairs(r.names) do
    varied = varied or r.quantities[name][1] and r.quantities[name][1].from ~= nil
  end
  local title = ("What %s %s"):format(varied and "moves" or "makes", words.nouns(r.names)) .. (varied and "" or " uncertain")
  local lines = {varied and "Open bars: at the first value; solid ones: at the last."
    or "Open bars: one sigma less; solid ones: one sigma more. An error counts once."}
  local first = r.weigh_next[1]
  if first then
    lines[2] = ("Weigh or measure next: %s (%s), with the %s."):format(first.name, first.field:gsub("_", " "), first.with)
  end
  local answer = {}
  for i = 1, math.min(3, #r.names) do
    local q, known = r.quantities[r.names[i]], quantities.limited(r.names[i])
    answer[i] = {words.noun(r.names[i]), words.value(q.value, q.sd, figures.decimals(r, q.unit, known.decimals),
                                                     q.unit ~= "" and q.unit or nil)}
  end
  local y = sheet.heading(page, {title = title, state = r.heading, lines = lines, answer = answer})
  for _, name in ipairs(r.names) do y = panel(page, r, name, r.quantities[name], y + 1) end
  return y - 4, {notes = studied.notes(r), words = title}
end

return tornado
