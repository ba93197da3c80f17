folder=$(mktemp -d) && steelyard sheets vehicles/burnet.lua corners --state kerb --to "$folder/form.svg" >/dev/null && cat "$folder/form.svg"; rm -r "$folder"
