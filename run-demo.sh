#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs what is missing, builds the program and shows it at work on an invented car with five doors.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"

job=docs/examples/five-door-estate.json
program=build/release/latchwright

# Prints a command, then runs it.
show() {
  echo "\$ $*"
  "$@"
}

show packaging/setup.sh
show cmake --preset release
show cmake --build build/release --target latchwright latchwright_window

echo
echo "Does this installation work, and what is its weakest point?"
status=0
show "$program" check "$job" || status=$?
case $status in
  0) echo "(exit status 0: nothing fails)" ;;
  1) echo "(exit status 1 is expected here: the demo has something that fails, and check says so)" ;;
  *)
    echo "check ended with exit status $status: bad input or a fault of the program" >&2
    exit "$status"
    ;;
esac

for ambient in 23 80; do
  echo
  echo "Locking and unlocking again and again at $ambient °C:"
  show "$program" cycle "$job" --ambient "$ambient"
done

echo
echo "The same with pictures:"
mkdir -p build/demo
show "$program" cycle "$job" --ambient 80 --quiet --force --plot build/demo/cycle.svg
show "$program" curves "$job" --quiet --force --plot build/demo/time-current.svg
echo "Look at build/demo, or open the window: build/release/latchwright-desk $job"
