--- car:inertia{what =, about =}: inertia of the car or of something in it about its CG or any point, with principal moments and axes.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"

local inertia = {}
local Inertia = require("steelyard.reference.results").kind "body_inertia"

-- The ledger with nothing aboard but what lies at `routes`.
local function only(ledger, routes)
  for _, item in ipairs(ledger:items(true)) do
    if item.form == "part" and item.aboard and not resolve.within(item.route, routes) then ledger = ledger:aboard(item.route, false) end
  end
  return ledger
end

local function notes_of(r)
  local list = {}
  if r.points > 0 then
    list[1] = ("inertia is \"at least\": %d of %s no shape and %s"):format(r.points, text.count(r.parts, "part")
      .. (r.parts == 1 and " has" or " have"), r.points == 1 and "counts as a point" or "count as points")
  end
  local moment = {r.principal[1].moment, r.principal[2].moment, r.principal[3].moment}
  local alike = 1e-9 * moment[3] -- far above rounding, far below what anything is built to
  if moment[2] - moment[1] <= alike or moment[3] - moment[2] <= alike then
    list[#list + 1] = "where moments are equal, every axis in the plane of theirs is one"
  end
  return list
end

--- {mass, cg, about, inertia, roll_inertia, pitch_inertia, yaw_inertia, principal, parts, points}
function inertia.of(c, self, o)
  o = named_places.check_fields(o, "car:inertia", options.known("whole", "inertia_of"))
  local place = o.about ~= nil and named_places.find(c, o.about, "about") or nil
  local found = o.what ~= nil and resolve.parts(c, o.what) or nil
  local r = core.inertia(found and only(c.now, found.routes) or c.now, c.geometry, place and place.at)
  r.name, r.point = found and found.label or nil, place and place.name or nil
  r.state, r.heading, r.notes = loading.title(c), self:heading(), notes_of(r)
  return origin.of_car(setmetatable(r, Inertia), c)
end

function Inertia.__tostring(r)
  local sd = r.sd
  local function shown(value, u) return r.points > 0 and "at least " .. text.fixed(value, 2) or text.plus_minus(value, u, 2) end
  local function place(name, p) return {name, text.fixed(p.x, 1), text.fixed(p.y, 1), text.fixed(p.z, 1)} end
  local axes = {}
  for i, p in ipairs(r.principal) do
    axes[i] = {shown(p.moment, sd.principal[i]), ("%s deg off %s"):format(text.fixed(p.off, 1), p.near)}
    for k = 1, 3 do axes[i][2 + k] = text.fixed(p.axis[k], 4) end
  end
  local lines = {
    page.heading(r.name and ("%s: %s"):format(r.heading, r.name) or r.heading),
    text.table({{("%s kg"):format(text.fixed(r.mass, 1)), "%s"}, {"x", "%s"}, {"y", "%s"}, {"z, mm", "%s"}},
      {place("CG", r.cg), r.point and place("about " .. r.point, r.about) or nil}),
    text.table({{r.point and "about that point, kg m2" or "about its CG, kg m2", "%s"}, {"", "%s"}},
      {{"roll", shown(r.roll_inertia, sd.roll_inertia)}, {"pitch", shown(r.pitch_inertia, sd.pitch_inertia)},
       {"yaw", shown(r.yaw_inertia, sd.yaw_inertia)}}),
    text.table({{"principal, kg m2", "%s"}, {"its axis", "%s"}, {"forward", "%s"}, {"left", "%s"}, {"up", "%s"}}, axes)}
  return page.of(r, lines)
end

return inertia
