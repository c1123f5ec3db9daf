"""The sun in a weather file: whether it stands where the sun does, and which light is direct."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.weather_errors import WeatherError
from nightbus.weather_rows import MIDDLE

if TYPE_CHECKING:
    import numpy as np

    from nightbus.weather_files import Label

DARK_DEG = 96.0  # zenith at the end of civil twilight
DARK_SHARE = 0.005  # of the year's light that may fall then


def split(
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


def closure_by_label(
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


def check_zone(
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
