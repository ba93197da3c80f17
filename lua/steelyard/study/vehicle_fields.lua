--- Fields of the vehicle as a whole that a study varies: stiffness of the chassis, the cross weight set, how low the body is set.

local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"

local vehicle_fields = {}

--- Those that can be varied of "vehicle".
vehicle_fields.names = {"cross_share", "lowered.front", "lowered.rear"}

-- The car as if its file said otherwise: what was worked out from it is forgotten. given: what the file would say, for car:save.
local function with_spec(car, how, given, change)
  local c = contents.inside(car)
  local d, shared, spec = contents.from(c, how), {}, {}
  for key, value in pairs(c.shared) do shared[key] = value end
  for key, value in pairs(c.shared.spec) do spec[key] = value end
  change(spec)
  shared.spec, shared.known = spec, {}
  d.shared, d.geometry = shared, build.geometry(spec, c.axles, nil, c.measured)
  contents.forget_cross(d)
  contents.note_said(d, {vehicle = true, fields = given})
  return contents.reload(d)
end

local setters = {}

function setters.torsion(car, value)
  if not (value > 0) then
    core.fail{code = "range", part = "chassis", field = "torsion", message = ("must be above 0 N m/deg, is %s"):format(text.plain(value))}
  end
  return with_spec(car, "chassis torsion " .. text.plain(value), {chassis = {torsion = value}}, function(spec)
    spec.chassis = {torsion = value}
  end)
end

function setters.cross_share(car, value)
  return with_spec(car, "cross weight " .. text.plain(value), {cross_share = value}, function(spec)
    spec.cross_share, spec.cross_share_sd = value, nil
  end)
end

local function lowered(where)
  return function(car, value) return car:lower{[where] = value + springs.heights_set(contents.inside(car))[where]} end
end
setters["lowered.front"], setters["lowered.rear"] = lowered "front", lowered "rear"

--- function(car, value) -> car of a field, nil of one that cannot be varied.
function vehicle_fields.setter(input) return setters[input.way] end

return vehicle_fields
