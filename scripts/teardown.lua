--- Do weighed parts come to the weighed whole, and if not, which line is wrong?
-- Step: weigh
-- Usage: steelyard teardown TABLE.csv [TABLE.csv ...] [--decimal MARK] [--bias-sd KG] [--gain-sd FRACTION]

local sy = require "steelyard"

local o = sy.options{
  about = "Reads what was weighed, piece by piece and as a whole, and says whether the pieces come to the whole. If not: which slip would "
    .. "explain it (pounds read as kg, digits swapped, a line twice ...). Several tables: each one, then all together with the lines "
    .. "that two of them both book. vehicles/README.md describes the table.",
  usage = "teardown TABLE.csv [TABLE.csv ...] [--decimal MARK] [--bias-sd KG] [--gain-sd FRACTION]",
  prints = "result",
  examples = {"steelyard teardown vehicles/readings/teardown.csv",
    "steelyard teardown vehicles/readings/teardown.csv vehicles/readings/teardown_transaxle.csv --bias-sd 0.01 --gain-sd 0.0005"},
  args = {{"tables", "tables from a spreadsheet, as CSV", many = true}},
  options = {decimal = {"MARK", "decimal mark, where the table cannot tell", choices = {",", "."}},
    bias_sd = {"KG", "standard uncertainty of the zero of the parts' scale", number = true, min = 0, default = 0},
    gain_sd = {"FRACTION", "standard uncertainty of its gain, 0.001 is 0.1 %", number = true, min = 0, default = 0}},
}
local teardown = require "steelyard.measure.teardown"
sy.out(o, teardown.of(o.tables, {decimal = o.decimal, scale = {bias_sd = o.bias_sd, gain_sd = o.gain_sd}}))
