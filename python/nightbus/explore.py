"""An explorer for notebooks: wiggle a figure, see what breaks first.

Works offline, with nothing but ipywidgets. Sizes and overcurrent devices are held as the plan chose
them at the start: a move then checks the whole wiring, solves every case and plays a night, which
takes some hundredths of a second. Choosing sizes anew is a button of its own.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.planning import Plan, plan
from nightbus.playing import Played, Sky, play
from nightbus.reading import read
from nightbus.system import KINDS, System

if TYPE_CHECKING:
    from collections.abc import Callable

NIGHT_DAYS = 2
NIGHT_STEP_S = 600.0
REPORT_DAYS = 3

#: Fields that people wiggle, by kind; every other field can be typed.
USUAL = {
    "load": ("typical", "peak", "count", "duty", "schedule"),
    "poe_link": ("typical", "peak", "length"),
    "fan": ("set_point", "lowest_step"),
    "converter": ("output", "standby"),
    "run": ("length", "size", "ambient", "bundle"),
    "bank": ("capacity", "strings", "charge_low", "resistance"),
    "array": ("power", "tilt", "azimuth"),
    "charger": ("current", "schedule"),
    "compartment": ("conductance", "solar_gain"),
    "site": ("temp_hot", "temp_cold", "latitude"),
    "rules": ("drop_critical", "drop_general", "load_margin"),
}
#: Fields of the site that move the air of the months.
AIR_FIELDS = {"temp_hot", "temp_cold", "temp_mild", "latitude", "elevation"}


@dataclass(frozen=True)
class Conditions:
    """What the night that is played begins with.

    Attributes
    ----------
    day : date
        It begins at the local noon of this day.
    charge : float
        State of charge of the bank then, 0 to 1.
    sun : float
        Share of the usual sun of the month; 0: as dark as it gets.
    """

    day: date
    charge: float = 1.0
    sun: float = 1.0


class Explorer:
    """What :func:`explore` shows; usable without a screen as well.

    Attributes
    ----------
    start : Plan
        The plan of the system as it came.
    start_night : Played or None
        Its night; None when the sun cannot be reckoned, for want of a place.
    system : System
        The system as it stands now, described as its file describes it.
    held : System
        The same with the sizes and devices that are held written in: what is checked.
    plan : Plan
        Its plan.
    night : Played or None
        Its night, from :attr:`conditions`.
    conditions : Conditions
        Day, charge and sun of the night.
    seconds : float
        How long the last answer took. [s]

    Examples
    --------
    >>> import nightbus as nb
    >>> explorer = nb.explore("post.toml")
    >>> explorer.set("load", "door camera", "typical", "6 W").verdict
    'good'
    >>> explorer.changes()
    [('load', 'door camera', 'typical', '5 W', '6 W')]
    """

    def __init__(self, system: System) -> None:
        self.system = system.copy()
        self._original = system.copy()
        self._listeners: list[Callable[[], None]] = []
        self.seconds = 0.0
        self._air_c: tuple[float, ...] = ()
        chosen = plan(self.system, margins=False, size_ups=False)
        self.held = chosen.wired
        self._start_held = self.held.copy()
        self.conditions = Conditions(self._hardest_day(chosen))
        self._start_conditions = self.conditions
        self._learn_air()
        self._start_air_c = self._air_c
        self.start, self.start_night = self._answered()
        self.plan, self.night = self.start, self.start_night

    @staticmethod
    def _hardest_day(made: Plan) -> date:
        energy = made.data.energy
        month = energy.months[energy.hardest].month if energy.months else 12
        return date(2026, month, 21)

    def _learn_air(self) -> None:
        """Ask for the air of the months: it hangs on the site alone, so a small system will do."""
        post = System(site=self.system.site).add(
            _core.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="10 Ah"),
            _core.Load(name="load", typical="1 W"),
            _core.Run(name="run", from_="bank", to="load", length="1 m"),
        )
        months = plan(post, margins=False, size_ups=False).data.energy.months
        self._air_c = tuple(month.outside_c for month in months) if len(months) == 12 else ()

    def _answered(self) -> tuple[Plan, Played | None]:
        """Work out the system with its sizes held."""
        return plan(self.held, energy=False, margins=False, size_ups=False), self._played()

    def _played(self) -> Played | None:
        """Play the night from the conditions; None without a place, and so without a sun."""
        wanted = self.conditions
        try:
            return play(
                self.held,
                wanted.day,
                NIGHT_DAYS,
                charge=wanted.charge,
                step_s=NIGHT_STEP_S,
                sky=Sky(sun=wanted.sun, air_c=self._air_c),
                report_days=REPORT_DAYS,
            )
        except _core.InputError:
            raise
        except _core.Error:
            return None

    # ---- what there is to wiggle -------------------------------------------------------------

    def records(self) -> list[tuple[str, str]]:
        """Return (kind, name) of everything with a field to wiggle.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.explore("post.toml").records()[:3]
        [('site', ''), ('rules', ''), ('bank', 'bank')]
        """
        found = [("site", ""), ("rules", "")]
        for attribute, (kind, _) in KINDS.items():
            if kind in USUAL:
                found += [(kind, name) for name in getattr(self.system, attribute).names()]
        return found

    @staticmethod
    def _record_of(system: System, kind: str, name: str) -> Any:
        if kind in ("site", "rules"):
            return getattr(system, kind)
        attribute = next((a for a, (k, _) in KINDS.items() if k == kind), None)
        if attribute is None:
            near = _core.near_misses(kind, [k for k, _ in KINDS.values()])
            hint = f'; did you mean "{near[0]}"?' if near else ""
            raise _core.LookupError(f'there is no kind of record "{kind}"{hint}')
        return getattr(system, attribute)[name]

    def record(self, kind: str, name: str) -> Any:
        """Return the record as it stands now; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> explorer.record("load", "door camera").typical
        '5 W'
        """
        return self._record_of(self.system, kind, name)

    def feed_of(self, name: str) -> str | None:
        """Return the name of the run that leads to a point; None when there is none.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> explorer.feed_of("door camera"), explorer.feed_of("roof array")
        ('door camera', None)
        """
        return next((run.name for run in self.system.runs if run.to == name), None)

    def hottest_air_c(self, run: str) -> float:
        """Return the hottest air around a run in any case, as the plan reckons it, in °C.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> explorer.hottest_air_c("door camera")
        38.0
        """
        index = self.held.runs.names().index(self.held.run(run).name)
        return max(case.runs[index].ambient_c for case in self.plan.case_results)

    # ---- moves -------------------------------------------------------------------------------

    def _told(self, begun: float) -> Plan:
        self.seconds = time.perf_counter() - begun
        for listener in self._listeners:
            listener()
        return self.plan

    def set(self, kind: str, name: str, field: str, value: Any) -> Plan:
        """Change one field and answer, sizes held; a refused value changes nothing.

        Parameters
        ----------
        kind, name : str
            ``"load"``, ``"run"`` …, and the name of the record; empty for ``"site"`` and
            ``"rules"``.
        field : str
            As in the file: ``"typical"``, ``"length"``.
        value : str, float or None
            With its unit; None goes back to the default.

        Returns
        -------
        Plan
            Of the changed system, without day and night; these are in :attr:`night`.

        Raises
        ------
        InputError
            When the field does not take the value, or the system cannot be used with it.
        LookupError
            When there is no such record.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> plan = explorer.set("run", "door camera", "length", "40 m")
        >>> plan.verdict, explorer.start.verdict
        ('care', 'good')
        """
        before = self.system.copy(), self.held.copy(), self._air_c
        begun = time.perf_counter()
        try:
            setattr(self.record(kind, name), field, value)
            # A size or device that is opened again stays as it is held.
            if not (kind == "run" and field in ("size", "fuse", "fuse_form") and value is None):
                setattr(self._record_of(self.held, kind, name), field, value)
            if kind == "site" and field in AIR_FIELDS:
                self._learn_air()
            self.plan, self.night = self._answered()
        except _core.Error:
            self.system, self.held, self._air_c = before
            raise
        return self._told(begun)

    def set_conditions(
        self,
        *,
        day: date | None = None,
        charge: float | str | None = None,
        sun: float | str | None = None,
    ) -> Plan:
        """Change what the night begins with; the wiring stays as it is.

        Parameters
        ----------
        day : date, optional
            It begins at the local noon of this day.
        charge : float or str, optional
            State of charge then, 0 to 1 or ``"80 %"``.
        sun : float or str, optional
            Share of the usual sun, 0 to 2 or ``"40 %"``.

        Returns
        -------
        Plan
            As it was; the night is in :attr:`night`.

        Raises
        ------
        ValueError
            When `charge` or `sun` is out of range; the message names it.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> plan = explorer.set_conditions(charge="60 %", sun=0.2)
        >>> explorer.conditions.charge, explorer.conditions.sun
        (0.6, 0.2)
        """
        begun = time.perf_counter()
        wanted = self.conditions
        if day is not None:
            wanted = replace(wanted, day=day)
        if charge is not None:
            wanted = replace(wanted, charge=_share("charge", charge, 1.0))
        if sun is not None:
            wanted = replace(wanted, sun=_share("sun", sun, 2.0))
        before, self.conditions = self.conditions, wanted
        try:
            self.night = self._played()
        except _core.Error:
            self.conditions = before
            raise
        return self._told(begun)

    def choose_sizes(self) -> Plan:
        """Choose sizes and devices anew for the system as it stands, and hold these.

        Takes as long as a plan: up to some seconds.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> plan = explorer.set("run", "door camera", "length", "40 m")
        >>> explorer.choose_sizes().verdict
        'good'
        >>> [name for name, before, after in explorer.sizes_changed()]
        ['door camera']
        """
        begun = time.perf_counter()
        self.held = plan(self.system, energy=False, margins=False, size_ups=False).wired
        self.plan, self.night = self._answered()
        return self._told(begun)

    def reset(self) -> Plan:
        """Go back to the system as it came, and to its sizes.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> plan = explorer.set("load", "door camera", "typical", "6 W")
        >>> explorer.reset() is explorer.start, explorer.changes()
        (True, [])
        """
        begun = time.perf_counter()
        self.system, self.held = self._original.copy(), self._start_held.copy()
        self._air_c, self.conditions = self._start_air_c, self._start_conditions
        self.plan, self.night = self.start, self.start_night
        return self._told(begun)

    def changes(self) -> list[tuple[str, str, str, Any, Any]]:
        """Return what differs from the system as it came: kind, name, field, then, now.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> plan = explorer.set("load", "door camera", "typical", "6 W")
        >>> explorer.changes()
        [('load', 'door camera', 'typical', '5 W', '6 W')]
        """
        return self._original.differences(self.system)

    def sizes_changed(self) -> list[tuple[str, str, str]]:
        """Return runs whose held size or device is not the one of the start: run, then, now.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> explorer.sizes_changed()
        []
        >>> plan = explorer.set("run", "door camera", "size", "10 AWG")
        >>> [name for name, _, _ in explorer.sizes_changed()]
        ['door camera']
        """
        found = []
        for then, now in zip(self._start_held.runs, self.held.runs, strict=True):
            texts = [f"{run.size}, {run.fuse or 'no device'}" for run in (then, now)]
            if texts[0] != texts[1]:
                found.append((now.name, texts[0], texts[1]))
        return found

    def keep(self, path: str | Path) -> Path:
        """Write the system as it stands now; sizes that were open stay open in it.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> plan = explorer.set("load", "door camera", "typical", "6 W")
        >>> nb.read(explorer.keep("kept.toml")) == explorer.system
        True
        """
        target = Path(path)
        self.system.write(target)
        return target

    # ---- what is shown -----------------------------------------------------------------------

    def verdict_html(self) -> str:
        """Return figures as they came and now, changes, and the worst findings.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> "as it came" in explorer.verdict_html()
        True
        """
        from nightbus.explore_answers import answers

        return answers(self)

    def picture_html(self, which: str = "Volts") -> str:
        """Return one of the pictures: ``"Night"``, ``"Volts"`` or ``"Diagram"``.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> "door camera" in explorer.picture_html("Volts")
        True
        """
        from nightbus.explore_answers import picture

        return picture(self, which)

    def widget(self) -> Any:
        """Build the controls; needs ipywidgets.

        Examples
        --------
        >>> import nightbus as nb
        >>> explorer = nb.explore("post.toml")
        >>> type(explorer.widget()).__name__
        'HBox'
        """
        try:
            import ipywidgets  # type: ignore[import-untyped]
        except ImportError as error:
            raise _core.Error(
                "the explorer needs ipywidgets: pip install 'nightbus[notebook]'"
            ) from error
        from nightbus.explore_view import View

        return View(self, ipywidgets).box

    def __repr__(self) -> str:
        return (
            f'<Explorer "{self.system.title}": {self.start.verdict} → {self.plan.verdict}; '
            f"{len(self.changes())} changes; a notebook shows its controls>"
        )

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget())  # type: ignore[no-untyped-call]


def _share(argument: str, value: float | str, most: float) -> float:
    try:
        number = (
            _core.quantity(value, _core.Dimension.ratio) if isinstance(value, str) else float(value)
        )
    except _core.InputError as error:
        raise ValueError(f"{argument}: {error}") from None
    if not 0.0 <= number <= most:
        raise ValueError(f"{argument}: 0 to {most:g} is possible, {value} was given")
    return number


def explore(system: System | str | Path) -> Explorer:
    """Open the explorer on a system; in Jupyter it shows itself.

    Parameters
    ----------
    system : System, str or Path
        The system, or its file. It is not changed.

    Returns
    -------
    Explorer
        Whose `set`, `set_conditions`, `choose_sizes`, `reset` and `keep` do in code what the
        controls do by hand.

    Raises
    ------
    InputError
        When the description cannot be used.

    Examples
    --------
    >>> import nightbus as nb
    >>> explorer = nb.explore(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ]))
    >>> explorer.set("run", "feed", "length", "30 m").count("danger") > 0
    True
    """
    return Explorer(read(system) if isinstance(system, str | Path) else system)
