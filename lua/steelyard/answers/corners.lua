--- car:corners{...}: what each wheel carries on its springs, where the body stands, what a perch turn or a pad changes.

local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local results = require "steelyard.reference.results"
local sides = require "steelyard.file.sides"
local springs = require "steelyard.answers.springs"
local springs_said = require "steelyard.answers.springs.said"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local corners = {}
local noted = setmetatable({}, {__mode = "k"}) -- result -> the drawn ledger and whether it was set anew, for its notes
local behind = setmetatable({}, {__mode = "k"}) -- result -> how it stands, for what is worked out when it is first looked at

local function any(list)
  for i = 1, list and #list or 0 do
    if list[i] ~= 0 then return true end
  end
  return false
end

-- How far the ground rises to the nose and to the left, deg.
local function rises(s) return s.slope and s.slope.nose_up or 0, s.slope and s.slope.left_up or 0 end

local function is_level(s)
  local nose, left = rises(s)
  return nose == 0 and left == 0 and not any(s.pads)
end

-- The file's limits speak of level ground: there they are judged, by the loads with the perches and bars of the page.
local function on_level_ground(s)
  local level = {}
  for key, value in pairs(s) do level[key] = value end
  level.pads, level.pads_sd, level.slope, level.slope_sd = nil, nil, nil, nil
  return level
end

local late_fields = {
  limits = function(r)
    local c, s = origin.car_of(r), behind[r]
    if not c.shared.spec.limits then return nil end
    local rows = require("steelyard.answers.limits").of(c, nil, on_level_ground(s))
    for _, row in ipairs(is_level(s) and {} or rows) do row.column = "on level ground" end
    return rows
  end,
  status = function(r) return r.limits and require("steelyard.answers.limits").status(r.limits) end,
  notes = function(r)
    local c, at, kind = origin.car_of(r), noted[r], getmetatable(r)
    setmetatable(r, nil) -- what this result has not got is nil to its notes, and no name to be looked up
    local list = corners.notes(c, at.drawn, behind[r], r, at.reset)
    setmetatable(r, kind)
    return list
  end,
}
local Corners = results.kind("corners", nil, late_fields)

-- More than any of these can be: a typing error.
local MOST_PAD, MOST_TURNS, MOST_PRELOAD = 500, 200, 200 -- mm, turns, mm

local function need_pitch(c, turns, sds)
  for i, wheel in ipairs(c.geometry:wheels()) do
    local axle = c.axles[wheel.axle]
    if (turns[i] ~= 0 or sds and sds[i] ~= 0) and not sides.number(axle, wheel.side, "perch_pitch") then
      core.fail{code = "missing", file = c.shared.file, part = axle.name, kind = "axle", field = "perch_pitch",
                message = ("is not given, so turns of the %s perch mean nothing"):format(wheel.key)}
    end
  end
end

-- The car with its body where the perches have set it.
local function as_set(c, drawn, reset)
  local geometry, beside = springs.set_with(c, drawn, reset)
  local s, set = {now = c.now, drawn = drawn, geometry = geometry, beside = beside}, c.heights_set
  if set then s.raised, s.raised_sd = {set.front, set.rear}, {set.front_sd or 0, set.rear_sd or 0} end
  return s
end

--- The car on its springs with the setting that was asked for, as steelyard.core takes it.
function corners.setting(c, o, drawn, reset)
  local s = as_set(c, drawn, reset)
  s.pads, s.pads_sd = springs.by_wheel(c, o.pads, "pads", "mm", MOST_PAD)
  s.turns, s.turns_sd = springs.by_wheel(c, o.perches, "perches", "", MOST_TURNS)
  if s.turns then need_pitch(c, s.turns, s.turns_sd) end
  s.bars = springs.bars(o, false)
  s.preload, s.preload_sd = springs.by_axle(c, o.preload, "preload", "mm", MOST_PRELOAD)
  if s.preload and not s.bars then
    core.fail{code = "clash", field = "preload", message = "does nothing while bars are off", hint = 'write bars = "connected"'}
  end
  s.slope, s.slope_sd = springs.slope(o.slope)
  return s
end

-- ---- notes ------------------------------------------------------------------------------------------------------------------

-- What only depends on who is aboard.
local function gaps(c)
  local aboard = c.aboard
  if not aboard.gaps then aboard.gaps = notes.gaps(c, core.balance(c.now, c.geometry)) end
  return aboard.gaps
end

local function bar_note(c, s)
  local with, without = {}, {}
  for i, axle in ipairs(c.axles) do
    if axle.wheels ~= 1 then
      local list = (axle.bar_rate or 0) > 0 and with or without
      list[#list + 1] = springs.axle_key(c, i)
    end
  end
  if #with == 0 then return "no anti-roll bar is given" end
  if not s.bars then return "anti-roll bars off" end
  return "anti-roll bars connected: " .. text.join(with) .. (#without > 0 and ", none at the " .. text.join(without) or "")
end

local function stop_notes(c, r, list)
  for _, key in ipairs(r.lifted) do
    list[#list + 1] = ("the %s wheel is off the ground%s"):format(key, #springs.wheels(c) - #r.lifted == 3
      and ": the others carry what balance gives them, whatever the springs do" or "")
  end
  if r.bump_stops then springs_said.bump_stop_notes(c, r, list) end
  if not next(r.stops) then return end
  for _, key in ipairs(springs.wheels(c)) do
    if r.stops[key] then list[#list + 1] = springs_said.end_note(r, key) end
  end
end

local ride_notes = setmetatable({}, {__mode = "k"}) -- geometry -> {drawn, bars off, bars connected}: they depend on nothing else

local function ride_and_bar_notes(c, s, r)
  local list = springs_said.ride_notes(c, r.wheel_rate, r.ride_hz, true)
  if not (c.shared.spec.chassis and c.shared.spec.chassis.torsion) then list[#list + 1] = "chassis taken as rigid" end
  list[#list + 1] = bar_note(c, s)
  if core.split(c.geometry) == "determinate" then
    list[#list + 1] = "three wheels carry what balance gives them, whatever springs, perches and pads do"
  end
  return list
end

local function kept_notes(c, drawn, s, r)
  if springs.bent(c) then return ride_and_bar_notes(c, s, r) end -- rates are others wherever it stands
  local kept = ride_notes[c.geometry]
  if not kept or kept.drawn ~= drawn then
    kept = {drawn = drawn}
    ride_notes[c.geometry] = kept
  end
  if not kept[s.bars] then kept[s.bars] = ride_and_bar_notes(c, s, r) end
  return kept[s.bars]
end

-- What the wheels stand on, when it is level or slopes.
local function ground_note(s)
  local nose, left = rises(s)
  if nose == 0 and left == 0 then return not any(s.pads) and "pads taken as level" or nil end
  local ways = {}
  if nose ~= 0 then ways[1] = "nose " .. text.worded(nose, 2, "deg up", "deg down") end
  if left ~= 0 then ways[#ways + 1] = (left > 0 and "left" or "right") .. " side " .. text.fixed(math.abs(left), 2) .. " deg up" end
  local square = math.sqrt(1 - math.sin(math.rad(nose)) ^ 2 - math.sin(math.rad(left)) ^ 2)
  return ("the ground slopes, %s: loads are what presses square on it, together %s %% of the weight, and heights are from it"):format(
    text.join(ways), text.fixed(100 * square, 2))
end

--- Also names the liquids of the result `r`.
function corners.notes(c, drawn, s, r, reset)
  local list = {springs_said.drawn_note(c, reset, s.cross_share)}
  local kept, missing = kept_notes(c, drawn, s, r), gaps(c)
  table.move(kept, 1, #kept, 2, list)
  list[#list + 1] = ground_note(s)
  stop_notes(c, r, list)
  springs.note_liquids("note", c, r, list)
  table.move(missing, 1, #missing, #list + 1, list)
  return list
end

-- ---- uncertainties and sensitivities are worked out when first looked at ----------------------------------------------------------------

-- An sd that has not been looked at has what its uncertainties are worked out from in its metatable.
local function work_out(sd)
  local asked = getmetatable(sd).asked
  setmetatable(sd, nil)
  local _, found = core.ask("corners", asked, nil, true)
  for key, value in pairs(found) do sd[key] = value end
  return sd
end

local function late_uncertainty(sd, key) return work_out(sd)[key] end
local function all_uncertainties(sd) return next, work_out(sd), nil end

local function late_uncertainties(asked)
  return setmetatable({}, {__index = late_uncertainty, __pairs = all_uncertainties, asked = asked})
end

local function work_out_steps(r)
  if not rawget(r, "per_turn") then r.per_turn, r.per_pad_mm = core.corner_steps(behind[r]) end
end

local other_field = Corners.__index

function Corners.__index(r, key)
  if key ~= "per_turn" and key ~= "per_pad_mm" then return other_field(r, key) end
  work_out_steps(r)
  return rawget(r, key)
end

function Corners.__pairs(r)
  work_out_steps(r)
  local _ = r.notes -- there for all who go through the fields
  return next, r, nil
end

-- ---- for limits and comparisons ---------------------------------------------------------------------------------------------

local function sprung(c)
  for _, axle in ipairs(c.axles) do
    if not (sides.all_have(axle, "spring_rate") and sides.all_have(axle, "tyre_rate")) then return false end
  end
  return true
end

--- The car as limits and comparisons ask about it: bars off, pads level. nil when rates are not given.
function corners.asked(c)
  if not sprung(c) then return nil end
  local drawn, reset = springs.drawn(c)
  springs.check(c, drawn)
  local s = as_set(c, drawn, reset)
  s.tanks = springs.tanks(c, reset)
  return s
end

--- The same with options of car:corners, or of car:attitude; raises where it cannot be asked.
function corners.asked_with(c, o)
  local drawn, reset = springs.drawn(c, o.reset)
  springs.check(c, drawn)
  local s = corners.setting(c, o, drawn, reset)
  s.tanks = springs.tanks(c, reset)
  return s, drawn, reset
end

--- The result table of car:corners.
function corners.of(c, self, given)
  local s, drawn, reset = corners.asked_with(c, springs.options("car:corners", given, "corners"))
  local r = springs.add_heights_set(c, core.corners(s))
  r.state, r.heading = loading.title(c), self:heading()
  r.bars_setting = s.bars and "connected" or "off"
  r.sd = late_uncertainties(s)
  if r.liquids then r.notes = corners.notes(c, drawn, s, r, reset) end -- they name the tanks
  r.wheels = springs.wheels(c)
  r.determinate = core.split(c.geometry) == "determinate"
  behind[r], noted[r] = s, {drawn = drawn, reset = reset}
  return origin.of_car(figures.keep(setmetatable(r, Corners), c, r.mass), c)
end

-- ---- in words -----------------------------------------------------------------------------------------------------------------

-- "0.060 deg up", or "level" when there is nothing to say
local function angle(deg, plus, minus, none)
  local shown = text.worded(deg, 3, "deg " .. plus, "deg " .. minus)
  return shown:find "[1-9]" and shown or none
end

--- "nose 0.079 deg up, left side level, chassis not twisted"
function corners.pose(r)
  return ("nose %s, left side %s, chassis %s"):format(angle(r.pitch, "up", "down", "level"), angle(r.roll, "up", "down", "level"),
    angle(r.twist, "twisted, left side up at the front", "twisted, right side up at the front", "not twisted"))
end

local function stand_table(r)
  local rows, mm = {}, figures.mm(r, 1)
  for i, key in ipairs(r.wheels) do
    local height = r.heights[key] or (key:find "f" or key == r.wheels[1]) and r.heights.front or r.heights.rear
    rows[i] = {key, text.worded(height, mm, "up", "down"), text.worded(r.travel[key], mm, "bump", "droop")}
  end
  return text.table({{"from the drawn state, mm", "%s"}, {"body", "%s"}, {"wheel travel", "%s"}}, rows)
end

-- Three wheels: loads do not change, so they are not shown.
local function step_table(r, steps, what)
  if not next(steps) then return "" end
  local headings = {{what, "%s"}}
  for _, key in ipairs(r.determinate and {} or r.wheels) do headings[#headings + 1] = {key .. ", kg", "%s"} end
  if r.cross_share then headings[#headings + 1] = {"cross weight, %", "%s"} end
  headings[#headings + 1] = {"body there, mm", "%s"}
  local rows, kg = {}, figures.kg(r, 2)
  for _, key in ipairs(r.wheels) do
    local step = steps[key]
    if step then
      local row = {key}
      for _, wheel in ipairs(r.determinate and {} or r.wheels) do row[#row + 1] = text.worded(step[wheel], kg, "more", "less") end
      if r.cross_share then row[#row + 1] = text.worded(step.cross_share, 3, "more", "less") end
      row[#row + 1] = text.worded(step.height, figures.mm(r, 2), "up", "down")
      rows[#rows + 1] = row
    end
  end
  return text.table(headings, rows)
end

function Corners.__tostring(r)
  local lines = {page.heading(("%s: %s kg on its springs"):format(r.heading, text.plus_minus(r.mass, r.sd.mass, figures.kg(r, 1)))),
                 require("steelyard.answers.balance").corner_table(r)}
  if r.cross_share then
    lines[2] = lines[2] .. ("\nCross weight (RF + LR) %s %%."):format(text.plus_minus(r.cross_share, r.sd.cross_share, 2))
  end
  lines[#lines + 1] = ""
  lines[#lines + 1] = stand_table(r)
  lines[#lines + 1] = text.sentence(corners.pose(r))
  for _, steps in ipairs{step_table(r, r.per_turn, "one turn up on the perch of"),
                         step_table(r, r.per_pad_mm, "1 mm more under the pad of")} do
    if steps ~= "" then
      lines[#lines + 1] = ""
      lines[#lines + 1] = steps
    end
  end
  lines[#lines + 1] = ""
  return page.of(r, lines)
end

return corners
