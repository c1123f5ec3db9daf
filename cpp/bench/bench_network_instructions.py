#!/usr/bin/env python3
"""Instructions per operating point (callgrind, scalar kernel), held against a ceiling.

Unlike times, counts do not depend on how busy the machine is, so these gate: the exit status is 1
when a count is above its ceiling. Needs valgrind and a Release build of cpp/bench.

    python cpp/bench/bench_network_instructions.py [build/bench]
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

# The ceilings: a tenth above what is reached, so that a change of compiler does not stop the build.
CEILINGS = {"rack80": 18_500, "rack80-ties": 22_000}
POINTS = 1440


def program(build: Path) -> Path:
    """Find the built binary."""
    found = sorted(build.rglob("network_instructions"))
    if not found:
        sys.exit(f"network_instructions is not built in {build}")
    return found[0]


def count(command: list[str]) -> int:
    """Total instructions of a run."""
    done = subprocess.run(
        ["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", *command],
        capture_output=True,
        text=True,
        check=True,
    )
    match = re.search(r"Collected\s*:\s*(\d+)", done.stderr)
    if match is None:
        sys.exit(done.stderr)
    return int(match.group(1))


def main() -> int:
    """Count every network and judge it."""
    if shutil.which("valgrind") is None:
        print("valgrind is not installed: instruction counts NOT taken")
        return 0
    build = Path(sys.argv[1]) if len(sys.argv) > 1 else Path("build/bench")
    binary = str(program(build))
    status = 0
    for network, ceiling in CEILINGS.items():
        few, many = (count([binary, network, str(days)]) for days in (1, 3))
        each = (many - few) / (2 * POINTS)
        verdict = "ok" if each <= ceiling else "ABOVE ITS CEILING"
        status |= each > ceiling
        print(f"{network:12s} {each:8.0f} instructions a point, ceiling {ceiling:6d}: {verdict}")
    return int(status)


if __name__ == "__main__":
    sys.exit(main())
