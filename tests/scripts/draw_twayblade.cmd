folder=$(mktemp -d) && steelyard draw vehicles/twayblade.lua --state "race start" --to "$folder/car.svg" >/dev/null && cat "$folder/car.svg"; rm -r "$folder"
