"""What the README shows is what happens: its output, its picture, its system, its code."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.conftest import ROOT
from typer.testing import CliRunner

import nightbus as nb
from nightbus.cli.app import app

if TYPE_CHECKING:
    from pathlib import Path

README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = ["check", "plan", "explain", "day", "compare", "watch", "fields", "tables"]


def block(kind: str) -> str:
    """The one block of code of a kind."""
    found = re.findall(rf"^```{kind}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    assert len(found) == 1, kind
    return str(found[0])


def figures(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "post.toml").write_text(block("toml"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_first_paragraph_states_the_job() -> None:
    first = README.split("\n\n")[1]
    for word in ("network gear", "battery", "conductor", "fuse", "voltage", "night", "sun"):
        assert word in first
    assert "licensed person" in README.split("\n\n")[2]


def readme() -> Any:
    """The script that `make notebooks` brings the README up to date with."""
    spec = importlib.util.spec_from_file_location("readme", ROOT / "python" / "docs" / "readme.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_output_shown_is_the_output(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line word for word and in order; figures to a quarter, about one rating."""

    def words(line: str) -> list[str]:
        return re.sub(r"\d+(?:\.\d+)?", "#", line).split()

    monkeypatch.setenv("COLUMNS", "100")
    script = readme()
    shown = script.SHOWN.search(README)
    assert shown is not None
    today = script.refreshed(shown[3], ROOT / shown[2])
    for kept, now in zip(shown[3].splitlines(), today.splitlines(), strict=True):
        assert words(kept) == words(now), "run make notebooks"
        for a, b in zip(figures(kept), figures(now), strict=True):
            assert a == pytest.approx(b, rel=0.25, abs=0.05), f"{kept}\n{now}\nrun make notebooks"


def test_a_line_that_is_no_longer_printed_is_noticed() -> None:
    script = readme()
    with pytest.raises(ValueError, match="no longer prints"):
        script.refreshed("Verdict\n  NONSENSE\n", script.LIBRARY)


def test_the_picture_is_the_diagram_of_the_plan() -> None:
    script = readme()
    assert f"]({script.PICTURE.relative_to(ROOT).as_posix()})" in README
    kept, drawn = script.PICTURE.read_text(encoding="utf-8"), script.drawing()
    assert re.findall(r"<title>([^<:]+)", kept) == re.findall(r"<title>([^<:]+)", drawn)
    sizes = re.compile(r"· (\S+ AWG)")
    assert sizes.findall(kept) == sizes.findall(drawn), "run make notebooks"


def test_its_system_makes_a_good_plan(folder: Path) -> None:
    plan = nb.plan(folder / "post.toml")
    assert plan.verdict == "good"
    assert plan.system.title == "Trail shelter post"


def test_its_python_runs(folder: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", block("python")], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("good\n")
    assert "door camera" in done.stdout
    assert (folder / "post.html").stat().st_size > 50_000


def test_each_of_its_commands_exists(folder: Path) -> None:
    commands = re.findall(r"^nightbus ([a-z]+)( .*?)?  +\S", README, re.M)
    assert [verb for verb, _ in commands] == COMMANDS
    (folder / "other.toml").write_text(block("toml").replace('"300 W"', '"250 W"'))
    for verb, rest in commands:
        words = [a or b for a, b in re.findall(r'"([^"]+)"|(\S+)', rest)]
        more = ["--times", "1"] if verb == "watch" else []
        result = CliRunner().invoke(app, [verb, *words, *more], standalone_mode=False)
        assert result.exception is None, (verb, rest, result.exception)
        assert result.return_value in (0, 1), (verb, rest)


def test_its_cpp_is_the_program_that_a_stranger_builds() -> None:
    """tests/package compiles and runs that program against the installed library."""
    stranger = ROOT / "tests" / "package" / "stranger"
    source = (stranger / "main.cpp").read_text(encoding="utf-8")
    code = "".join(line for line in source.splitlines(True) if not line.startswith("//"))
    assert block("cpp").strip() == code.strip()
    cmake = (stranger / "CMakeLists.txt").read_text(encoding="utf-8")
    find, link = block("cmake").strip().splitlines()
    assert re.sub(r" [\d.]+ ", " ${WANTED_VERSION} ", find) in cmake
    assert link.replace("your_program", "stranger") in cmake


def test_every_file_it_links_to_exists() -> None:
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
