--- The reference page and the editor stubs say what the library does: compared with real results.
-- Under the command alone: the reference is the same under every Lua.
-- With one compiler: it holds the reference against results.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local calls = require "steelyard.reference.calls"
local contents = require "steelyard.car.contents"
local docs = require "steelyard.reference.docs"
local quantities = require "steelyard.reference.quantities"

local results, car = dofile "tests/lua/example_results.lua"

-- All paths of a result that end in something other than a table with text keys, and the types found there. A car is a whole.
local function paths_of(value, path, found)
  if type(value) ~= "table" or contents.is_car(value) then
    found[path] = type(value)
    return found
  end
  for key, item in pairs(value) do
    if math.type(key) == "integer" then
      paths_of(item, path .. "[]", found)
    elseif path ~= "" or key ~= "sd" then -- the uncertainties repeat the answers' own names
      paths_of(item, path == "" and key or path .. "." .. key, found)
    end
  end
  return found
end

local function documented(result)
  local known, needed = {}, {}
  for _, field in ipairs(docs.fields(result)) do
    local path, optional = field[1]:gsub("%?", "")
    known[path] = field[2]
    if optional == 0 then needed[#needed + 1] = path end
  end
  return known, needed
end

-- The table by name, or the result of another kind, that a path lies in, at any depth.
local function inside_table(known, path)
  while path do
    path = path:match "^(.*)%.[^.]*$"
    if path and known[path] and (known[path]:find "^table" or results[known[path]]) then return true end
  end
end

local lua_type = {number = "number", text = "string", boolean = "boolean"}

local documented_here = {}
for _, result in ipairs(calls.results) do
  local seeks = result[1] == "seek"
  if not seeks or check.can_seek then documented_here[#documented_here + 1] = result end
end

for _, result in ipairs(documented_here) do
  local name = result[1]
  local known, needed = documented(result)
  local found = {}
  for _, value in ipairs(results[name]) do paths_of(value, "", found) end

  check.test(name .. "_gives_nothing_that_is_not_documented", function()
    for path, kind in pairs(found) do
      -- "notes[]" is an entry of notes, "axle.front" one of a table by name
      local says = known[path] or known[path:gsub("%[%]$", "")] or known[path:gsub("%.[^.]*$", "")]
        or inside_table(known, path)
      check.ok(says, path)
      if lua_type[known[path]] then check.equal(kind, lua_type[known[path]], path) end
    end
  end)

  check.test(name .. "_gives_everything_that_is_documented", function()
    for _, path in ipairs(needed) do
      local there = found[path] or found[path .. "[]"]
      if known[path]:find "^table" then
        for other in pairs(found) do there = there or other:sub(1, #path + 1) == path .. "." end
      end
      -- lists that may be empty
      if path ~= "lifted" and path ~= "notes" and path ~= "slack" then check.ok(there, path) end
    end
  end)
end

check.test("every_documented_call_is_there", function()
  for _, call in ipairs(calls.module) do check.equal(type(sy[call[1]:match "^sy%.(.+)$"]), "function", call[1]) end
  for _, call in ipairs(calls.car) do check.equal(type(car[call[1]:match "^car:(.+)$"]), "function", call[1]) end
  for _, word in ipairs(calls.words) do check.ok(sy[word[1]:match "^sy%.([%a_]+)"], word[1]) end
end)

check.test("options_of_calls_are_rows_and_each_set_is_of_a_call", function()
  local by_name, order = require("steelyard.reference.options").all()
  local used = {}
  local function use(kind)
    for name in kind:gmatch "options%.([%a_]+)" do
      if not used[name] then
        used[name] = check.ok(by_name[name], name)
        for i = 2, #by_name[name] do use(by_name[name][i][2]) end
      end
    end
  end
  for _, group in ipairs{calls.module, calls.car, calls.result} do
    for _, call in ipairs(group) do
      for _, argument in ipairs(call[2]) do
        check.ok(argument[2] ~= "table", call[1] .. " names its options, which")
        use(argument[2])
      end
    end
  end
  for _, name in ipairs(order) do check.ok(used[name], name .. " is taken by a call, which") end
  local page = docs.reference()
  check.contains(page, "| `slope?.nose_up?` | value | deg | 0 | the car's nose stands higher |")
  check.contains(page, "| `readings[].lf?` | value | kg | not read | left front pad |")
end)

check.test("every_name_that_sy_has_is_documented", function()
  local page = docs.reference()
  for name in pairs(sy) do check.contains(page, "sy." .. name) end
end)

check.test("the_page_has_every_quantity_with_label_unit_and_meaning", function()
  local page = docs.reference()
  for _, q in ipairs(quantities.list) do
    check.contains(page, ("| `%s`%s | %s | %s |"):format(q.name, q.from == "later" and " *" or "", q.label, q.unit))
    check.contains(page, q.meaning)
  end
end)

check.test("the_stub_in_the_tree_is_what_docs_writes_and_is_lua", function()
  local file = assert(io.open "lua/meta/steelyard.lua")
  local stub = file:read "a"
  file:close()
  check.equal(stub, require("steelyard.reference.docs.stub").text(), "run `make docs`; lua/meta/steelyard.lua")
  check.ok(load(stub))
  -- every call with a result that matters is marked, and no call that is made for what it does
  local marked = select(2, stub:gsub("%-%-%-@nodiscard\nfunction ", ""))
  check.equal(marked, #calls.module + #calls.car - 3)
end)

check.test("pieces_in_the_tree_are_what_docs_writes", function()
  local pieces = require "steelyard.reference.docs.pieces"
  for path in pairs(pieces.files) do
    local file <close> = assert(io.open(path))
    local text = file:read "a"
    check.equal(pieces.renew(path, text), text, "run `make docs`; " .. path)
    check.raises(function() pieces.renew(path, (text:gsub("made: end", ""))) end, {code = "missing", file = path})
  end
end)

check.test("docs_writes_into_folders_and_leaves_nothing_else", function()
  local folder = os.tmpname()
  os.remove(folder)
  os.execute("mkdir " .. folder)
  local write = require "steelyard.reference.docs.write"
  write(folder, folder)
  local list = check.command("ls -A " .. folder)
  check.equal(list.out, "reference.md\nsteelyard.lua\n")
  os.execute("rm -r " .. folder)
  check.raises(function() write("no/such/folder", "no/such/folder") end, {code = "io", file = "no/such/folder/reference.md"})
end)

check.done()
