--- sy.corner_scales{runs =, ...}: wheel loads from readings of scales, as many ways as people weigh cars; see options/scales.lua.

local core = require "steelyard.core"
local given = require "steelyard.measure.corner_scales.given"
local measurement = require "steelyard.measure.measurement"
local wheel_loads = require "steelyard.measure.wheel_loads"
local notes_of = require "steelyard.measure.corner_scales.notes"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local corner_scales = {}
local Corners = require("steelyard.reference.results").kind "corner_scales"

local EXACT_KG = 1e-6 -- stands for no uncertainty at all: a milligram

-- ---- repeats ----------------------------------------------------------------------------------------------------------------

-- Readings of the same wheels on the same pad, facing the same way, are repeats of each other: their mean counts. Rounding to the
-- display's step is the same error in all of them, so it does not shrink with their number.
local function repeats_of(runs)
  local groups, by = {}, {}
  for i, run in ipairs(runs) do
    for _, r in ipairs(run.list) do
      local key = ("%s %s %d"):format(r.key, r.pad, r.facing)
      local g = by[key]
      if not g then
        g = {key = r.key, pad = r.pad, facing = r.facing, wheels = r.wheels, list = {}, runs = {}}
        by[key], groups[#groups + 1] = g, g
      end
      g.list[#g.list + 1], g.runs[#g.runs + 1] = r, i
    end
  end
  local squares, dof = 0, 0
  for _, g in ipairs(groups) do
    local sum = 0
    g.alike = true
    for _, r in ipairs(g.list) do sum, g.alike = sum + r.net, g.alike and r.net == g.list[1].net end
    g.net = sum / #g.list
    for _, r in ipairs(g.list) do squares = squares + (g.alike and 0 or (r.net - g.net) ^ 2) end
    dof = dof + #g.list - 1
  end
  return groups, dof > 0 and math.sqrt(squares / dof) or nil, dof
end

-- Standard uncertainty of a group's mean: scatter (stated, or seen where that is more) over the root of their number; the step over
-- the root of 12 (JCGM 100:2008, 4.3.7), the zero that moved and the plank's tare once.
local function add_uncertainties(groups, repeatability)
  for _, g in ipairs(groups) do
    local scatter, once = 0, 0
    g.stated = repeatability ~= nil and repeatability > 0
    for _, r in ipairs(g.list) do
      scatter = math.max(scatter, r.said or 0, repeatability or 0)
      once = math.max(once, ((r.step or 0) ^ 2) / 12 + r.tare ^ 2 + r.moved ^ 2)
      g.stated = g.stated or r.said ~= nil and r.said > 0 or r.step ~= nil
    end
    local zeros = g.list[1].zeros > 0 and scatter ^ 2 / g.list[1].zeros or 0 -- the zeros are read with the same scatter
    g.sd = math.sqrt((scatter ^ 2 + zeros) / #g.list + once)
    if not (g.sd > 0) then g.sd = EXACT_KG end
  end
end

-- ---- pads ---------------------------------------------------------------------------------------------------------------------

-- How much pads differ where wheels stood on several: the standard deviation of their offsets, no less than the readings' own uncertainty.
local function seen_offsets(groups)
  local by_wheel, lists, squares, dof, own = {}, {}, 0, 0, 0
  for _, g in ipairs(groups) do
    local list = by_wheel[g.key]
    if not list then
      list = {}
      by_wheel[g.key], lists[#lists + 1] = list, list
    end
    list[#list + 1] = g
  end
  for _, list in ipairs(lists) do
    local sum = 0
    for _, g in ipairs(list) do sum = sum + g.net end
    for _, g in ipairs(list) do
      squares = squares + (g.net - sum / #list) ^ 2
      if #list > 1 then own = math.max(own, g.sd) end
    end
    dof = dof + #list - 1
  end
  return dof > 0 and math.max(own, math.sqrt(squares / dof)) or nil
end

local function pads_of(ctx, groups)
  local pads, by = {}, {}
  local seen = seen_offsets(groups)
  for _, g in ipairs(groups) do
    local pad = by[g.pad]
    if not pad then
      local gain, gain_sd = given.gain_of(ctx, g.pad)
      pad = {name = g.pad, under = {}, count = 0, zeroed = true, gain_sd = gain_sd / gain, drift = nil}
      by[g.pad], pads[#pads + 1] = pad, pad
    end
    if not pad.under[g.key] then pad.under[g.key], pad.count = true, pad.count + 1 end
    for _, r in ipairs(g.list) do
      pad.zeroed = pad.zeroed and r.zeros > 0
      if r.drift and math.abs(r.drift) >= math.abs(pad.drift or 0) then pad.drift = r.drift end
    end
    g.index = by[g.pad]
  end
  table.sort(pads, function(a, b) return core.before(a.name, b.name) end)
  for i, pad in ipairs(pads) do
    pad.index = i
    pad.swapped = pad.count > 1 and #pads > 1
    pad.offset_sd = ctx.sd.offset or pad.swapped and seen or 0
  end
  return pads
end

-- ---- the answer -----------------------------------------------------------------------------------------------------------------

local function problem_of(ctx, groups, pads)
  local p = {wheels = {}, pads = {}, readings = {}, ratio_sd = ctx.plank and ctx.plank.ratio_sd / ctx.plank.ratio or 0}
  local facing = {}
  for i, key in ipairs(ctx.layout.keys) do p.wheels[i] = {front = ctx.layout[key][1], left = ctx.layout[key][2]} end
  for i, pad in ipairs(pads) do p.pads[i] = {offset_sd = pad.offset_sd, gain_sd = pad.gain_sd} end
  for i, g in ipairs(groups) do
    p.readings[i] = {wheels = g.wheels, pad = g.index.index, facing = g.facing, load = g.net, sd = g.sd}
    if #ctx.layout.keys == 4 and ctx.layout.lf and g.wheels & (g.wheels - 1) == 0 then facing[g.facing] = true end
  end
  p.slopes = facing[1] and facing[-1] or false
  return p
end

-- Weights over the wheels for a quantity, and the weights of what it is a share of.
local function weights(layout, choose)
  local a = {}
  for i, key in ipairs(layout.keys) do a[i] = choose(key, layout[key][1], layout[key][2]) end
  return a
end

local function linear(a, fit)
  local value, variance, n = 0, 0, #a
  for i = 1, n do
    value = value + a[i] * fit.loads[i]
    for k = 1, n do variance = variance + a[i] * a[k] * fit.cov[(i - 1) * n + k] end
  end
  return value, math.sqrt(math.max(variance, 0))
end

local function add_sums(result, layout, fit)
  local function set(name, choose) result[name], result.sd[name] = linear(weights(layout, choose), fit) end
  set("mass", function() return 1 end)
  set("front", function(_, front) return front == 1 and 1 or 0 end)
  set("rear", function(_, front) return front == -1 and 1 or 0 end)
  for _, key in ipairs(layout.keys) do
    if not result[key] then set(key, function(k) return k == key and 1 or 0 end) end
  end
  local one = weights(layout, function() return 1 end)
  local function share(name, choose, of, scale)
    local value, u = core.ratio(weights(layout, choose), of or one, fit.loads, fit.cov)
    result[name], result.sd[name] = scale * value, scale * u
  end
  share("front_share", function(_, front) return front == 1 and 1 or 0 end, nil, 100)
  if #layout.keys == 2 or layout.axles then return end
  set("left", function(_, _, left) return (1 + left) / 2 end)
  set("right", function(_, _, left) return (1 - left) / 2 end)
  share("left_share", function(_, _, left) return (1 + left) / 2 end, nil, 100)
  if #layout.keys ~= 4 or not layout.lf then return end
  share("cross_share", function(_, front, left) return front ~= left and 1 or 0 end, nil, 100)
  share("diagonal_ratio", function(_, front, left) return front ~= left and 1 or 0 end,
    weights(layout, function(_, front, left) return front == left and 1 or 0 end), 1)
end

-- Springs and tyres settle a little differently each time the car rolls on, and that goes from one diagonal to the other: the errors
-- of the four wheels belong together, and the scatter of whole runs tells what they do to the cross weight.
local function widen_cross_share(result, ctx, fit, pads)
  local shares, offset = {}, {}
  for i, pad in ipairs(pads) do offset[pad.name] = fit.offsets[i] end
  for _, run in ipairs(ctx.runs) do
    if run.keys.lf and run.keys.rf and run.keys.lr and run.keys.rr then
      local cross, whole = 0, 0
      for _, r in ipairs(run.list) do
        local load = r.net - offset[r.pad]
        whole = whole + load
        if r.key == "rf" or r.key == "lr" then cross = cross + load end
      end
      shares[#shares + 1] = 100 * cross / whole
    end
  end
  local n, sum, squares = #shares, 0, 0
  if n < 2 or not result.cross_share then return end
  for _, s in ipairs(shares) do sum = sum + s end
  for _, s in ipairs(shares) do squares = squares + (s - sum / n) ^ 2 end
  local seen = math.sqrt(squares / (n - 1) / n)
  if seen > result.sd.cross_share then
    -- diagonal_ratio = share / (1 - share)
    result.sd.diagonal_ratio = result.sd.diagonal_ratio * seen / result.sd.cross_share
    result.sd.cross_share = seen
  end
end

-- Totals of the whole car, each way it was weighed: runs that hold all of it, and the parts together.
local function closure_of(ctx, groups)
  local all, totals, parts = (1 << #ctx.layout.keys) - 1, {}, {}
  for i, run in ipairs(ctx.runs) do
    if run.bits == all then
      local total = {name = run.name or "run " .. i, value = 0, variance = 0}
      for _, r in ipairs(run.list) do
        for _, g in ipairs(groups) do
          if g.key == r.key and g.pad == r.pad and g.facing == r.facing then total.variance = total.variance + g.sd ^ 2 end
        end
        total.value = total.value + r.net
      end
      totals[#totals + 1] = total
    else
      parts[#parts + 1] = run
    end
  end
  local bits, total = 0, {name = "the parts together", value = 0, variance = 0}
  for _, g in ipairs(groups) do
    local partly = false
    for _, run in ipairs(parts) do
      for _, r in ipairs(run.list) do partly = partly or r.key == g.key and r.pad == g.pad and r.facing == g.facing end
    end
    if partly and bits & g.wheels == 0 then
      bits, total.value, total.variance = bits | g.wheels, total.value + g.net, total.variance + g.sd ^ 2
    end
  end
  if bits == all then totals[#totals + 1] = total end
  if #totals < 2 then return nil end
  local low, high = totals[1], totals[1]
  for _, t in ipairs(totals) do
    if t.value < low.value then low = t end
    if t.value > high.value then high = t end
  end
  return {gap = high.value - low.value, sd = math.sqrt(low.variance + high.variance), low = low.name, high = high.name}
end

local function rows_of(fit, groups, exact)
  local rows = {}
  for i, g in ipairs(groups) do
    rows[i] = {what = g.key, pad = g.pad, facing = g.facing == -1 and "back" or "forward", repeats = #g.list, load = g.net,
               residual = fit.rows[i].residual, sigmas = not exact and fit.rows[i].sigmas or nil, sd = {load = g.stated and g.sd or 0},
               runs = g.runs}
  end
  return rows
end

-- What comes of EXACT_KG is not an uncertainty: nothing was stated. 100: a hundredth of a gram, below what any pad shows, above sums of a
-- few readings.
local function forget_exact(sd)
  for key, value in pairs(sd) do
    if type(value) == "number" and value < 100 * EXACT_KG then sd[key] = nil end
  end
end

-- What is asked of the core: what was read, its groups, its pads and the problem.
local function laid_out(t, own)
  local ctx = given.read(t, own)
  local groups, repeatability, dof = repeats_of(ctx.runs)
  add_uncertainties(groups, repeatability)
  local pads = pads_of(ctx, groups)
  return ctx, groups, pads, problem_of(ctx, groups, pads), repeatability, dof
end

local function square_of(n)
  local list = {}
  for i = 1, n * n do list[i] = 0 end
  return list
end

local function add_outer(list, by, factor)
  local n = #by
  for i = 1, n do
    for k = 1, n do list[(i - 1) * n + k] = list[(i - 1) * n + k] + by[i] * by[k] * factor end
  end
end

-- What one kilogram more of each group of readings does to the loads: the fit is linear in what was read.
local function effects_of(ctx, groups, problem, fit)
  local effects = {}
  local scale = ctx.plank and ctx.plank.ratio or 1 -- a bias is what the scale shows, not the wheel behind a plank
  for at in ipairs(groups) do
    local reading = problem.readings[at]
    local net, by = reading.load, {}
    reading.load = net + 1
    local moved = core.weigh(problem)
    reading.load = net
    for i in ipairs(ctx.layout.keys) do by[i] = moved.loads[i] - fit.loads[i] end
    effects[at] = {by = by, net = net, scale = scale}
  end
  return effects
end

-- What a zero and a gain that all pads have in common do to the loads: errors of all four at once, which the fit does not know.
local function add_common(ctx, groups, problem, fit, common)
  if (common.bias_sd or 0) == 0 and (common.gain_sd or 0) == 0 then return end
  local bias, gain = {}, {}
  for i in ipairs(ctx.layout.keys) do bias[i], gain[i] = 0, 0 end
  for _, e in ipairs(effects_of(ctx, groups, problem, fit)) do
    for i in ipairs(bias) do bias[i], gain[i] = bias[i] + e.by[i] * e.scale, gain[i] + e.by[i] * e.net end
  end
  add_outer(fit.cov, bias, (common.bias_sd or 0) ^ 2)
  add_outer(fit.cov, gain, (common.gain_sd or 0) ^ 2)
end

-- What the scatter of whole runs adds to the cross weight, as a variance of kg on one wheel that goes from one diagonal to the other.
local function warp_variance(ctx, fit, pads, layout)
  local cross = {sd = {}}
  add_sums(cross, layout, fit)
  local own = cross.sd.cross_share
  if not own then return 0 end
  widen_cross_share(cross, ctx, fit, pads)
  return (cross.sd.cross_share ^ 2 - own ^ 2) * (cross.mass / 200) ^ 2
end

-- Adds that to the covariance of the loads, row by row.
local function add_warp(list, ctx, fit, pads)
  local warp, across = warp_variance(ctx, fit, pads, ctx.layout), {}
  if warp <= 0 then return end
  for i, key in ipairs(ctx.layout.keys) do across[i] = ctx.layout[key][1] * ctx.layout[key][2] end
  add_outer(list, across, warp)
end

--- The same of a car. own: its wheels or axles where sy.corner_scales does not know them by their names, {keys = {...}, [key] = {front,
-- left}, axles = true of axles}, see given.lua; nil where it does. common: {bias_sd =, gain_sd =} of what all pads have in common,
-- kg and 1.
function corner_scales.of_car(t, own, common)
  local ctx, groups, pads, problem, repeatability, dof = laid_out(t, own)
  local fit = core.weigh(problem)
  if common then add_common(ctx, groups, problem, fit, common) end
  local whole = 0
  for _, load in ipairs(fit.loads) do whole = whole + load end
  if not (whole > 0 and whole < math.huge) then
    measurement.refuse("corner_scales", "runs", "range", "add up to no mass a car could have")
  end
  local exact = false
  for _, g in ipairs(groups) do exact = exact or not g.stated end
  local result = {title = ctx.title, state = ctx.state, rows = rows_of(fit, groups, exact), repeatability = repeatability, dof = fit.dof,
                  chi2 = not exact and fit.chi2 or nil, p = not exact and fit.p or nil, pad = {}, sd = {pad = {}}}
  add_sums(result, ctx.layout, fit)
  widen_cross_share(result, ctx, fit, pads)
  for i, pad in ipairs(pads) do
    if pad.offset_sd > 0 then result.pad[pad.name], result.sd.pad[pad.name] = fit.offsets[i], fit.offset_sd[i] end
    if pad.drift then result.drift = math.max(result.drift or 0, math.abs(pad.drift)) end
  end
  if exact then forget_exact(result.sd) end
  local closure = closure_of(ctx, groups)
  result.closure, result.sd.closure = closure and closure.gap, closure and closure.sd
  result.floor = problem.slopes and {front = fit.slope_front, left = fit.slope_left} or nil
  if not exact then
    local covariance = table.move(fit.cov, 1, #fit.cov, 1, {})
    add_warp(covariance, ctx, fit, pads)
    wheel_loads.note_covariance(result, ctx.layout.keys, covariance)
  end
  result.heading = (result.title and result.title .. ", " or "") .. result.state
  result.notes = notes_of.list{ctx = ctx, groups = groups, pads = pads, fit = fit, result = result, closure = closure, dof = dof,
                               exact = exact}
  return setmetatable(result, Corners)
end

--- sy.corner_scales.
function corner_scales.of(t) return corner_scales.of_car(t) end

--- What each error of the readings does to the loads: {keys, loads, covariance, bias = {[pad or ""] = {kg by key for one kg}}, gain = the
-- same for a relative error of one}; "" is what all pads have in common. covariance: in the order of keys, of what is not the instrument's:
-- repeatability, step, moved zeros, scatter of runs.
function corner_scales.response(t, own)
  local ctx, groups, pads, problem = laid_out(t, own)
  local fit, n = core.weigh(problem), #ctx.layout.keys
  local r = {keys = ctx.layout.keys, loads = {}, covariance = {}, bias = {[""] = {}}, gain = {[""] = {}}}
  local list = square_of(n)
  for i, key in ipairs(r.keys) do r.loads[key], r.bias[""][key], r.gain[""][key] = fit.loads[i], 0, 0 end
  for at, e in ipairs(effects_of(ctx, groups, problem, fit)) do
    local g = groups[at]
    r.bias[g.pad], r.gain[g.pad] = r.bias[g.pad] or {}, r.gain[g.pad] or {}
    for i, key in ipairs(r.keys) do
      for _, name in ipairs{"", g.pad} do
        r.bias[name][key] = (r.bias[name][key] or 0) + e.by[i] * e.scale
        r.gain[name][key] = (r.gain[name][key] or 0) + e.by[i] * e.net
      end
    end
    add_outer(list, e.by, g.sd ^ 2)
  end
  add_warp(list, ctx, fit, pads)
  for i = 1, n do r.covariance[i] = table.move(list, (i - 1) * n + 1, i * n, 1, {}) end
  return r
end

-- ---- printing -----------------------------------------------------------------------------------------------------------------

local function shown(r, key) return r[key] and measurement.shown(r[key], r.sd[key], 1) or "" end

local wheels_known = {lf = true, rf = true, lr = true, rr = true, f = true, r = true, front = true, rear = true}

-- Wheels or axles of another car, in the order of their first rows.
local function list_table(r)
  local rows, seen = {}, {}
  for _, row in ipairs(r.rows) do
    if r[row.what] and not seen[row.what] then rows[#rows + 1], seen[row.what] = {row.what, shown(r, row.what)}, true end
  end
  rows[#rows + 1] = {"all", shown(r, "mass")}
  return text.table({{"", "%s"}, {"kg", "%s"}}, rows)
end

local function load_table(r)
  for _, row in ipairs(r.rows) do
    if not wheels_known[row.what] and row.what ~= "total" then return list_table(r) end
  end
  if r.lf and r.rr then
    return text.table({{"kg", "%s"}, {"left", "%s"}, {"right", "%s"}, {"axle", "%s"}}, {
      {"front", shown(r, "lf"), shown(r, "rf"), shown(r, "front")}, {"rear", shown(r, "lr"), shown(r, "rr"), shown(r, "rear")},
      {"side", shown(r, "left"), shown(r, "right"), shown(r, "mass")}})
  end
  if not r.left then
    return text.table({{"", "%s"}, {"kg", "%s"}}, {{"front", shown(r, "front")}, {"rear", shown(r, "rear")}, {"all", shown(r, "mass")}})
  end
  local one_in_front = r.f ~= nil
  return text.table({{"kg", "%s"}, {"left", "%s"}, {"middle", "%s"}, {"right", "%s"}, {"axle", "%s"}}, {
    {"front", shown(r, "lf"), one_in_front and shown(r, "f") or "", shown(r, "rf"), shown(r, "front")},
    {"rear", shown(r, "lr"), not one_in_front and shown(r, "r") or "", shown(r, "rr"), shown(r, "rear")},
    {"all", "", "", "", shown(r, "mass")}})
end

local function row_table(r)
  if r.dof == 0 then return nil end
  local rows = {}
  for i, row in ipairs(r.rows) do
    rows[i] = {row.what, row.pad, row.facing, row.repeats, text.fixed(row.load, 2), text.signed(row.residual, 2),
               row.sigmas and text.signed(row.sigmas, 1) or "-"}
  end
  return text.table({{"wheel", "%s"}, {"pad", "%s"}, {"car faces", "%s"}, {"readings", "%d"}, {"net, kg", "%s"},
    {"off the fit, kg", "%s"}, {"in sigmas", "%s"}}, rows)
end

local share_names = {{"front_share", "front, %", 2}, {"left_share", "left, %", 2}, {"cross_share", "right front and left rear, %", 2},
                     {"diagonal_ratio", "that over the other diagonal", 3}}

function Corners.__tostring(r)
  local heading = r.sd.mass and page.heading or page.exact_heading
  local lines = {heading((r.heading:gsub("^%l", string.upper))), load_table(r)}
  local rows = {}
  for _, share in ipairs(share_names) do
    if r[share[1]] then rows[#rows + 1] = {share[2], measurement.shown(r[share[1]], r.sd[share[1]], share[3])} end
  end
  lines[#lines + 1] = text.table({{"", "%s"}, {"", "%s"}}, rows)
  local table_of_rows = row_table(r)
  if table_of_rows then lines[#lines + 1] = "\n" .. table_of_rows .. "\n" end
  return page.of(r, lines)
end

return corner_scales
