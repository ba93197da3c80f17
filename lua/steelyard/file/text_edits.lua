--- The text of a vehicle file with other values in it: only what differs is touched.
--
-- text_edits.apply(text, raw, draft, o) -> text
--   text   of a file that is mere data (core.run_file says so)
--   raw    its vehicle { ... } as core.run_file gave it
--   draft  what it is to say: tables and items of its own, others from `raw`
--   o.from table of the draft -> the one of `raw` that it is a copy of: what it says of where that stands
--   o.anew set of items of the draft that are written anew and not edited
--
-- Where things stand says a map of the text by constructors and entries (lua/reader/source_map.h), never a search for a name. A value that
-- differs is replaced, a field or an item that is new stands before the closing brace, one that is gone goes with its comma; an item that
-- stands elsewhere takes its own text along. Edits are collected and made from the end.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local written = require "steelyard.file.written"

local text_edits = {}
local is_item, is_plain = user_values.is_item, user_values.is_plain

local WIDTH = 118 -- columns: a field more than that holds begins a line

-- ---- bytes ----------------------------------------------------------------------------------------------------------------

-- An edit: {at = byte before which it stands, drop = bytes that go, text =}.
local function add(edits, at, drop, text) edits[#edits + 1] = {at = at, drop = drop, text = text, order = #edits} end

-- Bytes `first` to `last` of the text with the edits made: what is put in at a byte comes before what takes that byte's place.
local function made(text, first, last, edits)
  table.sort(edits, function(a, b)
    if a.at ~= b.at then return a.at < b.at end
    if (a.drop > 0) ~= (b.drop > 0) then return b.drop > 0 end
    return a.order < b.order
  end)
  local pieces, at = {}, first
  for _, edit in ipairs(edits) do
    pieces[#pieces + 1] = text:sub(at, edit.at - 1)
    pieces[#pieces + 1] = edit.text
    at = math.max(at, edit.at + edit.drop)
  end
  pieces[#pieces + 1] = text:sub(at, last)
  return table.concat(pieces)
end

-- What stands before a byte on its line.
local function line_before(text, at)
  local start = at
  while start > 1 and not text:sub(start - 1, start - 1):find "[\r\n]" do start = start - 1 end
  return text:sub(start, at - 1), start
end

local function indent_of(text, at) return (line_before(text, at)):match "^[ \t]*" end

-- The last byte of the line end behind `at`, when nothing but blanks stands between.
local function line_end(text, at)
  local _, last = text:find("^[ \t]*\r?\n", at + 1)
  return last
end

-- ---- where things stand ---------------------------------------------------------------------------------------------------

local function child_of(w, constructor, key)
  local _, _, child = w.map:entry(constructor, key)
  return child
end

-- Notes of each table and item where it stands: {constructor =, key =, own = the constructor of its fields}.
local function locate(w, t, constructor)
  for key, value in next, t do
    if is_item(value) or is_plain(value) then
      local own = child_of(w, constructor, key)
      w.stands[value] = {constructor = constructor, key = key, own = own}
      local inside = value
      if is_item(value) then inside = rawget(value, "fields") end
      if own and inside then locate(w, inside, own) end
    end
  end
end

-- ---- values that are the same -----------------------------------------------------------------------------------------------

local function same(a, b)
  if a == b then return true end
  if type(a) ~= "table" or type(b) ~= "table" or getmetatable(a) ~= getmetatable(b) then return false end
  for key, value in next, a do
    if key ~= "line" and not same(value, rawget(b, key)) then return false end
  end
  for key in next, b do
    if key ~= "line" and rawget(a, key) == nil then return false end
  end
  return true
end

-- ---- putting in and taking out ----------------------------------------------------------------------------------------------

local diff

local text_of

-- A new list, of items that bring their own text.
local function list_text(w, list, indent)
  local lines, inside = {"{"}, indent .. "  "
  for _, value in ipairs(list) do lines[#lines + 1] = inside .. text_of(w, value, inside) .. "," end
  lines[#lines + 1] = indent .. "}"
  return table.concat(lines, w.nl)
end

local function has_items(list)
  for i = 1, #list do
    if is_item(list[i]) then return true end
  end
  return false
end

-- Lines behind the first that began as far in as the first did, now at `indent`.
local function moved_to(shown, was, indent)
  if was == indent then return shown end
  return (shown:gsub("\n([ \t]*)", function(blanks)
    return blanks:sub(1, #was) == was and "\n" .. indent .. blanks:sub(#was + 1) or nil
  end))
end

-- The text of a value of the draft: that of where it stood, edited, or a new one.
function text_of(w, value, indent, kind)
  local from = w.from[value]
  if not from and is_plain(value) and has_items(value) and next(value, #value) == nil then return list_text(w, value, indent) end
  local stands = from and w.stands[from]
  if not stands or w.anew[value] then return written.value(value, indent, w.nl, kind) end
  local _, first, last = w.map:span(stands.constructor, stands.key)
  local edits = {}
  if is_item(value) then
    if stands.own then diff(w, rawget(from, "fields"), rawget(value, "fields"), stands.own, edits, rawget(value, "kind")) end
  else
    diff(w, from, value, stands.own, edits, kind)
  end
  return moved_to(made(w.text, first, last, edits), indent_of(w.text, first), indent)
end

local function remove(w, constructor, key, edits)
  local from, _, _, behind = w.map:span(constructor, key)
  local before, start = line_before(w.text, from)
  local rest = line_end(w.text, behind)
  if before:find "^[ \t]*$" and rest then return add(edits, start, rest - start + 1, "") end
  local _, blanks = w.text:find("^[ \t]+", behind + 1)
  local first = from
  if rest and rest > behind then first = from - #before:match "[ \t]*$" end -- the last of its line leaves no blank behind
  add(edits, first, (not rest and blanks or behind) - first + 1, "")
end

local function replace(w, constructor, key, value, edits, kind)
  local _, first, last = w.map:span(constructor, key)
  add(edits, first, last - first + 1, text_of(w, value, indent_of(w.text, first), kind))
end

-- Puts entries, made by entry(indent), before the closing brace. kept: keys of the entries that stay.
local function append(w, constructor, kept, entries, edits)
  local text, opening, closing = w.text, w.map:braces(constructor)
  local last_from, last, behind
  for _, key in ipairs(kept) do
    local from, _, value_end, comma = w.map:span(constructor, key)
    if not last or value_end > last then last_from, last, behind = from, value_end, comma end
  end
  local before, start = line_before(text, closing)
  local own_line = before:find "^[ \t]*$" ~= nil and start > opening
  local indent = before:match "^[ \t]*" .. "  "
  if last and (line_before(text, last_from)):find "^[ \t]*$" then indent = indent_of(text, last_from) end
  local list = {}
  for i, entry in ipairs(entries) do list[i] = entry(indent) end
  if last and behind == last then add(edits, last + 1, 0, ",") end
  if own_line then
    for i, shown in ipairs(list) do list[i] = indent .. shown .. "," .. w.nl end
    return add(edits, start, 0, table.concat(list))
  end
  if not last then
    local shown = table.concat(list, ", ")
    return add(edits, opening + 1, 0, " " .. shown .. (closing == opening + 1 and " " or ","))
  end
  local column = #line_before(text, behind + 1)
  local between = (line_before(text, last_from)):find "^[ \t]*$" and w.nl .. indent or nil -- each on a line of its own
  if not between then
    for _, shown in ipairs(list) do column = column + 2 + #shown:match "^[^\r\n]*" end
    between = column > WIDTH and w.nl .. indent_of(text, last_from) .. "  " or " "
  end
  add(edits, behind + 1, 0, between .. table.concat(list, "," .. between) .. (behind > last and "," or ""))
end

-- ---- comparing ----------------------------------------------------------------------------------------------------------------

-- One value that stands under a key in both.
local function diff_value(w, old, new, constructor, key, edits, kind)
  if w.from[new] == old and (is_item(new) or is_plain(new)) and not w.anew[new] then
    local own = w.stands[old] and w.stands[old].own
    local a, b = old, new
    if is_item(new) then a, b, kind = rawget(old, "fields"), rawget(new, "fields"), rawget(new, "kind") end
    if own and a and b and diff(w, a, b, own, edits, kind) then return end
    if not own and same(a, b) then return end
  elseif same(old, new) and not w.anew[new] then
    return
  elseif is_plain(old) and is_plain(new) and #old == #new and not has_items(old) and not has_items(new) then
    local own = child_of(w, constructor, key)
    local inner = {}
    if own and diff(w, old, new, own, inner, kind) then return table.move(inner, 1, #inner, #edits + 1, edits) end
  end
  replace(w, constructor, key, new, edits, kind)
end

-- Items are known by where they come from: what stays keeps its place and its order. Gives what is to stand at the end, and the
-- places of those that stay. more: fields come behind them.
local function diff_items(w, old, new, constructor, edits, more)
  local place, kept, used = {}, {}, 0
  for i = 1, #old do place[old[i]] = i end
  for k = 1, #new do
    local at = place[w.from[new[k]] or new[k]]
    if at and at > used then kept[at], used = new[k], at end
  end
  local gone, tail, at, k = {}, {}, 0, 1
  local function fill_gap(upto, foreign)
    local free = {}
    for i = at + 1, upto - 1 do free[#free + 1] = i end
    if #foreign == 0 then
      for _, i in ipairs(free) do gone[#gone + 1] = i end
      return
    end
    if #free > 0 then
      local _, first, last, behind = w.map:span(constructor, free[1])
      local indent, shown = indent_of(w.text, first), {}
      for i, item in ipairs(foreign) do shown[i] = text_of(w, item, indent) end
      add(edits, first, last - first + 1, table.concat(shown, "," .. w.nl .. indent) .. (more and behind == last and "," or ""))
      table.move(free, 2, #free, #gone + 1, gone)
    elseif upto <= #old then
      local from = w.map:span(constructor, upto)
      local indent, shown = indent_of(w.text, from), {}
      for i, item in ipairs(foreign) do shown[i] = text_of(w, item, indent) .. "," .. w.nl .. indent end
      add(edits, from, 0, table.concat(shown))
    else
      for i, item in ipairs(foreign) do tail[i] = function(indent) return text_of(w, item, indent) end end
    end
  end
  local foreign = {}
  while k <= #new do
    local i = place[w.from[new[k]] or new[k]]
    if i and kept[i] == new[k] then
      fill_gap(i, foreign)
      foreign, at = {}, i
      diff_value(w, old[i], new[k], constructor, i, edits)
    else
      foreign[#foreign + 1] = new[k]
    end
    k = k + 1
  end
  fill_gap(#old + 1, foreign)
  for _, i in ipairs(gone) do remove(w, constructor, i, edits) end
  return tail, kept
end

-- Edits that make the fields of `old` those of `new`; false when the table is to be written anew. kind: of the fields, or nil.
function diff(w, old, new, constructor, edits, kind)
  local tail, stay, added, kept = {}, old, {}, {}
  for key in next, new do
    if type(key) == "string" and old[key] == nil then added[#added + 1] = key end
  end
  if has_items(old) or has_items(new) then
    tail, stay = diff_items(w, old, new, constructor, edits, #added > 0)
  elseif #old ~= #new then
    return false
  else
    for i = 1, #old do diff_value(w, old[i], new[i], constructor, i, edits, kind) end
  end
  for key, value in next, old do
    if type(key) == "string" then
      if new[key] == nil then
        remove(w, constructor, key, edits)
      else
        kept[#kept + 1] = key
        diff_value(w, value, new[key], constructor, key, edits, written.kind_below(kind, key))
      end
    end
  end
  if #added + #tail == 0 then return true end
  table.sort(added, core.before)
  for i in pairs(stay) do kept[#kept + 1] = math.type(i) and i or nil end
  local entries = {}
  for i, key in ipairs(added) do
    entries[i] = function(indent) return written.key(key) .. text_of(w, new[key], indent, written.kind_below(kind, key)) end
  end
  append(w, constructor, kept, table.move(tail, 1, #tail, #entries + 1, entries), edits)
  return true
end

local MARK = "\xEF\xBB\xBF" -- of UTF-8, at the start of some files

function text_edits.apply(text, raw, draft, o)
  local mark = text:sub(1, #MARK) == MARK and MARK or ""
  text = text:sub(#mark + 1)
  local w = {text = text, map = core.source_map(text), from = o.from, anew = o.anew or {}, stands = {},
             nl = text:find("\r\n", 1, true) and "\r\n" or "\n"}
  local edits = {}
  locate(w, rawget(raw, "fields"), 0)
  diff(w, rawget(raw, "fields"), rawget(draft, "fields"), 0, edits, "vehicle")
  return mark .. made(text, 1, #text, edits)
end

return text_edits
