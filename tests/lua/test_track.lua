-- The history of a car: which files, their dates and order, the car in each, records at their dates, and what is refused.
--
-- Numbers are those of sy.load and car:balance of each file; tests/reference/oracle_track.py works them out from what its files state.
-- Cars and readings are invented.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local core = require "steelyard.core"
local picture = require "steelyard.draw.picture"
local sy = require "steelyard"
local test = check.test

local folder = os.tmpname()
os.remove(folder)
os.execute("mkdir " .. folder)

local function write(name, text)
  local file <close> = assert(io.open(folder .. "/" .. name, "w"))
  file:write(text)
  return folder .. "/" .. name
end

-- A small car: o.title, o.date, o.axes, o.zero (added to every x, which runs back), o.more (lines), o.records, o.mass of its engine.
local function text_of(o)
  local zero = o.zero or 0
  local function x(back) return core.shortest((o.axes and -1 or 1) * back + zero) end
  return ([[vehicle { title = "%s", %s axes = %s,
  axles = { { name = "front", at = %s, track = 1300, loaded_radius = 270 },
    { name = "rear", at = %s, track = 1300, loaded_radius = 270 } },
  parts = {
    part "tub" { mass = sd(203.7, 3), at = {%s, 12, 331} },
    part "engine" { mass = sd(%s, 0.1), at = {%s, 0, 317}, basis = "weighed" },
    %s person "driver" { mass = sd(78, 0.5), at = {%s, 0, 363} },
  },
  states = { state "race" {}, state "empty" { without = {"driver"} } },
  records = { %s } }
]]):format(o.title or "Melick (invented)", o.date and ("date = %q,"):format(o.date) or "",
    o.axes or '{ x = "back", y = "right", z = "up" }', x(0), x(2200), x(1037), core.shortest(o.mass or 91.3), x(1713), o.more or "",
    x(1011), o.records or "")
end

local function empty_folder()
  os.execute(("rm -rf %s && mkdir %s"):format(folder, folder))
end

-- ---- one car over four files -------------------------------------------------------------------------------------------------

local sedge = {"vehicles/history", "vehicles/sedge.lua"}
local weighed = {"vehicles/history/sedge-2024-06-08.lua", "vehicles/sedge.lua"} -- of these two each has the state of the scales
local in_order = {"history/sedge-2024-01-18.lua", "history/sedge-2024-02-15.lua", "history/sedge-2024-03-14.lua",
                  "history/sedge-2024-06-08.lua", "sedge.lua"}

test("a_row_of_a_history_is_the_car_of_its_file", function()
  local r = sy.track(sedge, {car = "sedge", state = "race start"})
  check.equal(#r.rows, #in_order)
  for i, row in ipairs(r.rows) do
    check.equal(row.file, "vehicles/" .. in_order[i])
    local b = sy.load(row.file):state "race start":balance()
    for _, name in ipairs{"mass", "front_share", "left_share", "height", "yaw_inertia", "cross_share"} do
      check.equal(row[name], b[name], row.file .. " " .. name)
      -- another way through the same walk: a rounding apart
      if name ~= "yaw_inertia" then check.near(row.sd[name], b.sd[name], 1e-15 * row[name], row.file .. " sd " .. name) end
    end
    check.equal(row.mass_with_growth, b.mass_with_growth)
    check.equal(row.cross_assumed, true)
  end
  check.equal(r.rows[5].date, "2026-03-14")
  check.equal(r.rows[5].dated_by, "record")
  check.equal(r.rows[1].dated_by, "name")
  check.equal(r.status, "unknown") -- of the latest: its cross weight is assumed
end)

test("a_step_is_what_sy_changes_says_of_the_two_files", function()
  local r = sy.track(sedge, {car = "sedge", state = "race start", by = "mass", lines = 4})
  check.equal(r.rows[1].change, nil)
  for i = 2, #r.rows do
    local change = r.rows[i].change
    local want = sy.changes(r.rows[i - 1].file, r.rows[i].file, {state = "race start", by = "mass"})
    check.equal(change.lines, #want.rows)
    check.equal(change.total, want.total)
    check.equal(change.sd, want.sd)
    local sum, named = 0, change.rest and 4 or #want.rows
    check.equal(#change.greatest, named)
    for k, line in ipairs(change.greatest) do
      check.equal(line.part, want.rows[k].part)
      check.equal(line.d_height, want.rows[k].d_height)
      sum = sum + line.d_height
    end
    if change.rest then
      check.equal(change.rest.lines, #want.rows - named)
      check.near(sum + change.rest.d_height, want.sums.d_height, 1e-9) -- mm: rounding of sums of some thirty terms below 10
    end
    check.near(change.total.d_mass, r.rows[i].mass - r.rows[i - 1].mass, 1e-9)
  end
end)

test("one_smaller_line_is_named_and_not_added_up", function()
  local r = sy.track(sedge, {car = "sedge", state = "race start", lines = 3})
  check.equal(r.rows[2].change.lines, 4)
  check.equal(#r.rows[2].change.greatest, 4)
  check.equal(r.rows[2].change.rest, nil)
  check.equal(#sy.track(sedge, {car = "sedge", lines = 0}).rows[2].change.greatest, 0)
end)

test("a_history_of_one_file_has_no_steps", function()
  local r = sy.track "vehicles/history/tansy-2026-02-01.lua"
  check.equal(#r.rows, 1)
  check.contains(r.heading, "1 file, 2026-02-01")
  check.equal(tostring(r):find("What changed", 1, true), nil)
  rules.keep(check, picture.of(r, {width = 180}), "one file")
end)

-- ---- records -------------------------------------------------------------------------------------------------------------------

test("a_record_in_the_state_of_the_history_is_what_was_read", function()
  local car = sy.load "vehicles/sedge.lua"
  local r = sy.track(weighed, {state = "scales"})
  local seen = {}
  for _, row in ipairs(r.records) do
    seen[#seen + 1] = row.name
    local record = car:record(row.name)
    check.equal(row.date, record.date)
    check.equal(row.sigmas, record.sigmas)
    check.equal(row.placed, row.kind ~= "ride heights")
    if row.kind == "corners" then
      check.equal(row.carried, nil)
      for _, name in ipairs{"mass", "front_share", "cross_share"} do
        check.equal(row[name], record.reading[name], row.name .. " " .. name)
        check.equal(row.sd[name], record.reading.sd[name], row.name .. " " .. name)
      end
    elseif row.kind == "lift" then
      check.equal(row.height, record.reading.height)
    end
  end
  check.equal(seen, {"first scales", "rear lift", "first setting", "second scales", "sills"}) -- by date
end)

-- The driver alone lies between the two states: m, F and m h of what was read, and the driver's own, by hand.
test("a_record_of_another_state_is_brought_to_that_of_the_history_by_sums", function()
  empty_folder()
  local path = write("melick-2026-02-01.lua", text_of{records =
    [[record "pads" { kind = "axles", state = "empty", date = "2026-02-03", axles = { front = sd(148.2, 0.4), rear = sd(147.9, 0.4) } } ]]})
  local r = sy.track(path, {state = "race"})
  local row = r.records[1]
  check.equal(row.carried, true)
  check.equal(row.headline:match "^%S+", "296.1")
  local mass, driver = 148.2 + 147.9, 78
  local front = 148.2 + driver * (1 - 1011 / 2200)
  check.near(row.mass, mass + driver, 1e-9)
  check.near(row.front_share, 100 * front / (mass + driver), 1e-9)
  check.near(row.ledger.mass, 203.7 + 91.3 + 78, 1e-9)
  -- both axles err by themselves, the driver by 0.5 kg at his place; first order, so what is left are squares of 1e-3
  local function share(f, rear, d) return 100 * (f + d * (1 - 1011 / 2200)) / (f + rear + d) end
  local by_front, by_rear = share(148.6, 147.9, 78) - row.front_share, share(148.2, 148.3, 78) - row.front_share
  local by_driver = share(148.2, 147.9, 78.5) - row.front_share
  check.near(row.sd.mass, math.sqrt(2 * 0.4 ^ 2 + 0.5 ^ 2), 1e-6)
  check.near(row.sd.front_share, math.sqrt(by_front ^ 2 + by_rear ^ 2 + by_driver ^ 2), 2e-3 * row.sd.front_share)
end)

test("the_height_of_a_lift_is_brought_to_another_state_by_moments", function()
  local there, here = sy.track(weighed, {state = "scales"}).records[2], sy.track(weighed, {state = "race start"}).records[2]
  check.equal(here.kind, "lift")
  local old = sy.load(weighed[1])
  local scales, race = old:state "scales":balance(), old:state "race start":balance()
  check.equal(there.carried, nil) -- the table of the lift has the fuel of the scales
  check.equal(here.carried, true)
  local mass = there.mass + race.mass - scales.mass
  check.near(here.mass, mass, 1e-9)
  check.near(here.height, (there.height * there.mass + race.height * race.mass - scales.height * scales.mass) / mass, 1e-9)
  check.near(here.ledger.height, race.height, 1e-9)
  check.equal(here.sd.height > there.sd.height * there.mass / mass, true)
end)

test("a_record_that_two_files_have_counts_once_as_the_later_states_it", function()
  empty_folder()
  local record = [[record "pads" { kind = "axles", state = "empty", date = "2026-02-03", axles = { front = %s, rear = 147.9 } } ]]
  write("melick-2026-02-01.lua", text_of{records = record:format "148.2"})
  local later = write("melick-2026-03-01.lua", text_of{records = record:format "149.2"})
  local r = sy.track(folder, {state = "empty"})
  check.equal(#r.records, 1)
  check.equal(r.records[1].file, later)
  check.near(r.records[1].mass, 149.2 + 147.9, 1e-9)
end)

test("a_record_that_cannot_be_placed_says_why", function()
  empty_folder()
  write("melick-2026-02-01.lua", text_of{records =
    [[record "undated" { kind = "axles", axles = { front = 148.2, rear = 147.9 } },
      record "gone" { kind = "axles", date = "2026-02-02", file = "no.lua", axles = { front = 148.2, rear = 147.9 } },
      record "engine" { kind = "assembly", of = "engine", date = "2026-02-02", mass = 91 } ]]})
  local r = sy.track(folder)
  local said = tostring(r):gsub("\n  ", " ")
  for _, row in ipairs(r.records) do check.equal(row.placed, false) end
  check.contains(said, "Record undated is not placed: it has no date.")
  check.contains(said, "Record gone is not placed: file: no.lua: there is no such file.")
  check.contains(said, "Record engine is not placed: it says nothing of the whole car.")
end)

-- ---- dates and order -------------------------------------------------------------------------------------------------------------

test("a_date_comes_from_the_caller_the_field_the_name_or_the_last_record", function()
  empty_folder()
  write("a-2026-05-01.lua", text_of{})
  write("b-2026-04-01.lua", text_of{date = "2026-06-01"})
  write("c.lua", text_of{records = [[record "pads" { kind = "axles", date = "2026-02-03", axles = { front = 148, rear = 148 } } ]]})
  write("d-2026-07-01.lua", text_of{})
  local r = sy.track(folder, {dates = {["d-2026-07-01.lua"] = "2025-12"}})
  local list = {}
  for i, row in ipairs(r.rows) do list[i] = row.file:match "[^/]*$" .. " " .. row.date .. " " .. row.dated_by end
  check.equal(list, {"d-2026-07-01.lua 2025-12 given", "c.lua 2026-02-03 record", "a-2026-05-01.lua 2026-05-01 name",
                     "b-2026-04-01.lua 2026-06-01 field"})
  local said = table.concat(r.notes, "\n")
  check.contains(said, "b-2026-04-01.lua is of 2026-06-01, as it states; its name says 2026-04-01")
  check.contains(said, "no date stands in c.lua or in its name")
  check.near(sy.load(folder .. "/b-2026-04-01.lua"):balance().mass, r.rows[4].mass, 0)
end)

test("files_of_one_date_keep_the_order_of_their_names", function()
  empty_folder()
  write("b-2026-05-01.lua", text_of{mass = 90})
  write("a-2026-05-01.lua", text_of{mass = 91})
  local r = sy.track(folder)
  check.equal(r.rows[1].file:match "[^/]*$", "a-2026-05-01.lua")
  check.contains(table.concat(r.notes, "\n"),
    "a-2026-05-01.lua and b-2026-05-01.lua are both of 2026-05-01: they stand in the order of their names")
  rules.keep(check, picture.of(r, {width = 90}), "of one date")
end)

test("a_file_without_a_date_is_named_with_what_to_write", function()
  empty_folder()
  local path = write("melick.lua", text_of{})
  check.raises(function() sy.track(folder) end, {code = "missing", file = path, message = "has no date",
    hint = {"NAME-2026-03-14.lua", 'date = "2026-03-14"', 'dates = {["melick.lua"] = "2026-03-14"}'}})
  local done = check.command(("%s track %s"):format(check.steelyard, folder))
  check.equal(done.code, 3)
  check.contains(done.err, "melick.lua: has no date (name it NAME-2026-03-14.lua, write date = \"2026-03-14\" in it, or give --date "
    .. "melick.lua=2026-03-14)")
  check.equal(check.command(("%s track %s --date melick.lua=2026-03-14"):format(check.steelyard, folder)).code, 0)
end)

test("dates_that_are_given_are_checked", function()
  local path = "vehicles/history/tansy-2026-02-01.lua"
  check.raises(function() sy.track(path, {dates = {["tansy-2026-02-01.lua"] = "2026-02-30"}}) end,
    {code = "content", field = "dates", message = "is not a date of ISO 8601"})
  check.raises(function() sy.track(path, {dates = {["tansy-2026-02-10.lua"] = "2026-02-03"}}) end,
    {code = "unknown", field = "dates", hint = "tansy-2026-02-01.lua"})
  local done = check.command(("%s track %s --date 2026-02-03"):format(check.steelyard, path))
  check.equal(done.code, 2)
  check.contains(done.err, "--date takes FILE=DATE")
end)

-- ---- what is wrong with a file ---------------------------------------------------------------------------------------------------

test("a_file_that_does_not_load_stops_or_is_left_out_and_said", function()
  empty_folder()
  write("a-2026-05-01.lua", text_of{})
  local bad = write("b-2026-06-01.lua", (text_of{}:gsub("mass = sd%(203.7, 3%)", "mass = -3")))
  check.raises(function() sy.track(folder) end, {code = "range", file = bad})
  local r = sy.track(folder, {skip = true})
  check.equal(#r.rows, 1)
  check.equal(r.left_out[1].file, bad)
  check.contains(tostring(r), "Left out: b-2026-06-01.lua: ")
  check.contains(r.left_out[1].why, 'line 5: part "tub", mass: must be')
  os.remove(folder .. "/a-2026-05-01.lua")
  check.raises(function() sy.track(folder, {skip = true}) end, {code = "missing", message = "no file is left"})
end)

test("files_of_several_cars_ask_which", function()
  empty_folder()
  write("a-2026-05-01.lua", text_of{})
  write("b-2026-06-01.lua", text_of{title = "Teazel (invented)"})
  check.raises(function() sy.track(folder) end, {code = "clash",
    message = 'the files are of several cars: "Melick (invented)" (1 file), "Teazel (invented)" (1 file)'})
  local r = sy.track(folder, {car = "teaz"})
  check.equal(r.rows[1].title, "Teazel (invented)")
  check.equal(r.left_out[1].why, "of Melick (invented)")
  check.equal(#sy.track(folder, {car = {"Teazel (invented)", "mel"}}).rows, 2) -- it has changed its name
  check.raises(function() sy.track(folder, {car = "Mellick (invented)"}) end, {code = "unknown", field = "car", hint = "Melick (invented)"})
  check.raises(function() sy.track(folder, {car = {3}}) end, {code = "type", field = "car"})
end)

test("a_state_that_a_file_has_not_names_the_file", function()
  empty_folder()
  local a = write("a-2026-05-01.lua", text_of{})
  local b = write("b-2026-06-01.lua", (text_of{}:gsub('state "empty"', 'state "bare"')))
  check.raises(function() sy.track(folder, {state = "empty"}) end, {code = "unknown", file = b, field = "state",
    message = 'has no load state "empty"', hint = "race"})
  local r = sy.track(folder, {state = "empty", skip = true})
  check.equal(#r.rows, 1)
  check.equal(r.rows[1].file, a)
  check.contains(r.left_out[1].why, 'has no load state "empty"')
end)

test("other_axes_and_another_zero_are_said_and_change_no_number", function()
  empty_folder()
  local axes = '{ x = "forward", y = "right", z = "up" }'
  write("a-2026-05-01.lua", text_of{})
  write("b-2026-06-01.lua", text_of{axes = axes, mass = 92.4})
  write("c-2026-07-01.lua", text_of{axes = axes, mass = 92.4, zero = 500})
  local r = sy.track(folder)
  local said = table.concat(r.notes, "\n")
  check.contains(said, "b-2026-06-01.lua measures along other axes than a-2026-05-01.lua: parts are compared on the vehicle")
  check.contains(said, "c-2026-07-01.lua measures from another zero than b-2026-06-01.lua")
  check.equal(r.rows[2].change.lines, 1)
  check.near(r.rows[2].change.total.d_mass, 1.1, 1e-9)
  check.near(r.rows[3].front_share, r.rows[2].front_share, 1e-9)
  check.near(r.rows[3].change.total.d_height, 0, 1e-9)
end)

test("folders_and_paths_that_are_not_there_are_refused", function()
  empty_folder()
  check.raises(function() sy.track(folder) end, {code = "missing", file = folder, message = "has no vehicle files in it"})
  check.raises(function() sy.track(folder .. "/no") end, {code = "read", message = "there is no such file"})
  check.raises(function() sy.track(5) end, {code = "type", message = "sy.track needs a folder or a list of vehicle files, not 5"})
  check.raises(function() sy.track{true} end, {code = "type", message = "sy.track takes paths, not true"})
  check.raises(function() core.folder(folder .. "/no") end, {code = "read", message = "there is no such folder"})
  local file = write("a.txt", "x")
  check.raises(function() core.folder(file) end, {code = "read", file = file, message = "is not a folder"})
  check.equal(core.folder(folder), {"a.txt"})
  write(".hidden.lua", "x")
  check.equal(core.folder(folder), {"a.txt"})
end)

test("a_file_that_is_named_twice_counts_once", function()
  empty_folder()
  local path = write("a-2026-05-01.lua", text_of{})
  check.equal(#sy.track{folder, path, path}.rows, 1)
end)

test("options_that_make_no_sense_are_refused", function()
  local path = "vehicles/history/tansy-2026-02-01.lua"
  check.raises(function() sy.track(path, {by = "front"}) end, {code = "unknown", field = "by", hint = "front_share"})
  check.raises(function() sy.track(path, {lines = -1}) end, {code = "range", field = "lines"})
  check.raises(function() sy.track(path, {lines = 1.5}) end, {code = "range", field = "lines"})
  check.raises(function() sy.track(path, {skip = "yes"}) end, {code = "type", field = "skip"})
  check.raises(function() sy.track(path, {state = 5}) end, {code = "type", field = "state"})
  check.raises(function() sy.track(path, {stat = "x"}) end, {code = "unknown", hint = "state"})
end)

-- ---- the page --------------------------------------------------------------------------------------------------------------------

test("the_picture_of_a_history_keeps_the_rules", function()
  local kinds = {sy.track(sedge, {car = "sedge", state = "race start"}),
                 sy.track({"vehicles/history", "vehicles/tansy.lua"}, {car = "tansy"})}
  empty_folder() -- forty files, a fortnight apart
  for i = 1, 40 do
    local month, day = 1 + (i - 1) // 4, 1 + 7 * ((i - 1) % 4)
    write(("melick-2026-%02d-%02d.lua"):format(month, day), text_of{mass = 80 + i / 4})
  end
  kinds[3] = sy.track(folder)
  for _, r in ipairs(kinds) do
    for _, width in ipairs{180, 90} do rules.keep(check, picture.of(r, {width = width}), ("%s, %d"):format(r.heading, width)) end
  end
  check.contains(rules.said(picture.of(kinds[3], {width = 180})), "The last 24 of 39 changes are listed")
end)

test("marks_of_a_history_stand_at_their_dates_on_one_axis", function()
  local r = sy.track(sedge, {car = "sedge", state = "race start"})
  local d = picture.of(r, {width = 180})
  local dots, records = rules.items(d, "file"), rules.items(d, "record")
  check.equal(#dots, 4 * 5)
  check.equal(#records, 4 + 4 + 1 + 3) -- mass and front of three weighings and a lift, the height of that, three cross weights
  local days = {0, 28, 56, 142, 786} -- from 18 January 2024: to 8 June 142; to 18 January 2026 a year of 366 and one of 365, and 55 more
  for i = 1, 4 do
    for k = 1, 5 do
      local first, last = dots[5 * (i - 1) + 1].x, dots[5 * i].x
      check.near((dots[5 * (i - 1) + k].x - first) / (last - first), days[k] / 786, 1e-9)
      check.equal(dots[5 * (i - 1) + k].fill, "white") -- the ledger is predicted: open
    end
  end
  check.near((records[3].x - dots[1].x) / (dots[5].x - dots[1].x), (142 + 7) / 786, 1e-9) -- 15 June
  check.equal(records[1].fill, "ink")
  local said = rules.said(d)
  for _, piece in ipairs{"28 lines", "+ 25 smaller", "loom, added", "second scales", "627.0 with growth", "at most 47", "2026-03-14"} do
    check.contains(said, piece)
  end
end)

test("three_wheels_have_no_panel_of_cross_weight", function()
  empty_folder()
  local three = text_of{}:gsub('{ name = "rear", at = 2200, track = 1300', '{ name = "rear", at = 2200, wheels = "one"')
  write("a-2026-05-01.lua", three)
  write("b-2026-06-01.lua", (three:gsub("91.3", "90.1")))
  local r = sy.track(folder)
  check.equal(r.rows[1].cross_share, nil)
  local d = picture.of(r, {width = 180})
  check.equal(#rules.items(d, "file"), 3 * 2)
  check.equal(tostring(r):find("cross weight", 1, true), nil)
end)

os.execute("rm -r " .. folder)
check.done()
