--- car:shafts(travels?): half-shafts and propeller shafts, at ride height and over the travel of their wheels.
--
-- The inner joint moves and turns with its part, the outer one with its wheel: forward and back with the axle, up and down along
-- its path (upright unless the file gives a pivot or a table). A part that the wheels carry whole, such as a live axle, may hold
-- an outer joint too. Angles by core/shop/driveline.h, ripple by core/shop/cardan.h.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local origin = require "steelyard.print.origin"
local places = require "steelyard.car.shaft_places"
local row_check = require "steelyard.shop.shafts.row_check"
local sides = require "steelyard.file.sides"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local shafts = {}

-- Limits where the file states none: common practice, not a standard.
--   cv      10 deg standing: a workshop rule; 26 deg at most: what plunging tripods are made for, of fixed ball joints it is about
--           47 (unseel.com/engineering/cv-joint)
--   cardan  3 deg standing for freedom from vibration (a joint maker's working-angle rules); 6 deg at most ("Design Guidelines for
--           Drive Shaft Installation Angle", engineersedge.com); 3 deg for the one joint that turns as unevenly as the pair, an
--           unevenness of 0.27 % (a shaft maker asks for 0.0027: elbe-group.de, technical notes 3)
local usual = {cv = {static = 10, worst = 26}, cardan = {static = 3, worst = 6, pair = 3}}
local LEAST_CARDAN = 0.5 -- deg: below it the needles of a Cardan joint do not turn (the same working-angle rules)

local COMMON = "common practice"

-- {droop =, bump =} of the wheel that a shaft goes with, from what the caller or the file says; nil where not known. And what each is
-- called as an error: one that the axle states is the same for both its wheels.
local function travels_for(c, place, asked)
  local axle = place.axle
  if not axle then return {droop = 0, bump = 0}, {} end -- nothing moves
  local side, travel, keys = sides.beside(place.outer.filed[2]), {}, {}
  local set = c.heights_set and require("steelyard.car.ride_height").height_at(c, axle, side) or 0 -- lowered: less bump is left, more droop
  for field, more in pairs{droop = -set, bump = set} do
    local value, sd, who = sides.travel(c.axles[axle], side, field)
    travel[field], travel[field .. "_sd"] = asked[field] or value and value + more, not asked[field] and sd or nil
    keys[field] = ("%s %s%s"):format(c.axles[axle].name, who and who .. " " or "", field)
  end
  return travel, keys
end

local units = {["plunge"] = "mm", ["plunge from the cut length"] = "mm"}

-- One check of a shaft: {what, unit, value, sd, limit, basis, status, margin}.
local function judge(row, what, value, sd, limit, common)
  local check = {what = what, unit = units[what] or "deg", value = value, sd = sd, limit = limit or common,
                 basis = limit and "file" or COMMON}
  if not check.limit then
    check.status = "unknown"
  elseif value then
    check.status, check.margin, check.bound, check.near = verdicts.of(value, sd, {max = check.limit})
  else
    check.status = "unknown"
  end
  row.checks[#row.checks + 1] = check
  return check
end

shafts.check = row_check.named

-- "worst angle 12.2 deg, 0.2 over the limit of 12"
local function why_of(check)
  local value = ("%s %s %s"):format(check.what, text.fixed(check.value, 1), check.unit)
  local limit = ("%s%s"):format(text.plain(check.limit), check.basis == COMMON and " (common practice)" or "")
  local by = text.fixed(math.abs(check.margin), 1)
  if check.status == "fail" then return ("%s, %s over the limit of %s"):format(value, by, limit) end
  return ("%s, %s inside %s, less than %s"):format(value, by, limit, check.near)
end

-- What the checks come to, worst first; a plunge without an allowance is reported beside and spoils no angle.
local function conclude(row)
  local reasons, common, list = {fail = {}, near = {}, unknown = {}}, false, {}
  row.status = "pass"
  for _, check in ipairs(row.checks) do
    if check.status == "fail" or check.status == "near" then
      table.insert(reasons[check.status], why_of(check))
    elseif check.status == "unknown" and not check.aside then
      table.insert(reasons.unknown, check.why)
    end
    common = common or check.basis == COMMON and check.limit ~= nil
    if not check.aside then row.status = verdicts.worse(row.status, check.status) end
  end
  for _, status in ipairs{"fail", "near", "unknown"} do table.move(reasons[status], 1, #reasons[status], #list + 1, list) end
  if #list == 0 then
    list[1] = common and "inside limits of common practice" or "inside its limits"
    for _, check in ipairs(row.checks) do list[#list + 1] = check.aside and check.why or nil end
  end
  row.why = table.concat(list, "; ")
end

local function pose_row(c, pose, reference)
  return {inner = pose.inner, outer = pose.outer, length = pose.length, plunge = pose.length - reference,
          outer_at = named_places.out(c, pose.outer_at)}
end

local function put_cardan(row, shaft, ride)
  local twist = (shaft.phase or 0) - ride.planes
  local pair = core.cardan_pair(ride.inner, ride.outer, twist)
  row.equivalent_angle = pair
  row.ripple, row.lead = {}, {}
  for joint, angle in pairs{inner = ride.inner, outer = ride.outer, both = pair} do
    local _, _, ripple, lead = core.cardan(angle)
    row.ripple[joint], row.lead[joint] = ripple, lead
  end
  judge(row, "equivalent angle", pair, nil, nil, usual.cardan.pair)
  if math.min(ride.inner, ride.outer) < LEAST_CARDAN then
    row.notes[#row.notes + 1] = ("%s: a Cardan joint below %s deg does not turn its needles (common practice)"):format(row.name,
      text.plain(LEAST_CARDAN))
  end
end

-- Length over the travel: what the joints have to take up, and where the shaft should be cut.
local function put_plunge(row, shaft, swept)
  local longest, shortest = swept.longest, swept.shortest
  row.plunge_used = longest.length - shortest.length
  row.sd.plunge_used = swept.sd.plunge
  row.cut_for = (longest.length + shortest.length) / 2
  local check = judge(row, "plunge", row.plunge_used, row.sd.plunge_used, shaft.plunge_limit)
  check.aside = not shaft.plunge_limit
  check.why = "the plunge its joints allow is not given"
  row.plunge_status = check.status
  if shaft.cut_length and shaft.plunge_limit then
    -- cut so that the joints stand in the middle of their plunge: half of it is there either way
    local off = math.max(math.abs(longest.length - shaft.cut_length), math.abs(shortest.length - shaft.cut_length))
    row.plunge_status = verdicts.worse(row.plunge_status,
      judge(row, "plunge from the cut length", off, nil, shaft.plunge_limit / 2).status)
  end
end

local function put_travel(row, shaft, swept)
  local worst = swept.worst
  row.worst_angle, row.worst_at = worst.angle, {travel = worst.travel, joint = worst.joint, steer = worst.steer ~= 0 and worst.steer or nil}
  row.sd.worst_angle = swept.sd.worst_angle
  judge(row, "worst angle", row.worst_angle, row.sd.worst_angle, shaft.worst_limit, usual[shaft.joint].worst)
  put_plunge(row, shaft, swept)
end

local function put_unknown(row, what, why) judge(row, what, nil).why = why end

-- Both joints' uncertain coordinates.
local function errors_of(place)
  return table.move(place.outer.errors, 1, #place.outer.errors, #place.inner.errors + 1, {table.unpack(place.inner.errors)})
end

-- What core.shaft takes; then the travels as known, nil without.
local function question(c, shaft, place, asked)
  local travel, keys = travels_for(c, place, asked)
  local known = travel.droop and travel.bump
  return {inner = place.inner.at, inner_axis = place.inner.axis, outer = place.outer.at,
    outer_axis = place.outer.axis, path = place.axle and place.path or "still", steer = shaft.outer.steer, travels = asked.list,
    droop = known and travel.droop, bump = known and travel.bump, droop_sd = travel.droop_sd, bump_sd = travel.bump_sd,
    droop_key = keys.droop, bump_key = keys.bump, errors = errors_of(place)}, travel, known
end

local function compute(c, shaft, place, asked, row)
  local q, travel, known = question(c, shaft, place, asked)
  local fine, swept, found = pcall(core.shaft, q)
  if not fine then
    if type(swept) ~= "table" or (swept.code ~= "geometry" and swept.code ~= "range") then error(swept, 0) end
    row.status, row.why = "fail", ("%s %s"):format(swept.part or "it", swept.message)
    return
  end
  local ride = swept.ride
  local reference = shaft.cut_length or ride.length
  row.at = {ride = pose_row(c, ride, reference)}
  row.inner_at = named_places.out(c, place.inner.at)
  row.listed = {}
  for i, x in ipairs(asked.list or {}) do
    row.listed[i] = pose_row(c, swept[i], reference)
    row.listed[i].travel = x
  end
  row.found = found
  row.static_angle, row.sd.static_angle = math.max(ride.inner, ride.outer), swept.sd.static_angle
  row.offset = places.offset(place)
  judge(row, "static angle", row.static_angle, row.sd.static_angle, shaft.static_limit, usual[shaft.joint].static)
  if known then
    row.at.droop, row.at.bump = pose_row(c, swept.droop, reference), pose_row(c, swept.bump, reference)
    row.travels = travel
    put_travel(row, shaft, swept)
  else
    local missing = {}
    for _, way in ipairs{"droop", "bump"} do if not travel[way] then missing[#missing + 1] = way end end
    put_unknown(row, "worst angle", ("%s axle has no %s, so nothing is known of its travel"):format(c.axles[place.axle].name,
      text.join(missing, "or")))
  end
  if shaft.joint == "cardan" then put_cardan(row, shaft, ride) end
  conclude(row)
end

local function row_of(c, shaft, asked)
  local row = {name = shaft.name, joint = shaft.joint, side = places.side(c, shaft), sd = {}, notes = {}, checks = {},
               cut_length = shaft.cut_length}
  local place, why = places.find(c, shaft)
  if place then compute(c, shaft, place, asked, row)
  else row.status, row.why = "unknown", why end
  return row
end

local function check_travel(name, x)
  if x == nil then return end
  if type(x) ~= "number" or not (x >= 0 and x < math.huge) then
    core.fail{code = type(x) == "number" and "range" or "type", message = "must be 0 mm or more", field = "travels." .. name,
              hint = "droop and bump are how far the wheel goes down and up"}
  end
end

-- {droop =, bump =, list = {...}} from the argument {travels = {droop = 60, bump = 60}}, or {travels = {-60, -30, 30}}, up positive.
local function read_request(o)
  if o == nil then return {} end
  if type(o) ~= "table" then core.fail{code = "type", message = "car:shafts takes a table such as {travels = {droop = 60, bump = 60}}"} end
  for key in pairs(o) do
    if key ~= "travels" then
      core.fail{code = "unknown", message = ("car:shafts has no field %s"):format(text.named(key)),
        hint = type(key) == "string" and core.nearest(key, {"travels"}) and 'did you mean "travels"?'
          or "it takes travels = {droop =, bump =}"}
    end
  end
  if o.travels ~= nil and type(o.travels) ~= "table" then
    core.fail{code = "type", message = "are droop =, bump = and a list of travels, all in mm", field = "travels"}
  end
  local asked = {list = {}}
  for key, x in pairs(o.travels or {}) do
    if key == "droop" or key == "bump" then check_travel(key, x)
    elseif type(key) == "string" then
      local near = core.nearest(key, {"droop", "bump"})
      core.fail{code = "unknown", field = "travels", message = ("has no %s"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are droop and bump"}
    elseif math.type(key) ~= "integer" or type(x) ~= "number" or x ~= x or math.abs(x) == math.huge then
      core.fail{code = "type", message = "are droop =, bump = and a list of travels, all in mm", field = "travels"}
    end
  end
  if o.travels then asked.droop, asked.bump = o.travels.droop, o.travels.bump end
  for i, x in ipairs(o.travels or {}) do asked.list[i] = x end
  return asked
end

--- All shafts of the inside of a car.
function shafts.rows(c, asked)
  local rows = {}
  for i, shaft in ipairs(c.shared.spec.shafts or {}) do rows[i] = row_of(c, shaft, asked or {}) end
  return rows
end

local GOVERNS = "the joint maker's limit at that torque and speed governs"

local function notes_of(c, rows)
  local list, exact, common = {}, 0, false
  for _, row in ipairs(rows) do
    table.move(row.notes, 1, #row.notes, #list + 1, list)
    if row.sd.static_angle == 0 then exact = exact + 1 end
    for _, check in ipairs(row.checks) do
      common = common or check.basis == COMMON and check.limit ~= nil
      if check.aside then list[#list + 1] = ("%s: %s"):format(row.name, check.why) end
    end
  end
  if exact > 0 then
    list[#list + 1] = ("the joint places of %s have no stated uncertainty and count as exact"):format(text.count(exact, "shaft"))
  end
  if common then list[#list + 1] = "limits the file does not state are common practice" end
  if #rows == 0 then list[#list + 1] = "the file states no shafts" end
  if #rows > 0 then list[#list + 1] = GOVERNS end
  return table.move(c.shared.spec.notes or {}, 1, #(c.shared.spec.notes or {}), #list + 1, list)
end

--- car:shafts().
function shafts.of(c, self, o)
  local result = shafts.rows(c, read_request(o))
  result.notes = notes_of(c, result)
  result.state, result.heading, result.sd = loading.title(c), self:heading(), {}
  result.status = verdicts.worst(result)
  for i = 1, #result do
    local row = result[i]
    if row.worst_angle and (not result.worst_angle or row.worst_angle > result.worst_angle) then
      result.worst_angle, result.sd.worst_angle = row.worst_angle, row.sd.worst_angle
    end
    row.notes, row.found = nil, nil
    for _, check in ipairs(row.checks) do check.aside, check.bound, check.near, check.sd = nil, nil, nil, nil end
  end
  return origin.of_car(setmetatable(result, require "steelyard.shop.shafts.print"), c)
end

-- ---- as quantities --------------------------------------------------------------------------------------------------

local rows_of = setmetatable({}, {__mode = "k"}) -- of each car asked

local fields = {["shafts.static_angle"] = {"static_angle", "static angle"}, ["shafts.worst_angle"] = {"worst_angle", "worst angle"},
                ["shafts.plunge"] = {"plunge_used", "plunge"}}

local function verdict_text(check)
  if check.status == "unknown" or not check.limit then return "unknown" end
  return ("%s <%s"):format(verdicts.mark[check.status], text.plain(check.limit))
end

local function quantity_notes(rows)
  local list = {}
  for _, row in ipairs(rows) do
    if row.status == "unknown" and not row.at then list[#list + 1] = ("%s: unknown, %s"):format(row.name, row.why) end
    for _, check in ipairs(row.checks) do
      if check.aside then list[#list + 1] = ("%s: %s"):format(row.name, check.why) end
    end
  end
  list[#list + 1] = GOVERNS
  return list
end

local function kept_rows(c)
  local rows = rows_of[c]
  if not rows then
    rows = shafts.rows(c)
    rows_of[c] = rows
  end
  return rows
end

--- Where the outer joints lie, in words, for sy.compare.
function shafts.words(c)
  local list, seen = {}, {}
  for _, row in ipairs(kept_rows(c)) do
    if row.offset and not seen[row.offset] then
      seen[row.offset] = true
      list[#list + 1] = row.offset
    end
  end
  return #list > 0 and {value = table.concat(list, "; ")} or nil
end

--- The car as limits and comparisons ask about its shafts; nil while one is unknown.
function shafts.asked(c)
  local list = {}
  for i, row in ipairs(kept_rows(c)) do
    if not row.found then return nil end
    list[i] = row.found
  end
  return #list > 0 and {now = c.now, geometry = c.geometry, shafts = core.join_found(list)} or nil
end

--- The same before anything is worked out: now, geometry and `joints`, a list of what core.shaft takes; nil while a joint is not known.
function shafts.joints(c)
  local list = {}
  for i, shaft in ipairs(c.shared.spec.shafts or {}) do
    local place = places.find(c, shaft)
    if not place then return nil end
    list[i] = question(c, shaft, place, {})
  end
  return #list > 0 and {now = c.now, geometry = c.geometry, joints = list} or nil
end

--- What is said beside one of these quantities, {verdict, notes, other}: the word of the shaft that stands worst to its limit, the one
-- with the largest where it stands no better; other: {name, value} of the shaft that is judged when it is another. nil while one is
-- unknown.
function shafts.verdict(c, name)
  local rows = kept_rows(c)
  local field, what = fields[name][1], fields[name][2]
  local largest
  for _, row in ipairs(rows) do
    if not row[field] then return nil end
    if not largest or row[field] > largest[field] then largest = row end
  end
  if not largest then return nil end
  local status, judged = verdicts.worst(rows, function(row) return shafts.check(row, what).status end)
  if shafts.check(largest, what).status == status then judged = largest end
  local check, notes = shafts.check(judged, what), quantity_notes(rows)
  if status == "fail" and judged ~= largest then table.insert(notes, 1, ("%s: %s"):format(judged.name, why_of(check))) end
  return {verdict = verdict_text(check), notes = notes, other = judged ~= largest and {name = judged.name, value = judged[field]} or nil}
end

return shafts
