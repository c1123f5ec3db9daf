"""A system played in time: charge, volts and watts at each step, as a table."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from nightbus import _core, clock
from nightbus.frames import frame
from nightbus.planning import Plan, plan

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from nightbus.system import System

STEP_S = 300.0
WEATHER_STEP_S = 600.0
DAY_S = 86400.0
HORIZON_DEG = 90.833  # the upper edge of the sun touches the horizon, with usual refraction


def simulate(
    system: Plan | System | str | Path,
    start: str | date = "2026-12-20",
    days: int = 3,
    *,
    charge: float | str = 1.0,
    step_s: float = STEP_S,
    catalogue: _core.Catalogue | None = None,
) -> pd.DataFrame:
    """Play a wired system in time, from local noon, under the usual sky of its months.

    The sky is clear, dimmed as the site's peak sun hours or clearness say; it is no forecast.

    Parameters
    ----------
    system : Plan, System, str or Path
        A plan (its wiring is used), or what to plan first.
    start : str or date
        Day at whose local noon it begins: ``"2026-12-20"``.
    days : int
        Length, 1 to 366.
    charge : float or str
        State of charge at the start, 0 to 1 or ``"80 %"``.
    step_s : float
        Seconds of a step. [s]
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.

    Returns
    -------
    pandas.DataFrame
        One row for each step: ``local`` (wall clock), ``is_night``, ``charge_percent`` (of all
        banks), ``bus_v``, ``bank_a`` (into the banks), ``load_w``, ``unmet_w``, ``sun_w``,
        ``charger_w``, ``outside_c``; units in ``attrs["units"]``.

    Raises
    ------
    InputError
        When the description cannot be used.
    ValueError
        When `days` or `step_s` is out of range.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = (
    ...     nb.System("Post")
    ...     .add(nb.Site(latitude="47 deg", longitude="11 deg", time_zone="Europe/Vienna"))
    ...     .add(nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"))
    ...     .add(nb.Load(name="router", typical="12 W"), feed={"from_": "bank", "length": "1 m"})
    ... )
    >>> trace = nb.simulate(system, "2026-06-01", days=1)
    >>> bool(trace["charge_percent"].is_monotonic_decreasing)  # nothing fills this bank
    True
    """
    import numpy as np
    import pandas as pd

    if not 1 <= days <= 366:
        raise ValueError(f"days: 1 to 366 are possible, {days} was given")
    if not 1.0 <= step_s <= 3600.0:
        raise ValueError(f"step_s: 1 to 3600 s are possible, {step_s:g} was given")
    soc = _core.quantity(charge, _core.Dimension.ratio) if isinstance(charge, str) else charge
    if not 0.0 <= soc <= 1.0:
        raise ValueError(f'charge: 0 to 1, or "80 %", is possible; {charge} was given')
    made = system if isinstance(system, Plan) else plan(system, catalogue=catalogue, margins=False)
    site = made.system.site
    day = date.fromisoformat(start) if isinstance(start, str) else start
    noon_s = clock.utc_s(site.time_zone, day.year, day.month, day.day, 12.0)
    end_s = noon_s + days * DAY_S
    model = _core.describe_simulation(
        made.wired._data(),
        catalogue or _core.Catalogue(),
        clock.offsets(site.time_zone, noon_s - 2 * DAY_S, end_s + 2 * DAY_S),
        step_s=step_s,
    )
    months = made.data.energy.months
    air_c = [month.outside_c for month in months] if len(months) == 12 else [site.temp_mild_c] * 12
    model.set_clear_sky(
        noon_s - DAY_S,
        WEATHER_STEP_S,
        int((days + 2) * DAY_S / WEATHER_STEP_S),
        peak_sun_wh_m2=list(site.peak_sun_hours_wh_per_m2),
        clearness=list(site.clearness),
        temp_mean_c=air_c,
    )
    model.set_charge(soc)
    data, _ = model.run(noon_s, step_s, int(days * DAY_S / step_s))

    values = np.asarray(data.values)
    rows: dict[str, list[object]] = {}
    for index, (name, _unit, _item) in enumerate(data.columns):
        rows.setdefault(name, []).append(values[index])
    sizes = np.array([bank.capacity_ah * bank.strings for bank in made.system.banks])
    share = np.average(np.array(rows["bank_charge"], dtype=float), axis=0, weights=sizes)
    times = np.array(data.time_s, dtype=float)
    zenith = _core.sun_positions(times, site.latitude_deg, site.longitude_deg)["zenith_deg"]
    local = pd.to_datetime(times, unit="s", utc=True).tz_convert(site.time_zone or "UTC")
    table = pd.DataFrame(
        {
            "local": local.tz_localize(None),
            "is_night": np.asarray(zenith) > HORIZON_DEG,
            "charge_percent": 100.0 * share,
            "bus_v": rows["bus_voltage"][0],
            "bank_a": np.sum(np.array(rows["bank_current"], dtype=float), axis=0),
            "load_w": rows["load_power"][0],
            "unmet_w": rows["unmet_power"][0],
            "sun_w": rows["array_power"][0],
            "charger_w": rows["charger_power"][0],
            "outside_c": rows["outside_temperature"][0],
        }
    )
    table.attrs["units"] = frame([], list(table.columns)).attrs["units"]
    return table
