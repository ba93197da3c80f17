--- What car:ballast was asked, checked.
--
-- given.of(c, self, o) -> {targets = list of {name, value, within or nil, out}, slots = list of {name, at, min, max, step or nil, into or
-- nil}, minimum = kg or nil, finish = the car then or nil, limits = the call's own, quiet}. out: a quantity as study/outputs.lua has it,
-- asked of the core.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local outputs_of = require "steelyard.study.outputs"
local quantities = require "steelyard.reference.quantities"
local request = require "steelyard.study.request"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vocabulary = require "steelyard.file.vocabulary"

local given = {}

local MOST_SLOTS = 8
local MOST_KG = 1000000 -- core/study/pack.h
local GRAIN = 0.001     -- kg, the same

local function refuse(code, field, message, hint) core.fail{code = code, field = field, message = message, hint = hint} end

local function number(value, unit, field)
  local x, code, message, hint = user_values.number(value, unit)
  if not x then refuse(code, field, message, hint) end
  return x
end

--- f(...), with errors under `field` where it speaks of one called `as`: what another call says is said of this one's options.
function given.said_under(field, as, f, ...)
  local fine, a, b = pcall(f, ...)
  if fine then return a, b end
  if type(a) == "table" then
    local said = a.field
    if said == as or said == nil and not a.part then a.field = field
    elseif said and said:sub(1, #as + 1) == as .. "." then a.field = field .. said:sub(#as + 1) end
  end
  error(a, 0)
end

-- Refuses keys that a set of options has not.
local function check_keys(t, set, field, call)
  local known = options.known("ballast", set)
  for _, key in ipairs(loading.sorted_keys(t)) do
    if not known[key] and not (field and key == 1) then
      local near = type(key) == "string" and core.nearest(key, options.names("ballast", set))
      core.fail{code = "unknown", field = field, message = ("%s has no field %s"):format(call, text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(options.names("ballast", set))}
    end
  end
end

-- ---- targets ----------------------------------------------------------------------------------------------------------------

local EXAMPLE = "as in target = {front_share = 43} or {front_share = {43, 0.1}}"
local in_core = {balance = true, corners = true, attitude = true, stability = true}
-- Shares of what stands on the ground.
local shares = {front_share = true, left_share = true, cross_share = true, ["corners.cross_share"] = true}

local function quantity(c, name)
  local out
  given.said_under("target", "show", function() out = outputs_of.of(c, {name})[1] end)
  local q = quantities.find(name)
  if q and q.set then out.set, out.answer, out.q = q.set, q.answer, q end
  if not in_core[out.set] or out.by ~= "core" and out.by ~= "call" then
    refuse("unavailable", "target." .. name, out.by == "nothing" and "is not known of this vehicle"
      or out.set == "transfer" and "is worked out under a force, and ballast is placed in a car that stands"
      or "does not follow from what is placed in slots", "quantities of the balance, corners, attitude and stability do")
  end
  return out
end

local function target(c, name, value)
  local field, within = "target." .. name, nil
  if user_values.is_plain(value) then
    for _, key in ipairs(loading.sorted_keys(value)) do
      if key ~= 1 and key ~= 2 and key ~= "within" then refuse("unknown", field, ("has no %s"):format(text.named(key)), EXAMPLE) end
    end
    if value[2] ~= nil and value.within ~= nil then refuse("clash", field, "says twice within what") end
    within = value[2] == nil and value.within or value[2]
    value = value[1]
    if within ~= nil then
      within = number(within, "", field .. ".within")
      if within <= 0 then refuse("range", field .. ".within", ("is %s, must be above 0"):format(text.plain(within))) end
    end
  end
  local out = quantity(c, name)
  local x = number(value, user_values.knows(out.unit) and out.unit or "", field)
  if shares[out.name] and not (x > 0 and x < 100) then
    refuse("range", field, ("is %s %%; with all wheels on the ground it is between 0 and 100"):format(text.plain(x)))
  elseif out.name == "mass" and x <= 0 then
    refuse("range", field, ("is %s kg, must be above 0"):format(text.plain(x)))
  end
  return {name = out.name, value = x, within = within, out = out}
end

local function targets(c, asked)
  if asked == nil then return {} end
  if not user_values.is_plain(asked) then refuse("type", "target", ("must be a table by quantity, is %s"):format(
    user_values.what(asked)), EXAMPLE) end
  local list, seen = {}, {}
  for _, name in ipairs(loading.sorted_keys(asked)) do
    if type(name) ~= "string" then refuse("type", "target", "must be a table by quantity", EXAMPLE) end
    local one = target(c, name, asked[name])
    if seen[one.name] then refuse("clash", "target", ("%s stands twice"):format(one.name)) end
    seen[one.name], list[#list + 1] = true, one
  end
  return list
end

-- ---- slots ------------------------------------------------------------------------------------------------------------------

local SLOT = 'as in slots = {{"nose", at = {-500, 0, 200}, max = 15, step = 0.5}}'

-- kg under a field of a slot, from 0 or above it.
local function kg(slot, key, field, above)
  local value = slot[key]
  if value == nil then return nil end
  local x = number(value, "kg", field .. "." .. key)
  if x < 0 or above and x == 0 or x > MOST_KG then
    refuse("range", field .. "." .. key, ("is %s kg, must be %s and at most %s"):format(text.plain(x), above and "above 0" or "0 or more",
      text.grouped(MOST_KG)))
  end
  return x
end

local function check_masses(slot, field)
  local least, most, step = slot.min, slot.max, slot.step
  if least > most then
    refuse("clash", field .. ".min", ("is %s kg, above its max of %s"):format(text.plain(least), text.plain(most)))
  end
  if step and step < GRAIN then
    refuse("range", field .. ".step", ("is %s kg, must be %s or more"):format(text.plain(step), text.plain(GRAIN)),
      "a slot without a step is filled to the gram")
  elseif step and step > most then
    refuse("clash", field .. ".step", ("is %s kg, more than the slot holds (max %s)"):format(text.plain(step), text.plain(most)))
  elseif step and math.floor(most / step + 1e-3) < math.ceil(least / step - 1e-3) then
    refuse("clash", field .. ".step", ("of %s kg: no whole number of these lies between %s and %s kg"):format(text.plain(step),
      text.plain(least), text.plain(most)))
  end
end

local function slot_of(given_slot, i)
  local field = ("slots[%d]"):format(i)
  if not user_values.is_plain(given_slot) then
    refuse("type", field, ("must be a table, is %s"):format(user_values.what(given_slot)), SLOT)
  end
  check_keys(given_slot, "ballast_slot", field, "a slot")
  if given_slot[1] ~= nil and given_slot.name ~= nil then refuse("clash", field, "has two names") end
  local name = given_slot[1] == nil and given_slot.name or given_slot[1]
  if type(name) ~= "string" or name == "" then
    refuse(name == nil and "missing" or "type", field .. ".name", name == nil and "is missing" or "must be a text", SLOT)
  end
  for _, key in ipairs{"at", "max"} do
    if given_slot[key] == nil then refuse("missing", ("%s.%s"):format(field, key), ("of slot %q is missing"):format(name), SLOT) end
  end
  local slot = {name = name, at = given_slot.at, into = given_slot.into, min = kg(given_slot, "min", field) or 0,
                max = kg(given_slot, "max", field, true), step = kg(given_slot, "step", field, true)}
  if slot.into ~= nil and type(slot.into) ~= "string" then
    refuse("type", field .. ".into", ("must be the name of a group, is %s"):format(user_values.what(slot.into)))
  end
  check_masses(slot, field)
  return slot
end

local function slots(list)
  if list == nil then refuse("missing", "slots", "is missing: where may ballast go?", SLOT) end
  if not user_values.is_plain(list) then refuse("type", "slots", ("must be a list, is %s"):format(user_values.what(list)), SLOT) end
  for key in pairs(list) do
    if math.type(key) ~= "integer" then refuse("type", "slots", "must be a list of slots, each in braces of its own", SLOT) end
  end
  if #list == 0 then refuse("missing", "slots", "has no slot", SLOT) end
  if #list > MOST_SLOTS then refuse("limit", "slots", ("has %d slots, %d are possible"):format(#list, MOST_SLOTS)) end
  local found, seen = {}, {}
  for i = 1, #list do
    found[i] = slot_of(list[i], i)
    if seen[found[i].name] then
      refuse("clash", ("slots[%d].name"):format(i), ("%q is the name of slot %d too"):format(found[i].name, seen[found[i].name]))
    end
    seen[found[i].name] = i
  end
  return found
end

local letters = {"x", "y", "z"}

--- Where a slot lies, as results have points; once a part has been made of it.
function given.place(slot)
  local at = {}
  for i, letter in ipairs(letters) do
    at[letter] = user_values.number(slot.at[i] == nil and slot.at[letter] or slot.at[i], "mm")
  end
  return at
end

--- What lies in a slot, as a part of the file: weighed as it was cut.
function given.part(slot, mass)
  return vocabulary.part(slot.name) {mass = mass, at = slot.at, basis = "weighed", note = "ballast"}
end

-- ---- all --------------------------------------------------------------------------------------------------------------------

local EMPTIED = 1e-9 -- litres, of rounding

-- Litres at the finish, no more than is in the tank now.
local function finish_of(self, finish)
  if finish == nil then return nil end
  if not user_values.is_plain(finish) or next(finish) == nil then
    refuse("type", "finish", "must be a table by tank", "as in finish = {fuel = 4}, litres at the end")
  end
  local liquids = require "steelyard.car.liquids"
  local filled = given.said_under("finish", "fill", self.fill, self, finish)
  for _, tank in ipairs(loading.sorted_keys(finish)) do
    local there, left = liquids.litres(self, tank), liquids.litres(filled, tank)
    if left > there + EMPTIED then
      refuse("range", "finish." .. tank, ("is %s litres, more than the %s that are aboard"):format(text.plain(left), text.plain(there)))
    end
  end
  return filled
end

--- See above.
function given.of(c, self, o)
  if type(o) ~= "table" or getmetatable(o) ~= nil then
    core.fail{code = "type", message = "car:ballast takes a table", hint = "car:ballast{target = {front_share = 43}, slots = {...}}"}
  end
  check_keys(o, "ballast", nil, "car:ballast")
  local s = {targets = targets(c, o.target), slots = slots(o.slots), finish = finish_of(self, o.finish), limits = o.limits,
             quiet = request.flag(o, "quiet")}
  if o.minimum ~= nil then
    s.minimum = number(o.minimum, "kg", "minimum")
    if s.minimum <= 0 then refuse("range", "minimum", ("is %s kg, must be above 0"):format(text.plain(s.minimum))) end
  end
  if #s.targets == 0 and not s.minimum then
    refuse("missing", "target", "is missing: what is to be reached?", EXAMPLE .. ", or minimum = 760")
  end
  return s
end

return given
