--- The columns that a study fills, of all its variants or of one block of them.
--
-- stores.new(a, n, without?): without(o) whether output o is left out; a (study/about.lua) says of which outputs; {values, sds,
-- lowest, highest, lowest_at, highest_at = lists of columns by
-- output, verdict = column of codes}. What is not known is nil.

local core = require "steelyard.core"

local stores = {}

--- Words of the verdicts by their numbers (verdicts.rank).
stores.verdicts = {"pass", "near", "unknown", "fail"}

stores.of_folds = {"lowest", "highest", "lowest_at", "highest_at"}
local in_order = {"values", "sds", "lowest", "highest", "lowest_at", "highest_at"}

--- Bytes of columns that are kept at most; more is for several runs.
stores.MOST = 8e9

--- Bytes of one variant; outputs: how many.
function stores.bytes_each(outputs, uncertainty, folds)
  return 8 * outputs * ((uncertainty and 2 or 1) + (folds and #stores.of_folds or 0)) + 1
end

--- See above.
function stores.new(a, n, without)
  local all = {verdict = core.column_codes(n, stores.verdicts)}
  for _, which in ipairs(in_order) do all[which] = {} end
  for o = 1, #a.outputs do
    all.values[o] = not (without and o <= a.shown and without(o)) and core.column_unset(n)
    if a.uncertainty then all.sds[o] = core.column(n) end
    if a.folds then
      for _, which in ipairs(stores.of_folds) do all[which][o] = core.column_unset(n, which:find "_at$" and a.folds or nil) end
    end
  end
  return all
end

-- Columns of numbers in a fixed order.
local function each_column(all, visit)
  for _, which in ipairs(in_order) do
    for _, column in ipairs(all[which]) do visit(column) end
  end
end

--- Are there columns of numbers at all?
function stores.any(all)
  local any = false
  each_column(all, function(column) any = any or column ~= false end)
  return any
end

--- The entries from .. to of all columns as bytes: those of the verdicts first.
function stores.bytes(all, from, to)
  local pieces = {core.column_bytes(all.verdict, from, to)}
  each_column(all, function(column) pieces[#pieces + 1] = core.column_bytes(column, from, to) end)
  return table.concat(pieces)
end

--- The same read back, of bytes from `at` on.
function stores.put(all, from, to, bytes, at)
  at = core.column_put(all.verdict, from, to, bytes, at)
  each_column(all, function(column) at = core.column_put(column, from, to, bytes, at) end)
end

--- The first `n` entries of all columns: a study that was stopped knows no more.
function stores.cut(all, n)
  core.column_cut(all.verdict, n)
  each_column(all, function(column) core.column_cut(column, n) end)
end

return stores
