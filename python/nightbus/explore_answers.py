"""What the explorer says: figures as they came and now, findings, pictures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import words
from nightbus.report import nights, opening, pictures
from nightbus.report.diagram import one_line
from nightbus.report.html import Html, el, join

if TYPE_CHECKING:
    from nightbus.explore import Explorer
    from nightbus.planning import Plan
    from nightbus.playing import Played

PICTURES = ("Night", "Volts", "Diagram")

#: The colours of the report on light paper; in a dark notebook the answers stay a light sheet.
COLOURS = (
    "--paper:#fff;--raised:#fff;--box:#f1f3ef;--ink:#1b252c;--soft:#53626b;--line:#44535c;"
    "--hair:#d8dcd8;--danger:#a0182f;--danger-wash:#fbeaec;--warning:#7d5200;--accent:#1f5a60;"
    "--window:#cfe0dc;--night:#dde1e3;background:#fff;color:#1b252c;color-scheme:light"
)
STYLE = """
.nb-explore{font:14px/1.45 system-ui,sans-serif;padding:8px 12px;border-radius:6px}
.nb-explore table{border-collapse:collapse;margin:0 0 .6em}
.nb-explore th{font-weight:600;text-align:left;padding:1px 18px 1px 0;color:#53626b}
.nb-explore td{padding:1px 18px 1px 0;vertical-align:top}
.nb-explore .moved{font-weight:700}
.nb-explore ul{margin:.2em 0 .6em;padding-left:1.2em}
.nb-explore .tag{font-weight:700;border:1.5px solid;border-radius:4px;padding:0 5px;font-size:12px}
.nb-explore .danger{color:#a0182f}.nb-explore .warning,.nb-explore .care{color:#7d5200}
.nb-explore .good{color:#23643a}.nb-explore .gone{color:#53626b;text-decoration:line-through}
.nb-explore{overflow-x:auto}.nb-explore svg{max-width:100%;height:auto}
.nb-explore svg.nb-diagram{max-width:none}.nb-explore small{color:#53626b}
"""


def _sheet(*children: object) -> str:
    return str(join(Html(f"<style>{STYLE}</style>"),
                    el("div", *children, class_="nb-explore", style=COLOURS)))  # fmt: skip


def _tightest(plan: Plan) -> str:
    """The device that is nearest to the edge of its window, and in which case."""
    found = [
        (margin, device.name, device.case)
        for device in plan.devices
        for margin in (device.above_low_v, device.below_high_v)
        if margin is not None
    ]
    if not found:
        return words.NONE
    margin, name, case = min(found)
    return f"{words.volts(margin)}, {name} ({case})"


def _fullest(plan: Plan) -> str:
    """The run that uses most of what it may carry."""
    used = [
        (run.current_a / run.ampacity_a, run.run)
        for run in plan.run_plans
        if run.ampacity_a > 0 and not run.spare
    ]
    if not used:
        return words.NONE
    share, name = max(used)
    return f"{words.percent(share, 0)}, {name}"


def _hottest(plan: Plan) -> str:
    compartments = plan.data.heat.compartments
    if not compartments:
        return words.NONE
    one = min(compartments, key=lambda one: one.margin_k)
    air_c = one.cases[one.hottest].temp_c
    return f"{words.celsius(air_c)} of {words.celsius(one.limit_c)}, {one.name}"


def _night(night: Played | None) -> list[str]:
    report = night.night_report if night is not None else None
    if night is None or report is None:
        return [words.NONE] * 4
    off = list(dict.fromkeys(one.name for one in night.outages))
    full = words.hours(report.hours_to_full)
    return [
        words.amp_hours(report.night_ah),
        words.percent(report.soc_sunrise, 0),
        "not within 3 days" if report.never_full or report.hours_to_full is None
        else f"{full} after sunrise",
        words.listed(off, 3) or "none",
    ]  # fmt: skip


FIGURES = (
    "verdict",
    "findings",
    "nearest to its window",
    "fullest run",
    "hottest air",
    "night takes out of the bank",
    "bank at sunrise",
    "full again",
    "off though wanted",
)


def figures(plan: Plan, night: Played | None) -> list[str]:
    """Return the figures of one side, in the order of `FIGURES`."""
    counts = [
        words.counted(plan.count(severity), severity)
        for severity in ("danger", "warning")
        if plan.count(severity)
    ]
    return [
        plan.verdict,
        ", ".join(counts) or "none stands against it",
        _tightest(plan),
        _fullest(plan),
        _hottest(plan),
        *_night(night),
    ]


def _findings(explorer: Explorer) -> Html:
    def serious(plan: Plan) -> dict[tuple[str, str, str], tuple[str, str]]:
        return {
            (one.code, one.subject, one.case_name): (one.severity.name, one.sentence)
            for one in plan.finding_list
            if one.severity.name in ("danger", "warning")
        }

    then, now = serious(explorer.start), serious(explorer.plan)
    items = []
    # What is new stands first: it is what the last moves did.
    for key in sorted(now, key=lambda key: (key in then, now[key][0] != "danger")):
        severity, sentence = now[key]
        tag = el("span", severity, class_=f"tag {severity}")
        items.append(el("li", tag, " ", None if key in then else el("b", "new: "), sentence))
    items += [
        el("li", el("span", "mended: ", then[key][1], class_="gone"))
        for key in then
        if key not in now
    ]
    return el("ul", items or el("li", "nothing stands against it"), class_="nb-findings")


def answers(explorer: Explorer) -> str:
    """Return the figures side by side, what was changed, and the findings, as markup."""
    then = figures(explorer.start, explorer.start_night)
    now = figures(explorer.plan, explorer.night)
    rows = []
    for name, before, after in zip(FIGURES, then, now, strict=True):
        moved = "moved" if before != after else ""
        tone = f"{after} " if name == "verdict" else ""
        rows.append(
            el(
                "tr",
                el("th", name, scope="row"),
                el("td", before),
                el("td", after, class_=(tone + moved).strip() or None),
            )
        )
    changed = [
        el("li", f"{kind} {name}".strip(), f": {field.replace('_', ' ')} {before} → {after}")
        for kind, name, field, before, after in explorer.changes()
    ]
    sizes = [el("li", f"{run}: {a} → {b}") for run, a, b in explorer.sizes_changed()]
    held = (
        "Sizes and overcurrent devices are held as chosen at the start: findings say what breaks "
        "with these."
        if not sizes
        else "Sizes and overcurrent devices are held; not those of the start are:"
    )
    head = el("tr", el("td"), el("th", "as it came", scope="col"), el("th", "now", scope="col"))
    caution = explorer.plan.cautions[0] if explorer.plan.cautions else ""
    return _sheet(
        el("table", el("thead", head), el("tbody", rows)),
        el("ul", changed) if changed else None,
        _findings(explorer),
        el("p", el("small", held, el("ul", sizes) if sizes else None)),
        el("p", el("small", caution)),
        el("p", el("small", f"Answered in {1000 * explorer.seconds:.0f} ms."))
        if explorer.seconds
        else None,
    )


def _curves(explorer: Explorer, night: Played, dashed: bool) -> tuple[nights.Curve, nights.Curve]:
    hours = [float(one) for one in (night.time_s - night.time_s[0]) / 3600.0]
    charge = [float(one) for one in night.charge(explorer.system)]
    return (
        nights.Curve(hours, charge, dashed),
        nights.Curve(hours, [float(one) for one in night.one("bus_voltage")], dashed),
    )


def night_picture(explorer: Explorer) -> Html:
    """The night now, and dashed the one of the start."""
    now, then = explorer.night, explorer.start_night
    if now is None:
        return el("p", "No night can be played: the site has no latitude and longitude.")
    moved = then is not None and now is not then
    pairs = [_curves(explorer, then, True)] if moved and then is not None else []
    pairs.append(_curves(explorer, now, False))
    start_s = float(now.time_s[0])
    hours = pairs[-1][0].hours
    off = [(one.name, (one.from_s - start_s) / 3600.0, (one.to_s - start_s) / 3600.0)
           for one in now.outages]  # fmt: skip
    wanted = explorer.conditions
    label = (
        f"Two days from noon of {wanted.day:%d} {wanted.day:%B}: charge, volts at the bus"
        f"{', bars: off though wanted' if off else ''}. Shaded: night."
    )
    picture = nights.night(
        [pair[0] for pair in pairs],
        [pair[1] for pair in pairs],
        nights.spans(list(now.night), hours),
        off,
        label=label,
    )
    return join(el("p", label, " Dashed: as it came." if moved else None), picture)


def picture(explorer: Explorer, which: str) -> str:
    """Return one of the pictures as markup."""
    if which == "Night":
        return _sheet(night_picture(explorer))
    if which == "Volts":
        return _sheet([each for _, each in pictures.voltage_ladders(explorer.plan)])
    notes = opening.diagram_notes(explorer.plan)
    return _sheet(Html(one_line(explorer.held, notes)))
