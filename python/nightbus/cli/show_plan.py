"""A plan on the terminal: cautions first, then verdict, findings and tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from nightbus import words
from nightbus.cli.console import STYLES, WIDTH, bullet, grouped, heading, paragraph, table
from nightbus.cli.show_changes import show_changes

if TYPE_CHECKING:
    from rich.console import Console

    from nightbus.planning import Plan


def show_plan(plan: Plan, out: Console, *, everything: bool = False) -> None:
    """Cautions and assumptions, verdict, findings, schedule, fuses, night and sun, heat."""
    out.print(Text(plan.system.title or "A DC power plan", style="bold"))
    if plan.system.note:
        out.print(Text(plan.system.note, style="dim"))
    _show_cautions(plan, out, everything)
    _show_verdict(plan, out)
    _show_findings(plan, out, everything)
    show_changes(plan, out)
    _show_schedule(plan, out)
    _show_fuses(plan, out)
    _show_night(plan, out)
    _show_heat(plan, out)


def _show_cautions(plan: Plan, out: Console, everything: bool) -> None:
    heading(out, "Before you build")
    for caution in plan.cautions:
        bullet(out, caution, "!", "yellow")
    assumed = plan.data.assumptions
    if not assumed:
        return
    out.print()
    if everything:
        paragraph(out, "Assumed, because the file is silent", "dim")
        rows = table([("", ""), ("", ""), ("", "w")])
        rows.show_header = False
        for item in assumed:
            rows.add_row(
                Text(f"{item.kind}: {item.key}", style="dim"),
                item.value,
                Text(words.listed(item.names, 3), style="dim"),
            )
        out.print(Padding(rows, (0, 0, 0, 2)))
        return
    paragraph(out, "Assumed, because the file is silent (--all names the records)", "dim")
    kinds: dict[str, list[str]] = {}
    for item in assumed:
        kinds.setdefault(item.kind, []).append(f"{item.key} {item.value}".replace(" ", "\u00a0"))
    rows = table([("", ""), ("", "w")])
    rows.show_header = False
    for kind, values in kinds.items():
        rows.add_row(Text(kind.replace("_", " "), style="dim"), ", ".join(values))
    out.print(Padding(rows, (0, 0, 0, 2)), width=min(out.width, WIDTH))


def _show_verdict(plan: Plan, out: Console) -> None:
    heading(out, "Verdict")
    line = Text()
    line.append(plan.verdict.upper(), style=STYLES[plan.verdict])
    line.append("  " + plan.sentence)
    paragraph(out, line)
    paragraph(out, words.findings_counted(plan), "dim")


def _show_findings(plan: Plan, out: Console, everything: bool) -> None:
    shown = ("danger", "warning", "notice") if everything else ("danger", "warning")
    chosen = [f for f in plan.finding_list if f.severity.name in shown]
    if not chosen:
        return
    heading(out, "Findings")
    out.print(Padding(grouped(chosen, everything=everything), (0, 0, 0, 2)))
    notices = plan.count("notice")
    if not everything and notices:
        out.print(Text(f"  and {words.counted(notices, 'notice')}: --all shows them", style="dim"))


def _show_schedule(plan: Plan, out: Console) -> None:
    heading(out, "Wiring schedule")
    roomy = out.width >= 92
    columns = [("run", "c"), ("length", ">"), ("size", ">"), ("fuse", ">"), ("carries", ">")]
    if roomy:
        columns.append(("may", ">"))
    rows = table([*columns, ("drop", ">"), ("size held by", "w")])
    sources: dict[str, list[int]] = {}
    for index, described in enumerate(plan.system.runs):
        sources.setdefault(described.from_, []).append(index)
    for source, members in sources.items():
        rows.add_row(Text(f"from {source}", style="dim italic"))
        for index in members:
            run = plan.run_plans[index]
            may = [words.amps(run.ampacity_a)] if roomy else []
            rows.add_row(
                Padding(
                    Text(run.run, style="" if run.feasible else STYLES["danger"]), (0, 0, 0, 2)
                ),
                words.metres(run.length_m),
                str(run.size),
                "none" if run.device is None else words.amps(run.device.rating_a),
                words.amps(run.current_a),
                *may,
                words.drop(run),
                words.governed(run),
            )
    out.print(Padding(rows, (0, 0, 0, 2)))
    wiring = plan.data.wiring
    proof = "proved least" if wiring.optimality.proven else "not proved least"
    if all(run.size_given for run in plan.run_plans):
        proof = "as given"
    paragraph(
        out,
        f"{wiring.metal_kg:.2f} kg of metal in {words.counted(wiring.distinct_sizes, 'size')}, "
        f"{proof}. Length: one way. Drop: out and back, worst case. "
        + ("May: after ambient, bundle and terminals. " if roomy else "")
        + "Size held by: what a thinner one would fail. More: nightbus explain FILE RUN",
        "dim",
    )


def _show_fuses(plan: Plan, out: Console) -> None:
    fitted = [run for run in plan.run_plans if run.device is not None]
    if not fitted:
        return
    heading(out, "Overcurrent devices")
    places = {run.need.within_m for run in fitted}
    columns = [
        ("run", "c"),
        ("device", "c"),
        ("must break", ">"),
        ("at", ">"),
        ("far short", ">"),
        ("opens in", ">"),
    ]
    if len(places) > 1:
        columns.append(("within", ">"))
    rows = table(columns)
    for run in fitted:
        need = run.need
        cells = [
            run.run,
            words.device(run.device),
            words.amps(need.interrupt_a),
            f"{need.interrupt_v:.1f} V",
            words.amps(need.least_fault_a),
            words.opens(run),
        ]
        if len(places) > 1:
            cells.append(words.NONE if need.within_m is None else words.metres(need.within_m))
        rows.add_row(*cells)
    out.print(Padding(rows, (0, 0, 0, 2)))
    notes = ["Far short: the least current of a short at the end of the run."]
    notes += words.opens_notes(fitted)
    if len(places) == 1 and None not in places:
        notes.append(f"Each sits within {words.metres(places.pop())} of where its run is fed.")
    paragraph(out, " ".join(notes), "dim")


def _show_night(plan: Plan, out: Console) -> None:
    energy = plan.data.energy
    heading(out, "Night and sun")
    if not energy.done or not energy.months:
        out.print("  " + (energy.why_not or "not computed"))
        return
    roomy = out.width >= 92
    columns = [("month", ""), ("night", ""), ("takes", ">"), ("at sunrise", ">")]
    if roomy:
        columns.append(("day takes", ">"))
    rows = table([*columns, ("day brings", ">"), ("full after", ">"), ("lasts", ">")])
    for index, month in enumerate(energy.months):
        takes = [words.watt_hours(month.load_wh)] if roomy else []
        rows.add_row(
            words.month(month.month)[:3],
            "polar" if month.polar else f"{month.sunset_local}-{month.sunrise_local}",
            words.amp_hours(month.night_ah),
            words.percent(month.charge_sunrise, 0),
            *takes,
            words.watt_hours(month.sun_wh + month.charger_wh),
            "never" if month.never_full else words.hours(month.hours_to_full),
            words.days(month.days_to_reserve),
            style="bold" if index == energy.hardest else "",
        )
    out.print(Padding(rows, (0, 0, 0, 2)))
    hardest = energy.months[energy.hardest]
    paragraph(
        out,
        f"{words.month(hardest.month)} is the hardest month; the bank holds "
        f"{words.amp_hours(energy.usable_ah)} down to its reserve, aged. Takes: out of the bank, "
        "sunset to sunrise. Full after: hours after sunrise. Lasts: days to the reserve with "
        "nothing coming in. Mean days, no forecast.",
        "dim",
    )


def _show_heat(plan: Plan, out: Console) -> None:
    compartments = plan.data.heat.compartments
    if not compartments:
        return
    heading(out, "Heat")
    roomy = out.width >= 92
    columns = [("compartment", ""), ("hottest case", "w"), ("heat", ">"), ("air", ">")]
    columns.append(("limit", ">"))
    if roomy:
        columns += [("step", ">"), ("fans give", ">")]
    rows = table([*columns, ("needs", ">"), ("fans still", ">")])
    for compartment in compartments:
        hottest = compartment.cases[compartment.hottest]
        over = hottest.temp_c > compartment.limit_c
        has_fan = compartment.flow_m3s > 0
        fans = [
            f"{hottest.fan_step:.1f}" if has_fan else words.NONE,
            words.flow(compartment.flow_m3s) if has_fan else words.NONE,
        ]
        rows.add_row(
            compartment.name,
            hottest.case_name,
            words.watts(hottest.heat.total_w),
            Text(words.celsius(hottest.temp_c), style=STYLES["danger"] if over else ""),
            words.celsius(compartment.limit_c),
            *(fans if roomy else []),
            words.air_needed(compartment),
            words.celsius(compartment.fans_off_c),
        )
    out.print(Padding(rows, (0, 0, 0, 2)))
