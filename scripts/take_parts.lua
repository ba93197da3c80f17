--- How does my spreadsheet become a car: a vehicle file that reads it?
-- Step: start
-- Usage: steelyard take_parts TABLE.csv [FILE.lua] [--wheelbase MM --track FRONT,REAR] [--radius FRONT,REAR] [--axes back,right,up] ...

local sy = require "steelyard"

local ways = {"forward", "back", "left", "right", "up", "down"}
local o = sy.options{
  about = "Shows what is understood of a parts list saved as CSV, column by column. With --wheelbase and --track it writes a short "
    .. "vehicle file beside the table, which reads the table from then on, and balances the car. A file that is already there stays as "
    .. "it is.",
  usage = "take_parts TABLE.csv [FILE.lua] [--wheelbase MM --track FRONT,REAR]",
  examples = {"steelyard take_parts vehicles/fescue_parts.csv", "steelyard take_parts parts.csv --wheelbase 2400 --track 1450,1460"},
  args = {{"table", "the parts list, saved as CSV from a spreadsheet"},
    {"file", "the vehicle file to write; the table's name with .lua unless given", optional = true, new = true}},
  options = {
    wheelbase = {"MM", "from the front axle to the rear", number = true, min = 1},
    track = {"FRONT,REAR", "mm between the middles of the tyres, one number for both", number = true, min = 1, list = true},
    radius = {"FRONT,REAR", "mm from the ground to the wheels' centres; 300 unless given", number = true, min = 1, list = true},
    axes = {"X,Y,Z", "where the table's x, y and z run; back,right,up unless given", choices = ways, list = true},
    front_at = {"MM", "where the front axle is along the table's fore-aft axis", number = true, default = 0},
    ground = {"MM", "where the ground is along its vertical axis", number = true, default = 0},
    centre = {"MM", "where the centre plane is along its sideways axis", number = true, default = 0},
    decimal = {"MARK", "the decimal mark, where the table cannot tell", choices = {",", "."}},
    anyway = {nil, "write the file although the car would not stand on its wheels"},
    title = {"TEXT", "headings of results; the table's name unless given"},
  },
}
o.axes = o.axes or {"back", "right", "up"}
local taken = require("steelyard.command.take_parts").of(o)
local refused = o.wheelbase and not taken.written and (taken.book or not taken.kept) -- a file was asked for, and does not read the table
sy.out(o, taken, refused and "refused" or nil)
