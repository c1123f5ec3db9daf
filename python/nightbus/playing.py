"""A wired system played in time: the arrays behind traces, hot days and the explorer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from nightbus import _core, clock

if TYPE_CHECKING:
    from datetime import date

    import numpy as np

    from nightbus.system import System

WEATHER_STEP_S = 600.0
DAY_S = 86400.0
HORIZON_DEG = 90.833  # the upper edge of the sun touches the horizon, with usual refraction

#: Kinds of event that begin and end a time without a device.
WENT = {"load dropped": "load", "converter dropped": "converter", "bank empty": "bank"}
CAME = {"load returned": "load", "converter returned": "converter", "bank returned": "bank"}


@dataclass(frozen=True)
class Sky:
    """What comes from above.

    Attributes
    ----------
    sun : float
        Share of the usual sun of the month; 1 as the site says.
    clear : bool
        A clear sky whatever the site says.
    air_c : list of float
        Mean air of the twelve months, °C; empty: the site's mild one.
    """

    sun: float = 1.0
    clear: bool = False
    air_c: tuple[float, ...] = ()


@dataclass(frozen=True)
class Outage:
    """A time in which a device was off though it was wanted."""

    kind: str
    name: str
    from_s: float
    to_s: float


@dataclass(frozen=True)
class Played:
    """What a run gave: one array for each column, by name and, for many, by place."""

    time_s: np.ndarray[Any, Any]
    columns: dict[str, list[np.ndarray[Any, Any]]]
    night: np.ndarray[Any, Any]
    outages: list[Outage]
    compartments: list[str]
    fans: list[str]
    night_report: _core.NightReport | None = None

    def one(self, name: str) -> np.ndarray[Any, Any]:
        """The column of that name."""
        return self.columns[name][0]

    def charge(self, system: System) -> np.ndarray[Any, Any]:
        """State of charge of all banks together, 0 to 1."""
        import numpy as np

        sizes = np.array([bank.capacity_ah * bank.strings for bank in system.banks])
        every = np.array(self.columns["bank_charge"], dtype=float)
        return np.asarray(np.average(every, axis=0, weights=sizes))


def play(
    wired: System,
    day: date,
    days: float,
    *,
    charge: float = 1.0,
    step_s: float = 300.0,
    sky: Sky | None = None,
    catalogue: _core.Catalogue | None = None,
    report_days: int = 0,
) -> Played:
    """Play a system whose sizes are given, from local noon of a day.

    Parameters
    ----------
    wired : System
        With sizes and devices written in.
    day : date
        Begins at its local noon.
    days : float
        Length. [d]
    charge : float
        State of charge of every bank at the start, 0 to 1.
    step_s : float
        Seconds of a step. [s]
    sky : Sky, optional
        The usual one of the site when left out.
    catalogue : Catalogue, optional
        Tables to use; the built-in ones when left out.
    report_days : int
        Follow the first night for so many days until the bank is full again; 0: no report. [d]
    """
    import numpy as np

    sky = sky or Sky()
    site = wired.site
    noon_s = clock.utc_s(site.time_zone, day.year, day.month, day.day, 12.0)
    end_s = noon_s + days * DAY_S
    model = _core.describe_simulation(
        wired._data(),
        catalogue or _core.Catalogue(),
        clock.offsets(site.time_zone, noon_s - 2 * DAY_S, end_s + 2 * DAY_S),
        step_s=step_s,
    )
    length_s = (max(days, report_days) + 2) * DAY_S
    weather = (noon_s - DAY_S, WEATHER_STEP_S, int(length_s / WEATHER_STEP_S))
    air_c = list(sky.air_c) or [site.temp_mild_c] * 12
    peak_sun = [] if sky.clear else [sky.sun * one for one in site.peak_sun_hours_wh_per_m2]
    clearness = [sky.sun * one for one in site.clearness] if site.clearness else [sky.sun] * 12
    model.set_clear_sky(
        *weather,
        peak_sun_wh_m2=peak_sun,
        clearness=[1.0] * 12 if sky.clear else clearness,
        temp_mean_c=air_c,
    )
    model.set_charge(charge)
    data, _ = model.run(noon_s, step_s, round(days * DAY_S / step_s))
    values = np.asarray(data.values)
    columns: dict[str, list[Any]] = {}
    for index, (name, _unit, _item) in enumerate(data.columns):
        columns.setdefault(name, []).append(values[index])
    times = np.array(data.time_s, dtype=float)
    zenith = _core.sun_positions(times, site.latitude_deg, site.longitude_deg)["zenith_deg"]
    return Played(
        times,
        columns,
        np.asarray(zenith) > HORIZON_DEG,
        _outages(data.events, model, end_s),
        list(model.compartments),
        list(model.fans),
        model.night(noon_s, charge, step_s, report_days) if report_days else None,
    )


def _outages(
    events: list[_core.SimulationEvent], model: _core.SimulationModel, end_s: float
) -> list[Outage]:
    """Pair what went with what came back; what never came back lasts to the end."""
    kinds = model.load_kinds
    names = {"load": model.load_names, "converter": model.converters, "bank": model.banks}
    began: dict[tuple[str, int], float] = {}
    found: list[Outage] = []
    for event in events:
        # The standby draw of a bank or a controller is no device.
        if event.kind.startswith("load") and kinds[event.index] in ("bank", "array"):
            continue
        if event.kind in WENT:
            began.setdefault((WENT[event.kind], event.index), event.time_s)
        elif event.kind in CAME:
            key = (CAME[event.kind], event.index)
            if key in began:
                found.append(Outage(key[0], names[key[0]][key[1]], began.pop(key), event.time_s))
    for (kind, index), from_s in began.items():
        found.append(Outage(kind, names[kind][index], from_s, end_s))
    return sorted(found, key=lambda one: (one.from_s, one.name))
