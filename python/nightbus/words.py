"""Numbers and names as people read them; text is made here, last of all."""

from __future__ import annotations

from calendar import month_name
from typing import TYPE_CHECKING

from nightbus import _core
from nightbus._core import Dimension

if TYPE_CHECKING:
    from collections.abc import Iterable

    from nightbus.planning import Plan

NONE = "–"


def show(value: float | None, dimension: Dimension, digits: int = 3) -> str:
    """Rounded text with a readable prefix; a dash for what is not there."""
    return NONE if value is None else _core.show_quantity(value, dimension, digits)


def volts(value: float | None) -> str:
    """Volts to the hundredth: what a meter in the field shows."""
    return NONE if value is None else f"{0.0 if abs(value) < 0.005 else value:.2f} V"


def millivolts(value: float | None) -> str:
    """A volt's thousandths; with a tenth where there are few."""
    if value is None:
        return NONE
    return f"{1000 * value:.0f} mV" if value >= 0.0095 else f"{1000 * value:.1f} mV"


def amps(value: float | None) -> str:
    """Amperes, three figures."""
    return show(value, Dimension.current)


def watts(value: float | None) -> str:
    """Watts, three figures."""
    return show(value, Dimension.power)


def metres(value: float | None) -> str:
    """Length in metres to the centimetre."""
    return NONE if value is None else f"{value:.2f}".rstrip("0").rstrip(".") + " m"


def percent(ratio: float | None, digits: int = 1) -> str:
    """Ratio as per cent."""
    return NONE if ratio is None else f"{100.0 * ratio:.{digits}f} %"


def celsius(value: float | None) -> str:
    """Temperature in whole degrees."""
    return NONE if value is None else f"{value:.0f} °C"


def hours(value: float | None) -> str:
    """Hours to a tenth."""
    return NONE if value is None else f"{value:.1f} h"


def days(value: float | None) -> str:
    """Days to a tenth."""
    return NONE if value is None else f"{value:.1f} d"


def watt_hours(value: float | None) -> str:
    """Energy, three figures."""
    return show(value, Dimension.energy)


def amp_hours(value: float | None) -> str:
    """Charge, three figures."""
    return show(value, Dimension.charge)


def seconds(value: float | None) -> str:
    """Time, two figures; what opens at once says so."""
    if value is None:
        return NONE
    return "< 10 ms" if value < 0.01 else show(value, Dimension.time, 2)


def opens(run: _core.RunPlan) -> str:
    """How soon the device opens for the least short behind it."""
    need, device = run.need, run.device
    if need.opens_in_s is None and device is not None and need.least_fault_a is not None:
        return "never" if need.least_fault_a <= device.rating_a else NONE
    return seconds(need.opens_in_s)


def opens_notes(runs: Iterable[_core.RunPlan]) -> list[str]:
    """What the words of `opens` mean, as far as they occur."""
    found = {opens(run) for run in runs}
    notes = []
    if NONE in found:
        notes.append(f"{NONE}: no time is published for its form; look at its maker's curve.")
    if "never" in found:
        notes.append(
            "never: its source cannot give more than the rating, which the cable carries for good."
        )
    return notes


def flow(value: float | None) -> str:
    """Air flow in m³/h: the unit on the fan's label."""
    return NONE if value is None else f"{value * 3600.0:.0f} m³/h"


def air_needed(compartment: _core.CompartmentPlan) -> str:
    """Air that keeps a compartment at its limit in its hottest case."""
    if compartment.held:
        return "held"
    needed = compartment.needed_flow_m3s
    if needed is None:
        return "impossible"
    return flow(needed) if needed > 0 else "none"


def month(number: int) -> str:
    """Name of a month, January is 1."""
    return month_name[number]


def device(device: _core.Device | None) -> str:
    """``10 A mini blade``."""
    if device is None:
        return "none"
    return f"{device.rating_a:g} A {device.form}"


def listed(names: Iterable[str], most: int = 4) -> str:
    """``a, b and 3 more``."""
    every = list(names)
    if len(every) <= most:
        return ", ".join(every)
    return f"{', '.join(every[:most])} and {len(every) - most} more"


def counted(number: int, one: str, many: str | None = None) -> str:
    """``1 danger``, ``3 dangers``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def findings_counted(plan: Plan) -> str:
    """``1 danger, 2 warnings, 14 notices, 210 checks passed``."""
    parts = [
        counted(plan.count("danger"), "danger"),
        counted(plan.count("warning"), "warning"),
        counted(plan.count("notice"), "notice"),
        counted(plan.count("passed"), "check passed", "checks passed"),
    ]
    return ", ".join(parts)


#: Why the next thinner size was refused, where the name of the check alone would be a riddle.
GOVERNED = {
    "thinnest": "thinnest there is",
    "no-ampacity": "thinnest in the rules",
    "ampacity": "current it may carry",
    "drop": "voltage drop",
    "interrupt-rating": "fuse that breaks a short",
    "fuse-above-ceiling": "fuse that protects it",
}


def governed(run: _core.RunPlan) -> str:
    """Why a run is not thinner, in a few words."""
    if run.size_given:
        return "given"
    code = run.governing_code
    return GOVERNED.get(code) or _core.finding_kind(code).aspect


def checked(check: _core.Verdict) -> str:
    """What a check looks at: the aspect when it holds, what is wrong when it does not."""
    return _core.finding_kind(check.code).aspect if check.passed else check.title


def drop(run: _core.RunPlan) -> str:
    """Volts lost out and back; a run laid for later loses none yet."""
    return NONE if run.spare else volts(run.drop_v)
