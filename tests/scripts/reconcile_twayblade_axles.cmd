steelyard reconcile vehicles/twayblade.lua --state kerb --axles 271,409 --sd 1
