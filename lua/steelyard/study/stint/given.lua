--- What car:stint was asked, checked.
--
-- given.of(c, self, o) -> {tank, from, to, usual, step, show, drivers = list of {name or nil, from, to, car}, mean}. Litres fall from
-- `from` to `to`; the drivers follow each other without gaps, and each car has its driver in the seat. `usual` says in words which ends
-- were not given: then it is from what is in the tank down to what cannot be drawn.

local core = require "steelyard.core"
local liquids = require "steelyard.car.liquids"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local person = require "steelyard.answers.person"
local resolve = require "steelyard.car.resolve"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"

local given = {}

local STEP, LEAST_STEP, MOST_ROWS = 5, 0.01, 1000 -- litres, litres, rows
local SAME = 1e-9 -- litres: what two ways of writing the same number differ by
local SHOW = {"front_share", "left_share", "height", "mass"}

local function refuse(code, field, message, hint) core.fail{code = code, field = field, message = message, hint = hint} end

local FORM = "as in car:stint{fuel = {from = 30, to = 4}}"
local DRIVERS = 'as in drivers = {{"driver", to = 17}, {"tall driver"}}'

local function litres_words(x) return text.plain(x) .. (x == 1 and " litre" or " litres") end

--- The same to the hundredth, as it is printed.
function given.litres(x) return litres_words(core.number(core.fixed(x, 2))) end

-- An exact number of litres.
local function litres(value, field)
  local x, sd, message, hint = user_values.any(value)
  if not x then refuse(sd, field, message, hint) end
  if sd then
    refuse("type", field, "has an uncertainty; the fuel of a stint is exact", "the file states how well the fill is known")
  end
  if not (x >= 0) then refuse("range", field, ("is %s, must be 0 or more"):format(litres_words(x))) end
  return x
end

-- ---- fuel -------------------------------------------------------------------------------------------------------------------

local ends = {from = 1, to = 2}

-- From and to, nil where not given.
local function read_fuel(fuel)
  if fuel == nil then return nil, nil end
  if not user_values.is_plain(fuel) then
    refuse("type", "fuel", ("must be {from =, to =} in litres, is %s"):format(user_values.what(fuel)), FORM)
  end
  for _, key in ipairs(loading.sorted_keys(fuel)) do
    if key ~= 1 and key ~= 2 and not ends[key] then
      local near = type(key) == "string" and core.nearest(key, {"from", "to"})
      refuse("unknown", "fuel", ("has no %s"):format(text.named(key)), near and ("did you mean %q?"):format(near) or FORM)
    end
  end
  local found = {}
  for _, name in ipairs{"from", "to"} do
    local place = ends[name]
    if fuel[name] ~= nil and fuel[place] ~= nil then refuse("clash", "fuel", ("says %s twice"):format(name)) end
    local value = fuel[name]
    if value == nil then value = fuel[place] end
    found[name] = value ~= nil and litres(value, "fuel." .. name) or nil
  end
  return found.from, found.to
end

-- Litres worked out from a mass, without their last digits, as a file would state them.
local function stated(x) return core.number(core.fixed(x, 9)) end

-- The ends that were not given.
local function complete(s)
  local words, stays = {}, s.contents.unusable
  if not s.from then
    s.from, words[1] = stated(s.contents.litres), "from what is in the tank as the car is loaded"
  end
  if not s.to then
    s.to, words[#words + 1] = stated(stays or 0), stays and "down to what cannot be drawn" or "down to an empty tank"
  end
  s.usual = words[1] and table.concat(words, " ") or nil
end

local function check_tank(c, self, s)
  local fine, item, node = pcall(liquids.item, c, s.tank)
  if not fine then
    if type(item) == "table" and item.message then item.field = "tank" end
    error(item, 0)
  end
  if not item.aboard then
    refuse("missing", "tank", ("%s is not aboard (%s)"):format(text.named(s.tank), loading.title(c)),
      "choose a state with it, or name another tank")
  end
  s.contents, s.pair = self:tank(s.tank), node.pair
  complete(s)
  local holds, stays = node.capacity, s.contents.unusable
  for _, name in ipairs{"from", "to"} do
    if holds and s[name] > holds + SAME then
      refuse("range", "fuel." .. name, ("is %s, the tank holds 0 to %s"):format(litres_words(s[name]), text.plain(holds)))
    end
  end
  if not (s.from > s.to) then
    refuse("range", "fuel", s.from == s.to and ("from and to are both %s: nothing is burnt"):format(litres_words(s.from))
      or ("goes from %s up to %s; in a stint it is burnt"):format(text.plain(s.from), litres_words(s.to)),
      s.usual and "as the car is loaded; from is what is in the tank at the start, " .. FORM
        or s.from < s.to and "from is what is in the tank at the start" or nil)
  end
  if stays and s.to < stays - SAME then
    refuse("range", "fuel.to", ("is %s, and the last %s cannot be drawn from the tank"):format(litres_words(s.to), text.fixed(stays, 2)))
  end
end

local function read_step(s, value)
  if value == nil then return STEP end
  local step = litres(value, "step")
  if step < LEAST_STEP then
    refuse("range", "step", ("is %s, must be %s or more"):format(litres_words(step), text.plain(LEAST_STEP)))
  end
  local rows = (s.from - s.to) / step
  if rows > MOST_ROWS then
    refuse("limit", "step", ("makes %s rows, %d are possible"):format(text.grouped(math.ceil(rows)), MOST_ROWS))
  end
  return step
end

-- ---- drivers ----------------------------------------------------------------------------------------------------------------

-- f(...) with its error said of a driver's name.
local function said_of(field, f, ...)
  local fine, a, b = pcall(f, ...)
  if fine then return a, b end
  if type(a) == "table" and a.message then a.field, a.part, a.kind = field, nil, nil end
  error(a, 0)
end

-- The one place of a person of that name.
local function person_of(c, name, field)
  local found = said_of(field, resolve.parts, c, name)
  local route = found.routes[1]
  local item = #found.routes == 1 and c.base:item(route)
  local node = item and c.shared.nodes[item.number]
  if not node or node.kind ~= "person" then refuse("type", field, ("%s is not a person"):format(text.named(name))) end
  return route
end

local function read_driver(entry, i)
  local field = ("drivers[%d]"):format(i)
  if type(entry) == "string" then entry = {entry} end
  if not user_values.is_plain(entry) then refuse("type", field, ("must be a table, is %s"):format(user_values.what(entry)), DRIVERS) end
  local known = options.known("stint", "stint_driver")
  for _, key in ipairs(loading.sorted_keys(entry)) do
    if key ~= 1 and not known[key] then
      local near = type(key) == "string" and core.nearest(key, options.names("stint", "stint_driver"))
      refuse("unknown", field, ("has no %s"):format(text.named(key)), near and ("did you mean %q?"):format(near)
        or "they are " .. text.join(options.names("stint", "stint_driver")))
    end
  end
  if entry[1] ~= nil and entry.name ~= nil then refuse("clash", field .. ".name", "is given twice") end
  local name = entry.name
  if name == nil then name = entry[1] end
  if name == nil then refuse("missing", field .. ".name", "is not given", DRIVERS) end
  if type(name) ~= "string" then
    refuse("type", field .. ".name", ("must be the name of a person, is %s"):format(user_values.what(name)), DRIVERS)
  end
  return {name = name, field = field, from = entry.from ~= nil and litres(entry.from, field .. ".from") or nil,
          to = entry.to ~= nil and litres(entry.to, field .. ".to") or nil}
end

-- Each begins where the one before ended.
local function join(s, list)
  local at, before = s.from, "the stint begins"
  for i, d in ipairs(list) do
    d.from = d.from or at
    if math.abs(d.from - at) > SAME then
      refuse("clash", d.field .. ".from", ("is %s, and %s at %s"):format(litres_words(d.from), before, text.plain(at)),
        "litres fall; drivers follow each other without gaps")
    end
    local following = list[i + 1]
    d.to = d.to or following and following.from or not following and s.to or nil
    if not d.to then
      refuse("missing", d.field .. ".to", "is not given, and the next does not say where it begins", DRIVERS)
    end
    if not (d.to < d.from - SAME) then
      refuse("range", d.field .. ".to", ("is %s, and %s begins with %s"):format(litres_words(d.to), text.name(d.name), text.plain(d.from)),
        "litres fall as a stint goes on")
    end
    d.from, at, before = at, d.to, ("%s ends"):format(text.name(d.name))
  end
  if math.abs(at - s.to) > SAME then
    refuse("clash", list[#list].field .. ".to", ("is %s, and the stint ends at %s"):format(litres_words(at), text.plain(s.to)))
  end
  list[#list].to = s.to
end

-- Who sits in the seat the drivers share: the first of them who is aboard, else the one in the place of "driver".
local function seat(c, self, list)
  for _, d in ipairs(list) do
    if c.now:item(d.route).aboard then return d.route end
  end
  local usual = resolve.has(c, "driver") and "driver" or list[1].name
  local word = said_of(list[1].field .. ".name", person.sitting, self, usual)
  return resolve.parts(c, word).routes[1]
end

local function read_drivers(c, self, s, drivers)
  if drivers == nil then return {{from = s.from, to = s.to, car = self}} end
  if not user_values.is_plain(drivers) or #drivers == 0 then
    refuse("type", "drivers", "must be a list", DRIVERS)
  end
  local list = {}
  for i = 1, #drivers do list[i] = read_driver(drivers[i], i) end
  join(s, list)
  for _, d in ipairs(list) do d.route = person_of(c, d.name, d.field .. ".name") end
  local sits = seat(c, self, list)
  s.seat = c.base:item(sits).name
  for _, d in ipairs(list) do
    d.car = d.route == sits and self
      or said_of(d.field .. ".name", self.swap, self, resolve.word_for(c, sits), resolve.word_for(c, d.route))
  end
  return list
end

-- ---- all --------------------------------------------------------------------------------------------------------------------

--- See above.
function given.of(c, self, o)
  if o == nil then o = {} end
  if not user_values.is_plain(o) then
    core.fail{code = "type", message = ("car:stint takes a table, got %s"):format(user_values.what(o)), hint = FORM}
  end
  local known = options.known("stint", "stint")
  for _, key in ipairs(loading.sorted_keys(o)) do
    if not known[key] then
      local near = type(key) == "string" and core.nearest(key, options.names("stint", "stint"))
      core.fail{code = "unknown", message = ("car:stint has no field %s"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(options.names("stint", "stint"))}
    end
  end
  if o.mean ~= nil and type(o.mean) ~= "boolean" then
    refuse("type", "mean", ("must be true or false, is %s"):format(user_values.what(o.mean)))
  end
  if o.tank ~= nil and type(o.tank) ~= "string" then
    refuse("type", "tank", ("must be the name of a tank, is %s"):format(user_values.what(o.tank)))
  end
  local s = {tank = o.tank or liquids.burnt(c), show = o.show == nil and SHOW or o.show, mean = o.mean}
  s.from, s.to = read_fuel(o.fuel)
  check_tank(c, self, s)
  s.step = read_step(s, o.step)
  s.drivers = read_drivers(c, self, s, o.drivers)
  return s
end

return given
