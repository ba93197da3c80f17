--- A car from what a vehicle file says: all its lines booked, and what its groups ask to be booked as unaccounted.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local origin = require "steelyard.print.origin"

local from_file = {}

function origin.aboard_of(c) return require("steelyard.car.aboard").list(c) end

origin.changes_of = contents.count

--- The ledger with what its groups ask to be booked as unaccounted; remarks on it go into `notes`.
function from_file.gaps(context, geometry, ledger, notes)
  if not context.gaps then return ledger end
  return require("steelyard.car.unaccounted").book(context, geometry, ledger, notes)
end

-- What parts weighed on one scale have in common, and the numbers that the ledger knows the scales by.
local function instruments(spec)
  local list, numbers = {}, {}
  for _, some in ipairs{spec.instruments or {}, spec.more_instruments or {}} do
    for _, instrument in ipairs(some) do
      list[#list + 1] = {instrument.bias_sd or 0, instrument.gain_sd or 0}
      numbers[instrument.name] = #list
    end
  end
  return list, numbers
end

--- shared, geometry, ledger for a whole file.
function from_file.booked(spec)
  local geometry = build.geometry(spec, spec.axles)
  local shared = {spec = spec, file = spec.file, nodes = {}, carriers = build.carriers(geometry, spec.axles), known = {}}
  local scales, numbers = instruments(spec)
  local context = build.context(spec, shared.nodes, shared.carriers, numbers)
  shared.context = context
  local builder = core.builder(geometry, nil, nil, scales)
  build.book_list(context, builder, spec.parts)
  build.book_list(context, builder, spec.spares or {}, true)
  return shared, geometry, from_file.gaps(context, geometry, builder:finish(), spec.notes)
end

--- A car from a spec (file/vehicle_file.lua).
function from_file.new(spec)
  local shared, geometry, ledger = from_file.booked(spec)
  shared.filed = ledger
  local c = contents.new{shared = shared, geometry = geometry, axles = spec.axles, lasting = ledger, now = ledger,
                        structure = contents.new_structure()}
  for _, axle in ipairs(spec.axles) do axle.moved = axle.moved or 0 end
  if spec.lowered then require("steelyard.car.ride_height").load(c, spec.lowered) end
  return contents.wrap(c)
end

return from_file
