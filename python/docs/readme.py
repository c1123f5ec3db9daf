"""Brings the README up to date: the figures in its output, and its picture.

    python python/docs/readme.py

Each line of output that is shown is looked up by its words in what the program prints now and
takes its figures from there. A line that is no longer printed is an error.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from typer.testing import CliRunner

import nightbus as nb
from nightbus.cli.app import app
from nightbus.report.diagram import one_line
from nightbus.report.opening import diagram_notes

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
LIBRARY = ROOT / "notebooks" / "systems" / "travelling-library-after.toml"
PICTURE = ROOT / "notebooks" / "pictures" / "travelling-library.svg"
SHOWN = re.compile(r"(<!-- from: nightbus plan (\S+) -->\n```\n)(.*?)(^```$)", re.M | re.S)


def worded(text: str) -> str:
    """Return the line without its figures; of a row of a table, its first cell alone."""
    first = re.split(r"\s{2,}", text.strip())[0]
    return re.sub(r"\d+(?:\.\d+)?", "#", first)


def refreshed(shown: str, system: Path) -> str:
    """Return the output that is shown with the figures of today.

    Raises
    ------
    ValueError
        When a line is no longer printed.
    """
    os.environ.pop("COLUMNS", None)
    printed = CliRunner().invoke(app, ["plan", str(system)], standalone_mode=False).stdout
    real = [line.rstrip() for line in printed.splitlines() if line.strip()]
    at, out = 0, []
    for line in shown.splitlines():
        if line.strip() in ("", "…"):
            out.append(line)
            continue
        place = next((i for i in range(at, len(real)) if worded(real[i]) == worded(line)), None)
        if place is None:
            raise ValueError(f"the program no longer prints: {line}")
        out.append(real[place])
        at = place + 1
    return "\n".join(out) + "\n"


def drawing() -> str:
    """Draw the one-line diagram of the travelling library, on white."""
    plan = nb.plan(LIBRARY, energy=False)
    svg = one_line(plan.system, diagram_notes(plan))
    return svg.replace("<svg ", '<svg style="background:#ffffff" ', 1)


if __name__ == "__main__":
    text = README.read_text(encoding="utf-8")
    README.write_text(
        SHOWN.sub(lambda m: m[1] + refreshed(m[3], ROOT / m[2]) + m[4], text), encoding="utf-8"
    )
    PICTURE.parent.mkdir(exist_ok=True)
    PICTURE.write_text(drawing() + "\n", encoding="utf-8")
