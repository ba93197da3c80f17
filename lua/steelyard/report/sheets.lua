--- Paper for the workshop, the builder and the inspector: sheets.of(car, kind, o) lays it out, result:save(path) writes it as PDF, or one
-- page of it as SVG.
--
-- A kind is a row of sheets.kinds: name, meaning, maker (module of report/sheets/), what = which of the maker's functions draws it ("draw"
-- unless stated), takes = options that are its own, folded = false for paper that is not folded. A maker draws on a stack of pages
-- (report/sheets/page.lua) and gives what stands there as data, or nil, and notes.

local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local origin = require "steelyard.print.origin"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local sheets = {}
local methods = {}
local Sheets = require("steelyard.reference.results").kind("workshop_sheets", methods)

-- result -> list of canvases
local insides = setmetatable({}, {__mode = "k"})

sheets.kinds = {
  {"weighing", "blank: wheels or axles on scales, with their zeros", "forms", what = "weighing"},
  {"corners", "blank: corner scales, ride heights and collar counts", "forms", what = "corners"},
  {"levels", "blank: the floor under each tyre, and where the wheels stand", "forms", what = "levels"},
  {"cg_height", "blank: CG height by lifting the rear", "forms", what = "cg_height"},
  {"teardown", "blank: pieces on the scale, whole by whole", "forms", what = "teardown", takes = {part = true}},
  {"evidence", "for an inspection: what was measured, and what the limits say to it", "evidence"},
  {"order", "for who builds the frame: hardpoints, centres, loads, CG, its mass", "order",
   takes = {datum = true, axes = true, frame = true, mounts = true}},
  {"markout", "at full size: outline and points of a part, on tiles or one long page", "markout", folded = false, long = true,
   takes = {part = true, view = true}},
  {"lift", "for who lifts an axle: cautions, steps, what touches first, blanks", "lift",
   takes = {within = true, pad = true, lifted = true}},
}

local by_name = {}
for _, kind in ipairs(sheets.kinds) do by_name[kind[1]] = kind end

--- The names of the kinds.
function sheets.names()
  local list = {}
  for i, kind in ipairs(sheets.kinds) do list[i] = kind[1] end
  return list
end

local all_take = {state = true, paper = true}

-- Refuses an option that the kind has no use for.
local function check_options(kind, o)
  local given = {}
  for key in pairs(o) do
    if not all_take[key] and not (kind.takes and kind.takes[key]) then given[#given + 1] = key end
  end
  if #given == 0 then return end
  table.sort(given, core.before)
  local fits = {}
  for _, other in ipairs(sheets.kinds) do
    if other.takes and other.takes[given[1]] then fits[#fits + 1] = other[1] end
  end
  core.fail{code = "clash", field = given[1], message = ("does not go with the sheet %s"):format(kind[1]),
            hint = #fits > 0 and "it goes with " .. text.join(fits, "or") or nil}
end

local function find_kind(name)
  if by_name[name] then return by_name[name] end
  local near = type(name) == "string" and core.nearest(name, sheets.names())
  core.fail{code = "unknown", field = "kind", message = ("there is no sheet %s"):format(text.named(name)),
            hint = near and ("did you mean %q?"):format(near) or "choose " .. text.join(sheets.names(), "or")}
end

-- File, whole digest and version: what the paper is matched by. The digest does not fit a line with a long name.
local function foot_of(result)
  local file = result.file
  local version = "steelyard " .. core.version
  if not file then return ("made by a script, without a file; %s"):format(version) end
  local changes = file.changes and (" + %s"):format(text.count(file.changes, "change")) or ""
  local name = #file.name > 28 and file.name:sub(1, utf8.len(file.name) and utf8.offset(file.name, 26) - 1 or 25) .. "…" or file.name
  return ("%s%s, sha256 %s, %s"):format(name, changes, file.sha256, version)
end

--- The sheets of a kind. o: state, paper = "a4" or "a3", and what the kind takes of its own.
function sheets.of(car, name, o)
  o = o or {}
  local kind = find_kind(name)
  check_options(kind, o)
  if o.paper == "long" and not kind.long then
    core.fail{code = "clash", field = "paper", message = ("is long, which the sheet %s is not"):format(name), hint = "choose a4 or a3"}
  end
  if o.state ~= nil then car = car:state(o.state) end
  local c = contents.inside(car)
  local maker = require("steelyard.report.sheets." .. kind[3])
  local result = origin.of_car(setmetatable({kind = name, paper = o.paper or "a4", state = loading.title(c), heading = car:heading(),
    pages = {}, notes = {}, sd = {}}, Sheets), c)
  local stack = require("steelyard.report.sheets.page").stack{paper = result.paper == "long" and "a4" or result.paper,
    folded = kind.folded, left = foot_of(result),
    right = "Arithmetic, not permission: local codes and licensed practice decide."}
  result[name], result.notes = maker[kind.what or "draw"](stack, car, o)
  result.notes = result.notes or {}
  insides[result] = stack:finish()
  for i, page in ipairs(insides[result]) do result.pages[i] = {width = page.width, height = page.height, texts = page:texts()} end
  return result
end

--- What --mounts was given: "engine;front mount;1600,-55,200;rear mount" -> {what = "engine", at = places}, each of a list; nil for nil.
function sheets.mounts(given)
  if given == nil then return nil end
  local list = {}
  for i, words_of in ipairs(given) do
    local what, at = nil, {}
    for word in (words_of .. ";"):gmatch " *(.-) *;" do
      if what then at[#at + 1] = named_places.word(word) else what = word end
    end
    if #at < 3 then
      core.fail{code = "content", field = "mounts", message = "takes a name and three places or more, with ; between them"}
    end
    list[i] = {what = what, at = at}
  end
  return list
end

--- The canvases of a result, a page each.
function sheets.canvases(result) return insides[result] end

-- ---- files -----------------------------------------------------------------------------------------------------------------------------

local writers = {}

function writers.pdf(result)
  return require("steelyard.draw.paper").pages(insides[result], ("%s, %s"):format(result.heading, result.kind))
end

function writers.svg(result, number)
  local pages = insides[result]
  if number == nil and #pages > 1 then
    core.fail{code = "missing", field = "page", message = ("an SVG holds one page, there are %d"):format(#pages),
              hint = "say which, or write .pdf"}
  end
  number = number or 1
  if not pages[number] then
    core.fail{code = "range", field = "page", message = ("there is no page %s, the sheets have %d"):format(text.named(number), #pages)}
  end
  return require("steelyard.draw.svg").of(pages[number], {title = ("%s, %s"):format(result.heading, result.kind),
    description = table.concat(result.pages[number].texts, "; ")})
end

local function writer_of(path)
  if type(path) ~= "string" or path == "" then
    core.fail{code = "type", field = "path", message = ("must be the name of a file, is %s"):format(path == "" and "empty"
      or text.named(path))}
  end
  local ending = path:match "%.([^./\\]*)$"
  local writer = ending and writers[ending:lower()]
  if writer then return writer end
  core.fail{code = "unknown", field = "path", message = ("%s: sheets are written as .pdf, or one page as .svg"):format(path)}
end

--- Writes the sheets, whole or not at all. o.page: of an SVG; o.replace: over a file that is there.
function methods.save(result, path, o)
  o = named_places.check_fields(o, "sheets:save", {replace = true, page = true})
  local writer = writer_of(path)
  if o.page ~= nil and writer ~= writers.svg then
    core.fail{code = "clash", field = "page", message = "goes with .svg alone: a PDF holds all pages"}
  end
  core.write_file(path, writer(result, o.page), named_places.switch(o.replace, "replace") or false)
  return path
end

function Sheets.__tostring(result)
  local lines = {("%s: %s, %s"):format(result.heading, result.kind, text.count(#result.pages, "page"))}
  for _, page in ipairs(result.pages) do
    lines[#lines + 1] = ""
    for _, shown in ipairs(page.texts) do lines[#lines + 1] = words.plain(shown) end
  end
  return table.concat(lines, "\n")
end

-- ---- what there is ----------------------------------------------------------------------------------------------------------------------

--- The kinds as a table, and as data: {text =, kinds = {{name, meaning}, ...}}.
function sheets.list(car)
  local rows, kinds = {}, {}
  for i, kind in ipairs(sheets.kinds) do
    rows[i], kinds[i] = {kind[1], kind[2]}, {name = kind[1], meaning = kind[2]}
  end
  return {text = ("Sheets for %s\n\n%s"):format(car:heading(), text.table({{"sheet", "%s"}, {"what it is", "%s"}}, rows)), kinds = kinds}
end

return sheets
