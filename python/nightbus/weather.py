"""Weather files, read with care: what they say, what was put right, and what is refused.

Readers are pvlib's. What comes out is even, begins at `start_s` and holds from each instant for one
step; every change that was made stands in `notes`, and nothing is filled beyond what was allowed.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from nightbus import _core
from nightbus.quantities import Dimension, given

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd

Label = Literal["left", "mid", "right"]

#: How each kind of file stamps its steps: where in the step the stamp stands.
STANDARD_LABEL: dict[str, Label] = {
    "tmy3": "right",
    "epw": "left",
    "pvgis": "mid",
    "surfrad": "left",
}
#: Middle of the step, counted from the stamp, in steps.
MIDDLE = {"left": 0.5, "mid": 0.0, "right": -0.5}
TYPICAL_YEAR = 2025  # without a 29 February
SLIGHTLY_NEGATIVE_WM2 = -12.0  # thermopiles at night; below that it is no offset
BRIGHTEST_WM2 = 1700.0  # clouds at the edge of the sun included
# Just beyond the records of the World Meteorological Organization.
COLDEST_C, HOTTEST_C = -90.0, 60.0
DARK_DEG = 96.0  # zenith at the end of civil twilight
DARK_SHARE = 0.005  # of the year's light that may fall then
SUN_COLUMNS = ("ghi", "dni", "dhi")


class WeatherError(_core.Error, ValueError):
    """A weather file that cannot be used; the message says what is wrong and what to do.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.read_weather("nowhere.epw")
    Traceback (most recent call last):
        ...
    nightbus.weather.WeatherError: there is no weather file nowhere.epw
    """


class WeatherWarning(UserWarning):
    """A weather file that was used, though something in it looks wrong."""


@dataclass(frozen=True)
class Weather:
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
            pd.to_datetime(self.start_s + self.step_s * _count(len(self)), unit="s", utc=True)
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


def _count(n: int) -> np.ndarray[Any, Any]:
    import numpy as np

    return np.arange(n, dtype=float)


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
    table, place, kind = _load(source, kind)
    latitude = place.get("latitude") if latitude is None else latitude
    longitude = place.get("longitude") if longitude is None else longitude
    if latitude is None or longitude is None:
        raise WeatherError("the place is not known: give latitude_deg and longitude_deg")
    notes: list[str] = []
    data = _columns(table, notes)
    step_s = _step_s(table.index)
    chosen: Label = label or STANDARD_LABEL.get(kind, "left")
    original_s, stamps_s = _stamps(table.index, step_s, chosen, year, notes)
    closure = _closure_by_label(data, original_s, step_s, chosen, latitude, longitude)
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
    stamps_s, data = _even(stamps_s, step_s, data, fill_h, notes)
    _check_values(data, notes)
    middle_s = stamps_s + 0.5 * step_s
    _split(data, middle_s, latitude, longitude, notes)
    _check_zone(data, middle_s, latitude, longitude, min(closure.values(), default=None))
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


# ---- Files ---------------------------------------------------------------------------------------


def _kind_of(path: Path) -> str:
    """Tell a file's kind from its name and first lines."""
    if path.suffix.lower() == ".epw":
        return "epw"
    with path.open(encoding="utf-8", errors="replace") as file:
        head = [file.readline() for _ in range(3)]
    if head[0].startswith("LOCATION,"):
        return "epw"
    if "Date (MM/DD/YYYY)" in head[1]:
        return "tmy3"
    if "Latitude (decimal degrees)" in head[0] or head[0].lstrip().startswith("{"):
        return "pvgis"
    if path.suffix.lower() == ".dat" and "version" in head[1].lower():
        return "surfrad"
    raise WeatherError(
        f"{path.name} is none of EPW, TMY3, PVGIS and SURFRAD as far as its head says; "
        "name it with kind=…, or read it yourself and give the frame"
    )


def _load(
    source: str | Path | pd.DataFrame, kind: str | None
) -> tuple[pd.DataFrame, dict[str, Any], str]:
    import pandas as pd

    if isinstance(source, pd.DataFrame):
        return source, {}, "frame"
    path = Path(source)
    if not path.is_file():
        raise WeatherError(f"there is no weather file {path}")
    kind = kind or _kind_of(path)
    if kind not in STANDARD_LABEL:
        raise WeatherError(f'kind "{kind}" is not known; it can be {", ".join(STANDARD_LABEL)}')
    try:
        from pvlib import iotools
    except ImportError as error:
        raise WeatherError("weather files need pvlib: pip install pvlib") from error
    try:
        if kind == "epw":
            table, place = iotools.read_epw(path)
        elif kind == "tmy3":
            table, place = iotools.read_tmy3(path, map_variables=True)
        elif kind == "surfrad":
            table, place = iotools.read_surfrad(path)
        else:
            table, place = _pvgis(path)
    except (KeyError, IndexError, ValueError, UnicodeDecodeError) as error:
        raise WeatherError(f"{path.name} cannot be read as {kind}: {error}") from error
    return table, place, kind


def _pvgis(path: Path) -> tuple[pd.DataFrame, dict[str, Any]]:
    from pvlib import iotools

    try:
        found = iotools.read_pvgis_tmy(path, map_variables=True)
        table, meta = found[0], found[1] if len(found) == 2 else found[2]
    except (KeyError, IndexError, ValueError):
        table, meta = iotools.read_pvgis_hourly(path, map_variables=True)[:2]
    place = meta.get("inputs", meta)
    place = place.get("location", place)
    return table, {key: float(place[key]) for key in ("latitude", "longitude") if key in place}


# ---- Columns -------------------------------------------------------------------------------------


def _columns(table: pd.DataFrame, notes: list[str]) -> dict[str, Any]:
    """Return float columns; `measured_split` is None where direct and diffuse have to be made."""
    missing = [name for name in ("ghi", "temp_air") if name not in table.columns]
    if missing:
        raise WeatherError(
            f"there is no column {' and no '.join(missing)}; pvlib's names are expected: "
            "ghi, dni, dhi, temp_air, wind_speed"
        )
    data: dict[str, Any] = {
        name: table[name].to_numpy(dtype=float, copy=True)
        for name in (*SUN_COLUMNS, "temp_air", "wind_speed")
        if name in table.columns
    }
    if "wind_speed" not in data:
        data["wind_speed"] = 0.0 * data["temp_air"] + 1.0
        notes.append("no wind in it: 1 m/s is taken")
    data["measured_split"] = True if "dni" in data and "dhi" in data else None
    return data


def _step_s(index: Any) -> float:
    import numpy as np
    import pandas as pd

    if not isinstance(index, pd.DatetimeIndex) or index.tz is None:
        raise WeatherError(
            'the stamps have no time zone: give the frame one, e.g. df.tz_localize("Etc/GMT+7") '
            "for a file in UTC-7 (the sign in these names is turned round)"
        )
    if len(index) < 2:
        raise WeatherError("fewer than two rows are no weather")
    gaps_s = np.diff(_seconds(index))
    # Typical years jump between months; duplicates have no gap.
    usual = float(np.median(gaps_s[gaps_s > 0.0])) if np.any(gaps_s > 0.0) else 0.0
    if not 1.0 <= usual <= 3600.0:
        raise WeatherError(f"a step of {usual:g} s cannot be used; 1 s to 1 h can")
    return usual


def _seconds(index: Any) -> np.ndarray[Any, Any]:
    import numpy as np
    import pandas as pd

    return np.asarray((index - pd.Timestamp(0, tz="UTC")).total_seconds(), dtype=float)


def _stamps(
    index: Any, step_s: float, label: Label, year: int, notes: list[str]
) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Return UTC seconds at which each row's step begins: as stamped, and in one year."""
    import numpy as np
    import pandas as pd

    left = index - pd.Timedelta(seconds=step_s * (0.5 - MIDDLE[label]))
    # A typical year is made of months of several years, which do not follow each other.
    jumps = np.diff(_seconds(left))
    jump_years = np.abs(jumps) > 200 * 86400.0
    if not np.any(jump_years):
        return _seconds(left), _seconds(left)
    # Hour 24 of 28 February in a leap year: readers name it the first hour of March.
    stray = (left.month == 2) & (left.day == 29)
    if np.sum(stray) == 1 and left.hour[stray][0] == 23:
        left = pd.DatetimeIndex(
            [
                stamp - pd.Timedelta(days=1) if odd else stamp
                for stamp, odd in zip(left, stray, strict=True)
            ]
        )
    elif np.any(stray):
        raise WeatherError(
            "a typical year with a 29 February: leave that day out, or its other days belong to "
            "a real year and their stamps are wrong"
        )
    # The last hour may belong to the first of January after.
    turned = np.concatenate(([0], np.cumsum(np.diff(left.month) == -11)))
    try:
        moved = pd.DatetimeIndex(
            [stamp.replace(year=year + int(k)) for stamp, k in zip(left, turned, strict=True)]
        )
    except ValueError as error:
        raise WeatherError(f"the stamps cannot be set to {year}: {error}") from error
    notes.append(
        f"months of {len(set(left.year))} different years, set to {year}; typical, not the worst"
    )
    return _seconds(left), _seconds(moved)


def _even(
    stamps_s: np.ndarray[Any, Any],
    step_s: float,
    data: dict[str, Any],
    longest_fill_h: float,
    notes: list[str],
) -> tuple[np.ndarray[Any, Any], dict[str, Any]]:
    """Put the rows on an even grid; fill what may be filled, refuse the rest."""
    import numpy as np

    gaps_s = np.diff(stamps_s)
    if np.any(gaps_s == 0.0):
        at = int(np.argmax(gaps_s == 0.0))
        raise WeatherError(
            f"{int(np.sum(gaps_s == 0.0))} stamps stand there twice, the first "
            f"{_when(stamps_s[at])}; drop the duplicates (local time with summer time has "
            "an hour twice)"
        )
    if np.any(gaps_s < 0.0):
        at = int(np.argmax(gaps_s < 0.0))
        raise WeatherError(f"time goes back after {_when(stamps_s[at])}; sort the rows")
    places = (stamps_s - stamps_s[0]) / step_s
    rows = np.rint(places).astype(int)
    if np.max(np.abs(places - rows)) > 0.02:
        at = int(np.argmax(np.abs(places - rows) > 0.02))
        raise WeatherError(
            f"the steps are uneven: {_when(stamps_s[at])} is no whole number of {step_s:g} s steps "
            "from the first row; resample it"
        )
    count = int(rows[-1]) + 1
    names = [name for name in data if name != "measured_split"]
    grid = {name: np.full(count, np.nan) for name in names}
    for name in names:
        grid[name][rows] = data[name]
    _fill(grid, stamps_s[0], step_s, longest_fill_h, notes)
    return stamps_s[0] + step_s * _count(count), {
        **grid,
        "measured_split": data["measured_split"],
    }


def _fill(
    grid: dict[str, Any], start_s: float, step_s: float, longest_fill_h: float, notes: list[str]
) -> None:
    import numpy as np

    for name, values in grid.items():
        bad = ~np.isfinite(values)
        if not np.any(bad):
            continue
        edges = np.diff(np.concatenate(([0], bad.astype(int), [0])))
        first, last = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
        lengths_h = (last - first) * step_s / 3600.0
        longest = int(np.argmax(lengths_h))
        if lengths_h[longest] > longest_fill_h + 1e-9:
            at = start_s + first[longest] * step_s
            leap = _when(at).startswith("29 February") and abs(lengths_h[longest] - 24.0) < 1e-6
            raise WeatherError(
                f"{name} has {len(first)} gaps, {int(bad.sum())} steps in all; the longest, "
                f"{lengths_h[longest]:g} h, begins {_when(at)}"
                + (": the leap day was left out of a leap year" if leap else "")
                + f". Filled are gaps up to longest_fill_h = {longest_fill_h:g} h"
            )
        values[bad] = np.interp(np.flatnonzero(bad), np.flatnonzero(~bad), values[~bad])
        notes.append(
            f"{name}: {int(bad.sum())} steps in {len(first)} gaps filled by straight lines, the "
            f"longest {lengths_h[longest]:g} h"
        )


def _when(at_s: float) -> str:
    from datetime import UTC, datetime

    return datetime.fromtimestamp(at_s, UTC).strftime("%d %B %Y %H:%M UTC").lstrip("0")


def _check_values(data: dict[str, Any], notes: list[str]) -> None:
    import numpy as np

    for name in SUN_COLUMNS:
        if name not in data:
            continue
        values = data[name]
        low, high = float(values.min()), float(values.max())
        if low < SLIGHTLY_NEGATIVE_WM2:
            raise WeatherError(
                f"{name} falls to {low:.0f} W/m² {int(np.sum(values < SLIGHTLY_NEGATIVE_WM2))} "
                "times: a marker for missing values? Put NaN there"
            )
        if high > BRIGHTEST_WM2:
            raise WeatherError(
                f"{name} reaches {high:.0f} W/m², more than the sun gives: watts per m² are "
                "expected, as means over each step"
            )
        if low < 0.0:
            notes.append(
                f"{name}: {int(np.sum(values < 0.0))} slightly negative values, down to "
                f"{low:.1f} W/m², set to 0"
            )
            np.maximum(values, 0.0, out=values)
    warm = float(data["temp_air"].max())
    cold = float(data["temp_air"].min())
    if cold > 150.0:
        raise WeatherError(f"air between {cold:.0f} and {warm:.0f}: kelvin? Subtract 273.15")
    if warm > HOTTEST_C:
        raise WeatherError(f"air of {warm:.0f} °C is hotter than any on earth: Fahrenheit?")
    if cold < COLDEST_C:
        raise WeatherError(
            f"air of {cold:.0f} °C is colder than any on earth: a marker for missing values?"
        )
    if data["wind_speed"].min() < 0.0 or data["wind_speed"].max() > 120.0:
        raise WeatherError("wind outside 0 to 120 m/s: a marker for missing values?")


# ---- The sun in it -------------------------------------------------------------------------------


def _split(
    data: dict[str, Any],
    middle_s: np.ndarray[Any, Any],
    latitude: float,
    longitude: float,
    notes: list[str],
) -> None:
    """Make direct and diffuse by Erbs where the file has only the global."""
    if data["measured_split"] is not None:
        return
    import numpy as np

    sun = _core.sun_positions(middle_s, latitude, longitude)
    days = (middle_s / 86400.0) % 365.25 + 1.0
    e0 = _core.extraterrestrial_wm2(np.floor(days))
    dni, dhi, _ = _core.erbs(data["ghi"], np.asarray(sun["zenith_deg"]), e0)
    data["dni"], data["dhi"] = np.asarray(dni), np.asarray(dhi)
    notes.append("direct and diffuse are made from the global by Erbs; the label cannot be checked")


def _closure_by_label(
    data: dict[str, Any],
    left_s: np.ndarray[Any, Any],
    step_s: float,
    chosen: Label,
    latitude: float,
    longitude: float,
) -> dict[Label, float]:
    """Closure for each place of the stamps; empty where nothing can be said."""
    if data["measured_split"] is None:
        return {}
    labels: tuple[Label, ...] = ("left", "mid", "right")
    return {
        other: _closure(
            data, left_s + (0.5 + MIDDLE[other] - MIDDLE[chosen]) * step_s, latitude, longitude
        )
        for other in labels
    }


def _closure(
    data: dict[str, Any], middle_s: np.ndarray[Any, Any], latitude: float, longitude: float
) -> float:
    """Mean |DHI + DNI cos z - GHI| while there is light, with the true zenith."""
    import numpy as np

    sun = _core.sun_positions(middle_s, latitude, longitude)
    up = np.maximum(np.cos(np.radians(np.asarray(sun["zenith_deg"]))), 0.0)
    gap = np.abs(data["dhi"] + data["dni"] * up - data["ghi"])
    lit = (data["ghi"] > 0.0) & np.isfinite(gap)
    return float(np.mean(gap[lit])) if np.any(lit) else 0.0


def _check_zone(
    data: dict[str, Any],
    middle_s: np.ndarray[Any, Any],
    latitude: float,
    longitude: float,
    closure: float | None,
) -> None:
    """Refuse a file whose sun stands elsewhere than the sun."""
    import numpy as np

    total = float(data["ghi"].sum())
    if total <= 0.0:
        return
    sun = _core.sun_positions(middle_s, latitude, longitude)
    dark = np.asarray(sun["zenith_deg"]) > DARK_DEG
    share = float(data["ghi"][dark].sum()) / total
    shifted = ""
    if closure is not None and closure > 15.0:
        by_hours = {
            hours: _closure(data, middle_s + 3600.0 * hours, latitude, longitude)
            for hours in range(-12, 13)
            if hours
        }
        best = min(by_hours, key=lambda hours: by_hours[hours])
        if by_hours[best] < 0.5 * closure:
            shifted = f"; {abs(best)} h {'later' if best > 0 else 'earlier'} it would fit"
    if share > DARK_SHARE or shifted:
        raise WeatherError(
            f"the sun of this weather does not stand over {latitude:g}, {longitude:g}: "
            f"{100.0 * share:.1f} % of the light falls in the dark{shifted}. Wrong time zone, or "
            "longitude with the wrong sign (east is positive)?"
        )
