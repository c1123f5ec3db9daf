"""What the pictures share: colours by meaning, and how a chart is dressed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from typing import Any

from nightbus import _core


@dataclass(frozen=True)
class Palette:
    """Colours by meaning; `first` and `second` stand side by side and differ in lightness.

    Examples
    --------
    >>> from nightbus import charts
    >>> charts.LIGHT.paper, charts.DARK.paper
    ('#fbfaf6', '#11171b')
    """

    paper: str
    ink: str
    soft: str
    hair: str
    night: str
    window: str
    accent: str
    danger: str
    first: str
    second: str


LIGHT = Palette(
    paper="#fbfaf6", ink="#1b252c", soft="#53626b", hair="#d8dcd8", night="#dde1e3",
    window="#cfe0dc", accent="#1f5a60", danger="#a0182f", first="#1f5a60", second="#d8b24a",
)  # fmt: skip
DARK = Palette(
    paper="#11171b", ink="#e7ecee", soft="#a5b4bc", hair="#2f3c44", night="#232e35",
    window="#2b4a4a", accent="#8fd0cf", danger="#ff98a3", first="#8fd0cf", second="#7f5e1d",
)  # fmt: skip


#: Around a picture: a browser's letters are up to a seventh wider than those it was laid out with.
ROOM = {"left": 34, "right": 14, "top": 6, "bottom": 6}


def palette_of(dark: bool) -> Palette:
    """Return the colours for a dark or a light page."""
    return DARK if dark else LIGHT


def altair() -> Any:
    """Return the drawing library, or say how to get it."""
    try:
        import altair
    except ImportError as error:
        raise _core.Error("pictures need Altair: pip install 'nightbus[report]'") from error
    _stay_at_home(altair)
    return altair


@cache
def _stay_at_home(alt: Any) -> None:
    """Show charts as SVG in notebooks: Altair's own way fetches its drawing program from a server.

    A renderer that somebody chose stays, and may be chosen later.
    """
    if alt.renderers.active == "default" and find_spec("vl_convert") is not None:
        alt.renderers.enable("svg")


def dressed(chart: Any, title: str, palette: Palette, note: str = "") -> Any:
    """Give a chart its title, a line that says how to read it, colours and letters."""
    head: dict[str, Any] = {"text": title}
    if note:
        head |= {"subtitle": note.split("\n"), "subtitleColor": palette.soft, "subtitlePadding": 4}
    return (
        chart.properties(title=head)
        .configure(background=palette.paper, font="system-ui, sans-serif", padding=ROOM)
        .configure_view(stroke=None)
        .configure_title(
            color=palette.ink, anchor="start", frame="group", fontSize=14, subtitleFontSize=12
        )
        .configure_axis(
            labelColor=palette.ink,
            titleColor=palette.soft,
            gridColor=palette.hair,
            domainColor=palette.hair,
            tickColor=palette.hair,
            labelLimit=260,
        )
        .configure_legend(
            labelColor=palette.ink,
            titleColor=palette.soft,
            labelLimit=260,
            orient="bottom",
            direction="horizontal",
            columnPadding=28,
            symbolStrokeColor=palette.ink,
        )
    )


def told_apart(alt: Any, field: str, kinds: dict[str, tuple[str, list[int]]]) -> dict[str, Any]:
    """Encode kinds of line by colour and by dash: the dash alone is enough.

    Parameters
    ----------
    alt : module
        Altair.
    field : str
        Column that holds the kind.
    kinds : dict
        Colour and dash of each kind, in the order of the legend.
    """
    names = list(kinds)
    colours = alt.Scale(domain=names, range=[colour for colour, _ in kinds.values()])
    dashes = alt.Scale(domain=names, range=[dash for _, dash in kinds.values()])
    # Long enough in the legend for its dashes to be seen.
    legend = alt.Legend(symbolSize=1400, symbolStrokeWidth=2.2)
    return {
        "color": alt.Color(f"{field}:N", title=None, scale=colours, legend=legend),
        "strokeDash": alt.StrokeDash(f"{field}:N", title=None, scale=dashes, legend=legend),
    }
