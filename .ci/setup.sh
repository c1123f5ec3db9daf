#!/usr/bin/env bash
# setup.sh GROUP...   with GROUP of demo, docs, test, lint, bench: everything that these need, once.
#   1. Debian packages     2. the virtual environment .venv     3. nightbus inside it
# With --no-nightbus the third is left out, for what needs the C++ library alone.
source "$(dirname -- "${BASH_SOURCE[0]}")/lib.sh"
lock_tree

packages_for() {  # the Debian packages of the groups given
  awk -v wanted=" $* " '
    /^# for / { on = index(wanted, " " $3 " ") }
    /^[^#]/ && on { print $1 }' .ci/apt-packages.txt
}

missing_packages() {
  local package
  for package in "$@"; do
    dpkg-query -W -f='${db:Status-Status}\n' "$package" 2>/dev/null | grep -qx installed ||
      printf '%s\n' "$package"
  done
}

install_packages() {
  local wanted missing become
  mapfile -t wanted < <(packages_for "$@")
  if ! command -v dpkg-query >/dev/null; then
    note "This is not a Debian system: no packages are checked. Needed, by their Debian names:"
    note "${wanted[*]}"
    return
  fi
  mapfile -t missing < <(missing_packages "${wanted[@]}")
  [ ${#missing[@]} -gt 0 ] || return 0
  say "Debian packages that are missing: ${missing[*]}"
  if [ "$(id -u)" = 0 ]; then
    become=()
  elif sudo -n true 2>/dev/null; then
    become=(sudo -n)
  else
    die "${#missing[@]} Debian packages are missing and I may not install them." \
      "Type this, then run the same command again:" "" \
      "  sudo apt-get install --no-install-recommends ${missing[*]}"
  fi
  note "installing them with apt-get"
  local apt=("${become[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -qq
    -o Dpkg::Use-Pty=0 -o Acquire::Retries=3)
  "${apt[@]}" update </dev/null || note "apt-get update failed; trying with the lists at hand"
  "${apt[@]}" install -y --no-install-recommends "${missing[@]}" </dev/null >build/apt.log 2>&1 || {
    tail -n 20 build/apt.log >&2
    die "apt-get could not install them; the lines above say why (all of them: build/apt.log)."
  }
}

# A Python that is new enough and can make virtual environments; Debian's own first.
find_python() {
  local candidate
  for candidate in /usr/bin/python3 python3 python3.14 python3.13 python3.12 python3.11; do
    candidate=$(PATH=$callers_path command -v "$candidate") || continue
    if "$candidate" -c 'import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))' \
      2>/dev/null; then
      printf '%s\n' "$candidate"
      return
    fi
  done
  die "no Python >= 3.11 with the modules venv and ensurepip was found." \
    "On Debian 12 or newer:  sudo apt-get install python3-venv python3-dev" \
    "Elsewhere, install Python 3.11 or newer and make sure that python3 starts it."
}

make_venv() {
  local base
  if [ -x "$python" ] && "$python" -c 'import sys, pip; sys.exit(sys.version_info < (3, 11))' \
    2>/dev/null && [ "$("$python" -c 'import sys; print(sys.prefix)')" -ef "$venv" ]; then
    return
  fi
  base=$(find_python) || exit 2
  say "Making .venv with $base ($("$base" -V))"
  "$base" -m venv --clear "$venv"
  rm -f "$stamps"/venv-* "$stamps"/extension
}

# Of the build's many lines, the counter that ninja prints, on one line of a terminal.
progress() {
  local line
  while IFS= read -r line; do
    if [ -t 1 ] && [[ $line =~ ^\ *(\[[0-9]+/[0-9]+\]) ]]; then printf '\r   %s ' "${BASH_REMATCH[1]}"; fi
  done
  if [ -t 1 ]; then printf '\r%20s\r' ''; fi
}

# Bytecode is left to the first import, which halves the time that this takes.
pip_install() {
  "$python" -m pip install --no-input --no-compile "$@" </dev/null >>build/requirements.log 2>&1 || {
    grep -E '^ERROR|^error' build/requirements.log >&2 || tail -n 20 build/requirements.log >&2
    die "pip could not install what is needed; everything it said is in build/requirements.log."
  }
}

# The packages that pyproject.toml lists for us, without nightbus itself.
install_requirements() {
  local extra=$1 key
  key=$(fingerprint pyproject.toml)
  if fresh "venv-$extra" "$key" || { [ "$extra" != dev ] && fresh venv-dev "$key"; }; then return; fi
  say "Python packages into .venv (a minute or two, the first time)"
  "$python" .ci/requirements.py "$extra" >build/requirements.txt
  : >build/requirements.log
  pip_install --upgrade pip
  pip_install --requirement build/requirements.txt
  done_with "venv-$extra" "$key"
}

install_nightbus() {
  local key
  key=$(fingerprint pyproject.toml CMakeLists.txt cpp/cmake cpp/data cpp/include cpp/src \
    python/bindings)
  if fresh extension "$key" && "$python" -c 'import nightbus._core' 2>/dev/null; then return; fi
  say "Building nightbus into .venv (Release; some minutes the first time)"
  # Editable: the Python files are used where they lie, and the build folder is kept, so that
  # only what changed is compiled. Strict, as every build of ours, which also lets the compiler's
  # cache serve this one and the library's.
  "$python" -m pip install --verbose --no-input --no-deps --no-build-isolation \
    --config-settings=cmake.define.NIGHTBUS_STRICT=ON --editable . </dev/null 2>&1 | tee build/pip.log | progress || {
    grep -E 'error|FAILED|Error' build/pip.log | head -n 40 >&2 || tail -n 40 build/pip.log >&2
    die "nightbus did not build; everything that was said is in build/pip.log."
  }
  done_with extension "$key"
}

case " $* " in
  *" test "* | *" lint "*) extra=dev ;;
  *" docs "*) extra=docs ;;
  *) extra=report ;;
esac
install_packages "$@"
make_venv
install_requirements "$extra"
case " $* " in *" --no-nightbus "*) ;; *) install_nightbus ;; esac
