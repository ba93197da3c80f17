--- The picture of the brake split of a stability: the front share with which both axles lock together, by deceleration, and the car's own.

local chart = require "steelyard.draw.chart"
local core = require "steelyard.core"
local said = require "steelyard.answers.stability.said"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local brake_split = {}

local TALL = 92
local NO_BREAK = "\u{A0}"

local function percent(value, sd, decimals) return words.value(value, sd, decimals, "%") end

local function deceleration(value, sd) return words.value(value, sd, 2, "g") end

-- The share that was stated; nil where the file and the question state none.
local function stated(r) return r.brake.front_share end

local function heading_of(r)
  local b, sd = r.brake, r.sd.brake or {}
  local answer = {{"both lock together", percent(b.ideal, sd.ideal, 1)}}
  if stated(r) then answer[2] = {"as set", percent(stated(r), nil, 1)} end
  if b.locks_first then
    answer[3] = {b.locks_first .. " locks first", "at" .. NO_BREAK .. deceleration(b.at, sd.at)}
  end
  return {title = "Brake split", state = r.heading, answer = answer, lines = {
    ("Front share of the braking with which both axles lock together, by deceleration, at mu %s."):format(text.plain(r.mu)),
    "A share above the curve locks the front first, one below it the rear, and a car whose rear locks first turns round."}}
end

-- {z, least, most} of the curve; nil where nothing has an uncertainty.
local function band_of(curve)
  local list, any = {}, false
  for i, point in ipairs(curve) do
    local off = text.K95 * (point.sd or 0)
    list[i], any = {point.z, point.front_share - off, point.front_share + off}, any or off > 0
  end
  return any and list or nil
end

local function draw_chart(page, r, y)
  local c, b, curve = page.canvas, r.brake, r.brake.curve
  local low, high, points = math.huge, -math.huge, {}
  for i, point in ipairs(curve) do
    points[i] = {point.z, point.front_share}
    low, high = math.min(low, point.front_share), math.max(high, point.front_share)
  end
  if stated(r) then low, high = math.min(low, stated(r)), math.max(high, stated(r)) end
  local ends = {{y = points[#points][2], words = "both together"}}
  if stated(r) then ends[2] = {y = stated(r), words = "as set", colour = "accent"} end
  local names = {}
  for i, one in ipairs(ends) do names[i] = one.words end
  local p = chart.plan(c, {left = page.left, right = page.right, top = y, bottom = y + TALL, ends = names,
    x = {from = curve[1].z, to = curve[#curve].z, exact = true, name = "deceleration, g"},
    y = {from = low, to = high, name = "front share of the braking, %"}})
  local band = band_of(curve)
  if band then p:band(band, "95 %") end
  p:axes{grid = true}
  p:line(points, {weight = "wheel", what = "ideal"})
  for _, point in ipairs(points) do p:dot(point[1], point[2], {r = 0.7, what = "ideal"}) end
  if stated(r) then p:level(stated(r), {weight = "wheel", colour = "accent", dash = "dashed", what = "as set"}) end
  local z = b.critical_z
  if z and z >= curve[1].z and z <= curve[#curve].z then p:dot(z, stated(r), {hollow = true, what = "critical"}) end
  p:ends(ends)
  return y + TALL
end

-- What locks, in words; nil without a share.
local function verdict(r)
  local b, sd = r.brake, r.sd.brake or {}
  if not stated(r) then return "No front share of the brakes is stated: brake_front_share in the file or the question." end
  local list = {}
  for _, axle in ipairs{"front", "rear"} do
    local at = b[axle .. "_locks"]
    if at then list[#list + 1] = ("the %s would lock at %s"):format(axle, deceleration(at, sd[axle .. "_locks"])) end
  end
  local says = text.sentence(("with %s in front %s"):format(percent(stated(r), nil, 1), text.join(list)))
  if not b.critical_z then return says end
  return ("%s On a slippery road the front locks first up to %s (open dot)."):format(says, deceleration(b.critical_z, sd.critical_z))
end

function brake_split.draw(page, r)
  if not r.brake then
    core.fail{code = "missing", field = "kind", message = "a brake split is of a car with two axles"}
  end
  local y = sheet.heading(page, heading_of(r))
  y = draw_chart(page, r, y + 1)
  y = sheet.sentences(page, y + 2, {verdict(r)}, {bold = true})
  y = sheet.sentences(page, y + 1, {said.CAUTIONS[1] .. " Arithmetic, not permission: local codes and licensed practice decide."})
  return y, {notes = {"dotted: 95 % of the curve"}, words = "the ideal front share of braking by deceleration, and the share as set"}
end

return brake_split
