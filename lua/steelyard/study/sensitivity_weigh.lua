--- What to weigh or measure next, as a page of its own and in a sentence.
--
-- weigh.document(r, o) -> what the command weigh_next prints: {names, values, sd, weigh_next, left, ...}; r: of sy.sensitivity
-- weigh.sentences(r, s) -> list

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local made = require "steelyard.study.made"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local weigh = {}

local SAID = 3 -- lines in a sentence
local METRE, LEAST = 1000, 50 -- mm: nearer to the CG is at it

local function unit_of(out) return out.unit ~= "" and " " .. out.unit or "" end

local function half_width(sd, decimals) return text.plus_minus(0, sd, decimals):match "%+%-.*" or "+- 0" end

local function name_of(entry)
  if entry.field == "place" then return entry.name .. " (place)" end
  if entry.field == "whole" then return entry.name .. " (whole)" end
  return entry.field == "dry_mass" and entry.name .. " (empty)" or entry.name
end

local function done_to(s, entry)
  local tape = entry.with == "tape"
  return ("%s %s"):format(text.plain(tape and s.tape or s.scale), tape and "mm" or "kg")
end

-- "front share 42.46 +- 0.37 %, CG height 343 +- 3 mm"
local function answers(s, r, sd)
  local list = {}
  for i, out in ipairs(s.outputs) do
    list[i] = ("%s %s%s"):format(out.label, text.plus_minus(r.quantities[out.name].value, sd[out.name], out.change), unit_of(out))
  end
  return table.concat(list, ", ")
end

-- ---- the page ----------------------------------------------------------------------------------------------------------------

local function piece_of(s, line)
  if not line.route or line.whole then return nil end
  return loading.piece(s.c.now, s.c.now:item(line.route))
end

-- How it is known now, 95 %: a mass with what it is, a place by its worst coordinate.
local function known_now(s, line, entry)
  local half = half_width(line.sigma, line.unit == "kg" and 1 + s.more.kg or 0)
  if entry.field == "place" then return half .. " mm" end
  local piece = piece_of(s, line)
  if line.unit ~= "kg" or entry.field == "dry_mass" or not piece then return ("%s %s"):format(half, line.unit) end
  return text.plus_minus(piece.mass, line.sigma, 1 + s.more.kg) .. " kg"
end

local words = {forward = {"ahead", "behind"}, back = {"behind", "ahead"}, left = {"left", "right"},
               right = {"right", "left"}, up = {"above", "below"}, down = {"below", "above"}}

-- Where it lies from the CG, by the largest of its three distances.
local function place_words(s, line)
  if not line.route then return nil end
  local t, cg = core.item_totals(s.c.now, s.c.geometry, line.route), core.balance(s.c.now, s.c.geometry).cg
  local best, way = 0, nil
  for _, letter in ipairs{"x", "y", "z"} do
    local off = t.cg and t.cg[letter] and t.cg[letter] - cg[letter] or 0
    if math.abs(off) > math.abs(best) + 1e-6 then best, way = off, s.c.shared.spec.axes[letter] end
  end
  if not way or math.abs(best) < LEAST then return nil end
  return ("%s m %s"):format(text.fixed(math.abs(best) / METRE, 2), words[way][best > 0 and 1 or 2])
end

local function why(s, line, entry)
  local parts = {}
  if entry.field == "place" then
    local piece = piece_of(s, line)
    parts[1] = piece and ("%s kg"):format(text.fixed(core.item_totals(s.c.now, s.c.geometry, line.route).mass, 1)) or nil
  else
    parts[1] = line.basis
  end
  parts[#parts + 1] = place_words(s, line)
  return table.concat(parts, "; ")
end

local function then_heading(out) return ("%s%s then"):format(out.label, out.unit ~= "" and ", " .. out.unit or "") end

local function step_table(r, s)
  local headings, rows = {{"", "%s"}, {"weigh or measure", "%s"}, {"known now", "%s"}, {"to", "%s"}}, {}
  for i, out in ipairs(s.outputs) do headings[4 + i] = {then_heading(out), "%s"} end
  headings[#headings + 1] = {"share, %", "%s"}
  headings[#headings + 1] = {"why; where from the CG", "%s"}
  for i, entry in ipairs(r.weigh_next) do
    local line = s.lines[entry]
    local row = {text.plain(i), name_of(entry), known_now(s, line, entry), done_to(s, entry)}
    for _, out in ipairs(s.outputs) do row[#row + 1] = half_width(entry.after[out.name], out.change) end
    row[#row + 1], row[#row + 2] = text.fixed(entry.share, 1), why(s, line, entry)
    rows[i] = row
  end
  return text.table(headings, rows)
end

local numbers = {"One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten"}

local function lines_of(r)
  local seen, count, share = {}, 0, 0
  for _, entry in ipairs(r.weigh_next) do
    if not seen[entry.path .. "\0" .. entry.name] then count = count + 1 end
    seen[entry.path .. "\0" .. entry.name] = true
    share = share + entry.share
  end
  return count, share
end

local function summary(r, s)
  local count, share = lines_of(r)
  local last = r.weigh_next[#r.weigh_next]
  local of = #s.outputs > 1 and "mean variance" or ("variance of the %s"):format(s.outputs[1].label)
  return ("%s of %s %s %s %% of the %s; with %s done: %s."):format(numbers[count] or text.plain(count), text.count(r.lines, "line"),
    count == 1 and "carries" or "carry", text.fixed(share, 0), of, count == 1 and "it" or "all of them", answers(s, r, last.after))
end

local function all_done(r, s)
  return ("Every line weighed to %s kg and measured to %s mm where that is better: %s."):format(text.plain(r.scale), text.plain(r.tape),
    answers(s, r, r.left))
end

local NOTHING = "Nothing weighed to %s kg or measured to %s mm would be known better."

local function weigh_lines(r, s)
  local lines = {page.heading(("%s: %s"):format(r.heading, answers(s, r, r.sd)))}
  if r.weigh_next[1] then
    lines[#lines + 1] = step_table(r, s)
    lines[#lines + 1] = summary(r, s)
    lines[#lines + 1] = all_done(r, s)
  else
    lines[#lines + 1] = NOTHING:format(text.plain(r.scale), text.plain(r.tape))
  end
  return lines
end

--- See above.
function weigh.document(r)
  local s = made.from[r].s
  local values, unit = {}, {}
  for name, q in pairs(r.quantities) do values[name], unit[name] = q.value, q.unit end
  return page.result("weigh_next", {names = r.names, values = values, unit = unit, sd = r.sd, weigh_next = r.weigh_next, left = r.left,
    scale = r.scale, tape = r.tape, lines = r.lines, notes = r.notes}, s.car, weigh_lines(r, s))
end

-- ---- in a sentence ---------------------------------------------------------------------------------------------------------------

local function step_words(s, entry)
  local list = {}
  for i, out in ipairs(s.outputs) do
    list[i] = ("%s %s%s"):format(out.label, half_width(entry.after[out.name], out.change), unit_of(out))
  end
  return ("%s to %s (%s)"):format(text.name(name_of(entry)), done_to(s, entry), table.concat(list, ", "))
end

--- See above.
function weigh.sentences(r, s)
  local list = {}
  if not r.weigh_next[1] then return list end
  for i = 1, math.min(SAID, #r.weigh_next) do list[i] = step_words(s, r.weigh_next[i]) end
  local more = #r.weigh_next - #list
  return {("Weigh next: %s%s."):format(table.concat(list, "; then "), more > 0 and ("; %d more help"):format(more) or ""), all_done(r, s)}
end

return weigh
