--- The page of a study: a row a variant, or a map of two inputs; of many variants the best and the worst alone.

local page = require "steelyard.print.page"
local made = require "steelyard.study.made"
local shards = require "steelyard.study.shards"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local words_of = require "steelyard.study.words"

local printed = {}

local MOST_ROWS = 60      -- on a page; of more the ends are shown
local SHOWN_AT_AN_END = 6
local MOST_SORTED = 20000 -- of more variants those with the extreme answers are shown: the study knows them
local MOST_ACROSS = 16    -- columns of a map

-- What a page is made from: the result and how it came about; n: variants there are.
local function work_of(r)
  local from = made.from[r]
  return {r = r, a = from.a, outer = from.outer, stores = from.stores, tally = from.tally, n = r.n_done or r.n}
end

local function heading_of(out) return out.unit ~= "" and ("%s, %s"):format(out.label, out.unit) or out.label end

local function shown(out, value, sd)
  if not value then return "unknown" end
  return sd and text.plus_minus(value, sd, out.decimals) or text.fixed(value, out.decimals)
end

-- ---- how a variant stands to its limits ------------------------------------------------------------------------------------

local function bounds_text(rule, unit)
  local behind = unit ~= "" and " " .. unit or ""
  if rule.min and rule.max then return ("%s to %s%s"):format(text.plain(rule.min), text.plain(rule.max), behind) end
  return (rule.max and "<" or ">") .. text.plain(rule.max or rule.min) .. behind
end

-- The least distance of variant i to the bounds of a rule, below 0 outside, and on which side; nil where it is not known.
local function margin_of(w, rule, i)
  local low = (w.a.folds and w.stores.lowest or w.stores.values)[rule.out][i]
  local high = (w.a.folds and w.stores.highest or w.stores.values)[rule.out][i]
  if not (low and high) then return nil end
  local below, above = rule.min and low - rule.min or math.huge, rule.max and rule.max - high or math.huge
  if below <= above then return below, "under" end
  return above, "over"
end

-- What margins of a rule are counted in: what the value itself is uncertain by, or a twentieth of the limit.
local function size_of(w, rule)
  local sd = w.a.asked_sd[w.a.outputs[rule.out].name]
  if sd and sd > 0 then return text.K95 * sd end
  return math.max(math.abs(rule.min or 0), math.abs(rule.max or 0), 1e-9) / 20
end

-- The rule that decides the word of variant i, with its margin: the one that is broken most or that has least to spare. What is judged in a
-- state of its own is not at hand here.
local function deciding(w, i)
  local best, margin, side, least = nil, nil, nil, math.huge
  for _, rule in ipairs(w.a.rules) do
    if rule.out then
      local by, where = margin_of(w, rule, i)
      if by and by / size_of(w, rule) < least then best, margin, side, least = rule, by, where, by / size_of(w, rule) end
    end
  end
  return best, margin, side
end

-- The one rule that the heading of the verdicts states: that of the study, or the only one.
local function heading_rule(w)
  local of_study, count = nil, 0
  for _, rule in ipairs(w.a.rules) do
    if rule.from == "study" then of_study, count = rule, count + 1 end
  end
  if count == 1 then return of_study end
  return #w.a.rules == 1 and w.a.rules[1].out and w.a.rules[1] or nil
end

local function verdict_cell(w, i)
  local word = w.r.verdict[i]
  local rule, margin, side = deciding(w, i)
  if word == "unknown" and heading_rule(w) then -- what is known of the limit that was asked about
    local inside = margin_of(w, heading_rule(w), i)
    if not inside then return "unknown" end
    return ("unknown  %s inside"):format(text.fixed(inside, w.a.outputs[heading_rule(w).out].decimals))
  end
  local broken = margin and margin < 0
  if not rule or word == "unknown" or broken ~= (word == "fail") then return verdicts.mark[word] end
  local out = w.a.outputs[rule.out]
  local name = rule ~= heading_rule(w) and out.label .. " " or ""
  return ("%s  %s%s %s"):format(verdicts.mark[word], name, text.fixed(math.abs(margin), out.decimals), broken and side or "inside")
end

-- ---- columns ---------------------------------------------------------------------------------------------------------------

-- Does a limit of the study itself judge the output? Of those of the file none is asked about in particular.
local function limited(w, o)
  local any = false
  for _, rule in ipairs(w.a.rules) do
    if rule.from == "study" and rule.out == o then return true end
    any = any or rule.from == "study" and rule.out <= w.a.shown
  end
  return not any and o == 1
end

-- What is folded of an output: what is judged shows where its ends are, the others the range alone.
local function add_folded(w, columns, o)
  local out, r = w.a.outputs[o], w.r
  if limited(w, o) then
    columns[#columns + 1] = {heading_of(out), function(i) return shown(out, r.columns[out.name][i], w.a.uncertainty
      and r.sd[out.name][i]) end}
    for _, which in ipairs{"lowest", "highest"} do
      columns[#columns + 1] = {which, function(i)
        local value = r[which][out.name][i]
        return value and ("%s  %s"):format(shown(out, value), r[which .. "_at"][out.name][i]) or "unknown"
      end}
    end
    return
  end
  columns[#columns + 1] = {heading_of(out), function(i)
    local low, high = r.lowest[out.name][i], r.highest[out.name][i]
    if not low then return "unknown" end
    local from, to = text.fixed(low, out.change), text.fixed(high, out.change)
    return from == to and from or from .. " - " .. to
  end}
end

-- {heading, function(i) -> cell}; the first `fixed` stand in front of every block of a wide table.
local function columns_of(w)
  local columns = {}
  for k, j in ipairs(w.a.outer) do
    local input, column = w.a.inputs[j], w.outer.columns[k]
    columns[k] = {words_of.heading(input), function(i) return words_of.value(input, column[i]) end}
  end
  local fixed = #columns
  if fixed == 0 then columns[1], fixed = {"", function() return "as booked" end}, 1 end
  for o = 1, w.a.shown do
    local out = w.a.outputs[o]
    if w.a.folds then
      add_folded(w, columns, o)
    else
      local column, sds = w.r.columns[out.name], w.a.uncertainty and w.r.sd[out.name]
      columns[#columns + 1] = {heading_of(out), function(i) return shown(out, column[i], sds and sds[i]) end}
    end
  end
  if w.r.verdict then
    local rule = heading_rule(w)
    columns[#columns + 1] = {rule and bounds_text(rule, w.a.outputs[rule.out].unit) or "limits", function(i) return verdict_cell(w, i) end}
  end
  return columns, fixed
end

local function block(columns, numbers, rows)
  local headings, cells = {}, {}
  for k, c in ipairs(numbers) do headings[k] = {columns[c][1], "%s"} end
  for k, i in ipairs(rows) do
    cells[k] = {}
    for m, c in ipairs(numbers) do cells[k][m] = columns[c][2](i) end
  end
  local print_table = require("steelyard.print.table").print
  local narrow = print_table(headings, cells, page.WIDTH)
  local _, breaks = narrow:gsub("\n", "\n")
  if breaks <= #rows + 1 then return narrow end -- headings go on in a second line, cells do not
  return print_table(headings, cells, math.huge)
end

-- As many columns side by side as fit, behind the first ones in every block.
local function blocks(columns, fixed, rows)
  local list, next_column = {}, fixed + 1
  while next_column <= #columns do
    local numbers = {}
    for c = 1, fixed do numbers[c] = c end
    numbers[fixed + 1] = next_column
    local table_shown = block(columns, numbers, rows)
    while numbers[#numbers] < #columns do
      numbers[#numbers + 1] = numbers[#numbers] + 1
      local wider = block(columns, numbers, rows)
      if not page.fits(wider) then
        numbers[#numbers] = nil
        break
      end
      table_shown = wider
    end
    list[#list + 1], next_column = table_shown, numbers[#numbers] + 1
  end
  return list
end

-- ---- rows ------------------------------------------------------------------------------------------------------------------

-- How good a variant is, for the ends of a long list: its word, then what it has to spare; without limits the first output.
local function measure(w, i)
  if not w.r.verdict then return 0, w.r.columns[w.a.outputs[1].name][i] or math.huge end
  local _, margin = deciding(w, i)
  return w.stores.verdict[i], -(margin or -math.huge)
end

-- The first few and the last few in that order, without sorting them all.
local function ends(w)
  local first, last = {}, {}
  local function before(a, b)
    if a[1] ~= b[1] then return a[1] < b[1] end
    if a[2] ~= b[2] then return a[2] < b[2] end
    return a.i < b.i
  end
  local function put(list, entry, is_before)
    local at = #list + 1
    while at > 1 and is_before(entry, list[at - 1]) do at = at - 1 end
    if at > SHOWN_AT_AN_END then return end
    table.insert(list, at, entry)
    list[SHOWN_AT_AN_END + 1] = nil
  end
  for i = 1, w.n do
    local word, spare = measure(w, i)
    local entry = {word, spare, i = i}
    put(first, entry, before)
    put(last, entry, function(a, b) return before(b, a) end)
  end
  local rows = {}
  for k, entry in ipairs(first) do rows[k] = entry.i end
  for k = #last, 1, -1 do rows[#rows + 1] = last[k].i end
  return rows
end

-- The variants with the least and the most of each output.
local function extreme_rows(w)
  local rows, taken = {}, {}
  for o = 1, w.a.shown do
    local sum = w.r.summary[w.a.outputs[o].name]
    for _, i in ipairs(sum and {sum.at_min, sum.at_max} or {}) do
      if not taken[i] then rows[#rows + 1] = i end
      taken[i] = true
    end
  end
  table.sort(rows)
  return rows
end

local function thinned(list)
  if #list <= MOST_ROWS then return list end
  local some = {}
  for k = 0, MOST_ROWS - 1 do some[k + 1] = list[1 + (#list - 1) * k // (MOST_ROWS - 1)] end
  return some
end

-- Numbers of the variants to show, and what they are where that is not all.
local function rows_of(w)
  if w.r.front then
    local first = w.a.outputs[w.a.front[1].out]
    local words = ("The front, along %s: %s of %s."):format(first.label, text.grouped(#w.r.front), text.count(w.n, "variant"))
    return thinned(w.r.front), #w.r.front > MOST_ROWS and words .. (" %d of them are shown."):format(MOST_ROWS) or words
  end
  if w.n <= MOST_ROWS then
    local rows = {}
    for i = 1, w.n do rows[i] = i end
    return rows
  end
  if w.n > MOST_SORTED then return extreme_rows(w), "Those with the least and the most of each:" end
  return ends(w), w.r.verdict and ("The best %d and the worst %d:"):format(SHOWN_AT_AN_END, SHOWN_AT_AN_END)
    or ("The %d with the lowest and the %d with the highest %s:"):format(SHOWN_AT_AN_END, SHOWN_AT_AN_END, w.a.outputs[1].label)
end

-- ---- a map -------------------------------------------------------------------------------------------------------------------

local letters = {pass = "", near = "n", fail = "F", unknown = "u"}

local function is_map(w)
  local shape = w.r.shape
  return shape and w.stores and #shape == 2 and w.a.shown == 1 and not (w.a.folds or w.a.uncertainty or w.r.front or w.r.n_done)
    and shape[1] >= 3 and shape[2] >= 3 and shape[1] <= MOST_ROWS and shape[2] <= MOST_ACROSS
end

-- The table of a map; gap: between a number and its letter.
local function map_table(w, gap)
  local down, across, out = w.a.inputs[w.a.outer[1]], w.a.inputs[w.a.outer[2]], w.a.outputs[1]
  local column, n_across = w.r.columns[out.name], w.r.shape[2]
  local headings, rows = {{words_of.heading(down), "%s"}}, {}
  for k = 1, n_across do headings[k + 1] = {words_of.value(across, across.values[k]), "%s"} end
  for d = 1, w.r.shape[1] do
    rows[d] = {words_of.value(down, down.values[d])}
    for k = 1, n_across do
      local i = (d - 1) * n_across + k
      local letter = w.r.verdict and letters[w.r.verdict[i]] or ""
      rows[d][k + 1] = (column[i] and shown(out, column[i]) or "-") .. (letter ~= "" and gap .. letter or "")
    end
  end
  return require("steelyard.print.table").print(headings, rows, math.huge)
end

local function map(w)
  local roomy = map_table(w, " ")
  local lines = {("%s, across: %s"):format(heading_of(w.a.outputs[1]), words_of.heading(w.a.inputs[w.a.outer[2]])),
                 page.fits(roomy) and roomy or map_table(w, "")}
  if w.r.verdict then lines[3] = "F fails a limit, n is near one, u is not decided." end
  return lines
end

-- ---- the page ----------------------------------------------------------------------------------------------------------------

local function asked_text(w)
  local pieces = {}
  for o = 1, math.min(w.a.shown, 2) do
    local out = w.a.outputs[o]
    local value = w.a.asked[out.name]
    if value then
      pieces[#pieces + 1] = ("%s %s%s"):format(out.label, shown(out, value, w.a.asked_sd[out.name]), out.unit ~= "" and " " .. out.unit
        or "")
    end
  end
  return pieces[1] and ": " .. table.concat(pieces, ", ") or ""
end

-- How many variants there are, folded ones each.
local function all_variants(w) return w.a.n * (w.a.folds and #w.a.folds or 1) end

local function is_empty_shard(w) return w.r.shard and w.tally.n == 0 end

-- "36 variants in 6 rows, each the worst over driver mass and fuel fill: 3 near, 3 FAIL."
local function counted(w)
  local pieces = {}
  for _, word in ipairs{"pass", "near", "unknown", "fail"} do
    local count = w.r.counts and w.r.counts[word] or 0
    if count > 0 then pieces[#pieces + 1] = ("%s %s"):format(text.grouped(count), verdicts.mark[word]) end
  end
  local all = all_variants(w)
  local line = all == 1 and "1 variant" or text.grouped(all) .. " variants"
  if w.a.folds then
    local names = {}
    for k, j in ipairs(w.a.inner) do names[k] = w.a.inputs[j].label end
    line = ("%s in %s, %s worst over %s"):format(line, w.a.n == 1 and "one row" or text.grouped(w.a.n) .. " rows", w.a.n == 1 and "the"
      or "each the",
      text.join(names))
  end
  if is_empty_shard(w) then return shards.empty(w.r.shard, line) end
  if w.r.shard then
    line = ("Shard %d of %d: %s of %s"):format(w.r.shard[1], w.r.shard[2], text.grouped(w.tally.n), line)
  end
  return line .. (pieces[1] and ": " .. table.concat(pieces, ", ") or "") .. "."
end

-- What was not solved side by side.
local function singly(w)
  local count, all = w.r.solved_singly, all_variants(w)
  if count == 0 then return nil end
  return ("Solved singly: %s of %s. There a wheel lifts, a stop is met or liquid runs, or what is asked takes a car of its own."):format(
    text.grouped(count), all == 1 and "1 variant" or text.grouped(all) .. " variants")
end

-- Limits that no heading states.
local function judged_by(w)
  if not w.r.judged or #w.r.judged == 1 and heading_rule(w) and not is_map(w) then return nil end
  local pieces = {}
  for k, rule in ipairs(w.r.judged) do
    pieces[k] = ("%s %s%s"):format(rule.name, bounds_text(rule, ""), rule.state and (" (%s)"):format(rule.state) or "")
  end
  return ("Limits: %s."):format(table.concat(pieces, "; "))
end

-- Of a long list the extremes of each output, and where they are.
local function extremes(w)
  local headings = {{"", "%s"}, {"least", "%s"}, {"variant", "%s"}, {"most", "%s"}, {"variant", "%s"}, {"mean", "%s"}}
  local rows = {}
  for o = 1, w.a.shown do
    local out, sum = w.a.outputs[o], w.r.summary[w.a.outputs[o].name]
    rows[o] = sum and {heading_of(out), shown(out, sum.min), text.plain(sum.at_min), shown(out, sum.max), text.plain(sum.at_max),
                       shown(out, sum.mean)} or {heading_of(out), "unknown", "", "", "", ""}
  end
  return require("steelyard.print.table").print(headings, rows, math.huge)
end

local function has_near(w)
  return w.r.counts and w.r.counts.near > 0
end

--- The page.
function printed.page(r)
  local w = work_of(r)
  local lines = {page.heading(r.heading .. asked_text(w)), counted(w)}
  if is_empty_shard(w) then
    return page.of(r, lines)
  elseif is_map(w) then
    table.move(map(w), 1, 3, #lines + 1, lines)
  elseif w.n > 0 and not w.stores then
    lines[#lines + 1] = extremes(w)
  elseif w.n > 0 then
    local rows, what = rows_of(w)
    if what and what ~= "" then lines[#lines + 1] = what end
    local columns, fixed = columns_of(w)
    if #rows < w.n then
      table.insert(columns, 1, {"variant", function(i) return text.plain(i) end})
      fixed = 1 -- the number alone says which it is
    end
    local list = #rows > 0 and blocks(columns, fixed, rows) or {}
    if #list > 1 and r.verdict then -- the word stands in the first block
      table.insert(columns, #w.a.outer + (#rows < w.n and 2 or 1), table.remove(columns))
      list = blocks(columns, fixed, rows)
    end
    table.move(list, 1, #list, #lines + 1, lines)
    if #rows < w.n and not r.front then lines[#lines + 1] = extremes(w) end
  end
  lines[#lines + 1] = judged_by(w)
  lines[#lines + 1] = singly(w)
  if has_near(w) then lines[#lines + 1] = "near = inside, but by less than its own +- (without one, by less than 5 % of the limit)." end
  return page.of(r, lines)
end

return printed
