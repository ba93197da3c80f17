-- Whatever a vehicle file says, it is answered within 2 s and 64 MiB from open to result or refusal. Each file here is one that a mistake
-- or an attacker might write; it is loaded and used in a process of its own, which the system stops at 4 s of processor time and
-- 64 MiB beyond what the command itself takes up. 2 s: common practice for something a person waits for, no source. Twice that here, since
-- tests run beside one another and processors share their caches: the slowest file took 1.6 s alone.
-- Under the command alone: the processes are the command's whatever runs this.
-- With one compiler: what is counted are the steps and bytes of Lua.

local check = dofile "tests/lua/check.lua"
local most = require "steelyard.file.most"

-- What is done with a car: opened, every state loaded, limits checked, the book, a move.
local USE = [[
local sy, core = require "steelyard", require "steelyard.core"
local fine, err = pcall(function()
  local car = sy.load(arg[1])
  car:balance()
  for _, name in ipairs(car:states()) do car:state(name):balance() end
  if car:checks() then tostring(car:checks()) end
  tostring(car:book())
  local part = car:book().rows and car:book().rows[1]
  if part then car:move(part.path or part.name, {back = 1}):balance() end
end)
if fine then print "answered" return end
if getmetatable(err) ~= core.error_metatable then print("not an error object: " .. tostring(err)) return end
print(err.code .. ": " .. tostring(err))
]]

local SECONDS, MEBIBYTES = 4, 64

-- KiB that the command itself takes up, of addresses; nil where the system does not say, or where a tool that watches memory takes its own
local function own_size(folder)
  local path = folder .. "/size.lua"
  local file = assert(io.open(path, "w"))
  file:write [[
    require "steelyard"
    local file = io.open "/proc/self/status"
    print(file and file:read "a":match "VmPeak:%s*(%d+) kB" or "")]]
  file:close()
  local out = check.command(check.steelyard .. " " .. path).out
  local size = tonumber(out:match "%d+")
  return size and size < 200000 and size or nil
end

local folder = os.tmpname()
os.remove(folder)
assert(os.execute("mkdir " .. folder))

local function write(name, text)
  local path = folder .. "/" .. name
  local file = assert(io.open(path, "wb"))
  file:write(text)
  file:close()
  return path
end

local use = write("use.lua", USE)
local own = own_size(folder)
local limits = own and ("ulimit -t %d; ulimit -v %d; "):format(SECONDS, own + MEBIBYTES * 1024) or ""

-- What is said of a file: its first line.
local function answer(name, text)
  local path = write(name:gsub("%W", "_") .. ".lua", text)
  local run = check.command(("(%s exec %s %s %s)"):format(limits, check.steelyard, use, path))
  os.remove(path)
  if run.code ~= 0 then return ("exit code %s: %s"):format(run.code, (run.err .. run.out):sub(1, 300)) end
  return run.out:match "[^\n]*"
end

-- ---- what files are made of -------------------------------------------------------------------------------------------

local AXLES = [[axles = {{name = "front", at = -300, track = 1400, loaded_radius = 290, spring_rate = 30, bar_rate = 5},
  {name = "rear", at = 2100, track = 1400, loaded_radius = 290, spring_rate = 30}}, ]]
local TUB = "part \"tub\" {mass = 500, at = {700, 0, 300}}"

local function vehicle(rest) return "vehicle { title = \"A\", " .. AXLES .. rest .. " }\n" end

-- `count` times a line of Lua with i in it, in the file itself: tables filled as t[i] = item
local function fill(count, item, name)
  return ("local %s = {}\nfor i = 1, %d do %s[i] = %s end\n"):format(name or "t", count, name or "t", item)
end

local function part(fields) return "part('p' .. i) {mass = 1, at = {i % 2400, 0, 300}" .. (fields and ", " .. fields or "") .. "}" end

local function written(count, line)
  local list = {}
  for i = 1, count do list[i] = line(i) end
  return table.concat(list, "\n")
end

-- Keys that a hash without a seed, the FNV-1a of 32 bits, takes for the same: at each step one of two texts that lead it to the same
-- state. Found by trying.
local ALIKE = {{"0TBhSE7au", "mS4NhJz7D"}, {"WQfSIJFhz", "yj3mEP4Ui"}, {"ozJtEnbEO", "kSEfjksON"}, {"GYQUwtD8k", "ijoa1zk2W"},
  {"e18VZHCtx", "sNt9VlWQ5"}, {"WU5hYCKJm", "jZgwzufky"}, {"6kA8oNx5m", "gIKoqKDgN"}, {"ad5JKNqzg", "ArQT5NJjn"},
  {"Hjzs4OolL", "wJG6NqVAw"}, {"xkAvoBEtI", "qAn86BUfH"}, {"iSMHQrIRP", "W4TfRalwH"}, {"0XmIpVmKA", "iIAA5gtLU"},
  {"FpP0MIBNp", "j32MueJnl"}, {"7bm2TO044", "IqGFM4XVO"}}

local function alike_keys()
  local keys = {""}
  for _, pair in ipairs(ALIKE) do
    local longer = {}
    for _, key in ipairs(keys) do
      longer[#longer + 1] = key .. pair[1]
      longer[#longer + 1] = key .. pair[2]
    end
    keys = longer
  end
  return keys
end

-- ---- beyond a limit: refused, and the limit is said ---------------------------------------------------------------------

local LONG = "local s = 'x'\nfor i = 1, 15 do s = s .. s end\n" -- 32 KiB

local refused = {
  {"a long text in a million places", LONG .. fill(200000, "s") .. vehicle "parts = t", "4 MiB when every table and text is written out"},
  {"a long list as tags of many parts", fill(5000, "'t' .. i", "n") .. fill(1500, part "tags = n") .. vehicle "parts = t", "written out"},
  {"long notes in many places", LONG .. fill(4000, part "note = s") .. vehicle "parts = t", "written out"},
  {"lists in lists in lists", "local t = {}\nfor i = 1, 60 do t = {t, t} end\n" .. vehicle("points = t, parts = {" .. TUB .. "}"),
    "written out"},
  {"every part bolted to all", fill(2000, "'p' .. i", "n") .. fill(2000, part "bolted_to = n") .. vehicle "parts = t", "written out"},
  {"a list of readings for each part", fill(2000, "50 + i % 2", "n") .. fill(1000,
    "part('p' .. i) {weighed = {reading = n}, at = {0, 0, 1}}")
    .. vehicle "parts = t", "written out"},
  {"many states that leave many out", fill(3000, "'p' .. i", "n") .. fill(3000, part()) .. fill(3000, "state('s' .. i) {without = n}", "s")
    .. vehicle "parts = t, states = s", "written out"},
  {"keys that collide once the table grows", "local t, m = {}, (1 << 18) - 1\nfor i = 1, 131072 do t[i * m] = i end\nt.a = 1\nvehicle {}",
    {"line 2", "8192 fields"}},
  {"keys that collide, in a full table", "local t, m = {}, (1 << 13) - 1\nfor i = 1, 8192 do t[i * m] = i end\n"
    .. "for i = 1, 1000 do\n t[i * m] = nil t[(i + 8192) * m] = 1 end", nil},
  {"numbers in the text that collide", (function()
    local list = {}
    for i = 1, 40000 do list[i] = ("%d"):format(i * 65535) end
    return "local t = {\n" .. table.concat(list, ",\n") .. "}\nvehicle {}"
  end)(), "32768 different names, texts and numbers"},
  {"colliding keys in many small tables",
    "local q = {}\nfor k = 1, 1000 do local t = {} for i = 1, 300 do t[i * 511] = 1 end q[k] = t end\nvehicle {x = q}",
    "200 keys that are neither names nor places of a list"},
  {"keys that collide without a seed", "vehicle {\n[\"" .. table.concat(alike_keys(), "\"]=1,\n[\"") .. "\"]=1 }", "fields"},
  {"a million numbers in a table", "vehicle { x = {\n" .. ("1,"):rep(1000000) .. "}}", {"line 2", "200000 entries"}},
  {"a million tables", ("f{} "):rep(1000000), "200000 entries"},
  {"a field a million times on a line", "vehicle { x = {" .. ("a=1;"):rep(1000000) .. "\n}}", "200000 entries"},
  {"a hundred thousand axles", "vehicle { axles = {" .. written(6000, function(i) return ("{name='a%d', at=%d},"):format(i, i) end)
    .. "}, parts = {}}",
    "has 6000, a vehicle has 2 to 8 axles"},
  {"one axle a hundred thousand times", "local a = {name = 'x', at = 1, loaded_radius = 3}\n" .. fill(20000, "a")
    .. "vehicle { axles = t, parts = {}}",
    "has 20000, a vehicle has 2 to 8 axles"},
  {"more parts than a file has", fill(20000, part()) .. vehicle "parts = t",
    "number 5001, a vehicle file has 5000 parts and groups at most"},
  {"plain tables as parts", fill(20000, "{name = 'p' .. i, mass = 1, at = {0, 0, 1}}") .. vehicle "parts = t", "number 5001"},
  {"more states than a file has", fill(200, "state('s' .. i) {}", "s") .. vehicle("states = s, parts = {" .. TUB .. "}"),
    "states: has more than 100 entries"},
  {"more limits than a file has", fill(300, "{name = 'l' .. i, quantity = 'mass', max = 5}", "l") .. vehicle("limits = l, parts = {"
    .. TUB .. "}"),
    "limits: has more than 200 entries"},
  {"more points than a file has", "local t = {}\nfor i = 1, 2000 do t['p' .. i] = {i, 0, 1} end\n" .. vehicle("points = t, parts = {"
    .. TUB .. "}"),
    "points: has more than 1000 entries"},
  {"more shafts than a file has", fill(60,
    "{name = 's' .. i, inner = {part = 'tub', at = {0, 0, 300}}, outer = {wheel = 'lr'}, joint = 'cv'}")
    .. vehicle("shafts = t, parts = {" .. TUB .. "}"), "shafts: has more than 50 entries"},
  {"more clearances than a file has", fill(200, "{name = 'c' .. i, a = 'tub', b = 'ground'}") .. vehicle("clearances = t, parts = {"
    .. TUB .. "}"),
    "clearances: has more than 100 entries"},
  {"more scales than a file has", fill(17, "{name = 'i' .. i, unit = 'kg', sd = 1}") .. vehicle("instruments = t, parts = {" .. TUB .. "}"),
    "instruments: has more than 16 entries"},
  {"more tanks than a file has", fill(200,
    "tank('t' .. i) {density = 0.7, capacity = 5, fill = 2, at = {0, 0, 300}, shape = cylinder {300, 500}}")
    .. vehicle "parts = t", "number 101, a vehicle file has 100 tanks at most"},
  {"more weighed groups than a file has", fill(160, "group('g' .. i) {whole = 5, unaccounted = true, part 'a' {mass = 1, at = {1, 2, 3}}}")
    .. vehicle "parts = t", "number 101, a vehicle file has 100 groups weighed whole at most"},
  {"parts in weighed groups in weighed groups", fill(960, part()) .. "for d = 1, 28 do t.whole = 960 + d t = {group('g' .. d)(t)} end\n"
    .. vehicle "parts = t",
    "groups weighed whole hold more than 5000 parts"},
  {"names of parts in more places", fill(2000, "'p' .. i", "n") .. fill(2000, part())
    .. "local s = {}\nfor k = 1, 60 do local w = {} for i = 1, 200 do w[i] = n[i * 10] end\n"
    .. " s[k] = state('s' .. k) {without = w} end\n" .. vehicle "parts = t, states = s", "names parts more than 10000 times"},
  {"swaps of everything", fill(2000, part()) .. "local w = {}\nfor i = 1, 2000 do w['p' .. i] = 'p' .. (2001 - i) end\n"
    .. vehicle "parts = t, states = {state 'a' {swap = w}}", "swap: has more than 1000 entries"},
  {"a long title", LONG .. vehicle("note = s, design = s, parts = {" .. TUB .. "}"), "is a text of 32768 bytes, 500 are possible"},
  {"a long name of a state", LONG .. vehicle("states = {state(s) {}}, parts = {" .. TUB .. "}"), "32768 bytes"},
  {"long names in many groups", "local n = ('" .. ("n"):rep(90) .. "')\n" .. fill(4900, "part(n .. i) {mass = 1, at = {1, 2, 3}}")
    .. "for d = 1, 28 do t = {group(n .. d)(t)} end\n" .. vehicle "parts = t", "bytes with its groups, 500 are possible"},
  {"repeated readings in all", fill(30, "50 + i % 2", "n") .. fill(4900, "part('p' .. i) {weighed = {reading = n}, at = {0, 0, 1}}")
    .. vehicle "parts = t",
    {"10000 repeated readings"}},
  {"items that stand nowhere", "for i = 1, 100000 do part('x' .. i) {} end\n" .. vehicle("parts = {" .. TUB .. "}"), "16 MiB of memory"},
  {"an endless loop", "while true do end", "million steps"},
  {"throw-away tables", "while true do local t = {{}, {}, {}} end", nil},
  {"throw-away masses", "local a = 1 * kg\nwhile true do a = a * 1 end", "million steps"},
  {"comparing texts full of zero bytes",
    "local a = '\\0'\nfor i = 1, 15 do a = a .. a end\nlocal b = a .. 'y'\nwhile true do local c = a < b end", nil},
  {"a name that fits thousands of parts", fill(2400, "group('g' .. i) {part 'c' {mass = 1, at = {1, 2, 3}}}") .. fill(99, "'c'", "n")
    .. vehicle "parts = t, states = {state 's' {without = n}}", "fits several", "clash"},
  {"words near thousands of names", fill(4900, "part('part number ' .. i) {mass = 1, at = {1, 2, 3}}") .. fill(99, "'prat nmber ' .. i",
    "n")
    .. vehicle "parts = t, states = {state 's' {without = n}}", "did you mean", "unknown"},
  {"names with more and more strokes", "local s, n = 'a', {}\nfor i = 1, 240 do s = s .. '/a' n[i] = s end\n" .. fill(4900, part())
    .. vehicle "parts = t, states = {state 's' {without = n}}", "no part, group or tag", "unknown"},
  {"groups inside one another", vehicle("parts = {" .. ("group 'g' {"):rep(60) .. TUB .. ("}"):rep(60) .. "}"), "more than 30 groups"},
  {"fields with long names", LONG .. "local t = {}\nfor i = 1, 99 do t[i] = part('p' .. i) {mass = 1, at = {1, 2, 3}, [s .. i] = 1} end\n"
    .. vehicle "parts = t",
    "no such field", "unknown"},
}

for _, case in ipairs(refused) do
  local name, text, want, code = case[1], case[2], case[3], case[4] or "limit"
  check.test("file_with_" .. name:gsub("%W+", "_") .. "_is_refused_in_time", function()
    local said = answer(name, text)
    if not (case[4] == nil and said:find "^range: " and tostring(want):find "axles") then check.contains(said, code .. ": ") end
    for _, words in ipairs(type(want) == "table" and want or {want}) do
      check.contains(said, (words:gsub("^line (%d+)$", ".lua:%1: ")))
    end
    check.ok(#said < 1000, "a short line")
  end)
end

-- ---- up to the limits: answered -----------------------------------------------------------------------------------------

local PARTS = most.parts - 100

local answered = {
  {"stand-ins of all parts in many states", fill(PARTS, part "stand_in = {mass = 2, at = {i % 2400, 0, 300}}") .. fill(most.states,
    "state('s' .. i) {stand_ins = i < 6}", "s")
    .. fill(most.limits, "{quantity = 'mass', name = 'l' .. i, max = 5}", "l") .. vehicle "parts = t, states = s, limits = l"},
  {"states that leave many out", fill(PARTS, part())
    .. "local s = {}\nfor k = 1, 95 do local w = {} for i = 1, 100 do w[i] = 'p' .. (40 * i + k) end\n"
    .. " s[k] = state('s' .. k) {without = w} end\n" .. vehicle "parts = t, states = s, design = 's5'"},
  {"parts bolted together", fill(PARTS, part(("bolted_to = {'p' .. (i %% %d + 1), 'p' .. (i * 7 %% %d + 1)}"):format(PARTS, PARTS)))
    .. vehicle "parts = t"},
  {"limits on springs", fill(most.states, "state('s' .. i) {}", "s") .. fill(most.limits,
    "{quantity = 'corners.lf', name = 'l' .. i, max = 5}", "l")
    .. vehicle("parts = {" .. TUB .. "}, states = s, limits = l")},
  {"limits on tipping", fill(most.states, "state('s' .. i) {}", "s") .. fill(most.limits,
    "{quantity = 'stability.side_g', name = 'l' .. i, max = 5}", "l")
    .. vehicle("parts = {" .. TUB .. "}, states = s, limits = l")},
  {"groups with gaps", fill(most.wholes, "(function() local q = {} for k = 1, 47 do q[k] = part('a' .. k) {mass = 1, at = {1, 2, 3}} end"
    .. " q.whole = 50 q.unaccounted = true return group('g' .. i)(q) end)()") .. vehicle "parts = t"},
  {"groups that do not close", fill(most.wholes,
    "(function() local q = {} for k = 1, 47 do q[k] = part('a' .. k) {mass = 1, at = {1, 2, 3}} end"
    .. " q.whole = sd(50, 0.1) return group('g' .. i)(q) end)()") .. vehicle "parts = t"},
  {"groups in groups that do not close", fill(150, part()) .. "for d = 1, 28 do t.whole = sd(150 + d, 0.1) t = {group('g' .. d)(t)} end\n"
    .. vehicle "parts = t"},
  {"a large group that does not close", fill(PARTS, part()) .. "t.whole = sd(4000, 1)\n" .. vehicle "parts = {group 'g' (t)}"},
  {"gaps in gaps", fill(150, part()) .. "for d = 1, 28 do t.whole = 150 + d t.unaccounted = d > 24 t = {group('g' .. d)(t)} end\n"
    .. vehicle "parts = t"},
  {"every scale on every part", fill(16, "{name = 'i' .. i, unit = 'kg', sd = 1, bias = sd(0, 1), gain = sd(1, 0.01)}", "s")
    .. fill(PARTS, "part('p' .. i) {at = {1, 2, 3}, scale = 'i' .. (i % 16 + 1), mass = 4}") .. vehicle "parts = t, instruments = s"},
  {"tanks in many states", fill(most.tanks,
    "tank('t' .. i) {density = 0.7, capacity = 5, fill = 2, dry_mass = 1, at = {700, 0, 300}, shape = cylinder {300, 500},"
    .. " turned = {nose_up = 20, left_up = 10}}") .. fill(95, "state('s' .. i) {fill = {t1 = 1}}", "s")
    .. vehicle "parts = t, states = s, limits = {{quantity = 'mass', max = 5}}"},
  {"persons", fill(PARTS, "person('i' .. i) {mass = 75, stature = 1800, torso = 20, knee = 120, hip = {700, 0, 300}}")
    .. vehicle "parts = t"},
  {"pairs that wheels carry", fill(2400,
    part "pair = true, unsprung = {front = 0.1, rear = 0.2}, turned = {nose_up = 5}, shape = box {1, 2, 3}") .. vehicle "parts = t"},
  {"parts far from the wheels that carry them", fill(PARTS, part "unsprung = 'front'") .. vehicle "parts = t"},
  {"names looked up through groups", fill(2400, "group('g' .. i) {part 'c' {mass = 1, at = {1, 2, 3}}}") .. fill(900,
    "'g' .. i .. '/c'", "n")
    .. vehicle "parts = t, states = {state 's' {without = n}}, design = 's'"},
  {"groups as deep as they go", fill(PARTS, "part('q' .. i) {mass = 1, at = {1, 2, 3}}")
    .. "local w, s = {}, ''\nfor d = 1, 28 do t = {group('g' .. d)(t)} w[d] = 'g' .. d .. s s = '/g' .. d .. s end\n"
    .. vehicle "parts = t, states = {state 's' {with = w}}"},
  {"shafts with long paths", fill(most.shafts,
    "(function() local q = {} for k = 1, 190 do q[k] = {k - 100, 2100 + k / 100, 700, 300} end return {name = 's' .. i,"
    .. " inner = {part = 'tub', at = {2100, 100, 300}}, outer = {wheel = 'lr', at = {2100, 600, 300}, path = q}, joint = 'cv'} end)()")
    .. vehicle("shafts = t, parts = {" .. TUB .. "}")},
  {"clearances", fill(most.clearances, "{name = 'c' .. i, a = 'p' .. i, b = 'ground', asked = 5}", "c") .. fill(100,
    part "shape = cone {100, 100}")
    .. vehicle "parts = t, clearances = c"},
  {"points", "local q = {}\nfor i = 1, 990 do q['p' .. i] = {i, 0, 300} end\n" .. vehicle("points = q, parts = {" .. TUB .. "}")},
  {"repeated readings", fill(3, "50 + i % 2", "n") .. fill(PARTS, "part('p' .. i) {weighed = {reading = n}, at = {0, 0, 1}}")
    .. vehicle "parts = t"},
  {"parts without a known mass", fill(PARTS, "part('p' .. i) {mass = unknown, at = {0, 0, 1}}") .. vehicle("parts = {group 'g' (t), "
    .. TUB .. "}")},
  {"swaps", fill(1000, part()) .. fill(1000, "part('s' .. i) {mass = 1, at = {0, 0, 1}}", "s")
    .. "local w = {}\nfor i = 1, 900 do w['p' .. i] = 's' .. i end\n"
    .. vehicle "parts = t, spares = s, states = {state 'a' {swap = w}}, design = 'a'"},
  {"data alone, as long as it is read at once", "vehicle { title = \"A\", " .. AXLES .. "parts = {"
    .. written(4700, function(i) return ("part \"%d\" {mass = 1, at = {0, 0, 300}},"):format(i) end) .. "} }"},
}

for _, case in ipairs(answered) do
  check.test("file_with_" .. case[1]:gsub("%W+", "_") .. "_is_answered_in_time", function() check.equal(answer(case[1], case[2]),
    "answered") end)
end

os.execute("rm -r " .. folder)
check.done()
