--- Options of the car on scales. See options.lua for what a row says.

local function load(name, meaning) return {name .. "?", "value", "kg", "not read", meaning} end

local function sd(name, unit, meaning) return {name .. "?", "number", unit, "not stated", meaning} end

return {
  corner_scales = {"What sy.corner_scales takes.",
    {"runs", "options.scales_run[]", "", "", "readings that were taken together, each a run"},
    {"gain?", "value|table<string|number, value>", "", "1", "what a scale shows for one kilogram, one for all or by pad"},
    {"sd?", "value|options.scales_sd", "kg", "not stated", "standard uncertainty of a reading, or more of them"},
    {"step?", "number", "kg", "not stated", "smallest step of the display"},
    {"plank?", "options.plank", "", "none", "readings were taken on one end of a plank"}, {"title?", "text", "", "none", "for the heading"},
    {"state?", "text", "", "as weighed", "in what state it was measured"}},
  scales_run = {"Readings that were taken together: of wheels, of axles, or of the whole.",
    load("lf", "left front"), load("rf", "right front"), load("lr", "left rear"), load("rr", "right rear"),
    load("fl", "another name of lf"), load("fr", "another name of rf"), load("rl", "another name of lr"),
    load("f", "single front wheel"), load("r", "single rear wheel"), load("front", "first axle on one scale"),
    load("rear", "rear axle on one scale"), load("total", "all wheels on one scale"),
    {"pads?", "table<string, text|number>", "", "by place", "name of the pad under each wheel"},
    {"zero_before?", "value|table<string|number, value>", "kg", "not read", "what empty pads showed before, one for all or by pad"},
    {"zero_after?", "value|table<string|number, value>", "kg", "not read", "the same afterwards"},
    {"facing?", '"forward"|"back"', "", "forward", "which way the car faced; pads stay where they are"},
    {"others?", '"blocks"|"floor"', "", "not stated", "what the other wheels stood on"},
    {"sd?", "number", "kg", "as for all", "standard uncertainty of a reading of this run"},
    {"step?", "number", "kg", "as for all", "smallest step of the display"}, {"name?", "text", "", "its number", "of the run"}},
  scales_sd = {"Standard uncertainties of scales.", sd("reading", "kg", "of a reading: its repeatability"),
    sd("offset", "kg", "of what a pad reads too much all the time")},
  plank = {"A plank on a pivot with a scale under its other end.",
    {"ratio", "value", "", "", "kilograms under the wheel for one on the scale"},
    {"tare?", "value", "kg", "0", "what the plank shows alone"}},
  reconcile = {"What car:reconcile takes.",
    {"corners?", "by_wheel|corner_scales", "kg", "or axles", "what the scales read of every wheel"},
    {"axles?", "by_axle|corner_scales", "kg", "or corners", "of every axle, where only axles were weighed"},
    {"sd?", "number", "kg", "0.5", "standard uncertainty of a reading without its own"},
    {"height?", "value|cg_height", "mm", "not measured", "height of the CG as measured; 5 mm standard without an sd"},
    {"correct?", "boolean", "", "false", "asks for the corrected car"}},
}
