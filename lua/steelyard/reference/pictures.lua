--- Which results have a picture, and by which module each is drawn (below lua/steelyard).

local pictures = {}

--- What draws them all; found by name, as it stands above what asks for it.
pictures.maker = "draw.picture"

--- Kind of result -> its pictures {name, module, meaning}, the usual one first.
pictures.of = {
  hoist = {{"rigging", "draw.pictures.rigging", "how it hangs, from the side and from behind, with what each leg pulls"}},
  balance = {{"layout", "draw.pictures.layout", "the car to scale with its masses, CG and axle loads, over the beam strip"}},
  perches = {{"set-up sheet", "draw.pictures.setup", "at each wheel what to turn, what was read and what is wanted, with room to write"}},
  corners = {{"set-up sheet", "draw.pictures.setup", "what the scales should read at each wheel, with room to write"}},
  corner_scales = {{"set-up sheet", "draw.pictures.setup", "what each wheel carries and the cross weight, with room to write"}},
  cg_height = {{"lift", "draw.pictures.lift", "the load that stays against the tilt, what is off the fit, and the car as lifted"}},
  clearances = {{"gaps", "draw.pictures.gaps", "the tightest gaps, each in the plane that shows it, and what is asked of all"}},
  stands = {{"stands", "draw.pictures.stands", "the stands from above, where the CG goes as things come out, and what tips it"}},
  markout = {{"floor", "draw.pictures.floor", "the floor from above: what to chalk out by two tapes, in order, and the trolleys"}},
  half_shafts = {{"shafts", "draw.pictures.shafts", "joint angles and plunge by where the engine sits, and the shafts over the travel"}},
  propshaft = {{"shafts", "draw.pictures.shafts", "the shafts at droop, ride and bump, with what their joints are asked"}},
  shafts = {{"shafts", "draw.pictures.shafts", "the shafts at droop, ride and bump, with what their joints are asked"}},
}

return pictures
