--- The fields of a record, what was measured of a car; what a row says stands in file/language.lua.

local language = require "steelyard.file.language"

local MOST_MASS = language.MOST_MASS

--- How a record was made: what it is of is in the field of the same name, or in a table that `from` names.
language.record_kinds = {"corners", "axles", "lift", "ride heights", "assembly"}

for name, reader in pairs{
  read_loads = {"records", "steelyard.run|steelyard.run[]", "kg, see below"},
  read_heights = {"records", "table<string, steelyard.number>", "`{ [\"front jack\"] = 182 }` in mm"},
  read_inertia = {"records", "{xx?: steelyard.number, yy?: steelyard.number, zz?: steelyard.number, xy?: steelyard.number, \z
    xz?: steelyard.number, yz?: steelyard.number}", "kg m2"},
  pads = {"records", "table<string, string|integer>", "`{ lf = \"A\", rf = \"B\" }`"},
} do language.readers[name] = reader end

return function()
  return {
    {"kind", "choice", {words = language.record_kinds, required = true}, "what was measured: the loads of all wheels or of all axles, the \z
      CG height with an end lifted, ride heights, or an assembly apart from the car"},
    {"of", "text", nil, "the assembly that was measured", form = "name", range = "a part or group", otherwise = "required with \z
      `kind = \"assembly\"`"},
    {"state", "text", nil, "the load state it was measured in", range = "a state of the file that it speaks of",
      otherwise = "everything in the file, no state chosen"},
    {"fill", "fills", nil, "tanks filled otherwise than in that state", otherwise = "as there"},
    {"with", "names", {tags = true}, "what was aboard beside it", form = "list of parts, groups or tags", otherwise = "none"},
    {"without", "names", {tags = true}, "what was not", form = "list of parts, groups or tags", otherwise = "none"},
    {"date", "date", nil, "when", range = "a day of the calendar, with a time or without, or a month", otherwise = "not stated"},
    {"instrument", "text", nil, "what it was read on: its step, repeatability, bias and gain", form = "name",
      range = "one of `instruments`", otherwise = "a scale nothing is known of"},
    {"who", "text", nil, "who read it", otherwise = "not stated"},
    {"file", "text", nil, "the vehicle file as the car then stood, from the folder of this one on or below; its own records do not count",
      form = "`\"history/sedge-1.lua\"`", otherwise = "this file, as written"},
    {"from", "text", nil, "a table of readings, from the folder of this file on or below, in kg and mm: of `corners` as `read_corners` \z
      reads it, of a `lift` as `cg_height` does (`readings/README.md`)", form = "`\"readings/lift.csv\"`", otherwise = "stated here"},
    {"corners", "read_loads", nil, "what stood under each wheel", otherwise = "required with that kind, or `from`"},
    {"axles", "read_loads", nil, "what stood under each axle", otherwise = "required with that kind, or `from`"},
    {"heights", "read_heights", nil, "of named points, above the floor", range = "names of `points`",
      otherwise = "required with `kind = \"ride heights\"`"},
    {"mass", "number", {unit = "kg", above = 0, max = MOST_MASS}, "of an assembly", otherwise = "required with `kind = \"assembly\"`"},
    {"cg", "point", nil, "of an assembly, where it lies in the car as drawn", form = "mm", range = "any", otherwise = "not measured"},
    {"inertia", "read_inertia", nil, "of an assembly, about its CG, along the axes of the file", range = "any", otherwise = "not measured"},
    {"pads", "pads", nil, "which pad of the instrument stood under which wheel", otherwise = "each wheel has its own"},
    language.note,
  }
end
