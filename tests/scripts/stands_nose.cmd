steelyard stands vehicles/bistort.lua "front jack, left" "front jack, right" "rear jack, left" "rear jack, right" --state kerb --nose "splitter lip" --tail -1650,640,60 --without powertrain
