std = "lua54"
max_line_length = 140
-- `not (x >= 0)` is how a check is written so that NaN fails it
ignore = {"581"}
-- files that are wrong on purpose
exclude_files = {"build", "tests/lua/bad", "tests/fuzz", "lua/meta"}

-- vehicle files are data: these words and no others exist in them
local words = {
  "vehicle", "group", "part", "tank", "person", "state", "from_csv",
  "box", "cylinder", "tube", "sphere", "hollow_sphere", "ellipsoid", "cone", "rod", "plate",
  "sd", "within", "unknown",
  "mm", "cm", "m", "inch", "ft", "kg", "g", "lb", "oz", "deg", "rad",
  "litre", "ml", "us_gallon", "imperial_gallon", "N", "kN", "lbf",
}
files["vehicles"] = {std = "min", globals = {}, read_globals = words}
