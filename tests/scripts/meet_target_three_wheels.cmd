steelyard meet_target vehicles/burnet.lua --powertrain "engine and gearbox" --front 59 --left 49.8
