--- The lines of a drawing with the steps between their points in place of the points: the same lines in two thirds of the letters.
--
-- draw/svg.lua writes points in hundredths of a millimetre. Steps are differences of whole hundredths, so nothing is rounded.

local core = require "steelyard.core"

local short_paths = {}

local function hundredths(word) return math.floor(core.number(word) * 100 + 0.5) end

-- 1250 -> "12.5", -88 -> "-.88"
local function written(n)
  local size = n < 0 and -n or n
  local whole, rest = size // 100, size % 100
  local shown = (whole > 0 or rest == 0) and ("%d"):format(whole) or ""
  if rest > 0 then shown = shown .. (rest % 10 == 0 and (".%d"):format(rest // 10) or (".%02d"):format(rest)) end
  return n < 0 and "-" .. shown or shown
end

local function step(dx, dy)
  if dy == 0 then return "h" .. written(dx) end
  if dx == 0 then return "v" .. written(dy) end
  return "l" .. written(dx) .. (dy < 0 and "" or " ") .. written(dy)
end

local function shorter(data)
  local list, x, y, from_x, from_y = {}, 0, 0, 0, 0
  for mark, a, b in data:gmatch "([MLZ])([-%d.]*) ?([-%d.]*)" do
    if mark == "Z" then
      list[#list + 1], x, y = "z", from_x, from_y
    else
      local to_x, to_y = hundredths(a), hundredths(b)
      local dx, dy = to_x - x, to_y - y
      x, y = to_x, to_y
      if mark == "M" then
        from_x, from_y = x, y
        list[#list + 1] = "m" .. written(dx) .. (dy < 0 and "" or " ") .. written(dy)
      else
        list[#list + 1] = step(dx, dy)
      end
    end
  end
  return table.concat(list)
end

--- An SVG of draw/svg.lua with its paths so.
function short_paths.of(svg)
  return (svg:gsub(' d="([MLZ%d%. -]*)"', function(data) return ' d="' .. shorter(data) .. '"' end))
end

return short_paths
