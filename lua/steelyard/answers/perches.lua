--- car:perches{...}: how far to turn the spring perches for a cross weight, a wheel's share or a height.

local core = require "steelyard.core"
local corners = require "steelyard.answers.corners"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local sides = require "steelyard.file.sides"
local springs = require "steelyard.answers.springs"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local perches = {}
local Perches = require("steelyard.reference.results").kind "perches"

local holds = {"heights", "front heights", "rear heights", "least turns", "all heights"}
local wheel_shares = {"lf_share", "rf_share", "lr_share", "rr_share"}

local NOTCH = 0.25 -- turns: what a spanner on a collar can hold (common practice, no source)
local MOST_HEIGHT, MOST_NOTCH = 300, 10 -- mm, turns: more is a typing error
-- Shares this near to one another are the same: scales of 0.1 kg in 200 say no more.
local SAME = 0.05 -- %

-- ---- what was asked -------------------------------------------------------------------------------------------------------

local function read_hold(o)
  local hold = o.hold or "heights"
  for _, word in ipairs(holds) do
    if hold == word then return hold end
  end
  local near = core.nearest(tostring(hold), holds)
  core.fail{code = "unknown", field = "hold", message = ("%s is not one of %s"):format(text.named(hold), text.join(holds, "or")),
            hint = near and ("did you mean %q?"):format(near) or nil}
end

-- The same options with cross_weight, the trade's name, under that of the answer.
local function with_cross_weight(o)
  if o.cross_share ~= nil then
    core.fail{code = "clash", field = "cross_weight", message = "means the same as cross_share", hint = "leave one of the two out"}
  end
  local same = {}
  for key, value in pairs(o) do same[key] = value end
  same.cross_share, same.cross_weight = o.cross_weight, nil
  return same
end

-- Shares asked for, in percent.
local function read_shares(c, o)
  local shares = {}
  for _, name in ipairs{"cross_share", "front_share", "left_share", "lf_share", "rf_share", "lr_share", "rr_share"} do
    if o[name] ~= nil then
      local share = springs.number(o[name], "%", name)
      if share < 0 or share > 100 then
        core.fail{code = "range", field = name, message = ("is %s %%, must be between 0 and 100"):format(text.plain(share))}
      elseif share > 0 and share <= 1 then
        core.fail{code = "range", field = name, message = ("is %s %%, no car is set so"):format(text.plain(share)),
                  hint = "shares are in per cent: 50, not 0.5"}
      end
      shares[name] = share
    end
  end
  if next(shares) and core.split(c.geometry) ~= "cross weight" then
    local why = core.split(c.geometry) == "determinate" and "three wheels carry what balance gives them, perches set heights only"
      or "shares are set by perches on two axles of two wheels only"
    core.fail{code = "geometry", field = loading.sorted_keys(shares)[1], message = why,
      hint = {"ask for heights = {front = 0, rear = 0}", "ride_height --front MM --rear MM sets heights"}}
  end
  return shares
end

-- Heights asked for, from the drawn ones.
local function read_heights(o)
  if o.heights == nil then return nil end
  if type(o.heights) ~= "table" then
    core.fail{code = "type", field = "heights", message = "is a table such as {front = 0, rear = 0}, mm from the drawn heights"}
  end
  local list = {}
  for _, key in ipairs(loading.sorted_keys(o.heights)) do
    if key ~= "front" and key ~= "rear" then
      local near = core.nearest(tostring(key), options.names("springs", "heights"))
      core.fail{code = "unknown", field = "heights", message = ("%s is neither front nor rear"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are front and rear"}
    end
    list[key] = springs.number(o.heights[key], "mm", "heights." .. key, MOST_HEIGHT)
  end
  return next(list) and list or nil
end

local function read_notch(o)
  if o.notch == nil then return NOTCH end
  local notch = springs.number(o.notch, "", "notch", MOST_NOTCH)
  if notch < 0 then core.fail{code = "range", field = "notch", message = "is below 0; 0 leaves the turns unrounded"} end
  return notch
end

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

local spoken = {lf_share = "lf share", rf_share = "rf share", lr_share = "lr share", rr_share = "rr share",
                front_share = "front share", left_share = "left share", cross_share = "cross weight"}

local function listed(shares)
  local list = {}
  for _, name in ipairs(loading.sorted_keys(shares)) do
    list[#list + 1] = ("%s %s %%"):format(spoken[name], text.plain(shares[name]))
  end
  return text.join(list)
end

-- The cross weight to go for, and why it is not all that was asked for.
local function aim(c, now, shares)
  if not next(shares) then return nil end
  local way = line(c)
  local step, misses = nearest_step(now, way, shares)
  local why
  if misses then
    why = ("perches cannot give %s: they move load from one diagonal to the other and nothing else; only moving mass changes the "
      .. "front share (%s %%) or, but for a trace, the left share (%s %%)"):format(listed(shares), core.fixed(now.front_share, 2),
      core.fixed(now.left_share, 2))
  end
  local most, who = first_empty(now, way, step)
  if math.abs(step) >= most then
    step = step < 0 and -most or most
    why = ("before %s is reached the %s wheel leaves the ground"):format(listed(shares), who)
    return now.cross_share + step * 100 * (way[2] + way[3]) / now.mass, why, who
  end
  return now.cross_share + step * 100 * (way[2] + way[3]) / now.mass, why
end

-- ---- the answer --------------------------------------------------------------------------------------------------------------

-- The ledger without anybody aboard, or nil when nobody was.
local function without_people(c)
  local ledger, any = c.now, false
  for _, item in ipairs(c.now:items(false)) do
    local node = c.shared.nodes[item.number]
    if item.aboard and node and node.kind == "person" then
      ledger, any = ledger:aboard(item.route, false), true
    end
  end
  return any and ledger or nil
end

local function loads_of(stand)
  local loads = {}
  for key in pairs(stand.travel) do loads[key] = stand[key] end
  for _, name in ipairs{"mass", "front_share", "left_share", "cross_share", "diagonal_ratio"} do loads[name] = stand[name] end
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

-- The fields of an answer that was found.
local function filled(c, s, found)
  local after = found.after
  local a = {turns = found.turns, spring_mm = by_spring(c, found.turns), loads = loads_of(after), heights = after.heights,
             cross_share = after.cross_share, pitch = after.pitch, roll = after.roll, twist = after.twist, lifted = after.lifted,
             stops = after.stops, bump_stops = after.bump_stops, travel = after.travel,
             exact = {turns = found.exact, loads = loads_of(found.at_exact), heights = found.at_exact.heights}}
  local people = without_people(c)
  if people then
    a.without_driver = loads_of(core.corners(with(s, {now = people, turns = turns_list(c, found.turns)})))
  end
  if found.rule then
    local rule = found.rule + 0.0
    a.rule_of_thumb = {turns = {lf = -rule, rf = rule, lr = rule, rr = -rule}, loads = loads_of(found.by_rule),
                       cross_share = found.by_rule.cross_share, heights = found.by_rule.heights}
  end
  return a
end

local function has_bar(c)
  for _, axle in ipairs(c.axles) do
    if (axle.bar_rate or 0) > 0 then return true end
  end
end

local function cautions(c, s)
  local list = {
    "before a perch is turned: body on stands, that wheel off the ground and the spring unloaded; a coil that is free at droop can jump "
      .. "out",
    "afterwards roll the car off the pads and on again, settle it and read again; toe and camber have changed with the heights",
  }
  if has_bar(c) and not s.bars then
    list[#list + 1] = "set with the bars off: reconnect each with its link at the length where the bolt drops in by hand"
  end
  list[#list + 1] = "arithmetic, not permission: the makers' instructions, local codes and licensed practice decide"
  return list
end

local function all_notes(c, drawn, s, r, pad_error, reset, stand)
  local list = corners.notes(c, drawn, s, stand, reset)
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
local function take_found(c, s, r, found)
  for _, name in ipairs{"at_exact", "after", "by_rule"} do springs.add_heights_set(c, found[name]) end
  local answer = filled(c, s, found)
  if r.why then r.nearest = answer else
    for key, value in pairs(answer) do r[key] = value end
  end
  r.pad_error_allowed = found.pad_allowed
  local _, sd = core.ask("corners", with(s, {turns = turns_list(c, found.turns)}), nil, true)
  r.sd = sd
end

-- A bisection's steps: the last is a thousandth of the way.
local HALVINGS = 10

local function asked_words(shares, heights)
  local list = {next(shares) and listed(shares) or nil}
  for _, key in ipairs(loading.sorted_keys(heights)) do
    list[#list + 1] = ("%s %s"):format(key, text.worded(heights[key], 1, "mm up", "mm down"))
  end
  return text.join(list)
end

-- Turns for what is asked; where none bring it about, as far on the way there as turns go, and the part of the way.
local function search(now, ask, find)
  local found = find(ask)
  if found then return found end
  local function part(way)
    return find{hold = ask.hold, notch = ask.notch, front = ask.front and way * ask.front, rear = ask.rear and way * ask.rear,
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
  .. "spreads the misfit"

-- Why what was found is not what was asked for, or nil. part: how much of the way was found, nil for all of it.
local function shortfall(c, r, cross, before, part)
  local twists = r.hold == "all heights" and cross and c.shared.spec.chassis and c.shared.spec.chassis.torsion
    and math.abs(cross - before.cross_share) > SAME
  local why = r.why or twists and TWISTS or nil
  if not part then return why end
  local short = ("turns of the perches go %s %% of the way to %s, there a wheel leaves the ground or a suspension comes to its "
    .. "stop"):format(core.fixed(100 * part, 0), asked_words(r.target, r.asked_heights))
  return why and why .. "; " .. short or short
end

--- The result table of car:perches.
function perches.of(c, self, given)
  local o = springs.options("car:perches", given, "perches")
  if o.cross_weight ~= nil then o = with_cross_weight(o) end
  local hold, shares, heights, notch = read_hold(o), read_shares(c, o), read_heights(o), read_notch(o)
  if not next(shares) and not heights then
    core.fail{code = "missing", message = "car:perches needs a target", hint = "cross_share = 50, lf_share = 25 or heights = {front = 0}"}
  end
  local drawn, reset = springs.drawn(c, o.reset)
  springs.check(c, drawn)
  need_pitch(c)
  local s = corners.setting(c, {pads = o.pads, bars = o.bars, preload = o.preload, slope = o.slope}, drawn, reset)
  s.tanks = springs.tanks(c, reset)
  local now = springs.add_heights_set(c, core.corners(s))
  local cross, why, who = aim(c, now, shares)
  local ask = {hold = hold, notch = notch, cross_share = cross}
  if heights then
    ask.front = heights.front and heights.front - now.heights.front or 0
    ask.rear = heights.rear and heights.rear - now.heights.rear or 0
  end
  local r = {state = loading.title(c), heading = self:heading(), hold = hold, notch = notch, target = shares, why = why,
             before = loads_of(now), before_heights = now.heights, asked_heights = heights, wheels = springs.wheels(c)}
  if who then -- on the edge of lifting: loads are known, turns would only make the rest soft
    r.nearest = {cross_share = cross, wheel = who}
  else
    local found, part = search(now, ask, function(asked) return core.perches(s, asked) end)
    r.why = shortfall(c, r, cross, now, part)
    r.reached = part and 100 * part
    if found then take_found(c, s, r, found) else r.nearest = {cross_share = now.cross_share} end
  end
  r.possible = r.why == nil
  r.notes = all_notes(c, drawn, s, r.possible and r or r.nearest, r.pad_error_allowed, reset, now)
  return origin.of_car(figures.keep(setmetatable(r, Perches), c), c)
end

-- ---- in words -------------------------------------------------------------------------------------------------------------------

local function turn_words(turns)
  local shown = core.fixed(turns, 3):gsub("0+$", ""):gsub("%.$", "")
  if not shown:find "[1-9]" then return "leave" end
  return (shown:gsub("^%-", "")) .. (turns > 0 and " up" or " down")
end

local function answer_table(r, a)
  local headings = {{"perch", "%s"}, {"turns", "%s"}, {"spring seat, mm", "%s"}, {"body moves, mm", "%s"}, {"kg now", "%s"},
                 {"kg then", "%s"}}
  if a.without_driver then headings[#headings + 1] = {"nobody aboard, kg", "%s"} end
  local rows, kg, mm = {}, figures.kg(r, 1), figures.mm(r, 1)
  for i, key in ipairs(r.wheels) do
    local line_key = a.heights[key] and key or i == 1 and "front" or "rear" -- a single wheel
    rows[i] = {key, turn_words(a.turns[key]), text.worded(a.spring_mm[key], mm + 1, "up", "down"),
               text.worded(a.heights[line_key] - r.before_heights[line_key], mm, "up", "down"), text.fixed(r.before[key], kg),
               text.fixed(a.loads[key], kg), a.without_driver and text.fixed(a.without_driver[key], kg)}
  end
  return text.table(headings, rows)
end

-- What stays while the perches turn.
local held = {
  heights = "holding the body at both axles and its mean roll",
  ["front heights"] = "holding the body at both front corners and the rear axle",
  ["rear heights"] = "holding the body at both rear corners and the front axle", ["least turns"] = "by the least turns",
  ["all heights"] = "holding the body at all four corners as well as can be",
}

function Perches.__tostring(r)
  local lines = {("%s: %s"):format(r.heading, r.target and next(r.target) and listed(r.target)
    .. " by the perches" or "heights by the perches")}
  local a = r
  if not r.possible then
    lines[#lines + 1] = "Not possible: " .. text.sentence(r.why)
    a = r.nearest
  end
  if a.turns then
    lines[#lines + 1] = answer_table(r, a)
    if a.cross_share then
      lines[#lines + 1] = ("Cross weight %s %% now, %s %% then (exact turns: %s %%), %s."):format(core.fixed(r.before.cross_share, 2),
        text.plus_minus(a.cross_share, r.sd.cross_share, 2), core.fixed(a.exact.loads.cross_share, 2),
        r.reached and "as far as it goes" or r.asked_heights and "with the heights asked for" or held[r.hold])
    end
    lines[#lines + 1] = text.sentence(corners.pose(a))
  elseif a.wheel then
    lines[#lines + 1] = ("The cross weight is %s %% now; it can go to %s %%."):format(core.fixed(r.before.cross_share, 2),
      core.fixed(a.cross_share, 2))
  end
  return page.of(r, lines)
end

return perches
