--- From the public headers: what each structure holds, and a call of each function, as C for tests/test_sweep.c.
-- Usage: steelyard tests/sweep/generate.lua OUT FIXTURES HEADER...
-- Stops with an error when a public function has an argument that neither the fixtures nor recipes.lua can fill, or a recipe is one of
-- nothing public.

local out_path, fixtures_path = arg[1], arg[2]
local recipes = dofile((arg[0]:match("^(.*)/") or ".") .. "/recipes.lua")

local function read(path)
  local file = assert(io.open(path, "rb"))
  local text = file:read "a"
  file:close()
  return text
end

local function set(list)
  local s = {}
  for _, name in ipairs(list) do s[name] = true end
  return s
end

-- ---- what the headers say ---------------------------------------------------------------------------------------

local structs, order, enums, functions = {}, {}, {}, {}

--- Does a comment allow NaN, or infinity, in what it stands beside?
local function allows(comment)
  local nan = comment:find "%f[%w]NaN%f[%W]" or comment:find "%f[%w]NAN%f[%W]"
  local infinite = comment:find "INFINITY" or comment:find "infinite" or comment:find "infinity"
  return nan ~= nil, infinite ~= nil
end

--- "double load[2], u[2]" with the comment behind it: one row a name.
local function read_field(declaration, comment, fields)
  local nan, infinite = allows(comment)
  local base, names = declaration:match "^const%s+([%w_]+)%s+(.*)$"
  if not base then base, names = declaration:match "^signed%s+(char)%s+(.*)$" end
  if not base then base, names = declaration:match "^([%w_]+)%s+(.*)$" end
  if base == "unsigned" and names:find "^char%s" then base, names = "uint8_t", names:gsub("^char%s+", "") end
  names = names:gsub("%s*const%s*", "")
  for name in names:gmatch "[^,]+" do
    local stars, word, size = name:match "^%s*(%**)%s*([%w_]+)%s*(.-)%s*$"
    if not word then error("what is " .. declaration .. "?") end
    fields[#fields + 1] = {name = word, base = base, pointer = #stars, array = size ~= "", nan = nan, infinite = infinite}
  end
end

local function read_struct(name, body, before)
  local fields = {}
  local whole_nan, whole_infinite = allows(before)
  -- a declaration, and the comments up to the next one
  local at = 1
  while true do
    local first, last, declaration = body:find("^%s*([%a][^;/]-)%s*;%s*", at)
    local comment_first, comment_last = body:find("^%s*/%*(.-)%*/", at)
    if comment_first then -- a comment that stands before any declaration
      at = comment_last + 1
    elseif not first then
      break
    else
      at = last + 1
      local behind_first, behind_last, behind = body:find("^%s*/%*(.-)%*/", at)
      if behind_first then at = behind_last + 1 else behind = "" end
      if declaration:find "%(" then -- a pointer to a function
        fields[#fields + 1] = {name = declaration:match "%(%*([%w_]+)%)", base = "function", pointer = 1}
      else
        read_field(declaration:gsub("%s+", " "), behind, fields)
      end
    end
  end
  for _, field in ipairs(fields) do
    field.nan, field.infinite = field.nan or whole_nan, field.infinite or whole_infinite
  end
  structs[name] = fields
  order[#order + 1] = name
end

local function read_function(text)
  local result, name, parameters = text:match "^(.-)%s*([%w_]+)%((.*)%)[^)]*$"
  local f = {name = name, result = result, parameters = {}}
  for parameter in (parameters == "void" and "" or parameters):gmatch "[^,]+" do
    if parameter:find "%.%.%." then f.open_ended = true break end
    local before, size = parameter:match "^(.-)%s*%[(.-)%]%s*$"
    local kind, word = (before or parameter):match "^%s*(.-)([%w_]+)%s*$"
    kind = kind:gsub("%s+$", ""):gsub("%s+", " ")
    f.parameters[#f.parameters + 1] = {name = word, kind = kind, size = size}
  end
  functions[#functions + 1] = f
end

local seen = {}
for i = 3, #arg do
  local text = read(arg[i]):gsub("\n#[^\n]*", function(line) return "\n" .. (line:match "/%*.*" or "") end)
  for at, body, name in text:gmatch "()typedef struct [%w_]* ?(%b{}) ([%w_]+);" do
    read_struct(name, body:sub(2, -2), text:sub(1, at - 1):match "^.*(/%*.-%*/)%s*$" or "")
  end
  for name in text:gmatch "typedef enum [%w_]+ %b{} ([%w_]+);" do enums[name] = true end
  local plain = text:gsub("/%*.-%*/", "")
  for prototype in plain:gmatch "SY_API%s+([^;]+);" do
    prototype = prototype:gsub("%s+", " "):gsub(" SY_PRINTF%b()", "")
    if not seen[prototype] then
      seen[prototype] = true
      read_function(prototype)
    end
  end
end

-- ---- types ------------------------------------------------------------------------------------------------------

local scalars = {double = "DOUBLE", int = "INT", size_t = "SIZE", bool = "BOOL", unsigned = "UNSIGNED", uint32_t = "UNSIGNED",
  uint64_t = "WORD", int64_t = "WORD", uint8_t = "BYTE", char = "CHAR"}
local fixtures = {}
for name in read(fixtures_path):gmatch "\nstatic void make_([%w_]+)%(" do fixtures[name] = true end
local opaque, made, counts, copies = set(recipes.opaque), set(recipes.made), set(recipes.counts), set(recipes.copies)

local lines = {}
local function put(format, ...) lines[#lines + 1] = select("#", ...) > 0 and format:format(...) or format end

local function type_of(base)
  if scalars[base] then return "&type_" .. base end
  if enums[base] then return "&type_enum" end
  if structs[base] then return "&type_" .. base end
end

put "/* written by tests/sweep/generate.lua from the public headers: do not edit */"
for _, name in ipairs(order) do put("static const type type_%s;", name) end
for _, name in ipairs(order) do
  put("static const field fields_of_%s[] = {", name)
  local rows = 0
  for _, f in ipairs(structs[name]) do
    local path = name .. "." .. f.name
    local reach = recipes.reach[path]
    local kind = type_of(f.base)
    local flags = {}
    if f.nan then flags[#flags + 1] = "MAY_BE_NAN" end
    if f.infinite then flags[#flags + 1] = "MAY_BE_INFINITE" end
    if counts[path] then flags[#flags + 1] = "IS_COUNT" end
    if copies[path] then flags[#flags + 1] = "IS_COPY" end
    if opaque[path] or made[f.base] then flags[#flags + 1] = "IS_FIXED" end
    local flag = #flags > 0 and table.concat(flags, " | ") or "0"
    if f.pointer > 0 then
      if reach then
        put('    {"%s", offsetof(%s, %s), %s, sizeof(((%s *)0)->%s) / sizeof(void *), %d, %s},', f.name, name, f.name, kind, name,
          f.name, reach, flag)
        rows = rows + 1
      elseif not opaque[path] and f.base ~= "char" and f.base ~= "void" and f.base ~= "function" then
        error(("recipes.lua: %s is a pointer: name it under reach or opaque"):format(path))
      end
    elseif kind then
      put('    {"%s", offsetof(%s, %s), %s, sizeof(((%s *)0)->%s) / sizeof(%s), 0, %s},', f.name, name, f.name, kind, name, f.name,
        f.base, flag)
      rows = rows + 1
    else
      error(("%s: no type %s"):format(path, f.base))
    end
  end
  if rows == 0 then put '    {"", 0, &type_int, 0, 0, 0},' end
  put "};"
  put('static const type type_%s = {"%s", sizeof(%s), STRUCT, fields_of_%s, %d};', name, name, name, name, rows)
  put ""
end

-- ---- calls ------------------------------------------------------------------------------------------------------

local function complain(f, p, what) error(("tests/sweep/recipes.lua has no recipe for %s(%s): %s"):format(f.name, p.name, what), 0) end

--- One argument: declarations in the structure of arguments, statements that fill it, what is passed, rows for the engine.
local function argument(f, p, recipe)
  local a = {declare = {}, fill = {}, rows = {}}
  local given = recipe[p.name]
  local kind = p.kind
  local const = kind:find "^const " ~= nil
  local base = kind:gsub("^const ", ""):gsub("%s*%*.*$", "")
  local stars = select(2, kind:gsub("%*", "")) + (p.size and 1 or 0)
  local null_allowed = set(recipe.null or {})[p.name]
  local function row(place, kind_of, count, flags)
    a.rows[#a.rows + 1] = ('{"%s", %s, %s, %s, %s}'):format(p.name, place, kind_of, count, flags)
  end

  if base == "sy_error" then
    a.pass = "err"
  elseif stars == 0 then
    a.declare[1] = ("%s %s;"):format(base, p.name)
    a.pass = "A_" .. f.name .. "." .. p.name
    if given ~= nil then
      a.fill[1] = ("%s = %s;"):format(a.pass, given)
    elseif fixtures[base] then
      a.fill[1] = ("make_%s(&%s, 0);"):format(base, a.pass)
    elseif base == "bool" then
      a.fill[1] = a.pass .. " = true;"
    elseif enums[base] then
      a.fill[1] = ("%s = (%s)0;"):format(a.pass, base)
    else
      complain(f, p, "it is a " .. kind)
    end
    local fixed = set(recipe.fixed or {})[p.name]
    local counted = (base == "size_t" or set(recipe.counts or {})[p.name]) and not set(recipe.free or {})[p.name]
    local flags = fixed and "IN | IS_FIXED" or counted and "IN | IS_COUNT" or "IN"
    row("&" .. a.pass, assert(type_of(base), base), 1, made[base] and "IN | IS_FIXED" or flags)
  elseif type(given) == "string" then -- passed as it stands; $x is argument x
    a.pass = given:gsub("%$([%w_]+)", "A_" .. f.name .. ".%1")
  elseif recipes.handles[kind] then
    a.pass = recipes.handles[kind]
  elseif recipes.owned[base .. string.rep("*", stars)] then -- a new ledger, mesh or table comes back
    local owned = recipes.owned[base .. string.rep("*", stars)]
    a.declare[1] = ("%s *%s;"):format(base, p.name)
    a.fill[1] = ("A_%s.%s = NULL;"):format(f.name, p.name)
    a.pass = ("&A_%s.%s"):format(f.name, p.name)
    a.after = ("if (status == SY_OK) %s(A_%s.%s);"):format(owned, f.name, p.name)
  elseif stars == 1 and (type_of(base) or base == "char") then
    -- storage and a pointer to it
    local count = type(given) == "table" and (given.n or given.out) or p.size or 1
    local storage = ("A_%s.of_%s"):format(f.name, p.name)
    a.declare[1] = ("%s of_%s[%s];"):format(base, p.name, count)
    a.declare[2] = ("%s%s *%s;"):format(const and "const " or "", base, p.name)
    a.pass = ("A_%s.%s"):format(f.name, p.name)
    a.fill[1] = ("%s = %s;"):format(a.pass, storage)
    local is_in = const or (type(given) == "table" and given.inout)
    if is_in and type(given) == "table" and given[1] then
      a.fill[2] = ("{ const %s start[] = {%s}; memcpy(%s, start, sizeof start); }"):format(base, given[1], storage)
    elseif is_in and fixtures[base] then
      a.fill[2] = ("for (int i = 0; i < (int)(%s); i++) make_%s(&%s[i], i);"):format(count, base, storage)
    elseif is_in then
      complain(f, p, "it is a " .. kind)
    end
    if base == "char" then a.rows = {} return a end
    local flags = not is_in and ((type(given) == "table" and given.scratch) and "SCRATCH" or "OUT")
      or (made[base] or (type(given) == "table" and given.fixed)) and "IN | IS_FIXED" or "IN"
    if type(given) == "table" and given.copy then flags = flags .. " | IS_COPY" end
    if type(given) == "table" and given.nan then flags = flags .. " | MAY_BE_NAN" end
    if type(given) == "table" and given.infinite then flags = flags .. " | MAY_BE_INFINITE" end
    row(storage, type_of(base), count, flags)
    if null_allowed then row("&" .. a.pass, "&type_pointer", 1, "IN") end
  else
    complain(f, p, "it is a " .. kind)
  end
  return a
end

local list, skipped = {}, 0
for _, f in ipairs(functions) do
  local recipe = recipes.functions[f.name] or {}
  if recipe.skip then
    skipped = skipped + 1
  else
    local arguments, pass, rows = {}, {}, {}
    local members = {}
    for _, p in ipairs(f.parameters) do
      local a = argument(f, p, recipe)
      arguments[#arguments + 1] = a
      pass[#pass + 1] = a.pass
      for _, d in ipairs(a.declare) do members[#members + 1] = d end
      for _, r in ipairs(a.rows) do rows[#rows + 1] = r end
    end
    if #members > 0 then
      put "static struct {"
      for _, d in ipairs(members) do put("  " .. d) end
      put("} A_%s;", f.name)
    end
    put("static void fill_%s(void) {", f.name)
    for _, a in ipairs(arguments) do for _, line in ipairs(a.fill) do put("  " .. line) end end
    if recipe.fill then put("  " .. recipe.fill:gsub("%$([%w_]+)", "A_" .. f.name .. ".%1")) end
    put "}"
    put("static sy_status call_%s(sy_error *err) {", f.name)
    local call = ("%s(%s)"):format(f.name, table.concat(pass, ", "))
    if f.result == "sy_status" then
      put("  const sy_status status = %s;", call)
      for _, a in ipairs(arguments) do if a.after then put("  " .. a.after) end end
      put "  return status;"
    else
      put "  (void)err;"
      if f.result == "void" then put("  %s;", call) else put("  (void)%s;", call) end
      put "  return SY_OK;"
    end
    put "}"
    put("static const argument arguments_of_%s[] = {%s};", f.name, #rows > 0 and table.concat(rows, ", ") or '{"", NULL, &type_int, 0, 0}')
    put ""
    list[#list + 1] = ('    {"%s", fill_%s, call_%s, arguments_of_%s, %d, %s, %d},'):format(f.name, f.name, f.name, f.name, #rows,
      f.result == "sy_status" and "true" or "false", recipe.calls or 1500)
  end
end

-- ---- recipes that nothing uses ------------------------------------------------------------------------------------------------

local about_function = set {"skip", "fill", "calls", "counts", "null", "fixed", "free"} -- in a recipe, beside its arguments
local about_arguments = {"counts", "null", "fixed", "free"} -- these are lists of them

--- A function renamed or made private leaves its recipe behind: then what the recipe took care of is no longer tested.
local function unused_recipes()
  local unused, parameters, fields = {}, {}, {}
  for _, f in ipairs(functions) do
    parameters[f.name] = {}
    for _, p in ipairs(f.parameters) do parameters[f.name][p.name] = true end
  end
  for name, recipe in pairs(recipes.functions) do
    if not parameters[name] then unused[#unused + 1] = name end
    for key in pairs(parameters[name] and recipe or {}) do
      if not about_function[key] and not parameters[name][key] then unused[#unused + 1] = name .. "." .. key end
    end
    for _, key in ipairs(parameters[name] and about_arguments or {}) do
      for _, argument_name in ipairs(recipe[key] or {}) do
        if not parameters[name][argument_name] then unused[#unused + 1] = name .. "." .. argument_name end
      end
    end
  end
  for name, list_of_fields in pairs(structs) do
    for _, f in ipairs(list_of_fields) do fields[name .. "." .. f.name] = true end
  end
  for _, names in ipairs {recipes.opaque, recipes.counts, recipes.copies or {}} do
    for _, path in ipairs(names) do if not fields[path] then unused[#unused + 1] = path end end
  end
  for path in pairs(recipes.reach) do if not fields[path] then unused[#unused + 1] = path end end
  for _, name in ipairs(recipes.made) do if not structs[name] then unused[#unused + 1] = name end end
  table.sort(unused)
  return unused
end

local unused = unused_recipes()
if #unused > 0 then
  error("tests/sweep/recipes.lua: nothing public is called " .. table.concat(unused, ", "), 0)
end

put "static const function functions[] = {"
for _, line in ipairs(list) do put("%s", line) end
put "};"
put("enum { FUNCTIONS = %d, LEFT_OUT = %d };", #list, skipped)

local file = assert(io.open(out_path, "wb"))
file:write(table.concat(lines, "\n"), "\n")
file:close()
