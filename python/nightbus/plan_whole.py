"""A plan: what the program says about a system, with the evidence for every number."""

from __future__ import annotations

from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.plan_tables import PlanTables

if TYPE_CHECKING:
    from collections.abc import Mapping

SEVERITIES = ("danger", "warning", "notice", "passed")


class Plan(PlanTables):
    """A plan with its evidence; made by :func:`plan`.

    Tables are pandas data frames; the unit of a column is in its name and in
    ``frame.attrs["units"]``. A frame is made anew from the plan's own data, so changing one spoils
    nothing.

    Attributes
    ----------
    system : System
        The description that was planned.
    data : PlanData
        What the compiled half handed over; everything else is made from it.

    Examples
    --------
    >>> import nightbus as nb
    >>> plan = nb.plan("post.toml")
    >>> plan.verdict, plan.system.title
    ('good', 'Trail shelter post')
    >>> plan.runs.loc[plan.runs["run"] == "door camera", ["size", "device", "rating_a"]]
         size                device  rating_a
    2  18 AWG  glass cartridge 32 V       1.0
    """

    # ---- the answer in one line ------------------------------------------------------------

    @property
    def verdict(self) -> str:
        """``good``, ``care`` or ``danger``; never good while a danger or a warning stands.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").verdict
        'good'
        """
        return self.data.verdict.name

    @property
    def sentence(self) -> str:
        """The verdict in one line.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").sentence.split(".")[0]
        'No danger and no warning was found'
        """
        return self.data.sentence

    @property
    def exit_status(self) -> int:
        """1 when a danger stands, else 0: what the command line tells a script.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").exit_status
        0
        """
        return 1 if self.data.verdict == _core.PlanVerdict.danger else 0

    def count(self, severity: str) -> int:
        """Return the number of findings of a severity.

        Parameters
        ----------
        severity : str
            ``danger``, ``warning``, ``notice`` or ``passed``.

        Examples
        --------
        >>> import nightbus as nb
        >>> plan = nb.plan("post.toml")
        >>> plan.count("danger"), plan.count("warning")
        (0, 0)
        """
        return self.data.count(_core.Severity[severity])

    # ---- files -----------------------------------------------------------------------------

    def to_json(self, indent: int = 1) -> str:
        """Return the plan as JSON, ``"format": 1``; its schema is ``nb.plan_schema()``.

        Keys carry their unit; a figure that does not exist is null.

        Examples
        --------
        >>> import nightbus as nb
        >>> import json
        >>> read_back = json.loads(nb.plan("post.toml").to_json())
        >>> read_back["verdict"], read_back["wiring"]["runs"][0]["name"]
        ('good', 'bank lead')
        """
        return _core.plan_json(self.data, indent)

    def write_json(self, path: str | Path) -> Path:
        """Write the plan as JSON.

        Returns
        -------
        Path
            The file that was written.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").write_json("plan.json").name
        'plan.json'
        """
        target = Path(path)
        target.write_text(self.to_json() + "\n", encoding="utf-8")
        return target

    def write_csv(self, folder: str | Path) -> list[Path]:
        """Write every table and sheet as a CSV file into a folder.

        Returns
        -------
        list of Path
            The files that were written: one for each of :meth:`tables`, then the sheets.

        Examples
        --------
        >>> import nightbus as nb
        >>> [path.name for path in nb.plan("post.toml").write_csv("tables")][:3]
        ['findings.csv', 'assumptions.csv', 'runs.csv']
        """
        from nightbus.sheet_tables import sheet_tables

        target = Path(folder)
        target.mkdir(parents=True, exist_ok=True)
        written = []
        for name, table in {**self.tables(), **sheet_tables(self)}.items():
            path = target / f"{name}.csv"
            table.to_csv(path, index=False)
            written.append(path)
        return written

    def report(self, path: str | Path) -> Path:
        """Write the report: one HTML file that needs nothing else; or PDF by its ending.

        Parameters
        ----------
        path : str or Path
            Ending in ``.html``, or in ``.pdf`` where WeasyPrint is installed.

        Returns
        -------
        Path
            The file that was written.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").report("post.html").name
        'post.html'
        """
        from nightbus.report.page import write_report

        return write_report(self, path)

    def html(self) -> str:
        """Return the report as text.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").html().startswith("<!doctype html>")
        True
        """
        from nightbus.report.page import page

        return page(self)

    # ---- looking ---------------------------------------------------------------------------

    def explain(self, name: str) -> str:
        """Return everything known about a run, a device or a finding code, as text.

        Parameters
        ----------
        name : str
            Name of a run, a bus or a device, or the code of a kind of finding.

        Raises
        ------
        LookupError
            With near misses, for a name that is not there.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").explain("door camera").splitlines()[0]
        'door camera, and the run of that name'
        """
        from nightbus.explaining import explain

        return explain(self, name)

    def run(self, name: str) -> _core.RunPlan:
        """Return the plan of one run; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> camera = nb.plan("post.toml").run("door camera")
        >>> str(camera.size), camera.device.rating_a, round(camera.drop_v, 2)
        ('18 AWG', 1.0, 0.28)
        """
        position = self.system.runs.names().index(self.system.run(name).name)
        return self.run_plans[position]

    def damage_line(self, name: str) -> list[tuple[float, float]]:
        """Return amperes and seconds at which a short circuit damages the insulation of a run.

        Empty when no limit is published for its insulation; up to five seconds.

        Raises
        ------
        LookupError
            With near misses, for a run that is not there.

        Examples
        --------
        >>> import nightbus as nb
        >>> line = nb.plan("post.toml").damage_line("door camera")
        >>> [(round(current_a), time_s) for current_a, time_s in line[-2:]]
        [(80, 2.0), (51, 5.0)]
        """
        run, described = self.run(name), self.system.run(name)
        insulation_c = described.insulation_c or self.system.rules.insulation_c
        return _core.damage_line(
            _core.Catalogue(),
            described.material,
            run.area_mm2 * described.parallel,
            max(run.conductor_c, 20.0),
            insulation_c,
            [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0],
        )

    def why_not(
        self,
        run: str,
        size: str | _core.ConductorSize,
        device: str | _core.Device | None = None,
    ) -> _core.Candidate:
        """Check any size and device on one run of the plan.

        Parameters
        ----------
        run : str
            Name of the run.
        size : str or ConductorSize
            ``"12 AWG"``, ``"2.5 mm2"`` …
        device : str or Device, optional
            Overcurrent device, ``"10 A mini blade"`` …; none: the run without one.

        Returns
        -------
        Candidate
            With every check that was made; ``first_failure`` is the reason against it.

        Raises
        ------
        InputError
            For a size that cannot be read.
        LookupError
            For a run, a size or a form that is not there.

        Examples
        --------
        >>> import nightbus as nb
        >>> plan = nb.plan("post.toml")
        >>> thinner = plan.why_not("bank lead", "18 AWG", nb.Device("mini blade", 20.0))
        >>> thinner.feasible, thinner.first_failure.title
        (False, "Current above the conductor's ampacity")
        """
        wanted = _core.ConductorSize(size) if isinstance(size, str) else size
        fitted = _device(device) if isinstance(device, str) else device
        return _core.check_run(
            self.data.system, _core.Catalogue(), self.data.wiring, run, wanted, fitted
        )

    def to_arrow(self) -> dict[str, Any]:
        """Return every table as an Arrow table; needs pyarrow.

        Returns
        -------
        dict of name to pyarrow.Table
            The unit of a column is in the metadata of its field.

        Raises
        ------
        Error
            When pyarrow is not installed.

        Examples
        --------
        >>> import nightbus as nb
        >>> runs = nb.plan("post.toml").to_arrow()["runs"]
        >>> runs.column("run").to_pylist()[0], runs.schema.field("length_m").metadata
        ('bank lead', {b'unit': b'm'})
        """
        from nightbus.exchange import arrow_tables

        return arrow_tables(self.tables())

    # ---- copies ------------------------------------------------------------------------------

    #: What it was made with, besides the system.
    _options: Mapping[str, Any] = MappingProxyType({})

    def __eq__(self, other: object) -> bool:
        """Say whether descriptions and answers are alike."""
        if not isinstance(other, Plan):
            return NotImplemented
        return self.system == other.system and self.to_json() == other.to_json()

    __hash__ = None  # type: ignore[assignment]

    def __copy__(self) -> Plan:
        made = Plan(self.data, self.system.copy())
        made._options = self._options
        return made

    def __deepcopy__(self, memo: dict[int, Any]) -> Plan:
        return self.__copy__()  # what the compiled half handed over never changes

    def __reduce__(self) -> tuple[Any, ...]:
        # A plan travels as its description and is made again, which gives the same answers.
        from nightbus.planning import made_again

        return made_again, (self.system, dict(self._options))

    def __repr__(self) -> str:
        counts = ", ".join(
            f"{self.count(severity)} {severity}" for severity in SEVERITIES if self.count(severity)
        )
        return f'<Plan "{self.system.title}": {self.verdict}; {counts}>'

    def _repr_html_(self) -> str:
        from nightbus.report.page import summary

        return summary(self)


def _device(text: str) -> _core.Device:
    """Read ``"10 A mini blade"``."""
    rating, unit, form = (*text.split(" ", 2), "", "")[:3]
    try:
        rating_a = _core.quantity(f"{rating} {unit}", _core.Dimension.current)
    except _core.InputError as error:
        raise ValueError(f'device: expected rating and form, "10 A mini blade"; {error}') from None
    return _core.Device(_core.Catalogue().overcurrent_form(form).name, rating_a)
