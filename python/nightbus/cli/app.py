"""The verbs of the program."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Annotated, Any

import typer

from nightbus import _core
from nightbus.cli import measured
from nightbus.cli.console import console, patience, table, write_err
from nightbus.cli.outcome import (
    BAD_INPUT,
    FINE,
    STATUS_HELP,
    print_json,
    problem_dict,
)
from nightbus.cli.show_other import show_comparison, show_day, show_explanation
from nightbus.cli.show_plan import show_plan

app = typer.Typer(
    name="nightbus",
    help="DC power and wiring budgets for always-on network gear.\n\n"
    "Describe bank, cables, gear and sun in one TOML file; get the wiring schedule, the fuses, the "
    "volts at every device, the night and the heat, with the reason for every number. "
    "Begin with: nightbus new",
    epilog=STATUS_HELP,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

File = Annotated[Path, typer.Argument(help="A system file (TOML).", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="JSON on standard output, nothing else.")]
Tables = Annotated[
    list[Path] | None,
    typer.Option("--tables", help="Your own tables, in the format of the built-in ones."),
]
Year = Annotated[int, typer.Option(help="Calendar year for sun and local time.")]


def _catalogue(files: list[Path] | None) -> _core.Catalogue:
    from nightbus.tables import catalogue

    return catalogue(*(files or []))


def _planned(file: Path, tables: list[Path] | None, year: int) -> Any:
    from nightbus.planning import plan
    from nightbus.reading import read

    catalogue = _catalogue(tables)
    with patience(f"Planning {file}"):
        return plan(read(file, catalogue=catalogue), catalogue=catalogue, year=year)


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        typer.echo(_core.__version__)
        raise typer.Exit


@app.command(epilog=STATUS_HELP)
def plan(
    file: File,
    report: Annotated[
        Path | None, typer.Option(help="Write the report: .html, or .pdf with WeasyPrint.")
    ] = None,
    json_file: Annotated[Path | None, typer.Option(help="Write the plan as JSON.")] = None,
    csv: Annotated[Path | None, typer.Option(help="Write every table as CSV here.")] = None,
    everything: Annotated[bool, typer.Option("--all", help="Notices as well.")] = False,
    tables: Tables = None,
    year: Year = 2026,
    as_json: AsJson = False,
) -> int:
    """Make the plan: wiring, fuses, volts, night, sun and heat.

    Cautions and assumptions come first, then the verdict and what stands against it.
    """
    made = _planned(file, tables, year)
    if as_json:
        typer.echo(made.to_json())
    else:
        show_plan(made, console(), everything=everything)
    if json_file is not None:
        made.write_json(json_file)
    if csv is not None:
        made.write_csv(csv)
    if report is not None:
        with patience(f"Writing {report}"):
            made.report(report)
    return int(made.exit_status)


@app.command(epilog=STATUS_HELP)
def check(file: File, tables: Tables = None, as_json: AsJson = False) -> int:
    """Read the file and name every problem in it; nothing is planned."""
    from nightbus.system import System

    catalogue = _catalogue(tables)
    text = file.read_text(encoding="utf-8")
    data, problems = _core.examine_system(text, str(file), catalogue)
    if as_json:
        print_json(
            {
                "format": 1,
                "file": str(file),
                "usable": not problems,
                "problems": [problem_dict(problem) for problem in problems],
            }
        )
    elif problems:
        write_err(_core.render(problems).rstrip())
    else:
        parts = repr(System._from(data)).rsplit('": ', 1)[-1].rstrip(">")
        console().print(f"{file} can be used: {parts}.")
    return BAD_INPUT if problems else FINE


@app.command(epilog=STATUS_HELP)
def explain(
    file: File,
    name: Annotated[str, typer.Argument(help="A run, a device, a compartment, or a finding code.")],
    tables: Tables = None,
    year: Year = 2026,
    as_json: AsJson = False,
) -> int:
    """Say everything about one run, device or kind of finding.

    For a run: every size that was looked at and the first rule against it.
    """
    from nightbus.explaining import explanation

    found = explanation(_planned(file, tables, year), name)
    if as_json:
        print_json(found.as_dict())
    else:
        show_explanation(found, console())
    return FINE


@app.command(epilog=STATUS_HELP)
def compare(
    before: File,
    after: Annotated[Path, typer.Argument(help="The other system file.", show_default=False)],
    tables: Tables = None,
    year: Year = 2026,
    as_json: AsJson = False,
) -> int:
    """Plan two files and show what changed: findings, sizes, volts, night, heat."""
    from nightbus.comparing import Comparison

    found = Comparison(_planned(before, tables, year), _planned(after, tables, year))
    if as_json:
        typer.echo(found.to_json())
    else:
        show_comparison(found, console())
    return int(found.after.exit_status)


@app.command("tables", epilog=STATUS_HELP)
def list_tables(
    name: Annotated[
        str | None, typer.Argument(help="One table to print; all are listed without it.")
    ] = None,
    tables: Tables = None,
    as_json: AsJson = False,
) -> int:
    """List the standards tables, or print one, with source and how sure we are of it."""
    catalogue = _catalogue(tables)
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


@app.command(epilog=STATUS_HELP)
def fields(
    kind: Annotated[str | None, typer.Argument(help='One kind of record: "load", "run" …')] = None,
    schema: Annotated[
        bool, typer.Option("--schema", help="JSON Schema of a system file, for your editor.")
    ] = False,
    markdown: Annotated[bool, typer.Option("--markdown", help="As Markdown.")] = False,
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


@app.command(epilog=STATUS_HELP)
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


@app.command(epilog=STATUS_HELP)
def day(
    file: File,
    month: Annotated[
        int | None, typer.Option(min=1, max=12, help="1 to 12; the hardest when left out.")
    ] = None,
    tables: Tables = None,
    year: Year = 2026,
    as_json: AsJson = False,
) -> int:
    """Show a mean day of a month: the night, the morning after, and who uses it."""
    made = _planned(file, tables, year)
    if as_json:
        energy = json.loads(made.to_json())["energy"]
        if month is not None:
            energy["months"] = [one for one in energy["months"] if one["month"] == month]
        print_json({"format": 1, "energy": energy})
    else:
        show_day(made, month, console())
    return int(made.exit_status)


measured.register(app)


@app.command(epilog=STATUS_HELP)
def watch(
    file: File,
    times: Annotated[int, typer.Option(help="Stop after so many plans; 0: never.")] = 0,
    every: Annotated[float, typer.Option(help="Seconds between two looks at the file.")] = 0.3,
    tables: Tables = None,
    year: Year = 2026,
    as_json: AsJson = False,
) -> int:
    """Plan again each time the file is saved, and show what changed."""
    from nightbus.comparing import Comparison

    out = console()
    seen: int | None = None
    last: Any = None
    planned = 0
    status = FINE
    while True:
        stamp = file.stat().st_mtime_ns
        if stamp == seen:
            time.sleep(every)
            continue
        seen = stamp
        planned += 1
        try:
            made = _planned(file, tables, year)
        except _core.InputError as error:
            status = BAD_INPUT
            if as_json:
                problems = [problem_dict(problem) for problem in error.problems]
                typer.echo(json.dumps({"format": 1, "problems": problems}))
            else:
                write_err(str(error).rstrip())
        else:
            status = int(made.exit_status)
            if as_json:
                counts = {name: made.count(name) for name in ("danger", "warning", "notice")}
                typer.echo(json.dumps({"format": 1, "verdict": made.verdict, "counts": counts}))
            elif last is None:
                out.print(repr(made))
            else:
                show_comparison(Comparison(last, made), out)
            last = made
        if times and planned >= times:
            return status
