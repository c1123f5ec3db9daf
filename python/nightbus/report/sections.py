"""The sections of the report, in the order in which they are read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import _core, sheets, words
from nightbus.report import pictures
from nightbus.report.diagram import Notes, one_line
from nightbus.report.html import Html, el, join, table

if TYPE_CHECKING:
    from nightbus.planning import Plan

KIND_OF = {"PoE link": "poe_link", "poe_link": "poe_link"}


def severity_of(plan: Plan) -> dict[tuple[str, str], str]:
    """Worst severity of every subject, by kind and name; only dangers and warnings."""
    worst: dict[tuple[str, str], str] = {}
    for finding in reversed(plan.finding_list):
        if finding.severity.name in ("danger", "warning"):
            kind = KIND_OF.get(finding.subject_kind, finding.subject_kind)
            worst[kind, finding.subject] = finding.severity.name
    return worst


def diagram_notes(plan: Plan) -> Notes:
    """What the plan writes onto the diagram."""
    runs = {}
    for run in plan.run_plans:
        parts = [words.metres(run.length_m), str(run.size)]
        if run.device is not None:
            parts.append(words.device(run.device))
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


def _anchor(index: int) -> str:
    return f"finding-{index + 1}"


def _section(name: str, title: str, *children: object, page: bool = False) -> Html:
    return el(
        "section",
        el("h2", title, id=f"{name}-title"),
        *children,
        id=name,
        aria_labelledby=f"{name}-title",
        class_="page" if page else None,
    )


def tag(severity: str) -> Html:
    """A word in a frame: readable without its colour."""
    return el("span", severity, class_=f"tag {severity}")


def cautions(plan: Plan) -> Html:
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
        assumed = el(
            "details",
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
    unknown = el(
        "details",
        el("summary", "What this program does not know"),
        el("ul", [el("li", text) for text in plan.not_modelled]),
    )
    return _section(
        "cautions",
        "Before you build",
        el("ul", [el("li", text) for text in plan.cautions], class_="cautions first"),
        assumed,
        unknown,
    )


def verdict(plan: Plan) -> Html:
    """The answer, and what stands against it."""
    groups: dict[tuple[str, str], list[tuple[int, _core.Finding]]] = {}
    for index, finding in enumerate(plan.finding_list):
        if finding.severity.name in ("danger", "warning"):
            groups.setdefault((finding.severity.name, finding.code), []).append((index, finding))
    open_findings = [
        _stands_against(severity, members) for (severity, _), members in groups.items()
    ]
    return _section(
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


def _stands_against(severity: str, members: list[tuple[int, _core.Finding]]) -> Html:
    """One line for all findings of a kind; each links to its reasons."""
    if len(members) == 1:
        index, finding = members[0]
        link = el("a", finding.sentence, href=f"#{_anchor(index)}")
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
                el("a", text if same else finding.subject, href=f"#{_anchor(index)}"),
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


def drawing(plan: Plan) -> Html:
    """The one-line diagram."""
    return _section(
        "diagram",
        "One-line diagram",
        el(
            "p",
            "Bank left, loads right. On each line: length one way, size, overcurrent device. "
            "≥ is the least voltage the device sees in any case. ▲! marks a danger, ◆? a warning.",
            class_="key",
        ),
        el(
            "div",
            Html(one_line(plan.system, diagram_notes(plan))),
            class_="drawing",
            tabindex="0",
            role="region",
            aria_label="One-line diagram",
        ),
        page=True,
    )


def schedule(plan: Plan) -> Html:
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
                words.volts(run.drop_v),
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
    return _section(
        "schedule",
        "Wiring schedule",
        el(
            "p",
            "Lengths are one way; out and back run together unless stated. ",
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
                    ("chosen for", ""),
                ],
                rows,
                label="Wiring schedule",
                row_classes=classes,
            ),
            class_="cards",
        ),
        _changes(plan),
        el(
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


def _limit_text(check: _core.Verdict) -> str:
    value = words.show(check.value, check.dimension)
    if check.limit is None:
        return value
    relation = "against at least" if check.at_least else "against"
    return f"{value} {relation} {words.show(check.limit, check.dimension)}"


def _reason(run: _core.RunPlan) -> Html:
    rows, classes = [], []
    for index, candidate in enumerate(run.candidates):
        failure = candidate.first_failure
        rows.append(
            [
                ("▶ " if index == run.chosen else "") + str(candidate.size),
                words.device(candidate.device),
                "fits" if failure is None else failure.title,
                "" if failure is None else _limit_text(failure),
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
                    check.title,
                    "passed" if check.passed else "FAILED" if check.rejects else "advice",
                    _limit_text(check),
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
    for run in plan.run_plans:
        if run.device is None:
            continue
        need = run.need
        rows.append(
            [
                run.run,
                words.device(run.device),
                words.amps(run.current_a),
                f"{words.amps(need.interrupt_a)} at {need.interrupt_v:.1f} V",
                words.amps(need.prospective_a),
                words.amps(need.least_fault_a),
                words.seconds(need.opens_in_s),
                "no rule" if need.within_m is None else words.metres(need.within_m),
                words.amps(need.holder_a),
                "far end" if need.at_far_end else "source",
            ]
        )
    return _section(
        "fuses",
        "Overcurrent devices",
        el(
            "div",
            table(
                [
                    ("run", ""),
                    ("device", "whole"),
                    ("carries", "number"),
                    ("must break", "number"),
                    ("short right behind it", "number"),
                    ("short at the far end", "number"),
                    ("opens in", "number"),
                    ("from the source", "number"),
                    ("holder for", "number"),
                    ("sits at", ""),
                ],
                rows,
                label="Overcurrent devices",
            ),
            class_="cards",
        ),
    )


def volts(plan: Plan) -> Html:
    """What every device sees, against its window."""
    marks = severity_of(plan)
    rows, classes = [], []
    frame = plan.loads
    for row in frame.itertuples():
        rows.append(
            [
                str(row.name),
                str(row.kind),
                words.volts(_number(row.lowest_v)),
                str(row.lowest_case),
                words.volts(_number(row.highest_v)),
                f"{words.volts(_number(row.window_low_v))} to "
                f"{words.volts(_number(row.window_high_v))}",
                words.volts(_number(row.margin_v)),
                _percent(row.drop_percent),
                _percent(row.limit_percent or None),
            ]
        )
        kind = KIND_OF.get(str(row.kind), str(row.kind))
        classes.append(marks.get((kind, str(row.name)), ""))
    ladders = [
        join(el("h3", f"{title} side"), picture)
        for title, picture in pictures.voltage_ladders(plan)
    ]
    return _section(
        "volts",
        "Voltage at every device",
        el(
            "p",
            "The band is the window that a device accepts, each ring its volts in one case; "
            "▲ and a filled ring: outside.",
            class_="key",
        ),
        ladders,
        el(
            "div",
            table(
                [
                    ("device", ""),
                    ("what", ""),
                    ("lowest", "number"),
                    ("in case", ""),
                    ("highest", "number"),
                    ("accepts", "number"),
                    ("least margin", "number"),
                    ("drop", "number"),
                    ("limit", "number"),
                ],
                rows,
                label="Voltage at every device",
                row_classes=classes,
            ),
            class_="cards",
        ),
        page=True,
    )


def _number(value: object) -> float | None:
    if value is None or value != value:  # a missing number of pandas is not equal to itself
        return None
    return float(value)  # type: ignore[arg-type]


def _percent(value: object) -> str:
    number = _number(value)
    return words.NONE if number is None else f"{number:.1f} %"


def night(plan: Plan) -> Html:
    """Day, night and sun."""
    energy = plan.data.energy
    if not energy.done or not energy.months:
        return _section("night", "Night and sun", el("p", energy.why_not or "Not computed."))
    hardest = energy.months[energy.hardest]
    rows, classes = [], []
    for index, month in enumerate(energy.months):
        rows.append(
            [
                words.month(month.month),
                f"{month.sunset_local} to {month.sunrise_local}" if not month.polar else "polar",
                words.amp_hours(month.night_ah),
                words.percent(month.charge_sunrise, 0),
                words.volts(month.lowest_v),
                words.watt_hours(month.load_wh),
                words.watt_hours(month.sun_wh),
                words.watt_hours(month.charger_wh),
                "never" if month.never_full else words.hours(month.hours_to_full),
                words.days(month.days_to_reserve),
                words.days(month.days_to_dark),
            ]
        )
        classes.append("warning" if index == energy.hardest else "")
    shares = sorted(energy.loads, key=lambda share: -share.night_at_bank_wh)
    return _section(
        "night",
        "Night and sun",
        el(
            "p",
            f"The hardest month is {words.month(hardest.month)}. The bank holds "
            f"{words.watt_hours(energy.usable_wh)} ({words.amp_hours(energy.usable_ah)}) down to "
            f"its reserve, aged.",
        ),
        pictures.months(plan),
        el(
            "div",
            table(
                [
                    ("month", ""),
                    ("night, local", "number"),
                    ("takes", "number"),
                    ("charge at sunrise", "number"),
                    ("lowest bank", "number"),
                    ("gear and losses a day", "number"),
                    ("sun a day", "number"),
                    ("chargers a day", "number"),
                    ("full after sunrise", "number"),
                    ("grey days to reserve", "number"),
                    ("to first device off", "number"),
                ],
                rows,
                label="Mean day and night of each month",
                row_classes=classes,
            ),
            class_="cards",
        ),
        el("h3", f"Who uses the night in {words.month(hardest.month)}"),
        el(
            "div",
            table(
                [
                    ("consumer", ""),
                    ("what", ""),
                    ("day", "number"),
                    ("night", "number"),
                    ("day at the bank", "number"),
                    ("night at the bank", "number"),
                    ("night", "number"),
                ],
                [
                    [
                        share.name,
                        share.kind,
                        words.watt_hours(share.day_wh),
                        words.watt_hours(share.night_wh),
                        words.watt_hours(share.day_at_bank_wh),
                        words.watt_hours(share.night_at_bank_wh),
                        words.amp_hours(share.night_ah),
                    ]
                    for share in shares
                ],
                label="Consumers, with their share of all losses at the bank",
            ),
            class_="cards",
        ),
        el(
            "p",
            f"Of the day, {words.watt_hours(energy.devices_wh)} reach the gear; "
            f"{words.watt_hours(energy.converter_loss_wh)} are lost in converters, "
            f"{words.watt_hours(energy.cable_loss_wh)} in cables, "
            f"{words.watt_hours(energy.standby_wh)} in standby.",
        ),
        page=True,
    )


def heat(plan: Plan) -> Html:
    """Air in the compartments."""
    compartments = plan.data.heat.compartments
    if not compartments:
        return _section(
            "heat", "Heat", el("p", "No compartment is described: heat was not considered.")
        )
    rows, classes = [], []
    for compartment in compartments:
        hottest = compartment.cases[compartment.hottest]
        rows.append(
            [
                compartment.name,
                hottest.case_name,
                words.celsius(hottest.outside_c),
                words.watts(hottest.heat.total_w),
                words.celsius(hottest.temp_c),
                words.celsius(compartment.limit_c),
                f"{hottest.fan_step:.1f}" if compartment.flow_m3s > 0 else "no fan",
                words.flow(compartment.flow_m3s) if compartment.flow_m3s > 0 else words.NONE,
                "held"
                if compartment.held
                else "no amount of air"
                if compartment.needed_flow_m3s is None
                else words.flow(compartment.needed_flow_m3s),
                words.celsius(compartment.fans_off_c),
            ]
        )
        over = hottest.temp_c > compartment.limit_c
        classes.append("danger" if over else "")
    return _section(
        "heat",
        "Heat",
        el(
            "p",
            "Dot: air in the hottest case, fans by their thermostats. Numbered ticks: with the "
            "fans held at that step. Band: up to the limit.",
            class_="key",
        ),
        pictures.heat(plan),
        el(
            "div",
            table(
                [
                    ("compartment", ""),
                    ("hottest case", ""),
                    ("outside", "number"),
                    ("heat", "number"),
                    ("air", "number"),
                    ("limit", "number"),
                    ("fan step", "number"),
                    ("fans give", "number"),
                    ("needs", "number"),
                    ("fans still", "number"),
                ],
                rows,
                label="Compartments in their hottest case",
                row_classes=classes,
            ),
            class_="cards",
        ),
    )


def findings(plan: Plan) -> Html:
    """Every finding; what is behind it unfolds."""
    parts: list[object] = []
    passed: list[list[str]] = []
    for index, finding in enumerate(plan.finding_list):
        severity = finding.severity.name
        if severity == "passed":
            passed.append([finding.title, finding.subject, finding.sentence, finding.rule])
            continue
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
        parts.append(
            el(
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
                id=_anchor(index),
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
    return _section("findings", "Findings", parts, page=True)


def commissioning(plan: Plan) -> Html:
    """The sheet to fill in while switching on."""

    def sheet(title: str, checks: list[sheets.Check]) -> Html:
        return el(
            "div",
            table(
                [
                    ("at", ""),
                    ("check", ""),
                    ("expected", "number"),
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
    return _section(
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
        page=True,
    )


def parts(plan: Plan) -> Html:
    """Parts and cut list."""
    return _section(
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
                [row.run, row.pole, str(row.pieces), row.size, words.metres(_number(row.length_m))]
                for row in sheets.cut_list(plan).itertuples()
            ],
            label="Cut list",
        ),
        page=True,
    )


def labels(plan: Plan) -> Html:
    """Labels for both ends of each run."""
    return _section(
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


def sources(plan: Plan) -> Html:
    """Every table that had a say."""
    return _section(
        "sources",
        "Sources",
        el(
            "p",
            "No rule set here claims that the work complies with it; each says what it leaves out.",
            class_="lead",
        ),
        [
            el(
                "details",
                el("summary", el("b", use.name), f": {use.purpose}"),
                el("p", use.limits),
                el("ul", [el("li", citation) for citation in use.citations]),
            )
            for use in plan.data.rules
        ],
    )


def system_file(plan: Plan, text: str) -> Html:
    """The system file that all of this was made from."""
    return _section(
        "system",
        "The system file",
        el("pre", el("code", text), tabindex="0", aria_label="System file"),
        page=True,
    )
