--- The fields of a vehicle file: which there are, how each is read, what it may be.
--
-- kinds[kind] = list of {name, reader, options}. Readers are functions of file/entries.lua, nodes.lua and others; plain values of the
-- commonest are read by core.read_record. Options:
--   required   must be there            default    taken when it is not
--   unless     a field that makes up for a required one
--   unit, min, above, max               of numbers
--   words      of a choice: what may be written

local core = require "steelyard.core"
local language = require "steelyard.file.language"

local MOST_MASS, MOST_LENGTH, MOST_RATE = language.MOST_MASS, language.MOST_LENGTH, language.MOST_RATE
local MOST_RATIO = 100 -- spring travel / wheel travel

local mass = {unit = "kg", min = 0, max = MOST_MASS, required = true}
local part_mass = {unit = "kg", min = 0, max = MOST_MASS, required = true, unless = "weighed"}
local size = {unit = "mm", above = 0, max = MOST_LENGTH}
local rate = {unit = "N/mm", above = 0, max = MOST_RATE}
local angle = {unit = "deg", above = 0, max = 90}
local place = {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH}
local travel = {unit = "mm", min = 0, max = MOST_LENGTH}
local needed_size = {unit = "mm", above = 0, max = MOST_LENGTH, required = true}
local needed_text = {required = true}
local needed_point = {required = true}
local bent = {unit = "deg", min = 20, max = 180} -- what bodies do: core/mass/person.h
local within = {unit = "mm", min = 0, max = MOST_LENGTH}

local bases = {words = language.bases, default = "estimate"}

-- what scales read in
local mass_units = {words = language.mass_units}

-- what parts, tanks and persons share, behind the fields of their own
local function item_fields(list)
  for _, field in ipairs{
    {"at", "point", needed_point}, {"within_mm", "within", within}, {"turned", "turned"}, {"shape", "shape"},
    {"basis", "choice", bases}, {"unsprung", "unsprung"}, {"tags", "texts"}, {"pair", "flag"},
    {"includes", "texts"}, {"excludes", "texts"}, {"bolted_to", "names"}, {"growth", "fraction"},
    {"stand_in", "stand_in"}, {"note", "text"}, {"scale", "text"}, {"weighed", "weighed"},
    {"was", "whole", {unit = "kg", min = 0, max = MOST_MASS}},
  } do list[#list + 1] = field end
  return list
end

-- Each kind is made when it is first read: most files have few of them.
local make = {}

function make.part() return item_fields{{"mass", "mass", part_mass}, {"inertia", "inertia"}, {"count", "count"}} end

function make.person()
  local list = item_fields{
    {"mass", "mass", part_mass}, {"inertia", "inertia"}, {"hip", "point"}, {"stature", "number", {unit = "mm", min = 500, max = 2500}},
    {"torso", "number", {unit = "deg", min = -45, max = 90}}, {"knee", "number", bent},
    {"thigh", "number", {unit = "deg", min = -90, max = 90}}, {"ankle", "number", {unit = "deg", min = 45, max = 180}},
    {"shoulder", "number", {unit = "deg", min = -45, max = 180}}, {"elbow", "number", bent},
    {"head", "number", {unit = "deg", min = -45, max = 90}}, {"segments", "choice", {words = {"men", "women"}}},
  }
  for _, field in ipairs(list) do
    if field[1] == "at" then field[3] = {required = true, unless = "hip"} end
    if field[1] == "basis" then field[3] = {words = bases.words} end -- nobody is an estimate for want of a basis
  end
  return list
end

function make.tank()
  return item_fields{
    {"density", "number", {unit = "kg/L", above = 0, max = 30, required = true}}, {"unusable", "number", {unit = "litre", min = 0}},
    {"pick_up", "point"}, {"capacity", "number", {unit = "litre", above = 0}}, {"fill", "fill", {required = true}},
    {"dry_mass", "number", {unit = "kg", min = 0, max = MOST_MASS, default = 0.0}},
  }
end

function make.group()
  return {
    {"at", "point", {default = true}}, {"turned", "turned"}, {"whole", "whole", {unit = "kg", above = 0, max = MOST_MASS}},
    {"weighed", "weighed"}, {"unaccounted", "flag"}, {"tags", "texts"}, {"note", "text"},
  }
end

function make.stand_in() return {{"mass", "mass", mass}, {"at", "point"}, {"within_mm", "within", within}, {"note", "text"}} end

function make.state()
  return {
    {"with", "names", {tags = true}}, {"without", "names", {tags = true}}, {"fill", "fills"}, {"swap", "swaps"}, {"stand_ins", "flag"},
    {"note", "text"},
  }
end

function make.vehicle()
  return {
    {"title", "text"}, {"axes", "axes"}, {"ground", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH,
      default = 0.0}}, {"centre", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH, default = 0.0}},
    {"axles", "axles", {required = true}}, {"chassis", "record", {kind = "chassis"}}, {"design", "text"},
    {"cross_share", "number", {unit = "%", above = 0, max = 100, default = 50.0}}, {"assume", "record", {kind = "assume"}},
    {"instruments", "records", {kind = "instrument"}}, -- before the parts they weigh
    {"parts", "ledger", {required = true}}, {"spares", "ledger"}, {"states", "states"}, {"points", "points"},
    {"shafts", "records", {kind = "shaft"}}, {"clearances", "records", {kind = "clearance"}},
    {"limits", "records", {kind = "limit"}}, {"note", "text"},
  }
end

function make.axle()
  return {
    {"name", "text", needed_text}, {"at", "number", {unit = "mm", min = -MOST_LENGTH, max = MOST_LENGTH, required = true}},
    {"wheels", "wheels", {default = 2}}, {"track", "number", size}, {"loaded_radius", "number", needed_size},
    {"tyre_rate", "number", rate}, {"spring_rate", "number", rate}, {"motion_ratio", "number", {unit = "", above = 0, max = MOST_RATIO}},
    {"bar_rate", "number", {unit = "N/mm", min = 0, max = MOST_RATE}}, {"roll_centre", "number", place}, {"perch_pitch", "number", size},
    {"bump", "number", travel}, {"droop", "number", travel}, {"note", "text"},
  }
end

function make.chassis() return {{"torsion", "number", {unit = "N m/deg", above = 0, max = MOST_RATE}}, {"note", "text"}} end

function make.assume()
  return {
    {"estimate", "fraction"}, {"calculated", "fraction"}, {"supplier", "fraction"}, {"weighed", "fraction"},
    {"within_mm", "number", within},
  }
end

function make.shaft()
  return {
    {"name", "text", needed_text}, {"inner", "joint"}, {"outer", "joint"},
    {"joint", "choice", {words = {"cv", "cardan"}, required = true}}, {"axis", "direction"},
    {"static_limit", "number", angle}, {"worst_limit", "number", angle}, {"plunge_limit", "number", size},
    {"cut_length", "number", size}, {"phase", "number", {unit = "deg", min = -360, max = 360}}, {"note", "text"},
  }
end

function make.joint()
  return {
    {"part", "name"}, {"wheel", "wheel"}, {"at", "point"}, {"axis", "direction"}, {"pivot", "point"}, {"hinge", "direction"},
    {"path", "path"}, {"steer", "number", {unit = "deg", min = 0, max = 80}},
  }
end

function make.clearance()
  return {
    {"name", "text", needed_text}, {"a", "place", {required = true}}, {"b", "place", {required = true}},
    {"asked", "number", {unit = "mm", min = 0, max = MOST_LENGTH}}, {"leaves", "leaves"}, {"note", "text"},
  }
end

function make.place() return {{"part", "name"}, {"wheel", "wheel"}, {"at", "point"}, {"to", "point"}, {"radius", "number", size}} end

function make.point() return {{"at", "point", needed_point}, {"part", "name"}, {"note", "text"}} end

function make.limit()
  return {
    {"name", "text"}, {"quantity", "quantity", {required = true}}, {"min", "bound"}, {"max", "bound"},
    {"near", "bound"}, {"note", "text"},
  }
end

function make.instrument()
  return {
    {"name", "text", needed_text}, {"unit", "choice", mass_units}, {"sd", "shown", {min = 0}}, {"step", "shown", {above = 0}},
    {"range", "shown", {above = 0}}, {"bias", "shown"}, {"gain", "gain", {unit = "", above = 0}}, {"note", "text"},
  }
end

function make.weighed()
  return {
    {"reading", "readings", {required = true}}, {"unit", "choice", mass_units}, {"on", "text"}, {"zero_before", "shown"},
    {"zero_after", "shown"}, {"tare", "shown"}, {"with", "loads"}, {"pieces", "count"}, {"note", "text"},
  }
end

--- kinds[kind] as above; names[kind] the names in order; by_name[kind][name] = field; always[kind] the fields that are
-- required or have a default; all: every kind there is.
local fields = {kinds = {}, names = {}, by_name = {}, always = {}, all = {}}
for kind in pairs(make) do fields.all[#fields.all + 1] = kind end

local no_options = {}

local function add_kind(kind)
  local list, names, by_name, always = make[kind](), {}, {}, {}
  for i, field in ipairs(list) do
    local name, options = field[1], field[3] or no_options
    local low, high = options.above or options.min or -math.huge, options.max or math.huge
    local whole = {name, field[2], options, core.plain_readers[field[2]] or 0, low, high, options.above ~= nil, name .. "_sd"}
    list[i], names[i], by_name[name] = whole, name, whole
    if options.required or options.default ~= nil then always[#always + 1] = whole end
  end
  fields.kinds[kind], fields.names[kind], fields.by_name[kind], fields.always[kind] = list, names, by_name, always
end

for _, of in ipairs{"kinds", "names", "by_name", "always"} do
  setmetatable(fields[of], {__index = function(t, kind)
    if not make[kind] then return nil end
    add_kind(kind)
    return rawget(t, kind)
  end})
end

return fields
