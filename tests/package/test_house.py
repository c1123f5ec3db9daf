"""The scripts that watch over the project: they find what they look for, and say what they do."""

import importlib.util
import re
import subprocess
from pathlib import Path
from types import ModuleType

import pytest

from .conftest import ROOT, run


@pytest.fixture(scope="module")
def check_tree() -> ModuleType:
    """The lint script, loaded from its hidden folder."""
    spec = importlib.util.spec_from_file_location("check_tree", ROOT / ".ci/check_tree.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


# In two parts, so that this file does not hold what it speaks of.
@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("see /wo" + "rk/build", "a path of one machine"),
        ('open("/ho' + 'me/somebody/x")', "a path of one machine"),
        ("index = https://py" + "pi.org/simple", "a host of a package index"),
        ("http://deb." + "debian.org/debian", "a host of a package index"),
        ("x = 1  # TO" + "DO: later", "a loose end"),
        ("one\n<<<<<" + "<< HEAD\ntwo", "a merge left half done"),
    ],
)
def test_what_no_file_may_hold_is_found(check_tree: ModuleType, text: str, what: str) -> None:
    (found,) = check_tree.problems(Path("some.txt"), text)
    assert what in found
    assert found.startswith("some.txt:")


@pytest.mark.parametrize("text", ["work/build", "https://example.org/work/x", "todos los días"])
def test_what_is_harmless_is_let_through(check_tree: ModuleType, text: str) -> None:
    assert check_tree.problems(Path("some.txt"), text) == []


def test_make_alone_lists_every_target() -> None:
    listed = re.findall(r"^  make (\w+)", run("make", cwd=ROOT), re.MULTILINE)
    phony = re.search(r"^\.PHONY: (.+)$", (ROOT / "Makefile").read_text(), re.MULTILINE)
    assert phony
    assert listed == phony[1].split()


@pytest.mark.parametrize("script", sorted(p.name for p in (ROOT / ".ci").glob("*.sh")))
def test_a_script_says_in_its_first_lines_what_it_does(script: str) -> None:
    lines = (ROOT / ".ci" / script).read_text().splitlines()
    assert lines[0 if script == "lib.sh" else 1].startswith("# ")


def test_a_missing_package_is_named_with_the_line_to_type(tmp_path: Path) -> None:
    """A user who may not install is told what to type, and nothing is built."""
    tools = tmp_path / "bin"
    tools.mkdir()
    for name, script in {
        "dpkg-query": "exit 1",
        "id": "echo 1000",
        "sudo": "exit 1",
    }.items():
        (tools / name).write_text(f"#!/bin/sh\n{script}\n")
        (tools / name).chmod(0o755)
    clone = tmp_path / "clone"
    (clone / ".ci").mkdir(parents=True)
    for name in ("lib.sh", "setup.sh", "apt-packages.txt"):
        text = (ROOT / ".ci" / name).read_text()
        # The stand-ins come before the system's own tools.
        text = text.replace('PATH="/usr/bin', f'PATH="{tools}:/usr/bin')
        (clone / ".ci" / name).write_text(text)
    done = subprocess.run(
        ["bash", clone / ".ci/setup.sh", "demo"], text=True, capture_output=True, check=False
    )
    assert done.returncode == 2
    (line,) = re.findall(r"^ *(sudo apt-get install .+)$", done.stderr, re.MULTILINE)
    assert "build-essential" in line
    assert "python3-venv" in line
    assert "clang-tidy" not in line
    assert not (clone / ".venv").exists()
