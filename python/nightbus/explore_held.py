"""A system whose sizes are held, what it answers, and the night it is played through."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.planning import Plan, plan
from nightbus.playing import Played, Sky, play
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


class Held:
    """A system as it came, as it stands, and with its sizes held."""

    def __init__(self, system: System) -> None:
        self.system = system.copy()
        self._original = system.copy()
        self._listeners: list[Callable[[], None]] = []
        self.seconds = 0.0
        self._air_c: tuple[float, ...] = ()
        chosen = plan(self.system, margins=False, size_ups=False, changes=False)
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
        """Ask for the air of the months, which hangs on the site alone."""
        self._air_c = tuple(_core.monthly_air(self.system.site).mean_c)

    def _answered(self) -> tuple[Plan, Played | None]:
        """Work out the system with its sizes held."""
        return plan(
            self.held, energy=False, margins=False, size_ups=False, changes=False
        ), self._played()

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
