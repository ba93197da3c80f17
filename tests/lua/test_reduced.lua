-- What is made of the columns of a study in C: verdicts, folds, summaries, fronts. Their rules are tested in tests/test_judge.c,
-- test_summary.c and test_front.c; here is that they reach Lua.
local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local dice = dofile "tests/lua/dice.lua"(5)
local test = check.test

local WORDS = {"pass", "near", "unknown", "fail"}
local NAN = 0 / 0

local function codes(words)
  local c = core.column_codes(#words, WORDS)
  -- a limit each that has just that verdict: the only way in from here
  for i, word in ipairs(words) do
    local limit = ({pass = {min = 0}, near = {min = 0, near = 5}, fail = {min = 2}, unknown = {min = 0}})[word]
    local x = {}
    x[i] = word ~= "unknown" and 1 or nil
    core.judge(c, i, i, {limit}, {core.column_of(x, #words)}, {}, 2)
    check.equal(c[i], word)
  end
  return c
end

test("verdicts_are_those_of_the_limits_of_a_car", function()
  local n, value, sd = 9000, {}, {} -- more than go through at a time
  for i = 1, n do
    value[i] = dice.below(700000) / 100000 + 36.5
    sd[i] = dice.chance(30) and 0 or dice.below(1000) / 2000
  end
  local limit = {name = "share", min = 38, max = 42, share = 0.05}
  local x, u, v = core.column_of(value), core.column_of(sd), core.column_codes(n, WORDS)
  core.judge(v, 1, n, {limit}, {x}, {u}, text.K95)
  local counts = {pass = 0, near = 0, unknown = 0, fail = 0}
  for i = 1, n do
    local want = verdicts.of(value[i], sd[i], limit)
    if v[i] ~= want then check.equal(v[i], want, "variant " .. i) end
    counts[want] = counts[want] + 1
  end
  local pass, near, unknown, fail = core.verdict_count(v, 1, n)
  check.equal({pass, near, unknown, fail}, {counts.pass, counts.near, counts.unknown, counts.fail})
  check.ok(pass > 0 and near > 0 and fail > 0)
end)

test("verdict_of_several_limits_is_the_worst_and_what_stands_there_counts", function()
  local a, b = core.column_of({1, 1, 5, nil, 1}, 5), core.column_grid({10, 20}, 1, 5)
  local v = core.column_codes(5, WORDS)
  core.judge(v, 2, 4, {{min = 0, near = 2}, {max = 15}}, {a, b}, {false, false}, 2)
  check.equal(v:list(), {nil, "fail", "pass", "fail"}) -- of entries 2 to 4 alone
  core.judge(v, 3, 3, {{max = 4}}, {a}, {}, 2)
  check.equal(v[3], "fail")
  core.judge(v, 3, 3, {}, {}, {}, 2)
  check.equal(v[3], "fail")
  core.judge(v, 1, 1, {}, {}, {}, 2)
  check.equal(v[1], "pass")
  local refused = check.raises(function() core.judge(v, 1, 5, {{name = "mass", min = 5, max = 3}}, {a}, {}, 2) end, {code = "clash"})
  check.equal(refused.part, "mass")
  check.ok(not pcall(core.judge, v, 1, 6, {}, {}, {}, 2))
  check.ok(not pcall(core.judge, v, 1, 5, {{min = 1}}, {}, {}, 2))
  check.ok(not pcall(core.judge, v, 1, 5, {{min = 1}}, {core.column(4)}, {}, 2))
  check.ok(not pcall(core.judge, a, 1, 5, {}, {}, {}, 2))
end)

test("folds_are_the_extremes_of_each_variant_and_where", function()
  local x = core.column_of({99, 3, 1, 2, 5, 5, 5, 7, nil, 9}, 10)
  local low, high, low_at, high_at = core.column(4), core.column(4), core.column(4, {"one up", "two up", "laden"}), core.column(4)
  core.fold(x, 2, 3, 3, 2, low, high, low_at, high_at)
  check.equal(low:list(), {0.0, 1.0, 5.0})
  check.equal(high:list(), {0.0, 3.0, 5.0})
  check.equal(low_at:list(), {nil, "two up", "one up"})
  check.equal(high_at:list(), {0.0, 1.0, 1.0})
  core.fold(x, 2, 3, 1, 1, nil, nil, nil, high_at)
  check.equal(high_at[1], 1.0)
  check.ok(not pcall(core.fold, x, 3, 3, 3, 1, low, high))
  check.ok(not pcall(core.fold, x, 1, 1, 4, 2, low, high))
  check.ok(not pcall(core.fold, x, 1, 0, 4, 1, low, high))
  local worst = core.column_codes(2, WORDS)
  core.fold_verdict(codes {"near", "pass", "unknown", "fail"}, 1, 2, 2, 1, worst)
  check.equal(worst:list(), {"near", "fail"})
end)

test("summary_is_the_same_by_blocks_as_bytes_and_of_the_whole", function()
  local n, list, sum = 10007, {}, 0
  for i = 1, n do
    list[i] = i % 17 ~= 0 and dice.below(1 << 30) / 2 ^ 20 - 300 or nil
    sum = sum + (list[i] or 0) -- exact: multiples of 2^-20
  end
  local x = core.column_of(list, n)
  local whole = core.summary():add(x, 1, n, 1)
  local read = whole:read()
  check.equal(read.known + read.unknown, n)
  check.equal(read.unknown, n // 17)
  check.equal(read.mean, sum / read.known)
  check.equal(read.min, x:min())
  check.equal(read.max, x:max())
  check.equal(x[read.at_min], read.min)
  check.equal(x[read.at_max], read.max)
  for _, block in ipairs {64, 256, 1000} do
    local joined = core.summary()
    for first = (n - 1) // block * block + 1, 1, -block do
      joined:join(core.summary():add(x, first, math.min(n, first + block - 1), first):bytes())
    end
    check.equal(joined:bytes(), whole:bytes())
  end
  check.equal(core.summary(whole:bytes()):read(), read)
  check.equal(core.summary():read(), {known = 0, unknown = 0})
  -- a grid, which is not stored, and variants numbered from elsewhere
  local grid = core.summary():add(core.column_grid({1, 4}, 5000, 10000), 1, 10000, 20001):read()
  check.equal(grid, {known = 10000, unknown = 0, min = 1.0, max = 4.0, mean = 2.5, at_min = 20001, at_max = 25001})
  check.equal(core.summary():add(core.column_of {1 / 0, 2}, 1, 2, 1):read().mean, nil)
  check.ok(not pcall(core.summary, "short"))
  check.ok(not pcall(whole.add, whole, x, 1, n + 1, 1))
end)

test("front_is_of_feasible_and_known_variants_along_the_first", function()
  --                          1  2  3  4    5  6  7
  local mass = core.column_of{5, 3, 4, 3,   9, 1, 4}
  local share = core.column_of({5, 6, 7, 6, NAN, 1, 7}, 7)
  check.equal(core.front({mass, share}, {false, true}), {6, 2, 4, 3, 7})
  check.equal(core.front({mass, share}, {false, true}, codes {"pass", "pass", "near", "fail", "pass", "unknown", "pass"}), {2, 3, 7})
  check.equal(core.front({share, mass}, {true, false}), {6, 2, 4, 3, 7})
  check.equal(core.front({mass}, {}), {6})
  check.equal(core.front({core.column_grid({2, 1, 3}, 1, 7)}, {true}), {3, 6})
  check.equal(core.front({core.column(0)}, {}), {})
  check.ok(not pcall(core.front, {}, {}))
  check.ok(not pcall(core.front, {mass, core.column(3)}, {}))
end)

check.done()
