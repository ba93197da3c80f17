--- Which single error would explain a misfit between ledger and scales, and which look just the same.
--
-- Of every error (a line's mass, a place along one axis, a reading, a scale's zero or gain) the core gives its standardised residual, whose
-- square is what the chi-square would lose were that error free, and the error it would need. Those within 1 of the best are
-- tied (a likelihood ratio of 0.6, as in closure_slips.lua). Among the tied the one that its stated doubt explains best stands first:
-- that makes it the likelier, and no more.

local core = require "steelyard.core"
local text = require "steelyard.text"

local suspects = {}

local TIED = 1    -- of chi-square
local FITS = 0.05 -- as in reconcile.lua, of what is left

local words_of = {forward = {"forward", "back"}, left = {"to the left", "to the right"}, up = {"up", "down"}}

local function add(list, what, field, e, entry)
  if not e.sigmas then return end
  entry.what, entry.field, entry.sigmas, entry.order = what, field, e.sigmas, #list + 1
  entry.ease = e.before > 0 and math.abs(e.change) / e.before or 0
  list[#list + 1] = entry
end

-- A mass below nothing is no explanation.
local function add_lines(list, lines, axes)
  for _, line in ipairs(lines) do
    local mass = line.stated + (line.mass.alone or 0)
    if mass >= 0 then
      add(list, line.name, "mass", line.mass, {would_be = mass, unit = "kg", exact = line.mass.before == 0 or nil,
        says = ("%s kg%s instead of %s"):format(text.fixed(mass, 1), (line.pair or line.pieces > 1) and " each" or "",
          text.fixed(line.stated, 1))})
    end
    for _, way in ipairs{"forward", "left", "up"} do
      local e, axis, says = line[way], axes[way], words_of[way]
      if e.sigmas then
        add(list, line.name, "at." .. axis.letter, e, {would_be = line.at[axis.index] + axis.sign * e.alone, unit = "mm",
          off = e.alone, way = way, exact = e.before == 0 or nil,
          says = ("%s mm %s"):format(text.fixed(math.abs(e.alone), 0), e.alone >= 0 and says[1] or says[2])})
      end
    end
  end
end

local function add_readings(list, given, found)
  for i, key in ipairs(given.keys) do
    local e = found.readings[i]
    local load = given.supports[i].load - e.alone
    if load >= 0 then
      add(list, key, "reading", e, {would_be = load, unit = "kg",
        says = ("%s kg instead of %s"):format(text.fixed(load, 1), text.fixed(given.supports[i].load, 1))})
    end
  end
  if found.height then
    local height = given.height - found.height.alone
    add(list, "height", "reading", found.height, {would_be = height, unit = "mm",
      says = ("%s mm instead of %s"):format(text.fixed(height, 0), text.fixed(given.height, 0))})
  end
end

local function add_scales(list, c, found)
  local names = {}
  for name, number in pairs(c.shared.context.scales) do names[number] = name end
  for i, scale in ipairs(found.instruments) do
    if names[i] and scale.bias.before > 0 then
      add(list, names[i], "bias", scale.bias, {would_be = scale.bias.alone, unit = "kg",
        says = ("a zero off by %s kg"):format(text.fixed(scale.bias.alone, 2))})
    end
    if names[i] and scale.gain.before > 0 then
      add(list, names[i], "gain", scale.gain, {would_be = scale.gain.alone, unit = "",
        says = ("a gain off by %s %%"):format(text.fixed(100 * scale.gain.alone, 2))})
    end
  end
end

--- {what, field, sigmas, would_be, says, rest, enough, tied = all that look the same, itself first}; nil when no single error is left to
-- think of.
function suspects.find(from)
  local list, best = {}, 0
  add_lines(list, from.lines, from.axes)
  add_readings(list, from.given, from.found)
  add_scales(list, from.c, from.found)
  for _, entry in ipairs(list) do best = math.max(best, entry.sigmas ^ 2) end
  local tied = {}
  for _, entry in ipairs(list) do
    if entry.sigmas ^ 2 >= best - TIED then tied[#tied + 1] = entry end
  end
  table.sort(tied, function(a, b)
    if a.ease ~= b.ease then return a.ease > b.ease end
    return a.order < b.order
  end)
  local first = tied[1]
  if not first then return nil end
  local rest = math.max(0, from.found.chi2 - best)
  local suspect = {tied = {}, rest = rest, enough = core.chi2_tail(rest, from.found.dof - 1) >= FITS}
  for key, value in pairs(first) do suspect[key] = value end
  for i, entry in ipairs(tied) do
    entry.order, entry.ease = nil, nil
    suspect.tied[i] = entry
  end
  suspect.order, suspect.ease = nil, nil
  return suspect
end

return suspects
