-- The picture that README.md shows is what its command writes today, and the pages that name the file show it.
local check = dofile "tests/lua/check.lua"

local function read(path)
  local file <close> = assert(io.open(path, "rb"))
  return file:read "a"
end

check.test("the_picture_of_the_readme_is_what_the_demo_draws", function()
  local path = os.tmpname()
  os.remove(path)
  path = path .. ".svg"
  local ran = check.command(('%s draw vehicles/twayblade.lua --state "race start" --to %s'):format(check.steelyard, path))
  check.equal(ran.code, 0, ran.err)
  check.equal(read(path) == read "vehicles/twayblade.svg", true,
    'to write it again: build/steelyard draw vehicles/twayblade.lua --state "race start" --to vehicles/twayblade.svg --replace')
  os.remove(path)
  check.contains(read "README.md", '(vehicles/twayblade.svg)')
end)

check.done()
