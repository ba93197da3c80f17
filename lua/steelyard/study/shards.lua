--- Shards: a study shared out over several runs, and joined by sy.merge. Shard k of n works out a run of blocks that follow each other.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local shards = {}

--- The first and the last block of shard {k, n} of so many blocks; last = first - 1 where there are fewer blocks than shards.
function shards.range(blocks, shard)
  local k, n = shard[1], shard[2]
  return blocks * (k - 1) // n + 1, blocks * k // n
end

--- "shard 2 of 4"
function shards.name(shard) return ("shard %d of %d"):format(shard[1], shard[2]) end

--- What a page says of a shard for which no work is left: `all` is what it has none of, "36 variants".
function shards.empty(shard, all)
  return ("Shard %d of %d has none of %s: there are fewer blocks of work than shards. Merging needs its file all the same."):format(
    shard[1], shard[2], all)
end

local MOST = 100000 -- more is a slip of the keyboard

local function refuse(code, message, hint) core.fail{code = code, field = "shard", message = message, hint = hint} end

--- {k, n} or "k/n", checked, as {k, n}: whole numbers, k from 1 to n.
function shards.read(given)
  local k, n = nil, nil
  if type(given) == "string" then
    k, n = given:match "^(%d+)/(%d+)$"
    k, n = k and core.number(k), k and core.number(n)
  elseif type(given) == "table" and type(given[1]) == "number" and type(given[2]) == "number" then
    k, n = given[1], given[2]
  end
  k, n = k and math.tointeger(k), k and math.tointeger(n)
  if not (k and n) then refuse("type", ("%s is not a shard"):format(text.named(given)), 'such as {2, 4} or "2/4": the second of four') end
  if k < 1 or k > n then
    refuse("range", ("%d of %d is not a shard"):format(k, n), "the first number goes from 1 to the second")
  end
  if n > MOST then refuse("limit", ("is one of %s, at most %s are possible"):format(text.grouped(n), text.grouped(MOST))) end
  return {k, n}
end

--- Whole percents; of nothing, all is done.
function shards.percent(done, of) return of == 0 and 100 or math.floor(100 * done / of) end

return shards
