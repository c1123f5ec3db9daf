"""One day, one explanation, one comparison on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from nightbus import words
from nightbus.cli.console import STYLES, heading, severity_text, table

if TYPE_CHECKING:
    from rich.console import Console

    from nightbus.comparing import Comparison
    from nightbus.explaining import Explanation
    from nightbus.planning import Plan


def show_day(plan: Plan, month_number: int | None, out: Console) -> None:
    """One month: the night, the morning after, and who uses it."""
    energy = plan.data.energy
    if not energy.done or not energy.months:
        out.print(energy.why_not or "Day and night were not computed.")
        return
    index = energy.hardest
    if month_number is not None:
        index = next(i for i, m in enumerate(energy.months) if m.month == month_number)
    month = energy.months[index]
    hardest = ", the hardest month" if index == energy.hardest else ""
    heading(out, f"A mean day in {words.month(month.month)}{hardest}")
    facts = [
        ("outside", words.celsius(month.outside_c)),
        ("sunset to sunrise", f"{month.sunset_local} to {month.sunrise_local}, local time"),
        (
            "night",
            f"{words.hours(month.night_h)}, {words.watt_hours(month.night_wh)}, "
            f"{words.amp_hours(month.night_ah)} out of the bank",
        ),
        (
            "bank",
            f"{words.percent(month.charge_sunset, 0)} at sunset, "
            f"{words.percent(month.charge_sunrise, 0)} at sunrise, "
            f"lowest {words.volts(month.lowest_v)}",
        ),
        (
            "full again",
            "never" if month.never_full else f"{words.hours(month.hours_to_full)} after sunrise",
        ),
        (
            "whole day",
            f"{words.watt_hours(month.load_wh)} taken, {words.watt_hours(month.sun_wh)} "
            f"from the sun, {words.watt_hours(month.charger_wh)} from chargers",
        ),
        (
            "without sun",
            f"{words.days(month.days_to_reserve)} to the reserve, "
            f"{words.days(month.days_to_dark)} to the first critical device off",
        ),
    ]
    grid = table([("", ""), ("", "w")])
    grid.show_header = False
    for what, value in facts:
        grid.add_row(Text(what, style="dim"), value)
    out.print(Padding(grid, (0, 0, 0, 2)))
    heading(out, f"Who uses it, in {words.month(energy.months[energy.hardest].month)}")
    rows = table(
        [
            ("consumer", ""),
            ("what", ""),
            ("day", ">"),
            ("night", ">"),
            ("day at bank", ">"),
            ("night at bank", ">"),
            ("night", ">"),
        ]
    )
    for share in sorted(energy.loads, key=lambda one: -one.night_at_bank_wh):
        rows.add_row(
            share.name,
            share.kind,
            words.watt_hours(share.day_wh),
            words.watt_hours(share.night_wh),
            words.watt_hours(share.day_at_bank_wh),
            words.watt_hours(share.night_at_bank_wh),
            words.amp_hours(share.night_ah),
        )
    out.print(Padding(rows, (0, 0, 0, 2)))


def _ranges(columns: list[str], rows: list[list[str]]) -> list[list[str]]:
    """Sizes in a row of which the same is said stand as a range."""
    if "size" not in columns:
        return rows
    at = columns.index("size")
    told: list[list[str]] = []
    first = ""
    for row in rows:
        rest = [cell for i, cell in enumerate(row) if i != at]
        if told and rest == [cell for i, cell in enumerate(told[-1]) if i != at]:
            told[-1][at] = f"{first} to {row[at]}"
        else:
            told.append(list(row))
            first = row[at]
    return told


def show_explanation(found: Explanation, out: Console) -> None:
    """Facts, tables and findings about one thing."""
    out.print(Text(found.title, style="bold"))
    if found.text:
        out.print(Padding(Text(found.text), (0, 0, 0, 2)))
    grid = table([("", ""), ("", "w")])
    grid.show_header = False
    for what, value in found.facts:
        grid.add_row(Text(what, style="dim"), value)
    out.print(Padding(grid, (0, 0, 0, 2)))
    for part in found.tables:
        heading(out, part.title)
        told_rows = _ranges(part.columns, part.rows)
        # What is long wraps between its words; figures keep to one line.
        longest = [
            max((len(row[i]) for row in told_rows), default=0) for i in range(len(part.columns))
        ]
        rows = table(
            [
                (name, "w" if wide > (34 if name == "value and limit" else 20) else "k")
                for name, wide in zip(part.columns, longest, strict=True)
            ]
        )
        for row in told_rows:
            rows.add_row(*(Text(cell) for cell in row))
        out.print(Padding(rows, (0, 0, 0, 2)))
    if found.findings:
        heading(out, "Findings")
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(width=7)
        grid.add_column()
        # What failed is told in full; what holds is counted, for the table above lists it.
        passed = [one for one in found.findings if one.severity.name == "passed"]
        told = [one for one in found.findings if one.severity.name != "passed"]
        if not told or not found.tables:
            told, passed = found.findings, []
        for finding in told:
            text = Text(finding.sentence)
            if finding.severity.name != "passed" and finding.advice:
                text.append("\n→ " + finding.advice, style="dim")
            grid.add_row(severity_text(finding.severity.name), text)
        if passed:
            grid.add_row(
                severity_text("passed"),
                Text(words.counted(len(passed), "check") + " that hold", style="dim"),
            )
        out.print(Padding(grid, (0, 0, 0, 2)))


def _changed(field: str, before: object, after: object) -> str:
    if field == "":
        return "added" if before is None else "taken away"
    if field in ("title", "note"):
        return f"{field} reworded"
    return f"{field} {_written(before)} → {_written(after)}"


def _written(value: object) -> str:
    if value is None or value == "" or value == ():
        return "open"
    if isinstance(value, tuple | list):
        return " + ".join(str(one) for one in value)
    return str(value)


def _hardest(plan: Plan) -> int | None:
    energy = plan.data.energy
    return energy.months[energy.hardest].month if energy.months else None


def _show_figures(found: Comparison, out: Console, everything: bool) -> None:
    """Figures that differ; of the months only the hardest ones, unless all are asked for."""
    heading(out, "Figures")
    hardest = {_hardest(found.before), _hardest(found.after)}
    rows = table([("what", ""), ("figure", ""), ("before", ">"), ("after", ">")])
    left_out = 0
    for figure in found.data.figures:
        what = f"{figure.kind} {figure.name}".strip()
        if figure.kind == "month":
            what = words.month(int(figure.name))
            if not everything and int(figure.name) not in hardest:
                left_out += 1
                continue
        rows.add_row(what, figure.figure, figure.before or words.NONE, figure.after or words.NONE)
    out.print(Padding(rows, (0, 0, 0, 2)))
    if left_out:
        more = f"  and {words.counted(left_out, 'figure')} of easier months: compare --all"
        out.print(Text(more, style="dim"))


def show_comparison(found: Comparison, out: Console, everything: bool = False) -> None:
    """What changed, worst first."""
    line = Text("Verdict  ")
    line.append(found.before.verdict, style=STYLES[found.before.verdict])
    line.append("  →  ")
    line.append(found.after.verdict, style=STYLES[found.after.verdict])
    out.print(line)
    described = found.before.system.differences(found.after.system)
    if described:
        heading(out, "What was changed in the description")
        rows = table([("what", ""), ("how", "w")])
        told: dict[str, list[str]] = {}
        for kind, name, field, before, after in described:
            told.setdefault(f"{kind} {name}".strip(), []).append(_changed(field, before, after))
        for what, changes in told.items():
            rows.add_row(what, ", ".join(changes))
        out.print(Padding(rows, (0, 0, 0, 2)))
    if found.data.findings:
        heading(out, "Findings")
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(width=8)
        grid.add_column(width=7)
        grid.add_column()
        for change in found.data.findings:
            finding = change.after or change.before
            if finding is None:
                continue
            text = Text(finding.sentence)
            if change.before is not None and change.after is not None:
                text = Text(f"{change.before.sentence}\n→ {change.after.sentence}")
            grid.add_row(
                Text(change.what.name, style="dim"), severity_text(finding.severity.name), text
            )
        out.print(Padding(grid, (0, 0, 0, 2)))
    if found.data.figures:
        _show_figures(found, out, everything)
    if not (described or found.data.findings or found.data.figures):
        out.print("The two are alike.")
