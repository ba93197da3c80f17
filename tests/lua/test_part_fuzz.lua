-- Files of blocks whose check words fit and whose contents do not: headings and blocks changed at random and sealed anew, as a faulty disk
-- never leaves them but another program or version may. Such a file is refused with a sentence, or it says the same study: no error of the
-- language, no crash, no result from bytes of another size.
-- Under the command alone: the blocks are read by C.

local check = dofile "tests/lua/check.lua"
local new_dice = dofile "tests/lua/dice.lua"
local core = require "steelyard.core"
local json = require "steelyard.print.json"
local sy = require "steelyard"

local TRIES = tonumber(os.getenv "FUZZ_TRIES" or 400) -- of each kind of study

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))
local car = sy.load "vehicles/first_guess.lua":state "race start"

local makers = {
  study = function(to, k)
    sy.study{car, vary = {sy.vary("powertrain", "back", -40, 60, 9), sy.vary("driver", "mass", {60, 90})}, show = {"front_share", "lf"},
      worst_over = {"driver"}, front = {front_share = "most"}, to = to, shard = {k, 2}, quiet = true}
  end,
  spread = function(to, k)
    sy.spread{car, draws = 1000, seed = 3, show = {"mass", "front_share"}, below = {mass = 760}, to = to, shard = {k, 2}, quiet = true}
  end,
}

local function read(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local function write(path, bytes)
  local file <close> = assert(io.open(path, "wb"))
  file:write(bytes)
end

-- {number, bytes} of the records of a file; as part_file.lua says.
local function records_of(bytes)
  local mark, list = bytes:match "^[^\n]+\n", {}
  local at = #mark + 1
  while at <= #bytes do
    local number, size = ("<i8i8"):unpack(bytes, at)
    list[#list + 1] = {number, bytes:sub(at + 16, at + 15 + size)}
    at = at + 16 + size + 8
  end
  return mark, list
end

local function sealed(mark, list)
  local pieces, before = {mark}, ""
  for i, entry in ipairs(list) do
    local front = ("<i8i8"):pack(entry[1], #entry[2])
    local word = ("<i8"):pack(core.check_word(before, front, entry[2]))
    pieces[#pieces + 1] = front .. entry[2] .. word
    if i == 1 then before = word end
  end
  return table.concat(pieces)
end

-- ---- changes ---------------------------------------------------------------------------------------------------------------------

local odd = {0, -1, 1, 2, 3, 7, 1e9, 1e300, -2 ^ 53, 0.5, "", "front_share", "x", true, false, json.null}

-- A value anywhere in a tree becomes another, is left out, or a list gets one more.
local function change_tree(dice, tree)
  local keys = {}
  for key in pairs(tree) do keys[#keys + 1] = key end
  table.sort(keys, function(a, b) return tostring(a) < tostring(b) end)
  if #keys == 0 then return end
  local key = dice.pick(keys)
  local value = tree[key]
  if type(value) == "table" and getmetatable(value) == nil and dice.chance(75) then return change_tree(dice, value) end
  local what = dice.below(4)
  if what == 0 and math.type(key) == "integer" then table.remove(tree, key)
  elseif what == 0 then tree[key] = nil
  elseif what == 1 and #tree > 0 then tree[#tree + 1] = tree[1]
  elseif what == 2 then tree[key] = {}
  else tree[key] = dice.pick(odd) end
end

local function change_bytes(dice, bytes)
  local at = dice.between(1, math.max(#bytes, 1))
  local what = dice.below(4)
  if what == 0 then return bytes:sub(1, at - 1) end
  if what == 1 then return bytes .. bytes:sub(at) end
  if what == 2 then return "" end
  return bytes:sub(1, at - 1) .. string.char(dice.below(256)) .. bytes:sub(at + 1)
end

local function changed(dice, bytes)
  local mark, list = records_of(bytes)
  if dice.chance(60) then
    local heading = json.decode(list[1][2])
    for _ = 1, dice.between(1, 2) do change_tree(dice, dice.chance(80) and type(heading.about) == "table" and heading.about or heading) end
    list[1][2] = json.encode(heading)
  else
    local i = dice.between(1, #list)
    list[i][2] = change_bytes(dice, list[i][2])
  end
  return sealed(mark, list)
end

-- ---- tries -----------------------------------------------------------------------------------------------------------------------------

for kind, make in pairs(makers) do
  check.test("a_sealed_file_of_a_" .. kind .. "_with_anything_in_it_is_refused_or_read", function()
    local paths, whole = {folder .. "/1", folder .. "/2"}, {}
    for k = 1, 2 do
      os.remove(paths[k])
      make(paths[k], k)
      whole[k] = read(paths[k])
    end
    check.ok(sealed(records_of(whole[1])) == whole[1], "sealed as the program does")
    local want, refused = tostring(sy.merge(paths)), 0
    for try = 1, TRIES do
      local dice = new_dice(1000 + try)
      local k = dice.between(1, 2)
      write(paths[k], changed(dice, whole[k]))
      local fine, result = pcall(sy.merge, paths)
      if fine then fine, result = pcall(tostring, result) end
      if not fine then
        refused = refused + 1
        check.ok(type(result) == "table" and result.code ~= nil, ("try %d: %s"):format(try, tostring(result)))
      end
      write(paths[k], whole[k])
    end
    check.ok(refused > TRIES / 4, refused .. " refused")
    check.ok(tostring(sy.merge(paths)) == want)
  end)
end

os.execute("rm -r " .. folder)
check.done()
