--- The picture of a CG height: the car as lifted, the load that stays against the tangent of the tilt, and what is off the fit.

local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local lift_pose = require "steelyard.draw.pictures.lift_pose"
local marks = require "steelyard.draw.marks"
local printed = require "steelyard.measure.cg_height.print"
local remarks = require "steelyard.measure.cg_height.remarks"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local lift = {pose = lift_pose.pose}

local SIZES = canvas.sizes
local TALL = {82, 62}        -- of the figure, mm, on a page and on a narrow one
local CHART, STRIP = {66, 58}, 30 -- heights of the charts, mm
local APART = 0.9            -- mm: dots of two runs in the strip stand aside by that
local LEAST_BAND = 0.05      -- kg: of one reading's 95 % in the strip

function lift.views(result) return {lift_pose.view(result)} end

-- ---- what is plotted --------------------------------------------------------------------------------------------------------------

-- The ends whose loads are shown, and whether all rows show one.
local function end_of(result)
  local first = result.rows[1].end_read
  for _, row in ipairs(result.rows) do if row.end_read ~= first then return nil end end
  return first
end

local function by_run(result)
  local level, runs, order = {}, {}, {}
  for _, run in ipairs(result.runs) do level[run.run] = run end
  local one = end_of(result)
  for _, row in ipairs(result.rows) do
    if not runs[row.run] then
      runs[row.run] = {name = row.run, rows = {}}
      order[#order + 1] = runs[row.run]
    end
    local from = one and 0 or level[row.run][row.end_read] or row.load -- both ends lifted: what each gains over its level load
    local press = result.on == "plane" and math.cos(math.rad(row.angle)) or 1 -- what a tilted pad shows of an upright load
    table.insert(runs[row.run].rows, {x = math.tan(math.rad(row.angle)), y = row.load / press - from,
                                      fitted = (row.load - row.residual) / press - from,
                                      residual = row.residual, row = row, joined = not (result.jack and row.lifted == "level")})
  end
  for _, run in ipairs(order) do table.sort(run.rows, function(a, b) return a.x < b.x end) end
  return order, one
end

local function range_of(runs, key, also)
  local low, high = math.huge, -math.huge
  for _, run in ipairs(runs) do
    for _, spot in ipairs(run.rows) do
      for _, name in ipairs{key, also} do low, high = math.min(low, spot[name]), math.max(high, spot[name]) end
    end
  end
  return low, high
end

-- Ticks of the tangent at the lifts themselves, as {value, words}; `name` of what the words are.
local function lifts_of(result, runs)
  local ticks, seen, by_lift = {}, {}, result.rows[1].lift ~= nil
  for _, run in ipairs(runs) do
    for _, spot in ipairs(run.rows) do
      local shown = by_lift and lift_pose.lift_words(spot.row.lift) or text.fixed(spot.row.angle, 1)
      if not seen[shown] then
        seen[shown] = true
        ticks[#ticks + 1] = {spot.x, shown}
      end
    end
  end
  table.sort(ticks, function(a, b) return a[1] < b[1] end)
  local up = end_of(result) and lift_pose.steepest(result).lifted .. " up" or "up"
  return ticks, up .. (by_lift and ", mm" or ", degrees")
end

local function hollow(i) return i % 2 == 0 end

-- ---- the charts -------------------------------------------------------------------------------------------------------------------

local function load_axis(one, plane)
  if not one then return "gain of the load that stays, kg" end
  return plane and one .. " load over the cosine of the tilt, kg" or one .. " load, kg"
end

local function plan_loads(page, runs, name, y)
  local names = {}
  for i, run in ipairs(runs) do names[i] = run.name end
  local low, high = range_of(runs, "y", "fitted")
  local _, steepest = range_of(runs, "x", "x")
  return chart.plan(page.canvas, {left = page.left, right = page.right, top = y, bottom = y + CHART[page.narrow and 2 or 1],
    x = {from = 0, to = steepest, exact = true, name = "tangent of the tilt"},
    y = {from = low, to = high, name = name}, ends = names})
end

local function draw_loads(p, runs)
  p:axes()
  local ends = {}
  for i, run in ipairs(runs) do
    local line = {}
    for _, spot in ipairs(run.rows) do
      if spot.joined then line[#line + 1] = {spot.x, spot.fitted} end
    end
    p:line(line, {weight = "wheel", colour = "accent", dash = hollow(i) and "dashed" or nil, what = "fit " .. run.name})
    local last = run.rows[#run.rows]
    ends[i] = {x = last.x, y = last.fitted, words = run.name}
  end
  for i, run in ipairs(runs) do
    for _, spot in ipairs(run.rows) do p:dot(spot.x, spot.y, {hollow = hollow(i), what = "reading"}) end
  end
  p:ends(ends)
end

-- Half-width of one reading's 95 %, kg: the largest.
local function band_of(result)
  local most = 0
  for _, row in ipairs(result.rows) do most = math.max(most, text.K95 * row.sd.load) end
  return most
end

-- From a step of 1, 2 or 5 below zero to the same above it.
local function residual_axis(most)
  local scale = chart.scale(0, most, {zero = true})
  local to, shown = scale.to, words.set(text.fixed(scale.to, scale.decimals))
  return {from = -to, to = to, ticks = {{-to, "−" .. shown}, {0, "0"}, {to, "+" .. shown}}, name = "off the fit, kg"}
end

-- Below the loads, with the same left and right edge.
local function plan_residuals(page, result, runs, above, y)
  local band = band_of(result)
  local low, high = range_of(runs, "residual", "residual")
  local most = math.max(-low, high, band, LEAST_BAND)
  local ticks, name = lifts_of(result, runs)
  local p = chart.plan(page.canvas, {left = page.left, right = page.right, top = y, bottom = y + STRIP,
    x = {from = 0, to = above.axis.x.high, ticks = ticks, name = name}, y = residual_axis(most)})
  above.left = math.max(p.left, above.left)
  p.left, p.right, p.band_width = above.left, above.right, band
  return p
end

-- apart: the level readings are not on the lines.
local function draw_residuals(page, p, runs, y, apart)
  local c, band, most = page.canvas, p.band_width, p.axis.x.high
  p:band{{0, -band, band}, {most, -band, band}}
  p:axes()
  p:level(0, {weight = "fine", what = "zero"})
  for i, run in ipairs(runs) do
    local aside = #runs > 1 and ((i - 1) / (#runs - 1) - 0.5) * 2 * APART or 0
    for _, spot in ipairs(run.rows) do
      local x, at = p:x(spot.x) + aside, p:y(spot.residual)
      c:line(x, p:y(0), x, at, {weight = "fine", what = "off", only_on_paper = true})
      c:circle(x, at, 1.0, {weight = "body", fill = hollow(i) and "white" or "ink", what = "residual", mark = hollow(i) and "o" or "*"})
    end
  end
  local said = {("Band: 95\u{A0}%% of one reading, ±\u{A0}%s\u{A0}kg."):format(text.fixed(band, 2))}
  if apart then said[2] = "Level it stands on its wheels, another lever than the jack's: those dots are off the line." end
  return sheet.sentences(page, y + STRIP, said, {size = SIZES.small, colour = "grey"})
end

-- ---- words --------------------------------------------------------------------------------------------------------------------------

local function heading_of(result)
  local half = (result.interval.high - result.interval.low) / 2
  local row = lift_pose.steepest(result)
  local stays = end_of(result)
  local grows = stays and ("The %s load"):format(stays) or "The load that stays"
  local lifted = stays and row.lifted .. (result.radii.left and " side" or " axle") or "axles in turn"
  return {title = ("CG height by lifting the %s"):format(lifted),
    state = result.heading, lines = {printed.set_up(result) .. ".",
      grows .. " must grow in a straight line with the tangent of the tilt; how steeply is the height."},
    answer = {{"CG height", words.value(result.height, half / text.K95, half < 0.95 and 2 or 1, "mm"), large = true}}}
end

-- What touches, FAIL or from which lift on.
local function touching(result)
  local failing = remarks.touching(result)
  if failing then return words.sentence(text.sentence(failing)), "fail" end
  local first = result.touches and result.touches[1]
  if not first then return nil end
  return ("First to touch, by the file: %s, from %s on."):format(first.what,
    first.lift and text.fixed(first.lift, 0) .. "\u{A0}mm" or text.fixed(first.angle, 1) .. "\u{A0}degrees")
end

local function says_of(result, drawn)
  local list = printed.restated(result)
  list[#list + 1] = text.sentence("what spoils it: " .. result.spoils)
  for i, sentence in ipairs(list) do list[i] = words.sentence(text.sentence(sentence)) end
  if result.jack and drawn then list[#list + 1] = "The wheels of that end hang where the locked suspension holds them." end
  return list
end

local function split_notes(result)
  local others = {}
  for _, note in ipairs(result.notes) do if note ~= remarks.CAUTION then others[#others + 1] = words.sentence(text.sentence(note)) end end
  return others
end

-- ---- the picture -------------------------------------------------------------------------------------------------------------------

local function draw_pose(page, result, scene, y)
  local c, row = page.canvas, lift_pose.steepest(result)
  y = sheet.sentences(page, y + 2, {("As lifted: %s up %s%s"):format(row.lifted, lift_pose.amount(row),
    row.lift and (", %s\u{A0}degrees"):format(text.fixed(row.angle, 1)) or "")}, {bold = true})
  y = sheet.sentences(page, y, {(scene.lift.lifted == "left" or scene.lift.lifted == "right") and
    "Seen from behind. Long-dash double-dot: the car level." or "Long-dash double-dot: the car level. Front left."},
    {colour = "grey", size = SIZES.small})
  local f = lift_pose.plan(result, scene, {left = page.left, right = page.right, tall = TALL[page.narrow and 2 or 1]})
  y = lift_pose.draw(c, f, result, y + 1)
  marks.scale_bar(c, page.left, y + 4, f.scale)
  return y + 5, f
end

function lift.draw(page, result, scene)
  local runs, one = by_run(result)
  local y, f = sheet.heading(page, heading_of(result)), nil
  local loads = plan_loads(page, runs, load_axis(one, result.on == "plane"), y + 2)
  local strip = plan_residuals(page, result, runs, loads, loads.box.bottom + 2)
  draw_loads(loads, runs)
  y = draw_residuals(page, strip, runs, loads.box.bottom + 2, result.jack ~= nil)
  if scene then y, f = draw_pose(page, result, scene, y + 2) end
  local touches, hue = touching(result)
  if touches then y = sheet.sentences(page, y + 1.5, {touches}, {bold = hue ~= nil, colour = hue}) end
  y = sheet.sentences(page, y + 1.5, says_of(result, f))
  y = sheet.sentences(page, y + 1, split_notes(result), {colour = "grey"})
  y = sheet.sentences(page, y + 1, {words.sentence(text.sentence(remarks.CAUTION))})
  return y, {scale = f and f.scale, notes = f and f.shapeless and {lift_pose.DOTS} or {},
             words = ("CG height %s mm by lifting: loads against tilt%s"):format(text.fixed(result.height, 1),
               f and ", and the car as lifted" or "")}
end

return lift
