--- Parts lists from spreadsheets and back: what is understood, what is refused and how it is reported, and nothing lost on the way.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local parts_csv = require "steelyard.file.parts_csv"
local book_csv = require "steelyard.answers.book.csv"
local dictionary = require "steelyard.file.parts_csv.dictionary"
local sy = require "steelyard"

local function read(text, options)
  options = options or {}
  options.file = options.file or "parts.csv"
  return parts_csv.read(text, options)
end

local HEADS = "part;mass (kg);x (mm);y (mm);z (mm)"
-- rows below the usual heads
local function rows(...) return table.concat({HEADS, ...}, "\n") end

local function refuses(text, want, options)
  want.file = "parts.csv"
  return check.raises(function() read(text, options) end, want)
end

-- ---- what is read -----------------------------------------------------------------------------------------------------

check.test("read_of_a_full_row_gives_every_field", function()
  local list = read("\u{FEFF}part,group,kind,mass (kg),sd,count,pair,x,y,z,sd x,sd y,sd z,within (mm),basis,"
    .. "unsprung,growth,tags,note,scale\n"
    .. "hub,wheels / front,part,\"3,150.5\",0.1,,yes,1.5,-2,3e2,1,2,3,5,weighed,front,10 %,\"a, b;c\",\"two\nlines\",bench\n"
    .. "driver,,person,78,,,,0,0,0,,,,,,,,,,\n")
  local hub = list[1]
  check.equal({hub.name, hub.group, hub.kind, hub.pair, hub.count, hub.within_mm, hub.basis, hub.unsprung, hub.growth, hub.note,
    hub.instrument, hub.row, hub.line}, {"hub", "wheels/front", "part", true, nil, 5, "weighed", "front", 0.1, "two\nlines", "bench", 2, 2})
  check.equal({hub.mass.value, hub.mass.sd}, {3150.5, 0.1})
  check.equal({hub.at[1].value, hub.at[2].value, hub.at[3].value}, {1.5, -2, 300})
  check.equal({hub.at[1].sd, hub.at[2].sd, hub.at[3].sd}, {1, 2, 3})
  check.equal(hub.tags, {"a", "b", "c"})
  local driver = list[2]
  check.equal({driver.kind, driver.mass, driver.row, driver.line, driver.group}, {"person", 78, 3, 4})
  check.equal(driver.at, {0, 0, 0})
  check.equal(#list, 2)
end)

check.test("read_of_unsprung_takes_names_and_shares", function()
  local list = read(HEADS .. ";unsprung\na;1;0;0;0;rear\nb;1;0;0;0;front: 50 %, rear: 0.25\nc;1;0;0;0;no\nd;1;0;0;0;\n")
  check.equal(list[1].unsprung, "rear")
  check.equal(list[2].unsprung, {front = 0.5, rear = 0.25})
  check.equal({list[3].unsprung, list[4].unsprung}, {})
end)

-- limits +-a, all between equally likely: u = a / sqrt 3. Source: JCGM 100:2008, 4.3.7
check.test("read_of_limits_and_shares_gives_standard_uncertainties", function()
  local list = read(HEADS .. ";within;sd\na;12;0;0;0;0.6;\nb;12;0;0;0;;5 %\n")
  check.near(list[1].mass.sd, 0.6 / 3 ^ 0.5, 1e-16, "half a unit of the last place of 0.35")
  check.near(list[2].mass.sd, 0.6, 2e-16, "two roundings")
  list = read "part;mass;sd %;x;y;z;sd (mm)\na;12;5;1;2;3;4\n"
  check.near(list[1].mass.sd, 0.6, 2e-16)
  for i = 1, 3 do check.equal({list[1].at[i].value, list[1].at[i].sd}, {i, 4}) end
end)

check.test("read_of_a_mass_nobody_knows_is_unknown", function()
  for _, cell in ipairs {"?", "unbekannt", "Inconnu", "TBD"} do
    check.ok(read(rows("a;" .. cell .. ";0;0;0", "b;1.5;0;0;0"))[1].mass == sy.unknown, cell)
  end
end)

check.test("read_of_the_mass_of_all_pieces_divides_or_checks", function()
  local list = read "part;qty;total mass (kg);x;y;z\nbolt;16;0.192;0;0;0\npad;;0.5;0;0;0\n"
  check.equal({list[1].mass, list[1].count, list[2].mass, list[2].count}, {0.012, 16, 0.5})
  check.equal(read("part;qty;mass;total mass;x;y;z\nbolt;16;0.012;0.19;0;0;0\n")[1].mass, 0.012, "0.192 within 16 x 0.0005 + 0.005")
  refuses("part;qty;mass;total mass;x;y;z\nbolt;16;0.012;0.25;0;0;0\n", {code = "clash", line = 2, part = "bolt", field = "total_mass",
    message = 'column D "total mass": says 0.25 kg, 16 times 0.012 kg is 0.192 kg'})
end)

check.test("read_of_a_pair_takes_a_quantity_of_two", function()
  local list = read(HEADS .. ";qty;pair\na;1.5;0;700;0;2;ja\nb;1;0;0;0;2;nein\n")
  check.equal({list[1].pair, list[1].count, list[2].pair, list[2].count}, {true, nil, nil, 2})
  refuses(HEADS .. ";qty;pair\na;1.5;0;700;0;4;x\n", {code = "clash", field = "count", message = "says 4, a pair is two"})
end)

-- ---- heads ------------------------------------------------------------------------------------------------------------

check.test("heads_of_seven_languages_mean_the_same", function()
  local heads = {
    "Part Name,Assembly,Weight,Qty.,X,Y,Z,Basis,Comments,Std. dev.",
    "BAUTEIL,Baugruppe,Gewicht,Stück,x-Koordinate,Schwerpunkt Y,Position z,Herkunft,Bemerkung,Standardabweichung",
    "Pièce,Sous-ensemble,Poids,Qté,coordonnée x,position y,z,Origine,Remarques,écart type σ",
    "Pezzo,Assieme,Peso,Quantità,coordinata x,posizione y,baricentro z,Fonte,Osservazioni,incertezza",
    "Pieza,Conjunto,Masa,Cantidad,coordenada x,posición y,z,Fuente,Observaciones,incertidumbre",
    "Onderdeel,Samenstelling,Gewicht,Aantal,coördinaat x,positie y,zwaartepunt z,Bron,Opmerking,standaardafwijking",
    "Del,Sammanställning,Vikt,Antal,koordinat x,läge y,tyngdpunkt z,Källa,Anmärkning,standardavvikelse",
    "Nom,Groupe,Masse,Nombre,x,y,z,Base,Commentaire,u(m)",
    "Nombre,Grupo,Peso,Cant,x,y,z,Origen,Nota,±",
  }
  for _, head in ipairs(heads) do
    local list = read(head:gsub("läge y", "position y") .. "\na,g,1.5,2,1,2,3,estimate,n,0.1\n")
    local p = list[1]
    check.equal({p.name, p.group, p.mass.value, p.mass.sd, p.count, p.at[1], p.at[2], p.at[3], p.basis, p.note},
      {"a", "g", 1.5, 0.1, 2, 1, 2, 3, "estimate", "n"}, head)
  end
end)

check.test("fold_takes_case_accents_and_blanks_away", function()
  check.equal(dictionary.fold "  STÜCK\u{A0}zahl\r\n je ", "stuck zahl je")
  check.equal(dictionary.fold "Pie\u{0300}ce", "piece", "an accent of its own letter")
  check.equal(dictionary.fold "Größe Œuvre Łódź Ærø", "grosse oeuvre lodz aero")
end)

-- Exact by definition. Source: NIST Special Publication 811 (2008), Appendix B
check.test("units_in_heads_are_converted", function()
  local factors = {kg = 1, g = 1e-3, t = 1e3, lb = 0.45359237, oz = 0.028349523125}
  for _, form in ipairs {"mass (%s)", "Masse [%s]", "mass / %s", "mass, %s", "mass %s", "mass_%s", "Masse in %s", "mass(%s)"} do
    for unit, factor in pairs(factors) do
      local mass = read(("part;%s;x;y;z\na;3.5;0;0;0\n"):format(form:format(unit)))[1].mass
      check.near(mass, 3.5 * factor, 2e-16 * 3.5 * factor, form:format(unit)) -- one rounding
    end
  end
  for unit, factor in pairs {mm = 1, cm = 10, m = 1000, ["in"] = 25.4, inch = 25.4, ['"'] = 25.4, ft = 304.8} do
    local head = ('part;mass;"x (%s)";y [%s];z / %s\na;1;2;-3.5;0.1\n'):format(unit:gsub('"', '""'), unit, unit)
    local at = read(head)[1].at
    check.near(at[1], 2 * factor, 0)
    check.near(at[2], -3.5 * factor, 0)
    check.near(at[3], 0.1 * factor, 2e-16 * factor)
  end
end)

check.test("units_may_stand_in_a_row_of_their_own", function()
  local list = read "part;mass;x;y;z;sd\n;lb;[in];(in);in;g\na;2;10;0;1;5\n"
  check.near(list[1].mass.value, 0.90718474, 0)
  check.equal(list[1].mass.sd, 0.005)
  check.equal(list[1].at, {254, 0, 25.4})
  check.equal(list[1].row, 3)
end)

check.test("heads_without_a_unit_are_taken_as_their_neighbours_and_said_so", function()
  local list = read "part;mass (lb);sd;x (in);y;z\na;2;0.5;10;1;2\n"
  check.near(list[1].mass.sd, 0.226796185, 0)
  check.equal(list[1].at, {254, 25.4, 50.8})
  check.equal(list.notes, {"in parts.csv, heads without a unit are taken as lb and in"})
  check.equal(read("part;mass;x;y;z\na;2;1;1;1\n").notes, {"in parts.csv, heads without a unit are taken as kg and mm"})
  check.equal(read(rows "a;2;1;1;1").notes, {})
end)

check.test("heads_below_a_title_are_found_and_unknown_ones_listed", function()
  local list = read("Parts of the car, invented;;;;\n;;;;\n" .. HEADS .. ";Price;Drawing\na;1;0;0;0;12.50;D-1\n")
  check.equal(list[1].row, 4)
  check.equal(list.notes, {'in parts.csv, columns F "Price" and G "Drawing" are not understood and not read'})
  check.contains(list.preview, "parts.csv: 1 part, UTF-8, cells apart by semicolons, decimal point, headings in row 3")
  check.contains(list.preview, "  B   mass (kg)  mass of one piece, kg\n")
  check.contains(list.preview, "  F   Price      not understood, not read")
end)

check.test("heads_that_name_less_surely_give_way", function()
  local list = read "Description;Part;mass;x;y;z\nlong words;a;1;0;0;0\n"
  check.equal({list[1].name, list[1].note}, {"a", "long words"})
  check.equal(read("Description;mass;x;y;z\nb;1;0;0;0\n")[1].name, "b")
  list = read "Pièce;Nombre;masse;x;y;z\na;3;1;0;0;0\n"
  check.equal({list[1].name, list[1].count}, {"a", 3})
end)

check.test("heads_of_everyday_lists_are_understood", function()
  local list = read("Item,Description,Qty,Unit Wt (lb),Total Wt (lb),Arm X (in),Arm Y,Z,Source\n1,engine,1,200,200,70,0,13,scale\n"
    .. "2,seat,2,12,24,42,0,1,CAD\n")
  check.equal({list[1].name, list[2].name, list[2].count, list[1].basis, list[2].basis}, {"engine", "seat", 2, "weighed", "calculated"})
  check.near(list[1].mass, 200 * 0.45359237, 1e-14) -- NIST SP 811 (2008), Appendix B
  check.near(list[1].at[1], 70 * 25.4, 1e-12)
  list = read "No.;Part;P/N;Weight lbs;Xcg;Ycg;CGz\n1;engine;A-1;10;70;1;13\n"
  check.equal({list[1].name, list[1].at[1], list[1].at[2], list[1].at[3]}, {"engine", 70.0, 1.0, 13.0})
  check.equal(read "Item;Description;mass;x;y;z\nhub;long;1;0;0;0\n"[1].name, "hub")
end)

check.test("heads_that_cannot_do_are_refused", function()
  refuses("length;width\n1;2\n", {code = "content", line = 1,
    message = 'no row has headings for a part and its mass; this one reads "length", "width"'})
  refuses("part;mass;x;z\na;1;0;0\n", {code = "missing", message = 'no column for its y; the headings are "part", "mass", "x", "z"'})
  refuses("part;mass;x;y;zz\na;1;0;0;0\n", {code = "missing", message = "no column for its z"})
  refuses("part;mass;Gewicht;x;y;z\na;1;1;0;0;0\n", {code = "clash", line = 1,
    message = 'column C "Gewicht": means the same as column B, "mass"'})
  refuses("part;mass (mm);x;y;z\na;1;0;0;0\n", {code = "type",
    message = 'column B "mass (mm)": mm is a length, a column of a mass is needed'})
  refuses("part;weight [N];x;y;z\na;1;0;0;0\n", {code = "type", message = "N is a force", hint = "kg, g, t, lb and oz"})
  refuses("part;mass;x (kg);y;z\na;1;0;0;0\n", {code = "type", message = 'column C "x (kg)": kg is a mass, a column of a length'})
  refuses("part;mass;qty (kg);x;y;z\na;1;1;0;0;0\n", {code = "type", message = "takes no unit, kg is there"})
  refuses("\n\n", {code = "content", message = "holds no table"})
  refuses(HEADS .. "\n\n", {code = "missing", line = 1, message = "no part stands below the column headings"})
  local err = refuses("part;mas;x;y;z\na;1;0;0;0\n", {code = "content"})
  check.contains(err.message, '"part", "mas", "x"')
end)

-- ---- cells ------------------------------------------------------------------------------------------------------------

check.test("cells_that_are_no_numbers_are_refused_by_row_column_head_and_text", function()
  local function one(cell, want)
    want.line, want.part, want.field = 3, "seat", "mass"
    return refuses(rows("engine;96.2;1;2;3", "seat;" .. cell .. ";1;2;3"), want)
  end
  one("about 4", {code = "type", message = 'column B "mass (kg)": "about 4" is not a number'})
  one("#DIV/0!", {code = "content", message = 'column B "mass (kg)": "#DIV/0!" is what a spreadsheet writes for a formula '
    .. "without a result"})
  one("-4", {code = "range", message = '"-4" must be 0 kg or more, is -4 kg'})
  one("2e5", {code = "range", message = "must be 100000 kg or less"})
  one("", {code = "missing", message = "has no mass", hint = "a question mark"})
  one("1e999", {code = "type", message = '"1e999" is not a number'})
  local err = refuses(rows("engine;96,25;1;2;3", "seat;1.234.567,5;1;2;3"), {code = "range"})
  check.contains(err.message, '"1.234.567,5" must be 100000 kg or less, is 1234567.5 kg')
  refuses(rows("a;1;;2;3"), {code = "missing", field = "x", message = 'column C "x (mm)": has no x'})
  refuses(rows("a;1;1e7;2;3"), {code = "range", field = "x", message = "must be 1000000 mm or less"})
  refuses(rows("a;1;#REF!;2;3"), {code = "content", field = "x", message = "#REF!"})
  refuses("part;sd (kg);mass;x;y;z\na;-0.1;1;0;0;0\n", {code = "range", field = "mass_sd", message = "must be 0 kg or more"})
end)

check.test("cells_of_words_are_refused_with_the_nearest", function()
  refuses(HEADS .. ";basis\na;1;0;0;0;weighd\n", {code = "unknown", field = "basis", message = '"weighd" is not understood',
    hint = 'did you mean "weighed"?'})
  refuses(HEADS .. ";basis\na;1;0;0;0;qqqqqq\n", {code = "unknown", hint = "estimate, calculated, supplier and weighed"})
  refuses(HEADS .. ";pair\na;1;0;0;0;perhaps\n", {code = "unknown", field = "pair", hint = "yes and no"})
  refuses(HEADS .. ";kind\na;1;0;0;0;assembled\n", {code = "unknown", field = "kind", hint = "part, person, tank and group"})
  refuses(HEADS .. ";unsprung\na;1;0;0;0;yes\n", {code = "type", field = "unsprung", message = "does not say who carries it"})
  refuses(HEADS .. ";unsprung\na;1;0;0;0;front: some\n", {code = "type", field = "unsprung", message = "not a share of a carrier"})
  refuses(HEADS .. ";growth\na;1;0;0;0;some\n", {code = "type", field = "growth", message = '"some" is not a'})
  refuses(HEADS .. ";growth\na;1;0;0;0;10\n", {code = "range", field = "growth", message = "15 %"})
  refuses(HEADS .. ";qty\na;1;0;0;0;1.5\n", {code = "range", field = "count", message = '"1.5" must be a whole number from 1 to 1000000'})
  refuses(HEADS .. ";qty\na;1;0;0;0;0\n", {code = "range", field = "count"})
  refuses(HEADS .. ";sd;within\na;1;0;0;0;1;2\n", {code = "clash", field = "within", message = "stands beside column F"})
end)

check.test("cells_of_basis_are_understood_in_other_languages", function()
  for word, want in pairs {gewogen = "weighed", ["Schätzung"] = "estimate", ["calculé"] = "calculated", fornitore = "supplier",
    medido = "weighed", vagd = "weighed", CAD = "calculated"} do
    check.equal(read(HEADS .. ";basis\na;1;0;0;0;" .. word .. "\n")[1].basis, want, word)
  end
end)

check.test("names_are_one_line_and_unique_in_their_group", function()
  check.equal(read(rows('"front\r\n  corner ";1;0;0;0'))[1].name, "front corner")
  local list = read("group;" .. HEADS .. "\ng;a;1;0;0;0\n;a;1;0;0;0\ng/h;a;1;0;0;0\n")
  check.equal({list[1].group, list[2].group, list[3].group}, {"g", nil, "g/h"})
  refuses(rows("a;1;0;0;0", "b;2;0;0;0", "a;3;0;0;0"), {code = "clash", line = 4, part = "a",
    message = 'column A "part": "a" is the name of the part in row 2 already', hint = "a column for groups"})
  refuses("group;" .. HEADS .. "\n;a;1;0;0;0\na;b;1;0;0;0\n", {code = "clash", line = 3,
    message = 'column A "group": a part of row 2 is called as this group is'})
  refuses("group;" .. HEADS .. "\na;b;1;0;0;0\n;a;1;0;0;0\n", {code = "clash", line = 3, message = "the name of a group of row 2"})
  refuses(rows("front/left;1;0;0;0"), {code = "content", field = "name", message = "stroke", hint = "a column of their own"})
  refuses(rows(";1;0;0;0"), {code = "missing", field = "name", message = "has no name"})
  refuses(rows("#NAME?;1;0;0;0"), {code = "content", field = "name", message = "#NAME?"})
  refuses(rows(("n"):rep(101) .. ";1;0;0;0"), {code = "content", field = "name", message = "101 bytes"})
  refuses("group;" .. HEADS .. "\na//b;c;1;0;0;0\n", {code = "content", field = "group", message = "not the name of a group"})
end)

check.test("all_problems_of_a_table_are_listed_row_by_row", function()
  local err = refuses(rows("a;1;0;0;0", "b;x;y;0;0", "a;1;0;0;0", "c;;0;0;0"), {code = "type", line = 3, part = "b", field = "mass"})
  check.equal(#err.more, 3)
  check.equal({err.more[1].field, err.more[1].line, err.more[2].code, err.more[2].line, err.more[3].field, err.more[3].line},
    {"x", 3, "clash", 4, "mass", 5})
  local lines = {}
  for line in (tostring(err) .. "\n"):gmatch "(.-)\n" do lines[#lines + 1] = line end
  check.equal(#lines, 4)
  check.contains(lines[1], 'parts.csv:3: part "b", mass: column B "mass (kg)": "x" is not a number')
  check.contains(lines[4], 'parts.csv:5: part "c", mass: column B "mass (kg)": has no mass')
  err = refuses(rows("a;1;0;0;0", "b;2;zz;0;0"), {line = 3, field = "x"})
  check.equal(err.more, nil, "one is reported alone")
end)

check.test("wrong_headings_are_all_listed", function()
  local err = refuses("part;mass (mm);x (kg);y;y;z\na;1;0;0;0;0\n", {code = "type", field = "mass"})
  check.equal({#err.more, err.more[1].field, err.more[2].code}, {2, "x", "clash"})
end)

check.test("of_very_many_problems_the_rest_is_counted", function()
  local list = {}
  for i = 1, 250 do list[i] = ("p%d;x;0;0;0"):format(i) end
  local err = refuses(rows(table.unpack(list)), {code = "type", line = 2})
  check.equal(#err.more, 100)
  check.contains(tostring(err), "150 more are in this table")
end)

-- 12,5 between commas is two cells: everything behind it would move by one, and the last would be lost.
check.test("cells_beyond_the_last_heading_are_refused", function()
  local head = "part,mass (kg),x (mm),y (mm),z (mm)\n"
  local err = refuses(head .. "engine,96,1780,0,342\nbattery,12,5,420,-200,240\n", {code = "content", line = 3,
    message = 'column F: "240" stands beyond the last column heading, E'})
  check.contains(err.hint, "a decimal comma in a table with commas between its cells looks like this")
  err = refuses(rows("a;1;0;0;0;;seen in May"), {code = "content", line = 2, message = 'column G: "seen in May" stands beyond'})
  check.contains(err.hint, "give its column a heading")
  refuses(head .. "engine,96,1780,0,342\nb,1,2,3,4,5\nTotal,97\n", {code = "content", line = 3, message = 'column F: "5" stands beyond'})
  refuses(rows("a;1;0;0;0", "Total;1;;;;9"), {code = "content", line = 3, message = "stands beyond"})
  check.equal(#read(head .. "engine,96,1780,0,342,,,\n"), 1, "delimiters alone are no cells")
end)

check.test("a_column_without_a_heading_between_others_is_reported", function()
  local list = read "part;;mass;x;y;z\na;red;1;0;0;0\n"
  check.equal(list.notes[#list.notes], "in parts.csv, column B has no heading and is not read")
end)

-- NIST Special Publication 811 (2008), Appendix B: 1 lb = 0.453 592 37 kg, 1 in = 25.4 mm, exact
check.test("units_in_cells_are_read", function()
  local list = read(rows("a;62.5 kg;1.5 m;-3 in;0", "b;640g;2;0;12 cm", "c;2 lb;0;0;0"))
  check.equal({list[1].mass, list[1].at[1], list[1].at[3]}, {62.5, 1500, 0})
  check.near(list[1].at[2], -76.2, 1e-13)
  check.near(list[2].mass, 0.64, 1e-16)
  check.equal(list[2].at[3], 120)
  check.near(list[3].mass, 2 * 0.45359237, 1e-16)
  check.contains(table.concat(list.notes, "\n"), " in row 2 and in 2 more rows: a unit in a row goes before that of the heading")
  check.equal(read(HEADS:gsub(" %(kg%)", " (lb)") .. "\na;62.5 kg;0;0;0\n")[1].mass, 62.5)
  local p = read("part;mass;sd;x;y;z\na;62,5 kg;250 g;0;0;0\n")[1]
  check.equal({p.mass.value, p.mass.sd}, {62.5, 0.25}, "a decimal comma shows although a unit stands behind it")
  check.equal(read("part;mass;within;x;y;z\na;640 g;6;0;0;0\n")[1].mass.sd, 0.006 / 3 ^ 0.5, "limits in the unit of the mass")
  refuses(rows("a;62.5 mm;0;0;0"), {code = "type", field = "mass", message = '"62.5 mm" is a length, a mass is needed'})
  refuses(rows("a;62.5 N;0;0;0"), {code = "type", field = "mass", message = '"62.5 N" is a force, a mass is needed'})
  refuses(rows("a;1;3 kg;0;0"), {code = "type", field = "x", message = '"3 kg" is a mass, a length is needed'})
  refuses(HEADS .. ";qty\na;1;0;0;0;2 kg\n", {code = "type", field = "count", message = "has a unit, a plain number is needed"})
  refuses(rows("a;4 stone;0;0;0"), {code = "type", message = '"4 stone" is not a number', hint = "kg, g, t, lb, oz"})
end)

check.test("sums_count_the_units_of_cells", function()
  check.equal(#read(rows("a;62.5 kg;0;0;0", "b;640 g;0;0;0", "Total;63.1;;;")), 2)
  refuses(rows("a;62.5 kg;0;0;0", "b;640 g;0;0;0", "Total;63.3;;;"), {code = "content", message = "the rows above come to 63.140 kg"})
end)

check.test("a_column_unit_tells_the_unit_of_each_mass", function()
  local list = read "part;mass;unit;x;y;z\na;2;lb;0;0;0\nb;500;g;0;0;0\nc;3;;0;0;0\n"
  check.near(list[1].mass, 2 * 0.45359237, 1e-16)
  check.equal({list[2].mass, list[3].mass}, {0.5, 3})
  check.equal(read "part;mass;unit;x;y;z\na;2;pcs;0;0;0\n"[1].mass, 2)
  refuses("part;mass;unit;x;y;z\na;2;stone;0;0;0\n", {code = "unknown", message = '"stone" is not a unit of mass'})
  refuses("part;mass;unit;x;y;z\na;2 kg;lb;0;0;0\n", {code = "clash", message = '"2 kg" is in kg, the unit of its row is lb'})
end)

check.test("a_name_alone_heads_the_rows_below_it", function()
  local list = read(rows("tub;80;900;0;300", "Engine:;;;;", "block;30;1700;0;300", "crank;11;1700;0;280", "", "Cooling / front;;;;",
    "radiator;4;-300;0;250", "Total;125;;;"))
  check.equal({list[1].group, list[2].group, list[3].group, list[4].group}, {nil, "Engine", "Engine", "Cooling/front"})
  check.equal(#list, 4)
  check.contains(table.concat(list.notes, "\n"), 'in parts.csv, row 3 has a name alone, "Engine": the group of the 2 rows below')
  check.contains(list.preview, 'Row 7, "Cooling/front", has a name alone: the group of the rows below it.')
  list = read("group;" .. HEADS .. "\n;Engine;;;;\n;a;1;0;0;0\nown;b;1;0;0;0\n")
  check.equal({list[1].group, list[2].group}, {"Engine", "own"})
end)

check.test("a_name_alone_that_heads_nothing_is_a_part_without_a_mass", function()
  refuses(rows("tub;80;900;0;300", "starter;;;;"), {code = "missing", line = 3, part = "starter", field = "mass",
    message = "has no mass, and no rows stand below it"})
  refuses(rows("starter;;;;", "Engine;;;;", "a;1;0;0;0"), {code = "missing", line = 2, part = "starter"})
  refuses("group;" .. HEADS .. "\ng;tub;80;0;0;0\n;starter;;;;\ng;a;1;0;0;0\n", {code = "missing", part = "starter"})
  refuses(rows("starter;;0;0;0", "a;1;0;0;0"), {code = "missing", part = "starter", message = "has no mass"})
end)

check.test("what_a_mass_includes_is_kept", function()
  check.equal(read(HEADS .. ";includes\na;1;0;0;0;oil, filter\n")[1].includes, {"oil", "filter"})
end)

check.test("the_whole_of_a_teardown_is_not_booked", function()
  refuses(HEADS .. ";kind\na;1;0;0;0;\nengine;1;0;0;0;whole\n", {code = "content", line = 3, field = "kind",
    message = "is the whole of a teardown, which a parts list does not book"})
  check.equal(read(HEADS .. ";kind\nbag;1;0;0;0;extra\n")[1].kind, "part")
end)

-- ---- the decimal mark -------------------------------------------------------------------------------------------------

check.test("the_decimal_mark_is_decided_once_for_the_table", function()
  check.equal(read(rows("a;1,234;0;0;0", "b;2;0,5;0;0"))[1].mass, 1.234)
  check.equal(read(rows("a;1,234;0;0;0", "b;2;0.5;0;0"))[1].mass, 1234)
  check.equal(read(HEADS .. ";note\na;1;0;0;0;2,5 or 2.5\n")[1].mass, 1, "notes decide nothing")
  refuses(rows("a;96,2;0;0;0", "b;2;0.5;0;0"), {code = "clash", hint = "write one of the two",
    message = 'decimal point and decimal comma in one table: row 3, column C: "0.5"; row 2, column B: "96,2"'})
  refuses(rows("a;1,234;0;0;0"), {code = "content", hint = 'from_csv "parts.csv" { decimal = "," }',
    message = 'column B: "1,234" could have thousands or decimals'})
  check.equal(read(rows("a;1,234;0;0;0"), {decimal = ","})[1].mass, 1.234)
  check.equal(read(rows("a;1,234;0;0;0"), {decimal = "."})[1].mass, 1234)
  refuses(rows("a;1,5;0;0;0"), {code = "type", message = '"1,5" is not a number', hint = "the decimal mark of this table is a point"},
    {decimal = "."})
  refuses(rows("a;1;0;0;0"), {code = "type", message = 'decimal must be "," or ".", is ";"'}, {decimal = ";"})
end)

-- ---- sums -------------------------------------------------------------------------------------------------------------

check.test("sums_are_checked_and_never_booked", function()
  for _, word in ipairs {"Total", "SUMME:", "Somme", "Totale", "Suma", "Totaal", "Summa", "Grand total", "Gesamtgewicht"} do
    local list = read(rows("a;96.2;1;2;3", "b;4.1;1;2;3", word .. ";100.3;;;"))
    check.equal(#list, 2, word)
    check.contains(list.preview, ("Row 4, %q, says 100.3 kg and agrees with the rows above: not booked."):format(word))
  end
  refuses(rows("a;96.2;1;2;3", "b;4.1;1;2;3", "Total;101.3;;;"), {code = "content", line = 4, part = "Total", field = "mass",
    message = 'column B "mass (kg)": "Total" says 101.3 kg, the rows above come to 100.300 kg', hint = "rounding explains 0.150 kg"})
  check.contains(read(rows("a;96.2;1;2;3", "Total;;;;")).preview, 'Row 3, "Total", says no mass')
end)

-- Each of the numbers may have been rounded by half of its last printed digit: 3 rows at 0.05 and a total at 0.5 allow 0.65.

check.test("sums_may_differ_by_what_rounding_explains_and_no_more", function()
  local function total(text) return rows("a;1.3;0;0;0", "b;1.3;0;0;0", "c;1.3;0;0;0", "Total;" .. text .. ";;;") end
  for _, text in ipairs {"4", "3.9", "4.1", "3.75"} do check.equal(#read(total(text)), 3, text) end
  for _, text in ipairs {"5", "3", "4.2", "3.6", "3.70 E0"} do
    check.raises(function() read(total(text)) end, text:find "E" and "is not a number" or "come to 3.900 kg")
  end
end)

check.test("sums_count_the_pieces_and_subtotals_begin_anew", function()
  local function table_of(...) return "part;qty;mass;x;y;z\n" .. table.concat({...}, "\n") end
  check.equal(#read(table_of("a;4;1.5;0;0;0", "Subtotal;;6.0;;;", "b;;2.5;0;0;0", "Zwischensumme;;2.5", "Total;;8.5")), 2)
  refuses(table_of("a;4;1.5;0;0;0", "b;;2.5;0;0;0", "Total;;4.0"), {message = "come to 8.500 kg", hint = "the sum without the quantities"})
  refuses(table_of("a;4;1.5;0;0;0", "Subtotal;;6.0;;;", "b;;2.5;0;0;0", "Subtotal;;8.5"), {line = 5, message = "come to 2.500 kg"})
  check.equal(#read "part;qty;total mass;x;y;z\na;4;6;0;0;0\nb;1;2;0;0;0\n;;;;;\nTotal;5;8\n", 2)
  check.equal(#read "no;part;mass (lb);x;y;z\n1;a;2.2;0;0;0\n2;b;4.4;0;0;0\n;Sum;6.6\n", 2)
  refuses("part;qty;mass;x;y;z\na;1;1;0;0;0\nTotal;;#REF!\n", {code = "content", line = 3, field = "mass", message = "#REF!"})
end)

check.test("blank_rows_are_skipped_and_rows_beside_the_table_are_said", function()
  local list = read(HEADS .. ";colour\n;;;;;\na;1;0;0;0;red\n\n   ;;\t;;;\n;;;;;checked in spring\nb;2;0;0;0;\n")
  check.equal({list[1].row, list[2].row, #list}, {3, 7, 2})
  check.equal(list.notes[2], "in parts.csv, row 6 has nothing in the columns that are read, left out")
end)

-- ---- encodings --------------------------------------------------------------------------------------------------------

check.test("windows_1252_is_read_with_a_notice", function()
  local list = read "Pi\xE8ce;masse (kg);x (mm);y (mm);z (mm)\nsi\xE8ge;1;0;0;0\n"
  check.equal(list[1].name, "si\u{E8}ge")
  check.equal(list.notes, {"in parts.csv, letters are read as Windows-1252, for they are not UTF-8; look whether accents came out right"})
  check.contains(list.preview, "Windows-1252")
end)

check.test("tables_that_cannot_be_read_name_their_place", function()
  refuses(rows 'a;"1;0;0;0', {code = "content", part = "row 2, column B", message = "never closed"})
  refuses("part;mass\na;\0\n", {code = "content", part = "line 2", message = "zero byte"})
  check.equal(tostring(refuses(rows '"1/4" bolt;1;0;0;0', {code = "content"})),
    "parts.csv: row 2, column A: goes on behind its closing quotation mark; inside a cell they are doubled")
end)

check.test("files_of_spreadsheets_themselves_are_reported_as_such", function()
  refuses("PK\3\4\20\0\6\0", {code = "read", message = "not a table as text", hint = "CSV"})
  refuses("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", {code = "read", message = "not a table as text"})
end)

-- ---- exports of a real spreadsheet --------------------------------------------------------------------------------------

-- What tests/reference/make_exports.sh put into LibreOffice Calc, which wrote the files in three locales.
local sheet = {
  {'Kühler, "links"', "Kühlung/vorn", 1, 4.35, -350, -212.5, 300, "mit Schläuchen;\nohne Wasser"},
  {"moteur à plat", nil, 1, 1096.25, 1810, 0, 345, "=no formula"},
  {"seat", "cabin", 2, 12.125, 1010.5, 0, 1250.25, nil},
  {'bolt 1/4"', nil, 16, 0.012, 2390, -60, 285, "2,5 lb each bag"},
}

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

check.test("exports_of_a_spreadsheet_in_three_locales_read_alike", function()
  for _, locale in ipairs {"en_US", "de_DE", "fr_FR"} do
    for _, kind in ipairs {".csv", "_utf16.txt", "_1252.csv"} do
      local path = "tests/reference/exports/" .. locale .. kind
      -- "1/4" cannot be a name here, where a stroke stands between groups
      local list = read((contents(path):gsub("1/4\"\"", "quarter"):gsub("1\0/\0004\0\"\0\"\0", "q\0u\0a\0r\0t\0e\0r\0")))
      check.equal(#list, #sheet, path)
      for i, want in ipairs(sheet) do
        local got = list[i]
        check.equal({(got.name:gsub("quarter", '1/4"')), got.group, got.count or 1, got.mass, got.at[1], got.at[2], got.at[3], got.note},
          want, path)
      end
      check.contains(list.preview, "says 1125.042 kg and agrees")
      check.equal(list.encoding, kind == ".csv" and "UTF-8" or kind == "_1252.csv" and "Windows-1252" or "UTF-16, little end first", path)
      check.equal(list.decimal, locale == "en_US" and "." or ",", path)
    end
  end
end)

check.test("exports_with_formulas_without_a_result_are_refused", function()
  for _, locale in ipairs {"en_US", "de_DE", "fr_FR"} do
    for kind, text in pairs {_divided = "#DIV/0", _value = "#"} do
      local bytes = contents("tests/reference/exports/" .. locale .. kind .. ".csv")
      local err = refuses((bytes:gsub("1/4\"\"", "quarter")), {code = "content", part = "seat", field = "y"})
      check.contains(err.message, 'column F "y')
      check.contains(err.message, '"' .. text)
      check.contains(err.message, "is what a spreadsheet writes for a formula without a result")
    end
  end
end)

-- Damaged exports: whatever is wrong is reported as an error object with the file, never as a fault of the library.
check.test("exports_with_any_damage_are_read_or_refused_in_order", function()
  local state = 20240305
  local function dice(n) -- Numerical Recipes' generator: 1664525, 1013904223, modulo 2^32 (remembered)
    state = (state * 1664525 + 1013904223) % 2 ^ 32
    return math.tointeger(state // 65536) % n + 1
  end
  local pieces = {";", ",", '"', "\n", "\r", "\t", "|", "'", "-", "#REF!", "Total", "x", "1,234", "(kg)", "[in]", "%", "/", "sd",
    "\xFC", "\0", "?"}
  local good, bad = 0, 0
  for i = 1, 3000 do
    local text = contents("tests/reference/exports/" .. ({"en_US", "de_DE", "fr_FR"})[i % 3 + 1] .. ".csv"):gsub("1/4\"\"", "quarter")
    for _ = 1, dice(3) do
      local at, cut = dice(#text), dice(6) - 1
      text = text:sub(1, at - 1) .. (dice(4) > 1 and pieces[dice(#pieces)] or "") .. text:sub(at + cut)
    end
    local fine, err = pcall(read, text)
    if not fine then check.ok(getmetatable(err) == core.error_metatable and err.file == "parts.csv", tostring(err)) end
    good, bad = good + (fine and 1 or 0), bad + (fine and 0 or 1)
  end
  check.ok(good > 300 and bad > 300, "both happen")
end)

check.test("the_example_of_the_manual_is_read", function()
  local text = contents "vehicles/README.md":match "```\n(part;group;mass.-)```"
  local list = read(text)
  check.equal({#list, list[1].mass, list[2].count, list[2].unsprung}, {2, 96.2, 2, "front"})
  check.contains(list.preview, "says 102.5 kg and agrees")
end)

-- ---- in vehicle files ---------------------------------------------------------------------------------------------------

local folder = os.tmpname()
os.remove(folder)
assert(os.execute(("mkdir -p '%s/tables'"):format(folder)))

local function put(name, text)
  local file <close> = assert(io.open(folder .. "/" .. name, "wb"))
  file:write(text)
end

local START = [[vehicle { title = "Table (invented)", axes = { x = "back", y = "right", z = "up" },
axles = { { name = "front", at = 0, track = 1500, loaded_radius = 290 },
{ name = "rear", at = 2450, track = 1480, loaded_radius = 305 } },
]]

local function load_car(parts, rest)
  put("car.lua", START .. "parts = " .. parts .. ", " .. (rest or "") .. "}")
  return sy.load(folder .. "/car.lua")
end

put("parts.csv", [[part;group;mass (kg);sd;quantity;pair;x (mm);y (mm);z (mm);unsprung;basis
engine;powertrain;96,2;0,1;;;1780;0;342;;weighed
starter;powertrain/electrics;4,2;;;;1990;150;250;;
corner;;27,4;0,2;;yes;0;725;285;front;
bolt;powertrain;0,0125;;16;;1700;20;300;;supplier
tub;;81;3;;;1000;13;360;;
total;;;;;;;;;;
]])

local BY_HAND = [[{
  group "powertrain" {
    part "engine" { mass = sd(96.2, 0.1), at = {1780, 0, 342}, basis = "weighed" },
    group "electrics" { part "starter" { mass = 4.2, at = {1990, 150, 250} } },
    part "bolt" { mass = 0.0125, count = 16, at = {1700, 20, 300}, basis = "supplier" } },
  part "corner" { mass = sd(27.4, 0.2), pair = true, at = {0, 725, 285}, unsprung = "front" },
  part "tub" { mass = sd(81, 3), at = {1000, 13, 360} } }]]

local function without_notes(result)
  local text = tostring(result):gsub("\n  (%S)", " %1") -- notes with long names go on in a second line
  return (text:gsub("\nIn [^\n]*parts%.csv, [^\n]*", ""))
end

check.test("from_csv_books_what_the_same_file_by_hand_books", function()
  local hand = load_car(BY_HAND)
  local car = load_car 'from_csv "parts.csv"'
  local function page(result) return (without_notes(result):gsub("[^\n]*$", "")) end -- the last line names the files
  check.equal(page(car:balance()), page(hand:balance()))
  check.equal(page(car:book()), page(hand:book()))
  check.equal(car:balance().front, hand:balance().front, "to the last bit")
  check.equal(car:balance().sd.front, hand:balance().sd.front)
  check.equal(car:move("powertrain", {back = 50}):balance().front, hand:move("powertrain", {back = 50}):balance().front)
end)

check.test("from_csv_stands_among_parts_and_in_groups", function()
  put("tables/more.csv", "part,mass,x,y,z\nbattery,12.5,600,-250,250\n")
  local car = load_car [[{ part "ballast" { mass = 5, at = {0, 0, 100} }, from_csv "parts.csv",
    group "far" { at = {100, 0, 0}, from_csv "tables/more.csv" } }]]
  local names = {}
  for i, row in ipairs(car:book().rows) do names[i] = row.path end
  check.equal(names, {"ballast", "powertrain", "powertrain/engine", "powertrain/electrics", "powertrain/electrics/starter",
    "powertrain/bolt", "corner", "tub", "far", "far/battery"})
  check.near(car:book("battery").rows[1].cg.x, 700, 1e-9, "through metres and back: a few roundings of 700")
  check.equal(load_car('{ part "x" { mass = 100, at = {1, 2, 3} } }', 'spares = from_csv "tables/more.csv"'):balance().mass, 100)
end)

check.test("from_csv_says_what_was_assumed_with_every_result", function()
  local notes = table.concat(load_car('from_csv "tables/more.csv"'):balance().notes, "\n")
  check.contains(notes, "in " .. folder .. "/tables/more.csv, heads without a unit are taken as kg and mm")
end)

check.test("from_csv_takes_the_decimal_mark_and_no_other_field", function()
  put("either.csv", rows "a;1,234;0;0;0")
  check.equal(load_car('from_csv "either.csv" { decimal = "," }'):balance().mass, 1.234)
  check.equal(load_car('from_csv "either.csv" { decimal = "." }'):balance().mass, 1234)
  check.raises(function() load_car 'from_csv "either.csv"' end, {code = "content", file = folder .. "/either.csv"})
  check.raises(function() load_car 'from_csv "either.csv" { decimals = "," }' end, {code = "unknown", line = 4, part = "either.csv",
    field = "decimals", hint = "decimal"})
  check.raises(function() load_car 'from_csv "either.csv" { decimal = 5 }' end, {code = "unknown", line = 4, field = "decimal",
    message = 'must be "," or ".", is the number 5'})
end)

check.test("from_csv_reads_below_the_vehicles_own_folder_only", function()
  put("../steelyard_outside.csv", rows "a;1.5;0;0;0")
  assert(os.execute(("ln -s ../steelyard_outside.csv '%s/link.csv' && ln -s .. '%s/up'"):format(folder, folder)))
  for _, name in ipairs {"../steelyard_outside.csv", "tables/../../steelyard_outside.csv", "/etc/passwd", "./parts.csv", "tables//more.csv",
    "", "tables/", "/"} do
    check.raises(function() load_car(('from_csv "%s"'):format(name)) end, {code = "read",
      message = "is not below the vehicle's own folder"})
  end
  check.raises(function() load_car 'from_csv "link.csv"' end, {code = "read", file = folder .. "/car.lua", line = 4, part = "link.csv",
    message = "behind a link"})
  check.raises(function() load_car 'from_csv "up/steelyard_outside.csv"' end, {code = "read", message = "behind a link"})
  check.raises(function() load_car 'from_csv "tables"' end, {code = "read", message = "is a folder, not a file"})
  check.raises(function() load_car 'from_csv "none.csv"' end, {code = "read", file = folder .. "/car.lua", line = 4, part = "none.csv",
    message = "there is no such file"})
  check.raises(function() load_car 'from_csv "parts.csv/x"' end, {code = "read", message = "there is no such file"})
  check.raises(function() load_car(('from_csv "%s"'):format(("n"):rep(300))) end, {code = "read", message = "cannot be read"})
  check.raises(function() load_car 'from_csv "a\\0b"' end, "zero byte")
  put("empty.csv", "")
  check.raises(function() load_car 'from_csv "empty.csv"' end, {code = "read", message = "is empty"})
  put("long.csv", ("x"):rep((4 << 20) + 1))
  check.raises(function() load_car 'from_csv "long.csv"' end, {code = "limit", message = "4194305 bytes",
    hint = "4 MiB are possible"})
  os.remove(folder .. "/../steelyard_outside.csv")
end)

check.test("from_csv_reported_by_file_row_and_column_when_the_vehicle_finds_the_mistake", function()
  put("bad.csv", HEADS .. ";unsprung;tags\nhub;3.5;0;0;285;frnt;\nseat;4;1;2;3;;hub\n")
  local err = check.raises(function() load_car 'from_csv "bad.csv"' end, {code = "unknown", file = folder .. "/bad.csv", line = 2,
    part = "hub", field = "unsprung", hint = 'did you mean "front"?'})
  check.contains(err.message, 'column F "unsprung": "frnt" is neither an axle nor a wheel of this file')
  put("bad.csv", HEADS .. ";tags\nhub;3.5;0;0;285;\nseat;4;1;2;3;hub\n")
  check.raises(function() load_car 'from_csv "bad.csv"' end, {code = "clash", line = 3, field = "tags",
    message = 'column F "tags": the tag "hub" is also the name of a part'})
  put("bad.csv", HEADS .. ";unsprung\nhub;3.5;0;0;285;front: 0.7, rear: 0.7\n")
  check.raises(function() load_car 'from_csv "bad.csv"' end, {code = "range", line = 2, message = "add up to 1.4"})
  put("bad.csv", rows "tub;3.5;0;0;285")
  check.raises(function() load_car '{ part "tub" { mass = 1, at = {0, 0, 0} }, from_csv "bad.csv" }' end, {code = "clash",
    file = folder .. "/bad.csv", line = 2, part = "tub", message = 'column A "part": the name is taken already, on line 4'})
  put("bad.csv", "group;" .. HEADS .. "\npowertrain;x;3.5;0;0;285\n")
  check.raises(function() load_car '{ from_csv "parts.csv", from_csv "bad.csv" }' end, {code = "clash", file = folder .. "/bad.csv",
    part = "powertrain", message = 'column A "group": the name is taken already'})
end)

check.test("from_csv_problems_come_in_the_order_of_the_file", function()
  put("bad.csv", rows("a;1;0;0;0", "b;2;0;0;0", "c;3;0;0;0", "d;4;0;0;0", "e;x;0;0;0"))
  -- the mistake of the table is on its line 6, named on line 5 of the file, before the one on line 6
  local parts = '{\nfrom_csv "bad.csv",\npart "p" { mass = -1, at = {0, 0, 0} } }'
  check.raises(function() load_car(parts) end, {file = folder .. "/bad.csv", line = 6, part = "e"})
  parts = '{\npart "p" { mass = -1, at = {0, 0, 0} },\nfrom_csv "bad.csv" }'
  check.raises(function() load_car(parts) end, {file = folder .. "/car.lua", line = 5, part = "p"})
end)

check.test("from_csv_in_the_wrong_place_is_refused", function()
  check.raises(function() load_car('{ part "a" { mass = 1, at = {0, 0, 0} } }', 'states = { from_csv "parts.csv" }') end,
    {code = "type", message = "from_csv has no place here"})
  check.raises(function() load_car 'from_csv { "parts.csv" }' end, {code = "type", message = "from_csv needs the name of a table"})
  check.raises(function()
    put("car.lua", 'local t = from_csv "parts.csv"\n' .. START .. 'parts = { t, t } }')
    sy.load(folder .. "/car.lua")
  end, {code = "content", line = 1, message = "is used in two places"})
  check.raises(function()
    put("car.lua", 'from_csv "parts.csv" {}\n' .. START .. 'parts = { part "a" { mass = 1, at = {0, 0, 0} } } }')
    sy.load(folder .. "/car.lua")
  end, {line = 1, message = "is written but stands nowhere"})
  check.raises(function() load_car '{ from_cvs "parts.csv" }' end, {code = "unknown", hint = 'did you mean "from_csv"?'})
end)

check.test("from_csv_works_in_scripts_from_any_path", function()
  local car = sy.car {axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2450, track = 1480,
    loaded_radius = 305}}, parts = sy.from_csv(folder .. "/parts.csv")}
  check.equal(car:balance().front, load_car(BY_HAND):balance().front)
  check.raises(function() sy.car {axles = {}, parts = sy.from_csv "no/such.csv"} end, {file = "no/such.csv", message = "no such file"})
  check.raises(function() car:add(sy.from_csv(folder .. "/parts.csv")) end, {code = "type", message = "has no place among parts"})
end)

-- ---- out ----------------------------------------------------------------------------------------------------------------

-- mass, places and loads, uncertainties and shares of the carriers: all but inertia, which a table does not hold
local function same_answers(got, want, what)
  local a, b = got:balance(), want:balance()
  -- places are written to 1e-6 mm and masses to 1e-9 kg: 300 kg moved by 1e-6 mm of 2000 are 2e-7 kg on an axle
  for _, key in ipairs {"mass", "mass_with_growth", "front", "rear", "left", "right"} do
    check.near(a[key], b[key], 1e-6, what .. " " .. key)
    if b.sd[key] then check.near(a.sd[key], b.sd[key], 1e-6, what .. " sd " .. key) end
  end
  check.near(a.unsprung.mass, b.unsprung.mass, 1e-6, what .. " unsprung")
  for _, letter in ipairs {"x", "y", "z"} do
    check.near(a.cg[letter], b.cg[letter], 1e-5, what .. " cg " .. letter)
    -- A table holds a tank as one part, whose mass errs at its CG. A tank's density errs where the liquid is and its dry mass at its
    -- middle: of the twayblade 0.24 and 0.1 kg some tens of mm off, 1e-2 mm of the car's CG, which beside 1.46 mm, in squares, are 3e-5.
    check.near(a.sd.cg[letter], b.sd.cg[letter], 5e-5, what .. " sd cg " .. letter)
  end
  check.equal(a.unstated.parts, b.unstated.parts, what)
end

local function file_without_parts(path)
  local text = contents(path)
  local instruments = text:match "\n( *instruments = %b{})"
  return text:match "^.-\n  axes = [^\n]*\n" .. text:match "\n(  axles = %b{},)" .. (instruments and instruments .. "," or "")
end

check.test("a_book_written_and_read_again_gives_the_same_answers", function()
  for _, name in ipairs {"first_guess", "twayblade", "burnet"} do
    local path = "vehicles/" .. name .. ".lua"
    local car = sy.load(path)
    for _, semicolon in ipairs {false, true} do
      local text, left_out = book_csv.write(car:book(), {semicolon = semicolon})
      put("again.csv", text)
      put("again.lua", file_without_parts(path) .. '\nparts = from_csv "again.csv" }')
      local again = sy.load(folder .. "/again.lua")
      same_answers(again, car, name)
      local removed = 0
      for _, row in ipairs(car:book().rows) do removed = removed + (row.aboard and 0 or 1) end
      check.equal(#left_out, removed, "spares")
      check.equal(book_csv.write(again:book(), {semicolon = semicolon}), text, name)
    end
  end
end)

-- Whole demo files with their parts replaced by the table that a book of them writes: turned groups, tanks with a level, pairs, weighing
-- records, persons by their joints; one is measured forward from a bulkhead and left-handed.
check.test("a_demo_car_whose_parts_went_through_a_table_has_nothing_changed", function()
  os.execute(("cp -r vehicles/shapes '%s/'"):format(folder))
  for _, name in ipairs {"first_guess", "twayblade", "burnet", "teasel", "fescue", "bistort"} do
    local path = "vehicles/" .. name .. ".lua"
    local bytes, car = contents(path), sy.load(path)
    local from, to = bytes:find "\n  parts = %b{}"
    if not from then from, to = bytes:find '\n  parts = from_csv "[^"]*"' end
    put("again.csv", (book_csv.write(car:book())))
    put("again.lua", bytes:sub(1, from) .. '  parts = from_csv "again.csv"' .. bytes:sub(to + 1))
    local again = sy.load(folder .. "/again.lua")
    local result = sy.changes(car, again)
    check.equal({name, #result.rows, tostring(result):find("Nothing has changed.", 1, true) ~= nil}, {name, 0, true})
    check.near(again:balance().yaw_inertia, car:balance().yaw_inertia, 1e-7, name)
    check.near(again:balance().sd.mass, car:balance().sd.mass, 1e-12, name)
  end
end)

check.test("shapes_turns_inertias_and_tanks_are_read_as_a_vehicle_file_writes_them", function()
  local list = read("kind;" .. HEADS .. ";shape;turned;inertia;density;fill;dry mass;capacity\n"
    .. ";a;3;0;0;0;\"box {540; 620; 470}\";\"nose_up 4; left_up -2\";;;;;\n;b;3;0;0;0;;;\"0.1; 0.2; 0.3\";;;;\n"
    .. "tank;fuel;;1;2;3;\"cylinder {300; 500; axis = \"\"x\"\"}\";;;0.745 +- 0.008;30;4;\n")
  check.equal({rawget(list[1].shape, "shape"), rawget(list[1].shape, "fields")}, {"box", {540, 620, 470}})
  check.equal({list[1].turned, list[2].inertia}, {{nose_up = 4, left_up = -2}, {0.1, 0.2, 0.3}})
  local tank = list[3]
  check.equal({tank.kind, tank.mass, tank.density.value, tank.density.sd, tank.fill, tank.dry_mass}, {"tank", nil, 0.745, 0.008, 30, 4})
  check.equal(rawget(tank.shape, "fields").axis, "x")
  local heading = HEADS .. ";shape\n"
  refuses(heading .. "a;1;0;0;0;\"box {1; 2; 3}\"\nb;1;0;0;0;\"bax {1; 2; 3}\"\n", {code = "unknown", line = 3, field = "shape",
    hint = 'did you mean "box"?'})
  refuses(heading .. "a;1;0;0;0;\"box {1; two; 3}\"\n", {code = "type", field = "shape", message = '"two" is not a number'})
  refuses(HEADS .. ";shape;inertia\na;1;0;0;0;\"box {1; 2; 3}\";4; 5\n", {code = "content", message = "stands beyond"})
  refuses(HEADS .. ";shape;inertia\na;1;0;0;0;\"box {1; 2; 3}\";\"4; 5\"\n", {code = "content", field = "inertia",
    message = "is not three or six moments"})
  refuses(HEADS .. ";shape;turned\na;1;0;0;0;\"box {1; 2; 3}\";sideways\n", {code = "type", field = "turned", hint = "nose_up 4"})
  check.contains(read(heading .. "a;1;0;0;0;round bar\n").preview, "shape      not understood, not read")
  check.contains(read(HEADS .. ";density\na;1;0;0;0;7.85\n").preview, "density    not understood, not read")
end)

local function small_car(parts, extra)
  local fields = {axes = {x = "back", y = "right", z = "up"}, axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290},
    {name = "rear", at = 2450, track = 1480, loaded_radius = 305}}, parts = parts}
  for key, value in pairs(extra or {}) do fields[key] = value end
  return sy.car(fields)
end

local nasty = {"=1+1", "+a", "-b", "@c", "'=d", "''@e", "'plain", 'quote " ; , |', "comma, semicolon;"}

check.test("texts_that_look_like_formulas_are_defused_and_come_back", function()
  local parts = {}
  for i, name in ipairs(nasty) do parts[i] = sy.part(name) {mass = i, at = {i, 0, 0}, note = name .. "\nsecond", tags = {"t" .. i}} end
  parts[#parts + 1] = sy.part "tabs" {mass = 1, at = {0, 0, 0}, note = "\t=tab"}
  parts[#parts + 1] = sy.part "returns" {mass = 1, at = {0, 0, 0}, note = "\r=return"}
  for _, semicolon in ipairs {false, true} do
    local text = book_csv.write(small_car(parts):book(), {semicolon = semicolon})
    -- Source: OWASP Foundation, CSV Injection: no cell may begin with = + - @, tab or carriage return
    local csv <close> = core.csv(text)
    for row = 2, csv:about().rows do
      for _, column in ipairs {1, 2, 15, 17, 18, 19} do
        check.ok(not csv:cell(row, column):find "^[=+%-@\t\r]", csv:cell(row, column))
      end
    end
    local list = read(text)
    for i, name in ipairs(nasty) do
      check.equal({list[i].name, list[i].note, list[i].tags[1]}, {name, name .. "\nsecond", "t" .. i})
    end
    check.equal({list[#nasty + 1].note, list[#nasty + 2].note}, {"\t=tab", "\r=return"})
  end
end)

check.test("numbers_are_written_so_that_their_mark_shows", function()
  local car = small_car {sy.part "a" {mass = sy.sd(27.412, 0.125), at = {1, -2.5, 1234.567}}, sy.part "b" {mass = sy.unknown,
    at = {1, 2, 3}}}
  local text = book_csv.write(car:book())
  check.contains(text, "a,,part,27.4120,0.125,,,1,-2.5,1234.567,")
  check.contains(text, "b,,part,?,,,,1,2,3,")
  text = book_csv.write(car:book(), {semicolon = true})
  check.contains(text, "a;;part;27,4120;0,125;;;1;-2,5;1234,567;")
  local alone = book_csv.write(small_car({sy.part "a" {mass = 1.234, at = {1, 2, 3}}}):book())
  check.equal(read(alone)[1].mass, 1.234)
end)

check.test("pairs_pulled_apart_are_written_piece_by_piece", function()
  local car = small_car {sy.part "hub" {mass = 3.5, pair = true, at = {0, 725, 285}, unsprung = "front"},
    sy.part "tub" {mass = 80, at = {900, 0, 300}}}
  local list = read(book_csv.write(car:book()))
  check.equal({list[1].name, list[1].pair, list[1].at[2], list[1].unsprung}, {"hub", true, 725, "front"})
  list = read(book_csv.write(car:move("hub/left", {back = 10}):book()))
  check.equal({list[1].name, list[1].pair, list[1].at[1], list[1].at[2], list[1].unsprung}, {"hub left", nil, 10, -725, "lf"})
  check.equal({list[2].name, list[2].pair, list[2].at[1], list[2].at[2], list[2].unsprung}, {"hub right", nil, 0, 725, "rf"})
  list = read(book_csv.write(car:without("hub/left"):book()))
  check.equal({#list, list[1].name, list[1].unsprung}, {2, "hub right", "rf"})
end)

check.test("a_book_of_one_group_and_a_mark_for_letters_that_need_it", function()
  local car = small_car {sy.group "g" {sy.part "Kühler" {mass = 4.5, at = {1, 2, 3}}}, sy.part "other" {mass = 1, at = {0, 0, 0}}}
  local text = book_csv.write(car:book "g")
  check.equal(text:sub(1, 3), "\u{FEFF}")
  check.equal(#read(text), 1)
  check.equal(book_csv.write(car:book "other"):sub(1, 4), "part")
  check.raises(function() book_csv.write {} end, "the result of car:book is needed")
  local tagged = small_car {sy.part "a" {mass = 1, at = {0, 0, 0}, tags = {"x, y"}}}
  check.raises(function() book_csv.write(tagged:book()) end, {code = "content", part = "a", field = "tags",
    message = "comma or semicolon"})
end)

-- What a book writes and a car reads again is the same car: masses, uncertainties stated or assumed, places, tags of parts and groups, what
-- masses include, wholes. On a car measured forward from a wall, left-handed, with groups that lie elsewhere.
check.test("a_book_read_again_has_nothing_changed", function()
  local function fields(parts)
    return {title = "Wall car", axes = {x = "forward", y = "right", z = "up"}, ground = -231.5, centre = 640, assume = {estimate = "15 %",
      calculated = "7 %", weighed = "0.3 %", within_mm = 15}, axles = {{name = "front", at = 1301.7, track = 1480, loaded_radius = 287},
      {name = "rear", at = -1119.3, track = 1466, loaded_radius = 301}}, parts = parts}
  end
  local car = sy.car(fields{
    sy.part "tub" {mass = sy.within(81.3, 7), at = {310.1, 640, 95.7}, tags = {"shell", "grp"}, growth = "8 %"},
    sy.group "donor" {at = {-740.3, 612.9, 88.1}, tags = {"drive line"}, note = "from a van", whole = sy.sd(151.3, 0.7),
      sy.group "engine" {at = {12.7, -3.3, 40}, tags = {"drive line", "hot"},
        sy.part "block" {mass = 91.7, at = {0.3, 1.7, -12.9}, includes = {"studs", "main caps"}},
        sy.part "head" {mass = sy.within(17.9, 0.2), at = {3.1, 0, 201.3}, basis = "weighed", within_mm = 7}},
      sy.part "gearbox" {mass = 41.3, at = {-310.9, 0.2, -7.7}, basis = "calculated", tags = {"hot"}}},
    sy.group "corners" {
      sy.part "upright" {pair = true, mass = 13.7, at = {1301.7, 1330.1, 55.3}, unsprung = "front", tags = {"turned"}},
      sy.part "hub" {pair = true, mass = sy.within(14.9, 1.1), at = {-1119.3, 1322.7, 69.1}, unsprung = {rear = 0.7}}},
    sy.part "bolt" {count = 24, mass = 0.037, at = {100.1, 640, 0.3}},
    sy.person "driver" {mass = 77.3, at = {211.9, 905.1, 137.7}}})
  for _, semicolon in ipairs{false, true} do
    local text = book_csv.write(car:book(), {semicolon = semicolon})
    local path = folder .. "/again.csv"
    local file <close> = assert(io.open(path, "wb"))
    file:write(text)
    file:flush()
    local again = sy.car(fields(sy.from_csv(path)))
    local result = sy.changes(car, again)
    check.equal({#result.rows, tostring(result):find("Nothing has changed.", 1, true) ~= nil}, {0, true})
    check.equal(again:balance().sd.mass, car:balance().sd.mass)
    for _, tag in ipairs{"shell", "drive line", "hot", "turned"} do
      check.near(again:move(tag, {back = 10, up = 3}):balance().cg.x, car:move(tag, {back = 10, up = 3}):balance().cg.x, 1e-9, tag)
    end
    local whole = function(c)
      for _, row in ipairs(c:book().rows) do
        if row.path == "donor" then return {row.closure.whole, row.closure.closes, row.note} end
      end
    end
    check.equal(whole(again), whole(car))
    check.equal(book_csv.write(again:book(), {semicolon = semicolon}), text)
  end
end)

check.test("rows_about_groups_say_where_they_lie_and_places_stay_those_of_the_file", function()
  local list = read("group;kind;" .. HEADS .. ";tags\n;group;engine;;1700;0;300;hot\nengine;;block;30;1720;0;290;\n")
  check.equal({#list, list.groups.engine.at[1], list.groups.engine.tags[1]}, {1, 1700, "hot"})
  local items = parts_csv.items(list, "parts.csv")
  check.equal({items[1].fields.at[1], items[1].fields[1].fields.at[1], items[1].fields[1].fields.at[3]}, {1700, 20, -10})
  refuses("group;kind;" .. HEADS .. "\n;group;engine;;1700;0;300\n;;block;30;1720;0;290\n", {code = "content", line = 2,
    message = "is a group in which no part of this table stands"})
  refuses("group;kind;" .. HEADS .. "\n;group;e;;1;0;3\n;group;e;;1;0;3\ne;;b;30;1;0;2\n", {code = "clash", line = 3,
    message = 'the group "e" stands in row 2 already'})
  refuses("group;kind;" .. HEADS .. ";sd x\n;group;e;;1;0;3;2\ne;;b;30;1;0;2;\n", {code = "unavailable", line = 2,
    message = "the place of a group takes no uncertainty"})
end)

check.test("the_command_writes_tables", function()
  local got = check.command(check.steelyard .. " book vehicles/twayblade.lua --csv --state kerb")
  check.equal(got.code, 0)
  check.contains(got.err, "not aboard, left out: ")
  local list = read(got.out)
  check.ok(#list > 100)
  got = check.command(check.steelyard .. " book vehicles/first_guess.lua powertrain --semicolon --quiet")
  check.equal(got.err, "")
  check.equal(#read(got.out), 2)
  check.contains(got.out, "engine;powertrain;part;168;0,5;")
end)

os.execute(("rm -r '%s'"):format(folder))
-- The piece of a pair that stands in the row is the one the file states, wherever its centre plane is and whichever letter runs across.
check.test("written_of_a_pair_is_the_piece_the_file_states", function()
  for _, c in ipairs{{axes = {x = "forward", y = "right", z = "up"}, at = {1, 1230, 3}}, {axes = {x = "forward", y = "left", z = "up"},
                     at = {1, 50, 3}}, {axes = {x = "left", y = "up", z = "back"}, at = {300, 5, 1}}} do
    local along = c.axes.z == "back" and {0, 2000} or {2000, 0}
    local car = sy.car{axes = c.axes, centre = 640, axles = {{name = "front", at = along[1], track = 1200, loaded_radius = 280},
      {name = "rear", at = along[2], track = 1200, loaded_radius = 280}},
      parts = {sy.part "tub" {mass = 300, at = {c.axes.x == "left" and 640 or 900, c.axes.x == "left" and 300 or 640, 900}},
        sy.part "sill" {pair = true, mass = 6, at = c.at}}}
    local row = book_csv.write(car:book()):match "sill,[^\n]*"
    check.contains(row, ("yes,%d,%d,%d,"):format(c.at[1], c.at[2], c.at[3]))
  end
end)

check.done()
