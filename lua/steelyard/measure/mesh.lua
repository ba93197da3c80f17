--- sy.mesh(path, {unit =, mass = or density =}): volume, centroid and inertia of a body drawn elsewhere; see options/measuring.lua.

local core = require "steelyard.core"
local measurement = require "steelyard.measure.measurement"
local mesh_file = require "steelyard.file.mesh_file"
local options = require "steelyard.reference.options"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local mesh = {}
local Body = require("steelyard.reference.results").kind "mesh"

local entries = {"xx", "yy", "zz", "xy", "xz", "yz"}

-- What was asked, checked: unit, mass, mass_sd, density, density_sd, turn_outward.
local function read_options(given)
  local o = measurement.fields(given or {}, options.names("measuring", "mesh"), "sy.mesh")
  local asked = {unit = o.unit, turn_outward = measurement.flag(o, "turn_outward", "sy.mesh")}
  asked.mass, asked.mass_sd = measurement.number(o, "mass", "kg", {above = 0}, "sy.mesh")
  asked.density, asked.density_sd = measurement.number(o, "density", "kg/L", {above = 0, max = 30}, "sy.mesh")
  if asked.mass and asked.density then
    measurement.refuse("sy.mesh", "density", "clash", "stands beside mass, one of the two is enough")
  end
  return asked
end

-- kg and its standard uncertainty, or nil when neither was said
local function mass_of(asked, litres)
  if asked.mass then return asked.mass, asked.mass_sd end
  if asked.density then return asked.density * litres, asked.density_sd and asked.density_sd * litres end
end

local function add_notes(list, about, asked, mass)
  if about.inward > 0 then
    list[#list + 1] = ("%s turned round: they looked inward"):format(text.count(about.inward, "triangle"))
  end
  if about.collapsed > 0 then
    list[#list + 1] = ("%s left out: two of their corners are at the same place"):format(text.count(about.collapsed, "triangle"))
  end
  if about.shells - about.cavities > 1 then
    list[#list + 1] = ("%d separate bodies, weighed as one"):format(about.shells - about.cavities)
  end
  if mass then
    list[#list + 1] = asked.mass and "inertia is that of a uniform body of this shape scaled to the mass: an estimate"
      or "mass and inertia are those of a uniform body of this shape"
  end
  list[#list + 1] = "a surface that cuts through itself is not noticed"
end

--- The result for the file at `path`.
function mesh.of(path, given)
  if type(path) ~= "string" then
    core.fail {code = "type", message = ("sy.mesh needs the path of a file, not %s"):format(require("steelyard.print.text").named(path))}
  end
  local asked = read_options(given)
  local bytes = core.read_file(path, mesh_file.MOST)
  local handle, about, factor = mesh_file.open(bytes, path, asked.unit, asked.turn_outward)
  local body = handle:body()
  local litres = body.volume * 1e3
  local mass, mass_sd = mass_of(asked, litres)
  local result = {heading = ("%s, in %s"):format(path:match "[^/]*$", asked.unit), state = "a body by itself", notes = {},
    sd = {mass = mass_sd}, volume = litres,
    area = body.area, mass = mass, cg = {}, size = {}, triangles = about.triangles, shells = about.shells,
    cavities = about.cavities, format = about.format}
  for i, letter in ipairs {"x", "y", "z"} do
    result.cg[letter] = body.centroid[i] * 1e3
    result.size[letter] = (about.high[i] - about.low[i]) * factor * 1e3
  end
  if mass then
    result.inertia, result.sd.inertia = {}, mass_sd and {} or nil
    for _, name in ipairs(entries) do
      result.inertia[name] = body.inertia[name] * mass
      if mass_sd then result.sd.inertia[name] = math.abs(body.inertia[name]) * mass_sd end
    end
  end
  add_notes(result.notes, about, asked, mass)
  return origin.of_readings(setmetatable(result, Body), {file = path, bytes = bytes})
end

function Body.__tostring(r)
  local sd = r.sd
  local rows = {
    {"length along x, y, z, mm", ("%s  %s  %s"):format(text.fixed(r.size.x, 1), text.fixed(r.size.y, 1), text.fixed(r.size.z, 1))},
    {"volume, litres", text.fixed(r.volume, 3)},
    {"surface area, m2", text.fixed(r.area, 4)},
    {"CG at x, y, z of the file, mm", ("%s  %s  %s"):format(text.fixed(r.cg.x, 1), text.fixed(r.cg.y, 1), text.fixed(r.cg.z, 1))},
  }
  if r.mass then
    rows[#rows + 1] = {"mass, kg", text.plus_minus(r.mass, sd.mass, 3)}
    for _, name in ipairs(entries) do
      rows[#rows + 1] = {"inertia " .. name .. ", kg m2", text.plus_minus(r.inertia[name], sd.inertia and sd.inertia[name], 5)}
    end
  end
  rows[#rows + 1] = {"surface", ("%s, %s%s%s"):format(r.format, text.count(r.triangles, "triangle"),
    r.shells > 1 and (", %d shells"):format(r.shells) or "",
    r.cavities > 0 and " (" .. text.count(r.cavities, "cavity", "cavities") .. ")" or "")}
  local lines = {sd.mass and page.heading(r.heading) or r.heading, text.table({{"", "%s"}, {"", "%s"}}, rows)}
  return page.of(r, lines)
end

return mesh
