--- What is booked: every line with mass, place, share and basis?
-- Step: book
-- Usage: steelyard book CAR [PART] [--state NAME] [--csv] [--semicolon] [--to FILE.csv]

local sy = require "steelyard"
local text = require "steelyard.print.text"

local o = sy.options{
  about = "The ledger line by line, or one group of it. Weighed assemblies are compared with the sum of their parts. --to FILE.csv writes "
    .. "the table for spreadsheets.",
  usage = "book CAR [PART] [--state NAME] [--csv] [--semicolon]",
  prints = "result", plots = true,
  examples = {"steelyard book vehicles/first_guess.lua", "steelyard book vehicles/twayblade.lua powertrain --plot masses.svg"},
  args = {{"car", "vehicle file"}, {"part", "a part, group or tag", optional = true}},
  options = {state = {"NAME", "a load state of the file"},
    csv = {nil, "a table for spreadsheets: what is aboard, a row a part"},
    semicolon = {nil, "the table with semicolons and decimal commas"}},
  apart = {{"csv", "json"}, {"semicolon", "json"}},
}
local as_table = o.csv or o.semicolon or not o.json and o.to and o.to:lower():find "%.csv$"
local car = sy.load(o.car)
if o.state then car = car:state(o.state) end
local book = car:book(o.part)
if as_table then
  local made, left_out = require("steelyard.answers.book.csv").write(book, {semicolon = o.semicolon})
  if #left_out > 0 then require("steelyard.command.out").remark(o, "not aboard, left out: " .. text.list_names(left_out)) end
  sy.out(o, (made:gsub("\n$", "")))
else
  sy.out(o, book)
end
