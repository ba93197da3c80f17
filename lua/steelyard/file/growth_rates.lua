--- What immature masses are allowed to grow by. An allowance is for work still to be done (brackets, fillets, second thoughts); it
-- is not the uncertainty of what is booked, and the two are never added up.
--
-- Two sets of rates:
--   european  at most 5 % off the shelf, 10 % after minor changes, 20 % for new designs. Source: ESA SRE-PA/2011.097, Margin
--             philosophy for science assessment studies, 2012.
--   s120      by kind of hardware and maturity. Source: tables of the family of ANSI/AIAA S-120, Mass properties control for space
--             systems; that these numbers belong to it is from memory. The entry crew_systems, P stands there as 0.19, above
--             the 0.18 of the step before it: an erratum, since an allowance cannot rise as a part matures. `of` never gives more
--             than the step before, so 0.18.

local growth_rates = {}

--- The steps to maturity: estimated, layout, pre-released, released and calculated, existing hardware, weighed. CFE, supplied by the
-- customer, is a step of its own.
growth_rates.steps = {"E", "L", "P", "C", "X", "A"}
growth_rates.step_words = {E = "estimated", L = "layout", P = "pre-released", C = "released, calculated", X = "existing hardware",
                           A = "weighed", CFE = "supplied by the customer"}

--- Fractions of the booked mass in the order E L P C X A CFE, as published.
growth_rates.table = {
  structure_mechanisms = {0.18, 0.15, 0.08, 0.04, 0.02, 0, 0},
  propulsion = {0.18, 0.15, 0.08, 0.04, 0.02, 0, 0},
  thermal = {0.18, 0.15, 0.08, 0.04, 0.02, 0, 0},
  batteries = {0.20, 0.15, 0.10, 0.05, 0.03, 0, 0},
  wiring_instrumentation = {0.50, 0.30, 0.25, 0.05, 0.03, 0, 0},
  electrical_box_under_10lb = {0.30, 0.25, 0.20, 0.10, 0.03, 0, 0},
  electrical_box_10_30lb = {0.20, 0.20, 0.15, 0.05, 0.03, 0, 0},
  electrical_box_over_30lb = {0.15, 0.15, 0.10, 0.05, 0.03, 0, 0},
  life_support = {0.23, 0.18, 0.12, 0.09, 0.04, 0, 0},
  crew_systems = {0.23, 0.18, 0.19, 0.09, 0.04, 0, 0},
  composites = {0.24, 0.19, 0.13, 0.06, 0.03, 0, 0},
}

--- Which step a basis is taken for.
growth_rates.step_of_basis = {estimate = "E", calculated = "C", supplier = "X", weighed = "A"}
growth_rates.bases = require("steelyard.file.language").bases
growth_rates.european = {estimate = 0.20, calculated = 0.10, supplier = 0.05, weighed = 0}
growth_rates.practices = {"european", "s120"}

--- The names of the kinds of hardware, sorted.
function growth_rates.categories()
  local names = {}
  for name in pairs(growth_rates.table) do names[#names + 1] = name end
  table.sort(names, require("steelyard.core").before)
  return names
end

--- The allowance of a category at a step, never above the step before.
function growth_rates.of(category, step)
  local row, least = growth_rates.table[category], math.huge
  if step == "CFE" then return row[7] end
  for i, name in ipairs(growth_rates.steps) do
    least = math.min(least, row[i])
    if name == step then return least end
  end
end

return growth_rates
