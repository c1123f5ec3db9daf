"""Many years of one file: availability, sizes by search, what one more buys."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pvlib
import pytest
from tests.python.conftest import small_system

import nightbus as nb
from nightbus import _core as core
from nightbus.timeseries_model import model_of
from nightbus.weather import Weather, WeatherError, read_weather
from nightbus.years import availability, smallest_sizes, what_one_more_buys

GREENSBORO = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


@cache
def weather() -> Weather:
    return read_weather(GREENSBORO)


@cache
def lean() -> nb.Plan:
    """An array that carries its load on most days of the year, but not on all."""
    system = small_system()
    system.site.latitude_deg, system.site.longitude_deg = 36.1, -79.95
    system.site.time_zone = "America/New_York"
    for array in system.arrays:
        array.power = "220 W"
    return nb.plan(system, margins=False)


def test_availability_has_its_interval_and_comes_again_the_same() -> None:
    found = availability(lean(), weather(), years=12, step_s=3600.0)
    assert found.years == 12
    assert 0.0 < found.unmet_low_h <= found.unmet_h <= found.unmet_high_h <= found.worst_h
    assert found.availability == pytest.approx(1.0 - found.unmet_h / 8760.0, abs=1e-12)
    assert found.low <= found.availability <= found.high
    assert found == availability(lean(), weather(), years=12, step_s=3600.0)
    assert found != availability(lean(), weather(), years=12, step_s=3600.0, seed=2)
    # The published rules stand beside it, each with its source.
    assert len(found.battery_days) == 4
    assert all(days > 1.0 for days in found.battery_days.values())


def test_a_bootstrapped_year_is_made_of_days_of_its_own_season() -> None:
    """Sums over many made years come near the file's own, month by month."""
    model = model_of(lean(), weather().start_s, 366 * 86400.0, 3600.0, weather(), True, None)
    ours = model.availability(40, 3600.0, 7, 15, 3)
    own, _ = model.run(weather().start_s, 3600.0, 8760, record_every=0)
    assert ours.low_unmet_h * 0.5 < own.unmet_h < ours.worst_unmet_h * 1.5


def test_the_smallest_bank_by_search_just_reaches_what_was_wanted() -> None:
    wanted = 0.97
    found = smallest_sizes(lean(), weather(), wanted, (0.3, 1.0, 2.0), years=4)
    assert found["array"].tolist() == [0.3, 1.0, 2.0]
    banks = [
        None if np.isnan(one) else float(one)
        for one in found["bank"].to_numpy(float, na_value=np.nan)
    ]
    assert banks[0] is None  # no bank makes up for sun that is not there
    assert banks[1] is not None
    assert banks[2] is not None
    assert banks[2] <= banks[1]

    def reached(bank: float) -> float:
        model = model_of(lean(), weather().start_s, 366 * 86400.0, 3600.0, weather(), True, None)
        return model.scaled(bank, 1.0, 1.0).availability(4, 3600.0, seed=1).availability

    assert reached(banks[1]) >= wanted
    assert reached(banks[1] * 0.97) < wanted


def test_one_more_never_costs_hours() -> None:
    rows = what_one_more_buys(lean(), weather(), years=4)
    assert rows["change"].tolist() == ["one more panel", "one more battery", "less draw"]
    assert (rows["hours_won"] >= 0.0).all()
    assert rows["hours_won"].max() > 0.0
    assert rows["factor"].tolist()[:2] == pytest.approx([1.25, 2.0])
    assert rows["factor"].iloc[2] < 1.0


def test_cloudy_days_come_in_spells() -> None:
    """Clearness that remembers the day before: the correlation asked for is the one given."""
    for wanted in (0.0, 0.4, 0.7):
        made = np.asarray(core.persistent_clearness(40000, 0.6, 0.1, wanted, 5))
        assert made.mean() == pytest.approx(0.6, abs=0.01)
        assert made.std() == pytest.approx(0.1, abs=0.01)
        assert np.corrcoef(made[:-1], made[1:])[0, 1] == pytest.approx(wanted, abs=0.03)


@pytest.mark.parametrize(
    ("call", "word"),
    [
        (lambda: availability(lean(), weather(), years=0), "years"),
        (lambda: smallest_sizes(lean(), weather(), 1.2), "wanted"),
    ],
)
def test_what_cannot_be_is_refused(call: Any, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        call()


def test_weather_of_another_place_is_refused(shed_plan: nb.Plan) -> None:
    with pytest.raises(WeatherError, match="degrees apart"):
        availability(shed_plan, weather())


def test_texts_with_units_do_as_well_and_errors_name_the_argument() -> None:
    plain = smallest_sizes(lean(), weather(), 0.9, [1.0], years=1, step_s=3600.0)
    text = smallest_sizes(lean(), weather(), "90 %", ["100 %"], years=1, step_s="1 h")
    assert text.equals(plain)
    nonsense: list[tuple[Any, str, Any]] = [
        (availability, "step_s", "3 V"),
        (smallest_sizes, "wanted", "120 %"),
        (smallest_sizes, "arrays", ["1 W"]),
        (what_one_more_buys, "panel_share", -1.0),
        (what_one_more_buys, "less_w", "10 V"),
    ]
    for function, argument, value in nonsense:
        with pytest.raises(ValueError, match=f"^{argument}: "):
            function(lean(), weather(), **{argument: value})
    with pytest.raises(ValueError, match=r"^latitude_deg: "):
        read_weather(GREENSBORO, latitude_deg="95 deg")
    assert read_weather(GREENSBORO, longest_fill_h="30 min").notes == weather().notes
