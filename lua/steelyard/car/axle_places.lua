--- Where axles and wheels were said to stand: statements whose errors records have too, and what these leave of them.
--
-- places.of(spec, axles) -> a list, one an axle: {at =, track =, left = {at =, half_track =}, right = the same}, of what is stated with an
--   uncertainty {who = "rear axle", field =, value = mm as stated, sd = mm, limits = stated by limits or nil}
-- places.book() -> a book of the numbers that errors have in the records of one car: statements of one axle or wheel, field, value and
--   uncertainty are one error, as with lines of two files
-- places.number(book, statement) -> number, given to a statement that has none yet; nil of no statement
-- places.known(book, statement) -> the number of one that has it, and by how much the records correct it, mm
--
-- A book is {count =, number = {[key] = number}, of = {[number] = statement}, mean = {[number] = mm}}; as_built fills `mean`.

local places = {}

local LENGTH = 1e-4 -- mm: far below any tape, far above what another datum leaves of a number

-- own: of an axle or a side; value: of its field, if not as it stands there
local function statement(who, own, field, value)
  local sd = own[field .. "_sd"]
  if own[field] == nil or not sd or sd <= 0 then return nil end
  return {who = who, field = field, value = value or own[field], sd = sd, limits = own[field .. "_limits"]}
end

local function of_side(own, name, side, forward)
  if not own then return {} end
  local wheel = ("%s %s wheel"):format(side, name)
  return {at = statement(wheel, own, "at", own.at and forward(own.at)), half_track = statement(wheel, own, "half_track")}
end

local ways = {forward = 1, back = -1}

--- See above. What was moved since states nothing else.
function places.of(spec, axles)
  local first, way, list = spec.axles[1].at, nil, {}
  for _, letter in ipairs{"x", "y", "z"} do way = ways[spec.axes[letter]] or way end
  local function forward(at) return way * (at - first) end
  for i, axle in ipairs(axles) do
    local name = axle.name or tostring(i)
    local who = name .. " axle"
    list[i] = {at = statement(who, axle, "at", forward(axle.at)), track = statement(who, axle, "track"),
               left = of_side(axle.left, name, "left", forward), right = of_side(axle.right, name, "right", forward)}
  end
  return list
end

function places.book() return {count = 0, number = {}, of = {}, mean = {}} end

local function key_of(s) return ("%s of %s %.0f %.17g"):format(s.field, s.who, s.value / LENGTH, s.sd) end

function places.number(book, s)
  if not s then return nil end
  local key = key_of(s)
  if not book.number[key] then
    book.count = book.count + 1
    book.number[key], book.of[book.count] = book.count, s
  end
  return book.number[key]
end

function places.known(book, s)
  if not (book and s) then return nil, 0 end
  local number = book.number[key_of(s)]
  return number, number and book.mean[number] or 0
end

return places
