--- Blocks under the wheels of the lifted axle: named heights that readings stand on, alone or stacked.
--
-- A block that is used again errs the same again, and stacked blocks add: its error is one unknown of the fit
-- (core/measure/cgheight.h), wherever it lies. A block is what lies under both wheels, its height the mean of the two.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local measurement = require "steelyard.measure.measurement"
local text = require "steelyard.print.text"

local blocks = {}
local refuse = measurement.refuse

local WHERE = "CG height"
local EXAMPLE = "as in blocks = {a = sy.sd(150, 2)}"
local MOST = 32 -- core/measure/cgheight.h

--- s.blocks = {names = sorted, number = {name = index}, height = {mm}, sd = {mm}}; nil without. A block without an uncertainty of its
-- own has that of a lift, sd.lift.
function blocks.read(s, t)
  if t.blocks == nil then return end
  if s.by == "angle" then refuse(WHERE, "blocks", "clash", "are given, but lifts are by angle", 'write by = "wheel" or "jack"') end
  if not user_values.is_plain(t.blocks) or next(t.blocks) == nil then
    refuse(WHERE, "blocks", "type", "must be a table of heights by name, is " .. user_values.what(t.blocks), EXAMPLE)
  end
  local found = {names = {}, number = {}, height = {}, sd = {}}
  for name in pairs(t.blocks) do
    if type(name) ~= "string" or name == "" then refuse(WHERE, "blocks", "type", "are named by texts", EXAMPLE) end
    found.names[#found.names + 1] = name
  end
  if #found.names > MOST then refuse(WHERE, "blocks", "limit", ("are %d, at most %d fit"):format(#found.names, MOST)) end
  table.sort(found.names, core.before)
  local exact = {}
  for i, name in ipairs(found.names) do
    local height, sd = measurement.number(t.blocks, name, "mm", {above = 0, max = 1e6}, WHERE, "blocks." .. name)
    found.number[name], found.height[i], found.sd[i] = i, height, sd or s.lift_sd or 0
    if not (sd or s.lift_sd) then exact[#exact + 1] = name end
  end
  if #exact > 0 then s.exact[#s.exact + 1] = (#exact == 1 and "block " or "blocks ") .. text.join(exact) end
  s.blocks = found
end

--- The lift of a reading that lists blocks into its entry; false when it lists none.
function blocks.lift(s, r, where, entry)
  local list = r.lift
  if type(list) == "string" then list = {list} end
  if not user_values.is_plain(list) or #list == 0 then return false end
  local lift, used = 0, {}
  entry.blocks = {}
  for i, name in ipairs(list) do
    local number = s.blocks.number[name]
    if not number then
      local near = type(name) == "string" and core.nearest(name, s.blocks.names)
      refuse(where, "lift", "unknown", type(name) == "string" and ("%q is not one of the blocks"):format(name)
        or "must be a list of names of blocks, has " .. user_values.what(name), near and ("did you mean %q?"):format(near)
        or "the blocks are " .. text.join(s.blocks.names))
    end
    if used[name] then refuse(where, "lift", "clash", ("lists block %q twice"):format(name), "two blocks alike have two names") end
    used[name], entry.blocks[i] = true, number
    lift = lift + s.blocks.height[number]
  end
  if lift >= s.wheelbase and s.by == "wheel" then
    refuse(where, "lift", "range", ("is %s mm of blocks, more than the %s of %s mm allows"):format(text.plain(lift),
      s.side and "track" or "wheelbase", text.plain(s.wheelbase)))
  end
  entry.lift, entry.lift_sd = lift, 0
  return true
end

return blocks
