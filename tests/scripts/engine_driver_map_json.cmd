steelyard engine_driver_map vehicles/twayblade.lua --show height --back=-20,20,3 --mass 60,90,3 --json
