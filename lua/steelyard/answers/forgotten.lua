--- What may be missing from a ledger, and what may be in it twice. All of it is asked, nothing is booked: a list of words knows no car.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local match = require "steelyard.file.name_match"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"
local usual = require("steelyard.answers.forgotten.usual").list

local forgotten = {}
local Forgotten = require("steelyard.reference.results").kind "forgotten"

-- ---- the ledger in words ------------------------------------------------------------------------------------------------

local function things_of(node)
  local list = {}
  for _, words in ipairs{{node.name}, node.tags or {}, node.includes or {}} do
    for _, s in ipairs(words) do
      for _, thing in ipairs(match.things(s)) do list[#list + 1] = thing end
    end
  end
  return list
end

-- Every group and part filed: {name (its path), item, node, things, words (of its name), path (words along the path)}. Spares go
-- into a list of their own. A load state leaves out what is not aboard today; it is in the ledger all the same.
local function lines_of(c)
  local lines, spares, trail = {}, {}, {}
  for _, item in ipairs(c.base:items(false)) do
    local depth, node = #item.route // 4, c.shared.nodes[item.number]
    trail[depth] = item.name
    local path = table.concat(trail, "/", 1, depth)
    local line = {name = path, item = item, node = node, things = things_of(node), words = match.set(item.name), path = match.set(path)}
    local list = item.aboard and lines or spares
    list[#list + 1] = line
  end
  return lines, spares
end

-- ---- usual omissions ---------------------------------------------------------------------------------------------------------

local function said(lines, phrases)
  for _, words in ipairs(phrases) do
    local phrase = match.phrase(words)
    for _, line in ipairs(lines) do
      if match.says(line, phrase) then return true end
    end
  end
  return false
end

local function missing_of(lines, spares)
  local list = {}
  for _, entry in ipairs(usual) do
    local asked = (not entry.needs or said(lines, entry.needs)) and not (entry.unless and said(lines, entry.unless))
    if asked and not said(lines, entry.covered) then
      list[#list + 1] = {name = entry.name, low = entry.low, high = entry.high, when = entry.when,
                         spare = said(spares, entry.covered) or nil}
    end
  end
  return list
end

-- ---- includes and excludes ---------------------------------------------------------------------------------------------------

-- {line, text, words} for each entry of a field of all lines
local function statements(lines, field)
  local list = {}
  for _, line in ipairs(lines) do
    for _, s in ipairs(line.node[field] or {}) do list[#list + 1] = {line = line, text = s, words = match.set(s)} end
  end
  return list
end

local function union(a, b)
  local set = {}
  for word in pairs(a) do set[word] = true end
  for word in pairs(b) do set[word] = true end
  return set
end

-- "front hub" that includes "bearing" has swallowed a "bearing" or a "front hub bearing", and no "rear bearing".
local function swallows(one, line)
  if line == one.line or not match.within(one.words, line.words) then return false end
  return match.within(line.words, union(one.words, one.line.words)) and not match.opposed(one.line.path, line.path)
end

local function twice_of(lines)
  local list, all = {}, statements(lines, "includes")
  for i, one in ipairs(all) do
    for _, line in ipairs(lines) do
      if swallows(one, line) then
        list[#list + 1] = {what = one.text, a = one.line.name, b = line.name,
          text = ("%q includes %s, and %q is a line of its own"):format(one.line.name, one.text, line.name)}
      end
    end
    for k = i + 1, #all do
      local other = all[k]
      if other.line ~= one.line and match.within(one.words, other.words) and match.within(other.words, one.words)
        and not match.opposed(one.line.path, other.line.path) then
        list[#list + 1] = {what = one.text, a = one.line.name, b = other.line.name,
          text = ("%q and %q both include %s"):format(one.line.name, other.line.name, one.text)}
      end
    end
  end
  return list
end

local function is_somewhere(one, lines, includes)
  for _, line in ipairs(lines) do
    if line ~= one.line and match.within(one.words, line.path) then return true end
  end
  for _, other in ipairs(includes) do
    if other.line ~= one.line and match.within(one.words, other.words) then return true end
  end
  return false
end

local function gaps_of(lines)
  local list, includes = {}, statements(lines, "includes")
  for _, one in ipairs(statements(lines, "excludes")) do
    local both = false
    for _, other in ipairs(includes) do
      both = both or other.line == one.line and match.within(one.words, other.words) and match.within(other.words, one.words)
    end
    if both then
      list[#list + 1] = {what = one.text, part = one.line.name, text = ("%q both includes and excludes %s"):format(one.line.name, one.text)}
    elseif not is_somewhere(one, lines, includes) then
      list[#list + 1] = {what = one.text, part = one.line.name,
        text = ("%q excludes %s, which no line has and none includes"):format(one.line.name, one.text)}
    end
  end
  return list
end

-- ---- booked twice, and pairs ---------------------------------------------------------------------------------------------------

-- As close as a copied line is: a millimetre of place and a thousandth of the mass.
local SAME_MM, SAME_SHARE = 1, 1e-3

local function near_names(a, b)
  for word in pairs(a.words) do
    if b.words[word] and not match.is_place(word) then return true end
  end
  return core.nearest(a.item.name, {b.item.name}) ~= nil
end

local function parts_with_totals(c, lines)
  local list = {}
  for _, line in ipairs(lines) do
    if line.item.form ~= "group" then
      line.totals = core.item_totals(c.base, c.geometry, line.item.route)
      if line.totals.cg then list[#list + 1] = line end
    end
  end
  return list
end

local function same_spot(a, b)
  if math.abs(a.mass - b.mass) > SAME_SHARE * a.mass then return false end
  for _, letter in ipairs{"x", "y", "z"} do
    if math.abs(a.cg[letter] - b.cg[letter]) > SAME_MM then return false end
  end
  return true
end

local function kg(x) return text.fixed(x, x < 1 and 3 or 1) end

local function duplicates_of(parts)
  local list = {}
  for i, a in ipairs(parts) do
    for k = i + 1, #parts do
      local b = parts[k]
      if same_spot(a.totals, b.totals) and near_names(a, b) then
        list[#list + 1] = {a = a.name, b = b.name, mass = a.totals.mass,
          text = ("%q and %q are %s kg each at the same place"):format(a.name, b.name, kg(a.totals.mass))}
      end
    end
  end
  return list
end

-- Two pieces are booked at their joint CG: for one left and one right that is on the centre plane.
local function one_sided_of(c, parts)
  local list = {}
  for _, line in ipairs(parts) do
    local cg = line.totals.cg
    local _, left = c.geometry:point_in(cg.x, cg.y, cg.z)
    local _, uncertainty = c.geometry:vector_in(line.totals.sd.cg.x, line.totals.sd.cg.y, line.totals.sd.cg.z)
    if line.node.count == 2 and math.abs(left) > math.max(SAME_MM, text.K95 * math.abs(uncertainty)) then
      list[#list + 1] = {part = line.name, left = left,
        text = ("%q: two pieces, and their joint place is %s of the centre; one on each side is pair = true, with the place of one")
          :format(line.name, text.worded(left, 0, "mm left", "mm right"))}
    end
  end
  return list
end

-- ---- the answer -----------------------------------------------------------------------------------------------------------------

--- missing (name, low, high, when, spare), range {low, high}, twice, gaps, duplicates, one_sided: each of these with a text
function forgotten.of(self)
  local c = contents.inside(self)
  local lines, spares = lines_of(c)
  local parts = parts_with_totals(c, lines)
  local result = {missing = missing_of(lines, spares), twice = twice_of(lines), gaps = gaps_of(lines), duplicates = duplicates_of(parts),
    one_sided = one_sided_of(c, parts), range = {low = 0, high = 0}, sd = {}, state = loading.title(c), heading = self:heading(),
    notes = {"words are matched, not things: what goes by another name here is not missing",
      "all lines of the file are looked at, whatever the load state; spares are not",
      "ranges are common practice, no source, and are booked nowhere"}}
  for _, entry in ipairs(result.missing) do
    result.range.low, result.range.high = result.range.low + entry.low, result.range.high + entry.high
  end
  return origin.of_car(setmetatable(result, Forgotten), c)
end

local function range_text(entry) return ("%s to %s"):format(text.fixed(entry.low, 1), text.fixed(entry.high, 1)) end

local function missing_text(result)
  local rows = {}
  for _, entry in ipairs(result.missing) do
    rows[#rows + 1] = {entry.name, range_text(entry), entry.when or "", entry.spare and "only among the spares" or ""}
  end
  rows[#rows + 1] = {"all of them", range_text(result.range), "", ""}
  return text.table({{"no line for", "%s"}, {"usually, kg", "%s"}, {"", "%s"}, {"", "%s"}}, rows)
end

local sections = {{"twice", "Included twice?"}, {"gaps", "Left out by one line and taken in by none?"},
                  {"duplicates", "Booked twice?"}, {"one_sided", "A pair?"}}

function Forgotten.__tostring(result)
  local lines = {result.heading}
  lines[2] = #result.missing > 0 and missing_text(result) or "Of the usual omissions, none."
  for _, section in ipairs(sections) do
    local list = result[section[1]]
    if #list > 0 then
      lines[#lines + 1] = "\n" .. section[2]
      for _, entry in ipairs(list) do lines[#lines + 1] = "  " .. entry.text end
    end
  end
  lines[#lines + 1] = ""
  return page.of(result, lines)
end

return forgotten
