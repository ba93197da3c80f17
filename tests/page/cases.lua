-- The pages that tests/page/browse.py opens, and what they must show: `steelyard tests/page/cases.lua FOLDER`.
--
-- Writes FOLDER/NAME.html and FOLDER/cases.json: of each page what the command prints of its numbers, and of its study at ten random
-- positions what the car of that variant, study:variant(i), answers by itself.

local core = require "steelyard.core"
local json = require "steelyard.print.json"
local quantities = require "steelyard.reference.quantities"
local sy = require "steelyard"
local text = require "steelyard.print.text"

local folder = assert(..., "the folder is missing")
local dice = dofile "tests/lua/dice.lua"(23)

local SHOWN = {"mass", "front_share", "left_share", "height", "cg_behind", "cg_left", "front", "rear", "left", "right", "lf", "rf", "lr",
               "rr", "f", "r"}

-- Words in place of a sign.
local WAYS = {cg_behind = {"behind", "ahead"}, cg_left = {"left", "right"}}

-- As the command prints them, by name.
local function printed(car)
  local b, list = car:balance(), {}
  for _, name in ipairs(SHOWN) do
    local value = b[name]
    if value then
      local way = WAYS[name]
      list[name] = text.plus_minus(way and math.abs(value) or value, b.sd[name], quantities.find(name).decimals)
        .. (way and " " .. way[value < 0 and 2 or 1] or "")
    end
  end
  return list
end

-- Ten random positions of the sliders: {position, words by output}, each asked of the variant's own car.
local function positions(study)
  local list = {}
  for k = 1, 10 do
    local position, i = {}, 0
    for j, size in ipairs(study.shape) do
      position[j] = dice.between(0, size - 1)
      i = i * size + position[j]
    end
    local b, words = study:variant(i + 1):balance(), {}
    for _, out in ipairs(study.outputs) do words[out.name] = text.plus_minus(b[out.name], b.sd[out.name], out.decimals) end
    list[k] = {position = position, words = words}
  end
  return list
end

local function study_of(car, what, way, from, to, n)
  return sy.study{car, vary = {sy.vary(what, way, from, to, n), sy.vary("driver", "mass", 60, 100, 5)},
                  show = {"front_share", "height", "mass"}, uncertainty = true, quiet = true}
end

local cases = {}

local function page(name, car, o)
  local study = o.studies and o.studies[1]
  o[1] = car
  sy.report(o):save(("%s/%s.html"):format(folder, name), {replace = true})
  local rows = {}
  for i, row in ipairs(car:book().rows) do rows[i] = row.path end
  table.sort(rows, core.before)
  cases[#cases + 1] = {name = name, printed = printed(car), positions = study and positions(study) or nil, lines = #rows}
end

local twayblade = sy.load("vehicles/twayblade.lua"):state "race start"
page("twayblade", twayblade, {studies = {study_of(twayblade, "powertrain", "back", -50, 75, 6)}})
local burnet = sy.load "vehicles/burnet.lua"
page("burnet", burnet, {studies = {study_of(burnet, "engine and gearbox", "back", -30, 30, 7)}})
local tansy = sy.load "vehicles/tansy.lua"
page("tansy", tansy, {fits = {tansy:record("rear lift").reading, tansy:record("first scales").reading}})
local guess = sy.load "vehicles/first_guess.lua"
local cars = {guess, guess:move("powertrain", {back = 50})}
page("two", cars[1], {[2] = cars[2], title = "Two layouts"})

-- Names that are no friends of HTML, and one that runs to the left; no states, nothing uncertain.
local hostile = {"<script>fail()", "<!-- <script>", "a & b \"quoted\" 'so'", "<img src=x onerror=fail()>", "מנוע קדמי", "=1+1", "]]>",
                 "\\u003cscript>"}
local parts = {}
for i, name in ipairs(hostile) do parts[i] = sy.part(name) {mass = 40 + 7 * i, at = {300 * i, 11 * i, 300}} end
page("hostile", sy.car{title = "Names <b>&\"'</b></title></script><script>fail()</script> (invented)",
  axles = {{name = "front", at = 0, track = 1450, loaded_radius = 288}, {name = "rear", at = 2400, track = 1460, loaded_radius = 301}},
  parts = parts, limits = {{name = "</script><script>fail()</script> & <i>rear</i>", quantity = "front_share", max = 60}}}, {})

-- Numbers and what the command makes of them: any, and those half-way between two that can be shown.
local rounded = {}
for k = 1, 400 do
  local decimals = dice.below(5)
  local x = (dice.below(2000001) - 1000000) / (k % 2 == 0 and 1024 or 997)
  if k % 4 == 0 then x, decimals = (2 * dice.below(2001) - 2001) / 2 ^ (1 + k % 3), k % 3 end
  rounded[k] = {x, decimals, core.fixed(x, decimals)}
end

core.write_file(folder .. "/cases.json", json.encode{cases = cases, names = hostile, rounded = rounded}, true)
