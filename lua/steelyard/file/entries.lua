--- Tables with named fields, read by the rows of language.lua; and the readers of plain values.
--
-- A context `ctx` carries problems (problems.lua), notes (list of sentences), refs (names to be looked up when all are
-- known) and what the file said about axes and axles. A reader is called
--   reader(ctx, owner, key, value, options, out, from, kind)
-- and puts its result into `out`, or a problem into ctx.problems.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local language = require "steelyard.file.language"
local fields = require "steelyard.file.fields"
local most = require "steelyard.file.most"
local problems = require "steelyard.file.problems"

local entries = {readers = {}}
local type, next, math_type = type, next, math.type
local read_fields = core.read_fields
local readers = entries.readers

local no_options = {}

-- Readers that stand elsewhere: most files have few of these fields.
setmetatable(readers, {__index = function(t, name)
  local module = require("steelyard.file." .. language.readers[name][1])
  t[name] = rawget(t, name) or module.readers[name]
  return t[name]
end})

local ROOT_3 = core.constants.root_3 -- limits +-a, all between equally likely: u = a / sqrt 3 (JCGM 100:2008, 4.3.7)

local function did_you_mean(near) return near and ("did you mean %q?"):format(near) or nil end
entries.did_you_mean = did_you_mean

-- Kinds of a record that a file writes under the name of a field, not by a word of their own: as a sentence calls them.
local called = {lowered = "lowered", assume = "assume", weighed = "weighed", whole = "whole", instant_centre = "a side-view angle",
                bump_stop = "a bump stop", side = "a side of an axle", stand_in = "a stand-in", from_csv = "from_csv"}

--- "a part", "an axle"
function entries.a(kind) return called[kind] or (kind:find "^[aeiou]" and "an " or "a ") .. kind end

--- A problem with a field.
local function wrong(ctx, owner, key, code, message, hint, shown)
  ctx.problems:add(owner, key, code, message, hint, shown)
end
entries.wrong = wrong

local LEAST_BEGINNING = 3 -- letters that tell a word that was not finished

-- The field that was probably meant: rather one that must be there, and rather one that is not there yet.
local function meant_field(kind, key, from)
  local absent = {}
  for _, name in ipairs(#key >= LEAST_BEGINNING and fields.names[kind] or {}) do
    if name:sub(1, #key) == key then return name end -- "mas" is mass, and not was
  end
  for _, field in ipairs(fields.kinds[kind]) do
    local name = field[1]
    if from[name] == nil then table.insert(absent, (field[3] or no_options).required and 1 or #absent + 1, name) end
  end
  return core.nearest(key, absent) or core.nearest(key, fields.names[kind])
end

-- Fields of something inside this kind: how they are written, and what they are instead of.
local inner = {axle = {half_track = {write = "it is one of left and right: left = { half_track = 725 }, right = { half_track = 731 }",
                                     stead = "track"}}}

-- Gives back the field that was probably meant.
local function bad_key(ctx, owner, kind, key, from)
  local near
  local value = from[key]
  if type(key) == "string" then
    local below = inner[kind] and inner[kind][key]
    near = below and below.stead or meant_field(kind, key, from)
    wrong(ctx, owner, key, "unknown", "there is no such field in " .. entries.a(kind), below and below.write or did_you_mean(near)
      or "the fields are " .. table.concat(fields.names[kind], ", "))
  elseif user_values.is_item(value) then
    ctx.reached[value] = true -- reported here, not once more as standing nowhere
    wrong(ctx, owner, key, "content", ("%s holds no parts, found %s in it"):format(entries.a(kind), user_values.what(value)),
      "a group does")
  else
    wrong(ctx, owner, key, "content",
      ("%s stands without a field name"):format(user_values.what(value)))
  end
  return near
end

local MANY = 100 -- keys of one table that are reported one by one
local no_fields = {}

local function key_order(a, b)
  if type(a) ~= type(b) then return type(a) < type(b) end
  if type(a) == "string" then return core.before(a, b) end
  return type(a) == "number" and a < b
end

-- Keys without meaning, in an order that does not change from run to run. Gives back the set of fields that were
-- probably meant.
local function check_keys(ctx, owner, kind, from, bad)
  if #bad > MANY then
    wrong(ctx, owner, nil, "content", ("%d entries mean nothing in %s"):format(#bad, entries.a(kind)))
    return no_fields
  end
  table.sort(bad, key_order)
  local meant = {}
  for _, key in ipairs(bad) do
    local near = bad_key(ctx, owner, kind, key, from)
    if near then meant[near] = true end
  end
  return meant
end

-- Readers in the order of the rows, for kinds whose fields lean on one another.
local function read_in_order(ctx, owner, kind, from, out, rest)
  local wanted = {}
  for _, key in ipairs(rest) do wanted[key] = true end
  for _, field in ipairs(fields.kinds[kind]) do
    local key = field[1]
    if wanted[key] then readers[field[2]](ctx, owner, key, from[key], field[3] or no_options, out, from, kind) end
  end
end

local function without_skipped(bad, skip)
  local left
  for _, key in ipairs(bad) do
    if not skip(key) then
      left = left or {}
      left[#left + 1] = key
    end
  end
  return left
end

--- Read the table `from` as a `kind`. partial: only what is there, nothing required, no defaults. skip(key): is this key
-- somebody else's business? The list in a group always is. Also gives the set of fields that misspelt keys were probably meant to be:
-- not to be called missing. out: the table to fill, a new one unless given. The third result is true when all was read without the owner:
-- nothing has kept it then.
function entries.read(ctx, owner, kind, from, partial, skip, out)
  local known = fields.by_name[kind]
  out = out or {}
  local rest, bad, missing = read_fields(fields.ready[kind], partial, from, out, kind == "group")
  if rest and kind == "vehicle" then
    read_in_order(ctx, owner, kind, from, out, rest)
  elseif rest then
    for i = 1, #rest do
      local key = rest[i]
      local field = known[key]
      readers[field[2]](ctx, owner, key, from[key], field[3] or no_options, out, from, kind)
    end
  end
  if bad and skip then bad = without_skipped(bad, skip) end
  local meant = bad and check_keys(ctx, owner, kind, from, bad) or no_fields
  for _, field in ipairs(missing or no_fields) do
    local unless = field[3].unless
    if not (meant[field[1]] or unless and from[unless] ~= nil) then wrong(ctx, owner, field[1], "missing", "is missing") end
  end
  if out.within then entries.spread_limits(out) end
  return out, meant, not (rest or bad or missing)
end

--- Note a problem when there are more than can be; how many there are is counted only as far as needed.
local function too_many(ctx, owner, key, count, possible)
  if count <= possible then return false end
  wrong(ctx, owner, key, "limit", ("has more than %d entries"):format(possible))
  return true
end

local function count_entries(value, possible)
  local count = 0
  for _ in next, value do
    count = count + 1
    if count > possible then break end
  end
  return count
end

--- A table with named fields under `key`, or nil. possible: how many entries there may be, any number unless given.
function entries.table(ctx, owner, key, value, possible)
  if user_values.is_plain(value) then
    if possible and too_many(ctx, owner, key, count_entries(value, possible), possible) then return nil end
    return value
  end
  wrong(ctx, owner, key, "type", ("must be a table { ... }, is %s"):format(user_values.what(value)))
end

--- The entries of a list under `key`: entry(i, value) for each. Fields with names have no place in it. possible: how many there may be.
-- take(i), if given, says how many from number i on are done already.
function entries.list(ctx, owner, key, value, entry, possible, take)
  if not entries.table(ctx, owner, key, value) then return end
  local count, named = #value, {}
  if too_many(ctx, owner, key, count, possible or most.entries) then
    for i = 1, count do ctx.reached[value[i] or 0] = true end -- reported here, not once more as standing nowhere
    return
  end
  local inside = problems.inside(owner, key)
  for k in next, value do
    if math_type(k) ~= "integer" or k < 1 or k > count then named[#named + 1] = k end
  end
  if #named > MANY then return wrong(ctx, owner, key, "content", "is a list, names have no place in it") end
  table.sort(named, key_order)
  for _, k in ipairs(named) do
    wrong(ctx, inside, k, "content", ("%s is a list, a name has no place in it"):format(key))
  end
  local i = 1
  while i <= count do
    local taken = take and take(i) or 0
    if taken > 0 then
      i = i + taken
    else
      if value[i] == nil then
        wrong(ctx, inside, i, "content", "nothing stands here")
      else
        entry(i, value[i], inside)
      end
      i = i + 1
    end
  end
end

--- A name of a part, to be looked up when all are known: {owner =, key =, name =, tags =, fill =}.
function entries.refer(ctx, ref)
  local refs = ctx.refs
  refs[#refs + 1] = ref
  if #refs <= ctx.most_names then return end
  wrong(ctx, ref.owner, ref.key, "limit", ("the file names parts more than %d times"):format(ctx.most_names))
  ctx.problems:raise_first()
end

-- ---- readers of plain values ----------------------------------------------------------------------------------------

--- A number within the limits of `options`: number, sd; nil after noting a problem.
function entries.number(ctx, owner, key, value, options)
  if type(value) == "number" and value - value == 0 and not user_values.outside(value, options, options.unit) then return value + 0.0 end
  local number, sd, message, hint = user_values.number(value, options.unit)
  if not number then
    wrong(ctx, owner, key, sd, message, hint)
    return nil
  end
  local code, outside = user_values.outside(number, options, options.unit)
  if code then
    wrong(ctx, owner, key, code, outside)
    return nil
  end
  return number, sd
end

--- The same where an uncertainty has no use; how often one was stated is counted, and said.
function entries.exact(ctx, owner, key, value, options)
  local number, sd = entries.number(ctx, owner, key, value, options)
  if sd then ctx.unused_uncertainties = (ctx.unused_uncertainties or 0) + 1 end
  return number
end

--- within_mm: the uncertainty of every coordinate that has none of its own. at_limits: of which coordinates limits were stated.
function entries.spread_limits(out)
  local sd, limits = out.at_sd or {}, out.at_limits or {}
  for i = 1, 3 do
    limits[i] = limits[i] or not sd[i]
    sd[i] = sd[i] or out.within / ROOT_3
  end
  out.at_sd, out.at_limits, out.within = sd, limits, nil
end

return entries
