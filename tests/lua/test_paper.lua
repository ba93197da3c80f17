-- Drawings as PNG and PDF: the family they are set in, what every file of the kind has, the same bytes again, and what is refused.
-- What they show is held against the SVG in tests/reference/oracle_paper.py.

local check = dofile "tests/lua/check.lua"
local canvas = require "steelyard.draw.canvas"
local metrics = require "steelyard.draw.metrics"
local sy = require "steelyard"
local test = check.test

local car = sy.load "vehicles/first_guess.lua"

local function new_path(ending)
  local path = os.tmpname()
  os.remove(path)
  return path .. ending
end

local function bytes_of(drawing, ending)
  local path = new_path(ending)
  drawing:save(path)
  local file = assert(io.open(path, "rb"))
  local bytes = file:read "a"
  file:close()
  os.remove(path)
  return bytes
end

test("what_is_not_built_in_says_so_in_one_sentence", function()
  local path, loaded = package.cpath, package.loaded["steelyard.canvas_cairo"]
  package.cpath, package.loaded["steelyard.canvas_cairo"] = "", nil
  local fine, err = pcall(function() car:draw{}:save "x.PNG" end)
  package.cpath, package.loaded["steelyard.canvas_cairo"] = path, loaded
  check.equal(fine, false)
  check.equal({err.code, err.field, err.message, err.hint}, {"unavailable", "path",
    "PNG needs cairo and Pango, with which this steelyard was not built", "write .svg, which every browser shows and prints"})
end)

if not check.can_paper then
  local to = new_path ".pdf"
  local r = check.command(("%s draw vehicles/first_guess.lua --to %s"):format(check.steelyard, to))
  test("the_command_says_so_too", function()
    check.equal({r.code, r.out}, {5, ""})
    check.equal(r.err, "steelyard: path: PDF needs cairo and Pango, with which this steelyard was not built "
      .. "(write .svg, which every browser shows and prints)\n")
    check.equal(io.open(to), nil)
  end)
  check.done()
  return
end

local page = require("steelyard.canvas_cairo").page

-- Every letter of the table, in a size in which a unit of the font, 1/2048 em, is 0.01 mm. Pango gives widths in 1/1024 mm.
test("letters_are_as_wide_as_the_table_says", function()
  local p, size, tolerance = page("pdf", 100, 100, ""), 20.48, 2 / 1024
  local soft_hyphen = 0xAD -- seen only where a line breaks
  for _, bold in ipairs{false, true} do
    local letters = 0
    for _, range in ipairs{{0x20, 0x7E}, {0xA0, 0x17F}, {0x370, 0x3CE}, {0x400, 0x45F}} do
      for code = range[1], range[2] do
        local letter = utf8.char(code)
        local width = metrics.width(letter, size, bold)
        if width > 0 and code ~= soft_hyphen then
          letters = letters + 1
          check.near(p:width(letter, size, bold), width, tolerance, ("U+%04X"):format(code))
        end
      end
    end
    check.equal(letters > 450, true)
    for _, code in ipairs{0x2010, 0x2013, 0x2014, 0x2019, 0x2026, 0x2191, 0x2192, 0x2212, 0x2248, 0x2264, 0x2265, 0x20AC} do
      check.near(p:width(utf8.char(code), size, bold), metrics.width(utf8.char(code), size, bold), tolerance)
    end
  end
end)

test("letters_stand_beside_each_other_without_kerning_and_ligatures", function()
  local p = page("png", 100, 100, "")
  for _, words in ipairs{"AVATAR To We Yo", "11 111.1 kg", "fixed office", "front 309.7 ± 3.3 kg, −12", "μm, Ω"} do
    for _, size in ipairs{2.6, 3, 6} do
      check.near(p:width(words, size, false), metrics.width(words, size, false), 2 * #words / 1024, words) -- roundings of each letter
    end
  end
  check.equal(p:width("\u{2068}מנוע\u{2069}", 3, false) > 0, true)
  check.equal(p:width("\u{2068}\u{2069}", 3, false), 0)
  p:finish()
end)

test("a_png_says_what_it_is", function()
  local d = car:draw{width = 90}
  local bytes = bytes_of(d, ".png")
  check.equal(bytes:sub(1, 16), "\x89PNG\r\n\x1a\n\0\0\0\13IHDR")
  local width, height = (">I4I4"):unpack(bytes, 17)
  check.equal({width, height}, {math.ceil(d.width * 200 / 25.4), math.ceil(d.height * 200 / 25.4)})
  check.equal(bytes:sub(34, 54), "\0\0\0\9pHYs" .. (">I4I4I1I4"):pack(7874, 7874, 1, 0x6ed0753e)) -- 200 an inch is 7874 a metre
end)

test("a_pdf_has_its_font_and_no_date", function()
  local d = car:draw{}
  local bytes = bytes_of(d, ".PDF")
  check.equal(bytes:sub(1, 8), "%PDF-1.4")
  check.contains(bytes, "%%EOF")
  for _, name in ipairs{"LiberationSans", "LiberationSans%-Bold"} do
    check.equal(bytes:find("/FontName /%u+%+" .. name .. "\n") ~= nil, true, name)
  end
  check.equal(select(2, bytes:gsub("/FontFile", "")), 2)
  check.equal(bytes:find "CreationDate", nil)
  check.equal(bytes:find "ModDate", nil)
  local width, height = bytes:match "/MediaBox %[ 0 0 ([%d.]+) ([%d.]+) %]"
  check.near(tonumber(width) * 25.4 / 72, d.width, 1e-4) -- written with six decimals
  check.near(tonumber(height) * 25.4 / 72, d.height, 1e-4)
end)

test("the_same_drawing_is_the_same_bytes", function()
  for _, ending in ipairs{".png", ".pdf"} do
    check.equal(bytes_of(car:draw{}, ending) == bytes_of(sy.load("vehicles/first_guess.lua"):draw{}, ending), true, ending)
  end
end)

test("names_of_every_kind_are_set", function()
  local function named(name)
    return sy.car{title = name, axes = {x = "back", y = "right", z = "up"},
      axles = {{name = "front", at = 0, track = 1400, loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},
      parts = {sy.part(name) {mass = 400, at = {1200, 0, 300}, shape = sy.box {800, 600, 300}}}}
  end
  for _, name in ipairs{'a < b & "c"', "מנוע קדמי", "e\u{301}moteur", "monkey\u{2028}wrench", "%s%n", ("very long "):rep(9)} do
    local d = named(name):draw{}
    for _, ending in ipairs{".png", ".pdf"} do check.equal(#bytes_of(d, ending) > 1000, true, name) end
  end
end)

test("what_cannot_be_written_leaves_no_file", function()
  local d = car:draw{}
  for _, ending in ipairs{".png", ".pdf"} do
    check.raises(function() d:save("/nowhere/at/all/x" .. ending) end, {code = "io"})
    local path = new_path(ending)
    d:save(path)
    check.raises(function() d:save(path) end, {code = "clash", file = path})
    check.equal(d:save(path, {replace = true}), path)
    os.remove(path)
  end
end)

test("a_page_too_long_for_dots_is_refused", function()
  local c = canvas.new(180)
  c.height = 5000
  local function written() return require("steelyard.draw.paper").of(c, "png", "") end
  check.raises(written, {code = "range", message = "PNG is 5000 mm high, at most 4000 can be written"})
end)

test("another_font_in_its_place_is_refused", function()
  local width = metrics.width
  metrics.width = function(...) return 1.05 * width(...) end
  local fine, err = pcall(function() car:draw{}:save(new_path ".png") end)
  metrics.width = width
  check.equal(fine, false)
  check.equal({err.code, err.message}, {"unavailable", "PNG needs the font Liberation Sans, or one as wide, which is not installed"})
end)

check.done()
