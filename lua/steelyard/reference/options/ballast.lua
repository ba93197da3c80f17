--- Options of ballast. See options.lua for what a row says.

return {
  ballast = {"What car:ballast takes: a target, a minimum mass, or both.",
    {"target?", "table<string, value|value[]>", "its unit", "none",
      "what is to be reached, by quantity: {front_share = 43}, or {front_share = {43, 0.1}} within 0.1; of the balance, corners, "
      .. "attitude and stability"},
    {"slots", "options.ballast_slot[]", "", "", "where ballast may go, at most 8"},
    {"minimum?", "value", "kg", "none", "the least the car may weigh: at the finish, where one is given"},
    {"finish?", "table<string, number|string>", "litre", "as it is loaded", "what is in the tanks at the end, as car:fill takes it"},
    {"limits?", "table<string, number[]|table<string, number>>", "its unit", "those of the file alone",
      "{from, to} or {min =, max =} by quantity; limits hold as the car is loaded and at the finish, those of states in their states"},
    {"quiet?", "boolean", "", "false", "true shows no progress"}},
  ballast_slot = {"Where ballast may go, and how much.",
    {"name?", "text", "", "the first entry", "the same by its own word: what the part is called in the car that comes back"},
    {"at", "point", "mm", "", "where its centre lies, in the file's axes"},
    {"max", "value", "kg", "", "the most it holds"},
    {"min?", "value", "kg", "0", "the least it is to hold"},
    {"step?", "value", "kg", "to the gram", "mass of one piece: the slot holds a whole number of them"},
    {"into?", "text", "", "the body", "a group it lies in; `at` then counts from there"},
    {"[integer]", "text", "", "name", "its name, first in the braces"}},
}
