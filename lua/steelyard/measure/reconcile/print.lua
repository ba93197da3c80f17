--- The page that car:reconcile prints.

local measurement = require "steelyard.measure.measurement"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local reconcile_print = {}

local MOST_ROWS, MOST_NAMES = 8, 6 -- of what moved, of suspects that a sentence lists
local labels = {mass = "mass, kg", cg_behind = "CG from front axle, mm", cg_left = "CG from centre plane, mm", height = "CG height, mm"}
local sides = {cg_behind = {"behind", "ahead"}, cg_left = {"left", "right"}} -- plus, minus
local ways = {forward = {"forward", "back"}, left = {"left", "right"}, up = {"up", "down"}}

local function sums_table(r)
  local rows = {}
  for _, sum in ipairs(r.sums) do
    local decimals = sum.unit == "kg" and 1 or 0
    local words = sides[sum.name]
    local function shown(which)
      local value = sum[which]
      if not value then return "-" end
      if not words then return text.plus_minus(value, sum.sd[which], decimals) end
      return ("%s %s"):format(text.plus_minus(math.abs(value), sum.sd[which], decimals), words[value >= 0 and 1 or 2])
    end
    local sigmas = sum.sigmas and text.fixed(math.abs(sum.sigmas), 1) or "-"
    rows[#rows + 1] = {labels[sum.name], shown "ledger", shown "scales", sigmas, shown "both"}
  end
  return text.table({{"", "%s"}, {"ledger", "%s"}, {"scales", "%s"}, {"sigmas", "%s"}, {"reconciled", "%s"}}, rows)
end

--- Do the uncertainties explain what was measured? {fits, chi2, dof, p} in a sentence.
function reconcile_print.verdict(r)
  local chance = r.p < 0.001 and "less than 0.1 %" or text.fixed(100 * r.p, r.p < 0.1 and 1 or 0) .. " %"
  return ("%s: chi-square %s on %s, which chance exceeds in %s of cases."):format(
    r.fits and "The uncertainties explain the difference" or "The uncertainties do not explain the difference", text.fixed(r.chi2, 2),
    text.plain(r.dof), chance)
end

local function shift_of(row) return math.abs(row.after - row.before) / row.sd_before end

-- A mass heavier or lighter, a place in the vehicle's directions.
local function change_of(row, decimals)
  if row.field == "mass" then return text.worded(row.after - row.before, decimals, "heavier", "lighter") end
  return text.worded(row.moved, decimals, table.unpack(ways[row.way]))
end

-- What moved most, in units of its own uncertainty.
local function moved_table(r)
  local order, rows = {}, {}
  for i, row in ipairs(r.rows) do order[i] = {row = row, place = i, by = shift_of(row)} end
  table.sort(order, function(a, b)
    if a.by ~= b.by then return a.by > b.by end
    return a.place < b.place
  end)
  for i = 1, math.min(#order, MOST_ROWS) do
    local row = order[i].row
    local decimals = row.unit == "mm" and 0 or math.min(2, measurement.decimals(row.sd_before, 1))
    rows[i] = {row.name, row.field == "mass" and "mass, kg" or row.field .. ", mm",
               text.plus_minus(row.before, row.sd_before, decimals), text.plus_minus(row.after, row.sd, decimals),
               change_of(row, decimals), text.fixed(math.abs(row.sigmas), 1)}
  end
  local shown = text.table({{"moved most", "%s"}, {"", "%s"}, {"booked", "%s"}, {"reconciled", "%s"}, {"by", "%s"}, {"sigmas", "%s"}},
    rows)
  if #order > MOST_ROWS then
    shown = shown .. ("\n%s more adjustments stand in rows (--json)."):format(text.plain(#order - MOST_ROWS))
  end
  return shown
end

-- "the reading of lf (157.1 kg instead of 184.5)", or several, the likeliest first
local function suspects_text(suspect)
  local likely, cases = {}, {}
  for _, entry in ipairs(suspect.tied) do
    if entry.likely then likely[#likely + 1] = entry end
  end
  for i, entry in ipairs(likely) do
    if i == MOST_NAMES and #likely > i then
      cases[i] = ("%d more"):format(#likely - i + 1)
      break
    end
    cases[i] = entry.text
  end
  local words = #cases == 1 and ("One error alone would explain it best: %s."):format(cases[1])
    or ("Any one of these errors alone would explain it, the likeliest first: %s."):format(table.concat(cases, "; ", 1, #cases - 1)
      .. "; or " .. cases[#cases])
  return suspect.enough and words or words .. " Even so not all of it is explained: more than one thing is off."
end

local function missing_text(r)
  local m = r.missing
  if not m.clear then return nil end
  local size = text.plus_minus(math.abs(m.mass), m.sd.mass, 1)
  local place = {}
  for _, letter in ipairs{"x", "y", "z"} do
    if m.at[letter] then place[#place + 1] = ("%s %s"):format(letter, text.plus_minus(m.at[letter], m.sd.at[letter], 0)) end
  end
  return ("%s: %s kg, at %s mm if it is one thing."):format(m.mass > 0 and "The ledger lacks" or "The ledger has too much", size,
    table.concat(place, ", "))
end

local function warp_text(r)
  if not r.warp then return nil end
  local lf = r.warp.lf
  if not (lf and r.cross_share) then return nil end
  return ("Cross weight on the scales %s %%: left front and right rear carry %s kg each %s than an even split."):format(
    text.fixed(r.cross_share, 2), text.plus_minus(math.abs(lf), r.sd.warp, 1), lf >= 0 and "more" or "less")
end

--- The whole page.
function reconcile_print.page(r)
  local lines = {page.heading(r.heading .. ": the ledger and the scales"), sums_table(r), reconcile_print.verdict(r)}
  local function say(words) lines[#lines + 1] = words end
  say(missing_text(r))
  if r.suspect then say(suspects_text(r.suspect)) end
  if not r.fits then say "Find that first: what stands below spreads it over all lines." end
  if #r.rows > 0 then lines[#lines + 1] = moved_table(r) end
  say(warp_text(r))
  return page.of(r, lines)
end

return reconcile_print
