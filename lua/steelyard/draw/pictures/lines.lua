--- The picture of a study along its first input: a panel for each output, a line for each value of the second, or the range over all that
-- varies besides.

local chart = require "steelyard.draw.chart"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"

local lines = {}

local MOST_LINES = 6              -- of a second input that each have a name
local TALL = {95, 64, 50}         -- mm of a panel: of one, of two, of more
local MOST_PANELS = 6
local MOST_DOTS = 2000            -- of variants at places of their own

-- Variants by their place along the first input, in order: list of {x, list of variants}.
local function by_place(r, input)
  local place, at, list = studied.places(input), {}, {}
  for i = 1, studied.count(r) do
    local x = place(i)
    if x then
      if not at[x] then
        at[x] = {x, {}}
        list[#list + 1] = at[x]
      end
      table.insert(at[x][2], i)
    end
  end
  table.sort(list, function(a, b) return a[1] < b[1] end)
  return list
end

-- Least and greatest of an output at one place.
local function range_at(r, name, variants)
  local low, high = math.huge, -math.huge
  local lowest, highest = rawget(r, "lowest"), rawget(r, "highest")
  for _, i in ipairs(variants) do
    local a, b = lowest and lowest[name][i] or r.columns[name][i], highest and highest[name][i] or r.columns[name][i]
    if studied.known(a) then low = math.min(low, a) end
    if studied.known(b) then high = math.max(high, b) end
  end
  if low <= high then return low, high end
end

-- What is drawn of an output: {series = list of {words, points}, band = points or nil, dots = true for variants at their own places}.
local function drawn_of(r, work, name)
  local d = {series = {}}
  if work.scattered then return d end
  if work.second then
    local place = studied.places(work.second)
    for k, value in ipairs(work.second.values) do
      local points = {}
      for i, at in ipairs(work.places) do
        points[i] = {at[1], nil}
        for _, variant in ipairs(at[2]) do
          if place(variant) == (work.second.words and k or value) then points[i][2] = studied.known(r.columns[name][variant]) end
        end
      end
      d.series[k] = {points = points, words = work.second.words and value
        or ("%s\u{A0}%s"):format(text.plain(value), work.second.unit == "litre" and "L" or work.second.unit)}
    end
    return d
  end
  if work.ranged then
    d.band = {}
    for _, at in ipairs(work.places) do
      local low, high = range_at(r, name, at[2])
      if low then d.band[#d.band + 1] = {at[1], low, high} end
    end
    if #d.band == 0 then d.band = nil end
  end
  if #work.inputs == 1 then
    local points = {}
    for i, at in ipairs(work.places) do points[i] = {at[1], studied.known(r.columns[name][at[2][1]])} end
    d.series[1] = {points = points}
  end
  return d
end

-- The axis of an output, its limits with it where they are near, and these.
local function axis_of(r, out)
  local low, high = studied.range(r, out.name)
  if not low then return nil end
  local axis, shown = studied.axis_with(low, high, out.decimals, studied.limits(rawget(r, "judged"), out.name))
  axis.name = studied.heading(out)
  return axis, shown
end

local function ends_of(d, shown)
  local ends = {}
  for _, one in ipairs(d.series) do
    local last
    for _, point in ipairs(one.points) do if point[2] then last = point end end
    if one.words and last then ends[#ends + 1] = {x = last[1], y = last[2], words = one.words} end
  end
  for _, limit in ipairs(shown) do ends[#ends + 1] = {y = limit.value, words = limit.words, colour = "grey"} end
  return ends
end

local function draw_variants(r, p, work, out)
  local place, column, verdict = studied.places(work.inputs[1]), r.columns[out.name], rawget(r, "verdict")
  local n = studied.count(r)
  local step = math.max(1, math.ceil(n / MOST_DOTS))
  for i = 1, n, step do
    local x, y = place(i), studied.known(column[i])
    if x and y then studied.mark(p, x, y, verdict and verdict[i] or "near") end
  end
end

-- What a panel needs, before it has a place; a sentence instead of one where nothing can be seen.
local function plan_of(page, r, work, out)
  local axis, shown = axis_of(r, out)
  if not axis then return {says = ("%s: unknown in all variants"):format(studied.noun(out))} end
  local low, high = studied.range(r, out.name)
  if #r.outputs > 1 and #shown == 0 and studied.same(out, low, high) then
    return {says = ("%s: %s throughout"):format(studied.noun(out), studied.value(out, low))}
  end
  local d = drawn_of(r, work, out.name)
  local ends, names = ends_of(d, shown), {}
  for i, one in ipairs(ends) do names[i] = one.words end
  local first, last = work.places[1][1], work.places[#work.places][1]
  return {out = out, drawn = d, limits = shown, ends_of = ends, left = page.left, right = page.right, ends = names,
          x = studied.axis(work.inputs[1], first, last), y = axis}
end

local function panel(c, r, work, o, y)
  if o.says then
    c:text(o.left, y + 3, o.says)
    return y + 5
  end
  o.top, o.bottom = y, y + work.tall
  local p, d = chart.plan(c, o), o.drawn
  if d.band then p:band(d.band, "range", {weight = "fine", colour = "accent"}) end
  p:axes{grid = true}
  for _, limit in ipairs(o.limits) do p:limit{y = limit.value, bad = limit.bad, what = "limit"} end
  for _, one in ipairs(d.series) do p:line(one.points, {weight = one.words and "body" or "wheel", what = "line"}) end
  if work.scattered or #work.inputs == 1 then draw_variants(r, p, work, o.out) end
  p:ends(o.ends_of)
  return y + work.tall + 3
end

local function work_of(r)
  local inputs = studied.inputs(r)
  local work = {inputs = inputs, places = by_place(r, inputs[1]), tall = TALL[math.min(#TALL, #r.outputs)]}
  local grid = r.method == "grid" and rawget(r, "shape")
  work.second = grid and #inputs == 2 and not rawget(r, "lowest") and #inputs[2].values <= MOST_LINES and inputs[2] or nil
  work.scattered = not grid and #inputs > 1
  work.ranged = not work.scattered and (rawget(r, "lowest") ~= nil or #inputs > 1)
  return work
end

local function names_of(list)
  local names = {}
  for i, one in ipairs(list) do names[i] = studied.noun(one) end
  return names
end

-- What the lines and the band are, in words.
local function says_of(page, r, work)
  local list, others = {}, {}
  for i = 2, #work.inputs do others[#others + 1] = work.inputs[i].label end
  for _, name in ipairs(rawget(r, "folded") or {}) do others[#others + 1] = (name:gsub("_", " ")) end
  if work.second then list[1] = ("A line for each %s."):format(work.second.label)
  elseif work.scattered then list[1] = "A mark for each variant."
  elseif work.ranged then
    list[1] = ("%sBand: from lowest to highest over %s."):format(#work.inputs == 1 and "Line: these as the car has them. " or "",
      text.join(others))
  end
  if work.scattered or #work.inputs == 1 then list[#list + 1] = studied.marks_text(r) end
  studied.add_limits(page, r, list)
  return list
end

--- The same under a title of its own.
function lines.draw_as(page, r, title)
  studied.check(r)
  local c, work = page.canvas, work_of(r)
  local outputs = table.move(r.outputs, 1, math.min(#r.outputs, MOST_PANELS), 1, {})
  title = title or ("%s over %s"):format(studied.some(names_of(r.outputs), 3), work.inputs[1].label)
  local answer = {}
  if #outputs <= 2 then
    for _, out in ipairs(outputs) do
      local low, high = studied.range(r, out.name)
      if low then answer[#answer + 1] = {studied.noun(out), studied.range_text(out, low, high)} end
    end
  end
  local y = sheet.heading(page, studied.heading_of(r, title, says_of(page, r, work), answer))
  local plans, drawn = {}, {}
  for i, out in ipairs(outputs) do
    plans[i] = plan_of(page, r, work, out)
    plans[i].left = page.left
    if not plans[i].says then drawn[#drawn + 1] = plans[i] end
  end
  chart.align(drawn)
  for _, o in ipairs(plans) do y = panel(c, r, work, o, y + 1) end
  return y - 2, {notes = studied.notes(r, studied.left_out(#outputs, #r.outputs)), words = title}
end

function lines.draw(page, r) return lines.draw_as(page, r) end

return lines
