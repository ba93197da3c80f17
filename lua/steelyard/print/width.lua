--- How wide a text stands on the screen.

local ascii_length = require("steelyard.core").ascii_length

local width = {}

-- Ranges of letters that take no column (combining marks, joiners, variation selectors) or two (East Asian wide and
-- fullwidth forms, emoji), from Unicode's EastAsianWidth.txt and UnicodeData.txt, joined into the blocks they fill.
local no_column = {
  {0x0300, 0x036F}, {0x0483, 0x0489}, {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x200B, 0x200F}, {0x20D0, 0x20FF},
  {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F},
}
local two_columns = {
  {0x1100, 0x115F}, {0x2E80, 0x303E}, {0x3041, 0xA4CF}, {0xAC00, 0xD7A3}, {0xF900, 0xFAFF}, {0xFE30, 0xFE6F},
  {0xFF00, 0xFF60}, {0xFFE0, 0xFFE6}, {0x1F300, 0x1FAFF}, {0x20000, 0x3FFFD},
}

local function within(ranges, code)
  for _, range in ipairs(ranges) do
    if code <= range[2] then return code >= range[1] end
  end
  return false
end

--- Columns that a text takes on the screen. Bytes that are not UTF-8 count one each.
function width.of(s)
  local plain = ascii_length(s)
  if plain or not utf8.len(s) then return #s end
  local columns = 0
  for _, code in utf8.codes(s) do
    columns = columns + (within(no_column, code) and 0 or within(two_columns, code) and 2 or 1)
  end
  return columns
end

--- Filled with blanks to `columns` columns, the text on the left.
function width.left(s, columns) return s .. (" "):rep(columns - width.of(s)) end

--- Filled with blanks to `columns` columns, the text on the right.
function width.right(s, columns) return (" "):rep(columns - width.of(s)) .. s end

-- What a line does not end between: a number and its unit, a value and its +-.
local unit = {kg = true, mm = true, g = true, deg = true, litres = true, L = true, lb = true, ["%"] = true, m = true, N = true}

local function ends_in_digit(word)
  local last = word:byte(-1)
  return last >= 48 and last <= 57 -- "0" to "9"
end

local function belong(before, word)
  return word == "+-" or before == "+-" or ends_in_digit(before) and unit[word:match "^(.-)[.,:;)]*$"] ~= nil
end

--- What a text is put in lines by: words, or words that belong together.
function width.words(s)
  local list, count, before = {}, 0, nil
  for word in s:gmatch "%S+" do
    if before and belong(before, word) then
      list[count] = list[count] .. " " .. word
    else
      count = count + 1
      list[count] = word
    end
    before = word
  end
  return list
end

--- The words of a text in lines of at most `columns` columns (100 unless given), the first begun with `indent`, those after it with
-- `hanging` (as the first unless given). A longer word gets a line of its own;
-- numbers keep their units, values their +-.
function width.wrap(s, columns, indent, hanging)
  columns, indent = columns or 100, indent or ""
  local lines, line = {}, nil
  for _, word in ipairs(width.words(s)) do
    if line and width.of(line) + 1 + width.of(word) <= columns then
      line = line .. " " .. word
    else
      lines[#lines + 1] = line
      line = (line and hanging or indent) .. word
    end
  end
  lines[#lines + 1] = line
  return table.concat(lines, "\n")
end

return width
