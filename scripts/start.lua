--- How do I begin: a commented vehicle file to put your own numbers in?
-- Step: start
-- Usage: steelyard start FILE.lua [--title TEXT]

local sy = require "steelyard"

local o = sy.options{
  about = "Writes a vehicle file with the usual twenty lines of a mid-engined two-seater, every mass a guess between limits, with "
    .. "comments that explain each. A file that is already there stays as it is.",
  usage = "start FILE.lua [--title TEXT]",
  examples = {"steelyard start mycar.lua", 'steelyard start second_car.lua --title "Second car, 2026"'},
  args = {{"file", "the file to write", new = true}},
  options = {title = {"TEXT", "headings of results; the file's name unless given"}},
}
sy.out(o, require("steelyard.command.start").write(o.file, o.title))
