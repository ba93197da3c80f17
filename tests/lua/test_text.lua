--- Numbers, sentences, columns and tables as text.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local text = require "steelyard.print.text"

-- Coverage factor 1.960 for 95 %: JCGM 100:2008 (GUM), Table G.1. 1.96 x 13.76 = 26.97 (arithmetic).
check.test("plus_minus_prints_the_95_percent_half_width", function()
  check.equal(text.K95, 1.96)
  check.equal(text.plus_minus(770.8, 13.76, 1), "770.8 +- 27.0")
  check.equal(text.plus_minus(-4.686, 0.0098, 2), "-4.69 +- 0.02")
end)

check.test("plus_minus_without_an_uncertainty_prints_the_value_alone", function()
  check.equal(text.plus_minus(42.459, nil, 2), "42.46")
end)

-- 1.96 x 0.001 = 0.00196, nothing at one decimal; rounding uncertainties up is allowed by JCGM 100:2008, 7.2.6
check.test("plus_minus_of_a_small_uncertainty_never_prints_zero", function()
  check.equal(text.plus_minus(23.85, 0.001, 1), "23.9 +- 0.1")
  check.equal(text.plus_minus(23.85, 0.001, 0), "24 +- 1")
  check.equal(text.plus_minus(23.85, 0, 1), "23.9")
end)

-- 23.85 as a double is 23.85000000000000142..., 2.675 is 2.67499999999999982... (exact values of the doubles)
check.test("fixed_rounds_the_exact_value_once", function()
  check.equal(text.fixed(23.85, 1), "23.9")
  check.equal(text.fixed(2.675, 2), "2.67")
  check.equal(text.fixed(-0.004, 2), "0.00")
  check.equal(text.fixed(0.5, 0), "0")
  check.equal(text.fixed(1.5, 0), "2")
end)

check.test("fixed_refuses_decimals_out_of_range", function()
  check.raises(function() return core.fixed(1, 31) end, "0 to 30 decimals")
  check.raises(function() return core.fixed(1, -1) end, "0 to 30 decimals")
  check.raises(function() return core.fixed("a", 1) end, "number expected")
end)

check.test("shortest_keeps_integers_beyond_doubles", function()
  check.equal(core.shortest(math.maxinteger), "9223372036854775807")
  check.equal(core.shortest(0.1), "0.1")
  check.equal(core.shortest(5.0), "5")
end)

-- 0.35 * 1000 in double arithmetic; 14 digits are what Lua itself writes.
check.test("plain_prints_what_was_typed_and_rounds_what_was_worked_out", function()
  for _, typed in ipairs{"350", "0.1", "-12.5", "1234567.891", "0.000125", "5e-324", "1e300"} do
    check.equal(text.plain(core.number(typed)), typed)
  end
  check.equal(text.plain(350.00000000000006), "350")
  check.equal(text.plain(-975.50258869303), "-975.5025887")
  check.equal(text.plain(0.1 + 0.2), "0.3")
  check.equal(text.plain(1 / 3e-5), "33333.33333")
  check.equal(text.plain(2 / 3 * 1e-9), "6.666666667e-10")
  check.equal(text.plain(123456789012345.7), "123456789012345.7")
  check.equal(text.plain(math.maxinteger), "9223372036854775807")
  check.equal({text.plain(1 / 0), text.plain(-1 / 0), text.plain(0 / 0)}, {"inf", "-inf", "nan"})
end)

check.test("number_reads_decimal_literals_only", function()
  check.equal(core.number "27.4", 27.4)
  check.equal(core.number "-1e3", -1000.0)
  for _, wrong in ipairs{"", "12,5", "0x10", "nan", "inf", " 1", "1 ", "1e999", "1.2.3"} do
    check.equal(core.number(wrong), nil, wrong)
  end
end)

-- Source: NIST, Examples with Intermediate Values, SHA-256, "abc"; more in test_sha256.c
check.test("sha256_of_texts_is_that_of_one_behind_the_other", function()
  local abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
  check.equal(core.sha256("abc"), abc)
  check.equal(core.sha256("a", "", "bc"), abc)
  check.equal(core.version:match "^%d+%.%d+%.%d+$", core.version)
end)

check.test("before_orders_bytes_in_every_locale", function()
  local words = {"b", "a", "B", "ä", "ab", ""}
  table.sort(words, core.before)
  check.equal(words, {"", "B", "a", "ab", "b", "ä"})
end)

check.test("signed_says_plus", function()
  check.equal(text.signed(4.686, 2), "+4.69")
  check.equal(text.signed(-4.686, 2), "-4.69")
  check.equal(text.signed(-0.001, 2), "+0.00")
end)

check.test("way_is_the_first_word_where_zero_is_printed", function()
  check.equal(text.way(-20, 0, "ahead", "behind"), "behind")
  check.equal(text.way(20, 0, "ahead", "behind"), "ahead")
  for _, residue in ipairs{0, -0.0, 1e-14, -1e-14, -0.049} do check.equal(text.way(residue, 1, "up", "down"), "up") end
  check.equal(text.way(-0.051, 1, "up", "down"), "down")
end)

check.test("worded_has_words_for_signs", function()
  check.equal(text.worded(-20, 0, "ahead", "behind"), "20 behind")
  check.equal(text.worded(4.96, 1, "up", "down"), "5.0 up")
  check.equal(text.worded(-0.3, 0, "up", "down"), "0")
end)

check.test("join_and_count_read_as_sentences", function()
  check.equal(text.join{}, "")
  check.equal(text.join{"engine"}, "engine")
  check.equal(text.join{"engine", "tank"}, "engine and tank")
  check.equal(text.join({"engine", "tank", "seat"}, "or"), "engine, tank or seat")
  check.equal(text.count(1, "part"), "1 part")
  check.equal(text.count(23, "part"), "23 parts")
  check.equal(text.count(2, "axle is", "axles are"), "2 axles are")
end)

check.test("sentence_has_a_capital_and_a_stop", function()
  check.equal(text.sentence "chassis taken as rigid", "Chassis taken as rigid.")
  check.equal(text.sentence "Is it?", "Is it?")
end)

-- e with a combining acute takes one column, a CJK ideograph two: Unicode Standard Annex 11, tables 1 and 2
check.test("width_counts_columns_not_bytes", function()
  check.equal(text.width "seat", 4)
  check.equal(text.width "Tür", 3)
  check.equal(text.width "e\u{301}", 1)
  check.equal(text.width "車体", 4)
  check.equal(text.width "\xff\xfe", 2)
  check.equal(text.left("Tür", 5) .. "|", "Tür  |")
  check.equal(text.right("車", 4), "  車")
end)

check.test("wrap_keeps_words_whole", function()
  check.equal(text.wrap("one two three four", 9), "one two\nthree\nfour")
  check.equal(text.wrap("one two", 6, "  "), "  one\n  two")
  check.equal(text.wrap("unbreakable a", 4), "unbreakable\na")
  check.equal(text.wrap("", 4), "")
end)

check.test("table_stands_numbers_right_and_texts_left", function()
  check.equal(text.table({{"back, mm", "%+.0f"}, {"part", "%s"}, {"front, kg", "%.2f"}, {"n", "%d"}}, {
    {50, "Türgriff", 322.587, 2}, {-25, "tank", 1029.65, 11}, {0, "seat", "unknown"},
  }), "back, mm  part      front, kg   n\n" ..
      "     +50  Türgriff     322.59   2\n" ..
      "     -25  tank        1029.65  11\n" ..
      "      +0  seat        unknown   -")
end)

check.test("table_lines_up_values_and_uncertainties", function()
  check.equal(text.table({{"", "%s"}, {"", "%s"}}, {
    {"front", "327.3 +- 15.0"}, {"height", "343 +- 10"}, {"yaw", "at least 550"}, {"gap", "unknown"},
  }), "front          327.3 +- 15.0\n" ..
      "height           343 +- 10\n" ..
      "yaw     at least 550\n" ..
      "gap     unknown")
end)

check.test("table_of_numbers_as_texts_stands_right", function()
  check.equal(text.table({{"x, mm", "%s"}, {"why", "%s"}}, {{"7", "a"}, {"-350", ""}, {"", "c"}}),
    "x, mm  why\n    7  a\n -350\n       c")
end)

check.test("table_formats_carry_words_and_percent_signs", function()
  check.equal(text.table({{"share", "%.1f %%"}, {"each", "x %d"}, {"raw", "%g"}, {"any", "%s"}},
    {{42.44, 3, 0.1, 7.25}}), " share  each  raw   any\n42.4 %   x 3  0.1  7.25")
end)

check.test("table_without_rows_is_its_heading", function()
  check.equal(text.table({{"a", "%s"}, {"b", "%d"}}, {}), "a  b")
end)

check.test("table_refuses_what_it_cannot_print", function()
  local cases = {
    {{1, {}}, "type", "headings[1]"},
    {{{{"a", "%.2e"}}, {}}, "syntax", "headings[1]"},
    {{{{"a", "%.2s"}}, {}}, "syntax", "headings[1]"},
    {{{{"a", "%s"}, {"b", "plain"}}, {}}, "syntax", "headings[2]"},
    {{{{"a", 7}}, {}}, "type", "headings[1]"},
    {{{}, {}}, "missing"},
    {{{{"a", "%s"}}, {{1, 2}}}, "unknown", "rows[1]"},
    {{{{"a", "%s"}}, {7}}, "type", "rows[1]"},
    {{{{"a", "%d"}}, {{1}, {2.5}}}, "type", "rows[2][1]"},
    {{{{"a", "%s"}}}, "type"},
  }
  cases[1][1] = {{7}, {}}
  for i, case in ipairs(cases) do
    local err = check.raises(function() return text.table(case[1][1], case[1][2]) end)
    check.equal({err.code, err.field}, {case[2], case[3]}, "case " .. i)
  end
end)

check.done()
