"""The description of a system: a site, rules, and lists of what there is and how it is joined."""

from __future__ import annotations

import copy as copying
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus._core import (
    Array,
    Bank,
    Bus,
    Case,
    Charger,
    Compartment,
    Converter,
    Fan,
    Load,
    PoeLink,
    Price,
    Rules,
    Run,
    Site,
)
from nightbus.records import Records
from nightbus.system_parts import KINDS, SystemParts

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

__all__ = ["KINDS", "AnyRecord", "System"]

AnyRecord = (
    Site
    | Rules
    | Bank
    | Bus
    | Load
    | Fan
    | Converter
    | PoeLink
    | Charger
    | Array
    | Run
    | Compartment
    | Price
    | Case
)


class System(SystemParts):
    """What there is, where it sits, how it is joined.

    Built in code with the same words as a system file. The lists are ordinary lists that can also
    be asked by name; every number may be a text with its unit.

    Parameters
    ----------
    title, note : str
        Name of the system, and anything worth keeping with it.
    site : Site, optional
        Where it stands.
    rules : Rules, optional
        Which published rules govern.
    records : iterable of records
        Put into the lists of their kinds.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.System("Shed", records=[
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="3 m"),
    ... ])
    >>> system.load("router").typical = "14 W"
    >>> system
    <System "Shed": 1 bank, 1 load, 1 run>
    """

    def __init__(
        self,
        title: str = "",
        note: str = "",
        *,
        site: Site | None = None,
        rules: Rules | None = None,
        records: Iterable[AnyRecord] = (),
    ) -> None:
        self.title = title
        self.note = note
        self.site = Site() if site is None else site
        self.rules = Rules() if rules is None else rules
        for attribute, (_, record_type) in KINDS.items():
            setattr(self, attribute, Records(record_type))
        self.add(*records)

    # ---- building --------------------------------------------------------------------------

    def add(self, *records: AnyRecord, feed: Run | Mapping[str, Any] | None = None) -> System:
        """Put records into the lists of their kinds.

        Parameters
        ----------
        *records : records
            A Site or Rules replaces the one that is there.
        feed : Run or mapping, optional
            The run that leads to the one record given: its fields without `name` and `to`.

        Returns
        -------
        System
            This system, so that calls can be chained.

        Examples
        --------
        >>> import nightbus as nb
        >>> system = nb.System().add(nb.Load(name="router", typical="12 W"),
        ...                          feed={"from": "bus", "length": "2 m"})
        >>> system.runs[0].to
        'router'
        """
        for record in records:
            if isinstance(record, Site):
                self.site = record
            elif isinstance(record, Rules):
                self.rules = record
            else:
                self._list_of(record).append(record)
        if feed is not None:
            if len(records) != 1:
                raise TypeError("a feed needs exactly one record to lead to")
            name = str(getattr(records[0], "name", ""))
            if not isinstance(feed, Run):
                # A charger or an array gives: its run starts at it.
                ends = {"from_": name} if isinstance(records[0], Charger | Array) else {"to": name}
                feed = Run(**{"name": name, **ends, **feed})
            self.runs.append(feed)
        return self

    def _list_of(self, record: Any) -> Records[Any]:
        for attribute, (_, record_type) in KINDS.items():
            if isinstance(record, record_type):
                found: Records[Any] = getattr(self, attribute)
                return found
        raise TypeError(f"not a record of a system: {record!r}")

    def copy(self) -> System:
        """Return a deep copy, to be changed freely.

        Examples
        --------
        >>> import nightbus as nb
        >>> system = nb.read("post.toml")
        >>> changed = system.copy()
        >>> changed.load("door camera").typical = "9 W"
        >>> system.load("door camera").typical_w, changed.load("door camera").typical_w
        (5.0, 9.0)
        """
        return copying.deepcopy(self)

    # ---- comparing and changing ------------------------------------------------------------

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, System):
            return NotImplemented
        return self.__dict__ == other.__dict__

    __hash__ = None  # type: ignore[assignment]

    def differences(self, other: System) -> list[tuple[str, str, str, Any, Any]]:
        """Return what differs: kind, name, field, value here, value there.

        A record that one side lacks is one row with an empty field.

        Examples
        --------
        >>> import nightbus as nb
        >>> a = nb.System(records=[nb.Load(name="router", typical="12 W")])
        >>> b = a.copy()
        >>> b.load("router").typical = "14 W"
        >>> a.differences(b)
        [('load', 'router', 'typical', '12 W', '14 W')]
        """
        rows: list[tuple[str, str, str, Any, Any]] = [
            ("system", "", field, getattr(self, field), getattr(other, field))
            for field in ("title", "note")
            if getattr(self, field) != getattr(other, field)
        ]
        rows += _record_differences("site", "", self.site, other.site)
        rows += _record_differences("rules", "", self.rules, other.rules)
        for attribute, (kind, _) in KINDS.items():
            mine, theirs = getattr(self, attribute), getattr(other, attribute)
            for name in dict.fromkeys(mine.names() + theirs.names()):
                rows += _record_differences(kind, name, mine.find(name), theirs.find(name))
        return rows

    # ---- the C++ side ----------------------------------------------------------------------

    def _data(self) -> _core.SystemData:
        """Make the C++ description, anew at each call: nothing can go stale."""
        data = _core.SystemData()
        data.title = self.title
        data.note = self.note
        data.append(self.site)
        data.append(self.rules)
        for attribute in KINDS:
            for record in getattr(self, attribute):
                data.append(record)
        return data

    @classmethod
    def _from(cls, data: _core.SystemData) -> System:
        system = cls(data.title, data.note)
        system.add(*data.records("site"), *data.records("rules"))
        for key, _ in KINDS.values():
            system.add(*data.records(key))
        return system

    # ---- text ------------------------------------------------------------------------------

    def to_toml(self) -> str:
        """Return the system file that reads back to an equal system.

        Examples
        --------
        >>> import nightbus as nb
        >>> system = nb.System("Shed", records=[nb.Bus(name="block")])
        >>> system.to_toml().splitlines()[:2]
        ['nightbus = 1', 'title = "Shed"']
        """
        return _core.write_system(self._data())

    def write(self, path: str | Path) -> None:
        """Write the system file; an existing file is replaced in one step.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").write("copy.toml")
        >>> nb.read("copy.toml") == nb.read("post.toml")
        True
        """
        target = Path(path)
        draft = target.with_name(target.name + ".part")
        draft.write_text(self.to_toml(), encoding="utf-8")
        draft.replace(target)

    def _contents(self) -> list[str]:
        plural = {"bus": "buses", "poe_link": "PoE links"}
        parts = []
        for attribute, (kind, _) in KINDS.items():
            count = len(getattr(self, attribute))
            if count == 1:
                parts.append(f"1 {'PoE link' if kind == 'poe_link' else kind}")
            elif count:
                parts.append(f"{count} {plural.get(kind, kind + 's')}")
        return parts

    def __repr__(self) -> str:
        return f'<System "{self.title}": {", ".join(self._contents()) or "empty"}>'

    def _repr_html_(self) -> str:
        from nightbus.report.diagram import one_line

        return (
            f"<h3>{escape(self.title)}</h3><p>{escape(self.note)}</p>"
            f"<p>{escape(', '.join(self._contents()))}</p>{one_line(self)}"
        )


def _record_differences(
    kind: str, name: str, mine: Any, theirs: Any
) -> list[tuple[str, str, str, Any, Any]]:
    if mine is None or theirs is None:
        return [(kind, name, "", mine, theirs)]
    if mine == theirs:
        return []
    here, there = mine.stated(), theirs.stated()
    rows = []
    for key in dict.fromkeys([*here, *there]):
        left, right = here.get(key), there.get(key)
        left = getattr(mine, key) if left is None else left
        right = getattr(theirs, key) if right is None else right
        if left != right:
            rows.append((kind, name, key.rstrip("_"), left, right))
    return rows
