steelyard stands vehicles/bistort.lua "front jack, left" "front jack, right" "rear jack, left" "rear jack, right" --state "two up" --without passenger,luggage,driver
