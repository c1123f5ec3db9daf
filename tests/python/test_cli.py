"""The program, called in process and as a process."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
import threading
import time
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from tests.python.program import AFTER, BEFORE, VERBS, files, in_process, run

import nightbus as nb
from nightbus.cli.outcome import guarded
from nightbus.cli.starter import Answers, starter

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["files"]  # the two files stand there for every test


def test_plan_opens_with_cautions_then_the_verdict_then_findings() -> None:
    done = run("plan", BEFORE)
    assert done.returncode == 1
    assert done.stderr == ""
    order = [
        "Before you build",
        "Assumed",
        "Verdict",
        "Findings",
        "Wiring schedule",
        "Overcurrent devices",
        "Night and sun",
        "Heat",
    ]
    places = [done.stdout.index(word) for word in order]
    assert places == sorted(places)
    assert "\x1b[" not in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 100


def test_plan_of_the_mended_system_ends_with_zero() -> None:
    done = run("plan", AFTER)
    assert done.returncode == 0, done.stdout
    assert "GOOD" in done.stdout


def test_plan_writes_report_json_and_csv(tmp_path: Path) -> None:
    report, data, folder = tmp_path / "r.html", tmp_path / "p.json", tmp_path / "csv"
    done = run("plan", AFTER, "--report", report, "--json-file", data, "--csv", folder)
    assert done.returncode == 0, done.stderr
    assert report.read_text(encoding="utf-8").startswith("<!doctype html>")
    jsonschema.validate(json.loads(data.read_text(encoding="utf-8")), nb.plan_schema())
    with (folder / "runs.csv").open(encoding="utf-8") as handle:
        assert len(list(csv.DictReader(handle))) == len(nb.read(AFTER).runs)


def test_json_is_json_and_nothing_else() -> None:
    done = run("plan", BEFORE, "--json")
    assert done.returncode == 1
    jsonschema.validate(json.loads(done.stdout), nb.plan_schema())


def test_all_shows_notices() -> None:
    assert len(run("plan", BEFORE, "--all").stdout) > len(run("plan", BEFORE).stdout)


def bad_file(tmp_path: Path) -> Path:
    path = tmp_path / "bad.toml"
    path.write_text('nightbus = 1\ntitel = "x"\n[site]\nlatitude = "91 deg"\nlongitude = 4\n')
    return path


@pytest.mark.parametrize("verb", ["plan", "check", "day"])
def test_a_bad_file_is_status_2_with_every_problem_and_no_traceback(
    tmp_path: Path, verb: str
) -> None:
    done = run(verb, bad_file(tmp_path))
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "bad.toml:2:1" in done.stderr
    assert "^" in done.stderr
    assert 'did you mean "title"' in done.stderr
    assert "latitude" in done.stderr


@pytest.mark.parametrize("verb", ["plan", "check"])
def test_problems_as_json(tmp_path: Path, verb: str) -> None:
    done = run(verb, bad_file(tmp_path), "--json")
    assert done.returncode == 2
    data = json.loads(done.stdout)
    assert data["format"] == 1
    first = data["problems"][0]
    assert first["where"]["line"] == 2
    assert first["mend"]


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["plan", "no-such-file.toml"], {2, 3}),
        (["check", "no-such-file.toml"], {2, 3}),
        (["plan"], {2}),
        (["plann", "x"], {2}),
        (["fields", "laod"], {3}),
        (["tables", "no such table"], {3}),
        (["day", str(AFTER), "--month", "13"], {2}),
        (["explain", str(AFTER), "laed"], {3}),
        (["plan", str(AFTER), "--report", "/no/such/folder/r.html"], {3}),
    ],
)
def test_exit_statuses_without_a_traceback(arguments: list[str], status: set[int]) -> None:
    done = run(*arguments)
    assert done.returncode in status, done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()


def test_a_folder_or_binary_instead_of_a_file_is_said_so(tmp_path: Path) -> None:
    assert run("plan", tmp_path).returncode in (2, 3)
    binary = tmp_path / "x.toml"
    binary.write_bytes(b"\xff\xfe\x00\x01" * 20)
    for verb in ("plan", "check"):
        done = run(verb, binary)
        assert done.returncode == 2
        assert "Traceback" not in done.stderr


def test_check_of_a_good_file() -> None:
    status, text = in_process("check", AFTER)
    assert status == 0
    assert "can be used" in text
    status, text = in_process("check", AFTER, "--json")
    assert json.loads(text) == {
        "format": 1,
        "file": str(AFTER),
        "usable": True,
        "problems": [],
    }


@pytest.mark.parametrize("name", ["lead", "router", "injector", "cupboard", "ampacity"])
def test_explain_run_device_compartment_and_code(name: str) -> None:
    status, text = in_process("explain", BEFORE, name)
    assert status == 0
    assert name.split()[0] in text
    status, text = in_process("explain", BEFORE, name, "--json")
    assert json.loads(text)["format"] == 1


def test_compare_two_files() -> None:
    status, text = in_process("compare", BEFORE, AFTER)
    assert status == 0
    assert "danger" in text
    assert "gone" in text
    status, text = in_process("compare", BEFORE, AFTER, "--json")
    assert json.loads(text)["after"] == "good"
    status, every = in_process("compare", BEFORE, AFTER, "--all")
    assert len(every) > len(text := in_process("compare", BEFORE, AFTER)[1])
    assert "December" in text
    assert "of easier months: compare --all" in text
    assert "June" not in text
    assert "June" in every
    status, text = in_process("compare", AFTER, AFTER)
    assert "alike" in text


def test_tables_are_listed_and_printed() -> None:
    status, text = in_process("tables")
    assert status == 0
    status, listed = in_process("tables", "--json")
    rows: list[dict[str, Any]] = json.loads(listed)["tables"]
    assert len(rows) > 20
    status, text = in_process("tables", rows[0]["id"])
    assert status == 0
    assert rows[0]["cite"][:12] in text
    status, text = in_process("tables", rows[0]["id"], "--json")
    assert len(json.loads(text)["rows"]) == rows[0]["rows"]


def test_fields_as_table_schema_markdown_and_json() -> None:
    status, text = in_process("fields")
    assert status == 0
    assert "[[load]]" in text
    status, text = in_process("fields", "load")
    assert "[[run]]" not in text
    status, text = in_process("fields", "--schema")
    jsonschema.Draft202012Validator.check_schema(json.loads(text))
    status, text = in_process("fields", "--markdown")
    assert "typical" in text
    status, text = in_process("fields", "run", "--json")
    assert json.loads(text)["records"][0]["key"] == "run"


def test_day_shows_the_hardest_month_or_the_one_asked_for() -> None:
    status, text = in_process("day", AFTER)
    assert status == 0
    assert "hardest" in text
    status, text = in_process("day", AFTER, "--month", "6")
    assert "June" in text
    status, text = in_process("day", AFTER, "--month", "6", "--json")
    assert [one["month"] for one in json.loads(text)["energy"]["months"]] == [6]


def test_new_writes_a_file_that_plans_without_a_terminal(tmp_path: Path) -> None:
    path = tmp_path / "first.toml"
    done = run(
        "new",
        path,
        "--title",
        'My "hut"',
        "--place",
        "58.9, 15.4",
        "--chemistry",
        "AGM",
        "--bank",
        "24 V 150 Ah",
        "--solar",
        "300 W",
    )
    assert done.returncode == 0, done.stderr
    system = nb.read(path)
    assert system.title == 'My "hut"'
    assert system.banks[0].nominal_v == 24.0
    assert system.arrays[0].power_w == 300.0
    assert system.site.longitude_deg == 15.4
    assert nb.plan(system).case_results
    again = run("new", path)
    assert again.returncode == 2
    assert "--force" in again.stderr
    assert run("new", path, "--force", "--json").returncode == 0


@pytest.mark.parametrize("chemistry", ["LFP", "flooded", "AGM", "gel"])
@pytest.mark.parametrize("bank", ["12 V 200 Ah", "24 V 150 Ah"])
def test_no_starter_file_begins_with_a_danger(chemistry: str, bank: str, tmp_path: Path) -> None:
    path = tmp_path / "starter.toml"
    flags = ("--place", "47.5, 11.2", "--chemistry", chemistry, "--bank", bank, "--solar", "600 W")
    assert run("new", path, "--title", "Fire lookout", *flags).returncode == 0
    assert nb.plan(nb.read(path)).verdict != "danger"


def test_new_marks_what_was_not_answered_and_refuses_nonsense(tmp_path: Path) -> None:
    text = starter(Answers(title="X"))
    assert text.count("not answered: change it") >= 4
    assert nb.plan(nb.loads(text)).case_results
    path = tmp_path / "x.toml"
    for flags in (
        ["--place", "north"],
        ["--bank", "lots"],
        ["--chemistry", "plutonium"],
        ["--solar", "3 A"],
    ):
        done = run("new", path, *flags)
        assert done.returncode == 2, done.stdout
        assert "Traceback" not in done.stderr
        assert not path.exists()


def test_watch_plans_again_on_save(tmp_path: Path) -> None:
    path = tmp_path / "w.toml"
    path.write_text(AFTER.read_text(encoding="utf-8"), encoding="utf-8")

    def save_later() -> None:
        for text in ("nightbus = 1\ntitel = 1\n", BEFORE.read_text(encoding="utf-8")):
            time.sleep(1.5)
            path.write_text(text, encoding="utf-8")

    writer = threading.Thread(target=save_later)
    writer.start()
    status, text = in_process("watch", path, "--times", "3", "--every", "0.05", "--json")
    writer.join()
    first, second, third = [json.loads(line) for line in text.splitlines()]
    assert first["verdict"] == "good"
    assert second["problems"]
    assert third["verdict"] == "danger"
    assert status == 1


def test_every_verb_teaches() -> None:
    top = run("--help").stdout
    for verb in VERBS:
        assert verb in top
        page = run(verb, "--help")
        assert page.returncode == 0
        assert "--json" in page.stdout
        assert "Exit status" in page.stdout
    assert run("--version").stdout.strip() == nb.__version__


def test_a_reader_that_leaves_early_is_no_error() -> None:
    done = subprocess.run(
        f'"{sys.executable}" -c "from nightbus.cli import main; main()" fields --json | head -1',
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr


def test_guarded_turns_an_interrupt_into_130() -> None:
    def interrupted(**_: object) -> None:
        raise KeyboardInterrupt

    assert guarded(interrupted) == 130
