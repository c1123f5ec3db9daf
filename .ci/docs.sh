#!/usr/bin/env bash
# The documents under out/docs, by Sphinx: tutorial, by question, how it reckons, and the references
# that the program writes itself. A warning, such as a link that leads nowhere, ends it.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo docs
say "Documents"
rm -rf out/docs  # no page of yesterday stays
"$python" -m sphinx --quiet --fail-on-warning --keep-going --jobs 2 \
  --doctree-dir build/docs/doctrees python/docs out/docs
"$venv/bin/nightbus" fields --schema >out/docs/system.schema.json
"$venv/bin/nightbus" tables --json >out/docs/tables.json
note "begin with $root/out/docs/index.html"
