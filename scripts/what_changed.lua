--- What changed between two or more files, and what did each change do?
-- Step: keep
-- Usage: steelyard what_changed OLD NEW [NEWER ...] [--state NAME] [--by QUANTITY] [--renamed OLD=NEW,...] [--dates DATE,...]

local sy = require "steelyard"

local o = sy.options{
  about = "Parts added, removed, moved or weighed again, each with its share of the change, the largest first; the lines add up to the "
    .. "whole change. With more than two files: the trend, a row a file, dated by file names such as mycar-2026-03-14.lua.",
  usage = "what_changed OLD NEW [NEWER ...] [--state NAME] [--by QUANTITY] [--renamed OLD=NEW,...] [--dates DATE,...]",
  prints = "result", plots = true,
  examples = {
    'steelyard what_changed vehicles/history/sedge-2024-01-18.lua vehicles/history/sedge-2024-03-14.lua --state "race start"',
    'steelyard what_changed vehicles/history/sedge-2024-01-18.lua vehicles/history/sedge-2024-02-15.lua '
      .. 'vehicles/history/sedge-2024-03-14.lua --state "race start" --by height --plot changes.svg'},
  args = {{"old", "vehicle file"}, {"new", "later vehicle files", many = true}},
  options = {
    state = {"NAME", "load state of all files"},
    by = {"QUANTITY", "what the largest change is judged by", default = "front_share",
      choices = {"mass", "front_share", "left_share", "height", "yaw_inertia"}},
    renamed = {"OLD=NEW,...", "the answer to a question about renamed parts", list = true},
    dates = {"DATE,...", "a date for each file, where their names have none", list = true}},
}
local function usage(message) require("steelyard.core").fail{code = "usage", message = message} end
if #o.new == 1 and o.dates then usage "--dates goes with three files or more" end
if #o.new > 1 and o.renamed then usage "--renamed goes with two files" end
local renamed = {}
for _, pair in ipairs(o.renamed or {}) do
  local old, new = pair:match "^%s*(.-)%s*=%s*(.-)%s*$"
  if not old then usage(("--renamed takes OLD=NEW, not %q"):format(pair)) end
  renamed[old] = new
end
if #o.new == 1 then
  sy.out(o, sy.changes(o.old, o.new[1], {state = o.state, by = o.by, renamed = renamed}))
else
  local files = table.move(o.new, 1, #o.new, 2, {o.old})
  sy.out(o, require("steelyard.answers.changes.trend").of(files, {state = o.state, by = o.by, dates = o.dates}))
end
