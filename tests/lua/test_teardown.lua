--- A teardown from a table: what is understood, every refusal with row, column and cell, and several tables together.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local sy = require "steelyard"
local closure_csv = require "steelyard.measure.closure.csv"
local teardown = require "steelyard.measure.teardown"
local test = check.test

local ROUNDING = 1e-12 -- kg: sums of a few decimals below 100

local function closed(bytes, options)
  local given = closure_csv.read(bytes, options)
  return sy.closure{whole = given.whole, parts = given.parts, extra = given.extra}, given
end

-- ---- what is understood -----------------------------------------------------------------------------------------------------------

test("parts_extras_and_the_whole_are_distinguished_by_kind", function()
  local r = closed "part,mass (kg),sd,kind\nblock,31.4,0.05,\ncrank,15.9,0.05,part\nbag,2.4,,extra\n\nwhole,49.9,0.2,whole\n"
  check.near(r.sum, 49.7, ROUNDING)
  check.near(r.gap, 0.2, ROUNDING)
  check.near(r.sd, math.sqrt(0.2 ^ 2 + 2 * 0.05 ^ 2), ROUNDING)
  check.equal({#r.assemblies, #r.extra, r.lines}, {1, 1, 3})
end)

-- NIST Special Publication 811 (2008), Appendix B.8: 1 lb = 0.453 592 37 kg, exact
test("each_row_has_its_unit_or_that_of_the_head", function()
  local r = closed "part;mass [lb];unit;quantity;sd\nblock;69.2;;1;0.1\npin;640;g;3;5\n"
  check.near(r.sum, 69.2 * 0.45359237 + 3 * 0.64, ROUNDING)
  check.near(r.sum_sd, math.sqrt((0.1 * 0.45359237) ^ 2 + (3 * 0.005) ^ 2), ROUNDING, "an uncertainty has the unit of its reading")
  check.near(closed("part;mass;unit;sd [g]\npin;2;lb;5\n").sum_sd, 0.005, ROUNDING, "or that of its head")
  check.near(closed("part;mass [kg];sd [%]\npin;2;5\n").sum_sd, 0.1, ROUNDING)
end)

test("readings_keep_their_digits", function()
  -- 45 lb typed as 45 kg: the reading, not a number that went through a conversion, is what is looked at
  local r = closed "part,mass,unit,sd,kind\nhead,45.0,kg,0.05,\npan,31.7,kg,0.05,\nall,52.1,,0.1,whole\n"
  check.equal({r.suspects[1].name, r.suspects[1].reading, r.suspects[1].why}, {"head", 45, "lb read as kg"})
end)

test("estimates_assemblies_and_includes_are_kept", function()
  local _, given = closed "part;mass;assembly;was;was sd;includes;remarks\nhead;4.26;heads;4.5;0.5;valves, springs;valves in\n"
  local line = given.parts[1]
  check.equal({line.assembly, line.was.value, line.was.sd, line.includes}, {"heads", 4.5, 0.5, {"valves", "springs"}})
  check.near(closure_csv.read "part;mass;was [lb]\nhead;4.26;10\n".parts[1].was, 4.5359237, ROUNDING)
end)

test("a_raw_reading_is_the_mass_and_a_mass_beside_it_the_estimate", function()
  local given = closure_csv.read "part;mass [kg];raw reading;unit\nhead;4;9.4;lb\n"
  check.equal({given.parts[1].mass, given.parts[1].unit, given.parts[1].was}, {9.4, "lb", 4})
end)

test("a_mass_nobody_knows_is_a_question_mark", function()
  local r = closed "part;mass;kind\nhead;4.26;\npump;?;\nall;6;whole\n"
  check.equal({r.unknown, r.suspects[1].name, r.suspects[1].why}, {1, "pump", "not weighed yet"})
end)

test("decimal_commas_and_other_languages", function()
  local r, given = closed("Bauteil;Masse [kg];Einheit;Anzahl;Baugruppe;Schätzung;Farbe\nBlock;31,4;;;Motor;30;rot\n"
    .. "Schraube;12;g;20;;;\nSumme;31,64;;;;;\n")
  check.near(r.sum, 31.64, ROUNDING)
  check.equal({given.parts[1].assembly, given.parts[1].was}, {"Motor", 30})
  check.equal(given.notes, {'column G "Farbe" is not understood and not read',
    "g in row 3: a unit in a row goes before that of the heading", "no row is of the kind whole, so there is nothing to close against"})
  check.near(closed("part;mass [kg]\npin;1,234\n", {decimal = ","}).sum, 1.234, ROUNDING)
end)

test("a_head_without_a_unit_is_taken_as_kg_and_said", function()
  local _, given = closed "part,mass\nblock,31.4\n"
  check.contains(table.concat(given.notes, "\n"), "no unit in the mass column heading; kg assumed")
  check.contains(closure_csv.read("part,mass\nblock,31.4\n", {file = "a.csv"}).notes[1], "in a.csv, ")
end)

-- an error of the table "t.csv"
local function refused(bytes, want)
  want.file = "t.csv"
  check.raises(function() closure_csv.read(bytes, {file = "t.csv"}) end, want)
end

-- ---- one meaning with parts lists ----------------------------------------------------------------------------------------------------

test("zeros_tares_and_pieces_weighed_make_the_mass", function()
  -- by hand: (12.40 - 0.15) / 4 x 4 = 12.25; (9.9 - 1.3) x 0.45359237 = 3.900894...; 8.1 - (0.1 + 0.3) / 2 - 0.4 = 7.5
  local r, given = closed("part;reading;unit;quantity;pieces weighed;zero before;zero after;tare;with;kind\nrod;12.40;kg;4;4;;;0.15;;\n"
    .. "cover;9.9;lb;1;;;;1.3;;\npan;8.1;kg;1;;0.1;0.3;;hook: 0.4;\nall;23.65;kg;1;;;;;;whole\n")
  check.near(r.sum, 12.25 + 8.6 * 0.45359237 + 7.5, ROUNDING)
  check.equal(given.parts[1].weighed.pieces, 4)
  check.near(closed("part;total mass;quantity\nrod;2;4\n").sum, 2, ROUNDING)
  check.near(closed("part;mass [t]\nrod;0.002\n").sum, 2, ROUNDING)
  check.near(closed("part;mass;pair\nmount;2;yes\n").sum, 4, ROUNDING, "a pair is two")
  check.near(closed("part;mass;within\nrod;2;0.3\n").sum_sd, 0.3 / math.sqrt(3), ROUNDING, "limits: JCGM 100:2008, 4.3.7")
end)

test("a_slip_is_found_behind_zeros_and_tares", function()
  -- 8.8 kg read in pounds, 19.4 lb, with a tare of 1.1 lb, and booked as kilograms
  local r = closed("part;reading;unit;tare;kind\nrod;19.4;kg;1.1;\ncover;5.2;kg;;\nall;"
    .. core.shortest(18.3 * 0.45359237 + 5.2) .. ";kg;;whole\n")
  check.equal({r.suspects[1].name, r.suspects[1].why}, {"rod", "lb read as kg"})
  check.near(r.suspects[1].would_be, 18.3 * 0.45359237, 1e-9)
  -- 15.2 typed for 12.5, with a tare
  r = closed("part;reading;unit;tare;kind\nrod;15.2;kg;1.1;\ncover;5.3;kg;0.1;\nall;16.6;kg;;whole\n")
  check.near(r.suspects[1].would_be, 11.4, 1e-9)
  check.equal({r.suspects[1].name, r.suspects[1].why}, {"rod", "two digits swapped"})
end)

test("a_zero_that_moved_is_reported", function()
  local r = closed "part;reading;zero before;zero after\na;3.1;0;0\n"
  check.equal(r.unknown, 0)
  refused("part;reading;tare\na;3.1;3.2\n", {code = "range", line = 2, part = "a", field = "tare",
    message = 'column C "tare": is 3.2 kg, no less than the reading'})
end)

test("with_is_what_else_was_on_the_scale", function()
  refused("part;mass;reading;with\nhead;4;4.2;valves, springs\n", {code = "type", field = "with",
    message = '"valves, springs" is not a number',
    hint = "what a part includes stands in a column of that name"})
end)

test("sections_are_assemblies", function()
  local r = closed "part;mass\nShort block;\ncrank;11\nrods;2\nHeads;\nhead;4\n"
  check.equal({r.assemblies[1].name, r.assemblies[1].mass, r.assemblies[2].name, r.assemblies[2].mass}, {"Short block", 13, "Heads", 4})
end)

test("columns_of_no_use_are_reported", function()
  local _, given = closed "part;mass (kg);x;scale;price\nblock;3;0;bench;9\n"
  check.equal(given.notes[1], 'column E "price" is not understood and not read')
  check.equal(given.notes[2], 'columns C "x" and D "scale" say nothing that a closure needs')
end)

-- 300 tables at random: what a teardown adds up is what a car books of the same table.
test("a_teardown_and_a_car_read_the_same_masses", function()
  local state = 11
  local function dice(n) -- a linear congruence: D. E. Knuth, The Art of Computer Programming, vol. 2, 3.3.4, table 1, line 16 (from memory)
    state = (1664525 * state + 1013904223) % 4294967296
    return state // 65536 % n + 1
  end
  local path = os.tmpname()
  local function maybe(text) return dice(3) == 1 and text or "" end
  for round = 1, 300 do
    local unit_head, lines = ({"", " (kg)", " (lb)"})[dice(3)], {}
    local row_unit = unit_head == ""
    lines[1] = ("part;x;y;z;reading%s;%szero before;zero after;tare;with;pieces weighed;count;pair;%s"):format(unit_head,
      row_unit and "unit;" or "", dice(2) == 1 and "sd" or "reading sd")
    for i = 1, dice(6) do
      local pair = dice(4) == 1
      local cells = {"p" .. i, "0", "0", "0", ({"20.25", "\"30.5; 30.75\"", "25.125 +- 0.25", "31 kg"})[dice(row_unit and 3 or 4)]}
      if i == 1 then cells[5] = "20.25" end
      if row_unit then cells[#cells + 1] = ({"", "kg", "lb", "g"})[dice(4)] end
      local with_kg = cells[6] ~= "g"
      for _, cell in ipairs{maybe "0.5", maybe "-0.25", dice(4) == 1 and "1.5" or "",
        with_kg and maybe "\"strap: 0.25; oil: 0.5 +- 0.125\"" or "",
        maybe(tostring(dice(4))), pair and "" or maybe(tostring(dice(5))), pair and "yes" or "", ""} do cells[#cells + 1] = cell end
      lines[#lines + 1] = table.concat(cells, ";")
    end
    local bytes = table.concat(lines, "\n") .. "\n"
    local file = assert(io.open(path, "wb"))
    file:write(bytes)
    file:close()
    local car = sy.car{axes = {x = "back", y = "right", z = "up"}, axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
      {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}, parts = sy.from_csv(path)}
    local r, total = closed(bytes), car:book().total
    check.near(r.sum, total.mass, 1e-11, round .. bytes) -- a few roundings of sums below 1000 kg
    check.near(r.sum_sd, car:balance().sd.mass, 1e-11, round .. bytes)
  end
  os.remove(path)
end)

-- ---- refusals ---------------------------------------------------------------------------------------------------------------------

test("a_cell_that_is_wrong_is_named_with_row_and_column", function()
  refused("part;mass [kg];unit\nblock;31.4;stone\n", {code = "unknown", line = 2, part = "block", field = "reading_unit",
    message = 'column C "unit": "stone" is not a unit of mass', hint = "kg, g, lb and oz are known"})
  refused("part;mass;kind\nblock;31.4;prat\n", {code = "unknown", field = "kind", message = 'column C "kind": "prat" is not understood',
    hint = 'did you mean "part"?'})
  refused("part;mass\nblock;#REF!\n", {code = "content", field = "mass", message = 'column B "mass": "#REF!" is what a spreadsheet writes'})
  refused("part;mass\nblock;twelve\n", {code = "type", field = "mass", message = '"twelve" is not a number'})
  refused("part;mass\nblock;\n", {code = "missing", field = "mass", message = "has no mass", hint = "a question mark"})
  refused("part;mass\n;12\n", {code = "missing", field = "name", message = 'column A "part": has no name'})
  refused("part;mass;quantity\nblock;31.4;2.5\n", {code = "range", field = "count",
    message = '"2.5" must be a whole number from 1 to 1000000'})
  refused("part;mass;sd\nblock;31.4;-1\n", {code = "range", field = "mass_sd", message = '"-1" must be 0 kg or more'})
  refused("part;mass;was;was sd\nblock;31.4;;3\n", {code = "missing", field = "estimate_sd",
    message = "stands without an earlier estimate"})
  refused("part;mass;was\nblock;31.4;0\n", {code = "range", field = "estimate", message = "\"0\" must be above 0"})
end)

test("all_problems_are_listed", function()
  local err = select(2, pcall(closure_csv.read, "part;mass;kind\nblock;#REF!;\ncrank;twelve;\nall;?;whole\n", {file = "t.csv"}))
  check.equal({err.code, err.line, #err.more, err.more[1].line, err.more[2].line}, {"content", 2, 2, 3, 4})
end)

test("cells_beyond_the_last_heading_are_refused", function()
  refused("part,mass,kind\nblock,31,4,part\n", {code = "content", line = 2, message = 'column D: "part" stands beyond the last',
    hint = "a decimal comma"})
end)

test("a_whole_must_be_one_and_known", function()
  refused("part;mass;kind\nblock;3;\none;31;whole\ntwo;32;whole\n", {code = "clash", line = 4, part = "two", field = "kind",
    message = "is a second whole, the first is in row 3"})
  refused("part;mass;kind\nblock;3;\none;?;whole\n", {code = "missing", field = "mass",
    message = "without it there is nothing to close against"})
  refused("part;mass\nblock;3\nwhole engine;31\n", {code = "content", line = 3, part = "whole engine",
    message = '"whole engine" looks like the whole and does not say so', hint = "part, extra or whole"})
end)

test("a_sum_that_is_none_is_refused", function()
  refused("part;mass [kg]\nblock;31.4\npan;3.6\nTotal;36.0\n", {code = "content", line = 4,
    message = '"Total" says 36 kg, the rows above come to '
    .. "35.000 kg"})
  check.near(closed("part;mass [kg];unit\nblock;31.4;\npin;640;g\nTotal;32.0;\n").sum, 32.04, ROUNDING, "rounded to its last digit")
  refused("part;mass [kg];unit\nblock;31.4;\npin;640;g\nTotal;33.0;\n", {code = "content", message = "the rows above come to 32.040 kg"})
end)

test("a_table_that_is_none_is_refused", function()
  refused("", {code = "content"})
  refused("PK\3\4....", {code = "read", message = "is the file of a spreadsheet", hint = "export it as CSV"})
  refused("part;kind\nblock;\n", {code = "content", message = "no row has headings for a part and its mass"})
  refused("part;mass;kind\nall;31;whole\n", {code = "missing", message = "no part stands below the column headings"})
  refused("part;mass\nblock;1,234\n", {code = "content", message = 'column B: "1,234"', hint = "--decimal"})
  refused("part;mass;unit;unit\nblock;1.2;kg;kg\n", {code = "clash", message = 'column D "unit": means the same as column C'})
  refused("part;mass;was [mm]\nblock;1.2;3\n", {code = "type", message = "mm is a length"})
  refused("part;mass [mm]\nblock;1.2\n", {code = "type", message = "mm is a length"})
end)

-- 400 tables with bytes changed, doubled and left out: each is read and closed, or refused by an error object that says something.
test("no_table_breaks_the_reader", function()
  local file = assert(io.open("vehicles/readings/teardown.csv", "rb"))
  local bytes = file:read "a"
  file:close()
  local seed, signs, fine_count = 31, {",", ";", "\n", '"', "0", "-", "?", "\0", "\xC3", "e9", "whole", "#N/A", "lb"}, 0
  local function random(n)
    seed = (seed * 16807) % 2147483647 -- Park and Miller, Comm. ACM 31 (1988), p. 1195
    return seed % n + 1
  end
  for _ = 1, 400 do
    local text = bytes
    for _ = 1, random(3) do
      local at = random(#text)
      text = text:sub(1, at - 1) .. signs[random(#signs)] .. text:sub(at + random(3) - 1)
    end
    local fine, err = pcall(function() return tostring((closed(text, {file = "t.csv"}))) end)
    fine_count = fine_count + (fine and 1 or 0)
    check.ok(fine or type(err) == "table" and #tostring(err) > 10, tostring(err))
  end
  check.ok(fine_count > 20 and fine_count < 380, fine_count)
end)

-- ---- the readings that come with the project ----------------------------------------------------------------------------------------

local folder = "vehicles/readings/"

test("the_invented_flat_four_closes", function()
  local r = teardown.of({folder .. "teardown.csv"}, {}).tables[1]
  check.equal({r.closes, r.lines, r.twice}, {true, 46, {}})
  check.ok(95 < r.sum and r.sum < 100, r.sum)
end)

test("its_copy_with_a_slip_names_the_line", function()
  local r = teardown.of({folder .. "teardown_slip.csv"}, {}).tables[1]
  check.equal({r.closes, #r.suspects, r.suspects[1].name, r.suspects[1].why, r.suspects[1].fits_estimate},
    {false, 1, "starter", "lb read as kg", true})
end)

test("two_tables_name_what_both_book", function()
  local r = teardown.of({folder .. "teardown.csv", folder .. "teardown_transaxle.csv"}, {})
  check.equal({#r.tables, #r.together.twice, r.together.twice[1].name, r.together.twice[2].name}, {2, 2, "flywheel", "clutch"})
  check.equal(r.together.twice[1].assemblies, {"teardown", "teardown_transaxle"})
  check.equal(r.together.suspects[1].name, "flywheel and clutch")
  check.near(r.together.whole_sd, math.sqrt(0.2 ^ 2 + 0.2 ^ 2), ROUNDING)
end)

-- The line that says where a page comes from is its last; what holds for all tables is said once in front of it.
test("several_tables_say_the_caution_once_in_front_of_the_last_line", function()
  local ran = check.command(check.steelyard .. " teardown vehicles/readings/teardown.csv vehicles/readings/teardown_transaxle.csv")
  for _, words in ipairs{"One slip at a time is looked for", "Weighing the whole: rated slings"} do
    local _, count = ran.out:gsub(words, "")
    check.equal(count, 1, words)
  end
  check.contains(ran.out, "local codes and licensed practice decide.\nteardown.csv ")
  check.ok(ran.out:find "\nteardown.csv [^\n]*, steelyard [%d.]+\n$")
end)

check.done()
