--- car:book(what?): the ledger line by line.

local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local resolve = require "steelyard.car.resolve"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local function weighings() return require "steelyard.answers.book.weighings" end -- few ledgers have any

local function limits() return require "steelyard.answers.limits" end -- nor do those who ask for a ledger look at them

local book = {}

-- The car and the choice behind each book, for book.lines: a result itself holds only what is printed.
local sources = setmetatable({}, {__mode = "k"})

local late_fields = {
  limits = function(result)
    local c = sources[result].car
    return c.shared.spec.limits and limits().of(c) or nil
  end,
  status = function(result) return result.limits and limits().status(result.limits) end,
}

local Book = require("steelyard.reference.results").kind("book", nil, late_fields)

local TOUCH = 1e-9 -- mm: rounding of places that are exact

-- The line "unaccounted" of a group that books its gap: it is not a part that was weighed.
local function gap_line(c, route)
  local item = c.shared.context.gaps and c.base:item(route)
  for i = 0, item and item.children - 1 or -1 do
    local child = c.base:item(route .. string.pack("=I4", i))
    if c.shared.nodes[child.number].books_gap then return child end
  end
end

local letters = {"x", "y", "z"}

-- A measured CG against that of the parts: whole and gap by letter, mm in file axes, with the sd and sigmas of each gap.
local function judge_cg(c, node, ledger, route, sum, judged)
  local at, sd = node.whole.cg, node.whole.cg_sd or {}
  local x, y, z, sx, sy, sz = core.place_in_group(ledger, c.geometry, route, at, {sd[1] or 0, sd[2] or 0, sd[3] or 0})
  local measured, spread = {x = x, y = y, z = z}, {x = sx, y = sy, z = sz}
  judged.cg, judged.cg_gap, judged.cg_sd, judged.cg_sigmas = measured, {}, {}, {}
  for _, letter in ipairs(letters) do
    local one = require("steelyard.measure.closure.judge").gap(measured[letter], spread[letter], sum.cg[letter], sum.sd.cg[letter])
    judged.cg_gap[letter], judged.cg_sd[letter], judged.cg_sigmas[letter] = one.gap, one.sd, one.sigmas
    judged.closes = judged.closes and (one.closes or math.abs(one.gap) < TOUCH)
  end
end

-- Sums of a weighed assembly and its booked parts agree when the gap is within the 95 % of their joint uncertainty, and so do their CGs.
local function closure_of(c, node, route)
  local judge = require "steelyard.measure.closure.judge"
  local line = gap_line(c, route)
  local ledger = line and c.base:aboard(line.route, false) or c.base -- the parts as if nothing had been weighed
  local sum = core.item_totals(ledger, c.geometry, route)
  local whole_sd, sd = node.whole.sd, sum.sd.mass
  if node.whole.instrument then whole_sd, sd = weighings().apart(c, node.whole, ledger:items(false, route), sd) end
  local judged = judge.gap(node.whole.value, whole_sd, sum.mass, sd)
  if not judged.closes then
    judged.suspects = require("steelyard.measure.closure.slips").find(
      judge.lines_of_group(c, route), judged.gap, judged.sd, nil, node.whole)
  end
  if node.whole.cg and sum.cg then judge_cg(c, node, ledger, route, sum, judged) end
  if node.unaccounted then
    judged.booked = line and line.mass or 0
    local _, x, y, z
    if line then _, x, y, z = core.beyond_parts(c.base, c.geometry, line.route) end
    if x and (x ~= 0 or y ~= 0 or z ~= 0) then judged.moment = {x = x, y = y, z = z} end
  end
  return judged
end

local function carrier_text(node)
  if not node.unsprung then return "body" end
  local parts, sum = {}, 0
  for i, entry in ipairs(node.unsprung) do
    parts[i] = entry.fraction == 1 and entry.carrier or ("%s %s"):format(text.plain(entry.fraction), entry.carrier)
    sum = sum + entry.fraction
  end
  if sum < 1 then parts[#parts + 1] = "rest body" end
  return table.concat(parts, ", ")
end

-- Decimals of a moment in kg m. What lies below is rounding, which depends on where the file's axes start and would decide whether
-- 8.05 prints as 8.0 or 8.1.
local MOMENT_PLACES = 9

local function moment_arm(c, cg)
  local forward = c.geometry:point_in(cg.x, cg.y, cg.z)
  return -forward -- mm behind the front axle
end

-- As resolve.path, by that of the group before it.
local function path_of(c, item, paths)
  local outer = paths[item.route:sub(1, -5)]
  paths[item.route] = outer and outer .. "/" .. item.name or resolve.path(c.now, item.route)
  return paths[item.route]
end

-- kg that records add to an item and all that is in it (measure/as_built.lua); of what is not aboard as if it were.
local function correction_of(ledger, item)
  local sum = 0
  for _, inner in ipairs(item.form == "part" and {item} or ledger:items(true, item.route)) do
    if inner.mass_stated and (inner.aboard or not item.aboard) then sum = sum + (inner.mass - inner.mass_stated) * inner.count end
  end
  return sum
end

-- What a weighed whole has beyond its parts may be a moment as well, which has no place of its own.
local function add_gap(c, item, row)
  local _, x, y, z = core.beyond_parts(c.now, c.geometry, item.route)
  if not x or x == 0 and y == 0 and z == 0 and row.mass > 0 then return end
  local _, forward = core.item_sums(c.now, item.route)
  row.cg, row.gap, row.moment = nil, true, core.number(core.fixed(-forward, MOMENT_PLACES))
end

local function row_of(c, item, total, grown, paths)
  local node = c.shared.nodes[item.number]
  local t = core.item_totals(c.now, c.geometry, item.route)
  local row = {
    name = item.name, path = path_of(c, item, paths), depth = #item.route // 4 - 1, kind = node.kind, mass = t.mass,
    cg = t.cg, sd = t.sd, growth = grown[item.route] or 0, aboard = item.aboard,
    carrier = node.kind ~= "group" and carrier_text(node) or nil,
    basis = node.kind ~= "group" and growth.basis_of(node) or nil, pieces = item.form == "pair" and 2 or item.count or 1,
    unknown = node.unknown or nil, note = node.note, correction = c.measured and correction_of(c.now, item) or nil,
  }
  if row.pieces > 1 then row.each, row.sd.each = t.mass / row.pieces, t.sd.mass / row.pieces end
  if node.was or node.weighed then weighings().add(row, node) end
  if node.books_gap then add_gap(c, item, row) end
  if t.cg and row.cg then row.moment = core.number(core.fixed(t.mass * moment_arm(c, t.cg) / 1000, MOMENT_PLACES)) end
  if total > 0 and item.aboard then row.share = 100 * t.mass / total end
  if node.whole then row.closure = closure_of(c, node, item.route) end
  return row, t.parts
end

-- What the reader must know of a closure beyond its line; nil when that says all.
local words = {forward = {"forward", "back"}, back = {"back", "forward"}, left = {"left", "right"}, right = {"right", "left"},
               up = {"up", "down"}, down = {"down", "up"}}

-- "+0.05 kg, 2.0 kg m back"
local function booked_text(c, k)
  local parts = {text.signed(k.booked, 2) .. " kg"}
  for _, letter in ipairs(k.moment and letters or {}) do
    local moment = k.moment[letter]
    local way = words[c.shared.spec.axes[letter]][moment > 0 and 1 or 2]
    if math.abs(moment) >= 0.005 then parts[#parts + 1] = ("%s kg m %s"):format(text.fixed(math.abs(moment), 2), way) end
  end
  return table.concat(parts, ", ")
end

local function cg_text(c, k)
  local parts = {}
  for _, letter in ipairs(k.cg_gap and letters or {}) do
    local gap = k.cg_gap[letter]
    if not (math.abs(gap) <= text.K95 * k.cg_sd[letter] or math.abs(gap) < TOUCH) then
      parts[#parts + 1] = ("%s +- %s mm %s"):format(text.fixed(math.abs(gap), 1), text.fixed(text.K95 * k.cg_sd[letter], 1),
        words[c.shared.spec.axes[letter]][gap > 0 and 1 or 2])
    end
  end
  return #parts > 0 and "; measured CG lies " .. table.concat(parts, ", ") .. " of the parts'" or ""
end

local function closure_note(c, name, k)
  local weighed = ("weighed whole %s kg, booked parts %s kg"):format(text.fixed(k.whole, 1), text.fixed(k.sum, 1))
  local booked = (k.booked or 0) ~= 0 or k.moment
  if k.closes then return booked and ("%s counts as weighed: unaccounted %s"):format(name, booked_text(c, k)) or nil end
  local suspects = k.suspects and require("steelyard.measure.closure.suspects").sentence(k.suspects, 1)
  return ("%s does not close: %s%s%s%s"):format(name, weighed, cg_text(c, k),
    booked and ", the gap booked as unaccounted: " .. booked_text(c, k) or "", suspects and "; " .. suspects or "")
end

local function wanted(c, what)
  if what == nil then return nil end
  return resolve.parts(c, what).routes
end

-- Weighed by each instrument, of what is asked for; nil when none of them weighed anything.
local function by_scale(c, routes)
  local list, items = {}, {}
  for _, item in ipairs(c.shared.spec.instruments and c.now:items(false) or {}) do
    if resolve.within(item.route, routes) then items[#items + 1] = item end
  end
  for _, instrument in ipairs(c.shared.spec.instruments or {}) do
    list[#list + 1] = weighings().on_scale(c, instrument, items)
  end
  return #list > 0 and list or nil
end

local function add_to(list, by_key, key, mass, parts)
  local entry = by_key[key]
  if not entry then
    entry = {name = key, mass = 0, parts = 0}
    by_key[key], list[#list + 1] = entry, entry
  end
  entry.mass, entry.parts = entry.mass + mass, entry.parts + parts
end

-- What is asked for of the items: those in it, or the piece of a pair that is named itself.
local function items_asked(c, routes)
  local list = {}
  for _, item in ipairs(c.now:items(false)) do
    if resolve.within(item.route, routes) then list[#list + 1] = item end
  end
  for _, route in ipairs(routes or {}) do
    local item = c.now:item(route)
    if item.side then list[#list + 1] = item end
  end
  return list
end

--- rows, total, by_basis, by_group; see the reference page
function book.of(c, self, what)
  local routes = wanted(c, what)
  local b = core.balance(c.now, c.geometry)
  local result = {rows = {}, state = loading.title(c), heading = self:heading(), notes = notes.gaps_and_height(c, b), by_basis = {},
                  by_group = {}, sd = {}}
  local bases, groups, grown, paths = {}, {}, growth.by_route(c), {}
  local any = false
  for _, item in ipairs(items_asked(c, routes)) do
    local row, parts = row_of(c, item, b.mass, grown, paths)
    result.rows[#result.rows + 1], any = row, any or row.aboard
    if row.aboard and row.kind ~= "group" then add_to(result.by_basis, bases, row.basis, row.mass, parts) end
    if row.aboard and #item.route == 4 then add_to(result.by_group, groups, row.name, row.mass, parts) end
    if row.closure then result.notes[#result.notes + 1] = closure_note(c, row.name, row.closure) end
  end
  if not any then
    local said = require("steelyard.answers.edit_notes").not_aboard(loading.title(c), resolve.what(c, what).label)
    result.notes[#result.notes + 1] = said .. ": in no total"
  end
  result.by_scale = by_scale(c, routes)
  result.total = {mass = b.mass, cg = b.cg, mass_with_growth = growth.total(c, b.mass)}
  for _, item in ipairs(c.measured and c.now:items(false) or {}) do
    if #item.route == 4 and item.aboard then result.total.correction = (result.total.correction or 0) + correction_of(c.now, item) end
  end
  result.sd = {mass = b.sd.mass, cg = b.sd.cg}
  sources[result] = {car = c, routes = routes}
  return origin.of_car(figures.keep(setmetatable(result, Book), c, b.mass), c)
end

--- The parts of a book, groups left out, as the ledger has them: the inside of the car, and a list of {name, group = path or
-- nil, node, item, sides = {left, right} of a pair}; items as ledger:items gives them. Third, the groups: {name, group, node, item,
-- before = the number of the line that follows}.
function book.lines(result)
  local source = sources[result]
  if not source then core.fail{code = "type", message = "the result of car:book is needed"} end
  local c, lines, groups, pair = source.car, {}, {}, nil
  for _, item in ipairs(c.now:items(true)) do
    if item.side and pair then
      pair.sides[#pair.sides + 1] = item
    elseif item.form ~= "group" and resolve.within(item.route, source.routes) then
      local line = {name = item.name, group = resolve.path(c.now, item.route):match "^(.*)/[^/]*$", item = item,
                    node = c.shared.nodes[item.number]}
      lines[#lines + 1] = line
      pair = item.form == "pair" and line or nil
      if pair then pair.sides = {} end
    else
      pair = nil
      if item.form == "group" and resolve.within(item.route, source.routes) then
        groups[#groups + 1] = {name = item.name, group = resolve.path(c.now, item.route):match "^(.*)/[^/]*$", item = item,
                               node = c.shared.nodes[item.number], before = #lines + 1}
      end
    end
  end
  return c, lines, groups
end

-- Places of all masses: one, or two where most lines are known so well that one would round their uncertainty up to itself.
local function decimals_of(rows)
  local fine, stated = 0, 0
  for _, row in ipairs(rows) do
    if row.kind ~= "group" and row.sd.mass > 0 then
      stated = stated + 1
      if text.K95 * row.sd.mass < 0.05 then fine = fine + 1 end
    end
  end
  return 2 * fine > stated and 2 or 1
end

--- Decimals of its masses as printed.
function book.mass_decimals(result) return math.max(decimals_of(result.rows), figures.kg(result, 1)) end

local function mass_text(row, decimals)
  if row.unknown then return "unknown" end
  if row.gap then return text.signed(row.mass, math.max(decimals, 2)) end
  return text.plus_minus(row.mass, row.sd.mass, decimals)
end

local function name_text(row)
  local name = ("  "):rep(row.depth) .. row.name
  if row.pieces > 1 then
    name = ("%s x %d, %s each"):format(name, row.pieces, text.fixed(row.each, row.each < 1 and 3 or 1)) -- small pieces in grams
  end
  return row.aboard and name or name .. " (not aboard)"
end

-- Said once below the table, not in every row.
local REST = ", rest body$"

local function cells_of(row, decimals, mm, moment)
  local cg = row.cg or {}
  local function place(letter) return cg[letter] and text.fixed(cg[letter], mm) or "" end
  return {name_text(row), mass_text(row, decimals), place "x", place "y", place "z", row.moment and text.fixed(row.moment, moment) or "",
          row.share and text.fixed(row.share, 1) or "", row.basis or "", row.carrier and row.carrier:gsub(REST, "") or ""}
end

local function table_text(result)
  local headings = {{"part", "%s"}, {"mass, kg", "%s"}, {"x", "%s"}, {"y", "%s"}, {"z, mm", "%s"}, {"moment, kg m", "%s"},
                 {"share, %", "%s"}, {"basis", "%s"}, {"carried by", "%s"}}
  local rows, decimals = {}, book.mass_decimals(result)
  local mm, moment = figures.mm(result, 0), figures.kg(result, 1)
  local corrected = result.total.correction
  if corrected then table.insert(headings, 3, {"corrected by", "%s"}) end
  local function put(cells, correction)
    if corrected then table.insert(cells, 3, correction and correction ~= 0 and text.signed(correction, decimals) or "") end
    rows[#rows + 1] = cells
  end
  for _, row in ipairs(result.rows) do
    put(cells_of(row, decimals, mm, moment), row.correction)
    local k, below = row.closure, ("  "):rep(row.depth + 1)
    if row.was then
      local label, mass, basis = weighings().before(row, decimals)
      put{below .. label, mass, "", "", "", "", "", basis, ""}
    end
    if k then
      put{below .. ("weighed whole %s, gap %s kg: %s"):format(text.fixed(k.whole, 1), text.signed(k.gap, 1),
        k.closes and "closes" or "does not close"), "", "", "", "", "", "", "", ""}
    end
  end
  local total = result.total
  put({"total", text.plus_minus(total.mass, result.sd.mass, decimals), text.fixed(total.cg.x, mm), text.fixed(total.cg.y, mm),
       text.fixed(total.cg.z, mm), "", "", "", ""}, corrected)
  return text.table(headings, rows)
end

function Book.__tostring(result)
  local lines = {page.heading(result.heading), table_text(result)}
  local basis = {}
  for i, entry in ipairs(result.by_basis) do
    basis[i] = ("%s %s kg in %d"):format(entry.name, text.fixed(entry.mass, figures.kg(result, 1)), entry.parts)
  end
  for _, row in ipairs(result.rows) do
    if row.carrier and row.carrier:find(REST) then
      lines[#lines + 1] = "Of what is carried in part by an axle or a wheel, the body carries the rest."
      break
    end
  end
  if #basis > 0 then lines[#lines + 1] = "By basis: " .. table.concat(basis, ", ") .. "." end
  for _, entry in ipairs(result.by_scale or {}) do lines[#lines + 1] = weighings().scale_text(entry) end
  local chosen = sources[result] and sources[result].routes -- all records of a whole car would bury its table
  for _, row in ipairs(chosen and result.rows or {}) do
    if row.weighed then lines[#lines + 1] = text.sentence(weighings().record_text(row)) end
  end
  return page.of(result, lines)
end

return book
