"""Findings, and the papers one works from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import _core, sheets, words
from nightbus.report import sheets as more
from nightbus.report.common import (
    SCREEN,
    Form,
    anchor,
    number,
    section,
    tag,
)
from nightbus.report.html import Html, el, table

if TYPE_CHECKING:
    from nightbus.planning import Plan


SEVERITIES = (
    "Danger: fire, injury or gear that fails; not to be built. Warning: works badly or only by "
    "luck. Notice: to know, or to look up."
)
FOLD = 3  # so many notices of one kind stand together behind one line


def findings(plan: Plan, form: Form = SCREEN) -> Html:
    """Every finding; what is behind it unfolds. Many notices of one kind fold into one."""
    if form.paper:
        return _findings_on_paper(plan)
    parts: list[object] = []
    passed: list[list[str]] = []
    notices: dict[str, list[Html]] = {}
    for index, finding in enumerate(plan.finding_list):
        severity = finding.severity.name
        if severity == "passed":
            passed.append([finding.title, finding.subject, finding.sentence, finding.rule])
        elif severity == "notice":
            notices.setdefault(finding.title, []).append(_finding(index, finding))
        else:
            parts.append(_finding(index, finding))
    for title, members in notices.items():
        if len(members) < FOLD:
            parts += members
            continue
        parts.append(
            el(
                "details",
                el("summary", tag("notice"), f" {title}: {len(members)}"),
                el("div", members),
                class_="notice",
            )
        )
    if passed:
        parts.append(
            el(
                "details",
                el("summary", tag("passed"), f" {len(passed)} checks that hold"),
                table(
                    [("check", ""), ("of", ""), ("what", ""), ("rule", "")],
                    passed,
                    label="Checks that hold",
                ),
                class_="cards",
            )
        )
    return section(
        "findings",
        "Findings",
        el(
            "p",
            f"{SEVERITIES} Each unfolds to its value, limit, rule and what to do.",
            class_="lead",
        ),
        parts,
        more.changes(plan),
    )


def _findings_on_paper(plan: Plan) -> Html:
    """Findings of a kind stand together: advice and meaning once, then each in a line."""
    kinds: dict[tuple[str, str], list[_core.Finding]] = {}
    for finding in plan.finding_list:
        kinds.setdefault((finding.severity.name, finding.code), []).append(finding)
    blocks, held = [], []
    named: set[str] = set()
    for (severity, code), members in kinds.items():
        first = members[0]
        if severity == "passed":
            subjects = list(dict.fromkeys(one.subject or "the system" for one in members))
            rules = list(dict.fromkeys(one.rule for one in members if one.rule))
            held.append([first.title, str(len(members)), words.listed(subjects, 10),
                         words.listed(rules, 3)])  # fmt: skip
            continue
        lines = [
            el("li", one.sentence, el("span", f" {one.rule}", class_="rule") if one.rule else None)
            for one in members
        ]
        advice = list(dict.fromkeys(one.advice for one in members if one.advice))
        blocks.append(
            el(
                "div",
                el("p", tag(severity), " ", el("b", first.title)),
                el("ul", lines),
                [el("p", "→ ", text, class_="advice") for text in advice],
                class_=f"kind {severity}",
                id=None if code in named else anchor(0, code, Form(paper=True)),
            )
        )
        named.add(code)
    return section(
        "findings",
        "Findings",
        el(
            "p",
            f"{SEVERITIES} The HTML report holds every check with its value, limit and rule.",
            class_="lead",
        ),
        blocks,
        more.changes(plan),
        el("h3", f"{plan.count('passed')} checks that hold"),
        table(
            [("check", ""), ("times", "number"), ("of", ""), ("rules", "")],
            held,
            label="Checks that hold",
        ),
    )


def _finding(index: int, finding: _core.Finding) -> Html:
    severity = finding.severity.name
    facts = [
        ("what to do", finding.advice),
        ("what it means", finding.help),
        ("rule", finding.rule),
        ("case", finding.case_name),
        ("value", words.show(finding.value, finding.dimension)),
        ("limit", words.show(finding.limit, finding.dimension)),
        ("written at", finding.where.place if finding.where.known else ""),
        ("code", finding.code),
    ]
    return el(
        "details",
        el("summary", tag(severity), " ", finding.sentence),
        el(
            "dl",
            [
                (el("dt", what), el("dd", value))
                for what, value in facts
                if value and value != words.NONE
            ],
        ),
        class_=severity,
        id=anchor(index),
    )


def commissioning(plan: Plan) -> Html:
    """The sheet to fill in while switching on."""

    def sheet(title: str, checks: list[sheets.Check]) -> Html:
        return el(
            "div",
            table(
                [
                    ("at", ""),
                    ("check", ""),
                    ("expected", ""),
                    ("wrong if", ""),
                    ("reading", "blank"),
                    ("by", "blank"),
                ],
                [[c.at, c.step, c.expected, c.wrong_if, Html("&nbsp;"), ""] for c in checks],
                label=title,
            ),
            class_="cards",
        )

    names = [case.name for case in plan.case_results]
    case = names[sheets.reading_case(plan)] if names else ""
    return section(
        "commissioning",
        "Commissioning sheet",
        el(
            "p",
            "Common practice, no source. A licensed person checks what the local code asks for.",
            class_="lead",
        ),
        el("h3", "Dead: before the bank is connected"),
        sheet("Before the bank is connected", sheets.dead_checks(plan)),
        el("h3", f"Live: readings to expect, case {case}"),
        sheet("Readings to expect", sheets.live_checks(plan)),
        more.readings(plan),
        page=True,
    )


def parts(plan: Plan) -> Html:
    """Parts and cut list."""
    return section(
        "parts",
        "Parts and cut list",
        el("p", "Lengths as described: add what bends, slack and both ends need.", class_="lead"),
        table(
            [("part", ""), ("number", "number"), ("unit", "")],
            [[row.part, f"{row.number:g}", row.unit] for row in sheets.parts(plan).itertuples()],
            label="Parts",
        ),
        el("h3", "Cut list"),
        table(
            [
                ("run", ""),
                ("pole", ""),
                ("pieces", "number"),
                ("size", "number"),
                ("length", "number"),
            ],
            [
                [row.run, row.pole, str(row.pieces), row.size, words.metres(number(row.length_m))]
                for row in sheets.cut_list(plan).itertuples()
            ],
            label="Cut list",
        ),
        more.totals(plan),
        more.blocks(plan),
    )


def labels(plan: Plan) -> Html:
    """Labels for both ends of each run."""
    return section(
        "labels",
        "Labels",
        el(
            "div",
            [
                el(
                    "div",
                    el("b", label.run),
                    f"at {label.here}, other end at {label.other}",
                    el("br"),
                    f"{label.conductor} · {words.metres(label.length_m)} · {label.device}",
                    class_="label",
                )
                for label in sheets.labels(plan)
            ],
            class_="labels",
        ),
        page=True,
    )


def sources(plan: Plan, form: Form = SCREEN) -> Html:
    """Every table that had a say."""
    return section(
        "sources",
        "Sources",
        el(
            "p",
            "No rule set here claims that the work complies with it; each says what it leaves out.",
            class_="lead",
        ),
        [
            form.folded(
                el("summary", el("b", use.name), f": {use.purpose}"),
                el("p", use.limits),
                el("ul", [el("li", citation) for citation in use.citations]),
            )
            for use in plan.data.rules
        ],
    )


def system_file(plan: Plan, text: str) -> Html:
    """The system file that all of this was made from."""
    return section(
        "system",
        "The system file",
        el("pre", el("code", text), tabindex="0", aria_label="System file"),
        page=True,
    )
