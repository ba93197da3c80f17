--- Options of what answers rest on, and what to weigh next. See options.lua for what a row says.

return {
  sensitivity = {"What sy.sensitivity takes.",
    {"car?", "car", "", "the first entry", "the car that is asked; as built too"},
    {"show", "text[]", "", "", "names of quantities, in order: of the balance, corners, attitude, stability, shafts, clearances, "
      .. "usable"},
    {"vary?", "vary[]", "", "every stated error", "inputs as sy.vary gives them, numbers from one to another: the rows are of "
      .. "these; what to weigh next is always of the stated errors"},
    {"scale?", "number", "kg", "0.1", "standard uncertainty of a mass once it is weighed, of one piece"},
    {"tape?", "number", "mm", "2", "of each coordinate of a place once it is measured"},
    {"steps?", "number", "", "all that help", "how many lines to list that are weighed or measured next"},
    {"top?", "number", "", "12", "how many rows of each quantity; the others are rest_share"},
    {"[integer]", "car", "", "", "the car, as the first entry"}},
}
