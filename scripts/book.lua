--- What is booked: every line of the ledger with mass, place, share, basis and carrier?
-- Usage: steelyard book CAR [PART] [--state NAME] [--csv] [--semicolon]

local sy = require "steelyard"

local o = sy.options{
  about = "The ledger line by line, or one group of it; weighed assemblies are checked against their booked parts.",
  usage = "book CAR [PART] [--state NAME] [--csv] [--semicolon]",
  examples = {"steelyard book vehicles/first_guess.lua", "steelyard book vehicles/twayblade.lua powertrain",
    "steelyard book vehicles/twayblade.lua --csv > parts.csv"},
  args = {{"car", "vehicle file"}, {"part", "a part, group or tag", optional = true}},
  options = {state = {"NAME", "load state, one of the file's"},
    csv = {nil, "a table for spreadsheets: what is aboard, a row a part"},
    semicolon = {nil, "the table with semicolons and decimal commas"}},
}
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local book = car:book(o.part)
if o.csv or o.semicolon then
  local out = require "steelyard.out"
  local text, left_out = require("steelyard.parts_csv").write(book, {semicolon = o.semicolon})
  if #left_out > 0 then out.remark(o, "not aboard, left out: " .. table.concat(left_out, ", ")) end
  out.text((text:gsub("\n$", "")))
else
  sy.out(o, book)
end
