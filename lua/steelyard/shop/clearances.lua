--- car:clearances(options?): the gaps of the file between what must not touch, as drawn and where wheels, steering and the engine's
-- rocking take it. Distances by core/shop/clearance.h. A gap to the road is one of a pose: see shop/clearances/poses.lua.

local core = require "steelyard.core"
local envelopes = require "steelyard.car.envelopes"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local poses = require "steelyard.shop.clearances.poses"
local named_places = require "steelyard.car.named_places"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local clearances = {}

-- ---- one gap --------------------------------------------------------------------------------------------------------------

-- Two bare points mark two faces: the gap counts along the line between them as drawn, below 0 when they have changed places.
local function between_marks(a, b, p, q)
  local u, length = {}, 0
  for i = 1, 3 do
    u[i] = b.mark[i] - a.mark[i]
    length = length + u[i] ^ 2
  end
  length = math.sqrt(length)
  if length == 0 then return 0, true end
  local gap = 0
  for i = 1, 3 do gap = gap + (q[i] - p[i]) * u[i] / length end
  return gap, gap < 0
end

local function measure(c, a, b)
  local gap, overlap, p, q = core.gap(a.part, b.part, c.geometry)
  if a.mark and b.mark then gap, overlap = between_marks(a, b, p, q) end
  return {gap = gap, overlap = overlap, a = a, b = b, p = p, q = q}
end

local function to_ground(c, a)
  local p = core.reach(a.part, {0, 0, -1}, c.geometry)
  return {gap = p[3], overlap = p[3] < 0, a = a, p = p, q = {p[1], p[2], 0}}
end

-- A thing at its stated place, as core.gap_found takes it. What is fixed to nothing is known by the clearance.
local function placed(e, spec, side)
  local at = e.stated or {}
  return {key = e.key or ("%s %s"):format(spec.name, side), at = {at[1] or 0, at[2] or 0, at[3] or 0}, sd = e.uncertainties}
end

local function tighter(best, m) return (not best or m.gap < best.gap) and m or best end

local function least(c, list_a, list_b, pose, ground)
  local best
  local move = ground and pose.road or pose.body
  for _, a in ipairs(list_a) do
    local ways, why = move(a)
    if not ways then return nil, why end
    for _, way in ipairs(ways) do
      local here = envelopes.moved(a, way)
      if ground then best = tighter(best, to_ground(c, here)) end
      for _, b in ipairs(list_b) do
        local others, reason = move(b)
        if not others then return nil, reason end
        for k, other in ipairs(others) do
          -- both moved by one thing: together, not one forward and one back
          if #ways == 1 or #others == 1 or ways[k] == way then best = tighter(best, measure(c, here, envelopes.moved(b, other))) end
        end
      end
    end
  end
  return best
end

-- ---- rows -----------------------------------------------------------------------------------------------------------------

local function label_of(place)
  if place.ground then return "ground" end
  return place.part or place.wheel or "place"
end

local function swept(list, way)
  if not way then return list end
  local out = {}
  for i, e in ipairs(list) do
    out[i] = envelopes.moved(e, poses.STILL)
    out[i].part.sweep = way
  end
  return out
end

local SHOWN = 3 -- reasons on a line: a group may hold dozens of parts without a shape

local function reasons(missing)
  if #missing <= SHOWN then return table.concat(missing, "; ") end
  return ("%s; and %d more"):format(table.concat(missing, "; ", 1, SHOWN), #missing - SHOWN)
end

-- The two points on the surfaces, between which the gap is: core.gap gives those without the roundings.
local function faces_of(best)
  local p, q, apart = best.p, best.q, 0
  for i = 1, 3 do apart = apart + (q[i] - p[i]) ^ 2 end
  apart = math.sqrt(apart)
  if not best.b then return p, q end -- down to the ground there are none to go back by
  local function out(from, to, part)
    local r = part.kind == "points" and part.radius or 0
    if r == 0 or apart == 0 then return from end
    local face = {}
    for i = 1, 3 do face[i] = from[i] + (to[i] - from[i]) * r / apart end
    return face
  end
  return out(p, q, best.a.part), out(q, p, best.b.part)
end

local function judge(row, missing)
  local mm = function(x) return text.fixed(math.abs(x), 1) .. " mm" end
  if not row.gap then
    row.status, row.why = "unknown", reasons(missing)
  elseif row.overlap then
    row.status, row.why = "fail", "they touch or overlap"
  elseif row.asked then
    local status, margin, _, what = verdicts.of(row.gap, row.sd, {min = row.asked})
    row.status, row.margin = status, margin
    row.why = status == "fail" and mm(margin) .. " short" or status == "near" and ("%s to spare, less than %s"):format(mm(margin), what)
      or mm(margin) .. " to spare"
    if status ~= "fail" and #missing > 0 then
      row.status, row.why = "unknown", "at most that: " .. reasons(missing)
    end
  else
    row.status, row.why = "unknown", "the file asks for no gap"
  end
end

local function row_of(c, spec, at, pose)
  local a, missing = envelopes.of(c, spec.a)
  local b, more = {}, {}
  if not spec.b.ground then b, more = envelopes.of(c, spec.b) end
  missing = table.move(more, 1, #more, #missing + 1, table.move(missing, 1, #missing, 1, {}))
  local row = {name = spec.name, a = label_of(spec.a), b = label_of(spec.b), asked = spec.asked, at = at, leaves = spec.leaves and true}
  local best, why
  if #a > 0 and (#b > 0 or spec.b.ground) then best, why = least(c, swept(a, spec.leaves), b, pose, spec.b.ground) end
  if why then missing = {why} end
  if best then
    row.gap, row.overlap = best.gap, best.overlap
    row.sd, row.found = core.gap_found(best.gap, spec.asked, placed(best.a, spec, "a"), best.p,
                                       best.b and placed(best.b, spec, "b"), best.q)
    row.nearest = {a = named_places.out(c, best.p), b = named_places.out(c, best.q)}
    local face_a, face_b = faces_of(best)
    row.faces = {a = named_places.out(c, face_a), b = named_places.out(c, face_b)}
    row.shapes = {a = best.a.part, b = best.b and best.b.part}
  end
  judge(row, missing)
  return row
end

local function rows_of(c, o)
  local rows = {}
  for _, name in ipairs(poses.asked(o.at)) do
    local specs = c.shared.spec.clearances or {}
    local pose = #specs > 0 and poses.of(c, name, o)
    for _, spec in ipairs(specs) do rows[#rows + 1] = row_of(c, spec, name, pose) end
  end
  return rows
end

-- What was assumed about moving things, and what must be checked on the car.
local function notes_of(c, o)
  local list, said = {}, {}
  for _, name in ipairs(poses.asked(o.at)) do
    local note = poses.note(c, name, o)
    if note and not said[note] then list[#list + 1], said[note] = note, true end
  end
  if #(c.shared.spec.clearances or {}) == 0 then list[#list + 1] = "the file states no clearances" end
  list[#list + 1] = "gaps between the shapes of the file: hoses, bolt heads and what bends or gets hot want room of their own"
  return list
end

-- The row that keeps least of what is asked.
local function tightest(rows)
  local worst
  for _, row in ipairs(rows) do
    if row.gap and (not worst or row.gap - (row.asked or 0) < worst.gap - (worst.asked or 0)) then worst = row end
  end
  return worst
end

local shapes_of = setmetatable({}, {__mode = "k"}) -- result -> {geometry =, [row] = {a, b}}, as measured

--- The outlines {a =, b =} in a view of draw/scene.lua of what a row was measured between, in the pose of that row; without the way on
-- which it leaves. b is nil for the ground, both are for a row without a gap.
function clearances.outlines(result, i, view)
  local kept, list = shapes_of[result], {}
  for key, part in pairs(kept[i] or {}) do
    local still = {}
    for field, value in pairs(part) do still[field] = value end
    still.sweep = nil
    list[key] = core.outline(still, kept.geometry, view)
  end
  return list
end

--- list of {name, a, b, gap, asked, margin, status, why, at, nearest, faces}, with `tightest` and the worst `status`
function clearances.of(c, self, o)
  o = named_places.check_fields(o, "car:clearances", options.known("shop", "clearances"))
  named_places.check_fields(o.rock, "rock", options.known("shop", "rock"))
  if o.steer ~= nil then o = {at = o.at, rock = o.rock, steer = named_places.number(o.steer, "deg", "steer")} end
  local rows = rows_of(c, o)
  local result = {status = verdicts.worst(rows), state = loading.title(c), heading = self:heading(), notes = notes_of(c, o), sd = {}}
  local shapes = {geometry = c.geometry}
  for i, row in ipairs(rows) do
    result[i] = row
    result.sd[i] = row.sd or 0
    shapes[i], row.found, row.shapes = row.shapes, nil, nil
  end
  shapes_of[result] = shapes
  local worst = tightest(rows)
  result.tightest = worst and worst.gap
  return origin.of_car(setmetatable(result, require "steelyard.shop.clearances.print"), c)
end

local kept = setmetatable({}, {__mode = "k"}) -- rows by car, for the answers below

-- The word for all gaps that the file asks for or that are not known, nil without a gap asked for, why the tightest known one is only
-- "at most that", and the row that is judged: the tightest where none stands worse.
local function judged(rows, tight)
  local asked, any, at_most = {}, false, nil
  for _, row in ipairs(rows) do
    any = any or row.asked ~= nil
    if row.asked or not row.gap then asked[#asked + 1] = row end
    if not row.gap then at_most = at_most or ("%s: %s"):format(row.name, row.why) end
  end
  local status, worst = verdicts.worst(asked)
  if not any then return nil, at_most end
  if tight.asked and tight.status == status then worst = tight end
  return status == "unknown" and status or ("%s >%s"):format(verdicts.mark[status], text.plain(worst.asked)), at_most, worst
end

local function kept_rows(c)
  local rows = kept[c] or rows_of(c, {})
  kept[c] = rows
  return rows
end

--- The car as limits and comparisons ask about its gaps as drawn; nil while none is known.
function clearances.asked(c)
  local list = {}
  for _, row in ipairs(kept_rows(c)) do list[#list + 1] = row.found end
  return #list > 0 and {now = c.now, geometry = c.geometry, gaps = core.join_found(list)} or nil
end

--- The same before anything is worked out: now, geometry and `gaps_from`, a list of {asked =, pairs = {{a, b or nil: the ground,
-- marks =}, ...}} of envelopes as core.gap takes them; nil while no gap can be found.
function clearances.gaps_from(c)
  local list = {}
  for _, spec in ipairs(c.shared.spec.clearances or {}) do
    local a, b, pairs_of = swept((envelopes.of(c, spec.a)), spec.leaves), {}, {}
    if not spec.b.ground then b = envelopes.of(c, spec.b) end
    for _, one in ipairs(a) do
      if spec.b.ground then pairs_of[#pairs_of + 1] = {one.part} end
      for _, other in ipairs(b) do
        pairs_of[#pairs_of + 1] = {one.part, other.part, marks = one.mark and other.mark and {one.mark, other.mark} or nil}
      end
    end
    if #pairs_of > 0 then list[#list + 1] = {asked = spec.asked, pairs = pairs_of} end
  end
  return #list > 0 and {now = c.now, geometry = c.geometry, gaps_from = list} or nil
end

--- What is said beside the tightest gap, {verdict, at_most, notes, other}: the worst word of all, for a gap that is not known may be
-- tighter; other: {name, value} of the gap that is judged when it is another. nil while none is known.
function clearances.verdict(c)
  local rows = kept_rows(c)
  local worst, notes = tightest(rows), {}
  for _, row in ipairs(rows) do
    if not row.gap then notes[#notes + 1] = ("%s: unknown, %s"):format(row.name, row.why) end
  end
  if not worst then return nil end
  notes[#notes + 1] = ("tightest gap, against what is asked: %s"):format(worst.name)
  local verdict, at_most, row = judged(rows, worst)
  local other = row and row ~= worst and {name = row.name, value = row.gap} or nil
  if other and row.status == "fail" then table.insert(notes, 1, ("%s: %s"):format(row.name, row.why)) end
  return {verdict = verdict, at_most = at_most, notes = notes, other = other}
end

return clearances
