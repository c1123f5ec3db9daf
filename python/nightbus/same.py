"""Equality of answers that hold plans, compiled values and arrays."""

from __future__ import annotations

from typing import Any


def same(one: Any, other: Any) -> bool:
    """Say whether two values are equal; arrays are when all they hold is.

    Examples
    --------
    >>> import numpy as np
    >>> from nightbus.same import same
    >>> same(np.array([1.0, np.nan]), np.array([1.0, np.nan])), same(1, 2)
    (True, False)
    """
    if hasattr(one, "dtype") or hasattr(other, "dtype"):
        import numpy as np

        return bool(np.array_equal(one, other, equal_nan=True))
    return bool(one == other)


class Same:
    """Equal when every attribute is; what can be edited has no hash."""

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        mine, its = vars(self), vars(other)
        return mine.keys() == its.keys() and all(same(mine[name], its[name]) for name in mine)

    __hash__ = None  # type: ignore[assignment]
