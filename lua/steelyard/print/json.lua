--- JSON (RFC 8259): results out, and a strict reader for tools and tests.
--
-- encode(value) -> text. The same value gives the same bytes: keys sorted, numbers the shortest text that reads back as
-- the same double. A table with 1..n is an array, an empty one too, but not under the name sd; one with other keys is an
-- object; one with both is an object whose list stands under "list". A metatable's __json(value) gives what is written
-- instead, its __pairs is honoured. NaN, infinity, functions and other values that JSON does not have are refused with their path.
-- packed(value) is the same text without the blanks and line ends between its marks.
--
-- decode(text) -> value. null is json.null. Refused, with the line: anything RFC 8259 does not allow, a key given
-- twice, numbers no double holds, lone surrogates, text that is not UTF-8.

local core = require "steelyard.core"

local json = {}

--- JSON's null, as read; nil would vanish from tables.
json.null = setmetatable({}, {__name = "null", __tostring = function() return "null" end, __newindex = function()
  core.fail{code = "type", message = "json.null does not change"}
end})

--- An object without fields: an empty table is a list.
json.object = setmetatable({}, {__name = "object", __newindex = function()
  core.fail{code = "type", message = "json.object does not change"}
end})

local MOST_DEPTH = 200 -- levels of nesting, in and out: far above any result, far below what the C stack bears

-- ---- writing ------------------------------------------------------------------------------------------------------

local escapes = {
  ['"'] = '\\"', ["\\"] = "\\\\", ["\b"] = "\\b", ["\f"] = "\\f", ["\n"] = "\\n", ["\r"] = "\\r", ["\t"] = "\\t",
}

local function escape(letter) return escapes[letter] or ("\\u%04x"):format(letter:byte()) end

-- What is not UTF-8 (a file name can be anything) becomes U+FFFD, byte by byte.
local function as_utf8(s)
  local pieces, from = {}, 1
  while true do
    local _, bad = utf8.len(s, from)
    if not bad then break end
    pieces[#pieces + 1] = s:sub(from, bad - 1) .. "\u{FFFD}"
    from = bad + 1
  end
  return table.concat(pieces) .. s:sub(from)
end

local function quoted(s)
  if s:find "[\x80-\xff]" and not utf8.len(s) then s = as_utf8(s) end
  return '"' .. s:gsub('[\0-\31"\\]', escape) .. '"'
end

local function refuse(path, what)
  core.fail{code = "type", message = ("is %s, which JSON does not have"):format(what),
            field = path == "" and "the value" or path}
end

-- The list part and the sorted names of a table's fields.
local function take_apart(value, path)
  local list, names, fields, count = {}, {}, {}, 0
  for key, field in pairs(value) do
    if math.type(key) == "integer" then
      list[key], count = field, count + 1
    elseif type(key) == "string" then
      names[#names + 1], fields[key] = key, field
    else
      refuse(path, "a table with " .. tostring(key) .. " for a key")
    end
  end
  for i = 1, count do
    if list[i] == nil then refuse(path, "a list with gaps") end
  end
  if count > 0 and #names > 0 then
    if fields.list ~= nil then refuse(path, 'a list with a field "list" of its own') end
    names[#names + 1], fields.list = "list", list
  end
  table.sort(names, core.before)
  return list, names, fields
end

local write

-- What stands in front of an entry so many levels deep; nothing where the text is packed.
local function line_of(depth, packed) return packed and "" or "\n" .. ("  "):rep(depth) end

local function write_list(list, path, depth, packed)
  local pieces, flat = {}, true
  for i, item in ipairs(list) do
    flat = flat and type(item) ~= "table"
    pieces[i] = write(item, ("%s[%d]"):format(path, i), depth + 1, packed)
  end
  if flat then return "[" .. table.concat(pieces, packed and "," or ", ") .. "]" end
  local line = line_of(depth + 1, packed)
  return "[" .. line .. table.concat(pieces, "," .. line) .. line_of(depth, packed) .. "]"
end

local function write_table(value, path, depth, packed)
  local list, names, fields = take_apart(value, path)
  if #names == 0 and (value == json.object or next(list) == nil and path:find "%f[%w_]sd$") then return "{}" end -- sd is a record
  if #names == 0 then return write_list(list, path, depth, packed) end
  local line, colon = line_of(depth + 1, packed), packed and ":" or ": "
  for i, name in ipairs(names) do
    local below = path == "" and name or path .. "." .. name
    names[i] = quoted(name) .. colon .. write(fields[name], below, depth + 1, packed)
  end
  return "{" .. line .. table.concat(names, "," .. line) .. line_of(depth, packed) .. "}"
end

function write(value, path, depth, packed)
  local kind = type(value)
  if kind == "string" then return quoted(value) end
  if kind == "boolean" or value == json.null then return tostring(value) end
  if kind == "number" then
    if value ~= value or value == math.huge or value == -math.huge then refuse(path, core.shortest(value)) end
    return core.shortest(value)
  end
  if kind ~= "table" then refuse(path, kind == "nil" and "nil" or "a " .. kind) end
  if depth > MOST_DEPTH then refuse(path:sub(1, 60) .. "...", "a table that holds itself or is nested too deep") end
  local meta = getmetatable(value)
  local replace = type(meta) == "table" and rawget(meta, "__json")
  if replace then return write(replace(value), path, depth, packed) end
  return write_table(value, path, depth, packed)
end

--- A value as JSON text, without a line end after it.
function json.encode(value) return write(value, "", 0) end

--- The same as short as it can be, for text that no one reads.
function json.packed(value) return write(value, "", 0, true) end

-- ---- reading ------------------------------------------------------------------------------------------------------

local function stop(reader, at, message)
  local _, lines = reader.text:sub(1, at - 1):gsub("\n", "")
  core.fail{code = "syntax", message = message, file = reader.file, line = lines + 1}
end

local function skip_blanks(reader, at) return reader.text:find("[^ \t\r\n]", at) or #reader.text + 1 end

local function found(reader, at)
  if at > #reader.text then return "the text ends" end
  return ("found %q"):format(reader.text:match("^[%z\1-\127\194-\244][\128-\191]*", at) or "a byte that is not UTF-8")
end

local plain = {b = "\b", f = "\f", n = "\n", r = "\r", t = "\t", ['"'] = '"', ["\\"] = "\\", ["/"] = "/"}

-- The letter that a \u escape means, and the place behind it; a pair of surrogates is one letter.
local function read_escape(reader, at)
  local hex = reader.text:match("^%x%x%x%x", at)
  if not hex then stop(reader, at, "\\u needs four hexadecimal digits") end
  local code = tonumber(hex, 16)
  if code >= 0xD800 and code <= 0xDBFF then
    local low = tonumber(reader.text:match("^\\u([dD][c-fC-F]%x%x)", at + 4) or "", 16)
    if not low then stop(reader, at, "half of a surrogate pair") end
    return utf8.char(0x10000 + (code - 0xD800) * 0x400 + low - 0xDC00), at + 10
  end
  if code >= 0xDC00 and code <= 0xDFFF then stop(reader, at, "half of a surrogate pair") end
  return utf8.char(code), at + 4
end

local function read_string(reader, at)
  local pieces, from = {}, at + 1
  while true do
    local mark = reader.text:find('[\0-\31"\\]', from)
    if not mark then stop(reader, at, "a text without a closing quote") end
    pieces[#pieces + 1] = reader.text:sub(from, mark - 1)
    local letter = reader.text:sub(mark, mark)
    if letter == '"' then return table.concat(pieces), mark + 1 end
    if letter ~= "\\" then
      stop(reader, mark, ("the control letter %d in a text must be escaped"):format(letter:byte()))
    else
      local escaped = reader.text:sub(mark + 1, mark + 1)
      if escaped == "u" then
        pieces[#pieces + 1], from = read_escape(reader, mark + 2)
      elseif plain[escaped] then
        pieces[#pieces + 1], from = plain[escaped], mark + 2
      else
        stop(reader, mark, "an escape that JSON does not have")
      end
    end
  end
end

local function read_number(reader, at)
  local word = reader.text:match("^[0-9A-Za-z.+-]+", at)
  local digits = word:match "^%-?(%d+)"
  local rest = digits and word:match "^%-?%d+(.*)$"
  local good = digits and (digits == "0" or digits:sub(1, 1) ~= "0") and
    (rest == "" or rest:find "^%.%d+$" or rest:find "^%.%d+[eE][+-]?%d+$" or rest:find "^[eE][+-]?%d+$")
  if not good then stop(reader, at, ("%q is not a JSON number"):format(word)) end
  local value = core.number(word)
  if not value then stop(reader, at, ("%s is too large for a double"):format(word)) end
  return value, at + #word
end

local names = {["true"] = true, ["false"] = false, null = json.null}

local read

local function read_list(reader, at, depth)
  local list = {}
  at = skip_blanks(reader, at + 1)
  if reader.text:sub(at, at) == "]" then return list, at + 1 end
  while true do
    list[#list + 1], at = read(reader, at, depth + 1)
    at = skip_blanks(reader, at)
    local mark = reader.text:sub(at, at)
    if mark == "]" then return list, at + 1 end
    if mark ~= "," then stop(reader, at, 'in a list "," or "]" is needed, ' .. found(reader, at)) end
    at = skip_blanks(reader, at + 1)
  end
end

local function read_object(reader, at, depth)
  local object = {}
  at = skip_blanks(reader, at + 1)
  if reader.text:sub(at, at) == "}" then return object, at + 1 end
  while true do
    if reader.text:sub(at, at) ~= '"' then stop(reader, at, "a name in quotes is needed, " .. found(reader, at)) end
    local name, behind = read_string(reader, at)
    if object[name] ~= nil then stop(reader, at, ("the name %q stands twice"):format(name)) end
    at = skip_blanks(reader, behind)
    if reader.text:sub(at, at) ~= ":" then stop(reader, at, 'behind a name ":" is needed, ' .. found(reader, at)) end
    object[name], at = read(reader, skip_blanks(reader, at + 1), depth + 1)
    at = skip_blanks(reader, at)
    local mark = reader.text:sub(at, at)
    if mark == "}" then return object, at + 1 end
    if mark ~= "," then stop(reader, at, 'in an object "," or "}" is needed, ' .. found(reader, at)) end
    at = skip_blanks(reader, at + 1)
  end
end

function read(reader, at, depth)
  if depth > MOST_DEPTH then stop(reader, at, ("nested more than %d deep"):format(MOST_DEPTH)) end
  local letter = reader.text:sub(at, at)
  if letter == "{" then return read_object(reader, at, depth) end
  if letter == "[" then return read_list(reader, at, depth) end
  if letter == '"' then return read_string(reader, at) end
  if letter:find "[%d-]" then return read_number(reader, at) end
  local word = reader.text:match("^[A-Za-z]+", at)
  if word == nil or names[word] == nil then stop(reader, at, "a value is needed, " .. found(reader, at)) end
  return names[word], at + #word
end

--- The value that a JSON text means; `file` names it in errors.
function json.decode(bytes, file)
  if type(bytes) ~= "string" then
    core.fail{code = "type", message = "json.decode needs a text, not a " .. type(bytes)}
  end
  local reader = {text = bytes, file = file}
  local good, bad = utf8.len(bytes)
  if not good then stop(reader, bad, "not UTF-8") end
  local value, at = read(reader, skip_blanks(reader, 1), 0)
  at = skip_blanks(reader, at)
  if at <= #bytes then stop(reader, at, "more text after the value, " .. found(reader, at)) end
  return value
end

return json
