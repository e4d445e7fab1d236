#!/bin/sh
# Fetches the open recordings of force plates that tests read, once, into .leadfoot/recordings.
set -eu
python=${1:-python3}
root=$(cd "$(dirname "$0")/.." && pwd)
kept=$root/.leadfoot/recordings
lock=$root/requirements/recordings.lock
if cmp -s "$lock" "$kept/lock"; then
  exit 0
fi
mkdir -p "$kept"
new=$(mktemp -d "$kept/new.XXXXXX")
trap 'rm -rf "$new"' EXIT
"$python" -m pip download --quiet --disable-pip-version-check --no-deps --require-hashes \
  --no-binary jumpmetrics --only-binary biomdp --dest "$new" -r "$lock" || {
  echo "The open recordings can't be fetched; the tests that read them need the package index once." >&2
  exit 1
}
mv -f "$new"/* "$kept"
cp "$lock" "$kept/lock"
