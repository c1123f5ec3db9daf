"""Findings as data and as words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from tests.python.conftest import SYSTEMS

import nightbus as nb
from nightbus import _core

if TYPE_CHECKING:
    from pathlib import Path


def test_every_kind_has_all_its_words() -> None:
    kinds = _core.finding_kinds()
    assert len({kind.code for kind in kinds}) == len(kinds) > 50
    for kind in kinds:
        assert _core.finding_kind(kind.code).title == kind.title
        for words in (kind.title, kind.sentence, kind.mend, kind.help):
            assert words
        assert kind.severity in nb.Severity


def test_an_unknown_code_has_a_near_miss() -> None:
    with pytest.raises(nb.LookupError, match='did you mean "ampacity"'):
        _core.finding_kind("ampacty")


def test_findings_of_a_plan_are_ordered_and_in_words(demo_plan: nb.Plan) -> None:
    order = [nb.Severity.danger, nb.Severity.warning, nb.Severity.notice, nb.Severity.passed]
    ranks = [order.index(finding.severity) for finding in demo_plan.finding_list]
    assert ranks == sorted(ranks)
    for finding in demo_plan.finding_list:
        assert finding.sentence
        assert "{" not in finding.sentence
        assert finding.title
        assert finding.help
        assert str(finding) == finding.sentence
        assert finding.code in repr(finding)
        if finding.severity != nb.Severity.passed:
            assert finding.advice
    assert _core.worst(demo_plan.finding_list) == demo_plan.finding_list[0].severity


def test_findings_about_runs_point_to_their_line(demo_plan: nb.Plan) -> None:
    placed = [
        finding
        for finding in demo_plan.finding_list
        if finding.subject_kind == "run" and finding.severity.name in ("danger", "warning")
    ]
    assert placed
    for finding in placed:
        assert finding.where.known
        assert finding.where.file.endswith("travelling-library-before.toml")


def worn(path: Path) -> nb.System:
    """A demo of which much is wrong: findings of many kinds."""
    system = nb.read(path)
    for run in system.runs:
        run.length_m = 3.0 * run.length_m
    for load in system.loads:
        load.typical_w = 2.5 * load.typical_w
        load.peak_w = None if load.peak_w is None else 2.5 * load.peak_w
    for bank in system.banks:
        bank.capacity_ah = 0.3 * bank.capacity_ah
    return system


@pytest.mark.parametrize("worse", [False, True], ids=["as it is", "worn"])
@pytest.mark.parametrize("path", SYSTEMS, ids=lambda path: path.stem)
def test_findings_are_whole_sentences(path: Path, worse: bool) -> None:
    plan = nb.plan(worn(path) if worse else path, changes=False)
    for finding in plan.finding_list:
        for text in (finding.sentence, finding.advice, finding.detail):
            assert text == text.strip()
            assert "  " not in text
            assert ".." not in text
            # After a full stop: no small letter, unless a sign or a name in quotes follows.
            assert not re.search(r"(?<!\d)[.!?] [a-z][a-z ]", text), text
            assert not text or text[0].isupper() or not text[:2].isalpha(), text
            assert not text or text.endswith((".", "!", "?")), text
        assert "an unknown amount" not in finding.sentence, finding.code
        assert not re.search(r"\b(\w+) \1\b", finding.sentence), finding.sentence
