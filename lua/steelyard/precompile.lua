--- Writes modules compiled into one file for the command, which starts faster from it (see lua/host_home.c).
--
--   steelyard lua/steelyard/precompile.lua OUT lua/steelyard/init.lua lua/steelyard/car.lua ...
--
-- One record a module: name, zero, size of the source, size of the code (eight bytes each, the lowest first), code. Line
-- numbers are kept, so errors say the same; names of files are as given.

local core = require "steelyard.core"

local function read(path)
  local file <close>, why = io.open(path, "rb")
  if not file then core.fail{code = "io", message = why} end
  return file:read "a"
end

-- "lua/steelyard/draw/side.lua" -> "steelyard.draw.side"
local function module_name(path)
  return (path:gsub("^lua/", ""):gsub("%.lua$", ""):gsub("/", "."):gsub("%.init$", ""))
end

local function record(path)
  local source = read(path)
  local chunk, why = load(source, "@" .. path, "t")
  if not chunk then core.fail{code = "syntax", message = why} end
  return string.pack("<zI8s8", module_name(path), #source, string.dump(chunk))
end

local out = ...
if not out then core.fail{code = "usage", message = "the name of the file to write is missing"} end
local records = {}
for i = 2, select("#", ...) do records[#records + 1] = record((select(i, ...))) end
local beside = out .. ".new"
local file = assert(io.open(beside, "wb"))
assert(file:write(table.concat(records)))
assert(file:close())
assert(os.rename(beside, out))
