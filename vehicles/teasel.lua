-- A front-engined two-seater on a ladder frame with a live rear axle: engine and gearbox in one line, a propeller shaft with two
-- Cardan joints behind it. Places in mm: x back from the front axle, y to the right of the centre plane, z up from the ground.
vehicle {
  title = "Teasel, front engine and live axle (invented)",
  axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0, track = 1290, loaded_radius = 285, bump = 60, droop = 60 },
    { name = "rear", at = 2290, track = 1310, loaded_radius = 290, bump = 60, droop = 70 },
  },
  design = "driver only",
  assume = { estimate = "15 %", calculated = "6 %", supplier = "3 %", weighed = "0.5 %", within_mm = 20 },

  parts = {
    part "frame" { mass = sd(64, 0.5), at = {1150, 0, 270}, basis = "weighed", shape = box {2700, 700, 220} },
    part "bulkhead and scuttle" { mass = 14.5, at = {640, 0, 520}, basis = "calculated" },
    part "body" { mass = within(46, 8), at = {1320, 0, 520}, shape = box {2500, 1200, 420} },
    part "windscreen" { mass = 9, at = {800, 0, 790}, basis = "supplier" },
    part "seat" { pair = true, mass = 7.2, at = {1560, 260, 380}, basis = "supplier" },

    group "powertrain" { at = {330, 0, 430}, turned = { nose_up = 3 },
      part "engine" { mass = sd(112, 0.3), at = {0, 0, 0}, basis = "weighed", shape = box {480, 480, 560},
        includes = {"clutch", "alternator"}, stand_in = { mass = sd(18, 0.2) } },
      part "gearbox" { mass = sd(31.5, 0.2), at = {420, 0, -60}, basis = "weighed", shape = box {600, 260, 260},
        bolted_to = {"engine"}, stand_in = { mass = sd(14, 0.2) } },
      part "exhaust" { mass = within(13, 3), at = {600, -330, -200} },
    },
    part "propeller shaft" { mass = sd(8.4, 0.1), at = {1495, 0, 313}, basis = "weighed", shape = rod {1180, axis = "x"} },
    part "axle case" { mass = sd(44, 0.3), at = {2285, 0, 290}, basis = "weighed", unsprung = "rear", tags = {"live axle"},
      includes = {"half-shafts", "final drive"}, shape = rod {1200, axis = "y"} },

    part "front corner" { pair = true, mass = 23.5, at = {0, 645, 285}, basis = "supplier", unsprung = "front" },
    part "front links" { pair = true, mass = 5.1, at = {15, 430, 290}, basis = "calculated", unsprung = { front = 0.5 } },
    part "rear wheel and brake" { pair = true, mass = 21.8, at = {2290, 655, 290}, basis = "supplier", unsprung = "rear" },
    part "rear links and springs" { pair = true, mass = 6.3, at = {2120, 460, 300}, basis = "calculated",
      unsprung = { rear = 0.5 } },
    part "rack and column" { mass = 9.6, at = {240, 200, 420}, basis = "supplier" },
    part "pedals and cylinders" { mass = 5.4, at = {560, 270, 350}, basis = "supplier" },

    part "radiator, wet" { mass = 9.5, at = {-210, 0, 420}, basis = "supplier" },
    tank "fuel" { shape = box {230, 520, 300}, at = {2480, 0, 470}, density = sd(0.745, 0.008), fill = 25,
      dry_mass = sd(6.2, 0.1) },
    part "battery" { mass = sd(11.2, 0.05), at = {640, -250, 560}, basis = "weighed" },
    part "loom and lamps" { mass = within(15, 4), at = {900, 0, 450} },
    part "spare wheel" { mass = sd(14.6, 0.1), at = {2690, 0, 560}, basis = "weighed" },
    person "driver" { mass = sd(78, 0.5), at = {1520, 260, 450} },
  },
  spares = { person "passenger" { mass = sd(72, 0.5), at = {1520, -260, 450} } },
  states = { state "driver only" {}, state "two up" { with = {"passenger"} }, state "empty" { without = {"driver"} } },

  shafts = {
    { name = "propeller shaft", joint = "cardan", worst_limit = 8, plunge_limit = 30,
      -- gearbox and pinion point down at the back by 4.2 and 4.0 degrees: as nearly parallel as the mounts allow
      inner = { part = "gearbox", at = {sd(905, 1), 0, sd(345, 1)}, axis = {1, 0, -0.0734} },
      outer = { part = "axle case", at = {sd(2085, 1), 0, sd(288, 1)}, axis = {1, 0, -0.0702} } },
  },
  limits = { { name = "propeller shaft", quantity = "shafts.worst_angle", max = 8 },
    { name = "front share", quantity = "front_share", min = 46, max = 52 } },
}
