steelyard spread vehicles/sedge.lua --for corners.lf,corners.rr,corners.cross_share --draws 2000 --seed 3 --threads 2
