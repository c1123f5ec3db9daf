"""Numbers with units, read and shown."""

from __future__ import annotations

from nightbus import _core
from nightbus._core import Dimension as Dimension  # handed on with `given`


def _dimension(of: str | Dimension) -> Dimension:
    if isinstance(of, Dimension):
        return of
    names = [dimension.name for dimension in Dimension]
    name = of.replace(" ", "_")
    if name not in names:
        near = _core.near_misses(name, names)
        hint = f'; did you mean "{near[0]}"?' if near else ""
        raise _core.LookupError(f'there is no dimension "{of}"{hint}')
    return Dimension[name]


def quantity(text: str, dimension: str | Dimension, plain_unit: str = "") -> float:
    """Read a number with a unit into the inside unit of its dimension.

    Parameters
    ----------
    text : str
        ``"12 ft"``, ``"98 °F"``, ``"1 d 6 h"``.
    dimension : str or Dimension
        ``"length"``, ``"temperature"`` …
    plain_unit : str
        Unit of a number written without one; the inside unit when empty.

    Returns
    -------
    float
        In the inside unit: m, °C, s, V, A, Ω, W, Ah, Wh …

    Raises
    ------
    InputError
        Saying what was expected, what was seen and the nearest right spelling.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.quantity("12 ft", "length")
    3.6576
    >>> nb.quantity("1 d 6 h", "time")
    108000.0
    """
    return _core.quantity(text, _dimension(dimension), plain_unit)


def given(
    argument: str,
    value: float | str,
    dimension: Dimension,
    low: float,
    high: float,
    possible: str,
    scale: float = 1.0,
) -> float:
    """Read an argument, a number or a text with a unit; what is raised names it.

    Parameters
    ----------
    argument : str
        Its name.
    value : float or str
        As it was handed over.
    dimension : Dimension
        Of a text.
    low, high : float
        Bounds, as the result has them.
    possible : str
        The bounds in words, with units.
    scale : float
        Of a plain number and of the result, in the inside unit: 86400 for days.

    Raises
    ------
    ValueError
        Naming the argument, what is possible, and what was given.

    Examples
    --------
    >>> from nightbus.quantities import Dimension, given
    >>> given("step_s", "10 min", Dimension.time, 1.0, 3600.0, "1 s to 1 h")
    600.0
    """
    number = value
    if isinstance(value, str):
        try:
            number = _core.quantity(value, dimension) / scale
        except _core.InputError as error:
            raise ValueError(f"{argument}: {possible} is possible; {error}") from None
    if not low <= float(number) <= high:
        raise ValueError(f"{argument}: {possible} is possible, {value} was given")
    return float(number)


def show(value: float, dimension: str | Dimension, digits: int = 3) -> str:
    """Rounded text for people, with a readable prefix.

    Parameters
    ----------
    value : float
        In the inside unit of the dimension.
    dimension : str or Dimension
        ``"length"``, ``"temperature"`` …
    digits : int
        Figures that count.

    Raises
    ------
    LookupError
        With near misses, for an unknown dimension.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.show(0.002314, "resistance")
    '2.31 mΩ'
    """
    return _core.show_quantity(value, _dimension(dimension), digits)
