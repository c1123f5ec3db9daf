#!/usr/bin/env bash
# Each fuzz target for SECONDS_EACH seconds, from the seeds beside it. What it finds is kept in
# build/fuzz/found; a crash makes the exit status non-zero and leaves the input there.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo test --no-nightbus
seconds=${SECONDS_EACH:-20}
seconds=${seconds:-20}
say "Fuzz targets"
build fuzz nightbus_fuzz
failed=0
for program in build/fuzz/tests/fuzz/fuzz_*; do
  [ -x "$program" ] && [ -f "$program" ] || continue
  name=$(basename "$program")
  mkdir -p "build/fuzz/found/$name" "build/fuzz/crashes"
  options=()
  more=()
  [ "$name" != fuzz_reader ] || more+=(notebooks/systems)
  dictionary=tests/fuzz/${name#fuzz_}.dict
  [ ! -f "$dictionary" ] || options+=("-dict=$dictionary")
  say "$name, $seconds s"
  "$program" -max_total_time="$seconds" -timeout=10 -rss_limit_mb=2048 -print_final_stats=1 \
    -artifact_prefix="build/fuzz/crashes/$name-" "${options[@]}" "build/fuzz/found/$name" \
    "tests/fuzz/seeds/${name#fuzz_}" "${more[@]}" \
    >"build/fuzz/$name.log" 2>&1 || {
    failed=$((failed + 1))
    tail -n 40 "build/fuzz/$name.log"
  }
  grep -hE '^stat::number_of_executed_units|^stat::new_units' "build/fuzz/$name.log" || true
done
[ "$failed" = 0 ] || die "$failed fuzz target(s) stopped early, as told above; inputs that crash are in build/fuzz/crashes"
