--- Names, tags and `includes` as sets of words, and phrases to look for among them. Words are compared whole: "coil" holds no oil.

local forgotten_match = {}

-- "hoses" and "hose", "switches" and "switch", "batteries" and "battery" are one word; "harness" and "chassis" stay.
local function singular(word)
  if #word <= 3 then return word end
  if word:find "ies$" then return word:sub(1, -4) .. "y" end
  if word:find "sses$" or word:find "[xz]es$" or word:find "[cs]hes$" then return word:sub(1, -3) end
  if word:find "s$" and not word:find "[siu]s$" then return word:sub(1, -2) end
  return word
end

local joining = {["and"] = true, with = true, incl = true, including = true, plus = true}
local empty = {of = true, the = true, ["in"] = true, ["for"] = true, a = true, to = true, from = true, on = true}

--- The words of a text, in order: small letters, singular, without the empty ones.
function forgotten_match.words(s)
  local list = {}
  -- letters of other alphabets are bytes above 127
  for word in s:lower():gsub("'s%f[%A]", ""):gmatch "[%a\x80-\xff]+" do
    if not empty[word] and not joining[word] then list[#list + 1] = singular(word) end
  end
  for number in s:gmatch "%d+" do list[#list + 1] = number end
  return list
end

function forgotten_match.set(...)
  local set = {}
  for _, s in ipairs{...} do
    for _, word in ipairs(forgotten_match.words(s)) do set[word] = true end
  end
  return set
end

--- "seat, pedals and column" is three things: a set of words for each.
function forgotten_match.things(s)
  local list, piece = {}, {}
  local function close()
    if #piece > 0 then list[#list + 1] = forgotten_match.set(table.concat(piece, " ")) end
    piece = {}
  end
  for word in s:gsub("[,;&+/()]", " %0 "):gmatch "%S+" do
    if joining[word:lower()] or word:find "^[,;&+/()]$" then close() else piece[#piece + 1] = word end
  end
  close()
  return list
end

--- Is every word of a in b?
function forgotten_match.within(a, b)
  for word in pairs(a) do
    if not b[word] then return false end
  end
  return true
end

--- "oil -cooler !gear" as {all = {"oil"}, not_beside = {"cooler"}, nowhere = {"gear"}}; "=light" stands alone.
function forgotten_match.phrase(words)
  local phrase = {all = {}, not_beside = {}, nowhere = {}, alone = words:find "^=" ~= nil}
  for mark, word in words:gmatch "([-!]?)(%a+)" do
    local list = mark == "-" and phrase.not_beside or mark == "!" and phrase.nowhere or phrase.all
    list[#list + 1] = singular(word)
  end
  return phrase
end

local function holds_all(set, list)
  for _, word in ipairs(list) do
    if not set[word] then return false end
  end
  return true
end

local function holds_any(set, list)
  for _, word in ipairs(list) do
    if set[word] then return true end
  end
  return false
end

--- Does a line {things = list of sets, path = set} say the phrase?
function forgotten_match.says(line, phrase)
  if holds_any(line.path, phrase.nowhere) then return false end
  for _, set in ipairs(line.things) do
    local fits = not phrase.alone or next(set, next(set)) == nil
    local kept_out = holds_any(set, phrase.not_beside) or holds_any(set, phrase.nowhere)
    if fits and holds_all(set, phrase.all) and not kept_out then return true end
  end
  -- "brakes/lines" are brake lines
  return #phrase.all > 1 and holds_all(line.path, phrase.all) and not holds_any(line.path, phrase.not_beside)
end

local opposites = {front = "rear", left = "right", upper = "lower", inner = "outer", top = "bottom", driver = "passenger"}

-- Words that say which of several, not what.
function forgotten_match.is_place(word)
  for one, other in pairs(opposites) do
    if word == one or word == other then return true end
  end
  return word:find "^%d+$" ~= nil
end

--- Are the two clearly not the same one: front and rear, left and right, 1 and 2?
function forgotten_match.opposed(a, b)
  for one, other in pairs(opposites) do
    if a[one] and not a[other] and b[other] and not b[one] then return true end
    if a[other] and not a[one] and b[one] and not b[other] then return true end
  end
  for word in pairs(a) do
    if word:find "^%d+$" and not b[word] then
      for theirs in pairs(b) do
        if theirs:find "^%d+$" and not a[theirs] then return true end
      end
    end
  end
  return false
end

return forgotten_match
