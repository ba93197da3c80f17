--- Runs: readings taken one after the other with the same zeros. Each has a level load of its own.

local measurement = require "steelyard.measure.measurement"

local runs = {}
local refuse = measurement.refuse

local MOST_RUNS = 32 -- core/measure/cgheight.h

-- Runs that nobody named: up as long as the lift grows, down as long as it falls, another end another run.
local function name_runs(s)
  local going, lifted, before, count = "up", nil, nil, {}
  local name
  for _, entry in ipairs(s.readings) do
    local turned = before and (entry.lift > before and "up" or entry.lift < before and "down") or going
    local other_end = lifted and entry.lift > 0 and entry.lifted ~= lifted
    if not name or turned ~= going or other_end then
      going = turned
      count[going] = (count[going] or 0) + 1
      name = count[going] == 1 and going or ("%s %d"):format(going, count[going])
    end
    if entry.lift > 0 then lifted = entry.lifted end
    before, entry.run = entry.lift, name
  end
end

-- A run of one lift has a level of its own and says nothing: unnamed, it belongs to the run before.
local function join_short(s)
  local lifts, order = {}, {}
  for _, entry in ipairs(s.readings) do
    if not lifts[entry.run] then lifts[entry.run], order[#order + 1] = {count = 0}, entry.run end
    local seen = lifts[entry.run]
    if not seen[entry.lift] then seen[entry.lift], seen.count = true, seen.count + 1 end
  end
  for i, name in ipairs(order) do
    if i > 1 and lifts[name].count < 2 then
      for _, entry in ipairs(s.readings) do
        if entry.run == name then entry.run = order[i - 1] end
      end
      order[i] = order[i - 1]
    end
  end
end

--- Names and numbers the runs of a session: s.runs, and in each reading run (an index) and run_name.
function runs.number(s)
  local named = 0
  for _, entry in ipairs(s.readings) do named = named + (entry.run and 1 or 0) end
  if named == 0 then
    name_runs(s)
    join_short(s)
  elseif named < #s.readings then
    for _, entry in ipairs(s.readings) do
      if not entry.run then refuse(entry.where, "run", "missing", "is missing: other readings have one") end
    end
  end
  local index = {}
  for _, entry in ipairs(s.readings) do
    if not index[entry.run] then
      s.runs[#s.runs + 1] = entry.run
      index[entry.run] = #s.runs
    end
    entry.run_name, entry.run = entry.run, index[entry.run]
  end
  if #s.runs > MOST_RUNS then
    refuse("CG height", "readings", "limit", ("make %d runs, at most %d fit"):format(#s.runs, MOST_RUNS))
  end
end

return runs
