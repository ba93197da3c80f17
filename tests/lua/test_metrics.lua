-- Widths of letters against the family that Liberation Sans was made to: those of Helvetica in thousandths of an em, as the font metrics of
-- the fourteen standard fonts have them (Adobe, Helvetica.afm and Helvetica-Bold.afm, from memory).
local check = dofile "tests/lua/check.lua"
local metrics = require "steelyard.draw.metrics"
local canvas = require "steelyard.draw.canvas"
local test = check.test

local regular = {[" "] = 278, A = 667, W = 944, i = 222, m = 833, a = 556, ["0"] = 556, ["9"] = 556, ["%"] = 889, ["."] = 278, ["("] = 333,
                 ["-"] = 333, ["+"] = 584, x = 500, k = 500, g = 556}
local bold = {[" "] = 278, A = 722, W = 944, i = 278, m = 889, a = 556, ["0"] = 556, ["."] = 278, k = 556, g = 611, ["-"] = 333}

test("letters_are_as_wide_as_the_family", function()
  for letter, width in pairs(regular) do check.near(1000 * metrics.width(letter, 1, false), width, 0.6, letter) end -- 2048 units an em
  for letter, width in pairs(bold) do check.near(1000 * metrics.width(letter, 1, true), width, 0.6, letter) end
end)

test("a_text_is_the_sum_of_its_letters", function()
  check.near(metrics.width("kg", 3, false), 3 * (0.5 + 0.556), 3e-3)
  check.near(metrics.width("± 4", 3, false), 3 * metrics.width("± 4", 1, false), 1e-12)
  check.equal(metrics.width("", 3, false), 0)
  check.equal(metrics.width("\u{2068}a\u{2069}", 1, false), metrics.width("a", 1, false))
  check.near(metrics.width("\xff\xfe", 1, false), 2 * 0.62, 1e-3) -- no text at all
  check.equal(metrics.width("\u{4e00}", 1, false), 1)
  check.equal(metrics.width("e\u{301}", 1, false), metrics.width("e", 1, false)) -- a mark over the letter before
end)

test("texts_are_cut_and_wrapped_to_what_they_may_take", function()
  for most = 10, 60, 7 do
    local cut = canvas.cut("a rather long name of a part", most, 3)
    check.equal(canvas.width_of(cut, 3) <= most, true)
    for _, line in ipairs(canvas.wrap("a rather long name of a part, and one more", most, 3, false, 2)) do
      check.equal(canvas.width_of(line, 3) <= most, true, line)
    end
  end
  check.equal(canvas.cut("short", 60, 3), "short")
  check.equal(#canvas.wrap("one two three four five six seven eight nine ten", 20, 3, false, 2), 2)
  check.contains(canvas.cut("\u{2068}" .. ("מנוע "):rep(9) .. "\u{2069}", 20, 3), "\u{2069}") -- what was isolated stays so
end)

check.done()
