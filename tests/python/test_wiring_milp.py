"""The choice on systems too large to try everything, against a mixed-integer linear programme.

Every load takes a constant current, so the current of each run is the same whatever is chosen, and
the volts that a size loses in a run are a number of their own: they are read off plans in which all
runs have that size. What is left is linear:

    minimise  sum metal[r, s] x[r, s]     with  sum over the way of each load of drop x <= limit
                                          and   one size for each run, of those that pass its checks

and is handed to HiGHS through :func:`scipy.optimize.milp`.
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

import nightbus as nb

DROP = 0.03
#: So thick that nothing gives way when every run has the thinnest.
STOCK = ["16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG", "1/0 AWG"]


def tree(seed: int, runs: int) -> nb.System:
    """A bank, blocks on blocks, loads at their ends; no devices, for these choose conductors."""
    dice = random.Random(seed)
    system = nb.System(
        "Tree",
        records=[
            nb.Rules(
                sets=["ABYC E-11"],
                insulation="105 °C",
                terminal="105 °C",
                drop_critical=DROP,
                stock=STOCK,
            ),
            nb.Bank(
                name="bank",
                chemistry="flooded",
                voltage="12 V",
                capacity="200 Ah",
                resistance="5 mOhm",
            ),
            nb.Case(name="typical", bank="low", demand="typical", ambient="mild"),
        ],
    )
    points = ["bank"]
    blocks = runs // 3
    for index in range(blocks):
        system.add(nb.Bus(name=f"block {index}"))
        system.add(
            nb.Run(
                name=f"to block {index}",
                from_=points[-1] if index < 2 else dice.choice(points[1:]),
                to=f"block {index}",
                length_m=dice.uniform(0.5, 2.5),
                overcurrent=False,
            )
        )
        points.append(f"block {index}")
    taken = {run.from_ for run in system.runs}
    ends = [block for block in points[1:] if block not in taken]
    for index in range(runs - blocks):
        system.add(
            nb.Load(
                name=f"load {index}",
                typical_w=dice.uniform(2.0, 10.0),
                nominal_v=12.0,
                behaviour="constant current",
                window="6 V to 16 V",
            )
        )
        system.add(
            nb.Run(
                name=f"to load {index}",
                from_=ends[index] if index < len(ends) else dice.choice(points[1:]),
                to=f"load {index}",
                length_m=dice.uniform(1.0, 7.0),
                overcurrent=False,
            )
        )
    return system


def planned(system: nb.System) -> nb.Plan:
    return nb.plan(system, energy=False, margins=False, size_ups=False, changes=False)


def way(system: nb.System, end: str) -> list[int]:
    """Runs between the bank and a point."""
    found = []
    while end != "bank":
        index = next(i for i, run in enumerate(system.runs) if run.to == end)
        found.append(index)
        end = system.runs[index].from_
    return found


def cheapest(system: nb.System, plan: nb.Plan) -> float | None:
    """Metal of the optimum by the linear programme."""
    sizes = [str(candidate.size) for candidate in plan.run_plans[0].candidates]
    metal = np.array([[each.metal_kg for each in run.candidates] for run in plan.run_plans])
    fits = np.array([[each.feasible for each in run.candidates] for run in plan.run_plans])
    drop = np.empty_like(metal)
    for column, size in enumerate(sizes):
        alike = system.copy()
        for run in alike.runs:
            run.size = size
        made = planned(alike)
        drop[:, column] = [flow.drop_v for flow in made.case_results[0].runs]
        # The currents are what makes it linear: the same in every plan.
        assert [flow.current_a for flow in made.case_results[0].runs] == pytest.approx(
            [flow.current_a for flow in plan.case_results[0].runs], rel=1e-9
        )
    rows, columns = metal.shape
    one = lil_matrix((rows, rows * columns))
    for row in range(rows):
        one[row, row * columns : (row + 1) * columns] = 1.0
    lost = lil_matrix((len(system.loads), rows * columns))
    for index, load in enumerate(system.loads):
        for row in way(system, load.name):
            lost[index, row * columns : (row + 1) * columns] = drop[row]
    answer = milp(
        metal.ravel(),
        constraints=[
            LinearConstraint(one.tocsr(), 1.0, 1.0),
            LinearConstraint(lost.tocsr(), -np.inf, DROP * 12.0),
        ],
        bounds=Bounds(0.0, fits.ravel().astype(float)),
        integrality=np.ones(rows * columns),
        options={"mip_rel_gap": 1e-9},
    )
    return float(answer.fun) if answer.success else None


@pytest.mark.parametrize("runs", [9, 18, 30])
@pytest.mark.parametrize("seed", range(4))
def test_the_plan_has_the_metal_of_the_linear_optimum(seed: int, runs: int) -> None:
    system = tree(seed, runs)
    plan = planned(system)
    best = cheapest(system, plan)
    wiring = plan.data.wiring
    if best is None:
        assert not wiring.feasible
        return
    assert wiring.feasible
    assert wiring.optimality.proven
    # HiGHS keeps its constraints to 1e-6: a plan at the very limit may be out of its reach.
    assert wiring.metal_kg == pytest.approx(best, rel=1e-7)


def test_most_of_these_trees_can_be_wired() -> None:
    wired = [
        planned(tree(seed, runs)).data.wiring.feasible for seed in range(4) for runs in (9, 30)
    ]
    assert sum(wired) >= 6
