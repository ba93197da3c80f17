local x = 5 * mm
vehicle { title = "a", axes = { x = "back", y = "right", z = "up" },
  axles = { { name = "front", at = 0, track = 1, loaded_radius = 1 }, { name = "rear", at = 2, track = 1, loaded_radius = 1 } },
  parts = { group "g" { at = {1, 2, x}, turned = { nose_up = 1 }, whole = sd(3, 1),
      part "p" { mass = within(3*lb, 1*kg), at = {1, 2, 3}, shape = box {1, 2, 3}, unsprung = { front = 0.5 }, tags = {"t"} } },
    tank "f" { density = 0.7*kg/litre, fill = "90 %", capacity = 3, at = {1, 2, 3} }, part "u" { mass = unknown, at = {1, 2, 3}, pair = true } },
  states = { state "s" { without = {"t"}, fill = { f = 1 }, swap = { p = "u" } } },
  limits = { limit "l" { quantity = "mass", min = 1 } } }
