"""The sheets one works from, as tables: cut list, terminals, labels, blocks, commissioning."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from nightbus import _core, sheets
from nightbus.frames import frame

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan

#: Cut longer than described by this share, for bends and both ends. No source, ours.
SPARE = 0.1
#: A bank at about the charge of the plan stands within this of its volts. No source, ours. [V]
BANK_V = 0.2


def cut_totals(plan: Plan, spare: float = SPARE) -> pd.DataFrame:
    """Metres and mass of conductor by size and family, with what to cut more.

    Parameters
    ----------
    plan : Plan
        A plan.
    spare : float
        Share to add for bends and ends. No source, ours.
    """
    pieces: dict[tuple[str, str], list[float]] = defaultdict(list)
    for piece in sheets.cut_list(plan).to_dict("records"):
        pieces[piece["size"], piece["family"]] += [piece["length_m"]] * int(piece["pieces"])
    mass = {
        (size, family): _core.Catalogue().conductor(_core.ConductorSize(size), family).mass_kg_per_m
        for size, family in pieces
    }
    return frame(
        (
            {
                "size": size,
                "family": family,
                "pieces": len(lengths),
                "longest_m": max(lengths),
                "total_m": sum(lengths),
                "with_spare_m": (1.0 + spare) * sum(lengths),
                "metal_kg": mass[size, family] * sum(lengths),
                "metal_with_spare_kg": (1.0 + spare) * mass[size, family] * sum(lengths),
            }
            for (size, family), lengths in pieces.items()
        ),
        "size family pieces longest_m total_m with_spare_m metal_kg metal_with_spare_kg",
    )


def terminals(plan: Plan) -> pd.DataFrame:
    """Lugs and ferrules at each point: how many of which size, positive and negative."""
    count: dict[tuple[str, str, str], int] = defaultdict(int)
    for run, described in zip(plan.run_plans, plan.system.runs, strict=True):
        back = run.return_length_m > 0
        each = described.parallel
        home = described.return_to or described.from_
        for point, other in ((described.from_, home), (described.to, described.to)):
            count[point, "positive", str(run.size)] += each
            if back:
                count[other, "negative", str(run.return_size or run.size)] += each
    return frame(
        (
            {"point": point, "pole": pole, "size": size, "number": number}
            for (point, pole, size), number in sorted(count.items())
        ),
        "point pole size number",
    )


def label_list(plan: Plan) -> pd.DataFrame:
    """Two labels for each run, one for each end."""
    return frame(
        (
            {
                "run": label.run,
                "here": label.here,
                "other_end": label.other,
                "conductor": label.conductor,
                "device": label.device,
                "length_m": label.length_m,
            }
            for label in sheets.labels(plan)
        ),
        "run here other_end conductor device length_m",
    )


def block_map(plan: Plan) -> pd.DataFrame:
    """What is joined where: each block and bus bar, way by way, with the most each way carries."""
    most = [
        max((abs(case.runs[index].current_a) for case in plan.case_results), default=0.0)
        for index in range(len(plan.run_plans))
    ]
    rows: list[dict[str, Any]] = []
    for bus in plan.system.buses:
        way = 0
        for index, described in enumerate(plan.system.runs):
            if bus.name not in (described.from_, described.to):
                continue
            feeds = described.to == bus.name
            way += 0 if feeds else 1
            run = plan.run_plans[index]
            rows.append(
                {
                    "bus": bus.name,
                    "way": "feed" if feeds else str(way),
                    "run": described.name,
                    "other_end": described.from_ if feeds else described.to,
                    "conductor": str(run.size),
                    "device": "" if run.device is None else run.device.form,
                    "rating_a": None if run.device is None else run.device.rating_a,
                    "most_a": most[index],
                    "bus_rated_a": bus.rated_a,
                    "bus_ways": bus.ways,
                }
            )
    return frame(
        rows, "bus way run other_end conductor device rating_a most_a bus_rated_a bus_ways"
    )


def overcurrent(plan: Plan) -> pd.DataFrame:
    """Overcurrent devices: form, rating, interrupt rating that is needed, holder."""
    return plan.fuses


def _states(plan: Plan) -> list[_core.CaseResult]:
    """The system as wired: nothing drawn, typical draw, peak draw; bank at rest, mild air."""
    system = plan.wired.copy()
    gear = [one.name for kind in (system.loads, system.fans, system.poe_links) for one in kind]
    system.cases[:] = [
        _core.Case(name="nothing on", bank="rest", demand="typical", ambient="mild", off=gear),
        _core.Case(name="typical", bank="rest", demand="typical", ambient="mild"),
        _core.Case(name="peak", bank="rest", demand="peak", ambient="mild"),
    ]
    from nightbus.planning import plan as make

    made = make(system, energy=False, margins=False, size_ups=False, changes=False)
    return made.case_results[:3]


def commissioning(plan: Plan) -> pd.DataFrame:
    """Readings to expect, with accept limits, at every point and along every run.

    Rows of `what`:

    - ``volts``: between the terminals of a device or bank, with nothing on, at typical and at peak
      draw; `low` and `high` accept at typical draw: the bank's own spread, and the device's window.
    - ``drop``: lost along a run, out and back; `high` is half as much again as planned.
    - ``joint``: across one joint of a run, one pole; `high` likewise, no less than a meter shows.

    Volts in V, drops in mV: see `unit`. Limits are common practice or ours, no source.
    """
    states = _states(plan)
    if len(states) < 3:
        return frame([], "what at unit nothing_on typical peak typical_a peak_a low high")
    nothing, typical, peak = states
    rows: list[dict[str, Any]] = []

    def volts(
        name: str, values: list[float], amps: list[float], window: _core.Range | None
    ) -> None:
        low, high = values[1] - BANK_V, values[1] + BANK_V
        if window is not None:
            low, high = max(low, window.low), min(high, window.high)
        rows.append(
            {
                "what": "volts",
                "at": name,
                "unit": "V",
                "nothing_on": values[0],
                "typical": values[1],
                "peak": values[2],
                "typical_a": amps[1],
                "peak_a": amps[2],
                "low": low,
                "high": high,
            }
        )

    def all_three(kind: str, index: int, volt: str, amp: str) -> tuple[list[float], list[float]]:
        found = [getattr(state, kind)[index] for state in states]
        return [getattr(one, volt) for one in found], [getattr(one, amp) for one in found]

    system = plan.system
    for index, bank in enumerate(system.banks):
        volts(bank.name, *all_three("banks", index, "voltage_v", "current_a"), None)
    for kind in ("loads", "fans"):
        for index, one in enumerate(getattr(system, kind)):
            volts(one.name, *all_three(kind, index, "voltage_v", "current_a"), one.window_v)
    for index, converter in enumerate(system.converters):
        volts(
            f"{converter.name}, input",
            *all_three("converters", index, "input_v", "input_a"),
            converter.window_v,
        )
        volts(
            f"{converter.name}, output",
            *all_three("converters", index, "output_v", "output_a"),
            None,
        )
    for index, described in enumerate(system.runs):
        if described.spare:
            continue
        before, usual, most = (state.runs[index] for state in (nothing, typical, peak))
        for what, lost in (
            ("drop", [abs(one.drop_v) for one in (before, usual, most)]),
            ("joint", [abs(one.current_a) * described.joint_ohm for one in (before, usual, most)]),
        ):
            if what == "joint" and described.joints == 0:
                continue
            rows.append(
                {
                    "what": what,
                    "at": described.name,
                    "unit": "mV",
                    "nothing_on": 1000 * lost[0],
                    "typical": 1000 * lost[1],
                    "peak": 1000 * lost[2],
                    "typical_a": usual.current_a,
                    "peak_a": most.current_a,
                    "low": 0.0,
                    "high": 1000 * sheets.suspect_v(lost[1]),
                }
            )
    return frame(rows, "what at unit nothing_on typical peak typical_a peak_a low high")


def sheet_tables(plan: Plan) -> dict[str, pd.DataFrame]:
    """Every sheet by its name, as written beside the tables of a plan.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus.sheet_tables import sheet_tables
    >>> system = (
    ...     nb.System("Post")
    ...     .add(nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"))
    ...     .add(nb.Load(name="router", typical="12 W"), feed={"from_": "bank", "length": "1 m"})
    ... )
    >>> list(sheet_tables(nb.plan(system)))[:4]
    ['cut_list', 'cut_totals', 'parts', 'overcurrent']
    """
    return {
        "cut_list": sheets.cut_list(plan),
        "cut_totals": cut_totals(plan),
        "parts": sheets.parts(plan),
        "overcurrent": overcurrent(plan),
        "terminals": terminals(plan),
        "labels": label_list(plan),
        "blocks": block_map(plan),
        "commissioning": commissioning(plan),
    }
