"""The program among others: CSV, JSON, a shell that completes, a terminal that asks."""

from __future__ import annotations

import csv
import json
import os
import shutil
import subprocess
import sys
import threading
import time
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.program import AFTER, BEFORE, VERBS, files, in_process, run

import nightbus as nb

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["files"]  # the two files stand there for every test


@pytest.mark.parametrize(
    ("arguments", "names", "column"),
    [
        (["plan", AFTER], {"runs", "findings", "loads", "months"}, "run"),
        (["check", AFTER], {"problems"}, "mend"),
        (["explain", AFTER, "router"], {"facts", "findings", "sizes-looked-at"}, "what"),
        (["explain", AFTER, "ampacity"], {"facts", "findings"}, "what"),
        (["compare", BEFORE, AFTER], {"description", "findings", "figures"}, "change"),
        (["tables"], {"tables"}, "cite"),
        (["fields", "load"], {"fields"}, "unit"),
        (["day", AFTER, "--month", "6"], {"months", "energy"}, "month"),
    ],
    ids=lambda one: one[0] if isinstance(one, list) else "",
)
def test_every_verb_with_tables_writes_them_as_csv(
    tmp_path: Path, arguments: list[Any], names: set[str], column: str
) -> None:
    in_process(*arguments, "--csv", tmp_path / "out")
    written = {path.stem: path for path in (tmp_path / "out").glob("*.csv")}
    assert names <= set(written)
    columns: set[str] = set()
    for path in written.values():
        with path.open(encoding="utf-8", newline="") as handle:
            rows = list(csv.reader(handle))
        assert rows
        assert {len(row) for row in rows} == {len(rows[0])}
        columns |= set(rows[0])
    assert column in columns


def test_problems_of_a_bad_file_are_rows_too(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("nightbus = 1\ntitel = 'x'\n", encoding="utf-8")
    status, _ = in_process("check", bad, "--csv", tmp_path / "out")
    assert status == 2
    with (tmp_path / "out" / "problems.csv").open(encoding="utf-8") as handle:
        rows = list(csv.DictReader(handle))
    assert any(row["line"] == "2" and "title" in row["mend"] for row in rows)


def program(folder: Path) -> Path:
    """The program under its own name, in a folder for PATH."""
    script = folder / "nightbus"
    script.write_text(
        f"#!/bin/sh\nexec {sys.executable} -c 'from nightbus.cli import main; main()' \"$@\"\n",
        encoding="utf-8",
    )
    script.chmod(0o755)
    return script


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not installed")
@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["nightbus", "expl"], {"explain"}),
        (["nightbus", "plan", "--js"], {"--json", "--json-file"}),
        (["nightbus", "explain", str(AFTER), "rou"], {"router"}),
        (["nightbus", "explain", str(AFTER), "fuse-b"], {"fuse-below-load"}),
        (["nightbus", "fields", "poe"], {"poe_link"}),
        (["nightbus", "nothing-such"], set()),
    ],
    ids=["verb", "flag", "name", "code", "kind", "none"],
)
def test_bash_completes(tmp_path: Path, words: list[str], expected: set[str]) -> None:
    program(tmp_path)
    # What `nightbus --show-completion` prints is what a user puts into .bashrc.
    asked = " ".join(f"'{word}'" for word in words)
    script = f"""
        eval "$(nightbus --show-completion)"
        COMP_WORDS=({asked}); COMP_CWORD={len(words) - 1}
        $(complete -p nightbus | sed 's/.*-F \\([^ ]*\\).*/\\1/') nightbus
        printf '%s\\n' "${{COMPREPLY[@]}}"
    """
    done = subprocess.run(
        ["bash", "--norc", "-c", script],
        capture_output=True,
        text=True,
        env={**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}"},
        check=True,
    )
    assert set(done.stdout.split()) == expected, done.stderr


def test_blanks_in_names_are_written_as_bash_wants_them(monkeypatch: pytest.MonkeyPatch) -> None:
    from nightbus.cli.options import _typed

    assert _typed(["rack feeder"], "rack f") == ["rack feeder"]
    monkeypatch.setenv("_NIGHTBUS_COMPLETE", "complete_bash")
    assert _typed(["rack feeder", "roof"], "ra") == ["rack\\ feeder"]


def test_a_terminal_is_asked_five_questions(tmp_path: Path) -> None:
    import pty
    import select

    answers = ["Ferry hut", "60.1, 20.5", "AGM", "24 V 150 Ah", "0 W"]
    target = tmp_path / "hut.toml"
    parent, child = pty.openpty()
    done = subprocess.Popen(
        [sys.executable, "-c", "from nightbus.cli import main; main()", "new", str(target)],
        stdin=child,
        stdout=child,
        stderr=child,
        close_fds=True,
    )
    os.close(child)
    said, left = "", list(answers)
    while done.poll() is None or select.select([parent], [], [], 0.2)[0]:
        if not select.select([parent], [], [], 60.0)[0]:
            break
        try:
            said += os.read(parent, 4096).decode("utf-8", "replace")
        except OSError:  # the other end is closed
            break
        if left and said.rstrip().endswith("]:"):
            os.write(parent, (left.pop(0) + "\n").encode())
    assert done.wait(timeout=60) == 0, said
    os.close(parent)
    assert left == []
    assert said.count("]:") == 5
    system = nb.read(target)
    assert system.title == "Ferry hut"
    assert (system.site.latitude_deg, system.site.longitude_deg) == (60.1, 20.5)
    bank = system.banks[0]
    assert (bank.chemistry, bank.nominal_v, bank.capacity_ah) == ("AGM", 24.0, 150.0)
    assert len(system.arrays) == 0
    assert "not answered" not in target.read_text(encoding="utf-8")


@pytest.mark.parametrize("verb", VERBS)
def test_exit_statuses_stand_in_the_help_of_every_verb(verb: str) -> None:
    shown = " ".join(run(verb, "--help").stdout.split())
    for status in ("0 no danger stands", "1 a danger stands", "2 the input", "3 a name"):
        assert status in shown


def test_watching_outlives_a_file_that_is_away_for_a_moment(tmp_path: Path) -> None:
    file = tmp_path / "shed.toml"
    shutil.copy(AFTER, file)

    def save_as_some_editors_do() -> None:
        time.sleep(1.5)
        file.rename(tmp_path / "shed.toml~")
        time.sleep(0.5)
        shutil.copy(BEFORE, file)

    editor = threading.Thread(target=save_as_some_editors_do)
    editor.start()
    status, shown = in_process("watch", file, "--times", "2", "--every", "0.05", "--json")
    editor.join()
    assert status == 1
    assert [json.loads(line)["verdict"] for line in shown.splitlines()][-1] == "danger"


SHOWN: list[list[Any]] = [
    ["plan", BEFORE, "--all"],
    ["check", AFTER],
    ["explain", BEFORE, "router"],
    ["explain", BEFORE, "fuse-above-ceiling"],
    ["explain", AFTER, "cupboard"],
    ["compare", BEFORE, AFTER],
    ["tables"],
    ["fields"],
    ["day", AFTER],
    ["watch", AFTER, "--times", "1"],
]


@pytest.mark.parametrize("arguments", SHOWN, ids=lambda one: " ".join(map(str, one[:1])))
def test_no_line_is_wider_than_a_page(arguments: list[Any]) -> None:
    lines = run(*arguments).stdout.splitlines()
    assert lines
    assert [line for line in lines if len(line) > 100] == []
    assert [line for line in lines if line != line.rstrip()] == []


@pytest.mark.parametrize("arguments", SHOWN, ids=lambda one: " ".join(map(str, one[:1])))
def test_json_of_every_verb_is_one_document_with_its_format(arguments: list[Any]) -> None:
    wanted = [one for one in arguments if one != "--all"]
    data = json.loads(run(*wanted, "--json").stdout)
    assert data["format"] == 1
