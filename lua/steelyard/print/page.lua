--- The page of a result: one template for all. Its own lines stand between the heading, with what is aboard, and the notes.
--
-- page.of(result, lines, o?) -> text
--   lines      texts: the heading first, then tables and sentences as they come
--   o.cautions sentences of the operation, said once at the end
--   o.short    what the page calls a column: words -> letter
--   o.note     function(note) -> the sentence, for marks of a page's own
-- Nothing is wider than page.WIDTH columns but a table that is: sentences go on in the next line.

local contents = require "steelyard.car.contents"
local loading = require "steelyard.car.loading"
local origin = require "steelyard.print.origin"
local results = require "steelyard.reference.results"
local text = require "steelyard.print.text"

local page = {WIDTH = 100}

local function headed(words, says)
  local line, covers = ("%s   (%s)"):format(words, says), "  (" .. says .. ")"
  if text.width(line) <= page.WIDTH then return line end
  if text.width(words) <= page.WIDTH then return words .. "\n" .. covers end
  local wrapped = text.wrap(words, page.WIDTH, "", "  ")
  local last = wrapped:match "[^\n]*$"
  return wrapped .. (text.width(last .. " " .. covers) <= page.WIDTH and " " or "\n") .. covers
end

--- The heading of a page with what its +- covers: "First guess, race start   (+- covers 95 %)".
function page.heading(words) return headed(words, text.coverage) end

--- The same of a page on which nothing has an uncertainty because none was stated.
function page.exact_heading(words) return headed(words, "no uncertainty stated") end

-- A line with two blanks side by side is one of a table.
local function fitted(line)
  if line:find("\n", 1, true) or line:find("%S  ") or text.width(line) <= page.WIDTH then return line end
  local indent = line:match "^ *"
  return text.wrap(line, page.WIDTH, indent, indent .. "  ")
end

--- A note as it is printed.
function page.note(note) return fitted(text.sentence(note)) end

-- What a script adds to the page of a result.
local more = setmetatable({}, {__mode = "k"})

--- Text that goes below the lines of a result's own page, above its notes.
function page.add(result, shown)
  more[result] = more[result] or {}
  table.insert(more[result], shown)
end

local function fits(shown)
  for line in shown:gmatch "[^\n]+" do
    if text.width(line) > page.WIDTH then return false end
  end
  return true
end
page.fits = fits

--- A table as text; one too wide for a page is two, the second from column `from` on, behind the first column again.
function page.table(headings, rows, from)
  local print = require("steelyard.print.table").print
  local whole = print(headings, rows, math.huge)
  if fits(whole) then return whole end
  local function part(first, last)
    local function cut(list) return table.move(list, first, last, 2, {list[1]}) end
    local cells = {}
    for i, row in ipairs(rows) do cells[i] = cut(row) end
    return print(cut(headings), cells)
  end
  return part(2, from - 1) .. "\n\n" .. part(from, #headings)
end

local function append(lines, list, shown)
  for _, entry in ipairs(list or {}) do lines[#lines + 1] = fitted(shown and shown(entry) or entry) end
end

--- The whole page, without a line end after it.
function page.of(result, lines, o)
  local all, aboard = {}, result.aboard
  append(all, {lines[1]})
  if aboard then all[2] = fitted(("Aboard: %s."):format(require("steelyard.car.aboard").text(aboard))) end
  append(all, table.move(lines, 2, #lines, 1, {}))
  append(all, more[result])
  local rows = results.late(result, "limits") and result.limits
  if rows then append(all, require("steelyard.answers.limits").lines(rows, o and o.short)) end
  append(all, result.notes, o and o.note or text.sentence)
  append(all, o and o.cautions)
  append(all, {origin.line(result)})
  return table.concat(all, "\n")
end

local common = {"state", "heading", "aboard", "notes", "file", "readings_file", "version"}

--- A script's own document, said to be of `of`, a result or a car: its page has these lines, or without them is that of `of`.
function page.result(name, result, of, lines)
  if contents.is_car(of) then
    origin.of_car(result, contents.inside(of))
    result.state, result.heading = loading.title(contents.inside(of)), of:heading()
    of = nil
  elseif of then
    origin.as_of(result, of)
  end
  local meta = {__name = name, __tostring = function(r) return lines and page.of(r, lines) or tostring(of) end}
  function meta.__index(r, field)
    if origin.has(field) then return origin.field(r, field) end
    if field == "plot" then return results.plot_of(name) end
  end
  for _, field in ipairs(of and common or {}) do
    if result[field] == nil then result[field] = of[field] end
  end
  return setmetatable(result, meta)
end

return page
