--- Rows such as "Total" and "Subtotal" in a parts list: never booked, but what they say must be the sum of the rows above.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local sums = {}
local Account = {}
Account.__index = Account

-- Adding up to a million doubles rounds by less than a billionth of the sum, far below any printed digit.
sums.ROUNDING = 1e-9

-- kg of all pieces, of one of each row, and what rounding may have taken
local Sum = {}
Sum.__index = Sum
local function new_sum() return setmetatable({kg = 0.0, singles = 0.0, room = 0.0}, Sum) end

function Sum:add(mass, pieces, room)
  self.kg, self.singles, self.room = self.kg + mass, self.singles + mass / pieces, self.room + room
end

function sums.new(plan)
  return setmetatable({plan = plan, sums = {}, total = new_sum(), part = new_sum()}, Account)
end

--- A row with a reading and no mass: what it weighs is worked out later, so no sum from here on can be checked.
function Account:add_reading() self.readings = true end

--- One booked row: `mass` kg in all, in so many pieces.
function Account:add(row, mass, pieces)
  local each = not row:is_empty "mass" and pieces * row:half_digit "mass" or row:half_digit "total_mass"
  self.total:add(mass, pieces, each)
  self.part:add(mass, pieces, each)
end

--- A row that says a sum. What it says may differ from ours by half the last printed digit of each row (times its pieces)
-- and of its own: every one of those numbers may have been rounded by so much.
function Account:check(row, kind, word)
  local by = self.plan.by
  local field = by.total_mass and row:text "total_mass" ~= "" and "total_mass" or by.mass and "mass" or by.reading and "reading"
    or "total_mass"
  local said = row:number(field, {})
  local sum = kind == "total" and self.total or self.part
  local entry = {row = row.row, word = word, said = said, sum = sum.kg, unchecked = said == nil or nil}
  self.sums[#self.sums + 1] = entry
  self.part = new_sum()
  entry.readings = self.readings
  if not said or self.broken or self.readings then return end
  local room = sum.room + row:half_digit(field)
  if math.abs(said - sum.kg) <= room + sums.ROUNDING * sum.kg then return end
  local singles = math.abs(said - sum.singles) <= room + sums.ROUNDING * sum.kg
  row:wrong(field, "content", ("%q says %s kg, the rows above come to %s kg"):format(word, text.plain(said),
    core.fixed(sum.kg, 3)), singles and "it is the sum without the quantities: is the mass of one or of all pieces meant?"
    or ("rounding explains %s kg"):format(core.fixed(room, 3)))
end

return sums
