-- The three walks of DEVELOPERS.md, followed in the sources: every function is where the page says, each is called from a file that the
-- walk has passed, and none is longer than it says. How long a walk may be is ours: a reader follows it in one sitting.

local check = dofile "tests/lua/check.lua"
local test = check.test

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

-- {{title =, most =, {file =, name =, called =, by_script =}, ...}, ...}
local function walks_of(page)
  local list, section = {}, page:match "\n## Three walks\n(.-)\n## "
  for line in (section or ""):gmatch "[^\n]+" do
    local title, most = line:match "^### (.-) %(at most (%d+)%)$"
    local file, name, more = line:match "^%d+%. (%S+) `([%w_]+)`(.*)$"
    if title then
      list[#list + 1] = {title = title, most = tonumber(most)}
    elseif file then
      local called = more:match "^ %(([%w_]+)%)$"
      table.insert(list[#list], {file = file, name = name, called = called or name, by_script = more == " (by a script)"})
    end
  end
  return list
end

-- Does the text define a function of that name? In C its head stands at the left edge; in Lua it may be a field or a method.
local function defines(file, text, name)
  if file:find "%.c$" then
    return ("\n" .. text):find("\n[%a][^\n;=]*[%s%*]" .. name .. "%([^;]-%)%s*{") ~= nil
  end
  return ("\n" .. text):find("\nlocal function " .. name .. "%(") ~= nil or text:find("function [%w_]+[.:]" .. name .. "%(") ~= nil
end

-- Does the text of a file call it, or hand it on? Comments do not count, nor does the definition itself.
local function calls(file, text, name)
  if file:find "%.c$" then
    text = ("\n" .. text:gsub("/%*.-%*/", "")):gsub("\n[%a][^\n;=]*[%s%*]" .. name .. "%(", "\n")
    return text:find("%f[%w_]" .. name .. "%f[^%w_]") ~= nil
  end
  text = text:gsub("%-%-[^\n]*", ""):gsub("function [%w_]+[.:]" .. name .. "%(", ""):gsub("local function " .. name .. "%(", "")
  return text:find("[.:]" .. name .. "%f[^%w_]") ~= nil or text:find("%f[%w_]" .. name .. "[%({\"]") ~= nil
end

local walks = walks_of(contents "DEVELOPERS.md")

test("there_are_three_walks_and_none_is_longer_than_it_says", function()
  check.equal(#walks, 3)
  for _, walk in ipairs(walks) do check.ok(#walk > 10 and #walk <= walk.most, walk.title .. ": " .. #walk) end
end)

test("every_station_is_where_the_page_says", function()
  for _, walk in ipairs(walks) do
    for _, station in ipairs(walk) do
      check.ok(defines(station.file, contents(station.file), station.name), station.file .. " defines " .. station.name)
    end
  end
end)

test("each_is_called_from_a_file_that_was_passed", function()
  for _, walk in ipairs(walks) do
    local passed = {}
    for i, station in ipairs(walk) do
      local found = station.by_script
      for _, file in ipairs(passed) do found = found or calls(file, contents(file), station.called) end
      check.ok(found, ("%s, %d: nothing before it names %s"):format(walk.title, i, station.called))
      passed[#passed + 1] = station.file
    end
  end
end)

-- The checks above can fail: a name that is nowhere, and a file that does not name its follower.
test("a_wrong_station_is_seen", function()
  local text = contents "core/answers/ask.c"
  check.ok(not defines("core/answers/ask.c", text, "sy_answers_changed"))
  check.ok(not defines("core/answers/ask.c", text, "sy_propagate_variance"), "called there, defined elsewhere")
  check.ok(not calls("core/answers/ask.c", text, "sy_walk_terms"))
  check.ok(not calls("core/answers/ask.c", text, "sy_answers_change"), "its own definition is not a call")
  check.ok(calls("core/answers/ask.c", text, "change_variance"))
  check.ok(not calls("x.lua", "-- of\nfunction x.of(a) end\nlocal of = 1", "of"))
  check.ok(calls("x.lua", "return require 'y'.of", "of"))
end)

check.done()
