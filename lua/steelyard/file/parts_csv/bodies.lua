--- Shapes, turns, inertias and tanks in tables, in the words of a vehicle file: box {540, 620, 470}; nose_up 4, left_up 6; six numbers.
--
--   bodies.read(row, part)          into `part`: shape, turned, inertia; of a tank density, fill, dry_mass, capacity in place of its mass

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local cells = require "steelyard.file.parts_csv.cells"
local headings = require "steelyard.file.parts_csv.headings"
local vocabulary = require "steelyard.file.vocabulary"

local bodies = {}

local function number_in(self, field, text)
  local number = core.csv_number(text, self.mark) or core.number(text)
  if not number then self:wrong(field, "type", ("%q is not a number"):format(cells.shown(text))) end
  return number
end

-- Pieces with semicolons between, or commas where these are not decimal marks.
local function pieces_of(self, text)
  local list = {}
  local pattern = (text:find ";" or self.mark == ",") and "[^;]+" or "[^,]+"
  for piece in text:gmatch(pattern) do list[#list + 1] = cells.one_line(piece) end
  return list
end

local function read_shape(self)
  local kind, inside = self:text "shape":match(headings.SHAPE)
  if not kind then return nil end
  if not language.shapes[kind] then
    local names = {}
    for name in pairs(language.shapes) do names[#names + 1] = name end
    table.sort(names)
    local near = core.nearest(kind, names)
    return self:wrong("shape", "unknown", ("%q is not a shape"):format(kind), near and ("did you mean %q?"):format(near)
      or "the shapes are " .. table.concat(names, ", "))
  end
  local sizes = {}
  for _, piece in ipairs(pieces_of(self, inside)) do
    local key, value = piece:match "^(%a[%a_]*)%s*=%s*(.-)$"
    local quoted = value and value:match '^"(.*)"$'
    if key then
      sizes[key] = quoted or number_in(self, "shape", value)
    else
      sizes[#sizes + 1] = number_in(self, "shape", piece)
    end
  end
  return setmetatable({shape = kind, line = 0, fields = sizes}, core.vocabulary_functions.marked "shape")
end

--- How a part or a group is turned.
function bodies.turned(self)
  local text = self:text "turned"
  if cells.is_blank(text) then return nil end
  local turned = {}
  for _, piece in ipairs(pieces_of(self, text)) do
    local way, degrees = piece:match "^(%a[%a_]*)[ =]+(.-)$"
    if not way then return self:wrong("turned", "type", ("%q is not a turn"):format(cells.shown(piece)), "as in nose_up 4") end
    turned[way] = number_in(self, "turned", degrees)
  end
  return turned
end

local function read_inertia(self)
  local text = self:text "inertia"
  if cells.is_blank(text) then return nil end
  local list = {}
  for _, piece in ipairs(pieces_of(self, text)) do list[#list + 1] = number_in(self, "inertia", piece) end
  if #list ~= 3 and #list ~= 6 then
    return self:wrong("inertia", "content", ("%q is not three or six moments"):format(cells.shown(text)), "xx; yy; zz; xy; xz; yz")
  end
  return list
end

-- "0.745", "0.745 +- 0.008"
local function with_sd(self, field)
  local text = self:text(field)
  if cells.is_blank(text) then return nil end
  local value, uncertainty = text:gsub("±", "+-"):match "^(.-)%+%-(.*)$"
  local number, sd = number_in(self, field, value or text), uncertainty and number_in(self, field, uncertainty)
  return number and (sd and vocabulary.sd(number, sd) or number)
end

--- Is this row a tank with its liquid?
function bodies.is_tank(self) return not self:is_empty "density" end

function bodies.read(self, part)
  local by = self.plan.by
  if by.shape then part.shape = read_shape(self) end
  if by.turned then part.turned = bodies.turned(self) end
  if by.inertia then part.inertia = read_inertia(self) end
  if not bodies.is_tank(self) then return end
  part.kind, part.mass, part.was, part.count, part.said = "tank", nil, nil, nil, nil
  for _, field in ipairs{"density", "fill", "dry_mass", "capacity"} do part[field] = with_sd(self, field) end
end

return bodies
