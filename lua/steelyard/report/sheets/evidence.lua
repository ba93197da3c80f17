--- The page for an inspection: what was measured, how, on what, with what zeros, of which car and load, what came out and how it was worked
-- out, and what the limits say to it. Only who signs, and when, is left blank.

local aboard = require "steelyard.car.aboard"
local canvas = require "steelyard.draw.canvas"
local contents = require "steelyard.car.contents"
local facts = require "steelyard.report.sheets.evidence_facts"
local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"
local words = require "steelyard.draw.words"

local evidence = {}

local HALF = 60 -- mm that a record keeps together at most

-- Words for a sign: what lies left of the centre by a negative number lies right of it.
local function without_sign(one)
  if one.name ~= "cg_left" or one.value >= 0 then return one end
  return setmetatable({label = "CG right of centre", value = -one.value}, {__index = one})
end

local function shown(one) return words.set(text.plus_minus(one.value, one.half and one.half / text.K95, one.decimals)) end

-- Litres and kilograms, of persons kilograms.
local function load_words(list)
  if not list then return "no person and no tank in the file" end
  local pieces = {}
  for i, entry in ipairs(list) do
    local mass = ("%s kg"):format(text.fixed(entry.mass, 1))
    pieces[i] = ("%s %s"):format(words.name(entry.name), entry.litres and ("%s L, %s"):format(text.fixed(entry.litres, 1), mass) or mass)
  end
  return #pieces > 0 and table.concat(pieces, "; ") or aboard.text(list)
end

local function limit_rows(list)
  local rows = {}
  for i, row in ipairs(list) do
    local function bound(x) return x and words.set(text.plain(x)) or "" end
    rows[i] = {words.name(row.name), row.state and words.name(row.state) or "any", row.unit, bound(row.min), bound(row.max),
      row.value and shown(row) or "unknown", {verdicts.mark[row.status], bold = true, colour = row.status == "fail" and "fail" or nil},
      words.sentence(row.record and ("%s; record %s"):format(row.why, words.name(row.record)) or row.why)}
  end
  return rows
end

local function put_limits(s, found)
  s:section "Limits"
  if #found.limits == 0 then return s:sentences{"the file states no limits"} end
  s:table{columns = {{"limit", left = true, gives = true}, {"state", left = true, gives = true}, {"unit", left = true}, {"from"}, {"to"},
    {"measured"}, {"verdict", left = true}, {"why", left = true, gives = true}}, rows = limit_rows(found.limits)}
end

local function fact_rows(fact)
  local made = fact.instrument
  local rows = {{"method", fact.method}}
  local function add(label, value) if value then rows[#rows + 1] = {label, (words.sentence(value):gsub(" %-(%d)", " −%1"))} end end
  add("instrument", made and words.name(made.name) .. (made.words ~= "" and ": " .. made.words or "")
    or fact.kind ~= "ride heights" and "none named" or nil)
  add("certificate", made and (made.certificate and words.name(made.certificate) or "none stated"))
  add("zeros", fact.zeros)
  add("date in the file", fact.date)
  add("car", fact.stood_in and "as in " .. words.name(fact.stood_in) .. ", an earlier file" or "as in this file")
  add("load state", words.name(fact.state))
  add("aboard", load_words(fact.aboard))
  add("remark", fact.note and words.name(fact.note))
  for _, row in ipairs(rows) do row[1] = {row[1], colour = "grey"} end
  return rows
end

local function put_record(s, fact)
  local said = fact_rows(fact)
  local title = fact.kind == fact.name and fact.name or ("%s: %s"):format(fact.name, fact.kind)
  s:section(words.name(title), math.min(HALF, 4.6 * (#said + #fact.results) + 8))
  s:table{columns = {{"", left = true}, {"", left = true, gives = true}}, rows = said, bare = true}
  local rows = {}
  for i, one in ipairs(fact.results) do
    one = without_sign(one)
    rows[i] = {words.name(one.label), {shown(one), bold = true}, one.unit}
  end
  s:table{columns = {{"measured", left = true}, {"result"}, {"", left = true}}, rows = rows}
  if fact.readings then
    rows = {}
    for i, row in ipairs(fact.readings.rows) do
      rows[i] = {}
      for k, cell in ipairs(row) do rows[i][k] = words.set(words.name(cell)) end
    end
    s:table{columns = fact.readings.columns, rows = rows, size = canvas.sizes.small}
  end
  local working = {}
  for i, sentence in ipairs(fact.working or {}) do working[i] = text.sentence(sentence) end
  s:sentences(working, {colour = "grey"})
end

local function put_signatures(s)
  s:section("Signed", 3 * 7)
  for _, who in ipairs{"measured by", "seen by"} do s:fill{{who, 55}, {"date", 24}, {"signature", 40, rest = true}} end
end

--- Draws it; gives what stands on it as data.
function evidence.draw(s, car, o)
  local c = contents.inside(car)
  local found = facts.of(c, o.state)
  s:sheet{title = "Evidence of measurement", state = words.name(c.shared.spec.title or ""), lines = {
    "Measured facts from the records of the file, and nothing else: what is not measured is not here.",
    "± covers 95 %. " .. "A verdict is arithmetic: pass inside the limit, near inside by less than its own ±."}}
  put_limits(s, found)
  if #found.records == 0 then s:sentences({"No record in the file: nothing was measured."}, {bold = true}) end
  put_signatures(s)
  for _, fact in ipairs(found.records) do put_record(s, fact) end
  local left_out = {}
  for i, sentence in ipairs(found.left_out) do left_out[i] = text.sentence(sentence) end
  s:sentences(left_out, {bold = true})
  return found, found.left_out
end

return evidence
