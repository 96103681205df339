#!/bin/sh
# What quantities cost: counts the instructions of each kernel in plain doubles and in quantities.
#
#   units_cost.sh check  PROGRAM COMPILER VERSION FOLDER   count, print the table, judge
#   units_cost.sh record PROGRAM COMPILER VERSION FOLDER   the same, and keep the ratios as record
#   units_cost.sh judge  COUNTS RECORDED COMPILER VERSION  judge counts made before
#
# COMPILER and VERSION are those of CMake: GNU 12.2.0, Clang 14.0.6. Exit 0: all holds. 1: a kernel
# costs more than its limit, or more than its record by over 0.02. 2: nothing could be counted.
#
# Counts repeat from run to run and do not depend on the load of the machine; times would.
set -eu
export LC_ALL=C

here=$(cd "$(dirname "$0")" && pwd)
recorded=$here/recorded.csv
# The kind sets the limit: inline code, a column, or a call into another file.
kernels="demand:inline demand_arrays:inline pull_out:inline margin:inline move_time:inline"
kernels="$kernels demand_column:column call_by_value:call call_by_struct:call"

fail() {
  echo "units_cost: error: $*" >&2
  exit 2
}

# Writes "kernel,kind,plain,typed" lines to $2. One run of the program for all of them: callgrind
# counts inside the functions only and starts a new file after each.
count() {
  program=$1
  counts=$2
  folder=$(dirname "$counts")
  command -v valgrind >/dev/null 2>&1 || fail "valgrind not found; install the Debian package valgrind"
  mkdir -p "$folder"
  rm -f "$folder"/out "$folder"/out.*
  set -- --tool=callgrind '--toggle-collect=counted_*' --callgrind-out-file="$folder/out"
  for kernel in $kernels; do
    set -- "$@" --dump-after="counted_${kernel%:*}_plain" --dump-after="counted_${kernel%:*}_typed"
  done
  if ! valgrind "$@" "$program" >"$folder/log" 2>&1; then
    cat "$folder/log" >&2
    fail "$program did not run to its end under valgrind"
  fi
  # A file names its trigger, the functions since the file before, and its total. A counted function
  # that is not in the list would go unseen into the count of the next one.
  if ! awk -v kernels="$kernels" '
    /^desc: Trigger: / { trigger = $3; sub(/.*=/, "", trigger) }
    /^c?fn=.* counted_/ && $2 != trigger { stray = $2 }
    /^totals: / { total[trigger] += $2; files[trigger]++ }
    END {
      if (stray != "" || files["Program"] != 1 || total["Program"] != 0) {
        printf "units_cost: error: %s is not in the list of kernels\n", stray >"/dev/stderr"
        exit 1
      }
      n = split(kernels, list, " ")
      for (i = 1; i <= n; ++i) {
        split(list[i], part, ":")
        plain = "counted_" part[1] "_plain"
        typed = "counted_" part[1] "_typed"
        if (files[plain] != 1 || files[typed] != 1 || total[plain] == 0 || total[typed] == 0) {
          printf "units_cost: error: %s was not counted exactly once\n", part[1] >"/dev/stderr"
          exit 1
        }
        printf "%s,%s,%d,%d\n", part[1], part[2], total[plain], total[typed]
      }
    }' "$folder"/out "$folder"/out.* >"$counts"; then
    fail "see $folder"
  fi
}

judge() {
  awk -F, -v compiler="$3" -v version="$4" '
    function limit_of(kind) {
      if (kind == "column") return 1.01
      if (kind == "call") return 2.50  # known and no aim: a bound against nonsense
      return compiler == "GNU" ? 1.05 : 1.10
    }
    FNR == 1 { ++file }
    file == 1 {
      if ($1 == compiler && $2 == version) { record[$3] = $4; ++records }
      next
    }
    {
      if (++rows == 1) {
        printf "instructions, %s %s at -O2\n", compiler, version
        printf "%-14s %9s %9s %7s %6s %8s  verdict\n", "kernel", "plain", "typed", "ratio", "limit", "recorded"
      }
      ratio = $4 / $3
      limit = limit_of($2)
      verdict = "holds"
      if (ratio > limit) verdict = "fails: above its limit"
      else if (records && !($1 in record)) verdict = "fails: no record"
      else if (($1 in record) && ratio > record[$1] + 0.02) verdict = "fails: worse than recorded"
      if (verdict != "holds") ++bad
      printf "%-14s %9d %9d %7.4f %6.2f %8s  %s\n", $1, $3, $4, ratio, limit, ($1 in record) ? record[$1] : "-", verdict
      delete record[$1]
    }
    END {
      for (kernel in record) {
        printf "%s is recorded and no longer counted\n", kernel
        ++bad
      }
      if (!rows) { print "units_cost: error: no counts"; exit 2 }
      if (!records) printf "no record for %s %s, so the limits alone were judged\n", compiler, version
      if (bad || !records) {
        print "If the change is meant, build the target record_units_cost with this compiler and"
        print "commit tests/bench/recorded.csv with the reason. A record does not lift a limit."
      }
      exit bad ? 1 : 0
    }' "$2" "$1"
}

record() {
  {
    echo "compiler,version,kernel,ratio"
    {
      awk -F, -v compiler="$2" -v version="$3" \
        'FNR > 1 && !($1 == compiler && $2 == version)' "$recorded"
      awk -F, -v compiler="$2" -v version="$3" \
        '{ printf "%s,%s,%s,%.4f\n", compiler, version, $1, $4 / $3 }' "$1"
    } | sort
  } >"$recorded.new"
  mv "$recorded.new" "$recorded"
}

case "${1-}:$#" in
  check:5)
    count "$2" "$5/counts.csv"
    judge "$5/counts.csv" "$recorded" "$3" "$4"
    ;;
  record:5)
    count "$2" "$5/counts.csv"
    record "$5/counts.csv" "$3" "$4"
    judge "$5/counts.csv" "$recorded" "$3" "$4"
    ;;
  judge:5)
    judge "$2" "$3" "$4" "$5"
    ;;
  *)
    fail "usage: units_cost.sh check|record PROGRAM COMPILER VERSION FOLDER, or judge COUNTS RECORDED COMPILER VERSION"
    ;;
esac
