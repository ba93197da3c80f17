--- keep_old.keep(path), keep_old.name(path): what a file says now goes to history/NAME-n.lua beside it, so that it can still be read from
-- there.
--
-- A file in history/ reaches no table of the folder above: the parts of its tables stand in the kept file itself. Meshes are copied to the
-- same names below history/.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local draft = require "steelyard.car.draft"
local load = require "steelyard.car.load"
local text_edits = require "steelyard.file.text_edits"
local written = require "steelyard.file.written"

local keep_old = {}

local function folder_of(path) return path:match "^(.*/)" or "" end

-- The text with the parts of its tables in it.
local function with_tables(path, bytes, c)
  local raw, is_data = load.raw(bytes, path)
  local d = draft.of(c, raw.vehicle, bytes, {expand = true})
  return is_data and text_edits.apply(bytes, raw.vehicle, d.vehicle, {from = d.from}) or written.file(d.vehicle)
end

-- Names of the meshes that a car's file names.
local function meshes_of(c)
  local names, seen = {}, {}
  for _, node in ipairs(c.shared.nodes) do
    local name = node.shape and node.shape.kind == "mesh" and node.shape.file
    if name and not seen[name] then
      seen[name] = true
      names[#names + 1] = name
    end
  end
  return names
end

local function copy_mesh(path, name)
  local bytes = core.read_beside(path, name)
  local history = folder_of(path) .. "history/"
  local target = history .. name
  if core.is_there(target) then
    if core.read_file(target) == bytes then return end
    core.fail{code = "clash", file = target, message = "is another mesh than the one that the old file names",
              hint = "rename one of the two, or save under a name that is not there yet"}
  end
  for last in name:gmatch "()/" do core.make_folder(history .. name:sub(1, last - 1)) end
  core.write_file(target, bytes)
end

--- The name under which a file would be kept, from its folder on.
function keep_old.name(path)
  local base, n = path:match "([^/]*)$":gsub("%.lua$", ""), 1
  local function name() return ("history/%s-%d.lua"):format(base, n) end
  while core.is_there(folder_of(path) .. name()) do n = n + 1 end
  return name()
end

--- Keeps it; gives the path of the kept file.
function keep_old.keep(path)
  local bytes = core.read_file(path)
  local fine, car = pcall(load.file, path, bytes) -- what lies there may be no vehicle file at all
  local c = fine and contents.inside(car) or nil
  local kept = bytes
  core.make_folder(folder_of(path) .. "history")
  if c and #c.shared.spec.tables > 0 then kept = with_tables(path, bytes, c) end
  for _, name in ipairs(c and meshes_of(c) or {}) do copy_mesh(path, name) end
  local target = folder_of(path) .. keep_old.name(path)
  core.write_file(target, kept)
  return target
end

return keep_old
