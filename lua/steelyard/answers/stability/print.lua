--- How car:stability prints: the metatable of its result.

local figures = require "steelyard.print.figures"
local force = require "steelyard.answers.force"
local page = require "steelyard.print.page"
local said = require "steelyard.answers.stability.said"
local text = require "steelyard.print.text"

local Stability = require("steelyard.reference.results").kind "stability"

local plus = text.plus_minus

local function degrees(angle, sd) return angle and plus(angle, sd, 1) or "-" end

local function lift(entry, sd) return entry.angle and ("%s, %s"):format(plus(entry.angle, sd.angle, 1), entry.wheel) or "-" end

local function tilt_table(r)
  local rows, soft, sd = {}, r.compliant, r.sd.compliant
  for i, side in ipairs{"left", "right"} do
    rows[i] = {side, lift(r.lift[side], r.sd.lift[side]), degrees(r.tip[side], r.sd.tip[side]),
               soft.lift and lift(soft.lift[side], sd.lift[side]) or "unknown",
               soft.tip and degrees(soft.tip[side], sd.tip[side]) or "unknown"}
  end
  return text.table({{"table, low side", "%s"}, {"first wheel off, deg: rigid", "%s"}, {"tips", "%s"}, {"on springs", "%s"},
                     {"tips", "%s"}}, rows)
end

local function force_words(line)
  if line.braking > 0 then return ("braking %s g"):format(text.fixed(line.braking, 2)) end
  if line.drive > 0 then return ("drive %s g"):format(text.fixed(line.drive, 2)) end
  return "neither"
end

local function line_table(r)
  local rows = {}
  for i, line in ipairs(r.lines) do
    local function side(key)
      local g = line[key]
      return g and ("%s over %s-%s"):format(text.fixed(g, 2), line.edge[key][1], line.edge[key][2]) or "tips by itself"
    end
    rows[i] = {force_words(line), side "left_turn", side "right_turn"}
  end
  return text.table({{"rigid, tips at g with", "%s"}, {"left turn", "%s"}, {"right turn", "%s"}}, rows)
end

local function percent(deg) return text.fixed(100 * math.tan(math.rad(deg)), 0) end

local function grade_line(r)
  local g, sd = r.grade, r.sd.grade
  return ("Grades, rigid: facing up it tips at %s deg (%s %%), facing down at %s deg (%s %%)."):format(degrees(g.up, sd.up), percent(g.up),
    degrees(g.down, sd.down), percent(g.down))
end

local function traction_line(r)
  local t, sd = r.traction, r.sd.traction
  if not t then return nil end
  local function one(key)
    local shown = ("%s %s g"):format(key == "all" and "all wheels" or key, plus(t[key], sd[key], 2))
    return r.downforce and shown or ("%s, a grade of %s %%"):format(shown, text.fixed(100 * t[key], 0))
  end
  return ("Traction at mu %s by driven axle: %s; %s; %s."):format(text.plain(r.mu), one "front", one "rear", one "all")
end

local limits = {front = "the front axle slips", rear = "the rear axle slips", lift = "the front wheels leave the ground"}

local function split_line(r)
  local s = r.split
  if not s then return nil end
  local ideal = s.ideal and ("; both axles slip together at %s %%"):format(plus(s.ideal, r.sd.split.ideal, 1)) or ""
  local grade = r.downforce and "" or (", a grade of %s %%"):format(text.fixed(100 * r.traction.split, 0))
  return ("With %s %% of the drive in front %s g%s, then %s%s."):format(text.plain(s.front_share),
    plus(r.traction.split, r.sd.traction.split, 2), grade, limits[s.limited_by], ideal)
end

local function brake_lines(r, lines)
  local b, sd = r.brake, r.sd.brake
  if not b then return end
  local row, headings = {"front share, %"}, {{"ideal brake split at", "%s"}}
  for i, at in ipairs(b.curve) do
    headings[i + 1] = {text.fixed(at.z, 1) .. " g", "%s"}
    row[i + 1] = plus(at.front_share, at.sd, 1)
  end
  lines[#lines + 1] = ""
  lines[#lines + 1] = text.table(headings, {row})
  if not b.front_share then return end
  local order
  if b.critical_z <= 0 then order = "the rear locks first at any deceleration"
  else order = ("the front locks first below %s g, the rear above"):format(plus(b.critical_z, sd.critical_z, 2)) end
  lines[#lines + 1] = ("With %s %% in front %s; at mu %s the %s locks first, at %s g."):format(text.plain(b.front_share), order,
    text.plain(r.mu), b.locks_first, plus(b.at, sd.at, 2))
end

function Stability.__tostring(r)
  local lines = {page.heading(("%s: stability"):format(r.heading))}
  lines[2] = tilt_table(r)
  lines[3] = said.verdict(r)
  lines[4] = r.ssf and ("Static stability factor (mean track / twice the CG height) %s."):format(plus(r.ssf, r.sd.ssf, 3))
    or "Static stability factor: only for two wheels on every axle."
  if r.downforce then
    local lower = r.sink and text.worded(-r.sink, figures.mm(r, 1), "mm higher", "mm lower")
    lines[#lines + 1] = force.air(r) .. (lower and (" Under it the CG stands %s."):format(lower) or "")
  end
  if r.ssf and r.forward == 0 then -- with two wheels on every axle braking hardly moves the limit
    lines[#lines + 1] = ("Rigid, it tips at %s g in a left turn and at %s g in a right turn."):format(
      plus(r.side.left_turn, r.sd.side.left_turn, 2), plus(r.side.right_turn, r.sd.side.right_turn, 2))
  else
    lines[#lines + 1] = ""
    lines[#lines + 1] = line_table(r)
  end
  if r.forward ~= 0 and r.side_g == 0 then
    lines[#lines + 1] = ("With %s g %s it tips without any turn, rigid."):format(text.plain(math.abs(r.forward)),
      r.forward > 0 and "braking" or "drive")
  elseif r.forward ~= 0 then
    lines[#lines + 1] = ("With %s g %s it tips sideways at %s g, rigid."):format(text.plain(math.abs(r.forward)),
      r.forward > 0 and "braking" or "drive", plus(r.side_g, r.sd.side_g, 2))
  end
  lines[#lines + 1] = grade_line(r)
  lines[#lines + 1] = traction_line(r)
  lines[#lines + 1] = split_line(r)
  brake_lines(r, lines)
  if r.nose_load then
    lines[#lines + 1] = ("Nose load %s kg, %s %% of the whole."):format(plus(r.nose_load, r.sd.nose_load, figures.kg(r, 1)),
      text.fixed(r.nose_share, 1))
  end
  return page.of(r, lines, {cautions = said.CAUTIONS})
end

return Stability
