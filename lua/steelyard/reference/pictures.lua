--- Which results have a picture, and by which module each is drawn (below lua/steelyard).

local pictures = {}

--- What draws them all; found by name, as it stands above what asks for it.
pictures.maker = "draw.picture"

--- Kind of result -> its pictures {name, module, meaning}, the usual one first.
pictures.of = {
  balance = {{"layout", "draw.pictures.layout", "the car to scale with its masses, CG and axle loads, over the beam strip"}},
  perches = {{"set-up sheet", "draw.pictures.setup", "at each wheel what to turn, what was read and what is wanted, with room to write"}},
  corners = {{"set-up sheet", "draw.pictures.setup", "what the scales should read at each wheel, with room to write"}},
  corner_scales = {{"set-up sheet", "draw.pictures.setup", "what each wheel carries and the cross weight, with room to write"}},
  stability = {{"tilt table", "draw.pictures.tilt", "from behind on the table: where the first wheel lifts, it tips, what is required"}},
  cg_height = {{"lift", "draw.pictures.lift", "the load that stays against the tilt, what is off the fit, and the car as lifted"}},
}

return pictures
