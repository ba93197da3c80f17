--- What may be forgotten or booked twice: matching by whole words, and every kind of finding with a case beside it that is none.
--
-- Ranges of usual masses are common practice, no source; nothing here holds them against anything.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local forgotten = require "steelyard.answers.forgotten"
local match = require "steelyard.file.name_match"
local usual = require("steelyard.answers.forgotten.usual").list
local test = check.test

local function car_of(parts, more)
  local fields = {
    title = "Asked (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 290}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = parts,
  }
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

local place = 0
local function part(name, more)
  place = place + 37 -- no two at one place
  local fields = {mass = 4, at = {place, 0, 300}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.part(name)(fields)
end

local function missing(parts, more)
  local set = {}
  for _, entry in ipairs(forgotten.of(car_of(parts, more)).missing) do set[entry.name] = entry end
  return set
end

local function texts(list)
  local found = {}
  for i, entry in ipairs(list) do found[i] = entry.text end
  return found
end

-- ---- words -------------------------------------------------------------------------------------------------------------------

test("words_are_whole_small_and_singular", function()
  check.equal(match.words "Hoses, Batteries and the driver's SEAT-belts", {"hose", "battery", "driver", "seat", "belt"})
  check.equal(match.words "chassis harness glass", {"chassis", "harness", "glass"})
  check.equal(match.words "switches boxes brushes axles", {"switch", "box", "brush", "axle"})
  check.equal(match.words "wheel 2", {"wheel", "2"})
  check.equal(#match.things "seat, pedals and column (with rack)", 4)
end)

-- name, what it covers
local covers = {
  {"main loom", "wiring loom"}, {"engine harness", "wiring loom"}, {"Bolts and nuts", "fasteners"}, {"lights", "lights"},
  {"harness", "safety belts"}, {"seat belts", "safety belts"}, {"oil and tank", "engine oil"}, {"cooling, wet", "coolant"},
  {"gearbox oil", "gear oil"}, {"rear links and shafts", "drive shafts"}, {"half-shaft", "drive shafts"},
  {"heat shields", "firewall and heat shields"}, {"helmet", "driver's suit and helmet"}, {"tail lamp", "lights"},
  {"paint and filler", "paint or wrap"}, {"lift pump", "fuel pump and filter"},
}
-- name, what it does not
local leaves = {
  {"coil pack", "engine oil"}, {"oil cooler", "engine oil"}, {"oil pump", "engine oil"}, {"gear oil", "engine oil"},
  {"belt and tensioner", "safety belts"}, {"timing belt", "safety belts"}, {"wiring harness", "safety belts"},
  {"gears and shafts", "drive shafts"}, {"crankshaft", "drive shafts"}, {"steering shaft", "drive shafts"}, {"bloom", "wiring loom"},
  {"painter's stand", "paint or wrap"}, {"light battery", "lights"}, {"stabiliser", "brackets and tabs"}, {"water pump", "coolant"},
  {"stowage", "tow eyes"}, {"brake hose", "hoses, pipes and clips"}, {"fuel filler", "paint or wrap"},
  {"brake pad", "padding and head rest"},
}
local around = {"engine", "gearbox", "radiator", "fuel", "battery", "driver"} -- so that everything is asked about

local function with(name)
  local parts = {}
  for i, word in ipairs(around) do parts[i] = part(word) end
  parts[#parts + 1] = part(name)
  return missing(parts)
end

test("a_name_covers_what_it_says", function()
  for _, case in ipairs(covers) do
    check.equal(with(case[1])[case[2]], nil, case[1])
  end
end)

test("a_name_does_not_cover_what_it_only_looks_like", function()
  for _, case in ipairs(leaves) do check.ok(with(case[1])[case[2]], case[1] .. " is no " .. case[2]) end
end)

test("tags_includes_and_paths_cover_too", function()
  check.equal(missing{part("nose", {tags = {"mirrors"}})}.mirrors, nil)
  check.equal(missing{part("nose", {includes = {"paint"}})}["paint or wrap"], nil)
  check.equal(missing{sy.group "brakes" {part "lines"}}["brake lines"], nil)
  check.ok(missing{part("nose", {excludes = {"paint"}})}["paint or wrap"], "excluding it is not having it")
  check.ok(missing{part "nose"}["paint or wrap"])
end)

test("only_what_the_car_could_have_is_asked_about", function()
  check.equal(missing{part "tub"}["engine oil"], nil)
  check.ok(missing{part "engine"}["engine oil"])
  check.equal(missing{part "gearbox", part "chain"}["drive shafts"], nil)
  check.ok(missing{part "gearbox"}["drive shafts"])
  check.ok(missing{sy.person "driver" {mass = 78, at = {900, 0, 350}}}["driver's suit and helmet"])
end)

test("a_spare_does_not_cover_but_is_mentioned", function()
  local entry = missing({part "tub"}, {spares = {part "extinguisher"}}).extinguisher
  check.equal(entry.spare, true)
  check.contains(tostring(forgotten.of(car_of({part "tub"}, {spares = {part "extinguisher"}}))), "only among the spares")
end)

test("a_load_state_forgets_nothing", function()
  local car = car_of({part "tub", part "extinguisher"}, {states = {sy.state "empty" {without = {"extinguisher"}}}})
  for _, entry in ipairs(forgotten.of(car:state "empty").missing) do check.ok(entry.name ~= "extinguisher") end
end)

test("ranges_are_ranges_and_add_up", function()
  local result, low, high = forgotten.of(car_of{part "tub"}), 0, 0
  for _, entry in ipairs(result.missing) do low, high = low + entry.low, high + entry.high end
  check.near(result.range.low, low, 1e-9)
  check.near(result.range.high, high, 1e-9)
  for _, entry in ipairs(usual) do check.ok(0 < entry.low and entry.low < entry.high, entry.name) end
  check.contains(tostring(result), "common practice, no source")
end)

-- every phrase of the list, written as a name, covers its own entry
test("every_phrase_covers_its_entry", function()
  for _, entry in ipairs(usual) do
    for _, words in ipairs(entry.covered) do
      local name = words:gsub("%s*[-!]%a+", ""):gsub("^=", "")
      check.equal(with(name)[entry.name], nil, entry.name .. " by " .. name)
    end
  end
end)

-- ---- includes and excludes -------------------------------------------------------------------------------------------------------

local function twice(parts) return texts(forgotten.of(car_of(parts)).twice) end
local function gaps(parts) return texts(forgotten.of(car_of(parts)).gaps) end

test("one_thing_in_two_assemblies_is_reported", function()
  check.equal(twice{part("engine", {includes = {"starter"}}), part("transaxle", {includes = {"starters"}})},
    {'"engine" and "transaxle" both include starter'})
  check.equal(twice{part("engine", {includes = {"oil filter"}}), part "oil filter"},
    {'"engine" includes oil filter, and "oil filter" is a line of its own'})
  check.equal(twice{part("front hub", {includes = {"bearing"}}), part "front hub bearing"},
    {'"front hub" includes bearing, and "front hub bearing" is a line of its own'})
end)

test("one_in_front_and_one_behind_are_two", function()
  check.equal(twice{part("front wheel", {includes = {"tyre"}}), part("rear wheel", {includes = {"tyre"}})}, {})
  check.equal(twice{part("wheel 1", {includes = {"tyre"}}), part("wheel 2", {includes = {"tyre"}})}, {})
  check.equal(twice{part("front hub", {includes = {"bearing"}}), part "rear bearing"}, {})
  check.equal(twice{part("cylinder head", {includes = {"springs"}}), part "front spring"}, {})
  check.equal(twice{part("engine", {includes = {"starter"}}), part("transaxle", {excludes = {"starter"}})}, {})
end)

test("what_is_excluded_and_nowhere_is_reported", function()
  check.equal(gaps{part("engine", {excludes = {"alternator"}})}, {'"engine" excludes alternator, which no line has and none includes'})
  check.equal(gaps{part("engine", {excludes = {"alternator"}}), part "alternator, belt"}, {})
  check.equal(gaps{part("engine", {excludes = {"alternators"}}), part("electrics", {includes = {"alternator and loom"}})}, {})
  check.equal(gaps{part("engine", {excludes = {"alternator"}, includes = {"alternator"}})},
    {'"engine" both includes and excludes alternator'})
end)

-- ---- booked twice, and pairs --------------------------------------------------------------------------------------------------------

local function duplicates(a, b)
  return texts(forgotten.of(car_of{sy.part(a[1])(a[2]), sy.part(b[1])(b[2])}).duplicates)
end

test("same_place_and_mass_under_near_names_is_reported", function()
  local function fields(mass, x) return {mass = mass, at = {x, 120, 250}} end
  check.equal(duplicates({"left seat", fields(5.7, 900)}, {"right seat", fields(5.7, 900)}),
    {'"left seat" and "right seat" are 5.7 kg each at the same place'})
  check.equal(#duplicates({"ECU", fields(0.62, 900)}, {"ECU box", fields(0.62, 900.5)}), 1)
  check.equal(#duplicates({"accumulator", fields(8.2, 900)}, {"acumulator", fields(8.2, 900)}), 1, "a slip of the pen")
  check.equal(duplicates({"seat", fields(5.7, 900)}, {"seat pad", fields(5.9, 900)}), {})
  check.equal(duplicates({"seat", fields(5.7, 900)}, {"seat two", fields(5.7, 960)}), {})
  check.equal(duplicates({"horn", fields(0.62, 900)}, {"wiper motor", fields(0.62, 900)}), {}, "two things in one place")
end)

local function one_sided(fields) return texts(forgotten.of(car_of{part "tub", sy.part "lamp" (fields)}).one_sided) end

test("two_pieces_off_the_centre_are_asked_about", function()
  check.equal(one_sided{mass = 1, count = 2, at = {0, 500, 400}},
    {'"lamp": two pieces, and their joint place is 500 mm right of the centre; one on each side is pair = true, with the place of one'})
  check.equal(one_sided{mass = 1, count = 2, at = {0, 0, 400}}, {})
  check.equal(one_sided{mass = 1, count = 2, at = {0, sy.sd(15, 10), 400}}, {}, "within its own uncertainty of the centre")
  check.equal(one_sided{mass = 1, count = 3, at = {0, 500, 400}}, {})
  check.equal(one_sided{mass = 1, pair = true, at = {0, 500, 400}}, {})
end)

test("the_demo_car_is_asked_the_right_questions", function()
  local result = forgotten.of(sy.load "vehicles/history/sedge-2024-03-14.lua")
  check.equal(#result.gaps, 2)
  check.contains(result.gaps[1].text, "excludes paint")
  check.equal(result.duplicates, {})
  check.equal(result.twice, {})
end)

test("a_full_ledger_has_none_missing", function()
  local parts = {}
  for i, entry in ipairs(usual) do parts[i] = part(entry.name) end
  local page = tostring(forgotten.of(car_of(parts)))
  check.contains(page, "Of the usual omissions, none.")
end)

check.done()
