"""Findings as data and as words."""

from __future__ import annotations

import pytest

import nightbus as nb
from nightbus import _core


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
