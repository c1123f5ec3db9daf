"""Run clang-tidy over the compile commands of a build folder, remembering what was clean.

A file is looked at again when anything that the compiler sees of it has changed: its own text, a
header, the command, the checks or clang-tidy itself.
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


def seen_by_compiler(entry: dict[str, str]) -> bytes:
    """The preprocessed text, or nothing when the preprocessor fails (then clang-tidy tells why)."""
    command = shlex.split(entry["command"])
    output = command.index("-o")
    del command[output : output + 2]
    command[command.index("-c")] = "-E"
    return subprocess.run(command, cwd=entry["directory"], capture_output=True).stdout


def check(entry: dict[str, str], build: Path, salt: bytes) -> tuple[str, str]:
    """Nothing when the file is clean, else what clang-tidy said."""
    text = seen_by_compiler(entry)
    key = hashlib.sha256(salt + entry["command"].encode() + text).hexdigest()
    stamp = build / "clean" / key
    if text and stamp.exists():
        return entry["file"], ""
    run = subprocess.run(
        [TIDY, "--quiet", "-p", str(build), entry["file"]], capture_output=True, text=True
    )
    if run.returncode == 0:
        stamp.touch()
        return entry["file"], ""
    return entry["file"], run.stdout + run.stderr


def main() -> int:
    build = Path(sys.argv[1]).resolve()
    (build / "clean").mkdir(exist_ok=True)
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
    bad = [said for _, said in results if said]
    print("\n".join(bad) or f"{len(entries)} files are clean")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
