steelyard compare_layouts vehicles/twayblade.lua --state "race start" --back -30,30
