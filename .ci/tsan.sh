#!/usr/bin/env bash
# The C++ tests with the thread sanitizer: no data race, at about ten times the running time.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo test --no-nightbus
say "C++ tests, with the thread sanitizer"
build tsan
mkdir -p "$reports"
status=0
TSAN_OPTIONS=${TSAN_OPTIONS:-halt_on_error=1:second_deadlock_stack=1} \
  ctest --test-dir build/tsan --no-tests=error --output-on-failure \
  --test-output-size-passed 10000000 --test-output-size-failed 10000000 \
  --output-junit "$reports/ctest-tsan.xml" || status=$?
"$python" .ci/counts.py "$reports/ctest-tsan.xml" && exit "$status"
