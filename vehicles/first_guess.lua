-- A whole car on one screen: eighteen lines, each a mass in kg with its uncertainty (one standard deviation) and a place
-- in mm: x back from the front axle, y to the right of the centre plane, z up from the ground.
vehicle {
  title = "First guess (invented)",
  axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0,    track = 1500, loaded_radius = 290 },
    { name = "rear",  at = 2450, track = 1480, loaded_radius = 305, bump = 60, droop = 60 },
  },
  assume = { within_mm = 26 },   -- every place is good to 26 mm either way, a standard uncertainty of 15 mm
  parts = {
    part "tub and hoop" { mass = sd(78, 8), at = {1020, 0, 360} },
    part "rear frame" { mass = sd(24, 4), at = {2050, 0, 330} },
    group "powertrain" { at = {1810, 0, 345},
      part "engine" { mass = sd(168, 0.5), at = {0, 0, 0}, basis = "weighed" },
      part "transaxle" { mass = sd(62, 0.3), at = {580, 0, -45}, basis = "weighed" } },
    part "front corner" { pair = true, mass = sd(29.5, 0.5), at = {0, 750, 292}, unsprung = "front" },
    part "rear corner" { pair = true, mass = sd(33, 0.5), at = {2450, 740, 305}, unsprung = "rear" },
    part "front links and rack" { mass = sd(22, 2), at = {60, 0, 330} },
    part "rear links and shafts" { mass = sd(20, 2), at = {2400, 0, 330} },
    part "cooling, wet" { mass = sd(21, 2), at = {-350, 0, 300} },
    part "tank" { mass = sd(9, 1), at = {1290, 0, 310} },
    tank "fuel" { capacity = 45, density = 0.745, fill = sd(40, 0.4 / 0.745), at = {1290, 0, 310} },
    part "battery" { mass = sd(12, 0.1), at = {600, -250, 250} },
    part "loom and ECU" { mass = sd(16, 4), at = {1300, 0, 350} },
    part "body" { mass = sd(46, 8), at = {1250, 0, 520} },
    part "exhaust" { mass = sd(18, 2), at = {2500, 0, 330} },
    part "oil and tank" { mass = sd(14, 1), at = {1500, 150, 400} },
    part "seat, pedals, column" { mass = sd(26, 3), at = {750, 120, 330} },
    person "driver" { mass = sd(80, 0.5), at = {1010, 180, 370} } },
  states = { state "race start" {}, state "no driver" { without = {"driver"} },
    state "no fuel" { without = {"fuel"} }, state "neither" { without = {"driver", "fuel"} } },
  shafts = { { name = "right half-shaft", inner = { part = "transaxle", at = {2430, 165, 300} },
    outer = { wheel = "rr", at = {2450, 640, 305} }, joint = "cv", static_limit = 7, worst_limit = 12 } },
  limits = { { name = "front share", quantity = "front_share", min = 41, max = 43 },
    { name = "CG height", quantity = "height", max = 360 } },
}
