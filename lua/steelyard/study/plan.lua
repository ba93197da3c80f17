--- What is varied, compiled: the outputs of many variants at once, in C (core/study/plan.h).
--
-- plan.make{car =, inputs =, outputs =, settings =, uncertainty =?, threads =?} (as study/asked.lua has them) -> plan, with
--   covers[name of an output] = true, or a sentence why that output is left to study/answer.lua
--   covers_sd[name] = the same of its standard uncertainty, where `uncertainty` is asked for
--   :run(first, count, points, columns, sds?, summaries?, number?) -> how many variants took a search of their own (core/study/plan.h);
--       points: list of columns by input (of words their numbers), columns and sds: by name of output, filled from `first` on (from 1).
--       summaries: by name, too, what the answers are added to, of variants from `number` on; an output that has one needs no column
--
-- The plan knows no edit. It makes cars by the ordinary ones at a few values of each input, asks them as the outputs are asked, and
-- leaves to C what the numbers of all other cars are. Three things are found out so and not assumed, each by a car made for it: by
-- which function the numbers follow an input (a polynomial, a turn, or a table of its values), which inputs act on one another (then
-- all combinations of their nodes are made), and that the whole agrees with cars at places of which no node knows. Where it does not,
-- the output is left out.
--
-- Cases: words (states, swaps) have no values between them, so each combination is compiled for itself; an empty tank has no liquid that
-- runs, so it is one, too. And while wheels stand where the file has them springs stay as set, else they are set anew with all edits
-- aboard (car/drawn.lua): that makes two cases of each.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local drawn = require "steelyard.car.drawn"
local held_liquid = require "steelyard.file.held_liquid"
local nodes_of = require "steelyard.study.nodes"
local question = require "steelyard.study.question"
local variants = require "steelyard.study.variants"

local plan = {}
local Plan = {}
Plan.__index = Plan

local MOST_CASES = 256 -- compiled each for itself
local MOST_TRIED = 2000 -- cars of one term
local MOST_TOGETHER = 8 -- inputs that act on one another, as the core takes them
local MOST_VARIED = 64
-- Of the size of a number: rounding leaves some 1e-15, but ledgers keep lengths to a whole picometre, and a place may rest on a few.
local NOTHING = 4e-12
local SD_SINGLY = "has an uncertainty that is worked out for one car at a time"
local CHECKS = 3 -- cars made to prove a case

-- ---- cars -------------------------------------------------------------------------------------------------------------------

local Declined = {}
local function decline(why) error(setmetatable({why = why}, Declined), 0) end

-- The sentence of an error that says why there is no plan; any other is a mistake of the program.
local function why_of(err)
  if type(err) == "table" and err.why and getmetatable(err) == Declined then return err.why end
  if getmetatable(err) ~= core.error_metatable then error(err, 0) end
  return err.message
end

-- Insides of cars by values, and what the core is asked about each for each group; the newest are kept.
local function maker(s)
  local make, kept = variants.new{car = s.car, inputs = s.inputs, settings = s.settings}, {}
  return function(values)
    local key = string.pack(("n"):rep(#values), table.unpack(values))
    local found = kept[key]
    if not found then
      local fine, car, settings = pcall(make, values)
      if not fine then decline("has a variant that there is not: " .. why_of(car)) end
      found = {c = contents.inside(car), settings = settings, asked = {}}
      kept[key] = found
    end
    return found
  end
end

local function asked(found, group)
  local a = found.asked[group]
  if a == nil then
    a = group.ask(found.c, found.settings) or false
    found.asked[group] = a
  end
  return a
end

local function with(values, i, value)
  local copy = table.move(values, 1, #values, 1, {})
  copy[i] = value
  return copy
end

-- ---- compiling one group in one case ------------------------------------------------------------------------------------------

local function try(p, found, group)
  local a = asked(found, group)
  if not a then decline "cannot be asked of every variant" end
  local fine, why = p:try(a)
  if not fine then decline(why) end
end

local function misses(p, found, group, values)
  local a = asked(found, group)
  if not a then decline "cannot be asked of every variant" end
  return p:miss(values, a) > NOTHING
end

-- All combinations of the factors' nodes, the last fastest, over `base`.
local function combinations(base, factors, visit)
  local function go(f, values)
    local factor = factors[f]
    if not factor then return visit(values) end
    for _, node in ipairs(factor) do go(f + 1, with(values, factor.input, node)) end
  end
  go(1, base)
end

local function add_term(p, work, group, factors)
  local count = 1
  for _, factor in ipairs(factors) do count = count * #factor end
  if count > MOST_TRIED or #factors > MOST_TOGETHER then decline(("needs %d cars to be compiled"):format(count)) end
  combinations(work.base, factors, function(values) try(p, work.make(values), group) end)
  p:term(factors)
end

-- The input alone, by the first way that holds at values between its nodes.
local function factor_of(p, work, group, i)
  for _, factor in ipairs(work.ways[i]) do
    p:clear()
    add_term(p, work, group, {factor})
    local proved = true
    for _, probe in ipairs(factor.proof or {}) do
      local values = with(work.base, i, probe)
      proved = proved and not misses(p, work.make(values), group, values)
    end
    if proved then return factor end
  end
  decline(("follows %s by no function that is known"):format(work.names[i]))
end

-- Sets of inputs that act on one another, as lists of their factors.
local function together(p, work, group, factors)
  p:clear()
  for _, factor in ipairs(factors) do add_term(p, work, group, {factor}) end
  local leader = {}
  for k in ipairs(factors) do leader[k] = k end
  local function find(k) return leader[k] == k and k or find(leader[k]) end
  for a = 1, #factors do
    for b = a + 1, #factors do
      if find(a) ~= find(b) then
        local one, other = factors[a], factors[b]
        local values = with(with(work.base, one.input, one[#one]), other.input, other[#other])
        if misses(p, work.make(values), group, values) then leader[find(b)] = find(a) end
      end
    end
  end
  local sets, by_leader = {}, {}
  for k, factor in ipairs(factors) do
    local set = by_leader[find(k)]
    if not set then
      set = {}
      by_leader[find(k)], sets[#sets + 1] = set, set
    end
    set[#set + 1] = factor
  end
  return sets
end

-- A repeatable choice of places where the whole is tried.
local function check(p, work, group)
  local seed = 12345
  local function draw()
    seed = (seed * 1103515245 + 12345) % 2147483648
    return seed / 2147483648
  end
  for _ = 1, CHECKS do
    local values = table.move(work.base, 1, #work.base, 1, {})
    for i, domain in pairs(work.domains) do values[i] = nodes_of.within(domain, draw()) end
    if misses(p, work.make(values), group, values) then decline "does not come out as the ordinary edits have it" end
  end
end

-- Does the vehicle lack in this case what the question needs, whatever the values are?
local function never_asked(work, group)
  for i, ways in pairs(work.ways) do
    for _, node in ipairs(ways[1]) do
      if asked(work.make(with(work.base, i, node)), group) then return false end
    end
  end
  return true
end

local function compile(work, group)
  local first = asked(work.make(work.base), group)
  if not first then
    if never_asked(work, group) then return false end
    decline "cannot be asked of every variant"
  end
  local p, known, with_sd = core.plan(group.sets, first, group.names, work.uncertain and group.sets[1] == "balance")
  local factors = {}
  for i in ipairs(work.base) do
    if work.ways[i] then factors[#factors + 1] = factor_of(p, work, group, i) end
  end
  local sets = together(p, work, group, factors)
  p:clear()
  for _, set in ipairs(sets) do add_term(p, work, group, set) end
  if #factors > 0 then check(p, work, group) end
  return p, known, with_sd
end

-- ---- cases ----------------------------------------------------------------------------------------------------------------------

local function holds_level(c, input)
  for _, route in ipairs(input.found and input.found.routes or {}) do
    local node = c.shared.nodes[c.base:item(route).number]
    if node and held_liquid.has_level(node) then return true end
  end
  return false
end

local function is_reset(c)
  local _, reset = drawn.ledger(c)
  return reset
end

-- The value of an input that leaves the wheels where the file has them; nil of one that never moves them.
local function stands_at(self, input, i, domain)
  if input.words or input.kind == "setting" or not (input.found and (input.found.axle or input.found.axles)) then return nil end
  local c = contents.inside(self.s.car)
  if is_reset(c) then return nil end
  local function reset_at(value)
    local values = table.move(self.as_is, 1, #self.as_is, 1, {})
    values[i] = value
    return is_reset(self.make_some(values))
  end
  if not (reset_at(domain.low) or reset_at(domain.high)) then return nil end
  local at = input.kind == "move" and 0 or input.found.axle and c.axles[input.found.axle][input.way]
  if type(at) ~= "number" or reset_at(at) then return 0 / 0 end -- none: every value counts as moved
  return at
end

local EMPTY, FILLED = 1, 2 -- of a tank that may be either

-- Combinations of words, the last fastest.
local function each_case(words, visit)
  local function go(k, chosen)
    if k > #words then return visit(chosen) end
    for value = 1, words[k].count do go(k + 1, with(chosen, k, value)) end
  end
  go(1, {})
end

-- Does another input than i move wheels whatever its value is? Then i may be at any value, also where by itself it would leave them as
-- filed.
local function moved_anyway(self, i)
  for _, wheel in ipairs(self.wheels) do
    if wheel.input ~= i and not nodes_of.has(self.domains[wheel.input], wheel.stands) then return true end
  end
  return false
end

-- What one case is compiled from. moved: with wheels elsewhere than filed; nil where none move.
local function work_of(self, chosen, moved, uncertain)
  local work = {base = {}, ways = {}, domains = {}, names = {}, make = self.make, uncertain = uncertain}
  for i, input in ipairs(self.s.inputs) do
    work.names[i] = input.name
    local stands, domain = self.stands[i], self.domains[i]
    local choice = chosen[self.word_of[i]]
    if input.words then
      work.base[i] = choice
    elseif choice == EMPTY then
      work.base[i] = 0.0
    elseif stands and moved == false then
      work.base[i] = stands
    else
      if moved and moved_anyway(self, i) then stands = nil end
      local ways, left = nodes_of.ways(self.kinds[i], domain, choice and 0.0 or stands, choice ~= nil or #self.wheels == 1)
      if not ways[1] then decline(("follows %s by no function that is known"):format(input.name)) end
      for _, way in ipairs(ways) do way.input = i end
      work.base[i] = ways[1][1]
      if left.low < left.high then work.ways[i], work.domains[i] = ways, left end
    end
  end
  return work
end

local function reachable(self, moved)
  for i, input in ipairs(self.s.inputs) do
    local stands = self.stands[i]
    if stands and moved == false and not nodes_of.has(self.domains[i], stands) then return false end
    if stands and moved and not nodes_of.is_only(self.domains[i], stands) and input then return true end
  end
  return moved ~= true
end

local function compile_group(self, group, uncertain)
  local plans, known, with_sd = {}, nil, nil
  each_case(self.words, function(chosen)
    for _, moved in ipairs(#self.wheels > 0 and {false, true} or {self}) do
      local p = false
      if moved == self then moved = nil end
      if moved == nil or reachable(self, moved) then
        local answers, sds
        p, answers, sds = compile(work_of(self, chosen, moved, uncertain), group)
        known, with_sd = known or answers, with_sd or sds
      end
      plans[#plans + 1] = p
    end
  end)
  return plans, known, with_sd
end

-- ---- making ----------------------------------------------------------------------------------------------------------------------

local states_of_line = {field = true, fill = true, level = true}

local function prepare(self)
  local s = self.s
  self.words, self.word_of, self.wheels, self.stands, self.domains, self.kinds = {}, {}, {}, {}, {}, {}
  local cases, c = 1, contents.inside(s.car)
  for i, input in ipairs(s.inputs) do
    if not input.words then self.domains[i] = nodes_of.domain(input, s.points and s.points[i]) end
    self.kinds[i] = input.kind
    if input.kind == "fill" and holds_level(c, input) then self.kinds[i] = "level" end
    if input.kind == "field" and (input.found == nil or input.found.axle) then self.kinds[i] = "number" end
    local empties = self.kinds[i] == "level" and nodes_of.has(self.domains[i], 0)
    if c.measured and states_of_line[self.kinds[i]] then self.kinds[i] = "statement" end
    local count = input.words and #input.words or empties and FILLED
    if count then
      self.words[#self.words + 1] = {input = i, count = count, empty = empties or nil}
      self.word_of[i], cases = #self.words, cases * count
    end
  end
  if cases > MOST_CASES then return ("%d combinations of words are too many to be compiled"):format(cases) end
  if #s.inputs > MOST_VARIED then return ("%d inputs are too many to be compiled"):format(#s.inputs) end
end

local function find_wheels(self)
  local make = variants.new{car = self.s.car, inputs = self.s.inputs, settings = self.s.settings}
  local nothing = {}
  for i = 1, #self.s.inputs do nothing[i] = false end
  self.as_is = nothing
  self.make_some = function(values)
    local some = {}
    for i, value in ipairs(values) do some[i] = value or nil end
    return contents.inside((make(some)))
  end
  for i, input in ipairs(self.s.inputs) do
    local stands = self.domains[i] and stands_at(self, input, i, self.domains[i])
    if stands then
      self.stands[i] = stands
      self.wheels[#self.wheels + 1] = {input = i, stands = stands}
    end
  end
end

--- See above.
function plan.make(s)
  local self = setmetatable({s = s, covers = {}, covers_sd = {}, spec = {sets = {}}, threads = s.threads}, Plan)
  local groups, why = question.groups(s.outputs)
  for i, out in ipairs(s.outputs) do self.covers[out.name] = why[i] or "is not known of this car" end
  local function refuse(sentence)
    for i, out in ipairs(s.outputs) do self.covers[out.name] = why[i] or sentence end
    return self
  end
  if s.change then return refuse "is worked out for one car at a time, since a function changes it" end
  local too_much = prepare(self)
  if too_much then return refuse(too_much) end
  self.make = maker(s)
  find_wheels(self)
  for _, group in ipairs(groups) do
    local fine, plans, known, with_sd = pcall(compile_group, self, group, s.uncertainty)
    if not fine and s.uncertainty then -- covariances follow a fill, say, by higher powers than sums do
      why_of(plans)
      fine, plans, known, with_sd = pcall(compile_group, self, group, false)
    end
    if fine then
      local entry = {plans = plans, outputs = {}, dear = group.sets[1] ~= "balance"}
      for k, i in ipairs(group.outputs) do
        local name = s.outputs[i].name
        self.covers[name] = known and known[k] or "is worked out for one car at a time"
        self.covers_sd[name] = with_sd and with_sd[k] or SD_SINGLY
        if known and known[k] then entry.outputs[#entry.outputs + 1] = name end
      end
      if #entry.outputs > 0 then table.insert(self.spec.sets, entry) end
    else
      local sentence = why_of(plans)
      for _, i in ipairs(group.outputs) do self.covers[s.outputs[i].name] = sentence end
    end
  end
  self.make, self.make_some = nil, nil -- the cars go
  self.spec.words, self.spec.wheels = self.words, self.wheels
  return self
end

-- Variants that a thread takes at a time: as many as are worth its while, some 50 us, and no more than leave each thread several.
local MOST_TAKEN, LEAST_TAKEN, LEAST_OF_BALANCE = 2048, 16, 2048

local function taken(self, count)
  if self.block then return self.block end
  local least = LEAST_OF_BALANCE
  for _, set in ipairs(self.spec.sets) do
    if set.dear then least = LEAST_TAKEN end
  end
  return math.max(least, math.min(MOST_TAKEN, count // (4 * (self.threads or 1))))
end

--- See above. How many threads work and what each takes at a time may stand in plan.threads and plan.block; no result depends on them.
function Plan:run(first, count, points, columns, sds, summaries, number)
  self.spec.threads, self.spec.block = self.threads, taken(self, count)
  return core.plan_run(self.spec, first, count, points, columns, sds, summaries, number)
end

return plan
