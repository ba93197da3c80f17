--- The readers of readings files: every demo file is read; whatever a file holds, it is read or refused in a sentence.

local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local test = check.test

local readers = {
  {"steelyard.measure.pendulum.file", "kind torsion compound mass arm time swings what rod hang x y z rod.mass stiffness mirror",
   {"front_wheel_swing", "engine_trifilar", "upright_tensor"}},
  {"steelyard.measure.subtract.file", "whole.mass without.mass whole.x without.x whole.front without.front wheelbase whole.xx",
   {"tank_in_the_tub", "battery_before_after"}},
  {"steelyard.measure.hang_cg.file", "sd name from.x from.y from.z to.x to.y to.z crank.z", {"hang_engine"}},
  {"steelyard.measure.part_cg.file", "pose support x y z reading tare nose_up left_up step sd.reading axes.x up back A B C",
   {"engine_three_pads", "tub_on_feet"}},
  {"steelyard.measure.corner_scales.file",
   "run wheel pad reading zero_before facing others step lf rf lr rr total front back blocks plank.ratio",
   {"corners_swapped", "corners_plank", "weighbridge"}},
}

for _, reader in ipairs(readers) do
  local of = dofile "tests/lua/readings_file.lua"(reader[1])

  test(reader[1] .. "_reads_its_demo_files", function()
    for _, name in ipairs(reader[3]) do
      local path = "vehicles/readings/" .. name .. ".csv"
      local r = require(reader[1]).of(path)
      check.contains(r.title, "invented", path)
      check.contains(tostring(r), "+- covers 95 %")
      check.equal(type(r.state), "string")
      check.ok(#r.heading > 0 and #r.notes > 0 and r.sd)
      check.contains(r.notes[#r.notes]:lower(), reader[1] == "steelyard.measure.subtract.file" and "independent" or
        "licensed practice decide")
    end
  end)

  test(reader[1] .. "_answers_nonsense_in_a_sentence", function()
    local pieces = {",", ",", ",", ";", "\n", "\n", "\n", "3", "1e9", "-2", "0", "7.5", "\"", "#", "nan", "\255", " ", "yes"}
    for word in reader[2]:gmatch "%S+" do pieces[#pieces + 1] = word end
    local state = 7
    local function any(n)
      state = (state * 1103515245 + 12345) % 2147483648 -- a plain generator: the same on every machine
      return state // 65536 % n + 1
    end
    local refused = 0
    for _ = 1, 1500 do
      local list = {}
      for i = 1, any(40) do list[i] = pieces[any(#pieces)] end
      local fine, err = pcall(of, {table.concat(list)})
      if not fine then
        refused = refused + 1
        check.equal(getmetatable(err), core.error_metatable, tostring(err))
      end
    end
    check.ok(refused > 1000, "most of it is nonsense")
  end)
end

-- 12,5 between commas is two cells.
test("a_decimal_comma_between_commas_is_reported_as_what_it_looks_like", function()
  local readings = require "steelyard.measure.readings"
  local spec = {settings = {mass = "number"}, columns = {swings = "number", times = "number"}}
  local hint = "a decimal comma in a table with commas between its cells looks like this"
  check.raises(function() readings.parse("swings,times\n20,29,61\n", "r.csv", spec) end, {code = "content", line = 2, hint = hint,
    message = '"61" stands in a column without a heading'})
  check.raises(function() readings.parse("mass,2,02,0,1\nswings,times\n20,29\n", "r.csv", spec) end, {code = "content", hint = hint,
    message = "has a cell too many"})
  check.equal(select(2, pcall(readings.parse, "swings;times\n20;29;61\n", "r.csv", spec)).hint, nil)
end)

-- numbers changed, rows doubled, cells emptied in files that are right
test("demo_files_with_a_slip_are_read_or_refused_in_a_sentence", function()
  local slips = {
    function(s) return (s:gsub("%d+", "0", 1)) end, function(s) return (s:gsub(",%d", ",-%0")) end,
    function(s) return (s:gsub("(\n[^\n]*)\n", "%1%1\n")) end, function(s) return (s:gsub("%.%d", ",%0")) end,
    function(s) return s:sub(1, #s // 2) end, function(s) return (s:gsub(",[^,\n]*\n", "\n")) end,
    function(s) return (s:gsub("%d%d", "%0000000")) end,
  }
  for _, reader in ipairs(readers) do
    local of = dofile "tests/lua/readings_file.lua"(reader[1])
    for _, name in ipairs(reader[3]) do
      local file <close> = assert(io.open("vehicles/readings/" .. name .. ".csv", "rb"))
      local whole = file:read "a"
      for _, slip in ipairs(slips) do
        local fine, err = pcall(of, {slip(whole)})
        check.ok(fine or getmetatable(err) == core.error_metatable, name .. ": " .. tostring(err))
      end
    end
  end
end)

check.done()
