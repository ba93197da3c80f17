--- What do the shards of a study come to together?
-- Step: lay out
-- Usage: steelyard merge SHARDS

local sy = require "steelyard"

local o = sy.options{
  about = "The shards of a study, each written with --shard K/N --to FILE, put together: what one run of all of it prints.",
  usage = "merge SHARDS",
  examples = {"steelyard merge window.1of2 window.2of2", "steelyard merge window.1of2 window.2of2 --plot study.svg"},
  args = {{"shards", "the files of all shards, in any order", many = true}}, prints = "page", plots = true,
}
sy.out(o, sy.merge(o.shards))
