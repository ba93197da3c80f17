folder=$(mktemp -d)
export PARALLEL_HOME="$folder"
shared_out() { # STUDY JOBS ARGUMENTS...: seven shards, so many at a time, merged
  study=$1 jobs=$2
  shift 2
  seq 7 | parallel --will-cite --jobs "$jobs" steelyard "$@" --quiet --shard {}/7 --to "$folder/$study.$jobs.{}" \
    >"$folder/pages" || return
  steelyard merge $(seq -f "$folder/$study.$jobs.%g" 7) >"$folder/$study.$jobs.merged" &&
    diff "$folder/$study.whole" "$folder/$study.$jobs.merged" && echo "$study, $jobs at a time: as one process"
}
# more blocks than shards: each has some to work out
steelyard window vehicles/first_guess.lua --back -50,75,400 --driver 60,100,41 --quiet >"$folder/window.whole"
steelyard spread vehicles/first_guess.lua --draws 300000 --quiet >"$folder/spread.whole"
for jobs in 1 7; do
  shared_out window $jobs window vehicles/first_guess.lua --back -50,75,400 --driver 60,100,41
  shared_out spread $jobs spread vehicles/first_guess.lua --draws 300000
done
for k in 1 2 3 4 5 6 7; do # the files do not know either
  cmp "$folder/window.1.$k" "$folder/window.7.$k" && cmp "$folder/spread.1.$k" "$folder/spread.7.$k"
done
head -n 1 "$folder/spread.whole"
rm -r "$folder"
