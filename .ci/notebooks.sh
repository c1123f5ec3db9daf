#!/usr/bin/env bash
# Runs every notebook from its first cell to its last and keeps what it shows in the file.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo test
say "Notebooks"
"$python" notebooks/run.py 2>build/notebook.log || {
  tail -n 30 build/notebook.log >&2
  die "a notebook stopped with an error"
}
say "The README: figures of its output, and its picture"
"$python" python/docs/readme.py
