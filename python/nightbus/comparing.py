"""Two plans side by side: what breaks, what is mended, which figures moved."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.frames import frame
from nightbus.planning import Plan, plan
from nightbus.same import Same

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from nightbus.system import System


class Comparison(Same):
    """What changed between two plans; made by :func:`compare`.

    Attributes
    ----------
    before, after : Plan
        The two plans.

    Examples
    --------
    >>> import nightbus as nb
    >>> changed = nb.compare("post.toml", nb.read("post.toml"))
    >>> changed
    <Comparison: good → good; 0 findings and 0 figures differ>
    """

    def __init__(self, before: Plan, after: Plan) -> None:
        self.before = before
        self.after = after
        self.data = _core.compare(before.data, after.data)

    @property
    def findings(self) -> pd.DataFrame:
        """Dangers and warnings that appeared, went or changed, worst first.

        Examples
        --------
        >>> import nightbus as nb
        >>> thin = nb.read("post.toml")
        >>> thin.run("door camera").size = "24 AWG"
        >>> nb.compare("post.toml", thin).findings[["change", "severity", "subject"]].head(2)
             change severity      subject
        0  appeared   danger  door camera
        1  appeared   danger  door camera
        """
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
        """Figures that differ.

        Examples
        --------
        >>> import nightbus as nb
        >>> more = nb.read("post.toml")
        >>> more.load("door camera").typical = "10 W"
        >>> figures = nb.compare("post.toml", more).figures
        >>> sizes = figures[figures["figure"] == "size"]
        >>> sizes[["name", "before", "after"]].to_numpy().tolist()
        [['door camera', '18 AWG', '16 AWG']]
        """
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
        """What differs in the two descriptions themselves.

        Examples
        --------
        >>> import nightbus as nb
        >>> more = nb.read("post.toml")
        >>> more.load("door camera").typical = "10 W"
        >>> nb.compare("post.toml", more).description
           kind         name    field before after
        0  load  door camera  typical    5 W  10 W
        """
        return frame(
            (
                {"kind": kind, "name": name, "field": field, "before": str(a), "after": str(b)}
                for kind, name, field, a, b in self.before.system.differences(self.after.system)
            ),
            ["kind", "name", "field", "before", "after"],
        )

    def to_json(self, indent: int = 1) -> str:
        """Return the comparison as JSON.

        Examples
        --------
        >>> import nightbus as nb
        >>> import json
        >>> json.loads(nb.compare("post.toml", "post.toml").to_json())["findings"]
        []
        """
        return _core.comparison_json(self.data, indent)

    def __reduce__(self) -> tuple[Any, ...]:
        return Comparison, (self.before, self.after)

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

    Raises
    ------
    InputError
        When a description cannot be used.

    Examples
    --------
    >>> import nightbus as nb
    >>> longer = nb.read("post.toml")
    >>> longer.run("door camera").length = "40 m"
    >>> figures = nb.compare("post.toml", longer).figures
    >>> figures[figures["figure"] == "size"][["before", "after"]].to_numpy().tolist()
    [['18 AWG', '12 AWG']]
    """
    return Comparison(_as_plan(before), _as_plan(after))
