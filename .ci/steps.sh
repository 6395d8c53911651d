# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced by .ci/run and .ci/deep: runs steps one after the other, goes on after a failure, adds up the counts.
passed=0 failed=0 broken=0

# run_step COMMAND...: shows the command and its output. A step that ends badly without a count of failed
# tests (a build that broke) counts as one failure.
run_step() {
  local log counts status=0 step_passed step_failed
  log=$(mktemp)
  echo "== $*"
  "$@" 2>&1 | tee "$log" || status=$?
  counts=$(tail -n 1 "$log" | sed -En 's/^([0-9]+) passed, ([0-9]+) failed$/\1 \2/p')
  read -r step_passed step_failed <<<"${counts:-0 0}"
  rm -f "$log"
  passed=$((passed + step_passed))
  failed=$((failed + step_failed))
  if [ "$status" -ne 0 ]; then
    broken=1
    [ "$step_failed" -gt 0 ] || failed=$((failed + 1))
  fi
}

# Prints the total and ends the script.
finish() {
  echo "$passed passed, $failed failed"
  exit "$broken"
}
