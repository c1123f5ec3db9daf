"""The voltage ladder: from the bank to each device, in every case."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.charts.style import altair, dressed, palette_of

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan

BANK = {"low": "triangle-down", "rest": "circle", "charging": "triangle-up"}


def bank_state_of(plan: Plan) -> dict[str, str]:
    """State of the bank in each case, by the name of the case: low, rest or charging."""
    described = list(plan.system.cases) or list(_core.default_cases())
    known = {case.name: case.bank for case in described}
    # The plan adds a case of its own, in which the chargers give all they can.
    return {case.name: known.get(case.name, "charging") for case in plan.case_results}


def _rows(plan: Plan, wanted: float) -> pd.DataFrame:
    """Volts of the banks and of every device of one nominal voltage."""
    import pandas as pd

    nominal = {(end.kind, end.name): end.nominal_v for end in plan.data.wiring.ends}
    state = bank_state_of(plan)
    rows: list[dict[str, Any]] = []
    for index, bank in enumerate(plan.system.banks):
        if bank.nominal_v == wanted:
            rows += [
                {"name": bank.name, "case": case.name, "voltage_v": case.banks[index].voltage_v}
                for case in plan.case_results
            ]
    for device in plan.devices:
        if nominal.get((device.kind, device.name)) == wanted:
            rows.append(
                {
                    "name": device.name,
                    "case": device.case,
                    "voltage_v": device.voltage_v,
                    "window_low_v": device.window_low_v,
                    "window_high_v": device.window_high_v,
                }
            )
    names = ["name", "case", "voltage_v", "window_low_v", "window_high_v"]
    data = pd.DataFrame(rows, columns=names)
    data["bank"] = data["case"].map(state)
    data["outside"] = (data["voltage_v"] < data["window_low_v"]) | (
        data["voltage_v"] > data["window_high_v"]
    )
    return data


def voltage_ladder(plan: Plan, *, nominal_v: float | str | None = None, dark: bool = False) -> Any:
    """Draw the volts of the bank and of every device in every case, over each device's window.

    Parameters
    ----------
    plan : Plan
        What to draw.
    nominal_v : float or str, optional
        Only the devices of this nominal voltage, ``54.0`` or ``"54 V"``; those of the bank when
        left out. [V]
    dark : bool
        For a dark page.

    Returns
    -------
    altair.LayerChart
        Can be changed further; ``save("x.svg")`` works without a browser.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> plan = nb.plan(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ]), energy=False)
    >>> "router" in charts.voltage_ladder(plan).to_json()
    True
    """
    alt, palette = altair(), palette_of(dark)
    if isinstance(nominal_v, str):
        nominal_v = _core.quantity(nominal_v, _core.Dimension.voltage)
    wanted = nominal_v if nominal_v is not None else plan.system.banks[0].nominal_v
    data = _rows(plan, wanted)
    low, high = data["window_low_v"], data["window_high_v"]
    seen = [*data["voltage_v"], *low[low > 0.7 * wanted].dropna(), wanted]
    seen += list(high[high < 1.35 * wanted].dropna())
    bottom, top = min(seen) - 0.02 * wanted, max(seen) + 0.02 * wanted
    # A window that goes on beyond the picture is drawn to its edge.
    stated = low.notna() | high.notna()
    data["band_low"] = low.fillna(bottom).clip(lower=bottom)
    data["band_high"] = high.fillna(top).clip(upper=top)
    scale = alt.Scale(domain=[bottom, top])
    bad = sorted(set(data.loc[data["outside"], "name"]))
    rows = alt.Y(
        "name:N",
        sort=list(dict.fromkeys(data["name"])),
        title=None,
        axis=alt.Axis(
            labelColor=alt.condition(
                alt.FieldOneOfPredicate("value", bad), alt.value(palette.danger),
                alt.value(palette.ink),
            ),
            labelFontWeight=alt.condition(
                alt.FieldOneOfPredicate("value", bad), alt.value("bold"), alt.value("normal")
            ),
        ),
    )  # fmt: skip
    band = (
        alt.Chart(data[stated].drop_duplicates("name"))
        .mark_bar(color=palette.window, height=15)
        .encode(
            y=rows, x=alt.X("band_low:Q", scale=scale, title="V at the device"), x2="band_high:Q"
        )
    )
    shape = alt.Shape(
        "bank:N", title="bank", scale=alt.Scale(domain=list(BANK), range=list(BANK.values()))
    )
    tip = ["name", "case", alt.Tooltip("voltage_v", format=".2f")]

    def points(chosen: pd.DataFrame, colour: str, filled: bool) -> Any:
        return (
            alt.Chart(chosen)
            .mark_point(size=60, filled=filled, color=colour, strokeWidth=1.6, opacity=1)
            .encode(y=rows, x=alt.X("voltage_v:Q", scale=scale), shape=shape, tooltip=tip)
        )

    layers = [band, points(data[~data["outside"]], palette.ink, False)]
    if bad:
        layers.append(points(data[data["outside"]], palette.danger, True))
    return dressed(
        alt.layer(*layers).properties(width=600, height=alt.Step(21)),
        f"Volts at the bank and at every {wanted:g} V device",
        palette,
        "Band: the window that a device accepts. Marks: one for each case. "
        "Filled, name in bold: outside.",
    )
