--- Meshes as files: read, asked for their unit, checked and brought to metres.

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local text = require "steelyard.print.text"

local mesh_file = {}

--- Longest file, MiB: five million triangles of a binary STL are 240.
mesh_file.MOST = 256

mesh_file.units = language.length_units

local MM = core.constants.millimetre
local metres = {} -- in one of each
for _, unit in ipairs(mesh_file.units) do metres[unit] = language.size_of[unit] * MM end

-- What a part of a vehicle measures over its longest side, in metres: the guess that goes with the question.
local SMALLEST, LARGEST = 0.01, 6

-- "1240 x 640 x 310"
local function sides(about, factor)
  local list = {}
  for i = 1, 3 do list[i] = text.plain(tonumber(core.fixed((about.high[i] - about.low[i]) * factor, 1))) end
  return table.concat(list, " x ")
end

-- A hint for a script and one for the command line.
local function likely(about)
  local longest = 0
  for i = 1, 3 do longest = math.max(longest, about.high[i] - about.low[i]) end
  local list, typed = {}, {}
  for _, unit in ipairs {"mm", "inch", "m", "cm"} do
    local size = longest * metres[unit]
    if size >= SMALLEST and size <= LARGEST then
      local makes = (" makes it %s mm"):format(sides(about, metres[unit] * 1000))
      list[#list + 1], typed[#typed + 1] = ('unit = "%s"'):format(unit) .. makes, "--unit " .. unit .. makes
    end
  end
  if #list == 0 then return {'unit = "mm" is usual', "--unit mm is usual"} end
  return {table.concat(list, ", "), table.concat(typed, ", ")}
end

local function refuse(path, code, message, hint)
  core.fail {code = code, file = path, message = message, hint = hint, field = "unit", kind = ""}
end

-- A file does not say its unit, so the user does.
local function factor_of(about, path, unit)
  if metres[unit] then return metres[unit] end
  if unit ~= nil then
    local near = type(unit) == "string" and core.nearest(unit, mesh_file.units)
    refuse(path, "unknown", ("must be one of mm, cm, m, inch and ft, is %s"):format(type(unit) == "string" and unit or "a " .. type(unit)),
      near and ("did you mean %q?"):format(near))
  end
  refuse(path, "missing", ("the file does not say its unit and measures %s of it"):format(sides(about, 1)), likely(about))
end

--- A closed mesh in metres from the bytes of a file. Gives mesh, about (lengths in the file's unit, inward as found), factor.
function mesh_file.open(bytes, path, unit, turn_outward)
  local mesh = core.mesh(bytes, path)
  local about = mesh:about()
  local factor = factor_of(about, path, unit)
  if turn_outward and about.inward > 0 then mesh:turn_outward() end
  local fine, problem = pcall(mesh.check, mesh)
  if not fine then
    if about.inward > 0 then problem.hint, problem.typed = "turn_outward = true has them turned", "--turn has them turned" end
    error(problem, 0)
  end
  mesh:scale(factor)
  return mesh, about, factor
end

return mesh_file
