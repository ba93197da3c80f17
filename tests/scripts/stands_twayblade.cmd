steelyard stands vehicles/twayblade.lua "front jack, left" "front jack, right" "rear jack, left" "rear jack, right" --without engine,transaxle,battery --state kerb
