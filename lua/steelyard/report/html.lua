--- HTML of the page: texts, blocks of data, and the frame that lets nothing in from outside.

local core = require "steelyard.core"
local svg = require "steelyard.draw.svg"

local html = {}

html.escaped = svg.escaped

--- A name of the file: it may run the other way and must not turn what stands beside it.
function html.named(words) return "<bdi>" .. html.escaped(words) .. "</bdi>" end

--- JSON in a page: no "<" is left that could end the block or open a comment, and what is read from it is the same.
function html.block(id, text)
  return ('<script type="application/json" id="%s">%s</script>'):format(id, (text:gsub("<", "\\u003c")))
end

-- ---- what may run ---------------------------------------------------------------------------------------------------------------

local LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"

-- Base 64 (RFC 4648, section 4).
local function base64(bytes)
  local list = {}
  for i = 1, #bytes, 3 do
    local a, b, c = bytes:byte(i, i + 2)
    local word = a << 16 | (b or 0) << 8 | (c or 0)
    for k = 0, 3 do
      local at = (word >> 18 - 6 * k & 63) + 1
      list[#list + 1] = (k == 2 and not b or k == 3 and not c) and "=" or LETTERS:sub(at, at)
    end
  end
  return table.concat(list)
end

local function digest(text)
  local bytes = core.sha256(text):gsub("%x%x", function(pair) return string.char(tonumber(pair, 16)) end)
  return "'sha256-" .. base64(bytes) .. "'"
end

-- Content Security Policy, level 3: this style and this script, by their digests, and nothing else from anywhere.
local function policy(style, script)
  return ("default-src 'none'; script-src %s; style-src %s; img-src data:; base-uri 'none'; form-action 'none'"):format(digest(script),
    digest(style))
end

--- A page. o: {title, style, script, body = HTML, blocks = list of HTML}
function html.page(o)
  return table.concat{
    '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n',
    ('<meta http-equiv="Content-Security-Policy" content="%s">\n'):format(policy(o.style, o.script)),
    '<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta name="color-scheme" content="light dark">\n',
    '<meta name="referrer" content="no-referrer">\n<link rel="icon" href="data:,">\n',
    "<title>", html.escaped(o.title), "</title>\n<style>", o.style, "</style>\n</head>\n<body>\n", o.body, "\n",
    table.concat(o.blocks, "\n"), "\n<script>", o.script, "</script>\n</body>\n</html>\n"}
end

return html
