-- sy.report: the data in the page, what it refuses, and how it is written. What a browser makes of it: tests/page.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local drawing = require "steelyard.draw.drawing"
local json = require "steelyard.print.json"
local short_paths = require "steelyard.report.short_paths"
local sy = require "steelyard"
local test = check.test

local function read(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

-- The blocks of a page by id, as the browser takes them from it: without the escape of "<".
local function blocks_of(html)
  local blocks, order = {}, {}
  for id, text in html:gmatch '<script type="application/json" id="([^"]+)">(.-)</script>' do
    check.equal(blocks[id], nil, id)
    blocks[id], order[#order + 1] = text:gsub("\\u003c", "<"), id
  end
  return blocks, order
end

-- JSON without the blanks and line ends between its marks.
local function packed(text)
  local pieces, from = {}, 1
  while true do
    local a = text:find('"', from, true)
    if not a then break end
    local b = text:find('["\\]', a + 1)
    while text:sub(b, b) == "\\" do b = text:find('["\\]', b + 2) end -- what stands behind a stroke ends no text
    pieces[#pieces + 1] = text:sub(from, a - 1):gsub("%s+", "")
    pieces[#pieces + 1] = text:sub(a, b)
    from = b + 1
  end
  return table.concat(pieces) .. text:sub(from):gsub("%s+", "")
end

local car = sy.load("vehicles/twayblade.lua"):state "race start"
local page = sy.report{car}:html()
local blocks = blocks_of(page)

-- ---- data -----------------------------------------------------------------------------------------------------------------------

test("a_block_is_what_json_writes_without_the_blanks", function()
  local i = json.decode(blocks.report).cars[1]
  check.equal(i.shown, 1)
  for block, words in pairs{[i.states[2].balance] = "balance", [i.book] = "book"} do
    local done = check.command(("%s %s vehicles/twayblade.lua --state 'race start' --json"):format(check.steelyard, words))
    check.equal(blocks[block] == packed(done.out), true, words)
    check.equal(json.decode(blocks[block]), json.decode(done.out), words)
  end
  local kerb = check.command(check.steelyard .. " balance vehicles/twayblade.lua --state kerb --json").out
  check.equal(blocks[i.states[1].balance] == packed(kerb), true)
end)

test("records_and_the_car_as_they_leave_it_are_what_json_writes", function()
  local tansy = blocks_of(sy.report{sy.load "vehicles/tansy.lua"}:html())
  local i = json.decode(tansy.report).cars[1]
  for block, words in pairs{[i.records] = "records vehicles/tansy.lua", [i.built] = "as_built vehicles/tansy.lua",
                            [i.recorded[1]] = "records vehicles/tansy.lua 'first scales'"} do
    check.equal(tansy[block] == packed(check.command(("%s %s --json"):format(check.steelyard, words)).out), true, words)
  end
end)

test("shares_are_those_of_sensitivity_and_come_to_100_percent", function()
  local i = json.decode(blocks.report).cars[1]
  local of = json.decode(blocks[i.states[2].rests])
  local own = sy.sensitivity{car, show = {"front_share", "lf"}, top = 4}
  for _, name in ipairs{"front_share", "lf"} do
    local sum = of.quantities[name].rest_share
    check.equal(#of.quantities[name].list, 4, name)
    for k, row in ipairs(of.quantities[name].list) do
      check.equal(row.variance_share, own.quantities[name][k].variance_share, name)
      sum = sum + row.variance_share
    end
    check.near(sum, 100, 1e-9, name) -- a few roundings of percent
  end
end)

test("a_scene_has_its_lengths_to_a_millimetre", function()
  local i = json.decode(blocks.report).cars[1]
  local of, scene = json.decode(blocks[i.scene]), car:scene()
  check.equal(#of.bodies.path, #scene.bodies)
  local points = 0
  for k, body in ipairs(scene.bodies) do
    check.equal(of.bodies.path[k], body.path)
    check.equal(of.bodies.mass[k], body.mass)
    for n, letter in ipairs{"x", "y", "z"} do check.near(of.bodies.at[k][n], body.at[letter], 0.5 + 1e-9, body.path) end
    for view, loops in pairs(body.outlines or {}) do
      local kept = of.bodies.outlines[k][view]
      check.equal(#kept, #loops)
      for l, loop in ipairs(loops) do
        local at = 1 -- points that became one are there once
        for _, p in ipairs(loop) do
          local q = kept[l][at]
          if math.abs(q[1] - p[1]) > 0.5 + 1e-9 or math.abs(q[2] - p[2]) > 0.5 + 1e-9 then
            at = at + 1
            q = kept[l][at]
          end
          check.near(q[1], p[1], 0.5 + 1e-9)
          check.near(q[2], p[2], 0.5 + 1e-9)
          points = points + 1
        end
        check.equal(at, #kept[l])
      end
    end
  end
  check.ok(points > 1000, points)
end)

test("quantities_are_the_table_of_quantities", function()
  local of = json.decode(blocks.quantities)
  for _, q in ipairs(require("steelyard.reference.quantities").list) do
    check.equal({of[q.name].label, of[q.name].unit, of[q.name].decimals, of[q.name].meaning}, {q.label, q.unit, q.decimals, q.meaning})
  end
end)

test("packed_json_is_the_same_without_blanks", function()
  for _, value in ipairs{{}, {a = {1, 2, {b = "x  y\n\"z\\"}}, ["c d"] = json.null}, {{{}}, {{1}, {2, 3}}}, "a b", 1.5, {sd = {}}} do
    local long = json.encode(value)
    check.equal(json.packed(value), packed(long))
    check.equal(json.encode(json.decode(json.packed(value))), json.encode(json.decode(long)))
  end
end)

-- ---- drawings -------------------------------------------------------------------------------------------------------------------

-- Points of all lines of an SVG, in hundredths.
local function points_of(svg)
  local list = {}
  for data in svg:gmatch ' d="([^"]*)"' do
    local x, y, from_x, from_y = 0, 0, 0, 0
    local function put() list[#list + 1] = ("%d %d"):format(math.floor(x + 0.5), math.floor(y + 0.5)) end
    for mark, words in data:gmatch "(%a)([^%a]*)" do
      local n = {}
      for number in words:gmatch "%-?%d*%.?%d+" do n[#n + 1] = 100 * core.number((number:gsub("^(%-?)%.", "%10."))) end
      local takes = (mark == "h" or mark == "v") and 1 or 2
      for k = 1, math.max(1, #n), takes do -- a mark that is not repeated; behind m follow lines
        if mark == "M" or mark == "L" then x, y = n[k], n[k + 1]
        elseif mark == "m" or mark == "l" then x, y = x + n[k], y + n[k + 1]
        elseif mark == "h" then x = x + n[k]
        elseif mark == "v" then y = y + n[k]
        else x, y = from_x, from_y end
        if k == 1 and (mark == "M" or mark == "m") then from_x, from_y = x, y end
        put()
      end
    end
  end
  return list
end

-- The rest of it, with what its root says of all words put back to them.
local function besides(svg)
  local root, rest = svg:match "^(<svg[^>]*)(.*)$"
  local size, ink = root:match ' font%-size="[^"]*"', root:match ' fill="[^"]*"'
  rest = rest:gsub(' d="[^"]*"', ""):gsub("<text[^>]*>", function(tag)
    if ink and not tag:find(" fill=", 1, true) then tag = tag:gsub(">$", ink .. ">") end
    if size and not tag:find(" font-size=", 1, true) then tag = tag:gsub('( y="[^"]*")', "%1" .. size, 1) end
    return tag
  end)
  root = root:gsub(' xmlns="[^"]*"', "")
  for _, look in ipairs{size or "", ink or ""} do
    local from, to = root:find(look, 1, true)
    root = root:sub(1, from - 1) .. root:sub(to + 1)
  end
  return root .. rest
end

test("drawings_in_the_page_have_the_points_of_the_commands", function()
  local n = 0
  for _, view in ipairs{"side", "plan", "front"} do
    for _, width in ipairs{180, 90} do
      local svg = drawing.svg_of(car:draw{view = view, width = width})
      local short = short_paths.of(svg)
      check.ok(page:find(short, 1, true), view)
      check.equal(points_of(short), points_of(svg), view)
      check.equal(besides(short), besides(svg), view)
      n = n + #points_of(svg)
    end
  end
  check.ok(n > 3000, n)
end)

-- ---- studies ----------------------------------------------------------------------------------------------------------------------

local small = sy.load "vehicles/first_guess.lua":state "race start"

local function study(o)
  local request = {small, show = {"front_share", "height"}, quiet = true}
  for key, value in pairs(o) do request[key] = value end
  return sy.study(request)
end

local function in_page(s)
  local of = blocks_of(sy.report{small, studies = {s}}:html())
  local entry = json.decode(of.report).studies[1]
  return entry, json.decode(of[entry.block]), of[entry.block]
end

local function numbers_in(doc)
  local n = 0
  for _, field in ipairs{"columns", "sd", "lowest", "highest", "lowest_at", "highest_at"} do
    for _, column in pairs(doc[field] or {}) do n = n + #column end
  end
  return n + #(doc.verdict or {})
end

test("a_study_is_in_the_page_as_json_writes_it", function()
  local s = study{vary = {sy.vary("powertrain", "back", -50, 50, 5), sy.vary("driver", "mass", 60, 100, 3)}, uncertainty = true}
  local entry, _, text = in_page(s)
  check.equal(text == packed(json.encode(require("steelyard.reference.document").of(s))), true)
  check.equal(#entry.kept, 15)
  check.equal({#entry.sliders[1].words, #entry.sliders[2].words}, {5, 3})
  check.equal(entry.sliders[1].words, {"50 forward", "25 forward", "as booked", "25 back", "50 back"})
  check.equal(entry.sliders[1].start, 2)
  check.contains(entry.says, "a grid of 5 by 3, all of them")
end)

-- The variants of a page are those of the study: values of each input are thinned to steps that divide them, both ends stay.
test("a_large_grid_is_thinned_to_steps_that_divide_it", function()
  local s = study{vary = {sy.vary("powertrain", "back", -50, 50, 101), sy.vary("driver", "mass", 60, 100, 81),
                          sy.vary("state", {"race start", "no driver"})}}
  local entry, doc = in_page(s)
  check.ok(numbers_in(doc) <= 20000, numbers_in(doc))
  check.ok(numbers_in(doc) > 5000, numbers_in(doc))
  local sizes = {}
  for j, slider in ipairs(entry.sliders) do sizes[j] = #slider.words end
  check.equal(sizes[3], 2)
  for j, n in ipairs{101, 81} do check.equal((n - 1) % (sizes[j] - 1), 0) end
  check.equal({doc.inputs[1].values[1], doc.inputs[1].values[sizes[1]]}, {-50, 50})
  check.equal(#entry.kept, sizes[1] * sizes[2] * sizes[3])
  check.contains(entry.says, "of 16,362 variants")
  for k = 1, #entry.kept, 97 do
    for _, name in ipairs{"powertrain back", "driver mass", "front_share", "height", "state"} do
      check.equal(doc.columns[name][k], s.columns[name][entry.kept[k]], name)
    end
  end
  check.equal(doc.n, 16362)
end)

test("what_no_step_divides_keeps_its_ends_or_is_taken_one_by_one", function()
  local prime = study{vary = {sy.vary("powertrain", "back", -50, 50, 5004), sy.vary("driver", "mass", 60, 100, 2)}} -- 5003 is prime
  local entry, doc = in_page(prime)
  check.equal({#entry.sliders[1].words, entry.sliders[1].words[2]}, {2, "50 back"})
  check.ok(numbers_in(doc) <= 20000)
  local grid = study{vary = {sy.vary("state", {"race start", "no driver"}),
                             sy.vary("driver", "mass", {60, 61, 63, 64, 68, 70, 77, 80}), sy.vary("powertrain", "back", -50, 50, 400)}}
  entry, doc = in_page(grid) -- 399 = 3 x 7 x 19
  check.equal((#entry.sliders[3].words - 1) * (399 // (#entry.sliders[3].words - 1)), 399)
  check.ok(numbers_in(doc) <= 20000)
end)

test("points_that_are_no_grid_have_one_slider", function()
  local s = study{vary = {sy.vary("powertrain", "back", -50, 50), sy.vary("driver", "mass", 60, 100)}, method = "sobol", points = 9000}
  local entry, doc = in_page(s)
  check.equal(#entry.sliders, 1)
  check.equal(#entry.sliders[1].words, #entry.kept)
  check.ok(numbers_in(doc) <= 20000 and numbers_in(doc) > 9000, numbers_in(doc))
  check.contains(entry.says, "every ")
  check.equal({entry.kept[1], entry.kept[2] - 1, entry.kept[#entry.kept] - 1}, -- every so many-th from the first on
    {1, entry.kept[3] - entry.kept[2], (#entry.kept - 1) * (entry.kept[2] - 1)})
  check.equal(doc.columns.height[7], s.columns.height[entry.kept[7]])
  check.contains(entry.sliders[1].words[3], ("variant %d"):format(entry.kept[3]))
end)

test("a_study_that_folds_and_judges_keeps_its_other_columns", function()
  local s = study{vary = {sy.vary("powertrain", "back", -50, 50, 2001), sy.vary("driver", "mass", 60, 100, 3)}, worst_over = {"driver"},
                  limits = {front_share = {40, 42}}}
  local entry, doc = in_page(s)
  check.equal(#doc.verdict, #entry.kept)
  check.equal(#doc.lowest.height, #entry.kept)
  check.equal(doc.highest_at.front_share[3], s.highest_at.front_share[entry.kept[3]])
  check.equal(doc.verdict[5], s.verdict[entry.kept[5]])
  check.ok(#entry.kept < 2001)
end)

test("three_hundred_studies_stay_a_page", function()
  local s, list = study{vary = {sy.vary("powertrain", "back", -50, 50, 101), sy.vary("driver", "mass", 60, 100, 41)}}, {}
  for i = 1, 300 do list[i] = s end
  local html = sy.report{small, studies = list}:html()
  local of, sum = blocks_of(html), 0
  local entries = json.decode(of.report).studies
  for _, entry in ipairs(entries) do sum = sum + 5 * #entry.kept end -- two inputs, two outputs, a verdict
  check.equal({#entries, numbers_in(json.decode(of[entries[300].block]))}, {300, 5 * #entries[300].kept})
  check.ok(sum <= 100000 and sum > 30000, sum)
  check.ok(#html < 4e6, #html)
end)

test("what_a_study_takes_is_asked_of_the_first_car", function()
  local r = sy.report{car, studies = {{vary = {sy.vary("driver", "mass", 60, 100, 3)}, show = {"mass"}}}}
  check.contains(r.studies[1], "3 variants")
  local of = blocks_of(r:html())
  local doc = json.decode(of[json.decode(of.report).studies[1].block])
  check.near(doc.columns.mass[3] - doc.columns.mass[1], 40, 1e-9) -- kg of driver, to roundings
end)

-- ---- the page ---------------------------------------------------------------------------------------------------------------------

test("a_page_of_the_two_seater_takes_less_than_300_kb", function()
  check.ok(#page < 300000, #page)
end)

test("the_same_car_gives_the_same_bytes", function()
  local other = sy.report{sy.load("vehicles/twayblade.lua"):state "race start"}:html()
  check.equal(other == page, true)
  local pwd = check.command("pwd").out:gsub("\n", "")
  check.equal(page:find(pwd, 1, true), nil)
  check.equal(page:find("vehicles/twayblade", 1, true), nil)
end)

local function count(text, what) return select(2, text:gsub(what, "")) end

test("no_name_ends_a_block_or_opens_a_tag", function()
  local bad = "</script><script>x</script><!-- <script>"
  local made = sy.car{title = "T " .. bad, axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
    {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
    parts = {sy.part "<b>&\"'" {mass = 500, at = {1000, 10, 300}, note = bad}}, limits = {{name = bad, quantity = "mass", max = 900}}}
  local html = sy.report{made, title = bad, fits = {made:balance()}}:html()
  local of, order = blocks_of(html)
  check.equal(count(html, "<script"), #order + 1)
  check.equal(count(html, "</script"), #order + 1)
  check.equal(html:find("<!--", 1, true), nil)
  check.equal(html:find("<b>", 1, true), nil)
  local i = json.decode(of.report)
  check.equal(i.title, bad)
  check.equal(json.decode(of[i.cars[1].states[1].balance]).limits[1].name, bad)
  check.equal(json.decode(of[i.cars[1].book]).rows[1].name, "<b>&\"'")
end)

test("nothing_may_come_from_elsewhere", function()
  local policy = page:match 'Content%-Security%-Policy" content="([^"]*)"'
  check.contains(policy, "default-src 'none'")
  check.equal(policy:find "http", nil)
  check.equal(policy:find "unsafe", nil)
  for what, tag in pairs{script = "<script>(.-)</script>", style = "<style>(.-)</style>"} do
    local digest = policy:match(what .. "%-src 'sha256%-([^']+)'")
    local hex = core.sha256(page:match(tag))
    -- base 64 by groups of six bits, written out another way than report/html.lua does
    local bits = hex:gsub("%x", function(x)
      local n, s = tonumber(x, 16), ""
      for k = 3, 0, -1 do s = s .. (n >> k & 1) end
      return s
    end) .. "00"
    local letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
    local base = bits:gsub("%d%d%d%d%d%d", function(six) local at = tonumber(six, 2) + 1; return letters:sub(at, at) end) .. "="
    check.equal(digest, base, what)
  end
  check.equal(count(page, ' src='), 0)
  for address in page:gmatch 'href="([^"]*)"' do check.ok(address:find "^#" or address == "data:,", address) end
end)

test("a_car_without_states_and_one_with_nothing_uncertain", function()
  local made = sy.car{title = "Bare", axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
    {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}, parts = {sy.part "tub" {mass = 500, at = {1000, 10, 300}}}}
  local of = blocks_of(sy.report{made}:html())
  local i = json.decode(of.report).cars[1]
  check.equal(#i.states, 1)
  check.equal(i.states[1].rests, nil)
  check.equal(i.records, nil)
  local empty = sy.car{title = "Empty", axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
    {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}, parts = {sy.part "tub" {mass = sy.unknown, at = {1000, 10, 300}}}}
  check.raises(function() sy.report{empty} end, {message = "mass"})
end)

test("a_state_in_which_nothing_is_aboard_is_said_and_hides_no_other", function()
  local made = sy.car{title = "Two states", axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288},
    {name = "rear", at = 2400, track = 1460, loaded_radius = 301}}, parts = {sy.part "tub" {mass = 500, at = {1000, 10, 300}}},
    states = {sy.state "whole" {}, sy.state "nothing" {without = {"tub"}}}}
  local i = json.decode(blocks_of(sy.report{made}:html()).report).cars[1]
  check.equal({#i.states, i.states[3].name, i.states[3].balance}, {3, "nothing", nil})
  check.ok(#i.states[3].why > 5)
end)

test("several_cars_are_compared", function()
  local moved = car:move("powertrain", {back = 50})
  local of = blocks_of(sy.report{car, moved}:html())
  local i = json.decode(of.report)
  check.equal(of[i.compared] == packed(json.encode(require("steelyard.reference.document").of(sy.compare{car, moved}))), true)
  check.equal(json.decode(of[i.cars[2].states[2].balance]).front, moved:balance().front)
  check.equal(json.decode(of[i.cars[2].states[1].balance]).front, moved:state("kerb"):balance().front) -- edits hold in every state
end)

-- ---- mistakes ---------------------------------------------------------------------------------------------------------------------

test("mistakes_are_named", function()
  check.raises(function() sy.report() end, {code = "type", message = "sy.report takes a table"})
  check.raises(function() sy.report(car) end, {code = "type", message = "not a car"})
  check.raises(function() sy.report{} end, {code = "missing", field = "car"})
  check.raises(function() sy.report{"car.lua"} end, {code = "type", field = "car", hint = 'sy.load("car.lua")'})
  check.raises(function() sy.report{car, 5} end, {code = "type", field = "car, number 2"})
  check.raises(function() sy.report{car, car = car} end, {code = "clash", field = "car"})
  check.raises(function() sy.report{car, studys = {}} end, {code = "unknown", hint = "studies"})
  check.raises(function() sy.report{car, title = " "} end, {code = "type", field = "title"})
  check.raises(function() sy.report{car, studies = study{vary = {sy.vary("driver", "mass", 60, 70, 2)}}} end, {code = "type",
    field = "studies"})
  check.raises(function() sy.report{car, studies = {5}} end, {code = "type", field = "studies, number 1"})
  check.raises(function() sy.report{car, studies = {study{vary = {sy.vary("driver", "mass", 60, 70, 2)}, reduce = true}}} end,
    {code = "unavailable", field = "studies, number 1", hint = "reduce"})
  check.raises(function() sy.report{car, studies = {{vary = {sy.vary("drivr", "mass", 60, 70, 2)}, show = {"mass"}}}} end,
    {code = "unknown", hint = "driver"})
  check.raises(function() sy.report{car, fits = {car}} end, {code = "type", field = "fits, number 1"})
  check.raises(function() return sy.report{car}.titel end, {code = "unknown", hint = "title"})
end)

local folder = os.getenv "STEELYARD" and os.getenv "STEELYARD":match "^(.*)/" or "build"

test("a_file_that_is_there_stays_and_one_that_cannot_be_written_leaves_nothing", function()
  local path = os.tmpname()
  local r = sy.report{car}
  check.raises(function() r:save(path) end, {code = "clash", file = path, hint = "replace = true"})
  check.equal(read(path), "")
  check.equal(r:save(path, {replace = true}), path)
  check.equal(read(path) == page, true)
  os.remove(path)
  check.equal(r:save(path), path)
  os.remove(path)
  check.raises(function() r:save(folder .. "/no/such/folder/x.html") end, {file = folder .. "/no/such/folder/x.html"})
  check.raises(function() r:save "vehicles/twayblade.lua" end, {code = "clash"})
  check.raises(function() r:save "" end, {code = "type", field = "path"})
  check.raises(function() r:save(path, {replaced = true}) end, {code = "unknown", hint = "replace"})
  check.equal(io.open(path), nil)
end)

check.done()
