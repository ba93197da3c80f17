x = { a = [==[ ]=] ]==], ["b c"] = 0x1p-3, [1] = .5e+1, f = function() if x then y = 1 end end; '\z
', --[[ {
]] 7 }
--