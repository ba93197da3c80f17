--- Columns of a study that are written from Lua: c[i], #c, ipairs(c), c:list(), c:min(), c:max(); what is not known is nil.

local columns = {}

local Column = {__name = "column"}
local methods = {}

function Column.__index(c, key)
  if type(key) == "number" then
    local value = c._values[key]
    if value == value then return value end
    return nil
  end
  return methods[key]
end

function Column.__len(c) return c._n end

function methods.list(c)
  local list = {}
  for i = 1, #c do list[i] = c[i] end
  return list
end

local function most(c, better)
  local found
  for i = 1, #c do
    local value = c[i]
    if value and (not found or better(value, found)) then found = value end
  end
  return found
end

function methods.min(c) return most(c, function(a, b) return a < b end) end
function methods.max(c) return most(c, function(a, b) return a > b end) end

--- Writes an entry; nil is not known.
function methods.put(c, i, value) c._values[i] = value or 0 / 0 end

--- The methods, for a column of another kind.
function columns.method(name) return methods[name] end

function columns.new(n) return setmetatable({_n = n, _values = {}}, Column) end

-- ---- of words ------------------------------------------------------------------------------------------------------------

local Words = {__name = "words"}

function Words.__index(c, key)
  if math.type(key) == "integer" then
    local value = c._numbers[key]
    return value and c._word(math.tointeger(value))
  end
  if key == "list" then
    return function()
      local list = {}
      for i = 1, #c do list[i] = c[i] end
      return list
    end
  end
end

function Words.__len(c) return #c._numbers end

--- Words by their numbers in a column: word(number) -> text.
function columns.of_words(numbers, word) return setmetatable({_numbers = numbers, _word = word}, Words) end

return columns
