--- A file of blocks: what a study has worked out so far (PATH.part), and what one shard of it came to.
--
-- "steelyard blocks 1" and a line end, then records: number and size, so many bytes, and their check word (core.check_word); numbers are
-- eight bytes, the lowest first. Record 0 is the heading, in JSON:
--   kind "study" or "spread", hash of the study, version of steelyard, seed, file {name, sha256} of the vehicle, label, blocks,
--   shard {k, n}, about: what the kind needs to make its result of the blocks
-- Behind it stand the blocks of the shard, in their order. The check word of a block goes on from that of the heading, so that a block of
-- another study's file does not pass for one of this.
--
-- A killed run leaves the last record without its end; that record is worked out again.

local core = require "steelyard.core"
local json = require "steelyard.print.json"
local shards = require "steelyard.study.shards"

local part_file = {}

local MARK = "steelyard blocks 1\n"
local ANY_MARK = "^steelyard blocks %d+\n$"
local FRONT, CHECK = "<i8i8", "<i8" -- number and size; check word
local FRONT_BYTES, CHECK_BYTES = FRONT:packsize(), CHECK:packsize()

local function refuse(code, path, message, hint) core.fail{code = code, file = path, message = message, hint = hint} end

-- ---- records ------------------------------------------------------------------------------------------------------

local function check_of(before, front, bytes) return CHECK:pack(core.check_word(before, front, bytes)) end

-- The next record: its number, bytes and check word. Nil where the file ends, false where what stands there is not a whole record.
local function read_record(reader)
  local left = reader.size - reader.at
  if left == 0 then return nil end
  if left < FRONT_BYTES + CHECK_BYTES then return false end
  local front = reader.file:read(FRONT_BYTES)
  local number, size = FRONT:unpack(front)
  if size < 0 or size > left - FRONT_BYTES - CHECK_BYTES then return false end
  local bytes, check = reader.file:read(size), reader.file:read(CHECK_BYTES)
  if check ~= check_of(reader.check, front, bytes) then return false end
  reader.at = reader.at + FRONT_BYTES + size + CHECK_BYTES
  return number, bytes, check
end

-- A record, and its check word.
local function record(before, number, bytes)
  local front = FRONT:pack(number, #bytes)
  local check = check_of(before, front, bytes)
  return front .. bytes .. check, check
end

-- ---- reading ------------------------------------------------------------------------------------------------------

local Reader = {}
Reader.__index = Reader

function Reader:__close() self.file:close() end

-- Behind the last block that is whole, `at` its end.
local function finish(reader, at)
  reader.at, reader.damaged = at, at < reader.size
  if not reader.damaged then return end
  reader.file:seek(at)
  reader.another = reader.file:read(math.min(#MARK, reader.size - at)) == MARK
end

--- The next block of the shard: its number and bytes. Nil behind the last one that is whole; then `complete` says whether it is the
-- shard's last, `damaged` whether anything stands behind it, and `another` whether that begins as a file of blocks does.
function Reader:block()
  local at = self.at
  if self.done == self.last then
    self.complete = true
    return finish(self, at)
  end
  local number, bytes = read_record(self)
  if number ~= self.done + 1 then return finish(self, at) end
  self.done = number
  return number, bytes
end

-- What a JSON text says of a study, its whole numbers as such; nil where it is not a heading.
local function heading_of(bytes)
  local fine, heading = pcall(json.decode, bytes)
  if not fine or type(heading) ~= "table" then return nil end
  heading.blocks = math.tointeger(heading.blocks)
  fine, heading.shard = pcall(shards.read, heading.shard)
  return fine and heading.blocks and heading.blocks >= 0 and heading or nil
end

-- What follows the heading begins at byte `at`.
local function set_heading(reader, heading, check, at)
  reader.heading, reader.check, reader.at = heading, check, at
  reader.first, reader.last = shards.range(heading.blocks, heading.shard)
  reader.done = reader.first - 1
end

-- The heading of a file that is open: nil where it is not one of ours, false where it is damaged.
local function read_heading(reader)
  local mark = reader.file:read(math.min(#MARK, reader.size))
  if mark ~= MARK then return nil, mark:find(ANY_MARK) ~= nil end
  reader.at, reader.check = #MARK, ""
  local number, bytes, check = read_record(reader)
  if number ~= 0 then return false end
  local heading = heading_of(bytes)
  if not heading then return false end
  set_heading(reader, heading, check, reader.at)
  return heading
end

local function new_reader(file) return setmetatable({file = file, size = file:size(), at = 0}, Reader) end

-- The file of a shard. Where it is not there yet, its run may have stopped.
local function opened(path)
  local fine, file = pcall(core.read_grown, path)
  if fine then return file end
  local begun, part = pcall(core.read_grown, path .. ".part")
  if begun then
    part:close()
    file.hint = ("%s.part is: that shard is not done, and run again it goes on from there"):format(path)
  end
  error(file, 0)
end

--- A file of blocks, to be read; raises "type" for another file.
function part_file.read(path)
  local reader = new_reader(opened(path))
  local heading, other = read_heading(reader)
  if heading then return reader end
  reader.file:close()
  if heading == false then refuse("content", path, "is damaged at its beginning", "run that shard again") end
  refuse("type", path, other and "was written by another version of steelyard"
    or reader.size == 0 and "is empty, not a shard of a study" or "is not a shard of a study",
    other and "run all shards with one version" or "a shard is what a study writes with --shard K/N --to FILE")
end

-- ---- comparing ----------------------------------------------------------------------------------------------------

local function or_none(value)
  if type(value) == "number" then return core.shortest(value) end
  return value == nil and "none" or tostring(value)
end

--- In which words two headings are not of one study; nil when they are.
function part_file.differs(a, b)
  if a.version ~= b.version then return ("steelyard %s, not %s"):format(a.version, b.version) end
  if a.hash == b.hash then return nil end
  if a.kind ~= b.kind then return ("a %s, not a %s"):format(a.kind, b.kind) end
  if a.seed ~= b.seed then return ("seed %s, not %s"):format(or_none(a.seed), or_none(b.seed)) end
  local one, other = a.file or {}, b.file or {}
  if one.sha256 ~= other.sha256 then
    local same = one.name == other.name
    return same and ("%s was changed in between"):format(or_none(one.name)) or
      ("of %s, not of %s"):format(or_none(one.name), or_none(other.name))
  end
  return "other inputs, outputs or limits"
end

-- ---- growing ------------------------------------------------------------------------------------------------------

local function heading_record(heading) return record("", 0, json.encode(heading)) end

local function begin(part, heading)
  local whole, check = heading_record(heading)
  part.file:cut(0)
  part.file:append(MARK .. whole)
  part.size = part.file:size()
  set_heading(part, heading, check, part.size)
end

-- Was a run killed before its heading was whole?
local function is_begun(part, heading)
  local whole = MARK .. heading_record(heading)
  if part.size >= #whole then return false end
  part.file:seek(0)
  return part.file:read(part.size) == whole:sub(1, part.size)
end

local function check_same(path, found, heading)
  local why = part_file.differs(found, heading)
  if why then
    refuse("clash", path, ("is of another study (%s) and stays as it is"):format(why), "remove it, or choose another name")
  end
  if found.shard[1] ~= heading.shard[1] or found.shard[2] ~= heading.shard[2] then
    refuse("clash", path, ("is %s, not %s"):format(shards.name(found.shard), shards.name(heading.shard)),
      "give each shard a file of its own")
  end
end

local function go_on(part, path, heading)
  if is_begun(part, heading) then return begin(part, heading) end
  part.file:seek(0)
  local found, other = read_heading(part)
  if found then return check_same(path, found, heading) end
  if found == false then refuse("content", path, "is damaged at its beginning and cannot go on", "remove it: the study begins again") end
  if other then
    refuse("clash", path, "was written by another version of steelyard and stays as it is", "remove it, or choose another name")
  end
  refuse("clash", path, "is not of a study and stays as it is", "choose another name")
end

--- Open PATH.part to go on from what it holds, or begin it. Read its blocks to their end first; then append more. Raises "clash" when it
-- is of something else.
function part_file.grow(path, heading)
  local part = new_reader(core.grow_file(path))
  part.path = path
  local fine, err = pcall(go_on, part, path, heading)
  if fine then return part end
  part.file:close()
  error(err, 0)
end

--- The next block, behind those that were read; what stood behind them goes.
function Reader:append(number, bytes)
  if self.at < self.size then self.file:cut(self.at) end
  local whole = record(self.check, number, bytes)
  self.file:append(whole)
  self.at = self.at + #whole
  self.size, self.done = self.at, number
end

return part_file
