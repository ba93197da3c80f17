--- Records of a history, each beside the ledger of the car as it then stood, and what it says of the car in the load state of the history.
--
-- A car is weighed with nobody in it and followed as it races. What scales read is brought from the state of the record to that of the
-- history by what the ledger has between the two, in sums: m = m' + dm, F = F' + dF, m h = m' h' + d(m h), with ' for what was read, F the
-- load of the first axle. What both states have in common goes out, so the ledger's own error of the car does not come in.
--
-- placed.of(entries, state) -> list of {name, kind, date, state, file = path of the file that has it, stood_in, headline, sigmas, fits,
--   placed, why, mass, front_share, height, cross_share, ledger = {the same}, sd = {the same}, carried}, in order of time. cross_share is
--   as read: what it would be in another state the springs say, not the ledger.

local asking = require "steelyard.answers.asking"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local read = require "steelyard.measure.records.read"
local stood = require "steelyard.measure.records.stood"

local placed = {}

--- What a record may say of a whole car.
placed.quantities = {"mass", "front_share", "height", "cross_share"}

local LEDGER = {"mass", "front", "rear", "height", "front_share"}

local function square(x) return x * x end

local function ledger_of(c)
  local values, by = asking.values("balance", asking.car(c, "balance"), LEDGER), {}
  for i, name in ipairs(LEDGER) do by[name] = values[i] end
  return by
end

-- Standard uncertainties of what lies between two states of one file.
local function between(from, to)
  local list = asking.changes("balance", asking.car(from, "balance"), asking.car(to, "balance"), LEDGER)
  local by = {}
  for i, name in ipairs(LEDGER) do by[name] = list and list[i] or 0 end
  return by
end

-- Adds to a reading with its sd what one quantity gains from state to state: value, sd.
local function joined(sd, more) return sd and math.sqrt(square(sd) + square(more)) or nil end

-- The mass and, where they were read, front share and height in the other state. said: the reading, with sd; a, b: ledgers; u: between.
local function carry(said, a, b, u)
  local value, sd, own = {}, {}, said.sd or {}
  local mass = said.mass + b.mass - a.mass
  value.mass, sd.mass = mass, joined(own.mass, u.mass)
  if said.front_share then
    local front = said.front_share / 100 * said.mass + b.front - a.front
    local share = front / mass
    value.front_share = 100 * share
    -- of (dF - share dm) / m with dm = dF + dR; what F and R have in common follows from the three uncertainties
    local common = (square(u.mass) - square(u.front) - square(u.rear)) / 2
    local state = square((1 - share) * u.front) + square(share * u.rear) - 2 * share * (1 - share) * common
    local reading = square((own.front_share or 0) * said.mass) + square((said.front_share - 100 * share) * (own.mass or 0))
    sd.front_share = own.front_share and math.sqrt(reading + 1e4 * math.max(0, state)) / mass or nil
  end
  if said.height then
    value.height = (said.height * said.mass + b.height * b.mass - a.height * a.mass) / mass
    -- the whole change of the ledger's height: more than what only one of the states has
    sd.height = joined(own.height and own.height * said.mass / mass, u.height)
  end
  return value, sd
end

local function reading_of(says)
  local r, said = says.reading, {sd = {}}
  for _, name in ipairs(placed.quantities) do said[name], said.sd[name] = rawget(r, name), rawget(r.sd, name) end
  return said
end

-- Is the car loaded in both alike? Then nothing is carried, and the reading stays what it is to the last bit.
local function same_load(a, b) return a.mass == b.mass and a.front == b.front and a.height == b.height end

-- What the record says of the car in the state of the history.
local function put(row, c, record, state, says)
  local said = reading_of(says)
  local then_c = contents.inside(says.car)
  local there = contents.inside(stood.car(c, {name = record.name, line = record.line, file = record.file, state = state}))
  local from, to = ledger_of(then_c), ledger_of(there)
  row.ledger = {mass = to.mass, front_share = said.front_share and to.front_share, height = said.height and to.height}
  if same_load(from, to) then
    for _, name in ipairs(placed.quantities) do row[name], row.sd[name] = said[name], said.sd[name] end
  else
    local value, sd = carry(said, from, to, between(then_c, there))
    for name in pairs(value) do row[name], row.sd[name] = value[name], sd[name] end
    row.cross_share, row.sd.cross_share = said.cross_share, said.sd.cross_share
    row.carried = true
  end
  row.placed = true
end

local of_the_car = {corners = true, axles = true, lift = true}

-- Says why a record is not placed, whatever is wrong with it.
local function try(c, record, row, f, ...)
  local fine, found = pcall(f, ...)
  if fine then return found or true end
  if getmetatable(found) ~= core.error_metatable then error(found, 0) end
  row.why = stood.why(c, record, found)
end

local function row_of(entry, record, state)
  local c = entry.c
  local row = {name = record.name, kind = record.kind, date = record.date, state = record.state, file = entry.path, stood_in = record.file,
               placed = false, sd = {}}
  local says = try(c, record, row, read.of, c, record)
  if not says then return row end
  row.headline, row.sigmas, row.fits, row.state = says.headline, says.sigmas, says.fits, loading.title(contents.inside(says.car))
  if row.state == loading.title{} then row.state = nil end
  if not stood.is_of(c, says.car) then
    row.why = ("%s is another car"):format(record.file)
  elseif not of_the_car[record.kind] then
    row.why = "it says nothing of the whole car"
  elseif not record.date then
    row.why = "it has no date"
  elseif rawget(says.reading, "mass") then
    try(c, record, row, put, row, c, record, state, says)
  end
  return row
end

--- See above; a record that several files have counts once, as the latest of them states it. state: nil for no state.
function placed.of(entries, state)
  local list, seen = {}, {}
  for i = #entries, 1, -1 do
    for k, record in ipairs(entries[i].c.shared.spec.records or {}) do
      local key = ("%s\0%s"):format(record.date or "", record.name)
      if not seen[key] then
        seen[key] = true
        list[#list + 1] = {row = row_of(entries[i], record, state), order = {i, k}}
      end
    end
  end
  table.sort(list, function(a, b)
    local p, q = a.row.date or "", b.row.date or ""
    if p ~= q then return core.before(p, q) end
    if a.order[1] ~= b.order[1] then return a.order[1] < b.order[1] end
    return a.order[2] < b.order[2]
  end)
  for i, one in ipairs(list) do list[i] = one.row end
  return list
end

return placed
