"""The standards tables, seen from Python."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

import nightbus as nb
from nightbus import tables

if TYPE_CHECKING:
    from pathlib import Path


def test_every_table_says_where_it_comes_from() -> None:
    listed = tables.tables()
    assert len(listed) > 20
    for row in listed.itertuples():
        assert row.cite
        assert row.confidence
        assert row.purpose


def test_a_table_prints_with_its_units_and_citation() -> None:
    first = tables.tables().iloc[0]["id"]
    frame = tables.table(first)
    assert len(frame) == tables.tables().iloc[0]["rows"]
    assert frame.attrs["cite"]


def test_rule_sets_answer_with_a_citation() -> None:
    rules = nb.catalogue().rule_set("NEC")
    found = rules.ampacity(nb.ConductorSize("12 AWG"), 90.0)
    assert found is not None
    # NFPA 70 (2023) Table 310.16: 12 AWG copper, 90 °C column.
    assert found.value == 30.0
    assert "310.16" in str(found.source)
    assert found.column_c == 90.0
    cooler = rules.ambient_factor(50.0, 90.0)
    assert cooler is not None
    # NFPA 70 (2023) Table 310.15(B)(1)(1): 46 to 50 °C, 90 °C column.
    assert cooler.value == 0.82
    assert rules.grouping_factor(4) is not None
    assert rules.listed_sizes()
    assert 15.0 in rules.standard_ratings_a
    following = rules.next_standard_rating(21.0)
    assert following is not None
    assert following.value == 25.0
    assert rules.tables
    assert rules.purpose
    assert rules.limits


def test_conductors_forms_and_chemistries_are_listed() -> None:
    found = nb.catalogue()
    assert found.conductor(nb.ConductorSize("10 AWG")).area_mm2 == pytest.approx(5.261, rel=1e-3)
    family = found.conductor_families[0]
    assert family.conductors
    assert family.name in repr(family)
    form = found.overcurrent_form("mini blade")
    assert form.kind == "fuse"
    assert 10.0 in form.ratings_a
    assert form.opening_of(10.0)
    assert form.interrupt_at(12.0) is not None
    assert found.chemistry("LFP").nominal_cell_v == pytest.approx(3.2)
    assert {"LFP", "AGM"} <= {chemistry.name for chemistry in found.chemistries}


@pytest.mark.parametrize(
    ("ask", "wrong"),
    [
        (lambda c: c.rule_set("NCE"), "NEC"),
        (lambda c: c.overcurrent_form("mini blad"), "mini blade"),
        (lambda c: c.chemistry("LPF"), "LFP"),
    ],
)
def test_an_unknown_name_has_a_near_miss(ask: object, wrong: str) -> None:
    with pytest.raises(nb.LookupError, match=wrong):
        ask(nb.catalogue())  # type: ignore[operator]


def test_a_broken_table_of_a_user_says_every_problem(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("this is not = = toml\n")
    with pytest.raises(nb.InputError) as caught:
        nb.catalogue(path)
    assert "mine.toml" in caught.value.problems[0].where.place
