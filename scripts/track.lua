--- How has the car come to be what it is, from its first file to its last?
-- Step: keep
-- Usage: steelyard track FOLDER|FILE ... [--state NAME] [--car TITLE] ... [--date FILE=DATE] ... [--skip] [--by QUANTITY] [--lines N]

local sy = require "steelyard"
local core = require "steelyard.core"

local o = sy.options{
  about = "Dated vehicle files as one history: the car in each, the greatest lines of what changed from each to the next, and what scales "
    .. "said in between. A file is of the date that it states, else of that in its name, mycar-2026-03-14.lua, else of its last record "
    .. "of the car as it is. --plot draws mass, front share, CG height and cross weight on one axis of dates: a page for the meeting.",
  usage = "track FOLDER|FILE ... [--state NAME] [--car TITLE] ... [--date FILE=DATE] ... [--skip] [--by QUANTITY] [--lines N]",
  prints = "history", plots = true,
  examples = {'steelyard track vehicles/history --car sedge --state "race start"',
    'steelyard track vehicles/history vehicles/sedge.lua --car sedge --state "race start" --plot sedge.svg'},
  args = {{"paths", "folders of vehicle files, and files", many = true}},
  options = {
    state = {"NAME", "load state of all files"},
    car = {"TITLE", "which car, by its title or how that begins; again for one that has changed its name", again = true},
    date = {"FILE=DATE", "when a file is from that does not say so; once for each", again = true, field = "dates"},
    skip = {nil, "leave out what cannot be read, has no date or not the state, and say so"},
    by = {"QUANTITY", "what the greatest lines are judged by", default = "front_share",
      choices = {"mass", "front_share", "left_share", "height", "yaw_inertia"}},
    lines = {"N", "lines of a step that are named", default = 3, number = true, whole = true, min = 0}},
}
local dates = {}
for _, pair in ipairs(o.date or {}) do
  local file, date = pair:match "^(.-)=([^=]*)$"
  if not file then core.fail{code = "usage", message = ("--date takes FILE=DATE, not %q"):format(pair)} end
  dates[file] = date
end
sy.out(o, sy.track(o.paths, {state = o.state, car = o.car, dates = dates, skip = o.skip, by = o.by, lines = o.lines}))
