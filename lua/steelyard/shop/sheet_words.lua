--- What forms to fill in at the car say, on a screen and on paper alike.

local sheet_words = {
  pads_level = "pads level with each other to 1 mm",
  free = "brakes off, neutral, wheels free to roll",
  bars = "bars as wanted: on / off",
  settled = "rolled on, bounced, rolled a turn",
  runs = {"as it stands", "pads swapped left and right", "car turned round (facing back)"},

  nobody = "nobody in the car, driver's weight strapped in instead or nothing",
  brim = "tank brim-full or empty:",
  locked = "suspension locked with bolted links at the height",
  chocked = "front axle chocked, rear free",
  tied = "battery tied and isolated, loose things out",
  straps = "straps on, stands ready",
  going = {"zero, nothing on", "level", "up", "up", "up", "up", "down", "down", "down", "level again", "zero after"},

  whole_first = "Weigh each whole before it is taken apart: parts that do not add up to it are missing or counted twice.",
  two_people = "A part over 25 kg wants two people or a hoist (HSE INDG143). Local codes and licensed practice decide.",
}

return sheet_words
