#!/usr/bin/env bash
# Writes THIRD_PARTY.txt: the licence of every module inside the binary, the
# parts of the embedded ffmpeg, the network of the guess and its kernels, and what
# else is copied into the repository.
set -euo pipefail
cd "$(dirname "$0")/.."

modules() {
  for os in linux windows darwin; do
    GOOS=$os CGO_ENABLED=0 go list -deps -f '{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}' ./cmd/underkick
  done | sort -u
}

{
  echo "underkick contains the work of others. Their notices follow."
  echo
  cat docs/third-party-film.txt
  echo
  cat docs/third-party-guess.txt
  echo
  echo "================================================================================"
  echo "The Go standard library and runtime"
  echo "================================================================================"
  cat "$(go env GOROOT)/LICENSE"
  modules | while read -r path version dir; do
    echo
    echo "================================================================================"
    echo "$path $version"
    echo "================================================================================"
    found=$(find "$dir" -maxdepth 1 -type f \( -iname 'licen[sc]e*' -o -iname 'copying*' -o -iname 'notice*' -o -iname 'patents*' \) | sort)
    [ -n "$found" ] || { echo "no licence file in $path" >&2; exit 1; }
    for f in $found; do
      # The GPL's text stands once, in LICENSE.
      if grep -q 'GNU GENERAL PUBLIC LICENSE' "$f" && [ "$(wc -c <"$f")" -gt 30000 ]; then
        echo "GNU General Public License version 3, see LICENSE."
      else
        tr -d '\r' <"$f"
      fi
    done
  done
} >THIRD_PARTY.txt
