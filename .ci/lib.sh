# Shared by the scripts of this folder; sourced, never run. It gives them one calm environment,
# whatever the caller's shell is set to, and a few words to speak with.
set -euo pipefail

root=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
cd "$root"

# Another project's Python, a foreign build tool's settings or an odd locale must not leak in.
unset PYTHONPATH PYTHONHOME PYTHONSTARTUP VIRTUAL_ENV CONDA_PREFIX PYENV_VERSION CDPATH
unset PIP_USER PIP_TARGET PIP_PREFIX PIP_REQUIRE_VIRTUALENV
unset MAKEFLAGS MFLAGS MAKELEVEL CMAKE_GENERATOR CMAKE_BUILD_TYPE CMAKE_PREFIX_PATH DESTDIR
export PYTHONNOUSERSITE=1 PIP_DISABLE_PIP_VERSION_CHECK=1 LC_ALL=C.UTF-8
if [ -n "${TMPDIR:-}" ] && ! { [ -d "$TMPDIR" ] && [ -w "$TMPDIR" ]; }; then unset TMPDIR; fi

# The tools that the Debian packages bring come before any others of the same name.
callers_path=$PATH
export PATH="/usr/bin:/bin:$PATH"

# Compilers at work at once: as many as cores, but each may want 1.5 GB.
jobs_by_memory=$(awk '/^MemAvailable:/ {n = int($2 / 1500000); print (n < 1 ? 1 : n)}' \
  /proc/meminfo 2>/dev/null || true)
jobs=$(nproc 2>/dev/null || echo 2)
if [ -n "$jobs_by_memory" ] && [ "$jobs_by_memory" -lt "$jobs" ]; then jobs=$jobs_by_memory; fi
export CMAKE_BUILD_PARALLEL_LEVEL=${CMAKE_BUILD_PARALLEL_LEVEL:-$jobs}

# A cache of compiled files that outlives the folder; kept inside it when there is no home.
if [ -z "${HOME:-}" ] || [ ! -w "$HOME" ]; then
  export HOME="$root/build/home"
fi
export CCACHE_DIR=${CCACHE_DIR:-$HOME/.cache/ccache}
export CCACHE_BASEDIR=$root CCACHE_NOHASHDIR=1

venv=$root/.venv
stamps=$root/build/stamps
reports=$root/build/reports
python=$venv/bin/python

say() { printf '\n\033[1m== %s\033[0m\n' "$*" | plain; }
note() { printf '   %s\n' "$*"; }
die() {
  printf '\nStopped: %s\n' "$1" >&2
  shift
  for line in "$@"; do printf '  %s\n' "$line" >&2; done
  exit 2
}

# Takes the bold out when the output is not a terminal.
plain() { if [ -t 1 ] && [ -z "${NO_COLOR:-}" ]; then cat; else sed 's/\x1b\[[0-9;]*m//g'; fi; }

# One writer at a time: two `make` runs in two terminals wait for each other here. The scripts that
# the holder calls need not wait for it.
lock_tree() {
  [ "${NIGHTBUS_LOCK_HELD:-}" != "$root" ] || return 0
  mkdir -p "$root/build" 2>/dev/null && [ -w "$root/build" ] ||
    die "this folder cannot be written: $root" "Clone it to a place that is yours, and try again."
  exec 9>"$root/build/.lock"
  if command -v flock >/dev/null && ! flock -n 9; then
    note "another make runs in this folder; waiting for it"
    flock 9
  fi
  export NIGHTBUS_LOCK_HELD=$root
}

# fingerprint PATH...: one number for the names and contents of these files and folders.
fingerprint() {
  { printf '%s\n' "$root" "$("$python" -VV 2>/dev/null || true)"
    find "$@" -type f ! -path '*/__pycache__/*' -print0 2>/dev/null | sort -z | xargs -0r sha256sum
  } | sha256sum | cut -c1-32
}

# fresh NAME VALUE: true when the step NAME was done for VALUE; done_with NAME VALUE notes it.
fresh() { [ "$(cat "$stamps/$1" 2>/dev/null)" = "$2" ]; }
done_with() { mkdir -p "$stamps" && printf '%s\n' "$2" >"$stamps/$1"; }

# build PRESET [TARGET...]: configures once, then lets ninja decide; one error hides no other.
build() {
  local preset=$1
  shift
  local tree=$root/build/$preset key
  key=$(fingerprint CMakePresets.json)
  if [ ! -f "$tree/build.ninja" ] || ! fresh "cmake-$preset" "$key"; then
    cmake --preset "$preset" --fresh "-Dpybind11_DIR=$("$python" -m pybind11 --cmakedir)" \
      "-DPython_EXECUTABLE=$python" --no-warn-unused-cli >"$tree.log" 2>&1 || {
      cat "$tree.log" >&2
      return 1
    }
    done_with "cmake-$preset" "$key"
  fi
  cmake --build "$tree" ${1:+--target "$@"} -- -k 0
}
