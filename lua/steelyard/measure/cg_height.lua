--- sy.cg_height{...}: height of the centre of gravity from loads read level and lifted; fields in reference/options/lift.lua.
--
-- Reading: cg_height/read.lua. Objections: cg_height/check.lua. The fit: core/measure/cgheight.h. Printing: cg_height/print.lua.

local core = require "steelyard.core"
local check = require "steelyard.measure.cg_height.check"
local liquids = require "steelyard.measure.cg_height.liquids"
local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"
local plausible = require "steelyard.answers.plausible"
local read = require "steelyard.measure.cg_height.read"
local text = require "steelyard.print.text"
local remarks = require "steelyard.measure.cg_height.remarks"

local cg_height = {}
local methods = {}
local Height = require("steelyard.reference.results").kind("cg_height", methods)

-- What a result was worked out from, for result:plan.
local sessions = setmetatable({}, {__mode = "k"})

local COVERAGE = 0.95
local CLEAR = 2 -- sigmas from which on a gap or a trend is spoken of

-- ---- the fit --------------------------------------------------------------------------------------------------------------

-- What core.cg_height takes.
local function session_for_core(s, pad, exact_lifts)
  local list = {}
  for i, r in ipairs(s.readings) do
    list[i] = {run = r.run, lifted = r.lifted == 1 and "front" or "rear", lift = r.lift, lift_sd = exact_lifts and 0 or r.lift_sd,
               load = r.fitted or r.load, load_sd = {}, step_sd = {}, blocks = r.blocks, shift = r.shift}
    for k = 1, 2 do
      local own = not exact_lifts and (r.fitted_sd or r.load_sd)[k]
      list[i].load_sd[k] = r.load[k] and (own or pad * r.pads[k] ^ 0.5)
      list[i].step_sd[k] = not exact_lifts and r.load[k] and math.min(s.step_sd * r.pads[k] ^ 0.5, list[i].load_sd[k]) or 0
    end
  end
  return {wheelbase = s.wheelbase, radius = s.radius, unsprung = s.unsprung, rate = s.rate, tyre = s.tyre, held = s.held,
          rate_sd = s.rate_sd, tyre_sd = s.tyre_sd, unsprung_sd = s.unsprung_sd and {s.unsprung_sd[1] or 0, s.unsprung_sd[2] or 0},
          held_sd = s.held_sd, block_sd = s.blocks and not exact_lifts and s.blocks.sd or nil,
          by_angle = s.by == "angle", on_plane = s.plane,
          wheelbase_sd = s.wheelbase_sd or 0, radius_sd = {s.radius_sd[1] or 0, s.radius_sd[2] or 0},
          mass = s.mass, mass_sd = s.mass_sd, drift = s.zero, runs = #s.runs, readings = list}
end

-- The core names readings by their number, the first of two ends front.
local function solve(s, session)
  local fine, r = pcall(core.cg_height, session)
  if fine then return r end
  if getmetatable(r) ~= core.error_metatable then error(r, 0) end
  local i = tonumber((r.part or ""):match "^reading (%d+)$")
  if i then r.part = s.readings[i].where end
  r.kind = ""
  error(r, 0)
end

-- Pads that nobody vouches for are as good as the readings scatter about the fit.
local function find_pads(s)
  for _, r in ipairs(s.readings) do
    for k = 1, 2 do
      if r.load[k] and not r.load_sd[k] then
        local rough = solve(s, session_for_core(s, 1, true))
        if rough.tested == 0 then
          measurement.refuse(read.WHERE, "sd.pad", "missing", "is missing, and too few readings show how good the pads are",
            "as in sd = {pad = 0.1}, one standard deviation in kg")
        end
        local pad = math.sqrt(rough.chi2 / rough.tested)
        if pad < 1e-6 then
          measurement.refuse(read.WHERE, "sd.pad", "missing", "is missing, and readings that fit without any scatter prove nothing",
            "as in sd = {pad = 0.1}, one standard deviation in kg")
        end
        s.notes[#s.notes + 1] = ("nothing is stated about the pads: taken as %s kg from the scatter about the fit")
          :format(text.fixed(pad, 2))
        return pad, rough.tested
      end
    end
  end
end

-- What the liquids have moved at each tilt; tilts from the lifts alone.
local function move_liquids(s)
  if #s.tanks == 0 then return end
  for _, r in ipairs(s.readings) do
    if r.lift > 0 then
      local tilt = r.lift
      if s.by ~= "angle" then
        local why
        local core_end = r.lifted == 1 and "front" or "rear" -- of sides too
        tilt, why = core.lift_tilt({wheelbase = s.wheelbase, radius = s.radius, lifted = core_end, held = s.held}, r.lift)
        if not tilt then measurement.refuse(r.where, "lift", "geometry", why) end
      end
      r.shift = liquids.shift(s.tanks, r.lifted == 1 and tilt or -tilt, r.where)
    end
  end
end

-- ---- the answer ---------------------------------------------------------------------------------------------------------------

-- The end that stays down in each run, 1 or 2; false in a run that lifts both.
local function standing_ends(s)
  local list = {}
  for _, reading in ipairs(s.readings) do
    local stays = reading.lift > 0 and 3 - reading.lifted or nil
    if stays and list[reading.run] == nil then list[reading.run] = stays
    elseif stays and list[reading.run] ~= stays then list[reading.run] = false end
  end
  return list
end

local function names_of_blocks(s, numbers)
  if not numbers then return nil end
  local names = {}
  for i, number in ipairs(numbers) do names[i] = s.blocks.names[number] end
  return names
end

local function add_rows(result, s, r)
  result.rows = {}
  local standing = standing_ends(s)
  for i, reading in ipairs(s.readings) do
    local found, low = r.rows[i], reading.lift > 0 and 3 - reading.lifted or standing[reading.run]
    local shown = low and reading.load[low] and low or reading.load[1] and 1 or 2 -- the end that stays down, if it was read
    local core_word = shown == 1 and "front" or "rear"
    local other = reading.load[3 - shown] or not s.plane and result.mass - reading.load[shown] or nil
    result.rows[i] = {run = reading.run_name, lifted = reading.lift > 0 and s.ends[reading.lifted] or "level",
      lift = s.by ~= "angle" and reading.lift or nil, angle = found.tilt, height = found.height, end_read = s.ends[shown],
      load = reading.load[shown], other_load = other, blocks = names_of_blocks(s, reading.blocks),
      residual = found.residual[core_word], sigmas = found.standardised[core_word],
      redundancy = found.redundancy[core_word], what = reading.where,
      sd = {height = found.u_height, load = reading.load_sd[shown] or result.sd.pad * reading.pads[shown] ^ 0.5}}
  end
end

local function add_runs(result, s, r)
  result.runs = {}
  for i, name in ipairs(s.runs) do
    local level = r.levels[i]
    result.runs[i] = {run = name, readings = level.readings, [s.ends[1]] = level.front, [s.ends[2]] = level.rear,
                      sd = {[s.ends[1]] = level.u_front, [s.ends[2]] = level.u_rear}}
  end
end

local function add_budget(result, s, r)
  local names = {loads = s.step and "pads, their step among it" or "pads", lifts = s.by == "angle" and "angles" or "lifts",
    ["front radius"] = s.side and "crown radius, left" or "front radius",
    ["rear radius"] = s.side and "crown radius, right" or "rear radius",
    wheelbase = s.side and "track" or "wheelbase", mass = "mass", blocks = "blocks", ["jack point"] = "jack point", runs = "runs",
    suspension = "suspension rates", tyres = "tyre rates", unsprung = "unsprung masses",
    drift = s.zero and "zero drift" or "zero drift (the gap between runs)"}
  local list = {}
  for i, source in ipairs(r.sources) do list[i] = {source = names[source.source], u = source.u} end
  local _
  _, result.budget = measurement.budget(list)
end

-- "the front load or the lift of reading 4, rear up 450 mm"
local function name_of(s, tied)
  if tied.what == "block" then return ("block %s"):format(s.blocks.names[tied.reading]) end
  local reading = s.readings[tied.reading]
  if not reading then return "the mass" end
  if tied.what == "lift" then return s.by == "angle" and "the angle" or "the lift", reading end
  return ("the %s load"):format(s.ends[tied.what == "front" and 1 or 2]), reading
end

local function add_suspect(result, s, r)
  if not r.suspicious then return end
  local first = r.tied[1]
  local what, reading = name_of(s, first)
  local suspect = {run = reading and reading.run_name, lift = reading and reading.lift, what = what, reading = reading and reading.where,
                   sigmas = r.off, critical = r.critical, tied = {}}
  for i = 2, #r.tied do
    local other, at = name_of(s, r.tied[i])
    suspect.tied[i - 1] = at == reading and other or ("%s of %s"):format(other, at and at.where or "the car")
  end
  result.suspect = suspect
end

-- The largest gap between the levels of two runs, in sigmas, on either end.
local function add_hysteresis(result, s, r, session)
  local worst
  for a = 1, #s.runs do
    for b = a + 1, #s.runs do
      for k, word in ipairs{"front", "rear"} do
        local one, two = r.levels[a], r.levels[b]
        if one[word] and two[word] then
          local gap, sd = two[word] - one[word], math.sqrt(one["u_" .. word] ^ 2 + two["u_" .. word] ^ 2)
          if not worst or math.abs(gap) / sd > math.abs(worst.gap) / worst.sd then
            worst = {["end"] = s.ends[k], gap = gap, sd = sd, from = s.runs[a], to = s.runs[b]}
          end
        end
      end
    end
  end
  if not worst then return end
  worst.sigmas = math.abs(worst.gap) / worst.sd
  worst.clear = worst.sigmas > CLEAR
  session.common_level = true
  worst.height_with_one_level = solve(s, session).height
  result.hysteresis = worst
end

local function add_trend(result, r)
  if not r.trend then return end
  local steepest = 0
  for _, row in ipairs(r.rows) do steepest = math.max(steepest, row.tilt) end
  local by = math.tan(math.rad(steepest))
  result.trend = {change = r.trend * by, sd = r.u_trend * by * r.widened, to = steepest}
  result.trend.sigmas = math.abs(result.trend.change) / result.trend.sd
  result.trend.clear = result.trend.sigmas > CLEAR
end

-- The 95 % of an answer by half their width.
local function interval(value, u, dof, half)
  return {low = value - half, high = value + half, coverage = COVERAGE, factor = u > 0 and half / u or text.K95,
          dof = dof < math.huge and dof or nil}
end

local function interval_of(r, name) return interval(r[name], r["u_" .. name], r["dof_" .. name], r["half_" .. name]) end

-- Four pads tell the place across, level or lifted; what widens the loads widens it, and so do runs that differ: each pad carries half
-- the variance of an axle.
local function place_across(result, s, r)
  local four, pads, seen, runs = {}, {}, {}, 0
  for _, reading in ipairs(s.readings) do
    if reading.four then
      four[#four + 1], pads[#pads + 1] = reading.four, reading.four_sd[1] or result.sd.pad
      if not seen[reading.run] then seen[reading.run], runs = true, runs + 1 end
    end
  end
  if #four == 0 then return end
  if not s.tracks then
    s.notes[#s.notes + 1] = "four pads were read; with tracks = {front =, rear =} they tell the CG's place across the car too"
    return
  end
  local left, u = core.lateral(four, pads, s.across)
  local _, by_one = core.lateral({four[1]}, {1}, s.across)
  local own, between = r.widened * u, by_one * r.run_sd / math.sqrt(2 * runs)
  local dof = between > own and r.run_dof or r.widened > 1 and r.widened_dof or s.pad_dof or math.huge
  u = math.max(own, between)
  result.cg_left, result.sd.cg_left = left, u
  result.cg.y, result.sd.cg.y = -left, u
  local low, high = core.interval(left, u, dof, COVERAGE)
  result.intervals.cg_left = interval(left, u, dof, (high - low) / 2)
end

-- Behind the front axle and, from four pads, left of the centre; sideways: from the left track. Whatever axes a file may have, words
-- are made of these two; cg counts back and right, as the fields do.
local function add_place(result, s, r)
  local sd = result.sd
  result.cg = {z = r.height}
  sd.cg = {z = r.u_height}
  result.intervals = {height = result.interval, mass = interval_of(r, "mass")}
  local share, behind = interval_of(r, "front_share"), interval_of(r, "behind")
  if s.side then
    local half = read.mean_half_tracks(s)
    result.cg_left, sd.cg_left = half - r.behind, r.u_behind
    result.cg.y, sd.cg.y = -result.cg_left, r.u_behind
    result.left_share, sd.left_share = r.front_share, r.u_front_share
    behind.low, behind.high = half - behind.high, half - behind.low
    result.intervals.cg_left, result.intervals.left_share = behind, share
    return
  end
  result.cg_behind, sd.cg_behind = r.behind, r.u_behind
  result.cg.x, sd.cg.x = r.behind, r.u_behind
  result.front_share, sd.front_share = r.front_share, r.u_front_share
  result.intervals.cg_behind, result.intervals.front_share = behind, share
  place_across(result, s, r)
end

-- ---- restated --------------------------------------------------------------------------------------------------------------------

-- Unsprung masses stay down: what the springs carry moves, by the lever rule with the level loads less the unsprung ones.
local function at_ride(result, s, r, t)
  if t.at_ride == nil then return end
  if s.side then measurement.refuse(read.WHERE, "at_ride", "clash", "needs an axle to be lifted, not a side") end
  local up = read.pair(t, "at_ride", "mm", {need = true, min = -1e6, max = 1e6}, read.WHERE)
  local unsprung = s.unsprung or {0, 0}
  local front = result.mass * (1 - r.behind / s.wheelbase)
  local rise = (up[1] * (front - unsprung[1]) + up[2] * (result.mass - front - unsprung[2])) / result.mass
  result.at_ride = {height = r.height + rise, rise = rise, front = up[1], rear = up[2], sd = {height = r.u_height}}
  if not s.unsprung then
    s.notes[#s.notes + 1] = "at ride height: no unsprung masses given, all of the car counts as moving with the springs"
  end
end

-- With somebody more (sign 1) or less (-1) aboard.
local function with_person(result, r, t, key, sign)
  if t[key] == nil then return end
  local where = read.WHERE .. ", " .. key
  local p = measurement.fields(t[key], options.names("lift", key), where)
  local mass, mass_sd = measurement.number(p, "mass", "kg", {above = 0, max = 1e5, need = true}, where)
  local height, height_sd = measurement.number(p, "height", "mm", {need = true, min = -1e6, max = 1e6}, where)
  local total = result.mass + sign * mass
  if total <= 0 then measurement.refuse(where, "mass", "range", "is more than the car weighs") end
  local answer = (result.mass * r.height + sign * mass * height) / total
  local u = math.sqrt((result.mass / total * r.u_height) ^ 2 + (mass / total * (height_sd or 0)) ^ 2
    + ((height - answer) / total * (mass_sd or 0)) ^ 2 + ((r.height - answer) / total * r.u_mass) ^ 2)
  result[key] = {name = measurement.text(p, "name", where) or "driver", mass = mass, at = height, height = answer, total = total,
                 sd = {height = u}}
end

local function against(result, r, t)
  if t.against == nil then return end
  local where = read.WHERE .. ", against"
  local a = measurement.fields(t.against, options.names("lift", "lift_against"), where)
  local height, sd = measurement.number(a, "height", "mm", {need = true, min = -1e6, max = 1e6}, where)
  local gap = r.height - height
  local both = math.sqrt(r.u_height ^ 2 + (sd or 0) ^ 2)
  result.against = {name = measurement.text(a, "name", where) or "ledger", ledger = height, gap = gap, sd = {ledger = sd, gap = both},
                    sigmas = both > 0 and math.abs(gap) / both or nil}
  result.against.agrees = math.abs(gap) <= math.sqrt(r.half_height ^ 2 + (text.K95 * (sd or 0)) ^ 2)
  local mass, mass_sd = measurement.number(a, "mass", "kg", {above = 0, max = 1e5}, where)
  if mass then
    result.against.mass, result.against.mass_gap = mass, result.mass - mass
    result.against.sd.mass_gap = math.sqrt(r.u_mass ^ 2 + (mass_sd or 0) ^ 2)
    result.against.mass_agrees = math.abs(result.mass - mass) <= math.sqrt(r.half_mass ^ 2 + (text.K95 * (mass_sd or 0)) ^ 2)
  end
end

-- ---- advice ------------------------------------------------------------------------------------------------------------------------

local lone_run_note = "run %s has one lift only: its own level takes that reading up, and it says nothing about the height"

-- Is that the height of a car, as it stood and as restated? A low one is only mentioned, after all else.
local function put_objections(result, s, r)
  local case = {height = r.height, mass = r.mass, track = s.side and s.wheelbase or s.tracks and (s.tracks[1] + s.tracks[2]) / 2,
                radius = not (s.side or s.plane) and (s.radius[1] + s.radius[2]) / 2 or nil}
  local found = plausible.height(case)
  table.move(s.notes, 1, #s.notes, #found + 1)
  table.move(found, 1, #found, 1, s.notes)
  s.notes[#s.notes + 1] = plausible.low(case)
  if #found > 0 then return end -- the others follow from it
  for _, restated in ipairs{{result.at_ride, "at ride height"}, {result.with_driver, "with the driver"},
                            {result.without_driver, "without the driver"}} do
    local at, when = restated[1], restated[2]
    case.height, case.mass = at and at.height or r.height, at and at.total or r.mass
    for _, sentence in ipairs(plausible.height(case)) do s.notes[#s.notes + 1] = ("%s: %s"):format(when, sentence) end
  end
end

local function advice(result, s, r)
  local notes = s.notes
  if #s.exact > 0 then notes[#notes + 1] = measurement.exact_note(s.exact) end
  for i, name in ipairs(s.runs) do
    local seen, count = {}, 0
    for _, reading in ipairs(s.readings) do
      if reading.run == i and not seen[reading.lift] then seen[reading.lift], count = true, count + 1 end
    end
    if count < 2 and #s.runs > 1 then notes[#notes + 1] = lone_run_note:format(name) end
  end
  if r.tested == 0 then notes[#notes + 1] = "no reading to spare: nothing checks these, read more lifts or come down the same way" end
  if r.widened > 1 then
    notes[#notes + 1] = ("the readings scatter %s times what their uncertainties allow: all answers are widened by that, with Student's "
      .. "factor of %s degrees of freedom"):format(text.fixed(r.widened, 1), text.fixed(r.widened_dof, 0))
  end
  if r.run_sd > 0 then
    notes[#notes + 1] = ("the level loads differ from run to run by %s kg (one standard deviation): mass, place and share, means of runs, "
      .. "are widened by that, with Student's factor of %s degrees of freedom"):format(text.fixed(r.run_sd, 2), text.fixed(r.run_dof, 0))
  end
  if #s.runs == 1 and r.tested > 0 then
    notes[#notes + 1] = "one way only: coming down by the same steps shows friction and a zero that moves (ISO 10392:2011, 6.2)"
  end
  if s.wheelbase_sides then
    notes[#notes + 1] = ("wheelbase %s left, %s right: %s by what each side carries"):format(text.plain(s.wheelbase_sides[1]),
      text.plain(s.wheelbase_sides[2]), text.fixed(s.wheelbase, 1))
  end
  put_objections(result, s, r)
  result.notes = notes
  notes[#notes + 1] = remarks.CAUTION
end

--- Printed with every lift, planned or done.

-- Where the body was held, by the end that was up; nil where that was under the wheels.
local function jack_of(s)
  if not s.held then return nil end
  local at = {}
  for _, reading in ipairs(s.readings) do
    local point = reading.lift > 0 and s.held[reading.lifted]
    if point then at[s.ends[reading.lifted]] = {back = point[1], height = point[2]} end
  end
  return at
end

-- ---- all of it -------------------------------------------------------------------------------------------------------------------------

local function heading(s)
  return ("%s, %s"):format(s.title or "CG height", s.state or "as weighed")
end

--- The measurement from fields.
function cg_height.of(t)
  local s = read.session(t)
  check.readings(s)
  move_liquids(s)
  local pad, dof = find_pads(s)
  local session = session_for_core(s, pad)
  session.load_dof = dof
  local r = solve(s, session)
  check.height(s, r.height, r.u_height)
  s.pad_dof = dof
  local result = {title = s.title, state = s.state or "as weighed", heading = heading(s), height = r.height, mass = r.mass,
    interval = interval_of(r, "height"),
    sd = {height = r.u_height, mass = r.u_mass, pad = pad or s.pad}, chi2 = r.chi2, dof = r.tested, p = r.p, widened = r.widened,
    run_sd = r.run_sd > 0 and r.run_sd or nil,
    wheelbase = s.wheelbase, radii = {[s.ends[1]] = s.radius[1], [s.ends[2]] = s.radius[2]}, by = s.by,
    held = s.held ~= nil and s.by == "angle" or nil, jack = jack_of(s),
    on = s.plane and "plane" or "pads", suspension = s.rate and "free" or "locked"}
  add_place(result, s, r)
  add_rows(result, s, r)
  add_runs(result, s, r)
  add_budget(result, s, r)
  add_suspect(result, s, r)
  add_trend(result, r)
  at_ride(result, s, r, t)
  with_person(result, r, t, "with_driver", 1)
  with_person(result, r, t, "without_driver", -1)
  against(result, r, t)
  add_hysteresis(result, s, r, session)
  result.spoils = remarks.spoils(result, s)
  advice(result, s, r)
  sessions[result] = s
  return setmetatable(result, Height)
end

--- The car as core.lift_point takes it, with an end of the result lifted: "front", "rear", or "left", "right".
function cg_height.lifted_car(result, lifted)
  local s = sessions[result]
  return {wheelbase = s.wheelbase, radius = s.radius, lifted = lifted == s.ends[1] and "front" or "rear", held = s.held}
end

--- Of a side lift: where the left wheels stand, mm left of the centre plane.
function cg_height.left_track(result)
  local s = sessions[result]
  return s.side and (read.mean_half_tracks(s)) or nil
end

function Height.__tostring(result) return require("steelyard.measure.cg_height.print").page(result) end

--- What it would take to be good to `within` mm, with pads, lifts and radii as good as they were here.
function methods:plan(within)
  return require("steelyard.measure.plan_lift").after(self, sessions[self], within)
end

return cg_height
