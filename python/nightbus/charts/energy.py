"""Pictures of energy: who uses a day and where it is lost, and the twelve months."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core, words
from nightbus.charts.style import altair, dressed, palette_of

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan

#: Parts of the ledger of a day, in the order of the picture, and whether energy comes in by them.
LEDGER = {
    "array_wh": ("sun, from the array", True),
    "charger_wh": ("chargers", True),
    "delivered_wh": ("the gear", False),
    "converter_loss_wh": ("lost in converters", False),
    "wire_loss_wh": ("lost in cables", False),
    "controller_loss_wh": ("lost in the controller", False),
    "controller_standby_wh": ("standby of the controller", False),
    "bank_standby_wh": ("standby of the bank", False),
    "bank_resistance_wh": ("lost inside the bank", False),
    "bank_charge_loss_wh": ("lost in charging", False),
    "self_discharge_wh": ("self-discharge", False),
}
IN, OUT = "comes in", "goes out"
USED, LOST = "at the device", "lost on the way"


def _needs_energy(plan: Plan) -> _core.EnergyPlan:
    energy = plan.data.energy
    if not energy.months:
        raise _core.Error(energy.why_not or "the plan holds no days: make it with energy=True")
    return energy


def _ledger_rows(energy: _core.EnergyPlan) -> pd.DataFrame:
    import pandas as pd

    rows = [
        {"what": text, "wh": energy.ledger[key], "way": IN if comes else OUT}
        for key, (text, comes) in LEDGER.items()
        if energy.ledger.get(key, 0.0) > 0.5
    ]
    stored = energy.ledger.get("stored_change_wh", 0.0)
    bank = {"what": "out of the bank" if stored < 0 else "into the bank", "wh": abs(stored),
            "way": IN if stored < 0 else OUT}  # fmt: skip
    place = sum(row["way"] == IN for row in rows) if stored < 0 else len(rows)
    if abs(stored) > 0.5:
        rows.insert(place, bank)
    return pd.DataFrame(rows, columns=["what", "wh", "way"])


def energy_flow(plan: Plan, *, dark: bool = False) -> Any:
    """Draw the day of the hardest month: what came in, where it went, and who used it.

    Parameters
    ----------
    plan : Plan
        Made with ``energy=True``.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.VConcatChart
        Above the ledger of the day in watt-hours, below each consumer with its share of losses.

    Raises
    ------
    Error
        When the plan holds no days.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> plan = nb.plan(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ]))
    >>> "lost on the way" in charts.energy_flow(plan).to_json()
    True
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    energy = _needs_energy(plan)
    ledger = _ledger_rows(energy)
    rows = [
        {"what": share.name, "wh": part, "part": name}
        for share in energy.loads
        if share.day_at_bank_wh > 0.0
        for name, part in (
            (USED, share.day_wh),
            (LOST, max(share.day_at_bank_wh - share.day_wh, 0.0)),
        )
    ]
    users = pd.DataFrame(rows, columns=["what", "wh", "part"])
    highest = alt.Scale(domain=[0, max([1.0, *ledger["wh"]]) * 1.12])
    order = list(ledger["what"])
    flow = alt.Chart(ledger)
    bars = flow.mark_bar(height=14, stroke=palette.ink, strokeWidth=0.8).encode(
        y=alt.Y("what:N", sort=order, title=None),
        x=alt.X("wh:Q", title=None, scale=highest),
        color=_two(alt, "way", {IN: palette.second, OUT: palette.first}),
        tooltip=["what", "way", alt.Tooltip("wh", format=".0f")],
    )
    figures = flow.mark_text(align="left", dx=5, color=palette.ink).encode(
        y=alt.Y("what:N", sort=order),
        x="wh:Q",
        text=alt.Text("wh:Q", format=",.0f"),
    )
    consumers = (
        alt.Chart(users)
        .mark_bar(height=13, stroke=palette.ink, strokeWidth=0.8)
        .encode(
            y=alt.Y("what:N", title=None,
                    sort=alt.EncodingSortField("wh", op="sum", order="descending")),
            x=alt.X("sum(wh):Q", title="Wh a day, at the bank"),
            color=_two(alt, "part", {USED: palette.first, LOST: palette.second}),
            order=alt.Order("part:N"),
            tooltip=["what", "part", alt.Tooltip("wh", format=".0f")],
        )
        .properties(width=560, height=alt.Step(18), title=_small(palette, "Who uses it"))
    )  # fmt: skip
    top = alt.layer(bars, figures).properties(
        width=560, height=alt.Step(19), title=_small(palette, "What comes in and where it goes")
    )
    month = words.month(energy.months[energy.hardest].month)
    stacked = alt.vconcat(top, consumers).resolve_scale(color="independent", y="independent")
    return dressed(stacked, f"A mean day in {month}, the hardest month, in Wh", palette)


def _small(palette: Any, text: str) -> dict[str, Any]:
    return {"text": text, "fontSize": 12, "color": palette.soft}


def _two(alt: Any, field: str, colours: dict[str, str]) -> Any:
    scale = alt.Scale(domain=list(colours), range=list(colours.values()))
    return alt.Color(f"{field}:N", title=None, sort=list(colours), scale=scale)


def months(plan: Plan, *, dark: bool = False) -> Any:
    """Draw the months: what comes in and goes out, the bank at sunrise, when it is full again.

    Parameters
    ----------
    plan : Plan
        Made with ``energy=True``.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.VConcatChart
        Watt-hours of a mean day; per cent of charge; hours from sunrise until full; days that the
        bank lasts with nothing coming in.

    Raises
    ------
    Error
        When the plan holds no days.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> plan = nb.plan(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ]))
    >>> "never" in charts.months(plan).to_json()  # nothing fills this bank
    True
    """
    alt, palette = altair(), palette_of(dark)
    _needs_energy(plan)
    data = plan.months
    data["name"] = [words.month(number)[:3] for number in data["month"]]
    data["in_wh"] = data["sun_wh"] + data["charger_wh"]
    data["full"] = [
        "never" if never else words.hours(hours)
        for never, hours in zip(data["never_full"], data["to_full_h"], strict=True)
    ]
    data["lasts"] = [words.days(days) for days in data["to_reserve_days"]]
    order = list(data["name"])
    gives, takes = "sun and chargers give", "gear and losses take"
    long = data.melt(
        id_vars=["name"], value_vars=["in_wh", "load_wh"], var_name="part", value_name="wh"
    )
    long["part"] = long["part"].map({"in_wh": gives, "load_wh": takes})
    bars = (
        alt.Chart(long)
        .mark_bar(stroke=palette.ink, strokeWidth=0.8)
        .encode(
            x=alt.X("name:N", sort=order, title=None, axis=alt.Axis(labels=False, ticks=False)),
            xOffset=alt.XOffset("part:N", sort=[gives, takes]),
            y=alt.Y("wh:Q", title="Wh a day"),
            color=_two(alt, "part", {gives: palette.second, takes: palette.first}),
            tooltip=["name", "part", alt.Tooltip("wh", format=".0f")],
        )
        .properties(width=640, height=210)
    )
    x = alt.X("name:N", sort=order, title=None, axis=alt.Axis(labelAngle=0, orient="top"))
    percent = alt.Y(
        "charge_sunrise_percent:Q",
        title="bank at sunrise, %",
        scale=alt.Scale(domain=[0, 100]),
        axis=alt.Axis(values=[0, 50, 100]),
    )
    bank = (
        alt.Chart(data)
        .mark_line(
            color=palette.ink, strokeWidth=2, point=alt.OverlayMarkDef(color=palette.ink, size=40)
        )
        .encode(x=x, y=percent)
        .properties(width=640, height=90)
    )

    def strip(field: str, title: str, bad: str) -> Any:
        base = (
            alt.Chart(data)
            .transform_calculate(row=f"'{title}'")
            .encode(
                x=alt.X("name:N", sort=order, title=None, axis=None),
                y=alt.Y("row:N", title=None, axis=alt.Axis(ticks=False, domain=False)),
                text=f"{field}:N",
            )
        )
        # What is bad is bold as well as red.
        fine = base.transform_filter(f"!({bad})").mark_text(fontSize=12, color=palette.ink)
        worse = base.transform_filter(bad).mark_text(
            fontSize=12, color=palette.danger, fontWeight="bold"
        )
        return alt.layer(fine, worse).properties(width=640, height=20)

    stacked = alt.vconcat(
        bars,
        bank,
        strip("full", "full after sunrise", "datum.full == 'never'"),
        strip("lasts", "lasts without sun", "datum.to_reserve_days < 0.95"),
        spacing=6,
    )
    return dressed(
        stacked,
        "Mean days of the months",
        palette,
        "Lasts: from full down to the reserve, with nothing coming in.",
    )
