"""Pictures of hours for the report and the explorer: a night, and a hot day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from nightbus.report.html import Html, el
from nightbus.report.pictures import WIDTH, _line, _rect, _svg, _text, ticks

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    import pandas as pd

LEFT, RIGHT = 64.0, 16.0


@dataclass(frozen=True)
class Curve:
    """A line over time: hours from the start, and values; dashed for what it is compared with."""

    hours: Sequence[float]
    heights: Sequence[float]
    dashed: bool = False


def _x(hour: float, last: float) -> float:
    return LEFT + hour / max(last, 1e-9) * (WIDTH - LEFT - RIGHT)


def _strip(
    curves: Iterable[Curve],
    last: float,
    top: float,
    height: float,
    low: float,
    high: float,
    unit: str,
) -> list[object]:
    def y(value: float) -> float:
        return top + (1 - (min(max(value, low), high) - low) / (high - low)) * height

    parts: list[object] = []
    for tick in ticks(low, high, 4):
        parts += [
            _line(LEFT, y(tick), WIDTH - RIGHT, y(tick)),
            _text(LEFT - 8, y(tick) + 4, f"{tick:g} {unit}", "end", 11),
        ]
    for curve in curves:
        points = " ".join(
            f"{_x(hour, last):.1f},{y(value):.1f}"
            for hour, value in zip(curve.hours, curve.heights, strict=True)
        )
        parts.append(
            el(
                "polyline",
                points=points,
                fill="none",
                stroke="var(--soft)" if curve.dashed else "var(--ink)",
                stroke_width="1.6" if curve.dashed else "2.2",
                stroke_dasharray="5 4" if curve.dashed else None,
            )
        )
    return parts


def _clock(start_hour: float, last: float, y: float) -> list[object]:
    parts: list[object] = []
    hour = -start_hour % 6.0
    while hour <= last:
        text = f"{(start_hour + hour) % 24:02.0f}:00"
        parts.append(_text(_x(hour, last), y, text, "middle", 11))
        hour += 6.0
    return parts


def spans(flags: Sequence[Any], hours: Sequence[float]) -> list[tuple[float, float]]:
    """Spans of hours in which a flag is up.

    Examples
    --------
    >>> from nightbus.report.nights import spans
    >>> spans([False, True, True, False], [0.0, 1.0, 2.0, 3.0])
    [(1.0, 3.0)]
    """
    found: list[tuple[float, float]] = []
    begun: float | None = None
    for flag, hour in zip(flags, hours, strict=True):
        if flag and begun is None:
            begun = hour
        elif not flag and begun is not None:
            found.append((begun, hour))
            begun = None
    if begun is not None:
        found.append((begun, hours[-1]))
    return found


def night(
    charge: Sequence[Curve],
    volts: Sequence[Curve],
    dark: Sequence[tuple[float, float]],
    off: Sequence[tuple[str, float, float]] = (),
    *,
    label: str,
    start_hour: float = 12.0,
    most_rows: int = 8,
) -> Html:
    """Draw charge and bus volts through nights, with who was off though wanted.

    Parameters
    ----------
    charge, volts : sequence of Curve
        State of charge, 0 to 1, and volts at the bus. [1], [V]
    dark : sequence of (from, to)
        Nights, in hours from the start. [h]
    off : sequence of (name, from, to)
        Times off, in hours from the start. [h]
    label : str
        What a screen reader calls it.
    start_hour : float
        Local time at the left edge. [h]
    most_rows : int
        So many names at most; the rest is counted.
    """
    last = max((curve.hours[-1] for curve in charge), default=24.0)
    names = list(dict.fromkeys(name for name, _, _ in off))
    shown = names[:most_rows]
    charge_top, charge_high, volts_top, volts_high = 12.0, 120.0, 156.0, 80.0
    rows_top = volts_top + volts_high + 14.0
    height = rows_top + 16.0 * len(shown) + (16.0 if len(names) > len(shown) else 0.0) + 22.0
    bottom = height - 20.0
    parts: list[object] = [
        _rect(_x(a, last), charge_top, _x(b, last) - _x(a, last), bottom - charge_top,
              "var(--night)")
        for a, b in dark
    ]  # fmt: skip
    percent = [Curve(one.hours, [100 * v for v in one.heights], one.dashed) for one in charge]
    parts += _strip(percent, last, charge_top, charge_high, 0.0, 100.0, "%")
    every = [value for curve in volts for value in curve.heights]
    low, high = min(every, default=0.0), max(every, default=1.0)
    room = max(0.1 * (high - low), 0.05)
    parts += _strip(volts, last, volts_top, volts_high, low - room, high + room, "V")
    for index, name in enumerate(shown):
        y = rows_top + 16.0 * index
        for who, a, b in off:
            if who == name:
                wide = max(_x(b, last) - _x(a, last), 2.0)
                parts.append(_rect(_x(a, last), y, wide, 10.0, "var(--danger)"))
        # The name stands where no bar is: before the first, or inside the sheet behind it.
        first = min(a for who, a, _ in off if who == name)
        anchor, x = ("end", _x(first, last) - 6) if first > last / 3 else ("start", LEFT + 4)
        parts.append(_text(x, y + 9, name, anchor, 12))
    if len(names) > len(shown):
        parts.append(
            _text(LEFT + 4, rows_top + 16.0 * len(shown) + 9, f"and {len(names) - len(shown)} more")
        )
    parts += _clock(start_hour, last, height - 6)
    return _svg(height, label, parts)


def hot_day(air: pd.DataFrame, *, label: str) -> Html:
    """Draw the air of each compartment through a hot day; takes the table of ``nb.hot_day``."""
    every = air[air["local"].dt.minute % 15 == 0]
    names = list(dict.fromkeys(every["compartment"]))
    figures = every[["air_c", "outside_c", "limit_c"]]
    low, high = float(figures.min().min()) - 2, float(figures.max().max()) + 3
    tall, gap, top = 84.0, 26.0, 18.0
    height = len(names) * (tall + gap) + top
    parts: list[object] = []
    for index, name in enumerate(names):
        mine = every[every["compartment"] == name]
        begin = top + index * (tall + gap)
        stamps = mine["local"]
        hours = [float(one) for one in (stamps - stamps.iloc[0]).dt.total_seconds() / 3600.0]
        inside, limit = list(mine["air_c"]), float(mine["limit_c"].iloc[0])
        for a, b in spans([one > limit for one in inside], hours):
            x = _x(a, hours[-1])
            parts.append(_rect(x, begin, _x(b, hours[-1]) - x, tall, "var(--danger-wash)",
                               stroke="var(--danger)"))  # fmt: skip
        curves = [Curve(hours, list(mine["outside_c"]), dashed=True), Curve(hours, inside)]
        parts += _strip(curves, hours[-1], begin, tall, low, high, "°C")
        y = begin + (1 - (limit - low) / (high - low)) * tall
        parts.append(
            _line(LEFT, y, WIDTH - RIGHT, y, stroke="var(--danger)", stroke_width="1.6",
                  stroke_dasharray="10 4")
        )  # fmt: skip
        over = " ▲ above its limit" if max(inside) > limit else ""
        parts.append(_text(LEFT, begin - 5, f"{name}: {max(inside):.0f} °C at most{over}", size=12))
        if index == len(names) - 1:
            parts += _clock(0.0, hours[-1], height - 4)
    return _svg(height, label, parts)
