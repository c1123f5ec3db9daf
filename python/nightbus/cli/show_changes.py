"""What would mend an infeasible plan, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from nightbus.cli.console import heading, paragraph, table

if TYPE_CHECKING:
    from rich.console import Console

    from nightbus.planning import Plan


def show_changes(plan: Plan, out: Console) -> None:
    """The smallest set of changes in full, the others that are single in a line each."""
    ways = plan.data.wiring.ways
    if not ways:
        return
    heading(out, "What would mend the wiring")
    least = ways[0]
    if len(least.changes) > 1:
        paragraph(out, f"{len(least.changes)} changes together; planned again with them.", "dim")
        shown = [(str(place), one.words) for place, one in enumerate(least.changes, start=1)]
    else:
        paragraph(out, "Any one of these; each was planned again as a whole.", "dim")
        shown = [
            (str(place), way.changes[0].words)
            for place, way in enumerate(ways, start=1)
            if len(way.changes) == 1
        ]
    rows = table([("", ""), ("", "w")])
    rows.show_header = False
    for place, line in shown:
        rows.add_row(Text(place, style="dim"), line)
    out.print(Padding(rows, (0, 0, 0, 2)))
