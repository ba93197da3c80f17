--- What is the car, after all that was measured of it?
-- Step: weigh
-- Usage: steelyard as_built CAR [RECORD ...] [--state NAME]

local sy = require "steelyard"

local o = sy.options{
  about = "The lines of the ledger, corrected within their stated uncertainties until they agree with the records: what each read, what "
    .. "the ledger had, what both come to. Without names it takes all records of this file's own parts, and says which it left out.",
  usage = "as_built CAR [RECORD ...] [--state NAME]",
  prints = "result",
  examples = {"steelyard as_built vehicles/tansy.lua",
              'steelyard as_built vehicles/tansy.lua "first scales" "rear lift" --state "race start"'},
  args = {{"car", "vehicle file"}, {"records", "names of its records", many = true, optional = true}},
  options = {state = {"NAME", "a load state of the file"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local names = o.records and #o.records > 0 and o.records or nil
sy.out(o, require("steelyard.measure.records.built").result(car:as_built(names)))
