"""Run clang-tidy over the compile commands of a build folder, remembering what was clean.

A file is looked at again when anything that the compiler sees of it has changed: its own text, a
header, the command, the checks or clang-tidy itself. The memory lies beside the compiler's
cache and
serves every clone of the project.
"""

import hashlib
import json
import os
import shlex
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

TIDY = "clang-tidy-19"
CLEAN = Path(os.environ.get("CCACHE_DIR", "build/ccache")).parent / "nightbus-tidy"


def seen_by_compiler(entry: dict[str, str]) -> bytes:
    """The preprocessed text, or nothing when the preprocessor fails (then clang-tidy tells why)."""
    command = shlex.split(entry["command"])
    output = command.index("-o")
    del command[output : output + 2]
    command[command.index("-c") : command.index("-c") + 1] = ["-E", "-C"]  # NOLINT is a comment
    return subprocess.run(command, cwd=entry["directory"], capture_output=True).stdout


def check(entry: dict[str, str], build: Path, salt: bytes) -> str:
    """Nothing when the file is clean, else what clang-tidy said."""
    text = seen_by_compiler(entry)
    seen = (salt + entry["command"].encode() + text).replace(bytes(Path.cwd()), b"")
    stamp = CLEAN / hashlib.sha256(seen).hexdigest()
    if text and stamp.exists():
        return ""
    run = subprocess.run(
        [TIDY, "--quiet", "-p", str(build), entry["file"]], capture_output=True, text=True
    )
    if run.returncode == 0:
        stamp.touch()
        return ""
    # The count of warnings in other people's headers says nothing.
    said = [line for line in run.stderr.splitlines() if "warnings generated" not in line]
    return run.stdout + "\n".join(said)


def main() -> int:
    build = Path(sys.argv[1]).resolve()
    CLEAN.mkdir(parents=True, exist_ok=True)
    version = subprocess.run([TIDY, "--version"], check=True, capture_output=True).stdout
    salt = version + Path(".clang-tidy").read_bytes()
    entries = json.loads((build / "compile_commands.json").read_text())
    entries = [e for e in entries if "/generated/" not in e["file"]]
    if not entries:
        print("no file to look at: the compile commands are empty")
        return 1
    jobs = int(os.environ.get("CMAKE_BUILD_PARALLEL_LEVEL", "2"))
    with ThreadPoolExecutor(jobs) as pool:
        results = list(pool.map(lambda entry: check(entry, build, salt), entries))
    bad = [said for said in results if said]
    print("\n".join(bad) or f"{len(entries)} files are clean")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
