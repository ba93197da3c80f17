--- dice.lua - random numbers for tests: a sequence of our own, the same in every run and under every Lua.
--
--   local dice = dofile("tests/lua/dice.lua")(23)  -- a sequence from this seed
--   dice.between(1, 6)

return function(seed)
  local dice = {}

  function dice.seed(n) seed = n end

  --- 0 to n - 1.
  function dice.below(n)
    seed = (seed * 6364136223846793005 + 1442695040888963407)
    return (seed >> 33) % n
  end

  function dice.between(a, b) return a + dice.below(b - a + 1) end
  function dice.pick(list) return list[1 + dice.below(#list)] end
  function dice.chance(percent) return dice.below(100) < percent end

  return dice
end
