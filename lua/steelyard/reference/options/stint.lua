--- Options of stints. See options.lua for what a row says.

return {
  stint = {"What car:stint takes.",
    {"fuel?", "table<string, number>|number[]", "litre", "what is in the tank, down to what cannot be drawn",
      "{from =, to =} or {from, to}, either may be left out: in the tank at the start and at the end"},
    {"tank?", "text", "", "the one called fuel, else the only one aboard", "the tank that is burnt from; all others stay as they are"},
    {"step?", "number", "litre", "5", "from one row to the next"},
    {"drivers?", "options.stint_driver[]", "", "who sits in it", "who drives, in turn, without gaps"},
    {"show?", "text[]", "", "front share, left share, height and mass",
      "quantities of the balance, corners, attitude, stability and so on; the first is the one whose mean is set up"},
    {"mean?", "boolean", "", "false", "the page leaves the rows out and has the means alone"}},
  stint_driver = {"Who drives, and on which litres.",
    {"name?", "text", "", "the first entry", "the same by its own word: a person of the file, aboard or among its spares"},
    {"from?", "number", "litre", "where the one before ends", "in the tank as this one begins"},
    {"to?", "number", "litre", "where the next begins, or the end", "in the tank as this one ends"},
    {"[integer]", "text", "", "name", "the name, first in the braces"}},
}
