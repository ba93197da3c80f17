--- How much of anything a vehicle file may hold: far above any real vehicle, and little enough that whatever is written, by mistake or
-- on purpose, is answered within 2 s and 64 MiB (tests/lua/test_sandbox_limits.lua). vehicles/README.md lists them. What tables
-- hold that the file names is not counted, it has limits of its own.

local constants = require("steelyard.core").constants -- sizes of arrays in core/

return {
  entries = 1000,       -- of any other list or table of names: what a state takes out, readings, tags
  parts = 5000,         -- parts, groups, tanks and persons that the file itself writes; more come from tables
  names = 10000,        -- of parts, in states, bolted_to, shafts and all
  name = 100,           -- bytes of the name of a part
  count = 1000000,      -- pieces of one line
  path = 500,           -- bytes of "group/group/part"
  text = 500,           -- bytes of a text on one line
  readings = 100,       -- of one thing on a scale
  repeats = 10000,      -- readings beyond the first of each thing, in all
  axles = constants.most_axles,
  instruments = constants.most_instruments,
  carriers = constants.most_carriers, -- wheels or axles that share one part
  states = 100,
  limits = 200,
  records = 100,
  shafts = 50,
  clearances = 100,
  points = 1000,
  tanks = 100,
  wholes = 100,         -- groups weighed in one piece
  in_wholes = 5000,     -- parts in all of them, one in groups inside one another as often as it lies in one
}
