--- The table of quantities: what can be printed, compared, limited and asked for by name.
--
-- name      the path in the result: "front_share", "cg.x", "inertia.zz"
-- label     for headings and rows      unit, decimals   as printed
-- change    decimals of a change, where finer than the value's
-- meaning   one line for the reference page
-- set       the set of answers in the core that has it (asking.lua), with its uncertainty and that of a change; there the name is without
--           its first word where that is not a part of the balance
-- says      the module steelyard.WORD whose verdict(c, name) says what stands beside the number: {verdict = "pass <7" or nil, at_most =
--           why it is only that, or nil, notes = list, other = {name, value} of what the word is of where the number is another's, or
--           nil}, or nil
-- from      where no set has it, "balance": a field of the balance sheet that has no uncertainty;
--           "later": the name is kept for limits and tables, the answer is "unknown" until the car can give it;
--           of words: the module steelyard.WORD answers, by words(c) -> {value = text, notes = list}, or nil when unknown
-- optional  true when a balance may have none
-- grows     "mass" or "inertia": while masses are unknown or parts have no shape it is "at least", for only more can come
-- words     true when the answer is a text, for tables only

local rows = {
  {"mass", "mass", "kg", 1, "total of everything aboard", change = 2, grows = "mass"},
  {"mass_with_growth", "mass with growth", "kg", 1, "the same with the growth allowances of parts: their own, else by basis",
   from = "balance", grows = "mass"},
  {"front", "front", "kg", 1, "load on the first axle", change = 2},
  {"rear", "rear", "kg", 1, "load on all other axles", change = 2},
  {"left", "left", "kg", 1, "load on the left wheels, a wheel on the centre line counting half", change = 2},
  {"right", "right", "kg", 1, "load on the right wheels", change = 2},
  {"front_share", "front", "%", 2, "front axle load by total"},
  {"left_share", "left", "%", 2, "left load by total"},
  {"cross_share", "cross weight (RF + LR)", "%", 2, "right front and left rear by total", optional = true},
  {"diagonal_ratio", "diagonal ratio", "", 4, "(right front + left rear) / (left front + right rear)", optional = true},
  {"lf", "left front", "kg", 1, "load on the left front wheel", change = 2, optional = true},
  {"rf", "right front", "kg", 1, "load on the right front wheel", change = 2, optional = true},
  {"lr", "left rear", "kg", 1, "load on the left rear wheel", change = 2, optional = true},
  {"rr", "right rear", "kg", 1, "load on the right rear wheel", change = 2, optional = true},
  {"f", "front wheel", "kg", 1, "load on a single front wheel", change = 2, optional = true},
  {"r", "rear wheel", "kg", 1, "load on a single rear wheel", change = 2, optional = true},
  {"cg.x", "CG x", "mm", 0, "centre of gravity along the file's x", change = 1},
  {"cg.y", "CG y", "mm", 0, "centre of gravity along the file's y", change = 1},
  {"cg.z", "CG z", "mm", 0, "centre of gravity along the file's z", change = 1},
  {"height", "CG height", "mm", 0, "centre of gravity above the ground", change = 1},
  {"cg_behind", "CG behind front axle", "mm", 0, "fore-aft place of the centre of gravity, whatever the file's axes", change = 1},
  {"cg_left", "CG left of centre", "mm", 0, "sideways place of the centre of gravity, left positive, whatever the file's axes", change = 1},
  {"yaw_inertia", "yaw inertia", "kg m2", 0, "moment of inertia about the upright axis through the CG", change = 1, grows = "inertia"},
  {"yaw_index", "yaw index k2/(ab)", "", 3, "yaw inertia / (mass x CG to front axle x CG to rear axle)", grows = "inertia"},
  {"yaw_inertia_rear", "yaw inertia about the rear axle", "kg m2", 0,
   "moment of inertia about the upright axis through the middle of the last axle", change = 1, grows = "inertia"},
  {"pitch_inertia", "pitch inertia", "kg m2", 0, "moment of inertia about the cross axis through the CG, of the whole car", change = 1,
   grows = "inertia"},
  {"inertia.xx", "inertia xx", "kg m2", 1, "about the file's x through the CG", grows = "inertia"},
  {"inertia.yy", "inertia yy", "kg m2", 1, "about the file's y through the CG", grows = "inertia"},
  {"inertia.zz", "inertia zz", "kg m2", 1, "about the file's z through the CG", grows = "inertia"},
  {"inertia.xy", "inertia xy", "kg m2", 1, "tensor entry, minus the integral of x y dm"},
  {"inertia.xz", "inertia xz", "kg m2", 1, "tensor entry, minus the integral of x z dm"},
  {"inertia.yz", "inertia yz", "kg m2", 1, "tensor entry, minus the integral of y z dm"},
  {"sprung.mass", "sprung mass", "kg", 1, "what the springs carry", change = 2},
  {"unsprung.mass", "unsprung mass", "kg", 1, "what the wheels carry directly", change = 2},
  {"wheelbase", "wheelbase", "mm", 0, "first to last axle", from = "balance"},
  {"corners.lf", "left front on springs", "kg", 1, "load of the left front wheel with the springs as set, bars off", change = 2,
   set = "corners"},
  {"corners.rf", "right front on springs", "kg", 1, "the same of the right front wheel", change = 2, set = "corners"},
  {"corners.lr", "left rear on springs", "kg", 1, "the same of the left rear wheel", change = 2, set = "corners"},
  {"corners.rr", "right rear on springs", "kg", 1, "the same of the right rear wheel", change = 2, set = "corners"},
  {"corners.cross_share", "cross weight on springs", "%", 2, "right front and left rear by total, springs as set", set = "corners"},
  {"corners.heights.front", "front ride height", "mm", 1, "body at the front axle from its drawn height, up positive",
   set = "attitude"},
  {"corners.heights.rear", "rear ride height", "mm", 1, "body at the rear axle likewise", set = "attitude"},
  {"stability.ssf", "static stability factor", "", 3, "mean track by twice the CG height, with two wheels on every axle",
   set = "stability"},
  {"stability.side_g", "tips sideways, rigid", "g", 2, "sideways acceleration, of the worse side, that tips the rigid car",
   set = "stability"},
  {"shafts.static_angle", "half-shaft, ride", "deg", 1, "largest joint angle at ride height", set = "shafts",
   says = "shop.shafts"},
  {"shafts.worst_angle", "half-shaft, worst", "deg", 1, "largest joint angle over the wheel travel", set = "shafts",
   says = "shop.shafts"},
  {"shafts.offset", "outboard joint lies", "", 0, "where the outer joint lies from the inner one", from = "shop.shafts", words = true},
  {"shafts.plunge", "plunge over travel", "mm", 1, "largest change of shaft length over the wheel travel", set = "shafts",
   says = "shop.shafts"},
  {"clearances.tightest", "tightest gap", "mm", 0, "the gap as drawn that keeps least of what is asked", set = "clearances",
   says = "shop.clearances"},
  {"handling.heaviest", "heaviest single lifts", "kg", 0, "the heaviest pieces, or assemblies that were weighed whole, and who lifts them",
   from = "shop.handling", words = true},
}

local quantities = {list = {}, by_name = {}, names = {}, numbers = {}}
for i = 1, #rows do
  local q = rows[i]
  quantities.names[i] = q[1]
  if not q.words then quantities.numbers[#quantities.numbers + 1] = q[1] end -- what a limit may be on
end

-- What a row says, made when it is first looked at: a file's limits are on two or three of them.
local function entry_of(i)
  local q = rows[i]
  local entry = {name = q[1], label = q[2], unit = q[3], decimals = q[4], meaning = q[5], change = q.change or q[4],
                 from = q.from, says = q.says, set = q.set or not q.from and "balance" or nil, words = q.words, optional = q.optional,
                 grows = q.grows}
  if entry.set then entry.answer = entry.set == "balance" and entry.name or entry.name:match "%.(.*)$" end
  return entry
end

setmetatable(quantities.list, {__index = function(list, i)
  if not rows[i] then return nil end
  list[i] = entry_of(i)
  return list[i]
end})

setmetatable(quantities.by_name, {__index = function(by_name, name)
  for i = 1, #rows do
    if rows[i][1] == name then
      by_name[name] = quantities.list[i]
      return by_name[name]
    end
  end
  return nil
end})

--- The same for a limit: axle and wheel loads are named by the file, so the table does not hold them all.
function quantities.limited(name)
  return quantities.find(name) or {name = name, label = name, unit = "kg", decimals = 1, change = 2, set = "balance", answer = name}
end

-- The trade's name of the ratio, taken wherever a quantity is asked for; results have it under cross_share.
local other_names = {cross_weight = "cross_share", ["corners.cross_weight"] = "corners.cross_share"}

--- How a quantity is printed, nil where there is none. What can be drawn from a tank is asked by its name: usable.fuel.
function quantities.find(name)
  name = other_names[name] or name
  if quantities.by_name[name] then return quantities.by_name[name] end
  local tank = type(name) == "string" and name:match "^usable%.(.+)$"
  if not tank then return nil end
  return {name = name, label = tank .. " usable", unit = "litre", decimals = 1, change = 2, set = "usable", answer = "volume", of = tank,
          meaning = "in the tank beyond what cannot be drawn"}
end

--- What stands beside the number of a quantity (a row), nil without anything.
function quantities.verdict(c, q)
  return q.says and require("steelyard." .. q.says).verdict(c, q.name) or nil
end

--- The text that answers a quantity of words, {value =, notes =}; nil when it is not known.
function quantities.words(c, q) return require("steelyard." .. q.from).words(c) end

--- What sy.compare shows when nothing is asked for.
quantities.usual = {"mass", "front", "rear", "front_share", "cg_behind", "height", "yaw_inertia", "yaw_index"}

--- "front, kg"
function quantities.heading(q) return q.unit ~= "" and q.label .. ", " .. q.unit or q.label end

return quantities
