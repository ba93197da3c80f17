-- Running a vehicle file as data: what is refused, how soon, and that nothing is lost on the way.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local vocabulary = require "steelyard.file.vocabulary"

local function source()
  local file <close> = assert(io.open("lua/steelyard/file/vocabulary.lua", "rb"))
  return file:read "a"
end
local language = require "steelyard.file.language"
local words_source = {code = source(), words = language.words, sorts = language.sorts}

local function run(text, caps) return core.run_file(text, "car.lua", words_source, caps) end

-- the first item of a file, in a table of its own
local function fields_of(text) return rawget(run(text).made[1], "fields") end

local function refuses(text, want) return check.raises(function() run(text) end, want) end

-- ---- what comes back ----------------------------------------------------------------------------------------------

check.test("run_file_of_items_gives_them_in_order_with_lines", function()
  local raw = run "local a = part \"a\" { mass = 1 }\nlocal b = group \"b\" {\n  tank 'c' {} }\nvehicle { x = a }"
  local made = raw.made
  check.equal(#made, 4)
  for i, want in ipairs {{"part", "a", 1}, {"group", "b", 2}, {"tank", "c", 3}, {"vehicle", "", 4}} do
    check.equal(rawget(made[i], "kind"), want[1])
    check.equal(rawget(made[i], "name"), want[2])
    check.equal(rawget(made[i], "line"), want[3])
  end
  check.ok(rawget(raw.vehicle, "fields").x == made[1], "the same item, not a second copy")
  check.equal(raw.silent_error, nil)
end)

check.test("run_file_keeps_sharing_and_cycles", function()
  local t = fields_of "local t = {} t.self = t local u = {1} part 'a' { t = t, u = u, v = u }"
  check.ok(t.t.self == t.t)
  check.ok(t.u == t.v)
  check.equal(t.u, {1})
end)

check.test("run_file_takes_values_over_bit_for_bit", function()
  local t = fields_of "part 'a' { 0.1, 1e-310, 9007199254740993, -0.0, true, 'z\\0\\xC3\\xA9', [2.5] = 'k' }"
  check.ok(t[1] == 0.1 and t[2] == 1e-310)
  check.equal(math.type(t[3]), "integer")
  check.equal(t[3], 9007199254740993)
  check.ok(1 / t[4] < 0, "minus zero")
  check.equal(t[5], true)
  check.equal(t[6], "z\0\xC3\xA9")
  check.equal(t[2.5], "k")
end)

check.test("run_file_turns_a_function_into_no_data", function()
  local t = fields_of "part 'a' { f = function() end }"
  check.ok(getmetatable(t.f) == core.vocabulary_functions.marked "strange")
  check.equal(t.f.what, "function")
end)

check.test("run_file_reads_a_byte_order_mark_as_nothing", function()
  check.equal(rawget(run("\xEF\xBB\xBFvehicle {}").vehicle, "line"), 1)
end)

check.test("run_file_without_a_vehicle_has_none", function()
  check.equal(run("local x = 1").vehicle, nil)
end)

check.test("run_file_leaves_the_script_s_own_words_and_strings_alone", function()
  run "vehicle {}"
  check.equal(("x"):rep(3), "xxx")
  check.equal(vocabulary.mm, 1)
end)

-- ---- units: NIST Special Publication 811 (2008), Appendix B.8, to the digits printed there ----------------------

check.test("unit_words_agree_with_nist_sp_811", function()
  local t = fields_of [[part "u" { inch = 1*inch, ft = 1*ft, lb = 1*lb, oz = 1*oz, lbf = 1*lbf, rate = 1*lbf/inch,
    us = 1*us_gallon, imperial = 1*imperial_gallon, density = 1*lb/us_gallon, inertia = 1*lb*ft^2 }]]
  local function si(name, to_si, want, digits)
    local amount = t[name]
    local got = amount.value * amount.factor * to_si
    local unit_of_last_digit = 10.0 ^ (math.floor(math.log(want, 10)) - digits + 1)
    check.near(got, want, 0.5 * unit_of_last_digit, name)
  end
  local mm, mm3 = 1e-3, 1e-9 -- base units of file/vocabulary.lua in SI
  si("inch", mm, 2.54e-2, 12)           -- exact
  si("ft", mm, 3.048e-1, 12)            -- exact
  si("lb", 1, 4.535924e-1, 7)
  si("oz", 1, 2.834952e-2, 7)
  si("lbf", 1, 4.448222, 7)
  si("rate", 1 / mm, 1.751268e2, 7)     -- pound-force per inch, N/m
  si("us", mm3, 3.785412e-3, 7)
  si("imperial", mm3, 4.54609e-3, 12)   -- exact
  si("density", 1 / mm3, 1.198264e2, 7) -- pound per gallon (U.S.), kg/m3
  si("inertia", mm * mm, 4.214011e-2, 7) -- pound foot squared, kg m2
end)

check.test("unit_words_divide_back_to_the_number_that_was_written", function()
  local t = fields_of "part 'u' { density = 0.745*kg/litre, two = 1*ft + 2*inch, less = -(5*mm) - 1*cm }"
  check.equal(t.density.value, 0.745)
  check.near(t.two.value * t.two.factor, 14 * 25.4, 1e-12, "14 inches") -- a rounding or two of 355.6
  check.near(t.less.value * t.less.factor, -15, 1e-14)
end)

check.test("unit_words_in_a_script_are_plain_multipliers", function()
  check.near(2 * vocabulary.inch, 50.8, 1e-14)
  check.equal(vocabulary.litre, 1)
  check.near(vocabulary.us_gallon, 3.785411784, 1e-15)
end)

check.test("sum_of_a_mass_and_a_length_is_refused", function()
  refuses("local x = 1\nlocal y = 2*kg + 3*mm", {code = "type", line = 2, message = {"a mass", "a length"}})
  refuses("local y = 2*kg + 3", {code = "type", message = "the number 3"})
  refuses("local y = kg * 'x'", {code = "type", message = "the text \"x\""})
  refuses("local y = kg ^ 0.5", {code = "type", message = "powers"})
end)

-- limits +-a with all values between equally likely have u = a / sqrt 3: JCGM 100:2008, 4.3.7, whose example is a
-- coefficient within +-0.40e-6 with u = 0.23e-6
check.test("within_gives_the_standard_uncertainty_of_the_guide", function()
  local t = fields_of "part 'd' { a = within(16.52e-6, 0.40e-6), b = sd(30*lb, 1*lb), c = 2*sd(5, 0.1)*kg, d = -sd(5, 1)/2 }"
  check.near(t.a.sd, 0.23e-6, 0.005e-6)
  check.equal(t.b.sd.value, 1)
  check.equal(t.c.value.value, 10)
  check.near(t.c.sd.value, 0.2, 1e-15)
  check.equal(t.d.value, -2.5)
  check.equal(t.d.sd, 0.5)
end)

check.test("uncertainties_that_make_no_sense_are_refused", function()
  refuses("part 'a' { mass = sd(12,5, 0.1) }", {code = "type", message = "sd", hint = "decimals take a point"})
  refuses("local x = sd(5, -1)", {code = "range", message = "0 or more"})
  refuses("local x = within(5, 0/0)", {code = "range"})
  refuses("local x = sd(5*kg, 1)", {code = "type", message = "a mass"})
  refuses("local x = sd('5', 1)", {code = "type", message = "the text \"5\""})
  refuses("local x = sd(5)", {code = "type", message = "nothing"})
  refuses("local x = sd(5, 1) + sd(2, 1)", {code = "type", hint = "one sd for the sum"})
end)

-- ---- words --------------------------------------------------------------------------------------------------------

check.test("unknown_word_suggests_the_nearest", function()
  refuses("\n\nprat 'x' {}", {code = "unknown", file = "car.lua", line = 3, message = "\"prat\"", hint = "\"part\""})
  refuses("local x = 3*imperial_galon", {code = "unknown", hint = "imperial_gallon"})
end)

check.test("no_library_is_there", function()
  for _, name in ipairs {"print", "os", "io", "string", "require", "load", "pcall", "setmetatable", "getmetatable",
                         "rawset", "collectgarbage", "coroutine", "debug", "math", "next", "_G"} do
    refuses("local x = " .. name, {code = "unknown", line = 1, message = name})
  end
end)

check.test("mistakes_while_it_runs_name_the_part_where_only_one_is_meant", function()
  refuses("part 'a' {\n mass = 2*kg + 1*mm,\n at = {0, 0, 0} }", {line = 2, part = "a", field = "mass"})
  refuses("group 'g' { part 'a' { mass = pert, at = {0, 0, 0} } }", {line = 1, part = "g/a", field = nil})
  refuses("group 'g' {\n part 'a' { at = {\n 0,\n 2*kg + 1*mm } } }", {line = 4, part = "g/a", field = "at"})
  local err = refuses("part 'a' { mass = 2*kg + 1*mm } part 'b' { mass = 1 }", {line = 1})
  check.equal(err.part, nil)
  err = refuses("local x = 2*kg + 1*mm\npart 'a' { mass = 1 }", {line = 1})
  check.equal(err.part, nil)
end)

check.test("text_methods_are_not_there", function()
  refuses("local x = 1\nlocal s = ('x'):rep(1e9)", {code = "run", line = 2, message = "a text has no methods here",
    hint = "write the text out"})
end)

check.test("new_global_is_refused", function()
  refuses("\nmas = 5", {code = "content", line = 2, message = "\"mas\"", hint = "local mas"})
  refuses("part = 5", {code = "content", message = "\"part\""})
end)

check.test("what_words_make_cannot_be_changed_or_looked_into", function()
  refuses("\nkg.factor = 1000\nvehicle {}", {code = "content", line = 2, message = {"\"factor\"", "a mass"}})
  refuses("local x = 2*kg\nx.value = 3", {code = "content", line = 2, message = "\"value\""})
  refuses("mm[true] = 1", {code = "content", message = "a boolean"})
  refuses("local f = kg.factor", {code = "type", line = 1, message = {"\"factor\"", "a mass"}})
  refuses("local d = sd(5, 1)\nd.sd = 0", {code = "content", line = 2, message = "\"sd\""})
  refuses("unknown.value = 0", {code = "content", message = "unknown"})
  refuses("local s = box {1, 2, 3}\ns.shape = 'sphere'", {code = "content", line = 2, message = "a box"})
  refuses("local p = part 'a' {}\np.name = 'b'", {code = "content", line = 2, part = "a", message = "\"name\""})
  refuses("local p = part 'a' {}\np.fields = {}", {code = "content", line = 2, part = "a"})
  refuses("local x = kg < lb", {code = "run", message = "quantity"})
  refuses("kg = 5", {code = "content", message = "\"kg\""})
  -- the same unit in every file, whatever another did
  check.equal(fields_of("part 'a' { m = 2*kg }").m.value, 2)
end)

check.test("item_written_wrongly_is_refused_with_its_line", function()
  refuses("\npart { mass = 5 }", {code = "type", line = 2, message = "needs a name", hint = "part \"name\""})
  refuses("part 'a' 'b'", {code = "type", part = "a", message = "the text \"b\""})
  refuses("part 'a' { mass = 1 } { mass = 2 }", {code = "content", part = "a", hint = "comma"})
  refuses("local p = part 'a' {}\np.mass = 3", {code = "content", line = 2, part = "a", message = "\"mass\""})
  refuses("local p = part 'a' {}\nlocal m = p.mass", {code = "content", line = 2, part = "a"})
  refuses("local s = box(5)", {code = "type", message = "braces"})
  refuses("vehicle {}\nvehicle {}", {code = "clash", line = 2, hint = "line 1"})
  refuses("vehicle 'x' {}", {code = "type", message = "braces"})
end)

check.test("words_in_a_script_name_the_script_s_line", function()
  local line = debug.getinfo(1, "l").currentline + 2
  local err = check.raises(function()
    local item = vocabulary.part {}
    return item
  end, {code = "type", line = line})
  check.contains(err.file, "test_sandbox.lua")
  check.equal(rawget(vocabulary.part "x" {}, "line"), line + 4)
end)

-- ---- not Lua, not text ----------------------------------------------------------------------------------------------

check.test("syntax_errors_name_the_line", function()
  refuses("vehicle {\n parts = {\n part 'a' { mass = 1 at = {} } } }",
    {code = "syntax", file = "car.lua", line = 3, message = "near 'at'", hint = "comma"})
  refuses("vehicle {", {code = "syntax", line = 1})
  refuses("vehicle }", {code = "syntax", line = 1})
  refuses("local x = 'abc\n", {code = "syntax", line = 1, message = "unfinished string"})
end)

-- Names of the characters: the Unicode Standard, names list.
check.test("a_character_that_lua_does_not_read_is_named", function()
  for letter, want in pairs {["\u{201C}"] = "quote", ["\u{2019}"] = "quote", ["\u{AB}"] = "quote", ["\u{A0}"] = "no-break space",
                             ["\u{202F}"] = "no-break space", ["\u{2212}"] = "minus sign", ["\u{2013}"] = "dash",
                             ["\u{D7}"] = "multiplication", ["\u{200B}"] = "invisible", ["\u{3000}"] = "wide space",
                             ["\u{FF1D}"] = "full-width", ["\u{E9}"] = "no use"} do
    local code = ("U+%04X"):format(utf8.codepoint(letter))
    refuses("vehicle {\n note = \"" .. letter .. " is fine here\", -- and here: " .. letter .. "\n x = " .. letter .. "1\n}",
      {code = "syntax", file = "car.lua", line = 3, message = {code, want}})
  end
end)

check.test("a_text_that_ends_too_soon_names_the_bracket_that_is_open", function()
  refuses("vehicle {\n parts = {\n  part 'a' { mass = 1 },\n }",
    {code = "syntax", message = {"the { of vehicle on line 1", "a } is missing"}})
  refuses("vehicle { parts = {\n  part 'a' {\n mass = (1 + 2", {code = "syntax", line = 3, message = {"the ( on line 3", "a ) is missing"}})
  refuses("vehicle {\n parts = {\n  part 'a' {\n   at = {1, 2, 3},\n  part 'b' { mass = 2 },\n }\n}\n",
    {code = "syntax", message = "is missing", hint = {"before line 6", "part on line 3"}})
  refuses("vehicle {", {code = "syntax", message = "the { of vehicle on line 1"})
end)

check.test("what_a_script_has_and_a_file_has_not_is_said", function()
  refuses("vehicle { note = os.date() }", {code = "unknown", message = {'"os"', "libraries"}})
  refuses("vehicle { note = string.rep('x', 3) }", {code = "unknown", message = {'"string"', "libraries"}})
  refuses("part ('x'):rep(10) { mass = 1 }", {part = "x", message = {'"rep"', "in a script"}, hint = "write the text out"})
  refuses("vehicle { mass = ozz }", {code = "unknown", hint = 'did you mean "oz"?'})
  refuses("part 'a' { mass = sd(5, 0/0) }", {code = "range", message = "is not a number (0/0)"})
end)

-- Ill-formed sequences of the Unicode Standard 15.0, section 3.9: table 3-7 says which bytes may follow one another,
-- tables 3-8 to 3-11 give the examples taken here.
check.test("text_that_is_not_utf8_names_line_and_byte", function()
  local bad = {"\xC0\xAF", "\xE0\x80\xBF", "\xF0\x81\x82\x41", "\xED\xA0\x80", "\xED\xBF\xBF\xED\xAF\x41", "\xF4\x91\x92\x93",
               "\xFF\x41\x80\xBF\x42", "\xE1\x80\xE2\xF0\x91\x92\xF1\xBF\x41", "\x80", "\xE2\x82", "\xC3"}
  for _, bytes in ipairs(bad) do
    refuses("-- one\n--" .. bytes, {code = "read", file = "car.lua", line = 2, message = {"UTF-8", "byte 3"}})
  end
  -- first and last of each length: table 3-7
  for _, bytes in ipairs {"\u{80}", "\u{7FF}", "\u{800}", "\u{D7FF}", "\u{E000}", "\u{FFFF}", "\u{10000}", "\u{10FFFF}"} do
    check.equal(rawget(run("vehicle {} --" .. bytes).vehicle, "line"), 1)
  end
end)

check.test("text_of_another_kind_is_named", function()
  refuses("", {code = "read", message = "empty"})
  refuses(string.dump(function() end), {code = "read", message = "compiled Lua chunk"})
  refuses("\xFF\xFEv\0", {code = "read", message = "UTF-16", hint = "UTF-8"})
  refuses("\xFE\xFF\0v", {code = "read", message = "UTF-16"})
  refuses("vehicle {}\n\0", {code = "read", line = 2, message = "zero byte"})
  refuses((" "):rep(4 * 2 ^ 20 + 1), {code = "limit", message = "4194305 bytes", hint = "4 MiB"})
end)

-- ---- files that do not end ------------------------------------------------------------------------------------------

-- Each must be refused within 2 s: common practice for something a person waits for, no source.
local hostile = {
  {"an endless loop", "local x\nwhile true do end", "limit", 2, "million steps"},
  {"an endless loop of calls", "local function f() return f() end\nf()", "limit", 1, "million steps"},
  {"deep recursion", "local function f() return 1 + f() end\nf()", "limit", 1},
  {"doubling texts", "local s = 'x'\nfor i = 1, 99 do\n s = s .. s end", "limit", 3, "64 KiB"},
  {"many texts", "local s, t = 'x', {}\nfor i = 1, 15 do s = s .. s end\nfor i = 1, 1e9 do t[i] = s .. i end", "limit", 3},
  -- stopped by the 512 MiB, or on a machine slowed by sanitizers by the clock; the cap alone is tested with small numbers
  {"throw-away texts", "local s = 'x'\nfor i = 1, 15 do s = s .. s end\nfor i = 1, 1e9 do local u = s .. i end", "limit", 3},
  {"an endless list", "local t = {}\nfor i = 1, 1e9 do t[i] = i end", "limit", 2, "16 MiB"},
  {"endless tables", "local t = {}\nfor i = 1, 1e9 do t = {t} end", "limit", 2, "16 MiB"},
  {"endless items", "while true do\n part 'x' {} end", "limit", 2},
  {"comparing long texts for ever", "local a = 'x'\nfor i = 1, 15 do a = a .. a end\nlocal b = a .. 'y'\n"
   .. "while true do local c = a < b or a == b end", "limit", 4},
  {"comparing texts full of zero bytes", "local a = '\\0'\nfor i = 1, 15 do a = a .. a end\nlocal b = a .. 'y'\n"
   .. "while true do local c = a < b end", "limit", 4},
  {"a hundred thousand parentheses", "local x =\n" .. ("("):rep(100000), "limit", 2, "too deep"},
  {"a hundred thousand braces", "local x =\n" .. ("{"):rep(100000), "limit", 2, "too deep"},
  {"a hundred thousand minus signs", "local x =\n" .. ("- "):rep(100000) .. "1", "limit", 2, "too deep"},
  {"a million braces behind a mistake", "= " .. ("{"):rep(1000000), "syntax", 1},
  {"a long literal", "local x =\n'" .. ("x"):rep(3000000) .. "'", "limit", nil, "64 KiB"},
  {"half a million names", ("local a ; "):rep(400000), "syntax", 1, "200"},
  {"names looked up through many functions", "local x = " .. ("function() local a,b,c,d,e,f,g = 1 return "):rep(80)
   .. ("z;"):rep(1000) .. " end " .. ("end "):rep(80), "syntax", 1},
  {"labels and gotos", (function()
    local t = {}
    for i = 1, 30000 do t[i] = "goto a" .. i % 7 .. " ::b" .. i .. "::" end
    return table.concat(t, "\n")
  end)(), nil},
  {"tables inside one another", "local t = {}\nfor i = 1, 1000 do t = {t} end\nvehicle(t)", "limit", nil, "too deep"},
}

for _, case in ipairs(hostile) do
  check.test("run_file_of_" .. case[1]:gsub(" ", "_") .. "_ends_in_one_line", function()
    local before = os.clock()
    local err = refuses(case[2], {code = case[3], line = case[4], file = case[3] ~= "limit" and "car.lua" or nil,
                                  message = case[5]})
    check.near(os.clock() - before, 0, 2, "seconds")
    check.ok(not tostring(err):find "\n", "one line")
    check.ok(#tostring(err) < 600, "a short line")
  end)
end

check.test("run_file_after_all_that_still_works", function()
  check.equal(rawget(run("vehicle {}").vehicle, "kind"), "vehicle")
end)

check.test("throw_away_texts_end_by_the_memory_they_ask_for_in_all", function()
  check.raises(function()
    run("local s = 'x'\nfor i = 1, 12 do s = s .. s end\nfor i = 1, 1e9 do local u = s .. i end", {total = 8 << 20, seconds = 100})
  end, {code = "limit", line = 3, message = "8 MiB in all"})
end)

check.test("steps_come_before_the_clock", function()
  check.raises(function() run("while true do end", {seconds = 100}) end, {code = "limit", message = "steps"})
  check.raises(function() run("while true do end", {steps = 1e15, seconds = 0.05}) end,
    {code = "limit", line = 1, message = "0.05 s"})
end)

check.test("run_file_compares_texts_as_the_c_locale_does", function()
  local t = fields_of "part 'a' { 'a' < 'B', 'Z' < 'a', 12.5 }"
  check.equal(t, {false, true, 12.5})
end)

-- From every single request for memory on, nothing more is given: always the same clean error, nothing held back.
check.test("run_file_fails_cleanly_wherever_memory_ends", function()
  local text = "vehicle { parts = { part 'a' { mass = sd(1*kg, 2*lb), at = {1, 2, 3}, shape = box {1, 2, 3} } } }"
  collectgarbage()
  local before, failed = collectgarbage "count", 0
  for n = 1, 100000 do
    local fine, err = pcall(run, text, {requests = n})
    if fine then break end
    if getmetatable(err) ~= core.error_metatable or err.code ~= "limit" then check.equal(tostring(err), "a limit") end
    failed = failed + 1
  end
  check.ok(failed > 300, "requests refused: " .. failed)
  check.ok(failed < 100000, "it works in the end")
  collectgarbage()
  collectgarbage()
  check.ok(collectgarbage "count" - before < 64, "KiB kept")
end)

-- ---- reading files ------------------------------------------------------------------------------------------------

local function unreadable(path, want) return check.raises(function() core.read_file(path) end, want) end

check.test("read_file_of_a_file_gives_its_bytes", function()
  local path = os.tmpname()
  local file = assert(io.open(path, "wb"))
  file:write "a\r\n\0b"
  file:close()
  check.equal(core.read_file(path), "a\r\n\0b")
  os.remove(path)
end)

check.test("read_file_of_anything_else_says_what_it_is", function()
  unreadable("tests/lua/no such file.lua", {code = "read", file = "tests/lua/no such file.lua", message = "no such file"})
  unreadable("tests/lua", {code = "read", message = "a folder"})
  unreadable("/dev/zero", {code = "read", message = "a device"})
  unreadable("tests/lua/check.lua/x", {code = "read", message = "no such file"})
  unreadable("", {code = "read"})
  local path = os.tmpname() -- exists and is empty
  unreadable(path, {code = "read", file = path, message = "is empty"})
  local file = assert(io.open(path, "wb"))
  file:write((" "):rep(5 * 2 ^ 20))
  file:close()
  unreadable(path, {code = "limit", message = "5242880 bytes", hint = "4 MiB"})
  os.remove(path)
end)

check.test("read_file_of_a_pipe_does_not_wait", function()
  local path = os.tmpname()
  os.remove(path)
  check.ok(os.execute("mkfifo " .. path))
  unreadable(path, {code = "read", message = "a pipe"})
  os.remove(path)
end)

check.done()
