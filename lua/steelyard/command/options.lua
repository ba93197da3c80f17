--- sy.options(spec) -> o: reads the command line of a script, under the command and under a plain lua5.4.
--
--   local o = sy.options{
--     about = "Axle and wheel loads of a car.",
--     usage = "balance CAR [--state NAME]",
--     examples = {"steelyard balance vehicles/first_guess.lua", "..."},
--     args = {{"car", "vehicle file"}, {"changes", "what moves", many = true, optional = true}},
--     options = {state = {"NAME", "load state"}, step = {"MM", "one step", number = true, default = 50},
--                each = {nil, "each change alone too"}},
--     apart = {{"step", "each"}}, needs = {{"state", "step"}}, prints = "table",
--   }
--   o.car, o.changes, o.state, o.step, o.each, o.json, o.quiet
--
-- args     in order: {name, meaning, ...}; without a value an error unless optional or with a default; `many` takes all
--          that is left, as a list
-- options  name = {placeholder, meaning, ...}; without a placeholder a flag, true or false; --two-words is two_words
-- Both take number = true (then min =, max =, whole = true), choices = {...}, list = true (values with commas between;
-- then count = how many there must be), default =, field = the name under which the library knows the value, where that is another, and
-- words = true where the library knows all words that fit, whatever the vehicle (see as_typed).
-- An option with again = true may be given several times: a list of what each time gave.
-- apart    lists of options of which at most one may be given
-- needs    lists of options of which at least one must be given
-- prints   what sy.out prints, in a word: "table", "sheet" ... The script then takes --to FILE and --replace, and sy.out writes what it
--          would have printed to that file
-- plots    true for a script whose result has a picture (reference/pictures.lua): it takes --plot FILE, and sy.out writes the picture too
-- study    true for a script that runs a study, which then gets to = o.to, replace = o.replace, shard = o.shard, threads = o.threads and
--          quiet = o.quiet. The script takes --to FILE, --replace, --shard K/N and --threads N. A list of names for a script that runs
--          several: it takes --study NAME too, without which there is no --to, and calls each only if o.runs "its name"
-- --json, --quiet and --help are always there; -- ends the options; negative numbers are values. An argument that is read and begins with
-- vehicles/ may lie in the installed examples: see examples.lua. `new = true` says that an argument is written.
--
-- A mistake raises an error of code "usage", which ends the process with code 2 and one line; --help prints a page that starts with
-- the examples.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local options = {}

local function refuse(message, hint) core.fail{code = "usage", message = message, hint = hint} end

--- What every script takes.
options.common = {
  json = {nil, "print one JSON document"}, quiet = {nil, "no remarks on stderr"}, help = {nil, "print this page"},
}

-- What a script takes that says what it prints.
local to_a_file = {
  to = {"FILE", "write the %s to this file, whole or not at all; what the command reads is never written over"},
  replace = {nil, "with --to: a file that is there already is replaced"},
}

-- What a script takes whose result has a picture.
local a_picture = {"FILE", "the picture of it to this file as well: .svg for a browser or the printer, .png, .pdf, or .txt", alone = true,
                   field = "path"}

-- What a script takes that runs a study.
local of_a_study = {
  to = {"FILE", "write the study to this file; what is done stands in FILE.part until then, and a run that was stopped goes on from there"},
  replace = to_a_file.replace,
  shard = {"K/N", "only the K-th of N shards, which --to FILE then holds: steelyard merge joins them"},
  threads = {"N", "how many work at once, unless stated as many as there are processors; no result depends on it", number = true,
             whole = true, min = 1, max = 64, alone = true},
}

-- What a script takes besides that runs several.
local function of_studies(names)
  local all = {study = {"NAME", "only this one of the studies, as --to FILE needs", choices = names, alone = true}}
  for name, rule in pairs(of_a_study) do all[name] = rule end
  return all
end

local function own_files(spec)
  if spec.study then return type(spec.study) == "table" and of_studies(spec.study) or of_a_study end
  return spec.prints and {replace = to_a_file.replace, to = {to_a_file.to[1], to_a_file.to[2]:format(spec.prints)}}
end

local function added_by(spec)
  local files = own_files(spec)
  if not spec.plots then return files end
  local all = {}
  for name, rule in pairs(files or {}) do all[name] = rule end
  all.plot = a_picture
  all.replace = {nil, ("with %s--plot: a file that is there already is replaced"):format(files and "--to and " or "")}
  return all
end

--- The common options of a spec, by name.
function options.common_of(spec)
  local added = added_by(spec)
  if not added then return options.common end
  local all = {}
  for name, rule in pairs(added) do all[name] = rule end
  for name, rule in pairs(options.common) do all[name] = rule end
  for name in pairs(spec.options or {}) do
    if all[name] then core.fail{code = "clash", field = name, message = "is an option that every script has"} end
  end
  return all
end

--- The names of all options of a spec, the script's own first, each sorted.
function options.names(spec)
  local names = {}
  for _, set in ipairs{spec.options or {}, options.common_of(spec)} do
    local first = #names + 1
    for name in pairs(set) do names[#names + 1] = name end
    local own = table.move(names, first, #names, 1, {})
    table.sort(own, core.before)
    table.move(own, 1, #own, first, names)
  end
  return names
end

--- "no_fuel" -> "--no-fuel"
function options.spelled(name) return "--" .. name:gsub("_", "-") end

local function read_number(label, rule, word)
  local value = core.number(word)
  if not value then
    refuse(("%s must be a number, not %q"):format(label, word),
      word:find "^%-?%d+,%d+$" and "decimals take a point" or nil)
  end
  local function must_be(what) refuse(("%s must be %s, not %s"):format(label, what, word)) end
  if rule.whole and value % 1 ~= 0 then must_be "a whole number" end
  if rule.min and value < rule.min then must_be(core.shortest(rule.min) .. " or more") end
  if rule.max and value > rule.max then must_be(core.shortest(rule.max) .. " or less") end
  return rule.whole and math.tointeger(value) or value
end

local function read_one(label, rule, word)
  if rule.number then return read_number(label, rule, word) end
  for _, choice in ipairs(rule.choices or {}) do
    if word == choice then return word end
  end
  if rule.choices then
    local near = core.nearest(word, rule.choices)
    refuse(("%s is %s, not %q"):format(label, text.join(rule.choices, "or"), word),
      near and ("did you mean %q?"):format(near))
  end
  return word
end

local function read_value(label, rule, word)
  if not rule.list then return read_one(label, rule, word) end
  local list = {}
  for piece in (word .. ","):gmatch "([^,]*)," do list[#list + 1] = read_one(label, rule, piece) end
  if rule.count and #list ~= rule.count then
    refuse(("%s takes %s, not %s"):format(label, rule[1], #list == 1 and "one value" or ("%d values"):format(#list)))
  end
  return list
end

-- The rule that "--two-words" asks for, and its name.
local function find_rule(spec, word)
  local name = word:sub(3):gsub("-", "_")
  local rule = options.common_of(spec)[name] or spec.options and spec.options[name]
  if rule then return rule, name end
  local names = options.names(spec)
  for i, known in ipairs(names) do names[i] = options.spelled(known) end
  local near = core.nearest(word, names)
  refuse(("there is no option %s"):format(word), near and ("did you mean %s?"):format(near))
end

-- One option at argument i; gives the index of the last argument used.
local function read_option(spec, o, given, i)
  local word, value = given[i]:match "^(%-%-[^=]+)=(.*)$"
  local rule, name = find_rule(spec, word or given[i])
  local label = options.spelled(name)
  if o[name] ~= nil and not rule.again then refuse(label .. " is given twice") end
  if rule[1] == nil then
    if value then refuse(label .. " takes no value") end
    o[name] = true
    return i
  end
  if not value then
    i = i + 1
    value = given[i]
    if not value or value:find "^%-%-%a" then refuse(("%s needs a value: %s %s"):format(label, label, rule[1])) end
  end
  local read = read_value(label, rule, value)
  if rule.again then
    o[name] = o[name] or {}
    table.insert(o[name], read)
  else
    o[name] = read
  end
  return i
end

-- Options that go together or do not.
local function check_together(spec, o)
  local function given(list)
    local names = {}
    for _, name in ipairs(list) do
      if o[name] ~= nil then names[#names + 1] = options.spelled(name) end
    end
    return names
  end
  for _, list in ipairs(spec.apart or {}) do
    local names = given(list)
    if #names > 1 then refuse(("%s do not go together"):format(text.join(names))) end
  end
  for _, list in ipairs(spec.needs or {}) do
    if #given(list) == 0 then
      local names = {}
      for i, name in ipairs(list) do names[i] = options.spelled(name) end
      refuse(("%s is needed"):format(text.join(names, "or")))
    end
  end
  if o.to == "" and own_files(spec) then refuse "--to needs the name of a file" end
  if o.plot == "" and spec.plots then refuse "--plot needs the name of a file" end
  if o.to and not o.study and type(spec.study) == "table" then
    refuse("--to goes with --study NAME here", "the script runs " .. text.join(spec.study))
  end
  for name, rule in pairs(added_by(spec) or {}) do
    if o[name] and not o.to and not rule.alone and not (name == "replace" and o.plot) then
      local with = name == "replace" and spec.plots and "--to FILE or --plot FILE" or "--to FILE"
      refuse(("%s goes with %s"):format(options.spelled(name), with))
    end
  end
end

-- o.runs(name): is the study of that name to run?
local function runs_of(names, chosen)
  return function(name)
    for _, known in ipairs(names) do
      if name == known then return chosen == nil or chosen == name end
    end
    local near = type(name) == "string" and core.nearest(name, names)
    core.fail{code = "unknown", field = "study", message = ("%s is not among the studies that sy.options lists"):format(text.named(name)),
      hint = near and ("did you mean %q?"):format(near) or "they are " .. text.join(names)}
  end
end

local function fill_arguments(spec, o, words)
  local next_word = 1
  for _, rule in ipairs(spec.args or {}) do
    local name, label = rule[1], rule[1]:upper()
    if words[next_word] == nil then
      if rule.default == nil and not rule.optional then refuse(("%s is missing: %s"):format(label, rule[2])) end
      o[name] = rule.default
      if o[name] == nil and rule.many then o[name] = {} end
    elseif rule.many then
      o[name] = {}
      for i = next_word, #words do o[name][#o[name] + 1] = read_value(label, rule, words[i]) end
      next_word = #words + 1
    else
      o[name] = read_value(label, rule, words[next_word])
      next_word = next_word + 1
    end
  end
  if words[next_word] then refuse(("%q is one argument too many"):format(words[next_word])) end
end

--- The same from a list of words, raising an error object of code "usage" instead of ending the process. With --help
-- the result has help = true and nothing else is checked.
function options.parse(spec, given)
  local o, words, i, closed = {}, {}, 1, false
  while given[i] do
    local word = given[i]
    if not closed and (word == "--help" or word == "-h") then return {help = true} end
    if closed or not word:find "^%-[^%d.]" then
      words[#words + 1] = word
    elseif word == "--" then
      closed = true
    elseif word:find "^%-%-" then
      i = read_option(spec, o, given, i)
    else
      refuse(("there is no option %s"):format(word), "options begin with --")
    end
    i = i + 1
  end
  check_together(spec, o)
  fill_arguments(spec, o, words)
  if spec.plots and o.plot then o.picture = {path = o.plot, replace = o.replace or false} end
  if spec.prints and o.to then
    o.output = {path = o.to, replace = o.replace or false, prints = spec.prints}
  end
  for name, rule in pairs(spec.options or {}) do
    if o[name] == nil then o[name] = rule.default end
    if o[name] == nil and rule[1] == nil then o[name] = false end
  end
  if type(spec.study) == "table" then o.runs = runs_of(spec.study, o.study) end
  o.json, o.quiet = o.json or false, o.quiet or false
  return o
end

--- "steelyard balance"
function options.program(spec)
  return "steelyard " .. (spec.usage and spec.usage:match "^%S+" or arg and arg[0] or "SCRIPT")
end

--- An error of what was typed says so: see options/typed.lua.
function options.as_typed(spec, err) require("steelyard.command.options.typed").say(spec, err, options) end

local current -- the spec of the script that runs

-- Is that a command? The author of another script reads what the library says to Lua.
local function of_the_command() return arg[0]:find "scripts/[%w_]+%.lua$" ~= nil end

--- The same for whatever ended the script that runs.
function options.typed(err)
  if current and of_the_command() and type(err) == "table" and getmetatable(err) == core.error_metatable then
    options.as_typed(current, err)
  end
end

-- Does an argument begin as the examples do, and is not a file here?
local function names_example(spec, o)
  for _, rule in ipairs(spec.args or {}) do
    local given = o[rule[1]]
    for _, word in ipairs(type(given) == "table" and given or {given}) do
      if type(word) == "string" and word:find "^vehicles/" and not core.is_there(word) then return true end
    end
  end
  return false
end

-- Names of studies stand on the command line: words, each another.
local function check_studies(studies)
  if studies == nil or type(studies) == "boolean" then return end
  local fine, said = type(studies) == "table" and studies[1] ~= nil, {}
  for _, name in ipairs(fine and studies or {}) do
    fine = fine and type(name) == "string" and name:find "^%w[%w_-]*$" ~= nil and not said[name]
    said[name] = true
  end
  if fine then return end
  core.fail{code = "type", field = "study", message = "is neither true nor a list of names, each another",
    hint = 'such as {"window", "draws"}'}
end

-- What the author of a script wrote.
local function check_spec(spec)
  if type(spec) ~= "table" then
    core.fail{code = "type", message = ("sy.options needs a table that says what the script takes, not %s"):format(text.named(spec)),
      hint = 'such as sy.options{about = "...", args = {{"car", "vehicle file"}}}'}
  end
  check_studies(spec.study)
  for field, form in pairs{args = '{"car", "vehicle file"}', options = 'name = {"MM", "how far"}'} do
    local list = spec[field]
    if list ~= nil and type(list) ~= "table" then
      core.fail{code = "type", field = field, message = ("is %s, not a list of entries such as %s"):format(text.named(list), form)}
    end
    for key, rule in pairs(list or {}) do
      local name, meaning = key, type(rule) == "table" and rule[2]
      if field == "args" then name = type(rule) == "table" and rule[1] end
      if type(name) ~= "string" or type(meaning) ~= "string" then
        core.fail{code = "type", field = ("%s[%s]"):format(field, text.named(key)), message = "is not an entry such as " .. form}
      end
    end
  end
end

--- sy.options: reads the global `arg`.
function options.read(spec)
  check_spec(spec)
  core.outlive_readers()
  if arg and arg[-1] then -- there a plain interpreter puts its own name
    require("steelyard.command.plain_lua").watch(options.typed, function(err) require("steelyard.command.out").failed(err) end)
  end
  local o = options.parse(spec, arg or {})
  if o.help then
    require("steelyard.command.out").text(require("steelyard.command.options.help").page(spec, options))
    os.exit(true, true)
  end
  current = spec
  if names_example(spec, o) then require("steelyard.command.examples").take(spec, o, require("steelyard.command.out").remark) end
  return o
end

return options
