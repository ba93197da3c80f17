vehicle { axles = { { name = "f", at = 0, track = 9, loaded_radius = 3 }, { name = "r", at = 24, track = 9, loaded_radius = 3, bump = 6, droop = 6 } },
  parts = { part "t" { mass = 6, at = {23, 0, 3} } }, points = { p = { at = {1, sd(2, 1), 3}, part = "t" } },
  shafts = { { name = "a", joint = "cv", plunge_limit = 2, inner = { part = "t", at = {24, sd(1, 0.1), 3}, axis = {0, 1, 0} },
      outer = { wheel = "rr", at = {24, 6, 3}, path = { {-6, 24, 6, 2}, {0, 24, 6, 3}, {6, 25, 6, 4} }, steer = 30 } },
    { name = "b", joint = "cardan", phase = 90, cut_length = 9*mm, inner = { part = "t", at = {9, 0, 4} },
      outer = { part = "t", at = {20, 0, 3}, pivot = {1, 0, 3}, hinge = {0, 1, 0} } } } }
