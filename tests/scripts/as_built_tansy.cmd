steelyard as_built vehicles/tansy.lua
