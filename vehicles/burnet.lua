-- A light three-wheeler: two steered wheels in front, one driven wheel behind, two seats side by side.
-- Places in mm: x back from the front axle, y to the right of the centre plane, z up from the ground. Masses in kg.
-- Three wheels carry a load in one way only, so the corner loads (lf, rf, r) need no springs and no cross weight.
vehicle {
  title = "Burnet, three-wheeler (invented)",
  axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0, track = 1380, loaded_radius = 275, tyre_rate = 160,
      spring_rate = 30, motion_ratio = 0.7, bar_rate = 12, roll_centre = 40, perch_pitch = 1.5, bump = 60, droop = 60 },
    { name = "rear", at = 2480, wheels = "one", loaded_radius = 300, tyre_rate = 185,
      spring_rate = 75, motion_ratio = 0.65, perch_pitch = 1.5, bump = 70, droop = 50 },
  },
  design = "driver only",
  assume = { estimate = "15 %", calculated = "6 %", supplier = "3 %", weighed = "0.5 %", within_mm = 20 },

  parts = {
    part "chassis" { mass = sd(61.5, 0.2), at = {1090, 0, 300}, basis = "weighed", shape = box {2400, 720, 380} },
    part "roll hoops" { mass = 9.4, at = {1230, 0, 650}, basis = "calculated" },
    part "floor" { mass = 8.2, at = {850, 0, 130}, basis = "calculated", shape = box {1500, 900, 4} },
    part "body panels" { mass = within(34, 6), at = {880, 0, 460}, growth = "12 %", shape = box {2600, 1150, 450} },
    part "mudguard" { pair = true, mass = 1.9, at = {0, 690, 530}, unsprung = "front" },

    group "front suspension" {
      part "front wheel" { pair = true, mass = sd(13.1, 0.1), at = {0, 690, 275}, basis = "weighed", unsprung = "front",
        shape = cylinder {550, 165, axis = "y"}, includes = {"tyre"} },
      part "front upright" { pair = true, mass = sd(5.2, 0.05), at = {3, 630, 272}, basis = "weighed",
        unsprung = "front", includes = {"hub", "disc", "calliper"} },
      part "front wishbones" { pair = true, mass = 3.6, at = {10, 460, 270}, basis = "calculated",
        unsprung = { front = 0.5 } },
      part "front spring unit" { pair = true, mass = 2.7, at = {20, 440, 360}, basis = "supplier",
        unsprung = { front = 0.4 } },
      part "front bar" { mass = 2.4, at = {140, 0, 210}, basis = "supplier", shape = rod {700, axis = "y"} },
    },

    group "rear suspension" {
      part "rear wheel" { mass = sd(17.8, 0.1), at = {2480, 0, 300}, basis = "weighed", unsprung = "rear",
        shape = cylinder {600, 195, axis = "y"}, includes = {"tyre", "sprocket", "disc"} },
      part "swing arm" { mass = sd(9.6, 0.05), at = {2230, 0, 290}, basis = "weighed", unsprung = { r = 0.45 } },
      part "rear spring unit" { pair = true, mass = 2.4, at = {2270, 120, 380}, basis = "supplier",
        unsprung = { r = 0.4 } },
    },

    group "powertrain" { at = {1530, 0, 330}, whole = sd(92.8, 0.3),
      part "engine and gearbox" { mass = sd(73.5, 0.2), at = {0, 20, 0}, basis = "weighed", shape = box {430, 420, 440},
        includes = {"clutch"}, excludes = {"oil"}, note = "two cylinders, six-speed gearbox in the same case" },
      part "induction" { mass = 3.8, at = {-60, 10, 270}, basis = "supplier" },
      part "exhaust" { mass = sd(9.2, 0.1), at = {280, -260, -110}, basis = "weighed" },
      part "engine oil" { mass = 3.1, at = {-10, 20, -170}, basis = "calculated" },
      part "front sprocket and chain" { mass = 2.9, at = {480, 95, -20}, basis = "supplier" },
    },

    part "radiator, wet" { mass = 5.6, at = {-340, 0, 300}, basis = "supplier", includes = {"fan"} },
    part "coolant pipes, wet" { mass = within(4.2, 1.2), at = {650, 60, 180}, growth = "10 %" },
    tank "fuel" { shape = box {220, 500, 240}, at = {1190, 0, 320}, density = sd(0.745, 0.008), fill = 22,
      dry_mass = sd(4.1, 0.1), note = "aluminium box behind the seats" },
    part "steering" { mass = 7.6, at = {280, 160, 370}, basis = "supplier", includes = {"rack", "column", "wheel"} },
    part "pedals and brake lines" { mass = 6.1, at = {150, 190, 260}, basis = "supplier" },
    part "reverse drive" { mass = within(5.5, 2), at = {1900, -90, 290}, growth = "20 %",
      note = "electric; motor chosen, bracket not drawn" },
    part "battery" { mass = sd(4.6, 0.05), at = {420, -300, 240}, basis = "weighed" },
    part "loom and instruments" { mass = within(7.5, 2), at = {900, 0, 360}, growth = "10 %" },
    part "lamps" { pair = true, mass = 1.2, at = {-120, 480, 480}, basis = "supplier" },
    part "seat" { pair = true, mass = sd(4.3, 0.05), at = {980, 250, 300}, basis = "weighed" },
    part "harness" { pair = true, mass = 1.7, at = {1040, 250, 420}, basis = "supplier" },
    part "windscreen" { mass = 3.2, at = {560, 0, 680}, basis = "supplier" },
    part "fasteners" { mass = within(4, 1.2), at = {1050, 0, 320}, growth = "10 %" },
    part "weather gear" { mass = unknown, at = {1300, 0, 520}, note = "not chosen yet" },

    person "driver" { mass = sd(76, 0.5), at = {900, 250, 345} },
    person "passenger" { mass = sd(68, 0.5), at = {910, -250, 340} },
  },

  spares = {
    part "luggage" { mass = within(12, 4), at = {1750, 0, 480} },
  },

  states = {
    state "empty" { without = {"driver", "passenger"}, fill = { fuel = 0 } },
    state "kerb" { without = {"driver", "passenger"}, fill = { fuel = "90 %" } },
    state "driver only" { without = {"passenger"} },
    state "two up" {},
    state "touring" { with = {"luggage"}, fill = { fuel = "100 %" } },
  },

  limits = {
    { name = "mass as it stands", quantity = "mass", max = 560 },
    { name = "front share", quantity = "front_share", min = 56, max = 64 },
    { name = "CG height", quantity = "height", max = 380 },
    { name = "rear wheel", quantity = "r", max = 230 },
  },
}
