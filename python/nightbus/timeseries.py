"""A simulated span as labelled arrays: one xarray.Dataset, and a tidy table made of it."""

from __future__ import annotations

import sys
import time
import warnings
from datetime import date
from typing import TYPE_CHECKING, Any

from nightbus import _core, clock
from nightbus.planning import Plan, plan
from nightbus.quantities import Dimension, given
from nightbus.traces import watt_trace
from nightbus.weather import Weather, WeatherError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    import pandas as pd
    import xarray as xr

    from nightbus.system import System

DAY_S = 86400.0
SKY_STEP_S = 600.0
NEAR_DEG = 1.0  # weather of that neighbourhood may stand for the site
SHOW_AFTER_S = 1.0  # a run shorter than this shows no progress

#: Dimension of the columns of which there are several, by the start of their name.
DIMENSIONS = {
    "bank": "bank",
    "plane": "array",
    "space": "compartment",
    "fan": "fan",
    "load": "load",
    "converter": "converter",
}
#: Columns of loads and converters that stand alone: sums over all of them.
ALONE = {"load_power"}
WORDS = {
    "bus_voltage": "volts of the bus",
    "load_power": "what all devices get",
    "unmet_power": "what devices want and do not get",
    "array_available": "what the sun offers at its best point",
    "array_power": "what the solar controllers give",
    "charger_power": "what the other chargers give",
    "outside_temperature": "air outside",
    "global_irradiance": "sun on the horizontal",
    "charge_stage": "0 bulk, 1 absorption, 2 float, 3 rest, 4 equalise",
    "bank_charge": "state of charge",
    "bank_current": "current into the bank",
    "bank_voltage": "volts at the bank's terminals",
    "bank_temperature": "temperature of the bank",
    "plane_irradiance": "light on the array that counts",
    "space_temperature": "air of the compartment",
    "fan_step": "step of the fan",
    "load_voltage": "volts at the device, 0 while off",
    "load_draw": "watts of the device",
    "converter_voltage": "volts at the converter's input, 0 while off",
    "converter_draw": "watts into the converter",
}
UNITS = {"degC": "degC", "W/m2": "W/m2", "1": "1"}


class InterruptedRun(UserWarning):
    """A run was interrupted; what was done until then was kept."""


class _Meter:
    """Shows how far a run is, once it takes longer than a second."""

    def __init__(self, show: bool | Callable[[float], object] | None) -> None:
        self.began_s = time.monotonic()
        self.shown = False
        self.call = show if callable(show) else None
        self.wanted = sys.stderr.isatty() if show is None else bool(show)

    def __call__(self, share: float) -> None:
        if time.monotonic() - self.began_s < SHOW_AFTER_S:
            return
        if self.call is not None:
            self.call(share)
        elif self.wanted:
            self.shown = True
            print(f"\rsimulated {100.0 * share:3.0f} %", end="", file=sys.stderr, flush=True)

    def close(self) -> None:
        if self.shown:
            print("\r" + " " * 20 + "\r", end="", file=sys.stderr, flush=True)


def time_series(
    system: Plan | System | str | Path,
    start: str | date | None = None,
    days: float | str | None = None,
    *,
    weather: Weather | None = None,
    charge: float | str = 1.0,
    step_s: float | str = 60.0,
    rows_s: float | str | None = None,
    lumped: bool = False,
    traces: Mapping[str, str | Path | pd.DataFrame | pd.Series] | None = None,
    longest_fill_s: float | str = 300.0,
    progress: bool | Callable[[float], object] | None = None,
    catalogue: _core.Catalogue | None = None,
) -> xr.Dataset:
    """Simulate a wired system and give everything as one labelled Dataset.

    Parameters
    ----------
    system : Plan, System, str or Path
        A plan (its wiring is used), or what to plan first.
    start : str or date, optional
        Day at whose local midnight it begins. Left out: with the weather, or with today's year.
    days : float or str, optional
        Length. Left out: to the end of the weather, or a week. [d]
    weather : Weather, optional
        From :func:`nightbus.read_weather`. Left out: the usual sky of the site.
    charge : float or str
        State of charge of every bank at the start, 0 to 1 or ``"80 %"``.
    step_s : float or str
        Length of a step, 1 s to 1 h. [s]
    rows_s : float or str, optional
        Length of a row of the result, a whole number of steps; a step when left out. [s]
    lumped : bool
        One bus instead of the network solved at every step: faster, and nearly the same.
    traces : mapping, optional
        Measured watts by the name of a device, instead of what its description says: a CSV or
        Parquet file, or a frame, see :func:`nightbus.traces.watt_trace`.
    longest_fill_s : float or str
        Gaps of traces up to this length keep the last value; longer ones take the mean of that time
        of day on the other days, and are told in ``attrs["traces"]``. [s]
    progress : bool or callable, optional
        Whether to show how far a run is that takes over a second; a callable gets the share.
        Left out: shown where someone sees it.
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.

    Returns
    -------
    xarray.Dataset
        Along ``time`` (UTC, aware; start of each row) and the names of banks, loads and so on. Each
        variable has its unit in ``attrs["units"]``. ``ledger`` holds the energy balance, in Wh.
        ``attrs`` tell the place, the step, whether the run was interrupted and how far the ledger
        is from closing.

    Warns
    -----
    InterruptedRun
        After Ctrl-C; what was done by then is in the result.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = (
    ...     nb.System("Post")
    ...     .add(nb.Site(latitude="47 deg", longitude="11 deg", time_zone="Europe/Vienna"))
    ...     .add(nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"))
    ...     .add(nb.Load(name="router", typical="12 W"), feed={"from_": "bank", "length": "1 m"})
    ... )
    >>> run = nb.time_series(system, "2026-06-01", days=1, step_s="5 min")
    >>> run["bus_voltage"].attrs["units"]
    'V'
    >>> run.attrs["relative_gap"] < 1e-9
    True
    """
    step = given("step_s", step_s, Dimension.time, 1.0, 3600.0, "1 s to 1 h")
    row = step if rows_s is None else given("rows_s", rows_s, Dimension.time, step, 1e9,
                                              "a whole number of steps")  # fmt: skip
    every = round(row / step)
    if abs(every * step - row) > 1e-9 * row:
        raise ValueError(f"rows_s: {row:g} s is no whole number of steps of {step:g} s")
    soc = given("charge", charge, Dimension.ratio, 0.0, 1.0, '0 to 1, or "80 %"')
    made = system if isinstance(system, Plan) else plan(system, catalogue=catalogue, margins=False)
    if weather is not None:
        _same_place(made, weather)
    start_s, length_s = _span(made, start, days, weather)
    model = _model(made, start_s, length_s, step, weather, lumped, catalogue)
    model.set_charge(soc)
    told = _play_traces(model, traces or {}, step, longest_fill_s, start_s, start_s + length_s)
    meter = _Meter(progress)
    try:
        data, interrupted = model.run(
            start_s, step, max(1, round(length_s / step)), record_every=every, progress=meter
        )
    finally:
        meter.close()
    found = _dataset(made, model, data, step)
    found.attrs["interrupted"] = int(interrupted)
    if told:
        found.attrs["traces"] = "; ".join(told)
    if weather is not None:
        found.attrs["weather"] = weather.kind
        found.attrs["weather_notes"] = "; ".join(weather.notes)
    if interrupted:
        warnings.warn(
            f"interrupted: {found.sizes['time']} rows are kept", InterruptedRun, stacklevel=2
        )
    return found


def tidy(run: xr.Dataset) -> pd.DataFrame:
    """Return the series as one long table: time, local, quantity, item, value, unit.

    Parameters
    ----------
    run : xarray.Dataset
        From :func:`time_series`.

    Returns
    -------
    pandas.DataFrame
        A row for each value; `item` is empty for what there is one of.

    Examples
    --------
    >>> import nightbus as nb
    >>> run = nb.time_series("post.toml", "2026-06-01", days=1, step_s="1 h")
    >>> table = nb.tidy(run)
    >>> list(table.columns)
    ['time', 'local', 'quantity', 'item', 'value', 'unit']
    """
    import pandas as pd

    zone = str(run.attrs["time_zone"])
    times = pd.DatetimeIndex(pd.to_datetime(run.indexes["time"], utc=True))
    parts = []
    for name, variable in run.data_vars.items():
        if "time" not in variable.dims:
            continue
        others = [str(one) for one in variable.dims if one != "time"]
        items = [str(one) for one in run.coords[others[0]].to_numpy()] if others else [""]
        values = variable.transpose(*others, "time").to_numpy().reshape(len(items), -1)
        for item, column in zip(items, values, strict=True):
            parts.append(
                pd.DataFrame(
                    {
                        "time": times,
                        "local": times.tz_convert(zone),
                        "quantity": str(name),
                        "item": item,
                        "value": column,
                        "unit": variable.attrs["units"],
                    }
                )
            )
    return pd.concat(parts, ignore_index=True)


def _same_place(made: Plan, weather: Weather) -> None:
    """Refuse weather of another place: its sun would stand elsewhere than the site's."""
    site = made.system.site
    north = abs(weather.latitude_deg - site.latitude_deg)
    east = abs((weather.longitude_deg - site.longitude_deg + 180.0) % 360.0 - 180.0)
    if max(north, east) <= NEAR_DEG:
        return
    raise WeatherError(
        f"the weather is of {weather.latitude_deg:g}, {weather.longitude_deg:g}, the site stands "
        f"at {site.latitude_deg:g}, {site.longitude_deg:g}: more than {NEAR_DEG:g} degrees apart; "
        "move the site or take other weather"
    )


def _span(
    made: Plan, start: str | date | None, days: float | str | None, weather: Weather | None
) -> tuple[float, float]:
    """Return the start and the length in seconds, inside the weather."""
    if start is None:
        start_s = weather.start_s if weather is not None else None
    else:
        day = date.fromisoformat(start) if isinstance(start, str) else start
        start_s = clock.utc_s(made.system.site.time_zone, day.year, day.month, day.day)
    if start_s is None:
        raise ValueError("start: a day is needed where there is no weather")
    if days is not None:
        days = given(
            "days", days, Dimension.time, 1e-6, 20000.0, "more than 0 and at most 20000 d", DAY_S
        )
    if weather is None:
        return start_s, (7.0 if days is None else days) * DAY_S
    end_s = weather.start_s + len(weather) * weather.step_s
    length_s = end_s - start_s if days is None else days * DAY_S
    if start_s < weather.start_s - 1e-6 or start_s + length_s > end_s + 1e-6 or length_s <= 0.0:
        raise WeatherError(
            f"the weather covers {weather.days:g} days and not the whole span asked for; nothing "
            "is made up beyond it"
        )
    return start_s, length_s


def _model(
    made: Plan,
    start_s: float,
    length_s: float,
    step_s: float,
    weather: Weather | None,
    lumped: bool,
    catalogue: _core.Catalogue | None,
) -> _core.SimulationModel:
    site = made.system.site
    model = _core.describe_simulation(
        made.wired._data(),
        catalogue or _core.Catalogue(),
        clock.offsets(site.time_zone, start_s - 2 * DAY_S, start_s + length_s + 2 * DAY_S),
        step_s=step_s,
        lumped=lumped,
    )
    if weather is not None:
        model.set_weather(*weather.columns())
        return model
    months = made.data.energy.months
    air_c = [month.outside_c for month in months] if len(months) == 12 else [site.temp_mild_c] * 12
    model.set_clear_sky(
        start_s - DAY_S,
        SKY_STEP_S,
        int((length_s + 2 * DAY_S) / SKY_STEP_S),
        peak_sun_wh_m2=list(site.peak_sun_hours_wh_per_m2),
        clearness=list(site.clearness),
        temp_mean_c=air_c,
    )
    return model


def _play_traces(
    model: _core.SimulationModel,
    traces: Mapping[str, str | Path | pd.DataFrame | pd.Series],
    step_s: float,
    longest_fill_s: float | str,
    start_s: float,
    end_s: float,
) -> list[str]:
    """Give devices their measured watts; what was missing, in words."""
    fill = given("longest_fill_s", longest_fill_s, Dimension.time, 0.0, 1e9, "0 s or more")
    told = []
    for name, source in traces.items():
        trace = watt_trace(source)
        gaps, missing_s, longest_s = model.trace_load(
            name, trace.time_s, trace.power_w, step_s, fill
        )
        words = "no gaps"
        if gaps:
            words = f"{gaps} gaps, {missing_s:g} s missing, the longest {longest_s:g} s"
        outside_s = max(trace.time_s[0] - start_s, 0.0) + max(
            end_s - trace.time_s[-1] - step_s, 0.0
        )
        if outside_s > step_s:
            words += f"; {outside_s / 3600.0:g} h of the run lie outside it, without draw"
        told.append(f"{name}: {words}")
    return told


def _dataset(
    made: Plan, model: _core.SimulationModel, data: _core.SimulationData, step_s: float
) -> xr.Dataset:
    import numpy as np
    import pandas as pd
    import xarray as xr

    names = {
        "bank": model.banks,
        "array": model.arrays,
        "compartment": model.compartments,
        "fan": model.fans,
        "load": [
            f"{kind} {name}" if kind in ("bank", "array") else name
            for kind, name in zip(model.load_kinds, model.load_names, strict=True)
        ],
        "converter": model.converters,
    }
    times = pd.to_datetime(np.round(np.asarray(data.time_s), 3), unit="s", utc=True)
    values = np.asarray(data.values)
    several: dict[str, list[Any]] = {}
    units: dict[str, str] = {}
    for row, (name, unit, _item) in zip(values, data.columns, strict=True):
        several.setdefault(name, []).append(row)
        units[name] = unit
    variables: dict[str, Any] = {}
    used: set[str] = set()
    for name, rows in several.items():
        attrs = {"units": units[name], "long_name": WORDS.get(name, name)}
        dimension = DIMENSIONS.get(name.split("_", maxsplit=1)[0])
        if name in ALONE or dimension is None:
            variables[name] = ("time", rows[0], attrs)
        else:
            used.add(dimension)
            variables[name] = ((dimension, "time"), np.stack(rows), attrs)
    ledger = data.ledger_wh
    variables["ledger"] = ("entry", list(ledger.values()), {"units": "Wh"})
    variables["load_energy"] = ("load", list(data.load_wh), {"units": "Wh"})
    used.add("load")
    site = made.system.site
    return xr.Dataset(
        variables,
        coords={
            "time": ("time", times, {"long_name": "start of each row, UTC"}),
            **{one: names[one] for one in used},
            "entry": [entry.removesuffix("_wh") for entry in ledger],
        },
        attrs={
            "system": made.system.title,
            "latitude_deg": site.latitude_deg,
            "longitude_deg": site.longitude_deg,
            "time_zone": site.time_zone or "UTC",
            "step_s": step_s,
            "row_s": data.row_s,
            "relative_gap": data.relative_gap,
            "unmet_h": data.unmet_h,
        },
    )
