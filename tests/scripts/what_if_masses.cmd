steelyard what_if vehicles/twayblade.lua "driver mass 96" "ballast 12 at front jack, left" "rear axle spring_rate 40" "fuel fill 20" --state "race start"
