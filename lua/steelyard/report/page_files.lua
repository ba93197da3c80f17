--- The style and the scripts of the page, our own files in the folder page/ beside this one, as they are sent along with every report.
--
-- They are read when a report is made and not compiled with the modules: a browser takes them as text.

local core = require "steelyard.core"

local page_files = {}

local _, own_path = ... -- as require found this file
local folder = own_path:gsub("page_files%.lua$", "page/")

--- Scripts in the order in which they use each other, lowest first; one scope holds them all.
page_files.scripts = {"data", "numbers", "tables", "provenance", "statement", "ledger", "records", "chart", "studies", "start"}

local function read(name)
  local file <close>, why = io.open(folder .. name, "rb")
  if not file then core.fail{code = "io", file = folder .. name, message = "cannot be read: " .. why} end
  return file:read "a"
end

-- Without comments on lines of their own and without indents: who reads a page does not read these, and they are an eighth of it.
local function short(text) return (("\n" .. text):gsub("\n%s*//[^\n]*", "\n"):gsub("\n%s+", "\n"):sub(2)) end

function page_files.style() return short(read "style.css") end

function page_files.script()
  local list = {}
  for i, name in ipairs(page_files.scripts) do list[i] = short(read(name .. ".js")) end
  return '"use strict";\n(() => {\n' .. table.concat(list, "\n") .. "})();\n"
end

return page_files
