"""As measured: meter readings against a plan, and what differs if something does."""

from __future__ import annotations

import csv
import io
from html import escape
from numbers import Real
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.frames import frame
from nightbus.planning import Plan, plan
from nightbus.quantities import Dimension, given
from nightbus.same import Same

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import pandas as pd

    from nightbus.system import System

COLUMNS = ("kind", "at", "value", "accuracy")
LEVEL = 0.01
# What a healthy system may differ by (standard deviations): no source, ours; told with the answer.
BANK_SIGMA_V = 0.2
LOAD_SPREAD = 0.05
RUN_SPREAD = 0.02


class Measured(Same):
    """What readings say about a plan; made by :func:`as_measured`.

    Attributes
    ----------
    plan : Plan
        What was measured against.
    case : str
        Name of the case that the readings were taken in.
    reading_list : list of Reading
        The readings as objects.

    Examples
    --------
    >>> import nightbus as nb
    >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
    >>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
    >>> found.healthy
    False
    """

    def __init__(
        self, data: _core.MeasuredData, readings: list[_core.Reading], plan: Plan, case: str
    ) -> None:
        self.data = data
        self.reading_list = readings
        self.plan = plan
        self.case = case

    @property
    def healthy(self) -> bool:
        """The plan explains the readings; no proof of health where nothing was read.

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.185 V", "accuracy": "5 mV"}
        >>> nb.as_measured("post.toml", [drop], case="low, typical, hot").healthy
        True
        """
        return self.data.healthy

    @property
    def sentences(self) -> list[str]:
        """The answer in words.

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.185 V", "accuracy": "5 mV"}
        >>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
        >>> found.sentences[0].split(":")[0]
        'As planned'
        """
        return list(self.data.sentences)

    @property
    def assumptions(self) -> list[str]:
        """What was granted to a healthy system, and the level of the test.

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.185 V", "accuracy": "5 mV"}
        >>> len(nb.as_measured("post.toml", [drop]).assumptions) > 0
        True
        """
        return list(self.data.assumptions)

    @property
    def findings(self) -> list[_core.Finding]:
        """One finding when the readings differ from the plan.

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
        >>> [one.code for one in nb.as_measured("post.toml", [drop]).findings]
        ['measured-differs']
        """
        return list(self.data.findings)

    @property
    def next(self) -> _core.NextReading | None:
        """The reading that would part explanations that these readings leave alike.

        Examples
        --------
        >>> import nightbus as nb
        >>> volts = {"kind": "volts", "at": "door camera", "value": "11.2 V", "accuracy": "5 mV"}
        >>> reading = nb.as_measured("post.toml", [volts], case="low, typical, hot").next
        >>> reading.kind, reading.at
        ('drop', 'bank lead')
        """
        return self.data.next

    @property
    def readings(self) -> pd.DataFrame:
        """Every reading beside the plan; `value`, `sigma`, `planned` in the unit of the row.

        `off_by` is the difference in standard deviations of the meter alone.

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
        >>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
        >>> found.readings[["kind", "at", "value", "planned", "unit"]].round(3)
           kind           at  value  planned unit
        0  drop  door camera    0.6    0.185    V
        """
        planned: list[float | None] = list(self.data.planned) or [None] * len(self.reading_list)
        return frame(
            (
                {
                    "kind": reading.kind,
                    "at": reading.at,
                    "value": reading.value,
                    "sigma": reading.sigma,
                    "planned": foretold,
                    "off_by": None
                    if foretold is None
                    else (reading.value - foretold) / reading.sigma,
                    "unit": _unit(reading.kind),
                }
                for reading, foretold in zip(self.reading_list, planned, strict=True)
            ),
            "kind at value sigma planned off_by unit",
        )

    @property
    def explanations(self) -> pd.DataFrame:
        """What explains the readings, best first: one row for each suspect.

        `rank` counts explanations from 1, `alike` says that these readings cannot tell it from
        the best. Ohms for a joint (unit Ω), else a share of what was planned (unit empty).

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
        >>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
        >>> found.explanations[["rank", "alike", "kind", "subject"]].head(2)
           rank  alike   kind      subject
        0     1   True  joint  door camera
        1     2   True    run  door camera
        """
        rows: list[dict[str, Any]] = []
        for rank, one in enumerate(self.data.explanations, start=1):
            rows += [
                {
                    "rank": rank,
                    "alike": rank <= self.data.alike,
                    "kind": suspect.kind,
                    "subject": suspect.subject,
                    "estimate": suspect.estimate,
                    "low": suspect.low,
                    "high": suspect.high,
                    "unit": "Ω" if suspect.kind == "joint" else "",
                    "chi_square": one.chi_square,
                    "probability": one.probability,
                }
                for suspect in one.suspects
            ]
        return frame(rows, "rank alike kind subject estimate low high unit chi_square probability")

    @property
    def suspects(self) -> list[_core.Suspect]:
        """The best explanation, empty when the system is healthy.

        Examples
        --------
        >>> import nightbus as nb
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
        >>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
        >>> found.suspects[0].subject, round(found.suspects[0].estimate, 1)
        ('door camera', 1.0)
        """
        return list(self.data.explanations[0].suspects) if self.data.explanations else []

    def to_json(self, indent: int = 1) -> str:
        """Return the answer as JSON, ``"format": 1``.

        Examples
        --------
        >>> import nightbus as nb
        >>> import json
        >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
        >>> json.loads(nb.as_measured("post.toml", [drop]).to_json())["format"]
        1
        """
        return _core.measured_json(self.data, self.reading_list, indent)

    def __repr__(self) -> str:
        return f"<Measured, {self.case}: {' '.join(self.sentences)}>"

    def _repr_html_(self) -> str:
        words = "".join(f"<p>{escape(line)}</p>" for line in self.sentences)
        assumed = "".join(f"<li>{escape(line)}</li>" for line in self.assumptions)
        tables = self.readings.to_html(escape=True, index=False)
        likely = self.explanations
        if len(likely):
            tables += likely[likely["alike"]].to_html(escape=True, index=False)
        return f"{words}{tables}<p>Assumed:</p><ul>{assumed}</ul>"


def _unit(kind: str) -> str:
    return "A" if kind == "amps" else "V"


def _cell(kind: str, row: Mapping[str, Any], column: str) -> str:
    value = row.get(column, "")
    if isinstance(value, Real):
        if column == "value" and "digit" in str(row.get("accuracy", "")):
            raise ValueError(
                f'the reading at "{row.get("at", "")}" is a number, so its last digit is not '
                f'known: write it as text ("{value} {_unit(kind)}"), or give the accuracy without '
                "digits"
            )
        return f"{float(value)!r} {_unit(kind)}"
    return str(value)


def _table(rows: Iterable[Mapping[str, Any]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in rows:
        kind = str(row.get("kind", ""))
        writer.writerow([kind, str(row.get("at", ""))] + [_cell(kind, row, c) for c in COLUMNS[2:]])
    return text.getvalue()


def read_readings(
    readings: str | Path | pd.DataFrame | Iterable[Mapping[str, Any]],
) -> list[_core.Reading]:
    """Read a table of readings from a CSV file, a data frame or a list of mappings.

    Parameters
    ----------
    readings : str, Path, DataFrame or iterable of mappings
        Columns ``kind`` (``volts`` between the terminals of a point, ``drop`` lost along a run, out
        and back, ``amps`` through a run, load, fan or bank), ``at`` (its name), ``value``
        (``"12.31 V"``; a number is V or A) and ``accuracy`` of the meter (``"0.5 % + 2 digits"``,
        ``"1 mV"``; a number is V or A).

    Raises
    ------
    InputError
        With every problem of the table.
    ValueError
        When a value is a number and the accuracy counts its digits.

    Examples
    --------
    >>> import nightbus as nb
    >>> rows = [{"kind": "volts", "at": "door camera", "value": "12.31 V", "accuracy": "10 mV"}]
    >>> reading = nb.read_readings(rows)[0]
    >>> reading.at, reading.value, reading.kind
    ('door camera', 12.31, 'volts')
    """
    if isinstance(readings, str | Path):
        return _core.read_readings(str(readings))
    rows: Any = readings
    if hasattr(rows, "to_dict"):
        rows = rows.to_dict("records")
    return _core.loads_readings(_table(rows), "readings")


def as_measured(
    system: Plan | System | str | Path,
    readings: str | Path | pd.DataFrame | Iterable[Mapping[str, Any]],
    *,
    case: str | None = None,
    level: float | str = LEVEL,
    bank_sigma_v: float | str = BANK_SIGMA_V,
    load_spread: float | str = LOAD_SPREAD,
    run_spread: float | str = RUN_SPREAD,
    catalogue: _core.Catalogue | None = None,
) -> Measured:
    """Say whether readings are as planned and, if not, what explains them best.

    Weighted least squares: the plan is doubted when chi-square is too large for meters and ordinary
    spread; then each joint, conductor and draw, alone and in pairs, is held against the readings.

    Parameters
    ----------
    system : Plan, System, str or Path
        A plan, or what to plan first.
    readings : str, Path, DataFrame or iterable of mappings
        See :func:`read_readings`.
    case : str, optional
        Case of the plan that was measured in; that of the commissioning sheet when left out.
    level : float or str
        Chance to accuse a healthy system: 0.01 or ``"1 %"``.
    bank_sigma_v : float or str
        Standard deviation of the bank's EMF from the plan's. No source, ours. [V]
    load_spread, run_spread : float or str
        Standard deviation of each draw and of each conductor's resistance, relative. No source,
        ours.
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.

    Returns
    -------
    Measured
        With sentences, tables and the reading to take next.

    Raises
    ------
    InputError
        When a reading names nothing that can be measured so, or has no accuracy.
    LookupError
        When the plan has no such case.
    ValueError
        When a number is out of range; the message names it.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = (
    ...     nb.System("Post")
    ...     .add(nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"))
    ...     .add(
    ...         nb.Load(name="router", typical="60 W"),
    ...         feed={"name": "feed", "from_": "bank", "length": "4 m"},
    ...     )
    ... )
    >>> plan = nb.plan(system)
    >>> flow = plan.case_results[0].runs[0]
    >>> found = nb.as_measured(
    ...     plan,
    ...     [
    ...         {"kind": "amps", "at": "feed", "value": flow.current_a, "accuracy": "1 %"},
    ...         {"kind": "drop", "at": "feed", "value": flow.drop_v + 0.1, "accuracy": "1 mV"},
    ...     ],
    ...     case=plan.case_results[0].name,
    ... )
    >>> found.healthy, found.suspects[0].subject
    (False, 'feed')
    """
    from nightbus.sheets import reading_case

    made = system if isinstance(system, Plan) else plan(system, catalogue=catalogue)
    name = made.case_results[reading_case(made)].name if case is None else case
    rows = read_readings(readings)
    spread = '0 to 10, or "5 %",'
    data = _core.as_measured(
        made.data,
        catalogue or _core.Catalogue(),
        name,
        rows,
        level=given("level", level, Dimension.ratio, 1e-9, 0.5, 'a chance up to 0.5, or "1 %",'),
        bank_sigma_v=given(
            "bank_sigma_v", bank_sigma_v, Dimension.voltage, 0.0, 1000.0, "0 V or more"
        ),
        load_spread=given("load_spread", load_spread, Dimension.ratio, 0.0, 10.0, spread),
        run_spread=given("run_spread", run_spread, Dimension.ratio, 0.0, 10.0, spread),
    )
    return Measured(data, rows, made, name)
