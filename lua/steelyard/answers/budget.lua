--- The mass budget: what is booked, what it may still grow by, and what is left under a target. Growth and uncertainty stand in
-- columns of their own and are never added up.

local core = require "steelyard.core"
local growth = require "steelyard.answers.growth"
local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local origin = require "steelyard.print.origin"
local rates = require "steelyard.file.growth_rates"
local resolve = require "steelyard.car.resolve"
local page = require "steelyard.print.page"
local quantities = require "steelyard.reference.quantities"
local sensitivity = require "steelyard.study.sensitivity"
local text = require "steelyard.print.text"

local budget = {}
local Budget = require("steelyard.reference.results").kind "budget"

-- ---- options ------------------------------------------------------------------------------------------------------------

local function one_of(word, list, field)
  for _, known in ipairs(list) do
    if word == known then return word end
  end
  local near = core.nearest(tostring(word), list)
  core.fail{code = "unknown", field = field, message = ("%s is not one of %s"):format(text.named(word), text.join(list, "or")),
            hint = near and ("did you mean %q?"):format(near) or nil}
end

local fields = {"target", "practice", "growth", "category", "top", "for"}

local function check(options)
  for key in pairs(options) do one_of(key, fields, "options") end
  one_of(options.practice or "european", rates.practices, "practice")
  for basis, rate in pairs(options.growth or {}) do
    one_of(basis, rates.bases, "growth")
    if type(rate) == "string" then
      one_of(rate, {"E", "L", "P", "C", "X", "A", "CFE"}, "growth")
    elseif not (rate >= 0 and rate <= 1000) then
      core.fail{code = "range", field = "growth", message = ("%s: %s %% is not between 0 and 1000"):format(basis, text.plain(rate))}
    end
  end
  for _, category in pairs(options.category or {}) do one_of(category, rates.categories(), "category") end
  local target = options.target
  if target and not (target > 0 and target < math.huge) then
    core.fail{code = "range", field = "target", message = ("must be above 0 kg, is %s"):format(text.plain(target))}
  end
end

-- ---- allowances -----------------------------------------------------------------------------------------------------------

local DEFAULT_CATEGORY = "structure_mechanisms"

-- Route -> kind of hardware, for every part, group or tag that was named.
local function categories_of(c, given)
  local by_route = {}
  for _, name in ipairs(loading.sorted_keys(given)) do
    for _, route in ipairs(resolve.parts(c, name).routes) do by_route[route] = given[name] end
  end
  return by_route
end

-- A part's own kind goes before that of a group around it.
local function category_of(route, by_route)
  for last = #route, 4, -4 do
    local category = by_route[route:sub(1, last)]
    if category then return category end
  end
  return DEFAULT_CATEGORY
end

local function rate_of(options, basis, category)
  local given = options.growth and options.growth[basis]
  if type(given) == "number" then return given / 100 end
  if given then return rates.of(category, given) end
  if options.practice == "s120" then return rates.of(category, rates.step_of_basis[basis]) end
  return rates.european[basis]
end

local function line_of(c, item, options, by_route)
  local node = c.shared.nodes[item.number]
  local t = core.item_totals(c.now, c.geometry, item.route)
  local function rate_asked(piece) return rate_of(options, piece.basis or "estimate", category_of(item.route, by_route)) end
  return {name = item.name, top = item.route:sub(1, 4), mass = t.mass, sd = t.sd.mass, basis = growth.basis_of(node),
          own = node.growth ~= nil, growth = growth.of_line(c, item, rate_asked)}
end

local function lines_of(c, options)
  local lines, by_route = {}, categories_of(c, options.category)
  for _, item in ipairs(c.now:items(false)) do
    if item.form ~= "group" and item.aboard then lines[#lines + 1] = line_of(c, item, options, by_route) end
  end
  return lines
end

-- ---- sums -----------------------------------------------------------------------------------------------------------------

local function add(list, by_key, key, line, make)
  local entry = by_key[key]
  if not entry then
    entry = make()
    entry.mass, entry.growth, entry.parts = 0, 0, 0
    by_key[key], list[#list + 1] = entry, entry
  end
  entry.mass, entry.growth, entry.parts = entry.mass + line.mass, entry.growth + line.growth, entry.parts + 1
end

local function groups_of(c, lines)
  local list, by_route = {}, {}
  for _, line in ipairs(lines) do
    add(list, by_route, line.top, line, function()
      local sd = core.item_totals(c.now, c.geometry, line.top).sd.mass
      return {name = c.now:item(line.top).name, sd = {mass = sd}}
    end)
  end
  for _, group in ipairs(list) do group.mass_with_growth = group.mass + group.growth end
  return list
end

local function bases_of(lines)
  local found, by_basis = {}, {}
  for _, line in ipairs(lines) do
    add(found, by_basis, line.basis, line, function() return {name = line.basis} end)
  end
  local list = {}
  for _, basis in ipairs(rates.bases) do list[#list + 1] = by_basis[basis] end
  list[#list + 1] = by_basis.stated
  return list
end

-- The lines that matter most: by the larger of 95 % uncertainty and allowance.
local function movers_of(lines, count)
  local list = {}
  for i, line in ipairs(lines) do
    local uncertainty = text.K95 * line.sd
    list[i] = {name = line.name, mass = line.mass, sd = {mass = line.sd}, growth = line.growth, basis = line.basis,
               size = math.max(uncertainty, line.growth), at = i}
  end
  table.sort(list, function(a, b)
    if a.size ~= b.size then return a.size > b.size end
    return a.at < b.at
  end)
  local top = {}
  for i = 1, math.min(count, #list) do
    if list[i].size == 0 then break end
    top[i] = list[i]
    top[i].size, top[i].at = nil, nil
  end
  return top
end

-- What the uncertainty of one quantity comes from, as sy.sensitivity shares it out.
local function counts_of(car, quantity, count)
  local fine, r = pcall(sensitivity.of, {car, show = {quantity}, steps = 0, top = count})
  if not fine then
    if type(r) == "table" and r.field == "show" then r.field = "for" end
    error(r, 0)
  end
  local name = r.names[1]
  local of, rows = r.quantities[name], {}
  for i, row in ipairs(of) do
    rows[i] = {name = row.what, path = row.path, field = row.field, sigma = row.sigma, input_unit = row.input_unit, change = row.change,
               variance_share = row.variance_share}
  end
  return {quantity = name, unit = of.unit, value = of.value, sd = of.sd, rows = rows, rest_share = of.rest_share}
end

local function judge(result, target, unknown)
  local left, sd = target - result.total.mass_with_growth, result.sd.mass
  result.target, result.headroom = target, {booked = target - result.total.mass, with_growth = left}
  if left < 0 then
    result.status, result.why = "fail", ("%s kg over the target with growth"):format(text.fixed(-left, 1))
  elseif unknown > 0 then
    result.status, result.why = "unknown", ("%s without a known mass"):format(text.count(unknown, "part"))
  elseif left < text.K95 * sd then
    result.status, result.why = "near", ("%s kg inside with growth, less than the uncertainty of what is booked"):format(
      text.fixed(left, 1))
  else
    result.status, result.why = "pass", ("%s kg inside with growth"):format(text.fixed(left, 1))
  end
end

local practice_words = {
  european = "ESA SRE-PA/2011.097 (2012): at most 20 % for new designs, 10 % after minor changes, 5 % off the shelf",
  s120 = "a table of the ANSI/AIAA S-120 family (attribution from memory), by kind of hardware",
}

-- "estimate L (layout), supplier 3 %"
local function asked_text(asked)
  local list = {}
  for _, basis in ipairs(rates.bases) do
    local rate = asked[basis]
    if rate then
      list[#list + 1] = type(rate) == "number" and ("%s %s %%"):format(basis, text.plain(rate))
        or ("%s %s of s120 (%s)"):format(basis, rate, rates.step_words[rate])
    end
  end
  return table.concat(list, ", ")
end

local function all_notes(c, b, options, lines)
  local own = 0
  for _, line in ipairs(lines) do own = own + (line.own and 1 or 0) end
  local list = {"growth allows for work still to be done; it is not an uncertainty and not in any +-"}
  if own > 0 then list[#list + 1] = ("%s an allowance of %s own in the file"):format(text.count(own, "part has", "parts have"),
    own == 1 and "its" or "their") end
  if own < #lines then list[#list + 1] = "the others by basis, after " .. practice_words[options.practice or "european"] end
  if next(options.growth or {}) then list[#list + 1] = "but as asked: " .. asked_text(options.growth) end
  for _, note in ipairs(notes.gaps(c, b)) do list[#list + 1] = note end
  return list
end

--- budget.of(car, options): groups (name, parts, mass, sd, growth, mass_with_growth), by_basis, movers, total, and with a target
-- headroom {booked, with_growth}, status, why; asked for a quantity, counts {quantity, unit, value, sd, rows (name, path, field, sigma,
-- input_unit, change, variance_share), rest_share}, the largest share of the variance first.
-- options: target in kg; practice "european" or "s120"; growth = {estimate = 15} in percent or a step of s120 such as "L"; category =
-- {electrics = "wiring_instrumentation"} by name or tag; top, how many movers (5); for, the quantity that lines count in ("front_share").
function budget.of(self, options)
  options = options or {}
  local c = contents.inside(self)
  check(options)
  local b, lines = core.balance(c.now, c.geometry), lines_of(c, options)
  local result = {groups = groups_of(c, lines), by_basis = bases_of(lines), movers = movers_of(lines, options.top or 5),
    state = loading.title(c), heading = self:heading(), notes = all_notes(c, b, options, lines), sd = {mass = b.sd.mass},
    total = {mass = b.mass, growth = 0}}
  for _, group in ipairs(result.groups) do result.total.growth = result.total.growth + group.growth end
  result.total.mass_with_growth = result.total.mass + result.total.growth
  for _, basis in ipairs(result.by_basis) do basis.share = 100 * basis.mass / b.mass end
  if options.target then judge(result, options.target, b.unknown) end
  if options["for"] ~= nil then result.counts = counts_of(self, options["for"], options.top or 5) end
  return origin.of_car(setmetatable(result, Budget), c)
end

-- ---- printing ----------------------------------------------------------------------------------------------------------------

local function kg(x) return text.fixed(x, 1) end

local function group_table(result)
  local rows = {}
  for _, g in ipairs(result.groups) do
    rows[#rows + 1] = {g.name, text.plain(g.parts), text.plus_minus(g.mass, g.sd.mass, 1), kg(g.growth), kg(g.mass_with_growth)}
  end
  local t = result.total
  rows[#rows + 1] = {"total", "", text.plus_minus(t.mass, result.sd.mass, 1), kg(t.growth), kg(t.mass_with_growth)}
  if result.target then
    rows[#rows + 1] = {"target", "", kg(result.target), "", kg(result.target)}
    rows[#rows + 1] = {"headroom", "", text.plus_minus(result.headroom.booked, result.sd.mass, 1), "", kg(result.headroom.with_growth)}
  end
  return text.table({{"group", "%s"}, {"lines", "%s"}, {"booked, kg", "%s"}, {"growth, kg", "%s"}, {"with growth, kg", "%s"}}, rows)
end

local function basis_table(result)
  local rows = {}
  for _, basis in ipairs(result.by_basis) do
    local rate = basis.mass > 0 and text.fixed(100 * basis.growth / basis.mass, 1) or ""
    rows[#rows + 1] = {basis.name, text.plain(basis.parts), kg(basis.mass), kg(basis.share), kg(basis.growth), rate}
  end
  return text.table({{"basis", "%s"}, {"lines", "%s"}, {"booked, kg", "%s"}, {"share, %", "%s"}, {"growth, kg", "%s"},
                     {"growth, %", "%s"}}, rows)
end

local function mover_table(result)
  local rows = {}
  for _, m in ipairs(result.movers) do
    rows[#rows + 1] = {m.name, kg(m.mass), text.fixed(text.K95 * m.sd.mass, 1), kg(m.growth), m.basis}
  end
  return text.table({{"counts most", "%s"}, {"booked, kg", "%s"}, {"+-, kg", "%s"}, {"growth, kg", "%s"}, {"basis", "%s"}}, rows)
end

-- "1.7 kg", "20.4 mm": 95 % to three figures at most
local function known_to(row)
  if not row.sigma then return "" end
  local wide = text.K95 * row.sigma
  return ("%s %s"):format(text.fixed(wide, wide >= 10 and 0 or wide >= 1 and 1 or 2), row.input_unit or "")
end

local function counts_table(counts)
  local q = quantities.find(counts.quantity)
  local label, decimals = q and q.label or counts.quantity, (q and q.decimals or 2) + 1
  local unit = counts.unit ~= "" and ", " .. counts.unit or ""
  local rows = {}
  for _, row in ipairs(counts.rows) do
    rows[#rows + 1] = {row.name, row.field, known_to(row), text.fixed(text.K95 * math.abs(row.change), decimals), kg(row.variance_share)}
  end
  if counts.rest_share > 0 then rows[#rows + 1] = {"all others", "", "", "", kg(counts.rest_share)} end
  rows[#rows + 1] = {"together", "", "", text.fixed(text.K95 * counts.sd, decimals), "100.0"}
  return text.table({{"counts most: " .. label, "%s"}, {"by its", "%s"}, {"known +-", "%s"}, {"moves it +-" .. unit, "%s"},
                     {"of the variance, %", "%s"}}, rows)
end

function Budget.__tostring(result)
  local lines = {page.heading(result.heading), group_table(result)}
  if result.status then
    lines[#lines + 1] = ("Target %s kg: %s, %s."):format(text.plain(result.target), result.status == "fail" and "FAIL"
      or result.status, result.why)
  end
  lines[#lines + 1] = "\n" .. basis_table(result)
  if result.counts then
    lines[#lines + 1] = "\n" .. counts_table(result.counts) .. "\n"
  elseif #result.movers > 0 then
    lines[#lines + 1] = "\n" .. mover_table(result) .. "\n"
  end
  return page.of(result, lines)
end

return budget
