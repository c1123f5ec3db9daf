"""What would have to change, from Python: each way read as a person would write it."""

from __future__ import annotations

import pytest

import nightbus as nb


def far_lamp(length: str = "9 m") -> nb.System:
    """A lamp too far from its bank for the only wire in the drawer."""
    return nb.System(
        "Post",
        records=[
            nb.Rules(stock=["14 AWG"], terminal="75 °C"),
            nb.Bank(
                name="bank",
                chemistry="flooded",
                voltage="12 V",
                capacity="200 Ah",
                resistance="20 mOhm",
            ),
            nb.Load(name="lamp", typical="60 W", window="9 V to 16 V"),
            nb.Run(name="feed", from_="bank", to="lamp", length=length),
        ],
    )


def test_the_ways_of_an_infeasible_plan_are_a_table_and_each_one_holds() -> None:
    plan = nb.plan(far_lamp(), energy=False)
    assert not plan.data.wiring.feasible
    table = plan.changes
    assert {"allow size", "shorten", "double up"} <= set(table["kind"])
    assert list(table["way"]) == sorted(table["way"])
    nearer = table[table["kind"] == "shorten"].iloc[0]
    assert nearer["unit"] == "m"
    assert nearer["before"] == pytest.approx(9.0)
    for length, feasible in ((nearer["after"], True), (nearer["after"] + 0.01, False)):
        moved = nb.plan(far_lamp(f"{length:.2f} m"), energy=False)
        assert moved.data.wiring.feasible is feasible
    assert plan.tables()["changes"].equals(table)


def test_the_advice_of_what_fails_names_the_smallest_change() -> None:
    plan = nb.plan(far_lamp(), energy=False)
    first = str(plan.data.wiring.changes[0])
    assert any(
        first in finding.advice
        for finding in plan.finding_list
        if finding.severity.name in ("danger", "warning")
    )


def test_a_feasible_plan_has_no_changes(shed_plan: nb.Plan) -> None:
    assert len(shed_plan.changes) == 0
    assert shed_plan.data.wiring.ways == []


def test_a_demo_as_found_is_told_one_set_that_mends_every_run_that_fails(
    demo_plan: nb.Plan,
) -> None:
    table = demo_plan.changes
    assert len(table) > 0
    failing = {f"run {run.run}" for run in demo_plan.run_plans if not run.feasible}
    assert failing
    assert failing <= set(demo_plan.data.wiring.ways[0].mends)
    # Of what is given, only what must go: some runs of this file stay as they are.
    changed = set(table[table["kind"] == "choose anew"]["subject"])
    given = {run.name for run in demo_plan.system.runs if run.size is not None}
    assert changed < given
