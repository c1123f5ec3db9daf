#!/usr/bin/env bash
# Every test there is. The last line is "N passed, N failed, N skipped"; the exit status is zero
# only when nothing failed. A part that breaks does not keep the others from running.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo docs test --no-nightbus

mkdir -p build
rm -rf "$reports"
mkdir -p "$reports"
export ASAN_OPTIONS=${ASAN_OPTIONS:-strict_string_checks=1:detect_stack_use_after_return=1}
export UBSAN_OPTIONS=${UBSAN_OPTIONS:-print_stacktrace=1}
# What a plain pytest may skip because nothing was built must not be skipped here.
export NIGHTBUS_FULL_TEST=1
broken=0

say "C++ tests, with the address and undefined-behaviour sanitizers"
build debug || broken=$((broken + 1))
# Even after a broken build the programs that exist are run: a missing one counts as failed.
if [ -f build/debug/CTestTestfile.cmake ]; then
  ctest --test-dir build/debug --parallel "$CMAKE_BUILD_PARALLEL_LEVEL" --no-tests=error \
    --test-output-size-passed 10000000 --test-output-size-failed 10000000 \
    --output-on-failure --output-junit "$reports/ctest.xml" || true
fi

say "The library and the Python extension (Release)"
build release nightbus || broken=$((broken + 1))
.ci/setup.sh demo docs test || broken=$((broken + 1))

say "Python tests, notebooks and the stranger's project"
"$python" -m pytest --junit-xml="$reports/pytest.xml" -o junit_family=xunit2 || true

"$python" .ci/counts.py --broken "$broken" "$reports/ctest.xml" "$reports/pytest.xml"
