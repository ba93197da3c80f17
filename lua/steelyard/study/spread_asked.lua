--- What sy.spread was asked, checked: {car, draws, seed, outputs, growth, below, above, groups, to, shard, quiet, replace, threads}.
--
--   outputs  list {name, label, unit, decimals, change, grows, set, answer}; below, above: lists by output, false where nothing is asked
--   groups   list {set =, asked =, names =, outputs = numbers of the outputs}: as core.spread takes them

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local options = require "steelyard.reference.options"
local request_of = require "steelyard.study.request"
local springs = require "steelyard.answers.springs"
local text = require "steelyard.print.text"
local uncertain = require "steelyard.study.uncertain"
local user_values = require "steelyard.file.user_values"

local asked = {}

local MOST_DRAWS = 1 << 34 -- a counter has 32 bits, for four draws each (core/study/random.h)
local MOST_PAD = 500 -- mm; more is a typing error

-- ---- limits ----------------------------------------------------------------------------------------------------------------------

-- Numbers by the name of an output.
local function bounds(request, field, list)
  local given, found = request[field], {}
  if given ~= nil and not user_values.is_plain(given) then
    core.fail{code = "type", field = field, message = "must be a table by quantity", hint = ("as in %s = {mass = 760}"):format(field)}
  end
  local names, number = {}, {}
  for o, out in ipairs(list) do names[o], number[out.name], found[o] = out.name, o, false end
  for name, value in pairs(given or {}) do
    local o = number[name]
    if not o then
      local near = type(name) == "string" and core.nearest(name, names)
      core.fail{code = "unknown", field = field, message = ("%s is not among what is shown"):format(text.named(name)),
                hint = near and ("did you mean %q?"):format(near) or "add it to show"}
    end
    if type(value) ~= "number" or value - value ~= 0 then
      core.fail{code = "type", field = ("%s.%s"):format(field, name), message = ("must be a number, is %s"):format(user_values.what(value))}
    end
    found[o] = value + 0.0
  end
  return found
end

-- ---- sets of answers -----------------------------------------------------------------------------------------------------------------

-- {sd = 0.5}: how well the pads are level with one another, mm, each by itself.
local function pads_of(c, given)
  if given == nil then return nil end
  if not user_values.is_plain(given) then
    core.fail{code = "type", field = "pads", message = "must be {sd = mm}", hint = "as in pads = {sd = 0.5}"}
  end
  for key in pairs(given) do
    if key ~= "sd" then
      local near = type(key) == "string" and core.nearest(key, {"sd"})
      core.fail{code = "unknown", field = "pads", message = ("%s is not an option of pads"):format(text.named(key)),
                hint = near and ("did you mean %q?"):format(near) or "it takes sd, mm"}
    end
  end
  if given.sd == nil then core.fail{code = "missing", field = "pads.sd", message = "is missing", hint = "as in pads = {sd = 0.5}"} end
  local sd = springs.number(given.sd, "mm", "pads.sd", MOST_PAD)
  if sd < 0 then core.fail{code = "range", field = "pads.sd", message = "is below 0"} end
  local list = {}
  for i in ipairs(c.geometry:wheels()) do list[i] = sd end
  return list
end

local function copied(t)
  local copy = {}
  for key, value in pairs(t) do copy[key] = value end
  return copy
end

local stand_on_pads = {corners = true, attitude = true}

-- As the file is asked, standing as the request says.
local function stand(s, set, asked_car)
  if not stand_on_pads[set] or not (s.pads or s.slope) then return asked_car end
  local own = copied(asked_car)
  if s.pads then
    own.pads, own.pads_sd = own.pads or {}, s.pads
    for i in ipairs(s.pads) do own.pads[i] = own.pads[i] or 0 end
  end
  if s.slope then own.slope, own.slope_sd = s.slope, s.slope_sd end
  return own
end

local function groups_of(s)
  local groups = uncertain.groups(s.c, s.outputs, "drawn", function(set, asked_car) return stand(s, set, asked_car) end)
  local uses_pads = false
  for _, group in ipairs(groups) do uses_pads = uses_pads or stand_on_pads[group.set] end
  for _, field in ipairs{"pads", "slope"} do
    if s[field] and not uses_pads then
      core.fail{code = "clash", field = field, message = "does nothing: only corners and attitude stand on pads",
                hint = 'show "corners.lf" or the like'}
    end
  end
  return groups
end

--- See above.
function asked.of(request)
  request_of.check(request, "sy.spread", '{car, draws = 100000, seed = 1, show = {"front_share"}}', options.known("spread", "spread"),
    options.names("spread", "spread"))
  local car = request_of.car(request)
  local c = contents.inside(car)
  require("steelyard.car.loading").need_mass(c)
  local s = {car = car, c = c, draws = request_of.whole(request, "draws", 1, MOST_DRAWS, nil, "100000"),
             seed = request_of.whole(request, "seed", math.mininteger, math.maxinteger, nil, "1"),
             outputs = uncertain.outputs(c, request.show, {call = "sy.spread", done = "drawn"}),
             growth = request_of.flag(request, "growth"), quiet = request_of.flag(request, "quiet"),
             replace = request_of.flag(request, "replace"), to = request.to,
             shard = request.shard ~= nil and require("steelyard.study.shards").read(request.shard) or nil,
             threads = request_of.threads(request)}
  if s.to ~= nil and type(s.to) ~= "string" then
    core.fail{code = "type", field = "to", message = ("must be a path, is %s"):format(user_values.what(s.to))}
  end
  s.below, s.above = bounds(request, "below", s.outputs), bounds(request, "above", s.outputs)
  s.pads = pads_of(c, request.pads)
  s.slope, s.slope_sd = springs.slope(request.slope)
  s.groups = groups_of(s)
  return s
end

return asked
