--- The order sheet for who builds the frame: where everything must come, from his datum, what it carries, and what it may weigh.

local contents = require "steelyard.car.contents"
local facts = require "steelyard.report.sheets.order_facts"
local page = require "steelyard.report.sheets.page"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local order = {}

local letters = {"x", "y", "z"}

local function mm(value, sd) return words.value(value, sd, 1) end

local function places(s, title, name, list)
  if #list == 0 then return end
  s:section(title, page.room_of(#list))
  local rows = {}
  for i, spot in ipairs(list) do
    rows[i] = {words.name(spot.name), mm(spot.x, spot.sd.x), mm(spot.y, spot.sd.y), mm(spot.z, spot.sd.z)}
    if spot.on then rows[i][1] = ("%s, on %s"):format(rows[i][1], words.name(spot.on)) end
  end
  s:table{columns = {{name, left = true, gives = true}, {"x, mm"}, {"y, mm"}, {"z, mm"}}, rows = rows}
end

local function loads(s, c, found)
  s:section("Loads by state, standing level", page.room_of(#found.loads))
  local columns, rows = {{"state", left = true, gives = true}, {"mass, kg"}}, {}
  for i, axle in ipairs(c.axles) do columns[i + 2] = {words.name(axle.name) .. " axle, kg"} end
  for i, row in ipairs(found.loads) do
    rows[i] = {words.name(row.state), words.value(row.mass, row.sd.mass, 1)}
    for k, load in ipairs(row.axles) do rows[i][k + 2] = words.value(load, row.sd.axles[k], 1) end
  end
  s:table{columns = columns, rows = rows}
  s:section("CG over the states", page.room_of(#found.loads + 2))
  rows = {}
  for i, row in ipairs(found.loads) do
    rows[i] = {words.name(row.state)}
    for k, letter in ipairs(letters) do rows[i][k + 1] = words.value(row.cg[letter], row.sd.cg[letter], 0) end
  end
  for _, bound in ipairs{"least", "greatest"} do
    local row = {{bound, bold = true}}
    for k, letter in ipairs(letters) do row[k + 1] = {words.set(text.fixed(found.envelope[bound][letter], 0)), bold = true} end
    rows[#rows + 1] = row
  end
  s:table{columns = {{"state", left = true, gives = true}, {"x, mm"}, {"y, mm"}, {"z, mm"}}, rows = rows}
end

local function mounts(s, list)
  for _, mount in ipairs(list) do
    s:section(("Mounts of %s, kg at rest"):format(words.name(mount.what)), page.room_of(#mount.rows))
    local columns, rows = {{"state", left = true, gives = true}, {"in all"}}, {}
    for i, place in ipairs(mount.points) do
      columns[i + 2] = {words.name(type(place) == "string" and place or ("place %d"):format(i))}
    end
    local why, even = {}, false
    for i, row in ipairs(mount.rows) do
      rows[i] = {words.name(row.state), row.mass and words.value(row.mass, row.sd.mass, 1) or "none"}
      for k in ipairs(mount.points) do rows[i][k + 2] = row.loads and words.set(text.fixed(row.loads[k], 1)) or "unknown" end
      even = even or row.even
      if row.why then why[#why + 1] = ("%s: %s."):format(row.state, row.why) end
    end
    s:table{columns = columns, rows = rows}
    if even then why[#why + 1] = "More than three mounts: shared as if all gave alike under load." end
    s:sentences(why)
  end
end

local function frame(s, found)
  s:section "Mass allotted to the frame"
  if #found.frame == 0 then
    return s:sentences{"Not stated: name the parts of the frame with --frame, and their booked mass and allowance stand here."}
  end
  local rows = {}
  for i, row in ipairs(found.frame) do
    rows[i] = {words.name(row.name), words.value(row.mass, row.sd.mass, 1), words.set(text.fixed(row.growth, 1)),
               words.set(text.fixed(row.mass + row.growth, 1))}
    for k, letter in ipairs(letters) do rows[i][k + 4] = row[letter] and words.set(text.fixed(row[letter], 0)) or "" end
  end
  local total = found.frame_total
  rows[#rows + 1] = {{"together", bold = true}, {words.set(text.fixed(total.mass, 1)), bold = true},
    {words.set(text.fixed(total.growth, 1)), bold = true}, {words.set(text.fixed(total.mass + total.growth, 1)), bold = true}, "", "", ""}
  s:table{columns = {{"part", left = true, gives = true}, {"booked, kg"}, {"allowance, kg"}, {"at most, kg"}, {"CG x"}, {"y"}, {"z, mm"}},
          rows = rows}
end

--- Draws it; gives what stands on it as data.
function order.draw(s, car, o)
  local c, found = contents.inside(car), facts.of(car, o)
  s:sheet{title = "Order sheet for the frame", state = words.name(c.shared.spec.title or ""), lines = {
    ("Datum: %s, mm. ± as the file states it, 95 %%."):format(words.name(found.datum)),
    "A place without ± has no tolerance stated: agree it before anything is drilled or welded."}}
  places(s, "Hardpoints", "point", found.points)
  if #found.absent > 0 then s:sentences{"On parts that are not there: " .. text.list_names(found.absent) .. "."} end
  if #found.points == 0 then s:sentences({"The file states no points: no hardpoint stands here."}, {bold = true}) end
  local wheels = {}
  for i, wheel in ipairs(found.wheels) do wheels[i] = setmetatable({name = words.wheel(wheel.name)}, {__index = wheel}) end
  places(s, "Wheel centres, on their loaded radii", "wheel", wheels)
  places(s, "Joint centres of the shafts", "joint", found.joints)
  loads(s, c, found)
  mounts(s, found.mounts)
  frame(s, found)
  s.y = s.y + 2
  s:sentences({"Loads at rest: braking, cornering and bumps multiply them. Strength is for your engineer and your local rules."},
              {bold = true})
  return found, {}
end

return order
