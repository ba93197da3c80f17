--- sy.part_cg{poses =, ...}: mass and CG of a part that stood on scales; fields in reference/options/measuring.lua.

local core = require "steelyard.core"
local given = require "steelyard.measure.part_cg.given"
local measurement = require "steelyard.measure.measurement"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local part_cg = {}
local Part = require("steelyard.reference.results").kind "part_cg"

local letters = {"x", "y", "z"}
local cause_words = {readings = "readings", places = "places of the supports", angles = "angle of tilt", edges = "edge"}

-- ---- the answer -----------------------------------------------------------------------------------------------------------

-- The part's own axes from the library's, with the uncertainties of each.
local function cg_of(fit, axes, result)
  result.cg, result.sd.cg, result.determined, result.budget = {}, {}, {}, {}
  for i, letter in ipairs(letters) do
    local k, sign = axes[i].index, axes[i].sign
    local value = fit.cg[k]
    result.determined[letter] = value ~= false
    if value then
      result.cg[letter], result.sd.cg[letter] = sign * value + 0.0, fit.cg_sd[k]
      local causes = {}
      for _, name in ipairs{"readings", "places", "angles", "edges"} do
        causes[#causes + 1] = {source = cause_words[name], u = fit.cause[name][k]}
      end
      local _, rows = measurement.budget(causes)
      for _, row in ipairs(rows) do
        result.budget[#result.budget + 1] = {of = letter, source = row.source, u = row.u, share = row.share}
      end
    end
  end
end

local function rows_of(fit, problem, exact)
  local rows, n = {}, 0
  for k, pose in ipairs(problem.poses) do
    for _, leg in ipairs(pose.legs) do
      if not leg.unread then
        n = n + 1
        local row = fit.rows[n]
        rows[n] = {pose = k, support = leg.name, load = leg.load, residual = row.residual, redundancy = row.redundancy,
                   sigmas = not exact and row.sigmas or nil, sd = {load = leg.stated}}
      end
    end
  end
  return rows
end

local function name_of(row) return ("%s of pose %d"):format(row.support, row.pose) end

-- Who is to blame when the readings do not fit together.
local function blame(fit, rows, result)
  local worst = fit.worst and rows[fit.worst]
  if not worst or not worst.sigmas or math.abs(worst.sigmas) <= fit.critical then return nil end
  local names = {}
  for _, i in ipairs(fit.tied) do names[#names + 1] = name_of(rows[i]) end
  local far = ("%s times its uncertainty off the others"):format(text.fixed(math.abs(worst.sigmas), 1))
  if #names == 1 then
    result.suspect = {pose = worst.pose, support = worst.support}
    return ("%s reads %s kg %s than the rest allows, %s: read it again, and look at its place and the angle of that pose"):format(names[1],
      text.fixed(math.abs(worst.residual / worst.redundancy), 2), worst.residual > 0 and "more" or "less", far)
  end
  return ("the readings do not fit together: one of %s is %s; these are indistinguishable, read them all "
    .. "again"):format(text.join(names, "or"), far)
end

local function tilt_of(problem)
  local most = 0
  for _, pose in ipairs(problem.poses) do most = math.max(most, math.abs(pose.roll), math.abs(pose.pitch)) end
  return most
end

local function missing_notes(result, problem)
  local notes, missing = {}, {}
  for _, letter in ipairs(letters) do
    if not result.determined[letter] then missing[#missing + 1] = letter end
  end
  if #missing == 1 and #problem.poses > 0 and tilt_of(problem) == 0 then
    notes[1] = ("%s is not determined by level weighings: weigh it once more tilted by 20 degrees or more, on supports of known "
      .. "place"):format(
      missing[1])
  elseif #missing > 0 then
    notes[1] = ("%s %s not determined: %s"):format(text.join(missing), #missing == 1 and "is" or "are", #problem.poses == 1
      and tilt_of(problem) > 0 and "one tilted weighing alone gives a line, not a point; weigh it level as well"
      or "another pose or three supports that are not in line would do it")
  end
  return notes
end

local cautions = {
  plain = "Straps before tilting, stands under it before hands; nobody under a part that stands on scales. Local codes and licensed "
    .. "practice decide",
  round = "Round feet slip: plates level and rough, one end on plates that roll, a strap from above before the first degree and "
    .. "stands under "
    .. "the tub all the way; nobody in it or under it. Local codes and licensed practice decide",
}

local function notes_of(result, fit, problem, rows)
  local notes = missing_notes(result, problem)
  notes[#notes + 1] = blame(fit, rows, result)
  if fit.dof == 0 then notes[#notes + 1] = "just enough readings: nothing checks them; turn the part round or tilt it the other way "
    .. "once more" end
  for _, row in ipairs(rows) do
    if row.load < -text.K95 * row.sd.load then
      notes[#notes + 1] = ("%s reads negative; check the tare: a support cannot pull"):format(name_of(row))
    end
  end
  for _, note in ipairs(problem.notes) do notes[#notes + 1] = note end
  local most = tilt_of(problem)
  if most > 0 and most < 10 then
    notes[#notes + 1] = ("%s degrees of tilt are little: the uncertainty of the height falls with the angle, "
      .. "20 to 30 degrees are usual"):format(text.fixed(most, 1))
  end
  if problem.round then
    notes[#notes + 1] = "round feet: the places are those of the centres of the balls, under which the ground pushes at any tilt"
  end
  notes[#notes + 1] = cautions[problem.round and "round" or "plain"]
  return notes
end

-- The fit, or its refusal with what was not read in that pose.
local function fitted(problem)
  local fine, fit = pcall(core.part_cg, problem)
  if fine then return fit end
  local pose = type(fit) == "table" and fit.part and problem.poses[tonumber(fit.part:match "^pose (%d+)$")]
  if pose and #pose.unread > 0 and not fit.hint then fit.hint = ("%s was not read"):format(text.join(pose.unread)) end
  error(fit, 0)
end

--- sy.part_cg.
function part_cg.of(t)
  local problem = given.read(t)
  local fit = fitted(problem)
  local rows = rows_of(fit, problem, problem.exact)
  local exact = problem.all_exact
  local result = {mass = fit.mass, sd = {mass = exact and 0 or fit.mass_sd}, rows = rows, chi2 = not problem.exact and fit.chi2 or nil,
    dof = fit.dof, p = not problem.exact and fit.p or nil, title = problem.title, state = problem.state}
  cg_of(fit, problem.axes, result)
  if exact then
    for letter in pairs(result.sd.cg) do result.sd.cg[letter] = 0 end
    result.budget = {}
  end
  result.heading = (result.title and result.title .. ", " or "") .. result.state
  result.notes = notes_of(result, fit, problem, rows)
  require("steelyard.measure.engine_rule").add(result, problem.engine, problem.axes)
  return setmetatable(result, Part)
end

-- ---- printing ---------------------------------------------------------------------------------------------------------------

local function row_table(r)
  local rows, judged = {}, false
  for _, row in ipairs(r.rows) do judged = judged or row.sigmas ~= nil end
  for i, row in ipairs(r.rows) do
    rows[i] = {row.pose, row.support, text.fixed(row.load, 2), r.dof > 0 and text.signed(row.residual, 2) or "-"}
    if judged then rows[i][5] = row.sigmas and text.signed(row.sigmas, 1) or "-" end
  end
  local headings = {{"pose", "%d"}, {"support", "%s"}, {"net, kg", "%s"}, {"off the fit, kg", "%s"}}
  if judged then headings[5] = {"in sigmas", "%s"} end
  return text.table(headings, rows)
end

function Part.__tostring(r)
  local lines = {page.heading(r.heading:gsub("^%l", string.upper))}
  if #r.rows > 0 then lines[#lines + 1] = row_table(r) end
  local rows = {{"mass, kg", r.mass and measurement.shown(r.mass, r.sd.mass, 2) or "unknown"}}
  for _, letter in ipairs(letters) do
    local shown = r.determined[letter] and measurement.shown(r.cg[letter], r.sd.cg[letter], 1) or "unknown"
    rows[#rows + 1] = {("CG %s, mm"):format(letter), shown}
    local of_it = {}
    for _, row in ipairs(r.budget) do of_it[#of_it + 1] = row.of == letter and row or nil end
    rows[#rows][3] = measurement.budget_text(of_it)
  end
  rows[1][3] = ""
  lines[#lines + 1] = text.table({{"", "%s"}, {"", "%s"}, {"", "%s"}}, rows)
  return page.of(r, lines)
end

return part_cg
