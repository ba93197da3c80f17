--- car:hoist(what, o): how something hangs, what each leg carries, and where to hook it so that it hangs as it is to be fitted.
--
-- Statics by core/shop/hoist.h; results have nose up positive, as all pitches of a car. Uncertainties by moving each stated input by one
-- standard uncertainty either way.

local core = require "steelyard.core"
local item_mass = require "steelyard.car.item_mass"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local hoist = {}

-- Legs further from the upright than the first are warned of, than the second refused: at 60 deg a leg of two carries the whole
-- load, and a little more spread a lot more. Common practice; slings are rated for such angles by their makers.
local WARN, REFUSE = 45, 60
-- A leg that is slack by no more than this is one of rounded length, tight after a turn of its shackle or turnbuckle: four legs of whole
-- millimetres never pull all at once. Common practice, no source; a stated uncertainty of the length counts instead where it is larger.
local TAUT = 1 -- mm

-- A slung part that hangs farther than this from how it is to be fitted is not a lift to go on with unsaid: it has to be led in by hand.
-- Common practice, no source.
local OFF = 10 -- deg
local SPREAD = 30 -- deg from the upright at the widest leg, for lengths we choose ourselves

local ANY = 500 -- mm of a single leg: its length changes nothing

local function refuse(code, message, field, hint) core.fail{code = code, message = message, field = field, hint = hint} end

-- ---- what is asked ----------------------------------------------------------------------------------------------

local function read_points(c, list)
  if type(list) ~= "table" then refuse("missing", "are needed: where the legs hold on", "points",
    'write points = {{x, y, z}, ...} or names of points') end
  local points = named_places.list(c, list, "points")
  if #points < 1 or #points > 4 then refuse("range", ("are %d, one to four are possible"):format(#points), "points") end
  for i, point in ipairs(points) do
    for k = 1, i - 1 do
      if points[k].name == point.name then refuse("clash", ("%s is given twice"):format(point.name), ("points[%d]"):format(i)) end
    end
  end
  return points
end

local function read_legs(legs, points)
  if legs == nil then return nil end
  local list, count = {}, #points
  if type(legs) ~= "table" or getmetatable(legs) then
    for i = 1, count do list[i] = legs end -- one length for all
  else
    for i, point in ipairs(points) do list[i] = legs[i] == nil and legs[point.name] or legs[i] end
    if #legs > 0 then list = legs end
    if #list ~= count then refuse("clash", ("are %d for %s"):format(#list, text.count(count, "point")), "legs") end
  end
  local lengths, sd = {}, {}
  for i = 1, count do
    local field = ("legs[%d]"):format(i)
    lengths[i], sd[i] = named_places.number(list[i], "mm", field)
    if lengths[i] <= 0 then refuse("range", ("must be above 0 mm, is %s mm"):format(text.plain(lengths[i])), field) end
  end
  return lengths, sd
end

-- What is up in its own directions when it hangs as it is to be fitted (core/base/frame.h: the last row of the rotation).
local function fitting_up(words)
  if words == nil then return {0, 0, 1} end
  local way = require("steelyard.file.directions").read(words)
  local turn = way.turn or {}
  local shifted = way.forward ~= 0 or way.left ~= 0 or way.up ~= 0 or way.out ~= 0
  if not way.turn or turn.nose_left or turn.nose_right or shifted or way.about ~= nil then
    refuse("type", "is how it is to hang, such as {nose_down = 3, left_up = 1}", "hang")
  end
  local pitch = math.rad((turn.nose_down or 0) - (turn.nose_up or 0))
  local roll = math.rad((turn.left_up or 0) - (turn.right_up or 0))
  return {-math.sin(pitch), math.cos(pitch) * math.sin(roll), math.cos(pitch) * math.cos(roll)}
end

-- ---- vectors ----------------------------------------------------------------------------------------------------

local function dot(a, b) return a[1] * b[1] + a[2] * b[2] + a[3] * b[3] end
local function add(a, s, b) return {a[1] + s * b[1], a[2] + s * b[2], a[3] + s * b[3]} end
local function size(a) return math.sqrt(dot(a, a)) end

local function distances(points, hook)
  local list = {}
  for i, point in ipairs(points) do list[i] = size(add(hook, -1, point.at)) end
  return list
end

-- How far up the line through the CG a hook must be for legs within SPREAD of it.
local function height_for(points, cg, up)
  local height = 0
  for _, point in ipairs(points) do
    local arm = add(point.at, -1, cg)
    local along = dot(arm, up)
    height = math.max(height, along + size(add(arm, -along, up)) / math.tan(math.rad(SPREAD)))
  end
  return math.max(height, 1) -- mm: a hook at the CG itself is none
end

-- ---- how it hangs, with uncertainties ----------------------------------------------------------------------------------

local function hang(points, lengths, cg)
  local at = {}
  for i, point in ipairs(points) do at[i] = point.at end
  return core.sling{points = at, lengths = lengths, cg = cg}
end

-- What the uncertainties rest on: {get, set, sd} of each input with one. By a hook that is fixed the lengths follow from it.
local function inputs_of(setup)
  local list = {}
  local function input(t, i, sd) if sd > 0 then list[#list + 1] = {t = t, i = i, sd = sd} end end
  for i = 1, 3 do
    input(setup.cg, i, setup.cg_sd[i])
    for _, point in ipairs(setup.points) do input(point.at, i, point.sd[i]) end
    if setup.hook then input(setup.hook.at, i, setup.hook.sd[i]) end
  end
  for i, sd in ipairs(setup.lengths_sd or {}) do input(setup.lengths, i, sd) end
  return list
end

local function solve(setup)
  return hang(setup.points, setup.hook and distances(setup.points, setup.hook.at) or setup.lengths, setup.cg)
end

local function add_square(sums, key, up, down) sums[key] = (sums[key] or 0) + ((up - down) / 2) ^ 2 end

-- Standard uncertainties of pitch, roll and each leg's share.
local function uncertainties_of(setup, result)
  local sums = {}
  for _, input in ipairs(inputs_of(setup)) do
    local before = input.t[input.i]
    input.t[input.i] = before + input.sd
    local up_fine, up = pcall(solve, setup)
    input.t[input.i] = before - input.sd
    local down_fine, down = pcall(solve, setup)
    input.t[input.i] = before
    if up_fine and down_fine then
      add_square(sums, "pitch", up.pitch, down.pitch)
      add_square(sums, "roll", up.roll, down.roll)
      for i in ipairs(result.tension) do add_square(sums, i, up.tension[i], down.tension[i]) end
    end
  end
  for key, sum in pairs(sums) do sums[key] = math.sqrt(sum) end
  return sums
end

-- ---- judging ----------------------------------------------------------------------------------------------------

local function judge(result, status, why)
  result.status = verdicts.worse(result.status, status)
  table.insert(result.reasons, {status = status, why = why})
end

-- On a lift of two legs or more a slack one leaves its load to the others, and the slung part free to swing.
local function judge_slack(result)
  local tight, loose, nearly = {}, {}, {}
  for _, leg in ipairs(result.legs) do
    if leg.slack and leg.status == "near" then
      nearly[#nearly + 1] = ("%s by %s mm"):format(text.name(leg.point), text.fixed(leg.slack_by, 1))
    elseif not leg.slack then
      tight[#tight + 1] = ("%s kg on %s"):format(text.fixed(leg.tension, 1), text.name(leg.point))
      if leg.tension <= text.K95 * leg.sd.tension then loose[#loose + 1] = leg.point end
    end
  end
  if #result.slack > #nearly then
    judge(result, "fail", ("%s goes slack: %s"):format(text.join_names(result.slack), text.join(tight)))
  elseif #nearly > 0 then
    judge(result, "near", ("slack %s: tighten until it pulls, meanwhile %s"):format(text.join(nearly), text.join(tight)))
  elseif #result.legs > 1 and #loose > 0 then
    judge(result, "near", ("%s may go slack: it pulls less than its own +-"):format(text.join_names(loose)))
  end
end

-- How far it hangs from how it is to be fitted.
local function judge_attitude(result, up, want)
  local cosine = dot(up, want)
  result.off = math.deg(math.atan(size(add(up, -cosine, want)), cosine))
  if cosine <= 0 then
    judge(result, "fail", "it turns over: the points lie below its CG")
  elseif result.off > OFF then
    judge(result, "near", ("it hangs %s deg from how it is to be fitted, over %d it must be led in by hand"):format(
      text.fixed(result.off, 0), OFF))
  end
end

local function leg_rows(result, setup, found, uncertainties)
  local hook = found.hook
  for i, point in ipairs(setup.points) do
    local share, angle = found.tension[i], found.angle[i]
    local row = {point = point.name, at = named_places.out(setup.c, point.at), tension = share * result.mass,
                 angle = angle, slack = found.slack[i],
                 length = setup.hook and size(add(setup.hook.at, -1, point.at)) or setup.lengths[i]}
    row.sd = {tension = math.sqrt((share * result.sd.mass) ^ 2 + ((uncertainties[i] or 0) * result.mass) ^ 2)}
    result.legs[i] = row
    local by = row.length - size(add(hook, -1, point.at))
    row.slack_by = row.slack and by or nil
    local loose = row.slack and (by > math.max(TAUT, text.K95 * (setup.lengths_sd and setup.lengths_sd[i] or 0)) and "fail" or "near")
    row.status = loose or angle > REFUSE and "fail" or angle > WARN and "near" or "pass"
    if row.slack then result.slack[#result.slack + 1] = point.name end
    if row.status == "fail" and not row.slack then
      judge(result, "fail", ("the leg to %s stands %s deg from the upright, over %d is refused"):format(point.name, text.fixed(angle, 0),
        REFUSE))
    elseif row.status == "near" and not row.slack then
      judge(result, "near", ("the leg to %s stands %s deg from the upright, over %d is steep"):format(point.name, text.fixed(angle, 0),
        WARN))
    end
  end
  judge_slack(result)
end

local function read_boom(list)
  local boom = {}
  if type(list) ~= "table" then refuse("type", "is a list of {reach in mm, rating in kg}", "boom") end
  for i, line in ipairs(list) do
    local field = ("boom[%d]"):format(i)
    if type(line) ~= "table" then refuse("type", "must be {reach in mm, rating in kg}", field) end
    local named = {}
    for key, value in pairs(line) do if key ~= 1 and key ~= 2 then named[key] = value end end
    named_places.check_fields(named, field, options.known("shop", "boom_line"))
    boom[i] = {reach = named_places.number(line.reach or line[1], "mm", field), kg = named_places.number(line.kg or line[2], "kg", field)}
    if i > 1 and boom[i].reach <= boom[i - 1].reach then refuse("content", "must reach further than the line before it", field) end
  end
  if #boom == 0 then refuse("missing", "is empty", "boom") end
  return boom
end

-- The rating counts at the next longer position: booms are rated hole by hole.
local function put_boom(result, o)
  if o.boom == nil then
    if o.reach ~= nil then judge(result, "unknown", "the boom's ratings are not given") end
    return
  end
  local boom = read_boom(o.boom)
  result.boom = boom
  for _, line in ipairs(boom) do
    line.status, line.margin = verdicts.of(result.mass + result.tackle, result.sd.mass, {max = line.kg})
    line.used = false
  end
  if o.reach == nil then return judge(result, "unknown", "at which reach of the boom is not given") end
  local reach = named_places.number(o.reach, "mm", "reach")
  local rating
  for i = #boom, 1, -1 do
    if boom[i].reach >= reach then
      if boom[i + 1] then boom[i + 1].used = false end
      rating, boom[i].used = boom[i].kg, true
    end
  end
  if not rating then
    return judge(result, "fail", ("the boom is not rated beyond %s mm of reach"):format(text.plain(boom[#boom].reach)))
  end
  local load = result.mass + result.tackle
  local status, margin, _, what = verdicts.of(load, result.sd.mass, {max = rating})
  result.boom_margin = margin
  if status == "fail" then
    judge(result, status, ("%s kg on a boom rated %s kg at that reach"):format(text.fixed(load, 1), text.plain(rating)))
  elseif status == "near" then
    judge(result, status, ("%s kg under the boom's rating, less than %s"):format(text.fixed(margin, 1), what))
  end
end

-- Where the hook belongs, and how long the legs must be there.
local function put_fit(result, c, setup, found, up)
  local line = add(found.hook, -1, setup.cg)
  local along = setup.chosen and dot(line, up) or math.max(dot(line, up), height_for(setup.points, setup.cg, up) / 2)
  local hook = add(setup.cg, along, up)
  result.hook = named_places.out(c, hook)
  result.hook_shift = named_places.words(add(hook, -1, found.hook))
  local lengths = distances(setup.points, hook)
  local fine, fit = pcall(hang, setup.points, lengths, setup.cg)
  result.fit = {lengths = lengths}
  if #setup.points == 1 then
    local arm = add(setup.points[1].at, -1, setup.cg)
    result.fit.move_point = named_places.words(add(add(setup.cg, dot(arm, up), up), -1, setup.points[1].at))
  elseif fine then
    result.fit.pitch, result.fit.roll = -fit.pitch, fit.roll
    local cosine = dot(fit.up, up)
    result.fit.off = math.deg(math.atan(size(add(fit.up, -cosine, up)), cosine))
  end
end

local function why_of(result)
  for _, status in ipairs{"fail", "unknown", "near"} do
    local list = {}
    for _, reason in ipairs(result.reasons) do if reason.status == status then list[#list + 1] = reason.why end end
    if #list > 0 then return table.concat(list, "; ") end
  end
  return #result.legs == 1 and "one leg, upright" or ("legs within %d deg of the upright"):format(WARN)
end

local function read_setup(c, what, o, slung)
  local points = read_points(c, o.points)
  if o.legs ~= nil and o.hook ~= nil then refuse("clash", "stands beside legs: a fixed hook gives their lengths", "hook") end
  local lengths, lengths_sd = read_legs(o.legs, points)
  local setup = {c = c, points = points, lengths = lengths, lengths_sd = lengths_sd, cg = slung.cg, cg_sd = slung.cg_sd}
  if o.hook ~= nil then setup.hook = named_places.find(c, o.hook, "hook") end
  if not slung.cg then core.fail{code = "missing", part = what, message = "has no mass, so nothing hangs"} end
  return setup
end

local function hang_or_refuse(setup, label)
  local fine, found = pcall(solve, setup)
  if fine then return found end
  if type(found) ~= "table" then error(found, 0) end
  core.fail{code = found.code, message = found.message, part = found.part or label, kind = found.part and "" or nil, field = found.field}
end

--- car:hoist.
function hoist.of(c, self, what, o)
  o = named_places.check_fields(o, "car:hoist", options.known("shop", "hoist"))
  local slung = item_mass.of(c, what)
  local up = fitting_up(o.hang)
  local setup = read_setup(c, slung.label, o, slung)
  if not setup.lengths and not setup.hook then
    setup.chosen = true
    setup.lengths = #setup.points == 1 and {ANY} or distances(setup.points, add(setup.cg, height_for(setup.points, setup.cg, up), up))
  end
  local found = hang_or_refuse(setup, slung.label)
  local uncertainties = uncertainties_of(setup, found)
  local result = {what = slung.label, state = loading.title(c), heading = self:heading(), mass = slung.mass, tackle = 0,
    pitch = -found.pitch,
                  roll = found.roll, legs = {}, slack = {}, chosen = setup.chosen or false, status = "pass", reasons = {},
                  shared = found.shared, sd = {mass = slung.mass_sd, pitch = uncertainties.pitch or 0, roll = uncertainties.roll or 0}}
  if o.tackle ~= nil then result.tackle = named_places.number(o.tackle, "kg", "tackle") end
  if slung.unknown > 0 then judge(result, "unknown", ("%s of %s is not known"):format(text.count(slung.unknown, "mass", "masses"),
    slung.label)) end
  judge_attitude(result, found.up, up)
  leg_rows(result, setup, found, uncertainties)
  put_boom(result, o)
  put_fit(result, c, setup, found, up)
  result.why, result.reasons = why_of(result), nil
  result.cg, result.hangs_from = named_places.out(c, setup.cg), named_places.out(c, found.hook)
  result.parts = slung.paths
  result.notes = item_mass.notes(slung)
  return origin.of_car(setmetatable(result, require "steelyard.shop.hoist.print"), c)
end

return hoist
