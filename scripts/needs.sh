#!/usr/bin/env bash
# Installs what the tests need and says what to do where it cannot.
set -euo pipefail

missing=()
command -v ffmpeg >/dev/null && command -v ffprobe >/dev/null || missing+=(ffmpeg)
command -v chromium >/dev/null || command -v chromium-browser >/dev/null || command -v google-chrome >/dev/null || missing+=(chromium)
command -v node >/dev/null && command -v npm >/dev/null || missing+=(nodejs npm)
command -v pdftotext >/dev/null && command -v pdfinfo >/dev/null || missing+=(poppler-utils)
command -v gcc >/dev/null || missing+=(gcc libc6-dev)
[ ${#missing[@]} -eq 0 ] && exit 0

run() { if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi; }
if command -v apt-get >/dev/null; then
  run apt-get update -qq
  DEBIAN_FRONTEND=noninteractive run apt-get install -y -qq "${missing[@]}"
elif command -v brew >/dev/null; then
  for want in "${missing[@]}"; do
    case "$want" in
      nodejs) brew install node ;;
      npm | gcc | libc6-dev) ;;
      poppler-utils) brew install poppler ;;
      chromium) brew install --cask chromium ;;
      *) brew install "$want" ;;
    esac
  done
else
  echo "the tests need: ${missing[*]}. Install them with your system's package manager and run this again." >&2
  exit 1
fi
