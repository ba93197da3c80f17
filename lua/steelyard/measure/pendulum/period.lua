--- The period of a swing with its uncertainty, from a stated one or from timings of many swings.

local core = require "steelyard.core"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"

local swung = {}
local refuse = measurement.refuse

local FEW = 10 -- swings in one timing: below it a hand's 0.1 to 0.2 s (common practice, no source) is above 1 % of most periods

-- all timings, s, and the mean of their stated variances
local function read_times(t, where)
  local times, variance, stated = {}, 0, true
  for i in ipairs(measurement.list(t, "times", where)) do
    local sd
    times[i], sd = measurement.number(t.times, i, "s", {above = 0, need = true}, where, ("times[%d]"):format(i))
    stated = stated and sd ~= nil
    variance = variance + (sd or 0) ^ 2
  end
  return times, stated and variance / #times or nil
end

local function median(list)
  local sorted = table.move(list, 1, #list, 1, {})
  table.sort(sorted)
  local n = #sorted
  return (sorted[(n + 1) // 2] + sorted[n // 2 + 1]) / 2
end

-- A timing that is one swing or more off the others was counted wrong; nothing else is that far off.
local function check_counts(times, swings, where)
  local middle = median(times)
  for i, time in ipairs(times) do
    local off = (time - middle) / (middle / swings)
    if #times > 2 and math.abs(off) > 0.5 then
      local count = math.floor(math.abs(off) + 0.5)
      refuse(where, ("times[%d]"):format(i), "content", ("is %s s, %s %s than the others (%s s)"):format(text.plain(time),
        text.count(math.max(count, 1), "swing"), off > 0 and "more" or "less", text.fixed(middle, 2)),
        "were the swings counted right? correct or drop it")
    end
  end
end

local function from_times(t, where)
  local swings = measurement.number(t, "swings", "", {above = 0, need = true}, where)
  if swings % 1 ~= 0 then refuse(where, "swings", "range", "must be a whole number of full swings, there and back") end
  local times, stated = read_times(t, where)
  check_counts(times, swings, where)
  local n, sum, squares, alike = #times, 0, 0, true
  for _, time in ipairs(times) do sum, alike = sum + time, alike and time == times[1] end
  for _, time in ipairs(times) do squares = squares + (time - sum / n) ^ 2 end
  local notes = {}
  -- JCGM 100:2008 (GUM), 4.2.3 and G.3: few repeats know their own scatter badly, so the standard uncertainty is widened until
  -- 1.96 of it covers the 95 % of Student's distribution
  local seen = n > 1 and not alike and math.sqrt(squares / (n - 1) / n) * core.student(0.975, n - 1) / text.K95 or nil
  local declared = stated and math.sqrt(stated / n)
  if n > 1 and alike and not declared then
    notes[#notes + 1] = "all timings are the same: the stopwatch's step hides how well they repeat; state an uncertainty"
  end
  if n == 1 and not declared then
    notes[#notes + 1] = "one timing without a stated uncertainty does not show its scatter; take three or more"
  end
  if swings < FEW then
    notes[#notes + 1] = ("%s a timing are few: a hand on the stopwatch errs by 0.1 to 0.2 s (common practice, no source)"):format(
      text.count(swings, "swing"))
  end
  local sd = (seen or declared) and math.max(seen or 0, declared or 0) / swings or nil
  return {value = sum / n / swings, sd = sd, timings = n, swings = swings, notes = notes}
end

--- {value, sd or nil, notes}: seconds for one full swing of what t says in period, or times and swings.
function swung.read(t, where)
  if t.period ~= nil and t.times ~= nil then refuse(where, "times", "clash", "and period are both given: one of the two") end
  if t.times ~= nil then return from_times(t, where) end
  if t.swings ~= nil then refuse(where, "times", "missing", "is missing beside swings") end
  if t.period == nil then
    refuse(where, "period", "missing", "is missing", "or times = {...} with swings = how many full swings each took")
  end
  local value, sd = measurement.number(t, "period", "s", {above = 0}, where)
  return {value = value, sd = sd, notes = {}}
end


return swung
