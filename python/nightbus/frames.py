"""Tables of a plan as data frames; the unit of a column is the ending of its name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    import pandas as pd

    from nightbus import _core
    from nightbus.system import System

#: Ending of a column name, and its unit.
UNITS = {
    "_m": "m",
    "_mm2": "mm²",
    "_kg": "kg",
    "_a": "A",
    "_v": "V",
    "_w": "W",
    "_wh": "Wh",
    "_ah": "Ah",
    "_c": "°C",
    "_k": "K",
    "_s": "s",
    "_h": "h",
    "_ohm": "Ω",
    "_percent": "%",
    "_m3h": "m³/h",
    "_days": "d",
}


def unit_of(column: str) -> str:
    """Unit of a column by the ending of its name; empty when it has none.

    Examples
    --------
    >>> from nightbus.frames import unit_of
    >>> unit_of("drop_v"), unit_of("run")
    ('V', '')
    """
    # The longest ending wins: "_ah" before "_h".
    for ending in sorted(UNITS, key=len, reverse=True):
        if column.endswith(ending):
            return UNITS[ending]
    return ""


def frame(rows: Iterable[Mapping[str, Any]], names: str | list[str]) -> pd.DataFrame:
    """Make a data frame with these columns, even without rows, and its units.

    Parameters
    ----------
    rows : iterable of mappings
        One for each row, by column name.
    names : str or list of str
        Columns in order; a text is split at its blanks.
    """
    import pandas as pd  # takes longer than a plan: not before it is needed

    columns = names.split() if isinstance(names, str) else list(names)
    table = pd.DataFrame(list(rows), columns=columns)
    table.attrs["units"] = {column: unit_of(column) for column in columns if unit_of(column)}
    return table


@dataclass(frozen=True)
class Device:
    """A load, fan, PoE device or converter input, and its answer in one case."""

    kind: str
    name: str
    case: str
    state: str
    voltage_v: float
    current_a: float
    power_w: float
    drop_v: float
    drop_ratio: float
    above_low_v: float | None
    below_high_v: float | None

    @property
    def window_low_v(self) -> float | None:
        """Lower end of its input window."""
        return None if self.above_low_v is None else self.voltage_v - self.above_low_v

    @property
    def window_high_v(self) -> float | None:
        """Upper end of its input window."""
        return None if self.below_high_v is None else self.voltage_v + self.below_high_v


def _simple(kind: str, name: str, case: str, result: _core.LoadResult) -> Device:
    return Device(
        kind,
        name,
        case,
        result.state,
        result.voltage_v,
        result.current_a,
        result.power_w,
        result.drop_v,
        result.drop_ratio,
        result.above_low_v,
        result.below_high_v,
    )


def devices(system: System, cases: Iterable[_core.CaseResult]) -> Iterator[Device]:
    """Everything that has an input voltage, in every case."""
    for case in cases:
        for load, result in zip(system.loads, case.loads, strict=True):
            yield _simple("load", load.name, case.name, result)
        for fan, result in zip(system.fans, case.fans, strict=True):
            yield _simple("fan", fan.name, case.name, result)
        for link, poe in zip(system.poe_links, case.poe_links, strict=True):
            yield _simple("PoE link", link.name, case.name, poe.device)
        for converter, answer in zip(system.converters, case.converters, strict=True):
            yield Device(
                "converter",
                converter.name,
                case.name,
                answer.state,
                answer.input_v,
                answer.input_a,
                answer.input_w,
                answer.drop_v,
                answer.drop_ratio,
                answer.above_low_v,
                answer.below_high_v,
            )


def percent(ratio: float | None) -> float | None:
    """Turn a ratio into per cent."""
    return None if ratio is None else 100.0 * ratio


def text_of(size: _core.ConductorSize | None) -> str:
    """Size as text; empty when there is none."""
    return "" if size is None else str(size)
