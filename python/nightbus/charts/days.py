"""Pictures of days: energy, months, nights, heat."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import words
from nightbus.charts.style import altair, dressed, palette_of

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan


def energy_flow(plan: Plan, *, dark: bool = False) -> Any:
    """Show who uses the day of the hardest month, and where energy is lost on the way."""
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    energy = plan.data.energy
    rows = [
        {"what": share.name, "wh": part, "part": name}
        for share in energy.loads
        for name, part in (
            ("used", share.day_wh),
            ("lost on the way", max(share.day_at_bank_wh - share.day_wh, 0.0)),
        )
    ]
    month = words.month(energy.months[energy.hardest].month) if energy.months else ""
    chart = (
        alt.Chart(pd.DataFrame(rows, columns=["what", "wh", "part"]))
        .mark_bar(height=13)
        .encode(
            y=alt.Y("what:N", sort=alt.EncodingSortField("wh", op="sum", order="descending"),
                    title=None),
            x=alt.X("sum(wh):Q", title="Wh a day at the bank"),
            color=alt.Color("part:N", title=None, sort=["used", "lost on the way"],
                            scale=alt.Scale(domain=["used", "lost on the way"],
                                            range=[palette.accent, palette.steps[4]])),
            order=alt.Order("part:N", sort="descending"),
            tooltip=["what", "part", alt.Tooltip("wh", format=".0f")],
        )
        .properties(width=560)
    )  # fmt: skip
    return dressed(chart, f"Who uses a day in {month}", palette)


def months(plan: Plan, *, dark: bool = False) -> Any:
    """Show what comes in and goes out on a mean day of each month, and the bank at sunrise."""
    alt, palette = altair(), palette_of(dark)
    data = plan.months
    data["name"] = [words.month(number)[:3] for number in data["month"]]
    data["in_wh"] = data["sun_wh"] + data["charger_wh"]
    order = list(data["name"])
    long = data.melt(
        id_vars=["name"], value_vars=["in_wh", "load_wh"], var_name="part", value_name="wh"
    )
    long["part"] = long["part"].map(
        {"in_wh": "sun and chargers give", "load_wh": "gear and losses take"}
    )
    bars = (
        alt.Chart(long)
        .mark_bar()
        .encode(
            x=alt.X("name:N", sort=order, title=None, axis=alt.Axis(labelAngle=0)),
            xOffset=alt.XOffset("part:N", sort=["sun and chargers give", "gear and losses take"]),
            y=alt.Y("wh:Q", title="Wh a day"),
            color=alt.Color(
                "part:N",
                title=None,
                scale=alt.Scale(
                    domain=["sun and chargers give", "gear and losses take"],
                    range=[palette.steps[3], palette.soft],
                ),
            ),
            tooltip=["name", "part", alt.Tooltip("wh", format=".0f")],
        )
    )
    bank = (
        alt.Chart(data)
        .mark_line(
            color=palette.ink, strokeDash=[6, 4], point=alt.OverlayMarkDef(color=palette.ink)
        )
        .encode(
            x=alt.X("name:N", sort=order),
            y=alt.Y("charge_sunrise_percent:Q", title="bank at sunrise, %",
                    scale=alt.Scale(domain=[0, 100])),
        )
    )  # fmt: skip
    chart = alt.layer(bars, bank).resolve_scale(y="independent").properties(width=600, height=260)
    return dressed(chart, "Energy by month; dashed: bank at sunrise", palette)


def heat(plan: Plan, *, dark: bool = False) -> Any:
    """Show the air of each compartment in every case, against its limit."""
    alt, palette = altair(), palette_of(dark)
    data = plan.heat
    rows = alt.Y("compartment:N", sort=None, title=None)
    band = (
        alt.Chart(data)
        .mark_bar(color=palette.window, height=16)
        .encode(y=rows, x=alt.X("max(limit_c):Q", title="°C"))
    )
    points = (
        alt.Chart(data)
        .mark_point(filled=True, size=60)
        .encode(
            y=rows,
            x="air_c:Q",
            color=alt.condition(
                "datum.air_c > datum.limit_c", alt.value(palette.danger), alt.value(palette.ink)
            ),
            shape=alt.condition(
                "datum.air_c > datum.limit_c", alt.value("triangle-up"), alt.value("circle")
            ),
            tooltip=["compartment", "case", alt.Tooltip("air_c", format=".1f"), "limit_c"],
        )
    )
    return dressed(
        (band + points).properties(width=560), "Air in all cases; band: up to the limit", palette
    )


def night(trace: pd.DataFrame, *, dark: bool = False) -> Any:
    """Show charge and bus volts over time, the night shaded; takes the frame of ``nb.simulate``."""
    alt, palette = altair(), palette_of(dark)
    clock = alt.Axis(format="%a %H:%M", labelOverlap=True)
    x = alt.X("local:T", title=None, axis=clock)
    dark_rows = trace[trace["is_night"].astype(bool)]
    # A night is what follows without a gap.
    nights = dark_rows["local"].groupby((dark_rows.index.to_series().diff() != 1).cumsum())
    spans = nights.agg(["min", "max"]).reset_index(drop=True)
    shade = (
        alt.Chart(spans.rename(columns={"min": "dusk", "max": "dawn"}))
        .mark_rect(color=palette.hair)
        .encode(x=alt.X("dusk:T", title=None, axis=clock), x2="dawn:T")
    )
    # Ten minutes are finer than the eye.
    seconds = trace["local"].diff().dt.total_seconds().median()
    trace = trace.iloc[:: max(1, round(600 / seconds))]
    charge = (
        alt.Chart(trace)
        .mark_line(color=palette.accent, strokeWidth=2.5)
        .encode(x=x, y=alt.Y("charge_percent:Q", title="charge, %",
                             scale=alt.Scale(domain=[0, 100])))
        .properties(width=640, height=180)
    )  # fmt: skip
    volts = (
        alt.Chart(trace)
        .mark_line(color=palette.ink)
        .encode(x=x, y=alt.Y("bus_v:Q", title="bus, V", scale=alt.Scale(zero=False)))
        .properties(width=640, height=140)
    )
    chart = alt.vconcat(shade + charge, shade.properties(height=140) + volts)
    return dressed(chart, "Charge and bus volts; shaded: night", palette)
