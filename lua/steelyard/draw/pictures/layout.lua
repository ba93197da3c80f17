--- The picture of a balance: the car from the side, to scale.

local views = require "steelyard.draw.views"

local layout = {views = views.needed "side"}

function layout.draw(page, _, scene)
  local y, scale, notes = views.draw(page, "side", scene)
  return y, {scale = scale, notes = notes, words = ("side view, 1:%d"):format(scale)}
end

return layout
