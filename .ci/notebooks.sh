#!/usr/bin/env bash
# Runs every notebook from its first cell to its last and keeps what it shows in the file.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo test
shopt -s nullglob
notebooks=(notebooks/[0-9]*.ipynb)
[ ${#notebooks[@]} -gt 0 ] || die "there is no numbered notebook in notebooks/"
say "Notebooks"
for notebook in "${notebooks[@]}"; do
  note "$notebook"
  "$venv/bin/jupyter-execute" --inplace --kernel_name=python3 "$notebook" 2>build/notebook.log || {
    tail -n 30 build/notebook.log >&2
    die "$notebook stopped with an error"
  }
done
say "The README: figures of its output, and its picture"
"$python" python/docs/readme.py
