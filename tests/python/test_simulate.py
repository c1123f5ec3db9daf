"""A system played in time from Python: what the table holds, and what it refuses."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

import nightbus as nb
from nightbus import charts

if TYPE_CHECKING:
    from pathlib import Path

COULOMB_MARGIN = 0.005  # what charge efficiency and self-discharge may take of the charge counted


def test_it_begins_at_local_noon_and_steps_evenly(shed_plan: nb.Plan) -> None:
    trace = nb.simulate(shed_plan, "2026-06-10", days=2, step_s=600)
    assert len(trace) == 2 * 144
    assert str(trace["local"].iloc[0]) == "2026-06-10 12:00:00"
    assert (trace["local"].diff().dropna().dt.total_seconds() == 600).all()
    assert trace.attrs["units"]["bus_v"] == "V"


def test_nights_are_those_of_the_sun(shed_plan: nb.Plan) -> None:
    june = nb.simulate(shed_plan, "2026-06-20", days=1)["is_night"].mean()
    december = nb.simulate(shed_plan, "2026-12-20", days=1)["is_night"].mean()
    # 41 degrees north: about nine hours and about fifteen.
    assert june == pytest.approx(8.9 / 24, abs=0.02)
    assert december == pytest.approx(14.9 / 24, abs=0.02)


def test_charge_follows_the_current(shed: nb.System) -> None:
    for array in list(shed.arrays):
        array.power = "1 W"
    trace = nb.simulate(shed, "2026-12-20", days=1, step_s=300)
    counted_ah = float(trace["bank_a"].iloc[1:].sum()) * 300 / 3600
    moved = (trace["charge_percent"].iloc[-1] - trace["charge_percent"].iloc[0]) / 100
    # Ampere-hours over charge give the capacity of the description, less its ageing.
    aged_ah = shed.banks[0].capacity_ah * shed.banks[0].ageing
    assert counted_ah / moved == pytest.approx(aged_ah, rel=COULOMB_MARGIN)


def test_a_low_start_stays_low_without_sun(shed_plan: nb.Plan) -> None:
    low = nb.simulate(shed_plan, "2026-12-20", days=1, charge="40 %")
    full = nb.simulate(shed_plan, "2026-12-20", days=1)
    assert low["charge_percent"].iloc[0] < 41
    assert (low["charge_percent"] <= full["charge_percent"] + 1e-9).all()
    assert low["bus_v"].iloc[-1] < full["bus_v"].iloc[-1]


@pytest.mark.parametrize(
    ("asked", "word"),
    [({"days": 0}, "days"), ({"step_s": 0.0}, "step_s"), ({"charge": 1.5}, "charge")],
)
def test_what_cannot_be_is_refused(shed_plan: nb.Plan, asked: dict[str, float], word: str) -> None:
    with pytest.raises(ValueError, match=word):
        nb.simulate(shed_plan, **asked)  # type: ignore[arg-type]


def test_the_picture_of_a_night(shed_plan: nb.Plan, tmp_path: Path) -> None:
    charts.night(nb.simulate(shed_plan, "2026-12-20", days=2)).save(tmp_path / "night.svg")
    text = (tmp_path / "night.svg").read_text(encoding="utf-8")
    assert "charge, %" in text
    assert "bus, V" in text
