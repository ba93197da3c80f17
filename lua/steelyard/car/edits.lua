--- car:set, car:add, car:without, car:swap and car:fill: other values, more or fewer parts, fuller tanks.

local core = require "steelyard.core"
local build = require "steelyard.car.build"
local contents = require "steelyard.car.contents"
local from_file = require "steelyard.car.from_file"
local loading = require "steelyard.car.loading"
local resolve = require "steelyard.car.resolve"
local states = require "steelyard.car.states"
local text = require "steelyard.print.text"

local edits = {}

-- The caller may use a table again.
local function copied(given)
  local copy = {}
  for key, value in pairs(given) do copy[key] = value end
  return copy
end

local function set_axle(c, found, changes)
  local vehicle_file = require "steelyard.file.vehicle_file"
  local axles = {}
  for i, axle in ipairs(c.axles) do axles[i] = axle end
  axles[found.axle] = vehicle_file.axle(changes, {spec = c.shared.spec, name = found.label, axles = axles, index = found.axle})
  vehicle_file.check_axle(axles[found.axle], {spec = c.shared.spec, name = found.label}, found.axle, #axles)
  local d = contents.from(c, found.label .. " changed")
  d.axles, d.geometry = axles, build.geometry(c.shared.spec, axles, nil, c.measured)
  contents.forget_cross(d)
  contents.note_said(d, {axle = found.axle, fields = copied(changes)})
  return contents.reload(d)
end

local function over(old, new)
  local list = {}
  for i = 1, 3 do list[i] = new[i] or old and old[i] end
  return list
end

-- The node as it now reads. What is given in part, a place or its uncertainties, goes over what stands there; a fill without an
-- uncertainty of its own has none.
local function merged(node, changes)
  local m = {}
  for key, value in pairs(node) do m[key] = value end
  for key, value in pairs(changes) do m[key] = value end
  if changes.at then m.at = over(node.at, changes.at) end
  if changes.at_sd then
    m.at_sd, m.at_limits = over(node.at_sd, changes.at_sd), {}
    for i = 1, 3 do
      local stated = changes.at_sd[i] and changes.at_limits or not changes.at_sd[i] and node.at_limits
      m.at_limits[i] = stated and stated[i] or nil
    end
  end
  if changes.fill then m.fill_sd = changes.fill_sd end
  for _, key in ipairs{"mass", "dry_mass", "fill"} do
    if changes[key .. "_sd"] then m[key .. "_limits"] = changes[key .. "_limits"] end -- an sd where limits were stated before
  end
  if changes.unsprung and #changes.unsprung == 0 then m.unsprung = nil end
  return m
end

-- Only what was changed of the place goes to the ledger, so a part that was moved before keeps its place, and one that was turned its
-- attitude. was: what a tank held before, see loading.liquid_in.
local function set_booking(d, piece, node, changes, index, was)
  local context, alone = d.shared.context, d.turned[piece.route]
  return {node = node, context = context, number = index, at = changes.at, at_sd = changes.at_sd and build.place_sd(context, node),
          alone = alone, liquid = build.liquid(context, node, node.fill, alone), liquid_was = was}
end

-- "a plain number keeps the old standard uncertainty": also one that `assume` gave
local function keep_mass_sd(node, piece, changes)
  if not changes.mass or changes.mass_sd or changes.weighed then return changes end
  local kept = {}
  for key, value in pairs(changes) do kept[key] = value end
  kept.mass_sd = not node.unknown and piece.mass_sd and not (node.mass_sd == nil and piece.mass_sd == 0) and piece.mass_sd
    or node.mass_sd
  kept.mass_limits = node.mass_limits
  return kept
end

-- What a script says of the image of a pair, in the words of the line, which states the other piece.
local function of_image(d, piece, changes)
  if not (changes.turned or changes.inertia) then return changes end
  if d.base:askew(piece.route) then
    core.fail{code = "unavailable", part = resolve.path(d.base, piece.route), field = changes.turned and "turned" or "inertia",
              message = "cannot be set for the image alone of a pair in a turned group", hint = "set both pieces, or book two parts"}
  end
  local said = {}
  for key, value in pairs(changes) do said[key] = value end
  if changes.turned then
    said.turned = {nose_up = changes.turned.nose_up}
    for _, word in ipairs{"left_up", "nose_left"} do said.turned[word] = changes.turned[word] and -changes.turned[word] end
  end
  if changes.inertia then
    local across = d.shared.spec.axes.x:find "[lr]" and "x" or d.shared.spec.axes.y:find "^[lr]" and "y" or "z"
    said.inertia = {}
    for key, value in pairs(changes.inertia) do
      local odd = key:sub(1, 1) ~= key:sub(2, 2) and key:find(across, 1, true)
      said.inertia[key] = odd and -value or value
    end
  end
  return said
end

local function add_node(d, node)
  local nodes = d.shared.nodes
  nodes[#nodes + 1] = node
  return #nodes
end

local function set_piece(d, piece, changes, as_pair)
  local node = d.shared.nodes[piece.number]
  if piece.image and not as_pair then changes = of_image(d, piece, changes) end
  changes = keep_mass_sd(node, piece, changes)
  if changes.mass then changes.unknown = false end
  local was, new = loading.liquid_in(d, d.base, piece, node), merged(node, changes)
  local index = add_node(d, new)
  if changes.turned then contents.note_turn(d, piece.route, nil) end
  local booking = set_booking(d, piece, new, changes, index, was)
  booking.as_pair = as_pair
  d.base = d.base:put(piece.route, d.geometry, booking)
end

-- One item of those that were named.
local function set_item(d, item, changes)
  local node = d.shared.nodes[item.number]
  if item.form == "group" then
    d.base = d.base:put(item.route, d.geometry, {number = add_node(d, merged(node, changes)), at = changes.at, turned = changes.turned})
  else
    local pieces = loading.pieces(d.base, item)
    for _, piece in ipairs(pieces) do set_piece(d, piece, changes, pieces[2] and true or nil) end
    if item.form == "pair" then
      local stated = d.base:item(pieces[1].route).number
      d.base = d.base:renumber(item.route, pieces[1].number == item.number and stated or add_node(d, merged(node, changes)))
    end
  end
  if changes.tags then
    d.base = d.base:retag(item.route, #changes.tags > 0 and table.concat(changes.tags, "\n") or nil)
    d.structure = contents.new_structure()
  end
end

-- ---- names and tags -----------------------------------------------------------------------------------------------------

-- A tag may not equal a name (names.lua checks that in a file): those of a car, as sets.
local function words_of(c)
  local names, tags = {}, {}
  for _, axle in ipairs(c.axles) do names[axle.name .. " axle"] = true end
  for _, item in ipairs(c.base:items(false)) do
    names[item.name] = true
    for _, tag in ipairs(c.shared.nodes[item.number].tags or {}) do tags[tag] = true end
  end
  return names, tags
end

local function check_tags(path, given, names)
  for _, tag in ipairs(given or {}) do
    if names[tag] then
      core.fail{code = "clash", part = path, field = "tags", message = ("the tag %q is also the name of a part"):format(tag)}
    end
  end
end

-- What is added must not be called as a tag or an axle of the car is, nor be tagged by the name of one of its parts.
local function check_words(c, node)
  local names, tags = words_of(c)
  local function note(entry)
    names[entry.name] = true
    for _, tag in ipairs(entry.tags or {}) do tags[tag] = true end
    for _, child in ipairs(entry.children or {}) do note(child) end
  end
  for _, axle in ipairs(c.axles) do
    if node.name == axle.name .. " axle" then
      core.fail{code = "clash", part = node.path, message = ("%q is what the axle itself is called"):format(node.name)}
    end
  end
  note(node)
  local function check(entry)
    if tags[entry.name] then
      core.fail{code = "clash", part = entry.path, message = ("%q is also a tag of this car"):format(entry.name),
                hint = "give it another name"}
    end
    check_tags(entry.path, entry.tags, names)
    for _, child in ipairs(entry.children or {}) do check(child) end
  end
  check(node)
end

-- "mass 97" for headings
local function change_text(given)
  local parts = {}
  for _, key in ipairs(loading.sorted_keys(given)) do
    local value = given[key]
    local shown = type(value) == "number" and text.plain(value) or type(value) == "string" and value
      or type(value) == "table" and rawget(value, "value") and text.plain(value.value) or "changed"
    parts[#parts + 1] = tostring(key) .. " " .. shown -- what is not a field is reported when it is read
  end
  return table.concat(parts, ", ")
end

-- The two tanks of a pair, or the one.
local function single_tanks(ledger, route)
  if ledger:item(route).form ~= "pair" then return {route} end
  return {route .. string.pack("=I4", 0), route .. string.pack("=I4", 1)}
end

-- Fills asked for earlier of tanks that are filled otherwise from now on are forgotten; those of other tanks under the same word stay.
local function forget_fills(c, fills, routes)
  local gone = {}
  for _, route in ipairs(routes) do
    for _, single in ipairs(single_tanks(c.base, route)) do gone[single] = true end
  end
  for _, key in ipairs(loading.sorted_keys(fills)) do
    local kept, any = {}, false
    for _, route in ipairs(resolve.parts(c, key).routes) do
      for _, single in ipairs(single_tanks(c.base, route)) do
        if gone[single] then any = true else kept[#kept + 1] = single end
      end
    end
    if any then
      local fill = fills[key]
      fills[key] = nil
      for _, route in ipairs(kept) do fills[resolve.word_for(c, route)] = fill end
    end
  end
end

-- A fill that car:set stated is an edit: it holds under all states, and over what was filled since the last one was chosen.
local function hold_fill(d, route)
  local fills = {}
  for key, fill in pairs(d.fills) do fills[key] = fill end
  forget_fills(d, fills, {route})
  d.fills = fills
  local held = contents.hold(d)
  for _, single in ipairs(single_tanks(d.base, route)) do held.fills[single] = true end
end

--- Other values for a part: car:set("engine", {mass = 97}). A plain mass keeps the old standard uncertainty.
function edits.set(self, what, changes)
  local c = contents.inside(self)
  if type(changes) ~= "table" then
    core.fail{code = "type", message = "car:set needs a table of fields, such as {mass = 97}"}
  end
  local found = resolve.what(c, what)
  if found.axle then return set_axle(c, found, changes) end
  if found.axles then core.fail{code = "type", message = "set axles one by one"} end
  local vehicle_file = require "steelyard.file.vehicle_file"
  local d = contents.from(c, found.label .. " " .. change_text(changes))
  contents.touch(d, found)
  for _, route in ipairs(found.routes) do
    local item = d.base:item(route)
    local node = c.shared.nodes[item.number]
    local checked = vehicle_file.fields(node.kind, changes, {spec = c.shared.spec, name = item.name, node = node, side = item.side})
    if node.instrument or node.weighed then
      require("steelyard.file.weighings").overruled(node, checked, loading.piece(d.base, item).mass_sd, c.shared.spec.instruments)
    end
    if checked.tags then check_tags(item.name, checked.tags, (words_of(c))) end
    set_item(d, item, checked)
    contents.note_said(d, {route = route, fields = copied(changes), was = item.number})
    if checked.fill then hold_fill(d, route) end
  end
  return contents.reload(d)
end

-- How many items a group has, "" for the whole ledger.
local function children_of(ledger, route)
  if route ~= "" then return ledger:item(route).children end
  local count = 0
  for _, item in ipairs(ledger:items(false)) do
    if #item.route == 4 then count = count + 1 end
  end
  return count
end

--- One more part, group, tank or person: car:add(sy.part "ballast" {...}), car:add(item, "powertrain") into a group.
function edits.add(self, item, into)
  local c = contents.inside(self)
  local vehicle_file = require "steelyard.file.vehicle_file"
  local route = ""
  if into ~= nil then
    local found = resolve.parts(c, into)
    route = found.routes[1]
    if #found.routes > 1 or c.base:item(route).form ~= "group" then
      core.fail{code = "type", message = ("%s is not a group, nothing can be added to it"):format(found.label)}
    end
  end
  local node = vehicle_file.item(item, {spec = c.shared.spec, file = c.shared.file})
  local prefix = into and resolve.path(c.base, route) .. "/" or ""
  for _, sibling in ipairs(c.base:items(false)) do
    if sibling.name == node.name and sibling.route:sub(1, -5) == route then
      core.fail{code = "clash", message = ("there is already a %q"):format(prefix .. node.name), part = prefix .. node.name,
                hint = "give it another name"}
    end
  end
  check_words(c, node)
  local builder, first = core.builder(c.geometry, c.base, route), children_of(c.base, route)
  build.book(c.shared.context, builder, node)
  local d = contents.from(c, node.name .. " added")
  d.base = from_file.gaps(c.shared.context, c.geometry, builder:append_to(d.base, route), {})
  d.structure = contents.new_structure()
  contents.note_said(d, {item = item, into = route, route = route .. string.pack("=I4", first)})
  return contents.reload(d)
end

--- Take things out: car:without("passenger"), car:without{"passenger", "luggage"}. Holds under all states, also under those that
-- bring it aboard; whoever was swapped in goes out for the one named.
function edits.without(self, what)
  local c = contents.inside(self)
  local found = resolve.parts(c, what)
  local d = contents.from(c, "without " .. found.label)
  local held = contents.hold(d)
  local function take(route)
    if held.out[route] == nil then held.out[route] = d.base:item(route).aboard end
    d.base = d.base:aboard(route, false)
  end
  for _, route in ipairs(found.routes) do
    for role, who in pairs(held.swaps) do
      if role:sub(1, #route) == route then
        held.out[role] = d.base:item(who).aboard
        take(who)
      end
    end
    take(route)
  end
  return contents.reload(d)
end

-- Is it aboard where no state says otherwise, or was it before an edit took it out?
local function usually_aboard(held, base, route)
  local before = held.out[route]
  if before ~= nil then return before end
  return base:item(route).aboard
end

--- Put one part in another's place: car:swap("driver", "tall driver"). Holds under all states, which go on meaning the
-- role: a state without the driver leaves the tall one out too, and one with the driver brings the tall one.
function edits.swap(self, old, new)
  local c = contents.inside(self)
  local from, to = resolve.parts(c, old), resolve.parts(c, new)
  if #from.routes ~= 1 or #to.routes ~= 1 then
    core.fail{code = "type", message = "car:swap needs one part and the one to take its place"}
  end
  local role, taking = from.routes[1], to.routes[1]
  if role == taking then
    core.fail{code = "clash", message = ("%s cannot take its own place"):format(from.label)}
  end
  for other, who in pairs(c.held.swaps) do
    if who == taking and other ~= role then
      core.fail{code = "clash", message = ("%s takes the place of %s already"):format(to.label, resolve.path(c.base, other))}
    end
  end
  if c.now:item(taking).aboard then
    core.fail{code = "clash", message = ("%s is aboard already and cannot take the place of %s as well"):format(to.label, from.label),
              hint = {"take it out first with car:without, or name another", "name another, or choose a state without it"}}
  end
  local d = contents.from(c, ("%s for %s"):format(to.label, from.label))
  contents.touch(d, to)
  local held = contents.hold(d)
  local leaving = held.swaps[role] or role
  local aboard = usually_aboard(held, d.base, role) or usually_aboard(held, d.base, leaving)
  for other, who in pairs(held.swaps) do
    if who == role then held.swaps[other] = other ~= taking and taking or nil end
  end
  held.swaps[role], held.out[role], held.out[leaving] = taking, nil, nil
  for last = 4, #taking, 4 do held.out[taking:sub(1, last)] = nil end
  d.base = d.base:aboard(role, false):aboard(leaving, false)
  d.base = aboard and states.bring(d.base, taking) or d.base:aboard(taking, false)
  return contents.reload(d)
end

--- Fill tanks: car:fill{fuel = 20} in litres, car:fill{fuel = "90 %"}. Holds until the next car:state.
function edits.fill(self, fills)
  local c = contents.inside(self)
  local vehicle_file = require "steelyard.file.vehicle_file"
  local d = contents.from(c)
  d.fills = {}
  for key, value in pairs(c.fills) do d.fills[key] = value end
  local asked, by = vehicle_file.fills(fills, {spec = c.shared.spec}), {}
  for _, key in ipairs(loading.sorted_keys(asked)) do
    local routes = resolve.parts(c, key).routes
    for _, route in ipairs(routes) do
      if by[route] then
        core.fail{code = "clash", message = ("%q and %q are the same tank"):format(by[route], key), field = "fill"}
      end
      by[route] = key
    end
    forget_fills(c, d.fills, routes)
  end
  for key, value in pairs(asked) do d.fills[key] = value end
  return contents.reload(d)
end

return edits
