--- What calls take in a table: each set of options once. The calls check by it what they are given; the reference page and the editor stubs
-- show it.
--
-- A file of options/ gives {SET = {meaning, row, ...}}; a row is {name, type, unit, default, meaning}, optional with "?" behind its name,
-- "[integer]" for what stands in a list. Names of sets are unique over all files.
-- Types are those of calls.lua, and: value, a number or one with its uncertainty; by_wheel and by_axle, values by their keys;
-- options.SET, a table with the options of that set. The default says in words what holds without the option, or when it is needed.
-- like = SET: a set that has the same options as another and says something else of a few.
--
-- A set is loaded with the first options that are checked: a call without any costs nothing.

local options = {}

options.files = {"whole", "springs", "lift", "swings", "measuring", "scales", "shop", "study", "spread", "seek", "draw", "sensitivity",
                 "ballast", "stint", "report"}

local function rows_of(file, set) return require("steelyard.reference.options." .. file)[set] end

local lists, known = {}, {} -- file -> set -> list of names, and the same as a set

local function names_of(file, set)
  local list = {}
  for i = 2, #rows_of(file, set) do list[#list + 1] = rows_of(file, set)[i][1]:match "^[%a_][%w_]*" end
  return list
end

--- The names of a set's options in their order.
function options.names(file, set)
  local of_file = lists[file] or {}
  lists[file] = of_file
  if not of_file[set] then of_file[set] = names_of(file, set) end
  return of_file[set]
end

--- The same as name -> true.
function options.known(file, set)
  local of_file = known[file] or {}
  known[file] = of_file
  if not of_file[set] then
    of_file[set] = {}
    for _, name in ipairs(options.names(file, set)) do of_file[set][name] = true end
  end
  return of_file[set]
end

--- All sets by name, and their names in the order of the files.
function options.all()
  local by_name, order = {}, {}
  for _, file in ipairs(options.files) do
    local names = {}
    for name, set in pairs(require("steelyard.reference.options." .. file)) do
      assert(not by_name[name], name)
      by_name[name], names[#names + 1] = set, name
    end
    table.sort(names)
    table.move(names, 1, #names, #order + 1, order)
  end
  return by_name, order
end

return options
