--- take_parts.of(o): from a spreadsheet's parts list to a car that balances. What was understood is shown first; the vehicle file that
-- reads the table is written only when the car balances and stands on its wheels, and never over another file.
--
--   o = {table = "parts.csv", file = "parts.lua" unless given, wheelbase =, track = {front, rear or nothing}, radius = {the same} or nil,
--        axes = {"back", "right", "up"}, front_at = 0, ground = 0, centre = 0, decimal =, title =, anyway =}
--   -> {preview, table, file, written, kept (a file was there), book (the line that books the table) where it is not booked, mass,
--       front_share, height, sd, state, notes, balance (the page), assumed (a sentence), assumed_datum (another, while nothing is
--       written), next = list of commands}

local core = require "steelyard.core"
local new_file = require "steelyard.command.new_file"
local parts_csv = require "steelyard.file.parts_csv"
local template = require "steelyard.command.take_parts.text"
local page = require "steelyard.print.page"

local take_parts = {}
local Taken = {__name = "take_parts"}

local function refuse(code, message, path, hint) core.fail{code = code, message = message, file = path, hint = hint} end

-- ---- where the files are ------------------------------------------------------------------------------------------------

local function stem_of(path) return path:match "([^/]*)%.[^./]*$" or path:match "[^/]*$" end

local function folder_of(path) return path:match "^(.*/)" or "" end

local function without_dot(path) return (path:gsub("^%./+", "")) end

-- The vehicle file, and the table as seen from there: a vehicle file reads tables of its own folder and below.
local function places(o)
  local table_path = without_dot(o.table)
  local file = o.file and without_dot(o.file) or folder_of(table_path) .. stem_of(table_path) .. ".lua"
  new_file.check_folder(file, stem_of(table_path) .. ".lua")
  if not file:find "[^/]%.lua$" then
    refuse("usage", "a vehicle file is called NAME.lua", file, ("is %s.lua meant?"):format(file))
  end
  local folder = folder_of(file)
  local seen = table_path:sub(#folder + 1)
  if table_path:sub(1, #folder) ~= folder or folder == "" and seen:sub(1, 1) == "/" or ("/" .. seen .. "/"):find("/../", 1, true) then
    refuse("usage", "does not lie beside the vehicle file or below it", o.table,
      ("leave the second name away, and %s%s.lua is written"):format(folder_of(table_path), stem_of(table_path)))
  end
  if seen:find "[%c]" then refuse("content", "has a control character in its name", o.table) end
  return file, seen
end

-- ---- what is understood --------------------------------------------------------------------------------------------------

-- Names in the order of the table, each once: scales that readings name, and persons with their groups.
local function named(list)
  local scales, persons, seen = {}, {}, {}
  for _, part in ipairs(list) do
    if part.instrument and not seen[part.instrument] then
      seen[part.instrument] = true
      scales[#scales + 1] = part.instrument
    end
    if part.kind == "person" then persons[#persons + 1] = part.group and part.group .. "/" .. part.name or part.name end
  end
  return scales, persons
end

local function from_csv_line(seen, decimal)
  return ("from_csv %s%s"):format(new_file.quoted(seen), decimal and (" { decimal = %q }"):format(decimal) or "")
end

local USUAL_RADIUS = 300 -- mm, where nobody says; common practice, no source. Loads on level ground do not depend on it
local fore_aft = {forward = -1, back = 1}

local function usage(message, hint) core.fail{code = "usage", message = message, hint = hint} end

local function check_pair(list, option)
  if not list or #list <= 2 then return end
  usage(("--%s has %d numbers, front and rear are two"):format(option, #list))
end

local function check_axes(axes)
  local ways = {forward = 1, back = 1, left = 2, right = 2, up = 3, down = 3}
  local seen = {}
  for _, way in ipairs(axes) do
    if ways[way] then seen[ways[way]] = true end
  end
  if #axes == 3 and seen[1] and seen[2] and seen[3] then return end
  usage(("--axes %s: one runs forward or back, one left or right, one up or down"):format(table.concat(axes, ",")),
    "as in --axes back,right,up")
end

-- The text of the vehicle file.
local function vehicle_text(o, seen, list)
  local scales, persons = named(list)
  local radius = o.radius or {USUAL_RADIUS}
  local way
  for _, each in ipairs(o.axes) do way = way or fore_aft[each] end
  return template.fill{
    title = o.title or stem_of(o.table), axes = o.axes, front_at = o.front_at, ground = o.ground, centre = o.centre,
    rear_at = o.front_at + way * o.wheelbase, track = {o.track[1], o.track[2] or o.track[1]},
    radius = {radius[1], radius[2] or radius[1]}, parts = from_csv_line(seen, o.decimal), scales = scales, persons = persons,
  }
end

-- ---- the car ---------------------------------------------------------------------------------------------------------------

-- What a wrong sign or a wrong zero in the table looks like.
local function odd(b)
  local list = {}
  if b.front_share < 0 or b.front_share > 100 then
    list[#list + 1] = ("the CG lies %s the wheels: does x run the other way (--axes), or is the front axle not at 0 of the table "
      .. "(--front-at)?"):format(b.front_share < 0 and "behind" or "ahead of")
  end
  if b.left_share < 25 or b.left_share > 75 then
    list[#list + 1] = "three quarters of the load on one side: is the centre plane not at 0 of the table (--centre)?"
  end
  if b.height < 0 then list[#list + 1] = "the CG lies below the ground: is z measured from another place (--ground)?" end
  return list
end

local function balance_into(result, car)
  local b = car:state(car:states()[1]):balance()
  result.mass, result.front_share, result.height, result.state = b.mass, b.front_share, b.height, b.state
  result.sd = {mass = b.sd.mass, front_share = b.sd.front_share, height = b.sd.height}
  result.notes, result.balance = odd(b), tostring(b)
end

local function commands(file)
  local path = new_file.for_shell(file)
  return {("steelyard book %s"):format(path), ("steelyard forgotten %s"):format(path), ("steelyard budget %s"):format(path)}
end

local ways = {left = "to the left of", right = "to the right of"}

-- "x runs back from the front axle, y to the right of the centre plane, z up from the ground"; where a datum is not 0 of the table it is
-- said where it lies: "x runs forward, with the front axle at 500".
local function datum_text(o)
  local said = {}
  for i, letter in ipairs{"x", "y", "z"} do
    local way = o.axes[i]
    local from, at = " from the ground", o.ground
    local name = "the ground"
    if ways[way] then from, at, name = "", o.centre, "the centre plane"
    elseif fore_aft[way] then from, at, name = " from the front axle", o.front_at, "the front axle" end
    local runs = ways[way] and (at == 0 and ways[way] .. " the centre plane" or "to the " .. way) or way .. (at == 0 and from or "")
    said[i] = ("%s %s%s"):format(letter, runs, at ~= 0 and (" with %s at %s mm"):format(name, core.shortest(at)) or "")
  end
  return table.concat(said, ", ")
end

-- What the written file takes for granted.
local function assumptions(o)
  local said = "Taken for granted: " .. datum_text(o)
  if not o.radius then said = ("%s; wheels of %d mm loaded radius"):format(said, USUAL_RADIUS) end
  return said .. "; the uncertainties under assume where the table says none."
end

-- Another file lies where this one would be written.
local function keep(result, file, seen, o)
  local line = from_csv_line(seen, o.decimal)
  result.kept = true
  if not core.read_file(file):find(('from_csv%%s*%%(?%%s*["\']%s["\']'):format((seen:gsub("%p", "%%%0")))) then
    result.book = line
    return
  end
  balance_into(result, require("steelyard").load(file))
  result.next = commands(file)
end

-- The command with what it was given and what it needs still.
local function next_step(o)
  local list = {"steelyard take_parts " .. new_file.for_shell(o.table)}
  if o.file then list[#list + 1] = new_file.for_shell(o.file) end
  list[#list + 1] = "--wheelbase MM --track FRONT,REAR"
  if o.radius then list[#list + 1] = ("--radius %s"):format(core.shortest(o.radius[1]) .. (o.radius[2] and "," .. core.shortest(o.radius[2])
    or "")) end
  if table.concat(o.axes, ",") ~= "back,right,up" then list[#list + 1] = "--axes " .. table.concat(o.axes, ",") end
  for _, option in ipairs{"front_at", "ground", "centre"} do
    if o[option] ~= 0 then list[#list + 1] = ("--%s %s"):format(option:gsub("_", "-"), core.shortest(o[option])) end
  end
  if o.decimal then list[#list + 1] = "--decimal " .. new_file.for_shell(o.decimal) end
  if o.title then list[#list + 1] = "--title " .. new_file.for_shell(o.title) end
  return table.concat(list, " ")
end

--- See the top of this file.
function take_parts.of(o)
  check_axes(o.axes)
  check_pair(o.track, "track")
  check_pair(o.radius, "radius")
  if (o.wheelbase == nil) ~= (o.track == nil) then
    usage(("--%s is missing: it takes --wheelbase and --track to say where the wheels are"):format(o.track and "wheelbase" or "track"))
  end
  local file, seen = places(o)
  local list = parts_csv.read(core.read_file(o.table), {file = o.table, decimal = o.decimal,
    how_to_say = "--decimal , or --decimal . says which"})
  local result = setmetatable({preview = list.preview, table = o.table, file = file, written = false, notes = {}, next = {}}, Taken)
  if new_file.is_there(file) then
    keep(result, file, seen, o)
  elseif not o.wheelbase then
    result.next, result.assumed_datum = {next_step(o)}, ("Taken for granted: %s; else --axes, --front-at, --centre, --ground."):format(
      datum_text(o))
  else
    local words = vehicle_text(o, seen, list)
    local car = require("steelyard").load(file, words)
    balance_into(result, car)
    result.assumed = assumptions(o)
    if #result.notes == 0 or o.anyway then
      new_file.write(file, words)
      result.written, result.next = true, commands(file)
    end
  end
  return result
end

-- ---- in words --------------------------------------------------------------------------------------------------------------

local function summary(result)
  if result.written then
    return ("%s is written; it reads the table whenever it is asked, so go on in the spreadsheet. Wheels, axes and states are in it.")
      :format(result.file)
  end
  if result.book then
    return ("%s is there already and stays as it is. This line among its parts books the table:\n  %s,"):format(result.file, result.book)
  end
  if result.kept then
    return ("%s is there already and stays as it is; it reads this table. Wheels and axes are changed in it."):format(result.file)
  end
  if result.balance then return "Nothing is written, for something looks wrong at the end of this; --anyway writes it." end
  return "Nothing is booked yet. If the columns are understood, say where the wheels are, lengths in mm:"
end

function Taken.__tostring(result)
  local lines = {result.preview, "", summary(result)}
  lines[#lines + 1] = result.assumed
  if result.balance then
    lines[#lines + 1], lines[#lines + 2] = "", result.balance
    for _, note in ipairs(result.notes) do lines[#lines + 1] = page.note(note) end
    if #result.next > 0 then lines[#lines + 1] = "Next:" end
  end
  for _, command in ipairs(result.next) do lines[#lines + 1] = "  " .. command end
  lines[#lines + 1] = result.assumed_datum
  return table.concat(lines, "\n")
end

return take_parts
