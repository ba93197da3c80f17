--- teardown.of(paths, {decimal =, scale =}) -> the closure of each table, and with several of all together.

local core = require "steelyard.core"
local origin = require "steelyard.print.origin"
local closure = require "steelyard.measure.closure"
local closure_csv = require "steelyard.measure.closure.csv"
local closure_print = require "steelyard.measure.closure.print"
local text = require "steelyard.print.text"

local teardown = {}
local Teardown = require("steelyard.reference.results").kind "teardown"

local function base_name(path) return path:match "([^/\\]+)%.[^./\\]*$" or path:match "[^/\\]+$" or path end

local function closure_of(given, options, title)
  local result = closure.of{title = title, whole = given.whole, parts = given.parts, extra = given.extra, scale = options.scale}
  for _, note in ipairs{closure.caution, closure.one_slip} do -- said once, at the end
    if result.notes[#result.notes] == note then table.remove(result.notes) end
  end
  table.move(given.notes, 1, #given.notes, #result.notes + 1, result.notes)
  return result
end

-- kg and standard uncertainty of what sy.closure takes for a whole
local function value_and_sd(whole)
  if type(whole) == "number" then return whole, 0 end
  return whole.value, whole.sd
end

-- One list in which each table is an assembly.
local function joined(list)
  local all, variance = {parts = {}, extra = {}, notes = {}, whole = 0}, 0
  for _, given in ipairs(list) do
    for _, line in ipairs(given.parts) do
      line.assembly = given.name
      all.parts[#all.parts + 1] = line
    end
    table.move(given.extra, 1, #given.extra, #all.extra + 1, all.extra)
    if all.whole and given.whole then
      local value, sd = value_and_sd(given.whole)
      all.whole, variance = all.whole + value, variance + sd ^ 2
    else
      all.whole = nil
    end
  end
  if all.whole and variance > 0 then all.whole = require("steelyard.file.vocabulary").sd(all.whole, math.sqrt(variance)) end
  return all
end

--- {tables = {closure, ...}, together = closure or nil, heading =, notes = {}, state =}
function teardown.of(paths, options)
  local list, tables, files = {}, {}, {}
  for i, path in ipairs(paths) do
    local bytes = core.read_file(path)
    list[i] = closure_csv.read(bytes, {file = path, decimal = options.decimal})
    list[i].name = base_name(path)
    tables[i] = origin.of_readings(closure_of(list[i], options, list[i].name), {file = path, bytes = bytes})
    files[i] = tables[i].file
  end
  local together = #list > 1 and closure_of(joined(list), options, "All together") or nil
  if together then together.other_files = files end
  local open = together and together.closes == false
  for _, one in ipairs(tables) do open = open or one.closes == false end
  return setmetatable({tables = tables, together = together, heading = "Teardown", state = "as listed", other_files = files,
    notes = {open and closure.one_slip or closure.caution, open and closure.caution or nil}}, Teardown)
end

function Teardown.__tostring(result)
  local all, pages, last = table.move(result.tables, 1, #result.tables, 1, {}), {}, {}
  all[#all + 1] = result.together
  for i, note in ipairs(result.notes) do last[i] = text.sentence(note) end
  for i, one in ipairs(all) do pages[i] = closure_print.page(one, i == #all and last or nil) end
  return table.concat(pages, "\n\n")
end

return teardown
