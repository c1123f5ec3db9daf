#!/usr/bin/env bash
# The whole job on one of our own systems: the plan on the terminal, a report and JSON under out/.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo

system=${SYSTEM:-notebooks/systems/travelling-library-after.toml}
[ -f "$system" ] || die "there is no system file $system" \
  "Choose one:  make demo SYSTEM=path/to/system.toml" \
  "At hand: $(printf '%s ' notebooks/systems/*.toml)"

mkdir -p out
rm -f out/report.html out/plan.json
say "The plan for $system"
note "nightbus plan $system --report out/report.html --json-file out/plan.json"
# Status 1 says that the plan holds a danger: the plan is still whole, and worth reading.
status=0
"$venv/bin/nightbus" plan "$system" --report out/report.html --json-file out/plan.json || status=$?
for file in out/report.html out/plan.json; do
  [ -s "$file" ] || die "$file was not written (nightbus ended with status $status)"
done

say "Written"
note "the report, to read and to print    $root/out/report.html"
note "the plan as data                    $root/out/plan.json"
note "the system file it was made from    $root/$system"
before=${system/-after/-before}
if [ "$before" != "$system" ] && [ -f "$before" ]; then
  note "the same system before its mending  make demo SYSTEM=$before"
fi
note "for your own system                 .venv/bin/nightbus --help"
[ "$status" != 1 ] || note "a danger stands in this plan, so this ends with status 1"
exit "$status"
