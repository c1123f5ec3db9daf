"""Everything the plan knows about one run, one device or one kind of finding."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from nightbus import _core, words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from nightbus.planning import Plan


WORST_FIRST = ("danger", "warning", "notice", "passed")


@dataclass
class Table:
    """A small table of text."""

    title: str
    columns: list[str]
    rows: list[list[str]]


@dataclass
class Explanation:
    """A title, facts, tables and sentences: rendered as text, terminal or JSON."""

    kind: str
    name: str
    title: str
    facts: list[tuple[str, str]] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    findings: list[_core.Finding] = field(default_factory=list)
    text: str = ""

    def as_dict(self) -> dict[str, Any]:
        """Return it as plain data, ``"format": 1``."""
        return {
            "format": 1,
            "kind": self.kind,
            "name": self.name,
            "title": self.title,
            "text": self.text,
            "facts": [{"what": what, "value": value} for what, value in self.facts],
            "tables": [
                {"title": table.title, "columns": table.columns, "rows": table.rows}
                for table in self.tables
            ],
            "findings": [
                {
                    "severity": finding.severity.name,
                    "code": finding.code,
                    "subject": finding.subject,
                    "what": finding.sentence,
                    "advice": finding.advice,
                    "rule": finding.rule,
                }
                for finding in self.findings
            ],
        }

    def __str__(self) -> str:
        lines = [self.title, "=" * len(self.title)]
        if self.text:
            lines += [self.text, ""]
        width = max((len(what) for what, _ in self.facts), default=0)
        lines += [f"{what:<{width}}  {value}" for what, value in self.facts]
        for table in self.tables:
            lines += ["", table.title, "-" * len(table.title), *_aligned(table)]
        if self.findings:
            lines += ["", "Findings", "--------"]
            for finding in self.findings:
                lines.append(f"{finding.severity.name}: {finding.sentence}")
                if finding.severity.name != "passed":
                    lines.append(f"    {finding.advice}")
        return "\n".join(lines)


def _aligned(table: Table) -> list[str]:
    widths = [
        max(len(row[i]) for row in [table.columns, *table.rows]) for i in range(len(table.columns))
    ]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in [table.columns, *table.rows]
    ]


def explain(plan: Plan, name: str) -> str:
    """Say everything that a plan knows about one run, device or kind of finding, as text.

    Parameters
    ----------
    plan : Plan
        The plan that is asked.
    name : str
        Name of a run, a bus or a device, or the code of a kind of finding.

    Raises
    ------
    LookupError
        With near misses, for a name that is not there.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.explain(nb.plan("post.toml"), "no-ampacity").splitlines()[0]
    'No rule set knows a current for this conductor'
    """
    return str(explanation(plan, name))


def explanation(plan: Plan, name: str) -> Explanation:
    """Look a name up among runs, devices and finding codes.

    A run and the device it feeds may share a name: both are then explained together.

    Raises
    ------
    LookupError
        With near misses, when nothing has that name.
    """
    run = name in plan.system.runs.names()
    device = name in {device.name for device in plan.devices}
    if run and device:
        both = _device(plan, name)
        wire = _run(plan, name)
        both.title = f"{name}, and the run of that name"
        both.facts += wire.facts
        both.tables += wire.tables
        both.findings += [found for found in wire.findings if found not in both.findings]
        both.findings.sort(key=lambda found: WORST_FIRST.index(found.severity.name))
        return both
    if run:
        return _run(plan, name)
    if device:
        return _device(plan, name)
    codes = [kind.code for kind in _core.finding_kinds()]
    if name in codes:
        return _code(plan, name)
    points = plan.system.points()
    if name in points or name in plan.system.compartments.names():
        return _other(plan, name)
    known = [*plan.system.runs.names(), *points, *plan.system.compartments.names(), *codes]
    near = _core.near_misses(name, known)
    hint = f'; did you mean "{near[0]}"?' if near else ""
    raise _core.LookupError(f'there is no run, device or finding code "{name}"{hint}')


def _about(plan: Plan, kinds: Iterable[str], name: str) -> list[_core.Finding]:
    wanted = set(kinds)
    return [
        finding
        for finding in plan.finding_list
        if finding.subject == name and finding.subject_kind in wanted
    ]


def _verdict_text(check: _core.Verdict) -> str:
    value = words.show(check.value, check.dimension)
    limit = words.show(check.limit, check.dimension)
    relation = "at least" if check.at_least else "at most"
    return f"{value}, {relation} {limit}" if check.limit is not None else value


def _candidates(run: _core.RunPlan) -> Table:
    rows = []
    for index, candidate in enumerate(run.candidates):
        failure = candidate.first_failure
        rows.append(
            [
                "▶" if index == run.chosen else "",
                str(candidate.size),
                words.device(candidate.device),
                "fits by itself" if failure is None else failure.title,
                "" if failure is None else _verdict_text(failure),
                "" if failure is None else failure.rule,
            ]
        )
    return Table(
        "Sizes looked at, and the first rule against each (a shared feeder can ask for more)",
        ["", "size", "device", "verdict", "value and limit", "rule"],
        rows,
    )


def _checks(candidate: _core.Candidate) -> Table:
    return Table(
        "Every check of the size chosen",
        ["check", "outcome", "value and limit", "case", "rule"],
        [
            [
                words.checked(check),
                "passed" if check.passed else "FAILED" if check.rejects else "advice",
                _verdict_text(check),
                check.case_name,
                check.rule,
            ]
            for check in candidate.checks
        ],
    )


def _conductor(run: _core.RunPlan) -> str:
    size = str(run.size)
    family = run.family if run.family not in size else ""
    return f"{size} {family}".strip() + f", {words.counted(run.conductors, 'conductor')}"


def _run(plan: Plan, name: str) -> Explanation:
    index = plan.system.runs.names().index(name)
    described, run = plan.system.runs[index], plan.run_plans[index]
    facts = [
        ("run", f"{described.from_} → {described.to}, {words.metres(run.length_m)} one way"),
        ("conductor", _conductor(run)),
        (
            "chosen because",
            words.governed(run) + (f" ({run.governing_rule})" if run.governing_rule else ""),
        ),
        ("carries", f"{words.amps(run.current_a)} in case {run.current_case}"),
        ("may carry", f"{words.amps(run.ampacity_a)}, {run.ampacity_rule}"),
        ("conductor at", words.celsius(run.conductor_c)),
        ("drop, out and back", f"{words.volts(run.drop_v)}, {words.watts(run.loss_w)} lost"),
        ("overcurrent device", words.device(run.device)),
        (
            "it must break",
            f"{words.amps(run.need.interrupt_a)} at {words.volts(run.need.interrupt_v)}",
        ),
        (
            "a short at the far end",
            f"{words.amps(run.need.least_fault_a)}, opens in {words.opens(run)}",
        ),
    ]
    flows = Table(
        "The run, by case",
        ["case", "current", "drop", "of nominal", "conductor", "air"],
        [
            [
                case.name,
                words.amps(case.runs[index].current_a),
                words.volts(case.runs[index].drop_v),
                words.percent(case.runs[index].drop_ratio),
                words.celsius(case.runs[index].conductor_c),
                words.celsius(case.runs[index].ambient_c),
            ]
            for case in plan.case_results
        ],
    )
    tables = [flows]
    if run.candidates:
        tables.append(_candidates(run))
        tables.append(_checks(run.candidates[run.chosen]))
    return Explanation("run", name, f"Run {name}", facts, tables, _about(plan, ["run"], name))


def path_to(plan: Plan, name: str) -> list[str]:
    """Names of the runs from the bank to a point, in order."""
    # What fills the bank ends at a bus as well, and is not what feeds it.
    filling = {*plan.system.chargers.names(), *plan.system.arrays.names()}
    feeds: dict[str, Any] = {}
    for run in plan.system.runs:
        if not run.spare and run.from_ not in filling:
            feeds.setdefault(run.to, run)
    hangs_on = {link.name: link.from_ for link in plan.system.poe_links}
    path: list[str] = []
    seen: set[str] = set()
    at = name
    while at not in seen:
        seen.add(at)
        if at in hangs_on:
            path.append(at)
            at = hangs_on[at]
        elif at in feeds:
            path.append(feeds[at].name)
            at = feeds[at].from_
        else:
            break
    return path[::-1]


def _device(plan: Plan, name: str) -> Explanation:
    answers = [device for device in plan.devices if device.name == name]
    first = answers[0]
    low = min(answers, key=lambda answer: answer.voltage_v)
    window = f"{words.volts(first.window_low_v)} to {words.volts(first.window_high_v)}"
    if first.window_low_v is None and first.window_high_v is None:
        window = "not stated: volts cannot be judged"
    facts = [
        ("what", first.kind),
        ("accepts", window),
        ("sees least", f"{words.volts(low.voltage_v)} in case {low.case}"),
        ("fed through", " → ".join(path_to(plan, name)) or NONE_FEED),
    ]
    share = next((s for s in plan.data.energy.loads if s.name == name), None)
    if share is not None:
        facts.append(
            (
                "day and night",
                f"{words.watt_hours(share.day_wh)} a day, {words.watt_hours(share.night_wh)} of it "
                f"by night; {words.amp_hours(share.night_ah)} of the bank's night",
            )
        )
    table = Table(
        "The device, by case",
        ["case", "state", "volts", "above low end", "current", "power", "drop"],
        [
            [
                answer.case,
                answer.state,
                words.volts(answer.voltage_v),
                words.volts(answer.above_low_v),
                words.amps(answer.current_a),
                words.watts(answer.power_w),
                words.percent(answer.drop_ratio),
            ]
            for answer in answers
        ],
    )
    kinds = ["load", "fan", "converter", "poe_link", "PoE link"]
    return Explanation(
        first.kind, name, f"{first.kind} {name}", facts, [table], _about(plan, kinds, name)
    )


NONE_FEED = "nothing"


def _code(plan: Plan, code: str) -> Explanation:
    kind = _core.finding_kind(code)
    found = [finding for finding in plan.finding_list if finding.code == code]
    failed = [finding for finding in found if finding.severity.name != "passed"]
    facts = [
        ("code", code),
        ("severity when it fails", kind.severity.name),
        ("in this plan", f"{len(failed)} raised, {len(found) - len(failed)} passed"),
    ]
    return Explanation("finding", code, kind.title, facts, [], failed, text=kind.help)


def _other(plan: Plan, name: str) -> Explanation:
    record: Any = plan.system.points().get(name) or plan.system.compartment(name)
    kind = type(record).record_kind
    facts = [(key.rstrip("_"), str(value)) for key, value in record.stated().items()]
    tables = []
    if kind == "compartment":
        mine = next(c for c in plan.data.heat.compartments if c.name == name)
        tables.append(
            Table(
                "By case",
                ["case", "outside", "air", "limit", "heat", "fan step"],
                [
                    [
                        case.case_name,
                        words.celsius(case.outside_c),
                        words.celsius(case.temp_c),
                        words.celsius(mine.limit_c),
                        words.watts(case.heat.total_w),
                        f"{case.fan_step:.1f}",
                    ]
                    for case in mine.cases
                ],
            )
        )
    return Explanation(kind, name, f"{kind} {name}", facts, tables, _about(plan, [kind], name))
