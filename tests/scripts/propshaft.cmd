steelyard propshaft vehicles/teasel.lua --state "driver only"
