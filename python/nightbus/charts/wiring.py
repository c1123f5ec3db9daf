"""Pictures of the wiring: volts, currents, devices, metal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core, words
from nightbus.charts.style import altair, dressed, palette_of

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan


def voltage_ladder(plan: Plan, *, nominal_v: float | None = None, dark: bool = False) -> Any:
    """Volts at every device in every case, over the window that it accepts.

    Parameters
    ----------
    plan : Plan
        What to draw.
    nominal_v : float, optional
        Only the devices of this nominal voltage, V; those of the bank when left out.
    dark : bool
        For a dark page.
    """
    alt, palette = altair(), palette_of(dark)
    nominal = {(end.kind, end.name): end.nominal_v for end in plan.data.wiring.ends}
    wanted = nominal_v if nominal_v is not None else plan.system.banks[0].nominal_v
    volts = plan.volts
    keep = [nominal.get((str(row.kind), str(row.name))) == wanted for row in volts.itertuples()]
    data = volts[keep].copy()
    low, high = data["window_low_v"], data["window_high_v"]
    data["state"] = [
        "outside its window" if bool(out) else "inside"
        for out in (data["voltage_v"] < low) | (data["voltage_v"] > high)
    ]
    seen = [*data["voltage_v"], *low[low > 0.6 * wanted].dropna(), wanted]
    seen += list(high[high < 1.4 * wanted].dropna())
    scale = alt.Scale(domain=[min(seen) - 0.02 * wanted, max(seen) + 0.02 * wanted], clamp=True)
    rows = alt.Y("name:N", sort=None, title=None)
    band = (
        alt.Chart(data)
        .mark_bar(color=palette.window, height=14, clip=True)
        .encode(
            y=rows,
            x=alt.X("window_low_v:Q", scale=scale, title="volts at the device"),
            x2="window_high_v:Q",
        )
    )
    points = (
        alt.Chart(data)
        .mark_point(size=55, filled=False, strokeWidth=1.8)
        .encode(
            y=rows,
            x=alt.X("voltage_v:Q", scale=scale),
            color=alt.Color(
                "state:N",
                title=None,
                scale=alt.Scale(
                    domain=["inside", "outside its window"], range=[palette.ink, palette.danger]
                ),
            ),
            shape=alt.Shape(
                "state:N",
                title=None,
                scale=alt.Scale(
                    domain=["inside", "outside its window"], range=["circle", "triangle-up"]
                ),
            ),
            tooltip=["name", "case", alt.Tooltip("voltage_v", format=".2f"), "state"],
        )
    )
    return dressed(
        (band + points).properties(width=560),
        f"Volts at every {wanted:g} V device, all cases",
        palette,
    )


def ampacity(plan: Plan, *, dark: bool = False) -> Any:
    """Show the current of each run against what it may carry and its overcurrent device."""
    alt, palette = altair(), palette_of(dark)
    data = plan.runs
    data = data[~data["spare"].astype(bool)]
    rows = alt.Y("run:N", sort=None, title=None)
    scale = alt.Scale(type="symlog", constant=1)
    may = (
        alt.Chart(data)
        .mark_bar(color=palette.window, height=14)
        .encode(y=rows, x=alt.X("ampacity_a:Q", title="amperes", scale=scale),
                tooltip=["run", "size", "ampacity_a", "rule"])
    )  # fmt: skip
    carries = (
        alt.Chart(data)
        .mark_bar(color=palette.accent, height=6)
        .encode(y=rows, x=alt.X("current_a:Q", scale=scale), tooltip=["run", "current_a", "case"])
    )
    device = (
        alt.Chart(data[data["rating_a"].notna()])
        .mark_tick(color=palette.danger, thickness=2.5, size=16)
        .encode(y=rows, x=alt.X("rating_a:Q", scale=scale), tooltip=["run", "device", "rating_a"])
    )
    return dressed(
        (may + carries + device).properties(width=560),
        "Band: may carry. Bar: carries. Tick: overcurrent device",
        palette,
    )


def copper_against_drop(plan: Plan, *, dark: bool = False) -> Any:
    """Show what looser or tighter drop limits would cost; needs ``trade_off_points``."""
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    points = [
        {"metal_kg": point.metal_kg, "drop_percent": 100 * point.worst_drop_ratio,
         "limits": f"× {point.limit_share:g}"}
        for point in plan.data.wiring.trade_off
        if point.feasible
    ]  # fmt: skip
    if not points:
        raise _core.Error("the plan holds no curve: make it with trade_off_points=12")
    chart = (
        alt.Chart(pd.DataFrame(points))
        .mark_line(color=palette.accent, point=alt.OverlayMarkDef(color=palette.ink, size=50))
        .encode(
            x=alt.X("drop_percent:Q", title="worst drop of any device, %"),
            y=alt.Y("metal_kg:Q", title="metal, kg"),
            tooltip=["limits", alt.Tooltip("drop_percent", format=".2f"),
                     alt.Tooltip("metal_kg", format=".2f")],
        )
        .properties(width=480, height=280)
    )  # fmt: skip
    return dressed(chart, "Metal against drop, all limits alike", palette)


def _band_rows(form: _core.OvercurrentForm, rating_a: float) -> pd.DataFrame:
    import pandas as pd

    rows = []
    for point in form.opening_of(rating_a):
        for side, seconds in (("opens at the latest", point.most_s),
                              ("may open from", point.least_s)):  # fmt: skip
            if seconds is not None and seconds > 0:
                rows.append({"current_a": point.ratio * rating_a, "time_s": seconds, "side": side})
    return pd.DataFrame(rows, columns=["current_a", "time_s", "side"])


def time_current(plan: Plan, run: str, *, dark: bool = False) -> Any:
    """Show the device of a run in time and current, with its wire, load and fault currents.

    Parameters
    ----------
    run : str
        Name of a run that has an overcurrent device with published opening times.
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    chosen = plan.run(run)
    if chosen.device is None:
        raise _core.Error(f'run "{run}" has no overcurrent device')
    form = _core.Catalogue().overcurrent_form(chosen.device.form)
    x = alt.X("current_a:Q", scale=alt.Scale(type="log"), title="amperes")
    y = alt.Y("time_s:Q", scale=alt.Scale(type="log"), title="seconds")
    layers = [
        alt.Chart(_band_rows(form, chosen.device.rating_a))
        .mark_line(point=True)
        .encode(
            x=x,
            y=y,
            strokeDash=alt.StrokeDash("side:N", title=None),
            color=alt.value(palette.accent),
        )
    ]
    damage = plan.damage_line(run)
    if damage:
        frame = pd.DataFrame(damage, columns=["current_a", "time_s"])
        layers.append(
            alt.Chart(frame).mark_line(color=palette.danger, strokeWidth=2.5).encode(x=x, y=y)
        )
    marks = pd.DataFrame(
        [
            {"current_a": chosen.current_a, "what": "load"},
            {"current_a": chosen.need.least_fault_a, "what": "short at the far end"},
            {"current_a": chosen.need.prospective_a, "what": "short right behind it"},
        ]
    )
    marks = marks[marks["current_a"] > 0]
    rules = (
        alt.Chart(marks)
        .mark_rule(strokeWidth=1.5)
        .encode(x=x, color=alt.Color("what:N", title=None,
                                     scale=alt.Scale(range=[palette.ink, palette.soft,
                                                            palette.warning])))
    )  # fmt: skip
    chart = alt.layer(*layers, rules).properties(width=520, height=360)
    title = f"{run}: {words.device(chosen.device)}; thick line: its {chosen.size} is damaged"
    return dressed(chart, title, palette)
