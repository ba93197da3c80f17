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

-- Names of every kind; no points, states, shafts, records or limits.
local odd_car = sy.car{title = 'a < b & "c" מנוע', axes = {x = "back", y = "right", z = "up"},
  axles = {{name = "<front>", at = 0, track = 1400, loaded_radius = 300}, {name = "&rear", at = 2400, track = 1400, loaded_radius = 300}},
  parts = {sy.part "מנוע קדמי & co" {mass = 400, at = {1200, 0, 300}, shape = sy.box {800, 600, 300}},
           sy.part(("very long "):rep(9)) {mass = 3, at = {0, 0, 300}}, sy.part "%s%n" {mass = 2, at = {100, 0, 300}}}}

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
-- What is marked out of each car; all of it would be a hundred tiles.
local marked = {twayblade = "crankcase", burnet = "fuel", first_guess = "engine", bistort = "cylinder block", tansy = "engine",
                sedge = "nose", restated = "crankcase"}
for _, name in ipairs(names) do
  for _, kind in ipairs(sheets.names()) do
    for _, paper in ipairs(kind == "markout" and {"a4", "a3", "long"} or {"a4", "a3"}) do
      local o = {paper = paper, part = kind == "markout" and marked[name] or nil}
      if kind == "markout" and paper == "a3" then o.view = "side" end
      add(("%s %s %s"):format(name, kind, paper), sheets.of(cars[name], kind, o))
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
      if item.what ~= "crease" and page.result.kind ~= "markout" then -- which is not folded
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
          if not (words:find("25\u{A0}kg", 1, true)
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

-- With the foot.
local function written_on(page)
  local list = {}
  for _, item in ipairs(page.items) do
    if item.kind == "text" then list[#list + 1] = item.words end
  end
  return table.concat(list, "\n")
end

test("each_page_names_the_file_by_its_whole_digest", function()
  local digest = check.command("sha256sum vehicles/twayblade.lua").out:match "^%x+"
  check.equal(#digest, 64)
  for _, kind in ipairs(sheets.names()) do
    for _, page in ipairs(sheets.canvases(sheets.of(cars.twayblade, kind, {part = kind == "markout" and "crankcase" or nil}))) do
      local all = written_on(page)
      check.contains(all, ("twayblade.lua, sha256 %s, steelyard %s"):format(digest, core.version))
      check.contains(all, "Arithmetic, not permission")
      check.ok(all:find("Twayblade, mid-engined two-seater (invented)", 1, true) or all:find("Mark-out 1:1", 1, true))
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

-- ---- evidence --------------------------------------------------------------------------------------------------------------------

local function all_of(result)
  local list = {}
  for _, page in ipairs(result.pages) do list[#list + 1] = table.concat(page.texts, "\n") end
  return (table.concat(list, "\n"):gsub("\u{A0}", " "))
end

-- What the records call says of each record is held by tests/lua/test_records.lua; here, that the page has the same.
test("evidence_has_the_numbers_of_the_records", function()
  local text, measurement = require "steelyard.print.text", require "steelyard.measure.measurement"
  for _, name in ipairs{"tansy", "sedge"} do
    local car = cars[name]
    local result = sheets.of(car, "evidence")
    local page = all_of(result):gsub(" ± ", " +- "):gsub("−", "-")
    check.equal(#result.evidence.records, #car:records())
    for _, fact in ipairs(result.evidence.records) do
      local record, by = car:record(fact.name), {}
      for _, one in ipairs(fact.results) do by[one.name] = one end
      check.ok(#record.rows > 0)
      for _, row in ipairs(record.rows) do
        check.equal({by[row.name].value, by[row.name].sd, by[row.name].unit}, {row.read, row.sd.read, row.unit}, fact.name)
      end
      check.equal({fact.state, fact.instrument and fact.instrument.name, fact.date}, {record.state, record.instrument, record.date})
      if record.mass then
        check.contains(page, text.plus_minus(record.mass, by.mass.sd, measurement.decimals(by.mass.sd, 1)))
      end
    end
  end
end)

test("a_height_has_the_interval_of_its_fit", function()
  for _, fact in ipairs(sheets.of(cars.tansy, "evidence").evidence.records) do
    if fact.kind == "lift" then
      local interval = cars.tansy:record(fact.name).reading.interval
      check.near(fact.results[1].half, (interval.high - interval.low) / 2, 1e-9)
      return
    end
  end
end)

-- A car of invented parts: what is measured of it, and limits that know it and limits that do not.
local function measured_car(records, limits)
  return sy.car{title = "Measured (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290}, {name = "rear", at = 2400, track = 1480, loaded_radius = 300}},
    instruments = {{name = "pads", step = 0.1, sd = 0.1, certificate = "C 7, 2026-01-09"}},
    parts = {sy.part "tub" {mass = sy.sd(600, 8), at = {1200, 5, 350}}, sy.tank "fuel" {capacity = 40, fill = 20, density = 0.75,
      at = {1300, 0, 300}}, sy.person "driver" {mass = 78, at = {1000, 180, 350}}},
    states = {sy.state "kerb" {without = {"driver"}}, sy.state "race" {}}, records = records, limits = limits}
end

local LOADS = {lf = 150.2, rf = 151.2, lr = 157.6, rr = 158.1, zero_before = 0, zero_after = 0.2}

test("a_limit_has_a_verdict_where_it_was_measured_and_is_unknown_elsewhere", function()
  local car = measured_car({
    sy.record "scales" {kind = "corners", state = "kerb", instrument = "pads", corners = LOADS, date = "2026-05-01"},
    sy.record "again" {kind = "corners", state = "kerb", instrument = "pads", date = "2026-05-03",
                       corners = {lf = 150.4, rf = 151.2, lr = 157.8, rr = 158.1}},
    sy.record "half empty" {kind = "corners", state = "race", fill = {fuel = 4}, corners = LOADS, date = "2026-05-09"}}, {
    {name = "kerb mass", quantity = "mass", max = 650, state = "kerb"}, {name = "light", quantity = "mass", max = 600, state = "kerb"},
    {name = "race mass", quantity = "mass", max = 900, state = "race"}, {name = "height", quantity = "height", max = 400},
    {name = "cross", quantity = "cross_share", min = 49, max = 51, state = {"kerb", "race"}},
    {name = "yaw", quantity = "yaw_index", max = 1}})
  local found, by = sheets.of(car, "evidence").evidence, {}
  for _, row in ipairs(found.limits) do by[row.name .. (row.state and " " .. row.state or "")] = row end
  check.equal({by["kerb mass kerb"].status, by["kerb mass kerb"].record}, {"pass", "again"}) -- the later of two
  check.near(by["kerb mass kerb"].value, 617.5, 1e-9)
  check.equal({by["light kerb"].status, by["light kerb"].why}, {"fail", "17.50 kg over the limit"})
  check.equal({by["race mass race"].status, by["race mass race"].value, by["race mass race"].why},
              {"unknown", nil, "measured in race, loaded otherwise"})
  check.equal({by.height.status, by.height.why}, {"unknown", "not measured"})
  check.equal(by.yaw.status, "unknown")
  check.equal({by["cross kerb"].status, by["cross race"].status}, {"pass", "unknown"})
  local page = all_of(sheets.of(car, "evidence"))
  for _, piece in ipairs{"C 7, 2026-01-09", "run 1: 0 before, 0.2 after (kg)", "fuel 20.0 L, 15.0 kg", "FAIL", "measured by",
                         "signature", "driver 78.0 kg; fuel 4.0 L, 3.0 kg",
                         "Mass = lf + rf + lr + rr = 150.40 + 151.20 + 157.80 + 158.10 = 617.50 kg."} do
    check.contains(page, piece)
  end
  check.ok(not page:find(core.fixed(car:balance().mass, 1), 1, true), "nothing of the ledger")
end)

test("what_was_measured_of_an_earlier_car_decides_nothing_of_this_one", function()
  local by = {}
  for _, row in ipairs(sheets.of(cars.sedge, "evidence", {state = "scales"}).evidence.limits) do by[row.name] = row end
  check.equal(by["front share"].record, "second scales") -- of the car as the file has it; three others are of an earlier file
  check.near(by["front share"].value, cars.sedge:record("second scales").front_share, 1e-12)
  check.equal(by["cross weight"].status, "unknown")
  -- with a limit on what only the lift of two years ago has measured
  local path = "vehicles/sedge.lua"
  local said = bytes_of(path):gsub("limits = {", 'limits = { { name = "CG", quantity = "height", max = 400 },')
  local row = sheets.of(require("steelyard.car.load").file(path, said), "evidence").evidence.limits[1]
  check.equal({row.status, row.value, row.why}, {"unknown", nil, "measured of the car as in history/sedge-2024-06-08.lua"})
end)

test("a_car_without_records_or_limits_says_so", function()
  check.contains(all_of(sheets.of(cars.twayblade, "evidence")), "No record in the file: nothing was measured.")
  for _, row in ipairs(sheets.of(cars.twayblade, "evidence").evidence.limits) do check.equal(row.status, "unknown") end
  check.contains(all_of(sheets.of(measured_car(), "evidence")), "the file states no limits")
end)

-- ---- the order for a frame -----------------------------------------------------------------------------------------------------------

test("places_stand_in_the_builders_datum", function()
  local o = sheets.of(cars.bistort, "order", {datum = "crank centre", axes = {"forward", "left", "up"}}).order
  local by = {}
  for _, point in ipairs(o.points) do by[point.name] = point end
  check.equal({by["crank centre"].x, by["crank centre"].y, by["crank centre"].z}, {0.0, 0.0, 0.0})
  check.near(by["lifting eye, timing end"].y, -(950 - 765), 1e-9) -- the file's y runs to the right
  check.near(by["lifting eye, timing end"].sd.z, 2, 1e-12)
  check.equal(o.datum, "x forward, y left, z up, from the point crank centre")
  for _, point in ipairs(sheets.of(cars.bistort, "order").order.points) do -- the file's own: as written, y to the right
    if point.name == "tail" then
      for letter, value in pairs{x = -1590, y = 640, z = 65} do check.near(point[letter], value, 1e-9) end
    end
  end
  -- the same car measured along other axes: the same sheet
  local one, other = sheets.of(cars.twayblade, "order", {datum = "crank centre", axes = {"forward", "left", "up"}}).order,
    sheets.of(cars.restated, "order", {datum = "crank centre", axes = {"forward", "left", "up"}}).order
  for _, list in ipairs{"points", "wheels", "joints"} do
    check.ok(#one[list] > 0)
    for i, spot in ipairs(one[list]) do
      for _, letter in ipairs{"x", "y", "z"} do check.near(other[list][i][letter], spot[letter], 1e-9, spot.name) end
    end
  end
end)

test("a_mock_up_is_not_what_the_frame_carries", function()
  for _, row in ipairs(sheets.of(cars.twayblade, "order").order.loads) do check.ok(row.state ~= "mock-up") end
  check.equal(sheets.of(cars.twayblade, "order", {state = "mock-up"}).order.loads[1].state, "mock-up") -- unless it is asked for
end)

test("mounts_that_would_have_to_pull_are_not_given_a_load", function()
  local mounts = {{what = "powertrain", at = {{100, 0, 0}, {200, 100, 0}, {200, -100, 0}}}}
  local row = sheets.of(cars.twayblade, "order", {mounts = mounts, state = "race start"}).order.mounts[1].rows[1]
  check.equal(row.loads, nil)
  check.contains(row.why, "outside its mounts")
  check.contains(all_of(sheets.of(cars.twayblade, "order", {mounts = mounts})), "unknown")
end)

test("a_car_without_points_states_and_shafts_has_an_order_too", function()
  local result = sheets.of(odd_car, "order")
  check.equal({#result.order.points, #result.order.joints, #result.order.loads}, {0, 0, 1})
  check.contains(all_of(result), "The file states no points")
  check.contains(all_of(result), "Not stated: name the parts of the frame with --frame")
end)

test("mounts_are_read_from_words", function()
  check.equal(sheets.mounts{"engine; front mount, left;1600,-55,200 ;rear"},
              {{what = "engine", at = {"front mount, left", {1600, -55, 200}, "rear"}}})
  check.raises(function() sheets.mounts{"engine;a;b"} end, {code = "content", field = "mounts", message = "three places or more"})
end)

test("a_wrong_datum_is_refused", function()
  local function order(o) return function() sheets.of(cars.bistort, "order", o) end end
  check.raises(order{datum = "crank center"}, {code = "unknown", field = "datum", hint = "crank centre"})
  check.raises(order{axes = {"forward", "left"}}, {code = "content", field = "axes"})
  check.raises(order{axes = {"forward", "back", "up"}}, {code = "clash", field = "axes", message = "forward and back run along one line"})
  check.raises(order{axes = {"foward", "left", "up"}}, {code = "unknown", field = "axes", hint = "forward"})
  check.raises(order{frame = {"rear fram"}}, {code = "unknown", hint = "rear frame"})
end)

-- ---- mark-out ------------------------------------------------------------------------------------------------------------------------

local function items(result, number, what)
  local list = {}
  for _, item in ipairs(sheets.canvases(result)[number].items) do
    if (item.what or ""):find(what) then list[#list + 1] = item end
  end
  return list
end

test("the_cover_has_a_square_of_100_and_says_how_to_print", function()
  for _, o in ipairs{{part = "crankcase"}, {part = "crankcase", paper = "long"}} do
    local result = sheets.of(cars.twayblade, "markout", o)
    local square = items(result, 1, "^square$")[1].loops[1]
    check.near(square[2][1] - square[1][1], 100, 1e-9)
    check.near(square[3][2] - square[2][2], 100, 1e-9)
    check.contains(all_of(result), "Print at 100 %, no fit to page")
  end
end)

-- The crankcase of the file: a box of three lengths. What lies on the tiles, each piece once where they overlap, is its outline at 1:1.
test("tiles_put_together_are_the_outline", function()
  local result = sheets.of(cars.twayblade, "markout", {part = "crankcase"})
  local m = result.markout
  check.equal(#result.pages, 1 + m.rows * m.columns)
  local left, right, top, bottom = math.huge, -math.huge, math.huge, -math.huge
  for k = 1, m.rows do
    for i = 1, m.columns do
      for _, item in ipairs(items(result, 1 + (k - 1) * m.columns + i, "^body ")) do
        for _, line in ipairs(item.loops) do
          for _, p in ipairs(line) do -- tiles are 162 wide, 238.8 high, and overlap by 10
            local x, y = p[1] + (i - 1) * 152, p[2] + (k - 1) * (297 - 28 - 7 - 20 - 8.2 + 4 - 10)
            left, right, top, bottom = math.min(left, x), math.max(right, x), math.min(top, y), math.max(bottom, y)
          end
        end
      end
    end
  end
  local body
  for _, one in ipairs(cars.twayblade:scene{}.bodies) do body = one.name == "crankcase" and one or body end
  local a1, a2, b1, b2 = math.huge, -math.huge, math.huge, -math.huge
  for _, p in ipairs(body.outlines.plan[1]) do
    a1, a2, b1, b2 = math.min(a1, p[1]), math.max(a2, p[1]), math.min(b1, p[2]), math.max(b2, p[2])
  end
  check.near(bottom - top, a2 - a1, 1e-9) -- fore-aft runs down the paper
  check.near(right - left, b2 - b1, 1e-9)
  check.near(m.height, a2 - a1 + 40, 1e-9)
end)

test("grid_lines_are_100_apart_and_named_by_the_file", function()
  local result = sheets.of(cars.twayblade, "markout", {part = "crankcase"})
  local seen = 0
  for number = 2, #result.pages do
    local by = {}
    for _, item in ipairs(items(result, number, "^grid$")) do
      local p, q = item.loops[1][1], item.loops[1][2]
      local upright = p[1] == q[1]
      table.insert(by, {upright, upright and p[1] or p[2]})
    end
    for i = 2, #by do
      if by[i][1] == by[i - 1][1] then
        check.near(math.abs(by[i][2] - by[i - 1][2]), 100, 1e-9)
        seen = seen + 1
      end
    end
  end
  check.ok(seen > 2)
  check.contains(all_of(result), "y 100")
end)

test("what_cannot_be_marked_out_is_refused", function()
  local function of(car, o) return function() sheets.of(cars[car], "markout", o) end end
  check.raises(of("twayblade", {part = "crankcasse"}), {code = "unknown", hint = "crankcase"})
  check.raises(of("twayblade", {part = "body", paper = "long", view = "front"}), {code = "unknown", field = "view"})
  check.raises(of("twayblade", {part = "driver", state = "kerb"}), {code = "missing", field = "part", message = "is not aboard"})
  local long = sy.car{title = "Long (invented)", axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1800, loaded_radius = 400}, {name = "rear", at = 7000, track = 1800, loaded_radius = 400}},
    parts = {sy.part "beam" {mass = 900, at = {3500, 0, 600}, shape = sy.box {7600, 1800, 200}}}}
  check.raises(function() sheets.of(long, "markout", {part = "beam", paper = "long"}) end, {code = "range", field = "paper"})
  check.raises(function() sheets.of(long, "markout", {part = "beam"}) end,
               {code = "range", field = "part", message = "tiles at full size"})
  check.raises(function() sheets.of(long, "weighing", {paper = "long"}) end, {code = "clash", field = "paper"})
end)

-- ---- the lift ---------------------------------------------------------------------------------------------------------------------

test("the_lift_sheet_has_the_plan_and_none_of_its_readings", function()
  for _, name in ipairs{"twayblade", "bistort", "burnet"} do
    local car = cars[name]
    local result, plan = sheets.of(car, "lift"), car:plan_lift{within = 10, pads = {sd = 0.1}, sd = {lift = 2, radius = 1, wheelbase = 2}}
    check.equal({result.lift.lift, result.lift.steps, result.lift.repeats}, {plan.lift, plan.steps, plan.repeats})
    local page = all_of(result)
    check.contains(page, "Nobody in the car while it is up")
    for k = 1, plan.steps do
      check.contains(page, ("step %d %s mm"):format(k, core.shortest(plan.lift * k / plan.steps):gsub("%.0$", "")))
    end
    if plan.touches[1] and plan.touches[1].lift then
      check.contains(page, ("%s from %s mm"):format(plan.touches[1].point, core.fixed(plan.touches[1].lift, 0)))
    end
    for _, row in ipairs(plan.expected) do
      for _, key in ipairs{"front", "rear", "lf", "rr"} do
        if row[key] then check.ok(not page:find(core.fixed(row[key], 1), 1, true), name) end
      end
    end
    check.ok(not page:find(core.fixed(car:balance().height, 1), 1, true))
  end
  check.contains(all_of(sheets.of(cars.twayblade, "lift", {within = 0.5})), "Not to be had so")
  check.contains(all_of(sheets.of(cars.first_guess, "lift", {state = "race start"})), "Driver is aboard in this state: nobody may sit")
  check.ok(not all_of(sheets.of(cars.first_guess, "lift", {state = "no driver"})):find("is aboard in this state", 1, true))
  check.contains(all_of(sheets.of(cars.twayblade, "lift", {lifted = "front"})), "rear axle chocked, front free")
end)

-- ---- files -----------------------------------------------------------------------------------------------------------------------------

test("names_of_every_kind_are_set", function()
  for _, kind in ipairs(sheets.names()) do
    local result = sheets.of(odd_car, kind, {part = kind == "markout" and "מנוע קדמי & co" or nil})
    for i = 1, #result.pages do
      local path = new_path ".svg"
      result:save(path, {page = i})
      local svg = bytes_of(path)
      os.remove(path)
      check.ok(not svg:find('a < b & "c"', 1, true))
      check.contains(svg, kind == "markout" and "קדמי &amp; co" or "a &lt; b &amp; &quot;c&quot;")
      rules.keep(check, {canvas = sheets.canvases(result)[i], width = 210, height = 297, margin = 14}, kind)
    end
    check.contains(written_on(sheets.canvases(result)[1]), "made by a script, without a file")
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
      sheets.of(odd_car, kind, {part = kind == "markout" and "מנוע קדמי & co" or nil}):save(path)
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
