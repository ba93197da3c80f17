steelyard as_built vehicles/tansy.lua "weighbridge" --state "race start" --json
