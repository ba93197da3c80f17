--- Cars from cars: a ledger with a load state, seen through a geometry. Cars never change; every change gives a new one.
--
-- Inside (field `_`):
--   shared     what all cars from one file have: spec, file, nodes (what each part's line said), carriers, and in `known` what was worked
--              out from them and is kept
--   base       the ledger with all lasting edits, no state        now    the same as loaded
--   lasting    what `base` comes from: see below
--   geometry   axes and wheels                                    axles  as stated, with `moved` where one was moved
--   state      the chosen load state or false                     fills  litres asked for since
--   held       edits made by name, which hold under all states: {swaps = {[route] = route of the one in its place}, out = {[route] =
--              was it aboard before}, fills = {[route of a tank that car:set filled] = true}}
--   changes    for headings, the last first: {the earlier ones or false, how many with this one, text}, or {.., .., label, distance, word}
--              of a shift that nobody has read yet; false without any: contents.changes
--   structure  what names mean (see resolve.lua)                  label  a heading of the user's own, or false
--   heights_set how far car:lower and car:raise have set the body, see car/ride_height.lua, or false
--   measured   records that correct all its ledgers (measure/as_built.lua): `now` holds the corrections, `base` is as stated; or false:
--              {records = core.measured's, given = what they were made from, places = their book (axle_places.lua),
--              drawn = kept, cross = nil or {share =, sd =, state =, stood = inside of the car it was read of, set = kept}}
--   touched    what edits named, the last first: {found = as resolve gives it, before = the earlier ones or false}
--   said       what car:set and car:add were given, the last first, for car:save: {route = or axle =, fields =, was = number of the node
--              before, before =}, or {route =, into =, item =, before =}, or {vehicle = true, fields =, before =}; false without any
--   aboard     what was worked out of who is aboard and is kept: the same for all cars that only moves tell apart
--   turned     route -> rotation of a part that was turned by itself, which the ledger does not keep (core.turn_alone)
--
--   kin        of a car that was only moved: the inside it has all else from; false in a car that has all of it itself
--
-- Nothing else is written into a car once it is made, but `lasting` in place of what it comes to. What is kept of one car alone is in a
-- table with weak keys beside the code that works it out.
--
-- False and not nil, because what is nil is looked for in `Inside` below, and a script makes many cars. What a script makes most is moved
-- cars: they hold the eight fields that moves change or that every answer reads, which is a fourth of the memory.

local core = require "steelyard.core"
local directions = require "steelyard.file.directions"
local loading = require "steelyard.car.loading"

local getmetatable, rawset, setmetatable, type = getmetatable, rawset, setmetatable, type

local contents = {}

-- car.lua puts the methods in.
local Car = {__name = "car"}
contents.Car = Car

function Car.__newindex()
  core.fail{code = "type", message = "a car does not change; car:move, car:set and the others give a new one"}
end

--- In a document a car is its changes.
function Car.__json(self) return {changes = contents.changes(self._)} end

--- The inside of a car, checked.
function contents.inside(self)
  if getmetatable(self) ~= Car then
    local said = type(self) == "table" and getmetatable(self) ~= nil and "a value of another kind" or "a " .. type(self)
    core.fail{code = "type", message = ("a car is needed here, not %s"):format(self == nil and "nothing" or said),
      hint = "a method is called on a car with a colon, as in car:balance(); a list of cars holds nothing else"}
  end
  return self._
end

--- Is this value a car?
function contents.is_car(value) return getmetatable(value) == Car end

--- The car with this inside.
function contents.wrap(c) return setmetatable({_ = c}, Car) end

--- What names mean in a car, before any has been asked for.
function contents.new_structure() return {found = {}} end

-- ---- edits that wait --------------------------------------------------------------------------------------------

-- Most cars that are moved in a load state are balanced and forgotten, and no balance reads `base`: so what a move does to it waits
-- until somebody asks. lasting = a ledger, or a list: the lasting before, how many edits wait, the edit and what it needs.
local MOST_WAITING = 64
local BEFORE <const>, DEPTH <const>, EDIT <const>, ROUTE <const> = 1, 2, 3, 4

local function settle(lasting)
  local waiting = {}
  while type(lasting) == "table" do
    waiting[#waiting + 1] = lasting
    lasting = lasting[BEFORE]
  end
  for i = #waiting, 1, -1 do
    local w = waiting[i]
    lasting = w[EDIT](lasting, w[ROUTE], w[ROUTE + 1], w[ROUTE + 2], w[ROUTE + 3])
  end
  return lasting
end

local Inside = {}

function Inside.__index(c, key)
  if key == "base" then
    c.lasting = settle(c.lasting)
    return c.lasting
  end
  if key == "label" then return false end -- it stays with the car that was named
  local kin = c.kin
  return kin and kin[key] or nil
end

function Inside.__newindex(c, key, value) rawset(c, key == "base" and "lasting" or key, value) end

--- The same edit on both ledgers, edit(ledger, route, a, b, c): what the state did stays done, and totals do not depend on the order
-- of edits.
function contents.edit_both(d, edit, route, a, b, c)
  local lasting = d.lasting
  if lasting == d.now then
    d.now = edit(lasting, route, a, b, c)
    d.lasting = d.now
    return
  end
  d.now = edit(d.now, route, a, b, c)
  local depth = lasting[DEPTH] or 0 -- a ledger has none
  if depth == MOST_WAITING then lasting, depth = settle(lasting), 0 end
  d.lasting = {lasting, depth + 1, edit, route, a, b, c}
end

-- ---- one from another -------------------------------------------------------------------------------------------

--- What edits hold in a car that has none.
contents.no_edits = {swaps = {}, out = {}, fills = {}}

--- A car of its own gets its own copy before an edit writes into it.
function contents.hold(d)
  local held = {}
  for field, entries in pairs(d.held) do
    held[field] = {}
    for key, value in pairs(entries) do held[field][key] = value end
  end
  d.held = held
  return held
end

--- An inside of its own from the fields given, in no state and as drawn.
function contents.new(fields)
  fields.state, fields.label, fields.heights_set, fields.touched, fields.measured, fields.said = false, false, false, false, false, false
  fields.fills, fields.held, fields.changes, fields.aboard, fields.turned = {}, contents.no_edits, false, {}, {}
  fields.kin = false
  return setmetatable(fields, Inside)
end

local EARLIER <const>, COUNT <const>, SAID <const>, DISTANCE <const>, WORD <const> = 1, 2, 3, 4, 5

local function one_more(changes, said) return {changes, changes and changes[COUNT] + 1 or 1, said} end

--- A copy that shares all but what the caller is about to replace. change: a text for headings, or nil. A name of the user's own stays with
-- the car that was given it.
function contents.from(c, change)
  local changes = c.changes
  if change then changes = one_more(changes, change) end
  return setmetatable({shared = c.shared, geometry = c.geometry, axles = c.axles, lasting = c.lasting, now = c.now, state = c.state,
                       fills = c.fills, held = c.held, changes = changes, structure = c.structure, label = false,
                       aboard = c.aboard, turned = c.turned, heights_set = c.heights_set, touched = c.touched,
                       measured = c.measured, said = c.said, kin = false}, Inside)
end

--- The same for a shift of what was found, of which the caller replaces the ledgers alone.
function contents.shifted(c, found, distance, word)
  local changes = c.changes
  return setmetatable({kin = c.kin or c, shared = c.shared, geometry = c.geometry, measured = c.measured, lasting = c.lasting, now = c.now,
                       changes = {changes, changes and changes[COUNT] + 1 or 1, found.label, distance, word},
                       touched = {found = found, before = c.touched}}, Inside)
end

--- The changes of a car as texts, in order. That of a shift is made when somebody asks: it takes as long as the shift.
function contents.changes(c)
  local list, change = {}, c.changes
  for i = change and change[COUNT] or 0, 1, -1 do
    if change[WORD] then
      change[SAID] = directions.said(change[SAID], change[DISTANCE], change[WORD])
      change[DISTANCE], change[WORD] = nil, nil
    end
    list[i], change = change[SAID], change[EARLIER]
  end
  return list
end

--- How many there are.
function contents.count(c) return c.changes and c.changes[COUNT] or 0 end

-- A heading up to the changes, which moved cars have in common.
local function opening(c)
  local text = c.shared.spec.title .. ", " .. loading.title(c)
  for _, what in ipairs(loading.sorted_keys(c.fills)) do text = text .. ", " .. loading.fill_text(what, c.fills[what]) end
  c.aboard.opening = text
  return text
end

local MOST_NAMED = 6 -- a page that begins with thirty changes shows none

--- What this car is called: title, state, fills and changes, or what the user calls it.
function contents.heading(c)
  if c.label then return c.label end
  local text, changes = c.aboard.opening or opening(c), contents.changes(c)
  if #changes == 0 then return text end
  if #changes > MOST_NAMED then
    return ("%s, %s and %d more changes"):format(text, table.concat(changes, ", ", 1, MOST_NAMED - 1), #changes - MOST_NAMED + 1)
  end
  return text .. ", " .. (changes[2] and table.concat(changes, ", ") or changes[1])
end

--- Are the loads of this car's wheels taken at a cross weight that nobody stated with an uncertainty?
function contents.is_cross_assumed(c)
  return core.split(c.geometry) == "cross weight" and not c.shared.spec.cross_share_sd and not (c.measured and c.measured.cross)
end

--- A cross weight that was measured, {share =, sd =, state =}; nil without one.
function contents.measured_cross(c) return c.measured and c.measured.cross or nil end

--- Other rates or axles: what was measured of the cross weight no longer holds.
function contents.forget_cross(d)
  if not (d.measured and d.measured.cross) then return end
  d.measured = {records = d.measured.records, given = d.measured.given, places = d.measured.places}
end

--- The same car, its changes since `before` (an inside) reported as one.
function contents.retold(self, before, change)
  local d = contents.from(contents.inside(self))
  d.changes = one_more(before.changes, change)
  return contents.wrap(d)
end

--- The car after edits that a state may treat in its own way.
function contents.reload(d)
  d.now, d.aboard = require("steelyard.car.states").apply(d), {}
  if d.heights_set then require("steelyard.car.ride_height").put(d) end
  return contents.wrap(d)
end

--- Remember what an edit named, as resolve.what gave it, for the note on what is not aboard.
function contents.touch(d, found) d.touched = {found = found, before = d.touched} end

--- Remember what an edit was given, for the file: see above.
function contents.note_said(d, said)
  said.before = d.said
  d.said = said
end

--- What is fixed to a part turns with it; a turn of nil is taken back.
function contents.note_turn(d, route, turn)
  local turned = {}
  for key, value in pairs(d.turned) do turned[key] = value end
  turned[route] = turn
  d.turned = turned
end

return contents
