--- Writes modules compiled into one file for the command, which starts faster from it (see lua/host_home.c).
--
--   steelyard lua/steelyard/command/precompile.lua OUT lua/steelyard/init.lua lua/steelyard/car/car.lua ...
--
-- The check word of a list, its size, the list, and the code of one module after the other. The list has for each the size of its name,
-- of its source and of its code, the check word of its code (numbers in eight bytes, the lowest first), and its name. Names of files and
-- variables and numbers of lines are left out: they are a third of what would have to be read at each start.

local core = require "steelyard.core"

local function read(path)
  local file <close>, why = io.open(path, "rb")
  if not file then core.fail{code = "io", message = why} end
  return file:read "a"
end

-- "lua/steelyard/print/text.lua" -> "steelyard.print.text"
local function module_name(path)
  return (path:gsub("^lua/", ""):gsub("%.lua$", ""):gsub("/", "."):gsub("%.init$", ""))
end

-- entry of the list, code
local function compile(path)
  local source = read(path)
  local chunk, why = load(source, "@" .. path, "t")
  if not chunk then core.fail{code = "syntax", message = why} end
  local code = string.dump(chunk, true)
  local name = module_name(path)
  return string.pack("<I8I8I8i8", #name, #source, #code, core.check_word(code)) .. name, code
end

local out = ...
if not out then core.fail{code = "usage", message = "the name of the file to write is missing"} end
local list, codes = {}, {}
for i = 2, select("#", ...) do list[i - 1], codes[i - 1] = compile((select(i, ...))) end
local listed = table.concat(list)
core.write_file(out, string.pack("<i8s8", core.check_word(listed), listed) .. table.concat(codes), true)
