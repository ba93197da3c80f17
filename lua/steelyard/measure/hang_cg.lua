--- sy.hang_cg{lines = {{from =, to =}, ...}}: the CG of a part hung from several points, where plumb lines meet (options/measuring.lua).

local core = require "steelyard.core"
local engine_rule = require "steelyard.measure.engine_rule"
local measurement = require "steelyard.measure.measurement"
local options = require "steelyard.reference.options"
local part_axes = require "steelyard.measure.part_axes"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local hang_cg = {}
local Hung = require("steelyard.reference.results").kind "hung"
local letters = {"x", "y", "z"}

local DEFAULT_SD = 3 -- mm: a chalk line on a part, read with a tape (common practice, no source)

local caution = "Stand clear of what hangs and never reach under it; slings and eyes carry it with their makers' margin. Local codes and "
  .. "licensed practice decide"

local function read_point(line, key, where, sd)
  local value, own = measurement.point(line, key, where)
  local point, uncertainty = {}, {}
  for i, letter in ipairs(letters) do
    point[letter] = value[i]
    uncertainty[letter] = own[i] > 0 and own[i] or sd
  end
  return point, uncertainty
end

local function read_lines(t, sd)
  local list, lines = measurement.list(t, "lines", "hang_cg"), {}
  if not list then measurement.refuse("hang_cg", "lines", "missing", "is missing: a list of {from = {x, y, z}, to = {x, y, z}}") end
  for i, line in ipairs(list) do
    local where = "line " .. i
    measurement.fields(line, options.names("measuring", "plumb_line"), where)
    lines[i] = {name = measurement.text(line, "name", where)}
    lines[i].from, lines[i].from_sd = read_point(line, "from", where, sd)
    lines[i].to, lines[i].to_sd = read_point(line, "to", where, sd)
  end
  return lines
end

-- Lines that no longer disagree once this one is left out.
local function suspects_of(lines, fit)
  local list = {}
  if #lines < 3 or fit.p >= 0.05 then return list end
  for i = 1, #lines do
    local others = {}
    for k, line in ipairs(lines) do others[#others + 1] = k ~= i and line or nil end
    local fine, without = pcall(core.hang, others)
    if fine and without.p >= 0.05 then list[#list + 1] = i end
  end
  return list
end

local function notes_of(lines, fit, suspects, stated)
  local notes = {}
  for i, below in ipairs(fit.below) do
    if below < 0 then
      notes[#notes + 1] = ("the CG lies above the hanging point of line %d: are its from and to swapped?"):format(i)
    end
  end
  if fit.p < 0.05 then
    local worst = 1
    for i, miss in ipairs(fit.miss) do worst = miss > fit.miss[worst] and i or worst end
    local say = ("the lines miss each other by more than their uncertainty, up to %s mm"):format(text.fixed(fit.miss[worst], 1))
    if #suspects == 1 then say = ("%s; line %d alone explains it: hang it there again"):format(say, suspects[1])
    elseif #suspects > 1 then
      for i, k in ipairs(suspects) do suspects[i] = text.plain(k) end
      say = ("%s; any one of lines %s may be off, one more line would tell"):format(say, text.join(suspects))
    end
    notes[#notes + 1] = say
  end
  if #lines == 2 then notes[#notes + 1] = "two lines check each other only where they pass; a third checks both" end
  if not stated then
    notes[#notes + 1] = ("points count as good to %s mm (standard) each way, unless sd says otherwise"):format(text.plain(DEFAULT_SD))
  end
  notes[#notes + 1] = caution
  return notes
end

--- sy.hang_cg.
function hang_cg.of(t)
  measurement.fields(t, options.names("measuring", "hang_cg"), "hang_cg")
  local engine, axes = engine_rule.read(t, "hang_cg"), t.axes ~= nil and part_axes.read(t, "hang_cg") or nil
  local sd = measurement.number(t, "sd", "mm", {min = 0}, "hang_cg")
  local lines = read_lines(t, sd or DEFAULT_SD)
  local fit = core.hang(lines)
  local rows, miss = {}, 0
  for i, line in ipairs(lines) do
    rows[i] = {line = i, name = line.name, miss = fit.miss[i], below = fit.below[i], sd = {miss = fit.miss_sd[i]}}
    miss = math.max(miss, fit.miss[i])
  end
  local suspects = suspects_of(lines, fit)
  local result = {cg = fit.cg, miss = miss, rows = rows, chi2 = fit.chi2, dof = fit.dof, p = fit.p, sd = {cg = fit.sd},
    suspect = #suspects == 1 and suspects[1] or nil, title = measurement.text(t, "title", "hang_cg"),
    state = measurement.text(t, "state", "hang_cg") or "as hung", notes = notes_of(lines, fit, suspects, sd ~= nil)}
  engine_rule.add(result, engine, axes)
  result.heading = (result.title and result.title .. ", " or "") .. result.state
  return setmetatable(result, Hung)
end

function Hung.__tostring(r)
  local rows = {}
  for i, row in ipairs(r.rows) do
    rows[i] = {row.name or row.line, text.fixed(row.below, 0), text.fixed(row.miss, 1), text.fixed(text.K95 * row.sd.miss, 1)}
  end
  local lines = {page.heading(r.heading:gsub("^%l", string.upper)),
    text.table({{"line", "%s"}, {"CG below the hook, mm", "%s"}, {"passes the CG by, mm", "%s"}, {"its own uncertainty, mm", "%s"}},
      rows)}
  local places = {}
  for i, letter in ipairs(letters) do places[i] = letter .. " " .. measurement.shown(r.cg[letter], r.sd.cg[letter], 1) end
  lines[#lines + 1] = "CG, mm: " .. table.concat(places, ", ")
  return page.of(r, lines)
end

return hang_cg
