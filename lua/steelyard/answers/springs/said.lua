--- What every result of a car on its springs says of them: rates and frequencies where it stands, curves and stops, the drawn state.

local core = require "steelyard.core"
local sides = require "steelyard.file.sides"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"

local said = {}

-- Hz; outside, the motion ratio was probably written the other way round (1 to 5 Hz holds road cars and racing cars without
-- downforce; common practice, no source)
local LOWEST_RIDE, HIGHEST_RIDE = 1, 5

-- "31.1", or "31.1 left, 33.0 right" of an axle whose wheels differ: wheel_rate then has both wheels too.
local function rate_words(c, i, wheel_rate)
  local own = {}
  for _, wheel in ipairs(c.geometry:wheels()) do own[#own + 1] = wheel.axle == i and wheel_rate[wheel.key] or nil end
  local left, right = own[1] and core.fixed(own[1], 1), own[2] and core.fixed(own[2], 1)
  if left == right then return core.fixed(wheel_rate[springs.axle_key(c, i)], 1) end
  return ("%s left, %s right"):format(left, right)
end

local function ratio_words(axle)
  return sides.words(axle, "motion_ratio", function(ratio)
    if type(ratio) ~= "table" then return text.plain(ratio or 1) end
    return text.plain(require("steelyard.file.suspension").ratio_at(ratio, 0)) .. " as drawn"
  end)
end

-- "from -60 to 60 mm" of a curve that ends before the travel of its wheel does, else nil.
local function ends_early(axle, side)
  local ratio = sides.number(axle, side, "motion_ratio")
  if type(ratio) ~= "table" then return nil end
  local droop, bump, low, high = sides.number(axle, side, "droop"), sides.number(axle, side, "bump"), ratio[1][1], ratio[#ratio][1]
  return ((droop or 0) > -low or (bump or 0) > high) and ("from %s to %s mm"):format(text.plain(low), text.plain(high)) or nil
end

-- Said, since the ratio stays from there on: once where both wheels have the same range.
local function curve_notes(c, list)
  for i, axle in ipairs(c.axles) do
    local of, early = sides.of(axle), {}
    for _, side in ipairs(of) do early[side] = ends_early(axle, side) end
    local alike = early[1] == early[-1]
    for _, side in ipairs(alike and {of[1]} or of) do
      if early[side] then
        list[#list + 1] = ("the motion ratios of the %s%s are given %s of wheel travel and stay the same beyond"):format(
          alike and "" or sides.name(side) .. " ", springs.axle_key(c, i) .. (alike and " axle" or " wheel"), early[side])
      end
    end
  end
end

--- "lf on its bump stop, 4.2 mm into it", of a result.
function said.bump_stop_notes(c, r, list)
  for _, key in ipairs(springs.wheels(c)) do
    local into = r.bump_stops and r.bump_stops[key]
    if into then list[#list + 1] = ("%s on its bump stop, %s mm into it"):format(key, core.fixed(into, 1)) end
  end
end

--- "the lf suspension is at its bump stop": of a wheel at an end of its travel.
function said.end_note(r, key)
  if r.bump_stops and r.stops[key] == "bump" then return ("the %s suspension is at the end of its bump travel"):format(key) end
  return ("the %s suspension is at its %s stop"):format(key, r.stops[key])
end

--- "front 31.1 N/mm at the wheel, 2.1 Hz" for every axle, and a warning for a frequency nobody would choose. stands: where the car stands,
-- and not as drawn, which differ where rates change with travel.
function said.ride_notes(c, wheel_rate, ride_hz, stands)
  local list, warnings = {}, {}
  for i, axle in ipairs(c.axles) do
    local key = springs.axle_key(c, i)
    local hz = ride_hz[key]
    list[i] = ("%s %s N/mm, %s"):format(key, rate_words(c, i, wheel_rate), hz and core.fixed(hz, 2) .. " Hz" or "nothing sprung")
    if hz and (hz < LOWEST_RIDE or hz > HIGHEST_RIDE) then
      warnings[#warnings + 1] = ("a ride frequency of %s Hz at the %s axle is %s: check its spring_rate and motion_ratio (spring "
        .. "travel / wheel travel, here %s), which may be upside down"):format(core.fixed(hz, 2), key,
        hz < LOWEST_RIDE and "very soft" or "very hard", ratio_words(axle))
    end
  end
  local where = stands and springs.bent(c) and "wheel rate and ride frequency where it stands: "
    or "wheel rate, and ride frequency as drawn: "
  table.insert(warnings, 1, where .. table.concat(list, "; "))
  if springs.bent(c) then curve_notes(c, warnings) end
  return warnings
end

local drawn_words = setmetatable({}, {__mode = "k"}) -- geometry -> {from what file, sentence}

local function drawn_with(c, cross)
  return ("changes from %s as drawn: body at its drawn heights, no twist%s"):format(c.shared.spec.design and ("%q"):format(
    c.shared.spec.design) or "everything in the file (no design state is named)", cross)
end

local function words_of_drawn(c)
  local kept = drawn_words[c.geometry]
  if not kept or kept.shared ~= c.shared then
    local measured = c.measured and c.measured.cross
    local cross = measured and (" and the cross weight that makes %s %% in state %s, as measured"):format(core.fixed(measured.share, 2),
      measured.state) or core.split(c.geometry) == "cross weight"
      and (" and a cross weight of %s %%"):format(text.plain(c.shared.spec.cross_share or 50)) or ""
    kept = {shared = c.shared, words = drawn_with(c, cross)}
    drawn_words[c.geometry] = kept
  end
  return kept.words
end

--- What the drawn state is, for every result. read: its cross weight, where that follows from what scales read.
function said.drawn_note(c, reset, read)
  local what = read and drawn_with(c, (" and the cross weight that follows from the reading, %s %%"):format(text.fixed(read, 2)))
    or words_of_drawn(c)
  if c.heights_set then what = what .. "; set to other heights by the perches, and drawn there" end
  if rawget(c, "lasting") == c.shared.filed and c.axles == c.shared.spec.axles then return what end
  if reset then return what .. "; springs set anew with its changes aboard" end
  return what .. "; springs stay as set before the changes"
end

return said
