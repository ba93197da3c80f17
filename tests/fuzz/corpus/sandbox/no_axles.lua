local x = 5 * mm
vehicle { title = "a", axes = { part "a2,5, mass = 2 }", z = "up" },
  axlcs = { { name = "front", at = 0, track = 1, loaded_radius = 0 }, { name = "rear", at = 4, track = 1, loaded_radius = 1 } },
  parts = { group "g" { at = {1, 2, x}, turned = { nose_up = 1 }, whole = sd(3, 1),
ithoyt = {"t"}, fill = { f = 1 }, swap = { p = "u" } } },
  limits = { limit "l" { quantity = "mass", min = 1 } } }
