--- How car:markout() prints: the metatable of its result.

local core = require "steelyard.core"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local Markout = require("steelyard.reference.results").kind "markout"

local function half_width(sd) return sd and text.fixed(text.K95 * sd, 0) or "-" end

local function trolley_lines(result, lines)
  if #result.trolleys == 0 then return end
  local rows = {}
  for i, t in ipairs(result.trolleys) do
    rows[i] = {t.name, t.x and text.fixed(t.x, 0) or "", t.y and text.fixed(t.y, 0) or "", t.height and text.fixed(t.height, 0) or "",
      text.plus_minus(t.load, t.sd.load, 1)}
  end
  lines[#lines + 1] = ("On the trolleys: %s kg."):format(text.fixed(result.mass, 1))
  local x, y = result.level[1], result.level[2]
  lines[#lines + 1] = text.table({{"trolley", "%s"}, {x, "%s"}, {y, "%s"}, {"height, mm", "%s"}, {"load, kg", "%s"}}, rows)
end

-- Assemblies in the order they first appear, each with its rows together.
local function grouped(result)
  local order, by_name = {}, {}
  for _, row in ipairs(result) do
    local group = by_name[row.assembly]
    if not group then
      group = {name = row.assembly}
      by_name[row.assembly], order[#order + 1] = group, group
    end
    group[#group + 1] = row
  end
  return order
end

function Markout.__tostring(result)
  local rows = {}
  for _, group in ipairs(grouped(result)) do
    rows[#rows + 1] = {group.name, "", "", "", "", "", "", ""}
    for _, row in ipairs(group) do
      rows[#rows + 1] = {"  " .. row.name, text.fixed(row.x, 0), text.fixed(row.y, 0), text.fixed(row.height, 0), text.fixed(row.tapes.a,
        0),
                         text.fixed(row.tapes.b, 0), ("%s, %s"):format(half_width(row.sd.x), half_width(row.sd.y)),
                           row.poor and row.why or ""}
    end
  end
  local a, b = result.tape_points[1], result.tape_points[2]
  local x, y = result.level[1], result.level[2]
  -- to a tenth: what stands below it in a place worked out is rounding
  local function tenth(mm) return text.plain(core.number(core.fixed(mm, 1))) end
  local function at(p) return ("%s, %s"):format(tenth(p.x), tenth(p.y)) end
  local lines = {
    page.heading(result.heading),
    ("Tapes from floor points A (%s) and B (%s), each good to %s mm. Datum: the file's 0, 0."):format(at(a), at(b),
      text.fixed(text.K95 * result.tape_sd, 0)),
  }
  if #rows > 0 then
    lines[3] = text.table({{"to chalk", "%s"}, {x, "%s"}, {y, "%s"}, {"height, mm", "%s"}, {"tape A", "%s"}, {"tape B", "%s"},
      {("+- %s, %s"):format(x, y), "%s"}, {"", "%s"}}, rows)
  end
  trolley_lines(result, lines)
  return page.of(result, lines)
end

return Markout
