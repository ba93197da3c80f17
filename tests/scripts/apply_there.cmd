folder=$(mktemp -d) && cp vehicles/first_guess.lua "$folder" && cd "$folder" && steelyard apply first_guess.lua "powertrain 50 back" --to first_guess.lua; code=$?; cd / && rm -r "$folder"; exit $code
