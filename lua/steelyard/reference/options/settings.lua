--- Rows of the settings that studies and searches take: those of the calls on springs, each once. See options.lua for what a row says.

local springs = require "steelyard.reference.options.springs"

local left_out = {["against?"] = true, ["measured?"] = true} -- of car:attitude: not numbers

--- Adds them to the rows of a call.
return function(rows)
  local taken = {}
  for _, set in ipairs{"corners", "attitude", "transfer", "stability"} do
    for i = 2, #springs[set] do
      local row = springs[set][i]
      if not taken[row[1]] and not left_out[row[1]] then
        taken[row[1]], rows[#rows + 1] = true, {row[1], row[2], row[3], "as that call has it", row[5]}
      end
    end
  end
end
