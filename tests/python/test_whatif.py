"""Many what-ifs: rows stand alone, threads do not matter, errors stay with their row."""

from __future__ import annotations

import pandas as pd
import pytest

import nightbus as nb
from nightbus import _core


def test_threads_do_not_change_the_answers(shed: nb.System) -> None:
    asked = [{"load.router.typical": float(watts)} for watts in range(4, 40, 4)]
    one = nb.what_if(shed, asked, threads=1)
    two = nb.what_if(shed, asked, threads=2)
    pd.testing.assert_frame_equal(one, two)
    alone = nb.what_if(shed, asked[3:4])
    assert alone["window_margin_v"][0] == one["window_margin_v"][3]


def test_a_row_that_cannot_be_worked_out_keeps_its_error(shed: nb.System) -> None:
    asked: dict[str, dict[str, float | str | bool]] = {
        "fine": {"load.router.typical": "14 W"},
        "no such load": {"load.ruoter.typical": 3.0},
        "no such value": {"load.router.typical": "3 V"},
        "fine too": {"site.temp_hot": 45.0},
    }
    table = nb.what_if(shed, asked)
    assert table["name"].tolist() == ["fine", "no such load", "no such value", "fine too"]
    assert [bool(error) for error in table["error"]] == [False, True, True, False]
    assert "router" in table["error"][1]
    assert table["solved"].tolist() == [True, False, False, True]


def test_more_watts_leave_less_margin(shed: nb.System) -> None:
    shed.load("router").behaviour = "constant power"
    for run in shed.runs:
        run.size = "14 AWG"
    table = nb.scan(shed, "load.router.peak", ["20 W", "60 W", "90 W"])
    assert table["solved"].all()
    assert table["highest_drop_ratio"].is_monotonic_increasing
    assert table["value"].tolist() == ["20 W", "60 W", "90 W"]


def test_a_whole_plan_for_each(shed: nb.System) -> None:
    table = nb.scan(shed, "run.router.length", [1.0, 12.0], whole_plan=True)
    assert table["metal_kg"].is_monotonic_increasing
    assert set(table["verdict"]) <= {"good", "care", "danger"}


@pytest.mark.parametrize("figure", [one.name for one in _core.Figure])
def test_influences_come_strongest_first(shed: nb.System, figure: str) -> None:
    found = nb.what_matters(shed, figure)
    swings = found.table["swing"].abs().tolist()
    assert swings == sorted(swings, reverse=True)
    assert found.title
    assert "<table" in found._repr_html_()


def test_an_unknown_figure_has_a_near_miss(shed: nb.System) -> None:
    with pytest.raises(nb.LookupError, match="window_margin_v"):
        nb.what_matters(shed, "window_margn_v")


def test_every_number_has_a_path(shed: nb.System) -> None:
    paths = _core.number_paths(shed._data())
    assert "load.router.typical" in paths
    assert "run.lead.length" in paths
