"""What the terminal shows: quiet tables, 100 columns, colour only where somebody looks."""

from __future__ import annotations

import re
import sys
import threading
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING, cast

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from nightbus import words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from nightbus import _core
    from nightbus.comparing import Comparison
    from nightbus.explaining import Explanation
    from nightbus.planning import Plan

WIDTH = 100

STYLES = {
    "danger": "bold red",
    "warning": "yellow",
    "notice": "cyan",
    "passed": "green",
    "care": "bold yellow",
    "good": "bold green",
}


class _Trimmed:
    """Standard output without the blanks that pad a table."""

    def write(self, text: str) -> int:
        sys.stdout.write(re.sub(r" +\n", "\n", text))
        return len(text)

    def flush(self) -> None:
        sys.stdout.flush()


def console() -> Console:
    """Standard output: at most 100 columns; piped, exactly 100 and without colour."""
    plain = Console(highlight=False, soft_wrap=False)
    if plain.is_terminal:
        width = min(plain.width, WIDTH)
        return Console(highlight=False, width=width, emoji=False, markup=False)
    piped = cast("IO[str]", _Trimmed())
    return Console(file=piped, highlight=False, width=WIDTH, emoji=False, markup=False)


@contextmanager
def patience(what: str) -> Iterator[None]:
    """Say what takes so long, once it has taken a second; on a terminal only."""
    errors = Console(stderr=True, highlight=False)
    if not errors.is_terminal:
        yield
        return
    status = errors.status(what)
    timer = threading.Timer(1.0, status.start)
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        status.stop()


def _heading(out: Console, text: str) -> None:
    out.print()
    out.print(Text(text, style="bold underline"))


def _bullet(out: Console, text: str, mark: str = "·", style: str = "") -> None:
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=1)
    grid.add_column()
    grid.add_row(Text(mark, style=style), Text(text))
    out.print(Padding(grid, (0, 0, 0, 2)))


def table(columns: list[tuple[str, str]], *, title: str | None = None) -> Table:
    """A table without a frame: ``>`` aligns right, ``w`` wraps, ``c`` may be cut short."""
    made = Table(
        box=None,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        title=title,
        title_justify="left",
        header_style="dim",
        show_edge=False,
    )
    for name, kind in columns:
        made.add_column(
            name,
            justify="right" if ">" in kind else "left",
            no_wrap="w" not in kind,
            overflow="fold" if "w" in kind else "ellipsis",
            min_width=None if kind in ("w", "c") else len(name),
        )
    return made


def _severity(severity: str) -> Text:
    return Text(severity, style=STYLES.get(severity, ""))


def show_plan(plan: Plan, out: Console, *, everything: bool = False) -> None:
    """Cautions and assumptions, verdict, findings, schedule, fuses, night and sun, heat."""
    out.print(Text(plan.system.title or "A DC power plan", style="bold"))
    if plan.system.note:
        out.print(Text(plan.system.note, style="dim"))
    _show_cautions(plan, out)
    _show_verdict(plan, out)
    _show_findings(plan, out, everything)
    _show_schedule(plan, out)
    _show_fuses(plan, out)
    _show_night(plan, out)
    _show_heat(plan, out)


def _show_cautions(plan: Plan, out: Console) -> None:
    _heading(out, "Before you build")
    for caution in plan.cautions:
        _bullet(out, caution, "!", "yellow")
    if plan.data.assumptions:
        out.print()
        out.print(Text("  Assumed, because the file is silent", style="dim"))
        rows = table([("", ""), ("", ""), ("", "w")])
        rows.show_header = False
        for item in plan.data.assumptions:
            rows.add_row(
                Text(f"{item.kind}: {item.key}", style="dim"),
                item.value,
                Text(words.listed(item.names, 3), style="dim"),
            )
        out.print(Padding(rows, (0, 0, 0, 2)))


def _show_verdict(plan: Plan, out: Console) -> None:
    _heading(out, "Verdict")
    line = Text("  ")
    line.append(plan.verdict.upper(), style=STYLES[plan.verdict])
    line.append("  " + plan.sentence)
    out.print(line)
    out.print(Text("  " + words.findings_counted(plan), style="dim"))


def _show_findings(plan: Plan, out: Console, everything: bool) -> None:
    shown = ("danger", "warning", "notice") if everything else ("danger", "warning")
    chosen = [f for f in plan.finding_list if f.severity.name in shown]
    if not chosen:
        return
    _heading(out, "Findings")
    out.print(Padding(_grouped(chosen), (0, 0, 0, 2)))
    notices = plan.count("notice")
    if not everything and notices:
        out.print(Text(f"  and {words.counted(notices, 'notice')}: --all shows them", style="dim"))


def _grouped(findings: list[_core.Finding]) -> Table:
    """Findings of one kind stand together; advice that they share is given once."""
    groups: dict[tuple[str, str], list[_core.Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.severity.name, finding.code), []).append(finding)
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(width=7)
    grid.add_column()
    for (severity, _), members in groups.items():
        block = Table.grid()
        if len(members) > 1:
            block.add_row(Text(members[0].title, style="bold"))
            items = Table.grid(padding=(0, 1, 0, 0))
            for finding in members:
                items.add_row("·", Text(finding.sentence))
            block.add_row(items)
        else:
            block.add_row(Text(members[0].sentence))
        for advice in dict.fromkeys(finding.advice for finding in members if finding.advice):
            hint = Table.grid(padding=(0, 1, 0, 0))
            hint.add_row(Text("→", style="dim"), Text(advice, style="dim"))
            block.add_row(hint)
        grid.add_row(_severity(severity), block)
    return grid


def _show_schedule(plan: Plan, out: Console) -> None:
    _heading(out, "Wiring schedule")
    rows = table(
        [
            ("run", "c"),
            ("length", ">"),
            ("size", ">"),
            ("device", ""),
            ("carries", ">"),
            ("may", ">"),
            ("drop", ">"),
            ("chosen for", "w"),
        ]
    )
    sources: dict[str, list[int]] = {}
    for index, described in enumerate(plan.system.runs):
        sources.setdefault(described.from_, []).append(index)
    for source, members in sources.items():
        rows.add_row(Text(f"from {source}", style="dim italic"))
        for index in members:
            run = plan.run_plans[index]
            rows.add_row(
                Text("  " + run.run, style="" if run.feasible else STYLES["danger"]),
                words.metres(run.length_m),
                str(run.size),
                words.device(run.device),
                words.amps(run.current_a),
                words.amps(run.ampacity_a),
                words.volts(run.drop_v),
                words.governed(run),
            )
    out.print(Padding(rows, (0, 0, 0, 2)))
    wiring = plan.data.wiring
    proof = "proved least" if wiring.optimality.proven else "not proved least"
    if all(run.size_given for run in plan.run_plans):
        proof = "as given"
    out.print(
        Text(
            f"  {wiring.metal_kg:.2f} kg of metal in "
            f"{words.counted(wiring.distinct_sizes, 'size')}, {proof}. "
            "Why a size: nightbus explain FILE RUN",
            style="dim",
        )
    )


def _show_fuses(plan: Plan, out: Console) -> None:
    fitted = [run for run in plan.run_plans if run.device is not None]
    if not fitted:
        return
    _heading(out, "Overcurrent devices")
    rows = table(
        [
            ("run", "c"),
            ("device", ""),
            ("must break", ">"),
            ("far short", ">"),
            ("opens in", ">"),
            ("within", ">"),
            ("holder", ">"),
        ]
    )
    for run in fitted:
        need = run.need
        rows.add_row(
            run.run,
            words.device(run.device),
            f"{words.amps(need.interrupt_a)}, {need.interrupt_v:.1f} V",
            words.amps(need.least_fault_a),
            words.seconds(need.opens_in_s),
            words.NONE if need.within_m is None else words.metres(need.within_m),
            words.amps(need.holder_a),
        )
    out.print(Padding(rows, (0, 0, 0, 2)))


def _show_night(plan: Plan, out: Console) -> None:
    energy = plan.data.energy
    _heading(out, "Night and sun")
    if not energy.done or not energy.months:
        out.print("  " + (energy.why_not or "not computed"))
        return
    rows = table(
        [
            ("month", ""),
            ("night", ""),
            ("takes", ">"),
            ("sunrise", ">"),
            ("gear a day", ">"),
            ("sun a day", ">"),
            ("full after", ">"),
            ("grey days", ">"),
        ]
    )
    for index, month in enumerate(energy.months):
        rows.add_row(
            words.month(month.month)[:3],
            "polar" if month.polar else f"{month.sunset_local}-{month.sunrise_local}",
            words.amp_hours(month.night_ah),
            words.percent(month.charge_sunrise, 0),
            words.watt_hours(month.load_wh),
            words.watt_hours(month.sun_wh + month.charger_wh),
            "never" if month.never_full else words.hours(month.hours_to_full),
            words.days(month.days_to_reserve),
            style="bold" if index == energy.hardest else "",
        )
    out.print(Padding(rows, (0, 0, 0, 2)))
    hardest = energy.months[energy.hardest]
    out.print(
        Text(
            f"  {words.month(hardest.month)} is the hardest month; the bank holds "
            f"{words.amp_hours(energy.usable_ah)} down to its reserve, aged.",
            style="dim",
        )
    )


def _show_heat(plan: Plan, out: Console) -> None:
    compartments = plan.data.heat.compartments
    if not compartments:
        return
    _heading(out, "Heat")
    rows = table(
        [
            ("compartment", ""),
            ("hottest case", ""),
            ("heat", ">"),
            ("air", ">"),
            ("limit", ">"),
            ("fan step", ">"),
            ("fans give", ">"),
            ("needs", ">"),
            ("fans still", ">"),
        ]
    )
    for compartment in compartments:
        hottest = compartment.cases[compartment.hottest]
        over = hottest.temp_c > compartment.limit_c
        has_fan = compartment.flow_m3s > 0
        rows.add_row(
            compartment.name,
            hottest.case_name,
            words.watts(hottest.heat.total_w),
            Text(words.celsius(hottest.temp_c), style=STYLES["danger"] if over else ""),
            words.celsius(compartment.limit_c),
            f"{hottest.fan_step:.1f}" if has_fan else words.NONE,
            words.flow(compartment.flow_m3s) if has_fan else words.NONE,
            "held"
            if compartment.held
            else "impossible"
            if compartment.needed_flow_m3s is None
            else words.flow(compartment.needed_flow_m3s),
            words.celsius(compartment.fans_off_c),
        )
    out.print(Padding(rows, (0, 0, 0, 2)))


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
    _heading(out, f"A mean day in {words.month(month.month)}{hardest}")
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
    _heading(out, f"Who uses it, in {words.month(energy.months[energy.hardest].month)}")
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
        _heading(out, part.title)
        last = len(part.columns) - 1
        rows = table([(name, "w" if i == last else "") for i, name in enumerate(part.columns)])
        for row in part.rows:
            rows.add_row(*(Text(cell) for cell in row))
        out.print(Padding(rows, (0, 0, 0, 2)))
    if found.findings:
        _heading(out, "Findings")
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(width=7)
        grid.add_column()
        for finding in found.findings:
            text = Text(finding.sentence)
            if finding.severity.name != "passed" and finding.advice:
                text.append("\n→ " + finding.advice, style="dim")
            grid.add_row(_severity(finding.severity.name), text)
        out.print(Padding(grid, (0, 0, 0, 2)))


def show_comparison(found: Comparison, out: Console) -> None:
    """What changed, worst first."""
    line = Text("Verdict  ")
    line.append(found.before.verdict, style=STYLES[found.before.verdict])
    line.append("  →  ")
    line.append(found.after.verdict, style=STYLES[found.after.verdict])
    out.print(line)
    described = found.before.system.differences(found.after.system)
    if described:
        _heading(out, "What was changed in the description")
        rows = table([("what", ""), ("field", ""), ("before", "w"), ("after", "w")])
        for kind, name, field, before, after in described:
            one_side = field == ""
            rows.add_row(
                f"{kind} {name}".strip(),
                field or ("added" if before is None else "taken away"),
                "" if one_side else Text(str(before)),
                "" if one_side else Text(str(after)),
            )
        out.print(Padding(rows, (0, 0, 0, 2)))
    if found.data.findings:
        _heading(out, "Findings")
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
                Text(change.what.name, style="dim"), _severity(finding.severity.name), text
            )
        out.print(Padding(grid, (0, 0, 0, 2)))
    if found.data.figures:
        _heading(out, "Figures")
        rows = table([("what", ""), ("figure", ""), ("before", ">"), ("after", ">")])
        for figure in found.data.figures:
            rows.add_row(
                f"{figure.kind} {figure.name}".strip(),
                figure.figure,
                figure.before or words.NONE,
                figure.after or words.NONE,
            )
        out.print(Padding(rows, (0, 0, 0, 2)))
    if not (described or found.data.findings or found.data.figures):
        out.print("The two are alike.")


def write_err(text: str) -> None:
    """One line on standard error."""
    sys.stderr.write(text + "\n")
