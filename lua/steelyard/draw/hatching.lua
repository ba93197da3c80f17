--- Hatching, and lines that leave out where words stand.

local hatching = {}

local APART = 1.6 -- mm between lines

-- The pieces of a straight line outside of boxes {left, top, right, bottom}.
local function outside(pieces, boxes)
  for _, box in ipairs(boxes or {}) do
    local kept = {}
    for _, piece in ipairs(pieces) do
      local p, q = piece[1], piece[2]
      local dx, dy, t1, t2 = q[1] - p[1], q[2] - p[2], 0, 1
      for _, edge in ipairs{{-dx, p[1] - box[1]}, {dx, box[3] - p[1]}, {-dy, p[2] - box[2]}, {dy, box[4] - p[2]}} do
        if edge[1] == 0 then
          if edge[2] <= 0 then t2 = -1 end
        elseif edge[1] < 0 then t1 = math.max(t1, edge[2] / edge[1])
        else t2 = math.min(t2, edge[2] / edge[1]) end
      end
      if t1 >= t2 then
        kept[#kept + 1] = piece
      else
        local function at(t) return {p[1] + t * dx, p[2] + t * dy} end
        if t1 > 0 then kept[#kept + 1] = {p, at(t1)} end
        if t2 < 1 then kept[#kept + 1] = {at(t2), q} end
      end
    end
    pieces = kept
  end
  return pieces
end

-- Does a line lie clear of all boxes because it lies on one side of each?
local function beside(p, q, boxes)
  local left, right = math.min(p[1], q[1]), math.max(p[1], q[1])
  local top, bottom = math.min(p[2], q[2]), math.max(p[2], q[2])
  for _, box in ipairs(boxes) do
    if left < box[3] and right > box[1] and top < box[4] and bottom > box[2] then return false end
  end
  return true
end

--- A line through points on the paper, left out in boxes, where words stand.
function hatching.path_around(c, points, boxes, look)
  local run = {}
  local function close()
    if #run > 1 then c:path(run, look) end
    run = {}
  end
  for i = 1, #points - 1 do
    local whole = {{points[i], points[i + 1]}}
    for _, piece in ipairs(beside(points[i], points[i + 1], boxes) and whole or outside(whole, boxes)) do
      if run[#run] ~= piece[1] then
        close()
        run = {piece[1]}
      end
      run[#run + 1] = piece[2]
    end
  end
  close()
end

--- Lines across closed loops on the paper, rising to the right; not in o.boxes. o.apart, mm; o.colour, o.what
function hatching.loops(c, loops, o)
  o = o or {}
  local apart, low, high = (o.apart or APART) * math.sqrt(2), math.huge, -math.huge
  for _, loop in ipairs(loops) do
    for _, p in ipairs(loop) do low, high = math.min(low, p[1] + p[2]), math.max(high, p[1] + p[2]) end
  end
  local pieces = {}
  for k = math.ceil(low / apart), math.floor(high / apart) do
    local sum, cuts = k * apart, {} -- on the line x + y = sum
    for _, loop in ipairs(loops) do
      for i, p in ipairs(loop) do
        local q = loop[i % #loop + 1]
        local a, b = p[1] + p[2] - sum, q[1] + q[2] - sum
        if (a < 0) ~= (b < 0) then cuts[#cuts + 1] = p[1] + a / (a - b) * (q[1] - p[1]) end
      end
    end
    table.sort(cuts)
    for i = 1, #cuts - 1, 2 do
      local whole = {{cuts[i], sum - cuts[i]}, {cuts[i + 1], sum - cuts[i + 1]}}
      for _, piece in ipairs(outside({whole}, o.boxes)) do pieces[#pieces + 1] = piece end
    end
  end
  if #pieces > 0 then
    c:loops(pieces, {closed = false, weight = "hair", colour = o.colour or "grey", what = o.what or "hatch",
                     only_on_paper = o.only_on_paper})
  end
end

return hatching
