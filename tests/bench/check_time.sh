#!/usr/bin/env bash
# Processor time of a whole program on each file, the median of seven fresh processes, in
# milliseconds. A benchmark for people: no test looks at a clock.
#   tests/bench/check_time.sh build/bin/pitchline-check reference/machines/*.toml
set -euo pipefail
program=$1
shift
TIMEFORMAT='%3U %3S'
for file in "$@"; do
  for _ in 1 2 3 4 5 6 7; do
    { time "$program" "$file" >/dev/null 2>&1 || true; } 2>&1
  done | awk '{ printf "%.0f\n", 1000 * ($1 + $2) }' | sort -n | sed -n 4p |
    { read -r median; printf '%6d ms  %s\n' "$median" "${file##*/}"; }
done
