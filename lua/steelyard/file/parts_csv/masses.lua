--- The mass of a row: from its own column, from that of all pieces, from what a scale read, and what was booked before.

local language = require "steelyard.file.language"
local fields = require "steelyard.file.fields"
local sums = require "steelyard.file.parts_csv.sums"
local dictionary = require "steelyard.file.parts_csv.dictionary"
local vocabulary = require "steelyard.file.vocabulary"
local text = require "steelyard.print.text"

local masses = {}

local mass_limits = fields.by_name.part.mass[3]
local signed_mass_limits = {min = -language.MOST_MASS, max = language.MOST_MASS} -- a sign typed wrong is what a teardown looks for
local uncertainty_limits, above_nothing = {min = 0}, {above = 0, max = language.MOST_MASS}

-- Standard uncertainty of the mass, or its limits, kg
local function mass_uncertainty(self, mass)
  local function in_kg(field)
    if self:text(field):find "%%" then
      local share = self:share(field)
      return share and share * math.abs(mass)
    end
    local value = self:number(field, uncertainty_limits)
    if value and self.plan.by[field].unit.of == "share" then return value * math.abs(mass) end
    return value
  end
  local sd, limit = in_kg "mass_sd", in_kg "within"
  if sd and limit then
    return self:wrong("within", "clash", ("stands beside column %s, one of the two is enough"):format(self.plan.by.mass_sd.letter))
  end
  return sd, limit
end

local function with_uncertainty(value, sd, limit)
  if limit then return vocabulary.within(value, limit) end
  return sd and vocabulary.sd(value, sd) or value
end

-- Cells such as "?" for a mass nobody knows.
local function is_unknown(self)
  return dictionary.unknown[dictionary.fold(self:text "mass")] and not self.bad
end

-- The mass of one piece from a column of its own, or from the mass of all pieces; where both stand they must agree.
local function read_mass(self, pieces)
  local limits = self.teardown and signed_mass_limits or mass_limits
  local mass, raw, unit = self:number("mass", limits)
  local all, raw_all, unit_all = self:number("total_mass", limits)
  if self.bad then return nil end
  self.mass_unit = unit or unit_all
  self.read = mass and {value = raw, unit = unit, per = 1} or all and {value = raw_all, unit = unit_all, per = pieces}
  if not mass and not all then
    return self:wrong(self.plan.by.mass and "mass" or "total_mass", "missing", "has no mass",
      "a question mark is a mass nobody knows; a row that is not a part must be empty")
  end
  if not mass then return all / pieces end
  if all and math.abs(mass * pieces - all) > pieces * self:half_digit "mass" + self:half_digit "total_mass" + sums.ROUNDING * all then
    return self:wrong("total_mass", "clash", ("says %s kg, %d times %s kg is %s kg"):format(text.plain(all), pieces,
      text.plain(mass), text.plain(mass * pieces)))
  end
  return mass
end

-- The mass of one piece with its uncertainty, from the columns of the mass.
local function stated_mass(self, pieces)
  if is_unknown(self) then return vocabulary.unknown end
  local mass = read_mass(self, pieces)
  return mass and with_uncertainty(mass, mass_uncertainty(self, mass)), mass
end

-- What was booked before, where it has a column beside the mass.
local function read_estimate(self)
  if not self.plan.by.estimate then return nil end
  if dictionary.unknown[dictionary.fold(self:text "estimate")] then return vocabulary.unknown end
  local mass = self:number("estimate", self.teardown and above_nothing or mass_limits)
  local sd = self:number("estimate_sd", uncertainty_limits)
  if sd and not mass and not self.bad then self:wrong("estimate_sd", "missing", "stands without an earlier estimate") end
  return mass and with_uncertainty(mass, sd), mass
end

--- Into `part`: mass, was, weighed and what the table itself makes of a reading. Gives the mass in the table's own column, for sums.
function masses.read(self, part, pieces)
  local by = self.plan.by
  local open = by.reading and dictionary.unknown[dictionary.fold(self:text "reading")] -- not weighed yet
  local record = by.reading and not open and require("steelyard.file.parts_csv.weighed").read(self)
  if not (record or open) and not self:is_empty "reading" then return nil end -- the reading is wrong, and that is reported
  local estimate, number = read_estimate(self)
  local empty = self:is_empty "mass" and self:is_empty "total_mass"
  local booked
  if record then
    part.weighed = record
    if part.basis == "weighed" then part.basis = nil end -- said of the reading, not of what was thought before
    if by.estimate then
      part.mass, part.said = estimate, require("steelyard.file.parts_csv.weighed").said(self)
      booked = part.said and part.said.mass
    elseif not empty then
      part.mass, booked = stated_mass(self, pieces)
    end
    return booked
  end
  if empty and estimate and not self.teardown then -- nobody weighed it: a teardown wants that said, with a question mark
    part.mass = estimate
    return number
  end
  if open and (empty or self.teardown) then
    part.was = not empty and stated_mass(self, pieces) or nil
    part.mass, self.read = vocabulary.unknown, nil
    return nil
  end
  if by.reading and not (by.mass or by.total_mass) then
    return self:wrong("reading", "missing", "is empty, and the table has no other column for the mass",
      "a part that was not weighed needs an estimate, in a column of its own")
  end
  part.mass, booked = stated_mass(self, pieces)
  part.was = estimate ~= vocabulary.unknown and estimate or nil
  return booked
end

return masses
