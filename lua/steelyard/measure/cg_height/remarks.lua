--- The one thing that spoils a CG height, in words: what an experienced colleague would say first.

local text = require "steelyard.print.text"

local remarks = {}

local function suspect(result)
  local it = result.suspect
  local said = ("%s of %s is %s times its own uncertainty off the others, chance allows %s: read that step again"):format(it.what,
    it.reading or "the car", text.fixed(math.abs(it.sigmas), 1), text.fixed(it.critical, 1))
  if #it.tied > 0 then
    said = ("%s; were %s wrong instead, it would look just the same"):format(said, text.join(it.tied, "or"))
  end
  return said
end

local function hysteresis(result)
  local it = result.hysteresis
  return ("run %s reads %s kg %s on the %s than run %s (%s times its uncertainty): friction, or a zero that moved. Read the zeros again, "
    .. "roll the car off and on, repeat the lowest step. One level for all runs would have said %s")
    :format(it.to, text.fixed(math.abs(it.gap), 2), it.gap > 0 and "more" or "less", it["end"], it.from,
      text.fixed(it.sigmas, 1), text.fixed(it.height_with_one_level, 1))
end

local function trend(result)
  local it = result.trend
  return ("the height seems to %s by %s mm from level to %s degrees: springs, mounts or a liquid give way as it tilts, or lift and "
    .. "angle are not the body's"):format(it.change > 0 and "grow" or "fall", text.plus_minus(math.abs(it.change), it.sd, 0),
    text.fixed(it.to, 1))
end

local help = {
  pads = "lift higher, or repeat the steps; each repeat is worth less than the one before",
  lifts = "measure the lifts closer, or read the angle of the body",
  angles = "read the angle closer, or measure the lift under the wheels",
  blocks = "measure the blocks closer, or use others for each step",
  suspension = "lock the suspension", unsprung = "weigh what hangs on the wheels, or lock the suspension",
  tyre = "read the angle of the body: tyres do not matter then",
  jack = "measure closer where the jack holds the body, or lift under the wheels",
  radius = "measure the loaded radii closer, wheel centre to ground",
  wheelbase = "measure the wheelbase closer", track = "measure the tracks closer", mass = "weigh the car closer",
  zero = "read the zeros more often, and go up and down in even steps",
}

local function largest(result)
  local top = result.budget[1]
  if not top then return "nothing: no uncertainty was stated anywhere" end
  local key = top.source:match "radius" or top.source:match "^zero" or top.source:match "^%a+"
  return ("mostly %s, %s %% of the uncertainty: %s"):format(top.source, text.fixed(top.share, 0), help[key])
end

--- A text.
function remarks.spoils(result)
  local list = {}
  if result.suspect then list[#list + 1] = suspect(result) end
  if result.hysteresis and result.hysteresis.clear then list[#list + 1] = hysteresis(result) end
  if result.trend and result.trend.clear then list[#list + 1] = trend(result) end
  if #list == 0 then list[1] = largest(result) end
  return table.concat(list, ". Then ")
end

--- What of the car would have been below the ground at a reading, by the file: a text, or nil.
function remarks.touching(result)
  local low = {}
  for _, touch in ipairs(result.touches or {}) do
    if touch.below then
      low[#low + 1] = ("%s, from %s on, %s mm at the steepest"):format(touch.what, touch.lift and text.fixed(touch.lift, 0) .. " mm"
        or text.fixed(touch.angle, 1) .. " degrees", text.fixed(touch.below, 0))
    end
  end
  if #low == 0 then return nil end
  return ("FAIL unless all wheels stood on equal blocks higher than that: by the file these go below the ground: %s"):format(
    table.concat(low, "; "))
end

remarks.CAUTION = "Nobody in the car while it is up, ballast strapped in the seat instead; tank vent checked, battery tied and "
  .. "isolated, loose items out; straps before it tilts, stands under it before hands; one axle chocked, the other free, brakes off "
  .. "and out of gear; suspension locked by bolted links, no wedges. Arithmetic, not permission: your hoist's and local rules decide"

return remarks
