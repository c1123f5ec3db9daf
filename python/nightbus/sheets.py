"""What one takes along: parts, cut list, labels, and the sheet of readings for switching on."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from nightbus import words
from nightbus.frames import frame

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan


def cut_list(plan: Plan) -> pd.DataFrame:
    """One row for each kind of piece to cut, as described: without bends and slack."""
    rows: list[dict[str, Any]] = []
    for run in plan.run_plans:
        back = run.return_length_m > 0
        # `conductors` counts every piece; with an own return half of them go back.
        out = run.conductors // 2 if back else run.conductors
        rows.append(
            {
                "run": run.run,
                "pole": "positive",
                "pieces": max(out, 1),
                "size": str(run.size),
                "family": run.family,
                "length_m": run.length_m,
            }
        )
        if back:
            rows.append(
                {
                    "run": run.run,
                    "pole": "negative",
                    "pieces": max(run.conductors - out, 1),
                    "size": str(run.return_size or run.size),
                    "family": run.family,
                    "length_m": run.return_length_m,
                }
            )
    return frame(rows, ["run", "pole", "pieces", "size", "family", "length_m"])


def parts(plan: Plan) -> pd.DataFrame:
    """Metres of conductor by size, devices by form and rating, terminations by size."""
    metres: dict[tuple[str, str], float] = defaultdict(float)
    ends: dict[str, int] = defaultdict(int)
    for piece in cut_list(plan).to_dict("records"):
        metres[piece["size"], piece["family"]] += piece["pieces"] * piece["length_m"]
        ends[piece["size"]] += 2 * piece["pieces"]
    devices: dict[tuple[str, float, str], int] = defaultdict(int)
    for run in plan.run_plans:
        if run.device is not None:
            devices[run.device.form, run.device.rating_a, run.device.kind.name] += 1
    rows = [
        {
            "part": f"conductor {size}" if family in size else f"conductor {size}, {family}",
            "number": round(length, 2),
            "unit": "m",
        }
        for (size, family), length in metres.items()
    ]
    rows += [
        {"part": f"{rating:g} A {form}, {kind}", "number": count, "unit": "pieces"}
        for (form, rating, kind), count in sorted(devices.items())
    ]
    forms: dict[str, int] = defaultdict(int)
    for (form, _, _), count in devices.items():
        forms[form] += count
    rows += [
        {"part": f"holder or block way for {form}", "number": count, "unit": "pieces"}
        for form, count in sorted(forms.items())
    ]
    rows += [
        {"part": f"termination for {size}", "number": count, "unit": "pieces"}
        for size, count in ends.items()
    ]
    return frame(rows, ["part", "number", "unit"])


@dataclass(frozen=True)
class Label:
    """What stands on the flag at one end of a run."""

    run: str
    here: str
    other: str
    conductor: str
    device: str
    length_m: float


def labels(plan: Plan) -> list[Label]:
    """Two labels for each run: one at each end."""
    found = []
    for run, described in zip(plan.run_plans, plan.system.runs, strict=True):
        for here, other in ((described.from_, described.to), (described.to, described.from_)):
            found.append(
                Label(
                    run.run,
                    here,
                    other,
                    str(run.size) + (" spare" if run.spare else ""),
                    words.device(run.device),
                    run.length_m,
                )
            )
    return found


#: A joint or run that loses more than this much of what it should is suspect (common practice, no
#: source), and what a handheld meter cannot tell from nothing. [V]
SUSPECT = 1.5
METER_V = 0.001


def suspect_v(drop_v: float) -> float:
    """Volts lost along a run, or across a joint, above which a joint is looked for."""
    return max(SUSPECT * abs(drop_v), abs(drop_v) + METER_V)


@dataclass(frozen=True)
class Check:
    """One line of the sheet for switching on: what to do, what to expect, room for the reading."""

    step: str
    at: str
    expected: str
    wrong_if: str


def dead_checks(plan: Plan) -> list[Check]:
    """Before anything is live: common practice, no source."""
    checks = [
        Check(
            "Bank disconnected, chargers and array off",
            "whole system",
            "0 V on every bus",
            "any volts",
        ),
        Check("Polarity followed by eye and buzzer", "every run", "plus on plus", "any doubt"),
        Check(
            "Insulation of plus against minus and chassis, devices unplugged",
            "every bus",
            "open",
            "a steady reading below 1 MΩ",
        ),
        Check("Tug and torque on every termination", "every end", "as its maker says", "it moves"),
    ]
    for run in plan.run_plans:
        if run.device is not None:
            place = (
                ""
                if run.need.within_m is None
                else f", within {words.metres(run.need.within_m)} of the source"
            )
            checks.append(
                Check(
                    "Device in place and of this rating",
                    run.run,
                    words.device(run.device) + place,
                    "another rating, form or place",
                )
            )
    return checks


def reading_case(plan: Plan) -> int:
    """Index of the case that a meter finds on an ordinary day: bank at rest, typical draw."""
    for index, (case, result) in enumerate(zip(_cases(plan), plan.case_results, strict=False)):
        if case.bank == "rest" and case.demand == "typical" and result.ok:
            return index
    return next((i for i, result in enumerate(plan.case_results) if result.ok), 0)


def _cases(plan: Plan) -> list[Any]:
    from nightbus import _core

    return list(plan.system.cases) or list(_core.default_cases())


def live_checks(plan: Plan) -> list[Check]:
    """Readings to expect with everything on, in the ordinary case."""
    index = reading_case(plan)
    checks: list[Check] = []
    if not plan.case_results:
        return checks
    result = plan.case_results[index]
    for bank, answer in zip(plan.system.banks, result.banks, strict=True):
        checks.append(
            Check(
                "Bank at its terminals",
                bank.name,
                f"{words.volts(answer.voltage_v)}, {words.amps(answer.current_a)} out",
                "more than 0.2 V off at this charge",
            )
        )
    for device in plan.devices:
        if device.case != result.name:
            continue
        low = words.volts(device.window_low_v) if device.window_low_v is not None else "its window"
        checks.append(
            Check(
                f"{device.kind[0].upper()}{device.kind[1:]} at its own terminals",
                device.name,
                f"{words.volts(device.voltage_v)}, {words.amps(device.current_a)}",
                f"below {low}",
            )
        )
    for run, flow in zip(plan.run_plans, result.runs, strict=True):
        if run.spare or abs(flow.current_a) < 1e-6:
            continue
        checks.append(
            Check(
                "Drop out and back, bus to far end",
                run.run,
                f"{words.millivolts(abs(flow.drop_v))} at {words.amps(abs(flow.current_a))}",
                f"above {words.millivolts(suspect_v(flow.drop_v))}: look for a bad joint",
            )
        )
    return checks
