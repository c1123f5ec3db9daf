#!/usr/bin/env bash
# The benchmarks: each program of cpp/bench, then each script beside them that compares with others.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo test bench
say "Benchmarks (Release)"
build bench
mkdir -p out/bench
found=0
while IFS= read -r program; do
  found=1
  say "$(basename "$program")"
  "$program" | tee "out/bench/$(basename "$program").txt"
done < <(find build/bench -type f -name 'bench_*' -perm -u+x | sort)
for script in cpp/bench/bench_*.py; do
  [ -f "$script" ] || continue
  found=1
  say "$(basename "$script")"
  "$python" "$script" | tee "out/bench/$(basename "$script" .py).txt"
done
[ "$found" = 1 ] || die "there is no benchmark in cpp/bench"
say "Written to out/bench"
