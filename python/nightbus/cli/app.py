"""The verbs of the program."""

from __future__ import annotations

import json
import time
from typing import Annotated, Any

import typer

from nightbus import _core
from nightbus.cli import lists, measured
from nightbus.cli.console import console, patience, write_err
from nightbus.cli.options import (
    AsCsv,
    AsJson,
    File,
    JsonFile,
    OtherFile,
    ReportFile,
    Tables,
    Year,
    catalogue_of,
    complete_name,
    explanation_tables,
    planned,
    problem_rows,
    write_csv,
)
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
    report: ReportFile = None,
    json_file: JsonFile = None,
    csv: AsCsv = None,
    everything: Annotated[bool, typer.Option("--all", help="Notices as well.")] = False,
    tables: Tables = None,
    year: Year = 2026,
    as_json: AsJson = False,
) -> int:
    """Make the plan: wiring, fuses, volts, night, sun and heat.

    Cautions and assumptions come first, then the verdict and what stands against it.
    """
    made = planned(file, tables, year)
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
def check(file: File, tables: Tables = None, csv: AsCsv = None, as_json: AsJson = False) -> int:
    """Read the file and name every problem in it; nothing is planned."""
    from nightbus.system import System

    catalogue = catalogue_of(tables)
    text = file.read_text(encoding="utf-8")
    data, problems = _core.examine_system(text, str(file), catalogue)
    write_csv(csv, {"problems": problem_rows(problems)})
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
    name: Annotated[
        str,
        typer.Argument(
            help="A run, a device, a compartment, or a finding code.",
            autocompletion=complete_name,
        ),
    ],
    tables: Tables = None,
    year: Year = 2026,
    csv: AsCsv = None,
    as_json: AsJson = False,
) -> int:
    """Say everything about one run, device or kind of finding.

    For a run: every size that was looked at and the first rule against it.
    """
    from nightbus.explaining import explanation

    found = explanation(planned(file, tables, year), name)
    write_csv(csv, explanation_tables(found))
    if as_json:
        print_json(found.as_dict())
    else:
        show_explanation(found, console())
    return FINE


@app.command(epilog=STATUS_HELP)
def compare(
    before: File,
    after: OtherFile,
    everything: Annotated[bool, typer.Option("--all", help="Figures of every month.")] = False,
    tables: Tables = None,
    year: Year = 2026,
    csv: AsCsv = None,
    as_json: AsJson = False,
) -> int:
    """Plan two files and show what changed: findings, sizes, volts, night, heat."""
    from nightbus.comparing import Comparison

    found = Comparison(planned(before, tables, year), planned(after, tables, year))
    if csv is not None:
        write_csv(csv, {"description": found.description, "findings": found.findings,
                        "figures": found.figures})  # fmt: skip
    if as_json:
        typer.echo(found.to_json())
    else:
        show_comparison(found, console(), everything)
    return int(found.after.exit_status)


@app.command(epilog=STATUS_HELP)
def day(
    file: File,
    month: Annotated[
        int | None, typer.Option(min=1, max=12, help="1 to 12; the hardest when left out.")
    ] = None,
    tables: Tables = None,
    year: Year = 2026,
    csv: AsCsv = None,
    as_json: AsJson = False,
) -> int:
    """Show a mean day of a month: the night, the morning after, and who uses it."""
    made = planned(file, tables, year)
    if csv is not None:
        months = made.months
        wanted = months if month is None else months[months["month"] == month]
        write_csv(csv, {"months": wanted, "energy": made.energy})
    if as_json:
        energy = json.loads(made.to_json())["energy"]
        if month is not None:
            energy["months"] = [one for one in energy["months"] if one["month"] == month]
        print_json({"format": 1, "energy": energy})
    else:
        show_day(made, month, console())
    return int(made.exit_status)


lists.register(app)
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
    rounds = 0
    status = FINE
    while True:
        try:
            stamp = file.stat().st_mtime_ns
        except FileNotFoundError:
            # An editor may take the file away for a moment while it saves.
            if seen is None:
                raise
            stamp = seen
        if stamp == seen:
            time.sleep(every)
            continue
        seen = stamp
        rounds += 1
        try:
            made = planned(file, tables, year)
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
        if times and rounds >= times:
            return status
