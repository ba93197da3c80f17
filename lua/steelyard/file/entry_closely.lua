--- An entry of a list of parts that is not an item in order: a plain table with a name, or something wrong, which is said here.

local core = require "steelyard.core"
local language = require "steelyard.file.language"
local user_values = require "steelyard.file.user_values"
local most = require "steelyard.file.most"
local problems = require "steelyard.file.problems"
local entries = require "steelyard.file.entries"

local entry_closely = {}
local wrong = entries.wrong

local function check_name(ctx, owner, kind, name)
  if type(name) == "string" and #name <= most.name and core.is_line(name) and not name:find("/", 1, true) then return true end
  if type(name) ~= "string" then
    return wrong(ctx, owner, nil, "missing", entries.a(kind) .. " needs a name", ("as in %s \"name\" { ... }"):format(kind))
  end
  if name == "" then
    owner.part = nil
    return wrong(ctx, owner, nil, "content", entries.a(kind) .. " has no name between its quotes",
      ("as in %s \"name\" { ... }"):format(kind))
  end
  if name:find "[\0-\31\127/]" then
    return wrong(ctx, owner, nil, "content", "has a name with a stroke or a control character in it",
      "\"group/part\" names a part inside a group")
  end
  if #name > most.name then
    return wrong(ctx, owner, nil, "content", ("has a name of %d bytes, %d are possible"):format(#name, most.name))
  end
  return true
end

-- kind, name, fields, line of an item, which has all of them, or of a plain table with a name
local function look_into(value, is_item)
  if is_item then return value.kind, value.name, value.fields, value.line end
  return value.kind or "part", value.name, value
end

local own_words = {name = true, kind = true} -- of a plain table that stands for an item

-- the owner of what an item or a plain table says; full: its path, nil without a name
local function describe(ctx, value, is_item, parent, index, path, full, kind)
  if is_item then return {item = value, part = full, kind = kind} end
  local owner = problems.inside(parent, index, full or path, kind)
  if owner.part == "" then owner.part = nil end
  if not ctx.problems.origin.bytes then owner.item = parent.item end
  return owner
end

local function refuse_value(ctx, value, parent, index, path)
  local text, hint = ("a part, group, tank or person must stand here, found %s"):format(user_values.what(value)), nil
  if type(value) == "number" then hint = "decimals take a point" end
  if type(value) == "string" then hint = ("as in part \"%s\" { ... }"):format(value) end
  local owner = path == "" and problems.inside(parent, index) or problems.inside(parent, index, path, "group")
  wrong(ctx, owner, nil, "type", text, hint)
end

local function check_place_in_tree(ctx, value, owner, depth, deepest)
  if ctx.on_path[value] then
    wrong(ctx, owner, nil, "content", "lies inside itself")
    return false
  end
  if ctx.reached[value] then
    wrong(ctx, owner, nil, "content", "is used in two places", "write a second one with a name of its own")
    return false
  end
  ctx.reached[value] = true
  if depth > deepest then
    wrong(ctx, owner, nil, "limit", ("lies inside more than %d groups"):format(deepest))
    return false
  end
  return true
end

local function is_own_word(key) return own_words[key] end

--- An entry that enter_item would not take: a plain table with a name, or something wrong. kind, name, fields, line, path, owner and
-- the keys of the table that are not fields; nil after a problem that leaves nothing to go on with.
function entry_closely.look(ctx, value, parent, index, path, siblings, depth, deepest)
  local is_item = user_values.is_item(value)
  if not (is_item or user_values.is_plain(value)) then return refuse_value(ctx, value, parent, index, path) end
  local kind, name, from, line = look_into(value, is_item)
  local full = type(name) == "string" and (path ~= "" and path .. "/" .. name or name) or nil
  local owner = describe(ctx, value, is_item, parent, index, path, full, kind)
  if not check_place_in_tree(ctx, value, owner, depth, deepest) then return nil end
  if not language.entry_kinds[kind] then
    return wrong(ctx, owner, nil, "type", entries.a(tostring(kind)) .. " has no place among parts")
  end
  if not user_values.is_plain(from) then
    return wrong(ctx, owner, nil, "missing", "has no { ... } behind its name", ("as in %s %q { ... }, without a comma"):format(kind,
      name))
  end
  if not check_name(ctx, owner, kind, name) then return nil end
  if siblings[name] then
    local first = siblings[name] ~= true and siblings[name] > 0 and (", on line %d"):format(siblings[name]) or ""
    wrong(ctx, owner, nil, "clash", ("the name is taken already%s"):format(first), "names differ inside a group")
  end
  siblings[name] = line or true
  return kind, name, from, line, full, owner, not is_item and is_own_word or nil
end

return entry_closely
