#!/bin/sh
# Does units_cost.sh fail when it must? Judges made-up counts in FOLDER, and runs without valgrind.
#
#   units_cost_gate.sh FOLDER
set -eu

script=$(cd "$(dirname "$0")" && pwd)/units_cost.sh
folder=$1
mkdir -p "$folder"
bad=0

# expect STATUS TEXT COMPILER VERSION: the verdict on counts.csv against recorded.csv.
expect() {
  status=0
  sh "$script" judge "$folder/counts.csv" "$folder/recorded.csv" "$3" "$4" >"$folder/said" 2>&1 ||
    status=$?
  if [ "$status" -ne "$1" ] || ! grep -q "$2" "$folder/said"; then
    echo "expected exit $1 and \"$2\", got exit $status and:"
    cat "$folder/said"
    bad=1
  fi
}
counts() { printf '%s\n' "$@" >"$folder/counts.csv"; }

printf '%s\n' compiler,version,kernel,ratio GNU,12.2.0,a,1.0000 GNU,12.2.0,c,1.0000 \
  Clang,14.0.6,a,1.0800 Clang,14.0.6,c,0.9500 >"$folder/recorded.csv"

counts a,inline,1000,1020 c,column,1000,1010
expect 0 'a .* holds' GNU 12.2.0
counts a,inline,1000,1021 c,column,1000,1000
expect 1 'a .* fails: worse than recorded' GNU 12.2.0
counts a,inline,1000,1090 c,column,1000,950
expect 0 'a .* holds' Clang 14.0.6
expect 1 'a .* fails: above its limit' GNU 12.2.0
counts a,inline,1000,1000 c,column,1000,1011
expect 1 'c .* fails: above its limit' GNU 12.2.0
counts a,inline,1000,1000 c,column,1000,1000 new,inline,1000,1000
expect 1 'new .* fails: no record' GNU 12.2.0
counts a,inline,1000,1000
expect 1 'c is recorded and no longer counted' GNU 12.2.0
counts a,inline,1000,1050 b,call,1000,2500
expect 0 'no record for GNU 13.1.0' GNU 13.1.0
counts a,inline,1000,1050 b,call,1000,2501
expect 1 'b .* fails: above its limit' GNU 13.1.0
: >"$folder/counts.csv"
expect 2 'no counts' GNU 12.2.0

# A path without valgrind: the shell is called by name, so nothing else is missed before it.
mkdir -p "$folder/empty"
for tool in dirname cat mkdir; do ln -sf "$(command -v $tool)" "$folder/empty/$tool"; done
shell=$(command -v sh)
status=0
PATH="$folder/empty" "$shell" "$script" check /bin/true GNU 12.2.0 "$folder/none" \
  >"$folder/said" 2>&1 || status=$?
if [ "$status" -ne 2 ] || ! grep -q 'Debian package valgrind' "$folder/said"; then
  echo "without valgrind: expected exit 2 and the name of the package, got exit $status and:"
  cat "$folder/said"
  bad=1
fi
exit $bad
