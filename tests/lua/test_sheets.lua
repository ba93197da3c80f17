-- Sheets of paper: the rules of their pages, blanks for gloves, no expected value beside one, the digest, the file as PDF and SVG, and what
-- is refused. What the pages say is held against the file in tests/reference/oracle_sheets.py.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local rules = dofile "tests/lua/picture_rules.lua"
local sheets = require "steelyard.report.sheets"
local sy = require "steelyard"
local test = check.test

local function bytes_of(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local function new_path(ending)
  local path = os.tmpname()
  os.remove(path)
  return path .. ending
end

-- Four wheels, three, few parts, and a car in another convention than the one that it was drawn in.
local cars = {twayblade = sy.load "vehicles/twayblade.lua", burnet = sy.load "vehicles/burnet.lua",
              first_guess = sy.load "vehicles/first_guess.lua", bistort = sy.load "vehicles/bistort.lua",
              tansy = sy.load "vehicles/tansy.lua", sedge = sy.load "vehicles/sedge.lua",
              restated = rules.restated "vehicles/twayblade.lua"}
local names = {}
for name in pairs(cars) do names[#names + 1] = name end
table.sort(names)

local BLANKS = {"weighing", "corners", "levels", "cg_height", "teardown"}

-- Every sheet of every car on both papers, once each: list of {what, result, number, canvas, width, height, margin}.
local pages, results = {}, {}
local function add(what, result)
  results[#results + 1] = {what = what, result = result}
  for i, c in ipairs(sheets.canvases(result)) do
    pages[#pages + 1] = {what = ("%s, page %d"):format(what, i), result = result, number = i, canvas = c, width = c.width,
                         height = c.height, margin = 14, texts = result.pages[i].texts}
  end
end
for _, name in ipairs(names) do
  for _, kind in ipairs(sheets.names()) do
    for _, paper in ipairs{"a4", "a3"} do
      add(("%s %s %s"):format(name, kind, paper), sheets.of(cars[name], kind, {paper = paper}))
    end
  end
end

test("pages_keep_the_rules_of_pictures", function()
  for _, page in ipairs(pages) do rules.keep(check, page, page.what) end
  check.ok(#pages > 100, #pages)
end)

test("nothing_crosses_the_margins_of_14", function()
  for _, page in ipairs(pages) do
    for _, item in ipairs(page.canvas.items) do
      local x1, y1, x2, y2 = require("steelyard.draw.canvas").bounds_of(item)
      local label = ("%s: %s"):format(page.what, item.words or item.what)
      check.ok(x1 >= 13.6 and x2 <= page.width - 13.6 and y1 >= 13.6 and y2 <= page.height - 13.6, label) -- half the thickest line
    end
  end
end)

-- Folded once, A4 to A5 and A3 to A4.
test("nothing_is_written_on_the_crease", function()
  for _, page in ipairs(pages) do
    for _, item in ipairs(page.canvas.items) do
      if item.what ~= "crease" then
        local _, y1, _, y2 = require("steelyard.draw.canvas").bounds_of(item)
        check.ok(y2 <= page.height / 2 - 1 or y1 >= page.height / 2 + 1, ("%s: %s"):format(page.what, item.words or item.what))
      end
    end
  end
end)

test("blanks_are_17_wide_and_7_apart", function()
  local seen = 0
  for _, page in ipairs(pages) do
    local blanks = {}
    for _, item in ipairs(page.canvas.items) do
      if item.what == "blank" then blanks[#blanks + 1] = {item.loops[1][1][1], item.loops[1][2][1], item.loops[1][1][2]} end
    end
    seen = seen + #blanks
    for i, a in ipairs(blanks) do
      check.ok(a[2] - a[1] >= 17 - 1e-9, page.what)
      for k = i + 1, #blanks do
        local b = blanks[k]
        local beside = a[2] <= b[1] or b[2] <= a[1]
        check.ok(beside or math.abs(a[3] - b[3]) >= 7 - 1e-9, ("%s: %s, %s"):format(page.what, core.shortest(a[3]), core.shortest(b[3])))
      end
    end
  end
  check.ok(seen > 1000, seen)
end)

-- Every number of a car's results as it could be printed.
local function results_of(car)
  local shown = {}
  local function note(value)
    for decimals = 0, 2 do shown[core.fixed(math.abs(value), decimals)] = true end
  end
  local b = car:balance()
  for _, name in ipairs{"mass", "front", "rear", "left", "right", "front_share", "left_share", "cross_share", "height", "cg_behind", "lf",
                        "rf", "lr", "rr", "f", "r", "wheelbase"} do
    local value = rawget(b, name)
    if type(value) == "number" then note(value) end
  end
  for _, row in ipairs(car:book().rows) do
    if row.mass and row.mass > 0 then
      note(row.mass)
      if row.pieces then note(row.mass / row.pieces) end
    end
  end
  return shown
end

test("no_expected_value_stands_on_a_blank_form", function()
  local seen = 0
  for _, name in ipairs(names) do
    local car = cars[name]
    local shown, of_file = results_of(car), {}
    for _, row in ipairs(car:book().rows) do of_file[row.name] = true end
    for _, kind in ipairs(BLANKS) do
      local result = sheets.of(car, kind)
      for _, page in ipairs(result.pages) do
        for _, words in ipairs(page.texts) do
          -- names are the file's, the foot is the file's digest; the limit of a lift by hand is the rule's
          if not (words:find("sha256", 1, true) or words:find("25\u{A0}kg", 1, true) or words:find "^%d+ of %d+$"
                  or of_file[words:gsub("^[\u{A0}]+", ""):gsub(" %(whole%)$", "")]) then
            for number in words:gmatch "%d+%.?%d*" do
              seen = seen + 1
              check.ok(not shown[number] or number == "1" or number == "2" or number == "3", ("%s %s: %q"):format(name, kind, words))
            end
          end
        end
      end
    end
  end
  check.ok(seen > 0) -- numbers of runs and of the step that pads must keep
end)

test("each_page_names_the_file_by_its_whole_digest", function()
  local digest = check.command("sha256sum vehicles/twayblade.lua").out:match "^%x+"
  check.equal(#digest, 64)
  for _, kind in ipairs(sheets.names()) do
    for _, page in ipairs(sheets.of(cars.twayblade, kind).pages) do
      local all = table.concat(page.texts, "\n")
      check.contains(all, ("twayblade.lua, sha256 %s, steelyard %s"):format(digest, core.version))
      check.contains(all, "Arithmetic, not permission")
      check.contains(all, "Twayblade, mid-engined two-seater (invented)")
    end
  end
end)

test("forms_have_a_row_for_each_wheel_and_say_what_is_dangerous", function()
  local function all(car, kind, o)
    local list = {}
    for _, page in ipairs(sheets.of(car, kind, o).pages) do list[#list + 1] = table.concat(page.texts, "\n") end
    return (table.concat(list, "\n"):gsub("\u{A0}", " "))
  end
  for _, wheel in ipairs{"left front", "right front", "left rear", "right rear"} do
    check.contains(all(cars.twayblade, "weighing"), wheel)
    check.contains(all(cars.twayblade, "levels"), wheel)
    check.contains(all(cars.twayblade, "corners"), wheel)
  end
  check.contains(all(cars.burnet, "weighing"), "\nrear\n")
  check.contains(all(cars.twayblade, "corners", {state = "kerb"}), "load state: kerb")
  check.contains(all(cars.twayblade, "corners"), "collar count before")
  check.contains(all(cars.twayblade, "cg_height"), "stands under it before hands")
  check.contains(all(cars.twayblade, "teardown"), "(HSE INDG143)")
  local part = all(cars.twayblade, "teardown", {part = "transaxle"})
  check.contains(part, "transaxle (whole)")
  check.ok(not part:find("seat-back panel", 1, true))
  check.raises(function() sheets.of(cars.twayblade, "teardown", {part = "transaxel"}) end, {code = "unknown", hint = "transaxle"})
end)

test("more_wheels_than_a_table_holds_go_on_below", function()
  local axles = {}
  for i = 1, 4 do axles[i] = {name = "axle " .. i, at = 1300 * (i - 1), track = 1800, loaded_radius = 400} end
  local lorry = sy.car{title = "Eight wheels (invented)", axes = {x = "back", y = "right", z = "up"}, axles = axles,
                       parts = {sy.part "frame" {mass = 900, at = {2000, 0, 600}}}}
  local result = sheets.of(lorry, "corners")
  local blanks = 0
  for _, item in ipairs(sheets.canvases(result)[1].items) do blanks = blanks + (item.what == "blank" and 1 or 0) end
  check.ok(blanks >= 6 * 8)
  for _, key in ipairs{"l1", "r4"} do check.contains(table.concat(result.pages[1].texts, "\n"), "\n" .. key .. "\n") end
  check.raises(function() sheets.of(lorry, "cg_height") end, {code = "geometry", message = "needs a car of two axles"})
end)

-- ---- files -----------------------------------------------------------------------------------------------------------------------------

local odd = sy.car{title = 'a < b & "c" מנוע', axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "<front>", at = 0, track = 1400, loaded_radius = 300}, {name = "&rear", at = 2400, track = 1400, loaded_radius = 300}},
  parts = {sy.part "מנוע קדמי & co" {mass = 400, at = {1200, 0, 300}, shape = sy.box {800, 600, 300}},
           sy.part(("very long "):rep(9)) {mass = 3, at = {0, 0, 300}}, sy.part "%s%n" {mass = 2, at = {100, 0, 300}}}}

test("names_of_every_kind_are_set", function()
  for _, kind in ipairs(sheets.names()) do
    local result = sheets.of(odd, kind)
    for i = 1, #result.pages do
      local path = new_path ".svg"
      result:save(path, {page = i})
      local svg = bytes_of(path)
      os.remove(path)
      check.ok(not svg:find('a < b & "c"', 1, true))
      check.contains(svg, "a &lt; b &amp; &quot;c&quot;")
      rules.keep(check, {canvas = sheets.canvases(result)[i], width = 210, height = 297, margin = 14}, kind)
    end
    check.contains(table.concat(result.pages[1].texts, "\n"), "made by a script, without a file")
  end
end)

if check.can_paper then
  test("a_pdf_has_all_pages_their_fonts_no_date_and_the_same_bytes_again", function()
    for _, name in ipairs{"twayblade", "burnet"} do
      local one, two = new_path ".pdf", new_path ".pdf"
      sheets.of(cars[name], "teardown"):save(one)
      local again = sheets.of(sy.load(("vehicles/%s.lua"):format(name)), "teardown")
      again:save(two)
      local bytes = bytes_of(one)
      check.ok(bytes == bytes_of(two))
      check.equal(select(2, bytes:gsub("/Type /Page ", "")), #again.pages)
      check.equal(select(2, bytes:gsub("/FontFile", "")) >= 2, true)
      check.equal(bytes:find "CreationDate", nil)
      os.remove(one)
      os.remove(two)
    end
  end)

  test("names_of_every_kind_stand_in_a_pdf", function()
    for _, kind in ipairs(sheets.names()) do
      local path = new_path ".pdf"
      sheets.of(odd, kind):save(path)
      check.ok(#bytes_of(path) > 1000)
      os.remove(path)
    end
  end)
else
  test("without_cairo_a_pdf_is_refused_in_one_sentence", function()
    local to = new_path ".pdf"
    local r = check.command(("%s sheets vehicles/first_guess.lua weighing --to %s"):format(check.steelyard, to))
    check.equal({r.code, r.out}, {5, ""})
    check.equal(r.err, "steelyard: path: PDF needs cairo and Pango, with which this steelyard was not built "
      .. "(write .svg, which every browser shows and prints)\n")
    check.equal(io.open(to), nil)
  end)
end

test("what_cannot_be_written_is_refused_and_leaves_what_was_there", function()
  local one = sheets.of(cars.first_guess, "weighing")
  check.raises(function() one:save "/nowhere/at/all/x.svg" end, {code = "io"})
  local path = new_path ".svg"
  one:save(path)
  local before = bytes_of(path)
  check.raises(function() sheets.of(cars.burnet, "weighing"):save(path) end, {code = "clash", file = path})
  check.equal(bytes_of(path) == before, true)
  check.equal(one:save(path, {replace = true}), path)
  os.remove(path)
  check.raises(function() one:save "x.docx" end, {code = "unknown", field = "path", message = "as .pdf, or one page as .svg"})
  check.raises(function() one:save(7) end, {code = "type", field = "path"})
  check.raises(function() one:save("x.pdf", {page = 1}) end, {code = "clash", field = "page"})
  check.raises(function() one:save("x.svg", {page = 9}) end, {code = "range", field = "page", message = "no page 9"})
  local several = sheets.of(cars.first_guess, "cg_height")
  check.raises(function() several:save "x.svg" end, {code = "missing", field = "page", message = "an SVG holds one page, there are 2"})
end)

test("what_is_asked_wrongly_is_refused", function()
  check.raises(function() sheets.of(cars.burnet, "wieghing") end, {code = "unknown", field = "kind", hint = "weighing"})
  check.raises(function() sheets.of(cars.burnet, "corners", {part = "floor"}) end, {code = "clash", field = "part", hint = "teardown"})
  check.raises(function() sheets.of(cars.burnet, "corners", {state = "kreb"}) end, {code = "unknown", hint = "kerb"})
end)

check.done()
