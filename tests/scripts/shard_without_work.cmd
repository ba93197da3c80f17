folder=$(mktemp -d)
steelyard window vehicles/first_guess.lua --state "race start" --shard 2/400 --to "$folder/window" --quiet
steelyard spread vehicles/first_guess.lua --state "race start" --draws 1000 --shard 2/400 --to "$folder/spread" --quiet
rm -r "$folder"
