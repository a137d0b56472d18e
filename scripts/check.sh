#!/usr/bin/env bash
# Runs every step of `make check`, two at a time: the tests wait for films and for the
# browser, and meanwhile the other steps use the processor. Prints what each step said
# when it ends, and the time of each.
set -uo pipefail
cd "$(dirname "$0")/.."

logs=$(mktemp -d)
trap 'rm -rf "$logs"' EXIT
began=$SECONDS
TIMEFORMAT='%R %U %S'

# step NAME: runs `make NAME`. What the long one says is shown at once, what the others
# say in one piece.
step() {
  local name=$1 failed=0
  if [ "$name" = test ]; then
    { time make -s test 2>&1; } 2>"$logs/$name.time" || failed=1
  else
    { time make -s "$name" >"$logs/$name.log" 2>&1; } 2>"$logs/$name.time" || failed=1
  fi
  # words of bash's own may stand before the times
  tail -n 1 "$logs/$name.time" | awk -v name="$name" -v failed="$failed" \
    '{ printf "%-6s %s: %5.0f s, %5.0f s of processor\n", name, failed ? "FAILED" : "passed", $1, $2 + $3 }' >"$logs/$name.end"
  cat "$logs/$name.end" >>"$logs/summary"
  touch "$logs/$name.log"
  { echo "---- $name"; cat "$logs/$name.log" "$logs/$name.end"; } >"$logs/$name.all"
  cat "$logs/$name.all"
  [ "$failed" = 0 ] || echo "$name" >>"$logs/failed"
  return "$failed"
}

steps() {
  local name
  for name in "$@"; do step "$name"; done
}

{ step needs && touch "$logs/ready"; touch "$logs/tried"; [ ! -e "$logs/ready" ] || step test; } &
tests=$!
{
  steps fmt lint cross
  until [ -e "$logs/tried" ]; do sleep 1; done
  [ ! -e "$logs/ready" ] || steps race web # they need what `needs` installs
} &
others=$!
trap 'kill "$tests" "$others" 2>/dev/null; exit 130' INT TERM
wait "$tests" "$others"

echo "---- check: $((SECONDS - began)) s"
cat "$logs/summary"
if [ -s "$logs/failed" ]; then
  echo "failed: $(tr '\n' ' ' <"$logs/failed")"
  exit 1
fi
