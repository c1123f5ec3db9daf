"""What many years say: availability with its confidence, smallest sizes, what one more buys."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from nightbus import _core
from nightbus.planning import Plan, plan
from nightbus.quantities import Dimension, given
from nightbus.timeseries_model import DAY_S, model_of, same_place

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    import pandas as pd

    from nightbus.system import System
    from nightbus.weather import Weather

HOURS_IN_YEAR = 8760.0


@dataclass(frozen=True)
class Availability:
    """How many hours a year the critical devices are without power, over many made years.

    Attributes
    ----------
    years : int
        Simulated, each of whole days drawn in blocks of a week from the same season of the file.
    unmet_h, unmet_low_h, unmet_high_h : float
        Mean of a year, and its interval of 95 % by resampling the years. [h]
    availability, low, high : float
        Share of the time in which every critical device that was wanted had power.
    years_without_failure : float
        Share of the years.
    worst_h : float
        The worst year. [h]
    battery_days : dict
        Published rules of thumb for the days a bank should last at the site's worst peak sun hours,
        by source: to stand beside the simulation, never instead of it. [d]

    Examples
    --------
    >>> import nightbus as nb
    >>> import pandas as pd
    >>> hours = pd.date_range("2025-01-01", periods=8760, freq="h", tz="UTC")
    >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    >>> dark = pd.DataFrame(columns, index=hours)
    >>> site = nb.read("post.toml").site
    >>> at = {"latitude_deg": site.latitude_deg, "longitude_deg": site.longitude_deg}
    >>> weather = nb.read_weather(dark, **at)
    >>> found = nb.availability("post.toml", weather, years=1, step_s=3600.0)
    >>> found.low <= found.availability <= found.high
    True
    """

    years: int
    unmet_h: float
    unmet_low_h: float
    unmet_high_h: float
    availability: float
    low: float
    high: float
    years_without_failure: float
    worst_h: float
    battery_days: dict[str, float]

    def _repr_html_(self) -> str:
        rules = "".join(
            f"<li>{escape(source)}: {days:.1f} d</li>" for source, days in self.battery_days.items()
        )
        return (
            f"<p><b>{100.0 * self.availability:.2f} %</b> of the time with power "
            f"(95 %: {100.0 * self.low:.2f} to {100.0 * self.high:.2f} %), {self.unmet_h:.1f} h a "
            f"year without; worst of {self.years} years {self.worst_h:.0f} h</p>"
            f"<p>Rules of thumb for the days a bank should last:</p><ul>{rules}</ul>"
        )


def _made(
    system: Plan | System | str | Path,
    weather: Weather,
    step_s: float,
    catalogue: _core.Catalogue | None,
) -> _core.SimulationModel:
    made = system if isinstance(system, Plan) else plan(system, catalogue=catalogue, margins=False)
    same_place(made, weather)
    if weather.days < 365.0 or abs(weather.days - round(weather.days)) > 1e-6:
        raise ValueError(
            f"weather: whole days of at least a year are needed, {weather.days:g} d were given"
        )
    return model_of(made, weather.start_s, 366 * DAY_S, step_s, weather, True, catalogue)


def _worst_sun_h(weather: Weather) -> float:
    """Lowest monthly mean of the day's sun on the horizontal, kWh/m²."""
    table = weather.frame()["ghi"] * weather.step_s / 3600.0 / 1000.0
    daily = table.resample("D").sum()
    return float(daily.groupby(daily.index.month).mean().min())  # type: ignore[attr-defined]


def _step(step_s: float | str) -> float:
    return given("step_s", step_s, Dimension.time, 1.0, 3600.0, "1 s to 1 h")


def availability(
    system: Plan | System | str | Path,
    weather: Weather,
    *,
    years: int = 30,
    step_s: float | str = 900.0,
    seed: int = 1,
    catalogue: _core.Catalogue | None = None,
) -> Availability:
    """Simulate many years drawn from a weather file, and say how often devices are dark.

    Parameters
    ----------
    system : Plan, System, str or Path
        A plan (its wiring is used), or what to plan first.
    weather : Weather
        At least a year of whole days, from :func:`nightbus.read_weather`.
    years : int
        How many to make by drawing blocks of a week, each from the same season.
    step_s : float or str
        Length of a step, 1 s to 1 h; the plain bus is solved at each. [s]
    seed : int
        The same seed gives the same years.
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.

    Returns
    -------
    Availability

    Examples
    --------
    >>> import nightbus as nb
    >>> import pandas as pd
    >>> hours = pd.date_range("2025-01-01", periods=8760, freq="h", tz="UTC")
    >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    >>> dark = pd.DataFrame(columns, index=hours)
    >>> site = nb.read("post.toml").site
    >>> at = {"latitude_deg": site.latitude_deg, "longitude_deg": site.longitude_deg}
    >>> weather = nb.read_weather(dark, **at)
    >>> found = nb.availability("post.toml", weather, years=1, step_s=3600.0)
    >>> found.years, len(found.battery_days)
    (1, 4)
    """
    if not 1 <= years <= 10000:
        raise ValueError(f"years: 1 to 10000 are possible, {years} was given")
    step = _step(step_s)
    found = _made(system, weather, step, catalogue).availability(years, step, seed=seed)
    return Availability(
        years=found.years,
        unmet_h=found.mean_unmet_h,
        unmet_low_h=found.low_unmet_h,
        unmet_high_h=found.high_unmet_h,
        availability=found.availability,
        low=found.availability_low,
        high=found.availability_high,
        years_without_failure=found.years_without_failure,
        worst_h=found.worst_unmet_h,
        battery_days=_core.battery_days(_worst_sun_h(weather)),
    )


def smallest_sizes(
    system: Plan | System | str | Path,
    weather: Weather,
    wanted: float | str = 0.99,
    arrays: Sequence[float | str] = (0.5, 0.75, 1.0, 1.5, 2.0),
    *,
    years: int = 10,
    step_s: float | str = 3600.0,
    seed: int = 1,
    catalogue: _core.Catalogue | None = None,
) -> pd.DataFrame:
    """Find, for each size of the array, the smallest bank that reaches an availability.

    Found by search on the simulation, not by a rule of thumb.

    Parameters
    ----------
    system, weather, step_s, seed, catalogue
        As in :func:`availability`.
    wanted : float or str
        Share of the time, 0.5 to 1 or ``"99 %"``.
    arrays : sequence of float or str
        Sizes of the array to look at, as factors of the present one: 0.5 or ``"50 %"``.
    years : int
        Made years each size is tried on.

    Returns
    -------
    pandas.DataFrame
        ``array`` and ``bank`` as factors of the present sizes; no bank where none is enough.

    Examples
    --------
    >>> import nightbus as nb
    >>> import pandas as pd
    >>> hours = pd.date_range("2025-01-01", periods=8760, freq="h", tz="UTC")
    >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    >>> dark = pd.DataFrame(columns, index=hours)
    >>> site = nb.read("post.toml").site
    >>> at = {"latitude_deg": site.latitude_deg, "longitude_deg": site.longitude_deg}
    >>> weather = nb.read_weather(dark, **at)
    >>> found = nb.smallest_sizes("post.toml", weather, 0.99, [1.0], years=1)
    >>> list(found.columns)
    ['array', 'bank']
    """
    import pandas as pd

    share = given("wanted", wanted, Dimension.ratio, 0.5, 1.0, '0.5 to 1, or "99 %",')
    step = _step(step_s)
    factors = [
        given("arrays", one, Dimension.ratio, 0.0, 1000.0, '0 to 1000, or "150 %",')
        for one in arrays
    ]
    model = _made(system, weather, step, catalogue)
    pairs = model.size_frontier(share, factors, years, step, seed)
    return pd.DataFrame(
        {
            "array": [array for array, _ in pairs],
            "bank": pd.array([bank for _, bank in pairs], dtype="Float64"),
        }
    )


def what_one_more_buys(
    system: Plan | System | str | Path,
    weather: Weather,
    *,
    years: int = 10,
    step_s: float | str = 3600.0,
    seed: int = 1,
    panel_share: float | str = 0.25,
    battery_share: float | str = 1.0,
    less_w: float | str = 10.0,
    catalogue: _core.Catalogue | None = None,
) -> pd.DataFrame:
    """Compare one more panel, one more battery and some watts less, in hours a year.

    Parameters
    ----------
    system, weather, years, step_s, seed, catalogue
        As in :func:`smallest_sizes`.
    panel_share, battery_share : float or str
        One more panel, or battery, as a share of what is there: 0.25 or ``"25 %"``.
    less_w : float or str
        Watts less of mean demand. [W]

    Returns
    -------
    pandas.DataFrame
        ``change``, ``factor`` of what changes, ``availability`` after it, ``hours_won`` a year.

    Examples
    --------
    >>> import nightbus as nb
    >>> import pandas as pd
    >>> hours = pd.date_range("2025-01-01", periods=8760, freq="h", tz="UTC")
    >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    >>> dark = pd.DataFrame(columns, index=hours)
    >>> site = nb.read("post.toml").site
    >>> at = {"latitude_deg": site.latitude_deg, "longitude_deg": site.longitude_deg}
    >>> weather = nb.read_weather(dark, **at)
    >>> found = nb.what_one_more_buys("post.toml", weather, years=1)
    >>> list(found["change"])
    ['one more panel', 'one more battery', 'less draw']
    """
    import pandas as pd

    step = _step(step_s)
    panel, battery = (
        given(name, one, Dimension.ratio, 0.0, 1000.0, '0 to 1000, or "25 %",')
        for name, one in (("panel_share", panel_share), ("battery_share", battery_share))
    )
    less = given("less_w", less_w, Dimension.power, 0.0, 1e6, "0 W or more")
    rows = _made(system, weather, step, catalogue).marginal_values(
        years, step, seed, panel, battery, less
    )
    return pd.DataFrame(
        {
            "change": [change for change, *_ in rows],
            "factor": [factor for _, factor, *_ in rows],
            "availability": [after.availability for _, _, after, _ in rows],
            "hours_won": [won for *_, won in rows],
        }
    )
