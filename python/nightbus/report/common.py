"""What the sections of the report share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from nightbus import _core, words
from nightbus.report.html import Html, el

if TYPE_CHECKING:
    from nightbus.planning import Plan

#: Kind of a finding's subject, as the records call it.
KIND_OF = {"PoE link": "poe_link", "poe_link": "poe_link"}


def severity_of(plan: Plan) -> dict[tuple[str, str], str]:
    """Worst severity of every subject, by kind and name; only dangers and warnings."""
    worst: dict[tuple[str, str], str] = {}
    for finding in reversed(plan.finding_list):
        if finding.severity.name in ("danger", "warning"):
            kind = KIND_OF.get(finding.subject_kind, finding.subject_kind)
            worst[kind, finding.subject] = finding.severity.name
    return worst


def anchor(index: int, code: str = "", form: Form | None = None) -> str:
    """Id of the finding at this place of the plan's list; on paper, of its kind."""
    return f"kind-{code}" if form is not None and form.paper else f"finding-{index + 1}"


def section(name: str, title: str, *children: object, page: bool = False) -> Html:
    """Make a section that its heading names; `page` begins a new sheet of paper."""
    return el(
        "section",
        el("h2", title, id=f"{name}-title"),
        *children,
        id=name,
        aria_labelledby=f"{name}-title",
        class_="page" if page else None,
    )


@dataclass(frozen=True)
class Form:
    """Where the report is read: on a screen, or on paper, where nothing unfolds."""

    paper: bool = False

    def folded(self, *children: object, **attributes: str | bool | None) -> Html:
        """Make what unfolds on a screen and stands open on paper."""
        return el("details", *children, open=self.paper, **attributes)


SCREEN, PAPER = Form(), Form(paper=True)


def tag(severity: str) -> Html:
    """A word in a frame: readable without its colour."""
    return el("span", severity, class_=f"tag {severity}")


def limit_text(check: _core.Verdict) -> str:
    """Value against limit."""
    value = words.show(check.value, check.dimension)
    if check.limit is None:
        return value
    relation = "against at least" if check.at_least else "against"
    return f"{value} {relation} {words.show(check.limit, check.dimension)}"


def number(value: object) -> float | None:
    """Turn a cell of a frame into a number; a missing one into None."""
    if value is None or value != value:  # a missing number of pandas is not equal to itself
        return None
    return float(value)  # type: ignore[arg-type]


def percent_text(value: object) -> str:
    """Per cent to a tenth."""
    found = number(value)
    return words.NONE if found is None else f"{found:.1f} %"
