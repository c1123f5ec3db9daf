"""Add up what the test runs reported; the last line is "N passed, N failed, N skipped".

Each doctest program says how many cases it ran; one that says nothing crashed and counts as one
failure, as does a report that is missing and a program or run without any test.
"""

import argparse
import re
import sys
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

SUMMARY = re.compile(
    r"\[doctest\] test cases: +(\d+) \| +(\d+) passed \| +(\d+) failed \| +(\d+) skipped"
)


@dataclass
class Counts:
    """Tests of one part, and what went wrong beside them."""

    passed: int = 0
    failed: int = 0
    skipped: int = 0

    def add(self, other: "Counts") -> None:
        self.passed += other.passed
        self.failed += other.failed
        self.skipped += other.skipped

    def line(self) -> str:
        return f"{self.passed} passed, {self.failed} failed, {self.skipped} skipped"


def count_program(case: ET.Element) -> Counts:
    """One doctest program, from what it printed and how ctest judged it."""
    output = case.findtext("system-out") or ""
    summary = SUMMARY.search(re.sub(r"\x1b\[[0-9;]*m", "", output))
    if not summary:
        return Counts(failed=1)
    cases, passed, failed, skipped = (int(number) for number in summary.groups())
    # A leak or a race is reported after the last case, and fails the program alone.
    if failed == 0 and (cases == 0 or case.get("status") != "run"):
        failed = 1
    return Counts(passed, failed, skipped)


def count_ctest(path: Path) -> Counts:
    total = Counts()
    for case in ET.parse(path).getroot().iter("testcase"):
        counts = count_program(case)
        print(f"   {'C++ ' + case.get('name', '?'):<28}{counts.line()}")
        total.add(counts)
    return total


def count_pytest(path: Path) -> Counts:
    """A file of pytest; an error outside a test counts as a failure."""
    total = Counts()
    for suite in ET.parse(path).getroot().iter("testsuite"):
        tests, bad, skipped = (
            int(suite.get("tests", 0)),
            int(suite.get("failures", 0)) + int(suite.get("errors", 0)),
            int(suite.get("skipped", 0)),
        )
        total.add(Counts(max(tests - bad - skipped, 0), bad, skipped))
    by_folder: dict[str, Counts] = {}
    for case in ET.parse(path).getroot().iter("testcase"):
        name = case.get("classname") or case.get("name") or "?"
        parts = name.split(".")
        counts = by_folder.setdefault("/".join(parts[:2]), Counts())
        if case.find("failure") is not None or case.find("error") is not None:
            counts.failed += 1
        elif case.find("skipped") is not None:
            counts.skipped += 1
        else:
            counts.passed += 1
    for folder, counts in sorted(by_folder.items()):
        print(f"   {folder:<28}{counts.line()}")
    return total


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--broken", type=int, default=0, help="builds that failed")
    parser.add_argument("reports", nargs="+", type=Path)
    arguments = parser.parse_args()
    total = Counts(failed=arguments.broken)
    print("\n== Counts")
    if arguments.broken:
        print(f"   a build failed{'':<14}0 passed, {arguments.broken} failed, 0 skipped")
    for report in arguments.reports:
        try:
            counts = (count_ctest if report.name.startswith("ctest") else count_pytest)(report)
        except (OSError, ET.ParseError) as error:
            print(f"   {report.name}: no report ({error})")
            counts = Counts(failed=1)
        if counts == Counts():
            print(f"   {report.name}: no test was run, which counts as a failure")
            counts.failed = 1
        total.add(counts)
    print(f"\n{total.line()}")
    return 0 if total.failed == 0 and total.passed > 0 else 1


if __name__ == "__main__":
    sys.exit(main())
