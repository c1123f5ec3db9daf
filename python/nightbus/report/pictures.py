"""Small pictures of the report, drawn here so that they follow the page into dark and print."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import words
from nightbus.report.html import Html, el

if TYPE_CHECKING:
    from nightbus.frames import Device
    from nightbus.planning import Plan

WIDTH = 900.0


def _text(x: float, y: float, text: str, anchor: str = "start", size: float = 12) -> Html:
    return el(
        "text",
        text,
        x=f"{x:.1f}",
        y=f"{y:.1f}",
        text_anchor=anchor,
        font_size=f"{size:g}",
        fill="var(--ink)" if size >= 12 else "var(--soft)",
    )


def _rect(x: float, y: float, width: float, height: float, fill: str, **more: str) -> Html:
    return el(
        "rect",
        x=f"{x:.1f}",
        y=f"{y:.1f}",
        width=f"{max(width, 0):.1f}",
        height=f"{max(height, 0):.1f}",
        fill=fill,
        **more,
    )


def _line(x1: float, y1: float, x2: float, y2: float, **more: str) -> Html:
    style = {"stroke": "var(--hair)", "stroke_width": "1", **more}
    return el("line", x1=f"{x1:.1f}", y1=f"{y1:.1f}", x2=f"{x2:.1f}", y2=f"{y2:.1f}", **style)


def _svg(height: float, label: str, *children: object) -> Html:
    picture = el(
        "svg",
        el("title", label),
        *children,
        class_="chart",
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH:.0f} {height:.0f}",
        width=f"{WIDTH:.0f}",
        height=f"{height:.0f}",
        role="img",
        aria_label=label,
        font_family="system-ui, sans-serif",
    )
    # On a phone it scrolls sideways instead of shrinking until nobody can read it.
    return el("div", picture, class_="picture", tabindex="0", role="region", aria_label=label)


def ticks(low: float, high: float, about: int = 6) -> list[float]:
    """Round numbers from low to high.

    Examples
    --------
    >>> from nightbus.report.pictures import ticks
    >>> ticks(9.2, 14.8)
    [10.0, 11.0, 12.0, 13.0, 14.0]
    """
    span = high - low
    if span <= 0:
        return [low]
    rough = span / about
    power = 10.0 ** _floor_log10(rough)
    step = next(s * power for s in (1, 2, 5, 10) if s * power >= rough * 0.999)
    first = -(-low // step) * step
    count = int((high - first) / step + 1e-9) + 1
    return [round(first + i * step, 10) for i in range(count)]


def _floor_log10(value: float) -> int:
    exponent = 0
    while value >= 10:
        value /= 10
        exponent += 1
    while value < 1:
        value *= 10
        exponent -= 1
    return exponent


def voltage_ladders(plan: Plan) -> list[tuple[str, Html]]:
    """One picture for each nominal voltage: window of each device and volts in every case."""
    nominal = {(end.kind, end.name): end.nominal_v for end in plan.data.wiring.ends}
    groups: dict[float, dict[str, list[Device]]] = {}
    for device in plan.devices:
        volts = nominal.get((device.kind, device.name))
        if volts is not None:
            groups.setdefault(volts, {}).setdefault(device.name, []).append(device)
    return [
        (f"{volts:g} V", _ladder(f"{volts:g} V", volts, members))
        for volts, members in sorted(groups.items())
    ]


def _is_out(answer: Device) -> bool:
    return (answer.above_low_v is not None and answer.above_low_v < 0) or (
        answer.below_high_v is not None and answer.below_high_v < 0
    )


def _ladder(title: str, nominal_v: float, members: dict[str, list[Device]]) -> Html:
    values = [answer.voltage_v for answers in members.values() for answer in answers]
    windows = [
        edge
        for answers in members.values()
        for edge in (answers[0].window_low_v, answers[0].window_high_v)
        if edge is not None and 0.7 * nominal_v <= edge <= 1.35 * nominal_v
    ]
    low = min([*values, *windows, 0.95 * nominal_v])
    high = max([*values, *windows, 1.05 * nominal_v])
    low, high = low - 0.03 * nominal_v, high + 0.03 * nominal_v
    left, right, row, top = 190.0, 20.0, 24.0, 30.0
    height = top + row * len(members) + 28

    def x(volts: float) -> float:
        share = (min(max(volts, low), high) - low) / (high - low)
        return left + share * (WIDTH - left - right)

    parts: list[object] = []
    for tick in ticks(low, high, 8):
        parts += [
            _line(x(tick), top - 6, x(tick), height - 24),
            _text(x(tick), top - 11, f"{tick:g} V", "middle", 11),
        ]
    for index, (name, answers) in enumerate(members.items()):
        y = top + row * index + row / 2
        first = answers[0]
        begin = low if first.window_low_v is None else first.window_low_v
        end = high if first.window_high_v is None else first.window_high_v
        if first.window_low_v is not None or first.window_high_v is not None:
            parts.append(_rect(x(begin), y - 8, x(end) - x(begin), 16, "var(--window)", rx="3"))
        lowest = min(answer.voltage_v for answer in answers)
        highest = max(answer.voltage_v for answer in answers)
        outside = any(_is_out(answer) for answer in answers)
        parts.append(_line(x(lowest), y, x(highest), y, stroke="var(--ink)", stroke_width="2"))
        for answer in answers:
            out = _is_out(answer)
            colour = "var(--danger)" if out else "var(--ink)"
            parts.append(
                el(
                    "circle",
                    el("title", f"{name}: {words.volts(answer.voltage_v)}, {answer.case}"),
                    cx=f"{x(answer.voltage_v):.1f}",
                    cy=f"{y:.1f}",
                    r="3.6",
                    fill=colour if out else "var(--paper)",
                    stroke=colour,
                    stroke_width="1.6",
                )
            )
        shown = name if len(name) <= 26 else name[:25] + "…"
        parts.append(_text(left - 10, y + 4, ("▲ " if outside else "") + shown, "end", 12))
    return _svg(height, f"Volts at every {title} device in every case, and its window", parts)


def months(plan: Plan) -> Html:
    """Sun and use by month, and the charge of the bank at sunrise."""
    data = plan.data.energy.months
    top, bottom, left, right = 26.0, 46.0, 64.0, 52.0
    height = 270.0
    most = max([1.0, *(max(m.sun_wh + m.charger_wh, m.load_wh) for m in data)])
    scale = ticks(0, most * 1.08, 5)
    highest = max(scale[-1], most * 1.08)
    slot = (WIDTH - left - right) / max(len(data), 1)

    def y(wh: float) -> float:
        return top + (1 - wh / highest) * (height - top - bottom)

    def y_share(share: float) -> float:
        return top + (1 - share) * (height - top - bottom)

    parts: list[object] = [_text(4, 14, "Wh a day", size=11)]
    parts.append(_text(WIDTH - 4, 14, "charge at sunrise", "end", 11))
    for tick in scale:
        parts += [
            _line(left, y(tick), WIDTH - right, y(tick)),
            _text(left - 8, y(tick) + 4, f"{tick:,.0f}".replace(",", " "), "end", 11),
        ]
    for share in (0.0, 0.5, 1.0):
        parts.append(_text(WIDTH - right + 8, y_share(share) + 4, f"{100 * share:.0f} %", size=11))
    points = []
    for index, month in enumerate(data):
        begin = left + slot * index
        name = words.month(month.month)
        parts += [
            el(
                "g",
                el(
                    "title",
                    f"{name}: sun {words.watt_hours(month.sun_wh)}, chargers "
                    f"{words.watt_hours(month.charger_wh)}, use {words.watt_hours(month.load_wh)}",
                ),
                _rect(
                    begin + slot * 0.14,
                    y(month.sun_wh + month.charger_wh),
                    slot * 0.34,
                    y(0) - y(month.sun_wh + month.charger_wh),
                    "var(--window)",
                    stroke="var(--accent)",
                ),
                _rect(
                    begin + slot * 0.52,
                    y(month.load_wh),
                    slot * 0.34,
                    y(0) - y(month.load_wh),
                    "var(--soft)",
                ),
            ),
            _text(begin + slot / 2, height - 28, name[:3], "middle", 12),
        ]
        points.append(f"{begin + slot / 2:.1f},{y_share(month.charge_sunrise):.1f}")
    parts.append(
        el(
            "polyline",
            points=" ".join(points),
            fill="none",
            stroke="var(--ink)",
            stroke_width="2",
            stroke_dasharray="6 4",
        )
    )
    parts += [
        _rect(left, height - 14, 12, 10, "var(--window)", stroke="var(--accent)"),
        _text(left + 18, height - 5, "sun and chargers give", size=11),
        _rect(left + 190, height - 14, 12, 10, "var(--soft)"),
        _text(left + 208, height - 5, "gear and losses take", size=11),
        _line(
            left + 380,
            height - 9,
            left + 410,
            height - 9,
            stroke="var(--ink)",
            stroke_width="2",
            stroke_dasharray="6 4",
        ),
        _text(left + 416, height - 5, "bank at sunrise", size=11),
    ]
    return _svg(height, "Energy that comes in and goes out on a mean day of each month", parts)


def heat(plan: Plan) -> Html:
    """Air of each compartment in its hottest case, at every fan step, against its limit."""
    compartments = plan.data.heat.compartments
    temps = [c.cases[c.hottest].temp_c for c in compartments]
    temps += [temp for c in compartments for temp in c.temp_at_step_c]
    temps += [c.limit_c for c in compartments] + [
        c.cases[c.hottest].outside_c for c in compartments
    ]
    low, high = min(temps) - 4, max(temps) + 4
    left, right, row, top = 190.0, 20.0, 34.0, 30.0
    height = top + row * len(compartments) + 14

    def x(temp: float) -> float:
        return left + (temp - low) / (high - low) * (WIDTH - left - right)

    parts: list[object] = []
    for tick in ticks(low, high, 8):
        parts += [
            _line(x(tick), top - 6, x(tick), height - 10),
            _text(x(tick), top - 11, f"{tick:g} °C", "middle", 11),
        ]
    for index, compartment in enumerate(compartments):
        y = top + row * index + row / 2
        hottest = compartment.cases[compartment.hottest]
        over = hottest.temp_c > compartment.limit_c
        colour = "var(--danger)" if over else "var(--ink)"
        parts.append(_text(left - 10, y + 4, ("▲ " if over else "") + compartment.name, "end", 12))
        parts.append(
            _rect(x(low), y - 7, x(compartment.limit_c) - x(low), 14, "var(--window)", rx="3")
        )
        for step, temp in enumerate(compartment.temp_at_step_c):
            parts += [
                _line(x(temp), y - 6, x(temp), y + 6, stroke="var(--soft)", stroke_width="1.5"),
                _text(x(temp), y + 16, str(step), "middle", 10),
            ]
        parts.append(
            el(
                "circle",
                el(
                    "title",
                    f"{compartment.name}: {words.celsius(hottest.temp_c)}, {hottest.case_name}",
                ),
                cx=f"{x(hottest.temp_c):.1f}",
                cy=f"{y:.1f}",
                r="5.5",
                fill=colour,
            )
        )
    return _svg(height, "Air in each compartment in its hottest case, against its limit", parts)
