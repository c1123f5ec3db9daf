"""Local time: the UTC offsets of a zone over a span, for the C++ side that knows no time zones."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from nightbus import _core

Offsets = list[tuple[float, float]]


def _offset_s(zone: ZoneInfo, instant_s: float) -> float:
    moment = datetime.fromtimestamp(instant_s, UTC).astimezone(zone)
    offset = moment.utcoffset()
    return 0.0 if offset is None else offset.total_seconds()


def zone_of(name: str) -> ZoneInfo:
    """Return the zone, or raise InputError with a near miss."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, IsADirectoryError):
        from zoneinfo import available_timezones

        near = _core.near_misses(name, sorted(available_timezones()))
        hint = f'; did you mean "{near[0]}"?' if near else ""
        raise _core.LookupError(f'there is no time zone "{name}"{hint}') from None


def offsets(name: str, start_s: float, end_s: float) -> Offsets:
    """Return (UTC seconds, offset in s) of the zone: at `start_s`, then at each change to `end_s`.

    Examples
    --------
    >>> from nightbus.clock import offsets
    >>> offsets("Europe/Stockholm", 1743206400, 1743292800)  # 29 to 30 March 2025
    [(1743206400.0, 3600.0), (1743296400.0, 7200.0)]
    """
    zone = zone_of(name)
    found: Offsets = [(float(start_s), _offset_s(zone, start_s))]
    # A day beyond the end, so that a window that begins in the span also ends in the table.
    end_s = end_s + 86400.0
    step_s = 6 * 3600.0  # no zone changes twice within six hours
    at = float(start_s)
    while at < end_s:
        after = min(at + step_s, end_s)
        before_offset, after_offset = found[-1][1], _offset_s(zone, after)
        if after_offset != before_offset:
            low, high = int(at), int(after)
            while high - low > 1:
                middle = (low + high) // 2
                if _offset_s(zone, middle) == before_offset:
                    low = middle
                else:
                    high = middle
            found.append((float(high), after_offset))
        at = after
    return found


def local(name: str, instant_s: float) -> datetime:
    """Return the wall clock of the zone at an instant."""
    return datetime.fromtimestamp(instant_s, UTC).astimezone(zone_of(name))


def utc_s(name: str, year: int, month: int, day: int, hour: float = 0.0) -> float:
    """Return UTC seconds of a local time of day."""
    midnight = datetime(year, month, day, tzinfo=zone_of(name))
    return (midnight + timedelta(hours=hour)).timestamp()
