-- The parts of charts: axes, names at the ends of lines, hatching, limits, bars.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local bars = require "steelyard.draw.bars"
local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local contours = require "steelyard.draw.contours"
local drawing = require "steelyard.draw.drawing"
local hatching = require "steelyard.draw.hatching"
local sheet = require "steelyard.draw.sheet"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

local balance = sy.load("vehicles/first_guess.lua"):balance()

-- A page with what `draw` puts on it, as a drawing.
local function page_of(width, draw)
  return drawing.finish({heading = "A chart", sd = {}}, width, function(page)
    return draw(page, page.canvas, sheet.heading(page, {title = "A chart", state = "of a test", lines = {}, answer = {}})), {}
  end, {from = balance, says = "a chart"})
end

local function marks_of(d, what)
  local list = {}
  for _, item in ipairs(drawing.canvas_of(d).items) do if item.what == what then list[#list + 1] = item end end
  return list
end

test("axes_have_four_to_six_ticks_at_steps_of_one_two_and_five", function()
  for _, range in ipairs{{0, 1}, {0, 10}, {5, 15}, {-3.1, 8.7}, {282.7, 286.2}, {41.12, 43.3}, {0, 0.253},
                         {1e5, 3.7e5}, {-20, -3}, {9.9, 20.1}, {3.9, 12.1}, {0, 7.01}, {-1e-4, 2e-4}} do
    for _, o in ipairs{{}, {zero = true}, {exact = true}} do
      local s = chart.scale(range[1], range[2], o)
      local label = ("%s to %s"):format(range[1], range[2])
      check.equal(#s.ticks >= (o.exact and 3 or 4) and #s.ticks <= 6, true, label)
      check.equal(s.from <= range[1] and s.to >= range[2], true, label)
      if o.zero then check.equal(s.from <= 0 and s.to >= 0, true, label) end
      local step = s.ticks[2] - s.ticks[1]
      local power = 10.0 ^ math.floor(math.log(step, 10) + 1e-6)
      local first = math.floor(step / power + 0.5)
      check.equal(first == 1 or first == 2 or first == 5, true, label)
      check.near(step, first * power, 1e-9 * step, label)
      for i, tick in ipairs(s.ticks) do
        check.near(tick, s.ticks[1] + (i - 1) * step, 1e-9 * step, label)
        check.equal(tonumber(text.fixed(tick, s.decimals)), tick, label) -- what is printed is where it stands
      end
    end
  end
end)

test("what_is_level_is_drawn_level", function()
  local s = chart.scale(334, 334 + 1e-9, {least = 4})
  check.equal(s.from <= 332 and s.to >= 336, true)
  check.equal(chart.scale(0, 0).to > 0, true)
end)

test("names_part_about_their_mean_and_stay_in_order", function()
  local function same(a, b)
    check.equal(#a, #b)
    for i = 1, #a do check.near(a[i], b[i], 1e-12) end
  end
  same(chart.spread({10, 30}, 4, 0, 100), {10, 30})
  same(chart.spread({10, 11}, 4, 0, 100), {8.5, 12.5})
  same(chart.spread({10, 11, 30}, 4, 9, 100), {9, 13, 30})
  same(chart.spread({98, 99, 100}, 4, 0, 100), {92, 96, 100})
end)

local function draw_lines(page, c, y)
  local ends = {"lowest", "highest", "at most 12", "and one more"}
  local p = chart.plan(c, {left = page.left, right = page.right, top = y, bottom = y + 80, ends = ends,
    x = {from = -50, to = 75, name = "powertrain back, mm"}, y = {from = 7.1, to = 12.9, name = "front, %"}})
  p:band{{-50, 8, 9}, {0, 8.5, 9.6}, {75, 9, 10}}
  p:axes{grid = true}
  p:line({{-50, 8}, {0, 9}, {20, nil}, {40, 9.9}, {75, 10}}, {weight = "wheel", what = "line"})
  p:dot(0, 9)
  p:dot(40, 9.9, {hollow = true})
  check.equal(p:limit{y = 12, bad = "above", what = "limit"}, true)
  check.equal(p:limit{x = 60, bad = "above", what = "limit x"}, true)
  check.equal(p:limit{y = 40, bad = "above"}, false)
  p:ends{{y = 10, words = ends[1]}, {y = 10.1, words = ends[2], bold = true}, {y = 12, words = ends[3]}, {x = 0, y = 9, words = ends[4]}}
  return p
end

test("a_plot_keeps_the_rules_and_stands_by_its_axes", function()
  for _, width in ipairs{180, 90} do
    local p
    local d = page_of(width, function(page, c, y)
      p = draw_lines(page, c, y)
      return y + 80
    end)
    rules.keep(check, d, "plot")
    check.equal(#marks_of(d, "line"), 2, "two pieces round the gap")
    check.near(p:y(p.axis.y.low), p.bottom, 1e-9)
    check.near(p:x(-50), p.left, 1e-9) -- from and to are ticks
    local dots = marks_of(d, "dot")
    check.near((dots[1].x - p.left) / (p.right - p.left), (0 + 50) / (p.axis.x.high + 50), 1e-9)
    local said = table.concat(d.texts, "\n")
    for _, words in ipairs{"front, %, scale does not start at 0", "lowest", "and one more"} do check.contains(said, words) end
  end
end)

test("the_hatching_of_a_limit_lies_on_its_bad_side", function()
  local p
  local d = page_of(180, function(page, c, y)
    p = draw_lines(page, c, y)
    return y + 80
  end)
  local list = marks_of(d, "hatch")
  check.equal(#list, 2)
  local _, _, _, low = canvas.bounds_of(list[1])
  check.equal(low <= p:y(12) + 0.1 and low > p:y(12) - 1, true)
  local left = canvas.bounds_of(list[2])
  check.equal(left >= p:x(60) - 0.1 and left < p:x(60) + 1, true)
end)

test("hatching_stays_in_its_loops_and_out_of_boxes", function()
  local c = canvas.new(100)
  -- a square with a hole in it, and a box where words stand
  hatching.loops(c, {{{10, 10}, {50, 10}, {50, 50}, {10, 50}}, {{20, 20}, {20, 30}, {30, 30}, {30, 20}}}, {boxes = {{35, 35, 45, 45}}})
  check.equal(#c.items, 1)
  check.equal(#c.items[1].loops > 20, true)
  for _, piece in ipairs(c.items[1].loops) do
    for _, t in ipairs{0.001, 0.25, 0.5, 0.75, 0.999} do
      local x, y = piece[1][1] + t * (piece[2][1] - piece[1][1]), piece[1][2] + t * (piece[2][2] - piece[1][2])
      check.equal(x > 10 and x < 50 and y > 10 and y < 50, true)
      check.equal(x > 20 and x < 30 and y > 20 and y < 30, false)
      check.equal(x > 35 and x < 45 and y > 35 and y < 45, false)
    end
  end
end)

test("a_line_goes_round_the_words_on_it", function()
  local c = canvas.new(100)
  hatching.path_around(c, {{0, 0}, {10, 0}, {10, 10}, {20, 10}}, {{4, -1, 6, 1}}, {weight = "hair", what = "line"})
  check.equal(#c.items, 2)
  check.equal(#c.items[1].loops[1], 2)
  check.equal(c.items[1].loops[1][2][1], 4)
  check.equal(#c.items[2].loops[1], 4)
end)

test("bars_start_at_zero_and_are_as_long_as_they_say", function()
  for _, width in ipairs{180, 90} do
    local b
    local d = page_of(width, function(page, c, y)
      local lower
      b, lower = bars.draw(c, {left = page.left, right = page.right, top = y, name = "group", value = "kg",
        axis = {from = 110, to = 213.7, name = "mass, kg"}, rows = {
          {words = "powertrain", value = "213.7", bars = {{from = 0, to = 200}, {from = 200, to = 213.7, fill = "white", hatch = true}}},
          {words = "body with a name that is far too long for its column and has to be cut", value = "31.2",
           bars = {{from = 0, to = 31.2}}},
          {words = "all", value = "213.7", bold = true, bars = {{from = 0, to = 213.7, fill = "white"}}}}})
      return lower
    end)
    rules.keep(check, d, "bars")
    local x1, _, x2 = canvas.bounds_of(marks_of(d, "bar powertrain")[1])
    check.near(x1 + 0.125, b.x(0), 1e-9)
    check.near(x2 - 0.125, b.x(200), 1e-9)
    check.near((b.x(200) - b.x(0)) / (b.x(100) - b.x(0)), 2, 1e-9)
  end
end)

-- ---- contours -------------------------------------------------------------------------------------------------------------------

-- A field over a grid.
local function grid_of(xs, ys, f)
  local grid = {xs = xs, ys = ys, rows = {}}
  for j, y in ipairs(ys) do
    grid.rows[j] = {}
    for i, x in ipairs(xs) do grid.rows[j][i] = f(x, y) end
  end
  return grid
end

local function from_to(from, to, n)
  local list = {}
  for i = 0, n do list[i + 1] = from + (to - from) * i / n end
  return list
end

local function area_of(loops)
  local sum = 0
  for _, loop in ipairs(loops) do
    for i, p in ipairs(loop) do
      local q = loop[i % #loop + 1]
      sum = sum + (p[1] * q[2] - q[1] * p[2]) / 2
    end
  end
  return math.abs(sum)
end

test("a_contour_of_a_cone_is_a_circle_and_what_lies_above_is_its_disc", function()
  local grid = grid_of(from_to(-2, 2, 40), from_to(-2, 2, 32), function(x, y) return 2 - math.sqrt(x * x + y * y) end)
  local lines = contours.lines(grid, {0.63})[1]
  check.equal(#lines, 1)
  for _, p in ipairs(lines[1]) do check.near(math.sqrt(p[1] ^ 2 + p[2] ^ 2), 1.37, 0.01) end -- the cone is bent across a cell of 0.1
  check.near(area_of(contours.above(grid, {0.63})[1]), math.pi * 1.37 ^ 2, 0.05)
  check.near(area_of(contours.above(grid, {-5})[1]), 16, 1e-12) -- all of it, with its corners
  check.equal(#contours.above(grid, {3})[1], 0)
end)

test("a_plane_is_cut_exactly", function()
  local grid = grid_of({0, 1, 3}, {0, 2, 5}, function(x, y) return 3 * x + y end)
  -- below 7: x to 7/3 at y = 0 and to 2/3 at y = 5
  check.near(area_of(contours.above(grid, {7})[1]), 15 - (7 / 3 + 2 / 3) / 2 * 5, 1e-12)
  for _, p in ipairs(contours.lines(grid, {7})[1][1]) do check.near(3 * p[1] + p[2], 7, 1e-12) end
end)

test("a_saddle_is_parted_by_its_middle_and_what_is_not_known_has_no_line", function()
  local function saddle(middle) return grid_of({0, 1}, {0, 1}, function(x, y) return x == y and 1 + middle or -1 end) end
  check.equal(#contours.above(saddle(0.5), {0})[1], 1, "joined")
  check.equal(#contours.above(saddle(-0.5), {0})[1], 2, "parted")
  local grid = grid_of({0, 1, 2}, {0, 1, 2}, function(x, y) return not (x == 2 and y == 2) and x + y end)
  for _, line in ipairs(contours.lines(grid, {3.2})[1]) do check.equal(line, nil) end
  check.equal(#contours.lines(grid, {0.5})[1], 1)
end)

check.done()
