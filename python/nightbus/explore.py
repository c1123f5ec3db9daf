"""An explorer for notebooks: wiggle a figure, see what breaks first.

Works offline, with nothing but ipywidgets. Sizes and overcurrent devices are held as the plan chose
them at the start: a move then checks the whole wiring, solves every case and plays a night, which
takes some hundredths of a second. Choosing sizes anew is a button of its own.
"""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.explore_held import AIR_FIELDS, USUAL, Conditions, Held
from nightbus.planning import Plan, plan
from nightbus.quantities import Dimension, given
from nightbus.reading import read

if TYPE_CHECKING:
    from datetime import date

    from nightbus.system import System

__all__ = ["USUAL", "Conditions", "Explorer", "explore"]


class Explorer(Held):
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
            wanted = replace(
                wanted,
                charge=given("charge", charge, Dimension.ratio, 0.0, 1.0, '0 to 1, or "80 %",'),
            )
        if sun is not None:
            wanted = replace(
                wanted, sun=given("sun", sun, Dimension.ratio, 0.0, 2.0, '0 to 2, or "40 %",')
            )
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
        self.held = plan(
            self.system, energy=False, margins=False, size_ups=False, changes=False
        ).wired
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
