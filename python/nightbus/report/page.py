"""The report as one page: nothing is fetched, everything that a user wrote is escaped."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from nightbus import _core, words
from nightbus.report import opening, operation, papers, wiring
from nightbus.report.common import PAPER, SCREEN, tag
from nightbus.report.diagram import one_line
from nightbus.report.html import Html, el, join

if TYPE_CHECKING:
    from nightbus.planning import Plan

CONTENTS = [
    ("cautions", "Before you build"),
    ("verdict", "Verdict"),
    ("diagram", "Diagram"),
    ("schedule", "Schedule"),
    ("fuses", "Overcurrent devices"),
    ("volts", "Voltages"),
    ("night", "Night and sun"),
    ("heat", "Heat"),
    ("findings", "Findings"),
    ("commissioning", "Commissioning"),
    ("parts", "Parts"),
    ("labels", "Labels"),
    ("sources", "Sources"),
    ("system", "System file"),
]


def _asset(name: str) -> str:
    return files("nightbus.report").joinpath(name).read_text(encoding="utf-8")


def page(plan: Plan, *, paper: bool = False, made: datetime | None = None) -> str:
    """Return the whole report as HTML.

    Parameters
    ----------
    plan : Plan
        What to report.
    paper : bool
        For paper: nothing folds, findings of a kind stand together, reasons are a table.
    made : datetime, optional
        Time that stands on the page; now when left out.
    """
    form = PAPER if paper else SCREEN
    when = made or datetime.now(UTC)
    title = plan.system.title or "A DC power plan"
    head = el(
        "head",
        el("meta", charset="utf-8"),
        el("meta", name="viewport", content="width=device-width, initial-scale=1"),
        el("meta", name="color-scheme", content="light dark"),
        # The page may not ask anybody for anything, whatever a system file says.
        el(
            "meta",
            http_equiv="Content-Security-Policy",
            content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; "
            "img-src data:",
        ),
        el("title", f"{title}: DC power plan"),
        el("style", Html(_asset("style.css"))),
    )
    site = plan.system.site
    place = f"{site.name or 'Site'}, {site.latitude_deg:g}°, {site.longitude_deg:g}°"
    body = el(
        "body",
        el("a", "Skip to the plan", href="#cautions", class_="skip"),
        el("a", "Contents", href="#contents", class_="up"),
        el(
            "header",
            el("h1", title),
            el("p", plan.system.note, class_="lead") if plan.system.note else None,
            el(
                "p",
                f"{place} · {when:%Y-%m-%d %H:%M} UTC · nightbus {_core.__version__}",
                class_="lead",
            ),
        ),
        el(
            "nav",
            [el("a", text, href=f"#{name}") for name, text in CONTENTS],
            class_="jump",
            id="contents",
            aria_label="Contents",
        ),
        el(
            "main",
            opening.cautions(plan, form),
            opening.verdict(plan, form),
            opening.drawing(plan),
            wiring.schedule(plan, form),
            wiring.fuses(plan),
            operation.volts(plan),
            operation.night(plan),
            operation.heat(plan),
            papers.findings(plan, form),
            papers.commissioning(plan),
            papers.parts(plan),
            papers.labels(plan),
            papers.sources(plan, form),
            papers.system_file(plan, plan.system.to_toml()),
        ),
        el(
            "footer",
            el("p", "Not a permit and no statement of compliance. ", plan.sentence),
        ),
        el("script", Html(_asset("script.js"))),
    )
    return "<!doctype html>\n" + str(el("html", head, body, lang="en")) + "\n"


def write_report(plan: Plan, path: str | Path) -> Path:
    """Write the report; a name that ends in ``.pdf`` gives PDF, which needs WeasyPrint."""
    target = Path(path)
    if target.suffix.lower() == ".pdf":
        return _write_pdf(plan, target)
    target.write_text(page(plan), encoding="utf-8")
    return target


def _write_pdf(plan: Plan, target: Path) -> Path:
    try:
        from weasyprint import HTML
    except ImportError as error:
        raise _core.Error(
            "PDF needs WeasyPrint: pip install 'nightbus[report]'; or print the HTML report from "
            "a browser"
        ) from error

    def refuse(url: str, *_: object, **__: object) -> dict[str, object]:
        raise ValueError(f"the report asks for nothing, but wanted {url}")

    HTML(string=_in_print_colours(page(plan, paper=True)), url_fetcher=refuse).write_pdf(target)
    return target


def _in_print_colours(html: str) -> str:
    """Write the colours of paper into the page: WeasyPrint's SVG knows no custom properties."""
    block = _asset("style.css").split("@media print")[1].split("}")[0]
    colours = dict(re.findall(r"--([\w-]+): (#\w+)", block))
    return re.sub(
        r"var\(--([\w-]+)(?:,[^()]*)?\)", lambda found: colours.get(found[1], found[0]), html
    )


def summary(plan: Plan) -> str:
    """Return the head of the plan for a notebook: cautions, verdict, findings, diagram."""
    rows = [
        el("li", tag(finding.severity.name), " ", finding.sentence)
        for finding in plan.finding_list
        if finding.severity.name in ("danger", "warning")
    ]
    style = _asset("style.css").split("* { box-sizing")[0].replace(":root", ".nb-plan")
    tags = ".nb-plan .tag{font-weight:700;border:1.5px solid;border-radius:4px;padding:0 5px}"
    return str(
        el(
            "div",
            el("style", Html(style + tags)),
            el("h3", f"{plan.system.title}: {plan.verdict}"),
            el("p", plan.sentence),
            el("p", words.findings_counted(plan)),
            el(
                "details",
                el("summary", "Before you build"),
                el("ul", [el("li", c) for c in plan.cautions]),
            ),
            el("ul", rows),
            join(Html(one_line(plan.system, opening.diagram_notes(plan)))),
            class_="nb-plan",
        )
    )
