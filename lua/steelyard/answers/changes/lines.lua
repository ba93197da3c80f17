--- The lines of a change: what happened to which part between two cars, and what each did to the five sums.
--
-- Parts are matched by path. The way from old to new goes in this order, so that every step has one cause: the axles and the
-- place of the ground (in the old car), then groups that moved as a whole (with the parts they had), then part by part.

local core = require "steelyard.core"
local held_liquid = require "steelyard.file.held_liquid"
local frame = require "steelyard.answers.changes.frame"
local match = require "steelyard.answers.changes.match"
local shares = require "steelyard.answers.changes.shares"
local describe = require "steelyard.answers.changes.describe"

local changes_lines = {}

-- ---- where things are ------------------------------------------------------------------------------------------------------

-- The old ledger with its parts where the new file's axes and ground see them: a file whose front axle was moved 20 mm has moved
-- its axle, not every part.
local function in_new_frame(work)
  local by, ledger = work.shift, work.old.now
  if not by then return ledger end
  for _, item in ipairs(ledger:items(false)) do
    if #item.route == 4 then ledger = ledger:shift(item.route, by[1], by[2], by[3]) end
  end
  return ledger
end

-- What the old lines say along the axes of the new file.
local function in_new_axes(work)
  local from, to = work.old.shared.spec.axes, work.new.shared.spec.axes
  if work.old.shared == work.new.shared or frame.same_axes(from, to) then return end
  for _, was in ipairs(work.old_list) do
    local is = work.new_by_path[was.path]
    if is then was.node = frame.translated(was.node, from, to, is.node) end
  end
end

-- Turn and shift a group of the old car to where the new one has it. Returns the ledger and what was done, in words.
local function move_group(ledger, was, is, now, geometry)
  local said = {}
  if not describe.same(was.node.turned, is.node.turned) then
    ledger = ledger:put(was.route, geometry, {turned = is.node.turned or {nose_up = 0}})
    said[1] = "turned"
  end
  local by = match.shift_between({ledger:origin(was.route)}, {now:origin(is.route)})
  if by then
    ledger = ledger:shift(was.route, by[1], by[2], by[3])
    said[#said + 1] = describe.moved(by)
  end
  return ledger, said
end

-- ---- lines -------------------------------------------------------------------------------------------------------------------

local function add_line(work, path, kinds, happened, change)
  local line = {part = path, kinds = kinds, happened = happened, change = change, was = nil, is = nil, question = nil}
  work.lines[#work.lines + 1] = line
  return line
end

local function sums_aboard(entry, ledger)
  return entry.aboard and shares.sums(ledger, entry.route) or shares.nothing
end

-- A mirror pair is reported by its left piece.
local function piece(ledger, entry)
  return entry.form == "pair" and ledger:item(entry.route .. string.pack("=I4", 0)) or ledger:item(entry.route)
end

local function move_groups(work)
  for _, is in ipairs(work.new_list) do
    local was = work.old_by_path[is.path]
    if is.form == "group" and was and was.form == "group" and match.groups_compare(work, was, is) then
      local before = was.aboard and shares.sums(work.ledger, was.route)
      local ledger, said = move_group(work.ledger, was, is, work.new.now, work.new.geometry)
      if ledger ~= work.ledger then
        work.ledger = ledger
        if before and is.aboard then
          add_line(work, is.path, {"moved"}, table.concat(said, ", "), shares.less(shares.sums(ledger, was.route), before))
        end
      end
    end
  end
end

-- kg, kg m and kg m2. A shift keeps a picometre, and half of one changes m x^2 of 500 kg at 3 m by 1.5e-9; a milligram at a metre
-- is 1e-6.
local SAME_SUM = 1e-7

local function is_nothing(d)
  local abs = math.abs
  return abs(d.m) <= SAME_SUM and abs(d.x) <= SAME_SUM and abs(d.y) <= SAME_SUM and abs(d.z) <= SAME_SUM and abs(d.q) <= SAME_SUM
end

-- Most parts of most files: what they weigh, where they are and what they say is as it was. What has no mass shows no place in its
-- sums and is looked at closely.
local function is_unchanged(work, was, is)
  local p, q = was.item, is.item
  return p.mass == q.mass and p.mass_sd == q.mass_sd and p.mass ~= 0 and was.aboard == is.aboard and not was.was_called
    and describe.same_statement(was.node, is.node)
    and (not is.aboard or core.same_sums(work.ledger, was.route, work.new.now, is.route, SAME_SUM))
end

-- One piece of an entry, a tank at its middle: that its liquid lies lower is not a move.
local function piece_at_rest(c, ledger, entry)
  local item, node = piece(ledger, entry), entry.node
  if held_liquid.has_level(node) then
    local offset = core.tank_offset(held_liquid.liquid(c.shared.spec, node, held_liquid.litres(node, item.mass)), c.geometry)
    for i = 1, 3 do item.origin[i] = item.origin[i] - offset[i] end
  end
  return item
end

local function compare_parts(work, was, is)
  if is_unchanged(work, was, is) then return end
  local change = shares.less(sums_aboard(is, work.new.now), sums_aboard(was, work.ledger))
  local old = {entry = was, item = piece_at_rest(work.old, work.ledger, was)}
  local new = {entry = is, item = piece_at_rest(work.new, work.new.now, is)}
  local kinds, said = describe.changed(old, new)
  if was.was_called then
    table.insert(kinds, 1, "renamed")
    table.insert(said, 1, "was called " .. was.was_called)
  end
  if #said == 0 and is_nothing(change) then return end
  if not (was.aboard or is.aboard) then
    work.not_aboard[#work.not_aboard + 1] = is.path
    return
  end
  if #said == 0 then kinds, said = {"moved"}, {"turned"} end -- the place is the same and the sums are not
  local line = add_line(work, is.path, kinds, table.concat(said, ", "), change)
  line.was, line.is = was, is
end

-- how many parts lie in a group
local function children(list, entry)
  if entry.form ~= "group" then return 0 end
  local count = 0
  for _, other in ipairs(list) do
    if other.form ~= "group" and other.path:sub(1, #entry.path + 1) == entry.path .. "/" then count = count + 1 end
  end
  return count
end

local function appear(work, is, said)
  if not is.aboard then
    work.not_aboard[#work.not_aboard + 1] = is.path
    return
  end
  local line = add_line(work, is.path, {"added"}, said or describe.whole("added", is, children(work.new_list, is)),
    sums_aboard(is, work.new.now))
  line.is = is
end

local function disappear(work, was)
  if not was.aboard then
    work.not_aboard[#work.not_aboard + 1] = was.path
    return
  end
  local change = shares.less(shares.nothing, sums_aboard(was, work.ledger))
  local line = add_line(work, was.path, {"removed"}, describe.whole("removed", was, children(work.old_list, was)), change)
  line.was = was
end

-- A part that has become a group of parts, or the other way round.
local function reform(work, was, is)
  local change = shares.less(sums_aboard(is, work.new.now), sums_aboard(was, work.ledger))
  local line = add_line(work, is.path, {"reformed"}, describe.reformed(was, is, children(work.new_list, is)), change)
  line.was, line.is = was, is
end

-- Is the entry reported already with a group around it?
local function reported(others, entry, whole)
  local parent = entry.parent
  return parent and (whole[parent] or not others[parent] or others[parent].form ~= "group")
end

local function compare_all(work)
  local whole = {}
  for _, is in ipairs(work.new_list) do
    local was = work.old_by_path[is.path]
    if reported(work.old_by_path, is, whole) then whole[is.path] = true
    elseif not was then appear(work, is)
    elseif (was.form == "group") ~= (is.form == "group") then reform(work, was, is)
    elseif is.form ~= "group" then compare_parts(work, was, is)
    elseif was.was_called then
      add_line(work, is.path, {"renamed"}, "was called " .. was.was_called, shares.nothing)
    end
  end
  whole = {}
  for _, was in ipairs(work.old_list) do
    if reported(work.new_by_path, was, whole) then whole[was.path] = true
    elseif not work.new_by_path[was.path] then disappear(work, was) end
  end
end

-- ---- renamed? ------------------------------------------------------------------------------------------------------------------

-- With nothing stated about either, a millimetre and a thousandth of the mass count as the same.
local LEAST_MM, LEAST_SHARE = 1, 1e-3
local K95 = require("steelyard.print.text").K95

local function agrees(a, b, sd_a, sd_b, least)
  return math.abs(a - b) <= math.max(least, K95 * math.sqrt(sd_a * sd_a + sd_b * sd_b))
end

local function may_be_the_same(a, b)
  if not (a.cg and b.cg) then return false end
  for _, letter in ipairs{"x", "y", "z"} do
    if not agrees(a.cg[letter], b.cg[letter], a.sd.cg[letter], b.sd.cg[letter], LEAST_MM) then return false end
  end
  return agrees(a.mass, b.mass, a.sd.mass, b.sd.mass, LEAST_SHARE * a.mass)
end

-- "is "dash hoop" the old "front hoop"?" for what came and went at the same place with the same mass
local function ask(work)
  local removed, totals = {}, {}
  for _, line in ipairs(work.lines) do
    if line.kinds[1] == "removed" then
      removed[#removed + 1] = line.was
      totals[#removed] = core.item_totals(work.ledger, work.new.geometry, line.was.route)
    end
  end
  for _, new in ipairs(#removed > 0 and work.lines or {}) do
    if new.kinds[1] == "added" then
      local names, found = {}, core.item_totals(work.new.now, work.new.geometry, new.is.route)
      for i, was in ipairs(removed) do
        if may_be_the_same(totals[i], found) then names[#names + 1] = ("%q"):format(was.path) end
      end
      if #names > 0 then
        new.question = ("is %q the old %s?"):format(new.part, require("steelyard.print.text").join(names, "or"))
        work.questions[#work.questions + 1] = new.question
      end
    end
  end
end

--- old, new: insides of two cars. Gives what match.of does, and {lines, questions, not_aboard (paths changed but not aboard), placed (the
-- old ledger in the new frame), ledger (the same with all groups moved)}; a line is {part, kinds, happened, change (five sums), was, is,
-- question}.
function changes_lines.of(old, new, renamed)
  local work = match.of(old, new, renamed)
  work.lines, work.questions, work.not_aboard = {}, {}, {}
  in_new_axes(work)
  work.placed = in_new_frame(work)
  work.ledger = work.placed
  move_groups(work)
  compare_all(work)
  ask(work)
  return work
end

return changes_lines
