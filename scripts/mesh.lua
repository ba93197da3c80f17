--- What does a drawn body weigh, where is its CG, what is its inertia?
-- Step: book
-- Usage: steelyard mesh FILE [--unit mm] [--mass KG] [--density KG/L] [--turn]

local sy = require "steelyard"

local o = sy.options{
  about = "Volume, CG and inertia of a closed surface of triangles in an STL file (binary or text) or an OBJ file. These files do not say "
    .. "their unit, so --unit does. With --mass the inertia is that of a uniform body of this shape.",
  usage = "mesh FILE [--unit mm] [--mass KG] [--density KG/L] [--turn]",
  prints = "result",
  examples = {"steelyard mesh vehicles/shapes/saddle_tank.obj --unit mm --density 0.745",
              "steelyard mesh vehicles/shapes/saddle_tank.obj --unit mm --mass 21.4 --json"},
  args = {{"file", "STL or OBJ"}},
  options = {unit = {"UNIT", "mm, cm, m, inch or ft", words = true}, mass = {"KG", "its mass as weighed", number = true},
             density = {"KG/L", "of its material", number = true},
             turn = {nil, "turn faces that look inward", field = "turn_outward"}},
}
sy.out(o, sy.mesh(o.file, {unit = o.unit, mass = o.mass, density = o.density, turn_outward = o.turn}))
