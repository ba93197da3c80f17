--- sy.plan_lift{...}: how high to lift, how often, what touches first, before anybody picks up a jack; see options/lift.lua.
--
-- The readings of the plan are made up exactly and fitted like real ones (core/measure/cgheight.h): the uncertainty of that fit is
-- what the real session will have, as far as pads, lifts and radii are as good as stated.

local core = require "steelyard.core"
local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"
local read = require "steelyard.measure.cg_height.read"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local plan_lift = {}
local Plan = require("steelyard.reference.results").kind "lift_plan"
local refuse, number = measurement.refuse, measurement.number

local WHERE = "plan"
local STEEPEST = 20  -- deg: higher than any axle needs to go; straps, liquids and nerves end before
local STEP = 10      -- mm: lifts are stated in these
local MARGIN = 20    -- mm kept free under what would touch
local MOST_REPEATS = 8

-- ---- reading ------------------------------------------------------------------------------------------------------------

local function read_pads(p, t)
  if t.pads == nil then refuse(WHERE, "pads", "missing", "is missing", "as in pads = {sd = 0.1, step = 0.1}, kg") end
  local pads = measurement.fields(t.pads, options.names("lift", "plan_pads"), WHERE .. ", pads")
  local sd = number(pads, "sd", "kg", {min = 0}, WHERE, "pads.sd")
  local step = number(pads, "step", "kg", {above = 0}, WHERE, "pads.step")
  if not (sd or step) then refuse(WHERE, "pads.sd", "missing", "is missing") end
  p.pad = math.sqrt((sd or 0) ^ 2 + (step or 0) ^ 2 / 12)
  if p.pad == 0 then refuse(WHERE, "pads.sd", "range", "must be above 0 kg: no scale is exact") end
end

local function read_low_points(p, t)
  p.low = {}
  for i, given in ipairs(measurement.list(t, "low_points", WHERE) or {}) do
    local where = ("low point %d"):format(i)
    local point = measurement.fields(given, options.names("lift", "low_point"), where)
    local place = read.point({at = {back = point.back, forward = point.forward, height = point.height}}, "at", where)
    if place[2] < 0 then refuse(where, "height", "range", "lies under the ground") end
    p.low[i] = {name = measurement.text(point, "name", where) or where, back = place[1], height = place[2]}
  end
end

local function read_uncertainties(p, t)
  local sd = t.sd == nil and {} or measurement.fields(t.sd, options.names("lift", "plan_sd"), WHERE .. ", sd")
  local function get(key, unit) return (number(sd, key, unit, {min = 0}, WHERE, "sd." .. key)) or 0 end
  p.lift_sd, p.zero = get("lift", "mm"), get("zero", "kg")
  local radius, wheelbase = get("radius", "mm"), get("wheelbase", "mm")
  for i = 1, 2 do p.radius_sd[i] = p.radius_sd[i] or radius end
  p.wheelbase_sd = p.wheelbase_sd or wheelbase
end

-- What the level car puts on its pads: how each axle shares its load left and right.
local function read_corners(p, t)
  if t.corners == nil then return end
  local given = measurement.fields(t.corners, options.names("lift", "corner_loads"), WHERE .. ", corners")
  p.left = {}
  for i, keys in ipairs{{"lf", "rf"}, {"lr", "rr"}} do
    local load = {}
    for k, key in ipairs(keys) do load[k] = number(given, key, "kg", {min = 0, max = 1e5, need = true}, WHERE, "corners." .. key) end
    if load[1] + load[2] <= 0 then refuse(WHERE, "corners." .. keys[1], "range", "and the other of its axle are 0") end
    p.left[i] = load[1] / (load[1] + load[2])
  end
end

-- Lifts to say the pads' readings for, instead of the plan's own steps.
local function read_lifts(p, t)
  local given = measurement.list(t, "lifts", WHERE)
  if not given then return end
  p.lifts = {}
  for i = 1, #given do
    p.lifts[i] = number(given, i, "mm", {min = 0, max = 1e6}, WHERE, ("lifts[%d]"):format(i))
    local tilt, why = 0, nil
    if p.lifts[i] > 0 then tilt, why = core.lift_tilt({wheelbase = p.wheelbase, radius = p.radius, lifted = p.lifted}, p.lifts[i]) end
    if not tilt then refuse(WHERE, ("lifts[%d]"):format(i), "geometry", why) end
  end
end

local function read_plan(t)
  measurement.fields(t, options.names("lift", "plan_lift"), WHERE)
  local p = {title = measurement.text(t, "title", WHERE), state = measurement.text(t, "state", WHERE)}
  p.within = number(t, "within", "mm", {above = 0, need = true}, WHERE)
  p.lifted = measurement.text(t, "lifted", WHERE, {"rear", "front"}) or "rear"
  p.wheelbase, p.wheelbase_sd = number(t, "wheelbase", "mm", {above = 0, need = true, max = 1e6}, WHERE)
  if t.radii == nil then refuse(WHERE, "radii", "missing", "is missing", "as in radii = {front = 290, rear = 305}") end
  p.radius, p.radius_sd = read.pair(t, "radii", "mm", {above = 0, need = true, max = 1e6}, WHERE)
  p.mass = number(t, "mass", "kg", {above = 0, need = true, max = 1e5}, WHERE)
  p.front_share = number(t, "front_share", "%", {above = 0, max = 100}, WHERE) or 50
  p.height = number(t, "height", "mm", {above = 0, max = 1e6}, WHERE) or math.max(p.radius[1], p.radius[2]) + 50
  p.steps = number(t, "steps", "", {min = 1, max = 10}, WHERE) or 4
  if p.steps % 1 ~= 0 then refuse(WHERE, "steps", "range", "must be a whole number") end
  p.most = number(t, "most", "mm", {above = 0, max = 1e6}, WHERE)
  read_pads(p, t)
  p.load = p.pad * 2 ^ 0.5 -- two pads under an axle
  read_low_points(p, t)
  read_uncertainties(p, t)
  read_corners(p, t)
  read_lifts(p, t)
  return p
end

-- ---- a session that has not been -----------------------------------------------------------------------------------------------

local function car_of(p) return {wheelbase = p.wheelbase, radius = p.radius, lifted = p.lifted} end

-- Level, up by equal steps and down again, so many times; the axle that stays is read, at level both.
local function made_up(p, lift, repeats)
  local list, front = {}, p.mass * p.front_share / 100
  local stays = p.lifted == "rear" and 1 or 2
  for again = 1, repeats do
    for way = 1, 2 do
      for k = 0, p.steps do
        local step = way == 1 and k or p.steps - k
        local tilt = step > 0 and core.lift_tilt(car_of(p), lift * step / p.steps) or 0
        local load = core.lift_load(car_of(p), p.mass, front, p.height, tilt)
        local loads = {load, p.mass - load}
        if step > 0 then loads[3 - stays] = nil end
        list[#list + 1] = {run = 2 * (again - 1) + way, lifted = p.lifted, lift = lift * step / p.steps,
                           lift_sd = step > 0 and p.lift_sd or 0, load = loads, load_sd = {p.load, p.load}}
      end
    end
  end
  return list
end

-- Half-width of the 95 % and what it is made of; asked again it is what it was.
local function uncertainty_at(p, lift, repeats)
  local known = p.known[repeats] or {}
  p.known[repeats] = known
  if not known[lift] then
    local r = core.cg_height{wheelbase = p.wheelbase, radius = p.radius, wheelbase_sd = p.wheelbase_sd, radius_sd = p.radius_sd,
      drift = p.zero, runs = 2 * repeats, readings = made_up(p, lift, repeats)}
    known[lift] = {text.K95 * r.u_height, r.sources}
  end
  return known[lift][1], known[lift][2]
end

local function highest(p)
  local lift = math.floor(core.lift_of_tilt(car_of(p), STEEPEST) / STEP) * STEP
  return p.most and math.min(p.most, lift) or lift
end

local GUESSES = 3 -- before halving: where other sources than the pads count, guesses come near slowly

-- The least lift, in steps, that does it with so many repeats; nil when none does. The uncertainty falls as the lift grows, by the pads
-- as 1 / lift, and with each repeat: so what `fewer` repeats need ({repeats, lift}, or nil) is enough.
local function least_lift(p, repeats, fewer)
  local low, high = 0, math.floor((fewer and fewer.lift or highest(p)) / STEP)
  if high < 1 then return nil end
  local half = fewer and fewer.half_width * math.sqrt(fewer.repeats / repeats) or uncertainty_at(p, high * STEP, repeats)
  if half > p.within then return nil end
  local at, asked = high, 0
  while high - low > 1 do
    local guess = math.ceil(at * half / p.within)
    at = asked < GUESSES and math.max(low + 1, math.min(high - 1, guess)) or (low + high) // 2
    half, asked = uncertainty_at(p, at * STEP, repeats), asked + 1
    if half <= p.within then high = at else low = at end
  end
  return high * STEP
end

-- ---- what touches -----------------------------------------------------------------------------------------------------------------

-- The lift at which a point comes to the ground, or nil up to the highest.
local function touch_lift(p, point)
  local function clear(lift)
    return core.lift_point(car_of(p), point.back, point.height, core.lift_tilt(car_of(p), lift))
  end
  local low, high = 0, core.lift_of_tilt(car_of(p), STEEPEST)
  if clear(high) > 0 then return nil end
  while high - low > 0.1 do
    local middle = (low + high) / 2
    if clear(middle) > 0 then low = middle else high = middle end
  end
  return low
end

local function add_touches(result, p, lift)
  local deepest = math.huge
  result.touches = {}
  for _, point in ipairs(p.low) do
    local at = touch_lift(p, point)
    result.touches[#result.touches + 1] = {point = point.name, back = point.back, height = point.height, lift = at}
    deepest = math.min(deepest, core.lift_point(car_of(p), point.back, point.height, core.lift_tilt(car_of(p), lift)))
  end
  table.sort(result.touches, function(a, b)
    if (a.lift or math.huge) ~= (b.lift or math.huge) then return (a.lift or math.huge) < (b.lift or math.huge) end
    return core.before(a.point, b.point)
  end)
  result.blocks = deepest < MARGIN and math.ceil((MARGIN - deepest) / STEP) * STEP or 0
end

-- ---- what the pads will read ------------------------------------------------------------------------------------------------------

local function front_at(p, tilt, height)
  return core.lift_load(car_of(p), p.mass, p.mass * p.front_share / 100, height, tilt)
end

-- By the height that the plan assumes; a pitch leaves how an axle shares its load left and right.
local function expected_at(p, lift)
  local tilt = lift > 0 and core.lift_tilt(car_of(p), lift) or 0
  local front, higher = front_at(p, tilt, p.height), front_at(p, tilt, p.height + 10)
  local row = {lift = lift, angle = tilt, front = front, rear = p.mass - front,
               per_10_mm = p.lifted == "rear" and higher - front or front - higher}
  if p.left then
    row.lf, row.rf = p.left[1] * row.front, (1 - p.left[1]) * row.front
    row.lr, row.rr = p.left[2] * row.rear, (1 - p.left[2]) * row.rear
  end
  return row
end

local function add_expected(result, p)
  local lifts = p.lifts
  if not lifts then
    lifts = {}
    for k = 0, p.steps do lifts[k + 1] = result.lift * k / p.steps end
  end
  result.expected, result.expected_height = {}, p.height
  for i, lift in ipairs(lifts) do result.expected[i] = expected_at(p, lift) end
end

-- ---- the plan -----------------------------------------------------------------------------------------------------------------------

local source_words = {loads = "the pads", lifts = "the lifts", ["front radius"] = "the front loaded radius", drift = "zeros that drift",
                      ["rear radius"] = "the rear loaded radius", wheelbase = "the wheelbase", mass = "the mass"}

local function limited_by(sources)
  local top, sum = nil, 0
  for _, source in ipairs(sources) do
    sum = sum + source.u ^ 2
    if not top or source.u > top.u then top = source end
  end
  return source_words[top.source], sum > 0 and 100 * top.u ^ 2 / sum or 0
end

local function choices(result, p)
  result.choices = {}
  for _, repeats in ipairs{1, 2, 4, MOST_REPEATS} do
    local lift = least_lift(p, repeats, result.choices[#result.choices])
    if lift then
      result.choices[#result.choices + 1] = {repeats = repeats, lift = lift, angle = core.lift_tilt(car_of(p), lift),
                                             half_width = (uncertainty_at(p, lift, repeats))}
    end
  end
end

-- How good the pads must be for one session up to the lift at which something touches, or the highest: the other uncertainties stay.
local function pads_needed(result, p)
  local free = highest(p)
  for _, touch in ipairs(result.touches) do free = math.min(free, touch.lift and touch.lift - MARGIN or free) end
  free = math.floor(free / STEP) * STEP
  if free < STEP then return end
  local loads, others = 0, 0
  local _, sources = uncertainty_at(p, free, 1)
  for _, source in ipairs(sources) do
    if source.source == "loads" then loads = source.u ^ 2 else others = others + source.u ^ 2 end
  end
  local left = (p.within / text.K95) ^ 2 - others
  if left > 0 then result.pads_needed = {lift = free, sd = p.pad * math.sqrt(left / loads)} end
end

local function build(p)
  p.known = {}
  local result = {title = p.title, state = p.state or "as it will be weighed", within = p.within, lifted = p.lifted, steps = p.steps,
                  sd = {}, notes = {}}
  result.heading = ("Plan for %s, %s"):format(p.title or "a CG height", result.state)
  choices(result, p)
  local best = result.choices[1]
  result.possible = best ~= nil
  result.lift = best and best.lift or highest(p)
  result.repeats = best and best.repeats or MOST_REPEATS
  result.angle = core.lift_tilt(car_of(p), result.lift)
  local half, sources = uncertainty_at(p, result.lift, result.repeats)
  result.half_width, result.sd.height = half, half / text.K95
  result.limited_by, result.limited_share = limited_by(sources)
  add_touches(result, p, result.lift)
  pads_needed(result, p)
  add_expected(result, p)
  result.pad = p.pad
  local exact = {}
  if p.lift_sd == 0 then exact[#exact + 1] = "lifts" end
  if p.radius_sd[1] == 0 or p.radius_sd[2] == 0 then exact[#exact + 1] = "radii" end
  if p.wheelbase_sd == 0 then exact[#exact + 1] = "wheelbase" end
  result.notes[1] = measurement.exact_note(exact)
  if #p.low == 0 then result.notes[#result.notes + 1] = "no low points given: nothing is said about what touches" end
  result.notes[#result.notes + 1] = require("steelyard.measure.cg_height.remarks").CAUTION
  return setmetatable(result, Plan)
end

--- The plan from fields.
function plan_lift.of(t) return build(read_plan(t)) end

--- The same with pads, lifts and radii as they were in a session (measure/cg_height/read.lua) and its result.
function plan_lift.after(result, s, within)
  if s.side then refuse(WHERE, "lifted", "clash", "must be an axle; this session lifted a side") end
  local lifted = "rear"
  for _, r in ipairs(s.readings) do
    if r.lift > 0 then lifted = s.ends[r.lifted] end
  end
  local p = read_plan{within = within, pads = {sd = result.sd.pad or s.readings[1].load_sd[1] or s.readings[1].load_sd[2]}, lifted = lifted,
    wheelbase = s.wheelbase, radii = {front = s.radius[1], rear = s.radius[2]}, mass = result.mass, front_share = result.front_share,
    height = result.height, title = s.title, state = s.state}
  p.load = p.pad * s.readings[1].pads[3 - (lifted == "rear" and 2 or 1)] ^ 0.5 -- as many pads under it as there were
  p.lift_sd = s.by ~= "angle" and s.lift_sd or 0
  p.radius_sd, p.wheelbase_sd, p.zero = {s.radius_sd[1] or 0, s.radius_sd[2] or 0}, s.wheelbase_sd or 0, s.zero or 0
  return build(p)
end

-- ---- printed ------------------------------------------------------------------------------------------------------------------------

local number_words = {"one step", "two steps", "three steps", "four steps", "five steps", "six steps"}
local times = {[1] = "once", [2] = "twice", [4] = "four times", [8] = "eight times"}

local function mm(x) return text.fixed(x, 0) end

local function first_line(r)
  local steps = number_words[r.steps] or r.steps .. " steps"
  local pads = ("Pads good to %s kg each, level and %s up and down"):format(text.plain(tonumber(text.fixed(r.pad, 3))), steps)
  if not r.possible then
    return ("%s, %s: even %s mm (%s deg) gives +- %s mm. What limits it is %s, %s %% of the uncertainty"):format(pads, times[r.repeats],
      mm(r.lift), text.fixed(r.angle, 1), text.fixed(r.half_width, 1), r.limited_by, mm(r.limited_share))
  end
  return ("%s, %s: lift the %s %s mm (%s deg) for +- %s mm. What limits it is %s, %s %% of the uncertainty"):format(pads, times[r.repeats],
    r.lifted, mm(r.lift), text.fixed(r.angle, 1), text.fixed(r.half_width, 1), r.limited_by, mm(r.limited_share))
end

local function others(r)
  local parts = {}
  for i = 2, #r.choices do
    local c = r.choices[i]
    parts[#parts + 1] = ("%s mm (%s deg) done %s"):format(mm(c.lift), text.fixed(c.angle, 1), times[c.repeats])
  end
  return #parts > 0 and "The same from " .. text.join(parts, "or") or nil
end

local function place(touch)
  local along = mm(math.abs(touch.back)) .. text.way(-touch.back, 0, " ahead", " behind the front axle")
  return ("%s (%s, %s high)"):format(touch.point, along, mm(touch.height))
end

local NAMED = 4 -- points that touch, the first to do so first; all of them stand in the result

local function clear_line(clear, any_touches)
  if #clear == 0 then return nil end
  local who = #clear == 1 and ("The %s stays"):format(place(clear[1]))
    or any_touches and ("%d others stay"):format(#clear) or ("All %d points stay"):format(#clear)
  return ("%s clear up to %s degrees"):format(who, mm(STEEPEST))
end

local function touch_lines(r, lines)
  local touching, clear = {}, {}
  for _, touch in ipairs(r.touches) do table.insert(touch.lift and touching or clear, touch) end
  for i = 1, #touching > NAMED + 1 and NAMED or #touching do
    lines[#lines + 1] = ("Above %s mm the %s touches"):format(mm(touching[i].lift), place(touching[i]))
  end
  if #touching > NAMED + 1 then
    lines[#lines + 1] = ("%d others touch between %s and %s mm"):format(#touching - NAMED, mm(touching[NAMED + 1].lift),
      mm(touching[#touching].lift))
  end
  lines[#lines + 1] = clear_line(clear, #touching > 0)
  if r.blocks > 0 then
    lines[#lines + 1] = ("So first put equal blocks, %s mm, under all four pads: %s mm stay free at %s mm of lift, nothing else changes")
      :format(mm(r.blocks), mm(MARGIN), mm(r.lift))
  end
end

-- One row a lift: every pad, or the two axles where nobody said how they share.
local function expected_table(r)
  local keys = r.expected[1].lf and {"lf", "rf", "lr", "rr"} or {"front", "rear"}
  local stays = r.lifted == "rear" and "front" or "rear"
  local headings, rows = {{r.lifted .. " up, mm", "%s"}, {"tilt, deg", "%s"}}, {}
  for _, key in ipairs(keys) do headings[#headings + 1] = {key .. ", kg", "%s"} end
  headings[#headings + 1] = {("%s if the CG is 10 mm higher"):format(stays), "%s"}
  for i, row in ipairs(r.expected) do
    rows[i] = {text.plain(tonumber(text.fixed(row.lift, 1))), text.fixed(row.angle, 2)}
    for _, key in ipairs(keys) do rows[i][#rows[i] + 1] = text.fixed(row[key], 1) end
    table.insert(rows[i], text.signed(row.per_10_mm, 2))
  end
  return ("What the pads will read with the CG %s mm above ground%s:\n%s"):format(mm(r.expected_height),
    r.expected[1].lf and ", each axle shared left and right as level" or "", text.table(headings, rows))
end

function Plan.__tostring(r)
  local lines = {page.heading(("%s: +- %s mm wanted"):format(r.heading, text.plain(r.within))), first_line(r)}
  lines[#lines + 1] = others(r)
  if r.pads_needed then
    lines[#lines + 1] = ("Pads good to %s kg would do once up to %s mm%s"):format(
      text.fixed(r.pads_needed.sd, r.pads_needed.sd < 0.1 and 3 or 2), mm(r.pads_needed.lift),
      r.touches[1] and r.touches[1].lift and ", where nothing touches yet" or "")
  end
  touch_lines(r, lines)
  for i = 2, #lines do lines[i] = text.sentence(lines[i]) end
  lines[#lines + 1] = expected_table(r)
  return page.of(r, lines)
end

return plan_lift
