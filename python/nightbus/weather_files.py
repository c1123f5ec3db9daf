"""From a weather file of any kind to a table with pvlib's column names, and its place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from nightbus.weather_errors import WeatherError

if TYPE_CHECKING:
    import pandas as pd

Label = Literal["left", "mid", "right"]

#: How each kind of file stamps its steps: where in the step the stamp stands.
STANDARD_LABEL: dict[str, Label] = {
    "tmy3": "right",
    "epw": "left",
    "pvgis": "mid",
    "surfrad": "left",
}


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


def load(
    source: str | Path | pd.DataFrame, kind: str | None
) -> tuple[pd.DataFrame, dict[str, Any], str]:
    """Return the table, what is known of the place, and the kind."""
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
