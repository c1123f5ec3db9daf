"""The program, called in process and as a process, on two files."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.python.conftest import small_system
from typer.testing import CliRunner

from nightbus.cli.app import app

if TYPE_CHECKING:
    from collections.abc import Iterator

FOLDER = Path(tempfile.mkdtemp(prefix="nightbus-"))
AFTER = FOLDER / "shed.toml"
BEFORE = FOLDER / "shed-before.toml"


@pytest.fixture(autouse=True, scope="module")
def files() -> Iterator[None]:
    """Two systems: one that is good, and one whose wires burn before their fuses blow."""
    FOLDER.mkdir(exist_ok=True)
    good = small_system()
    good.write(AFTER)
    bad = good.copy()
    for name, size, form, rating in (
        ("lead", "10 AWG", "class T", "200 A"),
        ("router", "20 AWG", "mini blade", "30 A"),
    ):
        run = bad.run(name)
        run.size, run.fuse_form, run.fuse = size, form, rating
    bad.write(BEFORE)
    yield
    shutil.rmtree(FOLDER)


VERBS = [
    "plan", "check", "explain", "compare", "tables", "fields", "new", "watch", "day", "measured",
]  # fmt: skip


def run(*arguments: str | Path, stdin: str | None = None) -> subprocess.CompletedProcess[str]:
    """Run the program as a user does, piped."""
    return subprocess.run(
        [sys.executable, "-c", "from nightbus.cli import main; main()", *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        input=stdin,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", "TERM": "xterm-256color"},
        check=False,
    )


def in_process(*arguments: str | Path) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(map(str, arguments)), standalone_mode=False)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    value = result.return_value
    return (value if isinstance(value, int) else result.exit_code), result.stdout
