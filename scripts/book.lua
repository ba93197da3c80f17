--- What is booked: every line with mass, place, share and basis?
-- Step: book
-- Usage: steelyard book CAR [PART] [--state NAME] [--csv] [--semicolon] [--to FILE [--replace]]

local sy = require "steelyard"

local o = sy.options{
  about = "The ledger line by line, or one group of it; weighed assemblies are checked against their booked parts.",
  usage = "book CAR [PART] [--state NAME] [--csv] [--semicolon] [--to FILE [--replace]]",
  examples = {"steelyard book vehicles/first_guess.lua", "steelyard book vehicles/twayblade.lua powertrain"},
  args = {{"car", "vehicle file"}, {"part", "a part, group or tag", optional = true}},
  options = {state = {"NAME", "load state, one of the file's"},
    csv = {nil, "a table for spreadsheets: what is aboard, a row a part"},
    semicolon = {nil, "the table with semicolons and decimal commas"},
    to = {"FILE", "write the table to this file, whole or not at all; what the car reads is never written over"},
    replace = {nil, "with --to: the file may be there already and is replaced"}},
}
local function usage(message) require("steelyard.core").fail{code = "usage", message = message} end
if o.replace and not o.to then usage "--replace goes with --to FILE" end
if o.to and o.json then usage "--to writes a table and --json prints a document: use one of the two" end
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local book = car:book(o.part)
if o.csv or o.semicolon or o.to then
  local out = require "steelyard.command.out"
  local text, left_out = require("steelyard.file.parts_csv").write(book, {semicolon = o.semicolon})
  if #left_out > 0 then out.remark(o, "not aboard, left out: " .. table.concat(left_out, ", ")) end
  if o.to then
    require("steelyard.command.new_file").save(o.to, text, {replace = o.replace, car = car})
    out.remark(o, ("%s is written."):format(o.to))
  else
    out.text((text:gsub("\n$", "")))
  end
else
  sy.out(o, book)
end
