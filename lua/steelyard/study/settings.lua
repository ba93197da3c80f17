--- Settings of a study: what calls take beside the car (left_turn, braking, slope, bars ...), by flat names ("slope.nose_up").
--
-- Which call takes which stands in reference/options/springs.lua; a setting goes to every call that knows it.

local core = require "steelyard.core"
local options = require "steelyard.reference.options"
local text = require "steelyard.print.text"

local settings = {}

--- Sets of answers that take settings, in the order in which they are asked.
settings.sets = {"corners", "attitude", "transfer", "stability"}

local left_out = {against = true, measured = true} -- of car:attitude: not numbers

local rows, names -- name -> row; names in order

local function note(row, set)
  local name = row[1]:gsub("%?$", "")
  if left_out[name] then return end
  local known = rows[name]
  if not known then
    known = {name = name, unit = row[2] == "options.slope" and "deg" or row[3], sets = {}, type = row[2]}
    if row[2]:find '^"' then
      known.words = {}
      for word in row[2]:gmatch '"([^"]*)"' do table.insert(known.words, word) end
    end
    rows[name], names[#names + 1] = known, name
  end
  known.sets[set] = true
end

local function read()
  rows, names = {}, {}
  local all = options.all()
  for _, set in ipairs(settings.sets) do
    for i = 2, #all[set] do note(all[set][i], set) end
  end
end

-- "by_wheel" "by_axle" "options.slope": what stands in it is a number by its key.
local function in_pieces(row) return row.type:find "^by_" or row.type:find "^options%." end

--- {name, unit, sets = {[set] = true}, words = list or nil} of a setting that may be varied, nil where there is none.
function settings.row(name)
  if not rows then read() end
  local whole, key = name:match "^([^.]+)%.?(.*)$"
  local row = rows[whole]
  if not row or row.type == "boolean" or (key ~= "") ~= (in_pieces(row) ~= nil) then return nil end
  return row
end

--- May this stand in a study beside what is varied?
function settings.known(name)
  if not rows then read() end
  return rows[name] ~= nil
end

--- Does a call of that set take it?
function settings.takes(set, name) return settings.known(name) and rows[name].sets[set] == true end

--- All names, for messages.
function settings.names()
  if not rows then read() end
  return names
end

--- Refuses a name that is not one.
function settings.refuse(name)
  local row = settings.known(name) and rows[name]
  if row and in_pieces(row) then
    core.fail{code = "missing", field = name, message = "is set by its pieces", hint = ("as in sy.vary(%q, ...)"):format(
      name .. (row.type == "by_axle" and ".front" or row.type == "by_wheel" and ".lf" or ".nose_up"))}
  end
  local list = table.move(names, 1, #names, 1, {"state"})
  local near = core.nearest(name, list)
  core.fail{code = "unknown", field = name, message = "is not a setting", hint = near and ("did you mean %q?"):format(near)
    or ("a part is varied as in sy.vary(%q, \"back\", -50, 50, 5); settings are %s"):format(name, text.join(names))}
end

--- Refuses a word that a setting does not take.
function settings.check_word(row, word)
  for _, known in ipairs(row.words or {}) do
    if known == word then return end
  end
  local near = row.words and core.nearest(word, row.words)
  core.fail{code = "type", field = row.name, message = ("cannot be %s"):format(text.named(word)),
            hint = near and ("did you mean %q?"):format(near) or row.words and "it is " .. text.join(row.words, "or") or "it is a number"}
end

-- A copy to write into.
local function copied(given)
  local copy = {}
  for key, value in pairs(given) do copy[key] = type(value) == "table" and getmetatable(value) == nil and copied(value) or value end
  return copy
end

--- The settings with those of `values` (flat name -> number or word) over them.
function settings.with(given, values)
  local all = copied(given)
  for name, value in pairs(values) do
    local whole, key = name:match "^([^.]+)%.?(.*)$"
    if key == "" then
      all[whole] = value
    else
      all[whole] = all[whole] or {}
      all[whole][key] = value
    end
  end
  return all
end

--- What a call of that set takes of them; nil for nothing.
function settings.for_set(all, set)
  local taken
  for name, value in pairs(all) do
    local row = rows[name]
    if row and row.sets[set] then
      taken = taken or {}
      taken[name] = value
    end
  end
  return taken
end

return settings
