--- The fields of a vehicle file: which there are, how each is read, what it may be.
--
-- kinds[kind] = list of {name, reader, options}. Readers are functions of nodes.lua and vehicle_file.lua. Options:
--   required   must be there            default    taken when it is not
--   unless     a field that makes up for a required one
--   unit, min, above, max               of numbers
--   words      of a choice: what may be written

local MOST_MASS, MOST_LENGTH = 1e5, 1e6 -- kg and mm: what the ledger keeps exactly (core/mass/ledger.h)

local mass = {unit = "kg", min = 0, max = MOST_MASS, required = true}
local part_mass = {unit = "kg", min = 0, max = MOST_MASS, required = true, unless = "weighed"}
local size = {unit = "mm", above = 0, max = MOST_LENGTH}
local rate = {unit = "N/mm", above = 0}
local angle = {unit = "deg", above = 0, max = 90}
local place = {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH}
local travel = {unit = "mm", min = 0, max = MOST_LENGTH}
local needed_size = {unit = "mm", above = 0, max = MOST_LENGTH, required = true}
local needed_text = {required = true}
local needed_point = {required = true}
local bent = {unit = "deg", min = 20, max = 180} -- what bodies do: core/mass/person.h
local within = {unit = "mm", min = 0, max = MOST_LENGTH}

local bases = {words = {"estimate", "calculated", "supplier", "weighed"}, default = "estimate"}

-- what scales read in
local mass_units = {words = {"kg", "g", "lb", "oz"}}

-- what parts, tanks and persons share
local function item_fields(...)
  local list = {
    {"at", "point", needed_point}, {"within_mm", "within", within}, {"turned", "turned"}, {"shape", "shape"},
    {"basis", "choice", bases}, {"unsprung", "unsprung"}, {"tags", "texts"}, {"pair", "flag"},
    {"includes", "texts"}, {"excludes", "texts"}, {"bolted_to", "names"}, {"growth", "fraction"},
    {"stand_in", "stand_in"}, {"note", "text"}, {"scale", "text"}, {"weighed", "weighed"},
    {"was", "whole", {unit = "kg", min = 0, max = MOST_MASS}},
  }
  for _, field in ipairs {...} do table.insert(list, 1, field) end
  return list
end

local kinds = {
  part = item_fields({"count", "count"}, {"inertia", "inertia"}, {"mass", "mass", part_mass}),
  person = item_fields({"segments", "choice", {words = {"men", "women"}}}, {"head", "number", {unit = "deg", min = -45, max = 90}},
    {"elbow", "number", bent}, {"shoulder", "number", {unit = "deg", min = -45, max = 180}},
    {"ankle", "number", {unit = "deg", min = 45, max = 180}}, {"thigh", "number", {unit = "deg", min = -90, max = 90}},
    {"knee", "number", bent}, {"torso", "number", {unit = "deg", min = -45, max = 90}},
    {"stature", "number", {unit = "mm", min = 500, max = 2500}}, {"hip", "point", {}}, {"inertia", "inertia"},
    {"mass", "mass", part_mass}),
  tank = item_fields({"dry_mass", "number", {unit = "kg", min = 0, max = MOST_MASS, default = 0.0}},
    {"fill", "fill", {required = true}}, {"capacity", "number", {unit = "litre", above = 0}},
    {"pick_up", "point"}, {"unusable", "number", {unit = "litre", min = 0}},
    {"density", "number", {unit = "kg/L", above = 0, max = 30, required = true}}),
  group = {
    {"at", "point", {default = true}}, {"turned", "turned"}, {"whole", "whole", {unit = "kg", above = 0, max = MOST_MASS}},
    {"weighed", "weighed"}, {"unaccounted", "flag"}, {"tags", "texts"}, {"note", "text"},
  },
  stand_in = {{"mass", "mass", mass}, {"at", "point"}, {"within_mm", "within", within}, {"note", "text"}},
  state = {
    {"with", "names", {tags = true}}, {"without", "names", {tags = true}}, {"fill", "fills"}, {"swap", "swaps"}, {"stand_ins", "flag"},
    {"note", "text"},
  },
  vehicle = {
    {"title", "text"}, {"axes", "axes"}, {"ground", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH,
      default = 0.0}}, {"centre", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH, default = 0.0}},
    {"axles", "axles", {required = true}}, {"chassis", "record", {kind = "chassis"}}, {"design", "text"},
    {"cross_share", "number", {unit = "%", above = 0, max = 100, default = 50.0}}, {"assume", "record", {kind = "assume"}},
    {"instruments", "records", {kind = "instrument"}}, -- before the parts they weigh
    {"parts", "ledger", {required = true}}, {"spares", "ledger"}, {"states", "states"}, {"points", "points"},
    {"shafts", "records", {kind = "shaft"}}, {"clearances", "records", {kind = "clearance"}},
    {"limits", "records", {kind = "limit"}}, {"note", "text"},
  },
  axle = {
    {"name", "text", needed_text}, {"at", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH, required = true}},
    {"wheels", "wheels", {default = 2}}, {"track", "number", size}, {"loaded_radius", "number", needed_size},
    {"tyre_rate", "number", rate}, {"spring_rate", "number", rate}, {"motion_ratio", "number", {unit = "", above = 0}},
    {"bar_rate", "number", {unit = "N/mm", min = 0}}, {"roll_centre", "number", place}, {"perch_pitch", "number", size},
    {"bump", "number", travel}, {"droop", "number", travel}, {"note", "text"},
  },
  chassis = {{"torsion", "number", {unit = "N m/deg", above = 0}}, {"note", "text"}},
  assume = {
    {"estimate", "fraction"}, {"calculated", "fraction"}, {"supplier", "fraction"}, {"weighed", "fraction"},
    {"within_mm", "number", within},
  },
  shaft = {
    {"name", "text", needed_text}, {"inner", "joint"}, {"outer", "joint"},
    {"joint", "choice", {words = {"cv", "cardan"}, required = true}}, {"axis", "direction"},
    {"static_limit", "number", angle}, {"worst_limit", "number", angle}, {"plunge_limit", "number", size},
    {"cut_length", "number", size}, {"phase", "number", {unit = "deg", min = -360, max = 360}}, {"note", "text"},
  },
  joint = {
    {"part", "name"}, {"wheel", "wheel"}, {"at", "point"}, {"axis", "direction"}, {"pivot", "point"}, {"hinge", "direction"},
    {"path", "path"}, {"steer", "number", {unit = "deg", min = 0, max = 80}},
  },
  clearance = {
    {"name", "text", needed_text}, {"a", "place", {required = true}}, {"b", "place", {required = true}},
    {"asked", "number", {unit = "mm", min = 0, max = MOST_LENGTH}}, {"leaves", "leaves"}, {"note", "text"},
  },
  place = {{"part", "name"}, {"wheel", "wheel"}, {"at", "point"}, {"to", "point"}, {"radius", "number", size}},
  point = {{"at", "point", needed_point}, {"part", "name"}, {"note", "text"}},
  limit = {
    {"name", "text"}, {"quantity", "quantity", {required = true}}, {"min", "bound"}, {"max", "bound"},
    {"near", "bound"}, {"note", "text"},
  },
  instrument = {
    {"name", "text", needed_text}, {"unit", "choice", mass_units}, {"sd", "shown", {min = 0}}, {"step", "shown", {above = 0}},
    {"range", "shown", {above = 0}}, {"bias", "shown"}, {"gain", "gain", {unit = "", above = 0}}, {"note", "text"},
  },
  weighed = {
    {"reading", "readings", {required = true}}, {"unit", "choice", mass_units}, {"on", "text"}, {"zero_before", "shown"},
    {"zero_after", "shown"}, {"tare", "shown"}, {"with", "loads"}, {"pieces", "count"}, {"note", "text"},
  },
}

for _, field in ipairs(kinds.person) do
  if field[1] == "at" then field[3] = {required = true, unless = "hip"} end
end

--- What each shape is measured by, in the order they are written without names; `axis`: the field that turns it.
local shapes = {
  box = {"length", "width", "height"},
  cylinder = {"diameter", "length", axis = "axis", along = "across"},
  tube = {"diameter", "wall", "length", axis = "axis", along = "across"},
  sphere = {"diameter"},
  hollow_sphere = {"diameter", "wall"},
  ellipsoid = {"length", "width", "height"},
  cone = {"diameter", "length", axis = "axis", along = "across"},
  rod = {"length", axis = "axis", along = "across"},
  plate = {"length", "width", axis = "normal", along = "upright"},
}

--- kinds[kind] as above; names[kind] the names in order; by_name[kind][name] = field; always[kind] the fields that are
-- required or have a default.
local fields = {kinds = kinds, shapes = shapes, names = {}, by_name = {}, always = {}, MOST_LENGTH = MOST_LENGTH,
                MOST_MASS = MOST_MASS}
for kind, list in pairs(kinds) do
  local names, by_name, always = {}, {}, {}
  for i, field in ipairs(list) do
    local options = field[3] or {}
    names[i], by_name[field[1]], field[3] = field[1], field, options
    if options.required or options.default ~= nil then always[#always + 1] = field end
  end
  fields.names[kind], fields.by_name[kind], fields.always[kind] = names, by_name, always
end

return fields
