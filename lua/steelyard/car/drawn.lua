--- The state a car is drawn in: its springs were set for it, and everything on springs is a change from there.

local contents = require "steelyard.car.contents"
local states = require "steelyard.car.states"

local drawn = {}

--- The load state that is drawn, or nil.
function drawn.design_state(c)
  for _, state in ipairs(c.shared.spec.states or {}) do
    if state.name == c.shared.spec.design then return state end
  end
end

--- The title of the state that is drawn.
function drawn.title(c) return c.shared.spec.design or "everything in the file" end

-- Wheels that stand elsewhere than in the file are set up anew: the old springs say nothing about them.
local function moved_wheels(c)
  if c.axles == c.shared.spec.axles then return false end
  for i, axle in ipairs(c.axles) do
    local filed = c.shared.spec.axles[i]
    if (axle.moved or 0) ~= 0 or axle.track ~= filed.track then return true end
    if (axle.left or axle.right or filed.left or filed.right)
      and not require("steelyard.file.sides").same_places(axle, filed) then return true end
  end
  return false
end

local function load_drawn(c, base, held, structure)
  return states.apply{shared = c.shared, base = base, geometry = c.geometry, axles = c.axles, state = drawn.design_state(c), fills = {},
                       held = held, structure = structure, measured = c.measured}
end

--- The ledger of the drawn state with the body at the heights of the file; with `reset` it holds the car's edits.
function drawn.unstood(c, reset)
  if reset then return load_drawn(c, c.base, c.held, c.structure) end
  local known = c.measured or c.shared.known -- records correct the drawn state too
  local ledger = known.drawn
  if not ledger then
    ledger = load_drawn(c, c.shared.filed, contents.no_edits, contents.new_structure())
    known.drawn = ledger
  end
  return ledger
end

local standing = setmetatable({}, {__mode = "k"}) -- by car: the drawn state where the perches have set it, and what it comes from

--- The ledger of the drawn state, and whether it holds the car's edits.
function drawn.ledger(c, reset)
  reset = reset or moved_wheels(c)
  local ledger = drawn.unstood(c, reset)
  if c.heights_set then -- set lower by the perches, and drawn there
    local kept = standing[c]
    if not kept or kept.from ~= ledger then
      kept = {from = ledger, ledger = require("steelyard.car.ride_height").stand(c, ledger)}
      standing[c] = kept
    end
    ledger = kept.ledger
  end
  return ledger, reset
end

return drawn
