--- What happened to a part, in words.

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local held_liquid = require "steelyard.file.held_liquid"
local text = require "steelyard.print.text"

local describe = {}

--- Do two fields of the file say the same, all the way down?
function describe.same(a, b)
  if a == b then return true end
  if type(a) ~= "table" or type(b) ~= "table" then return false end
  for key, value in pairs(a) do
    if not describe.same(value, b[key]) then return false end
  end
  for key in pairs(b) do
    if a[key] == nil then return false end
  end
  return true
end
local same = describe.same

-- "12", "0.4"; what is less than a tenth of a millimetre in more places
local function millimetres(d)
  local size = math.abs(d)
  return (core.fixed(size, size < 0.05 and 4 or 1):gsub("%.?0+$", ""))
end

local function kilograms(x) return core.fixed(x, x < 1 and 3 or x < 10 and 2 or 1) end

-- Two masses with as many places as it takes to tell them apart.
local function from_to(a, b)
  local x, y = kilograms(a), kilograms(b)
  if x == y then x, y = text.plain(a), text.plain(b) end
  return ("%s to %s"):format(x, y)
end

--- "50 back, 5 up" from {forward, left, up} in mm; `out` says left as out, for the left piece of a pair.
function describe.moved(by, out)
  local said = {}
  for i, pair in ipairs{{"forward", "back"}, out and {"out", "in"} or {"left", "right"}, {"up", "down"}} do
    local shown = millimetres(by[i])
    if shown:find "[1-9]" then said[#said + 1] = shown .. " " .. (by[i] > 0 and pair[1] or pair[2]) end
  end
  return table.concat(said, ", ")
end

--- "added, a group of 12 parts"
function describe.whole(verb, entry, count)
  if entry.form ~= "group" then return verb end
  return ("%s, a group of %s"):format(verb, text.count(count, "part"))
end

--- "one part before, now a group of 12 parts"
function describe.reformed(was, is, count)
  if is.form == "group" then return ("one part before, now a group of %s"):format(text.count(count, "part")) end
  return ("a %s before, now one part"):format(was.form)
end

local SAME_INERTIA = 1e-9 -- of the largest moment: the same tensor worked out again

-- The moments that a line states, or that its person's segments come to.
local function moments(node)
  if node.inertia or not (node.per_kg and node.mass and not node.shape) then return node.inertia end
  local list = {}
  for name, value in pairs(node.per_kg) do list[name] = value * node.mass end
  return list
end

local function same_inertia(a, b)
  local p, q = moments(a), moments(b)
  if not (p and q) then return p == q end
  local largest = math.max(p.xx, p.yy, p.zz)
  for name, value in pairs(p) do
    if math.abs(value - (q[name] or 0)) > SAME_INERTIA * largest then return false end
  end
  return true
end

--- Do two nodes say the same of all that `changed` tells, but for mass and place?
function describe.same_statement(a, b)
  return a.basis == b.basis and a.pair == b.pair and a.count == b.count and a.unknown == b.unknown and a.growth == b.growth
    and same(a.turned, b.turned) and same(a.shape, b.shape) and same_inertia(a, b) and same(a.unsprung, b.unsprung)
end

local rank = {}
for i, basis in ipairs(language.bases) do rank[basis] = i end

local function basis_of(node) return node.basis or "estimate" end

local function carried_by(node)
  if not node.unsprung then return "the body" end
  local list = {}
  for i, entry in ipairs(node.unsprung) do
    list[i] = entry.fraction == 1 and entry.carrier or ("%s of %s"):format(text.plain(entry.fraction), entry.carrier)
  end
  return table.concat(list, " and ")
end

local function percent(x) return text.plain(100 * x) .. " %" end

-- Each looks at one side of a line: say(kind, words). `a` and `b` are the nodes, `p` and `q` one piece of each as it lies.
local looks = {}

function looks.basis(say, a, b)
  local from, to = basis_of(a), basis_of(b)
  if from ~= to then say(rank[to] > rank[from] and "basis raised" or "basis lowered", ("now %s, was %s"):format(to, from)) end
end

function looks.number(say, a, b)
  if (a.pair or false) ~= (b.pair or false) then say("count", b.pair and "now a pair" or "no longer a pair") end
  if (a.count or 1) ~= (b.count or 1) then say("count", ("%d pieces, were %d"):format(b.count or 1, a.count or 1)) end
end

local function say_tank(say, a, b, p, q)
  if a.density == b.density and a.dry_mass == b.dry_mass then
    local function litres(mass) return core.fixed(held_liquid.litres(b, mass), 1):gsub("%.0$", "") end
    return say("filled", ("%s litres, were %s"):format(litres(q.mass), (litres(p.mass))))
  end
  say("mass", "tank or liquid changed, " .. from_to(p.mass, q.mass))
end

local function stated(piece) return piece.mass_stated or piece.mass end

function looks.mass(say, a, b, p, q)
  if (a.unknown or false) ~= (b.unknown or false) then
    return say("mass", b.unknown and "mass now unknown" or "mass known now")
  end
  if p.mass ~= q.mass and stated(p) == stated(q) then
    return say("corrected", ("records correct it by %s kg"):format(text.signed(q.mass - p.mass, 2)))
  end
  if p.mass ~= q.mass then
    if a.kind == "tank" and b.kind == "tank" then return say_tank(say, a, b, p, q) end
    local again = basis_of(a) == "weighed" and basis_of(b) == "weighed"
    say("re-weighed", (again and "weighed again, " or "mass ") .. from_to(p.mass, q.mass))
  elseif p.mass_sd ~= q.mass_sd then
    say("uncertainty", ("mass +- %s, was %s"):format(kilograms(text.K95 * q.mass_sd), kilograms(text.K95 * p.mass_sd)))
  end
end

function looks.place(say, a, b, p, q)
  local by = {q.origin[1] - p.origin[1], q.origin[2] - p.origin[2], q.origin[3] - p.origin[3]}
  local both = a.pair and b.pair
  local shown = (a.pair or false) == (b.pair or false) and describe.moved(by, both) or ""
  if shown ~= "" then say("moved", shown) end
end

function looks.form(say, a, b)
  if not same(a.turned, b.turned) then say("turned", "turned") end
  if not (same(a.shape, b.shape) and same_inertia(a, b)) then say("shape", "shape changed") end
end

function looks.carrier(say, a, b)
  if not same(a.unsprung, b.unsprung) then say("carrier", ("carried by %s, was %s"):format(carried_by(b), carried_by(a))) end
end

function looks.growth(say, a, b)
  if (a.growth or 0) ~= (b.growth or 0) then
    say("growth", ("growth %s, was %s"):format(percent(b.growth or 0), percent(a.growth or 0)))
  end
end

local order = {"basis", "number", "mass", "place", "form", "carrier", "growth"}

--- What happened to one part: a list of kinds and a list of phrases. old, new: {entry, item of one piece}.
function describe.changed(old, new)
  local kinds, said = {}, {}
  local function say(kind, words)
    kinds[#kinds + 1], said[#said + 1] = kind, words
  end
  if old.entry.aboard ~= new.entry.aboard then say("aboard", new.entry.aboard and "now aboard" or "no longer aboard") end
  for _, name in ipairs(order) do looks[name](say, old.entry.node, new.entry.node, old.item, new.item) end
  return kinds, said
end

return describe
