"""Bars of what matters most."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.charts.style import altair, dressed, palette_of
from nightbus.frames import unit_of

if TYPE_CHECKING:
    from nightbus.whatif import Influences


def what_matters(found: Influences, *, most: int = 15, dark: bool = False) -> Any:
    """Draw the fields that move a figure most, each a step down and a step up.

    Parameters
    ----------
    found : Influences
        What ``nb.what_matters`` gives.
    most : int
        So many fields, strongest first; those that move nothing are left out.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.LayerChart
        Of each field the span of the figure, hollow a step less, filled a step more.

    Raises
    ------
    Error
        When no field moves the figure.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="9 m"),
    ... ])
    >>> "router" in nb.what_matters(system).chart().to_json()
    True
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    strongest = max((abs(one.swing) for one in found.data), default=0.0)
    rows = [
        {"field": one.path.replace("_", " ").replace(".", " · "), "low": one.low,
         "high": one.high, "from": min(one.low, one.high), "to": max(one.low, one.high)}
        for one in found.data[:most]
        if abs(one.swing) > 5e-3 * strongest
    ]  # fmt: skip
    if not rows:
        raise _core.Error(f"no field moves {found.title}")
    data = pd.DataFrame(rows, columns=["field", "low", "high", "from", "to"])
    unit = unit_of(found.figure)
    title = f"{found.title}, {unit}" if unit else found.title
    data["span"] = [f"{a:.4g} … {b:.4g}" for a, b in zip(data["low"], data["high"], strict=True)]
    base = alt.Chart(data).encode(y=alt.Y("field:N", sort=None, title=None))
    bars = base.mark_bar(color=palette.window, height=13).encode(
        x=alt.X("from:Q", title=title, scale=alt.Scale(zero=False, padding=12)), x2="to:Q"
    )
    down = base.mark_point(shape="triangle-left", color=palette.ink, size=60, opacity=1).encode(
        x="low:Q", tooltip=["field", "low"]
    )
    up = base.mark_point(
        shape="triangle-right", filled=True, color=palette.ink, size=60, opacity=1
    ).encode(x="high:Q", tooltip=["field", "high"])
    text = base.mark_text(align="left", color=palette.ink).encode(x=alt.value(532), text="span:N")
    return dressed(
        (bars + down + up + text).properties(width=520, height=alt.Step(20)),
        f"What moves the {found.title} most",
        palette,
        "Hollow: the field a step less. Filled: a step more. Right: the figure at both.",
    )
