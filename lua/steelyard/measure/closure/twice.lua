--- What two assemblies both book: a line of the same name in each, or a line that another assembly's line includes.
--
--   twice.find(lines) -> list of {name =, mass = kg counted again, assemblies = {"engine", "transaxle"}, included_by = name or nil}
--
-- Names are compared as words, so that "Flywheel" and "flywheels" are one. The first assembly keeps the line, what later ones add
-- to it is counted again.

local match = require "steelyard.file.name_match"

local twice = {}

local function words_of(name) return table.concat(match.words(name), " ") end

local function add_assembly(entry, assembly)
  for _, known in ipairs(entry.assemblies) do
    if known == assembly then return end
  end
  entry.assemblies[#entry.assemblies + 1] = assembly
end

-- words -> the first line of that name
local function first_lines(lines, list)
  local first, entries = {}, {}
  for _, line in ipairs(lines) do
    local words = words_of(line.name)
    local other = first[words]
    if not other then
      first[words] = line
    elseif other.assembly ~= line.assembly then
      local entry = entries[words]
      if not entry then
        entry = {name = other.name, mass = 0, assemblies = {other.assembly}}
        entries[words], list[#list + 1] = entry, entry
      end
      entry.mass = entry.mass + line.mass
      add_assembly(entry, line.assembly)
    end
  end
  return first, entries
end

--- The list; lines without an assembly have "" there.
function twice.find(lines)
  local list = {}
  local first, entries = first_lines(lines, list)
  for _, line in ipairs(lines) do
    for _, thing in ipairs(line.includes or {}) do
      local words = words_of(thing)
      local own = first[words]
      if own and own ~= line and not entries[words] then
        local entry = {name = own.name, mass = own.mass, assemblies = {line.assembly}, included_by = line.name}
        add_assembly(entry, own.assembly)
        entries[words], list[#list + 1] = entry, entry
      end
    end
  end
  return list
end

return twice
