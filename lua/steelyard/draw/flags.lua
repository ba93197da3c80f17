--- Labels in a gutter: each at the end of an upright leader from what it names, in rows, so that no leader runs through a label and no two
-- labels touch.
--
-- The leaders from the left up to some place carry their labels on their left, the others on their right, outward from there; where that
-- would cross a margin a label stands on the other side. A label that lies over another's leader must be in a row behind that other label;
-- rows follow from these pairs. Of labels that would each have to be behind the next, round in a ring, one turns to its other side or goes.
-- The place is tried everywhere: what loses least is taken, and of those what needs the fewest rows.

local flags = {}

local AWAY = 0.7  -- mm from a leader to its own label
local CLEAR = 0.9 -- mm from a label to the leader of another, and to the next label

flags.AWAY = AWAY

local SIDES = {"start", "end"}

local function by_place(a, b)
  if a.x ~= b.x then return a.x < b.x end
  return a.order < b.order
end

local function span(label, side)
  if side == "start" then return label.x + AWAY, label.x + AWAY + label.width end
  return label.x - AWAY - label.width, label.x - AWAY
end

-- The side on which a label can stand, nil for both, false for none.
local function forced(label, left, right)
  local _, to = span(label, "start")
  local from = span(label, "end")
  if to <= right and from >= left then return nil end
  return to <= right and "start" or from >= left and "end"
end

local function add_pair(list, number, side)
  local n = #list
  list[n + 1], list[n + 2] = number, side
end

-- What each label must be behind, by its own side: those whose leaders its box lies over; and standing left of its leader, it is behind a
-- label from the left that reaches into its box. Index of the other and its side, false for either, then those of the next.
local function behind_what(list)
  local behind, boxes = {}, {}
  for i, label in ipairs(list) do
    boxes[i] = {}
    for _, side in ipairs(SIDES) do boxes[i][side] = {span(label, side)} end
  end
  for i, label in ipairs(list) do
    behind[i] = {start = {}, ["end"] = {}}
    for k, other in ipairs(list) do
      for _, side in ipairs(k ~= i and SIDES or {}) do
        local box = boxes[i][side]
        if other.x > box[1] - CLEAR and other.x < box[2] + CLEAR then
          add_pair(behind[i][side], k, false)
        end
      end
      local left, right = boxes[k].start, boxes[i]["end"]
      if k < i and other.x <= right[1] - CLEAR and label.x >= left[2] + CLEAR and left[2] + CLEAR > right[1] then
        add_pair(behind[i]["end"], k, "start")
      end
    end
  end
  return behind
end

-- The label of a ring that turns to its other side, once; else the one that is lost, the least important. Gives what is lost by it.
local function break_ring(ring)
  local lightest
  for _, entry in ipairs(ring) do
    local can_turn = not entry.turned and entry.label.forced == nil
    if can_turn and (not lightest or entry.label.weight < lightest.label.weight) then lightest = entry end
  end
  if lightest then
    lightest.turned, lightest.side = true, lightest.side == "start" and "end" or "start"
    return 0
  end
  for _, entry in ipairs(ring) do
    if not lightest or entry.label.weight < lightest.label.weight then lightest = entry end
  end
  lightest.out = true
  return lightest.label.weight
end

-- Gives every label its row, by the longest way through what lies behind what, and the most of them; nil and a ring of labels, each behind
-- the next, where there is one. Nil alone where more than `limit` rows are needed.
local function give_rows(list, behind, limit)
  local most, stack = 0, {}
  local function row_of(i)
    local entry = list[i]
    if entry.row then return entry.row end
    stack[#stack + 1] = entry
    if entry.open then return nil end
    entry.open = true
    local row = 1
    local pairs_of = behind[i][entry.side]
    for p = 1, #pairs_of, 2 do
      local number, side = pairs_of[p], pairs_of[p + 1]
      local other = list[number]
      if not other.out and (not side or side == other.side) then
        local before = other.row or row_of(number)
        if not before then return nil end
        if before >= row then row = before + 1 end
      end
    end
    if row > limit then
      stack = nil
      return nil
    end
    stack[#stack] = nil
    entry.open, entry.row = false, row
    if row > most then most = row end
    return row
  end
  for _, entry in ipairs(list) do entry.row, entry.open = nil, false end
  for i, entry in ipairs(list) do
    if not entry.out and not row_of(i) then
      if not stack then return nil end
      local first = #stack - 1
      while stack[first] ~= stack[#stack] do first = first - 1 end
      return nil, table.move(stack, first, #stack - 1, 1, {})
    end
  end
  return most
end

-- nil where an earlier one was as good or better.
local function split_at(labels, k, behind, best)
  local list, lost = {}, 0
  for i, label in ipairs(labels) do list[i] = {label = label, side = label.forced or i <= k and "end" or "start"} end
  while true do
    local rows, ring = give_rows(list, behind, best and lost >= best.lost and best.rows - 1 or #list)
    if rows then return {list = list, lost = lost, rows = rows} end
    if not ring then return nil end
    lost = lost + break_ring(ring)
    if best and lost > best.lost then return nil end
  end
end

--- Gives the number of rows, the labels that found no place between the margins, and the others, each with row (from 1, the nearest to the
-- drawing) and side: "start" where it stands right of its leader, "end" left of it. A label is {x =, width =}; the most important first.
-- One that fits on neither side is asked to shorten itself: label:shorten(room), which sets its width.
function flags.place(labels, left, right)
  local list, out, placed, best = {}, {}, {}, nil
  for i, label in ipairs(labels) do
    label.order, label.weight, label.forced = i, #labels + 1 - i, forced(label, left, right)
    if label.forced == false and label.shorten then
      label:shorten(math.max(label.x - left, right - label.x) - AWAY)
      label.forced = forced(label, left, right)
    end
    table.insert(label.forced == false and out or list, label)
  end
  table.sort(list, by_place)
  local behind = behind_what(list)
  for k = 0, #list do -- one that can stand on one side alone stands there as at the place before
    if k == 0 or list[k].forced == nil then best = split_at(list, k, behind, best) or best end
  end
  for _, entry in ipairs(best.list) do
    local label = entry.label
    label.row, label.side = entry.row, entry.side
    table.insert(entry.out and out or placed, label)
  end
  return best.rows, out, placed
end

return flags
