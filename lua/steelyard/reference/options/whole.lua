--- Options of calls on whole cars and assemblies: comparisons, changes, a teardown. See options.lua for what a row says.

local language = require "steelyard.file.language"

local units = '"' .. table.concat(language.mass_units, '"|"') .. '"'

return {
  comparison = {"What sy.compare takes.",
    {"[integer]", "car", "", "", "cars in order; the first is the baseline"},
    {"show?", "text[]", "", "the usual ones", "names of the quantities to show, in order"}},
  changes = {"What sy.changes takes.",
    {"state?", "text", "", "as they are", "load state of both"},
    {"by?", '"mass"|"front_share"|"left_share"|"height"|"yaw_inertia"', "", "file order", "puts the largest movers of that quantity first"},
    {"renamed?", "table<string, text>", "", "none", "new names by old ones: answers what the result asks"}},
  inertia_of = {"What car:inertia takes.",
    {"what?", "what", "", "the car", "a part, a group or a tag"},
    {"about?", "text|point", "mm", "its CG", "a point of the file or coordinates"}},
  save = {"What car:save takes.",
    {"replace?", "boolean", "", "false", "true writes over a file that is there, which is first kept as history/NAME-n.lua beside it"}},
  closure = {"What sy.closure takes.",
    {"title?", "text", "", "none", "for the heading"},
    {"whole?", "value", "kg", "not weighed", "the assembly as weighed"},
    {"parts", "options.closure_line[]", "", "", "what it was taken apart into"},
    {"extra?", "value|(value|options.closure_line)[]|table<string, value>", "kg", "nothing",
      "what the whole holds beside the parts: a mass, a list, or masses by name"},
    {"scale?", "options.closure_scale", "", "no common error", "what one scale does to all readings alike"}},
  closure_line = {"A line of a teardown: its mass, or what a scale read.",
    {"name?", "text", "", "needed in parts", "what it is"},
    {"mass?", "value|unknown", "its unit", "needed without weighed", "of one piece, as read"},
    {"unit?", units, "", "kg", "of that mass"},
    {"count?", "number", "", "1", "pieces"},
    {"assembly?", "text", "", "none", "assembly it belongs to"},
    {"includes?", "text|text[]", "", "nothing", "names of lines that were weighed with it"},
    {"was?", "value", "kg", "none", "earlier estimate of one piece"},
    {"weighed?", "fields.weighed", "", "none", "what a scale read, in place of mass and unit"}},
  closure_scale = {"What one scale does to all readings alike.",
    {"bias_sd?", "value", "kg", "0", "standard uncertainty of its zero"},
    {"gain_sd?", "value", "", "0", "standard uncertainty of what it shows for a kilogram"}},
}
