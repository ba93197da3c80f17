--- What the measuring calls share: reading numbers with their uncertainties, what an uncertainty is made of, digits worth printing.
--
-- `where` names in messages what a field belongs to: "pendulum", "hang 2", "run 1".

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local text = require "steelyard.print.text"

local measurement = {}

--- Raise an error about a field.
function measurement.refuse(where, field, code, message, hint)
  core.fail{code = code, part = where, kind = "", field = field, message = message, hint = hint}
end
local refuse = measurement.refuse

--- A table of a user's own in which every field has a known name.
function measurement.fields(t, known, where)
  if not user_values.is_plain(t) then refuse(where, nil, "type", "must be a table of fields, is " .. user_values.what(t)) end
  local keys = {}
  for key in pairs(t) do keys[#keys + 1] = type(key) == "string" and key or text.named(key) end
  table.sort(keys, core.before)
  for _, key in ipairs(keys) do
    local found = false
    for _, name in ipairs(known) do found = found or name == key end
    if not found then
      local near = core.nearest(key, known)
      refuse(where, key, "unknown", "there is no such field", near and ("did you mean %s?"):format(near)
        or "the fields are " .. text.join(known))
    end
  end
  return t
end

--- The names of what may also be a list in their order: x, y, z, 1, 2, 3.
function measurement.listed(names)
  local list = table.move(names, 1, #names, 1, {})
  for i = 1, #names do list[#list + 1] = core.shortest(i) end
  return list
end

local MOST = 1e9 -- of any quantity in a workshop unit: far above all that is weighed or measured, far below what a double holds squared

-- Could this have been measured?
local function refuse_huge(where, name, value, what)
  if math.abs(value) > MOST then
    refuse(where, name, "range", ("%s %s, more than anything measured"):format(what, text.plain(value)))
  end
end

--- value, standard uncertainty (nil when none is stated) of a field; nil when it is not there. limits: above, min, max, and
-- need = true.
function measurement.number(t, key, unit, limits, where, shown_key)
  local given, name = t[key], shown_key or tostring(key)
  if given == nil then
    if limits and limits.need then refuse(where, name, "missing", "is missing") end
    return nil
  end
  local value, sd_or_code, message, hint = user_values.number(given, unit)
  if not value then refuse(where, name, sd_or_code, message, hint) end
  local code, outside = user_values.outside(value, limits or {}, unit)
  if code then refuse(where, name, code, outside) end
  refuse_huge(where, name, value, "is")
  refuse_huge(where, name, sd_or_code or 0, "has an uncertainty of")
  return value, sd_or_code
end

--- {x, y, z} and their standard uncertainties (0 where none is stated), from {x, y, z} or {x =, y =, z =}.
function measurement.point(t, key, where, unit, shown_key)
  local p, name = t[key], shown_key or tostring(key)
  if p == nil then refuse(where, name, "missing", "is missing") end
  if not user_values.is_plain(p) then refuse(where, name, "type", "must be a point {x, y, z}, is " .. user_values.what(p)) end
  local value, sd = {}, {}
  for i, letter in ipairs{"x", "y", "z"} do
    local from = p[i] ~= nil and i or letter
    value[i], sd[i] = measurement.number(p, from, unit or "mm", {need = true}, where, name .. "." .. letter)
    sd[i] = sd[i] or 0
  end
  local strange
  for other in pairs(p) do
    local known = other == "x" or other == "y" or other == "z" or other == 1 or other == 2 or other == 3
    local shown = not known and (type(other) == "string" and other or text.named(other))
    if shown and (not strange or core.before(shown, strange)) then strange = shown end
  end
  if strange then refuse(where, name, "unknown", ("a point is {x, y, z} and has no %s"):format(strange)) end
  return value, sd
end

--- Where the wheels of an axle stand: tracks[name] is its track, or {left =, right =} from the centre plane to each. Left and right, mm,
-- then the track and its standard uncertainty or nil.
function measurement.half_tracks(tracks, name, limits, where)
  if not user_values.is_plain(tracks[name]) then
    local track, sd = measurement.number(tracks, name, "mm", limits, where, "tracks." .. name)
    return track / 2, track / 2, track, sd
  end
  local half, field = measurement.fields(tracks[name], {"left", "right"}, ("%s, tracks.%s"):format(where, name)), "tracks." .. name
  local left, left_sd = measurement.number(half, "left", "mm", limits, where, field .. ".left")
  local right, right_sd = measurement.number(half, "right", "mm", limits, where, field .. ".right")
  return left, right, left + right, (left_sd or right_sd) and math.sqrt((left_sd or 0) ^ 2 + (right_sd or 0) ^ 2) or nil
end

--- A text, or nil; choices limits it.
function measurement.text(t, key, where, choices)
  local value = t[key]
  if value == nil then return nil end
  if type(value) ~= "string" or value == "" then refuse(where, key, "type", "must be a text, is " .. user_values.what(value)) end
  for _, choice in ipairs(choices or {}) do
    if value == choice then return value end
  end
  if choices then
    local near = core.nearest(value, choices)
    refuse(where, key, "unknown", ("must be %s, is %q"):format(text.join(choices, "or"), value),
      near and ("did you mean %q?"):format(near))
  end
  return value
end

--- A flag, false when it is not there.
function measurement.flag(t, key, where)
  local value = t[key]
  if value ~= nil and type(value) ~= "boolean" then refuse(where, key, "type", "must be true or false, is " .. user_values.what(value)) end
  return value or false
end

--- A list with at least one entry and none left out, or nil.
function measurement.list(t, key, where)
  local value = t[key]
  if value == nil then return nil end
  if not user_values.is_plain(value) then
    refuse(where, key, "type", "must be a list with at least one entry, is " .. user_values.what(value))
  end
  if #value == 0 then
    if next(value) == nil then refuse(where, key, "type", "is an empty list, at least one entry is needed") end
    refuse(where, key, "type", "must be a list with at least one entry, is one entry with named fields",
      ("put it in braces of its own: %s = { { ... } }"):format(key))
  end
  for i = 1, #value do -- ipairs would end there and drop the others
    if value[i] == nil then refuse(where, ("%s[%d]"):format(key, i), "missing", "is missing, and others stand behind it") end
  end
  return value
end

-- ---- uncertainties ---------------------------------------------------------------------------------------------------------

--- The uncertainty that several causes make together, and the causes with their shares in percent, the largest first.
-- list: {source =, u =}; causes of nothing are left out.
function measurement.budget(list)
  local variance, rows = 0, {}
  for i, cause in ipairs(list) do
    variance = variance + cause.u * cause.u
    if cause.u ~= 0 then rows[#rows + 1] = {source = cause.source, u = math.abs(cause.u), at = i} end
  end
  table.sort(rows, function(a, b)
    if a.u ~= b.u then return a.u > b.u end
    return a.at < b.at
  end)
  for _, row in ipairs(rows) do row.share, row.at = 100 * row.u * row.u / variance, nil end
  return math.sqrt(variance), rows
end

--- "arm 71 %, period 20 %": what an uncertainty comes from; "" when there is one cause or none.
function measurement.budget_text(rows)
  if #rows < 2 then return "" end
  local parts = {}
  for _, row in ipairs(rows) do
    if row.share >= 0.5 then parts[#parts + 1] = ("%s %s %%"):format(row.source, text.fixed(row.share, 0)) end
  end
  return table.concat(parts, ", ")
end

--- Decimals that show two digits of an uncertainty's 95 %: of 0.0034 four; `otherwise` when there is none.
function measurement.decimals(sd, otherwise)
  if not sd or not (sd > 0) then return otherwise end
  local half = text.K95 * sd
  local decimals = 1 - math.floor(math.log(half, 10))
  -- 0.0996 prints as 0.10: the next digit up decides
  if tonumber(text.fixed(half * 10.0 ^ decimals, 0)) >= 100 then decimals = decimals - 1 end
  return math.max(0, math.min(9, decimals))
end

--- "0.1492 +- 0.0034", as many decimals as the uncertainty is worth.
function measurement.shown(value, sd, otherwise) return text.plus_minus(value, sd, measurement.decimals(sd, otherwise)) end

--- A sentence about inputs without a stated uncertainty, or nil.
function measurement.exact_note(names)
  if #names == 0 then return nil end
  return ("%s %s no stated uncertainty and %s as exact"):format(text.join(names), #names == 1 and "has" or "have",
    #names == 1 and "counts" or "count")
end

return measurement
