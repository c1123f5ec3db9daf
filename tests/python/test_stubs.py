"""The stub in the package says what the build says; run this file to write it anew."""

from __future__ import annotations

import difflib
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

STUB = Path(__file__).parents[2] / "python" / "nightbus" / "_core.pyi"


def made() -> str:
    """Make the stub from the built module, with pybind11-stubgen and ruff."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(
            [
                sys.executable,
                "-m",
                "pybind11_stubgen",
                "nightbus._core",
                "-o",
                folder,
                "--exit-code",
                "--numpy-array-use-type-var",
            ],
            check=True,
            capture_output=True,
            text=True,
        )
        path = Path(folder) / "nightbus" / "_core.pyi"
        text = path.read_text(encoding="utf-8")
        text = "# Made by tests/python/test_stubs.py; do not edit.\n# ruff: noqa\n" + text
        path.write_text(text, encoding="utf-8")
        return text


def test_the_stub_is_that_of_the_build() -> None:
    pytest.importorskip("pybind11_stubgen")
    wanted, found = made().splitlines(), STUB.read_text(encoding="utf-8").splitlines()
    difference = "\n".join(difflib.unified_diff(found, wanted, "stub", "build", lineterm="", n=1))
    assert not difference, f"run `python tests/python/test_stubs.py`:\n{difference[:4000]}"


if __name__ == "__main__":
    STUB.write_text(made(), encoding="utf-8")
