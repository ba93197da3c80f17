--- Writes modules compiled into one file for the command, which starts faster from it (see lua/host_home.c).
--
--   steelyard lua/steelyard/precompile.lua OUT lua/steelyard/init.lua lua/steelyard/car.lua ...
--
-- The size of a list, the list, and the code of one module after the other. The list has for each its name, a zero, the size of its
-- source and that of its code (sizes in eight bytes, the lowest first). Names of files and variables and numbers of lines are left
-- out: they are a third of what would have to be read at each start.

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

-- entry of the list, code
local function compile(path)
  local source = read(path)
  local chunk, why = load(source, "@" .. path, "t")
  if not chunk then core.fail{code = "syntax", message = why} end
  local code = string.dump(chunk, true)
  return string.pack("<zI8I8", module_name(path), #source, #code), code
end

local out = ...
if not out then core.fail{code = "usage", message = "the name of the file to write is missing"} end
local list, codes = {}, {}
for i = 2, select("#", ...) do list[i - 1], codes[i - 1] = compile((select(i, ...))) end
local beside = out .. ".new"
local file = assert(io.open(beside, "wb"))
assert(file:write(string.pack("<s8", table.concat(list)), table.concat(codes)))
assert(file:close())
assert(os.rename(beside, out))
