"""What holds for any system: it solves or says why; copper never hurts; writing loses nothing."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import nightbus as nb

SIZES = ["22 AWG", "18 AWG", "14 AWG", "10 AWG", "6 AWG", "2 AWG", "2/0 AWG"]
words = st.text(
    alphabet=st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=12
).filter(lambda text: text.strip() == text)


@st.composite
def systems(draw: st.DrawFn) -> nb.System:
    """A radial system: a bank, one or two buses in a row, loads on any of them."""
    volts = draw(st.sampled_from([12.0, 24.0]))
    system = nb.System(
        records=[
            nb.Site(latitude=draw(st.floats(-60, 60)), longitude=draw(st.floats(-170, 170))),
            nb.Bank(
                name="bank",
                chemistry=draw(st.sampled_from(["LFP", "AGM", "gel", "flooded"])),
                nominal_v=volts,
                capacity_ah=draw(st.floats(20, 800)),
            ),
            nb.Bus(name="bus 0"),
        ]
    )
    size = st.one_of(st.none(), st.sampled_from(SIZES))
    metres = st.floats(0.2, 30)
    system.add(
        nb.Run(
            name="lead", from_="bank", to="bus 0", length_m=draw(st.floats(0.2, 4)), size=draw(size)
        )
    )
    buses = ["bus 0"]
    for index in range(draw(st.integers(0, 2))):
        system.add(nb.Bus(name=f"bus {index + 1}"))
        system.add(
            nb.Run(
                name=f"feeder {index}",
                from_=buses[-1],
                to=f"bus {index + 1}",
                length_m=draw(metres),
                size=draw(size),
            )
        )
        buses.append(f"bus {index + 1}")
    for index in range(draw(st.integers(1, 5))):
        typical = draw(st.floats(0.5, 80))
        system.add(
            nb.Load(
                name=f"load {index}",
                typical_w=typical,
                peak_w=typical * draw(st.floats(1, 2)),
                behaviour=draw(
                    st.sampled_from(["constant power", "constant current", "resistance"])
                ),
                window=draw(st.sampled_from([None, "9 V to 36 V"])),
                drop_class=draw(st.sampled_from(["critical", "general"])),
            ),
            feed={
                # The first one keeps the last bus from leading nowhere.
                "from_": draw(st.sampled_from(buses)) if index else buses[-1],
                "length_m": draw(metres),
                "size": draw(size),
            },
        )
    return system


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(systems())
def test_a_random_system_solves_or_says_why(system: nb.System) -> None:
    plan = nb.plan(system, energy=False, changes=False)
    for case in plan.case_results:
        if case.ok:
            assert abs(case.balance.gap_w) < 1e-6 * max(1.0, case.balance.supplied_w)
        else:
            assert case.sentence
            assert plan.verdict == "danger"
    if not plan.data.wiring.feasible:
        assert plan.verdict != "good"
    assert plan.cautions


def behind(system: nb.System, run: nb.Run) -> set[str]:
    """Names of everything that a run feeds in a radial system."""
    names = {run.to}
    for other in system.runs:  # feeders are listed from the bank outwards
        if other.from_ in names:
            names.add(other.to)
    return names


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(systems(), st.data())
def test_thicker_wire_never_lowers_volts_at_a_load(system: nb.System, data: st.DataObject) -> None:
    """Never behind the wire; nowhere at all unless a resistance behind it then draws more.

    A resistance that sees more volts takes more current, and its neighbours on the same feeder
    see a little less: that is physics, and no fault of the solution.
    """
    for run in system.runs:
        if run.size is None:
            run.size = "10 AWG"
        run.overcurrent = False  # a device would change with the size
    chosen = data.draw(st.sampled_from(list(system.runs)))
    index = SIZES.index(str(chosen.size))
    thick = system.copy()
    thick.run(chosen.name).size = SIZES[min(index + data.draw(st.integers(1, 3)), len(SIZES) - 1)]
    fed = behind(system, chosen)
    draws_more = any(load.name in fed and load.behaviour == "resistance" for load in system.loads)
    held = fed if draws_more else set(system.loads.names())
    thin_plan = nb.plan(system, energy=False, margins=False, size_ups=False, changes=False)
    thick_plan = nb.plan(thick, energy=False, margins=False, size_ups=False, changes=False)
    for before, after in zip(thin_plan.case_results, thick_plan.case_results, strict=True):
        if not before.ok:
            continue
        assert after.ok
        if before.inputs.charging:
            continue  # the bus is held by the charger, whatever the wire
        for name, low, high in zip(system.loads.names(), before.loads, after.loads, strict=True):
            if name in held:
                assert high.voltage_v >= low.voltage_v - 1e-6


@settings(max_examples=60, deadline=None)
@given(systems(), words, words, st.floats(1, 400), st.floats(0, 1))
def test_reading_what_was_written_is_identity(
    system: nb.System, name: str, note: str, watts: float, share: float
) -> None:
    system.title, system.note = name, note
    system.loads[0].note = note
    system.loads[0].peak_w = 2 * watts
    system.loads[0].typical_w = watts
    system.loads[0].duty = share
    system.site.name = name
    assert nb.loads(system.to_toml()) == system
