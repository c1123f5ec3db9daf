"""Bars of what matters most."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus.charts.style import altair, dressed, palette_of

if TYPE_CHECKING:
    from nightbus.whatif import Influences


def what_matters(found: Influences, *, most: int = 15, dark: bool = False) -> Any:
    """Show the fields that move a figure most, each a step down and a step up."""
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
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
    return dressed(
        (bars + down + up).properties(width=520), "What matters most: ◂ less, ▸ more", palette
    )
