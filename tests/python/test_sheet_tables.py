"""The sheets: nothing is counted twice, and every reading is what the network gives."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pandas as pd
import pytest

import nightbus as nb
from nightbus import sheets
from nightbus.frames import unit_of
from nightbus.sheet_tables import (
    block_map,
    commissioning,
    cut_totals,
    label_list,
    sheet_tables,
    terminals,
)

if TYPE_CHECKING:
    from pathlib import Path


def test_the_cut_list_weighs_what_the_plan_weighs(demo_plan: nb.Plan, shed_plan: nb.Plan) -> None:
    for plan in (demo_plan, shed_plan):
        totals = cut_totals(plan, spare=0.25)
        assert totals["metal_kg"].sum() == pytest.approx(plan.data.wiring.metal_kg, rel=1e-9)
        pieces = sheets.cut_list(plan)
        assert totals["total_m"].sum() == pytest.approx(
            (pieces["pieces"] * pieces["length_m"]).sum()
        )
        assert totals["with_spare_m"].sum() == pytest.approx(1.25 * totals["total_m"].sum())


def test_every_piece_has_two_ends(demo_plan: nb.Plan, shed_plan: nb.Plan) -> None:
    for plan in (demo_plan, shed_plan):
        assert terminals(plan)["number"].sum() == 2 * sheets.cut_list(plan)["pieces"].sum()
        assert len(label_list(plan)) == 2 * len(plan.system.runs)


def test_a_block_lists_every_run_that_ends_on_it_once(demo_plan: nb.Plan) -> None:
    table = block_map(demo_plan)
    for bus in demo_plan.system.buses:
        here = table[table["bus"] == bus.name]
        wanted = [run.name for run in demo_plan.system.runs if bus.name in (run.from_, run.to)]
        assert sorted(here["run"]) == sorted(wanted)
        ways = [way for way in here["way"] if way != "feed"]
        assert ways == [str(k + 1) for k in range(len(ways))]


def lamp_post() -> nb.Plan:
    """One constant current of 5 A through one run: everything can be told by hand."""
    return nb.plan(
        nb.System(
            "Post",
            records=[
                nb.Bank(
                    name="bank",
                    chemistry="flooded",
                    voltage="12 V",
                    capacity="200 Ah",
                    resistance="10 mOhm",
                ),
                nb.Load(
                    name="lamp",
                    typical_w=60.0,
                    peak_w=96.0,
                    nominal_v=12.0,
                    behaviour="constant current",
                    window="9 V to 16 V",
                ),
                nb.Run(
                    name="feed", from_="bank", to="lamp", length="4 m", joint_resistance="0.4 mOhm"
                ),
            ],
        ),
        energy=False,
    )


def test_readings_of_one_constant_current_are_those_of_ohms_law() -> None:
    table: Any = commissioning(lamp_post()).set_index(["what", "at"])
    assert table.loc[("volts", "bank"), "typical_a"] == pytest.approx(5.0, rel=1e-6)
    assert table.loc[("volts", "bank"), "peak_a"] == pytest.approx(8.0, rel=1e-6)
    # With nothing on the meter shows the EMF, at the lamp as at the bank: the drawn current times
    # the bank's resistance is what is missing later.
    emf = table.loc[("volts", "bank"), "nothing_on"]
    assert table.loc[("volts", "lamp"), "nothing_on"] == pytest.approx(emf, abs=1e-9)
    lost = emf - table.loc[("volts", "bank"), "typical"]
    more = emf - table.loc[("volts", "bank"), "peak"]
    assert more / lost == pytest.approx(8.0 / 5.0, rel=1e-6)
    # One joint of 0.4 mOhm at 5 A: 2 mV; suspect when half as much again, or a millivolt more.
    assert table.loc[("joint", "feed"), "typical"] == pytest.approx(2.0, rel=1e-6)
    assert table.loc[("joint", "feed"), "high"] == pytest.approx(3.0, rel=1e-6)
    drop = table.loc[("drop", "feed")]
    assert drop["nothing_on"] == pytest.approx(0.0, abs=1e-9)
    between = table.loc[("volts", "bank"), "typical"] - table.loc[("volts", "lamp"), "typical"]
    assert drop["typical"] == pytest.approx(1000 * between, rel=1e-6)
    assert drop["high"] == pytest.approx(1.5 * drop["typical"])


def test_with_nothing_on_every_device_sees_the_bank(shed_plan: nb.Plan) -> None:
    """Each feed is called after its device here: the device is off, its cable is not taken out."""
    table: Any = commissioning(shed_plan).set_index(["what", "at"])
    emf = table.loc[("volts", "bank"), "nothing_on"]
    for name in ("router", "lamp", "fan"):
        assert any(run.name == name for run in shed_plan.system.runs)
        assert table.loc[("volts", name), "nothing_on"] == pytest.approx(emf, abs=0.05)
        assert table.loc[("drop", name), "nothing_on"] == pytest.approx(0.0, abs=1e-6)


def test_what_is_accepted_lies_around_what_is_expected(demo_plan: nb.Plan) -> None:
    table = commissioning(demo_plan)
    assert {"volts", "drop", "joint"} == set(table["what"])
    drops = table[table["what"] != "volts"]
    assert (drops["high"] > drops["typical"]).all()
    for run in demo_plan.system.runs:
        assert run.spare or ((table["what"] == "drop") & (table["at"] == run.name)).any()


def test_every_sheet_is_written_as_csv(shed_plan: nb.Plan, tmp_path: Path) -> None:
    written = {path.stem for path in shed_plan.write_csv(tmp_path)}
    for name, table in sheet_tables(shed_plan).items():
        assert name in written
        assert len(pd.read_csv(tmp_path / f"{name}.csv")) == len(table)
        for column in table.columns:
            if unit_of(column):
                assert table.attrs["units"][column] == unit_of(column)
