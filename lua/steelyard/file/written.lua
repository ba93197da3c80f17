--- Values of a vehicle file as text: what core.run_file gives, written so that it reads back as the same.
--
-- written.value(v, indent, nl, kind) -> text, lines behind the first indented; nl: line end; kind: that of the fields in a table, for
-- their order.
-- written.number_over(old, new, unit, room) -> `old` with the number `new` (in the field's unit) in it: its unit word and its uncertainty
-- stay. room: how far off the digits may read back; 0 where the number must be the same to the bit.

local core = require "steelyard.core"
local fields = require "steelyard.file.fields"
local language = require "steelyard.file.language"
local user_values = require "steelyard.file.user_values"

local written = {}

local marked = core.vocabulary_functions.marked
local Uncertainty, Amount = marked "uncertainty", marked "amount"
local Strange = marked "strange"

local letters = {"x", "y", "z"}
local WIDTH = 118  -- columns of a line, where an entry allows it
local STEP = "  "

-- ---- numbers ------------------------------------------------------------------------------------------------------------

local root_3 = core.constants.root_3

-- Shortest first: what reads back so that `fits` holds, among decimals near `value`.
local function shortest_that(value, fits)
  for digits = 0, 17 do
    local rounded = core.number(core.fixed(value, digits))
    if rounded and fits(rounded) then return rounded end
  end
  local near = core.number(core.shortest(value))
  local ulp = math.abs(value) * 2 ^ -53
  for k = 0, 4 do
    for _, sign in ipairs{1, -1} do
      if fits(near + sign * k * ulp) then return near + sign * k * ulp end
    end
  end
end

local PICOMETRE = 9 -- decimals of a millimetre

--- A length as the ledger keeps it, to a whole picometre.
function written.length(mm) return core.number(core.fixed(mm, PICOMETRE)) + 0.0 end

local function is_amount(v) return getmetatable(v) == Amount end

local function amount_over(old, new, unit, room)
  local u = language.field_units[unit]
  local by = old.factor / u.factor
  local value = shortest_that(new / by, function(d) return math.abs(d * (old.factor / u.factor) - new) <= room end)
  if not value then return new end
  return setmetatable({value = value, factor = old.factor, dims = old.dims, exponents = old.exponents}, Amount)
end

function written.number_over(old, new, unit, room)
  if is_amount(old) then return amount_over(old, new, unit, room) end
  if getmetatable(old) ~= Uncertainty then return new end
  local value, sd = written.number_over(old.value, new, unit, room), old.sd
  if is_amount(sd) and not is_amount(value) then sd = user_values.number(sd, unit) end
  return setmetatable({value = value, sd = sd, limits = old.limits}, Uncertainty)
end

--- A number with this standard uncertainty; limits: it came from limits.
function written.uncertain(value, sd, limits) return setmetatable({value = value, sd = sd, limits = limits or nil}, Uncertainty) end

--- A coordinate of a point of the file, {x, y, z} or by name, and its key.
function written.coordinate(point, i)
  if point[letters[i]] ~= nil then return point[letters[i]], letters[i] end
  return point[i], i
end

--- Has it an uncertainty?
function written.is_uncertain(v) return getmetatable(v) == Uncertainty end

local function number_text(v)
  if v ~= v then return "0/0" end
  if v == math.huge or v == -math.huge then return v > 0 and "1e999" or "-1e999" end
  return core.shortest(v)
end

local function amount_text(v)
  for _, row in ipairs(language.words.units) do
    local word, dims, size = row[1], row[2], row[3]
    if dims == v.dims and size == v.factor then return number_text(v.value) .. "*" .. word end
  end
  if v.dims == "M" then return number_text(v.value * v.factor) .. "*kg" end -- what a scale read must say its unit
  for _, u in pairs(language.field_units) do
    if u.dims == v.dims and u.dims ~= "" then return number_text(v.value * (v.factor / u.factor)) end
  end
  return number_text(v.value * v.factor)
end

local function plain_text(v) return is_amount(v) and amount_text(v) or number_text(v) end

-- The limit whose third root of three is this standard uncertainty.
local function limit_of(sd)
  local number = is_amount(sd) and sd.value or sd
  local limit = shortest_that(number * root_3, function(d) return d / root_3 == number end)
  if not limit then return nil end
  if not is_amount(sd) then return limit end
  return setmetatable({value = limit, factor = sd.factor, dims = sd.dims}, Amount)
end

local function uncertain_text(v)
  local limit = v.limits and limit_of(v.sd)
  if limit then return ("within(%s, %s)"):format(plain_text(v.value), plain_text(limit)) end
  return ("sd(%s, %s)"):format(plain_text(v.value), plain_text(v.sd))
end

-- ---- texts ----------------------------------------------------------------------------------------------------------------

local escapes = {["\n"] = "\\n", ["\r"] = "\\r", ["\t"] = "\\t", ["\a"] = "\\a", ["\b"] = "\\b", ["\f"] = "\\f", ["\v"] = "\\v"}

--- A text between quotes, on one line.
function written.text(v)
  return '"' .. v:gsub('[\\"]', "\\%0"):gsub("%c", function(c) return escapes[c] or ("\\%03d"):format(c:byte()) end) .. '"'
end

-- Source  Lua 5.4 Reference Manual, 3.1
local reserved = {}
local words = "and break do else elseif end false for function goto if in local nil not or repeat return then true until while"
for word in words:gmatch "%a+" do reserved[word] = true end

--- `mass = ` or `["oil inside"] = `
function written.key(key)
  if type(key) == "string" and key:find "^[%a_][%w_]*$" and not reserved[key] then return key .. " = " end
  return "[" .. (type(key) == "string" and written.text(key) or number_text(key)) .. "] = "
end

-- ---- tables ---------------------------------------------------------------------------------------------------------------

-- Names of the fields that are there, in the order of the kind's rows, others behind by name.
local function ordered(t, kind)
  local keys, place = {}, {}
  for i, name in ipairs(kind and fields.names[kind] or {}) do place[name] = i end
  for key in next, t do
    if math.type(key) ~= "integer" or key < 1 or key > #t then keys[#keys + 1] = key end
  end
  table.sort(keys, function(a, b)
    local one, other = place[a] or math.huge, place[b] or math.huge
    if one ~= other then return one < other end
    return core.before(tostring(a), tostring(b))
  end)
  return keys
end

--- The kind of what stands under a field, for the order of its fields: a weighing, a joint, a list of axles; or nil.
function written.kind_below(kind, key)
  local row = kind and type(key) == "string" and fields.by_name[kind] and fields.by_name[kind][key]
  if not row then return nil end
  local asked = row[3] and row[3].kind or ({axles = "axle", axle = "axle"})[row[2]] or row[2]
  return fields.by_name[asked] and asked or nil
end

local function is_long(text) return text:find("\n", 1, true) ~= nil end

local function on_one_line(entries, spaced)
  local pad = spaced and " " or ""
  return "{" .. pad .. table.concat(entries, ", ") .. pad .. "}"
end

-- As many entries on a line as it holds; those of several lines, and items, begin one of their own.
local function on_lines(entries, indent, nl, alone)
  local lines, line = {}, nil
  local function close()
    if line then lines[#lines + 1] = indent .. STEP .. line end
    line = nil
  end
  for i, entry in ipairs(entries) do
    if alone[i] or is_long(entry) then
      close()
      lines[#lines + 1] = indent .. STEP .. entry .. ","
    elseif line and #indent + #STEP + #line + #entry + 2 <= WIDTH then
      line = line .. " " .. entry .. ","
    else
      close()
      line = entry .. ","
    end
  end
  close()
  return "{" .. nl .. table.concat(lines, nl) .. nl .. indent .. "}"
end

local function table_text(t, indent, nl, kind)
  local entries, alone, names, many = {}, {}, ordered(t, kind), false
  local function named()
    for _, key in ipairs(names) do
      entries[#entries + 1] = written.key(key) .. written.value(t[key], indent .. STEP, nl, written.kind_below(kind, key))
    end
  end
  local items = user_values.is_item(t[1]) -- they stand behind the fields; numbers before them: `a = 4, 5` would be a decimal comma
  if items then named() end
  for i = 1, #t do
    local entry = written.value(t[i], indent .. STEP, nl, kind)
    entries[#entries + 1] = entry
    alone[#entries] = user_values.is_item(t[i]) or type(t[i]) == "table" and getmetatable(t[i]) == nil and #names == 0 and entry:find "="
    many = many or alone[#entries]
  end
  if not items then named() end
  if #entries == 0 then return "{}" end
  local single, room = on_one_line(entries, #names > 0 or many), WIDTH - #indent
  if not many and not is_long(single) and #single <= room then return single end
  return on_lines(entries, indent, nl, alone)
end

local function item_text(item, indent, nl)
  local opening = item.kind == "vehicle" and "vehicle" or item.kind .. " " .. written.text(item.name)
  local inside = rawget(item, "fields")
  if not inside then return opening end
  return opening .. " " .. table_text(inside, indent, nl, item.kind)
end

function written.value(v, indent, nl, kind)
  local meta = getmetatable(v)
  if type(v) == "string" then return written.text(v) end
  if type(v) == "number" then return number_text(v) end
  if type(v) == "boolean" then return tostring(v) end
  if meta == Amount then return amount_text(v) end
  if meta == Uncertainty then return uncertain_text(v) end
  if user_values.is_unknown(v) then return "unknown" end
  if user_values.is_shape(v) then return v.shape .. " " .. table_text(v.fields, indent, nl) end
  if user_values.is_item(v) then return item_text(v, indent, nl) end
  if meta == Strange or type(v) ~= "table" then
    core.fail{code = "type", message = ("%s has no place in a vehicle file"):format(user_values.what(v))}
  end
  return table_text(v, indent, nl, kind)
end

--- A whole file.
function written.file(vehicle)
  return written.value(vehicle, "", "\n") .. "\n"
end

return written
