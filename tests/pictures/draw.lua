--- Every picture of every kind of result, on cars that differ in all that a picture rests on, to look at: FOLDER/index.html shows them.
-- Usage: build/steelyard tests/pictures/draw.lua FOLDER [KIND ...]
--
-- Each is drawn 180 and 90 mm wide and in grey, and as PNG and PDF where these are built in. A car that lacks what a picture needs is
-- skipped and named. Kinds and pictures are those of reference/pictures.lua, so that a new row is drawn without a change here.

local core = require "steelyard.core"
local pictures = require "steelyard.reference.pictures"
local recipes = dofile "tests/pictures/recipes.lua"
local rules = dofile "tests/lua/picture_rules.lua"
local svg = require "steelyard.draw.svg"
local sy = require "steelyard"

local folder = arg[1] or "build/pictures"
local on_paper = pcall(require, "steelyard.canvas_cairo") and {".png", ".pdf"} or {}

-- ---- the cars ---------------------------------------------------------------------------------------------------------------

-- {name, car, path}; the last two are one car in two conventions.
local function cars()
  local list = {{"two-seater", sy.load "vehicles/twayblade.lua":state "race start", "vehicles/twayblade.lua"},
                {"first-guess", sy.load "vehicles/first_guess.lua", "vehicles/first_guess.lua"},
                {"three-wheeler", sy.load "vehicles/burnet.lua", "vehicles/burnet.lua"},
                {"restated", rules.restated("vehicles/burnet.lua", folder .. "/restated.lua"),
                 folder .. "/restated.lua"}}
  for _, entry in ipairs(list) do entry.decided = recipes.decided(entry[3], folder .. "/decided.lua") end
  return list
end

-- Points of a car's own axes: see recipes.lua.
local function places(car)
  local scene = car:scene()
  local axes = scene.axes
  local place = {moves = "engine and gearbox"}
  for _, body in ipairs(scene.bodies) do
    if body.path:find("powertrain", 1, true) == 1 then place.moves = "powertrain" end
  end
  function place.of(word)
    local mass, sum = 0, {forward = 0, left = 0, up = 0}
    for _, body in ipairs(scene.bodies) do
      if body.path:find(word, 1, true) == 1 then
        mass = mass + body.mass
        for way in pairs(sum) do
          local axis = axes[way]
          sum[way] = sum[way] + body.mass * axis.sign * (body.at[axis.axis] - axis.zero)
        end
      end
    end
    if mass == 0 then core.fail{code = "missing", part = word, message = "is not aboard"} end
    return sum.forward / mass, sum.left / mass, sum.up / mass
  end
  return setmetatable(place, {__call = function(_, forward, left, up)
    local at, letters = {}, {x = 1, y = 2, z = 3}
    for way, value in pairs{forward = forward, left = left, up = up} do
      local axis = axes[way]
      at[letters[axis.axis]] = math.floor(axis.zero + axis.sign * value + 0.5)
    end
    return at
  end})
end

-- ---- the files --------------------------------------------------------------------------------------------------------------

-- What the eye takes a colour for: relative luminance back in sRGB (WCAG 2.1; IEC 61966-2-1).
local function grey(text)
  return (text:gsub("#(%x%x)(%x%x)(%x%x)", function(...)
    local sum = 0
    for i, weight in ipairs{0.2126, 0.7152, 0.0722} do
      local part = tonumber(select(i, ...), 16) / 255
      sum = sum + weight * (part <= 0.04045 and part / 12.92 or ((part + 0.055) / 1.055) ^ 2.4)
    end
    local back = sum <= 0.0031308 and 12.92 * sum or 1.055 * sum ^ (1 / 2.4) - 0.055
    return "#" .. ("%02x"):format(math.floor(back * 255 + 0.5)):rep(3)
  end))
end

local shown, skipped = {}, {}

local function draw(result, kind, row, name)
  local stem = ("%s-%s-%s"):format(kind, row[1], name)
  local path = folder .. "/" .. stem
  result:plot(path .. "-180.svg", {kind = row[1], replace = true})
  result:plot(path .. "-90.svg", {kind = row[1], width = 90, replace = true})
  core.write_file(path .. "-grey.svg", grey(core.read_file(path .. "-180.svg")), true)
  for _, ending in ipairs(on_paper) do result:plot(path .. ending, {kind = row[1], replace = true}) end
  shown[#shown + 1] = {kind = kind, picture = row[1], name = name, stem = stem}
end

-- A refusal is one that a user gets; anything else is a defect, and ends it all.
local function try(what, run)
  local fine, err = pcall(run)
  if fine then return end
  if type(err) ~= "table" then error(err, 0) end
  skipped[#skipped + 1] = ("%s: %s"):format(what, tostring(err))
end

local function draw_kind(kind, rows, list)
  for _, entry in ipairs(recipes[kind] and list or {}) do
    try(kind .. " of the " .. entry[1], function()
      local result = recipes[kind](entry[2], entry.place)
      for _, row in ipairs(rows) do
        try(("%s, %s, of the %s"):format(kind, row[1], entry[1]), function() draw(result, kind, row, entry[1]) end)
      end
    end)
  end
  if recipes[kind] then return end
  local examples = dofile "tests/lua/example_results.lua"[kind]
  for i, result in ipairs(examples or {}) do
    for _, row in ipairs(rows) do
      try(("%s, %s, of example %d"):format(kind, row[1], i), function() draw(result, kind, row, "example-" .. i) end)
    end
  end
end

local function index()
  local list = {"<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>Pictures</title><style>",
    "body { font-family: 'Liberation Sans', Arial, Helvetica, sans-serif; margin: 8mm; background: #ddd }",
    "img { background: #fff; margin: 0 4mm 4mm 0; vertical-align: top }</style></head><body><h1>Pictures</h1>"}
  for _, one in ipairs(shown) do
    list[#list + 1] = ("<h2>%s, %s: %s</h2>"):format(one.kind, one.picture, one.name)
    for _, width in ipairs{"180", "90", "grey"} do
      list[#list + 1] = ('<img src="%s-%s.svg" alt="%s, %s">'):format(one.stem, width, one.kind, width)
    end
  end
  list[#list + 1] = "<h2>Not drawn</h2><ul>"
  for _, why in ipairs(skipped) do list[#list + 1] = "<li>" .. svg.escaped(why) .. "</li>" end
  list[#list + 1] = "</ul></body></html>\n"
  core.write_file(folder .. "/index.html", table.concat(list, "\n"), true)
end

core.make_folder(folder)
local kinds, list = {}, cars()
for _, entry in ipairs(list) do
  entry.place = places(entry[2])
  entry.place.decided = entry.decided
end
for kind in pairs(pictures.of) do if not arg[2] then kinds[#kinds + 1] = kind end end
table.move(arg, 2, #arg, 1, kinds)
table.sort(kinds, core.before)
for _, kind in ipairs(kinds) do
  local before = #shown
  draw_kind(kind, pictures.of[kind], list)
  if #shown == before then error(("no picture of %s could be drawn:\n%s"):format(kind, table.concat(skipped, "\n")), 0) end
end
index()
for _, why in ipairs(skipped) do print("not drawn: " .. why) end
print(("%d pictures in %s/index.html, each 180 and 90 mm wide and in grey"):format(#shown, folder))
