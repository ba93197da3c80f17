-- 1,000 random sequences of edits: whatever led there, a car is the one that its final file says.
--
-- The model below knows nothing of the code that edits: it keeps the lines of a file as plain tables, in mm forward, left and up, works
-- out what each edit makes of them, and writes the file that says so; sy.car loads that. Where nothing was turned and the front axle stayed
-- (file coordinates count from it inside), both cars must have the same bits; else they differ by rounding, see TURNED.
-- Under the command alone: it holds figures of cars against figures; what a locale or another Lua could change are texts, read by others.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"

local SEQUENCES, MOST_EDITS = tonumber(arg[1]) or 1000, 12

-- Places are kept to 1e-9 mm, each of a dozen edits adds half of that, and a turn about a point 3 m off some 1e-12 more. With masses of
-- hundreds of kg, 1e-8 mm of all of them is 1e-8 kg on an axle 2,400 mm away, and 2 x 700 kg x 2 m x 1e-11 m = 3e-8 kg m2 of inertia.
local TURNED = 2e-7

local dice = dofile("tests/lua/dice.lua")(23)
local below, between, pick, chance = dice.below, dice.between, dice.pick, dice.chance

-- ---- vectors and rotations, forward left up ---------------------------------------------------------------------------------

local function mul(a, b)
  local c = {{}, {}, {}}
  for i = 1, 3 do for j = 1, 3 do c[i][j] = a[i][1] * b[1][j] + a[i][2] * b[2][j] + a[i][3] * b[3][j] end end
  return c
end
local function apply(a, v)
  local w = {}
  for i = 1, 3 do w[i] = a[i][1] * v[1] + a[i][2] * v[2] + a[i][3] * v[3] end
  return w
end
local function transposed(a) return {{a[1][1], a[2][1], a[3][1]}, {a[1][2], a[2][2], a[3][2]}, {a[1][3], a[2][3], a[3][3]}} end
local function plus(a, b) return {a[1] + b[1], a[2] + b[2], a[3] + b[3]} end
local function minus(a, b) return {a[1] - b[1], a[2] - b[2], a[3] - b[3]} end

-- left_up lifts the left side, nose_up the nose, nose_left turns it left: first about the length, then across, then upright
local function rotation(w)
  local r, p, y = math.rad(w.left_up or 0), math.rad(w.nose_up or 0), math.rad(w.nose_left or 0)
  local roll = {{1, 0, 0}, {0, math.cos(r), -math.sin(r)}, {0, math.sin(r), math.cos(r)}}
  local pitch = {{math.cos(p), 0, -math.sin(p)}, {0, 1, 0}, {math.sin(p), 0, math.cos(p)}}
  local yaw = {{math.cos(y), -math.sin(y), 0}, {math.sin(y), math.cos(y), 0}, {0, 0, 1}}
  return mul(yaw, mul(pitch, roll))
end

-- The words for a rotation, from the same product read backwards.
local function words_of(m)
  return {nose_up = math.deg(math.asin(math.max(-1, math.min(1, m[3][1])))), left_up = math.deg(math.atan(m[3][2], m[3][3])),
          nose_left = math.deg(math.atan(m[2][1], m[1][1]))}
end

-- ---- the model ---------------------------------------------------------------------------------------------------------------
--
-- m = {axes, origin = {x, y, z of the file's front axle, centre plane and ground}, axles, items = list, out, role, fills, state, lowered}
-- item = {name, kind, group = item, place = mm from the group's place in its directions, turn = rotation since filed, said = rotation the
--   line states, spare, line = the other fields of the file}; a pair has pieces = {left, right}, each with place, turn, said and line

local CONVENTIONS = {
  {x = "back", y = "right", z = "up"}, {x = "forward", y = "left", z = "up"}, {x = "forward", y = "right", z = "up"},
  {x = "left", y = "back", z = "up"}, {x = "back", y = "left", z = "up"},
}
local LETTERS = {"x", "y", "z"}
local WAYS = {forward = {1, 1}, back = {1, -1}, left = {2, 1}, right = {2, -1}, up = {3, 1}, down = {3, -1}}

local function file_vector(m, v)
  local t = {}
  for i, letter in ipairs(LETTERS) do
    local way = WAYS[m.axes[letter]]
    t[i] = way[2] * v[way[1]]
  end
  return t
end

-- origin: what the file calls the place under the front axle as it was first drawn
local function file_point(m, v) return plus(m.origin, file_vector(m, v)) end

local function forward_coordinate(m, forward)
  for i, letter in ipairs(LETTERS) do
    local way = WAYS[m.axes[letter]]
    if way[1] == 1 then return m.origin[i] + way[2] * forward end
  end
end

local function item_named(m, name)
  for _, item in ipairs(m.items) do if item.name == name then return item end end
end

local function copy(t)
  local c = {}
  for key, value in pairs(t) do c[key] = value end
  return c
end

-- What goes to the file: numbers with their uncertainties.
local function stated(value, sd) return sd and sy.sd(value, sd) or value end

local function at_of(m, place, sds, free)
  local list = free and file_vector(m, place) or file_point(m, place)
  local across = sds and file_vector(m, sds)
  for i = 1, 3 do
    if sds and across[i] ~= 0 then list[i] = sy.sd(list[i], math.abs(across[i])) end
  end
  return list
end

local function group_place(item) return item.group and item.group.place or {0, 0, 0} end

-- Are the pieces of a pair images of one another, and said alike?
local function is_mirror(item)
  local a, b = item.pieces[1], item.pieces[2]
  local g = group_place(item)[2]
  if item.group and item.group.turn or a.turn or b.turn then return false end
  if a.place[1] ~= b.place[1] or a.place[3] ~= b.place[3] or a.place[2] + g ~= -(b.place[2] + g) then return false end
  for _, key in ipairs{"mass", "mass_sd", "growth", "basis", "unsprung", "fill", "fill_sd", "density", "dry_mass", "shape", "capacity"} do
    if a.line[key] ~= b.line[key] then return false end
  end
  for i = 1, 3 do if a.sds[i] ~= b.sds[i] then return false end end
  return true
end

local SIDES = {front = {"lf", "rf"}, rear = {"lr", "rr"}}

local function carried_on(unsprung, side)
  if not unsprung then return nil end
  local shares = {}
  for axle, share in pairs(unsprung) do shares[side and SIDES[axle][side] or axle] = share end
  return shares
end

local function make_shape(s)
  return s and (s[1] == "box" and sy.box {s[2], s[3], s[4]} or sy.cylinder {s[2], s[3]}) or nil -- a cylinder's axis lies across
end

-- A line as the file says it. free: inside a group; side: of a piece that stands for itself; litres: {litres, sd} other than the line's.
local function file_line(m, what, free, side, litres)
  local line, turn = what.line, what.said
  if what.turn then turn = mul(what.turn, turn or rotation{}) end
  local t = {at = at_of(m, what.place, what.sds, free), growth = line.growth, basis = line.basis, shape = make_shape(line.shape),
             inertia = line.inertia, count = line.count, unsprung = carried_on(line.unsprung, side), tags = line.tags,
             turned = turn and words_of(turn)}
  if line.density then
    t.density, t.dry_mass, t.capacity = stated(line.density, line.density_sd), stated(line.dry_mass, line.dry_mass_sd), line.capacity
    t.fill = litres and stated(litres[1], litres[2]) or stated(line.fill, line.fill_sd)
  else
    t.mass = stated(line.mass, line.mass_sd)
  end
  return t
end

local function aboard(m, item)
  if item.kind == "seat" then return false end
  for _, name in ipairs{item.name, item.group and item.group.name or item.name} do
    if m.out[name] then return false end
  end
  return true
end

-- Who is aboard and what is in the tanks, in the state and after the edits.
local function loaded(m)
  local state = m.state or {}
  local is = {}
  for _, item in ipairs(m.items) do is[item.name] = not item.spare and aboard(m, item) end
  local who = m.role or "driver"
  is.driver, is.tall, is.short = false, false, false
  is[who] = not (m.out.driver or m.out[who] or state.without)
  if state.with and not m.out[state.with] then is[state.with] = true end
  local litres = {}
  for name, fill in pairs(state.fill or {}) do
    if not item_named(m, name).held then litres[name] = {fill} end
  end
  for name, fill in pairs(m.fills) do litres[name] = fill end
  return is, litres
end

-- m's file as sy.car takes it; whole: with spares and states, as it was first written
local function file_of(m, whole)
  local is, litres = loaded(m)
  local parts, spares, groups = {}, {}, {}
  for _, item in ipairs(m.items) do
    if item.kind == "group" then
      groups[item.name] = {at = file_point(m, item.place), turned = item.turn and words_of(item.turn), tags = item.line.tags}
    end
  end
  local function put(item, made)
    local list = item.group and groups[item.group.name] or item.spare and whole and spares or parts
    list[#list + 1] = made
  end
  local pure = true -- no pair had to be written as two parts
  for _, item in ipairs(m.items) do
    local maker = sy[item.kind == "person" and "person" or item.kind == "tank" and "tank" or "part"]
    if item.kind ~= "group" and (whole or is[item.name]) and not (item.group and not whole and not is[item.group.name]) then
      local fill = not whole and litres[item.name] or nil
      if not item.pieces then
        put(item, maker(item.name)(file_line(m, item, item.group, nil, fill)))
      elseif is_mirror(item) and not (item.lost[1] or item.lost[2]) then
        local line = file_line(m, item.pieces[1], item.group, nil, fill)
        line.pair, line.tags = true, item.line.tags
        put(item, maker(item.name)(line))
      else
        pure = false
        for side = 1, 2 do
          if not item.lost[side] then
            put(item, maker(item.name .. " " .. side)(file_line(m, item.pieces[side], item.group, side, fill)))
          end
        end
      end
    end
  end
  for _, item in ipairs(m.items) do
    if item.kind == "group" and (whole or is[item.name]) then parts[#parts + 1] = sy.group(item.name)(groups[item.name]) end
  end
  local axles = {}
  for i, axle in ipairs(m.axles) do
    axles[i] = {name = axle.name, at = forward_coordinate(m, axle.forward), track = axle.track, loaded_radius = axle.loaded_radius}
  end
  local ground, centre
  for i, letter in ipairs(LETTERS) do
    local way = WAYS[m.axes[letter]][1]
    if way == 2 then centre = m.origin[i] elseif way == 3 then ground = m.origin[i] end
  end
  local fields = {title = "Random (invented)", axes = m.axes, axles = axles, parts = parts, ground = ground, centre = centre}
  if whole then
    fields.spares, fields.states = spares, {}
    for i, state in ipairs(m.states) do
      fields.states[i] = sy.state(state.name) {without = state.without and {state.without}, with = state.with and {state.with},
        fill = state.fill}
    end
  end
  return fields, pure
end

-- ---- the first car of a sequence ---------------------------------------------------------------------------------------------------

local function new_model()
  local m = {axes = pick(CONVENTIONS), origin = {between(-900, 900), between(-90, 90), between(-200, 200)}, items = {},
    out = {}, fills = {},
             lowered = {0, 0}, exact = true}
  m.axles = {{name = "front", forward = 0, track = between(1380, 1500), loaded_radius = 290},
             {name = "rear", forward = -between(2300, 2500), track = between(1380, 1500), loaded_radius = 300}}
  local rear = m.axles[2].forward
  local function add(kind, name, place, line, group, more)
    local item = {kind = kind, name = name, place = place, line = line, sds = {0, 0, 0}, group = group}
    for key, value in pairs(more or {}) do item[key] = value end
    m.items[#m.items + 1] = item
    return item
  end
  local function pair(kind, name, place, line, group)
    local item = add(kind, name, nil, {tags = line.tags}, group, {lost = {}})
    local g = group_place(item)[2]
    line.tags = nil
    local sds = {below(4), 0, below(3)}
    item.pieces = {{place = place, line = line, sds = sds},
                   {place = {place[1], -(place[2] + g) - g, place[3]}, line = copy(line), sds = copy(sds)}}
    return item
  end
  local engine = add("group", "engine room", {rear + between(300, 700), between(-30, 30), 200}, {})
  local nose = add("group", "nose", {-between(100, 300), 0, 150}, {tags = {"ends"}})
  add("part", "tub", {-900, 17, 260}, {mass = between(180, 260), mass_sd = 2, shape = {"box", 1800, 1100, 400}, tags = {"body"}})
  add("part", "block", {40, 25, 160}, {mass = 96.2, mass_sd = 0.5, inertia = {xx = 3.1, yy = 4.2, zz = 5.3}, tags = {"iron"}}, engine)
  add("part", "gearbox", {-420, -10, 90}, {mass = 41, shape = {"cylinder", 300, 420}, tags = {"iron"}}, engine, {sds = {5, 0, 2}})
  add("part", "bolts", {100, 5, 70}, {mass = 0.31, count = 24}, engine)
  pair("part", "mounts", {150, 260, 30}, {mass = 1.9, growth = 0.1, shape = {"box", 90, 60, 80}}, engine)
  add("part", "radiator", {-330, 12, 130}, {mass = 9.5, mass_sd = 0.25, shape = {"box", 60, 500, 340}, tags = {"body"}}, nose)
  pair("part", "lamp", {-360, 430, 190}, {mass = 1.25, mass_sd = 0.0625}, nose)
  pair("part", "front corner", {between(-8, 8), 700, 290}, {mass = 27.4, mass_sd = 0.25, unsprung = {front = 1},
    shape = {"cylinder", 580, 190}})
  pair("part", "rear corner", {rear + between(-8, 8), 710, 300}, {mass = 31.5, unsprung = {rear = 1}, tags = {"wheels"}})
  add("part", "front links", {-60, 0, 200}, {mass = 14, unsprung = {front = 0.5}})
  add("part", "rear links", {rear + 90, 0, 210}, {mass = 13, mass_sd = 1, unsprung = {rear = 0.5}})
  add("tank", "fuel", {-1500, -40, 300}, {density = 0.75, density_sd = 0.0078125, dry_mass = 5, dry_mass_sd = 0.5, fill = 22,
    shape = {"box", 360, 800, 250}})
  add("tank", "reserve", {-1700, 210, 420}, {density = 0.75, dry_mass = 1.5, fill = 6, fill_sd = 0.5, capacity = 12})
  pair("tank", "side tank", {-1200, 560, 240}, {density = 0.75, dry_mass = 2, fill = 9, capacity = 20})
  add("person", "driver", {-1150, 180, 380}, {mass = 78, mass_sd = 3})
  add("person", "passenger", {-1150, -180, 380}, {mass = 70}, nil, {spare = true})
  add("person", "tall", {-1160, 180, 392}, {mass = 96}, nil, {spare = true})
  add("person", "short", {-1130, 180, 371}, {mass = 55, mass_sd = 2}, nil, {spare = true})
  m.states = {{name = "kerb", without = "driver", fill = {fuel = 40}}, {name = "two up", with = "passenger",
    fill = {reserve = 3, ["side tank"] = 5}},
              {name = "low", fill = {fuel = 3}}}
  return m
end

-- ---- edits: each gives what to do to the car, after doing it to the model -----------------------------------------------------------

-- Solid things with a place of their own, which may be turned too: tanks keep their liquid as it lies, which no file says.
local SOLID = {"tub", "block", "gearbox", "bolts", "mounts", "radiator", "lamp", "front corner", "rear corner", "front links",
  "rear links", "driver"}
local PAIRS = {"mounts", "lamp", "front corner", "rear corner"}
local ANY = {"fuel", "reserve", "side tank", "passenger", "tall", table.unpack(SOLID)}

local function pieces_of(item) return item.pieces or {item} end

-- Turn of the group an item lies in, or nil; and of a thing there: its place in the vehicle.
local function to_vehicle(item, place)
  local g = item.group
  if not g then return place end
  return plus(g.place, g.turn and apply(g.turn, place) or place)
end
local function inward(item, v) return item.group and item.group.turn and apply(transposed(item.group.turn), v) or v end

local function shift_piece(item, piece, v) piece.place = plus(piece.place, inward(item, v)) end

local function shift_item(item, v)
  if item.kind == "group" then item.place = plus(item.place, v) return end
  for _, piece in ipairs(pieces_of(item)) do shift_piece(item, piece, v) end
end

local function turn_piece(item, piece, turn, about)
  local at = to_vehicle(item, piece.place)
  shift_piece(item, piece, minus(plus(about, apply(turn, minus(at, about))), at))
  local g = item.group and item.group.turn
  local inside = g and mul(transposed(g), mul(turn, g)) or turn
  piece.turn = piece.turn and mul(inside, piece.turn) or inside
end

local function turn_item(item, turn, about)
  if item.kind == "group" then
    item.place = plus(about, apply(turn, minus(item.place, about)))
    item.turn = item.turn and mul(turn, item.turn) or turn
    return
  end
  for _, piece in ipairs(pieces_of(item)) do turn_piece(item, piece, turn, about) end
end

local function own_place(item)
  if item.kind == "group" then return item.place end
  local list = pieces_of(item)
  local a, b = to_vehicle(item, list[1].place), to_vehicle(item, list[#list].place)
  return {(a[1] + b[1]) / 2, (a[2] + b[2]) / 2, (a[3] + b[3]) / 2}
end

local function random_shift()
  local words, v = {}, {0, 0, 0}
  for _ = 1, between(1, 2) do
    local word = pick{"forward", "back", "left", "right", "up", "down"}
    local way = WAYS[word]
    if not words[word] then
      words[word] = between(1, 60)
      v[way[1]] = v[way[1]] + way[2] * words[word]
    end
  end
  return words, v
end

local function random_turn()
  local words = {[pick{"nose_up", "left_up", "nose_left"}] = between(-12, 12) + 0.5}
  if chance(30) then words.nose_left = between(-9, 9) + 0.25 end
  return words, rotation(words)
end

local function items_of(m, names)
  local list = {}
  for i, name in ipairs(names) do list[i] = item_named(m, name) end
  return list
end

local function tagged(m, tag)
  local list = {}
  for _, item in ipairs(m.items) do
    for _, t in ipairs(item.line.tags or {}) do if t == tag then list[#list + 1] = item end end
  end
  return list
end

-- Things to be moved together, none inside another.
local function outermost(list)
  local there, taken, kept = {}, {}, {}
  for _, item in ipairs(list) do there[item] = true end
  for _, item in ipairs(list) do
    if not taken[item] and not (item.group and there[item.group]) then kept[#kept + 1] = item end
    taken[item] = true
  end
  return kept
end

local edits = {}

function edits.move(m)
  local item = item_named(m, pick(chance(20) and {"engine room", "nose"} or ANY))
  local words, v = random_shift()
  shift_item(item, v)
  return function(car) return car:move(item.name, words) end
end

function edits.move_piece(m)
  local item, side = item_named(m, pick(PAIRS)), between(1, 2)
  local words, v = random_shift()
  shift_piece(item, item.pieces[side], v)
  return function(car) return car:move(item.name .. (side == 1 and "/left" or "/right"), words) end
end

function edits.move_out(m)
  local item, by = item_named(m, pick(PAIRS)), between(1, 30)
  for _, piece in ipairs(item.pieces) do
    local y = to_vehicle(item, piece.place)[2]
    if y == 0 then return nil end
    shift_piece(item, piece, {0, y > 0 and by or -by, 0})
  end
  return function(car) return car:move(item.name, {out = by}) end
end

function edits.move_tag(m)
  local tag = pick{"iron", "body", "wheels", "ends"}
  local list = outermost(tagged(m, tag))
  if #list == 0 then return nil end
  local words, v = random_shift()
  for _, item in ipairs(list) do shift_item(item, v) end
  return function(car) return car:move(tag, words) end
end

-- With what else is named, which moves as a whole and once.
local function move_axle(m, axle, v, named)
  axle.forward = axle.forward + v
  for _, item in ipairs(m.items) do
    if item.kind ~= "group" and not (named[item] or item.group and named[item.group]) then
      for _, piece in ipairs(pieces_of(item)) do
        local share = piece.line.unsprung and piece.line.unsprung[axle.name] or 0
        if share > 0 then shift_piece(item, piece, {share * v, 0, 0}) end
      end
    end
  end
end

function edits.move_axle(m)
  local axle, by = m.axles[chance(15) and 1 or 2], between(1, 40)
  if axle == m.axles[1] then m.exact = false end
  move_axle(m, axle, -by, {})
  return function(car) return car:move(axle.name .. " axle", {back = by}) end
end

function edits.move_list(m)
  local names, named = {}, {}
  for i = 1, between(2, 4) do names[i] = pick{"engine room", "nose", "rear corner", "rear links", "tub", "fuel", "block", "lamp"} end
  local list = outermost(items_of(m, names))
  for _, item in ipairs(list) do named[item] = true end
  local by, with_axle = between(1, 40), chance(50)
  if with_axle then
    table.insert(names, between(1, #names), "rear axle")
    if chance(30) then names[#names + 1] = "rear axle" end
    move_axle(m, m.axles[2], -by, named)
  end
  for _, item in ipairs(list) do shift_item(item, {-by, 0, 0}) end
  return function(car) return car:move(names, {back = by}) end
end

function edits.turn(m)
  local item = item_named(m, pick(chance(20) and {"engine room", "nose"} or {"reserve", table.unpack(SOLID)}))
  local words, turn = random_turn()
  local about = own_place(item)
  if chance(40) then
    about = {between(-2000, 0), between(-400, 400), between(0, 500)}
    words.about = file_point(m, about)
  end
  turn_item(item, turn, about)
  m.exact = false
  return function(car) return car:move(item.name, words) end
end

function edits.turn_piece(m)
  local item, side = item_named(m, pick(PAIRS)), between(1, 2)
  local words, turn = random_turn()
  turn_piece(item, item.pieces[side], turn, to_vehicle(item, item.pieces[side].place))
  m.exact = false
  return function(car) return car:move(item.name .. (side == 1 and "/left" or "/right"), words) end
end

-- A list turns about its joint CG.
function edits.turn_list(m)
  local list = items_of(m, {pick{"tub", "gearbox"}, pick{"bolts", "radiator"}, pick{"front corner", "rear corner"}})
  local is = loaded(m)
  local mass, sum = 0, {0, 0, 0}
  for _, item in ipairs(list) do
    if not is[item.name] or item.group and not is[item.group.name] or item.lost and (item.lost[1] or item.lost[2]) then return nil end
    for _, piece in ipairs(pieces_of(item)) do
      local kg, at = piece.line.mass * (piece.line.count or 1), to_vehicle(item, piece.place)
      mass, sum = mass + kg, plus(sum, {kg * at[1], kg * at[2], kg * at[3]})
    end
  end
  local words, turn = random_turn()
  for _, item in ipairs(list) do turn_item(item, turn, {sum[1] / mass, sum[2] / mass, sum[3] / mass}) end
  m.exact = false
  return function(car) return car:move({list[1].name, list[2].name, list[3].name}, words) end
end

-- ---- car:set: fields of a line, of both pieces of a pair or of one -------------------------------------------------------------

-- A place that is said: of a pair that of the left piece, the right one its image in the vehicle's centre plane.
local function say_place(m, item, piece, given)
  local words, said = {}, copy(piece.place)
  for i, letter in ipairs(LETTERS) do
    local way = WAYS[m.axes[letter]]
    if given[way[1]] then
      words[letter] = way[2] * given[way[1]] + (item.group and 0 or m.origin[i])
      said[way[1]] = given[way[1]]
    end
  end
  return words, said
end

local function set_place(m, item, side)
  local piece = item.pieces and item.pieces[side or 1] or item
  local given, all = {}, chance(60)
  local usual = piece.place
  for i = 1, 3 do
    if all or chance(40) then given[i] = math.floor(usual[i]) + between(-50, 50) end
  end
  if next(given) == nil then return nil end
  local words, said = say_place(m, item, piece, given)
  if item.pieces and not side then
    -- the other piece keeps what was not said, seen from its own side
    if item.group and item.group.turn then return nil end -- images in a plane that is askew there: no file says that
    local other, g = item.pieces[2], group_place(item)[2]
    for i = 1, 3 do
      if given[i] then other.place = copy(other.place); other.place[i] = i == 2 and -(given[2] + g) - g or given[i] end
    end
  end
  piece.place = said
  return {at = words}
end

local function random_field(item)
  local line = (item.pieces and item.pieces[1] or item).line
  local roll = below(10)
  if roll < 3 and line.mass then return {mass = between(4, 400) / 4} end
  if roll == 3 and line.mass then return {mass = between(4, 400) / 4, mass_sd = between(1, 8) / 4} end
  if roll == 4 then return {growth = between(0, 8) / 32} end
  if roll == 5 and line.shape and not line.density then return {shape = {"box", between(50, 900), between(50, 900), between(50, 400)}} end
  if roll == 6 and line.unsprung then return {unsprung = {[pick{"front", "rear"}] = pick{0.5, 1, 0.25}}} end
  if roll == 7 and line.count then return {count = between(1, 40)} end
  if roll == 8 then return {basis = pick{"weighed", "calculated", "supplier"}} end
  if line.density then return pick{{density = 0.75 + below(5) / 64}, {dry_mass = between(0, 12) / 2}} end
  return nil
end

local function given_words(change, side)
  local words = {}
  for key, value in pairs(change) do words[key] = value end
  if change.mass_sd then words.mass, words.mass_sd = sy.sd(change.mass, change.mass_sd), nil end
  if change.shape then words.shape = make_shape(change.shape) end
  if change.unsprung and side then words.unsprung = carried_on(change.unsprung, side) end
  return words
end

local function set_line(piece, change)
  piece.line = copy(piece.line)
  for key, value in pairs(change) do piece.line[key] = value end
end

function edits.set(m)
  local item = item_named(m, pick(ANY))
  if chance(30) then
    local words = set_place(m, item)
    return words and function(car) return car:set(item.name, words) end
  end
  local change = random_field(item)
  if not change then return nil end
  for _, piece in ipairs(pieces_of(item)) do set_line(piece, change) end
  return function(car) return car:set(item.name, given_words(change)) end
end

function edits.set_piece(m)
  local item, side = item_named(m, pick(PAIRS)), between(1, 2)
  local name = item.name .. (side == 1 and "/left" or "/right")
  if chance(30) then
    local words = set_place(m, item, side)
    return words and function(car) return car:set(name, words) end
  end
  local change = random_field(item)
  if not change then return nil end
  set_line(item.pieces[side], change)
  return function(car) return car:set(name, given_words(change, side)) end
end

function edits.set_place_sd(m)
  local item = item_named(m, pick(SOLID))
  local list, sds = pieces_of(item), {between(1, 6), between(1, 6), between(1, 6)}
  if item.group and item.group.turn then return nil end
  local words = {}
  local _, first = say_place(m, item, list[1], list[1].place)
  for i, letter in ipairs(LETTERS) do
    local way = WAYS[m.axes[letter]]
    words[letter] = sy.sd(way[2] * first[way[1]] + (item.group and 0 or m.origin[i]), sds[way[1]])
  end
  for k, piece in ipairs(list) do
    local g = group_place(item)[2]
    if k == 2 then piece.place = {first[1], -(first[2] + g) - g, first[3]} end
    piece.sds = sds
  end
  return function(car) return car:set(item.name, {at = words}) end
end

-- What a line says of its attitude takes the place of all turns by itself.
function edits.set_turned(m)
  local item, words = item_named(m, pick{"tub", "block", "gearbox", "radiator"}), {nose_up = between(-9, 9), left_up = between(-9, 9)}
  item.said, item.turn = rotation(words), nil
  m.exact = false
  return function(car) return car:set(item.name, {turned = words}) end
end

function edits.set_tags(m)
  local item = item_named(m, pick{"tub", "gearbox", "radiator", "front corner", "engine room"})
  local tags = pick{{}, {"iron"}, {"body", "iron"}}
  item.line.tags = tags
  return function(car) return car:set(item.name, {tags = tags}) end
end

function edits.set_axle(m)
  local axle, track = pick(m.axles), between(1350, 1550)
  axle.track = track
  return function(car) return car:set(axle.name .. " axle", {track = track}) end
end

function edits.set_group(m)
  local item = item_named(m, pick{"engine room", "nose"})
  local place = plus(item.kind == "group" and {math.floor(item.place[1]), math.floor(item.place[2]),
    math.floor(item.place[3])}, {5, 7, -3})
  item.place = place
  return function(car) return car:set(item.name, {at = file_point(m, place)}) end
end

-- ---- what is aboard -------------------------------------------------------------------------------------------------------------

function edits.without(m)
  local name = pick{"lamp", "bolts", "radiator", "passenger", "driver", "reserve", "nose"}
  m.out[name] = true
  if name == "driver" and m.role then m.out[m.role] = true end
  return function(car) return car:without(name) end
end

function edits.without_piece(m)
  local item, side = item_named(m, pick(PAIRS)), between(1, 2)
  item.lost[side] = true
  return function(car) return car:without(item.name .. (side == 1 and "/left" or "/right")) end
end

function edits.swap(m)
  local who = pick{"tall", "short"}
  if (m.role or "driver") == who then return nil end
  m.role, m.out.driver, m.out[who] = who, nil, nil
  return function(car) return car:swap("driver", who) end
end

function edits.add(m)
  m.added = (m.added or 0) + 1
  local group = chance(40) and item_named(m, pick{"engine room", "nose"}) or nil
  local item = {kind = "part", name = "extra " .. m.added, place = {between(-2000, 0), between(-300, 300), between(50, 500)},
    sds = {2, 0, 1},
                line = {mass = between(1, 99) / 2, mass_sd = 0.5}, group = group}
  m.items[#m.items + 1] = item
  local node = sy.part(item.name)(file_line(m, item, group))
  return function(car) return car:add(node, group and group.name) end
end

function edits.fill(m)
  local name = pick{"fuel", "reserve", "side tank"}
  local litres, sd = between(0, 11), chance(30) and 0.5 or nil
  m.fills[name] = {litres, sd}
  return function(car) return car:fill{[name] = stated(litres, sd)} end
end

function edits.set_fill(m)
  local item = item_named(m, pick{"fuel", "reserve", "side tank"})
  local litres, sd = between(0, 11), chance(30) and 0.5 or nil
  for _, piece in ipairs(pieces_of(item)) do piece.line = copy(piece.line); piece.line.fill, piece.line.fill_sd = litres, sd end
  item.held, m.fills[item.name] = true, nil
  return function(car) return car:set(item.name, {fill = stated(litres, sd)}) end
end

function edits.state(m)
  m.state, m.fills = chance(80) and pick(m.states) or nil, {}
  local name = m.state and m.state.name
  return function(car) return car:state(name) end
end

function edits.lower(m)
  local front, rear = between(0, 12), between(0, 12)
  m.lowered = {m.lowered[1] + front, m.lowered[2] + rear}
  return function(car) return car:lower{front = front, rear = rear} end
end

local kinds = {}
for name in pairs(edits) do kinds[#kinds + 1] = name end
table.sort(kinds)

-- ---- the comparison ----------------------------------------------------------------------------------------------------------------

local shown = {"mass", "mass_with_growth", "height", "front", "rear", "left", "front_share", "left_share", "cross_share", "lf",
  "rr", "yaw_inertia"}

local function answers(car, with_sd)
  local b, list = car:balance(), {}
  for _, name in ipairs(shown) do list[#list + 1] = {name, b[name]} end
  for _, letter in ipairs(LETTERS) do list[#list + 1] = {"cg." .. letter, b.cg[letter]} end
  for _, name in ipairs{"xx", "yy", "xy", "xz", "yz"} do list[#list + 1] = {"inertia." .. name, b.inertia[name]} end
  list[#list + 1] = {"unsprung", b.unsprung.mass}
  if with_sd then
    for _, name in ipairs{"mass", "front_share", "height", "yaw_inertia"} do list[#list + 1] = {"sd." .. name, b.sd[name]} end
    for _, letter in ipairs(LETTERS) do list[#list + 1] = {"sd.cg." .. letter, b.sd.cg[letter]} end
    list[#list + 1] = {"unstated", b.unstated.parts}
  end
  return list
end

check.test("any_sequence_of_edits_gives_the_car_of_its_final_file", function()
  local counts, exact, done = {}, 0, 0
  for number = 1, SEQUENCES do
    local m = new_model()
    local turning = chance(40)
    local car, said = sy.car(file_of(m, true)), {}
    for _ = 1, between(1, MOST_EDITS) do
      local kind = pick(kinds)
      if turning or not (kind:find "turn" or kind == "move_axle" and chance(20)) then
        local edit = edits[kind](m)
        if edit then
          counts[kind], done, said[#said + 1] = (counts[kind] or 0) + 1, done + 1, kind
          car = edit(car)
        end
      end
    end
    local fields, pure = file_of(m)
    local scratch = sy.car(fields)
    if m.lowered[1] ~= 0 or m.lowered[2] ~= 0 then scratch = scratch:lower{front = m.lowered[1], rear = m.lowered[2]} end
    local with_sd = pure and m.exact
    local got, want = answers(car, with_sd), answers(scratch, with_sd)
    for i, row in ipairs(want) do
      local where = ("sequence %d, %s (%s)"):format(number, row[1], table.concat(said, ", "))
      -- added up in the order of the parts
      if m.exact and row[1] == "sd.yaw_inertia" then check.near(got[i][2], row[2], 1e-13 * row[2], where)
      elseif m.exact then check.equal(got[i][2], row[2], where) else check.near(got[i][2], row[2], TURNED, where) end
    end
    if m.exact then exact = exact + 1 end
  end
  check.ok(exact > SEQUENCES / 3 and exact < SEQUENCES, "both kinds of sequences were tried")
  for _, kind in ipairs(kinds) do check.ok((counts[kind] or 0) > 50, kind .. " was tried") end
  check.ok(done > 4 * SEQUENCES, "edits were made")
end)

check.done()
