"""A plan on the terminal: cautions first, then verdict, findings and tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from nightbus import words
from nightbus.cli.console import STYLES, bullet, grouped, heading, table

if TYPE_CHECKING:
    from rich.console import Console

    from nightbus.planning import Plan


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
    heading(out, "Before you build")
    for caution in plan.cautions:
        bullet(out, caution, "!", "yellow")
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
    heading(out, "Verdict")
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
    heading(out, "Findings")
    out.print(Padding(grouped(chosen), (0, 0, 0, 2)))
    notices = plan.count("notice")
    if not everything and notices:
        out.print(Text(f"  and {words.counted(notices, 'notice')}: --all shows them", style="dim"))


def _show_schedule(plan: Plan, out: Console) -> None:
    heading(out, "Wiring schedule")
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
    heading(out, "Overcurrent devices")
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
    heading(out, "Night and sun")
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
    heading(out, "Heat")
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
