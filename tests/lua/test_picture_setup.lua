-- The set-up sheet: rules of layout, its words and numbers against the result, its beams and wheels by their scales.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local core = require "steelyard.core"
local picture = require "steelyard.draw.picture"
local scales = require "steelyard.measure.corner_scales.file"
local sy = require "steelyard"
local test = check.test

local twayblade, burnet = sy.load "vehicles/twayblade.lua", sy.load "vehicles/burnet.lua"
local read = {lf = 134.1, rf = 133.0, lr = 206.6, rr = 199.2}
local measured = twayblade:state "kerb":perches{cross_share = 50, reading = read}

local results = {
  measured = measured,
  assumed = twayblade:state "two up":perches{cross_share = 51.5, heights = {front = 0, rear = 0}},
  ["other axes"] = rules.restated("vehicles/twayblade.lua"):state "kerb":perches{cross_share = 50, reading = read},
  ["out of reach"] = twayblade:state "kerb":perches{cross_share = 95}, ["many turns"] = twayblade:state "kerb":perches{cross_share = 80},
  ["front share"] = twayblade:state "kerb":perches{lf_share = 35, rf_share = 35},
  bistort = sy.load "vehicles/bistort.lua":perches{cross_share = 49},
  ["three wheels, heights"] = burnet:perches{heights = {front = 5, rear = 3}},
  corners = twayblade:state "race start":corners{}, ["three wheels"] = burnet:corners{},
  ["pads turned"] = twayblade:corners{pads = {lf = 2}, perches = {rr = -0.5}},
}
for _, name in ipairs{"corners_swapped", "corners_plank", "weighbridge"} do
  results[name] = scales.of(("vehicles/readings/%s.csv"):format(name))
end
for i, result in ipairs(dofile "tests/lua/example_results.lua".corner_scales) do results["scales " .. i] = result end

local items, all_text = rules.items, rules.said

test("set_up_sheets_keep_the_rules", function()
  for name, result in pairs(results) do
    for _, width in ipairs{180, 90} do rules.keep(check, picture.of(result, {width = width}), name .. " " .. width) end
  end
end)

test("turns_are_the_largest_words_at_a_wheel_and_say_the_way", function()
  for _, width in ipairs{180, 90} do
    local d = picture.of(measured, {width = width})
    local found = {}
    for i, item in ipairs(items(d, "turns")) do found[i] = item.words end
    check.equal(table.concat(found, ", "):find("1/4 turn up", 1, true) ~= nil, true)
    check.equal(#found, 4)
    table.sort(found, core.before)
    check.equal(table.concat(found, ", "), "1/2 turn down, 1/4 turn down, 1/4 turn up, 1/4 turn up")
    check.contains(all_text(d), "seat 0.75 mm down")
  end
  check.contains(all_text(picture.of(results.assumed, {width = 180})), "5 3/4 turns up")
end)

test("numbers_are_those_of_the_result", function()
  local d = picture.of(measured, {width = 180})
  local said = all_text(d)
  for i, key in ipairs{"lf", "rf", "lr", "rr"} do
    local order = {1, 3, 2, 4} -- the left side first
    check.equal(items(d, "read")[order[i]].words, core.fixed(read[key], 1))
    check.contains(said, core.fixed(measured.loads[key], 1))
    check.contains(said, core.fixed(measured.next.with_driver[key], 1))
  end
  check.contains(said, "50.47 % cross weight (RF + LR), read")
  check.contains(said, "50.00 % wanted")
  check.contains(said, "267.1 kg") -- 134.1 + 133.0
  check.contains(said, "with driver, 78 kg")
end)

test("cautions_of_turning_perches_are_on_it_and_rates_are_not", function()
  local said = all_text(picture.of(measured, {width = 90}))
  local from
  for _, note in ipairs(measured.notes) do
    from = from or note:find "^before a perch is turned"
    if from then check.contains(said, (note:sub(2):gsub("\u{A0}", " "))) end
  end
  for _, name in ipairs{"measured", "corners"} do
    check.equal(all_text(picture.of(results[name], {width = 180})):find("Hz", 1, true), nil)
  end
  check.contains(all_text(picture.of(results["out of reach"], {width = 180})), "FAIL, not possible")
end)

-- Zero is what the ledger predicts, one notch one kilogram: the poise hangs so many notches from it as the reading is kilograms off.
test("poises_hang_where_it_was_read", function()
  local d = picture.of(measured, {width = 180})
  check.contains(all_text(d), "one notch 1 kg")
  local b = twayblade:state "kerb":balance()
  local beams, poises = items(d, "beam"), items(d, "poise")
  for i, key in ipairs{"lf", "lr", "rf", "rr"} do
    local left, right = beams[i].loops[1][1][1], beams[i].loops[1][2][1]
    local notch = (right - left) / 2 / 1.15 / 4
    check.near((poises[i].loops[1][1][1] - (left + right) / 2) / notch, read[key] - b[key], 1e-9)
  end
end)

-- Seen from behind, so that the left stands left; tracks 1450 and 1460, wheelbase 2400.
test("wheels_stand_by_the_scale_with_the_front_up", function()
  for _, name in ipairs{"measured", "other axes"} do
    local d = picture.of(results[name], {width = 180})
    local at = {}
    for _, key in ipairs{"lf", "rf", "lr", "rr"} do
      local x, y = 0, 0
      for _, p in ipairs(items(d, "wheel " .. key)[1].loops[1]) do x, y = x + p[1] / 4, y + p[2] / 4 end
      at[key] = {x, y}
    end
    check.near((at.rf[1] - at.lf[1]) * d.scale, 1450, 1e-6)
    check.near((at.rr[1] - at.lr[1]) * d.scale, 1460, 1e-6)
    check.near((at.lr[2] - at.lf[2]) * d.scale, 2400, 1e-6)
  end
end)

test("blanks_are_wide_and_apart_enough_for_gloves", function()
  local blanks = items(picture.of(measured, {width = 180}), "blank")
  check.equal(#blanks, 6 + 4 + 4)
  local rows = {}
  for _, blank in ipairs(blanks) do
    local line = blank.loops[1]
    check.near(line[2][1] - line[1][1], 17, 1e-9)
    if rows[#rows] ~= line[1][2] then rows[#rows + 1] = line[1][2] end
  end
  for i = 2, #rows do check.near(rows[i] - rows[i - 1], 7, 1e-9) end
end)

test("what_scales_read_by_themselves_is_drawn_without_a_car", function()
  local d = picture.of(results.corners_swapped, {width = 180})
  check.equal(d.scale, nil)
  check.contains(all_text(d), "49.47 ± 0.02 % cross weight (RF + LR)")
  check.equal(#items(d, "beam"), 0)
end)

check.done()
