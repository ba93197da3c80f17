steelyard stint vehicles/bistort.lua --state "race start" --for front_share,left_share
