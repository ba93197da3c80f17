--- car:guesses(earlier?): how good were the guesses? Each line that was weighed, beside what was booked for it before.
--
-- Before is what the file keeps, the mass beside a weighing or `was`; else, of earlier files, the last one in which that line was not
-- weighed yet. The error of a guess is (weighed - guess) / guess: `assume` states an uncertainty as a share of what is booked, and knows no
-- bias, so the honest one is the root of the mean of the errors' squares (rms).

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local load = require "steelyard.car.load"
local loading = require "steelyard.car.loading"
local match = require "steelyard.answers.changes.match"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local guesses = {}
local Guesses = require("steelyard.reference.results").kind "guesses"

local ROOT_3 = core.constants.root_3 -- limits +-a have the standard uncertainty a / sqrt 3 (JCGM 100:2008, 4.3.7)
local NO_GROUP = "outside all groups"

-- ---- lines ------------------------------------------------------------------------------------------------------------------

-- What a line states of one piece, of a tank dry: value, sd or nil, whether its limits were stated.
local function stated_mass(node)
  if node.kind == "tank" then return node.dry_mass, node.dry_mass_sd, node.dry_mass_limits end
  return not node.unknown and node.mass or nil, node.mass_sd, node.mass_limits
end

-- The guess of an earlier car for a line that it had not weighed yet.
local function guess_of(entry, assume)
  local node = entry.node
  if node.basis == "weighed" then return nil end
  local value, sd, limits = stated_mass(node)
  return {value = value, unknown = node.unknown, sd = sd, limits = limits, basis = node.basis or "estimate", assume = assume}
end

-- The last of the earlier cars in which the line was a guess.
local function earlier_guess(path, cars)
  for i = #cars, 1, -1 do
    local entry = cars[i].by_path[path]
    local guess = entry and entry.form ~= "group" and guess_of(entry, cars[i].assume)
    if guess then
      guess.from = cars[i].name
      return guess
    end
  end
end

local function line_of(entry, guess)
  local is, own = stated_mass(entry.node)
  local was = guess.value
  if not (was and was > 0) then return nil end
  local line = {path = entry.path, group = entry.path:match "^([^/]*)/" or NO_GROUP, basis = guess.basis or "not stated", was = was,
                is = is, error = 100 * (is - was) / was, from = guess.from, sd = {is = own}}
  local share = guess.assume and guess.assume[guess.basis]
  local sd = guess.sd or share and share * was
  if not sd then return line end
  line.sd.was = sd
  local room = guess.limits and sd * ROOT_3 + text.K95 * (own or 0) or text.K95 * math.sqrt(sd ^ 2 + (own or 0) ^ 2)
  line.inside = math.abs(is - was) <= room * (1 + 1e-12) -- a limit that is met to the last bit
  return line
end

local function lines_of(c, cars)
  local lines, unknown, weighed = {}, 0, 0
  local work = match.of(c, c, {})
  for _, entry in ipairs(work.new_list) do
    local node = entry.node
    if entry.form ~= "group" and node and node.basis == "weighed" then
      weighed = weighed + 1
      local guess = node.was and setmetatable({assume = c.shared.spec.assume}, {__index = node.was}) or earlier_guess(entry.path, cars)
      if guess and guess.unknown then unknown = unknown + 1 end
      lines[#lines + 1] = guess and line_of(entry, guess) or nil
    end
  end
  return lines, unknown, weighed
end

-- ---- sums -------------------------------------------------------------------------------------------------------------------

-- {lines, bias, scatter, inside, stated, was, is, rms}
local function summary(by, name, lines)
  local row, sum, squares = {by = by, name = name, lines = #lines, inside = 0, stated = 0, was = 0, is = 0, sd = {}}, 0, 0
  for _, line in ipairs(lines) do
    sum, squares = sum + line.error, squares + line.error ^ 2
    row.was, row.is = row.was + line.was, row.is + line.is
    if line.inside ~= nil then row.stated = row.stated + 1 end
    if line.inside then row.inside = row.inside + 1 end
  end
  row.bias, row.rms = sum / #lines, math.sqrt(squares / #lines)
  if #lines > 1 then
    local off = 0
    for _, line in ipairs(lines) do off = off + (line.error - row.bias) ^ 2 end
    row.scatter = math.sqrt(off / (#lines - 1))
    row.sd.bias = row.scatter / math.sqrt(#lines)
  end
  row.sd.rms = row.rms / math.sqrt(2 * #lines) -- of a normal distribution about nothing
  return row
end

-- Rows of the lines that share a field, in the order they are first met.
local function rows_by(rows, field, lines)
  local order, sets = {}, {}
  for _, line in ipairs(lines) do
    local name = line[field]
    if not sets[name] then
      sets[name], order[#order + 1] = {}, name
    end
    table.insert(sets[name], line)
  end
  for _, name in ipairs(order) do rows[#rows + 1] = summary(field, name, sets[name]) end
end

-- ---- the answer -------------------------------------------------------------------------------------------------------------

local function earlier_cars(earlier)
  if earlier == nil then return {} end
  if contents.is_car(earlier) or type(earlier) == "string" then earlier = {earlier} end
  if type(earlier) ~= "table" then
    core.fail{code = "type", message = ("car:guesses takes earlier cars or their files, oldest first, not %s"):format(text.named(earlier))}
  end
  local cars = {}
  for i, one in ipairs(earlier) do
    local car = contents.is_car(one) and one or load.file(one)
    local c = contents.inside(car)
    local file = c.shared.file
    cars[i] = {by_path = match.of(c, c, {}).new_by_path, assume = c.shared.spec.assume, name = file and file:match "[^/]*$"
      or c.shared.spec.title, c = c}
  end
  return cars
end

local function notes_of(result, unknown, weighed, cars)
  local notes = {}
  if #result.lines == 0 then
    notes[1] = weighed == 0 and "nothing is weighed yet" or "of what is weighed no earlier mass is known: keep the guess beside `weighed`, "
      .. "or name the earlier file too"
  elseif #result.lines < weighed then
    notes[1] = ("%s weighed without an earlier mass"):format(text.count(weighed - #result.lines, "line"))
  end
  if unknown > 0 then notes[#notes + 1] = ("%s unknown before"):format(text.count(unknown, "line was", "lines were")) end
  local few = 0
  for _, row in ipairs(result.rows) do
    if row.by == "basis" and row.lines < 5 then few = few + 1 end
  end
  if few > 0 then notes[#notes + 1] = "of fewer than five lines an honest assume is little more than a hint" end
  if #cars > 0 then notes[#notes + 1] = "lines of several files are the same when their paths are" end
  return notes
end

--- car:guesses.
function guesses.of(c, car, earlier)
  local cars = earlier_cars(earlier)
  local lines, unknown, weighed = lines_of(c, cars)
  local result = {state = loading.title(c), heading = car:heading(), lines = lines, rows = {}, assume = {}, sd = {assume = {}}}
  if #lines > 0 then
    rows_by(result.rows, "basis", lines)
    rows_by(result.rows, "group", lines)
    result.rows[#result.rows + 1] = summary("all", "all", lines)
  end
  for _, row in ipairs(result.rows) do
    if row.by == "basis" then result.assume[row.name], result.sd.assume[row.name] = row.rms, row.sd.rms end
  end
  result.notes = notes_of(result, unknown, weighed, cars)
  local others = {}
  for i, one in ipairs(cars) do others[i] = origin.file_of(one.c) end
  result.other_files = #others > 0 and others or nil
  return origin.of_car(setmetatable(result, Guesses), c)
end

-- ---- printing -----------------------------------------------------------------------------------------------------------------

local MOST_OUTSIDE = 8 -- that are named

local function summary_table(r)
  local rows = {}
  for i, row in ipairs(r.rows) do
    rows[i] = {row.by == "all" and "all" or ("%s %s"):format(row.by == "basis" and "basis" or "group", row.name), row.lines,
               text.signed(row.bias, 1), row.scatter and text.fixed(row.scatter, 1) or "-",
               row.stated > 0 and ("%d of %d"):format(row.inside, row.stated) or "-", text.fixed(row.was, 1), text.fixed(row.is, 1),
               row.by == "basis" and text.fixed(row.rms, 1) or ""}
  end
  return text.table({{"", "%s"}, {"lines", "%d"}, {"came out, %", "%s"}, {"scatter, %", "%s"}, {"inside", "%s"}, {"guessed, kg", "%s"},
    {"weighed, kg", "%s"}, {"assume, %", "%s"}}, rows)
end

local function outside_text(r)
  local outside, shown = {}, {}
  for _, line in ipairs(r.lines) do
    if line.inside == false then outside[#outside + 1] = line end
  end
  if #outside == 0 then return nil end
  table.sort(outside, function(a, b)
    local one, other = math.abs(a.error), math.abs(b.error)
    if one ~= other then return one > other end
    return core.before(a.path, b.path)
  end)
  for i = 1, math.min(#outside, MOST_OUTSIDE) do
    local line = outside[i]
    shown[i] = ("%s %s as %s kg (%s %%)"):format(line.path, text.fixed(line.is, 2), text.fixed(line.was, 2), text.signed(line.error, 0))
  end
  if #outside > MOST_OUTSIDE then shown[#shown + 1] = ("%d more"):format(#outside - MOST_OUTSIDE) end
  return "Outside what was stated of them: " .. text.join(shown) .. "."
end

local function assume_text(r, assume)
  local parts = {}
  for _, row in ipairs(r.rows) do
    local stated = row.by == "basis" and assume and assume[row.name]
    if row.by == "basis" and row.name ~= "not stated" then
      parts[#parts + 1] = ("%s %s%s"):format(row.name, text.plus_minus(row.rms, row.sd.rms, 1),
        stated and (" (the file assumes %s)"):format(text.fixed(100 * stated, 1)) or "")
    end
  end
  return #parts > 0 and "An honest assume, % of what was booked: " .. table.concat(parts, ", ") .. "." or nil
end

function Guesses.__tostring(r)
  local lines = {page.heading(r.heading .. ": guesses against the scale")}
  if #r.lines > 0 then
    lines[2] = summary_table(r)
    lines[#lines + 1] = outside_text(r)
    lines[#lines + 1] = assume_text(r, origin.car_of(r).shared.spec.assume)
  end
  return page.of(r, lines)
end

return guesses
