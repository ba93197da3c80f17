--- The options of calls as a Markdown table and as classes of the editor stubs, from reference/options.lua.

local options = require "steelyard.reference.options"

local docs_options = {}

--- The set that an argument or option is: its name and rows, nil for other types.
function docs_options.set(kind)
  local name = kind:match "^options%.([%a_]+)$"
  return name and options.all()[name], name
end

--- What an argument means: its own words, or those of its set.
function docs_options.meaning(argument)
  return argument[3] or docs_options.set(argument[2])[1]
end

-- ---- the page -----------------------------------------------------------------------------------------------------------------

--- What an argument of that set is on the page, above the table: what its meaning says beside the name of the call.
function docs_options.opening(argument)
  local words = docs_options.meaning(argument)
  if not docs_options.set(argument[2]) or argument[3] then return words end
  words = words:gsub("^What %S+ takes ?", ""):gsub("^[.:] ?", ""):gsub("%.$", "")
  return words == "" and "a table with" or words
end

local shown_words = {
  {"^what$", "name or {name, ...}"}, {"options%.[%a_]+", "record"}, {"some_of_point", "point"},
  {"fields%.([%a_]+)", "fields of %1"}, {"fun%(.*", "function"},
  {"by_wheel", "{lf = value, ...}"}, {"by_axle", "{front = value, ...}"}, {"boolean", "true or false"},
  {"table<[^,]+, ([^<>]+)>", "{name = %1}"}, {"(%b())%[%]", function(of) return "{" .. of:sub(2, -2) .. ", ...}" end},
  {"([%a_]+)%[%]", "{%1, ...}"}, {"|", " or "},
}

local function shown_type(kind)
  for _, word in ipairs(shown_words) do kind = kind:gsub(word[1], word[2]) end
  return (kind:gsub("record or record", "record"))
end

local function cell(words) return (words:gsub("|", "\\|")) end

-- The sets in a type: {name, "[]" where it is a list of them, ".*" where they have names, or ""}, each once.
local function sets_in(kind)
  local list, seen = {}, {}
  for name, behind in kind:gmatch "options%.([%a_]+)([%])%[]*)" do
    if not seen[name] then
      list[#list + 1] = {name, kind:find("table<string,[^<>]*options%." .. name) and ".*" or behind:find("[]", 1, true) and "[]" or ""}
    end
    seen[name] = true
  end
  return list
end

local add_rows

-- The rows of the records that a row takes, or a word where they stand already.
local function add_records(table_of, row, path)
  local name, mark = path:match "^(.-)(%??)$"
  for _, set in ipairs(sets_in(row[2])) do
    local at, there = name .. set[2], table_of.at[set[1]]
    if there then
      local lines = table_of.lines
      lines[#lines] = lines[#lines]:gsub(" |$", ("; fields as of `%s` |"):format(there))
    elseif not table_of.old[set[1]] then
      table_of.at[set[1]] = at
      add_rows(table_of, options.all()[set[1]], at .. mark .. ".")
    end
  end
end

function add_rows(table_of, set, prefix)
  for i = 2, #set do
    local row = set[i]
    if not table_of.old[row] then
      local path = (prefix .. row[1]):gsub("%.?%[integer%]$", "[]")
      table_of.lines[#table_of.lines + 1] = ("| `%s` | %s | %s | %s | %s |"):format(path, shown_type(row[2]), row[3], cell(row[4]),
        cell(row[5])):gsub("  +", " ")
      add_records(table_of, row, path)
    end
  end
end

--- The lines of a table of a set's options, with those of the records in it; of a set that is like another only what is different.
function docs_options.lines(set)
  local table_of = {lines = {"| option | type | unit | default | meaning |", "|---|---|---|---|---|"}, at = {}, old = {}}
  local other = set.like and options.all()[set.like] or {}
  for i = 2, #other do
    table_of.old[other[i]] = true
    for _, below in ipairs(sets_in(other[i][2])) do table_of.old[below[1]] = true end
  end
  add_rows(table_of, set, "")
  return table_of.lines
end

-- ---- the stubs ----------------------------------------------------------------------------------------------------------------

-- "mm; how much higher the pad is; default level"
local function words_of(row)
  local words, default = row[3] ~= "" and {row[3], row[5]} or {row[5]}, row[4]
  if default ~= "" then
    words[#words + 1] = (default:find "^needed" or default:find "^or ") and default or "default " .. default
  end
  return table.concat(words, "; ")
end

--- The classes of all sets; type_of gives a type in the notation of the stubs.
function docs_options.print_classes(lines, type_of)
  local by_name, order = options.all()
  for _, name in ipairs(order) do
    local class = {"---" .. by_name[name][1], "---@class steelyard.options." .. name}
    for i = 2, #by_name[name] do
      local row = by_name[name][i]
      class[#class + 1] = ("---@field %s %s %s"):format(row[1], type_of(row[2]), words_of(row))
    end
    lines[#lines + 1] = table.concat(class, "\n") .. "\n"
  end
end

return docs_options
