-- Pictures of studies, of simulations, of what changed and of the book: that they keep the rules, what stands on them and where.
-- Under the command alone: where and in which locale a picture is drawn is what test_draw.lua shows.
-- With one compiler: it compares a picture with the result that it is drawn from.
-- Not under sanitizers: drawing is Lua, and what it asks of the core test_draw.lua, test_scene.lua and test_plot.lua ask there.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local drawing = require "steelyard.draw.drawing"
local picture = require "steelyard.draw.picture"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local trend = require "steelyard.answers.changes.trend"
local test = check.test

-- Two-seater of 150 parts, three wheels, the first guess, and one restated with x forward and the ground at 140.
local cars = {{"twayblade", sy.load "vehicles/twayblade.lua":state "race start", "powertrain"},
              {"burnet", sy.load "vehicles/burnet.lua", "engine and gearbox"},
              {"first_guess", sy.load "vehicles/first_guess.lua":state "race start", "powertrain"},
              {"other_axes", rules.restated "vehicles/burnet.lua", "engine and gearbox"}}
local first_guess = cars[3][2]
local history = "vehicles/history/sedge-2024-"
local dated = {history .. "01-18.lua", history .. "02-15.lua", history .. "03-14.lua", history .. "06-08.lua"}

-- ---- results with a picture -----------------------------------------------------------------------------------------------------

-- Limits that some variants break: 41 to 43 % for the first guess, with 42.46 % on the front.
local function limits_of(car)
  local share = math.floor(car:balance().front_share + 0.5)
  return {front_share = {share - 1, share + 1}}
end

local function window(car, what)
  return sy.study{car, vary = {sy.vary(what, "back", -50, 75, 6), sy.vary("driver", "mass", 60, 100, 3)}, quiet = true,
                  show = {"front_share", "height", "yaw_inertia"}, limits = limits_of(car), worst_over = {"driver"}}
end

local function along(car, what)
  return sy.study{car, vary = {sy.vary(what, "back", -50, 75, 6)}, show = {"front_share", "left_share"}, limits = limits_of(car),
                  quiet = true}
end

local function map(car, what, show)
  return sy.study{car, vary = {sy.vary(what, "back", -100, 100, 11), sy.vary("driver", "mass", 55, 105, 6)}, quiet = true,
                  show = show or {"front_share", "yaw_index"}, limits = limits_of(car)}
end

local function front(car, what)
  return sy.study{car, vary = {sy.vary(what, "back", -60, 80, 15), sy.vary("driver", "back", -100, 100, 9)}, quiet = true,
                  show = {"yaw_inertia", "front_share"}, front = {yaw_inertia = "least", front_share = "most"}}
end

local function spread(car)
  return sy.spread{car, draws = 20000, seed = 1, show = {"mass", "front_share", "height"}, growth = true, below = {mass = 790},
                   above = {front_share = 43}, quiet = true}
end

-- name of the picture, result of a car
local of_a_car = {
  {"lines", along}, {"lines", window}, {"map", map}, {"lines", map, "lines"}, {"front", front},
  {"tornado", function(car) return sy.sensitivity{car, show = {"front_share", "height"}} end},
  {"tornado", function(car, what)
    return sy.sensitivity{car, show = {"front_share"}, vary = {sy.vary(what, "back", -50, 50, 5), sy.vary("driver", "mass", 60, 100, 5)}}
  end},
  {"histogram", spread},
  {"waterfall", function(car, what)
    return sy.changes(car, car:move(what, {back = 40}):set("driver", {mass = 91}), {by = "front_share"})
  end},
  {"masses", function(car) return car:book() end},
}

local drawn = {} -- {drawing, name, what, result}

do
  local function run(...) drawn[#drawn + 1] = {...} end
  for _, car in ipairs(cars) do
    for _, entry in ipairs(of_a_car) do
      local r = entry[2](car[2], car[3])
      for _, width in ipairs{180, 90} do
        run(picture.of(r, {width = width, kind = entry[3]}), entry[1], ("%s of %s, %d"):format(entry[1], car[1], width), r)
      end
    end
  end
  local stint = cars[1][2]:stint{fuel = {from = 30, to = 4}, show = {"front_share", "left_share", "height", "corners.lf"},
    drivers = {{name = "driver", from = 30, to = 17}, {name = "tall driver", from = 17, to = 4}}}
  local trends = {trend.of(dated, {state = "race start"}), trend.of({dated[1], dated[2]}, {dates = {"first", "second"}, by = "mass"})}
  for _, width in ipairs{180, 90, 240} do
    run(picture.of(stint, {width = width}), "burn", "burn " .. width, stint)
    for _, r in ipairs(trends) do run(picture.of(r, {width = width}), "history", "history " .. width, r) end
  end
end

local function each(run)
  for _, one in ipairs(drawn) do run(table.unpack(one)) end
end

test("pictures_of_results_keep_the_rules", function()
  local seen = {}
  each(function(d, name, what, r)
    rules.keep(check, d, what)
    check.equal(d.picture, name == "front" and #r.front == 0 and "map" or name, what) -- a car of which no variant keeps the limits
    seen[d.picture] = true
  end)
  for _, name in ipairs{"lines", "map", "front", "tornado", "histogram", "waterfall", "history", "masses", "burn"} do
    check.ok(seen[name], name)
  end
end)

test("what_the_page_says_beside_the_numbers_stands_on_the_picture", function()
  each(function(d, _, what, r)
    local said = table.concat(d.notes, "\n"):gsub("±", "+-"):gsub("\u{A0}", " ")
    for _, note in ipairs(r.notes) do check.contains(said, note, what) end
  end)
end)

-- ---- where the marks stand --------------------------------------------------------------------------------------------------------

local function marks_of(d, what)
  local list = {}
  for _, item in ipairs(drawing.canvas_of(d).items) do if item.what == what then list[#list + 1] = item end end
  return list
end

local function number(words) return tonumber((words:gsub("−", "-"))) end

-- Two ticks with numbers say where every number stands: place -> value. across: of the level axis. of: number of the plot.
local function scale_of(d, across, of)
  local items, plots = drawing.canvas_of(d).items, {}
  local axes = marks_of(d, "axis") -- two a plot, the upright one first
  local frame = axes[2 * of - 1]
  local left, top, _, bottom = canvas.bounds_of(frame)
  for _, item in ipairs(items) do
    local value = item.kind == "text" and number(item.words)
    if value and across and item.anchor == "middle" and item.y > bottom and item.y < bottom + 7 then plots[#plots + 1] = {value, item.x} end
    local beside = item.anchor == "end" and item.x < left and item.x > left - 12
    if value and not across and beside and item.y > top - 2 and item.y < bottom + 3 then
      plots[#plots + 1] = {value, item.y - 0.36 * item.size}
    end
  end
  local a, b = plots[1], plots[#plots]
  return function(place) return a[1] + (place - a[2]) / (b[2] - a[2]) * (b[1] - a[1]) end
end

local PAPER = 0.002 -- of the range of an axis: the halves of the lines that axes are measured by

test("marks_of_variants_stand_at_their_numbers", function()
  local r = along(first_guess, "powertrain")
  for _, width in ipairs{180, 90} do
    local d = picture.of(r, {width = width})
    local x, y = scale_of(d, true, 1), scale_of(d, false, 1)
    local dots = {}
    for _, item in ipairs(marks_of(d, "variant")) do dots[#dots + 1] = item end
    check.equal(#dots >= r.n, true)
    for i = 1, r.n do
      check.near(x(dots[i].x), r.columns["powertrain back"][i], PAPER * 125)
      check.near(y(dots[i].y), r.columns.front_share[i], PAPER * 4)
    end
    check.equal(#marks_of(d, "fail") > 0, r.counts.fail > 0)
    check.equal(#marks_of(d, "limit"), 2)
  end
end)

test("the_band_of_a_study_is_what_is_lowest_and_highest", function()
  local r = window(first_guess, "powertrain")
  local d = picture.of(r, {width = 180})
  local x, y = scale_of(d, true, 1), scale_of(d, false, 1)
  local edges = marks_of(d, "range")
  local low, high = edges[2].loops[1], edges[3].loops[1] -- after the fill
  for i = 1, r.n do
    check.near(x(low[i][1]), r.columns["powertrain back"][i], PAPER * 125)
    check.near(y(low[i][2]), r.lowest.front_share[i], PAPER * 4)
    check.near(y(high[i][2]), r.highest.front_share[i], PAPER * 4)
  end
end)

-- On a contour the answer of the car there is its number, but for what is bent between two points of the grid.
test("contours_run_where_the_car_has_their_number", function()
  local r = map(first_guess, "powertrain", {"front_share"})
  local d = picture.of(r, {width = 180})
  local x, y = scale_of(d, true, 1), scale_of(d, false, 1)
  local labels = {}
  for _, item in ipairs(drawing.canvas_of(d).items) do
    if item.kind == "text" and item.label and number(item.words) then labels[#labels + 1] = item end
  end
  check.equal(#labels >= 3, true)
  for _, label in ipairs(labels) do
    local car = first_guess:move("powertrain", {back = x(label.x)}):set("driver", {mass = y(label.y - 0.36 * label.size)})
    check.near(car:balance().front_share, number(label.words), 0.01, label.words)
  end
end)

test("the_hatching_lies_where_the_car_breaks_a_limit", function()
  local r = map(first_guess, "powertrain", {"front_share"})
  local d = picture.of(r, {width = 180})
  local x, y = scale_of(d, true, 1), scale_of(d, false, 1)
  local pieces = {}
  for _, hatch in ipairs(marks_of(d, "infeasible")) do table.move(hatch.loops, 1, #hatch.loops, #pieces + 1, pieces) end
  check.equal(#pieces > 20, true)
  local function share_at(left, down)
    return first_guess:move("powertrain", {back = x(left)}):set("driver", {mass = y(down)}):balance().front_share
  end
  for _, piece in ipairs(pieces) do
    local share = share_at((piece[1][1] + piece[2][1]) / 2, (piece[1][2] + piece[2][2]) / 2)
    check.equal(share > 43 - 0.02 or share < 41 + 0.02, true, text.plain(share))
  end
  for _, item in ipairs(drawing.canvas_of(d).items) do
    if item.words == "FAIL" then
      local there = share_at(item.x, item.y - 0.36 * item.size)
      check.equal(there > 43.2 or there < 40.8, true, "FAIL stands at " .. text.plain(there))
    end
  end
  check.equal(#marks_of(picture.of(sy.study{first_guess, vary = {sy.vary("powertrain", "back", -10, 10, 3),
    sy.vary("driver", "mass", 75, 80, 3)}, show = {"front_share"}, quiet = true}, {}), "infeasible"), 0)
end)

test("a_front_joins_its_variants_in_order", function()
  local r = front(first_guess, "powertrain")
  local d = picture.of(r, {width = 180})
  local x, y = scale_of(d, true, 1), scale_of(d, false, 1)
  local dots = marks_of(d, "in front")
  check.equal(#dots, #r.front)
  for i, k in ipairs(r.front) do
    check.near(x(dots[i].x), r.columns.yaw_inertia[k], PAPER * 100)
    check.near(y(dots[i].y), r.columns.front_share[k], PAPER * 5)
  end
  check.equal(r.wishes[1].name, "yaw_inertia")
  check.equal(r.wishes[1].way, "least")
  check.equal(r.wishes[2].way, "most")
  check.contains(table.concat(d.texts, "\n"), "more is better")
end)

test("bars_of_a_tornado_end_at_the_answers", function()
  local r = sy.sensitivity{first_guess, show = {"front_share"}}
  local d = picture.of(r, {width = 180})
  local value = marks_of(d, "value")[1].loops[1][1][1]
  local function length(row, way)
    local x1, _, x2 = canvas.bounds_of(marks_of(d, ("%s %s"):format(way, row.what))[1])
    return (x1 + 0.125 < value - 0.01 and -1 or 1) * (x2 - x1 - 0.25)
  end
  local first = r.front_share[1]
  local a_percent = length(first, "more") / (first.high - r.front_share.value)
  for i = 1, 4 do
    local row = r.front_share[i]
    check.near(length(row, "more"), a_percent * (row.high - r.front_share.value), 0.01, row.what)
    check.near(length(row, "less"), a_percent * (row.low - r.front_share.value), 0.01, row.what)
  end
end)

test("the_interval_of_a_histogram_is_95_percent_of_its_area", function()
  local r = spread(first_guess)
  local d = picture.of(r, {width = 180})
  local x = scale_of(d, true, 1)
  local function area(loop)
    local sum = 0
    for i, p in ipairs(loop) do
      local q = loop[i % #loop + 1]
      sum = sum + p[1] * q[2] - q[1] * p[2]
    end
    return math.abs(sum) / 2
  end
  local all, inner = marks_of(d, "draws")[1].loops[1], marks_of(d, "inner")[1].loops[1]
  check.near(area(inner) / area(all), 0.95, 0.004) -- the bars leave out what lies 3.6 standard deviations away, and cut bars are level
  check.near(x(inner[1][1]), r.mass.p2_5, PAPER * 120)
  check.near(x(inner[#inner][1]), r.mass.p97_5, PAPER * 120)
  local curve = marks_of(d, "first order")[1].loops[1]
  check.near(area(curve) / area(all), 1, 0.01)
  check.contains(table.concat(d.texts, "\n"), ("below 790.0\u{A0}kg: %s\u{A0}%%"):format(core.fixed(100 * r.mass.probability[1].p, 1)))
end)

test("a_waterfall_adds_up", function()
  local r = sy.changes(dated[2], dated[3], {state = "race start", by = "front_share"})
  for _, width in ipairs{180, 90} do
    local d = picture.of(r, {width = width})
    local zero = marks_of(d, "zero")[1].loops[1][1][1]
    local x1, _, x2 = canvas.bounds_of(marks_of(d, "sum")[1])
    local a_percent = (x2 - x1 - 0.25) / math.abs(r.total.d_front_share)
    local at, i = 0, 0
    while true do
      local bar = marks_of(d, "line " .. i + 1)[1]
      if not bar then break end
      i = i + 1
      local left, _, right = canvas.bounds_of(bar)
      local to = bar.fill == "ink" and right - 0.125 or left + 0.125
      local from = bar.fill == "ink" and left + 0.125 or right - 0.125
      check.near(from, zero + at, 0.01)
      at = to - zero
      if i == 1 then check.near(math.abs(to - from), a_percent * math.abs(r.rows[1].d_front_share), 0.01) end
    end
    check.equal(i > 4, true)
    check.near(at, a_percent * r.total.d_front_share, 0.02)
    local said = table.concat(d.texts, "\n")
    check.contains(said, "smaller line")
    check.contains(said, r.questions[1]:gsub("^%l", string.upper))
  end
end)

test("what_did_not_change_has_no_bars", function()
  local d = picture.of(sy.changes(first_guess, first_guess), {width = 90})
  check.contains(table.concat(d.texts, "\n"), "Nothing has changed.")
end)

test("steps_of_a_trend_stand_at_their_dates", function()
  local r = trend.of(dated, {state = "race start"})
  local d = picture.of(r, {width = 180})
  local y = scale_of(d, false, 1)
  local dots, growth = marks_of(d, "file"), marks_of(d, "growth")
  local days = {0, 28, 56, 142} -- from 18 January 2024 to 15 February, 14 March and 8 June: 13 + 15, 14 + 14, 17 + 30 + 31 + 8 (leap year)
  for i, row in ipairs(r.rows) do
    check.near(y(dots[i].y), row.mass, PAPER * 200)
    check.near((dots[i].x - dots[1].x) / (dots[4].x - dots[1].x), days[i] / 142, 1e-9)
    local _, top, _, foot = canvas.bounds_of(growth[i])
    check.near(y(top + 0.175), row.mass_with_growth, PAPER * 200)
    check.near(y(foot - 0.175), row.mass, PAPER * 200)
  end
  check.equal(marks_of(d, "95 %")[1] ~= nil, true)
end)

test("a_limit_of_the_latest_file_is_the_target_line", function()
  local d = picture.of(trend.of(dated, {state = "race start"}), {width = 180})
  local said = table.concat(d.texts, "\n")
  check.contains(said, "at most 47")
  check.contains(said, "at least 42")
  check.equal(#marks_of(d, "limit"), 2)
end)

test("masses_add_up_by_group_and_by_basis", function()
  for _, car in ipairs(cars) do
    local r = car[2]:book()
    local d = picture.of(r, {width = 180})
    local said, by_basis = table.concat(d.texts, "\n"), {}
    local sum = 0
    for _, one in ipairs(r.by_basis) do
      sum = sum + one.mass
      by_basis[one.name] = one.mass
      check.contains(said, core.fixed(one.mass, 1), one.name)
    end
    check.contains(said, core.fixed(car[2]:balance().mass, 1))
    for _, one in ipairs(r.by_group) do
      if one.mass > 0 then check.contains(said, core.fixed(one.mass, 1), one.name) end
    end
    for basis, mass in pairs(by_basis) do -- the bars of a basis in all groups are as long together as its mass
      local bars = marks_of(d, basis)
      check.equal(#bars >= 2, true, basis)
      check.equal(mass <= sum, true)
    end
  end
end)

test("a_stint_is_drawn_as_it_burns", function()
  local r = cars[1][2]:stint{fuel = {from = 30, to = 4}, show = {"front_share"},
    drivers = {{name = "driver", from = 30, to = 17}, {name = "tall driver", from = 17, to = 4}}}
  local d = picture.of(r, {width = 180})
  local x, y = scale_of(d, true, 1), scale_of(d, false, 1)
  local dots = marks_of(d, "row")
  for i, row in ipairs(r.rows) do
    check.near(x(dots[i].x), row.litres, PAPER * 26)
    check.near(y(dots[i].y), row.values.front_share, PAPER * 0.6)
  end
  check.equal(dots[1].x < dots[#dots].x, true)
  check.near(y(marks_of(d, "mean")[1].loops[1][1][2]), r.mean.front_share, PAPER * 0.6)
  check.near(x(marks_of(d, "to set up")[1].x), r.at, PAPER * 26)
  check.equal(#marks_of(d, "change of drivers"), 1)
  check.contains(table.concat(d.texts, "\n"), "tall driver")
end)

-- ---- odd names, bare results ------------------------------------------------------------------------------------------------------

local right_to_left = "\u{5DE}\u{5E0}\u{5D5}\u{5E2}"
local odd_car = [==[vehicle { title = "T & <t> with a title that is a good deal longer than a title has a right to be on one line",
  axes = {x = "back", y = "right", z = "up"}, axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300},
  {name = "rear", at = 2400, track = 1400, loaded_radius = 300}}, parts = {
  part [[a < b & "c" 'd' and a name that goes on and on without an end in sight]] { mass = sd(300, 5), at = {1200, 0, 300} },
  part "NAME" { mass = sd(90, 2), at = {300, 0, 300} }, part "feather" { mass = 0, at = {0, 0, 0} } } }]==]

test("odd_names_and_bare_results_keep_the_rules", function()
  local path = os.tmpname()
  local file = assert(io.open(path, "w"))
  file:write((odd_car:gsub("NAME", right_to_left)))
  file:close()
  local car = sy.load(path)
  os.remove(path)
  local function study(vary, o)
    local request = {car, vary = vary, show = {"front_share"}, quiet = true}
    for key, value in pairs(o or {}) do request[key] = value end
    return sy.study(request)
  end
  local move, weight = sy.vary(right_to_left, "back", 0, 10, 2), sy.vary("feather", "mass", 0, 10, 2)
  for what, r in pairs{
    book = car:book(), ["book of nothing"] = car:book "feather", sensitivity = sy.sensitivity{car, show = {"front_share", "mass"}},
    changes = sy.changes(car, car:set(right_to_left, {mass = 120})),
    ["no change of that"] = sy.changes(car, car:set(right_to_left, {mass = 120}), {by = "left_share"}),
    ["spread without spread"] = sy.spread{car, draws = 100, seed = 1, show = {"mass", "left_share"}, quiet = true},
    ["one value"] = study{sy.vary(right_to_left, "back", {0})}, ["level map"] = study({move, weight}, {show = {"left_share"}}),
    ["all fail"] = study({move, weight}, {limits = {front_share = {90, 95}}}),
    ["three inputs"] = study{move, weight, sy.vary("feather", "back", 0, 10, 2)},
    ["one at a time"] = study({move, weight}, {method = "one at a time"})} do
    for _, width in ipairs{180, 90} do
      local d = picture.of(r, {width = width})
      rules.keep(check, d, what)
      check.contains(drawing.svg_of(d), "T &amp; &lt;t&gt;", what)
    end
  end
  check.contains(table.concat(picture.of(car:book(), {}).texts, "\n"), "\u{2068}" .. right_to_left .. "\u{2069}")
end)

-- ---- which picture, and which has none ----------------------------------------------------------------------------------------------

test("a_study_takes_the_picture_of_its_shape", function()
  local function usual(r) return picture.of(r, {}).picture end
  check.equal(usual(along(first_guess, "powertrain")), "lines")
  check.equal(usual(window(first_guess, "powertrain")), "lines")
  check.equal(usual(map(first_guess, "powertrain")), "map")
  check.equal(usual(front(first_guess, "powertrain")), "front")
  check.equal(usual(sy.study{cars[1][2], vary = {sy.vary("state", {"race start", "end of race"}), sy.vary("powertrain", "back", -5, 5, 3)},
                             show = {"front_share"}, quiet = true}), "lines")
  check.equal(usual(sy.study{first_guess, vary = {sy.vary("powertrain", "back", -5, 5), sy.vary("driver", "mass", 60, 90)}, quiet = true,
                             method = "sobol", points = 32, show = {"front_share"}}), "lines")
end)

test("what_has_no_picture_says_so", function()
  local r = along(first_guess, "powertrain")
  check.raises(function() picture.of(r, {kind = "map"}) end, {code = "unavailable", field = "kind", hint = 'kind = "lines"'})
  check.raises(function() picture.of(r, {kind = "front"}) end, {code = "unavailable", field = "kind"})
  local folded = sy.study{first_guess, vary = {sy.vary("driver", "mass", 60, 90, 3)}, show = {"front_share"}, worst_over = {"driver"},
                          quiet = true}
  check.raises(function() picture.of(folded, {}) end, {code = "unavailable", field = "vary"})
end)

test("shards_have_a_picture_when_they_are_merged", function()
  local one, two = os.tmpname(), os.tmpname()
  local function shard(k, path)
    return sy.study{first_guess, vary = {sy.vary("powertrain", "back", -50, 75, 6)}, show = {"front_share"}, quiet = true,
                    shard = {k, 2}, to = path, replace = true}
  end
  check.raises(function() picture.of(shard(1, one), {}) end, {code = "unavailable", field = "shard"})
  shard(2, two)
  local d = picture.of(sy.merge{one, two}, {width = 90})
  check.equal(#marks_of(d, "variant"), 6)
  rules.keep(check, d, "merged")
  os.remove(one)
  os.remove(two)
end)

test("commands_write_their_pictures", function()
  for _, line in ipairs{"window vehicles/first_guess.lua", "engine_driver_map vehicles/first_guess.lua", "pareto vehicles/first_guess.lua",
                        "tornado vehicles/first_guess.lua", "spread vehicles/first_guess.lua --draws 1000", "book vehicles/first_guess.lua",
                        "stint vehicles/twayblade.lua --from 30 --down-to 4", "what_changed " .. dated[1] .. " " .. dated[2],
                        "what_changed " .. table.concat(dated, " ")} do
    local path = os.tmpname() .. ".svg"
    local ran = check.command(("%s %s --plot %s"):format(check.steelyard, line, path))
    check.contains(ran.err, path .. " is written.", line)
    local file = assert(io.open(path))
    check.contains(file:read "a", "</svg>", line)
    file:close()
    os.remove(path)
  end
end)

check.done()
