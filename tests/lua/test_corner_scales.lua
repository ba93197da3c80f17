--- sy.corner_scales and the script: hand numbers, each way of weighing, what a colleague would say, every refusal.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local function all_notes(r) return table.concat(r.notes, "\n") end
local function car(more)
  local run = {lf = 151.3, rf = 148.9, lr = 213.7, rr = 219.2}
  for key, value in pairs(more or {}) do run[key] = value end
  return run
end

test("one_run_by_hand", function()
  local r = sy.corner_scales{runs = {car()}, sd = 0.2}
  check.near(r.mass, 733.1, 1e-10)
  check.near(r.front_share, 100 * 300.2 / 733.1, 1e-10)
  check.near(r.left_share, 100 * 365 / 733.1, 1e-10)
  check.near(r.cross_share, 100 * 362.6 / 733.1, 1e-10)
  check.near(r.diagonal_ratio, 362.6 / 370.5, 1e-12)
  check.near(r.sd.mass, 0.4, 1e-12)
  check.near(r.sd.lf, 0.2, 1e-12)
  -- u of a share p: sqrt(n1 (1 - p)^2 + n2 p^2) u / mass, two wheels each
  local p = 300.2 / 733.1
  check.near(r.sd.front_share, 100 * 0.2 * math.sqrt(2 * (1 - p) ^ 2 + 2 * p ^ 2) / 733.1, 1e-12)
  check.equal(r.closure, nil)
  check.equal(r.drift, nil)
  check.contains(all_notes(r), "no zero was read of any pad")
  check.contains(all_notes(r), "swap left and right once")
end)

test("other_names_of_wheels_and_three_wheels", function()
  local a = sy.corner_scales{runs = {{fl = 151.3, fr = 148.9, rl = 213.7, rr = 219.2}}, sd = 0.2}
  check.near(a.lr, 213.7, 1e-10)
  local b = sy.corner_scales{runs = {{f = 120, lr = 180, rr = 182}}, sd = 0.1}
  check.near(b.front_share, 100 * 120 / 482, 1e-10)
  check.near(b.left, 240, 1e-10) -- the middle wheel counts half
  check.equal(b.cross_share, nil)
  check.contains(tostring(b), "middle")
  local c = sy.corner_scales{runs = {{lf = 120, rf = 121, r = 182}}, sd = 0.1}
  check.near(c.rear, 182, 1e-10)
end)

test("a_step_is_the_floor_and_repeats_do_not_lower_it", function()
  -- JCGM 100:2008, 4.3.7: step / sqrt 12
  local u = 0.5 / math.sqrt(12)
  check.near(sy.corner_scales{runs = {car()}, step = 0.5}.sd.lf, u, 1e-12)
  local r = sy.corner_scales{runs = {car(), car(), car(), car()}, step = 0.5}
  check.near(r.sd.lf, u, 1e-12)
  check.contains(all_notes(r), "the same number again proves nothing")
  check.contains(all_notes(sy.corner_scales{runs = {car(), car()}}), "state its step")
  -- scatter does go down, the step stays
  local s = sy.corner_scales{runs = {car(), car()}, step = 0.5, sd = 0.4}
  check.near(s.sd.lf, math.sqrt(0.4 ^ 2 / 2 + u ^ 2), 1e-12)
end)

test("scatter_that_is_seen_counts_when_it_is_more_than_stated", function()
  local r = sy.corner_scales{runs = {car(), car{lf = 152.3}, car{lf = 150.3}}, sd = 0.01}
  -- one wheel of four scatters: sum of squares 2, degrees of freedom 8
  check.near(r.repeatability, math.sqrt(2 / 8), 1e-12)
  check.near(r.sd.rr, math.sqrt(2 / 8 / 3), 1e-12)
end)

test("zeros_are_taken_off_and_their_drift_is_uncertainty", function()
  local r = sy.corner_scales{sd = 0.1, runs = {car{pads = {lf = "A", rf = "B", lr = "C", rr = "D"},
    zero_before = {A = 1, B = 0, C = 0, D = 0}, zero_after = {A = 1.6, B = 0, C = 0, D = 0}}}}
  check.near(r.lf, 150, 1e-10)
  check.near(r.drift, 0.6, 1e-12)
  -- the reading, the mean of two zeros, and all between before and after equally likely
  check.near(r.sd.lf, math.sqrt(0.01 + 0.01 / 2 + 0.36 / 12), 1e-12)
  check.contains(all_notes(r), "the zero moved between before and after: A by +0.60 kg")
  check.near(sy.corner_scales{sd = 0.1, runs = {car{zero_before = 2}}}.mass, 725.1, 1e-10)
end)

test("pads_may_be_numbers", function()
  local r = sy.corner_scales{sd = 0.1, runs = {car{pads = {lf = 1, rf = 2, lr = 3, rr = 4}, zero_before = {[1] = 0.3, [4] = 0.2}}}}
  check.near(r.lf, 151, 1e-10)
  check.near(r.rr, 219, 1e-10)
  check.equal(r.rows[1].pad, "1")
  r = sy.corner_scales{sd = 0.1, gain = {1.01, 1, 1, 1}, runs = {car{pads = {lf = 1, rf = 2, lr = 3, rr = 4}}}}
  check.near(r.lf, 151.3 / 1.01, 1e-10)
  check.near(r.rr, 219.2, 1e-10)
end)

test("gain_comes_from_the_certificate", function()
  local r = sy.corner_scales{runs = {car()}, sd = 0.001, gain = sy.sd(1.01, 0.002)}
  check.near(r.mass, 733.1 / 1.01, 1e-9)
  check.near(sy.corner_scales{runs = {car()}, gain = {lf = 1.01}}.lf, 151.3 / 1.01, 1e-9)
  check.near(r.sd.lf, math.sqrt((0.001 / 1.01) ^ 2 + (151.3 / 1.01 * 0.002 / 1.01) ^ 2), 1e-9)
end)

local swaps = {{lf = "A", rf = "B", lr = "C", rr = "D"}, {lf = "B", rf = "C", lr = "D", rr = "A"}, {lf = "C", rf = "D", lr = "A", rr = "B"},
               {lf = "D", rf = "A", lr = "B", rr = "C"}}

test("swapped_pads_tell_what_they_are_off_by", function()
  local off = {A = 0.6, B = -0.2, C = -0.5, D = 0.1}
  local runs = {}
  for i, pads in ipairs(swaps) do
    runs[i] = {pads = pads}
    for wheel, load in pairs(car()) do runs[i][wheel] = load + off[pads[wheel]] end
  end
  local r = sy.corner_scales{runs = runs, sd = 0.02}
  for wheel, load in pairs(car()) do check.near(r[wheel], load, 1e-9, wheel) end
  for pad, value in pairs(off) do check.near(r.pad[pad], value, 2e-3, pad) end
  check.contains(all_notes(r), "pad A reads 0.60 +-")
  check.contains(all_notes(r), "what all have in common")
  check.near(r.closure, 0, 1e-9)
  -- the order of four pads that go round lets every wheel meet every pad
  check.equal(r.dof, 12)
end)

test("turning_the_car_takes_the_floor_out", function()
  -- 0.4 kg more on each front wheel as it first stands, 0.4 less when turned
  local forward = {lf = 151.7, rf = 149.3, lr = 213.3, rr = 218.8}
  local back = {lf = 150.9, rf = 148.5, lr = 214.1, rr = 219.6, facing = "back"}
  local r = sy.corner_scales{runs = {forward, back}, sd = 0.05}
  check.near(r.front, 300.2, 1e-9)
  check.near(r.floor.front, 0.4, 0.05)
  check.contains(all_notes(r), "more on each front wheel")
  check.equal(r.rows[5].pad, "rr", "the pad on the floor under lf is the one that had rr")
end)

test("part_by_part_wants_blocks", function()
  local runs = {{lf = 151.3, rf = 148.9}, {lr = 213.7, rr = 219.2}}
  local r = sy.corner_scales{runs = runs, sd = 0.2}
  check.near(r.mass, 733.1, 1e-10)
  check.contains(all_notes(r), "must stand as high as the pads")
  for _, run in ipairs(runs) do run.others = "blocks" end
  check.ok(not all_notes(sy.corner_scales{runs = runs, sd = 0.2}):find "must stand as high")
end)

test("totals_that_do_not_close_are_reported", function()
  local runs = {car(), {total = 743, sd = 1}}
  local r = sy.corner_scales{runs = runs, sd = 0.2}
  check.near(r.closure, 9.9, 1e-9)
  check.contains(all_notes(r), "the totals do not close: run 2 says 9.90 kg more than run 1")
  runs[2].total = 734
  r = sy.corner_scales{runs = runs, sd = 0.2}
  check.ok(not all_notes(r):find "do not close")
  check.ok(r.mass > 733.1 and r.mass < 734, "the ticket counts by its weight")
end)

test("tickets_alone_give_axles", function()
  local r = sy.corner_scales{runs = {{front = 300, rear = 440}, {total = 740}}, step = 20}
  check.near(r.front_share, 100 * 300 / 740, 1e-9)
  check.equal(r.left_share, nil)
  check.contains(tostring(r), "front, %")
end)

test("a_plank_is_a_lever", function()
  local runs = {}
  for _, key in ipairs{"lf", "rf", "lr", "rr"} do runs[#runs + 1] = {[key] = 80, pads = {[key] = "bath"}, others = "blocks"} end
  local r = sy.corner_scales{runs = runs, sd = 0.1, plank = {ratio = sy.sd(1.9, 0.019), tare = 5}}
  check.near(r.mass, 4 * 75 * 1.9, 1e-9)
  check.near(r.sd.mass, math.sqrt((4 * 75 * 0.019) ^ 2 + 4 * (0.19) ^ 2), 1e-9, "the ratio errs once for all")
  check.contains(all_notes(r), "through a plank: each reading less 5 kg, times 1.9")
end)

test("a_reading_that_does_not_fit_is_named", function()
  local runs = {}
  for i, pads in ipairs(swaps) do
    runs[i] = car{pads = pads}
  end
  runs[3].rf = runs[3].rf + 3
  local r = sy.corner_scales{runs = runs, sd = {reading = 0.1, offset = 0.2}}
  check.contains(all_notes(r), "rf on pad D (run 3) reads")
end)

test("runs_that_scatter_widen_the_cross_share", function()
  -- friction moves load from one diagonal to the other: four wheels together, not each by itself
  local runs = {}
  for i, d in ipairs{-1, 1, -1, 1} do runs[i] = {lf = 151.3 + d, rf = 148.9 - d, lr = 213.7 - d, rr = 219.2 + d} end
  local r = sy.corner_scales{runs = runs, sd = 0.1}
  local s = 100 * 2 / 733.1 * math.sqrt(4 / 3) / 2 -- of the mean of four shares that are 2 d / mass off
  check.near(r.sd.cross_share, s, 1e-9)
  check.ok(r.sd.front_share < s)
end)

test("wrong_runs_are_refused_by_number", function()
  local function refuse(t, want) check.raises(function() sy.corner_scales(t) end, want) end
  refuse({}, {code = "missing", field = "runs"})
  refuse({runs = {car()}, stp = 1}, {code = "unknown", hint = "step"})
  refuse({runs = {car{lff = 3}}}, {code = "unknown", part = "run 1", hint = "lf"})
  refuse({runs = {car{fl = 3}}}, {code = "clash", part = "run 1"})
  refuse({runs = {car(), {}}}, {code = "missing", part = "run 2"})
  refuse({runs = {{lf = 1, rf = 2, lr = 3}}}, {code = "missing", field = "rr", message = "never weighed"})
  refuse({runs = {car{f = 3}}}, {code = "clash", field = "runs"})
  refuse({runs = {car{lf = "151,3"}}}, {code = "type", part = "run 1", field = "lf", hint = "point"})
  refuse({runs = {car{lf = -3}}}, {code = "range", part = "run 1", field = "lf", message = "which is negative"})
  refuse({runs = {car{front = 300}}}, {code = "clash", part = "run 1", field = "front", message = "a run of its own"})
  refuse({runs = {car{pads = {lf = "A"}}}}, {code = "missing", part = "run 1", field = "pads.rf"})
  refuse({runs = {car{pads = {lf = "A", rf = "B", lr = "A", rr = "C"}}}}, {code = "clash", part = "run 1", field = "pads.lr"})
  refuse({runs = {car{zero_before = {E = 1}}}}, {code = "unknown", part = "run 1", field = "zero_before.E"})
  refuse({runs = {car{facing = "backward"}}}, {code = "unknown", part = "run 1", field = "facing", hint = "back"})
  refuse({runs = {car{others = "stands"}}}, {code = "unknown", part = "run 1", field = "others"})
  refuse({runs = {car()}, gain = 101}, {code = "range", field = "gain", message = "close to 1"})
  refuse({runs = {car()}, plank = {tare = 3}}, {code = "missing", field = "plank.ratio"})
  refuse({runs = {car()}, sd = {read = 1}}, {code = "unknown", hint = "reading"})
  refuse({runs = {{lf = 0, rf = 0, lr = 0, rr = 0}}}, {code = "range", field = "runs", message = "no mass"})
  local crowd = {}
  for i = 1, 17 do crowd[i] = {lf = 1, pads = {lf = "pad " .. i}} end
  crowd[1] = car()
  refuse({runs = crowd}, {code = "range", part = "corner_scales", field = "pads", message = "more than 16"})
  refuse({runs = {car()}, step = 0}, {code = "range", field = "step"})
  refuse({runs = {car(), car{lf = 333.6}}}, {code = "content", part = "run 2", field = "lf", message = "pounds among kilograms?"})
end)

-- ---- files -----------------------------------------------------------------------------------------------------------------

local of = dofile "tests/lua/readings_file.lua"("steelyard.measure.corner_scales.file")

test("a_file_is_reported_by_line", function()
  local function lines(...) return {"sd.reading,0.1", "run,wheel,pad,reading,zero_before,facing", ...} end
  local r = of(lines("1,lf,A,151.3,0.1,", "1,rf,B,148.9,,", "1,lr,C,213.7,,", "1,rr,D,219.2,,"))
  check.near(r.lf, 151.2, 1e-10)
  local function refuse(list, want) check.raises(function() of(list) end, want) end
  refuse(lines("1,lf,A,151.3,,", "3,rf,B,1,,"), {line = 4, field = "run", code = "content"})
  refuse(lines("1,lf,A,151.3,,", "1,fr,B,1,,", "1,ll,B,1,,"), {line = 5, field = "wheel", code = "unknown", hint = "f"})
  refuse(lines("1,lf,A,151.3,,", "1,lf,B,1,,"), {line = 4, field = "wheel", code = "clash"})
  refuse(lines("1,lf,A,151.3,,", "1,,B,1,,"), {line = 4, field = "wheel", code = "missing"})
  refuse(lines("1,lf,A,,,"), {line = 3, field = "reading", code = "missing"})
  refuse(lines("1,lf,A,151.3,,", "1,rf,A,1,,", "1,lr,C,3,,", "1,rr,D,3,,"), {line = 4, field = "pads.rf", code = "clash"})
  refuse(lines("1,lf,A,151.3,,forward", "1,rf,B,1,,back"), {line = 4, field = "facing", code = "clash"})
  refuse(lines("1,lf,A,151.3,,", "1,rf,B,-1,,", "1,lr,C,3,,", "1,rr,D,3,,"), {line = 4, field = "rf", code = "range"})
  refuse({"sd.reading,0.1"}, {field = "runs", code = "missing"})
end)

check.test("readings_without_a_stated_uncertainty_print_plain_digits", function()
  local r = sy.corner_scales{runs = {{lf = 160.2, rf = 165.2, lr = 200.1, rr = 210.4}}}
  check.equal(r.sd.lf, nil)
  check.equal(r.sd.front_share, nil)
  check.ok(not tostring(r):find("+-", 1, true), tostring(r))
  check.contains(tostring(r), "As weighed   (no uncertainty stated)")
  check.contains(tostring(r), "No uncertainty stated: readings count as exact; state sd, or the display's step.")
  local stated = sy.corner_scales{runs = {{lf = 160.2, rf = 165.2, lr = 200.1, rr = 210.4}}, sd = 0.1}
  check.near(stated.sd.lf, 0.1, 1e-6)
  check.contains(tostring(stated), "+- covers 95 %")
end)

check.done()
