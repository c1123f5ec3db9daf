"""The stub in the package says what the build says; run this file to write it anew."""

from __future__ import annotations

import difflib
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

HEAD = "# Made by tests/python/test_stubs.py; do not edit.\n# ruff: noqa\n"
BUILTIN_FLOAT = r"(?<=-> )float\b|(?<!def )(?<![\w.])float\b(?!:)"
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
                "--enum-class-locations",
                "Installation:nightbus._core",
                "--enum-class-locations",
                "ConverterTopology:nightbus._core",
                "--enum-class-locations",
                "DeviceKind:nightbus._core",
                "--numpy-array-use-type-var",
            ],
            check=True,
            capture_output=True,
            text=True,
        )
        path = Path(folder) / "nightbus" / "_core.pyi"
        return HEAD + strict(path.read_text(encoding="utf-8"))


def strict(text: str) -> str:
    """Say what the generator cannot see, so that strict checkers accept the stub."""
    # The module's own LookupError stands before the builtin one of that name.
    text = text.replace("(Error, LookupError)", "(Error, builtins.LookupError)")
    # Members of enumerations are values, and these make themselves.
    text = re.sub(r"    @classmethod\n    def __new__\(cls, value\):\n        \.\.\.\n", "", text)
    text = re.sub(r"    def __format__\(self, format_spec\):\n        \.\.\.\n", "", text)
    classes = re.split(r"(?m)^(?=class )", text)
    for index, block in enumerate(classes):
        found = re.match(r"class (\w+)\(enum\.\w+\):", block)
        if found:
            name = found[1]
            classes[index] = re.sub(
                rf"(?m)^    (\w+): typing\.ClassVar\[{name}\].*$", r"    \1 = ...", block
            )
        elif re.search(r"(?m)^    def float\(self\)", block):
            # A field called float hides the type of that name inside its class.
            classes[index] = re.sub(
                r"(?m)^    def .*$",
                lambda line: re.sub(
                    r"(?<=-> )float\b|(?<!def )(?<![\w.])float\b(?!:)", "builtins.float", line[0]
                ),
                block,
            )
    text = "".join(classes)
    # Pickling is nobody's to call.
    text = re.sub(
        r"    @staticmethod\n    def __[gs]etstate__\(\*args, \*\*kwargs\):\n        \.\.\.\n",
        "",
        text,
    )
    text = re.sub(r"def __eq__\(self, \w+: [^)]*\)", "def __eq__(self, other: object)", text)
    text = text.replace("import collections", "import builtins\nimport collections", 1)
    text = re.sub(r"(?<![\w.])dict(?![\w\[])", "dict[typing.Any, typing.Any]", text)
    text = re.sub(r"(?<![\w.])list(?![\w\[])", "list[typing.Any]", text)
    text = re.sub(r"os\.PathLike(?!\[)", "os.PathLike[str]", text)
    text = re.sub(r"(?<![\w.])tuple(?![\w\[])", "tuple[typing.Any, ...]", text)
    text = re.sub(r"abc\.(Iterator|Iterable)(?!\[)", r"abc.\1[typing.Any]", text)
    return text.replace(
        "__hash__: typing.ClassVar[None] = None",
        "__hash__: typing.ClassVar[None] = None  # type: ignore[assignment]",
    )


def test_the_stub_is_that_of_the_build() -> None:
    pytest.importorskip("pybind11_stubgen")
    wanted, found = made().splitlines(), STUB.read_text(encoding="utf-8").splitlines()
    difference = "\n".join(difflib.unified_diff(found, wanted, "stub", "build", lineterm="", n=1))
    assert not difference, f"run `python tests/python/test_stubs.py`:\n{difference[:4000]}"


if __name__ == "__main__":
    STUB.write_text(made(), encoding="utf-8")
