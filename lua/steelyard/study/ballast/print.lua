--- The page of car:ballast: what goes where, what that does, what binds; or why it cannot be, and the nearest.

local core = require "steelyard.core"
local figures = require "steelyard.print.figures"
local page = require "steelyard.print.page"
local phrases = require "steelyard.study.phrases"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"

local print = {}

local shown = {"mass", "front_share", "left_share", "height", "yaw_inertia"}

local function kg_text(x) return text.plain(core.number(core.fixed(x, 3))) .. " kg" end

-- Two digits that count, no fewer decimals than the quantity has.
local function fine(x, decimals)
  local more = x > 0 and math.ceil(1 - math.log(x, 10)) or 0
  return core.fixed(x, math.max(decimals, math.min(12, more)))
end

-- ---- what goes where --------------------------------------------------------------------------------------------------------

local function steps_text(p)
  if not p.step then return "to the gram" end
  return ("%s of %s"):format(text.plain(p.steps), kg_text(p.step))
end

local function left_text(p)
  if p.full then return "full" end
  return kg_text(p.max - p.mass) .. " left"
end

local function slots_table(a)
  local rows = {}
  for i, p in ipairs(a.placed) do
    rows[i] = {p.name, p.mass > 0 and core.fixed(p.mass, 3):gsub("0+$", ""):gsub("%.$", "") or "0", steps_text(p), kg_text(p.max),
               left_text(p)}
  end
  return text.table({{"slot", "%s"}, {"ballast, kg", "%s"}, {"steps", "%s"}, {"holds", "%s"}, {"", "%s"}}, rows)
end

-- ---- what it does -----------------------------------------------------------------------------------------------------------

local function unit_of(name)
  local q = quantities.limited(name)
  return q, q.unit ~= "" and q.label .. ", " .. q.unit or q.label
end

local function value_of(sheet, name)
  local at = sheet
  for key in name:gmatch "[^.]+" do at = type(at) == "table" and at[key] or nil end
  return type(at) == "number" and at or nil
end

local function target_text(r, name, decimals)
  local value = r.target[name]
  return value and ("%s within %s"):format(text.plain(value), fine(r.within[name], decimals)) or ""
end

local function row_of(r, a, name)
  local q, label = unit_of(name)
  local more = figures.decimals(r, q.unit, 0)
  local change, sd = a.after.changes[name], a.after.changes_sd[name]
  local after = r.target[name] and a.reached[name] or q.set == "balance" and value_of(a.after, name)
  if not (after and change) then return nil end
  local decimals = q.change + more
  local worded = text.plus_minus(change, sd, decimals)
  if q.grows == "inertia" and a.after.points > 0 then label = label .. ", at least" end
  if change > 0 and worded:find "[1-9]" then worded = "+" .. worded end
  return {label, text.fixed(after - change, decimals), text.fixed(after, decimals), worded, target_text(r, name, q.decimals)}
end

local function effect_table(r, a)
  local rows, seen = {}, {}
  local names = {table.unpack(shown)}
  for name in pairs(r.target) do names[#names + 1] = name end
  table.sort(names, function(x, y)
    local known = {}
    for i, name in ipairs(shown) do known[name] = i end
    if known[x] and known[y] then return known[x] < known[y] end
    if known[x] or known[y] then return known[x] ~= nil end
    return core.before(x, y)
  end)
  for _, name in ipairs(names) do
    if not seen[name] then rows[#rows + 1] = row_of(r, a, name) end
    seen[name] = true
  end
  return text.table({{"", "%s"}, {"now", "%s"}, {"with ballast", "%s"}, {"change", "%s"}, {"asked", "%s"}}, rows)
end

-- ---- sentences --------------------------------------------------------------------------------------------------------------

local function placed_text(a)
  local pieces = {}
  for i, p in ipairs(a.placed) do pieces[i] = ("%s %s"):format(text.name(p.name), p.mass > 0 and kg_text(p.mass) or "0") end
  return table.concat(pieces, ", ") .. (#a.placed > 1 and ("; %s in all"):format(kg_text(a.added)) or "")
end

local function within_line(r)
  local pieces = {}
  for _, name in ipairs(r.within_by_step) do
    local q = unit_of(name)
    pieces[#pieces + 1] = ("%s to %s%s"):format(q.label, fine(r.within[name], q.decimals), q.unit ~= "" and " " .. q.unit or "")
  end
  return pieces[1] and ("Half of what one step of the most effective slot changes counts as there: %s."):format(text.join(pieces)) or nil
end

local function cost_line(r, a)
  local mm, kg_m2 = figures.mm(r, 1), figures.decimals(r, "kg m2", 1)
  local height = text.worded(a.height_cost, mm, "mm higher", "mm lower")
  return ("Cost: CG %s, yaw inertia %s kg m2."):format(height == text.fixed(0, mm) and "as high" or height,
    text.signed(a.yaw_cost or 0, kg_m2))
end

local function binding_line(r)
  if r.added == 0 then return "Binding: nothing is needed." end
  if #r.binding == 0 then return "Binding: nothing but the target." end
  local pieces = {}
  for i, b in ipairs(r.binding) do
    local what = b.kind == "slot" and ("slot %s is full"):format(text.name(b.name)) or b.kind == "minimum" and "the minimum mass"
      or ("limit %s"):format(b.name)
    pieces[i] = ("%s (without it %s less)"):format(what, kg_text(b.gain))
  end
  return ("Binding: %s."):format(table.concat(pieces, "; "))
end

local function finish_lines(r, a)
  local lines, f, m = {}, a.after_finish, a.minimum
  if f then
    lines[1] = ("At the finish: %s kg, front %s %%, left %s %%."):format(text.plus_minus(f.mass, f.sd.mass, figures.kg(r, 1)),
      text.fixed(f.front_share, 2), text.fixed(f.left_share, 2))
  end
  if m then
    local margin = text.worded(m.margin, figures.kg(r, 2), "kg over", "kg short")
    lines[#lines + 1] = ("Minimum %s kg%s: %s kg, %s."):format(text.plain(m.asked), f and " at the finish" or "",
      text.plus_minus(m.mass, m.sd, figures.kg(r, 1)), margin:find "[1-9]" and margin or "not a gram over")
  end
  return lines
end

--- The page.
function print.page(r)
  local a = r.possible and r or r.nearest
  local lines = {page.heading(("%s: ballast for %s"):format(r.heading, r.asked))}
  if r.possible then
    lines[2] = ("Possible: %s."):format(placed_text(r))
  else
    lines[2] = ("Not possible: %s."):format(r.why)
    lines[3] = ("Nearest: %s."):format(placed_text(a))
  end
  lines[#lines + 1] = slots_table(a)
  lines[#lines + 1] = effect_table(r, a)
  lines[#lines + 1] = phrases.lines(a.what_if)
  lines[#lines + 1] = within_line(r)
  lines[#lines + 1] = cost_line(r, a)
  lines[#lines + 1] = r.possible and binding_line(r) or nil
  table.move(finish_lines(r, a), 1, 2, #lines + 1, lines)
  return page.of(r, lines)
end

return print
