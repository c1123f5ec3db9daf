#!/usr/bin/env bash
# What the program itself knows, written out: every field, the schema for editors, every table.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo
mkdir -p out/docs
"$venv/bin/nightbus" fields --markdown >out/docs/fields.md
"$venv/bin/nightbus" fields --schema >out/docs/system.schema.json
"$venv/bin/nightbus" tables --json >out/docs/tables.json
"$venv/bin/nightbus" tables >out/docs/tables.txt
say "Written"
for file in out/docs/*; do note "$root/$file"; done
