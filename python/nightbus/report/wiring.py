"""Conductors and overcurrent devices, with their reasons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import _core, words
from nightbus.report.common import (
    SCREEN,
    Form,
    limit_text,
    section,
    severity_of,
)
from nightbus.report.html import Html, el, join, table

if TYPE_CHECKING:
    from nightbus.planning import Plan


def schedule(plan: Plan, form: Form = SCREEN) -> Html:
    """Conductor and device of each run, and why."""
    marks = severity_of(plan)
    rows, classes = [], []
    for run, described in zip(plan.run_plans, plan.system.runs, strict=True):
        rows.append(
            [
                run.run,
                f"{described.from_} → {described.to}",
                words.metres(run.length_m),
                str(run.size) + (f" / {run.return_size}" if run.return_size else ""),
                words.device(run.device),
                words.amps(run.current_a),
                words.amps(run.ampacity_a),
                words.drop(run),
                words.celsius(run.conductor_c),
                words.governed(run),
            ]
        )
        classes.append(marks.get(("run", run.run), ""))
    optimality = plan.data.wiring.optimality
    proof = optimality.note
    if all(run.size_given for run in plan.run_plans):
        proof = "All sizes are given in the file: they are checked, not chosen."
    elif optimality.proven:
        proof = "No choice of sizes that passes every check uses less."
    return section(
        "schedule",
        "Wiring schedule",
        el(
            "p",
            "Length: one way; out and back run together unless stated. May carry: after ambient, "
            "bundle and terminals. Drop: out and back, in the worst case. Size held by: what a "
            "thinner conductor would fail. ",
            proof,
            class_="lead",
        ),
        el(
            "p",
            el("label", "Find a run ", for_="find-run"),
            el("input", id="find-run", type="search", autocomplete="off"),
            el("span", id="found", role="status"),
            class_="find",
        ),
        el(
            "div",
            table(
                [
                    ("run", ""),
                    ("from → to", ""),
                    ("length", "number"),
                    ("size", "number"),
                    ("device", "whole"),
                    ("carries", "number"),
                    ("may carry", "number"),
                    ("drop", "number"),
                    ("conductor", "number"),
                    ("size held by", ""),
                ],
                rows,
                label="Wiring schedule",
                row_classes=classes,
            ),
            class_="cards",
        ),
        _changes(plan),
        _reasons_on_paper(plan)
        if form.paper
        else el(
            "details",
            el("summary", el("b", "Reasons, run by run"), ": what was looked at and what failed"),
            el("div", [_reason(run) for run in plan.run_plans]),
        ),
        page=True,
    )


def _changes(plan: Plan) -> Html | None:
    changes = plan.data.wiring.changes
    if not changes:
        return None
    return join(
        el("h3", "The smallest change that would make it possible"),
        el("ul", [el("li", change.words) for change in changes]),
    )


def _refused(run: _core.RunPlan) -> str:
    """Why the next thinner size that was looked at does not do."""
    for candidate in reversed(run.candidates[: run.chosen]):
        failure = candidate.first_failure
        if failure is not None:
            return f"{candidate.size}: {failure.title}, {limit_text(failure)} ({failure.rule})"
    return ""


def _reasons_on_paper(plan: Plan) -> Html:
    """One row for each run: what fails, or why it is not thinner. The rest is on the screen."""
    rows = []
    for run in plan.run_plans:
        checks = run.choice.checks if run.choice is not None else []
        failed = [check for check in checks if not check.passed]
        against = [
            el("div", f"{check.title}: {limit_text(check)} ({check.rule})") for check in failed
        ]
        held = words.counted(len(checks) - len(failed), "check holds", "checks hold")
        rows.append(
            [
                run.run,
                f"{run.size}, {words.device(run.device)}",
                held,
                against or words.NONE,
                _refused(run) or words.governed(run),
            ]
        )
    return join(
        el("h3", "Reasons, run by run"),
        table(
            [
                ("run", ""),
                ("size and device", "whole"),
                ("holds", "whole"),
                ("against it, or not known", ""),
                ("next thinner: why not", ""),
            ],
            rows,
            label="Reasons, run by run",
        ),
    )


def _reason(run: _core.RunPlan) -> Html:
    rows, classes = [], []
    for index, candidate in enumerate(run.candidates):
        failure = candidate.first_failure
        rows.append(
            [
                ("▶ " if index == run.chosen else "") + str(candidate.size),
                words.device(candidate.device),
                "fits by itself" if failure is None else failure.title,
                "" if failure is None else limit_text(failure),
                "" if failure is None else failure.rule,
            ]
        )
        classes.append("chosen" if index == run.chosen else "")
    checks = run.choice.checks if run.choice is not None else []
    return el(
        "details",
        el(
            "summary",
            el("b", run.run),
            f": {run.size}, {words.device(run.device)}: {words.governed(run)}",
        ),
        el(
            "p",
            f"Carries {words.amps(run.current_a)} in case {run.current_case or '–'}; may carry "
            f"{words.amps(run.ampacity_a)} by {run.ampacity_rule or '–'}.",
        ),
        table(
            [("size", ""), ("device", ""), ("verdict", ""), ("value", "number"), ("rule", "")],
            rows,
            label=f"Sizes looked at for {run.run}",
            row_classes=classes,
        )
        if rows
        else None,
        table(
            [("check", ""), ("outcome", ""), ("value", "number"), ("case", ""), ("rule", "")],
            [
                [
                    words.checked(check),
                    "passed" if check.passed else "FAILED" if check.rejects else "advice",
                    limit_text(check),
                    check.case_name,
                    check.rule,
                ]
                for check in checks
            ],
            label=f"Every check of the size chosen for {run.run}",
        )
        if checks
        else None,
        class_="reason",
    )


def fuses(plan: Plan) -> Html:
    """Overcurrent devices: what each must be able to do."""
    rows = []
    fitted = [run for run in plan.run_plans if run.device is not None]
    for run in fitted:
        need = run.need
        rows.append(
            [
                run.run,
                words.device(run.device),
                words.amps(run.current_a),
                f"{words.amps(need.interrupt_a)} at {need.interrupt_v:.1f} V",
                words.amps(need.least_fault_a),
                words.opens(run),
                "no rule" if need.within_m is None else words.metres(need.within_m),
                words.amps(need.holder_a),
                "far end" if need.at_far_end else "source",
            ]
        )
    notes = [
        "Must break: the most that a short right behind it can drive, at the highest voltage of "
        "its bus. Short at the far end: the least that a short at the end of the run drives, from "
        "a weak bank through warm wire.",
        *words.opens_notes(fitted),
    ]
    return section(
        "fuses",
        "Overcurrent devices",
        el("p", " ".join(notes), class_="lead"),
        el(
            "div",
            table(
                [
                    ("run", ""),
                    ("device", "whole"),
                    ("carries", "number"),
                    ("must break", "number"),
                    ("short at the far end", "number"),
                    ("opens in", "number"),
                    ("at most from its end", "number"),
                    ("holder for", "number"),
                    ("sits at", "whole"),
                ],
                rows,
                label="Overcurrent devices",
            ),
            class_="cards",
        ),
    )
