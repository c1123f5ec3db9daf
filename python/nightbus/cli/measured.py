"""Readings against a plan, on the terminal."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.padding import Padding
from rich.text import Text

from nightbus import _core, words
from nightbus.cli.console import console, heading, patience, table
from nightbus.cli.options import AsCsv, AsJson, File, Tables, write_csv
from nightbus.cli.outcome import DANGER, FINE, STATUS_HELP

if TYPE_CHECKING:
    from rich.console import Console

    from nightbus.measuring import Measured


Table = Annotated[
    Path,
    typer.Argument(
        help="Readings: a CSV file with the columns kind, at, value, accuracy.",
        show_default=False,
    ),
]
CaseName = Annotated[
    str | None, typer.Option(help="Case that was measured in; that of the sheet if left out.")
]


def measured(
    file: File,
    readings: Table,
    case: CaseName = None,
    tables: Tables = None,
    csv: AsCsv = None,
    as_json: AsJson = False,
) -> int:
    """Hold meter readings against the plan and say what differs, if anything.

    Exit status 1 when the readings differ from the plan.
    """
    from nightbus.measuring import as_measured
    from nightbus.tables import catalogue

    used = catalogue(*(tables or []))
    with patience(f"Planning {file}"):
        found = as_measured(str(file), readings, case=case, catalogue=used)
    if csv is not None:
        write_csv(csv, {"readings": found.readings})
    if as_json:
        typer.echo(found.to_json())
    else:
        show_measured(found, console())
    return FINE if found.healthy else DANGER


def show_measured(found: Measured, out: Console) -> None:
    """Every reading beside the plan, what explains them, and what was assumed."""
    heading(out, f'Readings, case "{found.case}"')
    rows = table(
        [("kind", ""), ("at", "w"), ("read", ">"), ("planned", ">"), ("meter's ± off", ">")]
    )
    for one in found.readings.to_dict("records"):
        dimension = _core.Dimension.current if one["unit"] == "A" else _core.Dimension.voltage
        off = words.NONE if one["off_by"] is None else f"{one['off_by']:+.1f}"
        rows.add_row(
            one["kind"],
            one["at"],
            words.show(one["value"], dimension, 4),
            words.show(one["planned"], dimension, 4),
            off,
        )
    out.print(Padding(rows, (0, 0, 0, 2)))
    heading(out, "What they say")
    for line in found.sentences:
        out.print(Padding(Text(line), (0, 0, 0, 2)))
    heading(out, "Assumed")
    for line in found.assumptions:
        out.print(Padding(Text(line, style="dim"), (0, 0, 0, 2)))


def register(app: typer.Typer) -> None:
    """Add the verb to the program."""
    app.command(epilog=STATUS_HELP)(measured)
