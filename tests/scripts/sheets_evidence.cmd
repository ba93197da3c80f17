folder=$(mktemp -d) && steelyard sheets vehicles/sedge.lua evidence --page 1 --to "$folder/evidence.svg" >/dev/null && cat "$folder/evidence.svg"; rm -r "$folder"
