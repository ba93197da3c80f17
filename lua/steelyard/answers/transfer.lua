--- car:transfer{...}: wheel loads in steady cornering, braking and under downforce, and which wheel leaves the ground first.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local force = require "steelyard.answers.force"
local origin = require "steelyard.print.origin"
local springs = require "steelyard.answers.springs"
local springs_said = require "steelyard.answers.springs.said"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local transfer = {}
local Transfer = require("steelyard.reference.results").kind "transfer"

local CAUTION = "Steady state: no bump, kerb, gust or change of direction is in it, and no grip. Not a driving limit."

--- The car as steelyard.core takes it, and whether its springs were set anew.
function transfer.asked_with(c, given)
  local o = springs.options("car:transfer", given, "transfer")
  local forward, forward_sd = force.forward(o)
  local left, left_sd = force.left(o)
  local down, down_sd = force.downforce(c, o)
  if not (o.left_turn or o.right_turn or o.braking or o.drive or down) then
    core.fail{code = "missing", message = "car:transfer needs left_turn, right_turn, braking, drive or downforce",
              hint = "car:transfer{left_turn = 0.8, braking = 0.3}, in g"}
  end
  local bars, share, share_sd = force.bars(o), force.brake_front_share(o)
  local drawn, reset = springs.drawn(c, o.reset)
  if springs.unknown(c) then
    loading.need_mass(c)
  else
    springs.check(c, drawn)
  end
  local geometry, beside = springs.set_with(c, drawn, reset)
  return {now = c.now, drawn = drawn, geometry = geometry, beside = beside, tanks = springs.tanks(c, reset), bars = bars, forward = forward,
          forward_sd = forward_sd, left = left, left_sd = left_sd, downforce = down, downforce_sd = down_sd,
          brake_front_share = share, brake_front_share_sd = share_sd}, reset
end

local of_links = {braking = {"anti_dive", "anti_lift"}, drive = {"anti_squat", "anti_squat"}}

-- What is stated of the links that a force along the car loads: how many of the two axles say something, and how many an angle.
local function stated_links(c, names)
  local stated, angles = 0, 0
  for i, name in ipairs(names) do
    local said = c.axles[i] and c.axles[i][name]
    stated, angles = stated + (said and 1 or 0), angles + (type(said) == "table" and 1 or 0)
  end
  return stated, angles
end

local function percent(r, key) return text.fixed(r.links[key], 1) .. " %" end

-- What goes past the springs when the car is braked or driven.
local function link_notes(c, a, r, list)
  local brakes = a.forward > 0
  local stated, angles = stated_links(c, of_links[brakes and "braking" or "drive"])
  local ever = stated_links(c, of_links.braking) + stated_links(c, of_links.drive) > 0
  if not ever then
    list[#list + 1] = "anti-dive and anti-squat are not modelled: wheel loads do not depend on them, pitch does"
  elseif not r.links then
    list[#list + 1] = ("no %s is given: all of the load transfer goes through the springs"):format(
      brakes and "anti-dive or anti-lift" or "anti-squat")
  else
    local what, list_of = brakes and "braking" or "drive", {}
    for i, key in ipairs(brakes and {"front", "rear"} or {"rear", "front"}) do
      if r.links[key] ~= 0 then
        list_of[#list_of + 1] = ("%s of what %s %s the %s axle"):format(percent(r, key), what, i == 1 and "puts onto" or "takes off", key)
      end
    end
    list[#list + 1] = ("links carry %s, past the springs; tyres carry all of it"):format(text.join(list_of))
  end
  if angles > 0 and not (brakes and a.brake_front_share) and not (not brakes and stated == 1) then
    list[#list + 1] = ("the %s force is taken as shared as the axles are loaded then, %s of it in front%s"):format(
      brakes and "brake" or "drive", percent(r, "front_share"), brakes and "; brake_front_share states it" or "")
  end
end

-- Of a car without rates.
local function rigid_notes(c, a, r)
  local unknown = core.split(c.geometry) == "determinate" and "roll, pitch" or "load of each wheel, roll, pitch"
  local list = {("unknown: %s and wheel lift-off on springs need spring and tyre rates (%s)"):format(unknown, springs.unknown(c))}
  local sum, count, least, most = 0, 0, math.huge, 0
  for _, axle in ipairs(c.axles) do
    if axle.wheels ~= 1 then
      sum, count = sum + axle.track, count + 1
      least, most = math.min(least, axle.track), math.max(most, axle.track)
    end
  end
  if r.total_transfer and most > least then
    local moment = r.total_transfer * sum / count
    list[#list + 1] = ("the transfer is that at the mean track: %s kg if the widest axle took all of it, %s the narrowest"):format(
      text.fixed(moment / most, 1), text.fixed(moment / least, 1))
  end
  if r.rigid_lift and r.rigid_lift.g then list[#list + 1] = "rigid lift-off assumes the same vertical stiffness at all wheels" end
  list[#list + 1] = "the body counts where it is drawn: it neither sinks nor leans; on springs a wheel lifts sooner"
  springs.note_liquids("note_pushed", c, r, list)
  if a.downforce then list[#list + 1] = force.AIR end
  for _, note in ipairs(notes.gaps_and_height(c, core.balance(c.now, c.geometry))) do list[#list + 1] = note end
  list[#list + 1] = CAUTION
  return list
end

local function all_notes(c, a, r, reset)
  local list = {springs_said.drawn_note(c, reset)}
  local standing = core.corners{now = a.drawn, geometry = a.geometry}
  for _, note in ipairs(springs_said.ride_notes(c, standing.wheel_rate, standing.ride_hz)) do list[#list + 1] = note end
  for _, note in ipairs(force.spring_notes(c, a.bars)) do list[#list + 1] = note end
  force.stop_notes(c, r, list)
  springs.note_liquids("note_pushed", c, r, list)
  if a.forward ~= 0 then link_notes(c, a, r, list) end
  if a.downforce then list[#list + 1] = force.AIR end
  for _, note in ipairs(notes.gaps_and_height(c, core.balance(c.now, c.geometry))) do list[#list + 1] = note end
  list[#list + 1] = CAUTION
  return list
end

local SLIGHT = 1e-6 -- g: the direction, and next to no force

-- A force that tips the car is named beside the one at which it does.
local function fail_tipped(a, why)
  local turns, still = a.left ~= 0, {}
  for key, value in pairs(a) do still[key] = value end
  if turns then still.left = a.left * SLIGHT else still.forward = a.forward * SLIGHT end
  local stands, no = core.transfer(still)
  local limit = stands and (stands.first_lift or stands.rigid_lift)
  if why.field == "cg" and a.downforce and no then
    core.fail{code = "geometry", field = "downforce", message = "is so much lift that wheels carry nothing more: it would tip"}
  end
  local tips = why.field == "cg" and limit and limit.tips
  if not tips then error(why, 0) end
  local field = turns and (a.left > 0 and "right_turn" or "left_turn") or a.forward > 0 and "braking" or "drive"
  core.fail{code = "geometry", field = field, message = ("is %s g, it tips at %s g%s"):format(
    text.plain(math.abs(turns and a.left or a.forward)), text.fixed(tips, 2),
    turns and a.forward ~= 0 and " with " .. force.words(a.forward, 0) or "")}
end

local by_springs = {"heights", "links", "pitch", "roll", "twist", "lifted", "stops", "bump_stops", "travel"}

-- What is known without rates: standing loads as a balance has them, axle loads, with three wheels all.
local function put_rigid(c, a, r)
  for _, name in ipairs(by_springs) do r[name] = nil end
  r.status, r.why, r.rigid = "unknown", springs.unknown(c), nil
  r.standing = {}
  local keys = springs.wheels(c)
  for i, load in ipairs(core.answers(c.now, c.geometry, keys)) do r.standing[keys[i]] = load end
  local down, total = a.downforce or {}, 0
  for i = 1, #down do total = total + down[i] end
  local level = core.answers(c.now, c.geometry, {"mass", "front"})
  r.mass = level[1] + total
  if r.pitch_gain then
    r.front = level[2] + r.pitch_gain + (down[1] or 0)
    r.rear, r.front_share = r.mass - r.front, 100 * r.front / r.mass
  end
  if not r.rigid_lift.tips then r.rigid_lift = nil end
end

--- The result table of car:transfer.
function transfer.of(c, self, given)
  local a, reset = transfer.asked_with(c, given)
  local r, sd = core.transfer(a, true)
  if not r then fail_tipped(a, sd) end
  if r.rigid then put_rigid(c, a, r) else r.rigid = nil end
  r.sd = asking.nested(sd)
  r.state, r.heading = loading.title(c), self:heading()
  r.asked = force.words(a.forward, a.left)
  r.downforce = force.by_key(c, a.downforce)
  local limit = r.first_lift or r.rigid_lift
  if limit then
    limit.by = a.left > 0 and "right_turn" or a.left < 0 and "left_turn" or a.forward > 0 and "braking" or "drive"
    if a.forward == 0 and a.left == 0 then r.first_lift, r.rigid_lift = nil, nil end -- downforce alone
  end
  r.wheels = springs.wheels(c)
  r.axles = {}
  for i in ipairs(c.axles) do r.axles[i] = springs.axle_key(c, i) end
  r.notes = (r.status and rigid_notes or all_notes)(c, a, r, reset)
  return origin.of_car(figures.keep(setmetatable(r, Transfer), c), c)
end

-- ---- in words -----------------------------------------------------------------------------------------------------------------

local NEEDS = "unknown: needs spring rates"

local function wheel_table(r)
  local rows, kg = {}, figures.kg(r, 1)
  for i, key in ipairs(r.wheels) do
    local gain, sd = r.gain[key], r.sd.gain and r.sd.gain[key]
    if not gain then
      rows[i] = {key, text.fixed(r.standing[key], kg), NEEDS, ""}
      goto next
    end
    local shown = text.worded(gain, kg, "more", "less")
    if sd and sd > 0 then shown = text.plus_minus(math.abs(gain), sd, kg) .. text.way(gain, kg, " more", " less") end
    rows[i] = {key, text.fixed(r.standing[key], kg), shown, text.plus_minus(r[key], r.sd[key], kg)}
    ::next::
  end
  return text.table({{"load, kg", "%s"}, {"standing", "%s"}, {"change", "%s"}, {"then", "%s"}}, rows)
end

-- A roll centre below the ground or far above the CG takes load off the outer wheel by one path.
local function outward(r, kg)
  local shown = text.fixed(math.abs(kg), figures.kg(r, 1))
  return kg < 0 and shown:find "[1-9]" and shown .. " off it" or shown
end

local function path_table(r)
  if not r.paths then return nil end
  local rows, gives = {}, false
  for _, p in pairs(r.paths) do gives = gives or p.tyres ~= nil end
  for _, key in ipairs(r.axles) do
    local p = r.paths[key]
    if p then
      rows[#rows + 1] = {key, outward(r, p.geometric), outward(r, p.elastic), outward(r, p.unsprung)}
      if gives then table.insert(rows[#rows], p.tyres and outward(r, p.tyres) or "-") end
      table.insert(rows[#rows], outward(r, p.total))
    end
  end
  local headings = {{"onto the outer wheel, kg", "%s"}, {"roll centre", "%s"}, {"springs and bar", "%s"}, {"unsprung", "%s"}}
  if gives then headings[#headings + 1] = {"tyres giving sideways", "%s"} end
  headings[#headings + 1] = {"all", "%s"}
  return text.table(headings, rows)
end

local function angle(deg, sd, plus, minus)
  if not text.worded(deg, 2, "", ""):find "[1-9]" then return nil end
  return ("%s deg %s"):format(text.plus_minus(math.abs(deg), sd, 2), deg > 0 and plus or minus)
end

local function motion(r)
  local list = {angle(r.roll, r.sd.roll, "to the right", "to the left")}
  list[1] = list[1] and "body rolls " .. list[1]
  local pitch = angle(r.pitch, r.sd.pitch, "up", "down")
  if pitch then list[#list + 1] = "nose " .. pitch end
  return #list > 0 and text.sentence(table.concat(list, ", ") .. " against standing") or "The body neither rolls nor pitches."
end

-- Only where links hold the body: else its pitch says enough.
local function height_line(r)
  if not r.links then return nil end
  local list = {}
  for i, key in ipairs{"front", "rear"} do
    local mm, sd, decimals = r.heights[key], r.sd.heights and r.sd.heights[key], figures.mm(r, 1)
    list[i] = ("%s axle %s%s"):format(key, text.plus_minus(math.abs(mm), sd, decimals), text.way(mm, decimals, " mm up", " mm down"))
  end
  return ("Body at the %s against standing."):format(table.concat(list, ", at the "))
end

local by_words = {left_turn = "in a left turn", right_turn = "in a right turn", braking = "of braking", drive = "of drive"}

local function total_line(r)
  if not r.total_transfer then return nil end
  return ("Onto the outer wheels of all axles together %s kg."):format(
    text.plus_minus(r.total_transfer, r.sd.total_transfer, figures.kg(r, 1)))
end

-- Without rates.
local function rigid_lift_line(r)
  local lift = r.rigid_lift
  if not lift then return nil end
  local sd, tips = r.sd.rigid_lift and r.sd.rigid_lift.g, ("it tips at %s g %s"):format(text.fixed(lift.tips, 2), by_words[lift.by])
  if not lift.g then return "Rigid, " .. tips .. "; wheel lift-off on springs " .. NEEDS .. "." end
  return ("Rigid, the first wheel leaves the ground at %s g %s (%s)%s; on springs %s."):format(text.plus_minus(lift.g, sd, 2),
    by_words[lift.by], lift.wheel, lift.tips - lift.g < 0.005 and ", and there it tips" or ", and " .. tips:gsub(" in a .*", ""), NEEDS)
end

local function lift_line(r)
  local first = r.first_lift
  if not first then return nil end
  if not first.wheel then return ("No wheel leaves the ground up to %d g."):format(40) end
  local over = first.tips and ("; at %s g it would tip"):format(text.fixed(first.tips, 2)) or ""
  if first.tips and first.tips - first.g < 0.005 then over = ", and there it tips" end
  if first.g == 0 then return ("The %s wheel is off the ground from the start%s."):format(first.wheel, over) end
  local sd = r.sd.first_lift and r.sd.first_lift.g
  return ("First wheel off: %s, at %s g %s%s%s."):format(first.wheel, text.plus_minus(first.g, sd, 2), by_words[first.by],
    (first.by:find "turn" and r.asked:find " with ") and " with the same " .. r.asked:match " with [%d.e-]+ g (%a+)" or "", over)
end

function Transfer.__tostring(r)
  local what = r.asked ~= "" and r.asked or r.downforce and "downforce alone" or "no force"
  local lines = {page.heading(("%s: %s"):format(r.heading, what))}
  if r.downforce then
    lines[#lines + 1] = force.air(r)
  end
  lines[#lines + 1] = wheel_table(r)
  local paths = path_table(r)
  if paths then
    lines[#lines + 1] = ""
    lines[#lines + 1] = paths
    lines[#lines + 1] = ("Front share of the transfer %s %%."):format(
      text.plus_minus(r.front_transfer_share, r.sd.front_transfer_share, 1))
  end
  if r.status then lines[#lines + 1] = total_line(r) end
  if r.pitch_gain and text.worded(r.pitch_gain, figures.kg(r, 1), "", ""):find "[1-9]" then
    lines[#lines + 1] = ("%s kg go %s the %s axle, %s."):format(
      text.plus_minus(math.abs(r.pitch_gain), r.sd.pitch_gain, figures.kg(r, 1)), r.pitch_gain > 0 and "onto" or "off", r.axles[1],
      (r.pitch_gain > 0 and "from the other" or "onto the other") .. (#r.axles > 2 and "s" or ""))
  end
  lines[#lines + 1] = r.status and "Roll and pitch " .. NEEDS .. "." or motion(r)
  lines[#lines + 1] = not r.status and height_line(r) or nil
  lines[#lines + 1] = r.status and rigid_lift_line(r) or lift_line(r)
  return page.of(r, lines)
end

return transfer
