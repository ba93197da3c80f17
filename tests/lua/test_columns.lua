-- Columns: one entry a variant, held in C.
local check = dofile "tests/lua/check.lua"
local core = require "steelyard.core"
local test = check.test

local function near_list(column, want)
  check.equal(#column, #want)
  for i = 1, #want do check.equal(column[i], want[i] or nil, "entry " .. i) end
end

test("column_holds_numbers_and_nil_where_unknown", function()
  local c = core.column_of({2.5, nil, -1.25, 0 / 0, 7}, 5)
  near_list(c, {2.5, false, -1.25, false, 7})
  check.equal(c[0], nil)
  check.equal(c[6], nil)
  check.equal(c[-1], nil)
  check.equal(c[1.0], 2.5)
  check.equal(c[1.5], nil)
  check.equal(c["1"], nil)
  check.equal(c.nothing, nil)
  check.equal(c:min(), -1.25)
  check.equal(c:max(), 7)
  check.equal(tostring(c), "column of 5")
  local list = c:list()
  check.equal(list[1], 2.5)
  check.equal(list[2], nil)
  check.equal(list[5], 7)
end)

test("column_is_walked_by_ipairs_and_by_pairs", function()
  local seen = {}
  for i, x in ipairs(core.column_of {3, 1, 2}) do seen[#seen + 1] = i .. ":" .. math.tointeger(x) end
  check.equal(table.concat(seen, " "), "1:3 2:1 3:2")
  seen = {}
  for i, x in pairs(core.column_of({nil, 4, nil, 5, nil}, 5)) do seen[#seen + 1] = i .. ":" .. math.tointeger(x) end
  check.equal(table.concat(seen, " "), "2:4 4:5")
end)

test("column_of_nothing_known_has_no_least", function()
  for _, c in ipairs {core.column(0), core.column_of({}, 3), core.column_grid({0 / 0}, 2, 7)} do
    check.equal(c:min(), nil)
    check.equal(c:max(), nil)
    check.equal(c[1], nil)
  end
end)

test("new_column_is_zero_and_can_be_set_entry_by_entry", function()
  local c = core.column(3)
  near_list(c, {0, 0, 0})
  core.column_set(c, 2, 1.5)
  core.column_set(c, 3, nil)
  near_list(c, {0, 1.5, false})
  check.ok(not pcall(core.column_set, c, 4, 1))
  check.ok(not pcall(core.column_set, c, 0, 1))
  check.ok(not pcall(core.column_set, core.column_grid({1}, 1, 3), 1, 1))
  local ok, why = pcall(function() c[1] = 2 end)
  check.ok(not ok)
  check.contains(tostring(why), "cannot be changed")
end)

-- against the formula written out: the last input of a grid changes fastest
test("columns_of_a_grid_repeat_their_values", function()
  local a, b, c = {10, 20}, {1, 2, 3}, {0.5, 0.25, 0.125, 7}
  local n = #a * #b * #c
  local A, B, C = core.column_grid(a, #b * #c, n), core.column_grid(b, #c, n), core.column_grid(c, 1, n)
  local i = 0
  for _, x in ipairs(a) do
    for _, y in ipairs(b) do
      for _, z in ipairs(c) do
        i = i + 1
        check.equal(A[i], x)
        check.equal(B[i], y)
        check.equal(C[i], z)
      end
    end
  end
  check.equal(i, n)
  check.equal(A[n + 1], nil)
  check.equal(C:min(), 0.125)
  check.equal(C:max(), 7)
  check.equal(core.column_grid({1, 2, 3}, 4, 8):max(), 2) -- the third is never reached
  check.equal(core.column_grid({1, 2, 3}, 4, 9):max(), 3)
  for skip = 0, 2 * n do -- as a part of a larger study
    local part = core.column_grid(b, #c, 7, nil, skip)
    local least, most = math.huge, -math.huge
    for k = 1, 7 do
      check.equal(part[k], B[(skip + k - 1) % n + 1])
      least, most = math.min(least, part[k]), math.max(most, part[k])
    end
    check.equal(part:min(), least)
    check.equal(part:max(), most)
  end
  check.equal(core.column_grid({1, 2, 3}, 4, 1e12 // 1 | 0)[1e12 // 1 | 0], core.column_grid({1, 2, 3}, 4, 12)[4]) -- 1e12 - 1 = 3 mod 12
end)

test("column_of_words_shows_words", function()
  local words = {"road", "race"}
  local c = core.column_of({2, 1, 2, 0, nil}, 5, words)
  near_list(c, {"race", "road", "race", false, false})
  near_list(core.column_grid({1, 2}, 2, 5, words), {"road", "road", "race", "race", "road"})
  near_list(core.column_codes(2, words), {false, false})
  check.ok(not pcall(c.min, c))
  check.equal(c:list()[3], "race")
  local seen = {}
  for i, word in pairs(c) do seen[#seen + 1] = i .. word end
  check.equal(table.concat(seen, " "), "1race 2road 3race")
end)

test("column_that_is_cut_ends_earlier", function()
  local c = core.column_of {4, 5, 6}
  near_list(core.column_cut(c, 2), {4, 5})
  near_list(c, {4, 5})
  check.equal(c:max(), 5)
  check.ok(not pcall(core.column_cut, c, 3))
end)

test("column_that_fits_in_no_memory_is_refused_with_a_way_out", function()
  for _, n in ipairs {1 << 45, math.maxinteger} do
    local refused = check.raises(function() return core.column(n) end, {code = "limit"})
    check.contains(refused.message, tostring(n) .. " variants")
    check.contains(refused.hint, "shard")
  end
  check.ok(not pcall(core.column, -1))
  check.ok(not pcall(core.column_grid, {}, 1, 1))
  check.ok(not pcall(core.column_grid, {1}, 0, 1))
  check.ok(not pcall(core.column_of, {"x"}))
end)

-- 64 columns of 16 MB, 1 GB in all, none of which is kept: what is not used any more goes back before it is a burden
test("columns_that_nobody_has_give_their_memory_back", function()
  local status = io.open "/proc/self/statm"
  local most = 0
  for round = 1, 64 do
    local c = core.column(2000000)
    for i = 1, 2000000, 256 do core.column_set(c, i, round) end -- every page is touched
    if status then
      status:seek "set"
      most = math.max(most, status:read "a":match "^%d+ (%d+)" * 4096)
    end
    check.equal(c[1], round)
    check.equal(c[2000000], 0)
  end
  if status then status:close() end
  check.ok(most < 600e6, "memory in use") -- collected at 256 MB, twice that in the worst case, and what else there is
end)

-- memory that was written before may come again, but never where zeros are asked for
test("columns_of_zeros_are_zeros_whatever_was_written_before", function()
  local N = 1000003
  for _ = 1, 3 do
    do
      local c = core.column_unset(N)
      for i = 1, N, 1000 do core.column_set(c, i, 7) end
      check.equal(#c, N)
    end
    collectgarbage()
    local zeros, kept = core.column(N), core.column_unset(N)
    check.equal(zeros:min(), 0.0)
    check.equal(zeros:max(), 0.0)
    core.column_set(kept, N, 3)
    check.equal(kept[N], 3.0)
  end
  near_list(core.column_unset(2, {"road"}), {false, false})
end)

test("column_next_finds_a_code", function()
  local c = core.column_codes(5, {"pass", "near"})
  for i, code in ipairs{2, 1, 2, 1, 0} do core.column_code(c, i, code) end
  check.equal(core.column_next(c, 1, 5, 1), 2)
  check.equal(core.column_next(c, 3, 5, 1), 4)
  check.equal(core.column_next(c, 3, 3, 1), nil)
  check.equal(core.column_next(c, 5, 4, 1), nil)
  check.equal(core.column_next(c, 1, 5, 300), nil)
  check.ok(not pcall(core.column_next, c, 1, 6, 1))
  check.ok(not pcall(core.column_next, core.column(3), 1, 3, 0))
end)

-- against the entries one by one, of columns that store theirs and of grids
test("columns_parts_are_runs_of_entries", function()
  for _, c in ipairs{core.column_of{5, 1, nil, 2, 9, 4, 4}, core.column_grid({3, 1, 2}, 2, 29), core.column_grid({3, 1, 2}, 2, 29, nil, 7),
    core.column_codes(6)} do
    for first = 1, #c do
      for count = 0, #c - first + 1, 3 do
        for times = 1, 3 do
          local part = core.column_part(c, first, count, times)
          check.equal(#part, count * times)
          for i = 1, count * times do check.equal(part[i], c[first + (i - 1) // times]) end
        end
      end
    end
    check.ok(not pcall(core.column_part, c, 1, #c + 1, 1))
    check.ok(not pcall(core.column_part, c, 1, 1, 0))
  end
end)

test("points_of_ranges_grids_and_samples", function()
  check.equal(core.points_range(-40, 60, 6), {-40.0, -20.0, 0.0, 20.0, 40.0, 60.0})
  for _, bad in ipairs {{5, 5, 3}, {5, 9, 1}, {5, 9, -3}, {5, 9, 0}, {0 / 0, 1, 2}} do
    check.raises(function() return core.points_range(table.unpack(bad)) end, {code = "range"})
  end
  local each, total = core.points_shape {6, 7, 2}
  check.equal(each, {14, 2, 1})
  check.equal(total, 84)
  check.raises(function() return core.points_shape {1 << 32, 1 << 32} end, {code = "limit"})
  check.raises(function() return core.points_shape {1 << 62, 2} end, {code = "limit"}) -- more than a Lua integer counts
  check.raises(function() return core.points_shape {3, 0} end, {code = "range"})
  near_list(core.points_one({1, 2}, 0.5, 2, 1, 4), {0.5, 1, 2, 0.5})
  near_list(core.points_one({1, 2}, 0.5, 2, 3, 2), {2, 0.5})
  near_list(core.points_sobol(1, 1, 4), {0, 0.5, 0.75, 0.25})
  near_list(core.points_sobol(1, 3, 1), {0.75})
  near_list(core.points_between(core.points_sobol(1, 1, 4), -40, 60), {-40, 10, 35, -15})
  near_list(core.points_pick(core.points_sobol(1, 1, 4), {7, 5, 11}), {7, 5, 11, 7})
  check.raises(function() return core.points_sobol(65, 1, 1) end, {code = "limit"})
  local seen = {}
  for _, u in ipairs(core.points_latin(1, 2, 50, 1, 50)) do seen[math.floor(u * 50)] = true end
  for i = 0, 49 do check.ok(seen[i]) end
  check.equal(core.points_latin(1, 2, 50, 41, 10)[3], core.points_latin(1, 2, 50, 1, 50)[43])
  check.ok(core.points_latin(1, 2, 50, 1, 1)[1] ~= core.points_latin(2, 2, 50, 1, 1)[1])
  check.raises(function() return core.points_latin(1, 2, 50, 50, 2) end, {code = "range"})
end)

-- ---- bytes ---------------------------------------------------------------------------------------------------------------------------

-- Eight bytes a number, IEEE 754, the lowest first: what string.pack "<d" gives (Lua 5.4 Reference Manual, 6.4.2).
test("column_bytes_are_those_of_string_pack_whatever_the_number", function()
  local list = {0.1, -0.0, 0, 1e308, -1e-308, 5e-324, math.huge, -math.huge, math.pi}
  local c = core.column_of(list, #list)
  local bytes = core.column_bytes(c, 1, #list)
  check.ok(bytes == string.pack("<" .. ("d"):rep(#list), table.unpack(list)), "all")
  check.ok(core.column_bytes(c, 3, 5) == bytes:sub(17, 40), "some")
  check.equal(core.column_bytes(c, 4, 3), "")
  check.equal(core.column_bytes(c, 10, 9), "")
  local back = core.column(#list)
  check.equal(core.column_put(back, 1, 4, "xx" .. bytes, 3), 35)
  check.equal(core.column_put(back, 5, 9, bytes, 33), 73)
  for i, x in ipairs(list) do check.ok(string.pack("<d", back[i]) == string.pack("<d", x), i) end
end)

test("column_bytes_of_what_is_not_known_stay_not_known", function()
  local c = core.column_of({1, nil, 3}, 3)
  local back = core.column_of({9, 9, 9}, 3)
  core.column_put(back, 1, 3, core.column_bytes(c, 1, 3), 1)
  near_list(back, {1, false, 3})
end)

test("column_codes_go_by_a_byte_each", function()
  local words = {"pass", "near", "fail"}
  local c = core.column_codes(4, words)
  check.equal(core.column_put(c, 1, 4, "?\1\3\0\2", 2), 6)
  near_list(c, {"pass", "fail", false, "near"})
  check.ok(core.column_bytes(c, 2, 4) == "\3\0\2")
  core.column_code(c, 3, 1)
  check.equal(c[3], "pass")
  core.column_code(c, 1, 200) -- of a damaged file: no word
  check.equal(c[1], nil)
end)

test("column_part_takes_entries_each_so_often", function()
  local c = core.column_of({1, nil, 3, 4}, 4)
  near_list(core.column_part(c, 2, 3, 1), {false, 3, 4})
  near_list(core.column_part(c, 3, 2, 3), {3, 3, 3, 4, 4, 4})
  near_list(core.column_part(core.column_grid({5, 6}, 2, 8), 2, 4, 2), {5, 5, 6, 6, 6, 6, 5, 5})
  near_list(core.column_part(c, 5, 0, 7), {})
end)

test("column_bytes_outside_a_column_and_of_others_are_refused", function()
  local c, codes = core.column_of({1, 2}, 2), core.column_codes(2, {"a"})
  local grid = core.column_grid({1, 2}, 1, 2) -- is not stored
  local function refused(f, ...)
    local fine, why = pcall(f, ...)
    check.ok(not fine and type(why) == "string", tostring(why))
  end
  local huge = math.maxinteger
  for _, range in ipairs{{0, 1}, {1, 3}, {3, 1}, {-1, -2}, {2, huge}, {huge, huge}, {math.mininteger, 2}, {1.5, 2}} do
    refused(core.column_bytes, c, range[1], range[2])
    refused(core.column_put, c, range[1], range[2], ("x"):rep(64), 1)
  end
  refused(core.column_bytes, grid, 1, 1)
  refused(core.column_put, grid, 1, 1, ("x"):rep(8), 1)
  for _, at in ipairs{0, 2, 10, huge, math.mininteger} do refused(core.column_put, c, 1, 2, ("x"):rep(16), at) end
  refused(core.column_put, codes, 1, 2, "x", 1)
  refused(core.column_code, c, 1, 1)
  for _, i in ipairs{0, 3, huge} do refused(core.column_code, codes, i, 1) end
  for _, code in ipairs{-1, 256} do refused(core.column_code, codes, 1, code) end
  for _, part in ipairs{{0, 1, 1}, {1, 3, 1}, {4, 0, 1}, {1, -1, 1}, {1, 2, 0}, {1, 2, huge}, {1, 2, 1 << 28}} do
    refused(core.column_part, c, table.unpack(part))
  end
  near_list(c, {1, 2})
end)

check.done()
