--- Which results have a picture, and by which module each is drawn (below lua/steelyard).

local pictures = {}

--- What draws them all; found by name, as it stands above what asks for it.
pictures.maker = "draw.picture"

-- A front of two wishes has the picture of a front, two inputs of numbers in a grid a map, all else lines.
local function of_study(r)
  local front = rawget(r, "front")
  if front and #front > 0 and #r.wishes > 1 then return "front" end
  local shape = rawget(r, "shape")
  if not shape or #shape ~= 2 or shape[1] < 2 or shape[2] < 2 then return "lines" end
  local folded = {}
  for _, name in ipairs(rawget(r, "folded") or {}) do folded[name] = true end
  for _, input in ipairs(r.inputs) do
    if not folded[input.name] and type(input.values[1]) ~= "number" then return "lines" end
  end
  return "map"
end

--- Kind of result -> its pictures {name, module, meaning}; without usual(result), which gives a name, the first is the usual one.
pictures.of = {
  hoist = {{"rigging", "draw.pictures.rigging", "how it hangs, from the side and from behind, with what each leg pulls"}},
  balance = {{"layout", "draw.pictures.layout", "the car to scale with its masses, CG and axle loads, over the beam strip"}},
  perches = {{"set-up sheet", "draw.pictures.setup", "at each wheel what to turn, what was read and what is wanted, with room to write"}},
  corners = {{"set-up sheet", "draw.pictures.setup", "what the scales should read at each wheel, with room to write"},
             {"effects", "draw.pictures.effects", "what one turn of a perch and a millimetre under a pad change at each wheel"}},
  corner_scales = {{"set-up sheet", "draw.pictures.setup", "what each wheel carries and the cross weight, with room to write"}},
  stability = {{"tilt table", "draw.pictures.tilt", "from behind on the table: where the first wheel lifts, it tips, what is required"},
               {"brake split", "draw.pictures.brake_split", "the front share with which both axles lock together, and the car's own"}},
  cg_height = {{"lift", "draw.pictures.lift", "the load that stays against the tilt, what is off the fit, and the car as lifted"}},
  clearances = {{"gaps", "draw.pictures.gaps", "the tightest gaps, each in the plane that shows it, and what is asked of all"}},
  stands = {{"stands", "draw.pictures.stands", "the stands from above, where the CG goes as things come out, and what tips it"}},
  markout = {{"floor", "draw.pictures.floor", "the floor from above: what to chalk out by two tapes, in order, and the trolleys"}},
  half_shafts = {{"shafts", "draw.pictures.shafts", "joint angles and plunge by where the engine sits, and the shafts over the travel"}},
  propshaft = {{"shafts", "draw.pictures.shafts", "the shafts at droop, ride and bump, with what their joints are asked"}},
  shafts = {{"shafts", "draw.pictures.shafts", "the shafts at droop, ride and bump, with what their joints are asked"}},
  study = {{"lines", "draw.pictures.lines", "answers along the first input, with limits"},
           {"map", "draw.pictures.map", "answers over two inputs as contours, hatched where a limit breaks"},
           {"front", "draw.pictures.front", "what is wished for against each other, the front joined"}, usual = of_study},
  sensitivity = {{"tornado", "draw.pictures.tornado", "how far each stated error or input moves each answer, the largest first"}},
  spread = {{"histogram", "draw.pictures.histogram", "how often each answer comes out, with its 95 % and first order"}},
  changes = {{"waterfall", "draw.pictures.waterfall", "the change, line by line, in order of size"}},
  track = {{"track", "draw.pictures.track", "mass, front, CG height and cross weight on one axis of dates, with records and what changed"}},
  trend = {{"history", "draw.pictures.history", "steps from file to file, with growth and limits"}},
  book = {{"masses", "draw.pictures.masses", "mass by group and by basis"}},
  weigh_next = {{"weigh next", "draw.pictures.weigh_next", "how far off each answer may be, as one line after the other is weighed"}},
  comparison = {{"side by side", "draw.pictures.side_by_side", "what changes against the first car, quantity by quantity"}},
  engine_back = {{"lines", "draw.pictures.positions", "axle loads and inertia along the way of what moves"}},
  drivers = {{"side by side", "draw.pictures.side_by_side", "what changes from driver to driver, quantity by quantity"}},
  fuel_burn = {{"burn", "draw.pictures.burn", "each quantity as the fuel burns"}},
  stint = {{"burn", "draw.pictures.burn", "each quantity as the fuel burns, its mean and the car to set up"}},
}

return pictures
