-- Under the command alone: runs it.
--- steelyard record: what comes into the file, what stays as it is, and what is refused.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function contents(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

-- A copy of a demo car in a folder of its own.
local function with_copy(name, run)
  local folder = os.tmpname()
  os.remove(folder)
  os.execute("mkdir " .. folder)
  local path = folder .. "/" .. name
  local out <close> = assert(io.open(path, "wb"))
  out:write(contents("vehicles/" .. name))
  out:flush()
  local fine, err = pcall(run, path, folder)
  os.execute("rm -r " .. folder)
  if not fine then error(err, 0) end
end

local function record(path, words) return check.command(("%s record %s %s"):format(check.steelyard, path, words)) end

test("the_record_is_added_and_nothing_else_changes", function()
  with_copy("first_guess.lua", function(path)
    local before = contents(path)
    local done = record(path, [["first scales" --corners 160.5,170,222.5,233 --state "race start" --date 2026-05-02 --who crew --replace]])
    check.equal({done.code, done.err}, {0, path .. ' has the record "first scales"; nothing else in it changed.\n'})
    check.contains(done.out, 'Record "first scales": corners, 2026-05-02')
    local after = contents(path)
    -- what was added is one stretch of the text
    local first = 1
    while before:byte(first) == after:byte(first) do first = first + 1 end
    local added = #after - #before
    check.equal(after:sub(1, first - 1) .. after:sub(first + added), before)
    local car = sy.load(path)
    local r = car:record "first scales"
    check.near(r.mass, 160.5 + 170 + 222.5 + 233, 1e-10)
    check.equal(car:balance().mass, sy.load "vehicles/first_guess.lua":balance().mass)
  end)
end)

test("a_second_record_stands_behind_the_first", function()
  with_copy("first_guess.lua", function(path)
    record(path, '"one" --axles 330,450 --replace')
    record(path, '"two" --axles 331,451 --replace')
    local names = {}
    for i, row in ipairs(sy.load(path):records()) do names[i] = row.name end
    check.equal(names, {"one", "two"})
  end)
end)

test("a_reading_that_is_no_record_leaves_the_file_as_it_was", function()
  with_copy("first_guess.lua", function(path, folder)
    local before = contents(path)
    for words, said in pairs{
      ['"x" --corners 1,2,3 --replace'] = "--corners takes 4 loads here, lf,rf,lr,rr, not 3",
      ['"x" --corners 160,170,222,233 --state "race strat" --replace'] = 'no state is called "race strat" (did you mean "race start"?)',
      ['"x" --corners 160,170,222,233 --date 2.5.2026 --replace'] = "is not a date of ISO 8601",
      ['"x" --corners 160,170,222,233 --instrument pads --replace'] = 'no instrument is called "pads"',
      ['"x" --from vehicles/readings/tansy_lift.csv --kind lift --replace'] = "a record names files in the folder of its vehicle file",
      ['"x" --from ' .. folder .. "/none.csv --replace"] = "there is no such file",
      ['"x" --corners 160,170,222,233 --axles 330,450 --replace'] = "--axles",
      ['"x" --replace'] = "--corners",
      ['"x" --corners 160,170,222,233'] = "--to or --replace is needed",
      ['"x" --corners 160,170,222,233 --to ' .. path] = "is already there and stays as it is",
    } do
      local done = record(path, words)
      check.ok(done.code ~= 0, words)
      check.contains(done.err, said)
    end
    check.equal(contents(path), before)
  end)
end)

-- what its records name would not be found from there
test("a_file_whose_records_name_files_stays_in_its_folder", function()
  local done = record("vehicles/tansy.lua", ('"x" --axles 240,290 --to %s'):format(os.tmpname() .. ".lua"))
  check.equal(done.code, 3)
  check.contains(done.err, 'record "first scales", file: names history/tansy-2026-02-01.lua, which is not reached from there')
end)

test("a_file_with_names_of_its_own_shows_what_to_put_in", function()
  with_copy("first_guess.lua", function(path)
    local own <close> = assert(io.open(path, "wb"))
    own:write("local m = 3\n" .. contents "vehicles/first_guess.lua")
    own:flush()
    local done = record(path, '"x" --axles 330,450 --replace')
    check.equal(done.code, 3)
    check.contains(done.err, 'put this into its records: record "x" { kind = "axles", axles = { front = 330, rear = 450 } }')
  end)
end)

check.done()
