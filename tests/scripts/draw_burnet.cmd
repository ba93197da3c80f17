folder=$(mktemp -d) && steelyard draw vehicles/burnet.lua --view plan --width 90 --to "$folder/car.svg" >/dev/null && cat "$folder/car.svg"; rm -r "$folder"
