--- The picture of what pads and perches do, of corners: for each wheel the cross weight that a turn up or a millimetre under its pad
-- changes, or where three wheels carry what balance gives them the height there, over a table of what changes besides.

local bars = require "steelyard.draw.bars"
local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local perches = require "steelyard.answers.perches"
local rows = require "steelyard.draw.rows"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local effects = {}

-- {field of the result, what one of it is}
local kinds = {{"per_turn", "One turn up on a perch"}, {"per_pad_mm", "One millimetre more under a pad"}}

local function signed(value, decimals) return words.set(text.signed(value, decimals)) end

-- {words, unit, decimals, value = function(effect)} of what the bars show.
local function shown_of(r)
  if r.determinate then return {"height of the body there", "mm", 2, value = function(e) return e.height end} end
  return {"cross weight", "%", 3, value = function(e) return e.cross_share end}
end

local function draw_bars(page, r, by, shown, y)
  local list, low, high = {}, 0, 0
  for i, key in ipairs(r.wheels) do
    local value = shown.value(by[key])
    low, high = math.min(low, value), math.max(high, value)
    list[i] = {words = words.wheel(key), value = signed(value, shown[3]), bars = {{from = 0, to = value, what = "effect " .. key}}}
  end
  local _, lower = bars.draw(page.canvas, {left = page.left, right = page.right, top = y, rows = list, name = "wheel", value = shown[2],
    axis = {from = low, to = high, zero = true, name = ("%s, %s"):format(shown[1], shown[2])}})
  return lower
end

-- A column a wheel's load and one the body's height there.
local function draw_table(page, r, by, y)
  local columns, list = {{"at", left = true}}, {}
  for _, key in ipairs(r.wheels) do columns[#columns + 1] = {key .. ", kg"} end
  columns[#columns + 1] = {"body there, mm"}
  for i, key in ipairs(r.wheels) do
    local effect = by[key]
    list[i] = {page.narrow and key or words.wheel(key)}
    for _, other in ipairs(r.wheels) do table.insert(list[i], signed(effect[other], 2)) end
    table.insert(list[i], signed(effect.height, 2))
  end
  return rows.draw(page.canvas, y, columns, list,
                   {left = page.left, right = page.right, size = page.narrow and canvas.sizes.small or canvas.sizes.text})
end

local function heading_of(r, shown)
  local answer = {}
  for i, kind in ipairs(kinds) do
    local most = 0
    for _, effect in pairs(r[kind[1]] or {}) do most = math.max(most, math.abs(shown.value(effect))) end
    if r[kind[1]] then answer[#answer + 1] = {i == 1 and "a turn, at most" or "a millimetre, at most",
                                              words.set(text.fixed(most, shown[3]), shown[2])} end
  end
  return {title = "What a turn and a pad do", state = r.heading, answer = answer,
          lines = {("What each wheel by itself does to the %s; together they add up. Anti-roll bars %s."):format(
            r.determinate and "height of the body" or "cross weight (right front and left rear)", r.bars_setting)}}
end

function effects.draw(page, r)
  if not r.per_pad_mm and not r.per_turn then
    core.fail{code = "missing", field = "kind", message = "what pads and perches do is not known of this car"}
  end
  local shown = shown_of(r)
  local y = sheet.heading(page, heading_of(r, shown))
  for _, kind in ipairs(kinds) do
    local by = r[kind[1]]
    if by then
      page.canvas:text(page.left, y + 4, kind[2], {size = canvas.sizes.state, bold = true})
      y = draw_bars(page, r, by, shown, y + 6)
      y = draw_table(page, r, by, y + 1) + 3
    end
  end
  y = sheet.sentences(page, y, {text.sentence(perches.FIRST_CAUTION), "Arithmetic, not permission: the makers' instructions, local codes "
    .. "and licensed practice decide."})
  local notes = {}
  if not r.per_turn then notes[1] = "turns: the file states no pitch of a perch's thread" end
  return y, {notes = notes, words = "what one turn of a perch and a millimetre under a pad change at each wheel"}
end

return effects
