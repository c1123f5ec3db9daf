"""A simulated span as labelled arrays."""

from __future__ import annotations

import sys
import time
import warnings
from typing import TYPE_CHECKING

from nightbus.planning import Plan, plan
from nightbus.quantities import Dimension, given
from nightbus.timeseries_dataset import dataset, tidy
from nightbus.timeseries_model import model_of, play_traces, same_place, span

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date
    from pathlib import Path

    import pandas as pd
    import xarray as xr

    from nightbus import _core
    from nightbus.system import System
    from nightbus.weather import Weather

__all__ = ["InterruptedRun", "tidy", "time_series"]

SHOW_AFTER_S = 1.0  # a run shorter than this shows no progress


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
        same_place(made, weather)
    start_s, length_s = span(made, start, days, weather)
    model = model_of(made, start_s, length_s, step, weather, lumped, catalogue)
    model.set_charge(soc)
    told = play_traces(model, traces or {}, step, longest_fill_s, start_s, start_s + length_s)
    meter = _Meter(progress)
    try:
        data, interrupted = model.run(
            start_s, step, max(1, round(length_s / step)), record_every=every, progress=meter
        )
    finally:
        meter.close()
    found = dataset(made, model, data, step)
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
