--- What car:perches is asked for, checked; and the same in words.

local core = require "steelyard.core"
local loading = require "steelyard.car.loading"
local options = require "steelyard.reference.options"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"

local given = {}

local holds = {"heights", "front heights", "rear heights", "least turns", "all heights"}

local NOTCH = 0.25 -- turns: what a spanner on a collar can hold (common practice, no source)
local MOST_HEIGHT, MOST_NOTCH, MOST_ROLL = 300, 10, 10 -- mm, turns, deg: more is a typing error
function given.hold(o)
  local hold = o.hold or "heights"
  for _, word in ipairs(holds) do
    if hold == word then return hold end
  end
  local near = core.nearest(tostring(hold), holds)
  core.fail{code = "unknown", field = "hold", message = ("%s is not one of %s"):format(text.named(hold), text.join(holds, "or")),
            hint = near and ("did you mean %q?"):format(near) or nil}
end

-- The same options with cross_weight, the trade's name, under that of the answer.
local function with_cross_weight(o)
  if o.cross_share ~= nil then
    core.fail{code = "clash", field = "cross_weight", message = "means the same as cross_share", hint = "leave one of the two out"}
  end
  local same = {}
  for key, value in pairs(o) do same[key] = value end
  same.cross_share, same.cross_weight = o.cross_weight, nil
  return same
end

-- Shares asked for, in percent.
function given.shares(c, o)
  local shares = {}
  for _, name in ipairs{"cross_share", "front_share", "left_share", "lf_share", "rf_share", "lr_share", "rr_share"} do
    if o[name] ~= nil then
      local share = springs.number(o[name], "%", name)
      if share < 0 or share > 100 then
        core.fail{code = "range", field = name, message = ("is %s %%, must be between 0 and 100"):format(text.plain(share))}
      elseif share > 0 and share <= 1 then
        core.fail{code = "range", field = name, message = ("is %s %%, no car is set so"):format(text.plain(share)),
                  hint = "shares are in per cent: 50, not 0.5"}
      end
      shares[name] = share
    end
  end
  if next(shares) and core.split(c.geometry) ~= "cross weight" then
    local why = core.split(c.geometry) == "determinate" and "three wheels carry what balance gives them, perches set heights only"
      or "shares are set by perches on two axles of two wheels only"
    core.fail{code = "geometry", field = loading.sorted_keys(shares)[1], message = why,
      hint = {"ask for heights = {front = 0, rear = 0}", "ride_height --front MM --rear MM sets heights"}}
  end
  return shares
end

-- Heights asked for, from the drawn ones.
function given.heights(o)
  if o.heights == nil then return nil end
  if type(o.heights) ~= "table" then
    core.fail{code = "type", field = "heights", message = "is a table such as {front = 0, rear = 0}, mm from the drawn heights"}
  end
  local list = {}
  for _, key in ipairs(loading.sorted_keys(o.heights)) do
    if key ~= "front" and key ~= "rear" then
      local near = core.nearest(tostring(key), options.names("springs", "heights"))
      core.fail{code = "unknown", field = "heights", message = ("%s is neither front nor rear"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "they are front and rear"}
    end
    list[key] = springs.number(o.heights[key], "mm", "heights." .. key, MOST_HEIGHT)
  end
  return next(list) and list or nil
end

function given.roll(o)
  if o.roll == nil then return nil end
  return (springs.number(o.roll, "deg", "roll", MOST_ROLL))
end

function given.notch(o)
  if o.notch == nil then return NOTCH end
  local notch = springs.number(o.notch, "", "notch", MOST_NOTCH)
  if notch < 0 then core.fail{code = "range", field = "notch", message = "is below 0; 0 leaves the turns unrounded"} end
  return notch
end

local spoken = {lf_share = "lf share", rf_share = "rf share", lr_share = "lr share", rr_share = "rr share",
                front_share = "front share", left_share = "left share", cross_share = "cross weight"}

--- "cross weight 50 % and lf share 24 %"
function given.words(shares)
  local list = {}
  for _, name in ipairs(loading.sorted_keys(shares)) do
    list[#list + 1] = ("%s %s %%"):format(spoken[name], text.plain(shares[name]))
  end
  return text.join(list)
end

--- The options of a call, checked but for the values.
function given.options(o)
  local known = springs.options("car:perches", o, "perches")
  return known.cross_weight ~= nil and with_cross_weight(known) or known
end

return given
