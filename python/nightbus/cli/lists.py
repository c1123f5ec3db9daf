"""Verbs that list what there is, and the one that writes a first file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from nightbus import _core
from nightbus.cli.console import console, table
from nightbus.cli.options import (
    AsCsv,
    AsJson,
    Tables,
    catalogue_of,
    complete_kind,
    complete_table,
    write_csv,
)
from nightbus.cli.outcome import FINE, STATUS_HELP, print_json


def list_tables(
    name: Annotated[
        str | None,
        typer.Argument(
            help="One table to print; all are listed without it.", autocompletion=complete_table
        ),
    ] = None,
    tables: Tables = None,
    csv: AsCsv = None,
    as_json: AsJson = False,
) -> int:
    """List the standards tables, or print one, with source and how sure we are of it."""
    catalogue = catalogue_of(tables)
    if name is None:
        rows = [
            {
                "id": one.pedigree.id,
                "cite": one.pedigree.cite(),
                "confidence": one.pedigree.confidence,
                "rows": len(one.rows),
                "purpose": one.pedigree.purpose,
            }
            for one in catalogue.tables
        ]
        write_csv(csv, {"tables": (list(rows[0]), [list(row.values()) for row in rows])})
        if as_json:
            print_json({"format": 1, "tables": rows})
        else:
            listing = table([("table", "k"), ("source", "w"), ("how sure", "w")])
            for row in rows:
                listing.add_row(str(row["id"]), str(row["cite"]), str(row["confidence"]))
            console().print(listing)
        return FINE
    found = catalogue.table(name)
    pedigree = found.pedigree
    write_csv(csv, {pedigree.id: (pedigree.columns, found.rows)})
    if as_json:
        print_json(
            {
                "format": 1,
                "id": pedigree.id,
                "cite": pedigree.cite(),
                "purpose": pedigree.purpose,
                "source": pedigree.source,
                "confidence": pedigree.confidence,
                "limits": pedigree.limits,
                "columns": pedigree.columns,
                "units": pedigree.units,
                "rows": found.rows,
            }
        )
        return FINE
    out = console()
    out.print(f"{pedigree.id}: {pedigree.purpose}")
    out.print(f"{pedigree.cite()}. {pedigree.source} ({pedigree.confidence})")
    out.print(pedigree.limits)
    heads = [
        f"{column} [{unit}]" if unit else column
        for column, unit in zip(pedigree.columns, pedigree.units, strict=False)
    ]
    listing = table([(head, "w" if i == len(heads) - 1 else "") for i, head in enumerate(heads)])
    for cells in found.rows:
        listing.add_row(*cells)
    out.print(listing)
    return FINE


def _field_rows(types: list[dict[str, Any]]) -> tuple[list[str], list[list[object]]]:
    columns = ["key", "unit", "default", "required", "help", "choices"]
    rows = [
        [entry["key"], *(
            ", ".join(row[key]) if key == "choices" else row[key] for key in columns
        )]
        for entry in types
        for row in entry["fields"]
    ]  # fmt: skip
    return ["record", *columns], rows


def fields(
    kind: Annotated[
        str | None,
        typer.Argument(help='One kind of record: "load", "run" …', autocompletion=complete_kind),
    ] = None,
    schema: Annotated[
        bool, typer.Option("--schema", help="JSON Schema of a system file, for your editor.")
    ] = False,
    markdown: Annotated[bool, typer.Option("--markdown", help="As Markdown.")] = False,
    csv: AsCsv = None,
    as_json: AsJson = False,
) -> int:
    """List every field that a system file may hold: unit, default, bounds, meaning."""
    if schema:
        typer.echo(_core.json_schema())
        return FINE
    if markdown:
        typer.echo(_core.field_reference())
        return FINE
    types: list[dict[str, Any]] = _core.field_table()
    if kind is not None:
        known = [str(entry["key"]) for entry in types]
        if kind not in known:
            near = _core.near_misses(kind, known)
            hint = f'; did you mean "{near[0]}"?' if near else f": {', '.join(known)}"
            raise _core.LookupError(f'there is no kind of record "{kind}"{hint}')
        types = [entry for entry in types if entry["key"] == kind]
    write_csv(csv, {"fields": _field_rows(types)})
    if as_json:
        for entry in types:
            for row in entry["fields"]:
                row["dimension"] = row["dimension"].name
        print_json({"format": 1, "records": types})
        return FINE
    out = console()
    for entry in types:
        brackets = f"[[{entry['key']}]]" if entry["many"] else f"[{entry['key']}]"
        out.print(f"{brackets}  {entry['help']}", style="bold")
        listing = table([("field", ""), ("unit", ""), ("default", ""), ("meaning", "w")])
        for row in entry["fields"]:
            default = "needed" if row["required"] else str(row["default"] or "")
            choices = f" One of: {', '.join(row['choices'])}." if row["choices"] else ""
            listing.add_row(row["key"], row["unit"], default[:18], row["help"] + choices)
        out.print(listing)
        out.print()
    return FINE


def new(
    file: Annotated[Path, typer.Argument(help="Where to write it.")] = Path("system.toml"),
    title: Annotated[str | None, typer.Option(help="What the system is called.")] = None,
    place: Annotated[str | None, typer.Option(help='Latitude and longitude: "58.9, 15.4".')] = None,
    chemistry: Annotated[str | None, typer.Option(help="LFP, flooded, AGM or gel.")] = None,
    bank: Annotated[str | None, typer.Option(help='Voltage and capacity: "12 V 200 Ah".')] = None,
    solar: Annotated[
        str | None, typer.Option(help='Watts on the roof: "400 W"; "0 W": none.')
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a file that exists.")] = False,
    as_json: AsJson = False,
) -> int:
    """Write a commented starter file by asking five questions, or from flags alone."""
    from nightbus.cli.starter import Answers, ask, starter

    if file.exists() and not force:
        raise typer.BadParameter(f"{file} exists; --force replaces it")
    given = Answers(title, place, chemistry, bank, solar)
    answers = ask(given)
    text = starter(answers)
    _core.loads_system(text, str(file), _core.Catalogue())  # must read back, or say why
    file.write_text(text, encoding="utf-8")
    if as_json:
        print_json({"format": 1, "written": str(file), "next": f"nightbus plan {file}"})
    else:
        console().print(f"Written: {file}. Put your gear in, then: nightbus plan {file}")
    return FINE


def register(app: typer.Typer) -> None:
    """Add the verbs to the program."""
    app.command("tables", epilog=STATUS_HELP)(list_tables)
    app.command(epilog=STATUS_HELP)(fields)
    app.command(epilog=STATUS_HELP)(new)
