--- The table of calls, continued: the car as data for drawings, and drawn. See calls.lua for what an entry says.

local common = require "steelyard.reference.calls.common"

local stated = common.stated

local calls = {}

calls.car = {
  {"car:scene", {{"options?", "options.scene"}}, "scene",
    "All that a drawing needs as plain data: bodies with their outlines in three views, wheels, CG with its ellipse, loads, points, gaps."},
  {"car:draw", {{"options?", "options.drawing"}}, "drawing",
    "The car to scale, with its masses, CG, loads and the beam strip; drawing:save(path) writes it, drawing:text() is for a terminal."},
}

calls.result = {
  {"result:plot", {{"path", "text", "of the file to write: .svg, .png, .pdf or .txt"}, {"options?", "options.picture"}}, "text",
    "Writes the picture of a result that has one and gives the path back.", does = true},
}

-- The three coordinates of a place or of its standard uncertainties.
local function place(path, meaning)
  return {path .. ".x", "number", "mm", meaning}, {path .. ".y", "number", "mm", "the same"}, {path .. ".z", "number", "mm", "the same"}
end

local function joined(...)
  local list = {}
  for _, part in ipairs{...} do
    if type(part[1]) == "table" then table.move(part, 1, #part, #list + 1, list) else list[#list + 1] = part end
  end
  return list
end

local function axis(word)
  return {{"axes." .. word .. ".axis", "text", "", "letter of the file's axis that runs that way or against it"},
          {"axes." .. word .. ".sign", "number", "", "1 that way, -1 against it"},
          {"axes." .. word .. ".zero", "number", "mm", "the file's coordinate on the ground under the front axle, in the centre plane"}}
end

local function ellipse(view)
  return {{"cg.ellipses." .. view .. "?.long", "number", "mm", "longer half axis of the ellipse that covers 95 %"},
          {"cg.ellipses." .. view .. "?.short", "number", "mm", "the shorter one"},
          {"cg.ellipses." .. view .. "?.turn", "number", "deg", "of the longer one, from the view's first axis of the file to its second"}}
end

local function extent(letter)
  return {{"extent." .. letter .. ".from", "number", "mm", "least coordinate of outlines, masses and wheels"},
          {"extent." .. letter .. ".to", "number", "mm", "greatest"}}
end

calls.results = {
  {"scene_wheel", "A wheel of a scene.", exact = true, apart = true, fields = joined({place("at", "of its middle")}, {
    {"radius", "number", "mm", "its loaded radius"}, {"width?", "number", "mm", "of its tyre, where a part says it"},
    {"axle", "text", "", "name of its axle"}, {"side", "text", "", "left, right or middle"}})},
  {"scene", "What car:scene gives: mm and kg along the file's axes. Outlines are closed loops of {a, b}, along the view's two axes.",
    fields = stated(table.unpack(joined(
    {"title", "text", "", "of the file"}, {"named?", "text", "", "what car:named called the car"},
    {"changes", "text[]", "", "made since the file was read, in words"},
    {"pose", "text", "", "as asked"}, axis "forward", axis "left", axis "up",
    {"bodies[].path", "text", "", "with its groups and its side"}, {"bodies[].name", "text", "", "as in the file"},
    {"bodies[].group?", "text", "", "the group at the top"}, {"bodies[].kind", "text", "", "part, tank or person"},
    {"bodies[].basis?", "text", "", "estimate, calculated, supplier or weighed"}, {"bodies[].mass", "number", "kg", "of all its pieces"},
    {"bodies[].pieces", "number", "", "at this place"}, {"bodies[].pair?", "boolean", "", "one piece of a pair"},
    {place("bodies[].at", "of its CG")}, {place("bodies[].sd_at", "standard uncertainty")},
    {"bodies[].wheel?", "text", "", "that carries the whole of it"}, {"bodies[].carried?", "text", "", "axle whose wheels carry it"},
    {"bodies[].shape?", "text", "", "word of its shape"},
    {"bodies[].outlines?", "table<string, number[][][]>", "mm",
      "side {fore-aft, upright}, plan {fore-aft, across}, front {across, upright}"},
    {"bodies[].liquid?.litres", "number", "litre", "in a tank"}, {"bodies[].liquid?.capacity?", "number", "litre", "of it"},
    {"bodies[].liquid?.level?", "number", "mm", "upright coordinate of its surface, of a tank that stands level"},
    {"wheels", "table<string, scene_wheel>", "", "by wheel"},
    {"axles[].name", "text", "", "of the axle"}, {"axles[].at", "number", "mm", "fore-aft coordinate of its line"},
    {"axles[].load", "number", "kg", "on it"}, {"axles[].sd", "number", "kg", "standard uncertainty"},
    {"points[].name", "text", "", "of a point of the file"}, {place("points[].at", "where it is")},
    {"shafts[].name", "text", "", "of a shaft whose joints are known"}, {place("shafts[].inner", "its inner joint")},
    {place("shafts[].outer", "its outer joint")},
    {"gaps[].name", "text", "", "as in the file"}, {"gaps[].a", "text", "", "part, group, wheel or place"},
    {"gaps[].b", "text", "", "the other"},
    {"gaps[].gap?", "number", "mm", "least distance"}, {"gaps[].asked?", "number", "mm", "to keep"},
    {"gaps[].status", "text", "", common.status},
    {place("gaps[].at_a?", "nearest point of a")}, {place("gaps[].at_b?", "of b")},
    {"lift?.lifted", "text", "", 'of the pose "lift": the end that is up'},
    {"lift?.lift?", "number", "mm", "how far its wheels are up"},
    {"lift?.angle", "number", "deg", "tilt of the car"}, {place("lift?.pivot", "about which it turned: among the wheels that stand")},
    {"ground.z", "number", "mm", "upright coordinate of the ground"},
    {"ground.slope", "number", "deg", "0: level, else tilted with the car"},
    {place("cg.at", "of the car as it stands")}, {place("cg.sd", "standard uncertainty")},
    ellipse "side", ellipse "plan", ellipse "front", extent "x", extent "y", extent "z",
    {"loads", "table<string, number>", "kg", "of each wheel"}, {"lifted", "text[]", "", "wheels with a negative load"},
    {"mass", "number", "kg", "of everything aboard"}, {"front_share", "number", "%", "on the first axle"},
    {"height", "number", "mm", "of the CG above the ground"}, {"cg_behind", "number", "mm", "behind the front axle"},
    {"cg_left", "number", "mm", "left of the centre plane"}, {"wheelbase", "number", "mm", "first to last axle"})))},
  {"drawing", "What car:draw and the pictures of results are.", fields = stated(
    {"view?", "text", "", "of car:draw, as asked"}, {"picture?", "text", "", "which picture of a result it is"},
    {"width", "number", "mm", "of the picture on paper"}, {"height", "number", "mm", "of the picture"},
    {"scale?", "number", "", "25 for 1:25"}, {"mass?", "number", "kg", "as printed in it"}, {"front_share?", "number", "%", "the same"},
    {"cg_height?", "number", "mm", "the same"}, {"cg_behind?", "number", "mm", "the same"}, {"cg_left?", "number", "mm", "the same"},
    {"wheelbase?", "number", "mm", "the same"}, {"axles[]?.name", "text", "", "of the axle"}, {"axles[]?.load", "number", "kg", "on it"},
    {"loads?", "table<string, number>", "kg", "of each wheel"},
    {"texts", "text[]", "", "all that is written in it but the foot, in the order of drawing"})},
}

return calls
