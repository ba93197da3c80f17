--- The command line of a script: what is read, what is refused, what the process does then.

local check = dofile "tests/lua/check.lua"
local options = require "steelyard.command.options"

local spec = {
  about = "One part at several places.",
  usage = "places CAR [CHANGES ...] [--state NAME]",
  examples = {"steelyard places car.lua", "steelyard places car.lua --back -50,50"},
  args = {{"car", "vehicle file"}, {"changes", "what moves", many = true, optional = true}},
  options = {
    state = {"NAME", "load state"}, back = {"MM,...", "places", number = true, list = true, default = {-50, 50}},
    draws = {"N", "how many", number = true, whole = true, min = 1, max = 1000, default = 10},
    range = {"FROM,TO,N", "places", number = true, list = true, count = 3},
    hold = {"WHAT", "what stays", choices = {"heights", "least turns"}}, each_alone = {nil, "each change alone too"},
  },
}

local function parse(...) return options.parse(spec, {...}) end

check.test("parse_fills_in_what_was_not_given", function()
  check.equal(parse "car.lua", {car = "car.lua", changes = {}, back = {-50, 50}, draws = 10, each_alone = false,
                                json = false, quiet = false})
end)

check.test("parse_reads_both_spellings_of_a_value", function()
  check.equal(parse("car.lua", "--state", "race start").state, "race start")
  check.equal(parse("--state=race start", "car.lua").state, "race start")
  check.equal(parse("car.lua", "--state=").state, "")
  check.equal(parse("car.lua", "--state=a=b").state, "a=b")
end)

check.test("parse_takes_negative_numbers_for_values", function()
  check.equal(parse("car.lua", "--back", "-23.5,0,.5").back, {-23.5, 0, 0.5})
  check.equal(parse("car.lua", "-5").changes, {"-5"})
end)

check.test("parse_reads_flags_and_dashed_names", function()
  local o = parse("--json", "car.lua", "--each-alone", "--quiet")
  check.equal({o.json, o.each_alone, o.quiet}, {true, true, true})
  check.equal(parse("car.lua", "--each_alone").each_alone, true)
end)

check.test("parse_takes_everything_after_two_dashes_as_it_is", function()
  check.equal(parse("--", "--state", "--help").changes, {"--help"})
  check.equal(parse("--", "--state", "--help").car, "--state")
end)

check.test("parse_gives_whole_numbers_as_integers", function()
  check.equal(math.type(parse("car.lua", "--draws", "1e2").draws), "integer")
end)

check.test("parse_refuses_with_the_nearest_right_word", function()
  local cases = {
    {{"car.lua", "--stat", "x"}, "--stat", "--state"},
    {{"car.lua", "--jsn"}, "--jsn", "--json"},
    {{"car.lua", "--zzzzzz"}, "--zzzzzz"},
    {{"car.lua", "-s"}, "-s", "--"},
    {{"car.lua", "--state"}, "--state needs a value", nil},
    {{"car.lua", "--state", "--json"}, "--state needs a value"},
    {{"car.lua", "--json=yes"}, "--json takes no value"},
    {{"car.lua", "--state", "a", "--state", "b"}, "--state is given twice"},
    {{"car.lua", "--back", "1,,2"}, '--back must be a number, not ""'},
    {{"car.lua", "--range", "1,2"}, "--range takes FROM,TO,N, not 2 values"},
    {{"car.lua", "--range", "1"}, "--range takes FROM,TO,N, not one value"},
    {{"car.lua", "--draws", "12,5"}, '"12,5"', "point"},
    {{"car.lua", "--draws", "0x10"}, '"0x10"'},
    {{"car.lua", "--draws", "nan"}, '"nan"'},
    {{"car.lua", "--draws", "2.5"}, "whole number"},
    {{"car.lua", "--draws", "0"}, "1 or more"},
    {{"car.lua", "--draws", "1001"}, "1000 or less"},
    {{"car.lua", "--hold", "height"}, "heights or least turns", "heights"},
    {{}, "CAR is missing"},
  }
  for _, case in ipairs(cases) do
    check.raises(function() return options.parse(spec, case[1]) end,
      {code = "usage", message = case[2], hint = case[3] or nil})
  end
end)

check.test("parse_refuses_one_argument_too_many", function()
  check.raises(function() return options.parse({args = {{"car", "vehicle file"}}}, {"a", "b"}) end,
    {code = "usage", message = '"b" is one argument too many'})
end)

check.test("parse_says_which_options_do_not_go_together_and_which_are_needed", function()
  local two = {options = {left = {"G", ""}, right = {"G", ""}, up = {nil, ""}},
    apart = {{"left", "right"}}, needs = {{"left", "right", "up"}}}
  check.raises(function() return options.parse(two, {"--left", "1", "--right", "2"}) end,
    {code = "usage", message = "--left and --right do not go together"})
  check.raises(function() return options.parse(two, {}) end, {code = "usage", message = "--left, --right or --up is needed"})
  check.equal(options.parse(two, {"--up", "--left", "1"}).left, "1")
end)

check.test("parse_takes_a_file_only_for_a_script_that_prints", function()
  check.raises(function() return options.parse({}, {"--to", "x"}) end, "there is no option --to")
  check.raises(function() return options.parse({prints = "page"}, {"--replace"}) end, "--replace goes with --to FILE")
  check.raises(function() return options.parse({prints = "page"}, {"--to="}) end, "--to needs the name of a file")
  check.equal(options.parse({prints = "page"}, {"--to", "x"}).output, {path = "x", replace = false, prints = "page"})
  check.raises(function() return options.parse({prints = "page", options = {to = {"L", "litres"}}}, {"--to", "x"}) end,
    {code = "clash", field = "to"})
end)

check.test("threads_are_an_option_of_every_study", function()
  check.equal(options.parse({study = true}, {"--threads", "3"}).threads, 3)
  check.raises(function() return options.parse({study = true}, {"--threads", "0"}) end, "--threads must be 1 or more")
  check.raises(function() return options.parse({study = true}, {"--threads", "65"}) end, "--threads must be 64 or less")
  check.raises(function() return options.parse({study = true}, {"--shard", "1/2"}) end, "--shard goes with --to FILE")
end)

check.test("as_typed_names_what_was_typed", function()
  local typed = {args = {{"stands", "where", many = true, field = "at"}},
                 options = {left = {"G", "", field = "left_turn"}, sd = {"KG", ""}, slope = {"WAY", "", words = true},
                            reading = {"KG", ""}, reading_front = {"MM", "", field = "reading.heights.front"}}}
  local function of(err)
    options.as_typed(typed, err)
    return err
  end
  check.equal(of{code = "range", field = "left_turn", hint = "write right_turn", typed = "use --right"},
    {code = "usage", kind = "", field = "--left", hint = "use --right", typed = "use --right"})
  check.equal(of{code = "unknown", field = "at[2]"}, {code = "unknown", kind = "", field = "STANDS, number 2"})
  check.equal(of{code = "geometry", field = "at"}, {code = "geometry", kind = "", field = "STANDS"})
  check.equal(of{code = "unknown", field = "slope.up"}.code, "usage")
  check.equal(of{code = "range", part = "reconcile", kind = "", field = "sd"}, {code = "usage", kind = "", field = "--sd"})
  check.equal(of{code = "range", part = "reading", kind = "", field = "rf"}.field, "--reading, rf")
  check.equal(of{code = "range", part = "reading, heights", kind = "", field = "front"}.field, "--reading-front")
  for _, of_a_file in ipairs{{code = "range", part = "engine", field = "sd"}, {code = "range", file = "a.csv", line = 3, field = "sd"}} do
    check.equal({of(of_a_file).code, of_a_file.field}, {"range", "sd"})
  end
  local made = of{code = "range", file = arg[0], line = 7, part = "a", field = "sd"} -- by the script, from what was typed
  check.equal(made, {code = "usage", kind = "", field = "--sd"})
end)

check.test("parse_of_a_required_list_wants_one_at_least", function()
  check.raises(function() return options.parse({args = {{"cars", "files", many = true}}}, {}) end, "CARS is missing")
end)

check.test("help_starts_with_the_examples_and_names_everything", function()
  local page = require("steelyard.command.options.help").page(spec, options)
  check.equal(page:match "^[^\n]*\n[^\n]*\n\n", "steelyard places car.lua\nsteelyard places car.lua --back -50,50\n\n")
  for _, piece in ipairs{"One part at several places.", "Usage: steelyard places CAR", "CHANGES ...", "--each-alone",
                         "default -50,50", "1 to 1000", "heights or least turns", "--json", "--quiet"} do
    check.contains(page, piece)
  end
end)

check.test("help_writes_the_usage_of_a_script_that_does_not", function()
  local page = require("steelyard.command.options.help").page({args = {{"car", "file"}, {"out", "where to", optional = true}},
                                                      options = {state = {"NAME", "load state"}}}, options)
  check.contains(page, "CAR [OUT] [--state NAME] [--json] [--quiet]")
end)

-- ---- in a process of their own, under the command and under the interpreter that runs this test -----------------------

local body = [[
local options, out = require "steelyard.command.options", require "steelyard.command.out"
local o = options.read{usage = "try CAR", examples = {"steelyard try a", "steelyard try b"}, args = {{"car", "file"}},
                       options = {status = {"WORD", "what to say"}}}
out.remark(o, "a remark")
out.print(o, setmetatable({mass = 27.4, status = o.status}, {__tostring = function() return "27.4 kg" end}))
if o.car == "twice" then out.print(o, {text = "14 kg", mass = 14}) end
if o.car == "leaves" then os.exit(7) end
if o.car == "breaks" then error("on the way", 0) end
]]

local script = os.tmpname()
os.remove(script)
script = script .. ".lua"
local file = assert(io.open(script, "w"))
file:write(body)
file:close()

local runners = {check.steelyard}
if arg[-1] then runners[2] = arg[-1] end -- a plain Lua; the command puts nothing there

local function run(runner, words) return check.command(runner .. " " .. script .. " " .. words) end

check.test("parse_takes_a_file_and_a_shard_for_a_script_that_runs_a_study", function()
  local of_study = {study = true, about = "x", usage = "window CAR", examples = {"a", "b"}}
  local o = options.parse(of_study, {"--to", "x", "--shard", "2/4", "--replace"})
  check.equal({o.to, o.shard, o.replace, o.output}, {"x", "2/4", true})
  for _, name in ipairs{"shard", "replace"} do
    local words = {"--" .. name, name == "shard" and "2/4" or nil}
    check.raises(function() return options.parse(of_study, words) end, ("--%s goes with --to FILE"):format(name))
  end
  check.raises(function() return options.parse(of_study, {"--to="}) end, "--to needs the name of a file")
  check.raises(function() return options.parse({prints = "page"}, {"--shard", "2/4"}) end, "there is no option --shard")
  check.raises(function() return options.parse({study = true, options = {shard = {"X", "x"}}}, {"--shard", "2/4"}) end,
    "is an option that every script has")
  local page = require("steelyard.command.options.help").page(of_study, options)
  for _, piece in ipairs{"--to FILE", "--replace", "--shard K/N"} do check.contains(page, piece) end
end)

check.test("a_script_of_several_studies_takes_a_study_by_name", function()
  local several = {study = {"window", "draws"}, about = "x", usage = "all CAR", examples = {"a", "b"}}
  local o = options.parse(several, {})
  check.equal({o.study, o.runs "window", o.runs "draws"}, {nil, true, true})
  o = options.parse(several, {"--study", "draws", "--to", "x", "--shard", "2/4"})
  check.equal({o.study, o.runs "window", o.runs "draws", o.to, o.shard}, {"draws", false, true, "x", "2/4"})
  check.equal(options.parse(several, {"--study", "window"}).study, "window")
  check.raises(function() return options.parse(several, {"--study", "windw"}) end,
    {code = "usage", message = '--study is window or draws, not "windw"', hint = 'did you mean "window"?'})
  -- a file holds one study
  check.raises(function() return options.parse(several, {"--to", "x", "--shard", "2/4"}) end,
    {code = "usage", message = "--to goes with --study NAME here", hint = "the script runs window and draws"})
  check.raises(function() return o.runs "windw" end, {code = "unknown", field = "study", hint = 'did you mean "window"?'})
  check.raises(function() return options.parse({study = true}, {"--study", "window"}) end, "there is no option --study")
  check.contains(require("steelyard.command.options.help").page(several, options), "--study NAME")
  for _, wrong in ipairs{{}, {5}, {"window", "window"}, {"two words"}, {"--x"}, "window"} do
    check.raises(function() return options.read{study = wrong} end, {code = "type", field = "study"})
  end
end)

check.test("studies_of_one_script_come_to_the_same_in_shards", function()
  local folder = os.tmpname()
  os.remove(folder)
  assert(os.execute("mkdir " .. folder))
  local own <close> = assert(io.open(folder .. "/both.lua", "w"))
  own:write [[
    local sy = require "steelyard"
    local o = sy.options{args = {{"car", "file"}}, study = {"places", "draws"}}
    local car = sy.load(o.car)
    if o.runs "places" then
      sy.out(o, sy.study{car, vary = {sy.vary("powertrain", "back", -50, 50, 40000)}, show = {"front_share"}, to = o.to,
                         shard = o.shard, replace = o.replace, threads = o.threads, quiet = o.quiet})
    end
    if o.runs "draws" then
      sy.out(o, sy.spread{car, draws = 70000, seed = 4, show = {"mass"}, to = o.to, shard = o.shard, replace = o.replace,
                          threads = o.threads, quiet = o.quiet})
    end]]
  own:close()
  for _, runner in ipairs(runners) do
    local command = ("%s %s/both.lua vehicles/first_guess.lua --quiet"):format(runner, folder)
    local pages = {}
    for i, name in ipairs{"places", "draws"} do
      for k = 1, 3 do
        local part = check.command(("%s --study %s --shard %d/3 --to %s/%d --replace --threads %d"):format(command, name, k, folder, k, k))
        check.equal({part.err, part.code}, {"", 0}, runner)
        check.contains(part.out, ("Shard %d of 3: "):format(k))
      end
      pages[i] = check.command(("%s merge %s/3 %s/1 %s/2"):format(check.steelyard, folder, folder, folder)).out
      check.equal(pages[i], check.command(command .. " --study " .. name).out, name)
    end
    check.equal(check.command(command).out, pages[1] .. pages[2], runner)
  end
  os.execute("rm -r " .. folder)
end)

check.test("a_shard_that_was_typed_wrong_is_said_by_its_option", function()
  local _, err = pcall(require("steelyard.study.shards").read, "5/4")
  options.as_typed({study = true}, err)
  check.equal(tostring(err), "--shard: 5 of 4 is not a shard (the first number goes from 1 to the second)")
  check.equal(err.code, "usage")
end)

check.test("out_prints_text_or_one_document", function()
  for _, runner in ipairs(runners) do
    check.equal(run(runner, "a"), {out = "27.4 kg\n", err = "a remark\n", code = 0}, runner)
    check.equal(run(runner, "a --quiet --json"), {out = '{\n  "mass": 27.4,\n  "units": {}\n}\n', err = "", code = 0}, runner)
  end
end)

check.test("out_called_twice_prints_one_document", function()
  local json = require "steelyard.print.json"
  for _, runner in ipairs(runners) do
    check.equal(run(runner, "twice --quiet").out, "27.4 kg\n14 kg\n", runner)
    local result = run(runner, "twice --quiet --json")
    check.equal({result.err, result.code}, {"", 0}, runner)
    local documents = json.decode(result.out)
    check.equal({#documents, documents[1].mass, documents[2].mass}, {2, 27.4, 14}, runner)
    -- whatever ends the script, what it answered is printed
    local left = run(runner, "leaves --quiet --json")
    check.equal({left.code, json.decode(left.out).mass}, {7, 27.4}, runner)
    local broken = run(runner, "breaks --quiet --json")
    local said = json.decode(broken.out) -- under a plain Lua nobody hears of an error that is a text
    check.equal({broken.code, (said[1] or said).mass}, {1, 27.4}, runner)
    if runner == check.steelyard then check.equal(said[2].error, {code = "run", message = "on the way"}) end
    check.contains(broken.err, "on the way", runner)
    check.equal(run(runner, "twice --quiet --json --status fail").code, 4, runner)
  end
end)

check.test("out_ends_with_4_when_a_limit_is_broken", function()
  for _, runner in ipairs(runners) do
    check.equal(run(runner, "a --quiet --status fail"), {out = "27.4 kg\n", err = "", code = 4}, runner)
    check.equal(run(runner, "a --quiet --status near").code, 0, runner)
    check.equal(run(runner, "a --quiet --status unknown").code, 0, runner)
  end
end)

check.test("a_wrong_command_line_ends_with_2_and_one_line", function()
  for _, runner in ipairs(runners) do
    check.equal(run(runner, "--stauts x"), {out = "", code = 2, err =
      "steelyard: there is no option --stauts (did you mean --status?); `steelyard " .. script .. " --help` shows examples\n"}, runner)
  end
end)

check.test("errors_are_a_document_with_json_and_a_line_without", function()
  local json = require "steelyard.print.json"
  local script_body = [[
    local sy = require "steelyard"
    local o = sy.options{args = {{"car", "file"}}, options = {unit = {"U", "unit"}}}
    if o.car == "breaks" then
      require("steelyard.core").fail{code = "range", message = "is too long", part = "a", field = "unit", hint = "cut"}
    end
    if o.car == "caught" then print(pcall(sy.load, "no/such.lua")) end
    if o.car == "handled" then print(xpcall(sy.load, tostring, "no/such.lua")) end
    sy.out(o, {text = "read", car = sy.load(o.car):heading()})]]
  local path = os.tmpname()
  local own = assert(io.open(path .. ".lua", "w"))
  own:write(script_body)
  own:close()
  for _, runner in ipairs(runners) do
    local function said(words)
      local result = check.command(("%s %s.lua %s"):format(runner, path, words))
      return result, result.out:find "^{" and json.decode(result.out).error
    end
    local missing, record = said "no/such.lua --json"
    check.equal({missing.code, missing.err}, {3, "steelyard: no/such.lua: there is no such file\n"}, runner)
    check.equal(record, {code = "read", file = "no/such.lua", message = "there is no such file"}, runner)
    missing = said "no/such.lua"
    check.equal({missing.code, missing.out}, {3, ""}, runner)
    local usage, wrong = said "--unti m --json"
    check.equal({usage.code, wrong.code, wrong.hint}, {2, "usage", "did you mean --unit?"}, runner)
    local broken, why = said "breaks --json"
    check.equal({broken.code, why.code, why.part, why.field, why.hint}, {3, "range", "a", "unit", "cut"}, runner)
    check.equal(said "-- --json".out, "", runner) -- is the car's name
    for _, way in ipairs{"caught", "handled"} do -- an error that the script takes care of is none
      local caught = said(way)
      check.contains(caught.out, "false\tno/such.lua: there is no such file", runner)
      check.equal(caught.err, ("steelyard: %s: there is no such file\n"):format(way), runner)
    end
  end
  os.remove(path)
  os.remove(path .. ".lua")
end)

check.test("help_ends_with_0", function()
  for _, runner in ipairs(runners) do
    local result = run(runner, "--help")
    check.equal({result.code, result.err}, {0, ""}, runner)
    check.equal(result.out:sub(1, 15), "steelyard try a", runner)
  end
end)

if io.open "/dev/full" then -- a device of Linux
  check.test("output_that_cannot_be_written_ends_with_1", function()
    for _, runner in ipairs(runners) do
      for _, words in ipairs{"a --quiet", "--help", "a --quiet --json"} do
        local result = run(runner, words .. " >/dev/full")
        check.equal(result.code, 1, runner)
        check.contains(result.err, "steelyard: the output could not be written", runner)
      end
    end
  end)
end

os.remove(script)
check.done()
