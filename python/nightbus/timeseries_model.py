"""A plan, a sky and measured draws as a model that can be run."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from nightbus import _core, clock
from nightbus.quantities import Dimension, given
from nightbus.traces import watt_trace
from nightbus.weather import Weather, WeatherError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    import pandas as pd

    from nightbus.planning import Plan

DAY_S = 86400.0
SKY_STEP_S = 600.0
NEAR_DEG = 1.0  # weather of that neighbourhood may stand for the site


def same_place(made: Plan, weather: Weather) -> None:
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


def span(
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


def model_of(
    made: Plan,
    start_s: float,
    length_s: float,
    step_s: float,
    weather: Weather | None,
    lumped: bool,
    catalogue: _core.Catalogue | None,
) -> _core.SimulationModel:
    """Make the wired system a model, under this weather or the usual sky of the site."""
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


def play_traces(
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
