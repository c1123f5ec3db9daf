"""What no file of the project may hold: a machine's paths, a package index's host, loose ends.

Also reports files that have grown long. ``--list .cpp .hpp`` prints the files of these kinds.
"""

import argparse
import re
import subprocess
import sys
from pathlib import Path

# Written in two parts so that this file does not hold what it looks for.
FORBIDDEN = {
    "a path of one machine": re.compile(r"(?<![\w.])/(?:" + "wo" + r"rk|ro" + r"ot|ho" + r"me)/\w"),
    "a host of a package index": re.compile(
        r"\b(?:" + "py" + r"pi\.org|python" + r"hosted\.org|deb\." + r"debian\.org"
        r"|npm" + r"js\.(?:org|com)|crates\." + r"io|anaconda\." + r"org)\b"
    ),
    "a loose end": re.compile(r"\b(?:TO" + r"DO|FIX" + r"ME|XX" + r"X)\b"),
    "a merge left half done": re.compile(r"^(?:<{7}|>{7}) ", re.MULTILINE),
}
CODE = {".cpp", ".hpp", ".py", ".sh", ".cmake"}
LONG = 400
BINARY = {".png", ".jpg", ".pdf", ".ico", ".woff2", ".epw", ".npz", ".parquet"}
# Wrong on purpose: the reader must refuse it.
NOT_TEXT = {Path("tests/cpp/reader/gallery/not-utf8.toml")}


def project_files() -> list[Path]:
    """Every file that is or may be committed."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, check=True, capture_output=True).stdout.decode()
    return sorted({Path(name) for name in listed.split("\0") if name and Path(name).is_file()})


def problems(path: Path, text: str) -> list[str]:
    """Each forbidden thing in this text, with its place."""
    found = []
    for what, pattern in FORBIDDEN.items():
        for match in pattern.finditer(text):
            line = text.count("\n", 0, match.start()) + 1
            found.append(f"{path}:{line}: {what}: {match[0]!r}")
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--list", nargs="+", metavar="ENDING", default=[])
    endings = parser.parse_args().list
    files = project_files()
    if endings:
        print("\n".join(str(path) for path in files if path.suffix in endings))
        return 0
    found: list[str] = []
    for path in files:
        if path.suffix in BINARY or path in NOT_TEXT:
            continue
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            found.append(f"{path}: is not UTF-8")
            continue
        found += problems(path, text)
        lines = text.count("\n")
        if path.suffix in CODE and lines > LONG:
            print(f"warning: {path} has {lines} lines; look for two files in it")
    print("\n".join(found))
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
