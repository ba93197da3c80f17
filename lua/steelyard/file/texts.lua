--- Readers of texts and of names, which are looked up later.

local core = require "steelyard.core"
local user_values = require "steelyard.file.user_values"
local most = require "steelyard.file.most"
local entries = require "steelyard.file.entries"

local readers, wrong = {}, entries.wrong

local is_line = core.is_line

-- Is this text too long for one line? core.read_fields knows the same limit.
local function is_long(ctx, owner, key, value)
  if #value <= most.text then return false end
  wrong(ctx, owner, key, "limit", ("is a text of %d bytes, %d are possible"):format(#value, most.text), key ~= "note"
    and "longer texts go into note" or nil)
  return true
end

function readers.text(ctx, owner, key, value, _, out)
  if type(value) ~= "string" then
    return wrong(ctx, owner, key, "type", ("must be a text in quotes, is %s"):format(user_values.what(value)))
  end
  if key ~= "note" then
    if not is_line(value) then return wrong(ctx, owner, key, "content", value == "" and "is empty" or "must be one line of text") end
    if is_long(ctx, owner, key, value) then return end
  end
  out[key] = value
end

--- A text or a list of texts, as a list; nil after noting a problem.
local function read_texts(ctx, owner, key, value)
  if type(value) == "string" then value = {value} end
  local list = {}
  entries.list(ctx, owner, key, value, function(i, text, inside)
    if type(text) ~= "string" then
      wrong(ctx, inside, i, "type", ("must be a text in quotes, is %s"):format(user_values.what(text)))
    elseif not is_line(text) then
      wrong(ctx, inside, i, "content", text == "" and "is empty" or "must be one line of text")
    elseif not is_long(ctx, inside, i, text) then
      list[#list + 1] = text
    end
  end)
  return list
end

function readers.texts(ctx, owner, key, value, _, out) out[key] = read_texts(ctx, owner, key, value) end

--- Names of parts, looked up later.
function readers.names(ctx, owner, key, value, options, out)
  out[key] = read_texts(ctx, owner, key, value)
  for _, name in ipairs(out[key]) do
    entries.refer(ctx, {owner = owner, key = key, name = name, tags = options.tags})
  end
end

function readers.name(ctx, owner, key, value, options, out)
  readers.text(ctx, owner, key, value, options, out)
  if out[key] then entries.refer(ctx, {owner = owner, key = key, name = out[key]}) end
end

return {readers = readers}
