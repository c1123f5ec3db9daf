"""Two plans side by side: what breaks, what is mended, which figures moved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import _core
from nightbus.frames import frame
from nightbus.planning import Plan, plan

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from nightbus.system import System


class Comparison:
    """What changed between two plans; made by :func:`compare`."""

    def __init__(self, before: Plan, after: Plan) -> None:
        self.before = before
        self.after = after
        self.data = _core.compare(before.data, after.data)

    @property
    def findings(self) -> pd.DataFrame:
        """Dangers and warnings that appeared, went or changed, worst first."""
        rows = []
        for change in self.data.findings:
            finding = change.after or change.before
            if finding is None:
                continue
            rows.append(
                {
                    "change": change.what.name,
                    "severity": finding.severity.name,
                    "subject": finding.subject,
                    "before": change.before.sentence if change.before else "",
                    "after": change.after.sentence if change.after else "",
                }
            )
        return frame(rows, ["change", "severity", "subject", "before", "after"])

    @property
    def figures(self) -> pd.DataFrame:
        """Figures that differ."""
        return frame(
            (
                {
                    "kind": change.kind,
                    "name": change.name,
                    "figure": change.figure,
                    "before": change.before,
                    "after": change.after,
                    "before_value": change.before_value,
                    "after_value": change.after_value,
                    "unit": _core.inside_unit(change.dimension),
                }
                for change in self.data.figures
            ),
            [
                "kind",
                "name",
                "figure",
                "before",
                "after",
                "before_value",
                "after_value",
                "unit",
            ],
        )

    @property
    def description(self) -> pd.DataFrame:
        """What differs in the two descriptions themselves."""
        return frame(
            (
                {"kind": kind, "name": name, "field": field, "before": str(a), "after": str(b)}
                for kind, name, field, a, b in self.before.system.differences(self.after.system)
            ),
            ["kind", "name", "field", "before", "after"],
        )

    def to_json(self, indent: int = 1) -> str:
        """Return the comparison as JSON."""
        return _core.comparison_json(self.data, indent)

    def __repr__(self) -> str:
        return (
            f"<Comparison: {self.before.verdict} → {self.after.verdict}; "
            f"{len(self.data.findings)} findings and {len(self.data.figures)} figures differ>"
        )

    def _repr_html_(self) -> str:
        return (
            f"<p>{self.before.verdict} → {self.after.verdict}</p>"
            f"{self.findings.to_html(escape=True)}{self.figures.to_html(escape=True)}"
        )


def _as_plan(what: Plan | System | str | Path) -> Plan:
    return what if isinstance(what, Plan) else plan(what)


def compare(before: Plan | System | str | Path, after: Plan | System | str | Path) -> Comparison:
    """Compare two plans, systems or system files.

    Parameters
    ----------
    before, after : Plan, System, str or Path
        What is not yet a plan is planned first.

    Returns
    -------
    Comparison
        With findings and figures that differ.
    """
    return Comparison(_as_plan(before), _as_plan(after))
