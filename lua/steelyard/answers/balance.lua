--- car:balance(): mass, CG, axle and wheel loads, inertia.

local core = require "steelyard.core"
local contents = require "steelyard.car.contents"
local figures = require "steelyard.print.figures"
local growth = require "steelyard.answers.growth"
local loading = require "steelyard.car.loading"
local notes = require "steelyard.answers.notes"
local results = require "steelyard.reference.results"
local page = require "steelyard.print.page"
local text = require "steelyard.print.text"

local balance = {}

-- Uncertainties that core.balance does not give are worked out when they are first looked at, most need a pass over all parts. They are
-- all the quantities that the core has of a balance but these.
local early = "mass height cg cg_behind cg_left front rear left right front_share left_share cross_share diagonal_ratio axle "
  .. "lf rf lr rr f r"

local late -- field -> the names behind it, and as a list; a page that is printed asks for none

local function late_names()
  if late then return late end
  late = {}
  local is_early = {}
  for word in early:gmatch "%S+" do is_early[word] = true end
  local function add(name)
    local field = name:match "^[^.]+"
    if is_early[field] then return end
    if not late[field] then late[field], late[#late + 1] = {}, field end
    table.insert(late[field], name)
  end
  for _, q in ipairs(require("steelyard.reference.quantities").list) do
    if q.set == "balance" then add(q.name) end
  end
  for _, part in ipairs{"sprung", "unsprung"} do
    for _, letter in ipairs{"x", "y", "z"} do add(part .. ".cg." .. letter) end
  end
  return late
end

local function work_out(sd, c, field, b)
  if b[field] == nil then return nil end -- no uncertainty without an answer
  local names = late_names()[field]
  local _, values = core.ask("balance", {now = c.now, geometry = c.geometry}, names, true)
  for i, path in ipairs(names) do
    local at, last = sd, path
    for part in path:gmatch "([^.]+)%." do
      if not rawget(at, part) then at[part] = {} end
      at, last = at[part], path:match "[^.]+$"
    end
    local answer = b
    for part in path:gmatch "[^.]+" do answer = answer and answer[part] end
    if answer and values[i] == values[i] then at[last] = values[i] end
  end
  return rawget(sd, field)
end

-- What stands in tables inside the sheet comes with the first of them that is looked at: most sheets of a loop are made for a headline.
local tables = {cg = true, axle = true, inertia = true, lifted = true, sprung = true, unsprung = true, unstated = true}
local of_tables = {cg = true, axle = true} -- those that have an uncertainty

local function add_missing(to, from)
  for key, value in next, from do
    if rawget(to, key) == nil then rawset(to, key, value) end
  end
end

local function add_tables(b, sd)
  local c = getmetatable(sd).car
  local values, uncertainties = core.balance_tables(c.now, c.geometry)
  add_missing(b, values)
  add_missing(sd, uncertainties)
end

-- The metatable of `sd` keeps what they are worked out from.
local function late_uncertainty(sd, field)
  local from = getmetatable(sd)
  if of_tables[field] then
    add_tables(from.balance, sd)
    return rawget(sd, field)
  end
  if not late_names()[field] then return results.check_name("balance", field) end
  return work_out(sd, from.car, field, from.balance)
end

local function all_uncertainties(sd)
  local from = getmetatable(sd)
  if not (rawget(sd, "cg") and rawget(sd, "axle")) then add_tables(from.balance, sd) end
  for _, field in ipairs(late_names()) do
    if not rawget(sd, field) then work_out(sd, from.car, field, from.balance) end
  end
  return next, sd, nil
end

-- What takes longer than the rest comes when it is first looked at.
local limits = function() return require "steelyard.answers.limits" end -- few are asked in a loop

-- The inside of the car that a balance is of.
local function car_of(b) return getmetatable(rawget(b, "sd")).car end

local late_fields = {
  limits = function(b)
    local c = car_of(b)
    return c.shared.spec.limits and limits().of(c, b) or nil
  end,
  status = function(b) return b.limits and limits().status(b.limits) end,
  mass_with_growth = function(b) return growth.total(car_of(b), b.mass) end,
  state = function(b) return loading.title(car_of(b)) end,
  corner_basis = function(b) return notes.corner_basis(car_of(b)) end,
  heading = function(b) return contents.heading(car_of(b)) end,
  notes = function(b) return notes.balance(car_of(b), b) end,
}
for field in pairs(tables) do
  late_fields[field] = function(b)
    add_tables(b, rawget(b, "sd"))
    return rawget(b, field)
  end
end

local Balance = results.kind("balance", nil, late_fields)

local always = {"mass_with_growth", "state", "corner_basis", "heading", "notes", "cg", "axle", "inertia", "lifted", "sprung", "unsprung",
                "unstated"}

-- They are answers, so they are there for all who go through the fields.
function Balance.__pairs(b)
  for _, field in ipairs(always) do local _ = b[field] end
  return next, b, nil
end

--- The result table of design and of `steelyard balance --json`.
function balance.of(c)
  local b = core.headlines(c.now, c.geometry) or loading.need_mass(c)
  setmetatable(b.sd, {__index = late_uncertainty, __pairs = all_uncertainties, car = c, balance = b})
  return figures.keep(setmetatable(b, Balance), c, b.mass)
end

--- Loads of wheels and axles as a two-way table, or a list where there are not two and two. Also for car:corners.
-- heading: what is said of the loads beside them.
function balance.corner_table(b, heading)
  heading = heading or "load, kg"
  local sd, plus, kg = b.sd, text.plus_minus, figures.kg(b, 1)
  if b.lf and b.rf and b.lr and b.rr then
    return text.table({{heading, "%s"}, {"left", "%s"}, {"right", "%s"}, {"both", "%s"}, {"share, %", "%s"}}, {
      {"front", plus(b.lf, sd.lf, kg), plus(b.rf, sd.rf, kg), plus(b.front, sd.front, kg), plus(b.front_share, sd.front_share, 2)},
      {"rear", plus(b.lr, sd.lr, kg), plus(b.rr, sd.rr, kg), plus(b.rear, sd.rear, kg), plus(100 - b.front_share, sd.front_share, 2)},
      {"both", plus(b.left, sd.left, kg), plus(b.right, sd.right, kg), plus(b.mass, sd.mass, kg), ""},
      {"share, %", plus(b.left_share, sd.left_share, 2), plus(100 - b.left_share, sd.left_share, 2), "", ""},
    })
  end
  local rows = {}
  for _, key in ipairs{"f", "lf", "rf", "lr", "rr", "r"} do
    if b[key] then rows[#rows + 1] = {key, plus(b[key], sd[key], kg)} end
  end
  for axle = 1, 8 do
    for _, side in ipairs{"l", "c", "r"} do
      local key = side .. axle
      if b[key] then rows[#rows + 1] = {key, plus(b[key], sd[key], kg)} end
    end
  end
  rows[#rows + 1] = {"front", plus(b.front, sd.front, kg)}
  rows[#rows + 1] = {"rear", plus(b.rear, sd.rear, kg)}
  rows[#rows + 1] = {"front share, %", plus(b.front_share, sd.front_share, 2)}
  rows[#rows + 1] = {"left share, %", plus(b.left_share, sd.left_share, 2)}
  return text.table({{"load, kg", "%s"}, {"", "%s"}}, rows)
end

-- A coordinate of the CG with a word instead of a sign.
local function place_row(mm, sd, decimals, plus, minus)
  return {("CG %s, mm"):format(text.way(mm, decimals, plus, minus)), text.plus_minus(math.abs(mm), sd, decimals)}
end

-- The loads of single wheels then have a +- that leaves out what most of it is.
local function is_cross_assumed(b)
  return b.cross_share ~= nil and contents.is_cross_assumed(car_of(b))
end

function Balance.__tostring(b)
  local sd, plus, kg, mm = b.sd, text.plus_minus, figures.kg(b, 1), figures.mm(b, 0)
  local at_least, kg_m2 = b.points > 0 and "at least " or "", figures.decimals(b, "kg m2", 0)
  local rows = {
    place_row(b.cg_behind, sd.cg_behind, mm, "behind front axle", "ahead of front axle"),
    place_row(b.cg_left, sd.cg_left, mm, "left of centre", "right of centre"),
    {"CG height above ground, mm", plus(b.height, sd.height, mm)},
    {"yaw inertia, kg m2", b.points > 0 and at_least .. text.fixed(b.yaw_inertia, kg_m2) or plus(b.yaw_inertia, sd.yaw_inertia, kg_m2)},
    {"unsprung, kg", text.fixed(b.unsprung.mass, kg)},
  }
  if b.yaw_index then table.insert(rows, 5, {"yaw index k2/(ab)", at_least .. text.fixed(b.yaw_index, 3)}) end
  if b.mass_with_growth > b.mass then
    table.insert(rows, 1, {"mass with growth allowance, kg", text.fixed(b.mass_with_growth, kg)})
  end
  local lines = {
    page.heading(("%s: %s kg"):format(b.heading, plus(b.mass, sd.mass, kg))),
    balance.corner_table(b, is_cross_assumed(b) and "load, kg, cross weight assumed" or nil),
    text.table({{"", "%s"}, {"", "%s"}}, rows),
  }
  return page.of(b, lines)
end

return balance
