-- Drawings by what they show: no text on a text or on a line, nothing over the margins, letters large and dark enough, and what must be on
-- them, on cars that differ in all that a drawing rests on.
local check = dofile "tests/lua/check.lua"
local canvas = require "steelyard.draw.canvas"
local drawing = require "steelyard.draw.drawing"
local rules = dofile "tests/lua/picture_rules.lua"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

-- Two-seater of 150 parts, three wheels, the first guess, one with x forward and the ground at -125, and one restated with x forward
-- and the ground at 140.
local cars = {twayblade = sy.load "vehicles/twayblade.lua":state "race start", burnet = sy.load "vehicles/burnet.lua",
              first_guess = sy.load "vehicles/first_guess.lua", bistort = sy.load "vehicles/bistort.lua",
              other_axes = rules.restated "vehicles/burnet.lua"}
local names = {"twayblade", "burnet", "first_guess", "bistort", "other_axes"}
local views, widths = {"side", "plan", "front", "beam"}, {180, 90, 300}

local function each(run)
  for _, name in ipairs(names) do
    for _, view in ipairs(views) do
      for _, width in ipairs(widths) do run(cars[name]:draw{view = view, width = width}, ("%s %s %d"):format(name, view, width)) end
    end
  end
  run(cars.twayblade:move("powertrain", {back = 120}):draw{before = cars.twayblade}, "before")
end

test("no_two_texts_overlap", function()
  each(function(d, what) rules.no_two_texts_overlap(check, d, what) end)
end)

test("no_text_stands_on_a_line", function()
  each(function(d, what) rules.no_text_stands_on_a_line(check, d, what) end)
end)

test("nothing_crosses_the_margins_and_letters_are_large_enough", function()
  each(function(d, what) rules.nothing_crosses_the_margins(check, d, what) end)
end)

-- Contrast as WCAG 2.1 has it (W3C, 2018, "relative luminance" and success criterion 1.4.3: 4.5 to 1).
test("letters_have_contrast_on_white_and_on_the_wash", function()
  local function luminance(colour)
    local sum = 0
    for i, weight in ipairs{0.2126, 0.7152, 0.0722} do
      local part = tonumber(canvas.colours[colour]:sub(2 * i, 2 * i + 1), 16) / 255
      sum = sum + weight * (part <= 0.03928 and part / 12.92 or ((part + 0.055) / 1.055) ^ 2.4)
    end
    return sum
  end
  for _, colour in ipairs{"ink", "grey", "accent", "fail"} do
    for _, ground in ipairs{"white", "wash"} do
      check.equal((luminance(ground) + 0.05) / (luminance(colour) + 0.05) >= 4.5, true, colour .. " on " .. ground)
    end
  end
  each(function(d, what) rules.no_text_is_pale(check, d, what) end)
end)

test("what_must_be_on_a_drawing_is_on_it", function()
  each(function(d, what)
    local words = {}
    for i, one in ipairs(rules.texts_of(drawing.canvas_of(d))) do words[i] = one.item.words end
    local all = table.concat(words, "\n")
    local function has(part) check.equal(all:find(part, 1, true) ~= nil, true, ("%s: %s"):format(what, part)) end
    has(("1:%d"):format(d.scale))
    has "Arithmetic, not permission."
    has "covers 95"
    has(d.file.sha256:sub(1, 8))
    has(d.state)
    has "mass"
    if d.view ~= "front" then has "wheelbase" end
    if d.view == "side" or d.view == "beam" then
      for _, axle in ipairs(d.axles) do has(("%s %s"):format(axle.name, text.fixed(axle.load, 1))) end
    end
    if d.view == "side" then
      has "front"
      rules.few_labels_a_view(check, d, what)
    end
    if d.view ~= "beam" then has "CG " end
  end)
end)

-- Each circle of a mass has a leader that ends on it, and each leader a name; crosses are named in the foot, up to eight of them.
test("all_that_is_marked_in_a_view_is_named", function()
  for _, name in ipairs(names) do
    for _, view in ipairs{"side", "plan", "front"} do
      for _, width in ipairs{180, 90} do
        local d, what = cars[name]:draw{view = view, width = width}, ("%s %s %d"):format(name, view, width)
        local c, masses, named, crosses = drawing.canvas_of(d), 0, 0, 0
        for _, item in ipairs(c.items) do
          masses = masses + ((item.what or ""):find "^mass " and 1 or 0)
          named = named + (item.kind == "text" and item.label and item.view == 1 and 1 or 0)
          crosses = crosses + (item.what == "point" and 1 / 2 or 0) -- two strokes
        end
        check.equal(named, masses + 1, what) -- and the CG
        local said = table.concat(d.notes, "\n")
        check.equal(said:find("no room for a name", 1, true), nil, what)
        if crosses > 0 then
          local list = said:match "crosses, from the left: ([^\n]+)"
          local count = 1
          for _ in list:gmatch ";" do count = count + 1 end
          check.equal(math.min(crosses, 9), count, what) -- the ninth: "and 2 more"
        end
        if view == "plan" then
          for key, load in pairs(d.loads) do
            local found
            for _, item in ipairs(c.items) do found = found or item.what == "load " .. key and item.words end
            check.contains(found or "", text.fixed(load, 1), what .. key)
          end
        end
      end
    end
  end
end)

test("a_drawing_is_the_same_in_all_conventions", function()
  for _, view in ipairs(views) do
    local a, b = cars.burnet:draw{view = view}, cars.other_axes:draw{view = view}
    check.equal(b.texts, a.texts, view)
    local p, q = drawing.canvas_of(a), drawing.canvas_of(b)
    check.equal(#p.items, #q.items)
    for i, item in ipairs(p.items) do
      local one, other = {canvas.bounds_of(item)}, {canvas.bounds_of(q.items[i])}
      if i <= #p.items - 2 then
        for k = 1, 4 do check.near(other[k], one[k], 1e-6) end -- roundings of coordinates about another zero
      end
    end
  end
end)

-- ---- what stands where -----------------------------------------------------------------------------------------------------

local function find(c, what)
  for _, item in ipairs(c.items) do if item.what == what then return item end end
end

test("marks_lie_where_the_car_has_them", function()
  local d = cars.twayblade:draw{}
  local c, s = drawing.canvas_of(d)
  local front, rear, cg = find(c, "wheel lf"), find(c, "wheel lr"), find(c, "cg")
  local ground = find(c, "ground").loops[1][1][2]
  check.near((rear.x - front.x) * d.scale, 2400, 1e-9)
  check.near(front.long * d.scale, 288, 1e-9)
  check.near((ground - front.y) * d.scale, 288, 1e-9)
  check.near((cg.x - front.x) * d.scale, s.cg_behind, 1e-9)
  check.near((ground - cg.y) * d.scale, s.height, 1e-9)
  -- the battery: a box 180 x 130 x 165 at (430, -330, 250)
  local x1, y1, x2, y2 = canvas.bounds_of(find(c, "body electrical/battery"))
  local half = 0.25 / 2 -- of its line
  check.near((x1 + half - front.x) * d.scale, 430 - 90, 1e-9)
  check.near((x2 - half - front.x) * d.scale, 430 + 90, 1e-9)
  check.near((ground - y2 + half) * d.scale, 250 - 82.5, 1e-9)
  check.near((ground - y1 - half) * d.scale, 250 + 82.5, 1e-9)
end)

test("masses_are_to_scale_and_add_up", function()
  for _, name in ipairs(names) do
    local d = cars[name]:draw{}
    local c = drawing.canvas_of(d)
    local ten, area, bars, long = nil, 0, 0, 0
    for _, item in ipairs(c.items) do
      if item.what == "scale" and item.kind == "ellipse" then ten = item.long end
    end
    for _, item in ipairs(c.items) do
      if (item.what or ""):find "^mass " then area = area + item.long ^ 2 end
      if (item.what or ""):find "^bar " then
        bars = bars + item.mass
        long = long + item.loops[1][3][2] - item.loops[1][1][2]
      end
    end
    check.near(10 * area / ten ^ 2, d.mass, 1e-6, name)
    check.near(bars, d.mass, 1e-6, name)
    check.equal(long > 0, true)
  end
end)

test("the_earlier_place_is_drawn_where_it_was", function()
  local later = cars.twayblade:move("powertrain", {back = 120})
  local d = later:draw{before = cars.twayblade}
  local c = drawing.canvas_of(d)
  local now = {canvas.bounds_of(find(c, "body powertrain/transaxle/transaxle case"))}
  local was = find(c, "before powertrain/transaxle/transaxle case")
  check.equal(was.dash, "earlier")
  check.near((now[1] - canvas.bounds_of(was)) * d.scale, 120, 1e-9)
  check.equal(find(c, "before tub/floor"), nil) -- what did not move is not drawn twice
  check.contains(table.concat(d.texts, " "), "CG was 1400")
end)

-- ---- files and words -----------------------------------------------------------------------------------------------------

local function odd(name, more)
  local fields = {title = 'Odd & "strange" <car>', axes = {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
    parts = {sy.part(name) {mass = 400, at = {1200, 0, 300}, shape = sy.box {800, 600, 300}},
             sy.part "other" {mass = 40, at = {200, 0, 300}}}}
  for key, value in pairs(more or {}) do fields[key] = value end
  return sy.car(fields)
end

-- A path that nobody has.
local function new_path()
  local path = os.tmpname()
  os.remove(path)
  return path .. ".svg"
end

local function svg_of(d)
  local path = new_path()
  check.equal(d:save(path), path)
  local file <close> = assert(io.open(path, "rb"))
  local bytes = file:read "a"
  os.remove(path)
  return bytes
end

test("names_are_escaped_and_isolated", function()
  local bytes = svg_of(odd 'a < b & "c"':draw{})
  check.contains(bytes, "a &lt; b &amp; &quot;c&quot;")
  check.contains(bytes, "Odd &amp; &quot;strange&quot; &lt;car&gt;")
  check.equal(bytes:find('a < b', 1, true), nil)
  local hebrew = svg_of(odd "מנוע קדמי":draw{})
  check.contains(hebrew, "\u{2068}מנוע קדמי\u{2069}")
  local long = odd(("a very long name "):rep(5)):draw{}
  check.contains(table.concat(long.texts, "\n"), "…")
end)

test("a_file_is_the_same_whatever_wrote_it_and_never_written_over", function()
  local one, two = svg_of(cars.burnet:draw{}), svg_of(cars.burnet:draw{})
  check.equal(one, two)
  check.equal(one:sub(1, 5), "<svg ")
  check.equal(one:find("%d,%d%d") ~= nil and one:find('="%d+,%d') ~= nil, false) -- decimals take a point in every locale
  local path = new_path()
  cars.burnet:draw{}:save(path)
  check.raises(function() cars.burnet:draw{}:save(path) end, {code = "clash", message = "is already there"})
  cars.burnet:draw{view = "plan"}:save(path, {replace = true})
  os.remove(path)
end)

test("what_cannot_be_drawn_or_written_is_refused", function()
  local car = cars.first_guess
  local function refused(o, want) check.raises(function() car:draw(o) end, want) end
  refused({view = "sde"}, {code = "unknown", field = "view", hint = 'did you mean "side"?'})
  refused({width = 0}, {code = "range", field = "width", message = "is 0 mm, must be 90 to 420"})
  refused({width = 0 / 0}, {code = "range", field = "width"})
  refused({width = "wide"}, {code = "type", field = "width"})
  refused({before = "old.lua"}, {code = "type", field = "before"})
  refused({state = "nowhere"}, {code = "unknown"})
  refused({veiw = "side"}, {code = "unknown", hint = 'did you mean "view"?'})
  local d = car:draw{}
  check.raises(function() d:save "x.svh" end, {code = "unknown", hint = "did you mean .svg?"})
  check.raises(function() d:save "x" end, {code = "unknown", message = "has no ending"})
  check.raises(function() d:save "" end, {code = "type", field = "path"})
  check.raises(function() d:save "/nowhere/at/all/x.svg" end, {code = "io"})
  local empty = odd("engine", {parts = {sy.part "engine" {mass = sy.unknown, at = {0, 0, 0}}}})
  check.raises(function() empty:draw{} end, {code = "missing", message = "nothing aboard has a mass"})
end)

-- A lorry of four axles with one mass, a model of 24 mm, a part a kilometre away, one below the ground, 400 parts.
test("odd_sizes_keep_to_the_page", function()
  local function axle(name, at, track, radius) return {name = name, at = at, track = track, loaded_radius = radius} end
  local function box(i) return sy.part("part number " .. i) {mass = i % 7 + 0.5, at = {i * 6, i * 37 % 700 - 350, i * 53 % 600 + 100},
                                                             shape = sy.box {60, 50, 40}} end
  local many = {}
  for i = 1, 400 do many[i] = box(i) end
  local lorry = {axle("a", 0, 2000, 500), axle("b", 1200, 2000, 500), axle("c", 3900, 2000, 500), axle("d", 5100, 2000, 500)}
  for _, car in ipairs{
    odd("load", {axles = lorry, parts = {sy.part "load" {mass = 8000, at = {2000, 0, 1100}, shape = sy.box {9000, 2400, 2000}}}}),
    odd("all", {axles = {axle("front", 0, 14, 3), axle("rear", 24, 14, 3)}, parts = {sy.part "all" {mass = 0.5, at = {3, 0, 5}}}}),
    odd("near", {parts = {sy.part "near" {mass = 300, at = {1200, 0, 300}}, sy.part "far" {mass = 10, at = {900000, 0, 300}}}}),
    odd("deep", {parts = {sy.part "deep" {mass = 500, at = {1000, 0, -900}, shape = sy.sphere {400}}}}), odd("many", {parts = many})} do
    for _, view in ipairs(views) do
      for _, width in ipairs{180, 90} do
        local c = drawing.canvas_of(car:draw{view = view, width = width})
        for _, item in ipairs(c.items) do
          local x1, y1, x2, y2 = canvas.bounds_of(item)
          check.equal(x1 >= 2.6 and x2 <= width - 2.6 and y1 >= 0 and y2 <= c.height, true, item.words or item.what)
        end
      end
    end
  end
  local d = odd("deep", {parts = {sy.part "deep" {mass = 500, at = {1000, 0, 100}, shape = sy.sphere {400}}}}):draw{}
  check.contains(table.concat(d.texts, " "), "Drawn below the ground: deep by 100 mm.")
end)

test("the_terminal_has_the_same_words_in_plain_letters", function()
  for _, name in ipairs(names) do
    for _, width in ipairs{180, 90} do
      local shown = cars[name]:draw{width = width}:text()
      for line in shown:gmatch "[^\n]+" do check.equal(utf8.len(line) <= 100, true, line) end
      check.equal(shown:find "[\x80-\xff]", nil, name)
      check.contains(shown, "+- covers 95 %")
    end
  end
end)

check.done()
