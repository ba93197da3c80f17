--- How many decimals a vehicle's figures take: more for a small one, so that a model of 8 kg is not printed to the nearest 0.1 kg.
--
-- What is printed is chosen for cars: kg to 0.1, mm to 1, kg m2 to 1. Below 100 kg, 1000 mm of wheelbase and 100 kg m2 each power of ten
-- takes one decimal more.

local core = require "steelyard.core"

local figures = {}

local USUAL = {kg = 100, mm = 1000, ["kg m2"] = 100} -- from here up figures are as for cars
local none = {kg = 0, mm = 0, ["kg m2"] = 0}
local of_result = setmetatable({}, {__mode = "k"}) -- result -> figures

local function more(size, usual)
  if not (size > 0 and size < usual) then return 0 end
  return math.min(6, math.ceil(math.log(usual / size, 10) - 1e-9))
end

--- Decimals beyond the usual ones by unit, of the inside of a car; its mass (kg) where that is at hand.
function figures.of(c, mass)
  mass = mass or core.answers(c.now, c.geometry, {"mass"})[1]
  local length = math.abs(c.axles[#c.axles].at - c.axles[1].at)
  if mass >= USUAL.kg and length >= USUAL.mm then return none end
  return {kg = more(mass, USUAL.kg), mm = more(length, USUAL.mm), ["kg m2"] = more(mass * (length / 1000) ^ 2, USUAL["kg m2"])}
end

--- Remembers for the printing of a result whose figures it takes; gives the result back.
function figures.keep(r, c, mass)
  local f = figures.of(c, mass)
  if f ~= none then of_result[r] = f end
  return r
end

--- Decimals of numbers in a unit, `usual` for a car: of a kept result.
function figures.decimals(r, unit, usual) return usual + ((of_result[r] or none)[unit] or 0) end

function figures.kg(r, usual) return figures.decimals(r, "kg", usual) end
function figures.mm(r, usual) return figures.decimals(r, "mm", usual) end

return figures
