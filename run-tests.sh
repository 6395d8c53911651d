#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs what is missing, builds everything and runs the tests; arguments go to ctest: run-tests.sh -R copper
# LATCHWRIGHT_PRESET=debug does so with the sanitizers. The last line says "N passed, N failed".
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
preset=${LATCHWRIGHT_PRESET:-release}

packaging/setup.sh
cmake --preset "$preset"
cmake --build --preset "$preset"

log=$(mktemp)
trap 'rm -f "$log"' EXIT
status=0
ctest --preset "$preset" -j2 "$@" 2>&1 | tee "$log" || status=$?

# ctest's summary: "97% tests passed, 1 tests failed out of 34"; it counts a skipped test as passed.
summary=$(sed -En 's/^[0-9]+% tests passed, ([0-9]+) tests? failed out of ([0-9]+).*/\1 \2/p' "$log")
read -r failed total <<<"${summary:-0 0}"
skipped=$(grep -c '\*\*\*Skipped' "$log" || true)
[ "$skipped" -eq 0 ] || echo "$skipped skipped"
echo "$((total - failed - skipped)) passed, $failed failed"
exit "$status"
