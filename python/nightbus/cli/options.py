"""What several verbs take: files, tables, formats; and names that a shell completes."""

from __future__ import annotations

import csv
import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from nightbus import _core
from nightbus.cli.console import patience

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from nightbus.explaining import Explanation

File = Annotated[Path, typer.Argument(help="A system file (TOML).", show_default=False)]
OtherFile = Annotated[Path, typer.Argument(help="The other system file.", show_default=False)]
ReportFile = Annotated[
    Path | None, typer.Option(help="Write the report: .html, or .pdf with WeasyPrint.")
]
JsonFile = Annotated[Path | None, typer.Option(help="Write the plan as JSON.")]
AsJson = Annotated[bool, typer.Option("--json", help="JSON on standard output, nothing else.")]
AsCsv = Annotated[
    Path | None,
    typer.Option("--csv", help="Write every table as a CSV file into this folder.", metavar="DIR"),
]
Tables = Annotated[
    list[Path] | None,
    typer.Option("--tables", help="Your own tables, in the format of the built-in ones."),
]
Year = Annotated[int, typer.Option(help="Calendar year for sun and local time.")]


def catalogue_of(files: list[Path] | None) -> _core.Catalogue:
    """Read the built-in tables, and those of the user on top."""
    from nightbus.tables import catalogue

    return catalogue(*(files or []))


def planned(file: Path, tables: list[Path] | None, year: int) -> Any:
    """Plan a file, and say so when it takes long."""
    from nightbus.planning import plan
    from nightbus.reading import read

    catalogue = catalogue_of(tables)
    with patience(f"Planning {file}"):
        return plan(read(file, catalogue=catalogue), catalogue=catalogue, year=year)


# ---- CSV -----------------------------------------------------------------------------------------

Rows = tuple[list[str], "Iterable[Iterable[object]]"]


def write_csv(folder: Path | None, tables: Mapping[str, Any]) -> None:
    """Write data frames, or (columns, rows), each into a file named after it.

    Nothing happens without a folder.
    """
    if folder is None:
        return
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in tables.items():
        path = folder / f"{name}.csv"
        if hasattr(content, "to_csv"):
            content.to_csv(path, index=False)
            continue
        columns, rows = content
        with path.open("w", encoding="utf-8", newline="") as handle:
            writer = csv.writer(handle, lineterminator="\n")
            writer.writerow(columns)
            writer.writerows(rows)


def explanation_tables(found: Explanation) -> dict[str, Rows]:
    """Facts, tables and findings of an explanation."""
    data = found.as_dict()
    tables: dict[str, Rows] = {
        "facts": (["what", "value"], [(one["what"], one["value"]) for one in data["facts"]])
    }
    for table in found.tables:
        name = table.title.split(",")[0].split(" (")[0].lower().replace(" ", "-")
        tables[name] = (table.columns, table.rows)
    columns = ["severity", "code", "subject", "what", "advice", "rule"]
    tables["findings"] = (columns, [[one[key] for key in columns] for one in data["findings"]])
    return tables


def problem_rows(problems: Iterable[_core.Problem]) -> Rows:
    """Problems of a file, one in a row."""
    columns = ["file", "line", "column", "code", "what", "expected", "seen", "mend"]
    return columns, [
        [one.where.file, one.where.line, one.where.column, one.code, one.what, one.expected,
         one.seen, one.mend]
        for one in problems
    ]  # fmt: skip


# ---- what a shell completes ----------------------------------------------------------------------


def _typed(names: Iterable[str], incomplete: str) -> list[str]:
    """Names that begin so; for bash, blanks are written as bash wants them."""
    found = [name for name in names if name.startswith(incomplete)]
    if os.environ.get("_NIGHTBUS_COMPLETE", "").endswith("bash"):
        return [name.replace(" ", "\\ ") for name in found]
    return found


def complete_name(ctx: typer.Context, incomplete: str) -> list[str]:
    """Complete runs, devices and compartments of the file named before, and codes of findings."""
    from nightbus.reading import read

    names: list[str] = []
    file = ctx.params.get("file")
    try:
        if file is not None:
            system = read(file)
            names = [*system.runs.names(), *system.points(), *system.compartments.names()]
    except _core.Error:  # a file with problems has no names to offer
        names = []
    names += [kind.code for kind in _core.finding_kinds()]
    return _typed(dict.fromkeys(names), incomplete)


def complete_table(incomplete: str) -> list[str]:
    """Complete the names of the built-in tables."""
    return _typed((one.pedigree.id for one in _core.Catalogue().tables), incomplete)


def complete_kind(incomplete: str) -> list[str]:
    """Complete the kinds of record."""
    return _typed((str(one["key"]) for one in _core.field_table()), incomplete)
