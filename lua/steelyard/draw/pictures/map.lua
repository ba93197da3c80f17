--- The picture of a study of two inputs: each output as contours over them, light where it is least and dark where it is most, hatched
-- where a limit breaks.

local axis = require "steelyard.draw.axis"
local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local contours = require "steelyard.draw.contours"
local core = require "steelyard.core"
local hatching = require "steelyard.draw.hatching"
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local map = {}

local SIZES = canvas.sizes
local MOST_MAPS = 4
local TALL, SMALL_TALL = 118, 84 -- mm, of one map, of one of several
local BETWEEN = 6                -- mm between two maps
local AIR = 0.7                  -- mm round words on lines

-- ---- the grid -------------------------------------------------------------------------------------------------------------------

local function sorted(input, n)
  local place, seen, list = studied.places(input), {}, {}
  for i = 1, n do
    local value = place(i)
    if value and not seen[value] then seen[value], list[#list + 1] = true, value end
  end
  table.sort(list)
  local number = {}
  for i, value in ipairs(list) do number[value] = i end
  return list, number, place
end

-- {xs, ys, variant = function(i, j)}
local function grid_of(r, inputs)
  local n = studied.count(r)
  local xs, column, x_of = sorted(inputs[1], n)
  local ys, row, y_of = sorted(inputs[2], n)
  local variants = {}
  for k = 1, n do
    local x, y = x_of(k), y_of(k)
    if x and y then variants[row[y] * (#xs + 1) + column[x]] = k end
  end
  return {xs = xs, ys = ys, variant = function(i, j) return variants[j * (#xs + 1) + i] end}
end

-- The numbers of one output over the grid.
local function field(grid, column)
  local rows = {}
  for j = 1, #grid.ys do
    rows[j] = {}
    for i = 1, #grid.xs do
      local k = grid.variant(i, j)
      rows[j][i] = k and studied.known(column[k]) or false
    end
  end
  return {xs = grid.xs, ys = grid.ys, rows = rows}
end

-- Least and greatest of an output, each looked for once: a function of its name.
local function ranges_of(r)
  local known_ones = {}
  return function(name)
    local one = known_ones[name]
    if not one then
      one = {studied.range(r, name)}
      known_ones[name] = one
    end
    return one[1], one[2]
  end
end

-- ---- what breaks a limit ----------------------------------------------------------------------------------------------------------

-- How far over or under a limit each variant is, by variant, above 0 where it breaks it; in the unit of the quantity.
local function over_limit(r, rule, side)
  local least, most = rawget(r, "lowest"), rawget(r, "highest")
  local column, by = r.columns[rule.quantity], {}
  if side == "max" then column = most and most[rule.quantity] or column else column = least and least[rule.quantity] or column end
  for k = 1, studied.count(r) do
    local value = studied.known(column[k])
    if value then by[k] = side == "max" and value - rule.max or side == "min" and rule.min - value end
  end
  return by
end

local UNSEEN = 0.5 -- a variant that fails by what is not shown is so far over, one that does not so far inside

-- The fields of all limits that some variant breaks: of each bound of an output one, and one of what fails by something else.
local function broken(r, grid, range)
  local list, seen, unseen = {}, {}, false
  for _, rule in ipairs(r.judged) do
    for _, side in ipairs(r.columns[rule.quantity] and not rule.state and {"min", "max"} or {}) do
      local by, any = rule[side] and over_limit(r, rule, side) or {}, false
      for k, over in pairs(by) do
        if over > 0 then any, seen[k] = true, true end
      end
      local low, high = range(rule.quantity)
      if any then list[#list + 1] = {field = field(grid, by), range = high > low and high - low or 1} end
    end
  end
  local others = {}
  for k = 1, studied.count(r) do
    local fails = r.verdict[k] == "fail" and not seen[k]
    others[k], unseen = fails and UNSEEN or -UNSEEN, unseen or fails
  end
  if unseen then list[#list + 1] = {field = field(grid, others), range = 1} end
  return list
end

-- ---- on the paper ------------------------------------------------------------------------------------------------------------------

local function on_paper(p, points)
  local list = {}
  for i, point in ipairs(points) do list[i] = {p:x(point[1]), p:y(point[2])} end
  return list
end

local function all_on_paper(p, lines)
  local list = {}
  for i, line in ipairs(lines) do list[i] = on_paper(p, line) end
  return list
end

local function length_of(line)
  local sum = 0
  for i = 2, #line do sum = sum + math.sqrt((line[i][1] - line[i - 1][1]) ^ 2 + (line[i][2] - line[i - 1][2]) ^ 2) end
  return sum
end

-- The point at a share of a line's length.
local function along(line, total, part)
  local left = part * total
  for i = 2, #line do
    local piece = math.sqrt((line[i][1] - line[i - 1][1]) ^ 2 + (line[i][2] - line[i - 1][2]) ^ 2)
    if piece >= left and piece > 0 then
      local t = left / piece
      return line[i - 1][1] + t * (line[i][1] - line[i - 1][1]), line[i - 1][2] + t * (line[i][2] - line[i - 1][2])
    end
    left = left - piece
  end
  return line[#line][1], line[#line][2]
end

local function box_round(x, y, shown, bold)
  local w = canvas.width_of(shown, SIZES.text, bold) / 2
  return {x - w - AIR, y - 0.5 * SIZES.text - AIR, x + w + AIR, y + 0.5 * SIZES.text + AIR}
end

local function clear(p, box, boxes)
  if box[1] < p.left + 0.5 or box[3] > p.right - 0.5 or box[2] < p.top + 0.5 or box[4] > p.bottom - 0.5 then return false end
  for _, other in ipairs(boxes) do
    if box[1] < other[3] and other[1] < box[3] and box[2] < other[4] and other[2] < box[4] then return false end
  end
  return true
end

local PARTS = {0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88}

-- Puts words on the longest of some lines where there is room; they are added to boxes.
local function name_line(p, lines, shown, boxes, list)
  local best, most = nil, 0
  for _, line in ipairs(lines) do
    local length = length_of(line)
    if length > most then best, most = line, length end
  end
  for _, part in ipairs(best and PARTS or {}) do
    local x, y = along(best, most, part)
    local box = box_round(x, y, shown)
    if clear(p, box, boxes) then
      boxes[#boxes + 1], list[#list + 1] = box, {x, y, shown}
      return
    end
  end
end

-- The word FAIL where a limit is broken most, in ranges of its numbers, and there is room.
local function name_fail(p, limits, boxes, list)
  local best, most, at
  for _, limit in ipairs(limits) do
    local grid = limit.field
    for j, row in ipairs(grid.rows) do
      for i, by in ipairs(row) do
        local share = by and by / limit.range
        if share and share > 0 and (not most or share > most) then
          local x, y = p:x(grid.xs[i]), p:y(grid.ys[j])
          x, y = math.max(p.left + 6, math.min(p.right - 6, x)), math.max(p.top + 3.2, math.min(p.bottom - 3.2, y))
          local box = box_round(x, y, "FAIL", true)
          if clear(p, box, boxes) then best, most, at = box, share, {x, y, "FAIL", fail = true} end
        end
      end
    end
  end
  if best then boxes[#boxes + 1], list[#list + 1] = best, at end
end

-- Hatching of several limits falls on the same lines, so where two are broken it is as where one is.
local function draw_limit(c, p, limit, boxes)
  if not limit.lines then -- the same on all maps
    local lines = contours.lines(limit.field, {0})
    limit.lines, limit.above = lines[1], contours.above(limit.field, {0}, lines)[1]
  end
  local loops = all_on_paper(p, limit.above)
  if #loops > 0 then hatching.loops(c, loops, {colour = "ink", boxes = boxes, what = "infeasible"}) end
  for _, line in ipairs(all_on_paper(p, limit.lines)) do
    hatching.path_around(c, line, boxes, {weight = "wheel", what = "limit"})
  end
end

local function draw_map(c, p, r, work, out)
  local values, limits = field(work.grid, r.columns[out.name]), work.limits
  local low, high = work.range(out.name)
  local levels = high - low > 10.0 ^ -out.decimals and axis.scale(low, high, {exact = true}).ticks or {}
  local boxes, names, lines = {}, {}, contours.lines(values, levels)
  local tints = contours.above(values, levels, lines)
  if levels[1] then table.insert(tints, 1, contours.above(values, {low})[1]) end
  for k, above in ipairs(tints) do -- each on the one before
    if #above > 0 then c:loops(all_on_paper(p, above), {fill = canvas.tints[math.min(k, #canvas.tints)], what = "tint"}) end
  end
  for k, level in ipairs(levels) do
    lines[k] = all_on_paper(p, lines[k])
    name_line(p, lines[k], words.set(text.plain(level)), boxes, names)
  end
  name_fail(p, limits, boxes, names)
  for _, list in ipairs(lines) do
    for _, line in ipairs(list) do hatching.path_around(c, line, boxes, {weight = "fine", what = "contour"}) end
  end
  for _, limit in ipairs(limits) do draw_limit(c, p, limit, boxes) end
  for _, one in ipairs(names) do
    if one.fail then
      local box = box_round(one[1], one[2], one[3], true)
      c:box(box[1] + AIR, box[2], box[3] - AIR, box[4], {fill = "white", what = "paper"})
    end
    c:text(one[1], one[2] + 0.36 * SIZES.text, one[3], {anchor = "middle", bold = one.fail, colour = one.fail and "fail" or nil,
                                                       label = true})
  end
end

-- ---- all of it ----------------------------------------------------------------------------------------------------------------------

local function check_shape(r, inputs)
  if not (r.method == "grid" and #inputs == 2) then
    core.fail{code = "unavailable", field = "kind", message = ("a map is of two inputs in a grid, this study has %s by %q"):format(
      text.count(#inputs, "input"), r.method), hint = 'kind = "lines"'}
  end
end

-- Outputs that have a map; the others as sentences.
local function chosen(r, range)
  local list, says = {}, {}
  for _, out in ipairs(r.outputs) do
    local low, high = range(out.name)
    if not low then says[#says + 1] = ("%s: unknown in all variants"):format(studied.noun(out))
    elseif studied.same(out, low, high) then says[#says + 1] = ("%s: %s throughout"):format(studied.noun(out), studied.value(out, low))
    elseif #list < MOST_MAPS then list[#list + 1] = out
    else says[#says + 1] = ("%s: not drawn"):format(studied.noun(out)) end
  end
  if #list == 0 and says[1] and range(r.outputs[1].name) then return {r.outputs[1]}, says end -- the limits at least
  return list, says
end

local function one_map(page, r, work, out, box)
  local c = page.canvas
  if work.several then
    c:text(box.left, box.top + 3, canvas.cut(studied.heading(out), box.right - box.left, SIZES.text, true), {bold = true})
    box.top = box.top + sheet.LINE + 1
  end
  local y = studied.axis(work.inputs[2], work.grid.ys[1], work.grid.ys[#work.grid.ys])
  local p = chart.plan(c, {left = box.left, right = box.right, top = box.top, bottom = box.bottom, y = y,
                           x = studied.axis(work.inputs[1], work.grid.xs[1], work.grid.xs[#work.grid.xs])})
  draw_map(c, p, r, work, out)
  p:axes()
  c:line(p.left, p.top, p.right, p.top, {weight = "fine", what = "axis"})
  c:line(p.right, p.top, p.right, p.bottom, {weight = "fine", what = "axis"})
end

local function heading_of(page, r, work, outputs)
  local labels, answer, inputs = {}, {}, work.inputs
  for k, out in ipairs(outputs) do labels[k] = studied.noun(out) end
  for k = 1, math.min(2, #outputs) do
    local low, high = work.range(outputs[k].name)
    answer[k] = {studied.noun(outputs[k]), studied.range_text(outputs[k], low, high)}
  end
  local title = ("%s over %s and %s"):format(studied.some(labels, 3), inputs[1].label, inputs[2].label)
  local says = {work.several and "The darker, the more." or ("Contours: %s. The darker, the more."):format(studied.heading(outputs[1]))}
  if work.limits[1] then says[1] = says[1] .. " Hatched: a limit breaks." end
  studied.add_limits(page, r, says)
  return studied.heading_of(r, title, says, answer), title
end

function map.draw(page, r)
  studied.check(r)
  local inputs = studied.inputs(r)
  check_shape(r, inputs)
  local range = ranges_of(r)
  local outputs, notes = chosen(r, range)
  if #outputs == 0 then
    core.fail{code = "unavailable", field = "show", message = "nothing of this study is known: there is no map"}
  end
  local work = {inputs = inputs, grid = grid_of(r, inputs), range = range, several = #outputs > 1, limits = {}}
  if rawget(r, "counts") and r.counts.fail > 0 then work.limits = broken(r, work.grid, range) end
  local heading, title = heading_of(page, r, work, outputs)
  local y = sheet.heading(page, heading) + 1
  local beside = work.several and not page.narrow and 2 or 1
  local wide = (page.right - page.left - (beside - 1) * BETWEEN) / beside
  local tall = (page.narrow or work.several) and SMALL_TALL or TALL
  for k, out in ipairs(outputs) do
    local left = page.left + (k - 1) % beside * (wide + BETWEEN)
    one_map(page, r, work, out, {left = left, right = left + wide, top = y, bottom = y + tall})
    if k % beside == 0 or k == #outputs then y = y + tall + 3 end
  end
  return y - 2, {notes = studied.notes(r, notes), words = title}
end

return map
