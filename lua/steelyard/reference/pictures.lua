--- Which results have a picture, and by which module each is drawn (below lua/steelyard).

local pictures = {}

--- What draws them all; found by name, as it stands above what asks for it.
pictures.maker = "draw.picture"

--- Kind of result -> its pictures {name, module, meaning}, the usual one first.
pictures.of = {
  balance = {{"layout", "draw.pictures.layout", "the car to scale with its masses, CG and axle loads, over the beam strip"}},
  clearances = {{"gaps", "draw.pictures.gaps", "the tightest gaps, each in the plane that shows it, and what is asked of all"}},
  stands = {{"stands", "draw.pictures.stands", "the stands from above, where the CG goes as things come out, and what tips it"}},
  markout = {{"floor", "draw.pictures.floor", "the floor from above: what to chalk out by two tapes, in order, and the trolleys"}},
  half_shafts = {{"shafts", "draw.pictures.shafts", "joint angles and plunge by where the engine sits, and the shafts over the travel"}},
  propshaft = {{"shafts", "draw.pictures.shafts", "the shafts at droop, ride and bump, with what their joints are asked"}},
  shafts = {{"shafts", "draw.pictures.shafts", "the shafts at droop, ride and bump, with what their joints are asked"}},
}

return pictures
