--- car:perches{...}: how far to turn the spring perches for a cross weight, a wheel's share or a height.

local asked_of = require "steelyard.answers.perches.given"
local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local corners = require "steelyard.answers.corners"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local sides = require "steelyard.file.sides"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"

local perches = {}
local Perches = require("steelyard.reference.results").kind "perches"

local wheel_shares = {"lf_share", "rf_share", "lr_share", "rr_share"}

-- Shares this near to one another are the same: scales of 0.1 kg in 200 say no more.
local SAME = 0.05 -- %

local function need_pitch(c)
  for _, axle in ipairs(c.axles) do
    if not sides.all_have(axle, "perch_pitch") then
      core.fail{code = "missing", file = c.shared.file, part = axle.name, kind = "axle", field = "perch_pitch",
                message = "is not given, so turns of its perches cannot be determined"}
    end
  end
end

-- A wheel's own place.
local PLACE = {"at", "half_track"}

-- ---- can it be? ---------------------------------------------------------------------------------------------------------------

-- Loads change along one line only: kg at lf, rf, lr, rr for one step along it.
local function line(c)
  local front, rear = c.axles[1], c.axles[2]
  if sides.alike(front, PLACE) and sides.alike(rear, PLACE) then
    return {1000 / front.track, -1000 / front.track, -1000 / rear.track, 1000 / rear.track}
  end
  return c.geometry:warp()
end

local function share_now(now, name)
  return name:find "^%a%a_" and 100 * now[name:sub(1, 2)] / now.mass or now[name]
end

-- The step along the line that comes nearest to all shares, and the share that it misses most.
local function nearest_step(now, way, shares)
  local sensitivities, top, bottom = {}, 0, 0
  for i, name in ipairs(wheel_shares) do sensitivities[name] = 100 * way[i] / now.mass end
  sensitivities.cross_share = sensitivities.rf_share + sensitivities.lr_share
  for name, share in pairs(shares) do
    local sensitivity = sensitivities[name] or 0
    top, bottom = top + sensitivity * (share - share_now(now, name)), bottom + sensitivity * sensitivity
  end
  local step = bottom > 0 and top / bottom or 0
  local worst, by = nil, 0
  for _, name in ipairs(loading.sorted_keys(shares)) do
    local miss = math.abs(share_now(now, name) + step * (sensitivities[name] or 0) - shares[name])
    if miss > by then worst, by = name, miss end
  end
  return step, by > SAME and worst or nil
end

local keys = {"lf", "rf", "lr", "rr"}

-- How far along the line until a wheel is empty, and which.
local function first_empty(now, way, step)
  local most, who = math.huge, nil
  for i, key in ipairs(keys) do
    local rate = way[i] * (step < 0 and -1 or 1)
    if rate < 0 and now[key] / -rate < most then most, who = now[key] / -rate, key end
  end
  return most, who
end

-- The cross weight to go for, and why it is not all that was asked for.
local function aim(c, now, shares)
  if not next(shares) then return nil end
  local way = line(c)
  local step, misses = nearest_step(now, way, shares)
  local why
  if misses then
    why = ("perches cannot give %s: they move load from one diagonal to the other and nothing else; only moving mass changes the "
      .. "front share (%s %%) or, but for a trace, the left share (%s %%)"):format(asked_of.words(shares), core.fixed(now.front_share, 2),
      core.fixed(now.left_share, 2))
  end
  local most, who = first_empty(now, way, step)
  if math.abs(step) >= most then
    step = step < 0 and -most or most
    why = ("before %s is reached the %s wheel leaves the ground"):format(asked_of.words(shares), who)
    return now.cross_share + step * 100 * (way[2] + way[3]) / now.mass, why, who
  end
  return now.cross_share + step * 100 * (way[2] + way[3]) / now.mass, why
end

-- ---- who is aboard ---------------------------------------------------------------------------------------------------------

-- Persons aboard of a ledger. A list of all parts is not made for them.
local function persons(c, ledger)
  local numbers, list = {}, {}
  for i, node in ipairs(c.shared.nodes) do numbers[i] = node.kind == "person" or nil end
  if next(numbers) == nil then return list end
  for _, item in ipairs(ledger:items(false, nil, numbers)) do
    if item.aboard then list[#list + 1] = item end
  end
  return list
end

local function board(ledger, list, aboard)
  for _, item in ipairs(list) do ledger = ledger:aboard(item.route, aboard) end
  return ledger
end

-- ---- the answer --------------------------------------------------------------------------------------------------------------

local share_names = {"mass", "front_share", "left_share", "cross_share", "diagonal_ratio"}

local function loads_of(stand, wheels)
  local loads = {}
  for _, key in ipairs(wheels) do loads[key] = stand[key] end
  for _, name in ipairs(share_names) do loads[name] = stand[name] end
  return loads
end

local function turns_list(c, turns)
  local list = {}
  for i, key in ipairs(springs.wheels(c)) do list[i] = turns[key] end
  return list
end

local function by_spring(c, turns)
  local mm = {}
  for _, wheel in ipairs(c.geometry:wheels()) do
    mm[wheel.key] = turns[wheel.key] * sides.number(c.axles[wheel.axle], wheel.side, "perch_pitch")
  end
  return mm
end

-- What is asked of the core, with other fields.
local function with(asked, fields)
  local other = {}
  for key, value in pairs(asked) do other[key] = value end
  for key, value in pairs(fields) do other[key] = value end
  return other
end

-- How the car asked about stands: c, s (what is asked of the core) and, of a reading, stood (the car on the scales), loads and their
-- covariance, and pairing where it was weighed under another file.
--
-- The loads of a car made from it, and their uncertainties: where scales were read, what they will read of it.
local function expected(how, asked, stand)
  if not how.loads then return loads_of(stand or core.corners(asked), how.wheels) end
  local pairing = asked.drawn ~= how.stood.drawn and how.pairing or nil
  local values, sd = core.expect(how.stood, how.loads, how.covariance, asked, pairing)
  return loads_of(values, how.wheels), sd
end

-- What the scales then read in the state they were read in, with the people of the car and without anybody.
local function next_reading(how, turns)
  local c, from = how.reading and how.reading.record and contents.inside(how.reading.stood) or how.c, how.stood or how.s
  local asked = with(from, {turns = turns_list(c, turns)})
  local found, sd = expected(how, asked)
  local aboard, crew = persons(c, from.now), c == how.c and persons(c, how.s.now) or {}
  found.state, found.sd = how.state, sd
  if #aboard > 0 then
    crew, found.with_driver = aboard, loads_of(found, how.wheels)
    found.without_driver = expected(how, with(asked, {now = board(from.now, aboard, false)}))
  else
    if #crew == 0 then crew = persons(c, from.drawn or from.now) end
    found.without_driver = loads_of(found, how.wheels)
    found.with_driver = #crew > 0 and expected(how, with(asked, {now = board(from.now, crew, true)})) or nil
  end
  found.people = {}
  for i, item in ipairs(crew) do
    found.people[i] = ("%s, %s kg"):format(text.name(item.name), text.plain(core.number(core.fixed(item.mass, 1))))
  end
  return found
end

-- The fields of an answer that was found.
local function filled(how, found)
  local c, s, after = how.c, how.s, found.after
  local turned = with(s, {turns = turns_list(c, found.turns)})
  local loads, sd = expected(how, turned, after)
  local exact = expected(how, with(s, {turns = turns_list(c, found.exact)}), found.at_exact)
  local a = {turns = found.turns, spring_mm = by_spring(c, found.turns), loads = loads, heights = after.heights,
             cross_share = loads.cross_share, pitch = after.pitch, roll = after.roll, twist = after.twist, lifted = after.lifted,
             stops = after.stops, bump_stops = after.bump_stops, travel = after.travel, misfit = found.misfit,
             next = next_reading(how, found.turns),
             exact = {turns = found.exact, loads = exact, heights = found.at_exact.heights}}
  local people = persons(c, s.now)
  if #people > 0 then a.without_driver = expected(how, with(turned, {now = board(s.now, people, false)})) end
  if found.rule then
    local rule = found.rule + 0.0
    local turns = {lf = -rule, rf = rule, lr = rule, rr = -rule}
    local by_rule = expected(how, with(s, {turns = turns_list(c, turns)}), found.by_rule)
    a.rule_of_thumb = {turns = turns, loads = by_rule, cross_share = by_rule.cross_share, heights = found.by_rule.heights}
  end
  return a, sd
end

local function has_bar(c)
  for _, axle in ipairs(c.axles) do
    if (axle.bar_rate or 0) > 0 then return true end
  end
end

--- Notes from this one on are cautions.
perches.FIRST_CAUTION = "before a perch is turned: body on stands, that wheel off the ground and the spring unloaded; a coil that is free "
  .. "at droop can jump out"

local function cautions(c, s)
  local list = {
    perches.FIRST_CAUTION,
    "afterwards roll the car off the pads and on again, settle it and read again; toe and camber have changed with the heights",
  }
  if has_bar(c) and not s.bars then
    list[#list + 1] = "set with the bars off: reconnect each with its link at the length where the bolt drops in by hand"
  end
  list[#list + 1] = "arithmetic, not permission: the makers' instructions, local codes and licensed practice decide"
  return list
end

-- What the loads and heights now rest on.
local function start_notes(how, r)
  local list = how.reading and require("steelyard.answers.perches.reading").notes(how.reading, how.stood, r.reading) or {}
  if r.now == "measured" then return list end
  local crossed = core.split(how.c.geometry) == "cross weight"
  list[#list + 1] = ("%s now are assumed, as the springs were set for the file%s; what scales read of the car replaces that"):format(
    how.reading and "loads" or "loads and heights", crossed and (" with a cross weight of %s %%"):format(
      text.plain(how.c.shared.spec.cross_share or 50)) or "")
  return list
end

local function all_notes(how, drawn, r, pad_error, reset, stand)
  local c, s = how.c, how.s
  local list = start_notes(how, how.result)
  table.move(corners.notes(c, drawn, s, stand, reset), 1, 99, #list + 1, list)
  local rule = r.rule_of_thumb
  if rule and rule.turns.rf ~= 0 then
    local turns = core.number(core.fixed(math.abs(rule.turns.rf), 3))
    list[#list + 1] = ("rule of thumb (common practice, no source): the same turns at every corner; here %s %s at rf and lr and %s at "
      .. "lf and rr give a cross weight of %s %%"):format(text.count(turns, "turn"), rule.turns.rf > 0 and "up" or "down",
      rule.turns.rf > 0 and "down" or "up", core.fixed(rule.cross_share, 2))
  end
  if pad_error then
    list[#list + 1] = ("a pad that is %s mm too high or low changes the cross weight by 0.1 %%"):format(core.fixed(pad_error, 2))
  end
  for _, note in ipairs(notes.edits(c)) do list[#list + 1] = note end
  return table.move(cautions(c, s), 1, 9, #list + 1, list)
end

-- What was found into the result: as its own fields when it is what was asked for, else as the nearest.
local function take_found(how, r, found)
  for _, name in ipairs{"at_exact", "after", "by_rule"} do springs.add_heights_set(how.c, found[name]) end
  local answer, sd = filled(how, found)
  if r.why then r.nearest = answer else
    for key, value in pairs(answer) do r[key] = value end
  end
  r.pad_error_allowed = found.pad_allowed
  if not sd then sd = select(2, core.ask("corners", with(how.s, {turns = turns_list(how.c, found.turns)}), nil, true)) end
  r.sd = sd
  answer.next.sd = answer.next.sd or sd
end

-- A bisection's steps: the last is a thousandth of the way.
local HALVINGS = 10

local function asked_words(r)
  local list, heights = {next(r.target) and asked_of.words(r.target) or nil}, r.asked_heights or {}
  for _, key in ipairs(loading.sorted_keys(heights)) do
    list[#list + 1] = ("%s %s"):format(key, text.worded(heights[key], 1, "mm up", "mm down"))
  end
  if r.asked_roll then list[#list + 1] = "left side " .. text.worded(r.asked_roll, 2, "deg up", "deg down") end
  return text.join(list)
end

-- Turns for what is asked; where none bring it about, as far on the way there as turns go, and the part of the way.
local function search(now, ask, find)
  local found = find(ask)
  if found then return found end
  local function part(way)
    local some = {}
    for _, key in ipairs{"front", "rear", "front_roll", "rear_roll"} do some[key] = ask[key] and way * ask[key] end
    return find{hold = ask.hold, notch = ask.notch, front = some.front, rear = some.rear, front_roll = some.front_roll,
                rear_roll = some.rear_roll,
                cross_share = ask.cross_share and now.cross_share + way * (ask.cross_share - now.cross_share)}
  end
  local least, most = 0, 1
  for _ = 1, HALVINGS do
    local middle = 0.5 * (least + most)
    local here = part(middle)
    if here then least, found = middle, here else most = middle end
  end
  return found or part(0), least
end

local TWISTS = "a chassis that twists cannot change its cross weight and keep all four heights: both rolls cannot be held; the nearest "
  .. "misses the four corners by %s mm (root of the sum of squares)"
local MISFIT = 0.05 -- mm: below what a rule laid on the floor can read

-- Why what was found is not what was asked for, or nil. part: how much of the way was found, nil for all of it.
local function shortfall(r, found, part)
  local misfit = found and found.misfit
  local why = r.why or misfit and misfit > MISFIT and TWISTS:format(text.fixed(misfit, 1)) or nil
  if not part then return why end
  local short = ("turns of the perches go %s %% of the way to %s, there a wheel leaves the ground or a suspension comes to its "
    .. "stop"):format(core.fixed(100 * part, 0), asked_words(r))
  return why and why .. "; " .. short or short
end

-- The cross weight of the model in percent at which the loads `here`, its `now` but for what scales read beside it, come to `cross`.
local function model_cross(now, here, cross)
  if not cross then return nil end
  local function diagonal(loads) return loads.cross_share * loads.mass end
  return (cross * here.mass - diagonal(here) + diagonal(now)) / now.mass
end

-- The changes that are asked for from where the car stands now.
local function changes(ask, now, heights, roll)
  if heights then
    ask.front = heights.front and heights.front - now.heights.front or 0
    ask.rear = heights.rear and heights.rear - now.heights.rear or 0
  end
  if roll then
    ask.front_roll, ask.rear_roll = roll - (now.roll + 0.5 * now.twist), roll - (now.roll - 0.5 * now.twist)
  end
  return ask
end

-- The result's account of what was read.
local function as_read(how)
  local read, heights = {}, how.reading.heights
  if how.loads then
    local values, sd = core.expect(how.stood, how.loads, how.covariance, how.stood)
    read = loads_of(values, how.wheels)
    read.sd = sd
  end
  read.state, read.heights = how.state, heights and {front = heights.front, rear = heights.rear}
  return read
end

-- How the car stands: see `expected`. o: the options of the call
local function start(c, self, o)
  local how, setting = {state = loading.title(c)}, {pads = o.pads, bars = o.bars, preload = o.preload, slope = o.slope, reset = o.reset}
  local drawn, reset = springs.drawn(c, o.reset)
  springs.check(c, drawn)
  need_pitch(c)
  if o.reading ~= nil then
    how.reading = require("steelyard.answers.perches.reading").of(self, o.reading, setting)
    c = contents.inside(how.reading.car)
    drawn, reset = springs.drawn(c, o.reset)
    how.pairing = how.reading.pairing
    how.loads, how.covariance, how.state = how.reading.loads, how.reading.covariance, loading.title(contents.inside(how.reading.stood))
  end
  how.c, how.wheels, how.s = c, springs.wheels(c), corners.setting(c, setting, drawn, reset)
  how.s.tanks = springs.tanks(c, reset)
  if how.reading then
    how.stood = require("steelyard.answers.perches.reading").set_up(how.reading, how.s, reset)
    how.s.cross_share, how.s.beside = how.stood.cross_share, nil
  end
  return how, drawn, reset
end

--- The result table of car:perches.
function perches.of(c, self, given)
  local o = asked_of.options(given)
  local hold, shares, heights = asked_of.hold(o), asked_of.shares(c, o), asked_of.heights(o)
  local notch, roll = asked_of.notch(o), asked_of.roll(o)
  if not next(shares) and not heights and not roll then
    core.fail{code = "missing", message = "car:perches needs a target",
      hint = "cross_share = 50, lf_share = 25, heights = {front = 0} or roll = 0"}
  end
  local title = loading.title(c)
  local how, drawn, reset = start(c, self, o)
  c = how.c
  local now = springs.add_heights_set(c, core.corners(how.s))
  local before = expected(how, how.s, now)
  local cross, why, who = aim(c, before, shares)
  local ask = changes({hold = hold, notch = notch, cross_share = model_cross(now, before, cross)}, now, heights, roll)
  local r = {state = title, heading = self:heading(), hold = hold, notch = notch, target = shares, why = why,
             now = (how.loads or how.reading and core.split(c.geometry) == "determinate") and "measured" or "assumed",
             reading = how.reading and as_read(how) or nil, before = before, before_heights = now.heights, asked_heights = heights,
             asked_roll = roll, wheels = how.wheels}
  how.result = r
  if who then -- on the edge of lifting: loads are known, turns would only make the rest soft
    r.nearest = {cross_share = cross, wheel = who}
  else
    local found, part = search(now, ask, function(asked) return core.perches(how.s, asked) end)
    r.why = shortfall(r, found, part)
    r.reached = part and 100 * part
    if found then take_found(how, r, found) else r.nearest = {cross_share = before.cross_share} end
  end
  r.possible = r.why == nil
  r.notes = all_notes(how, drawn, r.possible and r or r.nearest, r.pad_error_allowed, reset, now)
  return origin.of_car(figures.keep(setmetatable(r, Perches), c), c)
end

function Perches.__tostring(r) return require("steelyard.answers.perches.print").page(r) end

return perches
