folder=$(mktemp -d) && cd "$folder" && steelyard start mycar.lua && steelyard balance mycar.lua --state "race start"; cd / && rm -r "$folder"
