folder=$(mktemp -d)
for k in 3 1 2; do steelyard window vehicles/first_guess.lua --state "race start" --shard $k/3 --to "$folder/$k" --quiet >"$folder/page.$k"; done
steelyard merge "$folder/1" "$folder/3" "$folder/2" >"$folder/merged"
steelyard window vehicles/first_guess.lua --state "race start" >"$folder/whole"
diff "$folder/whole" "$folder/merged" && cat "$folder/merged"
rm -r "$folder"
