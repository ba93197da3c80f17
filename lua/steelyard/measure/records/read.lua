--- What a record says: its readings worked out by the call that does so for a script, and that beside the ledger of the car as it stood.
--
-- read.of(c, record) -> {record =, car = as it stood, reading = result, fits =, p =, headline =,
--                        rows = {{name =, unit =, read =, ledger =, gap =, sigmas =, sd = {read =, ledger =}}, ...}}

local axles = require "steelyard.file.axles"
local core = require "steelyard.core"
local book_weighings = require "steelyard.answers.book.weighings"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local resolve = require "steelyard.car.resolve"
local DEFAULT_SD = require("steelyard.measure.wheel_loads").DEFAULT_SD
local stood = require "steelyard.measure.records.stood"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local vocabulary = require "steelyard.file.vocabulary"

local read = {}

local function hypot(a, b) return math.sqrt((a or 0) ^ 2 + (b or 0) ^ 2) end

--- The instrument of a record, as this file now knows it: a better certificate corrects all that was read on it.
function read.instrument(c, record)
  for _, instrument in ipairs(record.instrument and c.shared.spec.instruments or {}) do
    if instrument.name == record.instrument then return instrument end
  end
end

-- A reading with what is known of its instrument's bias taken off.
local function less(value, by)
  local number, sd = user_values.number(value, "kg")
  return sd and vocabulary.sd(number - by, sd) or number - by
end

-- ---- wheels and axles -------------------------------------------------------------------------------------------------------

-- Names of wheels and axles in the order of a balance, and where sy.corner_scales does not know them by their names their places.
local function layout_of(car, kind)
  local c = contents.inside(car)
  local own = {keys = {}, axles = kind == "axles" or nil}
  if kind == "axles" then
    for i, axle in ipairs(c.axles) do own.keys[i], own[axle.name] = axle.name, {i == 1 and 1 or -1, 0} end
  else
    for i, wheel in ipairs(c.geometry:wheels()) do
      own.keys[i] = wheel.key
      own[wheel.key] = {wheel.axle == 1 and 1 or -1, wheel.left > 0 and 1 or wheel.left < 0 and -1 or 0}
    end
  end
  local names = table.concat(own.keys, " ")
  local usual = names == "lf rf lr rr" or names == "f lr rr" or names == "lf rf r" or kind == "axles" and names == "front rear"
  return own, not usual and own or nil
end

local of_run = {pads = true, zero_before = true, zero_after = true, facing = true, others = true, sd = true, step = true, name = true}
local together = {front = true, rear = true, total = true}

-- Readings of wheels that the car has not.
local function check_wheels(c, record, runs, own, kind)
  for _, run in ipairs(runs) do
    for _, key in ipairs(loading.sorted_keys(run)) do
      if not (of_run[key] or own[axles.also_called[key] or key] or key == "total" or kind == "corners" and together[key]) then
        stood.refuse(c, record, record.from and "from" or kind, "unknown", ("%q is not %s of the car as it then stood"):format(key,
          kind == "corners" and "a wheel" or "an axle"), "they are " .. text.join(own.keys))
      end
    end
  end
end

-- Fields for sy.corner_scales: what a table says goes before what is known of the instrument. Of that they have the bias and gain of each
-- pad by itself; what all pads have in common is beside them.
local function scales_fields(c, record, car)
  local t, r, line
  if record.from then
    t, r, line = require("steelyard.measure.corner_scales.file").read((stood.beside(c, record, "from")))
  else
    t = {runs = record.runs}
  end
  local s = read.instrument(c, record)
  if s then
    local each = s.each or {}
    t.step = t.step or s.step
    local offset = each.bias_sd
    local sd = t.sd or {}
    if not user_values.is_plain(sd) then sd = {reading = sd} end
    t.sd = {reading = sd.reading or s.sd, offset = sd.offset or offset and offset > 0 and offset or nil}
    local gain_sd = each.gain_sd or 0
    t.gain = t.gain or (gain_sd > 0 or s.gain ~= 1) and vocabulary.sd(s.gain, s.gain * gain_sd) or nil
  end
  t.title, t.state = t.title or car:heading(), nil
  local runs = {}
  for i, run in ipairs(t.runs or {}) do
    runs[i] = {}
    for key, value in pairs(run) do
      local reading = not of_run[key] and s and s.bias ~= 0
      runs[i][key] = reading and less(value, s.bias * s.gain) or value
    end
    runs[i].pads = runs[i].pads or record.pads
  end
  t.runs = #runs > 0 and runs or t.runs
  return t, r, line
end

--- The car as it then stood, of a record of loads: the table that it names may name the load state.
function read.car(c, record)
  local named = record.from and require("steelyard.measure.corner_scales.file").read((stood.beside(c, record, "from"))).state
  if not named then return stood.car(c, record) end
  local states = stood.states(c, record)
  if states[named] and record.state and named ~= record.state then
    stood.refuse(c, record, "state", "clash", ("is %q, and the table %s says %q"):format(record.state, record.from, named))
  elseif not states[named] and not record.state and #states > 0 then
    stood.refuse(c, record, "state", "missing", ("is not given, and the table %s says %q, which %s has not"):format(record.from,
      named, record.file or "this file"), "its states are " .. text.join(states))
  end
  return stood.car(c, record, states[named] and named or nil)
end

local function located(r, line, f, ...)
  if not r then return f(...) end
  return require("steelyard.measure.readings").located(r, line, f, ...)
end

local function row(name, unit, value, value_sd, ledger, ledger_sd, sigmas)
  return {name = name, unit = unit, read = value, ledger = ledger, gap = ledger and value - ledger or nil, sigmas = sigmas,
          sd = {read = value_sd, ledger = ledger_sd}}
end

local function compared(name, unit, value, value_sd, ledger, ledger_sd)
  local sd = hypot(value_sd, ledger_sd)
  return row(name, unit, value, value_sd, ledger, ledger_sd, sd > 0 and (value - ledger) / sd or nil)
end

-- Beside the ledger they do not: what corner_scales notes of readings that nobody states an uncertainty of.
local EXACT = "readings count as exact"

local function said_of_record(notes)
  local list = {}
  for i, note in ipairs(notes) do
    list[i] = note:find(EXACT, 1, true) and ("no uncertainty stated: beside the ledger each reading is taken as good to %s kg, one "
      .. "standard deviation; state sd, or an instrument"):format(text.plain(DEFAULT_SD)) or note
  end
  return list
end

local function on_scales(c, record, car)
  local own, layout = layout_of(car, record.kind)
  local t, r, line = scales_fields(c, record, car)
  check_wheels(c, record, t.runs or {}, own, record.kind)
  local reading = located(r, line, require("steelyard.measure.corner_scales").of_car, t, layout, read.instrument(c, record))
  local then_c, rows = contents.inside(car), {}
  loading.need_mass(then_c)
  local fine, found = pcall(car.reconcile, car, {[record.kind] = reading})
  local code = not fine and type(found) == "table" and found.code
  if not fine and code ~= "limit" and code ~= "clash" and code ~= "unavailable" then error(found, 0) end
  local unasked = code == "unavailable" -- of a car with a group that counts as it was weighed
  local b = core.balance(then_c.now, then_c.geometry)
  if fine then
    for _, sum in ipairs(found.sums) do
      if sum.scales then
        rows[#rows + 1] = row(sum.name, sum.unit, sum.scales, sum.sd.scales, sum.ledger, sum.sd.ledger, sum.sigmas)
      end
    end
  else
    rows[1] = compared("mass", "kg", reading.mass, reading.sd.mass, b.mass, b.sd.mass)
  end
  for _, key in ipairs(own.keys) do
    if reading[key] then
      local booked = record.kind == "axles" and b.axle[key] or b[key]
      rows[#rows + 1] = row(key, "kg", reading[key], reading.sd[key], booked, nil)
    end
  end
  local headline = ("%s kg"):format(text.plus_minus(reading.mass, reading.sd.mass, 1))
  if reading.front_share then headline = ("%s, front %s %%"):format(headline, text.fixed(reading.front_share, 2)) end
  if reading.cross_share then headline = ("%s, cross %s %%"):format(headline, text.fixed(reading.cross_share, 2)) end
  if not reading.sd.mass then reading.notes = said_of_record(reading.notes) end
  local fits
  if not unasked then fits = fine and found.fits end
  return {reading = reading, rows = rows, fits = fits, p = fine and found.p or nil, headline = headline,
          notes = unasked and {"only the mass is compared: car:reconcile " .. found.message} or nil,
          why = not fine and not unasked and (found.message .. (type(found.hint) == "string" and "; " .. found.hint or "")) or nil}
end

-- ---- a lift -------------------------------------------------------------------------------------------------------------------

local load_keys = {"front", "rear", "left", "right", "lf", "rf", "lr", "rr"}

local function lift_fields(t, s)
  if not s then return t end
  t.sd = t.sd or {}
  t.sd.pad, t.sd.step = t.sd.pad or s.sd, t.sd.step or s.step
  for _, reading in ipairs(t.readings) do
    for _, key in ipairs(s.bias ~= 0 and load_keys or s.gain ~= 1 and load_keys or {}) do
      if reading[key] ~= nil then
        local number, sd = user_values.number(reading[key], "kg")
        number = number / s.gain - s.bias
        reading[key] = sd and vocabulary.sd(number, sd / s.gain) or number
      end
    end
  end
  return t
end

-- The table of a lift, and the state it names.
local function lift_table(c, record)
  local file = require "steelyard.measure.cg_height.file"
  local t, r = file.read((stood.beside(c, record, "from")))
  local state = t.state
  t.state = nil
  if state and record.state and state ~= record.state then
    stood.refuse(c, record, "state", "clash", ("is %q, and the table %s says %q"):format(record.state, record.from, state))
  end
  return t, r, file.line(r), state
end

-- What an instrument does to a mass that two axles make, on so many pads each.
local function common_sd(s, mass, pads)
  local each, n = s and s.each or {}, 2 * pads
  if not s then return 0 end
  return hypot(hypot(n * (s.bias_sd or 0), (s.gain_sd or 0) * mass),
    hypot(math.sqrt(n) * (each.bias_sd or 0), (each.gain_sd or 0) * mass / math.sqrt(n)))
end

local function lifted(car, t, r, line, s)
  local reading = located(r, line, car.cg_height, car, lift_fields(t, s))
  local a, rows, first = reading.against, {}, t.readings[1]
  local pads = (first.lf or first.lr) and 2 or 1
  rows[1] = compared("height", "mm", reading.height, reading.sd.height, a.ledger, a.sd.ledger)
  if a.mass then
    local common = common_sd(s, reading.mass, pads)
    local sd = hypot(a.sd.mass_gap, common)
    rows[2] = row("mass", "kg", reading.mass, hypot(reading.sd.mass, common), a.mass, nil, sd > 0 and a.mass_gap / sd or nil)
  end
  return {reading = reading, rows = rows, fits = a.agrees, pads = pads,
          headline = ("CG height %s mm"):format(text.plus_minus(reading.height, reading.sd.height, 0))}
end

-- ---- ride heights -----------------------------------------------------------------------------------------------------------

-- Height above the floor of each point that was measured: as loaded on its springs, as the file has it where no rates are known.
local function heights_of(car, heights)
  local fine, attitude = pcall(car.attitude, car)
  if fine then return attitude.ground, "on its springs" end
  if type(attitude) ~= "table" or attitude.code ~= "missing" then error(attitude, 0) end
  local c, stated, ground = contents.inside(car), {}, {}
  for _, point in ipairs(c.shared.spec.points or {}) do stated[point.name] = true end
  for _, height in ipairs(heights) do
    local name = height.name
    ground[name] = stated[name] and require("steelyard.car.named_places").find(c, name, "heights").at[3] or nil
  end
  return ground, c.heights_set and "as drawn and set lower or higher, for want of rates" or "as drawn, for want of rates"
end

local function ride_heights(c, record, car)
  local ground, how = heights_of(car, record.heights)
  local rows, reading = {}, {heights = {}, sd = {heights = {}}}
  for i, height in ipairs(record.heights) do
    local booked = ground[height.name]
    if not booked then
      stood.refuse(c, record, "heights", "unknown", ("no point of %s is called %q"):format(record.file or "this file", height.name))
    end
    rows[i] = row(height.name, "mm", height.value, height.sd, booked, nil)
    reading.heights[height.name], reading.sd.heights[height.name] = height.value, height.sd
  end
  return {reading = reading, rows = rows, headline = text.count(#rows, "point"), notes = {("the file's heights are those %s"):format(how)}}
end

-- ---- an assembly -----------------------------------------------------------------------------------------------------------

-- The ledger with nothing aboard but one item.
local function alone(c, route)
  local now = c.now
  for _, item in ipairs(now:items(false)) do
    local r = item.route
    local inside, around = r:sub(1, #route) == route, route:sub(1, #r) == r
    if not (inside or around) and r:sub(1, -5) == route:sub(1, #r - 4) then now = now:aboard(r, false) end
  end
  return now
end

local letters = {"x", "y", "z"}

-- Places in the file's axes as people speak of them: behind the front axle, left of the centre, above the ground.
local function add_place(rows, then_c, record, b)
  local g, at_sd = then_c.geometry, record.cg_sd or {}
  local function spoken(p) local forward, left, up = g:point_in(p[1], p[2], p[3]) return {-forward, left, up} end
  local function spread(s)
    local forward, left, up = g:vector_in(s[1] or 0, s[2] or 0, s[3] or 0)
    return {math.abs(forward), math.abs(left), math.abs(up)}
  end
  local value, sd = spoken(record.cg), spread(at_sd)
  local booked, booked_sd = spoken{b.cg.x, b.cg.y, b.cg.z}, spread{b.sd.cg.x, b.sd.cg.y, b.sd.cg.z}
  for i, name in ipairs{"cg_behind", "cg_left", "height"} do
    rows[#rows + 1] = compared(name, "mm", value[i], sd[i] > 0 and sd[i] or nil, booked[i], booked_sd[i])
  end
end

local about = {forward = "roll_inertia", back = "roll_inertia", left = "pitch_inertia", right = "pitch_inertia", up = "yaw_inertia",
               down = "yaw_inertia"}

local function add_inertia(rows, then_c, record, b)
  local by = {}
  for _, letter in ipairs(letters) do
    local key = letter .. letter
    local value = record.inertia[key]
    if value then by[about[then_c.shared.spec.axes[letter]]] = row(nil, "kg m2", value, record.inertia_sd[key], b.inertia[key], nil) end
  end
  for _, name in ipairs{"roll_inertia", "pitch_inertia", "yaw_inertia"} do
    if by[name] then
      by[name].name = name
      rows[#rows + 1] = by[name]
    end
  end
end

-- Standard uncertainties of an assembly's mass as weighed and as booked, without what their instrument does to both.
local function apart(then_c, route, mass, own, s, booked_sd)
  if not s then return own, booked_sd end
  local each = s.each or {}
  local bias, gain = hypot(s.bias_sd, each.bias_sd), hypot(s.gain_sd, each.gain_sd)
  local common = hypot(bias, gain * mass)
  if not then_c.shared.context.scales[s.name] then return hypot(own, common), booked_sd end
  own = math.sqrt((own or 0) ^ 2 + (each.bias_sd or 0) ^ 2 + ((each.gain_sd or 0) * mass) ^ 2)
  local whole = {instrument = s.name, bias_share = 1, gain_mass = mass, own = own, sd = hypot(own, common)}
  return book_weighings.apart(then_c, whole, then_c.now:items(false, route), booked_sd)
end

local function assembly(c, record, car)
  local then_c = contents.inside(car)
  local found = resolve.parts(then_c, record.of)
  if #found.routes ~= 1 then stood.refuse(c, record, "of", "clash", ("%q fits several"):format(record.of)) end
  local route = found.routes[1]
  local b = core.balance(alone(then_c, route), then_c.geometry)
  local s, mass, own = read.instrument(c, record), record.mass, record.mass_sd
  if s then
    mass = mass / s.gain - s.bias
    own = own and own / s.gain or hypot(s.sd, s.step and s.step / math.sqrt(12)) / s.gain
  end
  local mass_sd, booked_sd = apart(then_c, route, mass, own, s, b.sd.mass)
  local rows = {compared("mass", "kg", mass, mass_sd, b.mass, booked_sd)}
  local reading = {of = record.of, mass = mass, cg = {}, inertia = record.inertia,
                   sd = {mass = mass_sd, cg = {}, inertia = record.inertia_sd}}
  for i, letter in ipairs(record.cg and letters or {}) do
    reading.cg[letter], reading.sd.cg[letter] = record.cg[i], record.cg_sd and record.cg_sd[i]
  end
  if record.cg and b.cg then add_place(rows, then_c, record, b) end
  if record.inertia then add_inertia(rows, then_c, record, b) end
  return {reading = reading, rows = rows, own_sd = own, headline = ("%s %s kg"):format(record.of, text.plus_minus(mass, mass_sd, 1))}
end

-- ---- all of them -------------------------------------------------------------------------------------------------------------

local function overall(rows)
  local most
  for _, r in ipairs(rows) do
    if r.sigmas and math.abs(r.sigmas) > math.abs(most or 0) then most = r.sigmas end
  end
  return most
end

local by_kind = {corners = on_scales, axles = on_scales, ["ride heights"] = ride_heights, assembly = assembly}

local function what_it_says(c, record)
  if record.kind ~= "lift" then
    local car = read.car(c, record)
    local says = by_kind[record.kind](c, record, car)
    says.car = car
    return says
  end
  local t, r, line, state = lift_table(c, record)
  local car = stood.car(c, record, state)
  local says = lifted(car, t, r, line, read.instrument(c, record))
  says.car = contents.wrap(origin.car_of(says.reading)) -- as the table's tanks say
  return says
end

--- What a record says; raises what is wrong with it.
function read.of(c, record)
  local says = stood.located(c, record, what_it_says, c, record)
  says.record, says.sigmas = record, overall(says.rows)
  return says
end

local function response(c, record, car)
  local own, layout = layout_of(car, record.kind)
  local t, r, line = scales_fields(c, record, car)
  check_wheels(c, record, t.runs or {}, own, record.kind)
  local corner_scales, assumed = require "steelyard.measure.corner_scales", nil
  if not rawget(located(r, line, corner_scales.of_car, t, layout).sd, "mass") then
    assumed = DEFAULT_SD
    t.sd = {reading = DEFAULT_SD}
  end
  return located(r, line, corner_scales.response, t, layout), assumed
end

--- What the errors of its readings do to the loads of a record of corners or axles, as corner_scales.response has it; and the standard
-- uncertainty that readings were given because nobody states one.
function read.response(c, record, car) return stood.located(c, record, response, c, record, car) end

return read
