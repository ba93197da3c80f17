--- Axes: ticks at 1-2-5 steps, how they are printed, and a level axis with its name.
--
-- An axis is {from =, to =, name = "front, %"} with
--   zero    true: it starts at zero
--   exact   true: it ends at from and to, not at the next ticks
--   least   the least it spans, so that what differs by less than can be printed is drawn level
--   ticks   list of {value, words} instead of steps
--   named   true: nobody expects it to start at zero, as of dates: it does not say that it does not
-- axis.set gives it low and high, its ends, and marks = list of {value, words}.

local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local axis = {}

local SIZES = canvas.sizes
axis.ROW = 4.2               -- mm: from line to line
axis.TICK, axis.GAP = 1.2, 1 -- mm: of a tick mark, from it to its name
axis.UP, axis.MIDDLE = 0.75 * SIZES.text, 0.36 * SIZES.text -- from the top of a line of text, from its middle, to its base line
axis.ROUNDING = 1 + 1e-9     -- of a width: words stand in as much as they take
local MOST = 6               -- ticks
local LEAST_STEPS = 3        -- between them
local LEAST_SHARE = 1e-3     -- of a value: the least an axis spans where nothing else is asked
local SLACK = 1e-9           -- of a step: a value that is a tick but for its last bits is one

-- Steps are whole numbers over or times powers of ten, so that ticks are the numbers that they are printed as.
local function each_step()
  local exponent, power = 12, 1e12
  local i, mantissas = 0, {1, 2, 5}
  return function()
    i = i + 1
    if i > 3 then
      i, exponent = 1, exponent - 1
      power = exponent >= 0 and power / 10 or power * 10
    end
    if exponent < -22 then return nil end
    local mantissa, e, p = mantissas[i], exponent, power
    return function(k) return e >= 0 and k * mantissa / p or k * mantissa * p end, e
  end
end

local function inside(low, high, value)
  local step, list = value(1), {}
  for k = math.ceil(low / step - SLACK), math.floor(high / step + SLACK) do list[#list + 1] = value(k) end
  return list
end

--- {from, to, ticks = 4 to 6 numbers, decimals}: for numbers from low to high; o as an axis above. The ends are ticks, unless that
-- would leave three.
function axis.scale(low, high, o)
  o = o or {}
  if not (low - low == 0 and high - high == 0) then
    core.fail{code = "unavailable", field = "kind",
              message = ("a number of %s is not finite: it cannot be drawn"):format(o.name or "an axis")}
  end
  if o.zero then low, high = math.min(low, 0), math.max(high, 0) end
  local least = o.least or math.max(math.abs(low), math.abs(high)) * LEAST_SHARE
  if least == 0 then least = 1 end
  if high - low < least then low, high = (low + high - least) / 2, (low + high + least) / 2 end
  local finer, finer_decimals -- the step before
  for value, exponent in each_step() do
    local step, decimals = value(1), math.max(0, exponent)
    local first, last = math.floor(low / step + SLACK), math.ceil(high / step - SLACK)
    if o.exact then first, last = math.ceil(low / step - SLACK), math.floor(high / step + SLACK) end
    first, last = first + 0.0, last + 0.0 -- of two whole numbers the difference may wrap
    if last - first < MOST then
      if last - first < (o.exact and 2 or LEAST_STEPS) and finer then
        return {from = low, to = high, ticks = inside(low, high, finer), decimals = finer_decimals}
      end
      local from, to = o.exact and low or value(first), o.exact and high or value(last)
      return {from = from, to = to, ticks = inside(from, to, value), decimals = decimals}
    end
    finer, finer_decimals = value, decimals
  end
end

--- Finds the ends and marks of an axis.
function axis.set(a)
  if a.ticks then
    a.low, a.high, a.marks = a.from, a.to, a.ticks
    if a.low == a.high then a.low, a.high = a.low - 0.5, a.high + 0.5 end -- one place, in the middle
    return
  end
  local scale = axis.scale(a.from, a.to, a)
  a.low, a.high, a.decimals, a.marks = scale.from, scale.to, scale.decimals, {}
  for i, value in ipairs(scale.ticks) do a.marks[i] = {value, words.set(text.fixed(value, scale.decimals))} end
end

--- Its name in at most so many mm of a canvas, with a word where it does not start at zero.
function axis.name_of(c, a, most)
  local name = a.name
  if not (a.named or math.min(a.low, a.high) <= 0 and math.max(a.low, a.high) >= 0) then
    name = name .. ", scale does not start at 0"
    if c:width_of(name, SIZES.text) > most then name = a.name .. ", not from 0" end
  end
  return c:cut(name, most, SIZES.text)
end

-- Names of ticks that would touch: every second, every third, zero among them or the last. Gives n and the number of the first.
local function every(c, place, marks)
  local kept = #marks
  for i, mark in ipairs(marks) do if mark[1] == 0 then kept = i end end
  for n = 1, #marks do
    local clear, right_end, first = true, -math.huge, kept - (kept - 1) // n * n
    for i = first, #marks, n do
      local half = c:width_of(marks[i][2], SIZES.text) / 2
      local x = place(marks[i][1])
      clear = clear and x - half >= right_end + 1.5
      right_end = x + half
    end
    if clear then return n, first end
  end
  return math.max(1, #marks), kept
end

--- The ticks and names of a level axis below a line at o.y, with its own name; gives the y of its lower end. x: place of a value. o.left,
-- o.right: of what it belongs to, o.most: room for its name.
function axis.draw_level(c, a, x, o)
  local n, first = every(c, x, a.marks)
  local base = o.y + axis.TICK + axis.GAP + axis.UP
  for i, mark in ipairs(a.marks) do
    local at = x(mark[1])
    c:line(at, o.y, at, o.y + axis.TICK, {weight = "fine", what = "tick x", only_on_paper = true})
    if (i - first) % n == 0 then c:text(at, base, mark[2], {anchor = "middle"}) end
  end
  if a.name then
    base = base + axis.ROW
    local name = axis.name_of(c, a, o.most)
    c:text(math.max(o.right, o.left + c:width_of(name, SIZES.text)), base, name, {anchor = "end", colour = "grey"})
  end
  return base + SIZES.text - axis.UP
end

return axis
