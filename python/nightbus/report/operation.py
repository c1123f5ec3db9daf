"""How it runs: volts, night and sun, heat."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from nightbus import _core, words
from nightbus.playing import Sky, play
from nightbus.report import nights, pictures
from nightbus.report.common import (
    KIND_OF,
    number,
    percent_text,
    section,
    severity_of,
)
from nightbus.report.html import Html, el, join, table
from nightbus.simulating import hot_day

if TYPE_CHECKING:
    from nightbus.planning import Plan


def volts(plan: Plan) -> Html:
    """What every device sees, against its window."""
    marks = severity_of(plan)
    rows, classes = [], []
    frame = plan.loads
    for row in frame.itertuples():
        rows.append(
            [
                str(row.name),
                str(row.kind),
                words.volts(number(row.lowest_v)),
                str(row.lowest_case),
                words.volts(number(row.highest_v)),
                f"{words.volts(number(row.window_low_v))} to "
                f"{words.volts(number(row.window_high_v))}",
                words.volts(number(row.margin_v)),
                percent_text(row.drop_percent),
                percent_text(row.limit_percent or None),
            ]
        )
        kind = KIND_OF.get(str(row.kind), str(row.kind))
        classes.append(marks.get((kind, str(row.name)), ""))
    ladders = [
        join(el("h3", f"{title} side"), picture)
        for title, picture in pictures.voltage_ladders(plan)
    ]
    return section(
        "volts",
        "Voltage at every device",
        el(
            "p",
            "The band is the window that a device accepts, each ring its volts in one case; "
            "▲ and a filled ring: outside.",
            class_="key",
        ),
        ladders,
        el(
            "div",
            table(
                [
                    ("device", ""),
                    ("what", ""),
                    ("lowest", "number"),
                    ("in case", ""),
                    ("highest", "number"),
                    ("accepts", "number"),
                    ("least margin", "number"),
                    ("drop", "number"),
                    ("limit", "number"),
                ],
                rows,
                label="Voltage at every device",
                row_classes=classes,
            ),
            class_="cards",
        ),
    )


def _hardest_night(plan: Plan) -> Html | None:
    """Two days around the longest-drawn night, played step by step, from a full bank at noon."""
    energy = plan.data.energy
    month = energy.months[energy.hardest]
    air_c = tuple(one.outside_c for one in energy.months) if len(energy.months) == 12 else ()
    try:
        played = play(
            plan.wired, date(2026, month.month, 21), 2, step_s=600.0, sky=Sky(air_c=air_c)
        )
    except _core.Error:
        return None
    start_s = float(played.time_s[0])
    hours = [float(one - start_s) / 3600.0 for one in played.time_s]
    off = [
        (one.name, (one.from_s - start_s) / 3600.0, (one.to_s - start_s) / 3600.0)
        for one in played.outages
    ]
    name = words.month(month.month)
    told = "Bars: off though wanted." if off else "Nothing is off when it is wanted."
    return join(
        el("h3", f"Two days in {name}, from a full bank at noon"),
        el("p", f"Charge, and volts at the bus; shaded: night. {told}", class_="key"),
        nights.night(
            [nights.Curve(hours, [float(one) for one in played.charge(plan.system)])],
            [nights.Curve(hours, [float(one) for one in played.one("bus_voltage")])],
            nights.spans(list(played.night), hours),
            off,
            label=f"Charge and volts at the bus over two days in {name}",
        ),
    )


def night(plan: Plan) -> Html:
    """Day, night and sun."""
    energy = plan.data.energy
    if not energy.done or not energy.months:
        return section("night", "Night and sun", el("p", energy.why_not or "Not computed."))
    hardest = energy.months[energy.hardest]
    rows, classes = [], []
    for index, month in enumerate(energy.months):
        rows.append(
            [
                words.month(month.month),
                f"{month.sunset_local} to {month.sunrise_local}" if not month.polar else "polar",
                words.amp_hours(month.night_ah),
                words.percent(month.charge_sunrise, 0),
                words.volts(month.lowest_v),
                words.watt_hours(month.load_wh),
                words.watt_hours(month.sun_wh),
                words.watt_hours(month.charger_wh),
                "never" if month.never_full else words.hours(month.hours_to_full),
                words.days(month.days_to_reserve),
                words.days(month.days_to_dark),
            ]
        )
        classes.append("warning" if index == energy.hardest else "")
    shares = sorted(energy.loads, key=lambda share: -share.night_at_bank_wh)
    return section(
        "night",
        "Night and sun",
        el(
            "p",
            f"The hardest month is {words.month(hardest.month)}. The bank holds "
            f"{words.watt_hours(energy.usable_wh)} ({words.amp_hours(energy.usable_ah)}) down to "
            f"its reserve, aged.",
        ),
        el(
            "p",
            "Mean days, no forecast. Takes: out of the bank from sunset to sunrise. "
            "Days to reserve and to the first device off: with nothing coming in.",
            class_="lead",
        ),
        pictures.months(plan),
        el(
            "div",
            table(
                [
                    ("month", ""),
                    ("night, local", "number"),
                    ("takes", "number"),
                    ("charge at sunrise", "number"),
                    ("lowest bank", "number"),
                    ("gear and losses a day", "number"),
                    ("sun a day", "number"),
                    ("chargers a day", "number"),
                    ("full after sunrise", "number"),
                    ("days to reserve", "number"),
                    ("days to first device off", "number"),
                ],
                rows,
                label="Mean day and night of each month",
                row_classes=classes,
            ),
            class_="cards",
        ),
        _hardest_night(plan),
        el("h3", f"Who uses the night in {words.month(hardest.month)}"),
        el(
            "div",
            table(
                [
                    ("consumer", ""),
                    ("what", ""),
                    ("day", "number"),
                    ("night", "number"),
                    ("day, at the bank", "number"),
                    ("night, at the bank", "number"),
                    ("night, in Ah", "number"),
                ],
                [
                    [
                        share.name,
                        share.kind,
                        words.watt_hours(share.day_wh),
                        words.watt_hours(share.night_wh),
                        words.watt_hours(share.day_at_bank_wh),
                        words.watt_hours(share.night_at_bank_wh),
                        words.amp_hours(share.night_ah),
                    ]
                    for share in shares
                ],
                label="Consumers, with their share of all losses at the bank",
            ),
            class_="cards",
        ),
        el(
            "p",
            f"Of the day, {words.watt_hours(energy.devices_wh)} reach the gear; "
            f"{words.watt_hours(energy.converter_loss_wh)} are lost in converters, "
            f"{words.watt_hours(energy.cable_loss_wh)} in cables, "
            f"{words.watt_hours(energy.standby_wh)} in standby.",
        ),
    )


def _hot_day(plan: Plan) -> Html | None:
    try:
        air = hot_day(plan)
    except _core.Error:
        return None
    day = air["local"].iloc[0]
    return join(
        el("h3", f"Through a hot day, {day.day} {day:%B}"),
        el(
            "p",
            "Clear sky, typical draw by schedule. Solid: inside. Short dashes: outside. Long "
            "dashes: the limit.",
            class_="key",
        ),
        nights.hot_day(air, label="Air of every compartment through a hot day"),
    )


def heat(plan: Plan) -> Html:
    """Air in the compartments."""
    compartments = plan.data.heat.compartments
    if not compartments:
        return section(
            "heat", "Heat", el("p", "No compartment is described: heat was not considered.")
        )
    rows, classes = [], []
    for compartment in compartments:
        hottest = compartment.cases[compartment.hottest]
        rows.append(
            [
                compartment.name,
                hottest.case_name,
                words.celsius(hottest.outside_c),
                words.watts(hottest.heat.total_w),
                words.celsius(hottest.temp_c),
                words.celsius(compartment.limit_c),
                f"{hottest.fan_step:.1f}" if compartment.flow_m3s > 0 else "no fan",
                words.flow(compartment.flow_m3s) if compartment.flow_m3s > 0 else words.NONE,
                words.air_needed(compartment),
                words.celsius(compartment.fans_off_c),
            ]
        )
        over = hottest.temp_c > compartment.limit_c
        classes.append("danger" if over else "")
    return section(
        "heat",
        "Heat",
        el(
            "p",
            "Dot: air in the hottest case, fans by their thermostats. Numbered ticks: with the "
            "fans held at that step. Band: up to the limit.",
            class_="key",
        ),
        pictures.heat(plan),
        el(
            "div",
            table(
                [
                    ("compartment", ""),
                    ("hottest case", ""),
                    ("outside", "number"),
                    ("heat", "number"),
                    ("air", "number"),
                    ("limit", "number"),
                    ("fan step", "number"),
                    ("fans give", "number"),
                    ("needs", "number"),
                    ("fans still", "number"),
                ],
                rows,
                label="Compartments in their hottest case",
                row_classes=classes,
            ),
            class_="cards",
        ),
        _hot_day(plan),
    )
