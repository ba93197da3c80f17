--- What was measured of the car, and how far off is the ledger of that day?
-- Step: weigh
-- Usage: steelyard records CAR [NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "The records of a vehicle file, a line each, or one of them in full. Each is held against the car as it stood when it was "
    .. "measured: the file that the record names, or this one as it is written.",
  usage = "records CAR [NAME]",
  prints = "result",
  examples = {"steelyard records vehicles/tansy.lua", 'steelyard records vehicles/tansy.lua "first scales"'},
  args = {{"car", "vehicle file"}, {"name", "a record of it", optional = true}},
}
local car = sy.load(o.car)
sy.out(o, o.name and car:record(o.name) or car:records())
