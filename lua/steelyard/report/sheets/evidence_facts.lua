--- What was measured of a car, and what it says of the file's limits: facts for the evidence page, from the file's records alone.
-- Nothing of the ledger enters: a limit on what nobody measured is unknown, and so is one that was measured in another state or of an
-- earlier car.
--
-- facts.of(c, state) -> {records = {{name, kind, date, method, instrument = {name, certificate, words} or nil, zeros, state, aboard,
--   stood_in, results = {{name, label, unit, value, sd, half, decimals}}, readings = {columns, rows}, working = sentences, note, as_state,
--   whole_car}, ...},
--   limits = {{name, quantity, label, unit, state, min, max, value, sd, half, decimals, status, why, record}, ...}, left_out = sentences}

local aboard = require "steelyard.car.aboard"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local limits = require "steelyard.answers.limits"
local loading = require "steelyard.car.loading"
local measurement = require "steelyard.measure.measurement"
local quantities = require "steelyard.reference.quantities"
local read = require "steelyard.measure.records.read"
local stood = require "steelyard.measure.records.stood"
local text = require "steelyard.print.text"
local user_values = require "steelyard.file.user_values"
local verdicts = require "steelyard.answers.verdicts"

local facts = {}

local function kg(x, decimals) return text.fixed(x, decimals or 2) end

-- ---- the instrument -----------------------------------------------------------------------------------------------------------------

local function instrument_of(c, record)
  local s = read.instrument(c, record)
  if not s then return nil end
  local said = {}
  if s.step then said[#said + 1] = ("step %s kg"):format(text.plain(s.step)) end
  if s.range then said[#said + 1] = ("range %s kg"):format(text.plain(s.range)) end
  if s.sd then said[#said + 1] = ("repeats to %s kg (standard)"):format(text.plain(s.sd)) end
  if s.gain ~= 1 then said[#said + 1] = ("gain %s, taken out"):format(text.plain(s.gain)) end
  if s.gain_sd then said[#said + 1] = ("gain good to %s %% (standard)"):format(text.plain(100 * s.gain_sd)) end
  if s.bias ~= 0 then said[#said + 1] = ("bias %s kg, taken off"):format(text.plain(s.bias)) end
  return {name = s.name, certificate = s.certificate, words = table.concat(said, ", ")}
end

-- "0 before, 0.1 after" of a run; nil without
local function zero_of(run)
  local list = {}
  for _, entry in ipairs{{"zero_before", "before"}, {"zero_after", "after"}} do
    local zero = run[entry[1]]
    if zero ~= nil then
      local pads = user_values.is_plain(zero) and loading.sorted_keys(zero) or {false}
      local shown = {}
      for i, pad in ipairs(pads) do
        local value = user_values.number(pad and zero[pad] or zero, "kg")
        shown[i] = (pad and pad .. " " or "") .. text.plain(value)
      end
      list[#list + 1] = ("%s %s"):format(table.concat(shown, ", "), entry[2])
    end
  end
  return #list > 0 and table.concat(list, ", ") or nil
end

local function zeros_of(runs)
  local list = {}
  for i, run in ipairs(runs or {}) do list[#list + 1] = ("run %d: %s"):format(i, zero_of(run) or "none read") end
  if #list == 0 then return nil end
  return table.concat(list, "; ") .. " (kg)"
end

-- ---- by kind ------------------------------------------------------------------------------------------------------------------------

local function runs_of(c, record)
  if not record.from then return record.runs or {} end
  return require("steelyard.measure.corner_scales.file").read((stood.beside(c, record, "from"))).runs or {}
end

local function sum_words(keys, reading)
  local values = {}
  for i, key in ipairs(keys) do values[i] = kg(reading[key]) end
  return ("%s = %s = %s kg"):format(table.concat(keys, " + "), table.concat(values, " + "), kg(reading.mass))
end

local function share_words(label, keys, reading, share)
  local values = {}
  for i, key in ipairs(keys) do values[i] = kg(reading[key]) end
  return ("%s = 100 (%s) / mass = 100 (%s) / %s = %s %%"):format(label, table.concat(keys, " + "), table.concat(values, " + "),
    kg(reading.mass), kg(share, 3))
end

local function of_scales(c, record, says)
  local r, runs = says.reading, runs_of(c, record)
  local rows, keys, seen = {}, {}, {}
  for i, row in ipairs(r.rows) do
    if r[row.what] and not seen[row.what] then keys[#keys + 1], seen[row.what] = row.what, true end
    rows[i] = {row.what, row.pad, row.facing, tostring(row.repeats), kg(row.load), row.residual and kg(row.residual) or ""}
  end
  local working = {"each reading less its zero, what is known of the scale taken out; repeats averaged, all fitted by least squares",
                   "mass = " .. sum_words(keys, r)}
  local axle = {front = {}, cross = {}, left = {}}
  for _, wheel in ipairs(record.kind == "corners" and contents.inside(says.car).geometry:wheels() or {}) do
    if wheel.axle == 1 then table.insert(axle.front, wheel.key) end
    if wheel.left > 0 then table.insert(axle.left, wheel.key) end
  end
  if record.kind == "axles" then axle.front = {keys[1]} end
  if r.front_share then working[#working + 1] = share_words("front", axle.front, r, r.front_share) end
  if r.left_share and #keys == 4 then working[#working + 1] = share_words("left", axle.left, r, r.left_share) end
  if r.cross_share then working[#working + 1] = share_words("cross weight", {"rf", "lr"}, r, r.cross_share) end
  return {method = ("%s, %s"):format(record.kind == "axles" and "axles on scales" or "wheels on scales", text.count(#runs, "run")),
          zeros = zeros_of(runs) or "none read", working = working,
          readings = {columns = {{"wheel", left = true}, {"pad", left = true}, {"facing", left = true}, {"repeats"}, {"net, kg"},
            {"less fitted, kg"}}, rows = rows}}
end

local function of_lift(_, _, says)
  local r, rows = says.reading, {}
  for i, row in ipairs(r.rows) do
    rows[i] = {row.run, row.lifted, row.lift and text.plain(row.lift) or "", text.fixed(row.angle, 2), row.end_read, kg(row.load),
               kg(row.residual), row.height and text.fixed(row.height, 1) or ""}
  end
  local working = {
    "CG height = r + L (N - N0) / (m tan a): r height of the wheel centres' line under the CG, L wheelbase, N and N0 load of the axle that "
      .. "stays, lifted and level, m mass, a tilt; all readings fitted together by least squares, each run with its own level"}
  if r.left_share then working[1] = working[1]:gsub("L wheelbase", "L track"):gsub("axle that", "side that") end
  local top = r.budget and r.budget[1]
  if top then working[2] = ("most of the uncertainty: %s, %s %%"):format(top.source, text.fixed(top.share, 0)) end
  return {method = ("an end lifted, %s in %s"):format(text.count(#rows, "reading"), text.count(#r.runs, "run")),
          zeros = "as the table of readings has them", working = working,
          readings = {columns = {{"run", left = true}, {"lifted", left = true}, {"lift, mm"}, {"angle, deg"}, {"read at", left = true},
            {"kg"}, {"less fitted, kg"}, {"height alone, mm"}}, rows = rows}}
end

local function of_heights() return {method = "heights of marked points above the floor, by rule"} end

local function of_assembly(c, record)
  local s = read.instrument(c, record)
  return {method = ("%s on a scale, apart from the car"):format(record.of), zeros = "none stated",
          working = s and {("mass = %s / %s - %s kg: what was shown by the gain, less the bias"):format(text.plain(record.mass),
            text.plain(s.gain), text.plain(s.bias))} or nil}
end

local by_kind = {corners = of_scales, axles = of_scales, lift = of_lift, ["ride heights"] = of_heights, assembly = of_assembly}

-- ---- results ------------------------------------------------------------------------------------------------------------------------

local inertias = {roll_inertia = "roll inertia", pitch_inertia = "pitch inertia", yaw_inertia = "yaw inertia"}
local beside = {"front_share", "left_share", "cross_share", "front", "rear", "left", "right"}

-- Half the width of the 95 %: as the fit has it, else by the normal factor.
local function half_of(reading, name, sd)
  local own = name == "height" and rawget(reading, "interval")
  if own then return (own.high - own.low) / 2 end
  return sd and sd > 0 and text.K95 * sd or nil
end

-- Loads and shares have one label in the table of quantities, and their units apart.
local function label_of(name, q, unit)
  if not q then return inertias[name] or name end
  return unit == "%" and name ~= "cross_share" and q.label .. " share" or q.label
end

local function result_of(reading, name, unit, value, sd)
  local q = quantities.find(name)
  local usual = unit == "mm" and 0 or unit == "kg" and 1 or 2
  return {name = name, label = label_of(name, q, unit), unit = unit, value = value, sd = sd, half = half_of(reading, name, sd),
          decimals = sd and sd > 0 and math.min(usual + 2, measurement.decimals(sd, usual)) or usual}
end

local function results_of(says)
  local list, seen = {}, {}
  for _, row in ipairs(says.rows) do
    list[#list + 1] = result_of(says.reading, row.name, row.unit, row.read, row.sd.read)
    seen[row.name] = true
  end
  for _, name in ipairs(beside) do
    local value = rawget(says.reading, name)
    if type(value) == "number" and not seen[name] then
      list[#list + 1] = result_of(says.reading, name, quantities.limited(name).unit, value, rawget(says.reading.sd, name))
    end
  end
  return list
end

local function record_of(c, record)
  local says = read.of(c, record)
  local then_c = contents.inside(says.car)
  local fact = by_kind[record.kind](c, record, says)
  fact.name, fact.kind, fact.date, fact.note, fact.stood_in = record.name, record.kind, record.date, record.note, record.file
  fact.instrument, fact.state, fact.results = instrument_of(c, record), loading.title(then_c), results_of(says)
  fact.aboard = aboard.list(then_c)
  fact.as_state = not (record.fill or record.with or record.without) -- as the state has it, nothing filled or taken out since
  fact.whole_car = record.kind ~= "assembly"
  return fact
end

-- ---- limits ------------------------------------------------------------------------------------------------------------------------

local function later(a, b) return not b or core.before(b.date or "", a.date or "") or (a.date or "") == (b.date or "") end

-- The latest record that measured the quantity in that state, and why the latest of all others does not count.
local function measured(list, quantity, state)
  local found, result, other, why
  for _, fact in ipairs(list) do
    for _, one in ipairs(fact.whole_car and fact.results or {}) do
      if one.name == quantity then
        local no
        if fact.stood_in then no = ("measured of the car as in %s"):format(fact.stood_in)
        elseif state and (fact.state ~= state or not fact.as_state) then
          no = ("measured in %s%s"):format(fact.state, fact.as_state and "" or ", loaded otherwise")
        end
        if no and later(fact, other) then other, why = fact, no
        elseif not no and later(fact, found) then found, result = fact, one end
      end
    end
  end
  return found, result, why
end

local function judged(list, limit, state)
  local q = quantities.limited(limit.quantity)
  local fact, one, why = measured(list, limit.quantity, state)
  local row = {name = limit.name, quantity = limit.quantity, label = q.label, unit = q.unit, state = state or fact and fact.state,
               min = limit.min, max = limit.max, decimals = q.decimals}
  if not fact then
    row.status, row.why = "unknown", why or "not measured"
    return row
  end
  local bound, what
  row.value, row.sd, row.half, row.decimals, row.record = one.value, one.sd, one.half, math.max(q.decimals, one.decimals), fact.name
  row.status, row.margin, bound, what = verdicts.of(one.value, one.sd, limit)
  limits.say(row, bound, what, {unit = q.unit, decimals = row.decimals})
  return row
end

--- The facts. c: inside of the car; state: only limits as they stand in that one, and what was measured in it.
function facts.of(c, state)
  local found = {records = {}, limits = {}, left_out = {}}
  for _, record in ipairs(c.shared.spec.records or {}) do
    local fine, fact = pcall(record_of, c, record)
    if fine then found.records[#found.records + 1] = fact
    elseif getmetatable(fact) == core.error_metatable then
      found.left_out[#found.left_out + 1] = ("record %s cannot be worked out: %s"):format(record.name, stood.why(c, record, fact))
    else error(fact, 0) end
  end
  local now, earlier = {}, {}
  for _, fact in ipairs(found.records) do table.insert(fact.stood_in and earlier or now, fact) end
  found.records = table.move(earlier, 1, #earlier, #now + 1, now) -- those of the car as it is come first
  for _, limit in ipairs(c.shared.spec.limits or {}) do
    for _, name in ipairs(limit.state or {state or false}) do
      found.limits[#found.limits + 1] = judged(found.records, limit, name or nil)
    end
  end
  return found
end

return facts
