--- sy.merge{"one.shard", "two.shard", ...}: the shards of a study, joined to the result that one run of all of it gives, to the byte.
--
-- The shards may come in any order. Nothing is joined unless all are there, whole, and of one study.

local core = require "steelyard.core"
local text = require "steelyard.print.text"
local part_file = require "steelyard.study.part_file"
local shards = require "steelyard.study.shards"

local merge = {}

--- By kind of study, what makes a result of its blocks: module.restored(heading) -> take(block, bytes), result().
merge.kinds = {
  study = function() return require "steelyard.study.restored" end,
  spread = function() return require "steelyard.study.spread_restored" end,
}

local function refuse(code, path, message, hint) core.fail{code = code, file = path, message = message, hint = hint} end

local function check_list(paths)
  local count = type(paths) == "table" and #paths or 0
  for i = 1, count do
    if type(paths[i]) ~= "string" then count = 0 end
  end
  if count > 0 then return end
  core.fail{code = "type", message = ("sy.merge needs the files of the shards, not %s"):format(text.named(paths)),
    hint = 'such as sy.merge{"window.1of2", "window.2of2"}'}
end

local function check_same(path, heading, first_path, first)
  local why = part_file.differs(heading, first)
  if why then refuse("type", path, ("is of another study than %s: %s"):format(first_path, why), "merge shards of one study") end
  if heading.shard[2] ~= first.shard[2] then
    refuse("type", path, ("is one of %d shards, %s one of %d"):format(heading.shard[2], first_path, first.shard[2]), "run all with one K/N")
  end
end

-- Another version may work out the same blocks to other bytes, and read them in another way.
local function check_version(path, heading)
  if heading.version == core.version then return end
  refuse("type", path, ("is of steelyard %s, and this is %s"):format(tostring(heading.version), core.version),
    "merge the shards with the version that wrote them, or run all again")
end

-- The heading of the first file, and the path of each shard by its number.
local function sorted(paths)
  local by_number, first = {}, nil
  for _, path in ipairs(paths) do
    local reader <close> = part_file.read(path)
    local heading = reader.heading
    first = first or heading
    check_same(path, heading, paths[1], first)
    local k = heading.shard[1]
    if by_number[k] then
      refuse("clash", path, by_number[k] == path and "is given twice"
        or ("is %s, as %s is"):format(shards.name(heading.shard), by_number[k]), "each shard counts once")
    end
    by_number[k] = path
  end
  check_version(paths[1], first)
  return first, by_number
end

local function check_all_there(by_number, count)
  local missing, hint = {}, nil
  for k = 1, count do
    if not by_number[k] then
      missing[#missing + 1] = ("%d"):format(k)
      hint = hint or ("run it with --shard %d/%d"):format(k, count)
    end
  end
  if not hint then return end
  local one = #missing == 1
  core.fail{code = "missing", message = ("%s %s of %d %s missing"):format(one and "shard" or "shards", text.join(missing), count,
    one and "is" or "are"), hint = hint}
end

-- Calls f with what a file says. Its check words fit, so what does not go together there was written by something else.
local function trusting(path, f, ...)
  local fine, found, more = pcall(f, ...)
  if fine then return found, more end
  if getmetatable(found) == core.error_metatable then error(found, 0) end
  refuse("content", path, "does not hold together as a study", "run that shard again with this version")
end

local function take_all(path, take)
  local reader <close> = part_file.read(path)
  for block, bytes in reader.block, reader do trusting(path, take, block, bytes) end
  if reader.complete and not reader.damaged then return end
  local name = shards.name(reader.heading.shard)
  local percent = shards.percent(reader.done - reader.first + 1, reader.last - reader.first + 1)
  if reader.another then
    refuse("clash", path, ("holds %s%s and behind it another"):format(percent < 100 and ("%d %% of "):format(percent) or "", name),
      "each shard has a file of its own: run them again")
  end
  if reader.damaged then
    refuse("content", path, ("is damaged behind %d %% of %s"):format(percent, name), "remove it and run that shard again")
  end
  refuse("missing", path, ("holds %d %% of %s"):format(percent, name), "run that shard again: it goes on from there")
end

--- sy.merge(paths) -> the whole result.
function merge.of(paths)
  check_list(paths)
  local heading, by_number = sorted(paths)
  check_all_there(by_number, heading.shard[2])
  local kind = merge.kinds[heading.kind]
  if not kind then refuse("type", paths[1], ("is a %s, which this version does not know"):format(text.named(heading.kind))) end
  local take, result = trusting(paths[1], kind().restored, heading)
  for k = 1, heading.shard[2] do take_all(by_number[k], take) end
  local joined = trusting(paths[1], result)
  trusting(paths[1], tostring, joined) -- its page asks for all that a heading says
  return joined
end

return merge
