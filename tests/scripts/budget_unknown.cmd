steelyard budget vehicles/twayblade.lua --for front_shar
