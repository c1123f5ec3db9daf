"""What the pictures share: colours by meaning, and how a chart is dressed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from nightbus import _core


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


def palette_of(dark: bool) -> Palette:
    """Return the colours for a dark or a light page."""
    return DARK if dark else LIGHT


def altair() -> Any:
    """Return the drawing library, or say how to get it."""
    try:
        import altair
    except ImportError as error:
        raise _core.Error("pictures need Altair: pip install 'nightbus[report]'") from error
    return altair


def dressed(chart: Any, title: str, palette: Palette) -> Any:
    """Give a chart its title, colours and letters."""
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
