--- sy.report{car, studies =, title =, fits =}: one page for a browser that needs nothing but itself.
--
-- Data and views are apart: the page holds each result as --json writes it, without the blanks, and its scripts (page/) show them.
-- Drawings are those of car:draw and of results, for two widths.

local asked_of = require "steelyard.report.asked"
local car_blocks = require "steelyard.report.car_blocks"
local columns = require "steelyard.report.columns"
local compare = require "steelyard.answers.compare"
local contents = require "steelyard.car.contents"
local core = require "steelyard.core"
local document = require "steelyard.reference.document"
local drawing = require "steelyard.draw.drawing"
local html = require "steelyard.report.html"
local json = require "steelyard.print.json"
local loading = require "steelyard.car.loading"
local named_places = require "steelyard.car.named_places"
local new_file = require "steelyard.command.new_file"
local origin = require "steelyard.print.origin"
local page = require "steelyard.print.page"
local page_files = require "steelyard.report.page_files"
local picture = require "steelyard.draw.picture"
local pictures = require "steelyard.reference.pictures"
local short_paths = require "steelyard.report.short_paths"
local text = require "steelyard.print.text"
local thinned = require "steelyard.report.thinned"

local report = {}

--- Numbers that a study may have in a page, and all studies of a page together.
report.MOST_OF_STUDY, report.MOST_OF_PAGE = 20000, 100000

local methods = {}
local Report = require("steelyard.reference.results").kind("report", methods)

local pages = setmetatable({}, {__mode = "k"}) -- result -> its HTML

-- ---- data -----------------------------------------------------------------------------------------------------------------------

local function blocks_of(a)
  local list = {}
  local function put(id, result)
    local doc = getmetatable(result) and document.of(result) or result
    list[#list + 1] = html.block(id, json.packed(doc))
    return id
  end
  local index = {title = a.title, version = core.version, k95 = text.K95, covers = "± covers 95 %", cars = {}, studies = {}}
  for i, car in ipairs(a.cars) do index.cars[i] = car_blocks.of(car, "car-" .. i, put) end
  if #a.cars > 1 then index.compared = put("compared", compare.of(a.cars)) end
  local most = math.min(report.MOST_OF_STUDY, report.MOST_OF_PAGE // math.max(1, #a.studies))
  local first = index.cars[1].states[index.cars[1].shown + 1].rests
  for i, study in ipairs(a.studies) do
    local t, id = thinned.of(study, most), "study-data-" .. i
    list[#list + 1] = html.block(id, json.packed(t.document))
    index.studies[i] = {block = id, sliders = t.sliders, kept = t.kept, loose = t.loose, says = t.says,
                        rests = origin.car_of(study) == contents.inside(a.cars[1]) and first or nil}
  end
  for i, result in ipairs(a.fits) do put("fit-" .. i, result) end
  local own = {html.block("report", json.packed(index)), html.block("quantities", json.packed(columns.quantities())),
               html.block("columns", json.packed(columns.lists()))}
  return table.move(list, 1, #list, #own + 1, own), index
end

-- ---- drawings ---------------------------------------------------------------------------------------------------------------------

local WIDTHS = {wide = 180, narrow = 90} -- mm of paper; by media query, not by scaling

-- caption: HTML; draw(width) -> drawing
local function figure(caption, draw)
  local list = {"<figure class=\"drawing\">"}
  for _, name in ipairs{"wide", "narrow"} do
    list[#list + 1] = ('<div class="%s">%s</div>'):format(name, short_paths.of(drawing.svg_of(draw(WIDTHS[name]))))
  end
  list[#list + 1] = "<figcaption>" .. caption .. "</figcaption></figure>"
  return table.concat(list, "\n")
end

local views = {{"side", "From the side, over the beam strip: where the kilograms are"}, {"plan", "From above"}, {"front", "From the front"}}

local function drawings_of(a)
  local list = {}
  for _, car in ipairs(a.cars) do
    if #a.cars > 1 then list[#list + 1] = "<h3>" .. html.named(car:heading()) .. "</h3>" end
    for _, view in ipairs(views) do
      local fine, shown = car_blocks.try(figure, html.escaped(view[2]), function(width) return car:draw{view = view[1], width = width} end)
      list[#list + 1] = fine and shown or ("<p>%s: %s</p>"):format(view[2], html.named("cannot be drawn: " .. shown))
    end
  end
  return table.concat(list, "\n")
end

-- A fit is its picture, and what the command prints of it.
local function fits_of(a)
  local list = {}
  for _, result in ipairs(a.fits) do
    local heading = rawget(result, "heading") or rawget(result, "title") or getmetatable(result).__name
    list[#list + 1] = "<h3>" .. html.named(heading) .. "</h3>"
    if pictures.of[getmetatable(result).__name] then
      local fine, shown = car_blocks.try(figure, html.named(heading), function(width) return picture.of(result, {width = width}) end)
      list[#list + 1] = fine and shown or nil
    end
    list[#list + 1] = ('<pre tabindex="0" aria-label="as printed">%s</pre>'):format(
      tostring(result):gsub("[^\n]+", html.escaped))
  end
  return table.concat(list, "\n")
end

-- ---- the page -----------------------------------------------------------------------------------------------------------------------

-- {id, heading, HTML or nil = a view fills it}: what the page has something for.
local function sections_of(a, index)
  local records = false
  for _, car in ipairs(index.cars) do records = records or car.records ~= nil end
  local list = {{"statement", "Statement"}, {"limits", "Limits"}, {"drawings", "Drawings", drawings_of(a)}, {"states", "Load states"}}
  if #a.cars > 1 then list[#list + 1] = {"cars", "Cars beside each other"} end
  if records then list[#list + 1] = {"records", "Records"} end
  if #a.fits > 0 then list[#list + 1] = {"fits", "Measurements", fits_of(a)} end
  if #a.studies > 0 then list[#list + 1] = {"studies", "Studies"} end
  list[#list + 1] = {"rests", "What the numbers rest on"}
  list[#list + 1] = {"ledger", "Parts ledger"}
  return list
end

local function files_of(a)
  local list, seen = {}, {}
  for _, car in ipairs(a.cars) do
    local line = origin.line(origin.of_car({sd = {}}, contents.inside(car)))
    if not seen[line] then list[#list + 1], seen[line] = html.named(line), true end
  end
  return table.concat(list, "; ")
end

local CAUTION = "Arithmetic, not permission: who lifts, hoists, jacks, tilts or drives follows the makers' instructions, local codes and "
  .. "licensed practice. A number is as good as the lines that it rests on."

local function body_of(a, sections)
  local list = {'<a class="skip" href="#statement">To the numbers</a>', "<header>", "<h1>" .. html.named(a.title) .. "</h1>",
    '<p class="where">' .. files_of(a) .. "</p>",
    "<p>± covers 95&nbsp;%. A number with dots below it opens what it rests on, by a click or the Enter key.</p>",
    '<nav aria-label="Contents"><ul>'}
  for _, s in ipairs(sections) do list[#list + 1] = ('<li><a href="#%s">%s</a></li>'):format(s[1], s[2]) end
  list[#list + 1] = "</ul></nav>\n</header>\n<noscript><p>Tables and studies of this page need scripts; they are its own, and none comes "
    .. "from elsewhere.</p></noscript>\n<main>"
  for _, s in ipairs(sections) do
    list[#list + 1] = ('<section id="%s" aria-labelledby="%s-title"%s><h2 id="%s-title">%s</h2>%s</section>'):format(s[1], s[1],
      s[3] and "" or (' data-view="%s"'):format(s[1]), s[1], s[2], s[3] or "")
  end
  list[#list + 1] = "</main>\n<footer><p>" .. html.escaped(CAUTION) .. "</p><p>" .. files_of(a) .. "</p></footer>"
  return table.concat(list, "\n")
end

--- sy.report
function report.of(given)
  local a = asked_of.of(given)
  local c = contents.inside(a.cars[1])
  for _, car in ipairs(a.cars) do loading.need_mass(contents.inside(car)) end
  a.title = a.title or a.cars[1]:heading()
  local blocks, index = blocks_of(a)
  local sections, studies, numbers = sections_of(a, index), {}, {}
  for i, study in ipairs(index.studies) do studies[i] = study.says end
  for i, s in ipairs(sections) do numbers[i] = s[2] end
  local result = {title = a.title, heading = a.cars[1]:heading(), state = loading.title(c), cars = #a.cars, sections = numbers,
                  studies = studies, fits = #a.fits, notes = {}, sd = {}}
  local made = html.page{title = a.title, style = page_files.style(), script = page_files.script(), body = body_of(a, sections),
                         blocks = blocks}
  pages[result] = made
  return origin.of_car(setmetatable(result, Report), c)
end

--- Writes the page, whole or not at all. o.replace: over a file that is there.
function methods.save(result, path, o)
  o = named_places.check_fields(o, "report:save", {replace = true})
  if type(path) ~= "string" or path == "" then
    core.fail{code = "type", field = "path",
              message = ("must be the name of a file, is %s"):format(path == "" and "empty" or text.named(path))}
  end
  new_file.check_to(path, named_places.switch(o.replace, "replace") or false, "replace = true writes over it")
  core.write_file(path, pages[result], o.replace)
  return path
end

--- The page as text.
function methods.html(result) return pages[result] end

function Report.__tostring(result)
  local lines = {("%s: a page for a browser."):format(result.title), ("Sections: %s."):format(table.concat(result.sections, ", "))}
  for i, says in ipairs(result.studies) do lines[#lines + 1] = ("Study %d: %s."):format(i, says) end
  return page.of(result, lines)
end

return report
