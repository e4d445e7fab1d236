#!/bin/sh
# Makes the virtual environment, and brings Debian's venv package where it is missing and may be installed.
set -eu
python=$1
venv=$2
"$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || {
  echo "Leadfoot needs Python 3.11 or newer; $python is $("$python" -V 2>&1). Name another: make PYTHON=python3.12 ..." >&2
  exit 1
}
if ! "$python" -c 'import ensurepip' 2>/dev/null; then
  if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends python3-venv
  else
    echo "Python's venv module is missing. Install it (Debian: sudo apt install python3-venv), then run make again." >&2
    exit 1
  fi
fi
"$python" -m venv "$venv"
