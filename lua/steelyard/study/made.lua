--- What results of studies were made from: made.from[result] = {a = of about.lua, stores = of stores.lua or nil, outer = points of the
-- variants, live =
-- {s, outer, inner} where the study ran here}.

return {from = setmetatable({}, {__mode = "k"})}
