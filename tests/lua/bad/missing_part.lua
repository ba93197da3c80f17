-- A state names a part that is not there.
vehicle { title = "Bad",
  axles = {
    { name = "front", at = 0, track = 1500, loaded_radius = 290 },
    { name = "rear", at = 2450, track = 1480, loaded_radius = 305 },
  },
  parts = {
    part "body" { mass = 300, at = {1200, 0, 350} },
    person "driver" { mass = 80, at = {1010, 180, 370} },
  },
  states = {
    state "kerb" { without = {"drivr"} },
  },
}
