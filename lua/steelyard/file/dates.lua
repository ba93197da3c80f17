--- Dates of ISO 8601 in a vehicle file.

local entries = require "steelyard.file.entries"
local user_values = require "steelyard.file.user_values"

local dates = {readers = {}}
local readers, wrong = dates.readers, entries.wrong

local month_days = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

-- Days of a month: every fourth year is a leap year, but of the hundreds every fourth (Gregorian calendar, ISO 8601-1:2019, 4.2).
local function days_of(year, month)
  local leap = year % 4 == 0 and (year % 100 ~= 0 or year % 400 == 0)
  return month == 2 and leap and 29 or month_days[month]
end

local function is_time(rest)
  local hour, minute, after = rest:match "^T(%d%d):(%d%d)(.*)$"
  if not hour or tonumber(hour) > 23 or tonumber(minute) > 59 then return false end
  local second, behind = after:match "^:(%d%d)(.*)$"
  if second and tonumber(second) > 59 then return false end
  local zone = second and behind or after
  if zone == "" or zone == "Z" then return true end
  local h, m = zone:match "^[+-](%d%d):(%d%d)$"
  return h ~= nil and tonumber(h) <= 23 and tonumber(m) <= 59
end

--- A calendar date of ISO 8601-1:2019, 5.2.2, extended format: a year, a month or a day, the day with a time of day or without.
function dates.is_date(value)
  local year, rest = value:match "^(%d%d%d%d)(.*)$"
  if not year then return false end
  if rest == "" then return true end
  local month, behind = rest:match "^%-(%d%d)(.*)$"
  if not month or not month_days[tonumber(month)] then return false end
  if behind == "" then return true end
  local day, time = behind:match "^%-(%d%d)(.*)$"
  if not day or tonumber(day) < 1 or tonumber(day) > days_of(tonumber(year), tonumber(month)) then return false end
  return time == "" or is_time(time)
end

function readers.date(ctx, owner, key, value, _, out)
  if type(value) ~= "string" then
    return wrong(ctx, owner, key, "type", ("must be a date in quotes, is %s"):format(user_values.what(value)), 'as in date = "2026-03-14"')
  end
  if not dates.is_date(value) then
    return wrong(ctx, owner, key, "content", ("%q is not a date of ISO 8601"):format(value),
      "year, month and day, as in 2026-03-14, a time as in 2026-03-14T09:30")
  end
  out[key] = value
end

return dates
