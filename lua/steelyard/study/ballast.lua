--- car:ballast{target =, slots =, ...}: the least mass in slots that brings shares, loads or places where they are wanted.
--
-- The search is the core's (core/study/pack.h): every combination of steps is tried or shown to be no better. Here the cars are made that
-- it asks, and what it finds is put into the car as parts and asked again.

local core = require "steelyard.core"
local asking = require "steelyard.answers.asking"
local compare = require "steelyard.answers.compare"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local given = require "steelyard.study.ballast.given"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local outputs_of = require "steelyard.study.outputs"
local phrases = require "steelyard.study.phrases"
local progress = require "steelyard.study.progress"
local quantities = require "steelyard.reference.quantities"
local resolve = require "steelyard.car.resolve"
local rows_of = require "steelyard.study.ballast.rows"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local why = require "steelyard.study.ballast.why"

local ballast = {}
local Ballast = require("steelyard.reference.results").kind "ballast"

-- How much a slot may be thought to hold when it is asked what would do: times the car's mass; more would help nobody.
local MOST_TIMES = 1

local usual = {"mass", "front_share", "left_share", "height", "yaw_inertia"}

-- ---- cars -------------------------------------------------------------------------------------------------------------------

local function name_of(slot, into) return into and into .. "/" .. slot.name or slot.name end

-- The car with so much in each slot.
local function loaded(car, s, masses)
  for k, slot in ipairs(s.slots) do
    if masses[k] > 0 then
      car = contents.retold(car:add(given.part(slot, masses[k]), slot.into), contents.inside(car),
        phrases.of_slot(slot, masses[k]) or ("ballast %s at %s"):format(text.plain(masses[k]), slot.name))
    end
  end
  return car
end

-- The same car in the state or with the fills of an entry of rows.of.
local function as_entry(car, entry, finish)
  if entry.state then return car:state(entry.state) end
  return entry.label == "finish" and car:fill(finish) or car
end

-- The car with 1 kg in a slot. What is wrong with the part is said of the slot.
local function probe_of(self, slot, k)
  local fine, a = pcall(self.add, self, given.part(slot, 1), slot.into)
  if fine then return a end
  if type(a) == "table" and a.message then
    local piece = a.part and a.field and "." .. a.field or not a.part and slot.into and ".into" or ""
    a.field, a.part, a.kind, a.file, a.line = ("slots[%d]%s"):format(k, piece), nil, nil, nil, nil
  end
  error(a, 0)
end

-- By car: ledgers with 1 kg in each slot. What an error is about is the slot.
local function probes_of(self, s, found, finish)
  local lists = {}
  for i in ipairs(found.cars) do lists[i] = {} end
  for k, slot in ipairs(s.slots) do
    local probe = probe_of(self, slot, k)
    for i, entry in ipairs(found.cars) do
      local with = contents.inside(as_entry(probe, entry, finish)).now
      lists[i][k] = with
      local b, a = core.answers(with, entry.c.geometry, {"mass"})[1], core.answers(entry.c.now, entry.c.geometry, {"mass"})[1]
      if not (math.abs(b - a - 1) < 1e-6) then
        core.fail{code = "clash", field = ("slots[%d]"):format(k), message = ("%q is not aboard (%s)"):format(
          name_of(slot, slot.into), loading.title(entry.c)),
          hint = slot.into and ("its group %q is not"):format(slot.into) or "a mock-up has nothing but stand-ins"}
      end
    end
  end
  return lists
end

-- ---- units ------------------------------------------------------------------------------------------------------------------

local function unmoved(row)
  core.fail{code = "range", field = "target." .. row.name, message = "is changed by nothing that is put into these slots",
            hint = outputs_of.why_unmoved(row.quantity)}
end

-- What each row counts its misses in, and the rows that ballast changes.
local function with_units(request, kept, r)
  local units, base = core.pack_effects(request)
  local rows, list = {}, {}
  for i, row in ipairs(kept) do
    row.now = base[i] + row.shift
    local moves = units[i] > 1e-12 * math.abs(base[i])
    if row.kind == "target" then
      if base[i] ~= base[i] then
        core.fail{code = "unavailable", field = "target." .. row.name, message = "is not known of this vehicle"}
      end
      if not moves then unmoved(row) end
      row.unit_of_miss = row.within or units[i]
      r.within[row.name] = row.unit_of_miss
      if not row.within then r.within_by_step[#r.within_by_step + 1] = row.name end
    elseif moves then
      row.unit_of_miss = units[i]
    else
      row.fixed = true
      local at = row.now
      row.broken = at ~= at or row.min and at < row.min or row.max and at > row.max
    end
    if not row.fixed then
      request.rows[i].unit = row.unit_of_miss
      rows[#rows + 1], list[#list + 1] = request.rows[i], row
    end
  end
  request.rows = rows
  return list
end

-- ---- what came out ----------------------------------------------------------------------------------------------------------

local function placed_of(s, found)
  local list, added = {}, 0
  for k, slot in ipairs(s.slots) do
    local mass = found.mass[k]
    local step = slot.step or 0.001
    list[k] = {name = slot.name, mass = mass, at = given.place(slot), steps = found.steps[k], step = slot.step, max = slot.max,
               full = mass + step > slot.max + 1e-9}
    added = added + mass
  end
  return list, added
end

-- The quantities that a change is shown of: the usual ones and the targets.
local function shown(s)
  local names, seen = {}, {}
  for _, name in ipairs(usual) do names[#names + 1], seen[name] = name, true end
  for _, t in ipairs(s.targets) do
    if not seen[t.name] then names[#names + 1] = t.name end
  end
  return names
end

local function balance_with_changes(before, after, s)
  local b = after:balance()
  b.changes, b.changes_sd = {}, {}
  for _, row in ipairs(compare.of{before, after, show = shown(s)}.rows) do
    if type(row.changes[2]) == "number" then b.changes[row.name], b.changes_sd[row.name] = row.changes[2], row.sd[2] end
  end
  return b
end

local function reached_of(list, values)
  local reached, misses = {}, {}
  for i, row in ipairs(list) do
    if row.kind == "target" then
      reached[row.name] = values[i]
      misses[row.name] = values[i] - row.target
    end
  end
  return reached, misses
end

-- Of what is reached, by quantity.
local function uncertainties(s, car)
  local sds = {}
  for _, t in ipairs(s.targets) do
    local _, sd = asking.quantity(contents.inside(car), {set = t.out.set, of = t.out.q and t.out.q.of, answer = t.out.answer})
    sds[t.name] = sd
  end
  return sds
end

local function minimum_of(s, car)
  if not s.minimum then return nil end
  local b = car:balance()
  local status, margin = verdicts.of(b.mass, b.sd.mass, {min = s.minimum})
  if status ~= "fail" and b.unknown > 0 then status = "pass" end -- only more can come
  return {asked = s.minimum, mass = b.mass, margin = margin, sd = b.sd.mass, status = status}
end

-- What keeps it from being less: full slots and limits, with the kilograms that more room would save.
local function binding_of(s, list, found)
  local binding = {}
  for k, slot in ipairs(s.slots) do
    if found.slot_gain[k] > 1e-9 then
      binding[#binding + 1] = {kind = "slot", name = slot.name, value = slot.max, unit = "kg", gain = found.slot_gain[k]}
    end
  end
  for i, row in ipairs(list) do
    if found.row_gain[i] > 1e-9 then
      binding[#binding + 1] = {kind = row.kind, name = row.name, value = found.values[i] + row.shift, unit = row.unit,
                               gain = found.row_gain[i]}
    end
  end
  return binding
end

-- ---- notes ------------------------------------------------------------------------------------------------------------------

local function add_row_notes(list, rows, unknown)
  for _, row in ipairs(rows) do
    if row.fixed and row.broken then
      list[#list + 1] = ("the limit %s is broken with and without ballast: nothing in these slots changes it"):format(row.name)
    end
  end
  for _, u in ipairs(unknown) do
    list[#list + 1] = ("the limit %s is not looked at: %s"):format(u.row.name, u.why or u.row.quantity .. " is not known for this car")
  end
end

local CAUTION = "bolt ballast down through structure so that it takes tools to remove, as the rules you run to say; a piece that comes "
  .. "loose in a crash kills (common practice, no source): this is arithmetic, not approval"

-- Ballast is a part like others: what is not stated of it counts as exact.
local function booked_as(c)
  local assume = c.shared.spec.assume or {}
  local words = assume.weighed and "mass as good as the file assumes of weighed parts" or "mass exact, as cut to the scale"
  return ("ballast is booked as weighed parts named as the slots: %s, place %s"):format(words, assume.within_mm
    and "within the file's limits" or "exact")
end

-- Names are unique among siblings alone, and a bare one that fits two parts means neither.
local function name_notes(c, a)
  local list = {}
  for _, p in ipairs(a.placed) do
    if p.mass > 0 and resolve.has(c, p.name) then
      list[#list + 1] = ("something else in this car is called %s too: a slot with a name of its own can be spoken of by it"):format(
        text.name(p.name))
    end
  end
  return list
end

local function grain_note(s)
  local names = {}
  for _, slot in ipairs(s.slots) do names[#names + 1] = not slot.step and text.name(slot.name) or nil end
  if not names[1] then return nil end
  return ("%s %s no step: filled to the gram"):format(text.join(names), names[2] and "have" or "has")
end

-- What the core finds; a search that takes long says so.
local function search(request, quiet)
  local line <close> = progress.new{label = ("ballast in %s"):format(text.count(#request.slots, "slot")), quiet = quiet}
  return core.pack(request, function(boxes) line:search(boxes, "boxes of masses searched") end)
end

-- ---- all --------------------------------------------------------------------------------------------------------------------

-- The result of masses: what is placed, the car with it, and what that comes to.
local function filled(self, s, o, list, found)
  local a = {}
  a.placed, a.added = placed_of(s, found)
  a.car, a.what_if = loaded(self, s, found.mass), phrases.of_slots(s.slots, found.mass)
  a.after = balance_with_changes(self, a.car, s)
  local finish = s.finish and a.car:fill(o.finish)
  a.after_finish = finish and balance_with_changes(s.finish, finish, s) or nil
  a.minimum = minimum_of(s, finish or a.car)
  a.reached, a.misses = reached_of(list, found.values)
  a.height_cost, a.yaw_cost = a.after.changes.height, a.after.changes.yaw_inertia
  return a
end

--- The result table of car:ballast.
function ballast.of(c, self, o)
  loading.need_mass(c)
  local s = given.of(c, self, o)
  local found = rows_of.of(self, s)
  local probes = probes_of(self, s, found, o.finish)
  local r = {state = loading.title(c), heading = self:heading(), target = {}, within = {}, within_by_step = {}, notes = {}}
  for _, t in ipairs(s.targets) do r.target[t.name] = t.value end
  local request, kept, unknown = rows_of.for_core(found, probes)
  for _, u in ipairs(unknown) do
    if u.row.kind == "target" then
      core.fail{code = "unavailable", field = "target." .. u.row.name, message = u.why or "is not known of this vehicle",
                hint = not u.why and (u.row.set == "corners" or u.row.set == "attitude") and "it rests on spring and tyre rates" or nil}
    end
  end
  request.slots, request.most = s.slots, math.min(1e6, MOST_TIMES * core.answers(c.now, c.geometry, {"mass"})[1])
  local list = with_units(request, kept, r)
  local packed = search(request, s.quiet)
  local a = filled(self, s, o, list, packed)
  r.possible = packed.possible
  if r.possible then
    for key, value in pairs(a) do r[key] = value end
    r.binding = binding_of(s, list, packed)
  else
    a.hinders = why.hinders(s, list, packed, a.placed)
    r.nearest, r.why = a, why.text(a.hinders, packed.limits_hold, s.minimum)
  end
  r.asked = why.asked(list)
  r.notes[1] = grain_note(s)
  table.move(found.notes, 1, #found.notes, #r.notes + 1, r.notes)
  add_row_notes(r.notes, kept, unknown)
  r.notes[#r.notes + 1] = a.added > 0 and booked_as(c) or nil
  local names = name_notes(c, a)
  table.move(names, 1, #names, #r.notes + 1, r.notes)
  local gaps = notes.gaps_and_height(c, core.balance(c.now, c.geometry))
  table.move(gaps, 1, #gaps, #r.notes + 1, r.notes)
  r.notes[#r.notes + 1] = CAUTION
  r.sd, r.limits = uncertainties(s, a.car), a.after.limits
  r.status = not r.possible and "fail" or a.after.status
  r.tried = {boxes = packed.boxes, combinations = packed.tried}
  return origin.of_car(figures.keep(setmetatable(r, Ballast), c), c)
end

-- Of tables by quantity.
function Ballast.__units(r)
  local units = {}
  local function note(path, names)
    for name in pairs(names or {}) do
      local q = quantities.limited(name)
      units[path .. "." .. name] = q.unit ~= "" and q.unit or nil
    end
  end
  note("target", r.target)
  note("within", r.within)
  for path, a in pairs{[""] = r, ["nearest."] = r.nearest or {}} do
    note(path .. "reached", a.reached)
    note(path .. "misses", a.misses)
    for _, sheet in ipairs{"after", "after_finish"} do
      for _, field in ipairs{"changes", "changes_sd"} do note(path .. sheet .. "." .. field, a[sheet] and a[sheet][field]) end
    end
  end
  return units
end

function Ballast.__tostring(r) return require("steelyard.study.ballast.print").page(r) end

return ballast
