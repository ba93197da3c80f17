--- Shapes and moments of inertia of single parts: the readers of `shape` and `inertia`.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local language = require "steelyard.file.language"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"
local text = require "steelyard.print.text"

local readers, wrong = {}, entries.wrong
local bodies = {readers = readers}

local shape_names, mesh_fields = {}, nil
for i, shape in ipairs(language.words.shapes) do
  shape_names[i] = shape[1]
  if shape.from_file then mesh_fields = shape[2] end
end
table.sort(shape_names, core.before)

local size = {unit = "mm", above = 0, max = language.MOST_LENGTH}

-- Which size a key of a shape means: its name, or its number in the order of the names.
local function read_sizes(ctx, inside, shape, from)
  local names = language.shapes[shape.kind]
  local axis = names.axis
  local known = {}
  for i, name in ipairs(names) do known[name], known[i] = name, name end
  local all = {axis, table.unpack(names)}
  local bad
  for key in next, from do
    if not known[key] and key ~= axis then
      bad = bad or {}
      bad[#bad + 1] = key
    end
  end
  for _, key in ipairs(bad or {}) do
    local near = type(key) == "string" and core.nearest(key, all)
    wrong(ctx, inside, key, "unknown",
      ("%s has %s"):format(entries.a(shape.kind), table.concat(names, ", ")), entries.did_you_mean(near))
  end
  for i, name in ipairs(names) do
    local key = from[name] ~= nil and name or i
    if from[name] ~= nil and from[i] ~= nil then
      wrong(ctx, inside, name, "clash", ("is given by name and as number %d of the list"):format(i))
    elseif from[key] == nil and not bad then
      wrong(ctx, inside, nil, "missing", ("%s needs its %s"):format(entries.a(shape.kind), name))
    elseif from[key] ~= nil then
      shape[i] = entries.exact(ctx, inside, key, from[key], size)
      shape[name] = shape[i]
    end
  end
end

local function read_axis(ctx, inside, shape, from)
  local names = language.shapes[shape.kind]
  if not names.axis then return end
  local given = from[names.axis]
  shape.axis = ctx.letters[names.along]
  if given == nil then return end
  if given ~= "x" and given ~= "y" and given ~= "z" then
    return wrong(ctx, inside, names.axis, "type", ("must be \"x\", \"y\" or \"z\", is %s"):format(user_values.what(given)))
  end
  shape.axis = given
end

-- Fields of mesh {"sump.stl", unit = "mm"}: a table of them, nil after a problem.
local function read_mesh_fields(ctx, inside, from)
  local given, before = {}, #ctx.problems.list
  for key in next, from do
    local name = key == 1 and "file" or key
    if name ~= "file" and name ~= "unit" and name ~= "turn_outward" then
      wrong(ctx, inside, key, "unknown", "a mesh has file, unit, turn_outward",
        type(key) == "string" and entries.did_you_mean(core.nearest(key, mesh_fields)) or nil)
    elseif given[name] ~= nil then
      wrong(ctx, inside, name, "clash", "is given by name and as number 1 of the list")
    else
      given[name] = from[key]
    end
  end
  if given.file == nil then
    wrong(ctx, inside, nil, "missing", "a mesh needs its file", "as in mesh {\"sump.stl\", unit = \"mm\"}")
  elseif type(given.file) ~= "string" then
    wrong(ctx, inside, "file", "type", ("must be the name of a file, is %s"):format(user_values.what(given.file)))
  end
  if given.turn_outward ~= nil and type(given.turn_outward) ~= "boolean" then
    wrong(ctx, inside, "turn_outward", "type", ("must be true or false, is %s"):format(user_values.what(given.turn_outward)))
  end
  return #ctx.problems.list == before and given or nil
end

local function open_mesh(ctx, given)
  local mesh_file = require "steelyard.file.mesh_file"
  local origin, path, bytes = ctx.problems.origin, given.file
  if origin.bytes and origin.file then
    bytes, path = core.read_beside(origin.file, given.file, mesh_file.MOST)
  else
    bytes = core.read_file(given.file, mesh_file.MOST)
  end
  table.insert(origin.sources or {}, bytes)
  return (mesh_file.open(bytes, path, given.unit, given.turn_outward))
end

-- {kind = "mesh", file =, mesh = in metres, per_kg = its inertia at 1 kg, litres =}
local function read_mesh(ctx, owner, key, inside, from)
  local given = read_mesh_fields(ctx, inside, from)
  if not given then return nil end
  local fine, mesh = pcall(open_mesh, ctx, given)
  if not fine then
    if getmetatable(mesh) ~= core.error_metatable then error(mesh, 0) end
    return wrong(ctx, owner, key, mesh.code, ("mesh %q %s%s"):format(given.file, mesh.part and mesh.part .. " " or "",
      mesh.field == "unit" and "needs its unit: " .. mesh.message or mesh.message), mesh.hint)
  end
  local body = mesh:body()
  return {kind = "mesh", file = given.file, mesh = mesh, per_kg = body.inertia, litres = body.volume * 1e3}
end

-- Most shapes are a list of plain sizes.
local function plain_shape(ctx, kind, from)
  local names = language.shapes[kind]
  local shape = names and core.plain_sizes(from, #names, language.MOST_LENGTH)
  if not shape then return nil end
  shape.kind, shape.axis = kind, names.axis and ctx.letters[names.along]
  for i = 1, #names do shape[names[i]] = shape[i] end
  return not (shape.wall and 2 * shape.wall > shape.diameter) and shape or nil
end

function readers.shape(ctx, owner, key, value, _, out)
  if not user_values.is_shape(value) then
    return wrong(ctx, owner, key, "type", ("must be a shape such as box {540, 620, 470}, is %s"):format(
      user_values.what(value)), "the shapes are " .. table.concat(shape_names, ", "))
  end
  local shape, from = {kind = rawget(value, "shape")}, rawget(value, "fields")
  local plain = plain_shape(ctx, shape.kind, from)
  if plain then
    out[key] = plain
    return
  end
  local inside = problems.inside(owner, key)
  if shape.kind == "mesh" and user_values.is_plain(from) then
    out[key] = read_mesh(ctx, owner, key, inside, from)
    return
  end
  if not language.shapes[shape.kind] or not user_values.is_plain(from) then
    return wrong(ctx, owner, key, "content", "is not a shape any more")
  end
  local before = #ctx.problems.list
  read_sizes(ctx, inside, shape, from)
  read_axis(ctx, inside, shape, from)
  if #ctx.problems.list > before then return end
  if shape.wall and 2 * shape.wall > shape.diameter then
    return wrong(ctx, inside, from.wall ~= nil and "wall" or 2, "geometry",
      ("is %s mm, more than half the diameter"):format(text.plain(shape.wall)))
  end
  out[key] = shape
end

--- What a shape holds, in litres; nil for what encloses nothing.
function bodies.volume(s)
  local quarter = math.pi / 4
  local mm3
  if s.kind == "mesh" then return s.litres end
  if s.kind == "box" then
    mm3 = s.length * s.width * s.height
  elseif s.kind == "ellipsoid" then
    mm3 = math.pi / 6 * s.length * s.width * s.height
  elseif s.kind == "cylinder" then
    mm3 = quarter * s.diameter ^ 2 * s.length
  elseif s.kind == "cone" then
    mm3 = quarter / 3 * s.diameter ^ 2 * s.length
  elseif s.kind == "sphere" then
    mm3 = math.pi / 6 * s.diameter ^ 3
  end
  return mm3 and mm3 / 1e6
end

local moment = {unit = "kg m2"}
local tensor_names = {"xx", "yy", "zz", "xy", "xz", "yz"}

-- A body has a positive semidefinite tensor whose moments fulfil the triangle inequality; the slack is for figures given
-- to four digits.
local function is_physical(j)
  local slack = 1e-3 * (j.xx + j.yy + j.zz)
  if j.xx < 0 or j.yy < 0 or j.zz < 0 then return false end
  if j.xx + j.yy < j.zz - slack or j.yy + j.zz < j.xx - slack or j.zz + j.xx < j.yy - slack then return false end
  local function minor(a, b, c) return a * b - c * c >= -slack * (a + b) end
  if not (minor(j.xx, j.yy, j.xy) and minor(j.xx, j.zz, j.xz) and minor(j.yy, j.zz, j.yz)) then return false end
  local det = j.xx * (j.yy * j.zz - j.yz ^ 2) - j.xy * (j.xy * j.zz - j.yz * j.xz) + j.xz * (j.xy * j.yz - j.yy * j.xz)
  return det >= -slack * slack * (j.xx + j.yy + j.zz)
end

-- What is wrong with one that is not: message, hint.
local function why_not(j)
  local short = text.plain
  for _, axes in ipairs {{"xx", "yy", "zz"}, {"yy", "xx", "zz"}, {"zz", "xx", "yy"}} do
    local one, a, b = axes[1], axes[2], axes[3]
    if j[one] < 0 then return ("%s is %s kg m2, below 0"):format(one, short(j[one])), "a moment of inertia is a sum of squares" end
    if j[one] > j[a] + j[b] then
      return ("%s is %s kg m2, more than %s + %s = %s: no body has that"):format(one, short(j[one]), a, b, short(j[a] + j[b])),
        "each moment is at most the sum of the other two: check the digits, the unit and the axes"
    end
  end
  for _, axes in ipairs {{"xy", "xx", "yy"}, {"xz", "xx", "zz"}, {"yz", "yy", "zz"}} do
    local product, most = axes[1], math.sqrt(j[axes[2]] * j[axes[3]])
    if math.abs(j[product]) > most then
      return ("%s is %s kg m2, and at most sqrt(%s %s) = %s is possible"):format(product, short(j[product]), axes[2], axes[3],
        core.fixed(most, 4)), "check the digits and the unit"
    end
  end
  return "its products xy, xz and yz are together too large for its moments: no body has that", "check their digits and signs"
end

function readers.inertia(ctx, owner, key, value, options, out)
  if not entries.table(ctx, owner, key, value) then return end
  local inside, j, known, sd = problems.inside(owner, key), {}, {}, {}
  for i, name in ipairs(tensor_names) do known[name], known[i] = true, true end
  for k in next, value do
    if not known[k] then
      return wrong(ctx, inside, k, "unknown",
        "is not a moment of inertia", "they are " .. table.concat(tensor_names, ", "))
    end
  end
  for i, name in ipairs(tensor_names) do
    local k = value[name] ~= nil and name or i
    j[name] = 0.0
    if value[k] ~= nil then
      j[name], sd[name] = (options.sd and entries.number or entries.exact)(ctx, inside, k, value[k], moment)
      if not j[name] then return end
    elseif i <= 3 then
      return wrong(ctx, inside, nil, "missing", ("has no %s"):format(name))
    end
  end
  if not is_physical(j) then
    return wrong(ctx, owner, key, "geometry", why_not(j))
  end
  out[key] = j
  if next(sd) then out[key .. "_sd"] = sd end
end

return bodies
