steelyard what_if vehicles/twayblade.lua "ballast 12 at 300,-300,20" "crankcase mass 68 lb" "silencer 40 forward" --each
