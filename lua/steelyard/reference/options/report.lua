--- Options of reports. See options.lua for what a row says.

-- Any result that prints will do; these are what measurements give.
local measured = {"cg_height", "corner_scales", "part_cg", "pendulum", "reconciled", "recorded", "remainder", "closure", "survey"}

return {
  report = {"What sy.report takes.",
    {"[integer]", "car", "", "", "cars in order; of several the later ones are set against the first"},
    {"car?", "car", "", "the first entry", "the car, where it is one"},
    {"studies?", "(study|options.study)[]", "", "none",
      "studies that are done, or tables with what sy.study takes, of the first car unless they name one"},
    {"fits?", "(" .. table.concat(measured, "|") .. ")[]", "", "none",
      "results of measurements, as sy.cg_height or car:reconcile give them: each with its picture and as printed"},
    {"title?", "text", "", "the heading of the first car", "of the page"}},
}
