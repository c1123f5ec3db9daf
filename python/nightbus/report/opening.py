"""What stands first: cautions, assumptions, verdict, diagram."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from nightbus import _core, words
from nightbus.report.common import (
    SCREEN,
    Form,
    anchor,
    section,
    severity_of,
    tag,
)
from nightbus.report.diagram import Notes, one_line
from nightbus.report.html import Html, el, join, table

if TYPE_CHECKING:
    from nightbus.planning import Plan


def cautions(plan: Plan, form: Form = SCREEN) -> Html:
    """What must be read before anything else."""
    rows = [
        [
            f"{item.kind}: {item.key}",
            item.value,
            words.listed(item.names, 6) if item.names else "",
            item.help,
        ]
        for item in plan.data.assumptions
    ]
    assumed: object = "Nothing was assumed: every figure is in the system file."
    if rows:
        assumed = form.folded(
            el(
                "summary", f"{words.counted(len(rows), 'value')} assumed because the file is silent"
            ),
            table(
                [("what", ""), ("taken as", "number"), ("for", ""), ("meaning", "")],
                rows,
                label="Assumptions",
            ),
            class_="cards",
        )
    unknown = form.folded(
        el("summary", "What this program does not know"),
        el("ul", [el("li", text) for text in plan.not_modelled]),
    )
    return section(
        "cautions",
        "Before you build",
        el("ul", [el("li", text) for text in plan.cautions], class_="cautions first"),
        assumed,
        unknown,
    )


def verdict(plan: Plan, form: Form = SCREEN) -> Html:
    """The answer, and what stands against it."""
    groups: dict[tuple[str, str], list[tuple[int, _core.Finding]]] = {}
    for index, finding in enumerate(plan.finding_list):
        if finding.severity.name in ("danger", "warning"):
            groups.setdefault((finding.severity.name, finding.code), []).append((index, finding))
    open_findings = [
        _stands_against(severity, members, form) for (severity, _), members in groups.items()
    ]
    return section(
        "verdict",
        "Verdict",
        el(
            "div",
            el("strong", plan.verdict.capitalize()),
            el("span", plan.sentence),
            el("span", words.findings_counted(plan)),
            class_=f"verdict {plan.verdict}",
            role="status",
        ),
        _figures(plan),
        el("ul", open_findings, class_="against") if open_findings else None,
    )


def _stands_against(severity: str, members: list[tuple[int, _core.Finding]], form: Form) -> Html:
    """One line for all findings of a kind; each links to its reasons."""
    if len(members) == 1:
        index, finding = members[0]
        link = el("a", finding.sentence, href=f"#{anchor(index, finding.code, form)}")
        return el("li", tag(severity), el("span", link))
    links = []
    for position, (index, finding) in enumerate(members):
        text = finding.case_name
        if finding.subject:
            text = finding.subject + (f" ({finding.case_name})" if finding.case_name else "")
        same = [other.subject for _, other in members].count(finding.subject) > 1
        links.append(
            join(
                ", " if position else "",
                el(
                    "a",
                    text if same else finding.subject,
                    href=f"#{anchor(index, finding.code, form)}",
                ),
            )
        )
    title = members[0][1].title
    return el("li", tag(severity), el("span", el("b", title), ": ", links))


def _figure(value: str, meaning: str) -> Html:
    return el("div", el("b", value), el("span", meaning), class_="figure")


def _figures(plan: Plan) -> Html:
    wiring, energy = plan.data.wiring, plan.data.energy
    parts = [
        _figure(f"{wiring.metal_kg:.2f} kg", f"conductor metal, {wiring.distinct_sizes} sizes"),
    ]
    if energy.done and energy.months:
        hardest = energy.months[energy.hardest]
        parts += [
            _figure(
                words.amp_hours(hardest.night_ah),
                f"a night takes in {words.month(hardest.month)}, the hardest month",
            ),
            _figure(words.percent(hardest.charge_sunrise, 0), "left in the bank at sunrise then"),
            _figure(words.days(hardest.days_to_reserve), "without sun until the reserve"),
        ]
    margins = [
        (case.margins.collapse_multiplier, case.name)
        for case in plan.case_results
        if case.margins is not None and case.margins.collapse_multiplier is not None
    ]
    if margins:
        least, where = min(margins)
        parts.append(_figure(f"× {least:.2f}", f"all loads, to voltage collapse ({where})"))
    return el("div", parts, class_="figures")


def diagram_notes(plan: Plan) -> Notes:
    """What the plan writes onto the diagram."""
    runs = {}
    for run in plan.run_plans:
        parts = [words.metres(run.length_m), str(run.size)]
        if run.device is not None:
            parts.append(words.amps(run.device.rating_a))
        runs[run.run] = " · ".join(parts)
    lowest: dict[str, float] = {}
    for device in plan.devices:
        lowest[device.name] = min(lowest.get(device.name, device.voltage_v), device.voltage_v)
    texts = {}
    for name, volts in lowest.items():
        record = plan.system.points().get(name)
        typical = getattr(record, "typical", None)
        texts[name] = f"{typical} · ≥ {volts:.1f} V" if typical else f"≥ {volts:.1f} V"
    for converter in plan.system.converters:
        texts[converter.name] = f"{converter.output}, {converter.power}"
    return Notes(runs, texts, severity_of(plan))


#: Sheets that the diagram may take, ISO 216: class, and room for it in mm, wide and tall.
SHEETS = (
    ("a4", 273.0, 150.0),
    ("a4-tall", 186.0, 237.0),
    ("a3", 396.0, 237.0),
    ("a3-tall", 273.0, 360.0),
)
PAGE_WIDE = 1120.0  # in units, of the text column on a screen
SMALLEST_MM = 1.9  # of its letters, which are 11 units tall: about five and a half points
LETTER = 11.0


def _extent(svg: str) -> tuple[float, float]:
    """How wide and how tall a drawing is, in its own units."""
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    return (float(found[1]), float(found[2])) if found else (1.0, 1.0)


def sheet_for(svg: str) -> tuple[str, float, float]:
    """Choose the smallest sheet on which a drawing can be read: its class, and mm wide and tall.

    Examples
    --------
    >>> from nightbus.report.opening import sheet_for
    >>> sheet_for('<svg viewBox="0 0 1000 500">')[0], sheet_for('<svg viewBox="0 0 900 2000">')[0]
    ('a4', 'a3-tall')
    """
    wide, tall = _extent(svg)
    scales = {name: min(room_w / wide, room_h / tall) for name, room_w, room_h in SHEETS}
    fitting = [name for name, scale in scales.items() if LETTER * scale >= SMALLEST_MM]
    # Nothing is readable: the sheet on which it gets largest.
    name = fitting[0] if fitting else max(scales, key=lambda one: scales[one])
    return name, wide * scales[name], tall * scales[name]


def drawing(plan: Plan) -> Html:
    """Draw the one-line diagram; on paper it takes one sheet, as large as it needs."""
    svg = one_line(plan.system, diagram_notes(plan))
    sheet, wide_mm, tall_mm = sheet_for(svg)
    return el(
        "section",
        el("h2", "One-line diagram", id="diagram-title"),
        el(
            "p",
            "Bank left, loads right. On each line: length one way, size, rating of the overcurrent "
            "device. ≥ is the least voltage the device sees in any case. "
            "▲! marks a danger, ◆? a warning.",
            class_="key",
        ),
        el(
            "div",
            Html(svg),
            class_="drawing wide" if _extent(svg)[0] > PAGE_WIDE else "drawing",
            style=f"--wide:{wide_mm:.1f}mm;--tall:{tall_mm:.1f}mm",
            tabindex="0",
            role="region",
            aria_label="One-line diagram, drawing",
        ),
        id="diagram",
        aria_labelledby="diagram-title",
        class_=f"page sheet-{sheet}",
    )
