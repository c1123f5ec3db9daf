"""Lists of records that know their kind and can be asked by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, MutableSequence
from html import escape
from typing import Any, Generic, Protocol, TypeVar, overload

from nightbus import _core


class Record(Protocol):
    """What every record of a system can do."""

    def stated(self) -> dict[str, Any]:
        """Every field that was given or is not at its default, as it would be written."""
        ...


R = TypeVar("R", bound=Record)


def label_of(record: Any) -> str:
    """Name of a record; a price goes by its size."""
    name = getattr(record, "name", None)
    return str(record.size if name is None else name)


class Records(MutableSequence[R], Generic[R]):
    """A list of records of one kind: a list in every way, and ``records["name"]`` besides.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.System()
    >>> system.loads.append(nb.Load(name="router", typical="12 W"))
    >>> system.loads["router"].typical_w
    12.0
    >>> system.loads["ruoter"]
    Traceback (most recent call last):
        ...
    nightbus._core.LookupError: there is no Load "ruoter"; did you mean "router"?
    """

    __slots__ = ("_items", "_type")

    def __init__(self, record_type: type[R], items: Iterable[R] = ()) -> None:
        self._type = record_type
        self._items: list[R] = []
        self.extend(items)

    def _checked(self, item: R) -> R:
        if not isinstance(item, self._type):
            raise TypeError(f"expected a {self._type.__name__}, found {item!r}")
        return item

    def names(self) -> list[str]:
        """Return the names, in order.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").loads.names()
        ['cellular router', 'door camera']
        """
        return [label_of(item) for item in self._items]

    def find(self, name: str) -> R | None:
        """Return the record of that name, or None.

        Examples
        --------
        >>> import nightbus as nb
        >>> loads = nb.read("post.toml").loads
        >>> loads.find("door camera").typical_w, loads.find("nobody")
        (5.0, None)
        """
        return next((item for item in self._items if label_of(item) == name), None)

    @overload
    def __getitem__(self, index: int | str) -> R: ...
    @overload
    def __getitem__(self, index: slice) -> Records[R]: ...
    def __getitem__(self, index: int | slice | str) -> R | Records[R]:
        if isinstance(index, str):
            return self._items[self._position(index)]
        if isinstance(index, slice):
            return Records(self._type, self._items[index])
        return self._items[index]

    @overload
    def __setitem__(self, index: int | str, value: R) -> None: ...
    @overload
    def __setitem__(self, index: slice, value: Iterable[R]) -> None: ...
    def __setitem__(self, index: int | slice | str, value: Any) -> None:
        if isinstance(index, str):
            index = self._position(index)
        if isinstance(index, slice):
            self._items[index] = [self._checked(item) for item in value]
        else:
            self._items[index] = self._checked(value)

    def __delitem__(self, index: int | slice | str) -> None:
        if isinstance(index, str):
            index = self._position(index)
        del self._items[index]

    def __len__(self) -> int:
        return len(self._items)

    def __iter__(self) -> Iterator[R]:
        return iter(self._items)

    def __contains__(self, item: object) -> bool:
        if isinstance(item, str):
            return self.find(item) is not None
        return item in self._items

    def insert(self, index: int, value: R) -> None:
        """Insert before `index`; refuses records of another kind.

        Examples
        --------
        >>> import nightbus as nb
        >>> system = nb.read("post.toml")
        >>> system.loads.insert(0, nb.Load(name="beacon", typical="2 W"))
        >>> system.loads.names()
        ['beacon', 'cellular router', 'door camera']
        """
        self._items.insert(index, self._checked(value))

    def _position(self, name: str) -> int:
        for position, item in enumerate(self._items):
            if label_of(item) == name:
                return position
        message = f'there is no {self._type.__name__} "{name}"'
        near = _core.near_misses(name, self.names())
        if near:
            message += f'; did you mean "{near[0]}"?'
        raise _core.LookupError(message)

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Records):
            return bool(self._items == other._items)
        return self._items == other

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return repr(self._items)

    def _ipython_key_completions_(self) -> list[str]:
        return self.names()

    def _repr_html_(self) -> str:
        columns: list[str] = []
        rows = [item.stated() for item in self._items]
        for row in rows:
            columns += [key for key in row if key not in columns]
        head = "".join(f"<th>{escape(key.rstrip('_'))}</th>" for key in columns)
        body = "".join(
            "<tr>"
            + "".join(f"<td>{escape(str(row[key])) if key in row else ''}</td>" for key in columns)
            + "</tr>"
            for row in rows
        )
        return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
