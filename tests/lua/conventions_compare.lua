--- conventions_compare.lua - what two runs of one command on one car in two conventions say, held against each other.
--
-- Everything printed must be the same, letter by letter, but for what is a coordinate of the file, which is taken out of both texts by
-- the rules below and must be the other's, restated. The rules:
--   1  columns of a table headed x, y or z ("z, mm"), and "+- x, y"
--   2  places given as arguments, which label what they stand for: "900, 1180, 15"
--   3  the floor points of a mark-out: "A (1310, 640)"
--   4  "at x 927 +- 247, y 185 +- 103 mm" and rows "at.y, mm  765 +- 14  734 +- 13" of a reconciliation
--   5  the sentence that the axes of the file are left-handed
--   6  the axes of the file in a sentence about them: "x back from the front axle, y to the right", "the file's x counts back"
--   7  where ballast lies, in the words of what_if: "ballast 12 at nose (1300,640,200)"
-- Blanks count as one: a coordinate with more digits widens its column. Of a JSON document the caller names the fields that are
-- coordinates, all others must be equal to 1e-9.

local compare = {}

local letters = {x = true, y = true, z = true}
local HANDED = "left%-handed and were mapped by reflection"

-- ---- coordinates in a text ----------------------------------------------------------------------------------------------

local function decimals(text) return #(text:match "%.(%d+)$" or "") end

-- Cells of a line that stand at least two blanks apart: {text, first, last}.
local function cells(line)
  local list, from = {}, 1
  while true do
    local first = line:find("%S", from)
    if not first then return list end
    local last = (line:find("  ", first, true) or #line + 1) - 1
    while line:sub(last, last) == " " do last = last - 1 end
    list[#list + 1] = {line:sub(first, last), first, last}
    from = last + 1
  end
end

-- The coordinate columns of a heading line, or nil.
local function columns_of(line)
  local list = {}
  for _, cell in ipairs(cells(line)) do
    local name = cell[1]:gsub(", mm$", "")
    local a, b = name:match "^%+%- ([xyz]), ([xyz])$"
    if letters[name] or a then list[#list + 1] = {letters = a and {a, b} or {name}, first = cell[2], last = cell[3]} end
  end
  return #list > 0 and list or nil
end

local function trimmed(words) return (words:gsub("%s+", " "):gsub("^ ", ""):gsub(" $", "")) end

-- What stands in a column of a row: first, last of it, or nil when it is blank there.
local function at_column(row, column)
  local first, last = column.first, column.last
  if not row:sub(first, last):find "%S" then return nil end
  while first > 1 and row:sub(first - 1, first - 1) ~= " " do first = first - 1 end
  while last < #row and row:sub(last + 1, last + 1) ~= " " do last = last + 1 end
  local from, to = row:sub(first, last):find "^%s*().-()%s*$"
  local start, stop = row:sub(first, last):match "^%s*().-()%s*$"
  return from and to and first + start - 1, first + stop - 2
end

-- Takes a row's coordinates out; nil when it is not a row of that table.
local function take_row(row, columns)
  local found, cut = {}, {}
  for _, column in ipairs(columns) do
    local first, last = at_column(row, column)
    if first then
      local values = {}
      for value in row:sub(first, last):gmatch "[^,%s]+" do
        if not value:find "^%-?%d+%.?%d*$" and value ~= "-" then return nil end
        values[#values + 1] = value
      end
      if #values ~= #column.letters then return nil end
      for i, letter in ipairs(column.letters) do
        if #column.letters == 1 then found[letter] = values[i] else found["sd " .. letter] = values[i] end
      end
      cut[#cut + 1] = {first, last}
    end
  end
  table.sort(cut, function(a, b) return a[1] > b[1] end)
  for _, span in ipairs(cut) do row = row:sub(1, span[1] - 1) .. (" "):rep(span[2] - span[1] + 1) .. row:sub(span[2] + 1) end
  return row, next(found) and found or nil
end

-- Rule 2: the labels of given places, wherever they stand.
local function relabelled(words, labels)
  if type(words) ~= "string" then return words end
  for _, label in ipairs(labels) do
    local from, to = words:find(label[1], 1, true)
    while from do
      words = words:sub(1, from - 1) .. label[2] .. words:sub(to + 1)
      from, to = words:find(label[1], from + #label[2], true)
    end
  end
  return words
end

-- Rule 7.
local function take_ballast(words, found)
  return (words:gsub("(ballast [%d.]+ at [^\"()]+ )%(([^,()]+),([^,()]+),([^,()]+)%)", function(before, x, y, z)
    found[#found + 1] = {x = x, y = y, z = z}
    return before .. "(#)"
  end))
end

-- Rules 3, 4, 6 and 7.
local function take_sentences(line, found, level)
  line = line:gsub("^Tapes from floor points A (%b()) and B (%b())", function(a, b)
    for _, point in ipairs{a, b} do
      local first, second = point:match "^%((%S+), (%S+)%)$"
      found[#found + 1] = {[level[1]] = first, [level[2]] = second}
    end
    return "Tapes from floor points A and B"
  end)
  line = line:gsub("at (.-) mm if it is one", function(list)
    local place = {}
    for letter, value, sd in list:gmatch "([xyz]) (%S+) %+%- ([%d.]+)" do place[letter], place["sd " .. letter] = value, sd end
    if next(place) then found[#found + 1] = place end
    return "at # mm if it is one"
  end)
  line = take_ballast(line, found)
  line = line:gsub("^(Taken for granted: )x .-, y .-, z .-;", "%1x, y and z;")
  line = line:gsub("the file's [xyz] counts %a+", "the file's # counts #")
  line = line:gsub("at%.([xyz]), mm%s+(%S+)( %+%- %S+%s+)(%S+)( %+%- )", function(letter, before, between, after, rest)
    found[#found + 1], found[#found + 2] = {[letter] = before}, {[letter] = after}
    return "at #, mm #" .. between .. "#" .. rest
  end)
  return line
end

-- A page goes on in the next line, two blanks in, where a sentence is long: with other coordinates at another word.
local function unwrapped(text)
  local lines = {}
  for line in (text .. "\n"):gmatch "(.-)\n" do
    local before = lines[#lines]
    if before and #before > 60 and not before:find "%S  " and line:find "^  %S" and not line:find "%S  " then
      lines[#lines] = before .. line:sub(2)
    else
      lines[#lines + 1] = line
    end
  end
  return table.concat(lines, "\n")
end

--- The text without its coordinates, and these in order: {x = "927", ...} each; "sd x" is a spread.
-- labels: {{text, instead}, ...}, rule 2; level: the letters of the file that lie level.
function compare.taken_apart(text, labels, level)
  local lines, found, columns = {}, {}, nil
  for line in (unwrapped(text) .. "\n"):gmatch "(.-)\n" do
    if not line:find(HANDED) then
      local own = columns_of(line)
      if own then
        columns = own
        for i = #own, 1, -1 do
          line = line:sub(1, own[i].first - 1) .. (" "):rep(own[i].last - own[i].first + 1) .. line:sub(own[i].last + 1)
        end
      elseif columns then
        local row, place
        local is_sentence = line:find "%.$" and not line:find "%S  "
        if not is_sentence then row, place = take_row(line, columns) end
        if row then
          line, found[#found + 1] = row, place
        else
          columns = nil
        end
      end
      line = take_sentences(line, found, level):gsub("%S+ %x%x%x%x%x%x%x%x%f[%X]", "<file>")
      lines[#lines + 1] = trimmed(relabelled(line, labels))
    end
  end
  return table.concat(lines, "\n"), found
end

-- The first line in which two texts differ, as a sentence; nil when they do not.
local function first_difference(a, b)
  if a == b then return nil end
  local left, right = {}, {}
  for line in (a .. "\n"):gmatch "(.-)\n" do left[#left + 1] = line end
  for line in (b .. "\n"):gmatch "(.-)\n" do right[#right + 1] = line end
  for i = 1, math.max(#left, #right) do
    if left[i] ~= right[i] then return ("line %d\n  as filed  %s\n  restated  %s"):format(i, left[i] or "(ends)", right[i] or "(ends)") end
  end
end

-- A record of coordinates restated against what the other text says; both are rounded, so a last digit may differ by one.
local function wrong_place(a, b, map)
  for key, said in pairs(b) do
    local spread, letter = key:match "^(sd )([xyz])$"
    letter = letter or key
    local from = map.letter_from(letter)
    local read = a[(spread or "") .. from]
    if not read then return ("%s is stated, %s was not"):format(key, from) end
    if said == "-" or read == "-" then
      if said ~= read then return ("%s is %s for %s"):format(key, said, read) end
    else
      local want = spread and tonumber(read) or map.coordinate(letter, tonumber(read))
      local places = math.max(decimals(read), decimals(said))
      if math.abs(tonumber(said) - want) > 1.000001 * 10 ^ -places then -- two roundings of half a digit
        return ("%s is %s, %s restated is %.6g"):format(key, said, read, want)
      end
    end
  end
end

--- Why text b, of the convention map.to, is not text a, of map.from; nil when it is. One table of labels for each.
function compare.texts(a, b, map, labels_a, labels_b)
  local words_a, places_a = compare.taken_apart(a, labels_a, map.level(map.from))
  local words_b, places_b = compare.taken_apart(b, labels_b, map.level(map.to))
  local why = first_difference(words_a, words_b)
  if why then return why end
  if #places_a ~= #places_b then return ("%d rows with coordinates, %d restated"):format(#places_a, #places_b) end
  for i, place in ipairs(places_a) do
    why = wrong_place(place, places_b[i], map)
    if why then return ("coordinates %d: %s"):format(i, why) end
  end
  return nil, #places_a
end

-- ---- fields of a document -----------------------------------------------------------------------------------------------

local function near(a, b) return math.abs(a - b) <= 1e-9 * math.max(1, math.abs(a), math.abs(b)) end -- sums of some hundred terms

local function index_of(list) -- {x =, y =, z =} as a list
  return {list.x, list.y, list.z}
end

-- A field that is a coordinate: why it is not the other's, restated.
local special = {}

local function letterwise(a, b, map, spread)
  for letter in pairs(letters) do
    local from = map.letter_from(letter)
    local read, said = a[from], b[letter]
    if (read == nil) ~= (said == nil) then return ("%s is %s, %s was %s"):format(letter, tostring(said), from, tostring(read)) end
    if read then
      local want = spread and read or map.coordinate(letter, read)
      -- a place is as exact as the sums it comes from, and those of a few metres
      if math.abs(said - want) > 1e-6 then return ("%s is %.12g, want %.12g"):format(letter, said, want) end
    end
  end
end

function special.place(a, b, map) return letterwise(a, b, map, false) end
function special.spread(a, b, map) return letterwise(a, b, map, true) end

function special.step(a, b, map)
  local want = map.step(index_of(a))
  for i, letter in ipairs{"x", "y", "z"} do
    if not near(b[letter], want[i]) then return ("%s is %.12g, want %.12g"):format(letter, b[letter], want[i]) end
  end
end

function special.tensor(a, b, map)
  local want = map.tensor(a)
  for i, key in ipairs{"xx", "yy", "zz", "xy", "xz", "yz"} do
    if not near(b[key], want[i]) then return ("%s is %.12g, want %.12g"):format(key, b[key], want[i]) end
  end
end

function special.tensor_spread(a, b, map)
  for _, key in ipairs{"xx", "yy", "zz", "xy", "xz", "yz"} do
    local p, q = map.letter_from(key:sub(1, 1)), map.letter_from(key:sub(2))
    local want = a[p .. q] or a[q .. p]
    if not near(b[key], want) then return ("%s is %.12g, want %.12g"):format(key, b[key], want) end
  end
end

-- The two level coordinates of a point on the floor, under x and y in the order of the file's letters, and their spread.
local function floor(a, b, map, spread)
  local level_a, level_b, place_a, place_b = map.level(map.from), map.level(map.to), {}, {}
  for i, key in ipairs{"x", "y"} do place_a[level_a[i]], place_b[level_b[i]] = a[key], b[key] end
  return letterwise(place_a, place_b, map, spread)
end
function special.floor(a, b, map) return floor(a, b, map, false) end
function special.floor_spread(a, b, map) return floor(a, b, map, true) end

-- A place that is worked out, or a letter and its value: field is "at." and a letter.
function special.suspected(a, b, map)
  local letter = b.field:match "^at%.([xyz])$"
  if not letter then return (a.field ~= b.field or not near(a.would_be, b.would_be)) and "field or would_be differs" or nil end
  if a.field ~= "at." .. map.letter_from(letter) then return ("field is %s, was %s"):format(b.field, a.field) end
  if math.abs(b.would_be - map.coordinate(letter, a.would_be)) > 1e-6 then return ("would_be is %.12g"):format(b.would_be) end
end

function special.letters(a, b, map) -- the two level letters of the file
  local want_a, want_b = map.level(map.from), map.level(map.to)
  for i = 1, 2 do
    if a[i] ~= want_a[i] or b[i] ~= want_b[i] then return ("%d is %s, want %s"):format(i, b[i], want_b[i]) end
  end
end

-- A row of a reconciliation: field is "at." and a letter, its numbers are that coordinate.
function special.reconciled(a, b, map)
  local letter = b.field:match "^at%.([xyz])$"
  if not letter then
    for _, key in ipairs{"before", "after", "sigmas"} do
      if not near(a[key], b[key]) then return key .. " differs" end
    end
    return a.field ~= b.field and "field differs" or nil
  end
  if a.field ~= "at." .. map.letter_from(letter) then return ("%s is %s restated"):format(b.field, a.field) end
  for _, key in ipairs{"before", "after"} do
    if math.abs(b[key] - map.coordinate(letter, a[key])) > 1e-6 then return ("%s is %.12g"):format(key, b[key]) end
  end
  return not near(b.sigmas, map.sign(letter) * a.sigmas) and "sigmas differs" or nil
end

local SMALL_SD = 1e-7 -- relative: some uncertainties are differences of an iteration that ends at 1e-9

local covered = { -- what each kind looks after, so that the walk leaves it alone
  place = letters, spread = letters, step = letters, floor = {x = true, y = true}, floor_spread = {x = true, y = true},
  tensor = {xx = true, yy = true, zz = true, xy = true, xz = true, yz = true}, reconciled = {field = true, before = true, after = true,
  sigmas = true}, suspected = {field = true, would_be = true}, letters = {[1] = true, [2] = true},
}
covered.tensor_spread = covered.tensor

local function keys_of(t, labels)
  local keys = {}
  for key in pairs(t) do keys[relabelled(key, labels)] = key end
  return keys
end

-- Rows of one line in the order of the file's letters: sorted by the way they point, which has a word of its own.
local function in_one_order(list)
  local copy = table.move(list, 1, #list, 1, {})
  local place = {}
  for i, row in ipairs(copy) do place[row] = i end
  local first = {}
  for i, row in ipairs(copy) do first[row.name] = first[row.name] or i end
  table.sort(copy, function(a, b)
    if a.name ~= b.name then return first[a.name] < first[b.name] end
    return (a.way or "") < (b.way or "") or (a.way == b.way and place[a] < place[b])
  end)
  return copy
end

local walk

local function walk_table(a, b, path, w)
  local kind = w.kinds[path]
  if kind then
    w.used[path] = true
    local why = special[kind](a, b, w.map)
    if why then return path .. "." .. why end
  end
  local keys_a, keys_b = keys_of(a, w.labels_a), keys_of(b, w.labels_b)
  local order = {}
  for key in pairs(keys_a) do order[#order + 1] = key end
  for key in pairs(keys_b) do if keys_a[key] == nil then order[#order + 1] = key end end
  table.sort(order, function(p, q) return tostring(p) < tostring(q) end)
  for _, key in ipairs(order) do
    -- of files that say the same in other numbers
    local is_digest = path:find "files?%[?%]?$" and (key == "sha256" or key == "name") or path == "" and key == "hash"
    local unit_of_a_letter = path == "units" and tostring(key):find "%.[xyz]$" -- which of them are known differs
    if not (kind and covered[kind][key]) and not unit_of_a_letter and not is_digest then
      local inner = math.type(key) == "integer" and path .. "[]" or path == "" and tostring(key) or path .. "." .. tostring(key)
      local why = walk(keys_a[key] ~= nil and a[keys_a[key]], keys_b[key] ~= nil and b[keys_b[key]], inner, w)
      if why then return why end
    end
  end
end

local function without_handedness(list)
  if type(list) ~= "table" or type(list[1]) ~= "string" then return list end
  local out = {}
  for _, entry in ipairs(list) do
    if type(entry) ~= "string" or not entry:find(HANDED) then out[#out + 1] = entry end
  end
  return out
end

function walk(a, b, path, w)
  if type(a) == "table" and type(b) == "table" then
    a, b = without_handedness(a), without_handedness(b)
    if w.kinds[path .. "[]"] == "reconciled" then a, b = in_one_order(a), in_one_order(b) end
    return walk_table(a, b, path, w)
  end
  if type(a) == "number" and type(b) == "number" then
    local good = near(a, b) or path:find "^sd%." and math.abs(a - b) <= SMALL_SD * math.abs(a)
    return not good and ("%s is %.15g as filed, %.15g restated"):format(path, a, b) or nil
  end
  if (a or 0) == 0 and type(b) == "number" or (b or 0) == 0 and type(a) == "number" then -- an effect that is left out where it is 0
    return not near(a or 0, b or 0) and ("%s is %s as filed, %s restated"):format(path, tostring(a), tostring(b)) or nil
  end
  if type(a) == "string" and type(b) == "string" then
    local places_a, places_b = {}, {}
    a, b = take_ballast(relabelled(a, w.labels_a), places_a), take_ballast(relabelled(b, w.labels_b), places_b)
    for i, place in ipairs(a == b and places_a or {}) do
      local why = wrong_place(place, places_b[i], w.map)
      if why then return ("%s: %s"):format(path, why) end
    end
  end
  return a ~= b and ("%s is %s as filed, %s restated"):format(path, tostring(a), tostring(b)) or nil
end

--- Why document b is not document a, restated; nil when it is. kinds: {["rows[].cg"] = "place", ...}; used: the paths of it that were met.
function compare.documents(a, b, map, kinds, used, labels_a, labels_b)
  return walk(a, b, "", {map = map, kinds = kinds, used = used, labels_a = labels_a, labels_b = labels_b})
end

-- ---- a table of parts -----------------------------------------------------------------------------------------------------

local function csv_cells(line, mark)
  local list = {}
  for cell in (line .. mark):gmatch("([^" .. mark .. "]*)%" .. mark) do
    local open = list[#list] and select(2, list[#list]:gsub('"', "")) % 2 == 1 -- the mark stood within quotation marks
    if open then list[#list] = list[#list] .. mark .. cell else list[#list + 1] = cell end
  end
  return list
end

local moments = {"xx", "yy", "zz", "xy", "xz", "yz"}

-- "0.62; 0.81; 0.74; 0.05; -0.08; 0.03" as a tensor
local function tensor_of(cell)
  local t, i = {}, 0
  for number in cell:gsub('"', ""):gsub(",", "."):gmatch "[^; ]+" do
    i = i + 1
    t[moments[i]] = tonumber(number)
  end
  return t
end

-- Is the inertia, or the shape with the letter of its axis, that of the other file?
local function same_body(head, said, read, map)
  if head == "shape" then
    return (said:gsub('"(%l)"', function(letter) return '"' .. map.letter_from(letter) .. '"' end)) == read
  end
  if head ~= "inertia (kg m2)" or said == "" or read == "" then return said == read end
  local want, got = map.tensor(tensor_of(read)), tensor_of(said)
  for i, name in ipairs(moments) do
    if not (got[name] and math.abs(got[name] - want[i]) <= 1e-9 * want[1]) then return false end -- an inertia worked out again
  end
  return true
end

--- Why a table of parts is not the other's; nil when it is. Columns x, y, z and sd x, sd y, sd z are coordinates, inertias tensors.
function compare.tables(a, b, map, mark)
  local rows, heads = {}, nil
  for side, text in pairs{a = a, b = b} do
    rows[side] = {}
    for line in text:gmatch "[^\r\n]+" do
      local cell = csv_cells(line, mark)
      if not heads then heads = cell end
      rows[side][#rows[side] + 1] = cell
    end
  end
  if #rows.a ~= #rows.b then return "rows differ" end
  local column = {}
  for i, head in ipairs(heads) do column[head] = i end
  local function number(text) return tonumber((text:gsub(",", "."))) end
  for i = 1, #rows.a do
    for k, head in ipairs(heads) do
      local spread, letter = head:match "^(s?d? ?)([xyz]) %(mm%)$"
      local said, read = rows.b[i][k], rows.a[i][k]
      if letter and i > 1 then
        read = rows.a[i][column[spread .. map.letter_from(letter) .. " (mm)"]]
        local want = number(read) and spread == "" and map.coordinate(letter, number(read)) or number(read)
        -- the table rounds to a millionth of a millimetre
        local both = want and number(said)
        if (want or number(said)) and not (both and math.abs(number(said) - want) <= 1.5e-6) then
          return ("row %d, %s: %s for %s"):format(i, head, said, read)
        end
      elseif said ~= read and not same_body(head, said or "", read or "", map) then
        return ("row %d, %s: %s for %s"):format(i, head, tostring(said), tostring(read))
      end
    end
  end
end

return compare
