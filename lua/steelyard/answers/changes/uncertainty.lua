--- How far the whole change is known: what both cars share cancels.
--
-- Two files share nothing as they are loaded. So the old ledger is edited, line by line, into the new one: what no line names keeps
-- its identity and with it its error (core/mass/ledger.h). A line that states another mass or place is stated anew and has an error
-- of its own; a group that moved takes the errors inside it along.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local shares = require "steelyard.answers.changes.shares"

local changes_doubt = {}

-- Errors that parts weighed on one scale have in common: the same scales in both, under the same numbers.
local function same_scales(a, b)
  local x, y = a.shared.spec.instruments or {}, b.shared.spec.instruments or {}
  for i = 1, math.max(#x, #y) do
    local p, q = x[i] or {}, y[i] or {}
    if p.name ~= q.name or (p.bias_sd or 0) ~= (q.bias_sd or 0) or (p.gain_sd or 0) ~= (q.gain_sd or 0) then return false end
  end
  return true
end

local function piece_route(entry) return entry.form == "pair" and entry.route .. string.pack("=I4", 0) or entry.route end

-- All that a line states now; how full a tank is comes from the load state.
local function booking_of(work, context, entry)
  local node, piece = entry.node, work.new.now:item(piece_route(entry))
  if node.kind == "tank" then
    node = build.filled(node, build.litres(node, piece.mass), piece.litres_sd)
  end
  local booking = build.booking(context, node, 1)
  if booking.fill then booking.mass = piece.mass -- its uncertainty is that of what is in it
  else booking.mass, booking.mass_sd = piece.mass, piece.mass_sd end
  booking.count, booking.fill = piece.count, booking.fill or false
  booking.inertia = booking.inertia or not booking.shape and {} or nil
  booking.carry = booking.carry or {}
  return booking
end

local function append(work, context, ledger, is)
  local parent = is.parent
  local into = parent and work.old_by_path[parent].route or ""
  local at = into .. string.pack("=I4", ledger:item(into).children)
  local builder = core.builder(work.new.geometry, ledger, into)
  build.book(context, builder, is.node)
  ledger = builder:append_to(ledger, into)
  local list, i = work.new_list, is.index
  local entry = is
  repeat -- it and what lies in it: in file order that comes next
    local route = at .. entry.route:sub(#is.route + 1)
    if entry.node.kind == "tank" then ledger = ledger:put(route, work.new.geometry, booking_of(work, context, entry)) end
    if ledger:item(route).aboard ~= entry.aboard then ledger = ledger:aboard(route, entry.aboard) end
    i = i + 1
    entry = list[i]
  until not entry or entry.route:sub(1, #is.route) ~= is.route
  return ledger
end

local function edited(work)
  local spec = work.new.shared.spec
  local context = build.context(spec, {}, work.new.shared.carriers, work.new.shared.context.scales)
  local ledger = work.ledger
  for _, line in ipairs(work.lines) do
    local was, is = line.was, line.is
    if was and is and was.form == is.form and is.form ~= "group" then
      ledger = ledger:put(was.route, work.new.geometry, booking_of(work, context, is))
      if ledger:item(was.route).aboard ~= is.aboard then ledger = ledger:aboard(was.route, is.aboard) end
    else
      if was then ledger = ledger:aboard(was.route, false) end
      if is then ledger = append(work, context, ledger, is) end
    end
  end
  return ledger
end

-- Far above rounding, far below what is printed: has the editing arrived at the new car?
local ARRIVED = 1e-9

local function equal_answers(ledger, new)
  local a = core.answers(ledger, new.geometry, shares.quantities)
  local b = core.answers(new.now, new.geometry, shares.quantities)
  for i = 1, #a do
    if not (math.abs(a[i] - b[i]) <= ARRIVED * (1 + math.abs(b[i]))) then return false end
  end
  return true
end

local function is_as_filed(c) return #c.changes == 0 and not next(c.fills) end

-- All scales of two files; one that has the same name and other errors (a new certificate) stands there twice, under two names.
local function all_scales(old, new)
  local list, taken, renamed = {}, {}, {}
  for _, instrument in ipairs(old or {}) do
    list[#list + 1], taken[instrument.name] = instrument, instrument
  end
  for _, instrument in ipairs(new or {}) do
    local there = taken[instrument.name]
    if not there then
      list[#list + 1] = instrument
    elseif there.bias_sd ~= instrument.bias_sd or there.gain_sd ~= instrument.gain_sd then
      list[#list + 1] = setmetatable({name = instrument.name .. " of the new file"}, {__index = instrument})
      renamed[instrument.name] = #list
    end
  end
  return list, renamed
end

--- Two cars of different files, loaded once more with the scales of both files, so that errors of scales can be matched. Cars that
-- were edited, and pairs whose scales are the same, come back as they are.
function changes_doubt.with_all_scales(old_car, new_car)
  local carlib = require "steelyard.car.car"
  local old, new = carlib.inside(old_car), carlib.inside(new_car)
  if old.shared == new.shared or same_scales(old, new) or not (is_as_filed(old) and is_as_filed(new)) then return old_car, new_car end
  local list, renamed = all_scales(old.shared.spec.instruments, new.shared.spec.instruments)
  local function again(c, numbers)
    local car = carlib.new(setmetatable({instruments = list}, {__index = c.shared.spec}), numbers)
    car = c.state and car:state(c.state.name) or car
    return c.label and car:named(c.label) or car
  end
  return again(old, {}), again(new, renamed)
end

--- Standard uncertainties of the changes by quantity name, or nil when it is not known what the two cars share: one of them was
-- edited after it was loaded, stand-ins are aboard, or the scales are not the same (see with_all_scales).
function changes_doubt.of(work)
  local old, new, ledger = work.old, work.new, work.new.now
  if old.shared ~= new.shared then
    if not same_scales(old, new) or new.state and new.state.stand_ins then return nil end
    ledger = edited(work)
    if not equal_answers(ledger, new) then return nil end
  end
  local list = core.change("balance", {now = old.now, geometry = old.geometry}, {now = ledger, geometry = new.geometry}, shares.quantities)
  local sd = {}
  for i, name in ipairs(shares.quantities) do sd["d_" .. name] = list[i] end
  return sd
end

return changes_doubt
