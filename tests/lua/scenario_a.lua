--- The eighteen lines of a first guess, as plain numbers: name, kg, x back, y right, z up (mm), standard uncertainty (kg).
--
-- Invented data. The answers that tests hold against them were worked out twice, apart from this project: once by hand-written
-- sums (M = sum m, x = sum m x / M, front = M (L - x) / L), once by a symbolic derivation of the same statics.

local lines = {
  {"tub and hoop", 78, 1020, 0, 360, 8},
  {"rear frame", 24, 2050, 0, 330, 4},
  {"engine", 168, 1810, 0, 345, 0.5},
  {"transaxle", 62, 2390, 0, 300, 0.3},
  {"front corners", 59, 0, 0, 292, 1, unsprung = "front"},
  {"rear corners", 66, 2450, 0, 305, 1, unsprung = "rear"},
  {"front links and rack", 22, 60, 0, 330, 2},
  {"rear links and shafts", 20, 2400, 0, 330, 2},
  {"cooling, wet", 21, -350, 0, 300, 2},
  {"tank", 9, 1290, 0, 310, 1},
  {"fuel", 29.8, 1290, 0, 310, 0.4},
  {"battery", 12, 600, -250, 250, 0.1},
  {"loom and ECU", 16, 1300, 0, 350, 4},
  {"body", 46, 1250, 0, 520, 8},
  {"exhaust", 18, 2500, 0, 330, 2},
  {"oil and tank", 14, 1500, 150, 400, 1},
  {"seat, pedals, column", 26, 750, 120, 330, 3},
  {"driver", 80, 1010, 180, 370, 0.5},
}

local scenario = {lines = lines}

--- The car as sy.car makes it. options: corners = "pairs" puts the corner masses at half-tracks 750 and 740; x_sd in mm;
-- forward = true states the same car with x counted forward and y left; change(name, part) edits a part's fields;
-- fields = more fields of the vehicle.
function scenario.car(sy, options)
  options = options or {}
  local parts = {}
  local mirror = options.forward and -1 or 1
  for i, line in ipairs(lines) do
    local name, mass, x, y, z, sd, unsprung = line[1], line[2], line[3], line[4], line[5], line[6], line.unsprung
    x, y = mirror * x, mirror * y
    local fields = {mass = sy.sd(mass, sd), at = {options.x_sd and sy.sd(x, options.x_sd) or x, y, z}, unsprung = unsprung,
                    tags = (name == "engine" or name == "transaxle") and {"powertrain"} or nil}
    if unsprung and options.corners == "pairs" then
      fields.mass, fields.pair = sy.sd(mass / 2, sd / 2), true
      fields.at[2] = unsprung == "front" and 750 or 740
    end
    if options.change then options.change(name, fields) end
    parts[i] = sy.part(name)(fields)
  end
  local fields = {
    title = "First guess (invented)",
    axes = options.forward and {x = "forward", y = "left", z = "up"} or {x = "back", y = "right", z = "up"},
    axles = {{name = "front", at = 0, track = 1500, loaded_radius = 290},
             {name = "rear", at = mirror * 2450, track = 1480, loaded_radius = 305}},
    parts = parts,
    states = {sy.state "race start" {}, sy.state "no driver" {without = {"driver"}}, sy.state "no fuel" {without = {"fuel"}},
              sy.state "neither" {without = {"driver", "fuel"}}},
  }
  for key, value in pairs(options.fields or {}) do fields[key] = value end
  return sy.car(fields)
end

return scenario
