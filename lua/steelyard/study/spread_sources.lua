--- What a simulation draws, by name: the path that its random numbers hang on, how it is distributed, and what a page calls it.
--
-- sources.of(c, ledgers, list) -> list, beside that of core.spread_sources, of {path, quantity, distribution, what, field}; of a line
-- aboard also line and piece, the paths of it and of the piece that states it, and route
--
-- Paths are those of the lines in the file, "powertrain/engine"; of axles, wheels, instruments and records with a word in front. A line
-- that is
-- renamed draws other numbers; one that is added leaves those of the others. A second line of the same path has " #2" behind it.

local core = require "steelyard.core"
local resolve = require "steelyard.car.resolve"
local sides = require "steelyard.file.sides"

local sources = {}

local AGAIN = 64    -- quantities of a line: those of another statement of it come so many later
local STATED = 8192 -- quantities of stated numbers, behind those of lines
local FOUND = 16384 -- of what was found of shafts, gaps and tanks

local fields = {mass = "mass", ["dry mass"] = "dry_mass", density = "density", volume = "fill", share = "mass", growth = "growth",
                bias = "bias", gain = "gain", usual = "shape", reading = "reading"}

local limits_of = {mass = "mass_limits", ["dry mass"] = "dry_mass_limits", density = "density_limits", volume = "fill_limits"}

-- ---- lines -----------------------------------------------------------------------------------------------------------------

-- The file's coordinate along each of the library's axes: forward, left, up.
local library_axis = {forward = "x", back = "x", left = "y", right = "y", up = "z", down = "z"}

local function letters_of(c)
  local letters = {}
  for i, letter in ipairs{"x", "y", "z"} do letters[library_axis[c.shared.spec.axes[letter]]] = {letter, i} end
  return letters
end

-- Paths of a piece and of its line, and the route of that.
local function entry_of(ledger, route)
  local piece, line = resolve.path(ledger, route), ledger:item(route).side and route:sub(1, -5) or route
  return {line = line ~= route and resolve.path(ledger, line) or piece, piece = piece, route = line}
end

-- node number -> {path of the line, path of the piece}
local function paths_of(ledgers)
  local paths, taken = {}, {}
  for _, ledger in ipairs(ledgers) do
    local numbers, _, routes = core.pieces_aboard(ledger, nil, true)
    for i, number in ipairs(numbers) do
      paths[number] = paths[number] or entry_of(ledger, routes[i])
    end
  end
  local numbers = {}
  for number in pairs(paths) do numbers[#numbers + 1] = number end
  table.sort(numbers)
  for _, number in ipairs(numbers) do -- lines of one path, in the order of the file
    local entry = paths[number]
    local routes = taken[entry.line] or {}
    taken[entry.line] = routes
    if not routes[entry.route] then
      routes[#routes + 1] = entry.route
      routes[entry.route] = #routes
    end
    entry.count = routes[entry.route]
  end
  return paths
end

local function is_limited(c, node, source, letters)
  if not node then return false end
  local letter = letters[source.kind]
  if not letter then return limits_of[source.kind] ~= nil and node[limits_of[source.kind]] == true and source.kind ~= "share" end
  if node.at_sd and node.at_sd[letter[2]] then return node.at_limits ~= nil and node.at_limits[letter[2]] == true end
  local assume = c.shared.spec.assume
  return node.hip == nil and assume ~= nil and assume.within_mm ~= nil
end

local function of_line(c, source, paths, letters)
  local entry, node = paths[source.number], c.shared.nodes[source.number]
  local letter = letters[source.kind]
  local field = letter and letter[1] or fields[source.kind] or (source.kind:gsub(" ", "."))
  if source.family > 0 or not entry then -- a line of a record's own file, or one that is aboard there alone
    return {path = ("record line %d of file %d"):format(source.number, source.family), quantity = source.code + AGAIN * source.again,
            what = "a line of a record", field = field}
  end
  return {path = entry.count > 1 and ("%s #%d"):format(entry.line, entry.count) or entry.line,
          quantity = source.code + AGAIN * source.again,
          distribution = is_limited(c, node, source, letters) and "rectangular" or "normal", what = entry.line, field = field,
          piece = entry.piece, line = entry.line, route = entry.route}
end

local function instrument_name(c, source)
  local spec, number = c.shared.spec, source.number
  local own = spec.instruments or {}
  local instrument = own[number] or (spec.more_instruments or {})[number - #own]
  return source.family == 0 and instrument and instrument.name or ("%d of file %d"):format(number, source.family)
end

local function of_error(c, source, paths, letters)
  if source.kind == "bias" or source.kind == "gain" then
    local name = instrument_name(c, source)
    return {path = "instrument " .. name, quantity = source.code, what = name, field = source.kind}
  elseif source.kind == "usual" then
    return {path = "usual density", quantity = source.code, what = "shapes assumed", field = "density"}
  elseif source.kind == "place" then -- of axles, in records and in the car
    local place = c.measured.places.of[source.number]
    return {path = ("%s of %s"):format(place.field, place.who), quantity = source.code, what = place.who, field = place.field,
            distribution = place.limits and "rectangular" or "normal"}
  elseif source.kind == "reading" then
    return {path = ("reading %d"):format(source.number), quantity = source.code, what = "a record's readings", field = "reading"}
  end
  return of_line(c, source, paths, letters)
end

-- ---- stated numbers ------------------------------------------------------------------------------------------------------------

-- Wheels or axles by the bits in `at`; the first that a wheel is of.
local function places(c, by_wheel, at)
  local names, axle, side = {}, nil, nil
  if by_wheel then
    for i, wheel in ipairs(c.geometry:wheels()) do
      if at >> (i - 1) & 1 == 1 then
        names[#names + 1], axle, side = wheel.key, axle or c.axles[wheel.axle], side or wheel.side
      end
    end
  else
    for i, one in ipairs(c.axles) do
      if at >> (i - 1) & 1 == 1 then names[#names + 1], axle = one.name .. " axle", axle or one end
    end
  end
  return names, axle, side
end

local by_axle = {bar_rate = true, roll_centre = true, tyre_lateral_rate = true, preload = true, downforce = true, brake_links = true,
                 brake_angle = true, drive_links = true, drive_angle = true}

local function stated_limits(c, field, axle, side)
  local key = field .. "_limits"
  if field == "cross_share" then return c.shared.spec.cross_share_limits end
  if field == "torsion" then return c.shared.spec.chassis and c.shared.spec.chassis.torsion_limits end
  local own = axle and axle[sides.name(side)]
  if own and own[field] ~= nil then return own[key] end
  return axle and axle[key]
end

local function of_stated(c, source)
  local names, axle, side = {}, nil, nil
  if source.at ~= 0 then names, axle, side = places(c, not by_axle[source.field], source.at) end
  local where = table.concat(names, " ")
  local of_axle = (source.field == "at" or source.field == "track") and source.source == 0 -- not a wheel that stands by itself
  return {path = ("stated %s %s"):format(source.field, where), quantity = STATED + source.code + 256 * source.source,
          distribution = stated_limits(c, source.field, axle, side) and "rectangular" or "normal",
          what = of_axle and axle.name .. " axle" or where ~= "" and where or "the car", field = source.field}
end

-- Two numbers of one field and place that are stated otherwise, such as one file's rate in two settings, are two sources.
local function tell_apart(list)
  local seen = {}
  for _, entry in ipairs(list) do
    local name = entry.path .. "\0" .. entry.quantity
    seen[name] = (seen[name] or 0) + 1
    if entry.stated and seen[name] > 1 then entry.path = ("%s #%d"):format(entry.path, seen[name]) end
  end
end

local function entry(c, source, paths, letters)
  if source.kind then return of_error(c, source, paths, letters) end
  if not source.field then return {path = "found " .. source.key, quantity = FOUND, what = "shafts, gaps and tanks", field = "place"} end
  local stated = of_stated(c, source)
  stated.stated = true
  return stated
end

--- See above; c: the inside of the car, ledgers: those that are asked.
function sources.of(c, ledgers, given)
  local paths, letters, list = paths_of(ledgers), letters_of(c), {}
  for i, source in ipairs(given) do list[i] = entry(c, source, paths, letters) end
  tell_apart(list)
  return list
end

--- Of few of them: function(source) -> what sources.of says of it, but for numbers behind equal paths.
function sources.one_by_one(c, ledgers)
  local where, letters = {}, letters_of(c)
  for _, ledger in ipairs(ledgers) do
    local numbers, _, routes = core.pieces_aboard(ledger, nil, true)
    for i, number in ipairs(numbers) do where[number] = where[number] or {ledger, routes[i]} end
  end
  local paths = setmetatable({}, {__index = function(known, number)
    local found = where[number] and entry_of(table.unpack(where[number]))
    if found then found.count = 1 end
    known[number] = found
    return found
  end})
  return function(source) return entry(c, source, paths, letters) end
end

return sources
