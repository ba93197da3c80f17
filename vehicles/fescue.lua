-- A student formula car, most of it on the scale already. Its parts are kept in a spreadsheet, fescue_parts.csv: what was thought before,
-- and, where a part has been weighed, what which scale read, as it was read. Millimetres: x back from the front axle, y to the right,
-- z up from the ground.
vehicle {
  title = "Fescue, student formula car (invented)",
  axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0,    track = 1200, loaded_radius = 222, tyre_rate = 105, spring_rate = 35, motion_ratio = 0.9,
      bar_rate = 6, roll_centre = 28, perch_pitch = 1.5, bump = 30, droop = 30 },
    { name = "rear",  at = 1550, track = 1180, loaded_radius = 222, tyre_rate = 110, spring_rate = 38, motion_ratio = 0.9,
      bar_rate = 4, roll_centre = 45, perch_pitch = 1.5, bump = 30, droop = 30 },
  },
  chassis = { torsion = 1600 },
  design = "race", cross_share = 50,
  assume = { within_mm = 12 },

  instruments = {
    { name = "bench scale", step = 0.01, sd = 0.01, range = 30, bias = sd(0, 0.01), gain = sd(1.0004, 0.0004) },
    { name = "parts scale", unit = "g", step = 1, sd = 1, range = 3000, bias = sd(0, 1), gain = sd(1, 0.001) },
    { name = "hanging scale", unit = "lb", step = 0.5, range = 300, gain = sd(1.004, 0.003), note = "for the hoist" },
    { name = "floor scale", step = 0.1, sd = 0.1, range = 150, bias = sd(0, 0.2) },
  },

  parts = {
    from_csv "fescue_parts.csv",
    tank "fuel" { capacity = 7, density = 0.74, fill = 5.5, at = {800, 0, 190}, dry_mass = 2,
      weighed = { reading = 1752, unit = "g", instrument = "parts scale" } },
  },
  states = {
    state "race" {},
    state "no driver" { without = {"driver"} },
    state "dry, no driver" { without = {"driver"}, fill = { fuel = 0 } },
  },
  limits = {
    { name = "mass with a 68 kg driver", quantity = "mass", max = 290 },
    { name = "front share", quantity = "front_share", min = 46, max = 50 },
    { name = "left share", quantity = "left_share", min = 49, max = 51 },
    { name = "CG height", quantity = "height", max = 310 },
  },
}
