"""From a system to its plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core, clock
from nightbus.plan_whole import Plan
from nightbus.reading import read

if TYPE_CHECKING:
    from nightbus.system import System

__all__ = ["Plan", "plan"]


def plan(
    system: System | str | Path,
    *,
    catalogue: _core.Catalogue | None = None,
    year: int = 2026,
    energy: bool = True,
    margins: bool = True,
    trade_off_points: int = 0,
    size_ups: bool = True,
    changes: bool = True,
) -> Plan:
    """Make the plan of a system.

    Parameters
    ----------
    system : System, str or Path
        The description, or the path of a system file.
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.
    year : int
        Calendar year for sun and local time.
    energy : bool
        Day, night and sun as well.
    margins : bool
        How far each case is from the edge.
    trade_off_points : int
        Points of the curve copper against drop; 0 for none.
    size_ups : bool
        What one size more on each run would buy.
    changes : bool
        When the plan is infeasible: what would have to change. Takes many plans.

    Returns
    -------
    Plan
        With a verdict, findings and tables.

    Raises
    ------
    InputError
        When the description cannot be used; `problems` holds every reason.

    Examples
    --------
    >>> import nightbus as nb
    >>> plan = nb.plan("post.toml")
    >>> plan.verdict
    'good'
    >>> plan.loads[["name", "lowest_v", "margin_v"]].round(2)
                  name  lowest_v  margin_v
    0  cellular router     12.72      3.72
    1      door camera     12.57      0.62
    """
    described = read(system) if isinstance(system, str | Path) else system
    zone = described.site.time_zone
    month_s = 32 * 86400.0
    start_s = clock.utc_s(zone, year, 1, 1) - month_s
    end_s = clock.utc_s(zone, year + 1, 1, 1) + month_s
    options: dict[str, Any] = {
        "year": year,
        "energy": energy,
        "margins": margins,
        "trade_off_points": trade_off_points,
        "size_ups": size_ups,
        "changes": changes,
    }
    data = _core.make_plan(
        described._data(),
        catalogue or _core.Catalogue(),
        offsets=clock.offsets(zone, start_s, end_s),
        **options,
    )
    # A copy: the system may be edited further, and the plan still says what was planned.
    made = Plan(data, described.copy())
    made._options = options if catalogue is None else {**options, "catalogue": catalogue}
    return made


def made_again(system: System, options: dict[str, Any]) -> Plan:
    """Make a plan that travelled as its description."""
    return plan(system, **options)
