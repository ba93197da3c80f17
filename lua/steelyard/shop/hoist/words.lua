--- What is said of something on a hoist, on its page and on its picture.

local text = require "steelyard.print.text"

local words = {}

words.CAUTION = "Eye bolts lose rating off their axis; ratings of tackle, boom and eyes are the maker's. Nobody under the load. See how "
  .. "the car stands without it (car:stands) before the last bolt comes out. Arithmetic, not permission: local codes and licensed "
  .. "practice decide."

local function turned(degrees, sd, plus, minus)
  local shown = text.fixed(math.abs(degrees), 1)
  if not shown:find "[1-9]" and sd == 0 then return "level" end
  return ("%s %s"):format(text.way(degrees, 1, plus, minus), text.plus_minus(math.abs(degrees), sd, 1))
end

--- How it hangs: "nose up 0.6 +- 0.9, right side up 1.7 +- 1.1 deg".
function words.attitude(result)
  local pitch = turned(result.pitch, result.sd.pitch, "nose up", "nose down")
  local roll = turned(result.roll, result.sd.roll, "left side up", "right side up")
  if pitch == "level" and roll == "level" then return "as it stands now" end
  if roll == "level" then return pitch .. " deg" end
  if pitch == "level" then return roll .. " deg" end
  return ("%s, %s deg"):format(pitch, roll)
end

local function how_to_fit(result)
  local lines, fit = {}, result.fit
  if #result.legs == 1 then
    lines[1] = fit.move_point and ("To hang as it is to be fitted its point belongs %s."):format(fit.move_point)
      or "It hangs as it is to be fitted."
  elseif result.hook_shift then
    local lengths = {}
    for i, length in ipairs(fit.lengths) do lengths[i] = text.fixed(length, 0) end
    lines[1] = ("To hang as it is to be fitted the hook belongs %s of where it is: legs of %s mm."):format(result.hook_shift,
      text.join(lengths))
  else
    lines[1] = "It hangs as it is to be fitted."
  end
  if fit.off and fit.off >= 0.5 then
    lines[#lines + 1] = ("Even so it is %s deg off: %s cannot hold it straight where these points are."):format(text.fixed(fit.off, 1),
      text.count(#result.legs, "leg"))
  end
  return lines
end

--- Sentences behind the table of legs.
function words.sentences(result)
  local lines = {}
  if result.chosen and #result.legs > 1 then lines[#lines + 1] = "Legs were not given: these hang it as it is to be fitted." end
  if not result.chosen then table.move(how_to_fit(result), 1, 2, #lines + 1, lines)
  elseif #result.legs == 1 then lines[#lines + 1] = how_to_fit(result)[1]
  elseif result.fit.off and result.fit.off >= 0.5 then lines[#lines + 1] = how_to_fit(result)[2] end
  if result.shared then
    lines[#lines + 1] = "Four legs pull so only when equally tight: a stiff load may hang on two of them, so choose each for half of it "
      .. "(common practice)."
  end
  if result.boom_margin then lines[#lines + 1] = ("Margin to the boom's rating: %s kg."):format(text.fixed(result.boom_margin, 1)) end
  return lines
end

--- Of a single leg that we chose ourselves: its length changes nothing.
function words.length(result, leg) return result.chosen and #result.legs == 1 and "any" or text.fixed(leg.length, 0) end

--- What a leg is besides what it pulls: "refused", "steep" or nothing.
function words.remark(leg)
  return leg.slack and "" or leg.status == "fail" and "refused" or leg.status == "near" and "steep" or ""
end

return words
