--- A group with `unaccounted = true`: what its weighed whole has beyond its parts is booked as a line of that name.
--
-- The line lies at the group's CG. The mass may be anywhere the group's mass is, so its place is as uncertain as the parts are
-- spread about that CG. Its own uncertainty is that of the gap. The ledger takes the errors of two lines as independent, though the gap
-- carries those of the parts with the other sign: the group's uncertainty then comes out as sqrt(u_whole^2 + 2 u_parts^2), never less
-- than u_whole, which is what it really is. DEVELOPERS.md says why that is left so.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local unaccounted = {}

local NAME = "unaccounted"
unaccounted.NAME = NAME

-- Standard deviation of the places of the mass about the CG, mm in file axes; of a turned group the largest for all three, for its
-- own directions are others.
local function spread(ledger, geometry, route, cg, turned)
  local sd = {core.item_spread(ledger, geometry, route, cg.x, cg.y, cg.z)}
  if turned then sd[1] = math.max(sd[1], sd[2], sd[3]); sd[2], sd[3] = sd[1], sd[1] end
  return sd
end

local function suspects(spec, context, geometry, ledger, item, judged)
  local c = {base = ledger, geometry = geometry, shared = {nodes = context.nodes, spec = spec}}
  local found = require("steelyard.measure.closure.slips").find(
    require("steelyard.measure.closure.judge").lines_of_group(c, item.route), judged.gap, judged.sd,
    nil, {value = judged.whole})
  return require("steelyard.measure.closure.suspects").sentence(found, 1)
end

-- Mass cannot be taken away: parts above the whole are a mistake in one of them, unless their uncertainty allows it.
local function refuse_or_note(context, geometry, ledger, item, node, judged, notes)
  local spec = context.spec
  local says = ("the parts come to %s kg, %s kg above the weighed whole of %s kg"):format(text.fixed(judged.sum, 1),
    text.fixed(-judged.gap, 1), text.fixed(judged.whole, 1))
  if judged.closes then
    notes[#notes + 1] = ("%s: %s, which their uncertainty allows; nothing is booked as unaccounted"):format(node.path, says)
    return
  end
  core.fail{code = "clash", file = spec.file, line = node.line, part = node.path, kind = "group", field = NAME, message = says
    .. ", more than their uncertainty explains: one of them is wrong, and a line cannot take mass away",
    hint = suspects(spec, context, geometry, ledger, item, judged) or "leave unaccounted out and read the parts again"}
end

local function book_line(context, geometry, ledger, item, node, judged, cg)
  local build = require "steelyard.car.build"
  local line = {kind = "part", name = NAME, path = node.path .. "/" .. NAME, line = node.line, basis = "weighed", books_gap = true,
                mass = judged.gap, mass_sd = judged.sd > 0 and judged.sd or nil, at = {0.0, 0.0, 0.0},
                at_sd = spread(ledger, geometry, item.route, cg, node.turned), note = "the weighed whole less the parts"}
  local builder = core.builder(geometry, ledger, item.route)
  build.book(context, builder, line)
  ledger = builder:append_to(ledger, item.route)
  local route = item.route .. string.pack("=I4", item.children)
  local x, y, z = geometry:point_in(cg.x, cg.y, cg.z)
  local from_x, from_y, from_z = ledger:origin(route)
  return ledger:shift(route, x - from_x, y - from_y, z - from_z)
end

-- Has the group its line already?
local function is_booked(context, ledger, item)
  for i = 0, item.children - 1 do
    local child = ledger:item(item.route .. string.pack("=I4", i))
    if context.nodes[child.number] and context.nodes[child.number].books_gap then return true end
  end
  return false
end

local function book_group(context, geometry, ledger, item, node, notes)
  local t = core.item_totals(ledger, geometry, item.route)
  local judged = require("steelyard.measure.closure.judge").gap(node.whole.value, node.whole.sd, t.mass, t.sd.mass)
  if judged.gap < 0 then
    refuse_or_note(context, geometry, ledger, item, node, judged, notes)
    return ledger
  end
  if judged.gap == 0 then return ledger end
  if not t.cg then
    core.fail{code = "missing", file = context.spec.file, line = node.line, part = node.path, kind = "group", field = NAME,
      message = "no part of the group has a mass, so the whole has no place", hint = "book the whole as a part"}
  end
  if t.unknown > 0 then
    notes[#notes + 1] = ("%s: what is booked as unaccounted holds %s without a known mass"):format(node.path,
      text.count(t.unknown, "part"))
  end
  return book_line(context, geometry, ledger, item, node, judged, t.cg)
end

--- The ledger with a line for each group that asks for one and has none yet: inner groups first, for they belong to the outer sum.
-- What a result should say goes into `notes`.
function unaccounted.book(context, geometry, ledger, notes)
  local items = ledger:items(false)
  for i = #items, 1, -1 do
    local item = items[i]
    local node = context.nodes[item.number]
    if item.form == "group" and node and node.unaccounted and not is_booked(context, ledger, item) then
      ledger = book_group(context, geometry, ledger, item, node, notes)
    end
  end
  return ledger
end

return unaccounted
