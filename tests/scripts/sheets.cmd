steelyard sheets vehicles/twayblade.lua
