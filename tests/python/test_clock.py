"""Offsets of a time zone, against Python's own clock."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

import nightbus as nb
from nightbus import clock

ZONES = [
    "UTC",
    "Europe/Stockholm",
    "America/St_Johns",
    "Australia/Lord_Howe",  # half an hour of summer time
    "Asia/Kathmandu",
    "Africa/Casablanca",  # steps back in Ramadan
    "Pacific/Apia",
]


@pytest.mark.parametrize("zone", ZONES)
@given(at=st.integers(min_value=0, max_value=366 * 86400))
def test_the_table_gives_the_wall_clock_at_every_instant(zone: str, at: int) -> None:
    start = 1735689600.0  # 2025-01-01
    table = clock.offsets(zone, start, start + 366 * 86400)
    instant = start + at
    offset = [offset for since, offset in table if since <= instant][-1]
    expected = datetime.fromtimestamp(instant, UTC).astimezone(ZoneInfo(zone)).utcoffset()
    assert expected is not None
    assert offset == expected.total_seconds()


def test_an_unknown_zone_has_a_near_miss() -> None:
    with pytest.raises(nb.LookupError, match="Europe/Stockholm"):
        clock.offsets("Europe/Stokholm", 0, 1)
    with pytest.raises(nb.LookupError):
        clock.offsets("../etc/passwd", 0, 1)


def test_local_and_utc_go_back_and_forth() -> None:
    instant = clock.utc_s("Europe/Stockholm", 2026, 7, 1, 4.0)
    assert clock.local("Europe/Stockholm", instant).hour == 4
