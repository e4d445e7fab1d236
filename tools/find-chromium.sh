#!/bin/sh
# Makes sure that a Chromium is there for the browser tests: from Debian where this runs as root.
set -eu
for name in "${CHROMIUM:-}" chromium chromium-browser; do
  if [ -n "$name" ] && command -v "$name" >/dev/null 2>&1; then exit 0; fi
done
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >/dev/null
  exit 0
fi
echo "No Chromium found for the browser tests. Install it (Debian: sudo apt install chromium) or set CHROMIUM=/path/to/chromium, then run make test again." >&2
exit 1
