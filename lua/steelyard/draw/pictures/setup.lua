--- The set-up sheet: at each wheel what to turn, what was read, what is predicted and what is wanted, with room to write below.
--
-- A result of perches, corner scales or corners is first laid out as a sheet: {title, state, lines, answer, keys, wheels = {key = {turns =
-- words, seat = words, read =, predicted =, wanted = kg}}, axles = words by "front" and "rear", decimals, table = {{name, loads}, ...},
-- warnings, cautions}.

local backdrop = require "steelyard.draw.backdrop"
local canvas = require "steelyard.draw.canvas"
local figure = require "steelyard.draw.figure"
local marks = require "steelyard.draw.marks"
local ruled = require "steelyard.draw.pictures.setup_table"
local sheets = require "steelyard.draw.pictures.setup_sheets"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local setup = {views = {"plan"}}

local SIZES = canvas.sizes
local BESIDE = 48          -- mm: room for the words of a wheel, left and right of the car
local TALL = {132, 70}     -- of the car, mm, on a page and on a narrow one
local PANEL = 34           -- mm: height of a wheel's words
local NOTCHES = 4          -- of a beam, each side
local STEPS = {0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200} -- kg a notch

local name_of = words.wheel

-- ---- the beam -------------------------------------------------------------------------------------------------------------------

-- Kilograms a notch: the same at all wheels, so that no poise leaves its beam.
local function notch_of(s)
  local most = 0
  for _, key in ipairs(s.keys) do
    local w = s.wheels[key]
    local zero = w.predicted or w.read
    for _, load in ipairs{w.read or zero or 0, w.wanted or zero or 0} do
      most = math.max(most, zero and math.abs(load - zero) or 0)
    end
  end
  for _, step in ipairs(STEPS) do
    if most <= NOTCHES * step then return step end
  end
  return STEPS[#STEPS]
end

-- A beam with its zero at what is predicted: the poise hangs where it was read, an arrow goes from there to what is wanted.
local function has_beam(w) return w.read and w.predicted or (w.read or w.predicted) and w.wanted end

local function draw_beam(c, w, x, y, half, notch)
  local zero = w.predicted or w.read
  local function at(load) return x + math.max(-1.15, math.min(1.15, (load - zero) / (notch * NOTCHES))) * half end
  c:line(x - 1.15 * half, y, x + 1.15 * half, y, {weight = "body", what = "beam"})
  for i = -NOTCHES, NOTCHES do
    local tick = i == 0 and 2 or 1
    c:line(x + i * half / NOTCHES, y - tick, x + i * half / NOTCHES, y + tick,
           {weight = i == 0 and "body" or "hair", colour = i == 0 and "ink" or "grey", what = "notch", only_on_paper = true})
  end
  local from = w.read or zero
  if w.read then
    local px = at(w.read)
    c:loops({{{px, y + 0.3}, {px + 1.4, y + 2.9}, {px - 1.4, y + 2.9}}}, {fill = "ink", what = "poise"})
  end
  if w.wanted then
    local wx = at(w.wanted)
    c:line(wx, y - 3.6, wx, y + 1, {weight = "wheel", colour = "accent", what = "wanted", only_on_paper = true})
    if math.abs(wx - at(from)) > 0.8 then
      marks.arrow(c, at(from), y - 2.4, wx, y - 2.4, {weight = "wheel", colour = "accent", what = "wanted arrow"})
    end
  end
end

-- ---- a wheel ----------------------------------------------------------------------------------------------------------------------

local function columns_of(w)
  local list = {}
  for _, kind in ipairs{{"read", w.read, nil, true}, {"predicted", w.predicted, "grey"}, {"wanted", w.wanted, "accent", true}} do
    if kind[2] then list[#list + 1] = kind end
  end
  return list
end

-- Loads side by side about x: numbers over their words.
local function draw_loads(c, s, w, x, y, wide)
  local list = columns_of(w)
  local size = #list == 1 and SIZES.large or SIZES.state
  for i, kind in ipairs(list) do
    local at = x + (i - (#list + 1) / 2) * wide / 3
    c:text(at, y, words.set(text.fixed(kind[2], s.decimals)),
           {anchor = "middle", size = size, bold = kind[4], colour = kind[3], what = kind[1]})
    c:text(at, y + 4, kind[1], {anchor = "middle", size = SIZES.small, colour = kind[3] or "ink"})
  end
end

-- The words of a wheel about x, from y down.
local function draw_wheel(c, s, key, x, y, wide, notch)
  local w = s.wheels[key]
  c:text(x, y, name_of(key), {anchor = "middle", bold = true})
  if w.turns then
    local size = c:width_of(w.turns, SIZES.large, true) <= wide and SIZES.large or SIZES.state
    c:text(x, y + 7, w.turns, {anchor = "middle", size = size, bold = true, what = "turns"})
    c:text(x, y + 11.4, w.seat, {anchor = "middle", colour = "grey"})
    y = y + 10
  end
  if has_beam(w) then
    draw_beam(c, w, x, y + 8, wide / 2.6, notch)
    y = y + 8.4
  end
  draw_loads(c, s, w, x, y + 7, wide)
end

-- ---- on a page --------------------------------------------------------------------------------------------------------------------

-- Panels of one side from the front: each as near to its wheel as the others let it.
local function stacked(f, keys)
  local chart = require "steelyard.draw.chart"
  local wanted = {}
  for i, key in ipairs(keys) do
    local _, v = f.look:point(f.scene.wheels[key].at)
    wanted[i] = figure.y(f, v) - PANEL / 2 + 4
  end
  return chart.spread(wanted, PANEL, f.y0 - f.range.v2 / f.scale + 3, f.y0 - f.range.v1 / f.scale - PANEL + 4)
end

local function draw_cg(c, f)
  local s = f.scene
  local u, v = f.look:point(s.cg.at)
  local x, y = figure.x(f, u), figure.y(f, v)
  marks.cg(c, x, y, 2.7)
  local said = {"CG " .. words.way(s.cg_behind, nil, 0, "behind", "ahead"), words.way(s.cg_left, nil, 0, "left", "right")
    .. (", %s\u{A0}up"):format(text.fixed(s.height, 0))}
  for i, line in ipairs(said) do c:text(x + 4, y - 1 + (i - 1) * 3.9, line, {halo = true, label = true}) end
end

-- Lines of the axles with the sum of their wheels.
local function draw_axles(c, s, f)
  local axles = f.scene.axles
  for i, axle in ipairs(axles) do
    local least, most, height, count, tyre = math.huge, -math.huge, 0, 0, 0
    for _, wheel in pairs(f.scene.wheels) do
      if wheel.axle == axle.name then
        local u, v = f.look:point(wheel.at)
        least, most, height, count = math.min(least, u), math.max(most, u), height + v, count + 1
        tyre = math.max(tyre, figure.tyre_width(wheel) / 2)
      end
    end
    local y = figure.y(f, height / count)
    if most > least then
      c:line(figure.x(f, least), y, figure.x(f, most), y, {weight = "fine", colour = "grey", what = "axle"})
    end
    local said = s.axles[i == 1 and "front" or i == #axles and "rear" or ""]
    if said and most > least then
      local x = figure.x(f, 0) + 1.5
      if x + c:width_of(said, SIZES.text, true) < figure.x(f, most - tyre) - 1 then
        c:text(x, y - 1.5, said, {bold = true, halo = true, label = true})
      else
        c:text(figure.x(f, most + tyre) + 2, y + 1, said, {bold = true, label = true})
      end
    end
  end
end

local function draw_car(page, s, scene, y, left, right, tall)
  local c = page.canvas
  c:view()
  local f = backdrop.plan(scene, "floor", {left = left, right = right, tall = tall, air = 2})
  c:text(figure.x(f, 0), y + 3, "front", {anchor = "middle", colour = "grey"})
  y = y + 5.5
  local low = backdrop.put(f, y)
  backdrop.draw(c, f)
  c:line(figure.x(f, 0), y - 1, figure.x(f, 0), low + 2, {weight = "hair", colour = "grey", dash = "centre", what = "centre line"})
  draw_axles(c, s, f)
  draw_cg(c, f)
  return f, low + 3
end

-- Keys left and right; a single wheel stands where there is room, on the left.
local function sides_of(s, scene)
  local left, right = {}, {}
  for _, key in ipairs(s.keys) do table.insert(scene.wheels[key].side == "right" and right or left, key) end
  return left, right
end

local function wide_body(page, s, scene, y, notch)
  local c = page.canvas
  local f, low = draw_car(page, s, scene, y, page.left + BESIDE, page.right - BESIDE, TALL[1])
  local left, right = sides_of(s, scene)
  for _, side in ipairs{{left, page.left + BESIDE / 2 - 1}, {right, page.right - BESIDE / 2 + 1}} do
    local places = stacked(f, side[1])
    for i, key in ipairs(side[1]) do
      draw_wheel(c, s, key, side[2], places[i], BESIDE - 6, notch)
      low = math.max(low, places[i] + PANEL - 4)
    end
  end
  return low, f
end

-- Do the wheels of this number and the next stand on one axle?
local function is_pair(s, i)
  local one, two = s.keys[i], s.keys[i + 1]
  return one ~= nil and two ~= nil and one:sub(1, 1) == "l" and two:sub(1, 1) == "r" and #one == #two
end

-- "front" or "rear" of the axle that the wheel of this number is the last of, where it has two; nil for others.
local function axle_done(s, i)
  if not is_pair(s, i - 1) then return nil end
  return i == 2 and "front" or i == #s.keys and "rear" or nil
end

-- Without a car: wheels two by two, the front ones first.
local function paired_body(page, s, y, notch)
  local c, middle, quarter = page.canvas, (page.left + page.right) / 2, (page.right - page.left) / 4
  c:text(middle, y + 3, "front", {anchor = "middle", colour = "grey"})
  local height, left = s.wheels[s.keys[1]].turns and PANEL + 4 or PANEL / 2, nil
  y = y + (is_pair(s, 1) and 5 or 8) -- a wheel in the middle stands below the word
  for i, key in ipairs(s.keys) do
    local beside = is_pair(s, i)
    draw_wheel(c, s, key, left and page.right - quarter or beside and page.left + quarter or middle, y, 2 * quarter - 6, notch)
    local axle = axle_done(s, i)
    if axle then c:text(middle, y + 7, s.axles[axle], {anchor = "middle", bold = true}) end
    left = beside
    if not beside then y = y + height end
  end
  return y - 4
end

-- ---- on a narrow page ---------------------------------------------------------------------------------------------------------

local TO_DO = 0.46            -- of the width: what to do at a wheel, left of its loads
local WHEEL_ROW = {12.4, 19.4} -- mm, with loads alone, and with turns or a beam

-- What to do at a wheel, and right of that its beam and loads, below y; gives the y of the end.
local function draw_wheel_row(page, s, key, y, notch)
  local c, w, split = page.canvas, s.wheels[key], page.left + TO_DO * (page.right - page.left)
  local x, wide = (split + page.right) / 2, page.right - split
  c:line(page.left, y, page.right, y, {weight = "hair", colour = "pale", what = "row", only_on_paper = true})
  c:text(page.left, y + 4.8, name_of(key), {bold = true})
  if w.turns then
    local size = c:width_of(w.turns, SIZES.large, true) <= split - page.left - 2 and SIZES.large or SIZES.state
    c:text(page.left, y + 11.4, w.turns, {size = size, bold = true, what = "turns"})
    c:text(page.left, y + 16.2, w.seat, {colour = "grey"})
  end
  if has_beam(w) then draw_beam(c, w, x, y + 5.6, wide / 2.6, notch) end
  draw_loads(c, s, w, x, y + (has_beam(w) and 13 or 5.8), wide)
  return y + WHEEL_ROW[(w.turns or has_beam(w)) and 2 or 1]
end

-- The car, and a row for each wheel below it.
local function narrow_body(page, s, scene, y, notch)
  local c, f = page.canvas, nil
  if scene then f, y = draw_car(page, s, scene, y, page.left, page.right, TALL[2]) end
  for i, key in ipairs(s.keys) do
    y = draw_wheel_row(page, s, key, y, notch)
    local axle = not scene and axle_done(s, i)
    if axle then
      c:text(page.right, y + 3, ("%s %s"):format(axle, s.axles[axle]), {anchor = "end", bold = true})
      y = y + 5
    end
  end
  return y, f
end

-- What poise, zero and arrow are.
local function draw_legend(page, s, notch, y)
  local beams
  for _, key in ipairs(s.keys) do beams = beams or has_beam(s.wheels[key]) end
  if not beams then return sheet.sentences(page, y, {"Loads in kg."}, {size = SIZES.small, colour = "grey"}) end
  local first = s.wheels[s.keys[1]]
  local parts = {first.predicted and "Zero of each beam: predicted" or "Zero of each beam: read"}
  parts[#parts + 1] = ("one notch %s\u{A0}kg"):format(text.plain(notch))
  if first.read and first.predicted then parts[#parts + 1] = "poise: read" end
  if first.wanted then parts[#parts + 1] = "arrow: to what is wanted" end
  return sheet.sentences(page, y, {"Loads in kg. " .. table.concat(parts, ", ") .. "."}, {size = SIZES.small, colour = "grey"})
end

function setup.draw(page, result, scene)
  local s = sheets.of(result, scene)
  local notch = notch_of(s)
  local y = sheet.heading(page, {title = s.title, state = s.state, lines = s.lines, answer = s.answer})
  if #s.warnings > 0 then y = sheet.sentences(page, y, s.warnings, {bold = true, colour = "fail"}) + 2 end
  local f
  if page.narrow then y, f = narrow_body(page, s, scene, y, notch)
  elseif scene then y, f = wide_body(page, s, scene, y, notch)
  else y = paired_body(page, s, y, notch) end
  y = draw_legend(page, s, notch, y)
  if f then
    marks.scale_bar(page.canvas, page.left, y + 5, f.scale)
    y = y + 5
  end
  y = ruled.draw(page, s, y + 3)
  y = sheet.sentences(page, y + 1.5, s.remarks, {colour = "grey"})
  y = sheet.sentences(page, y + 1, s.cautions)
  return y, {scale = f and f.scale, words = "set-up sheet: loads at each wheel, turns of the perches, and a table to write in"}
end

return setup
