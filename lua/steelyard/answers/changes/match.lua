--- Which lines of two cars are the same: by path, or as the answer to a question about a renamed part says.
--
-- Lines that are the same share the errors of what they state the same (core/mass/propagate.h). Cars of one file know each other's lines;
-- for those of two files `pairing` tells the library.

local core = require "steelyard.core"
local frame = require "steelyard.answers.changes.frame"
local resolve = require "steelyard.car.resolve"

local match = {}

-- What is asked about as renamed and was answered with yes: the new path for an old one.
local function new_path(renamed, path)
  for old, new in pairs(renamed) do
    if path == old then return new end
    if path:sub(1, #old + 1) == old .. "/" then return new .. path:sub(#old + 1) end
  end
  return path
end

local function call_anew(entry, renamed)
  local path = new_path(renamed, entry.path)
  if path == entry.path then return end
  entry.path, entry.parent, entry.was_called = path, path:match "^(.*)/[^/]*$", entry.path
end

-- Entries in file order: {path, parent, item, route, node, form, aboard, index}, also by path.
local function entries_of(c, renamed)
  local list, by_path, trail = {}, {}, {}
  for _, item in ipairs(c.now:items(false)) do
    local depth = #item.route // 4
    local path = depth > 1 and trail[depth - 1] .. "/" .. item.name or item.name
    trail[depth] = path
    local index = #list + 1
    local entry = {path = path, parent = trail[depth - 1], item = item, route = item.route, node = c.shared.nodes[item.number],
                   form = item.form, aboard = item.aboard, index = index}
    if next(renamed) then call_anew(entry, renamed) end
    list[index] = entry
    by_path[entry.path] = entry
  end
  return list, by_path
end

-- Shifts smaller than this are rounding: the ledger keeps a picometre, the sums of a few frames lose some of them.
local SAME_MM = 1e-7

--- From one place to another, mm; nil where they are the same.
function match.shift_between(from, to)
  local by = {to[1] - from[1], to[2] - from[2], to[3] - from[3]}
  for _, d in ipairs(by) do
    if math.abs(d) > SAME_MM then return by end
  end
end

-- A group without a place lies at the file's zero. In files with zeros elsewhere that says nothing: its parts are looked at one by
-- one.
local function has_place(node)
  local at = node.at
  return at ~= nil and not (at[1] == 0 and at[2] == 0 and at[3] == 0)
end

--- Do the places of two groups say the same, so that one may have moved with all that is in it?
function match.groups_compare(work, was, is)
  if not work.restated or has_place(was.node) and has_place(is.node) then return true end
  return not match.shift_between(frame.zero_of(work.old), frame.zero_of(work.new))
end

--- old, new: insides of two cars; renamed: {old name = new name}. Gives {old, new, old_list, new_list, old_by_path, new_by_path, shift,
-- restated}. restated: the files measure along other axes or from another zero. shift: frame.shift.
function match.of(old, new, renamed)
  local work, full = {old = old, new = new}, {}
  for path, as in pairs(renamed) do
    full[resolve.path(old.now, resolve.parts(old, path).routes[1])] = resolve.path(new.now, resolve.parts(new, as).routes[1])
  end
  work.old_list, work.old_by_path = entries_of(old, full)
  work.new_list, work.new_by_path = entries_of(new, {})
  work.shift = frame.shift(old, new, work.old_list, work.new_by_path)
  work.restated = frame.restated(old, new, work.shift)
  return work
end

-- ---- for the library --------------------------------------------------------------------------------------------------------

local function group_around(entry, by_route) return by_route[entry.route:sub(1, -5)] end

local function by_route(list)
  local map = {}
  for _, entry in ipairs(list) do map[entry.route] = entry end
  return map
end

-- How deep the groups lie from which the places of two lines are counted alike: the nearest ones that are the same in both files. 0: they
-- are compared on the vehicle.
local function depths(work, was, is, old_at, new_at)
  local a, b = group_around(was, old_at), group_around(is, new_at)
  while a and b do
    if a.path ~= b.path or a.form ~= b.form then break end
    if match.groups_compare(work, a, b) then return #a.route // 4, #b.route // 4 end
    a, b = group_around(a, old_at), group_around(b, new_at)
  end
  return 0, 0
end

-- For each scale of the old file the number of the same one in the new: it has its name, and no new certificate.
local function same_scales(old, new)
  local numbers, list = new.shared.context.scales, {}
  for name, number in pairs(old.shared.context.scales) do list[number] = numbers[name] or 0 end
  return list
end

--- What the library must know to share the errors of the matched lines (core.pairing); nil for cars of one file, whose lines it knows.
function match.pairing(work)
  if work.old.shared == work.new.shared then return nil end
  local old_at, new_at, lines, taken = by_route(work.old_list), by_route(work.new_list), {}, {}
  for _, is in ipairs(work.new_list) do
    local was = work.old_by_path[is.path]
    if was and was.form == is.form and is.form ~= "group" and not taken[was] then
      taken[was] = true
      local n = #lines
      lines[n + 1], lines[n + 2] = was.route, is.route
      lines[n + 3], lines[n + 4] = depths(work, was, is, old_at, new_at)
    end
  end
  return core.pairing(work.old.now, work.new.now, lines, work.shift or {}, same_scales(work.old, work.new))
end

--- The same for any two cars.
function match.pairing_of(old, new) return old.shared ~= new.shared and match.pairing(match.of(old, new, {})) or nil end

return match
