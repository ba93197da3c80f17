--- From the words a user writes (a name, "group/part", a tag, "rear axle" or a list of them) to places in the ledger.
--
-- Children keep their numbers in every car derived from one file, so what a word means is found once and kept in
-- `structure.found`; only adding a part starts a new structure (contents.new_structure).

local core = require "steelyard.core"

local resolve = {}

--- "powertrain/engine" for a route.
function resolve.path(ledger, route)
  local names = {}
  for last = 4, #route, 4 do names[#names + 1] = ledger:item(route:sub(1, last)).name end
  return table.concat(names, "/")
end

local function all_names(c)
  local names, seen = {}, {}
  local function note(name)
    if name ~= "" and not seen[name] then seen[name] = true; names[#names + 1] = name end
  end
  for _, item in ipairs(c.base:items(false)) do
    note(item.name)
    for _, tag in ipairs(c.shared.nodes[item.number] and c.shared.nodes[item.number].tags or {}) do note(tag) end
  end
  for _, axle in ipairs(c.axles) do note(axle.name .. " axle") end
  return names
end

local function refuse_unknown(c, word)
  local near = core.nearest(word, all_names(c))
  local hint = near and ("did you mean %q?"):format(near)
  for _, node in ipairs(c.shared.nodes) do
    if node.name == word then hint = "a part of that name was added to another car made from the same file" end
  end
  core.fail{code = "unknown", message = ("no part, group, tag or axle is called %q"):format(word), file = c.shared.file,
            hint = hint}
end

-- A list or tag that fits a group and its child moves the child once: leave out what lies inside another.
local function outermost(routes)
  local named, kept = {}, {}
  for _, route in ipairs(routes) do named[route] = true end
  for _, route in ipairs(routes) do
    local inside = not named[route] -- taken already
    for last = 4, #route - 4, 4 do inside = inside or named[route:sub(1, last)] ~= nil end
    if not inside then kept[#kept + 1] = route end
    named[route] = false
  end
  return kept
end

local function find(c, word)
  for index, axle in ipairs(c.axles) do
    if word == axle.name .. " axle" then return {axle = index, label = word, routes = {}} end
  end
  local routes = c.base:find(word)
  if #routes > 1 then
    local paths = {}
    for i, route in ipairs(routes) do paths[i] = ("%q"):format(resolve.path(c.base, route)) end
    core.fail{code = "clash", message = ("%q fits several: %s"):format(word, table.concat(paths, ", ")), file = c.shared.file,
              hint = "write the group with it"}
  end
  if #routes == 1 then return {routes = routes, label = word} end
  routes = c.base:tagged(word)
  if #routes == 0 then refuse_unknown(c, word) end
  return {routes = outermost(routes), label = word, several = true}
end

local function find_word(c, word)
  if type(word) ~= "string" then
    core.fail{code = "type", message = ("a part is named by a text or a list of texts, not by a %s"):format(type(word))}
  end
  local found = c.structure.found[word]
  if not found then
    found = find(c, word)
    c.structure.found[word] = found
  end
  return found
end

--- Does a word mean anything in this car?
function resolve.has(c, word)
  for _, axle in ipairs(c.axles) do
    if word == axle.name .. " axle" then return true end
  end
  return #c.base:find(word) > 0 or #c.base:tagged(word) > 0
end

--- What a command moves: the part asked for, else the usual one where the car has it; without, nil and a sentence.
function resolve.asked_or_usual(c, asked, usual, option)
  if asked or resolve.has(c, usual) then return asked or usual end
  return nil, ("nothing in this file is called %s, so nothing is moved; --%s names what moves"):format(usual, option)
end

--- {routes = list, label = text, several = true for a list or tag, axle = index when an axle is meant alone,
-- axles = list of indices named in a list}
function resolve.what(c, what)
  if type(what) ~= "table" then return c.structure.found[what] or find_word(c, what) end
  if #what == 0 then core.fail{code = "missing", message = "the list of parts is empty"} end
  local routes, labels, axles, named = {}, {}, {}, {}
  for _, word in ipairs(what) do
    local found = find_word(c, word)
    if not named[word] then -- once, however often
      named[word], labels[#labels + 1] = true, found.label
      if found.axle then axles[#axles + 1] = found.axle end
      for _, route in ipairs(found.routes) do routes[#routes + 1] = route end
    end
  end
  return {routes = outermost(routes), label = table.concat(labels, " and "), several = true,
          axles = #axles > 0 and axles or nil}
end

--- A word that means this item and no other: its path, unless another's fits it too.
function resolve.word_for(c, route)
  local path = resolve.path(c.base, route)
  local routes = c.base:find(path)
  if #routes == 1 and routes[1] == route then return path end
  local word = path .. "\0" .. route -- no name has a zero byte in it
  c.structure.found[word] = {routes = {route}, label = path}
  return word
end

--- The same where only parts and groups make sense.
function resolve.parts(c, what)
  local found = resolve.what(c, what)
  if found.axle or found.axles then
    core.fail{code = "type", message = ("%s is an axle, a part or group is needed"):format(found.label)}
  end
  return found
end

--- Does the item at `route` lie in one of `routes` (or is it one)? Yes without any.
function resolve.within(route, routes)
  if not routes then return true end
  for _, r in ipairs(routes) do
    if route:sub(1, #r) == r then return true end
  end
  return false
end

--- The routes in `ledger` of what a line says it is bolted to.
function resolve.bolted_to(ledger, node)
  local routes = {}
  for _, name in ipairs(node.bolted_to or {}) do
    for _, route in ipairs(ledger:find(name)) do routes[#routes + 1] = route end
  end
  return routes
end

--- Is what lies at `route` bolted to what lies at `other`? routes: resolve.bolted_to of the first. Pieces of one thing are not.
function resolve.is_bolted(routes, route, other)
  for _, held in ipairs(routes) do
    if other:sub(1, #held) == held and route:sub(1, #held) ~= held then return true end
  end
  return false
end

return resolve
