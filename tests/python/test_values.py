"""Every compiled class is a value: it copies, pickles, compares and is hashed by what it holds."""

from __future__ import annotations

import copy
import pickle
from typing import TYPE_CHECKING, Any

import pandas as pd
import pytest

import nightbus as nb
from nightbus import _core

if TYPE_CHECKING:
    from collections.abc import Iterator

#: Machines rather than values, each with what stands for it where it has to travel.
MACHINES = {
    "Batch": "columns looked up and memory laid out for one circuit",
    "Circuit": "memory laid out for one process: built again by its builder",
    "CircuitBuilder": "the calls that were made to it",
    "SimulationModel": "made anew from the system, which travels",
}
#: Edited in place, or holding arrays that can be, so they have no hash.
EDITABLE = {row["type"] for row in _core.field_table()} | {"SystemData", "BatchResult"}
PLAIN = (str, bytes, int, float, bool, type(None))


def compiled() -> dict[str, type]:
    return {
        name: one
        for name, one in vars(_core).items()
        if isinstance(one, type) and type(one).__name__ == "pybind11_type"
    }


def within(root: Any, seen: dict[str, list[Any]]) -> None:
    """Collect some objects of each compiled class that can be reached from a root."""
    open_ends = [root]
    looked_at: dict[str, int] = {}
    while open_ends:
        one = open_ends.pop()
        if isinstance(one, PLAIN):
            continue
        if isinstance(one, dict):
            open_ends += one.values()
        elif isinstance(one, list | tuple):
            open_ends += one[:40]
        elif type(one).__name__ in compiled():
            name = type(one).__name__
            looked_at[name] = looked_at.get(name, 0) + 1
            if looked_at[name] > 40:
                continue
            if all(one is not other for other in seen.setdefault(name, [])):
                seen[name].append(one)
            open_ends += attributes(one)


def attributes(one: Any) -> Iterator[Any]:
    for name in dir(type(one)):
        if not name.startswith("_") and isinstance(getattr(type(one), name), property):
            try:
                yield getattr(one, name)
            except ValueError as error:  # the area of a SAE size stands in the catalogue alone
                yield str(error)


def problem() -> _core.Problem:
    with pytest.raises(nb.InputError) as caught:
        nb.loads("nightbus = 1\ntitel = 'hut'", "hut.toml")
    problems: tuple[_core.Problem, ...] = caught.value.problems
    return problems[0]


def network() -> list[Any]:
    builder = _core.CircuitBuilder()
    plus, minus, far = builder.add_node(), builder.add_node(), builder.add_node()
    source = builder.add_source(plus, minus, emf_v=12.8, resistance_ohm=0.01)
    wire = builder.add_resistor(plus, far, 0.1)
    load = builder.add_load(far, minus, power_w=20.0)
    circuit = builder.compile()
    batch = circuit.solve_batch(
        [(wire, _core.ParameterKind.RESISTANCE_OHM)],
        [[0.1], [0.2]],
        [(_core.QuantityKind.VOLTAGE_V, load)],
    )
    assert source != load
    margins = circuit.margins(windows=[(load, 11.0, 14.0)])
    return [circuit.solve(), batch, margins]


@pytest.fixture(scope="module")
def found(shed_plan: nb.Plan, demo_plan: nb.Plan) -> dict[str, list[Any]]:
    shed = shed_plan.system
    thin = shed.copy()
    thin.run("lead").size = "20 AWG"
    failing = nb.plan(thin, trade_off_points=2)
    volts = {"kind": "volts", "at": "router", "value": "11.9 V", "accuracy": "5 mV"}
    catalogue = nb.catalogue()
    rules = catalogue.rule_set("NEC")
    size = nb.ConductorSize("12 AWG")
    form = catalogue.overcurrent_form("mini blade")
    model = _core.describe_simulation(shed_plan.wired._data(), catalogue)
    model.set_clear_sky(1.782e9, 3600.0, 24 * 370)
    roots: list[Any] = [
        shed_plan.data,
        demo_plan.data,
        failing.data,
        nb.compare(shed_plan, failing).data,
        nb.as_measured(shed_plan, [volts], case=shed_plan.case_results[0].name).data,
        nb.read_readings([volts]),
        model.run(1.782e9, 3600.0, 48),
        model.night(1.782e9, 1.0, 3600.0, 3),
        model.autonomy(1.782e9, step_s=3600.0),
        model.availability(years=1, step_s=3600.0),
        _core.what_if(shed._data(), catalogue, [("", [])]),
        _core.what_matters(shed._data(), catalogue, _core.Figure.bank_a),
        _core.monthly_air(shed.site),
        _core.sun_times(1.782e9, 47.0, 11.0),
        _core.finding_kinds()[:3],
        _core.FindingChange,
        problem(),
        nb.Range(9.0, 36.0),
        size,
        nb.EfficiencyPoint(0.5, 0.9),
        [getattr(_core, row["type"])() for row in _core.field_table() if not row["many"]],
        nb.Price(size="12 AWG", per_metre=1.4),
        nb.Bus(name="block"),
        shed_plan.wired._data(),
        *(list(getattr(shed, name)) for name in ("banks", "runs", "loads", "fans", "converters")),
        list(shed.poe_links), list(shed.arrays), list(shed.compartments),
        nb.Charger(name="mains", current="20 A"),
        nb.Case(name="first start", demand="peak"),
        catalogue,
        rules,
        rules.ampacity(size, 90.0),
        rules.ambient_factor(50.0, 90.0),
        form.interrupts,
        form.opening_of(10.0),
        failing.why_not("lamp", "24 AWG"),
        network(),
    ]  # fmt: skip
    seen: dict[str, list[Any]] = {}
    for root in roots:
        within(root, seen)
    return seen


def test_no_compiled_class_is_forgotten(found: dict[str, list[Any]]) -> None:
    assert set(compiled()) - set(MACHINES) - set(found) == set()
    assert set(MACHINES) <= set(compiled())


@pytest.mark.parametrize("name", sorted(set(compiled()) - set(MACHINES)))
def test_it_pickles_copies_compares_and_is_hashed(name: str, found: dict[str, list[Any]]) -> None:
    for one in found[name]:
        for twin in (pickle.loads(pickle.dumps(one)), copy.copy(one), copy.deepcopy(one)):
            assert type(twin) is type(one)
            assert twin is not one
            assert twin == one
            assert (twin != one) is False
            assert repr(twin) == repr(one) or object.__repr__(one) == repr(one)
            for mine, its in zip(attributes(one), attributes(twin), strict=True):
                assert same(mine, its)
            if name in EDITABLE:
                assert type(one).__hash__ is None
            else:
                assert hash(twin) == hash(one)
        assert one != "something else"
    # Two that say different things are not equal: as many values as there are sayings.
    if name not in EDITABLE:
        assert len(set(found[name])) == len({pickle.dumps(one) for one in found[name]})


def same(mine: Any, its: Any) -> bool:
    equal = mine == its
    return bool(equal if isinstance(equal, bool) else equal.all())


@pytest.mark.parametrize("name", sorted(MACHINES))
def test_what_is_no_value_says_so_and_does_not_come_back_empty(name: str) -> None:
    if name == "CircuitBuilder":
        with pytest.raises(TypeError, match="pickle"):
            pickle.dumps(_core.CircuitBuilder())
    assert MACHINES[name]


def test_a_pickle_of_another_version_is_refused_with_a_sentence(shed_plan: nb.Plan) -> None:
    mark, held = shed_plan.run_plans[0].__getstate__()
    empty = _core.RunPlan.__new__(_core.RunPlan)
    with pytest.raises(nb.Error, match="another version of nightbus"):
        empty.__setstate__((mark + 1, held))
    with pytest.raises(nb.Error, match="ends too early"):
        empty.__setstate__((mark, held[:-3]))
    with pytest.raises(nb.Error, match="more than"):
        empty.__setstate__((mark, held + b"\0"))


def test_findings_of_two_plans_of_one_system_are_a_set(shed: nb.System) -> None:
    first, second = (nb.plan(shed, energy=False, margins=False) for _ in range(2))
    assert first.data is not second.data
    assert set(first.finding_list) == set(second.finding_list)
    assert first.run_plans == second.run_plans
    assert first.data == second.data
    shed.load("router").typical = "14 W"
    third = nb.plan(shed, energy=False, margins=False)
    assert third.data != first.data
    changed = [a.run for a, b in zip(first.run_plans, third.run_plans, strict=True) if a != b]
    assert {"lead", "router"} <= set(changed)


def test_answers_in_python_pickle_copy_and_compare_as_well(shed_plan: nb.Plan) -> None:
    hours = pd.date_range("2026-06-01", periods=48, freq="h", tz="UTC")
    columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    dark = pd.DataFrame(columns, index=hours)
    other = nb.plan(thinner(shed_plan.system), energy=False, margins=False)
    volts = {"kind": "volts", "at": "router", "value": "11.9 V", "accuracy": "5 mV"}
    pairs: list[tuple[Any, Any]] = [
        (shed_plan, other),
        (nb.compare(shed_plan, other), nb.compare(other, shed_plan)),
        (nb.as_measured(shed_plan, [volts]), nb.as_measured(other, [volts])),
        (nb.what_matters(shed_plan.system), nb.what_matters(other.system)),
        (shed_plan.system, other.system),
        (
            nb.read_weather(dark, latitude_deg=47.0, longitude_deg=11.0),
            nb.read_weather(dark.assign(temp_air=13.0), latitude_deg=47.0, longitude_deg=11.0),
        ),
    ]
    for one, another in pairs:
        for twin in (pickle.loads(pickle.dumps(one)), copy.deepcopy(one)):
            assert twin == one
        assert one != another
        assert one != "something else"
        assert "<" in one._repr_html_()


def thinner(system: nb.System) -> nb.System:
    changed = system.copy()
    changed.run("lead").size = "14 AWG"
    changed.load("router").typical = "15 W"
    return changed
