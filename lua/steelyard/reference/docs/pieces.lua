--- Pieces of files that people write, made from the tables: between a line with "made: NAME" and the next one with "made: end".
--
-- luacheck's list of the words of a vehicle file in .luacheckrc, and the tables of words and fields in vehicles/README.md.

local file_fields = require "steelyard.reference.docs.file_fields"
local fields = require "steelyard.file.fields"
local language = require "steelyard.file.language"

local pieces = {}

local WIDTH = 120 -- of a line of words

local function words_of_files()
  local lines, line = {}, " "
  local list = language.words
  for _, rows in ipairs{list.others, list.items, list.shapes, list.units} do
    for _, row in ipairs(rows) do
      local word = (' "%s",'):format(row[1])
      if #line + #word > WIDTH then lines[#lines + 1], line = line, " " end
      line = line .. word
    end
  end
  lines[#lines + 1] = line
  return table.concat(lines, "\n") .. "\n"
end

local function text_of(lines) return table.concat(lines, "\n") .. "\n" end

local tables = {shapes = function() return text_of(file_fields.shapes()) end, units = function() return text_of(file_fields.units()) end}
for _, kind in ipairs(fields.all_kinds()) do
  local without = language.entry_kinds[kind] and kind ~= "part" and kind ~= "group" and "part" or nil -- the shared fields stand there
  tables["fields of " .. kind] = function() return text_of(file_fields.lines(kind, without)) end
end

--- File -> name of a piece -> what makes it.
pieces.files = {[".luacheckrc"] = {words = words_of_files}, ["vehicles/README.md"] = tables}

--- The text of a file with its pieces made anew; an error names a piece that it lacks.
function pieces.renew(path, text)
  for name, make in pairs(pieces.files[path]) do
    local _, from = text:find("made: " .. name .. "[^\n]*\n")
    local to = from and text:find("[^\n]*made: end", from + 1)
    if not to then require("steelyard.core").fail{code = "missing", file = path, message = ("has no piece %q"):format(name)} end
    text = text:sub(1, from) .. make() .. text:sub(to)
  end
  return text
end

return pieces
