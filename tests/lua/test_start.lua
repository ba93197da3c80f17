--- The file that begins a car: it loads, balances, teaches, and never overwrites anything.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local start = require "steelyard.command.start"
local test = check.test

local function new_path()
  local path = os.tmpname()
  os.remove(path)
  return path .. ".lua"
end

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

local function written(title)
  local path = new_path()
  local result = start.write(path, title)
  return path, result
end

test("the_file_has_twenty_lines_each_a_guess_with_its_limits", function()
  local path, result = written "Beginning (invented)"
  local car = sy.load(path):state "race start"
  os.remove(path)
  check.equal(result.lines, 20)
  local count = 0
  for _, row in ipairs(car:book().rows) do
    if row.kind ~= "group" then
      count = count + 1
      check.equal(row.basis, row.kind == "part" and "estimate" or "stated", row.path)
      check.ok(row.sd.mass > 0, row.path .. " has an uncertainty")
      check.ok(row.sd.cg.x > 0, row.path .. " has an uncertainty of its place")
    end
  end
  check.equal(count, 20)
  local b = car:balance()
  check.equal(b.unstated.parts, 0)
  check.equal(b.unknown, 0)
  check.equal(b.state, "race start")
  check.near(result.mass, b.mass, 0)
  check.equal(car:balance().lifted, {})
end)

-- The sum by hand, from the text of the file: 75+24+115+48+14 + 2*27+2*30 +18+27+9+8+19 + 8+0.745*35 +13+16+46 + 2*7 +8+14+80
test("its_mass_is_the_sum_of_its_lines", function()
  local path, result = written()
  os.remove(path)
  check.near(result.mass, 670 + 0.745 * 35, 1e-9)
end)

test("its_limits_hold_and_its_states_work", function()
  local path = written()
  local car = sy.load(path)
  os.remove(path)
  check.equal(car:states(), {"race start", "kerb", "empty"})
  check.ok(car:state("race start"):checks().status ~= "fail")
  check.near(car:state("race start"):balance().mass - car:state("empty"):balance().mass, 80 + 0.745 * 35, 1e-9)
  check.near(car:state("kerb"):balance().mass - car:state("empty"):balance().mass, 0.745 * 0.9 * 45, 1e-9)
end)

test("the_commands_it_tells_to_type_work", function()
  local path, result = written()
  check.equal(#result.next, 3)
  for _, command in ipairs(result.next) do
    local name = command:match "^steelyard (%a[%w_]*) "
    check.ok(name, command)
    local line = command:gsub("^steelyard", check.steelyard)
    check.equal(check.command(line).code, 0, command)
  end
  os.remove(path)
end)

test("its_comments_say_what_every_field_of_it_means", function()
  local words = start.text "x"
  for _, piece in ipairs{"within(75, 15) means 75", "sd(71.4, 0.1)", "axes", "track is", "loaded_radius", "within_mm", "unknown", "group",
    "pair:", "unsprung:", "dry_mass + density x fill", "states", "limits", "move together"} do check.contains(words, piece) end
  for line in words:gmatch "[^\n]*" do check.ok(#line <= 140, line) end
end)

test("a_title_may_hold_quotes_and_other_letters", function()
  for _, title in ipairs{'The "old" one', "back\\slash", "Größe 2, 50 % done", "]==]"} do
    local path = written(title)
    check.contains(sy.load(path):heading(), title)
    os.remove(path)
  end
  check.raises(function() start.text "two\nlines" end, {code = "content", message = "line break"})
  check.raises(function() start.text "\xff" end, {code = "content", message = "UTF-8"})
end)

test("the_title_is_the_files_name_unless_given", function()
  local path, result = written()
  os.remove(path)
  check.equal(result.title, path:match "([^/]+)%.lua$")
end)

test("a_file_that_is_there_stays_as_it_is", function()
  local path = written()
  local before = contents(path)
  check.raises(function() start.write(path, "another") end, {code = "clash", file = path, message = "already there"})
  check.equal(contents(path), before)
  check.equal(io.open(path .. ".new"), nil)
  os.remove(path)
end)

test("what_lies_beside_the_new_file_stays_too", function()
  local path = new_path()
  local file <close> = assert(io.open(path .. ".new", "wb"))
  file:write "mine"
  file:close()
  start.write(path)
  check.equal(contents(path .. ".new"), "mine")
  check.ok(#contents(path) > 1000)
  os.remove(path .. ".new")
  os.remove(path)
end)

test("a_folder_that_is_not_there_and_a_name_that_is_none_are_refused", function()
  check.raises(function() start.write "no/such/folder/mycar.lua" end, {code = "io", file = "no/such/folder/mycar.lua"})
  check.raises(function() start.write "mycar" end, {code = "usage", file = "mycar", hint = "mycar.lua"})
  check.raises(function() start.write ".lua" end, {code = "usage"})
  check.raises(function() start.write(nil) end, {code = "type"})
  check.equal(io.open "mycar", nil)
end)

test("no_half_file_is_left_behind", function()
  local path = written()
  local list = check.command("ls " .. path .. "*")
  check.equal(list.out, path .. "\n")
  os.remove(path)
end)

check.done()
