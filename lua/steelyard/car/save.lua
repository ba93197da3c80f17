--- car:save(path, o?): a vehicle file of any car.
--
-- Where the car's own file is mere data its text is edited, else it is written anew. What comes out is read again and compared with the
-- car, and only then written: whole or not at all (core.write_file).

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local draft = require "steelyard.car.draft"
local load = require "steelyard.car.load"
local loading = require "steelyard.car.loading"
local resolve = require "steelyard.car.resolve"
local saved_alike = require "steelyard.car.saved_alike"
local text_edits = require "steelyard.file.text_edits"
local written = require "steelyard.file.written"
local text = require "steelyard.print.text"

local save = {}

local function refuse(code, path, message, hint) core.fail{code = code, file = path, message = message, hint = hint} end

-- ---- where it goes ----------------------------------------------------------------------------------------------------------

local function folder_of(path) return path:match "^(.*[/\\])[^/\\]*$" or "" end

local function check_target(path, replace)
  if type(path) ~= "string" or path == "" then
    core.fail{code = "type", message = "car:save needs the path of the file to write"}
  end
  if core.is_folder(path) then refuse("io", path, "is a folder", "give the name of a file in it") end
  if core.is_link(path) then
    refuse("io", path, "is a link, and a car is saved to files only", "give the path of the file that it names")
  end
  local folder = folder_of(path)
  if folder ~= "" and not core.is_folder(folder) then
    refuse("io", path, "cannot be written: its folder is not there", "make the folder first")
  end
  if core.is_there(path) and not replace then
    refuse("clash", path, "is already there and stays as it is",
      {"write another file, or save with {replace = true}, which first keeps the old one in history/",
       "write another file, or add --replace, which first keeps the old one in history/"})
  end
end

-- ---- what it comes from -------------------------------------------------------------------------------------------------------

-- The car's file, tables and meshes must still say what they said when it was read.
local function check_unchanged(c)
  local spec = c.shared.spec
  local bytes = spec.sources[1]
  if not core.is_there(spec.file) then return end
  if core.read_file(spec.file) ~= bytes then
    refuse("content", spec.file, "was changed since the car was read from it", "read it again and make the changes on that car")
  end
  local again = contents.inside(load.file(spec.file))
  for i, source in ipairs(spec.sources) do
    if again.shared.spec.sources[i] ~= source then
      refuse("content", spec.file, "names a table or a mesh that was changed since the car was read", "read the car again")
    end
  end
end

-- The tables that make the car, its text where that can be edited, and why it cannot.
local function source_of(c)
  local spec = c.shared.spec
  if not spec.file then
    local fields = spec.fields
    local raw = require("steelyard.file.user_values").is_item(fields) and fields
      or setmetatable({kind = "vehicle", name = "", line = 0, file = false, fields = fields}, core.vocabulary_functions.marked "item")
    return raw, nil, "the car was made by a script"
  end
  check_unchanged(c)
  local bytes = spec.sources[1]
  local raw, is_data = load.raw(bytes, spec.file)
  if is_data then return raw.vehicle, bytes end
  return raw.vehicle, nil, "it has names of its own, functions, sums or long texts: what they come to is written, comments are not"
end

-- ---- the text and its proof -----------------------------------------------------------------------------------------------------

local function read_again(c, path, shown)
  local fine, car = pcall(load.file, path, shown)
  if fine then return contents.inside(car) end
  if getmetatable(car) ~= core.error_metatable then error(car, 0) end
  local spec = c.shared.spec
  if car.code == "read" or car.file ~= path then
    refuse("io", path, ("would not reach what it names: %s"):format(tostring(car)),
      ("save it in the folder of %s, where its tables and meshes are"):format(spec.file or "the tables"))
  end
  core.fail{code = car.code, file = path, part = car.part, field = car.field,
            message = ("was not written, for it would not be read: %s"):format(car.message), hint = car.hint}
end

local function check_sources(c, d, path)
  local spec = c.shared.spec
  local had = {}
  for i = 2, #spec.sources do had[spec.sources[i]] = true end
  for i = 2, #d.shared.spec.sources do
    if spec.file and not had[d.shared.spec.sources[i]] then
      refuse("content", path, "would name a table or a mesh that says something else in its folder",
        ("save it in the folder of %s"):format(spec.file))
    end
  end
end

-- How far both pieces of a pair were moved to the left since the file was read, mm; nil where that is not what became of them.
local function moved_aside(c, route)
  local by = {}
  for k = 0, 1 do
    local piece = route .. string.pack("=I4", k)
    local _, was = c.shared.filed:origin(piece, c.geometry)
    local _, is = c.base:origin(piece, c.geometry)
    by[k] = written.length(is - was)
  end
  return math.abs(by[0] - by[1]) < 1e-6 and by[0] ~= 0 and by[0] or nil -- mm: what adding lengths leaves
end

-- Two lines would not be the same car: the pieces of a pair err together, two parts each by itself. That is for its owner to say. Hints are
-- for scripts and for command lines.
local function refuse_pair(c, d, path, route)
  local name, by = resolve.path(c.base, route), d.filed_routes[route] and moved_aside(c, route)
  local message = "its two pieces do not mirror each other any more, and the line of a pair states one of them"
  local hint = {("in place of that edit take the pair out, car:without(%q), and add two parts, one for each side"):format(name),
                "write two parts into the file in place of the pair, one for each side, and move those"}
  if by then
    local mm, way, back = text.plain(math.abs(by)), by > 0 and "left" or "right", by > 0 and "right" or "left"
    message = ("it was moved %s mm to the %s%s and a pair lies alike on both sides of the centre plane"):format(mm, way,
      #route > 4 and ", by itself or with its group," or ",")
    hint = {("move the pair back, car:move(%q, {%s = %s}); for two parts that stay there take it out then, car:without(%q), and add them, "
              .. "one for each side"):format(name, back, mm, name),
            ("move the pair back too, \"%s %s %s\", or write two parts into the file in its place, one for each side")
              :format(name, mm, back)}
  end
  core.fail{code = "unavailable", file = path, part = name, field = "pair", message = "was not written: " .. message, hint = hint}
end

-- The line "unaccounted" goes on taking away the parts that were weighed (core/mass/whole.h): no line of a file says that of other parts.
-- What the group comes to would make another whole of it, and what it was weighed as would be lost: that is for its owner.
local function refuse_weighed(c, path, route)
  local whole, is = c.shared.nodes[c.base:item(route).number].whole, core.item_totals(c.base, c.geometry, route)
  local weighed, now, sd = text.fixed(whole.value, 2), text.fixed(is.mass, 2), text.fixed(is.sd.mass, 2)
  local says, hint = ("they would count as %s kg, and in this car they come to %s kg"):format(weighed, now),
    ("change the parts in the file by hand, and with them its whole: as weighed again, or %s as it comes to here; or take unaccounted "
      .. "out there, then the parts count"):format(is.sd.mass > 0 and ("sd(%s, %s)"):format(now, sd) or now)
  if weighed == now then
    says = "they would count as if they had been weighed as they lie now"
    hint = "change the parts in the file by hand: the whole stays, and its cg where that was measured with them so"
  end
  core.fail{code = "unavailable", file = path, part = resolve.path(c.base, route), kind = "group", field = "unaccounted",
    message = ("was not written: its whole of %s kg was weighed with other parts, or with parts elsewhere, than it has now; a file states "
      .. "the whole of the parts it lists, so read again %s"):format(weighed, says), hint = hint}
end

-- Text that reads as the car, and the paths of items that were written anew for that.
local function proven(c, path, d, bytes, raw)
  local rewritten, anew = {}, {}
  while true do
    local shown = bytes and text_edits.apply(bytes, raw, d.vehicle, {from = d.from, anew = anew}) or written.file(d.vehicle)
    local again = read_again(c, path, shown)
    check_sources(c, again, path)
    local differs, levelled = saved_alike.differs(c, again, d.pairs)
    if not differs then return shown, again, rewritten, levelled end
    local item = differs.route and d.by_route[differs.route].item
    if differs.field == "unaccounted" then refuse_weighed(c, path, differs.route) end
    if not (bytes and item) or anew[item] then
      if differs.route and c.base:item(differs.route).form == "pair" then refuse_pair(c, d, path, differs.route) end
      core.fail{code = "content", file = path, part = differs.path, field = differs.field,
        message = "was not written: it would read back otherwise than the car has it"}
    else
      anew[item], rewritten[#rewritten + 1] = true, differs.path
    end
  end
end

-- ---- what is said -----------------------------------------------------------------------------------------------------------------

local function state_differs(c, again, name)
  for _, state in ipairs(again.shared.spec.states or {}) do
    if state.name == name then
      local function loaded(inside)
        local d = contents.from(inside)
        d.fills, d.state, d.heights_set = {}, false, false
        for _, own in ipairs(inside.shared.spec.states) do
          if own.name == name then d.state = own end
        end
        return require("steelyard.car.states").apply(d)
      end
      local a, b = core.item_totals(loaded(c), c.geometry, ""), core.item_totals(loaded(again), again.geometry, "")
      return math.abs(a.mass - b.mass) > 1e-9 * a.mass -- kg: a part more or less, not rounding
    end
  end
  return false
end

local function notes_of(c, d, again, levelled, why)
  local notes = {}
  local function say(words, ...) notes[#notes + 1] = words:format(...) end
  if why then say("the file is written anew as a whole: %s", why) end
  for _, name in ipairs(d.expanded) do say("the parts of %s now stand in the file; the table itself stays as it is", name) end
  for _, tank in ipairs(levelled) do
    say("%s was turned: in the file its liquid lies level, in this car it turned with the tank", tank)
  end
  if c.state then say("the state %q is not saved: choose it again when the file is read", c.state.name) end
  if next(c.fills) then say "fills by car:fill are not saved: a file states its own" end
  for _, state in ipairs(c.shared.spec.states or {}) do
    if state_differs(c, again, state.name) then say("in the state %q the file is not what the car is: look at its lists", state.name) end
  end
  say "the file is the car as set up anew: its corners are those of corners{reset = true}"
  return notes
end

-- ---- the call -----------------------------------------------------------------------------------------------------------------------

local function options_of(given)
  if given == nil then return {} end
  if type(given) ~= "table" then
    core.fail{code = "type", message = ("car:save takes a table of options, not %s"):format(text.named(given))}
  end
  local known = require("steelyard.reference.options").known("whole", "save")
  local named_places = require "steelyard.car.named_places"
  local o = named_places.check_fields(given, "car:save", known)
  named_places.switch(o.replace, "replace")
  return o
end

-- The file that says what the car was, as the new file names it: the one that is kept, or the car's own where that is reached.
local function file_before(c, path, replace)
  local own = c.shared.spec.file
  if not own or not c.changes then return nil end
  if core.same_file(path, own) then return replace and require("steelyard.car.keep_old").name(path) or nil end
  local folder = folder_of(path)
  return own:sub(1, #folder) == folder and own:sub(#folder + 1) or nil
end

-- What records name is read when they are first asked for: it must be there as well.
local function check_record_files(c, d, path, was)
  local own, folder = c.shared.spec.file, folder_of(path)
  if own and folder_of(own) == folder then return end
  for _, named in ipairs(require("steelyard.car.draft.records").files(d)) do
    if named.file ~= was and not core.is_there(folder .. named.file) then
      core.fail{code = "io", file = path, part = named.record, kind = "record", field = named.field,
        message = ("names %s, which is not reached from there"):format(named.file),
        hint = own and ("save it in the folder of %s"):format(own) or nil}
    end
  end
end

-- Records that name no file would speak of the changed car.
local function check_records(c, d, path, was)
  if #d.records == 0 or was or not c.changes then return end
  core.fail{code = "unavailable", file = path, part = d.records[1], kind = "record", field = "file",
    message = "is missing, and the file that the car was read from is not reached from there: the record would speak of the changed car",
    hint = "save it in the folder of the car's own file"}
end

--- What would be written: {path =, text =, rewritten =, notes =, replace =}. Raises what cannot be.
function save.plan(c, path, o)
  check_target(path, o.replace)
  local raw, bytes, why = source_of(c)
  local was = file_before(c, path, o.replace)
  local d = draft.of(c, raw, c.shared.spec.sources[1], {expand = not c.shared.spec.file, was = was})
  if d.one_sided then refuse_pair(c, d, path, d.one_sided) end
  check_records(c, d, path, was)
  check_record_files(c, d, path, was)
  local shown, again, rewritten, levelled = proven(c, path, d, bytes, raw)
  if why then rewritten = {"the whole file"} end
  return {path = path, text = shown, rewritten = rewritten, notes = notes_of(c, d, again, levelled, why), replace = o.replace}
end

--- Writes a plan; gives the path under which the file that lay there is kept, or nil.
function save.write(plan)
  local kept = plan.replace and core.is_there(plan.path) and require("steelyard.car.keep_old").keep(plan.path) or nil
  core.write_file(plan.path, plan.text, plan.replace)
  return kept
end

local Saved = require("steelyard.reference.results").kind "saved"

--- The result table of car:save.
function save.of(c, self, path, given)
  local plan = save.plan(c, path, options_of(given))
  return save.result(c, self, plan, save.write(plan))
end

--- The same of a plan that was written. kept: what save.write gave.
function save.result(c, self, plan, kept)
  local r = {path = plan.path, kept = kept, rewritten = plan.rewritten, notes = plan.notes, state = loading.title(c),
             heading = self:heading(), sd = {}}
  return require("steelyard.print.origin").of_car(setmetatable(r, Saved), c)
end

function Saved.__tostring(r)
  local lines = {r.heading, ("%s is written."):format(r.path)}
  if r.kept then lines[#lines + 1] = ("What lay there before is kept as %s."):format(r.kept) end
  if #r.rewritten > 0 then lines[#lines + 1] = ("Written anew: %s."):format(text.join(r.rewritten)) end
  return require("steelyard.print.page").of(r, lines)
end

return save
