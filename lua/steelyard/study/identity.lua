--- What makes two studies the same: the digest of what was asked of which car by which version.
--
-- Part files and shards carry it, so that only what belongs together is joined.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local json = require "steelyard.print.json"

local identity = {}

-- Numbers and words of the settings; an uncertainty by its two numbers.
local function plain(value)
  if type(value) ~= "table" then return value end
  local copy = {}
  for key, entry in pairs(value) do copy[tostring(key)] = plain(entry) end
  return copy
end

-- Numbers by their bits: a thousand of them as texts take longer than the variants they make.
local function of_values(values) return values and core.sha256(core.column_bytes(core.column_of(values), 1, #values)) end

local function of_inputs(s)
  local list = {}
  for j, input in ipairs(s.inputs) do
    list[j] = {name = input.name, kind = input.kind, values = not input.words and of_values(input.values) or nil, words = input.words,
      from = input.from, to = input.to}
  end
  return list
end

local function of_rules(list)
  local shown = {}
  for i, rule in ipairs(list) do
    shown[i] = {quantity = rule.quantity, min = rule.min, max = rule.max, near = rule.near, state = rule.state}
  end
  return shown
end

-- What each variant of a list takes.
local function of_points(s, outer)
  if s.method ~= "list" then return s.points end
  local rows = {}
  for u = 1, outer.n do
    local row = {}
    for k in ipairs(s.outer) do row[k] = outer.columns[k][u] or "as asked" end
    rows[u] = row
  end
  return rows
end

local function names_of(outputs)
  local list = {}
  for i, out in ipairs(outputs) do list[i] = out.name end
  return list
end

-- The car's own numbers say what was done to it: totals do not depend on the history of its edits.
local function of_car(car)
  local c = contents.inside(car)
  return {sources = c.shared.spec.sources and core.sha256(table.unpack(c.shared.spec.sources)) or nil, changes = contents.changes(c),
          heading = car:heading(), totals = core.answers(c.now, c.geometry, {"mass", "cg.x", "cg.y", "cg.z", "inertia.xx", "inertia.yy",
                                                                              "inertia.zz", "inertia.xy", "inertia.xz", "inertia.yz"})}
end

--- The digest, 64 hexadecimal digits.
function identity.of(s, outer)
  local rules = {of_rules(s.rules)}
  for _, entry in ipairs(s.states) do rules[#rules + 1] = of_rules(entry.rules) end
  local front = {}
  for i, entry in ipairs(s.front or {}) do front[i] = {s.outputs[entry.out].name, entry.most} end
  return core.sha256(json.encode{car = of_car(s.car), inputs = of_inputs(s), outer = s.outer, outputs = names_of(s.outputs),
    shown = s.shown,
    rules = rules, front = front, method = s.method, seed = s.seed, points = of_points(s, outer), n = outer.n,
    settings = plain(s.settings), uncertainty = s.uncertainty, reduce = s.reduce, version = core.version,
    change = s.change and core.sha256(string.dump(s.change, true)) or nil})
end

return identity
