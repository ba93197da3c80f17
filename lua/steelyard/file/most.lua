--- How much of anything a vehicle file may hold: far above any real vehicle, and little enough that whatever is written, by mistake or
-- on purpose, is answered within 2 s and 64 MiB (tests/lua/test_sandbox_limits.lua). vehicles/README.md lists them. What tables
-- hold that the file names is not counted, it has limits of its own.

return {
  entries = 1000,       -- of any other list or table of names: what a state takes out, readings, tags
  parts = 5000,         -- parts, groups, tanks and persons that the file itself writes; more come from tables
  names = 10000,        -- of parts, in states, bolted_to, shafts and all
  path = 500,           -- bytes of "group/group/part"
  text = 500,           -- bytes of a text on one line
  readings = 100,       -- of one thing on a scale
  repeats = 10000,      -- readings beyond the first of each thing, in all
  axles = 8,            -- core/vehicle/vehicle.h
  instruments = 16,     -- core/mass/ledger.h
  states = 100,
  limits = 200,
  shafts = 50,
  clearances = 100,
  points = 1000,
  tanks = 100,
  wholes = 100,         -- groups weighed in one piece
  in_wholes = 5000,     -- parts in all of them, one in groups inside one another as often as it lies in one
}
