--- The lines of a drawing with the steps between their points in place of the points: the same lines in two thirds of the letters.
--
-- draw/svg.lua writes points in hundredths of a millimetre. Steps are differences of whole hundredths, so nothing is rounded.

local canvas = require "steelyard.draw.canvas"
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

-- A number goes on from the one before without a blank where it begins with a sign, or with a point and that one had its own.
local function put(list, n)
  local word, last = written(n), list[#list]
  local joined = word:find "^%-" or last:find "%a$" or word:find "^%." and last:find(".", 1, true)
  list[#list + 1] = joined and word or " " .. word
end

-- A mark is not repeated; behind m a line's is not needed.
local function step(list, mark, before, ...)
  if mark ~= before and not (mark == "l" and before == "m") then list[#list + 1] = mark end
  for _, n in ipairs{...} do put(list, n) end
  return mark
end

local function shorter(data)
  local list, x, y, from_x, from_y, before = {}, 0, 0, 0, 0, nil
  for mark, a, b in data:gmatch "([MLZ])([-%d.]*) ?([-%d.]*)" do
    if mark == "Z" then
      list[#list + 1], x, y, before = "z", from_x, from_y, "z"
    else
      local to_x, to_y = hundredths(a), hundredths(b)
      local dx, dy = to_x - x, to_y - y
      x, y = to_x, to_y
      if mark == "M" then
        from_x, from_y = x, y
        list[#list + 1] = "m"
        before = step(list, "m", "m", dx, dy)
      elseif dy == 0 then before = step(list, "h", before, dx)
      elseif dx == 0 then before = step(list, "v", before, dy)
      else before = step(list, "l", before, dx, dy) end
    end
  end
  return table.concat(list)
end

-- What most words of a drawing look like is said once, at its root, from where they have it; in a page a drawing needs no namespace.
local usual = {' fill="' .. canvas.colours.ink .. '"', (' font-size="%s"'):format(core.shortest(canvas.sizes.text))}

local function said_once(svg)
  local root, rest = svg:match "^(<svg[^>]*)(.*)$"
  for _, look in ipairs(usual) do
    root, rest = root .. look, rest:gsub("<text[^>]*>", function(tag)
      local from, to = tag:find(look, 1, true)
      return from and tag:sub(1, from - 1) .. tag:sub(to + 1)
    end)
  end
  return (root:gsub(' xmlns="[^"]*"', "")) .. rest
end

--- An SVG of draw/svg.lua with its paths so, for a page.
function short_paths.of(svg)
  return (said_once(svg):gsub(' d="([MLZ%d%. -]*)"', function(data) return ' d="' .. shorter(data) .. '"' end))
end

return short_paths
