#!/usr/bin/env bash
# Everything that judges the text of the project. Every check runs; the last line counts them.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree
.ci/setup.sh demo test lint --no-nightbus
passed=0
failed=0
check() {  # check NAME COMMAND...: runs it, shows what it said when it failed
  local name=$1 start=$SECONDS status=0 log
  shift
  mkdir -p "$reports/lint"
  log=$reports/lint/${name// /-}.log
  "$@" >"$log" 2>&1 || status=$?
  if [ "$status" = 0 ]; then
    passed=$((passed + 1))
    note "$(printf '%-34s ok      %3d s' "$name" $((SECONDS - start)))"
    grep -h '^warning:' "$log" | sed 's/^/     /' || true
  else
    failed=$((failed + 1))
    note "$(printf '%-34s FAILED  %3d s' "$name" $((SECONDS - start)))"
    head -n 60 "$log" | sed 's/^/     /'
  fi
}

sources() {  # the files of the project that end in one of these, whether committed or new
  "$python" .ci/check_tree.py --list "$@"
}

clang_format() { sources .cpp .hpp | xargs -d '\n' "$venv/bin/clang-format" --dry-run -Werror; }

shell_syntax() {
  local script
  for script in .ci/run .ci/*.sh; do bash -n "$script"; done
}

# Configures for clang and makes the generated sources; compiles nothing.
tidy() {
  build tidy nightbus_generated && "$python" .ci/tidy.py build/tidy
}

say "Lint"
check "tree" "$python" .ci/check_tree.py
check "shell syntax" shell_syntax
check "clang-format" clang_format
check "ruff check" "$venv/bin/ruff" check .
check "ruff format" "$venv/bin/ruff" format --check .
check "mypy strict" "$venv/bin/mypy"
check "clang-tidy" tidy

printf '\nlint: %d passed, %d failed\n' "$passed" "$failed"
[ "$failed" = 0 ]
