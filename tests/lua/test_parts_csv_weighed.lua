--- Readings of scales in parts lists: what is understood, what is refused and how it is reported, and nothing lost on the way.

local check = dofile "tests/lua/check.lua"
local parts_csv = require "steelyard.file.parts_csv"
local book_csv = require "steelyard.answers.book.csv"
local sy = require "steelyard"

local function read(text) return parts_csv.read(text, {file = "parts.csv"}) end

local HEADS = "part;x (mm);y (mm);z (mm);mass (kg);sd (kg);scale;reading;unit;zero before;zero after;tare;with;pieces weighed;weighing note"
local function rows(...) return table.concat({HEADS, ...}, "\n") end

local function refuses(text, want)
  want.file = "parts.csv"
  return check.raises(function() read(text) end, want)
end

local AXLES = {{name = "front", at = 0, track = 1200, loaded_radius = 230}, {name = "rear", at = 1550, track = 1180, loaded_radius = 230}}
local BENCH = {name = "bench", step = 0.02, sd = 0.01, range = 60, bias = sy.sd(0, 0.02), gain = sy.sd(1.002, 0.001)}

local path = os.tmpname()
local function put(text)
  local file <close> = assert(io.open(path, "wb"))
  file:write(text)
end

-- the car of a table
local function car(text, instruments)
  put(text)
  return sy.car{title = "Weighed", axes = {x = "back", y = "right", z = "up"}, axles = AXLES, parts = sy.from_csv(path),
    instruments = instruments or {BENCH, {name = "crane", unit = "lb", step = 0.5, range = 300}}}
end

local function row(c, name)
  for _, each in ipairs(c:book().rows) do
    if each.name == name then return each end
  end
end

-- ---- what is read -------------------------------------------------------------------------------------------------------

check.test("a_row_with_a_reading_books_what_the_same_record_by_hand_books", function()
  local c = car(rows 'hoop;700;0;600;12;2;bench;14.26;;0.02;0.06;;"strap: 0.35; two bolts: 0.12 +- 0.03";;no paint')
  local by_hand = sy.car{title = "Weighed", axes = {x = "back", y = "right", z = "up"}, axles = AXLES, instruments = {BENCH}, parts = {
    sy.part "hoop" {mass = sy.sd(12, 2), at = {700, 0, 600}, weighed = {reading = 14.26, on = "bench", zero_before = 0.02,
      zero_after = 0.06, with = {strap = 0.35, ["two bolts"] = sy.sd(0.12, 0.03)}, note = "no paint"}}}}
  check.equal(row(c, "hoop"), row(by_hand, "hoop"))
  check.equal(c:balance().sd.mass, by_hand:balance().sd.mass)
end)

check.test("readings_stay_in_the_unit_of_their_row_their_head_or_their_scale", function()
  local c = car(rows("a;0;0;0;;;;31.4;lb;;;;;;", "b;0;0;0;;;crane;31.4;;;;;;;", "c;0;0;0;;;;31.4;;;;;;;"))
  for name, unit in pairs{a = "lb", b = "lb", c = "kg"} do
    local r = row(c, name)
    check.equal({r.weighed.reading[1], r.weighed.unit}, {31.4, unit}, name)
    check.near(r.mass, 31.4 * (unit == "lb" and 0.45359237 or 1), 1e-14, name) -- NIST SP 811 (2008), Appendix B
  end
  c = car "part;x;y;z;reading [lb];tare (g)\na;0;0;0;31.4;500\n"
  check.equal({row(c, "a").weighed.reading[1], row(c, "a").weighed.unit}, {31.4, "lb"})
  check.near(row(c, "a").mass, 31.4 * 0.45359237 - 0.5, 1e-14)
  c = car "part;x;y;z;reading;unit;tare (g)\na;0;0;0;31.4;lb;500\n"
  check.near(row(c, "a").mass, 31.4 * 0.45359237 - 0.5, 1e-14, "a unit in a head holds for its column")
end)

-- NIST Special Publication 811 (2008), Appendix B: 1 lb = 0.453 592 37 kg, exact
check.test("units_in_cells_of_readings_are_read", function()
  local c = car(rows("a;0;0;0;;;;31.4 lb;;;;500 g;;;", "b;0;0;0;;;crane;14 kg +- 30 g;;;;;;;",
    "c;0;0;0;;;;14 +- 0.03 kg;;;;;strap: 100 g;;"))
  check.near(row(c, "a").mass, 31.4 * 0.45359237 - 0.5, 1e-14)
  check.equal({row(c, "a").weighed.reading[1], row(c, "a").weighed.unit}, {31.4, "lb"})
  check.near(row(c, "b").mass, 14, 1e-14)
  check.near(row(c, "b").sd.mass, 0.03, 1e-14)
  check.near(row(c, "c").mass, 13.9, 1e-14)
  check.near(row(c, "c").sd.mass, 0.03, 1e-14)
end)

check.test("a_column_of_uncertainties_belongs_to_the_reading_where_there_is_no_other_mass", function()
  for _, text in ipairs{"part;x;y;z;reading;sd\na;0;0;0;14.2;0.3\n", "part;x;y;z;mass;reading;reading sd\na;0;0;0;12;14.2;0.3\n",
    "part;x;y;z;reading;unit;sd (g)\na;0;0;0;14.2;kg;300\n", "part;x;y;z;reading;sd (%)\na;0;0;0;15;2\n"} do
    check.near(row(car(text), "a").sd.mass, 0.3, 1e-14, text)
  end
  check.near(row(car "part;x;y;z;mass;sd;reading\na;0;0;0;12;2;14.2\n", "a").was.sd, 2, 1e-14, "beside a mass it is that of the mass")
  refuses("part;x;y;z;reading;sd\na;0;0;0;14.2 +- 0.1;0.3\n", {code = "clash", field = "reading_sd", message = "one of the two is enough"})
  refuses("part;x;y;z;reading;sd (g)\na;0;0;0;14.2;300\n", {code = "missing", field = "reading_sd", message = "is in g, and the unit"})
end)

check.test("zeros_and_tares_without_a_reading_are_refused", function()
  for _, head in ipairs{"tare", "zero before", "zero after", "pieces weighed", "with", "reading sd"} do
    refuses(("part;mass;%s;x;y;z\na;3;2;0;0;0\n"):format(head), {code = "missing", line = 2, message = "belongs to what a scale read",
      hint = 'name the column of what the scale read "reading"'})
    check.equal(#read(("part;mass;%s;x;y;z\na;3;;0;0;0\n"):format(head)), 1, "an empty column says nothing")
  end
end)

check.test("a_reading_nobody_took_yet_is_a_question_mark", function()
  local list = read "part;x;y;z;mass;reading\na;0;0;0;4;?\nb;0;0;0;;?\n"
  check.equal({list[1].mass, list[1].weighed, list[2].mass == sy.unknown}, {4, nil, true})
end)

check.test("repeats_stand_in_one_cell", function()
  local c = car(rows 'a;0;0;0;;;bench;"14.2; 14.3; 14.6";;;;;;;')
  check.equal(row(c, "a").weighed.reading, {14.2, 14.3, 14.6})
  check.equal(row(car(rows 'a;0;0;0;;;bench;"14.2 +- 0.3";;;;;;;'), "a").sd.mass > 0.3, true)
end)

check.test("an_estimate_beside_the_mass_is_what_was_booked_before", function()
  local text = "part;x;y;z;mass;estimate;estimate sd;reading;scale\n"
  local c = car(text .. "a;0;0;0;14.21;12;2;14.26;bench\nb;0;0;0;5.1;6;;;\nc;0;0;0;;7;1;;\nd;0;0;0;14.21;?;;14.26;bench\n")
  check.equal({row(c, "a").was.mass, row(c, "a").was.sd, row(c, "b").was.mass, row(c, "b").mass, row(c, "c").mass, row(c, "c").sd.mass},
    {12.0, 2.0, 6.0, 5.1, 7.0, 1.0})
  check.near(row(c, "a").mass, 14.26 / 1.002, 1e-14)
  check.equal(row(c, "d").was.unknown, true)
  check.near(row(car "part;x;y;z;estimated mass (lb)\na;0;0;0;10\n", "a").mass, 4.5359237, 1e-15)
end)

check.test("a_mass_that_is_not_what_the_reading_comes_to_is_reported", function()
  local text = "part;x;y;z;mass (kg);estimate (kg);reading;scale\n"
  check.contains(table.concat(car(text .. "a;0;0;0;14.62;12;14.26;bench\n"):balance().notes, "\n"),
    "a: the table says 14.62 kg, its reading comes to 14.2315 kg, which is booked")
  check.ok(not tostring(car(text .. "a;0;0;0;14.23;12;14.26;bench\n"):balance()):find "the table says", "the printed digits agree")
end)

check.test("heads_of_seven_languages_mean_the_same_for_readings", function()
  for _, heads in ipairs{
    "part,x,y,z,estimated mass,raw reading,unit,instrument,zero before,zero after,tare,pieces weighed",
    "Bauteil,x,y,z,geschätzte Masse,Ablesung,Einheit,Waage,Null vorher,Null nachher,Tara,Stück gewogen",
    "pièce,x,y,z,masse estimée,lecture,unité,balance,zéro avant,zéro après,tare,pièces pesées",
    "pezzo,x,y,z,massa stimata,lettura,unità,bilancia,zero prima,zero dopo,tara,pezzi pesati",
    "pieza,x,y,z,masa estimada,lectura,unidad,báscula,cero antes,cero después,tara,piezas pesadas",
    "onderdeel,x,y,z,geschatte massa,aflezing,eenheid,weegschaal,nul voor,nul na,tarra,stuks gewogen",
    "del,x,y,z,uppskattad vikt,avläsning,enhet,våg,noll före,noll efter,tara,antal vägda",
  } do
    local p = read(heads .. "\na,0,0,0,12,14.26,lb,bench,0.1,0.2,0.5,2\n")[1]
    check.equal({p.mass, p.weighed.reading[1], p.weighed.unit, p.instrument, p.weighed.zero_before, p.weighed.zero_after, p.weighed.tare,
      p.weighed.pieces}, {12.0, 14.26, "lb", "bench", 0.1, 0.2, 0.5, 2}, heads)
  end
end)

check.test("decimal_commas_of_readings_are_read", function()
  local p = read(rows 'a;0;0;0;12;;bench;"14,26; 14,3";;0,02;;;strap: 0,35;;')[1]
  check.equal({p.weighed.reading[1], p.weighed.reading[2], p.weighed.zero_before, p.weighed.with.strap}, {14.26, 14.3, 0.02, 0.35})
end)

check.test("the_preview_says_how_readings_are_understood", function()
  local shown = read(rows("a;0;0;0;12;;bench;14.26;;;;;;;", "b;0;0;0;12;;;;;;;;;;")).preview
  check.contains(shown, "  H   reading         what the scale read, in the unit of its row\n")
  check.contains(shown, "1 row has a reading of a scale, from which the mass is worked out.")
  check.contains(read "part;x;y;z;reading (lb)\na;0;0;0;1\n".preview, "what the scale read, lb")
  check.contains(read "part;x;y;z;reading\na;0;0;0;1\n".preview, "what the scale read, in the unit of the scale")
  check.contains(read "part;mass;unit;x;y;z\na;1;pcs;0;0;0\n".preview, "unit  not understood, not read", "no unit of a reading")
  check.contains(read "part;mass;unit;x;y;z\na;1;lb;0;0;0\n".preview, "unit  unit of the mass")
end)

check.test("a_total_below_readings_is_checked_where_every_row_has_a_mass", function()
  check.contains(read(rows("a;0;0;0;12;;;14;;;;;;;", "total;;;;12;;;;;;;;;;")).preview, "agrees with the rows above")
  refuses(rows("a;0;0;0;12;;;14;;;;;;;", "total;;;;14;;;;;;;;;;"), {code = "content", line = 3})
  check.contains(read(rows("a;0;0;0;;;;14;;;;;;;", "total;;;;14;;;;;;;;;;")).preview,
    'Row 3, "total", stands below readings without a mass: not booked, not checked.')
end)

check.test("a_table_of_estimates_and_readings_needs_no_other_mass", function()
  local c = car "Component;Est. mass (kg);Actual mass (kg);Scale;CG X;CG Y;CG Z\nengine;55;52.4;bench;1720;0;340\nseat;8;;;1000;250;310\n"
  check.near(row(c, "engine").mass, 52.4 / 1.002, 1e-14)
  check.equal({row(c, "engine").was.mass, row(c, "seat").mass}, {55.0, 8.0})
  refuses("part;actual mass;x;y;z\na;3;0;0;0\nb;;0;0;0\n", {code = "missing", line = 3, field = "reading",
    message = 'column B "actual mass": is empty, and the table has no other column for the mass'})
end)

-- Cells as nobody would write them: each is read or refused in words, none breaks anything.
check.test("cells_at_random_are_read_or_refused", function()
  local pieces = {"14.2", "+-", "; ", ":", "strap", "-", "0", "lb", "±", "#DIV/0!", " ", "1e400", "nan", "\xff", "'", "=", "3 +- 0.1",
    "9", "."}
  local state = 7
  local function dice(n) -- a linear congruence: D. E. Knuth, The Art of Computer Programming, vol. 2, 3.3.4, table 1, line 16 (from memory)
    state = (1664525 * state + 1013904223) % 4294967296
    return state // 65536 % n + 1
  end
  local read_well = 0
  for _ = 1, 3000 do
    local cells = {}
    for i = 1, 8 do
      local cell = ""
      for _ = 1, dice(4) - 1 do cell = cell .. pieces[dice(#pieces)] end
      cells[i] = '"' .. cell .. '"'
    end
    cells[1] = '"14.2"'
    local text = rows("a;0;0;0;3;;bench;" .. table.concat(cells, ";"))
    local fine, result = pcall(read, text)
    if fine then fine, result = pcall(car, text) end
    read_well = read_well + (fine and 1 or 0)
    if not fine and getmetatable(result) ~= getmetatable(select(2, pcall(read, ""))) then error(result, 0) end
  end
  check.ok(read_well > 0 and read_well < 3000)
end)

-- ---- refusals -----------------------------------------------------------------------------------------------------------

check.test("cells_of_readings_that_cannot_be_are_refused_by_row_and_column", function()
  local function one(cells, want)
    want.line, want.part = 2, "a"
    return refuses(rows("a;0;0;0;12;;" .. cells), want)
  end
  one("bench;14.26 stone;;;;;;;", {code = "type", field = "reading", message = 'column H "reading": "14.26 stone" is not a number',
    hint = "kg, g, lb and oz"})
  one("bench;14.26 kg;lb;;;;;;", {code = "clash", field = "reading", message = '"14.26 kg" is in kg, the unit of its row is lb'})
  one("bench;14.26 mm;;;;;;;", {code = "type", field = "reading", message = "mm is not a unit of a scale"})
  one("bench;#DIV/0!;;;;;;;", {code = "content", field = "reading", message = "formula without a result"})
  one("bench;14.2;stone;;;;;;", {code = "unknown", field = "reading_unit", message = '"stone" is not a unit of mass'})
  one("bench;14.2;mm;;;;;;", {code = "unknown", field = "reading_unit"})
  one("bench;14.2;;nil;;;;;", {code = "type", field = "zero_before"})
  one("bench;14.2 +- x;;;;;;;", {code = "type", field = "reading", message = '"x" is not a number'})
  one("bench;14.2 +- -1;;;;;;;", {code = "range", field = "reading", message = "has an uncertainty below 0"})
  one("bench;14.2;;;;;strap;;", {code = "type", field = "with", message = '"strap" is not a number'})
  one('bench;14.2;;;;;"strap: 1; strap: 2";;', {code = "clash", field = "with", message = 'says "strap" twice'})
  one("bench;14.2;;;;;;1.5;", {code = "range", field = "pieces_weighed"})
  one("bench;;;0.1;;;;;", {code = "missing", field = "zero_before", message = "stands here, and the row has no reading"})
  one("bench;;;;;0.1;;;", {code = "missing", field = "tare"})
  refuses("part;x;y;z;reading (kg);unit\na;0;0;0;1;lb\n", {code = "clash", field = "reading_unit",
    message = 'column F "unit": says lb, the heading of column E says kg'})
  refuses("part;x;y;z;reading (mm)\na;0;0;0;1\n", {code = "type", message = "mm is a length, a column of a mass is needed"})
  refuses("part;x;y;z;reading (t)\na;0;0;0;1\n", {code = "type", field = "reading", message = "t is not a unit of a scale"})
  refuses("part;x;y;z;estimate;reading\na;0;0;0;;\n", {code = "missing", message = "has no mass"})
end)

check.test("all_that_the_vehicle_finds_wrong_with_a_table_is_listed", function()
  local fine, err = pcall(car, rows("a;0;0;0;12;;bensh;14.2;;;;;;;", "b;0;0;0;12;;bench;61;;;;;;;", "c;0;0;0;12;;bench;5;;;;6;;;"))
  check.equal({fine, err.line, #err.more, err.more[1].line, err.more[1].part, err.more[2].field}, {false, 2, 2, 3, "b", "weighed.tare"})
  check.contains(tostring(err), '\n' .. path .. ':4: part "c", weighed.tare: column L "tare": is 6 kg, no less than the reading')
end)

check.test("what_the_vehicle_finds_wrong_with_a_reading_is_reported_by_row_and_column", function()
  local function one(cells, want)
    want.file, want.line, want.part = path, 2, "a"
    check.raises(function() car(rows("a;0;0;0;12;;" .. cells)) end, want)
  end
  one("bensh;14.26;;;;;;;", {code = "unknown", field = "instrument", hint = '"bench"',
    message = 'column G "scale": no instrument is called "bensh"'})
  one("bench;61;;;;;;;", {code = "range", message = 'column H "reading": is 61 kg, bench reads up to 60 kg'})
  one("bench;5;;;;6;;;", {code = "range", message = 'column L "tare": is 6 kg, no less than the reading'})
  one("bench;5;;;;;6;;", {code = "range", message = 'column M "with": leaves'})
end)

-- ---- out ----------------------------------------------------------------------------------------------------------------

check.test("a_book_with_readings_written_and_read_again_is_the_same", function()
  local c = sy.car{title = "Weighed", axes = {x = "back", y = "right", z = "up"}, axles = AXLES, instruments = {BENCH,
    {name = "crane", unit = "lb", step = 0.5, range = 300}}, parts = {
      sy.part "hoop" {mass = sy.within(12, 3), at = {700, 0, 600}, weighed = {reading = 30.42, unit = "lb", on = "bench",
        zero_before = -0.1, zero_after = 0.02, with = {strap = 0.35, ["oil, old"] = sy.sd(0.2, 0.1)}}},
      sy.part "engine" {mass = 60, at = {1100, 0, 300}, weighed = {reading = {130, 130.5, 130.125}, on = "crane", tare = sy.sd(3, 0.1),
        note = "no\noil"}},
      sy.part "wheel" {pair = true, at = {0, 600, 230}, unsprung = "front", weighed = {reading = 18.045, on = "bench", pieces = 2}},
      sy.part "rear wheel" {pair = true, at = {1550, 590, 230}, unsprung = "rear", mass = sy.unknown, weighed = {reading = 9.3}},
      sy.part "seat" {mass = sy.sd(3.1, 0.01), basis = "weighed", was = sy.sd(4, 0.5), at = {900, 0, 250}, scale = "bench"}}}
  for _, semicolon in ipairs{false, true} do
    local text = book_csv.write(c:book(), {semicolon = semicolon})
    local again = car(text)
    for _, name in ipairs{"hoop", "engine", "wheel", "rear wheel", "seat"} do
      local got, want = row(again, name), row(c, name)
      check.equal(got.weighed, want.weighed, name)
      -- masses before are written to a billionth of a kilogram
      if want.was and want.was.mass then check.near(got.was.mass, want.was.mass, 1e-9, name) end
      check.near(got.mass, want.mass, 1e-14 * want.mass, name) -- nothing is rounded that was read
      check.near(got.sd.mass, want.sd.mass, 1e-9, name)
    end
    check.equal(book_csv.write(again:book(), {semicolon = semicolon}), text)
    check.equal(again:balance().notes, c:balance().notes, "nothing is assumed, nothing disagrees")
  end
end)

check.test("a_book_without_readings_has_no_columns_for_them", function()
  check.ok(not book_csv.write(sy.load("vehicles/first_guess.lua"):book()):find "reading")
end)

check.test("a_thing_with_a_semicolon_in_its_name_cannot_be_written", function()
  local c = sy.car{axes = {x = "back", y = "right", z = "up"}, axles = AXLES, parts = {
    sy.part "a" {at = {0, 0, 0}, weighed = {reading = 3, with = {["strap; hook"] = 1}}}}}
  check.raises(function() book_csv.write(c:book()) end, {code = "content", field = "with", message = "semicolon"})
end)

os.remove(path)
check.done()
