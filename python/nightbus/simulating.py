"""A system played in time, as tables: charge and volts through nights, air on a hot day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from nightbus.frames import frame
from nightbus.planning import Plan, plan
from nightbus.playing import Sky, play
from nightbus.quantities import Dimension, given

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    import pandas as pd

    from nightbus import _core
    from nightbus.system import System

STEP_S = 300.0
SWING_K = 8.0  # of the air over a day, from its coolest to its warmest


def simulate(
    system: Plan | System | str | Path,
    start: str | date = "2026-12-20",
    days: float | str = 3,
    *,
    charge: float | str = 1.0,
    sun: float | str = 1.0,
    step_s: float | str = STEP_S,
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
    days : float or str
        Length, half an hour to 366 days: 3 or ``"36 h"``. [d]
    charge : float or str
        State of charge at the start, 0 to 1 or ``"80 %"``.
    sun : float or str
        Share of the usual sun of the month, 0 to 2 or ``"40 %"``: a grey spell.
    step_s : float or str
        Length of a step, in seconds or ``"5 min"``. [s]
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.

    Returns
    -------
    pandas.DataFrame
        One row for each step: ``local`` (wall clock), ``is_night``, ``charge_percent`` (of all
        banks), ``bus_v``, ``bank_a`` (into the banks), ``load_w``, ``unmet_w``, ``sun_w``,
        ``charger_w``, ``outside_c``; units in ``attrs["units"]``. ``attrs["lock_outs"]`` lists
        who was off though wanted: kind, name, and local times ``off`` and ``on``.

    Raises
    ------
    InputError
        When the description cannot be used.
    ValueError
        When `days`, `charge`, `sun` or `step_s` is out of range; the message names it.

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

    length_d = given("days", days, Dimension.time, 0.02, 366.0, "half an hour to 366 d", 86400.0)
    step = given("step_s", step_s, Dimension.time, 1.0, 3600.0, "1 to 3600 s")
    soc = given("charge", charge, Dimension.ratio, 0.0, 1.0, '0 to 1, or "80 %"')
    share = given("sun", sun, Dimension.ratio, 0.0, 2.0, '0 to 2, or "40 %"')
    made = system if isinstance(system, Plan) else plan(system, catalogue=catalogue, margins=False)
    site = made.system.site
    months = made.data.energy.months
    air_c = [month.outside_c for month in months] if len(months) == 12 else [site.temp_mild_c] * 12
    played = play(
        made.wired,
        _day(start),
        length_d,
        charge=soc,
        step_s=step,
        sky=Sky(sun=share, air_c=tuple(air_c)),
        catalogue=catalogue,
    )
    zone = site.time_zone or "UTC"
    table = pd.DataFrame(
        {
            "local": _local(played.time_s, zone),
            "is_night": played.night,
            "charge_percent": 100.0 * played.charge(made.system),
            "bus_v": played.one("bus_voltage"),
            "bank_a": np.sum(np.array(played.columns["bank_current"], dtype=float), axis=0),
            "load_w": played.one("load_power"),
            "unmet_w": played.one("unmet_power"),
            "sun_w": played.one("array_power"),
            "charger_w": played.one("charger_power"),
            "outside_c": played.one("outside_temperature"),
        }
    )
    table.attrs["units"] = frame([], list(table.columns)).attrs["units"]
    table.attrs["lock_outs"] = [
        {
            "kind": one.kind,
            "name": one.name,
            "off": _local([one.from_s], zone)[0],
            "on": _local([one.to_s], zone)[0],
        }
        for one in played.outages
    ]
    return table


def hot_day(
    system: Plan | System | str | Path,
    day: str | date | None = None,
    *,
    step_s: float | str = STEP_S,
    catalogue: _core.Catalogue | None = None,
) -> pd.DataFrame:
    """Play one hot day under a clear sky: the air of every compartment from midnight to midnight.

    Outside it gets as hot as the site's ``temp_hot`` at three in the afternoon and 8 K cooler
    before dawn; the day before was alike. Devices draw what their schedules say, at typical watts:
    the plan's heat cases are harsher, with everything at its peak.

    Parameters
    ----------
    system : Plan, System, str or Path
        A plan (its wiring is used), or what to plan first.
    day : str or date, optional
        Which day: ``"2026-07-21"``. A month after the longest day of the site when left out.
    step_s : float or str
        Length of a step, in seconds or ``"5 min"``. [s]
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.

    Returns
    -------
    pandas.DataFrame
        One row for each step and compartment: ``local`` (wall clock), ``compartment``, ``air_c``,
        ``limit_c``, ``outside_c``, ``fan_step`` (the highest of the fans that cool it; 0 without
        one); units in ``attrs["units"]``. Without rows when no compartment is described.

    Raises
    ------
    InputError
        When the description cannot be used.
    ValueError
        When `step_s` is out of range.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg", temp_hot="35 °C"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Compartment(name="box", conductance="2 W/K", heat_capacity="8 kJ/K"),
    ...     nb.Load(name="router", typical="12 W", compartment="box"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ])
    >>> air = nb.hot_day(system)
    >>> bool(air["air_c"].max() > air["outside_c"].max())  # the router heats its box
    True
    """
    import numpy as np
    import pandas as pd

    step = given("step_s", step_s, Dimension.time, 1.0, 3600.0, "1 to 3600 s")
    made = system if isinstance(system, Plan) else plan(system, catalogue=catalogue, margins=False)
    described = made.system
    site = described.site
    if day is None:
        day = f"2026-{7 if site.latitude_deg >= 0 else 1:02}-21"
    mean_c = site.temp_hot_c - SWING_K / 2
    # It begins at the noon before, so that walls and bank are warm by midnight.
    played = play(
        made.wired,
        _day(day) - timedelta(days=1),
        1.5,
        step_s=step,
        sky=Sky(clear=True, air_c=(mean_c,) * 12),
        catalogue=catalogue,
    )
    shown = played.time_s >= played.time_s[0] + 43200.0
    local = _local(played.time_s[shown], site.time_zone or "UTC")
    limits = {one.name: one.limit_c for one in made.data.heat.compartments}
    cools = {fan.name: fan.cools for fan in described.fans}
    parts = []
    for index, name in enumerate(played.compartments):
        steps = [
            values[shown]
            for fan, values in zip(played.fans, played.columns.get("fan_step", []), strict=True)
            if cools.get(fan) == name
        ]
        parts.append(
            pd.DataFrame(
                {
                    "local": local,
                    "compartment": name,
                    "air_c": played.columns["space_temperature"][index][shown],
                    "limit_c": limits.get(name),
                    "outside_c": played.one("outside_temperature")[shown],
                    "fan_step": np.max(steps, axis=0) if steps else 0.0,
                }
            )
        )
    names = ["local", "compartment", "air_c", "limit_c", "outside_c", "fan_step"]
    table = pd.concat(parts, ignore_index=True) if parts else pd.DataFrame(columns=names)
    table.attrs["units"] = frame([], names).attrs["units"]
    return table


def _day(day: str | date) -> date:
    """Read a day; the message says which argument and how to write it."""
    if isinstance(day, date):
        return day
    try:
        return date.fromisoformat(day)
    except ValueError:
        raise ValueError(f'day: write it as "2026-12-20", {day!r} was given') from None


def _local(times: Iterable[float], zone: str) -> pd.DatetimeIndex:
    """UTC seconds as wall clock."""
    import pandas as pd

    local = pd.to_datetime(list(times), unit="s", utc=True).tz_convert(zone)
    return local.tz_localize(None)
