--- What the pictures of a study share: its inputs as axes, its limits, the words round it.

local canvas = require "steelyard.draw.canvas"
local core = require "steelyard.core"
local quantities = require "steelyard.reference.quantities"
local text = require "steelyard.print.text"
local words = require "steelyard.draw.words"

local studied = {}

--- Inputs that make variants, with their values by variant: {name, unit, kind, words = list or nil, column}.
function studied.inputs(r)
  local folded, list = {}, {}
  for _, name in ipairs(rawget(r, "folded") or {}) do folded[name] = true end
  for _, input in ipairs(r.inputs) do
    local column = r.columns[input.name]
    if column and not folded[input.name] then
      list[#list + 1] = {name = input.name, label = input.label, unit = input.unit or "", kind = input.kind, column = column,
                         words = type(input.values[1]) == "string" and input.values or nil, values = input.values}
    end
  end
  return list
end

--- Refuses one shard of a study or a simulation.
function studied.check_whole(r)
  if rawget(r, "shard") then
    core.fail{code = "unavailable", field = "shard", message = "one shard has no picture", hint = "steelyard merge puts them together"}
  end
end

--- Refuses also what has no variants to draw.
function studied.check(r)
  studied.check_whole(r)
  if #studied.inputs(r) == 0 then
    core.fail{code = "unavailable", field = "vary", message = "a study of one variant has no picture", hint = "vary something"}
  end
end

--- A number, or nil for what is not known.
function studied.known(value) return value and value - value == 0 and value or nil end

--- How many variants there are, also of a study that was stopped.
function studied.count(r) return rawget(r, "n_done") or r.n end

--- A function of a variant's number: its place along an input; of words their numbers. Nil where the car is as booked: 0 of a move.
function studied.places(input)
  local column, numbers = input.column, {}
  for i, word in ipairs(input.words or {}) do numbers[word] = i end
  local none = (input.kind == "move" or input.kind == "turn") and 0 or nil
  return function(i)
    local value = column[i]
    if input.words then return numbers[value] or value end
    if value == nil then return none end
    return studied.known(value)
  end
end

local function with_unit(name, unit) return unit ~= "" and ("%s, %s"):format(name, unit) or name end

local MOST_TICKS, LONGEST_TICK = 7, 6 -- of more values, and of longer numbers, ticks stand at round ones

--- The axis of an input over the places from low to high.
function studied.axis(input, low, high)
  if input.words then
    local ticks = {}
    for i, word in ipairs(input.words) do ticks[i] = {i, word} end
    return {from = 0.6, to = #ticks + 0.4, ticks = ticks, named = true, name = input.label}
  end
  local ticks, long = {}, false
  for _, value in ipairs(#input.values <= MOST_TICKS and input.values or {}) do
    if value >= low and value <= high then ticks[#ticks + 1] = {value, words.set(text.plain(value))} end
    long = long or #text.plain(value) > LONGEST_TICK
  end
  table.sort(ticks, function(a, b) return a[1] < b[1] end)
  local moves = input.kind == "move" or input.kind == "turn"
  local name = with_unit(input.label, input.unit == "litre" and "L" or input.unit)
  if moves and low <= 0 and high >= 0 then name = name .. " (0: as booked)" end
  return {from = low, to = high, exact = true, ticks = ticks[3] and not long and ticks or nil, name = name}
end

--- An output in a sentence: "front share".
function studied.noun(out) return words.noun(out.name, out.label) end

--- The same over a column or an axis: "front share, %".
function studied.heading(out) return with_unit(studied.noun(out), out.unit) end

--- A sentence as a title: a capital in front, no full stop.
function studied.title(said) return (text.sentence(said):gsub("%.$", "")) end

--- "42.46 %"
function studied.value(out, value) return words.set(text.fixed(value, out.decimals), out.unit ~= "" and out.unit or nil) end

--- Are two numbers of an output printed the same?
function studied.same(out, low, high) return text.fixed(low, out.decimals) == text.fixed(high, out.decimals) end

--- "41.55 to 43.07 %", "343 mm"
function studied.range_text(out, low, high)
  local to = studied.value(out, high)
  return studied.same(out, low, high) and to or ("%s to %s"):format(words.set(text.fixed(low, out.decimals)), to)
end

--- Range of a study's numbers of an output: least and greatest, also of what is folded. Nil where none is known.
function studied.range(r, name)
  local low, high = math.huge, -math.huge
  local lowest, highest = rawget(r, "lowest"), rawget(r, "highest")
  for i = 1, studied.count(r) do
    local a = lowest and lowest[name][i] or r.columns[name][i]
    local b = highest and highest[name][i] or r.columns[name][i]
    if studied.known(a) and a < low then low = a end
    if studied.known(b) and b > high then high = b end
  end
  if low <= high then return low, high end
end

--- Limits of a quantity, of rules {quantity, min, max, state}: list of {value, bad = "above" or "below", words}. What is judged in a state
-- of its own is not among them.
function studied.limits(rules, quantity)
  local list, seen = {}, {}
  local function add(value, bad, how)
    local shown = value and ("%s %s"):format(how, words.set(text.plain(value)))
    if shown and not seen[shown] then list[#list + 1], seen[shown] = {value = value, bad = bad, words = shown}, true end
  end
  for _, rule in ipairs(rules or {}) do
    if rule.quantity == quantity and not rule.state then
      add(rule.max, "above", "at most")
      add(rule.min, "below", "at least")
    end
  end
  return list
end

local NEAR = 1      -- times the range of the numbers: a limit farther off is not on the axis
local BEYOND = 0.05 -- of the range: past a limit, for its hatching
local LEAST = 4     -- last printed digits that an axis spans

--- The axis of numbers from low to high printed with so many decimals, wide enough for the limits that are near; and these.
function studied.axis_with(low, high, decimals, limits)
  local least, shown = LEAST * 10.0 ^ -decimals, {}
  local room = math.max(high - low, least)
  local from, to = low, high
  for _, limit in ipairs(limits) do
    if limit.value > low - NEAR * room and limit.value < high + NEAR * room then
      shown[#shown + 1] = limit
      from = math.min(from, limit.value - (limit.bad == "below" and BEYOND * room or 0))
      to = math.max(to, limit.value + (limit.bad == "above" and BEYOND * room or 0))
    end
  end
  return {from = from, to = to, least = least}, shown
end

local BESIDE = 0.62 -- of a wide page: what a heading takes beside its answer

--- "Limits: front share 41 to 43 %; CG height at most 360 mm." in lines, behind those of `lines`.
function studied.add_limits(page, r, lines)
  local list = {}
  for i, rule in ipairs(rawget(r, "judged") or {}) do
    local bounds = rule.min and rule.max and ("%s to %s"):format(text.plain(rule.min), text.plain(rule.max))
      or rule.max and "at most " .. text.plain(rule.max) or "at least " .. text.plain(rule.min)
    local shown = words.set(bounds, rule.unit ~= "" and rule.unit or nil)
    local q = quantities.find(rule.quantity)
    local name = q and q.label == rule.name and words.noun(q.name) or rule.name -- of a study's own limit the label
    list[i] = ("%s %s%s%s"):format(name, shown, rule.state and " in " .. rule.state or "", i < #(rawget(r, "judged")) and ";" or ".")
  end
  local most, line = (page.right - page.left) * (page.narrow and 1 or BESIDE), "Limits:"
  for _, one in ipairs(list) do
    if line ~= "Limits:" and canvas.width_of(line .. " " .. one, canvas.sizes.text) > most then
      lines[#lines + 1] = line
      line = one
    else
      line = line .. " " .. one
    end
  end
  if #list > 0 then lines[#lines + 1] = line end
end

--- Names in a title: all of a few, else the first and how many more.
function studied.some(names, most)
  if #names <= most then return text.join(names) end
  local list = table.move(names, 1, most - 1, 1, {})
  list[most] = ("%d more"):format(#names - most + 1)
  return text.join(list)
end

--- Above a picture: what the car is, and how many variants keep the limits. lines: grey sentences.
function studied.heading_of(r, title, lines, answer)
  answer = answer or {}
  if rawget(r, "counts") then
    local kept, all = text.grouped(math.tointeger(r.feasible)), text.grouped(math.tointeger(studied.count(r)))
    local known = r.counts.unknown > 0 and "known to keep the limits" or "keep the limits"
    answer[#answer + 1] = {known, ("%s of %s"):format(kept, all), colour = r.counts.fail == studied.count(r) and "fail" or nil}
  end
  return {title = studied.title(title), state = r.heading, lines = lines, answer = answer}
end

--- The notes of a result as a picture sets them, after the sentences in `first`.
function studied.notes(r, first)
  local list = first or {}
  for _, note in ipairs(r.notes) do list[#list + 1] = words.sentence(note) end
  return list
end

--- Of more quantities than have a panel: what is said.
function studied.left_out(shown, all)
  return all > shown and {("the first %d of %d quantities are drawn"):format(shown, all)} or {}
end

local MARK = 1.2 -- mm

--- How a variant stands: solid it passes, open it is near a limit, a cross in the warm hue it fails; an open square: not decided.
function studied.mark(p, x, y, verdict)
  local c, at, up = p.canvas, p:x(x), p:y(y)
  if verdict == "fail" then
    local look = {weight = "body", colour = "fail", what = "fail", only_on_paper = true}
    c:line(at - MARK, up - MARK, at + MARK, up + MARK, look)
    c:line(at - MARK, up + MARK, at + MARK, up - MARK, look)
    c:circle(at, up, 0.1, {fill = "fail", mark = "x", what = "variant"})
  elseif verdict == "unknown" then
    local half = 0.8 * MARK
    c:box(at - half, up - half, at + half, up + half, {weight = "body", fill = "white", what = "variant", only_on_paper = true})
    c:circle(at, up, 0.1, {fill = "white", mark = "?"})
  else
    p:dot(x, y, {hollow = verdict == "near", what = "variant"})
  end
end

local says = {pass = "solid: pass", near = "open: inside, by less than its uncertainty", fail = "cross: FAIL",
              unknown = "square: not decided"}

--- Those of the marks that a study has, in words.
function studied.marks_text(r)
  local list, counts = {}, rawget(r, "counts")
  for _, word in ipairs{"pass", "near", "fail", "unknown"} do
    if counts and counts[word] > 0 then list[#list + 1] = says[word] end
  end
  return #list > 0 and text.sentence(table.concat(list, "; ")) or nil
end


return studied
