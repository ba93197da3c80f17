--- A record put into a vehicle file: its text with one entry more, all else as it stands.

local core = require "steelyard.core"
local load = require "steelyard.car.load"
local text = require "steelyard.print.text"
local text_edits = require "steelyard.file.text_edits"
local vocabulary = require "steelyard.file.vocabulary"
local written = require "steelyard.file.written"

local keep = {}

local function folder_of(path) return path:match "^(.*[/\\])[^/\\]*$" or "" end

--- A file as a record names it, seen from the folder of the vehicle file; it may lie there or below.
function keep.below(own, path)
  local folder = folder_of(own)
  if path:sub(1, #folder) == folder and not path:find("^/", #folder + 1) then return path:sub(#folder + 1) end
  core.fail{code = "io", file = path, message = ("is not reached from %s: a record names files in the folder of its vehicle file or below")
    :format(own), hint = ("put it into %s"):format(folder == "" and "that folder" or folder)}
end

-- A copy of the outermost tables, which the new entry changes; the others stay those of the file.
local function with_entry(vehicle, item, from)
  local fields, list = {}, {}
  for key, value in next, rawget(vehicle, "fields") do fields[key] = value end
  for i, record in ipairs(fields.records or {}) do list[i] = record end
  if fields.records then from[list] = fields.records end
  list[#list + 1] = item
  fields.records = list
  local copy = {}
  for key, value in next, vehicle do copy[key] = value end
  copy.fields = fields
  return setmetatable(copy, getmetatable(vehicle))
end

-- What the records name is read when it is first asked for: it must be there as well.
local function check_reached(own, path, records)
  local folder = folder_of(path)
  if folder == folder_of(own) then return end
  for _, record in ipairs(records) do
    local fields = rawget(record, "fields")
    for _, field in ipairs{"from", "file"} do
      local named = fields and fields[field]
      if type(named) == "string" and not core.is_there(folder .. named) then
        core.fail{code = "io", file = path, part = rawget(record, "name"), kind = "record", field = field,
          message = ("names %s, which is not reached from there"):format(named), hint = ("write it into the folder of %s"):format(own)}
      end
    end
  end
end

--- {path =, text =, car = read from that text}: the file `own` with record `name` { fields }, to be written to `path`.
function keep.plan(own, name, fields, path)
  local bytes = core.read_file(own)
  local raw, is_data = load.raw(bytes, own)
  local item = vocabulary.record(name)(fields)
  if not is_data then
    core.fail{code = "content", file = own, message = "has names of its own, functions, sums or long texts, so it is not edited here",
              hint = "put this into its records: " .. written.value(item, "", "\n")}
  end
  local from = {}
  local shown = text_edits.apply(bytes, raw.vehicle, with_entry(raw.vehicle, item, from), {from = from})
  check_reached(own, path, rawget(raw.vehicle, "fields").records or {})
  return {path = path, text = shown, car = load.file(path, shown)}
end

--- "sedge.lua has the record "third scales"; nothing else in it changed."
function keep.said(plan, name)
  return ("%s has the record %s; nothing else in it changed."):format(plan.path, text.named(name))
end

return keep
