--- The picture of a book: how heavy each group is and what its mass rests on, and the same of the whole by basis.

local bars = require "steelyard.draw.bars"
local canvas = require "steelyard.draw.canvas"
local figures = require "steelyard.print.figures"
local language = require "steelyard.file.language"
local isolated = require("steelyard.draw.svg").isolated
local sheet = require "steelyard.draw.sheet"
local studied = require "steelyard.draw.studied"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local masses = {}

local MOST = 30 -- rows

-- Of the bases of the language, the best known first: in print without colour full, grey, tinted, empty; hatched what has another.
local looks = {{fill = "ink"}, {fill = "grey"}, {fill = canvas.tints[4]}, {fill = "white"}}
local OTHER = {fill = "white", hatch = true}
local bases, look_of = {}, {}
for i, basis in ipairs(language.bases) do
  local place = #language.bases + 1 - i
  bases[place], look_of[basis] = basis, looks[place]
end

local function pieces_of(path)
  local list = {}
  for piece in path:gmatch "[^/]+" do list[#list + 1] = piece end
  return list
end

-- Lines by the first name of their path in which they differ: list of {name, mass, parts, by = {basis = kg}}, the heaviest first.
local function groups_of(r)
  local level = 1
  local function gather()
    local list, at = {}, {}
    for _, row in ipairs(r.rows) do
      if row.aboard and row.kind ~= "group" and not row.unknown then
        local pieces = pieces_of(row.path)
        local name = pieces[math.min(level, #pieces)]
        if not at[name] then
          at[name] = {name = name, mass = 0, parts = 0, by = {}}
          list[#list + 1] = at[name]
        end
        local one, basis = at[name], row.basis or "no basis"
        one.mass, one.parts, one.by[basis] = one.mass + row.mass, one.parts + 1, (one.by[basis] or 0) + row.mass
      end
    end
    return list
  end
  local list = gather()
  while #list == 1 and list[1].parts > 1 and level < 8 do
    level = level + 1
    list = gather()
  end
  for i, one in ipairs(list) do one.order = i end
  table.sort(list, function(a, b)
    if a.mass ~= b.mass then return a.mass > b.mass end
    return a.order < b.order
  end)
  return list
end

local function known_bases(by)
  local list, known = {}, {}
  for _, basis in ipairs(bases) do
    known[basis] = true
    if by[basis] then list[#list + 1] = basis end
  end
  local others = {}
  for basis in pairs(by) do if not known[basis] then others[#others + 1] = basis end end
  table.sort(others)
  return table.move(others, 1, #others, #list + 1, list)
end

-- Bars one after the other, each basis in its own look.
local function bars_of(by)
  local list, at = {}, 0
  for _, basis in ipairs(known_bases(by)) do
    local bar = {from = at, to = at + by[basis], what = basis}
    for key, value in pairs(look_of[basis] or OTHER) do bar[key] = value end
    list[#list + 1], at = bar, bar.to
  end
  return list
end

local function merged(list, most)
  if #list <= most then return list end
  local kept, rest = table.move(list, 1, most - 1, 1, {}), {mass = 0, parts = 0, by = {}}
  for i = most, #list do
    rest.mass, rest.parts = rest.mass + list[i].mass, rest.parts + list[i].parts
    for basis, kg in pairs(list[i].by) do rest.by[basis] = (rest.by[basis] or 0) + kg end
  end
  rest.name = ("%d smaller ones"):format(#list - most + 1)
  kept[most] = rest
  return kept
end

function masses.draw(page, r)
  local c, decimals = page.canvas, figures.kg(r, 1)
  local list, total, by = merged(groups_of(r), MOST), 0, {}
  for _, one in ipairs(list) do
    total = total + one.mass
    for basis, kg in pairs(one.by) do by[basis] = (by[basis] or 0) + kg end
  end
  local function row(name, kg, pieces, more)
    return {words = name, value = text.fixed(kg, decimals), bars = pieces, bold = more}
  end
  local rows, based, most = {}, {}, 0
  for i, one in ipairs(list) do
    rows[i] = row(one.parts > 1 and ("%s (%d)"):format(isolated(one.name), one.parts) or isolated(one.name), one.mass, bars_of(one.by))
    most = math.max(most, one.mass)
  end
  for i, basis in ipairs(known_bases(by)) do
    based[i] = row(("%s, %s\u{A0}%%"):format(basis, text.fixed(100 * by[basis] / total, 0)), by[basis], bars_of{[basis] = by[basis]})
  end
  local answer = {{"mass", words.value(total, nil, decimals, "kg")}}
  local y = sheet.heading(page, {title = "Mass by group and by basis", state = r.heading, answer = answer,
    lines = {"What each mass rests on is drawn as in the lower list. In brackets: lines of the book."}}) + 1
  local largest = 0
  for _, kg in pairs(by) do largest = math.max(largest, kg) end
  local charts = {{rows = rows, name = "group or part", axis = {from = 0, to = most}},
                  {rows = based, name = "basis", axis = {from = 0, to = largest, name = "mass, kg"}}}
  local names = 0
  for _, o in ipairs(charts) do
    o.left, o.right, o.value = page.left, page.right, "kg"
    names = math.max(names, bars.name_width(o))
  end
  for _, o in ipairs(charts) do
    o.top, o.names = y, names
    local _, lower = bars.draw(c, o)
    y = lower + 4
  end
  return y - 4, {notes = studied.notes(r), words = "mass by group and by basis"}
end

return masses
