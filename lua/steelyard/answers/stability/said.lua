--- Sentences of car:stability that its page and its picture share.

local text = require "steelyard.print.text"
local verdicts = require "steelyard.answers.verdicts"

local said = {}

said.CAUTIONS = {
  "Quasi-static: no bump, kerb, soft ground, slide or change of direction is in it. Not a driving limit, and no rating.",
  "A tilt table: nobody in the car, ballast strapped in its place, tanks empty or closed, high voltage isolated, battery tied, loose items "
    .. "out; straps on before it leans, nobody on the low side. Arithmetic, not permission: local codes and licensed practice decide.",
}

--- How the worse side stands to what is required.
function said.verdict(r)
  local what = r.compliant.lift and "The first wheel lifts" or "Rigid, it tips"
  return ("%s %s deg %s the %s deg required, %s side low: %s."):format(what, text.plus_minus(math.abs(r.margin), r.sd.margin, 1),
    r.margin < 0 and "before" or "beyond", text.plain(r.required), r.worse_side, verdicts.mark[r.status])
end

return said
