"""The closing line of ``make test`` adds up what happened, and cannot be fooled into good news."""

import subprocess
import sys
from pathlib import Path

import pytest

from .conftest import ROOT


def doctest_line(cases: int, passed: int, failed: int, skipped: int) -> str:
    return (
        f"[doctest] test cases: {cases:2} | {passed:2} passed | {failed} failed | "
        f"{skipped} skipped\n[doctest] assertions: 31 | 31 passed | 0 failed |"
    )


def ctest(*programs: tuple[str, str, str]) -> str:
    cases = "".join(
        f'<testcase name="{name}" status="{status}"><system-out>{output}</system-out></testcase>'
        for name, status, output in programs
    )
    return f"<testsuite>{cases}</testsuite>"


PYTEST = (
    '<testsuites><testsuite tests="5" failures="1" errors="0" skipped="1">'
    + '<testcase classname="tests.python.test_a" name="a"/>' * 3
    + '<testcase classname="tests.python.test_a" name="b"><failure/></testcase>'
    '<testcase classname="tests.python.test_a" name="c"><skipped/></testcase>'
    "</testsuite></testsuites>"
)


def counted(folder: Path, ctest_report: str | None, pytest_report: str | None) -> tuple[int, str]:
    """Exit status and last line of the counting script."""
    for name, text in (("ctest.xml", ctest_report), ("pytest.xml", pytest_report)):
        if text is not None:
            (folder / name).write_text(text)
    done = subprocess.run(
        [sys.executable, ROOT / ".ci/counts.py", folder / "ctest.xml", folder / "pytest.xml"],
        text=True,
        capture_output=True,
        check=False,
    )
    return done.returncode, done.stdout.splitlines()[-1]


def test_counts_are_added(tmp_path: Path) -> None:
    report = ctest(
        ("quantity", "run", doctest_line(12, 11, 0, 1)),
        ("network", "run", doctest_line(3, 3, 0, 0)),
    )
    assert counted(tmp_path, report, PYTEST) == (1, "17 passed, 1 failed, 2 skipped")


def test_all_good_is_status_zero(tmp_path: Path) -> None:
    good = '<testsuites><testsuite tests="2" failures="0" errors="0" skipped="0"/></testsuites>'
    report = ctest(("quantity", "run", doctest_line(12, 12, 0, 0)))
    assert counted(tmp_path, report, good) == (0, "14 passed, 0 failed, 0 skipped")


@pytest.mark.parametrize(
    ("program", "line"),
    [
        (("crashed", "fail", "AddressSanitizer: heap-use-after-free"), "2 passed, 1 failed"),
        (("leaked", "fail", doctest_line(4, 4, 0, 0)), "6 passed, 1 failed"),
        (("empty", "run", doctest_line(0, 0, 0, 0)), "2 passed, 1 failed"),
        (("absent", "notrun", ""), "2 passed, 1 failed"),
        (("failed", "fail", doctest_line(4, 1, 3, 0)), "3 passed, 3 failed"),
    ],
)
def test_a_program_that_went_wrong_counts_as_failed(
    tmp_path: Path, program: tuple[str, str, str], line: str
) -> None:
    good = '<testsuites><testsuite tests="2" failures="0" errors="0" skipped="0"/></testsuites>'
    assert counted(tmp_path, ctest(program), good) == (1, f"{line}, 0 skipped")


def test_a_missing_report_counts_as_failed(tmp_path: Path) -> None:
    report = ctest(("quantity", "run", doctest_line(12, 12, 0, 0)))
    assert counted(tmp_path, report, None) == (1, "12 passed, 1 failed, 0 skipped")


def test_a_missing_report_of_the_cpp_tests_counts_as_failed(tmp_path: Path) -> None:
    assert counted(tmp_path, None, PYTEST) == (1, "3 passed, 2 failed, 1 skipped")


def test_a_run_without_tests_counts_as_failed(tmp_path: Path) -> None:
    none = '<testsuites><testsuite tests="0" failures="0" errors="0" skipped="0"/></testsuites>'
    report = ctest(("quantity", "run", doctest_line(12, 12, 0, 0)))
    assert counted(tmp_path, report, none) == (1, "12 passed, 1 failed, 0 skipped")
