#!/usr/bin/env bash
# A wheel for this Python under dist/, in a build of its own as a stranger's pip would make it.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo
say "Wheel"
"$python" -m pip wheel --no-deps --wheel-dir dist .
ls -l dist
