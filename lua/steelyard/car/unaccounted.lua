--- A group with `unaccounted = true` counts as it was weighed: what its whole has beyond its parts is booked as a line of that name
-- (core/mass/whole.h). The line may take mass away; parts that weigh more than the whole by more than all that is stated of them allows
-- are refused all the same, for then one of them is wrong.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local unaccounted = {}

local NAME = "unaccounted"
unaccounted.NAME = NAME

local function suspects(spec, context, geometry, ledger, item, judged)
  local c = {base = ledger, geometry = geometry, shared = {nodes = context.nodes, spec = spec}}
  local found = require("steelyard.measure.closure.slips").find(
    require("steelyard.measure.closure.judge").lines_of_group(c, item.route), judged.gap, judged.sd,
    nil, {value = judged.whole})
  return require("steelyard.measure.closure.suspects").sentence(found, 1)
end

-- Mass cannot be taken away from parts of which everything is known.
local function refuse(context, geometry, ledger, item, node, judged)
  local spec = context.spec
  core.fail{code = "clash", file = spec.file, line = node.line, part = node.path, kind = "group", field = NAME,
    message = ("the parts come to %s kg, %s kg above the weighed whole of %s kg, more than their uncertainty explains: one of them is "
      .. "wrong, and a line cannot take mass away"):format(
      text.fixed(judged.sum, 1), text.fixed(-judged.gap, 1), text.fixed(judged.whole, 1)),
    hint = suspects(spec, context, geometry, ledger, item, judged) or "leave unaccounted out and read the parts again"}
end

-- What carries all pieces of the group alike; the body when they differ.
local function carried(context, ledger, route)
  local common, first
  for _, item in ipairs(ledger:items(true, route)) do
    if item.form == "part" then
      local unsprung = context.nodes[item.number].unsprung
      local words = {}
      for i, share in ipairs(unsprung or {}) do words[i] = ("%s %s"):format(share.carrier, share.fraction) end
      local said = table.concat(words, ", ")
      if first and said ~= first then return nil end
      first, common = said, unsprung
    end
  end
  return common
end

local function assumed_sd(spec, whole)
  local share = spec.assume and spec.assume.weighed
  return share and share * whole.value or nil
end

local function book_line(context, geometry, ledger, item, node, whole)
  local build = require "steelyard.car.build"
  local sd = whole.own or whole.sd or assumed_sd(context.spec, whole)
  local line = {kind = "part", name = NAME, path = node.path .. "/" .. NAME, line = node.line, basis = "weighed", books_gap = true,
                mass = whole.value, mass_sd = sd, at = {0.0, 0.0, 0.0}, unsprung = carried(context, ledger, item.route),
                instrument = whole.instrument, bias_share = whole.bias_share, gain_mass = whole.gain_mass,
                note = "the weighed whole less the parts"}
  local builder = core.builder(geometry, ledger, item.route)
  build.book(context, builder, line)
  local cg_sd = whole.cg and build.place_sd(context, {at_sd = whole.cg_sd})
  local with_line = builder:append_to(ledger, item.route)
  return core.count_whole(ledger, with_line, geometry, item.route .. string.pack("=I4", item.children),
    {mass = whole.value, sd = sd, cg = whole.cg, cg_sd = cg_sd, inertia = whole.inertia, inertia_sd = whole.inertia_sd})
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
  if judged.gap < 0 and not judged.closes and t.unstated == 0 then refuse(context, geometry, ledger, item, node, judged) end
  if not t.cg then
    core.fail{code = "missing", file = context.spec.file, line = node.line, part = node.path, kind = "group", field = NAME,
      message = "no part of the group has a mass, so the whole has no place", hint = "book the whole as a part"}
  end
  if t.unknown > 0 then
    notes[#notes + 1] = ("%s: what is booked as unaccounted holds %s without a known mass"):format(node.path,
      text.count(t.unknown, "part"))
  end
  if judged.sd == 0 then
    notes[#notes + 1] = ("%s: neither the whole nor its parts have a stated uncertainty, so the whole difference is booked as unaccounted")
      :format(node.path)
  end
  return book_line(context, geometry, ledger, item, node, node.whole)
end

local function refuse_depth(context, node, err)
  core.fail{file = context.spec.file, line = node.line, part = node.path, kind = "group", field = NAME, code = err.code,
            message = err.message, hint = "leave unaccounted out of some of them"}
end

--- The ledger with a line for each group that asks for one and has none yet: inner groups first, for they belong to the outer sum.
-- What a result should say goes into `notes`.
function unaccounted.book(context, geometry, ledger, notes)
  local items = ledger:items(false)
  for i = #items, 1, -1 do
    local item = items[i]
    local node = context.nodes[item.number]
    if item.form == "group" and node and node.unaccounted and not is_booked(context, ledger, item) then
      local fine, result = pcall(book_group, context, geometry, ledger, item, node, notes)
      if not fine and type(result) == "table" and result.code == "limit" then refuse_depth(context, node, result) end
      if not fine then error(result, 0) end
      ledger = result
    end
  end
  return ledger
end

return unaccounted
