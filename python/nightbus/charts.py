"""Pictures of a plan for notebooks and papers, made with Altair: ``chart.save("x.svg")`` works too.

Each function takes a plan and returns a chart that can be changed further. Nothing is fetched.
Shape and lightness carry the meaning, so the pictures read in grey and for colour-blind eyes;
``dark=True`` draws them for a dark page.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from nightbus import _core, words

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan
    from nightbus.whatif import Influences


@dataclass(frozen=True)
class Palette:
    """Colours by meaning."""

    paper: str
    ink: str
    soft: str
    hair: str
    window: str
    accent: str
    danger: str
    warning: str
    steps: tuple[str, ...]


LIGHT = Palette(
    "#fbfaf6", "#1b252c", "#53626b", "#d8dcd8", "#cfe0dc", "#1f5a60", "#a0182f", "#8a5a00",
    ("#12343a", "#1f5a60", "#4f8a8b", "#8fb8ae", "#c9a227", "#8a5a00", "#7b4a6b"),
)  # fmt: skip
DARK = Palette(
    "#11171b", "#e7ecee", "#a5b4bc", "#2f3c44", "#2b4a4a", "#8fd0cf", "#ff98a3", "#f1bb5c",
    ("#d6efec", "#8fd0cf", "#5fa3a5", "#3f7478", "#f1bb5c", "#c98f2e", "#c79bbb"),
)  # fmt: skip


def _palette(dark: bool) -> Palette:
    return DARK if dark else LIGHT


def _altair() -> Any:
    try:
        import altair
    except ImportError as error:
        raise _core.Error("pictures need Altair: pip install 'nightbus[report]'") from error
    return altair


def _dressed(chart: Any, title: str, palette: Palette) -> Any:
    return (
        chart.properties(title=title)
        .configure(background=palette.paper, font="system-ui, sans-serif")
        .configure_view(stroke=None)
        .configure_title(color=palette.ink, anchor="start", fontSize=14)
        .configure_axis(
            labelColor=palette.ink,
            titleColor=palette.soft,
            gridColor=palette.hair,
            domainColor=palette.hair,
            tickColor=palette.hair,
            labelLimit=260,
        )
        .configure_legend(labelColor=palette.ink, titleColor=palette.soft, labelLimit=260)
    )


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
    alt, palette = _altair(), _palette(dark)
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
    return _dressed(
        (band + points).properties(width=560),
        f"Volts at every {wanted:g} V device, all cases",
        palette,
    )


def ampacity(plan: Plan, *, dark: bool = False) -> Any:
    """Show the current of each run against what it may carry and its overcurrent device."""
    alt, palette = _altair(), _palette(dark)
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
    return _dressed(
        (may + carries + device).properties(width=560),
        "Band: may carry. Bar: carries. Tick: overcurrent device",
        palette,
    )


def energy_flow(plan: Plan, *, dark: bool = False) -> Any:
    """Show who uses the day of the hardest month, and where energy is lost on the way."""
    import pandas as pd

    alt, palette = _altair(), _palette(dark)
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
    return _dressed(chart, f"Who uses a day in {month}", palette)


def months(plan: Plan, *, dark: bool = False) -> Any:
    """Show what comes in and goes out on a mean day of each month, and the bank at sunrise."""
    alt, palette = _altair(), _palette(dark)
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
    return _dressed(chart, "Energy by month; dashed: bank at sunrise", palette)


def heat(plan: Plan, *, dark: bool = False) -> Any:
    """Show the air of each compartment in every case, against its limit."""
    alt, palette = _altair(), _palette(dark)
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
    return _dressed(
        (band + points).properties(width=560), "Air in all cases; band: up to the limit", palette
    )


def copper_against_drop(plan: Plan, *, dark: bool = False) -> Any:
    """Show what looser or tighter drop limits would cost; needs ``trade_off_points``."""
    import pandas as pd

    alt, palette = _altair(), _palette(dark)
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
    return _dressed(chart, "Metal against drop, all limits alike", palette)


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

    alt, palette = _altair(), _palette(dark)
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
    return _dressed(chart, title, palette)


def what_matters(found: Influences, *, most: int = 15, dark: bool = False) -> Any:
    """Show the fields that move a figure most, each a step down and a step up."""
    import pandas as pd

    alt, palette = _altair(), _palette(dark)
    rows = [
        {"field": one.path, "low": one.low, "high": one.high, "from": min(one.low, one.high),
         "to": max(one.low, one.high)}
        for one in found.data[:most]
    ]  # fmt: skip
    data = pd.DataFrame(rows, columns=["field", "low", "high", "from", "to"])
    base = alt.Chart(data).encode(y=alt.Y("field:N", sort=None, title=None))
    bars = base.mark_bar(color=palette.window, height=10).encode(
        x=alt.X("from:Q", title=found.title, scale=alt.Scale(zero=False)), x2="to:Q"
    )
    down = base.mark_point(shape="triangle-left", filled=True, color=palette.soft, size=50).encode(
        x="low:Q"
    )
    up = base.mark_point(shape="triangle-right", filled=True, color=palette.ink, size=50).encode(
        x="high:Q"
    )
    return _dressed(
        (bars + down + up).properties(width=520), "What matters most: ◂ less, ▸ more", palette
    )


def night(trace: pd.DataFrame, *, dark: bool = False) -> Any:
    """Show charge and bus volts over time, the night shaded; takes the frame of ``nb.simulate``."""
    alt, palette = _altair(), _palette(dark)
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
    return _dressed(chart, "Charge and bus volts; shaded: night", palette)
