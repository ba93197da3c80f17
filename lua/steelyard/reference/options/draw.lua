--- Options of scenes and drawings. See options.lua for what a row says.

local width = {"width?", "number", "mm", "180", "of the picture on paper, 90 to 420: 90 is laid out for a telephone; as text, 144 is 80 "
  .. "columns and 216 is 120"}

return {
  scene = {"What car:scene takes.",
    {"state?", "text", "", "the car's", "load state"},
    {"pose?", "text", "", "design",
      '"design", "as loaded", "bump", "front bump", "rear bump", "droop" or "lift": how body and wheels stand'},
    {"lifted?", "text", "", "rear", 'in the pose "lift" the end that is up: rear, front, left or right'},
    {"lift?", "number", "mm", "none", "how far its wheels are up"},
    {"angle?", "number", "deg", "none", "or how far the car is tilted"}},
  drawing = {"What car:draw takes.",
    {"view?", "text", "", "side", '"side", "plan", "front" or "beam"'},
    {"state?", "text", "", "the car's", "load state, of the earlier car too"},
    {"before?", "car", "", "none", "an earlier car: what has moved since is drawn in long-dash double-dot where it was"},
    width},
  picture = {"What the picture of a result takes.",
    {"kind?", "text", "", "the usual one", "which of the result's pictures"}, width,
    {"replace?", "boolean", "", "false", "a file that is there already is replaced"}},
}
