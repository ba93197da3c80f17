--- Changes as the command line says them, made to a car: one reader for every command that takes them.
--
--   powertrain 50 back               a part, group, tag or axle, millimetres or degrees and a direction (file/directions.lua)
--   driver mass 96                   a field of a part, person, tank, group or axle and its new value, in the field's unit or with one of
--   rear axle spring_rate 40         its own (210 lb); a piece of a field stands behind a dot (left.spring_rate), three coordinates between
--   fuel fill 20, fuel fill 90 %     commas; chassis torsion 6000 and vehicle cross_share 51 too
--   ballast 12 at nose               one more part, of weighed mass, at a point of the file or at x,y,z in the file's axes; with a name
--   ballast 12 at bar (300,0,20)     of its own in front of these, as car:ballast says where it goes
--
-- Names may hold spaces and commas. What a name of the car reads as such is not taken for a number and a direction: with a part called
-- "tray 20 left", "tray 20 left 5 up" moves it up.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local directions = require "steelyard.file.directions"
local fields = require "steelyard.file.fields"
local given = require "steelyard.study.ballast.given"
local inputs = require "steelyard.study.inputs"
local language = require "steelyard.file.language"
local named_places = require "steelyard.car.named_places"
local resolve = require "steelyard.car.resolve"
local shaft_places = require "steelyard.car.shaft_places"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vary = require "steelyard.study.vary"
local vehicle_fields = require "steelyard.study.vehicle_fields"

local changed = {}

--- What a change may be, for pages.
changed.FORMS = '"PART MM DIRECTION" (forward back left right up down out, or degrees and nose_up nose_down left_up right_up nose_left '
  .. 'nose_right); "PART FIELD VALUE" with a field of the vehicle file ("driver mass 96", "rear axle spring_rate 40", "fuel fill 20"); '
  .. '"ballast KG at PLACE", a point of the file, X,Y,Z or NAME (X,Y,Z).'

local function refuse(code, phrase, message, hint)
  core.fail{code = code, message = ("%q: %s"):format(phrase, message), hint = hint}
end

-- ---- values --------------------------------------------------------------------------------------------------------------------

local unit_words = {["%"] = "%", L = "litre"} -- as written -> unit of a field or a unit word of the files
for _, row in ipairs(language.words.units) do unit_words[row[1]] = row[1] end
for unit in pairs(language.field_units) do
  if unit ~= "" and not unit:find "%s" then unit_words[unit] = unit end -- of "N m/deg" the field is enough
end

-- The unit of a field by the words behind a name, "" where it has none.
local function unit_of(kind, path)
  local row
  for _, word in ipairs(path) do
    local of = row and row[3] and row[3].kind or not row and kind
    row = of and fields.by_name[of] and fields.by_name[of][word]
    if row and row[2] == "alias" then row = fields.by_name[of][row[3].of] end
  end
  return row and row[3] and row[3].unit or ""
end

local COORDINATES = "^([^%s,]+)%s*,%s*([^%s,]+)%s*,%s*([^%s,]+)$"

-- "300,-300,20" -> {300, -300, 20}
local function coordinates(words)
  local x, y, z = words:match(COORDINATES)
  x, y, z = x and core.number(x), y and core.number(y), z and core.number(z)
  return x and y and z and {x, y, z} or nil
end

-- "96", "96 kg" and "96kg" -> 96, "kg"; nil for anything else
local function measure(words)
  local number = core.number(words)
  if number then return number end
  local amount, unit = words:match "^([-+]?%.?%d[%d.]*)%s*([%a%%][%a%d/%%_]*)$"
  number = amount and unit_words[unit] and core.number(amount)
  if number then return number, unit end
end

-- What a field is set to. unit: of the field.
local function value_of(phrase, words, unit)
  local number, own = measure(words)
  if not number then
    if words:find "^[-+]?%d+,%d+$" then
      refuse("usage", phrase, ("%q is not a number"):format(words), "decimals take a point")
    end
    return coordinates(words) or words
  end
  local word = own and unit_words[own]
  if not word or word == unit then return number end
  if word == "%" then return words end -- a share of what the field counts, where it takes one
  local amount = user_values.amount(number, word)
  if not amount then
    refuse("usage", phrase, unit == "" and ("the value is in no unit, not in %s"):format(own)
      or ("the value is in %s, not in %s"):format(unit, own))
  end
  return amount
end

-- ---- fields --------------------------------------------------------------------------------------------------------------------

local of_whole = {chassis = {"torsion"}, vehicle = vehicle_fields.names}

-- Fields of the vehicle itself are those a study varies.
local function set_whole(car, phrase, what, way, words)
  local known = of_whole[what]
  for _, name in ipairs(known) do
    if name == way then
      local number, own = measure(words)
      if not number or own then refuse("usage", phrase, ("%q is not a number"):format(words)) end
      return inputs.of(car, {vary.of(what, way, {number})})[1].apply(car, number)
    end
  end
  local near = core.nearest(way, known)
  refuse("unknown", phrase, ("%s of the %s cannot be changed in words"):format(text.named(way), what), near and ("did you mean %q?"):format(
    near) or "what can be is " .. text.join(known))
end

-- The kind of what a name means, as file/fields.lua has it; nil for several axles.
local function kind_of(c, what)
  local found = resolve.what(c, what)
  if found.axle then return "axle" end
  return not found.axles and c.shared.nodes[c.base:item(found.routes[1]).number].kind or nil
end

local function is_field(kind, way)
  local first = way:match "^[^.]+"
  return first and fields.by_name[kind] and fields.by_name[kind][first] ~= nil
end

local function refuse_way(phrase, kind, way)
  local ways = table.move(fields.names[kind], 1, #fields.names[kind], 1, {})
  for _, word in ipairs(directions.words) do ways[#ways + 1] = word end
  local near = core.nearest(way, ways)
  refuse("unknown", phrase, ("%s is neither a direction nor a field of %s %s"):format(text.named(way), kind:find "^[aeiou]" and "an" or "a",
    kind), near and ("did you mean %q?"):format(near) or "its fields are " .. text.join(fields.names[kind]))
end

local function set(car, phrase, what, way, words)
  local kind = kind_of(contents.inside(car), what)
  if not is_field(kind, way) then refuse_way(phrase, kind, way) end
  local path = {}
  for word in way:gmatch "[^.]+" do path[#path + 1] = word end
  local value = value_of(phrase, words, unit_of(kind, path))
  for i = #path, 1, -1 do value = {[path[i]] = value} end
  local before = contents.inside(car)
  return contents.retold(car:set(what, value), before, ("%s %s %s"):format(what, way, words))
end

-- A field that any part, person, tank, group or axle has: what stands before it is then a name, known or not.
local function is_any_field(way)
  for _, item in ipairs(language.words.items) do
    if item.entry and is_field(item[1], way) then return true end
  end
  return is_field("axle", way)
end

-- Name, field and value: the value is the last word, two with a unit, or three coordinates.
local patterns = {"^(.-)%s+(%S+)%s+([^%s,]+%s*,%s*[^%s,]+%s*,%s*[^%s,]+)$", "^(.-)%s+(%S+)%s+(%S+%s+%S+)$", "^(.-)%s+(%S+)%s+(%S+)$"}

local function split(phrase)
  for i, pattern in ipairs(patterns) do
    local what, way, value = phrase:match(pattern)
    if what and (i == 3 or i == 1 and coordinates(value) or i == 2 and measure(value)) then return what, way, value end
  end
end

-- The car with a field set, or nil where the phrase sets none.
local function with_field(car, phrase)
  local what, way, value = split(phrase)
  if not what or core.number(way) then return nil end -- "transaxle 30 dwn"
  if of_whole[what] then return set_whole(car, phrase, what, way, value) end
  local known = resolve.has(contents.inside(car), what)
  if is_any_field(way) or known and measure(value) then return set(car, phrase, what, way, value) end
end

-- ---- ballast ---------------------------------------------------------------------------------------------------------------------

local AS_BALLAST = 'as in "ballast 12 at nose", a point of the file, or "ballast 12 at 300,-300,20"'

-- Where a part is drawn that shall lie at a point of the file, now that the point's own part may have moved: it is lowered with the body.
local function place_of(c, words)
  for _, point in ipairs(c.shared.spec.points or {}) do
    if point.name == words then
      local at = {c.geometry:point_in(point.at[1], point.at[2], point.at[3])}
      local frame = point.part and shaft_places.drawn_frame(c, point.part, at)
      if not frame then return point.at end
      local out = named_places.out(c, shaft_places.went(frame, at))
      return {out.x, out.y, out.z}
    end
  end
  return coordinates(words) or named_places.find(c, words, "ballast") -- which refuses the name, with the nearest
end

-- "ballast 12 kg at nose" -> "ballast", "12", "kg", "nose"; nil for another form
local function ballast_words(phrase)
  local first, amount, where = phrase:match "^(%S+)%s+([-+]?%.?%d[%d.]*)%s+at%s+(.+)$"
  if first then return first, amount, "kg", where end
  return phrase:match "^(%S+)%s+([-+]?%.?%d[%d.]*)%s*(%a+)%s+at%s+(.+)$"
end

local function kg_of(phrase, amount, unit)
  local number, size = core.number(amount), user_values.in_kg[unit]
  if not number then refuse("usage", phrase, ("%q is not a number of kg"):format(amount), AS_BALLAST) end
  if not size then refuse("usage", phrase, ("%q is not a unit of mass"):format(unit), AS_BALLAST) end
  if number <= 0 then refuse("range", phrase, "ballast weighs more than 0 kg") end
  return number * size
end

-- kg, place and what is said of "ballast 12 at nose"; nil where a phrase says something else.
local function ballast_of(c, phrase)
  local first, amount, unit, where = ballast_words(phrase)
  if first and not resolve.has(c, ("%s %s"):format(first, amount)) then -- else a part is called so
    if first == "ballast" then
      return kg_of(phrase, amount, unit), where, ("ballast %s%s at %s"):format(amount, unit == "kg" and "" or " " .. unit, where)
    elseif not resolve.has(c, first) and core.nearest(first, {"ballast"}) then
      refuse("usage", phrase, ("%s is not a part"):format(text.named(first)), 'did you mean "ballast"?')
    end
  end
  local begun = phrase:match "^ballast%s+[-+]?[%d.,]+" or phrase:match "^ballast%s+%S+%s+at%s" and phrase:match "^ballast%s+%S+"
  if begun and not resolve.has(c, begun) and not directions.is_change(phrase) then
    refuse("usage", phrase, "does not say how many kg lie where", AS_BALLAST)
  end
end

local function is_point(c, name)
  for _, point in ipairs(c.shared.spec.points or {}) do
    if point.name == name then return true end
  end
  return false
end

-- Name and place of ballast.
local function named_place(c, phrase, where)
  local name, own = where:match "^(.-)%s*%(([^()]*)%)$"
  local at = own and coordinates(own)
  if at and name ~= "" then return name, at end
  if at or own and not is_point(c, where) then
    refuse("usage", phrase, at and "has no name before the place" or ("(%s) are not three coordinates"):format(own), AS_BALLAST)
  end
  return "ballast at " .. where, place_of(c, where)
end

-- The car with ballast, or nil. Ballast is booked as car:ballast books it, named by its place unless it has a name.
local function with_ballast(car, phrase)
  local mass, where, said = ballast_of(contents.inside(car), phrase)
  if not mass then return nil end
  local name, at = named_place(contents.inside(car), phrase, where)
  return contents.retold(car:add(given.part({name = name, at = at}, mass)), contents.inside(car), said)
end

-- ---- all of them -----------------------------------------------------------------------------------------------------------------

--- The car after one change in words. Refuses what is none, with the nearest word.
function changed.by(car, phrase)
  local said = phrase:match "^%s*(.-)%s*$"
  local with = with_ballast(car, said) or not directions.is_change(said) and with_field(car, said)
  if with then return with end
  local c = contents.inside(car)
  return car:move(directions.parse(phrase, function(words) return resolve.has(c, words) end))
end

return changed
