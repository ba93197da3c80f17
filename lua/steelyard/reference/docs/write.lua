--- Writes the reference page and the editor stubs, each into its folder, which must be there:
--
--   steelyard lua/steelyard/reference/docs/write.lua FOLDER [FOLDER OF THE STUBS]
--
-- Without the second the stubs go to lua/meta, and what is made of pages of the source tree is made anew.

local core = require "steelyard.core"
local docs = require "steelyard.reference.docs"
local pieces = require "steelyard.reference.docs.pieces"
local stub = require "steelyard.reference.docs.stub"

local function renew_pieces(top)
  for path in pairs(pieces.files) do
    core.write_file(top .. "/" .. path, pieces.renew(path, core.read_file(top .. "/" .. path)), true)
  end
end

-- top: the top of the source tree, or nil
local function write(folder, stub_folder, top)
  core.write_file(folder .. "/reference.md", docs.reference(), true)
  core.write_file(stub_folder .. "/steelyard.lua", stub.text(), true)
  if top then renew_pieces(top) end
end

if ... ~= "steelyard.reference.docs.write" then -- run as a script, not required
  local folder, stub_folder = ...
  if not folder then core.fail{code = "usage", message = "the folder for reference.md is missing"} end
  write(folder, stub_folder or "lua/meta", not stub_folder and "." or nil)
end

return write
