--- The picture of something at several places fore and aft: axle loads, front share and yaw inertia along its way, as a study has them.

local lines = require "steelyard.draw.pictures.lines"
local quantities = require "steelyard.reference.quantities"

local positions = {}

local shown = {"front", "rear", "front_share", "cg_behind", "yaw_inertia"}

function positions.draw(page, r)
  local name, places = ("%s back"):format(r.part), {}
  for i, row in ipairs(r.rows) do places[i] = row.back end
  local study = {heading = r.heading, notes = r.notes, n = #places, method = "grid", shape = {#places}, outputs = {},
                 columns = {[name] = places}, inputs = {{name = name, label = name, unit = "mm", kind = "move", values = places}}}
  for i, each in ipairs(shown) do
    local q, column = quantities.find(each), {}
    for k, row in ipairs(r.rows) do column[k] = row[each] end
    study.outputs[i], study.columns[each] = {name = each, label = q.label, unit = q.unit, decimals = q.decimals}, column
  end
  return lines.draw_as(page, study, ("Axle loads, CG and inertia as %s moves"):format(r.part))
end

return positions
