steelyard seek vehicles/twayblade.lua --vary "front axle bar_rate 0 30" --target "transfer.front_transfer_share 51" --with "left_turn 0.8" --state "race start"
