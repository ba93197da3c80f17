--- The car with its lines as reconciled: a corrected ledger to go on with.
--
-- Masses are set, tanks filled and places moved as a user would, so everything else of a line stays. Each line gets its new uncertainty of
-- mass; that the lines now err together a ledger cannot say, so the uncertainty of its sum comes out larger than the reconciled one. Mass
-- and place come out as reconciled but for what only the file knows: more liquid stands higher in its tank, and a lowered body turns shifts
-- a little (hundredths of a millimetre of the CG in the twayblade).

local user_values = require "steelyard.file.user_values"
local contents = require "steelyard.car.contents"
local measurement = require "steelyard.measure.measurement"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"
local vocabulary = require "steelyard.file.vocabulary"

local reconcile_car = {}

local function uncertain(value, sd) return sd > 0 and vocabulary.sd(value, sd) or value end

-- What a tank must hold; nil where it cannot.
local function litres_of(node, line)
  local litres = (line.stated + line.mass.change - (node.dry_mass or 0)) / node.density
  litres = litres >= 0 and user_values.held(litres, node.capacity) or nil
  if not litres then return nil end
  return uncertain(litres, line.mass.after / node.density)
end

local function move(car, word, line)
  local shift, moved = {}, false
  for _, way in ipairs{"forward", "left", "up"} do
    local by = line[way].change
    if by ~= 0 and not (line.pair and way == "left") then shift[way], moved = by, true end
  end
  return moved and car:move(word, shift) or car
end

--- The corrected car; what could not be corrected goes into `notes`.
function reconcile_car.of(c, car, lines, notes)
  if c.state and c.state.stand_ins then
    measurement.refuse("reconcile", "correct", "clash", "is asked of a state with stand-ins, whose masses the file states for themselves",
      "choose a state of the car itself")
  end
  local heading, fills, left = car:heading(), {}, {}
  for _, line in ipairs(lines) do
    local node = c.shared.nodes[c.now:item(line.route).number]
    local word, mass = resolve.word_for(c, line.route), line.stated + line.mass.change
    if line.mass.change ~= 0 then
      if node.kind == "tank" then
        fills[word] = litres_of(node, line)
        if not fills[word] then left[#left + 1] = line.name end
      elseif mass > 0 then
        car = car:set(word, {mass = uncertain(mass, line.mass.after)})
      else
        left[#left + 1] = line.name
      end
    end
    car = move(car, word, line)
  end
  if next(fills) then car = car:fill(fills) end
  if #left > 0 then
    table.insert(notes, #notes, ("not corrected, for it would hold or weigh what it cannot: %s"):format(text.join_names(left)))
  end
  return contents.retold(car, c, "reconciled"):named(heading .. ", reconciled")
end

return reconcile_car
