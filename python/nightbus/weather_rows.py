"""From a table's rows to even steps: columns, stamps, gaps, and values no weather has."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus.weather_errors import WeatherError

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd

    from nightbus.weather_files import Label

#: Middle of the step, counted from the stamp, in steps.
MIDDLE = {"left": 0.5, "mid": 0.0, "right": -0.5}
SLIGHTLY_NEGATIVE_WM2 = -12.0  # thermopiles at night; below that it is no offset
BRIGHTEST_WM2 = 1700.0  # clouds at the edge of the sun included
# Just beyond the records of the World Meteorological Organization.
COLDEST_C, HOTTEST_C = -90.0, 60.0
SUN_COLUMNS = ("ghi", "dni", "dhi")


def counted(n: int) -> np.ndarray[Any, Any]:
    """Return 0, 1, … n - 1 as floats."""
    import numpy as np

    return np.arange(n, dtype=float)


def columns(table: pd.DataFrame, notes: list[str]) -> dict[str, Any]:
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


def usual_step_s(index: Any) -> float:
    """Return the length of the steps; refuse stamps without a zone, and what is no weather."""
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


def stamps(
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


def even(
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
    return stamps_s[0] + step_s * counted(count), {
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


def check_values(data: dict[str, Any], notes: list[str]) -> None:
    """Refuse what no weather has; set the slightly negative light of nights to 0."""
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
