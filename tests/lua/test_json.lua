--- JSON out and in. What the notation allows and means: RFC 8259; examples from its section 13.

local check = dofile "tests/lua/check.lua"
local json = require "steelyard.print.json"

-- RFC 8259, section 13, first example
local image = [[
{
  "Image": {
      "Width":  800,
      "Height": 600,
      "Title":  "View from 15th Floor",
      "Thumbnail": {
          "Url":    "http://www.example.com/image/481989943",
          "Height": 125,
          "Width":  100
      },
      "Animated" : false,
      "IDs": [116, 943, 234, 38793]
    }
}]]

check.test("decode_reads_the_standards_example", function()
  check.equal(json.decode(image), {Image = {
    Width = 800, Height = 600, Title = "View from 15th Floor", Animated = false, IDs = {116, 943, 234, 38793},
    Thumbnail = {Url = "http://www.example.com/image/481989943", Height = 125, Width = 100},
  }})
end)

-- RFC 8259, section 13: "JSON texts containing only values"; section 7: U+1D11E is "\uD834\uDD1E"
check.test("decode_reads_lone_values_and_surrogate_pairs", function()
  check.equal(json.decode '"Hello world!"', "Hello world!")
  check.equal(json.decode " 42 ", 42)
  check.equal(json.decode "true", true)
  check.equal(json.decode '"\\uD834\\uDD1E"', "\u{1D11E}")
  check.equal(json.decode [["\u0041\/\\\"\b\f\n\r\t"]], "A/\\\"\b\f\n\r\t")
  check.equal(json.decode "null", json.null)
  check.equal(json.decode "[-0.5e-3, 1E2, 0]", {-0.0005, 100, 0})
end)

check.test("decode_refuses_what_the_standard_does_not_allow", function()
  local wrong = {
    "", " ", "[1,]", "[1 2]", "{,}", '{"a":1,}', '{"a" 1}', "{a:1}", "{'a':1}", "[", '["a', "01", "-", "+1", ".5", "1.",
    "1e", "0x1", "NaN", "Infinity", "tru", "nul", '"\\x41"', '"\\u12"', '"\\uD834"', '"\\uDD1E"', '"\\uD834\\u0041"', '"\t"',
    '"\0"', "1 2", "[1]]", "\u{FEFF}1", "// c\n1", "[\xff]", '"\xed\xa0\x80"', '{"a":1,"a":2}', "1e999",
  }
  for _, bytes in ipairs(wrong) do
    check.raises(function() return json.decode(bytes) end, {code = "syntax"})
  end
end)

check.test("decode_names_file_and_line", function()
  check.raises(function() return json.decode('{\n  "a": 1,\n  "b": x\n}', "readings.json") end,
    {code = "syntax", file = "readings.json", line = 3, message = "x"})
end)

check.test("decode_stops_at_200_levels", function()
  check.ok(json.decode(("["):rep(200) .. ("]"):rep(200)))
  check.raises(function() return json.decode(("["):rep(100000)) end, {code = "syntax", message = "200"})
end)

check.test("encode_sorts_keys_and_keeps_order_of_lists", function()
  check.equal(json.encode{b = {3, 1, 2}, a = "x", B = true, c = {d = 0.1}},
    '{\n  "B": true,\n  "a": "x",\n  "b": [3, 1, 2],\n  "c": {\n    "d": 0.1\n  }\n}')
  check.equal(json.encode{{a = 1}, {}}, '[\n  {\n    "a": 1\n  },\n  []\n]')
end)

check.test("encode_puts_a_list_with_fields_under_list", function()
  check.equal(json.decode(json.encode{"p", "q", status = "pass"}), {list = {"p", "q"}, status = "pass"})
  check.raises(function() return json.encode{1, list = 2} end, {code = "type", message = "list"})
end)

check.test("encode_writes_numbers_that_read_back_the_same", function()
  for _, x in ipairs{0.1, 1 / 3, 5e-324, 1.7976931348623157e308, -2.5e-7, 123456789012345680.0} do
    check.equal(json.decode(json.encode(x)), x)
  end
  check.equal(json.encode(math.mininteger), "-9223372036854775808")
end)

check.test("encode_escapes_what_must_be_escaped", function()
  check.equal(json.encode 'a"b\\c\n\1\127é', '"a\\"b\\\\c\\n\\u0001\127é"')
  check.equal(json.encode "x\xffy\xc3", '"x\u{FFFD}y\u{FFFD}"')
end)

check.test("encode_honours_pairs_and_json_of_a_metatable", function()
  local late = setmetatable({}, {__pairs = function() return next, {mass = 27.4}, nil end})
  check.equal(json.encode(late), '{\n  "mass": 27.4\n}')
  local car = setmetatable({}, {__json = function() return "First guess" end})
  check.equal(json.encode{car = car}, '{\n  "car": "First guess"\n}')
end)

check.test("encode_refuses_what_json_does_not_have_with_its_path", function()
  check.raises(function() return json.encode{rows = {{front = 0 / 0}}} end, {code = "type", field = "rows[1].front"})
  check.raises(function() return json.encode{a = math.huge} end, {field = "a", message = "inf"})
  check.raises(function() return json.encode{f = print} end, {field = "f", message = "function"})
  check.raises(function() return json.encode(print) end, {message = "function"})
  check.raises(function() return json.encode{1, nil, 3} end, {message = "gaps"})
  check.raises(function() return json.encode{[true] = 1} end, {message = "true"})
  local own = {}
  own.own = own
  check.raises(function() return json.encode(own) end, {message = "holds itself"})
end)

check.done()
