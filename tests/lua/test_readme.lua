-- What the README shows is what comes out.

local check = dofile "tests/lua/check.lua"
local sy = require "steelyard"
local test = check.test

local readme
do
  local file <close> = assert(io.open("README.md", "rb"))
  readme = file:read "a"
end

-- the texts of all fenced blocks of a kind ("lua", "sh" or "" for outputs)
local function blocks(kind)
  local list = {}
  for language, body in readme:gmatch "```(%a*)\n(.-)```" do
    if language == kind then list[#list + 1] = body end
  end
  return list
end

test("the_three_line_study_prints_what_the_readme_shows", function()
  local printed = {}
  local env = setmetatable({print = function(x) printed[#printed + 1] = tostring(x) end}, {__index = _G})
  assert(load(blocks("lua")[1], "README study", "t", env))()
  check.equal(table.concat(printed, "\n") .. "\n", blocks("")[1])
  check.equal(select(2, blocks("lua")[1]:gsub("\n", "")), 3, "lines of the study")
end)

test("the_second_script_runs_and_leaves_the_car_alone", function()
  local script = blocks("lua")[3]
  check.contains(script, "car:move")
  local printed = {}
  local env = setmetatable({print = function(x) printed[#printed + 1] = x end}, {__index = _G})
  assert(load(script, "README script", "t", env))()
  check.equal(#printed, 2)
  check.ok(printed[2] ~= sy.load("vehicles/first_guess.lua"):balance().front_share)
end)

test("the_ten_line_study_prints_what_the_readme_shows", function()
  local script, page, printed = nil, nil, {}
  for _, body in ipairs(blocks "lua") do script = body:find("sy.study", 1, true) and body or script end
  for _, body in ipairs(blocks "") do page = body:find("36 variants", 1, true) and body or page end
  local env = setmetatable({print = function(x) printed[#printed + 1] = tostring(x) end}, {__index = _G})
  assert(load(script, "README study", "t", env))()
  check.equal(printed[1] .. "\n", page)
  check.equal(select(2, script:gsub("\n", "")), 10, "lines of the study")
end)

test("the_commands_shown_run", function()
  for line in blocks("sh")[2]:gmatch "[^\n]+" do
    if line:find "^build/steelyard" then
      local run = check.command((line:gsub("^build/steelyard", check.steelyard):gsub("#.*", "")))
      local seeks = line:find "^build/steelyard seek" or line:find "^build/steelyard meet_target"
      local on_paper = line:find("%.pdf ") or line:find("%.png ")
      local not_built_in = run.code == 5 and (seeks and not check.can_seek or on_paper and not check.can_paper)
      check.ok(run.code == 0 or run.code == 4 or not_built_in, line .. ": " .. run.err) -- 4: a limit of the demo is broken, said so
    end
  end
end)

-- In a folder of its own, from the copy to the next year's list, with what the text says of it.
test("the_weekend_at_the_scales_comes_out_as_shown", function()
  local folder = check.command("mktemp -d").out:match "%S+"
  local lines, out
  for _, body in ipairs(blocks "sh") do lines = body:find("sedge_weekend", 1, true) and body or lines end
  out = {}
  for line in lines:gmatch "[^\n]+" do
    local name = line:match "^build/steelyard (%S+)" or "copy"
    local words = line:gsub("#.*", ""):gsub("build/weekend", folder):gsub("^build/steelyard", check.steelyard)
    local run = check.command(words)
    check.equal(run.code, 0, line .. ": " .. run.err)
    out[name] = (out[name] or "") .. run.out
  end
  check.contains(out.read_corners, "49.3500")
  check.contains(out.set_cross, "Then 49.98 +- 0.03 % on the scales.")
  for _, turns in ipairs{"1/2 down", "1/2 up"} do check.contains(out.set_cross, turns) end
  check.contains(out.record, "Cross weight (RF + LR) 50.06 %.")
  check.contains(out.apply, "history/sedge-1.lua")
  local records = sy.load(folder .. "/sedge.lua"):records()
  check.equal(#records, #sy.load("vehicles/sedge.lua"):records() + 2)
  for _, record in ipairs(records) do check.ok(record.headline and not record.headline:find "cannot", record.name) end
  local old, new = check.command(("cat %s/history/sedge-1.lua"):format(folder)).out, check.command(("cat %s/sedge.lua"):format(folder)).out
  check.equal(#new - #old > 0 and select(2, new:gsub("%-%-", "")) == select(2, old:gsub("%-%-", "")), true, "comments")
  check.command("rm -r " .. folder)
end)

check.done()
