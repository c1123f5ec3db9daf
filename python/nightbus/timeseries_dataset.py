"""What a run gives as one labelled Dataset, and a tidy table made of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd
    import xarray as xr

    from nightbus import _core
    from nightbus.planning import Plan

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


def dataset(
    made: Plan, model: _core.SimulationModel, data: _core.SimulationData, step_s: float
) -> xr.Dataset:
    """Label what was simulated: dimensions, units, words, and the ledger."""
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
