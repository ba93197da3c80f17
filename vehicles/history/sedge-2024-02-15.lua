-- A light two-seater at three dates of its build: what_changed says why the balance moved from one to the next.
-- Second date: the frame is welded and weighed, the loom is in the book, the battery has gone to the other side of the tub.
vehicle {
  title = "Sedge (invented)",
  axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0,    track = 1320, loaded_radius = 270 },
    { name = "rear",  at = 2280, track = 1300, loaded_radius = 275 },
  },
  assume = { within_mm = 15 },
  parts = {
    part "space frame" { mass = sd(73.6, 0.1), at = {1080, 0, 325}, basis = "weighed" },
    part "floor and panels" { mass = within(31, 6), at = {1050, 0, 330}, includes = {"paint"} },
    group "powertrain" { at = {1700, 0, 320},
      part "engine" { mass = sd(88.2, 0.1), at = {0, 0, 0}, basis = "weighed", excludes = {"alternator"} },
      part "transaxle" { mass = sd(36.4, 0.1), at = {520, 0, -30}, basis = "weighed" },
      part "exhaust" { mass = within(9, 3), at = {620, 150, 40} },
    },
    part "front corner" { pair = true, mass = sd(23, 1), at = {0, 660, 270}, unsprung = "front" },
    part "rear corner" { pair = true, mass = sd(25, 1), at = {2280, 650, 275}, unsprung = "rear" },
    part "front links" { pair = true, mass = within(5, 1), at = {40, 400, 270} },
    part "rear links" { pair = true, mass = within(5.5, 1), at = {2220, 400, 280} },
    part "radiator" { mass = within(9, 2), at = {-250, 0, 300}, includes = {"coolant"} },
    tank "fuel" { capacity = 28, density = 0.745, fill = 25, dry_mass = within(5, 1), at = {1330, 0, 290} },
    part "battery" { mass = within(11, 1), at = {420, 260, 260}, basis = "supplier" },
    part "loom" { mass = within(9, 3), at = {900, 0, 300} },
    part "front seat" { pair = true, mass = within(7, 1), at = {1050, 260, 330} },
    part "pedals" { mass = within(6, 1), at = {120, 250, 280} },
    person "driver" { mass = sd(78, 0.5), at = {1000, 260, 360} },
  },
  states = { state "race start" {}, state "kerb" { without = {"driver"}, fill = { fuel = "90 %" } } },
  limits = { { name = "front share", quantity = "front_share", min = 43, max = 47 } },
}
