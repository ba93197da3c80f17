steelyard window vehicles/sedge.lua --move engine --back=-40,40,5 --front 42,46 --fuel 5,20,2
