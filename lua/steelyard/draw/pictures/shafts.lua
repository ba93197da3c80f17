--- The picture of shafts: joint angles and plunge against where the engine sits, the shafts at droop, ride height and bump, and a table.
-- Of car:shafts(), which knows one place of the engine, without the chart; of what half_shafts and propshaft print.

local canvas = require "steelyard.draw.canvas"
local chart = require "steelyard.draw.chart"
local figure = require "steelyard.draw.figure"
local row_check = require "steelyard.shop.shafts.row_check"
local rows = require "steelyard.draw.rows"
local sheet = require "steelyard.draw.sheet"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local view = require "steelyard.draw.view"
local words = require "steelyard.draw.words"

local shafts = {views = {"side"}}

local SIZES = canvas.sizes

--- Sides whose angles differ by less are drawn once, deg.
shafts.SAME = 0.05

local function degrees(x) return text.fixed(x, 1) .. "°" end

-- ---- which shafts are alike -----------------------------------------------------------------------------------------------------------

local function near(a, b) return a == b or a ~= nil and b ~= nil and math.abs(a - b) < shafts.SAME end

local function limit_of(row, what)
  local check = row_check.named(row, what)
  return check and check.limit, check
end

local function alike(a, b)
  return near(a.static_angle, b.static_angle) and near(a.worst_angle, b.worst_angle) and near(a.plunge_used, b.plunge_used)
    and limit_of(a, "static angle") == limit_of(b, "static angle") and limit_of(a, "worst angle") == limit_of(b, "worst angle")
end

-- Shafts with the same angles everywhere: a list of {row =, index =, names = list}.
local function kinds_of(booked, positions)
  local list = {}
  for i, row in ipairs(booked) do
    local found
    for _, kind in ipairs(list) do
      local same = not found and alike(kind.row, row)
      for _, position in ipairs(positions) do same = same and alike(position.shafts[kind.index], position.shafts[i]) end
      found = found or same and kind or nil
    end
    if found then found.names[#found.names + 1] = words.name(row.name)
    else list[#list + 1] = {row = row, index = i, names = {words.name(row.name)}} end
  end
  return list
end

-- Do its angles change with the place of the engine?
local function changes(kind, positions)
  for _, position in ipairs(positions) do
    local row = position.shafts[kind.index]
    if not (near(row.static_angle, kind.row.static_angle) and near(row.worst_angle, kind.row.worst_angle)) then return true end
  end
  return false
end

local function name_of(kind) return text.join(kind.names) end

-- ---- the heading ----------------------------------------------------------------------------------------------------------------------

-- The worst shaft as booked: by its status, then by its angle.
local function worst_row(booked)
  local worst
  for _, row in ipairs(booked) do
    local rank = verdicts.rank[row.status]
    if row.worst_angle and (not worst or rank > verdicts.rank[worst.status]
      or rank == verdicts.rank[worst.status] and row.worst_angle > worst.worst_angle) then worst = row end
  end
  return worst
end

local function way(back) return back == 0 and "as booked" or text.worded(back, 0, "back", "forward") end

-- Of the positions that were tried those round the booked one that do not fail: "50 forward to 50 back".
local function allowed(positions)
  local at
  for i, position in ipairs(positions) do if position.back == 0 then at = i end end
  if not at or positions[at].status == "fail" then return nil end
  local first, last = at, at
  while first > 1 and positions[first - 1].status ~= "fail" do first = first - 1 end
  while last < #positions and positions[last + 1].status ~= "fail" do last = last + 1 end
  if first == last then return nil end
  return ("%s to %s"):format(way(positions[first].back), way(positions[last].back))
end

local function heading_of(booked, positions, scene, kinds)
  local says = {title = #positions > 0 and "Half-shafts" or "Shafts", state = scene.heading, answer = {}, lines = {}}
  local worst = worst_row(booked)
  if worst then
    local limit = limit_of(worst, "worst angle")
    says.answer[1] = {"worst angle", words.set(text.plus_minus(worst.worst_angle, worst.sd.worst_angle, 1)) .. "°",
                      colour = worst.status == "fail" and "fail" or nil}
    says.answer[2] = limit and {"allowed", text.plain(limit) .. "°"} or nil
  end
  says.answer[#says.answer + 1] = {"as booked", verdicts.mark[booked.status], colour = booked.status == "fail" and "fail" or nil}
  if scene.aboard then says.lines[1] = words.aboard(scene.aboard) end
  local parts = {}
  if #positions > 0 and #booked > 0 then
    local range = allowed(positions)
    parts[1] = range and ("Of the places tried, none fails from %s."):format(range) or "Joint angles by where the engine sits."
  end
  for _, kind in ipairs(kinds) do
    if #positions > 0 and kind.row.at and not changes(kind, positions) then
      parts[#parts + 1] = text.sentence(name_of(kind):gsub("%.$", "") .. " stays as it is")
    end
    if #kind.names > 1 then
      parts[#parts + 1] = ("%s are equal within %s° and drawn once."):format(text.sentence(name_of(kind)):gsub("%.$", ""),
                                                                             text.plain(shafts.SAME))
    end
  end
  if #parts > 0 then says.lines[#says.lines + 1] = table.concat(parts, " ") end
  return says
end

-- ---- the chart --------------------------------------------------------------------------------------------------------------------------

local looks = {{weight = "wheel", what = "line"}, {weight = "wheel", dash = "dashed", what = "line"},
               {weight = "body", colour = "grey", what = "line"}, {weight = "body", colour = "grey", dash = "dashed", what = "line"}}

local function points_of(positions, kind, field)
  local list = {}
  for i, position in ipairs(positions) do list[i] = {position.back, position.shafts[kind.index][field]} end
  return list
end

local function largest(kinds, positions, fields, checks)
  local most = 0
  for _, kind in ipairs(kinds) do
    for _, position in ipairs(positions) do
      for _, field in ipairs(fields) do most = math.max(most, position.shafts[kind.index][field] or 0) end
    end
    for _, what in ipairs(checks) do most = math.max(most, limit_of(kind.row, what) or 0) end
  end
  return most
end

-- "worst of travel", of several shafts "left, worst".
local function end_words(kinds, kind, entry)
  return #kinds > 1 and ("%s, %s"):format(kind.row.side or kind.names[1], entry.short) or entry.words
end

-- "14 allowed at worst", of several with limits of their own "14 allowed, worst, left".
local function limit_words(kinds, kind, entry, limit, narrow)
  local one = true
  for _, other in ipairs(kinds) do one = one and limit_of(other.row, entry.check) == limit end
  if one then return ("%s %s"):format(text.plain(limit), entry.allowed) end
  return ("%s allowed, %s"):format(text.plain(limit), narrow and kind.row.side or end_words(kinds, kind, entry))
end

-- Lines, limits and their names of one quantity.
local function draw_quantity(p, kinds, positions, list, most, narrow)
  local ends, limits = {}, {}
  for i, kind in ipairs(kinds) do
    for _, entry in ipairs(list) do
      local points = points_of(positions, kind, entry.field)
      p:line(points, looks[math.min(i, #looks)])
      for k, point in ipairs(points) do
        local bad = row_check.named(positions[k].shafts[kind.index], entry.check)
        bad = bad and bad.status == "fail"
        if point[2] and (point[1] == 0 or bad) then
          p:dot(point[1], point[2], {colour = bad and "fail" or nil, hollow = point[1] ~= 0, what = point[1] == 0 and "booked" or "fails"})
        end
      end
      local last = points[#points]
      if last[2] then
        ends[#ends + 1] = {x = last[1], y = last[2], words = end_words(kinds, kind, entry), bold = true}
      end
      local limit = limit_of(kind.row, entry.check)
      local key = limit and ("%s %s"):format(entry.check, text.plain(limit))
      if limit and not limits[key] then
        limits[key] = true
        if p:limit{y = limit, bad = "above"} then
          ends[#ends + 1] = {y = limit, words = limit_words(kinds, kind, entry, limit, narrow), colour = "grey"}
        end
      end
    end
  end
  for i = #ends, 1, -1 do -- names of limits, which stand in the table too, give way
    if #ends > most and ends[i].colour == "grey" then table.remove(ends, i) end
  end
  p:ends(ends)
end

local LABELS = {14, 6} -- of a chart, on a page and on a narrow one
local ANGLES = {{field = "static_angle", check = "static angle", words = "ride height", short = "ride", allowed = "allowed at ride"},
                {field = "worst_angle", check = "worst angle", words = "worst of travel", short = "worst", allowed = "allowed at worst"}}
local PLUNGE = {{field = "plunge_used", check = "plunge", words = "plunge", short = "plunge", allowed = "allowed"}}

local function draw_chart(page, kinds, positions, part, left, right, y, tall)
  local c, names = page.canvas, {}
  for _, kind in ipairs(kinds) do
    for _, entry in ipairs(ANGLES) do
      names[#names + 1] = end_words(kinds, kind, entry)
      names[#names + 1] = limit_words(kinds, kind, entry, limit_of(kind.row, entry.check) or 10, page.narrow)
    end
  end
  local function axis(name)
    local from, to = positions[1].back, positions[#positions].back
    local scale, ticks = chart.scale(from, to, {exact = true}), {}
    for i, value in ipairs(scale.ticks) do
      ticks[i] = {value, value == 0 and "as booked" or words.set(text.fixed(value, scale.decimals))}
    end
    return {from = from, to = to, ticks = ticks, name = name, named = true}
  end
  local angle = {from = 0, to = 1.08 * largest(kinds, positions, {"static_angle", "worst_angle"}, {"static angle", "worst angle"}),
                 zero = true, name = "joint angle, degrees"}
  local plunge = largest(kinds, positions, {"plunge_used"}, {"plunge"})
  local strip = {from = 0, to = math.max(1, 1.15 * plunge), zero = true, name = "plunge, mm"}
  local p = chart.plan(c, {left = left, right = right, top = y, bottom = y + tall, x = axis(), y = angle, ends = names})
  local q = chart.plan(c, {left = left, right = right, top = y + tall + 2, bottom = y + tall + 40, y = strip, ends = names,
                           x = axis(("%s back from where it is booked, mm"):format(words.name(part)))})
  p.left, q.left = math.max(p.left, q.left), math.max(p.left, q.left)
  for _, plot in ipairs{p, q} do
    plot:axes()
    draw_quantity(plot, kinds, positions, plot == p and ANGLES or PLUNGE, LABELS[page.narrow and 2 or 1], page.narrow)
  end
  y = y + tall + 40
  local fails = {}
  for _, position in ipairs(positions) do
    if position.status == "fail" then fails[#fails + 1] = way(position.back) end
  end
  if #fails > 0 then
    y = sheet.sentences(page, y, {("FAIL, rings: %s."):format(text.join(fails))}, {left = left, right = right, colour = "fail"})
  end
  return y
end

-- ---- the shafts at droop, ride height and bump ------------------------------------------------------------------------------------

local view_names = {"rear", "side", "floor"}
local says_where = {side = "from the side, front left", rear = "from behind", floor = "from above, front up"}

local WHOLE = 0.9 -- of its length: as much as that is enough to see a shaft by

-- The first view in which a shaft is seen at nearly all of its length.
local function view_for(scene, row)
  local p, q = row.inner_at, row.at.ride.outer_at
  local length = math.sqrt((p.x - q.x) ^ 2 + (p.y - q.y) ^ 2 + (p.z - q.z) ^ 2)
  local best, longest
  for _, name in ipairs(view_names) do
    local look = view.of(scene, name)
    local u1, v1 = look:point(p)
    local u2, v2 = look:point(q)
    local long = math.min(WHOLE, math.sqrt((u2 - u1) ^ 2 + (v2 - v1) ^ 2) / length)
    if not best or long > longest + 1e-6 then best, longest = name, long end
  end
  return best, view.of(scene, best)
end

-- Poses of a shaft in the order bump, ride height, droop; one where its wheel does not move.
local function poses_of(row)
  local list = {}
  local function add(pose, shown, dash)
    if not pose then return end
    list[#list + 1] = {at = pose.outer_at, words = ("%s: %s"):format(shown, degrees(math.max(pose.inner, pose.outer))), dash = dash}
  end
  local moves = row.travels and (row.travels.bump > 0 or row.travels.droop > 0)
  if moves then add(row.at.bump, ("bump %s"):format(text.fixed(row.travels.bump, 0)), "dashed") end
  add(row.at.ride, "ride height")
  if moves then add(row.at.droop, ("droop %s"):format(text.fixed(row.travels.droop, 0)), "dashed") end
  return list
end

local JOINT, ASIDE, TALL = 1.3, 4, 46 -- mm: radius of a joint, from it to its words, a shaft at most

local function draw_shaft(page, scene, kind, x1, x2, y)
  local c, row = page.canvas, kind.row
  c:view()
  local name, look = view_for(scene, row)
  for i, line in ipairs(c:wrap(text.sentence(name_of(kind)):gsub("%.$", ""), x2 - x1, SIZES.state, true, 2)) do
    if i > 1 then y = y + sheet.LINE end
    c:text(x1, y + 3.6, line, {size = SIZES.state, bold = true})
  end
  local poses = poses_of(row)
  local iu, iv = look:point(row.inner_at)
  local u1, u2, v1, v2 = iu, iu, iv, iv
  for _, pose in ipairs(poses) do
    pose.u, pose.v = look:point(pose.at)
    u1, u2, v1, v2 = math.min(u1, pose.u), math.max(u2, pose.u), math.min(v1, pose.v), math.max(v2, pose.v)
  end
  local label = 0
  for _, pose in ipairs(poses) do label = math.max(label, c:width_of(pose.words, SIZES.text, true)) end
  local scale = figure.scale_for(u2 - u1, v2 - v1, x2 - x1 - label - 2 * JOINT - (JOINT + ASIDE), TALL)
  c:text(x1, y + 7.8, ("1:%d %s"):format(scale, says_where[name]), {size = SIZES.small, colour = "grey"})
  local outward = poses[1].u > iu and 1 or -1
  local f = {scale = scale, x0 = outward > 0 and x1 + JOINT + 0.2 - u1 / scale or x2 - JOINT - 0.2 - u2 / scale, y0 = y + 14 + v2 / scale}
  local ix, iy = figure.x(f, iu), figure.y(f, iv)
  local wanted = {}
  for i, pose in ipairs(poses) do
    pose.x, pose.y = figure.x(f, pose.u), figure.y(f, pose.v)
    wanted[i] = pose.y
  end
  local bottom = math.max(figure.y(f, v1) + 3, y + 12 + #poses * 4.4)
  local places = chart.spread(wanted, 4.4, y + 12, bottom)
  for i, pose in ipairs(poses) do
    c:line(ix, iy, pose.x, pose.y, {weight = pose.dash and "body" or "ground", dash = pose.dash, what = "shaft " .. row.name})
    c:circle(pose.x, pose.y, JOINT, {weight = "body", fill = "white", what = "outer " .. row.name})
    local at = pose.x + outward * (JOINT + ASIDE)
    c:line(pose.x + outward * JOINT, pose.y, at - outward * 0.6, places[i],
           {weight = "hair", colour = "grey", what = "leader", only_on_paper = true})
    c:text(at, places[i] + 1, pose.words, {anchor = outward > 0 and "start" or "end", label = true, bold = not pose.dash})
  end
  c:circle(ix, iy, JOINT, {weight = "body", fill = "ink", what = "inner " .. row.name})
  return bottom + 2
end

-- ---- the table --------------------------------------------------------------------------------------------------------------------------

local function cell(value, sd, decimals) return value and words.set(text.plus_minus(value, sd, decimals)) or "unknown" end

local function allowed_words(row, what)
  local limit, check = limit_of(row, what)
  return limit and text.plain(limit) .. (check.basis == "file" and "" or "*") or ""
end

local LETTERS = 200 -- mm: on a terminal the table needs a page as wide as that

local function draw_table(page, booked, y)
  local cells, starred = {}, false
  for i, row in ipairs(booked) do
    local bad = row.status == "fail" and "fail" or nil
    for _, check in ipairs(row.checks) do starred = starred or check.limit and check.basis ~= "file" end
    cells[i] = {words.name(row.name), cell(row.static_angle, row.sd.static_angle, 1), allowed_words(row, "static angle"),
                cell(row.worst_angle, row.sd.worst_angle, 1), allowed_words(row, "worst angle"),
                row.at and text.fixed(row.at.ride.length, 1) or "", row.cut_for and text.fixed(row.cut_for, 1) or "",
                cell(row.plunge_used, row.sd.plunge_used, 1), allowed_words(row, "plunge"),
                {verdicts.mark[row.status], bold = bad ~= nil, colour = bad}}
  end
  if #cells == 0 then return y end
  local headings = {{"as booked", left = true, gives = true}, {"ride, °"}, {"allowed"}, {"worst, °"}, {"allowed"}, {"length, mm"},
                    {"to cut, mm"}, {"plunge, mm"}, {"allowed"}, {"", left = true}}
  if page.narrow or page.canvas.letter and page.width < LETTERS then -- lengths go below
    local short = {}
    for i, list in ipairs(cells) do short[i] = {list[1], list[2], list[3], list[4], list[5], list[10]} end
    y = rows.draw(page.canvas, y, {headings[1], headings[2], headings[3], headings[4], headings[5], headings[10]}, short,
                  {left = page.left, right = page.right})
    for i, list in ipairs(cells) do short[i] = {list[1], list[6], list[7], list[8], list[9]} end
    y = rows.draw(page.canvas, y + 2, {headings[1], headings[6], headings[7], headings[8], headings[9]}, short,
                  {left = page.left, right = page.right})
  else
    y = rows.draw(page.canvas, y, headings, cells, {left = page.left, right = page.right})
  end
  for _, row in ipairs(booked) do
    if row.status ~= "pass" then
      y = sheet.sentences(page, y, {("%s: %s, %s."):format(words.name(row.name), verdicts.mark[row.status], row.why)},
                          {size = SIZES.small, colour = row.status == "fail" and "fail" or nil})
    end
  end
  return y + 1, starred
end

-- ---- the whole --------------------------------------------------------------------------------------------------------------------------

local function in_order(positions)
  local list = {}
  for i, position in ipairs(positions or {}) do
    if position.back then list[i] = position end
  end
  table.sort(list, function(a, b) return a.back < b.back end)
  return #list > 1 and list or {}
end

local BETWEEN = 8      -- mm, from shaft to shaft
local WIDEST = {130, 84} -- mm: of the only one, of several

--- See draw/picture.lua.
function shafts.draw(page, result, scene)
  local booked, positions = rawget(result, "as_booked") or result, in_order(rawget(result, "positions"))
  local kinds = kinds_of(booked, positions)
  local y = sheet.heading(page, heading_of(booked, positions, scene, kinds))
  local charted, drawn = {}, {}
  for _, kind in ipairs(kinds) do
    if kind.row.at then drawn[#drawn + 1] = kind end
    if kind.row.at and changes(kind, positions) then charted[#charted + 1] = kind end
  end
  if #positions > 0 and #charted > 0 then
    y = draw_chart(page, charted, positions, result.part, page.left, page.right, y + 1, page.narrow and 62 or 74) + 4
  end
  local columns = page.narrow and 1 or math.min(3, math.max(1, #drawn))
  local wide, lowest = (page.right - page.left - (columns - 1) * BETWEEN) / columns, y
  for i, kind in ipairs(drawn) do
    local k = (i - 1) % columns
    if k == 0 then y = lowest + (i > 1 and 3 or 0) end
    local x = page.left + k * (wide + BETWEEN)
    lowest = math.max(lowest, draw_shaft(page, scene, kind, x, x + math.min(wide, WIDEST[#drawn == 1 and 1 or 2]), y))
  end
  local starred
  y, starred = draw_table(page, booked, lowest + 2)
  local notes = {}
  for i, note in ipairs(booked.notes) do notes[i] = (starred and note:find "common practice$" and "* " or "") .. text.sentence(note) end
  return y, {notes = notes, words = text.count(#booked, "shaft") .. (#positions > 0 and " by where the engine sits" or "")}
end

return shafts
