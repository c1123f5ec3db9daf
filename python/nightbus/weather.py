"""Weather files, read with care: what they say, what was put right, and what is refused.

Readers are pvlib's. What comes out is even, begins at `start_s` and holds from each instant for one
step; every change that was made stands in `notes`, and nothing is filled beyond what was allowed.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

from nightbus.quantities import Dimension, given
from nightbus.same import Same
from nightbus.weather_errors import WeatherError, WeatherWarning
from nightbus.weather_files import STANDARD_LABEL, Label, load
from nightbus.weather_rows import MIDDLE, check_values, columns, counted, even, stamps, usual_step_s
from nightbus.weather_sun import check_zone, closure_by_label, split

if TYPE_CHECKING:
    from pathlib import Path

    import numpy as np
    import pandas as pd

__all__ = ["Label", "Weather", "WeatherError", "WeatherWarning", "read_weather"]

TYPICAL_YEAR = 2025  # without a 29 February


@dataclass(frozen=True, eq=False)
class Weather(Same):
    """Even weather, UTC.

    Attributes
    ----------
    start_s : float
        UTC seconds at which the first value begins to hold. [s]
    step_s : float
        Length of a step. [s]
    ghi_wm2, dni_wm2, dhi_wm2 : numpy.ndarray
        Global horizontal, direct normal, diffuse horizontal irradiance. [W/m2]
    temp_c : numpy.ndarray
        Air. [degC]
    wind_ms : numpy.ndarray
        Wind. [m/s]
    latitude_deg, longitude_deg : float
        Where it was taken. [deg]
    kind : str
        ``"tmy3"``, ``"epw"``, ``"pvgis"``, ``"surfrad"`` or ``"frame"``.
    label : str
        Where in its step the file's stamp stood.
    closure_wm2 : dict
        Mean gap of GHI against DHI + DNI cos(zenith) by label; the right one has the smallest.
    notes : tuple of str
        What was put right or assumed, in words.

    Examples
    --------
    >>> import nightbus as nb
    >>> import pandas as pd
    >>> hours = pd.date_range("2026-06-01", periods=48, freq="h", tz="UTC")
    >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    >>> dark = pd.DataFrame(columns, index=hours)
    >>> weather = nb.read_weather(dark, latitude_deg=47.0, longitude_deg=11.0)
    >>> weather.days, weather.notes
    (2.0, ())
    """

    start_s: float
    step_s: float
    ghi_wm2: np.ndarray[Any, Any]
    dni_wm2: np.ndarray[Any, Any]
    dhi_wm2: np.ndarray[Any, Any]
    temp_c: np.ndarray[Any, Any]
    wind_ms: np.ndarray[Any, Any]
    latitude_deg: float
    longitude_deg: float
    kind: str
    label: str
    closure_wm2: dict[Label, float]
    notes: tuple[str, ...]

    def __len__(self) -> int:
        """Count the steps."""
        return len(self.temp_c)

    def _repr_html_(self) -> str:
        notes = "".join(f"<li>{escape(note)}</li>" for note in self.notes)
        told = f"<p>Put right or assumed:</p><ul>{notes}</ul>" if notes else ""
        return (
            f"<p>{self.days:g} days of weather ({self.kind}) at {self.latitude_deg:g}°, "
            f"{self.longitude_deg:g}°, in steps of {self.step_s / 60.0:g} min</p>{told}"
        )

    @property
    def days(self) -> float:
        """Length in days.

        Examples
        --------
        >>> import nightbus as nb
        >>> import pandas as pd
        >>> hours = pd.date_range("2026-06-01", periods=48, freq="h", tz="UTC")
        >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
        >>> dark = pd.DataFrame(columns, index=hours)
        >>> weather = nb.read_weather(dark, latitude_deg=47.0, longitude_deg=11.0)
        >>> weather.days
        2.0
        """
        return len(self) * self.step_s / 86400.0

    def columns(self) -> tuple[Any, ...]:
        """Return the arguments of a simulation's ``set_weather``: start, step, five columns.

        Examples
        --------
        >>> import nightbus as nb
        >>> import pandas as pd
        >>> hours = pd.date_range("2026-06-01", periods=48, freq="h", tz="UTC")
        >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
        >>> dark = pd.DataFrame(columns, index=hours)
        >>> weather = nb.read_weather(dark, latitude_deg=47.0, longitude_deg=11.0)
        >>> len(weather.columns())
        7
        """
        return (
            self.start_s,
            self.step_s,
            self.ghi_wm2,
            self.dni_wm2,
            self.dhi_wm2,
            self.temp_c,
            self.wind_ms,
        )

    def frame(self) -> pd.DataFrame:
        """Return it with pvlib's column names; stamps begin each step, UTC.

        Examples
        --------
        >>> import nightbus as nb
        >>> import pandas as pd
        >>> hours = pd.date_range("2026-06-01", periods=48, freq="h", tz="UTC")
        >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
        >>> dark = pd.DataFrame(columns, index=hours)
        >>> weather = nb.read_weather(dark, latitude_deg=47.0, longitude_deg=11.0)
        >>> list(weather.frame().columns)
        ['ghi', 'dni', 'dhi', 'temp_air', 'wind_speed']
        """
        import pandas as pd

        index = pd.DatetimeIndex(
            pd.to_datetime(self.start_s + self.step_s * counted(len(self)), unit="s", utc=True)
        )
        return pd.DataFrame(
            {
                "ghi": self.ghi_wm2,
                "dni": self.dni_wm2,
                "dhi": self.dhi_wm2,
                "temp_air": self.temp_c,
                "wind_speed": self.wind_ms,
            },
            index=index,
        )


def _degrees(argument: str, value: float | str | None, most: float) -> float | None:
    if value is None:
        return None
    return given(argument, value, Dimension.angle, -most, most, f"-{most:g}° to {most:g}°")


def read_weather(
    source: str | Path | pd.DataFrame,
    *,
    kind: str | None = None,
    label: Label | None = None,
    latitude_deg: float | str | None = None,
    longitude_deg: float | str | None = None,
    year: int = TYPICAL_YEAR,
    longest_fill_h: float | str = 0.0,
) -> Weather:
    """Read a weather file, or take a frame, and check it.

    Parameters
    ----------
    source : str, Path or pandas.DataFrame
        An EPW, TMY3, PVGIS or SURFRAD file, or a frame with a time-zone-aware index and pvlib's
        column names: ``ghi``, ``dni``, ``dhi``, ``temp_air``, ``wind_speed``.
    kind : str, optional
        ``"epw"``, ``"tmy3"``, ``"pvgis"`` or ``"surfrad"``; told from the file when left out.
    label : str, optional
        Where in its step a stamp stands: ``"left"``, ``"mid"`` or ``"right"``. Left out: the usual
        one of the kind; for a frame the one that closes best.
    latitude_deg, longitude_deg : float or str, optional
        Of the place, east and north positive; needed for a frame. [deg]
    year : int
        Year that a typical year, made of months of different years, is set to.
    longest_fill_h : float or str
        Longest gap that may be filled, by straight lines; the default fills none. [h]

    Returns
    -------
    Weather

    Raises
    ------
    WeatherError
        When it cannot be used; the message says why and what to do.
    ValueError
        When a number is out of range; the message names it.

    Warns
    -----
    WeatherWarning
        When the sun in it fits another label better.

    Examples
    --------
    >>> import nightbus as nb
    >>> import pandas as pd
    >>> hours = pd.date_range("2026-06-01", periods=48, freq="h", tz="UTC")
    >>> columns = {"ghi": 0.0, "dni": 0.0, "dhi": 0.0, "temp_air": 12.0, "wind_speed": 2.0}
    >>> dark = pd.DataFrame(columns, index=hours)
    >>> weather = nb.read_weather(dark, latitude_deg=47.0, longitude_deg=11.0)
    >>> len(weather), weather.step_s, weather.kind
    (48, 3600.0, 'frame')
    """
    latitude = _degrees("latitude_deg", latitude_deg, 90.0)
    longitude = _degrees("longitude_deg", longitude_deg, 360.0)
    fill_h = given(
        "longest_fill_h", longest_fill_h, Dimension.time, 0.0, 1e6, "0 h or more", 3600.0
    )
    table, place, kind = load(source, kind)
    latitude = place.get("latitude") if latitude is None else latitude
    longitude = place.get("longitude") if longitude is None else longitude
    if latitude is None or longitude is None:
        raise WeatherError("the place is not known: give latitude_deg and longitude_deg")
    notes: list[str] = []
    data = columns(table, notes)
    step_s = usual_step_s(table.index)
    chosen: Label = label or STANDARD_LABEL.get(kind, "left")
    original_s, stamps_s = stamps(table.index, step_s, chosen, year, notes)
    closure = closure_by_label(data, original_s, step_s, chosen, latitude, longitude)
    best = min(closure, key=lambda other: closure[other]) if closure else chosen
    if closure and best != chosen and closure[chosen] > 2.0 * closure[best] + 1.0:
        if kind == "frame" and label is None:
            notes.append(f'stamps stand at "{best}" of their step, as the sun in them shows')
            stamps_s = stamps_s + (MIDDLE[best] - MIDDLE[chosen]) * step_s
            chosen = best
        else:
            text = (
                f'the stamps are taken as "{chosen}", but the sun fits "{best}" better: '
                f"{closure[chosen]:.1f} against {closure[best]:.1f} W/m² of gap"
            )
            notes.append(text)
            warnings.warn(text, WeatherWarning, stacklevel=2)
    stamps_s, data = even(stamps_s, step_s, data, fill_h, notes)
    check_values(data, notes)
    middle_s = stamps_s + 0.5 * step_s
    split(data, middle_s, latitude, longitude, notes)
    check_zone(data, middle_s, latitude, longitude, min(closure.values(), default=None))
    return Weather(
        start_s=float(middle_s[0] - 0.5 * step_s),
        step_s=step_s,
        ghi_wm2=data["ghi"],
        dni_wm2=data["dni"],
        dhi_wm2=data["dhi"],
        temp_c=data["temp_air"],
        wind_ms=data["wind_speed"],
        latitude_deg=float(latitude),
        longitude_deg=float(longitude),
        kind=kind,
        label=chosen,
        closure_wm2=closure,
        notes=tuple(notes),
    )
