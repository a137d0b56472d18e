#!/usr/bin/env bash
# Fuzzes each reader of outside data for a minute (or FUZZTIME).
set -euo pipefail
grep -rlE '^func Fuzz' --include='*_test.go' internal | while read -r file; do
  dir=$(dirname "$file")
  grep -oE '^func Fuzz[A-Za-z0-9_]+' "$file" | sed 's/^func //' | while read -r target; do
    echo "== ./$dir $target"
    CGO_ENABLED=0 go test "./$dir" -run '^$' -fuzz "^$target\$" -fuzztime "${FUZZTIME:-60s}"
  done
done
