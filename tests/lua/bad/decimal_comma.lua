-- A comma instead of a decimal point: Lua reads mass 12 and a nameless 5.
vehicle { title = "Bad",
  axles = {
    { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2450, track = 1480, loaded_radius = 305 },
  },
  parts = {
    part "body" { mass = 300, at = {1200, 0, 350} },
    group "powertrain" { at = {1800, 0, 330},
      part "engine" { mass = 12,5, at = {0, 0, 0} } },
  },
}
