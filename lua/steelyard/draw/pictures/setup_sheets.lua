--- What stands on a set-up sheet, from a result of car:perches, sy.corner_scales or car:corners. See setup.lua for the fields.

local figures = require "steelyard.print.figures"
local perches = require "steelyard.answers.perches"
local printed = require "steelyard.answers.perches.print"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local sheets = {}

local function percent(value, sd) return words.value(value, sd, 2, "%") end

local function sentences(list)
  local said = {}
  for i, one in ipairs(list) do said[i] = words.sentence(text.sentence(one)) end
  return said
end

-- Sums of the first axle and of all others, of loads by wheel.
local function axle_words(loads, keys, decimals)
  local sums = {front = 0, rear = 0}
  for _, key in ipairs(keys) do
    local front = key == "f" or key == "front" or key:sub(-1) == "f" or key:sub(2) == "1"
    sums[front and "front" or "rear"] = sums[front and "front" or "rear"] + loads[key]
  end
  return {front = words.set(text.fixed(sums.front, decimals), "kg"), rear = words.set(text.fixed(sums.rear, decimals), "kg")}
end

-- Notes from the first caution on, and those before it.
local function split(notes, first)
  local before, cautions = {}, {}
  for _, note in ipairs(notes) do
    if note == first or #cautions > 0 then cautions[#cautions + 1] = note else before[#before + 1] = note end
  end
  return before, cautions
end

-- ---- perches ------------------------------------------------------------------------------------------------------------------------

local function turn_words(turns)
  local shown = printed.turn_words(turns)
  if shown == "leave" then return shown end
  local count, way = shown:match "^(.*) (%a+)$"
  return ("%s turn%s %s"):format(count, math.abs(turns) > 1 and "s" or "", way)
end

local function cross_rows(read, predicted, wanted)
  local list = {}
  if read then list[#list + 1] = {"cross weight (RF + LR), read", percent(read)} end
  if predicted then
    list[#list + 1] = {read and "predicted" or "cross weight (RF + LR), predicted", percent(predicted), colour = "grey"}
  end
  if wanted then list[#list + 1] = {"wanted", percent(wanted), colour = "accent"} end
  return list
end

-- What the scales should read then: in the state they read in, and with or without who drives.
local function rows_after(r, a, same)
  local rows, n = {}, a.next
  rows[1] = {same and "scales should read" or "scales should read, " .. n.state, n}
  if n.with_driver and n.with_driver.mass > n.mass then
    rows[2] = {"with " .. (#n.people == 1 and n.people[1] or #n.people .. " people"), n.with_driver}
  elseif n.without_driver and n.without_driver.mass < n.mass then
    rows[2] = {"the same, nobody aboard", n.without_driver}
  end
  if not same then rows[#rows + 1] = {r.state, a.loads} end
  return rows
end

local function loads_predicted(r, scene)
  local loads = {}
  for _, key in ipairs(r.wheels) do loads[key] = scene and scene.loads[key] end
  return loads
end

local function of_perches(r, scene)
  local a = r.possible and r or r.nearest
  local read = r.reading and r.reading.mass and r.reading or nil
  local same = not read or read.state == r.state
  local shown = read or r.before -- what turns start from
  local predicted = read and same and loads_predicted(r, scene) or {}
  local kg = figures.kg(r, 1)
  local s = {title = "Set-up sheet", state = r.heading, keys = r.wheels, decimals = kg, wheels = {}, crossed = shown.cross_share ~= nil,
             lines = {read and ("Read in %s; turns from there."):format(read.state)
               or "Nothing was read: turns from how the springs were set for the file."},
             table_title = "After the turns", rows = {}, warnings = {}, remarks = {}}
  for _, key in ipairs(r.wheels) do
    local turns = a.turns and a.turns[key]
    s.wheels[key] = {read = read and read[key], predicted = predicted[key] or not read and r.before[key] or nil,
      wanted = a.next and (same and a.loads or a.next)[key], turns = turns and turn_words(turns),
      seat = turns and (turns == 0 and "seat as it is" or "seat " .. words.set(text.worded(a.spring_mm[key], 2, "mm up", "mm down")))}
  end
  s.axles = axle_words(shown, r.wheels, kg)
  local cross
  if predicted.lf and predicted.rf and predicted.lr and predicted.rr then
    cross = 100 * (predicted.rf + predicted.lr) / (predicted.lf + predicted.rf + predicted.lr + predicted.rr)
  end
  s.answer = cross_rows(read and read.cross_share, cross or not read and r.before.cross_share or nil, a.next and (same and a.loads
    or a.next).cross_share)
  if a.next then s.rows = rows_after(r, a, same) end
  local _, cautions = split(r.notes, perches.FIRST_CAUTION)
  s.cautions = sentences(cautions)
  if r.pad_error_allowed then
    s.remarks = sentences{("a pad %s mm too high or low moves cross weight by 0.1 %%"):format(text.fixed(r.pad_error_allowed, 2))}
  end
  if not r.possible then s.warnings = sentences{"FAIL, not possible: " .. r.why} end
  return s
end

-- ---- scales, springs ------------------------------------------------------------------------------------------------------------------

local orders = {{"lf", "rf", "lr", "rr"}, {"f", "lr", "rr"}, {"lf", "rf", "r"}, {"front", "rear"}}

local function keys_of(r)
  for _, keys in ipairs(orders) do
    local all = true
    for _, key in ipairs(keys) do all = all and r[key] ~= nil end
    if all then return keys end
  end
  local list, seen = {}, {}
  for _, row in ipairs(r.rows or {}) do
    if r[row.what] and not seen[row.what] then list[#list + 1], seen[row.what] = row.what, true end
  end
  return list
end

local function of_scales(r)
  local keys = keys_of(r)
  local s = {title = "Corner weights", state = r.heading, keys = keys, decimals = 1, wheels = {}, crossed = r.cross_share ~= nil,
             lines = {("%s in all, front %s%s."):format(words.value(r.mass, r.sd.mass, 1, "kg"), percent(r.front_share, r.sd.front_share),
               r.left_share and ", left " .. percent(r.left_share, r.sd.left_share) or "")},
             answer = r.cross_share and {{"cross weight (RF + LR)", percent(r.cross_share, r.sd.cross_share)}}
               or {{"front", percent(r.front_share, r.sd.front_share)}},
             table_title = "By wheel", warnings = {}, remarks = {}, rows = {{"scales read, kg", r}}}
  local half = {}
  for _, key in ipairs(keys) do
    s.wheels[key] = {read = r[key]}
    half[key] = r.sd[key] and text.K95 * r.sd[key]
  end
  half.mass, half.cross_share = r.sd.mass and text.K95 * r.sd.mass, r.sd.cross_share and text.K95 * r.sd.cross_share
  if next(half) then s.rows[2] = {"±, 95 %", half} end
  s.axles = axle_words(r, keys, 1)
  s.remarks = sentences{table.unpack(r.notes, 1, #r.notes - 1)}
  s.cautions = sentences{r.notes[#r.notes]}
  return s
end

local function of_corners(r)
  local kg = figures.kg(r, 1)
  local s = {title = "What the scales should read", state = r.heading, keys = r.wheels, decimals = kg, wheels = {},
             crossed = r.cross_share ~= nil, lines = {("On the springs, anti-roll bars %s."):format(r.bars_setting)},
             answer = r.cross_share and {{"cross weight (RF + LR)", percent(r.cross_share, r.sd.cross_share)}}
               or {{"front", percent(r.front_share, r.sd.front_share)}},
             table_title = "By wheel", rows = {{"scales should read", r}}, warnings = {}, remarks = {}}
  for _, key in ipairs(r.wheels) do s.wheels[key] = {predicted = r[key]} end
  s.axles = axle_words(r, r.wheels, kg)
  local notes = {}
  for _, note in ipairs(r.notes) do
    if not note:find "ride frequency" then notes[#notes + 1] = note end -- not for who sets it up
  end
  s.remarks, s.cautions = sentences(notes), {}
  return s
end

-- By kind of result.
local makers = {perches = of_perches, corner_scales = of_scales, corners = of_corners}

--- The sheet of a result.
function sheets.of(result, scene)
  return makers[getmetatable(result).__name](result, scene)
end

return sheets
