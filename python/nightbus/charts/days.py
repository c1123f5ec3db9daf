"""Pictures of hours: the night with its lock-outs, and the heat of a day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.charts.style import altair, dressed, palette_of, told_apart
from nightbus.charts.volts import BANK, bank_state_of

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan

WIDTH = 640
CLOSE_S = 600.0  # times off with less between them are drawn as one


def heat(plan: Plan, *, dark: bool = False) -> Any:
    """Draw the air of each compartment in every case, against its limit.

    Parameters
    ----------
    plan : Plan
        What to draw.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.LayerChart
        In °C; the same shapes as on the voltage ladder stand for the state of the bank.

    Raises
    ------
    Error
        When no compartment is described.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> plan = nb.plan(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg", temp_hot="35 °C"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Compartment(name="box", conductance="2 W/K"),
    ...     nb.Load(name="router", typical="12 W", compartment="box"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ]), energy=False)
    >>> "box" in charts.heat(plan).to_json()
    True
    """
    alt, palette = altair(), palette_of(dark)
    data = plan.heat
    if data.empty:
        raise _core.Error("no compartment is described: there is no heat to draw")
    state = bank_state_of(plan)
    data["bank"] = [state.get(case, "charging") for case in data["case"]]
    over = data["air_c"] > data["limit_c"]
    coldest = float(min(data["air_c"].min(), data["outside_c"].min())) - 3
    hottest = float(max(data["air_c"].max(), data["limit_c"].max())) + 4
    scale = alt.Scale(domain=[coldest, hottest])
    data["from_c"] = coldest
    rows = alt.Y("compartment:N", sort=None, title=None)
    band = (
        alt.Chart(data.drop_duplicates("compartment"))
        .mark_bar(color=palette.window, height=18)
        .encode(y=rows, x=alt.X("from_c:Q", title="air, °C", scale=scale), x2="limit_c:Q")
    )
    shape = alt.Shape(
        "bank:N", title="bank", scale=alt.Scale(domain=list(BANK), range=list(BANK.values()))
    )
    tip = ["compartment", "case", alt.Tooltip("air_c", format=".1f"), "limit_c"]

    def points(chosen: pd.DataFrame, colour: str, filled: bool) -> Any:
        return (
            alt.Chart(chosen)
            .mark_point(size=65, filled=filled, color=colour, strokeWidth=1.6, opacity=1)
            .encode(y=rows, x=alt.X("air_c:Q", scale=scale), shape=shape, tooltip=tip)
        )

    layers = [band, points(data[~over], palette.ink, False)]
    if over.any():
        layers.append(points(data[over], palette.danger, True))
    return dressed(
        alt.layer(*layers).properties(width=600, height=alt.Step(30)),
        "Air in each compartment, in every case",
        palette,
        "Band: up to its limit. Marks: one for each case. Filled: too hot.",
    )


def hot_day(air: pd.DataFrame, *, dark: bool = False) -> Any:
    """Draw the air of every compartment through a hot day; takes the table of ``nb.hot_day``.

    Parameters
    ----------
    air : pandas.DataFrame
        What ``nb.hot_day`` gives.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.VConcatChart
        One strip for each compartment, °C over the clock: its air, the air outside, its limit.

    Raises
    ------
    Error
        When no compartment is described.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> system = nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg", temp_hot="35 °C"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Compartment(name="box", conductance="2 W/K", heat_capacity="8 kJ/K"),
    ...     nb.Load(name="router", typical="12 W", compartment="box"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ])
    >>> "box" in charts.hot_day(nb.hot_day(system)).to_json()
    True
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    if air.empty:
        raise _core.Error("no compartment is described: there is no heat to draw")
    shown = air[air["local"].dt.minute % 10 == 0]
    parts = {
        "inside": ("air_c", palette.ink, [1, 0]),
        "outside": ("outside_c", palette.soft, [2, 3]),
        "limit": ("limit_c", palette.danger, [9, 4]),
    }
    names = list(dict.fromkeys(shown["compartment"]))
    figures = shown[["air_c", "outside_c", "limit_c"]]
    scale = alt.Scale(domain=[float(figures.min().min()) - 2, float(figures.max().max()) + 3])
    strips = []
    for index, name in enumerate(names):
        mine = shown[shown["compartment"] == name]
        long = pd.concat(
            [
                pd.DataFrame({"local": mine["local"], "c": mine[column], "line": line})
                for line, (column, _, _) in parts.items()
            ]
        )
        last = index == len(names) - 1
        axis = alt.Axis(format="%H:%M", labels=last, ticks=last, tickCount=8)
        line = (
            alt.Chart(long)
            .mark_line(strokeWidth=2.2)
            .encode(
                x=alt.X("local:T", title=None, axis=axis),
                y=alt.Y("c:Q", title="°C", scale=scale),
                **told_apart(alt, "line", {one: (look[1], look[2]) for one, look in parts.items()}),
            )
        )
        over = mine[mine["air_c"] > mine["limit_c"]]
        layers = [line]
        if not over.empty:
            layers.append(
                alt.Chart(over).mark_circle(color=palette.danger, size=34, opacity=1)
                .encode(x=alt.X("local:T", axis=axis), y=alt.Y("air_c:Q", scale=scale))
            )  # fmt: skip
        fans = f", fan up to step {mine['fan_step'].max():g}" if mine["fan_step"].max() else ""
        head = f"{name}: {mine['air_c'].max():.0f} °C at most{fans}"
        strips.append(
            alt.layer(*layers).properties(
                width=WIDTH,
                height=110,
                title={"text": head, "fontSize": 12, "color": palette.ink},
            )
        )
    day = shown["local"].iloc[0]
    return dressed(
        alt.vconcat(*strips, spacing=8),
        f"A hot day, {day:%d} {day:%B}: the air of each compartment",
        palette,
        "Clear sky, typical draw by schedule. Dots: above the limit.",
    )


def _nights(trace: pd.DataFrame) -> pd.DataFrame:
    """Spans of night: what follows without a gap is one."""
    dark_rows = trace[trace["is_night"].astype(bool)]
    spans = dark_rows["local"].groupby((dark_rows.index.to_series().diff() != 1).cumsum())
    found = spans.agg(["min", "max"]).reset_index(drop=True)
    return found.rename(columns={"min": "dusk", "max": "dawn"})


def lock_outs(trace: pd.DataFrame) -> pd.DataFrame:
    """Times in which a device was off though wanted; takes the table of ``nb.simulate``.

    Parameters
    ----------
    trace : pandas.DataFrame
        What ``nb.simulate`` gives.

    Returns
    -------
    pandas.DataFrame
        ``name``, local times ``off`` and ``on``, and ``times`` that it fell and came back within:
        more than one is a device that restarts again and again.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> system = nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="10 Ah"),
    ...     nb.Load(name="router", typical="30 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ])
    >>> gone = charts.lock_outs(nb.simulate(system, "2026-12-20", days=2))
    >>> list(gone["name"])  # nothing fills this small bank
    ['bank', 'router']
    """
    import pandas as pd

    rows: list[dict[str, Any]] = []
    last: dict[str, dict[str, Any]] = {}
    for one in sorted(
        trace.attrs.get("lock_outs", []), key=lambda one: (one["off"], one["kind"] != "bank")
    ):
        before = last.get(one["name"])
        if before is not None and (one["off"] - before["on"]).total_seconds() < CLOSE_S:
            before["on"], before["times"] = max(before["on"], one["on"]), before["times"] + 1
            continue
        row = {"name": one["name"], "off": one["off"], "on": one["on"], "times": 1}
        last[one["name"]] = row
        rows.append(row)
    return pd.DataFrame(rows, columns=["name", "off", "on", "times"])


def night(trace: pd.DataFrame, *, dark: bool = False) -> Any:
    """Draw charge, bus volts and lock-outs over time, the nights shaded.

    Parameters
    ----------
    trace : pandas.DataFrame
        What ``nb.simulate`` gives.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.VConcatChart
        Charge in per cent, bus volts, and a bar for each time a device was off though wanted.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> system = nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ])
    >>> "charge, %" in charts.night(nb.simulate(system, days=1)).to_json()
    True
    """
    alt, palette = altair(), palette_of(dark)
    clock = alt.Axis(format="%a %H:%M", labelOverlap=True)
    span = [trace["local"].iloc[0].isoformat(), trace["local"].iloc[-1].isoformat()]
    x_scale = alt.Scale(domain=span)
    spans = _nights(trace)
    gone = lock_outs(trace)
    # Ten minutes are finer than the eye.
    seconds = trace["local"].diff().dt.total_seconds().median()
    thinned = trace.iloc[:: max(1, round(600 / seconds))].copy()
    thinned.attrs = {}

    def shade(height: Any) -> Any:
        return (
            alt.Chart(spans)
            .mark_rect(color=palette.night)
            .encode(x=alt.X("dusk:T", title=None, axis=clock, scale=x_scale), x2="dawn:T")
            .properties(width=WIDTH, height=height)
        )

    x = alt.X("local:T", title=None, axis=clock, scale=x_scale)
    percent = alt.Y("charge_percent:Q", title="charge, %", scale=alt.Scale(domain=[0, 100]))
    charge = alt.Chart(thinned).mark_line(color=palette.accent, strokeWidth=2.5)
    volts = alt.Chart(thinned).mark_line(color=palette.ink, strokeWidth=1.6)
    strips = [
        shade(170) + charge.encode(x=x, y=percent).properties(width=WIDTH, height=170),
        shade(120)
        + volts.encode(
            x=x, y=alt.Y("bus_v:Q", title="bus, V", scale=alt.Scale(zero=False))
        ).properties(width=WIDTH, height=120),
    ]
    note = "Shaded: night. No device was off when it was wanted."
    if not gone.empty:
        # The bar of a night's length behind, and what is too short to see at least two pixels wide.
        note = "Shaded: night. Bars: off though wanted; with a figure: fell so many times."
        gone["text"] = [f"× {times}" if times > 1 else "" for times in gone["times"]]
        rows = alt.Y("name:N", sort=None, title=None)
        base = alt.Chart(gone)
        bars = base.mark_bar(color=palette.danger, height=8, minBandSize=2, stroke=palette.danger)
        text = base.mark_text(align="right", dx=-6, color=palette.ink)
        strips.append(
            alt.layer(
                shade(alt.Step(14)),
                bars.encode(x=alt.X("off:T", title=None, axis=clock, scale=x_scale), x2="on:T",
                            y=rows),
                text.encode(x=alt.X("off:T", scale=x_scale), y=rows, text="text:N"),
            ).properties(width=WIDTH, height=alt.Step(14))
        )  # fmt: skip
    return dressed(
        alt.vconcat(*strips, spacing=10), "Charge, bus volts, and who was off", palette, note
    )
