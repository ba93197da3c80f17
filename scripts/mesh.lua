--- What does a drawn body weigh, where is its CG, what is its inertia?
-- Step: book
-- Usage: steelyard mesh FILE [--unit mm] [--mass KG] [--density KG/L] [--turn]

local sy = require "steelyard"

local o = sy.options{
  about = "Volume, CG and inertia of a closed surface of triangles: STL, binary or text, or OBJ. The file does not say its unit, so you "
    .. "do. With the mass it was weighed at, the inertia is that of a uniform body of the shape.",
  usage = "mesh FILE [--unit mm] [--mass KG] [--density KG/L] [--turn]",
  prints = "result",
  examples = {"steelyard mesh vehicles/shapes/saddle_tank.obj --unit mm --density 0.745",
              "steelyard mesh vehicles/shapes/saddle_tank.obj --unit mm --mass 21.4 --json"},
  args = {{"file", "STL or OBJ"}},
  options = {unit = {"UNIT", "mm, cm, m, inch or ft", words = true}, mass = {"KG", "as weighed", number = true},
             density = {"KG/L", "of what it is made of", number = true},
             turn = {nil, "turn faces that look inward", field = "turn_outward"}},
}
sy.out(o, sy.mesh(o.file, {unit = o.unit, mass = o.mass, density = o.density, turn_outward = o.turn}))
