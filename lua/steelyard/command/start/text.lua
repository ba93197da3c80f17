--- The file that `steelyard start` writes: a mid-engined two-seater before anything has been weighed. TITLE is put in.
--
-- The masses are what such a car usually has: common practice, no source, with limits wide enough to say so.

return [==[
-- One vehicle, one ledger. Every line is a part: what it weighs, how far that is to be trusted, and where it sits.
-- Begin with what you know, leave the rest as it is, and ask:   steelyard balance FILE --state "race start"
--
-- Masses are kg. within(75, 15) means 75, certainly between 60 and 90. When you know more:
--     mass = sd(71.4, 0.1), basis = "weighed"        a value and one standard deviation, from a scale
--     weighed = { reading = 71.4, instrument = "bench scale" }   what a scale read; the mass beside it stays as the guess it was
--     mass = 52*lb                                   other units by name; a bare number is kg, and lengths are mm
--     mass = unknown                                 kept out of all totals, and every result says so
-- Lines end with a comma, decimals take a point, and what stands behind two dashes is for people only.
vehicle {
  title = TITLE,

  -- How this file measures: x from the front axle to the back, y from the middle to the right, z from the ground up.
  axes = { x = "back", y = "right", z = "up" },

  -- track is between the middles of the two tyres, loaded_radius from the ground to the wheel's centre.
  axles = {
    { name = "front", at = 0,    track = 1450, loaded_radius = 290 },
    { name = "rear",  at = 2400, track = 1440, loaded_radius = 300 },   -- at: the wheelbase
  },

  -- A place without an uncertainty of its own is good to so many mm either way.
  assume = { within_mm = 30 },

  parts = {
    part "tub" { mass = within(75, 15), at = {1050, 0, 350} },           -- at = {x, y, z} of the part's centre of gravity
    part "rear frame" { mass = within(24, 6), at = {1950, 0, 330} },

    -- Parts in a group move together. Their places are measured from the group's own, here the middle of the engine:
    --     steelyard what_if FILE "powertrain 50 back"
    group "powertrain" { at = {1750, 0, 340},
      part "engine" { mass = within(115, 15), at = {0, 0, 0}, includes = {"engine oil", "starter", "alternator"} },
      part "gearbox" { mass = within(48, 8), at = {520, 0, -40}, includes = {"gear oil"} },
      part "exhaust" { mass = within(14, 4), at = {650, 0, 20} },
    },

    -- pair: one piece is described, the other is its mirror image. unsprung: the wheels carry it, not the springs.
    part "front corner" { pair = true, mass = within(27, 4), at = {0, 720, 290}, unsprung = "front",
      includes = {"wheel", "tyre", "upright", "brake"} },
    part "rear corner" { pair = true, mass = within(30, 4), at = {2400, 715, 300}, unsprung = "rear",
      includes = {"wheel", "tyre", "upright", "brake"} },
    part "front suspension" { mass = within(18, 4), at = {30, 0, 300}, unsprung = { front = 0.4 } },   -- part of it rides on the wheels
    part "rear suspension and shafts" { mass = within(27, 5), at = {2380, 0, 310}, unsprung = { rear = 0.4 } },
    part "steering" { mass = within(9, 2), at = {250, 150, 380} },
    part "pedals and brake lines" { mass = within(8, 2), at = {200, 180, 290}, includes = {"brake fluid"} },
    part "radiator, hoses and coolant" { mass = within(19, 5), at = {-300, 0, 290} },
    -- A tank weighs what is in it: dry_mass + density x fill (litres). States below fill it otherwise.
    tank "fuel" { capacity = 45, density = 0.745, fill = 35, dry_mass = within(8, 2), at = {1300, 0, 300} },
    part "battery and cables" { mass = within(13, 4), at = {500, -250, 260} },
    part "loom and electronics" { mass = within(16, 5), at = {1150, 0, 340} },
    part "bodywork" { mass = within(46, 14), at = {1200, 0, 480}, includes = {"paint", "mirrors"} },
    part "seat" { pair = true, mass = within(7, 2), at = {1080, 270, 320} },
    part "belts and extinguisher" { mass = within(8, 2), at = {950, 0, 320} },
    part "fasteners, brackets and sealant" { mass = within(14, 6), at = {1200, 0, 320} },
    person "driver" { mass = within(80, 8), at = {1020, 270, 370}, includes = {"suit", "helmet"} },
  },

  -- What is aboard, by name. Until a state is chosen, results count everything in the file.
  states = {
    state "race start" {},
    state "kerb" { without = {"driver"}, fill = { fuel = "90 %" } },
    state "empty" { without = {"driver"}, fill = { fuel = 0 } },
  },

  -- What must hold. Results say pass, near, fail or unknown.
  limits = {
    { name = "front share", quantity = "front_share", min = 40, max = 46 },
    { name = "CG height", quantity = "height", max = 380 },
  },
}
]==]
