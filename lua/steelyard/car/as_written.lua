--- Cars that records speak of: of a file as it is written, and of one that another file names.

local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"

local as_written = {}

--- The car of a file as it is written, whatever was made of it since: another of the same family.
function as_written.car(c)
  local spec, filed = c.shared.spec, c.shared.filed
  local inside = contents.new{shared = c.shared, geometry = build.geometry(spec, spec.axles), axles = spec.axles, lasting = filed,
                              now = filed, structure = contents.new_structure()}
  if spec.lowered then require("steelyard.car.ride_height").load(inside, spec.lowered) end
  return contents.wrap(inside)
end

--- Gives a spec the instruments that it has not, as far as there is room for them.
function as_written.lend(spec, given)
  local more, known = {}, {}
  for _, instrument in ipairs(spec.instruments or {}) do known[instrument.name] = true end
  for _, instrument in ipairs(given) do
    if not known[instrument.name] and #(spec.instruments or {}) + #more < core.constants.most_instruments then
      more[#more + 1] = instrument
    end
  end
  spec.more_instruments = more
end

return as_written
