--- The table of calls, continued: stints. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local calls = {}

calls.car = {
  {"car:stint", {{"options?", "options.stint"}}, "stint",
    "How quantities change as fuel burns and drivers change, their means over the litres burnt, and the car at the mean, to set up."},
}

local by_name = "table<string, number>"

calls.results = {
  {"stint_end", "Where a quantity is least or greatest in a stint.", exact = true, apart = true, fields = {
    {"value", "number", "", "in the quantity's unit"}, {"litres", "number", "litre", "in the tank then"},
    {"driver?", "text", "", "who drives then, where drivers are named"}}},
  {"stint", "What car:stint gives. Quantities are in their units.", limits = true, fields = common.stated(
    {"tank", "text", "", "that is burnt from"}, {"from", "number", "litre", "in it at the start"},
    {"to", "number", "litre", "in it at the end"}, {"step", "number", "litre", "between rows, as asked or usual"},
    {"names", "text[]", "", "what is shown, in order"},
    {"rows[].litres", "number", "litre", "in the tank; a change of drivers has a row with each"},
    {"rows[].driver?", "text", "", "who drives, where drivers are named"},
    {"rows[].values", by_name, "", "by quantity"}, {"rows[].sd", by_name, "", "standard uncertainties by quantity, where they have one"},
    {"mean", by_name, "", "by quantity: every litre burnt counts the same, also between rows"},
    {"lowest", "table<string, stint_end>", "", "by quantity: the least of the rows"},
    {"highest", "table<string, stint_end>", "", "the greatest of the rows"},
    {"at", "number", "litre", "where the first quantity is its mean; of several places the one nearest half way"},
    {"at_driver?", "text", "", "who drives there, where drivers are named"},
    {"reached", by_name, "", "by quantity: of the car there"},
    {"car", "car", "", "the car there, to set up"})},
}

return calls
