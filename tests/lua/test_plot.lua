-- result:plot and --plot: the picture of a result.

local check = dofile "tests/lua/check.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local drawing = require "steelyard.draw.drawing"
local picture = require "steelyard.draw.picture"
local sy = require "steelyard"
local text = require "steelyard.print.text"
local test = check.test

local function read(path)
  local file = assert(io.open(path, "rb"))
  local bytes = file:read "a"
  file:close()
  return bytes
end

-- Without the title, which is the result's.
local function marks(path) return (read(path):gsub("<title>.-</title>", "")) end

local car = sy.load "vehicles/twayblade.lua":state "race start"

test("the_picture_of_a_balance_is_the_car_from_the_side", function()
  local path = os.tmpname()
  check.equal(car:balance():plot(path .. ".svg", {width = 120}), path .. ".svg")
  local drawn = os.tmpname() .. ".svg"
  car:draw{width = 120}:save(drawn)
  check.equal(marks(path .. ".svg"), marks(drawn))
  for _, name in ipairs{path, path .. ".svg", drawn} do os.remove(name) end
end)

test("a_file_that_is_there_stays_unless_it_is_to_be_replaced", function()
  local path = os.tmpname() .. ".svg"
  local b = car:balance()
  b:plot(path)
  check.raises(function() b:plot(path) end, {code = "clash", file = path})
  check.equal(b:plot(path, {replace = true}), path)
  os.remove(path)
end)

test("wrong_words_are_named", function()
  local b = car:balance()
  check.raises(function() b:plot("a.svg", {kind = "layot"}) end, {code = "unknown", field = "kind", hint = 'did you mean "layout"?'})
  check.raises(function() b:plot("a.svg", {width = 20}) end, {code = "range", field = "width"})
  check.raises(function() b:plot "a.svgg" end, {code = "unknown", field = "path"})
  check.raises(function() b:plot("a.svg", {kinds = "layout"}) end, {code = "unknown", hint = "kind"})
  check.raises(function() return sy.load("vehicles/first_guess.lua"):guesses().plot end, {code = "unknown", field = "plot"})
end)

test("pictures_keep_the_rules", function()
  for _, width in ipairs{180, 90} do rules.keep(check, picture.of(car:balance(), {width = width}), "layout") end
end)

-- Texts of a picture as the terminal writes them.
local function plain(words) return (require("steelyard.draw.words").plain(words):gsub("%s+", " ")) end

test("a_terminal_cuts_no_sentence_that_the_paper_has_whole", function()
  local place = {"front jack, left", "front jack, right", "rear jack, left", "rear jack, right"}
  local results = {car:stability{brake_front_share = 52}, car:stands{at = place, without = {"powertrain"}}, car:perches{cross_share = 50},
                   table.unpack(dofile "tests/lua/example_results.lua".cg_height)}
  local cautions = require("steelyard.answers.stability.said").CAUTIONS
  for _, result in ipairs(results) do
    for _, row in ipairs(require("steelyard.reference.pictures").of[getmetatable(result).__name]) do
      for _, width in ipairs{180, 90} do
        local d = picture.of(result, {kind = row[1], width = width})
        rules.a_terminal_shows_every_text(check, d, row[1])
        local shown = plain(table.concat(drawing.letters_of(d):texts(), " ")) -- in lines of its own
        for _, one in ipairs(rules.texts_of((drawing.canvas_of(d)))) do
          local words = plain(one.item.words)
          if #words > 60 or words:find "decide%.$" then check.contains(shown, words, ("%s, %d"):format(row[1], width)) end
        end
        if row[1] == "tilt table" then for _, caution in ipairs(cautions) do check.contains(shown, caution) end end
      end
    end
  end
end)

test("the_brake_split_shows_the_curve_and_the_share_as_set", function()
  local r = car:stability{brake_front_share = 52}
  for _, width in ipairs{180, 90} do
    local d = picture.of(r, {kind = "brake split", width = width})
    rules.keep(check, d, "brake split " .. width)
    local dots, level, critical = {}, nil, nil
    for _, item in ipairs((drawing.canvas_of(d)).items) do
      if item.what == "ideal" and item.kind == "ellipse" then dots[#dots + 1] = item end
      if item.what == "as set" then level = item.loops[1][1][2] end
      if item.what == "critical" then critical = item end
    end
    check.equal(#dots, #r.brake.curve)
    local first, last, curve = dots[1], dots[#dots], r.brake.curve
    local mm_of_g = (last.x - first.x) / (curve[#curve].z - curve[1].z)
    local mm_of_share = (last.y - first.y) / (curve[#curve].front_share - curve[1].front_share)
    for i, dot in ipairs(dots) do
      check.near(dot.x, first.x + (curve[i].z - curve[1].z) * mm_of_g, 1e-9)
      check.near(dot.y, first.y + (curve[i].front_share - curve[1].front_share) * mm_of_share, 1e-9)
    end
    check.near(level, first.y + (52 - curve[1].front_share) * mm_of_share, 1e-9)
    check.near(critical.x, first.x + (r.brake.critical_z - curve[1].z) * mm_of_g, 1e-9)
    check.near(critical.y, level, 1e-9)
    local all = plain(table.concat(d.texts, " "))
    check.contains(all, ("the rear would lock at %s +- "):format(text.fixed(r.brake.rear_locks, 2)))
    check.contains(all, "Arithmetic, not permission")
  end
  local unstated = table.concat(picture.of(car:stability{}, {kind = "brake split"}).texts, " ")
  check.contains(unstated, "No front share of the brakes is stated")
end)

test("effects_of_turns_and_pads_are_bars_as_long_as_they_are", function()
  for _, one in ipairs{car, sy.load "vehicles/burnet.lua"} do
    local r = one:corners{}
    for _, width in ipairs{180, 90} do
      local d = picture.of(r, {kind = "effects", width = width})
      rules.keep(check, d, "effects " .. width)
      local all, bars = plain(table.concat(d.texts, " ")), {}
      for _, item in ipairs((drawing.canvas_of(d)).items) do
        local wheel = (item.what or ""):match "^effect (.+)$"
        if wheel then bars[#bars + 1] = {wheel, item.loops[1][3][1] - item.loops[1][1][1]} end
      end
      local kinds, n = {r.per_turn or false, r.per_pad_mm}, 0
      for _, by in ipairs(kinds) do
        local scale
        for _, wheel in ipairs(by and r.wheels or {}) do
          n = n + 1
          local value = r.determinate and by[wheel].height or by[wheel].cross_share
          check.equal(bars[n][1], wheel)
          scale = scale or bars[n][2] / math.abs(value) -- mm of one unit
          check.near(bars[n][2], math.abs(value) * scale, 1e-9)
          check.contains(all, text.signed(value, r.determinate and 2 or 3))
          for _, other in ipairs(r.wheels) do check.contains(all, text.signed(by[wheel][other], 2)) end
        end
      end
      check.equal(#bars, n)
      check.contains(all, "body on stands, that wheel off the ground")
    end
  end
end)

test("every_picture_of_the_table_is_a_module_that_draws", function()
  for kind, rows in pairs(require("steelyard.reference.pictures").of) do
    check.ok(require("steelyard.reference.results").schema(kind), kind)
    for _, row in ipairs(rows) do check.equal(type(require("steelyard." .. row[2]).draw), "function", row[2]) end
  end
end)

test("the_command_writes_the_picture_beside_its_answer", function()
  local path = os.tmpname() .. ".svg"
  local ran = check.command(("%s balance vehicles/twayblade.lua --state 'race start' --plot %s"):format(check.steelyard, path))
  check.contains(ran.err, path .. " is written.")
  check.equal(ran.code, 0)
  local drawn = os.tmpname() .. ".svg"
  car:draw{}:save(drawn)
  check.equal(marks(path), marks(drawn))
  os.remove(path)
  os.remove(drawn)
end)

check.done()
