-- A word that does not exist.
vehicle { title = "Bad",
  axles = {
    { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2450, track = 1480, loaded_radius = 305 },
  },
  parts = {
    part "body" { mass = 300, at = {1200, 0, 350} },
    pert "engine" { mass = 120, at = {1800, 0, 330} },
  },
}
