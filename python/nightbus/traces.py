"""Measured watts of a device, from a file or a frame, for a run to play again."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd


class TraceError(_core.Error, ValueError):
    """Measured watts that cannot be used; the message says why."""


@dataclass(frozen=True)
class WattTrace:
    """Measured watts as they were read: uneven and with gaps, which the run handles and reports.

    Attributes
    ----------
    time_s : numpy.ndarray
        UTC seconds, rising. [s]
    power_w : numpy.ndarray
        Watts; NaN where there is none. [W]
    """

    time_s: np.ndarray[Any, Any]
    power_w: np.ndarray[Any, Any]


def watt_trace(source: str | Path | pd.DataFrame | pd.Series) -> WattTrace:
    """Read watts over time from CSV or Parquet, or take a frame.

    Parameters
    ----------
    source : str, Path, pandas.DataFrame or pandas.Series
        A ``.csv`` or ``.parquet`` file whose first column (or index) holds time stamps with their
        offset from UTC, and one column of watts: ``power_w``, or the only one there is.

    Raises
    ------
    TraceError
        When stamps or watts are missing, repeated, out of order or negative.
    """
    import numpy as np
    import pandas as pd

    name = source.name if isinstance(source, Path) else str(source)
    if isinstance(source, str | Path):
        path = Path(source)
        if not path.is_file():
            raise TraceError(f"there is no file {path}")
        if path.suffix.lower() == ".parquet":
            table = pd.read_parquet(path)
        elif path.suffix.lower() == ".csv":
            table = pd.read_csv(path)
        else:
            raise TraceError(f"{path.name}: a .csv or a .parquet file is expected")
    else:
        name = "the frame"
        table = source.to_frame() if isinstance(source, pd.Series) else source
    if not isinstance(table.index, pd.DatetimeIndex):
        table = table.set_index(table.columns[0])
    watts = table["power_w"] if "power_w" in table.columns else _only(table, name)
    try:
        stamps = pd.DatetimeIndex(pd.to_datetime(table.index))
    except (ValueError, TypeError) as error:
        raise TraceError(f"{name}: its first column holds no time stamps: {error}") from error
    if stamps.tz is None:
        raise TraceError(
            f"{name}: the stamps do not say how far they are from UTC; write 2026-06-01T12:00:00Z "
            "or +02:00"
        )
    time_s = np.asarray((stamps - pd.Timestamp(0, tz="UTC")).total_seconds(), dtype=float)
    power_w = pd.to_numeric(watts, errors="coerce").to_numpy(dtype=float)
    return WattTrace(time_s, power_w)


def _only(table: pd.DataFrame, name: str) -> pd.Series:
    if table.shape[1] != 1:
        raise TraceError(
            f"{name}: which of its columns are the watts ({', '.join(map(str, table.columns))})? "
            "Call it power_w"
        )
    return table.iloc[:, 0]
