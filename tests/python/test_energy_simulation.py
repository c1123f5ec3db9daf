"""The described system played in time: clocks, ledgers, and the circuit beside the plain bus."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.python.conftest import SYSTEMS, small_system

import nightbus as nb
from nightbus import _core as core
from nightbus import clock

DAY_S = 86400.0
SUMMER_S = 1782864000.0  # 2026-07-01 UTC
WINTER_S = 1764547200.0  # 2025-12-01 UTC


@cache
def wired(name: str) -> Any:
    """A system with the conductors of its plan: the small one, or a demo by its file's name."""
    if name == "shed":
        return nb.plan(small_system()).wired._data()
    path = next(p for p in SYSTEMS if p.stem == name)
    return nb.plan(path).wired._data()


def model(
    name: str, zone: str = "UTC", start_s: float = SUMMER_S, days: int = 8, *, lumped: bool
) -> Any:
    offsets = clock.offsets(zone, start_s - DAY_S, start_s + (days + 2) * DAY_S)
    return core.describe_simulation(wired(name), core.Catalogue(), offsets, lumped=lumped)


def column(data: Any, name: str, item: int = -1) -> Any:
    """One row of the results by its name and, where there are several, the number of its item."""
    for k, (title, _, index) in enumerate(data.columns):
        if title == name and index == item:
            return data.values[k]
    raise AssertionError(f"no column {name} {item}")


def changes(zone: str, year: int) -> list[float]:
    """UTC seconds at which the zone's offset changes in a year."""
    start_s = datetime(year, 1, 1, tzinfo=UTC).timestamp()
    return [at for at, _ in clock.offsets(zone, start_s, start_s + 365 * DAY_S)[1:]]


@cache
def lamp_system() -> Any:
    """One lamp by the clock; one of its windows lies across the hour at which clocks change."""
    system = small_system()
    for load in system.loads:
        if load.name == "lamp":
            load.behaviour = "constant power"
            load.rest = "1 W"
            load.schedule = ["18:00-23:05", "23:40-00:10", "01:15-03:35"]
    return nb.plan(system, energy=False).wired._data()


@pytest.mark.parametrize(
    "zone",
    [
        "Europe/Rome",
        "America/St_Johns",  # offsets of half hours
        "America/Santiago",  # changes at local midnight
        "Australia/Lord_Howe",  # half an hour of summer time
        "Africa/Casablanca",  # back for Ramadan
        "Asia/Kathmandu",  # never
    ],
)
def test_schedules_follow_the_wall_clock_through_every_change_of_it(zone: str) -> None:
    at = changes(zone, 2026) or [datetime(2026, 3, 29, tzinfo=UTC).timestamp()]
    assert len(at) == (1 if zone == "Asia/Kathmandu" else 2)
    windows = [(18 * 60, 23 * 60 + 5), (23 * 60 + 40, 24 * 60), (0, 10), (75, 215)]
    for change_s in at:
        start_s = change_s - 2 * DAY_S
        offsets = clock.offsets(zone, start_s - DAY_S, start_s + 6 * DAY_S)
        simulation = core.describe_simulation(lamp_system(), core.Catalogue(), offsets, lumped=True)
        lamp = simulation.load_names.index("lamp")
        simulation.set_clear_sky(start_s, 900.0, 500)
        data, _ = simulation.run(start_s, 1800.0, 4 * 48)
        draw_w = column(data, "load_draw", lamp)
        inside = []
        for minute in range(4 * 1440):
            local = datetime.fromtimestamp(start_s + 60.0 * minute, UTC).astimezone(ZoneInfo(zone))
            of_day = 60 * local.hour + local.minute
            inside.append(any(low <= of_day < high for low, high in windows))
        share = np.array(inside).reshape(-1, 30).mean(axis=1)
        assert 0.0 < share.mean() < 1.0
        # Edges fall inside steps and are not smeared: each step has its share of minutes.
        assert np.allclose(draw_w, 1.0 + 5.0 * share, atol=0.01)


@settings(max_examples=40, deadline=None)
@given(
    name=st.sampled_from(["shed", "rescue-hut-after", "travelling-library-before"]),
    lumped=st.booleans(),
    start_s=st.sampled_from([SUMMER_S, WINTER_S]),
    soc=st.floats(0.7, 1.0),
    bank=st.floats(1.0, 4.0),
    array=st.floats(0.0, 3.0),
    draw=st.floats(0.1, 0.5),
    air_c=st.floats(-25.0, 50.0),
    step_s=st.sampled_from([60.0, 300.0, 900.0, 3600.0]),
    seed=st.integers(0, 2**31),
)
def test_the_ledger_closes_and_nothing_is_created_while_the_bank_lasts(
    name: str,
    lumped: bool,
    start_s: float,
    soc: float,
    bank: float,
    array: float,
    draw: float,
    air_c: float,
    step_s: float,
    seed: int,
) -> None:
    simulation = model(name, start_s=start_s, lumped=lumped).scaled(bank, array, draw)
    hours = 72
    rng = np.random.default_rng(seed)
    light = np.maximum(0.0, np.sin((np.arange(hours) % 24 - 6.0) / 12.0 * np.pi))
    cloud = rng.random(hours)
    simulation.set_weather(
        start_s,
        3600.0,
        900.0 * light * cloud,
        600.0 * (light > 0.0) * cloud,
        250.0 * light * cloud,
        air_c + 4.0 * rng.standard_normal(hours),
        np.full(hours, 1.5),
    )
    simulation.set_charge(soc)
    data, interrupted = simulation.run(start_s, step_s, int(48 * 3600 / step_s))
    assert not interrupted, data.message
    assert data.relative_gap < 1e-9
    charge = column(data, "bank_charge", 0)
    assert charge.min() > -1e-6
    assert charge.max() < 1.0 + 1e-6
    ledger = data.ledger_wh
    for entry, watt_hours in ledger.items():
        # Only the store has two signs; hysteresis may give back a little of what it took.
        if entry not in {"stored_change_wh", "gap_wh", "bank_charge_loss_wh"}:
            assert watt_hours > -1e-6, entry
    assert ledger["curtailed_wh"] <= ledger["array_wh"] + 1e-6
    if array == 0.0:
        assert ledger["array_wh"] == 0.0
    for record in data.banks:
        assert record.lowest_v <= record.highest_v


@pytest.mark.parametrize("name", ["shed", "rescue-hut-after", "travelling-library-after"])
@pytest.mark.parametrize("start_s", [SUMMER_S, WINTER_S])
def test_the_circuit_and_the_plain_bus_tell_the_same_week(name: str, start_s: float) -> None:
    """They differ by the cables: the plain bus has none of the wires beyond the path to each load.

    Both play the same draws under the same sky, so what differs is bounded by the wire loss.
    """
    results = {}
    for lumped in (True, False):
        simulation = model(name, start_s=start_s, lumped=lumped)
        simulation.set_clear_sky(start_s, 900.0, 800, clearness=[0.6] * 12)
        simulation.set_charge(0.9)
        data, interrupted = simulation.run(start_s, 900.0, 7 * 96)
        assert not interrupted, data.message
        assert data.relative_gap < 1e-9
        results[lumped] = data
    plain, circuit = results[True].ledger_wh, results[False].ledger_wh
    assert plain["array_wh"] == pytest.approx(circuit["array_wh"], rel=1e-6)
    assert plain["wanted_wh"] == pytest.approx(circuit["wanted_wh"], rel=1e-3)
    assert circuit["wire_loss_wh"] > plain["wire_loss_wh"] >= 0.0
    assert plain["delivered_wh"] == pytest.approx(circuit["delivered_wh"], rel=0.02)
    gap = np.abs(column(results[True], "bank_charge", 0) - column(results[False], "bank_charge", 0))
    assert gap.max() < 0.05
