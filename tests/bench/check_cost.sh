#!/bin/sh
# Counts with callgrind what one check of a machine costs, as a whole process, and fails where it is
# more than a twentieth above the count recorded for this compiler and these flags.
#   check_cost.sh check|record PROGRAM MACHINE COMPILER RECORD OUTPUT
set -eu
what=$1 program=$2 machine=$3 compiler=$4 record=$5 output=$6
valgrind --tool=callgrind --callgrind-out-file="$output" "$program" "$machine" >/dev/null 2>"$output.log"
count=$(sed -n 's/^==[0-9]*== Collected : //p' "$output.log" | tr -d ' ')
million=$((count / 1000000))
echo "$compiler: $million million instructions"
if [ "$what" = record ]; then
  { grep -v "^$compiler," "$record" || true; echo "$compiler,$million"; } | sort >"$record.new"
  mv "$record.new" "$record"
  exit 0
fi
wanted=$(sed -n "s/^$compiler,//p" "$record")
[ -n "$wanted" ] || { echo "no record for $compiler in $record"; exit 1; }
if [ "$million" -gt $((wanted + wanted / 20)) ]; then
  echo "recorded are $wanted million: find out why, or record the new count with its reason"
  exit 1
fi
