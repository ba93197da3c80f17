--- A study as a table for spreadsheets and as JSON.
--
-- CSV (RFC 4180 with LF): a row a variant; inputs, outputs, their uncertainties as sd.NAME, lowest.NAME and so on of what was folded,
-- and the
-- verdict. What is not known is empty. Numbers are written in full.

local core = require "steelyard.core"
local document = require "steelyard.reference.document"
local json = require "steelyard.print.json"
local new_file = require "steelyard.command.new_file"
local made = require "steelyard.study.made"
local stores_of = require "steelyard.study.stores"

local export = {}

local function quoted(words)
  if not words:find '[,;|\t"\r\n]' and not words:find "^ " and not words:find " $" then return words end
  return '"' .. words:gsub('"', '""') .. '"'
end

-- Columns in the order of the table: {heading, column}.
local function columns_of(r)
  local a, list = made.from[r].a, {}
  for _, j in ipairs(a.outer) do list[#list + 1] = {a.inputs[j].name, r.columns[a.inputs[j].name]} end
  for o = 1, a.shown do
    local name = a.outputs[o].name
    list[#list + 1] = {name, r.columns[name]}
    if r.sd[name] then list[#list + 1] = {"sd." .. name, r.sd[name]} end
    for _, which in ipairs(a.folds and stores_of.of_folds or {}) do list[#list + 1] = {which .. "." .. name, r[which][name]} end
  end
  if r.verdict then list[#list + 1] = {"verdict", r.verdict} end
  return list
end

local function cell(value)
  if value == nil then return "" end
  return type(value) == "number" and core.shortest(value) or quoted(value)
end

--- The table as text.
function export.csv_text(r)
  if not made.from[r].stores then
    core.fail{code = "unavailable", field = "reduce", message = "a study that was reduced has no rows", hint = "run it without reduce"}
  end
  local columns, lines, cells = columns_of(r), {}, {}
  for c, column in ipairs(columns) do cells[c] = quoted(column[1]) end
  lines[1] = table.concat(cells, ",")
  for i = 1, r.n_done or r.n do
    for c, column in ipairs(columns) do cells[c] = cell(column[2][i]) end
    lines[i + 1] = table.concat(cells, ",")
  end
  lines[#lines + 1] = ""
  return table.concat(lines, "\n")
end

--- The document as text.
function export.json_text(r) return json.encode(document.of(r)) .. "\n" end

--- r:csv(path), r:json(path): write that file and give its path back.
function export.csv(r, path)
  new_file.save(path, export.csv_text(r), true)
  return path
end

function export.json(r, path)
  new_file.save(path, export.json_text(r), true)
  return path
end

--- What `to` writes: a table where the path ends in .csv, else JSON.
function export.file(r, path) return path:find "%.csv$" and export.csv_text(r) or export.json_text(r) end

return export
