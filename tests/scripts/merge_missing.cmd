folder=$(mktemp -d)
(cd vehicles && steelyard window first_guess.lua --shard 2/3 --to "$folder/second" --quiet) >"$folder/page"
cd "$folder" && steelyard merge second
code=$?
rm -r "$folder"
exit $code
