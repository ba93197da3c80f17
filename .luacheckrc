std = "lua54"
max_line_length = 140
-- `not (x >= 0)` is how a check is written so that NaN fails it
ignore = {"581"}
-- files that are wrong on purpose
exclude_files = {"build", "tests/lua/bad", "tests/fuzz", "lua/meta"}

-- vehicle files are data: these words and no others exist in them
local words = {
  -- made: words, by `make docs` from lua/steelyard/file/language.lua
  "vehicle", "from_csv", "sd", "within", "unknown", "part", "group", "tank", "person", "state", "limit", "instrument",
  "record", "box", "cylinder", "tube", "sphere", "hollow_sphere", "ellipsoid", "cone", "rod", "plate", "mesh", "mm",
  "cm", "m", "inch", "ft", "kg", "g", "lb", "oz", "N", "kN", "lbf", "deg", "rad", "litre", "ml", "us_gallon",
  "imperial_gallon",
  -- made: end
}
files["vehicles"] = {std = "min", globals = {}, read_globals = words}
