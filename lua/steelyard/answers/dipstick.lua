--- car:dipstick("fuel", {step = 20, nose_up = 3}): litres in a tank by the height of its liquid, level or leaning.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local liquids = require "steelyard.car.liquids"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local unusable_fuel = require "steelyard.file.unusable_fuel"

local dipstick = {}
local Dipstick = require("steelyard.reference.results").kind "dipstick"

local MOST = 1000 -- rows
local STEP = 20   -- mm

-- One of two words for one turn, degrees; the first positive.
local function turn(o, one, other)
  if o[one] ~= nil and o[other] ~= nil then
    core.fail{code = "clash", field = other, message = ("stands beside %s, one of the two is enough"):format(one)}
  end
  local value = o[one] ~= nil and named_places.number(o[one], "deg", one)
    or o[other] ~= nil and -named_places.number(o[other], "deg", other) or 0
  if not (math.abs(value) < 90) then
    core.fail{code = "range", field = o[one] ~= nil and one or other, message = ("must be below 90 deg, is %s"):format(text.plain(value))}
  end
  return value
end

-- Against gravity along the vehicle's forward, left and up while it leans: the third row of its rotation, roll first (core/base/frame.h).
local function upward(nose_up, left_up)
  local p, r = math.rad(nose_up), math.rad(left_up)
  return math.sin(p), math.cos(p) * math.sin(r), math.cos(p) * math.cos(r)
end

local function rows_of(measure, step, deepest)
  if deepest / step > MOST then
    core.fail{code = "range", field = "step", message = ("makes %d rows of %s mm, %d are possible"):format(math.ceil(deepest / step),
      text.plain(step), MOST)}
  end
  local rows = {}
  for i = 0, math.ceil(deepest / step - 1e-9) do -- 1e-9: the last row is the brim, whatever its last digit
    local height = math.min(i * step, deepest)
    rows[#rows + 1] = {height = height, litres = measure(height)}
  end
  return rows
end

--- {name, capacity, litres, height, deepest, rows = {{height, litres}, ...}}
function dipstick.of(c, self, what, o)
  if what == nil then core.fail{code = "missing", message = "car:dipstick needs the name of a tank"} end
  o = named_places.check_fields(o, "car:dipstick", options.known("shop", "dipstick"))
  local item, node = liquids.item(c, what)
  if not held_liquid.has_level(node) then
    core.fail{code = "missing", part = node.name, field = "shape", message = "is not one in which the level of a liquid is worked out",
              hint = "give the tank a box, cylinder, sphere, ellipsoid or mesh"}
  end
  local step = o.step == nil and STEP or named_places.number(o.step, "mm", "step")
  if not (step > 0) then core.fail{code = "range", field = "step", message = "must be above 0 mm"} end
  local nose_up, left_up = turn(o, "nose_up", "nose_down"), turn(o, "left_up", "right_up")
  local x, y, z = c.geometry:vector_out(upward(nose_up, left_up))
  local measure, height_of = unusable_fuel.heights(c.shared.spec, node, {x, y, z})
  local litres = held_liquid.litres(node, loading.piece(c.now, item).mass)
  local r = {name = node.name, capacity = node.capacity, litres = litres, height = height_of(litres), deepest = height_of(node.capacity),
             nose_up = nose_up, left_up = left_up, state = loading.title(c), heading = self:heading(), sd = {},
             notes = {"heights from the lowest point of the tank as it leans, square to the surface; wall, baffles and the stick take no "
               .. "room"}}
  r.rows = rows_of(measure, step, r.deepest)
  if node.pair then r.notes[2] = "litres of one of the pair, as it is written" end
  return origin.of_car(setmetatable(r, Dipstick), c)
end

local function leaning(r)
  local words = {}
  if r.nose_up ~= 0 then words[1] = ("%s deg nose %s"):format(text.plain(math.abs(r.nose_up)), r.nose_up > 0 and "up" or "down") end
  if r.left_up ~= 0 then
    words[#words + 1] = ("%s deg %s side up"):format(text.plain(math.abs(r.left_up)), r.left_up > 0 and "left" or "right")
  end
  return #words > 0 and table.concat(words, ", ") or "level"
end

local headings = {{"height, mm", "%s"}, {"litres", "%s"}, {"share, %", "%s"}}

local function cells(r)
  local list = {}
  for i, row in ipairs(r.rows) do
    list[i] = {text.fixed(row.height, 1), text.fixed(row.litres, 2), text.fixed(100 * row.litres / r.capacity, 1)}
  end
  return list
end

--- The table for a spreadsheet.
function dipstick.csv(r)
  local lines = {"height (mm),litres"}
  for i, row in ipairs(r.rows) do lines[i + 1] = core.fixed(row.height, 3) .. "," .. core.fixed(row.litres, 4) end
  return table.concat(lines, "\n") .. "\n"
end

function Dipstick.__tostring(r)
  return page.of(r, {("%s: %s, %s"):format(r.heading, r.name, leaning(r)), text.table(headings, cells(r)),
    ("Now %s litres stand %s mm high, %s brim-full."):format(text.fixed(r.litres, 1), text.fixed(r.height, 1), text.fixed(r.capacity, 1))})
end

return dipstick
