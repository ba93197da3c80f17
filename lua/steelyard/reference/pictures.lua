--- Which results have a picture, and by which module each is drawn (below lua/steelyard).

local pictures = {}

--- What draws them all; found by name, as it stands above what asks for it.
pictures.maker = "draw.picture"

--- Kind of result -> its pictures {name, module, meaning}, the usual one first.
pictures.of = {
  hoist = {{"rigging", "draw.pictures.rigging", "how it hangs, from the side and from behind, with what each leg pulls"}},
  balance = {{"layout", "draw.pictures.layout", "the car to scale with its masses, CG and axle loads, over the beam strip"}},
}

return pictures
