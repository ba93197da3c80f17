--- Readings that contradict each other or no car: refused or warned about, by name, before and after the fit.

local core = require "steelyard.core"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"

local check = {}
local refuse = measurement.refuse

local POUNDS = 1 / core.constants.pound -- in a kilogram
local POUND_BAND = 0.1 -- of the ratio: axle loads change by a few percent when a car is tilted
local LOST = 0.02      -- share of the mass that no friction hides: something stands on, or a number is wrong
local CLEAR = 3        -- sigmas from which on a sum is said not to add up
local LEAST_LIFT = {wheel = 1, jack = 1, angle = 0.05} -- mm, deg: below it a load changes by less than any scale shows

-- Of the wheelbase, or of the track: 204 measured vehicles have 0.49 to 0.84 m and a static stability factor (track by twice the
-- height) from 0.96 on, which is a height of 0.52 tracks at most (SAE 1999-01-1336, tests/reference/vehicle_inertia.csv).
local MOST_HEIGHT, MOST_BY_TRACK = 0.5, 0.6

local function mean_of(list)
  local sum = 0
  for _, x in ipairs(list) do sum = sum + x end
  return #list > 0 and sum / #list or nil
end

-- Mean level load of each end over all runs, or of all readings where none is level.
local function usual_loads(s)
  local usual = {}
  for i = 1, 2 do
    local level, any = {}, {}
    for _, r in ipairs(s.readings) do
      if r.load[i] then any[#any + 1] = r.load[i] end
      if r.load[i] and r.lift == 0 then level[#level + 1] = r.load[i] end
    end
    table.sort(any)
    table.sort(level)
    local list = #level > 0 and level or any
    usual[i] = list[(#list + 1) // 2]
  end
  return usual
end

local function check_units(s, usual)
  for _, r in ipairs(s.readings) do
    for i = 1, s.side and r.lift > 0 and 0 or 2 do -- a side that is lifted may lose half its load
      local ratio = r.load[i] and usual[i] and usual[i] > 0 and r.load[i] / usual[i] or 1
      for _, unit in ipairs{{ratio, "pounds among kilograms"}, {ratio > 0 and 1 / ratio or 1, "kilograms among pounds"}} do
        if math.abs(unit[1] - POUNDS) < POUND_BAND then
          refuse(r.where, s.ends[i], "clash", ("is %s where %s is usual, about 2.2 times apart: %s?"):format(text.plain(r.load[i]),
            text.plain(usual[i]), unit[2]), {"write 627*sy.lb for pounds", "multiply pounds by " .. text.plain(core.constants.pound)})
        end
      end
    end
  end
end

local function total_of(r)
  if not (r.load[1] and r.load[2]) then return nil end
  local sd = r.load_sd[1] and r.load_sd[2] and math.sqrt(r.load_sd[1] ^ 2 + r.load_sd[2] ^ 2)
  return (r.load[1] + r.load[2]) / r.press, sd and sd / r.press
end

-- Level totals of a run, of all runs where it has none.
local function level_total(s, run)
  local own, all, sds = {}, {}, {}
  for _, r in ipairs(s.readings) do
    local total, sd = total_of(r)
    if total and r.lift == 0 then
      all[#all + 1], sds[#sds + 1] = total, sd
      if r.run == run then own[#own + 1] = total end
    end
  end
  local list = #own > 0 and own or all
  return mean_of(list), sds[1] and sds[1] / math.sqrt(#list)
end

local function check_sums(s)
  for _, r in ipairs(s.readings) do
    local total, sd = total_of(r)
    local level, level_sd = level_total(s, r.run)
    for i = 1, 2 do
      if level and r.load[i] and r.load[i] / r.press > level * (1 + LOST) then
        refuse(r.where, s.ends[i], "clash", ("is %s kg, more than the whole car's %s")
          :format(text.plain(r.load[i]), text.fixed(level, 1)))
      end
    end
    if total and level and not s.held and r.lift > 0 then
      local gap = total - level
      local words = ("loads come to %s kg, the level ones to %s: %s kg %s"):format(text.fixed(total, 1), text.fixed(level, 1),
        text.fixed(math.abs(gap), 1), gap > 0 and "too many" or "are missing")
      if math.abs(gap) > LOST * level then
        refuse(r.where, nil, "clash", words, "does something else hold the car, or is a number wrong?")
      end
      if sd and level_sd and math.abs(gap) > CLEAR * math.sqrt(sd ^ 2 + level_sd ^ 2) then
        s.notes[#s.notes + 1] = ("%s: its %s, %s times their uncertainty"):format(r.where, words,
          text.fixed(math.abs(gap) / math.sqrt(sd ^ 2 + level_sd ^ 2), 1))
      end
    end
  end
end

-- One run after the other must weigh the same car.
local function check_runs(s)
  local first
  for run, name in ipairs(s.runs) do
    for _, r in ipairs(s.readings) do
      local total = total_of(r)
      if r.run == run and r.lift == 0 and total then
        first = first or {total = total, name = name}
        if math.abs(total - first.total) > LOST * first.total then
          refuse(r.where, nil, "clash", ("weighs %s kg in run %s, %s in run %s: not the same car"):format(text.fixed(total, 1), name,
            text.fixed(first.total, 1), first.name))
        end
      end
    end
  end
end

local function check_settings(s)
  local lifts, count, lifted, level = {}, 0, false, false
  for _, r in ipairs(s.readings) do
    local key = r.lift > 0 and r.lifted .. "/" .. r.lift or 0
    if not lifts[key] then lifts[key], count = true, count + 1 end
    lifted, level = lifted or r.lift > 0, level or r.lift == 0
  end
  if not lifted then refuse("readings", nil, "geometry", "are all level: loads say nothing about the height until an end is lifted") end
  if count < 2 then
    refuse("readings", nil, "geometry", ("have a single setting, %s: the height needs two, level being one of them")
      :format(s.readings[1].where))
  end
  for _, r in ipairs(s.readings) do
    if r.lift > 0 and r.lift < LEAST_LIFT[s.by] then
      refuse(r.where, s.by == "angle" and "angle" or "lift", "geometry", "is too little to tell anything")
    end
  end
  if not level then s.notes[#s.notes + 1] = "nothing was read level: the level loads are worked back from the lifted ones" end
end

-- The mass is the sum of two ends read in one run.
local function check_mass(s)
  if s.mass then return end
  local read = {}
  for _, r in ipairs(s.readings) do
    read[r.run] = read[r.run] or {}
    for i = 1, 2 do read[r.run][i] = read[r.run][i] or r.load[i] ~= nil end
    if read[r.run][1] and read[r.run][2] then return end
  end
  refuse("CG height", "mass", "missing", ("follows from no reading: none has both %s and %s"):format(s.ends[1], s.ends[2]),
    {"read both once, level, or state mass = sy.sd(701.4, 0.2)",
      "read both once, level, or add a row mass,701.4,0.2"})
end

--- Before the fit.
function check.readings(s)
  check_settings(s)
  check_mass(s)
  check_units(s, usual_loads(s))
  check_sums(s)
  check_runs(s)
end

--- After it: is that the height of a car?
function check.height(s, height, sd)
  local said = ("comes out at %s mm"):format(text.plus_minus(height, sd, 0))
  if height <= 0 then
    refuse("CG height", nil, "geometry", ("%s, under the ground"):format(said),
      "look for a sign, a mixed-up axle, an angle that is not the body's; at a small lift the uncertainty alone may do it: lift higher")
  end
  if s.roof and height > s.roof then
    refuse("CG height", nil, "geometry", ("%s, above the roof at %s"):format(said, text.plain(s.roof)),
      "look for a wrong load, mass or angle")
  end
  local longest = s.side and MOST_BY_TRACK * s.wheelbase or MOST_HEIGHT * s.wheelbase
  if not s.roof and height > longest then
    refuse("CG height", nil, "geometry", ("%s, more than %s of the %s: no car's is"):format(said, s.side and "six tenths" or "half",
      s.side and "track" or "wheelbase"), "look for a wrong load, mass or angle; `roof` says how high it can be")
  end
end

return check
