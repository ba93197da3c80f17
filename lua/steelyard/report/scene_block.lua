--- The scene of a car as a page holds it: what --json would write of it, with its many bodies as columns and their places and outlines as
-- finely as lengths of such a vehicle are printed (print/figures.lua), of a car to the millimetre. In full
-- it would be a third of the page.

local core = require "steelyard.core"
local document = require "steelyard.reference.document"
local json = require "steelyard.print.json"

local scene_block = {}

-- x to so many decimals, without a sign where that is 0.
local function rounded(x, decimals) return core.number(core.fixed(x, decimals)) end

-- Points that then are one with the point before them are left out.
local function rounded_loop(loop, decimals)
  local points = {}
  for _, p in ipairs(loop) do
    local a, b, last = rounded(p[1], decimals), rounded(p[2], decimals), points[#points]
    if not (last and last[1] == a and last[2] == b) then points[#points + 1] = {a, b} end
  end
  return points
end

local function outlines_of(body, decimals)
  if not body.outlines then return json.null end
  local outlines = {}
  for view, loops in pairs(body.outlines) do
    outlines[view] = {}
    for i, loop in ipairs(loops) do outlines[view][i] = rounded_loop(loop, decimals) end
  end
  return outlines
end

local words = {"path", "kind", "basis", "mass", "pieces", "wheel", "carried", "shape", "liquid"}

-- Column by column; null where a body has nothing to say, no column where none has.
local function columns_of(bodies, decimals)
  local columns = {at = {}, outlines = {}}
  for _, word in ipairs(words) do
    local any, column = false, {}
    for i, body in ipairs(bodies) do
      local value = body[word]
      any = any or value ~= nil
      column[i] = value == nil and json.null or value
    end
    columns[word] = any and column or nil
  end
  for i, body in ipairs(bodies) do
    columns.at[i] = {rounded(body.at.x, decimals), rounded(body.at.y, decimals), rounded(body.at.z, decimals)}
    columns.outlines[i] = outlines_of(body, decimals)
  end
  return columns
end

--- The document of a scene, which is then without its bodies; decimals: of its lengths, mm.
function scene_block.of(scene, decimals)
  local bodies = scene.bodies
  scene.bodies = {} -- a document of each outline's points would take longer than all else
  local doc = document.of(scene)
  doc.bodies = columns_of(bodies, decimals)
  doc.units = nil
  return doc
end

return scene_block
