--- The car as records of it leave it: as_built.of(car, measured) gives the car with all its lines corrected, and every later question about
-- it, or about a car made from it, is asked after the records (core/mass/measured.h). A correction is not a statement: lines go on stating
-- what they state.
--
-- measured: a list of
--   name         of the record; kind = "corners", "axles", "lift" or "assembly"
--   car          the car as it then stood, in the state of the record; of this file or of another
--   keys         the wheels ("lf", ...) or axles ("front", ...) in their order, for a lift too; of an assembly those of "mass", "forward",
--                "left", "up" that were measured
--   loads        by key: kg; of an assembly kg, and mm on the vehicle (forward of the first axle line, left, up)
--   covariance   of the loads, #keys x #keys, a list of rows, in their units: what each reading has of its own and what pads share without
--                being an instrument of the file
--   height?      of the CG, mm above the ground, with height_sd
--   instruments? {[name in the file's instruments] = {bias = {by key}, gain = {by key}}}: what one kg of bias, one unit of gain error adds
--                to what is read, per load
--   of?          of an assembly: the path of the group in `car`
--   body?        true where the keys are those of an assembly but all of the car was measured, as by a lift of its side
--   state?       what the record calls its state, for sentences; else that of `car`
--
-- The car that comes back has `.fits`, `.suspect` (false, or where they do not fit {record =, sigmas =}: the record furthest from the
-- ledger), `.chi2`, `.dof` and `.p` of all records together, and `.measured`: a list, one a record, of {name =, kind =, state =, rows =
-- {{what =, unit =, read =, booked =, reconciled =, sigmas =}, ...}, loads = {by key: kg, reconciled}, chi2 =, p =, fits =}; what = "mass",
-- "forward", "left" (mm, of the CG from the first axle line and the centre plane) and "height" (mm). Records that were given to `car`
-- before count on.

local axle_places = require "steelyard.car.axle_places"
local core = require "steelyard.core"
local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local describe = require "steelyard.answers.changes.describe"
local scales = require "steelyard.measure.reconcile.given"
local loading = require "steelyard.car.loading"
local sides = require "steelyard.file.sides"
local match = require "steelyard.answers.changes.match"
local text = require "steelyard.print.text"

local as_built = {}

local FITS = 0.05 -- a chi-square that chance exceeds in fewer cases is a misfit (the 95 % of everything else here)
local CROSS = {"lf", "rf", "lr", "rr"}

local function refuse(entry, field, code, message, hint)
  core.fail{code = code, part = ("record %q"):format(entry.name), field = field, message = message, hint = hint}
end

-- ---- a car as it stood -------------------------------------------------------------------------------------------------------

-- The inside of a car without what records made of it: lines as stated.
local function as_stated(c)
  if not c.measured then return c end
  local d = contents.from(c)
  d.measured = false
  d.geometry = build.geometry(d.shared.spec, d.axles)
  return contents.inside(contents.reload(d))
end

-- A ledger that holds a group alone: all that lies beside it, or beside what it lies in, is taken out.
local function only(ledger, route)
  for last = 4, #route, 4 do
    local around, mine = route:sub(1, last - 4), route:sub(1, last)
    for _, item in ipairs(ledger:items(true, around)) do
      if #item.route == last and item.route ~= mine and item.aboard then ledger = ledger:aboard(item.route, false) end
    end
  end
  return ledger
end

local function is_body(entry) return entry.kind == "assembly" or entry.body end

-- ---- one record for the library -----------------------------------------------------------------------------------------------

-- The covariance row by row, kg and m.
local function flat(entry)
  local list = {}
  local function unit(key) return is_body(entry) and key ~= "mass" and 1e-3 or 1 end
  for i, key in ipairs(entry.keys) do
    for j, other in ipairs(entry.keys) do list[#list + 1] = entry.covariance[i][j] * (unit(key) * unit(other)) end
  end
  return list
end

-- What was read under wheels, or under axles.
local function supports_of(c, entry)
  local by_key, list, across = {}, {}, false
  for _, lateral in ipairs{false, true} do
    local keys, supports = scales.supports(c, lateral)
    for i, key in ipairs(keys) do by_key[key] = {supports[i], lateral} end
  end
  for i, key in ipairs(entry.keys) do
    if not by_key[key] then refuse(entry, key, "unknown", "is not a wheel or an axle of the car as it then stood") end
    local support, lateral = table.unpack(by_key[key])
    support.load, list[i], across = entry.loads[key], support, across or lateral
  end
  return list, across
end

-- The ledger's error of an instrument is what a part that was weighed on it lacks: so with what was read here.
local function by_keys(entry, given)
  local list = {}
  for i, key in ipairs(entry.keys) do list[i] = given and given[key] or 0 end
  return list
end

-- In the order of their names, so that the same records give the same bits.
local function instruments_of(c, entry)
  local list = {}
  for _, name in ipairs(loading.sorted_keys(entry.instruments or {})) do
    local number = c.shared.context.scales[name]
    if not number then refuse(entry, name, "unknown", "is not an instrument of the file the car as it then stood is from") end
    local by = entry.instruments[name]
    list[#list + 1] = {number = number, bias = by_keys(entry, by.bias), gain = by_keys(entry, by.gain)}
  end
  return list
end

-- Where a wheel or an axle is errs alike in all records of the same (car/axle_places.lua).
local function number_places(c, problem, keys, book)
  local stated, wheels = axle_places.of(c.shared.spec, c.axles), {}
  for _, wheel in ipairs(c.geometry:wheels()) do wheels[wheel.key] = stated[wheel.axle][sides.name(wheel.side)] end
  for i, axle in ipairs(problem.axles) do
    axle.place_error, axle.track_error = axle_places.number(book, stated[i].at), axle_places.number(book, stated[i].track)
  end
  for i, support in ipairs(problem.supports) do
    local wheel = wheels[keys[i]]
    if wheel then
      support.forward_error, support.left_error = axle_places.number(book, wheel.at), axle_places.number(book, wheel.half_track)
    else -- of two wheels that stand by themselves, where they press together
      support.forward_error = axle_places.number(book, support.forward_sd and support.forward_sd > 0
        and {who = keys[i] .. " axle", field = "where both wheels press", value = support.forward, sd = support.forward_sd} or nil)
    end
  end
end

local function problem_of(entry, book)
  local c = as_stated(contents.inside(entry.car))
  local problem = {ledger = c.now, covariance = flat(entry), instruments = instruments_of(c, entry)}
  if is_body(entry) then
    problem.body = entry.loads
    if entry.of then problem.ledger = only(c.now, require("steelyard.car.resolve").parts(c, entry.of).routes[1]) end
  else
    problem.supports, problem.lateral = supports_of(c, entry)
    problem.axles, problem.height, problem.height_sd = scales.axle_errors(c), entry.height, entry.height_sd
    number_places(c, problem, entry.keys, book)
  end
  return problem, c
end

-- ---- all of them --------------------------------------------------------------------------------------------------------------

local function joined(old, new)
  local list = {}
  for _, entry in ipairs(old) do list[#list + 1] = entry end
  for _, entry in ipairs(new) do list[#list + 1] = entry end
  return list
end

local records_of

-- Names of the records without each of which the others can be reached.
local function contrary(c, given)
  local names = {}
  for i, entry in ipairs(given) do
    local others = table.move(given, i + 1, #given, i, table.move(given, 1, i - 1, 1, {}))
    if pcall(records_of, c, others, true) then names[#names + 1] = entry.name end
  end
  return names
end

-- The library's records, and the book of where axles stand; cars of other files are joined to this one line by line. briefly: what is
-- refused is not looked into.
function records_of(c, given, briefly)
  local problems, pairings, seen, book = {}, {}, {[c.shared] = true}, axle_places.book()
  for i, entry in ipairs(given) do
    local then_stood
    problems[i], then_stood = problem_of(entry, book)
    if not seen[then_stood.shared] then
      seen[then_stood.shared] = true
      pairings[#pairings + 1] = match.pairing_of(c, then_stood)
    end
  end
  local fine, records = pcall(core.measured, c.now, problems, pairings)
  if fine then
    for number = 1, book.count do book.mean[number] = records:place(number) end
    return records, book
  end
  if getmetatable(records) ~= core.error_metatable then error(records, 0) end
  local number = tonumber(tostring(records.part):match "^record (%d+)$")
  if number then records.part = ("record %q"):format(given[number].name) end
  records.file = records.file or c.shared.file
  if records.code == "limit" and #given > 1 and not briefly then
    local names = contrary(c, given)
    records.hint = #names > 0 and ("without one of these the others can be reached: %s"):format(text.list_names(names))
      or "take fewer of them at a time"
  end
  error(records, 0)
end

-- ---- what they say ------------------------------------------------------------------------------------------------------------

local function place_row(what, f, figures)
  local read, booked = f.read / figures[1].read, f.booked / figures[1].booked
  return {what = what, unit = "mm", read = 1e3 * read, booked = 1e3 * booked, reconciled = 1e3 * f.adjusted / figures[1].adjusted,
          sigmas = (read - booked) / f.place_off_sd}
end

local function plain_row(what, unit, f, scale)
  return {what = what, unit = unit, read = scale * f.read, booked = scale * f.booked, reconciled = scale * f.adjusted,
          sigmas = (f.read - f.booked) / f.off_sd}
end

local function rows_of(entry, figures)
  local rows = {plain_row("mass", "kg", figures[1], 1)}
  local places = {"forward", "left"}
  for i = 2, #figures do
    local f = figures[i]
    if f.place_off_sd then
      rows[i] = place_row(places[i - 1], f, figures)
    else
      rows[i] = plain_row(is_body(entry) and entry.keys[i] or "height", "mm", f, 1e3)
    end
  end
  return rows
end

local function reports_of(given, records)
  local list = {}
  for i, entry in ipairs(given) do
    local r = records:record(i)
    local report = {name = entry.name, kind = entry.kind, rows = rows_of(entry, r.figures), chi2 = r.chi2, p = r.p,
                    state = entry.state or loading.title(contents.inside(entry.car)), fits = r.p >= FITS}
    if not is_body(entry) then
      report.loads = {}
      for k, key in ipairs(entry.keys) do report.loads[key] = entry.loads[key] + r.change[k] end
    end
    list[i] = report
  end
  return list
end

-- The record that is least likely of this ledger, of several that do not fit.
local function suspect_of(reports)
  local worst
  for _, report in ipairs(reports) do
    if not worst or report.p < worst.p then worst = report end
  end
  local sigmas = 0
  for _, row in ipairs(worst.rows) do sigmas = math.max(sigmas, math.abs(row.sigmas)) end
  return {record = worst.name, sigmas = sigmas}
end

-- ---- the cross weight -----------------------------------------------------------------------------------------------------------

-- What decides how wheels share a diagonal: edits of it end what was measured.
local STANDS = {"track", "half_track", "loaded_radius", "spring_rate", "tyre_rate", "bar_rate", "motion_ratio", "perch_pitch"}

local function same_axles(a, b)
  local from, to = a.geometry:wheels(), b.geometry:wheels()
  if #from ~= #to then return false end
  for i, wheel in ipairs(from) do
    if math.abs(wheel.forward - to[i].forward) > 1e-9 or math.abs(wheel.left - to[i].left) > 1e-9 then return false end
  end
  for i, axle in ipairs(a.axles) do
    for _, field in ipairs(STANDS) do
      if not describe.same(axle[field], b.axles[i][field]) then return false end
    end
    if not (describe.same(axle.left, b.axles[i].left) and describe.same(axle.right, b.axles[i].right)) then return false end
  end
  return true
end

-- The number of the last record of all four wheels, and of each reading where it stands.
local function last_corners(given)
  for i = #given, 1, -1 do
    local place, entry = {}, given[i]
    for k, key in ipairs(entry.keys) do place[key] = k end
    if entry.kind == "corners" and place.lf and place.rf and place.lr and place.rr then return i, place end
  end
end

-- {share =, state =, car =}, or nil: the share of the loads as they were read. The records take note of how it rests on their readings.
local function cross_of(c, given, records, reports)
  local i, place = last_corners(given)
  if not i or core.split(c.geometry) ~= "cross weight" then return nil end
  if not same_axles(c, as_stated(contents.inside(given[i].car))) then return nil end
  local loads, by = {}, {}
  for k, key in ipairs(CROSS) do loads[k] = given[i].loads[key] end
  local share, per_kg = core.cross_share(loads)
  for k, key in ipairs(CROSS) do by[place[key]] = per_kg[k] end
  records:beside(i, by)
  return {share = share, state = reports[i].state, car = given[i].car}
end

-- The geometry a car is balanced with; its cross weight errs as the records' readings do.
local function put_cross(d, cross)
  cross.sd = 1 -- any: how much it is, the records say
  local geometry = build.geometry(d.shared.spec, d.axles, cross, d.measured)
  local _, sds = core.ask("balance", {now = d.measured.records:correct(as_stated(d).now), geometry = geometry}, {"cross_share"}, true)
  cross.sd = sds[1]
  d.measured.cross = cross
  local stood = contents.from(contents.inside(cross.car))
  stood.measured = d.measured
  cross.stood = contents.inside(contents.reload(stood))
end

-- ---- the car ----------------------------------------------------------------------------------------------------------------------

--- The car with its lines as the records leave them; see above.
function as_built.of(car, measured)
  local c = contents.inside(car)
  local given = joined(c.measured and c.measured.given or {}, measured)
  local stated = as_stated(c)
  local records, book = records_of(stated, given)
  local reports = reports_of(given, records)
  local chi2, p, dof = records:fit()
  local names = {}
  for i, entry in ipairs(measured) do names[i] = entry.name end
  local fits = p >= FITS
  local d = contents.from(c, ("as measured by %s%s"):format(text.join(names), fits and "" or ", which the ledger does not fit"))
  d.measured = {records = records, given = given, places = book}
  local cross = cross_of(stated, given, records, reports)
  if cross then put_cross(d, cross) end
  d.geometry = build.geometry(d.shared.spec, d.axles, cross, d.measured)
  local built = contents.reload(d)
  rawset(built, "fits", fits)
  rawset(built, "suspect", not fits and suspect_of(reports))
  rawset(built, "measured", reports)
  rawset(built, "chi2", chi2)
  rawset(built, "p", p)
  rawset(built, "dof", dof)
  return built
end

return as_built
