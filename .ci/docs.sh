#!/usr/bin/env bash
# The documentation under out/docs: tutorial, by question, how it reckons, and the references that
# the program writes itself (fields, findings, tables, command line, Python, JSON). A link that
# leads nowhere ends it.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo
mkdir -p out/docs
say "Documentation"
"$python" python/docs/build.py out/docs
"$venv/bin/nightbus" tables --json >out/docs/tables.json
note "begin with $root/out/docs/index.html"
