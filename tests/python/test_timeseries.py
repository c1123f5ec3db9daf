"""A run as one Dataset: units, aware times, what closes, and what an interruption keeps."""

from __future__ import annotations

import signal
import subprocess
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd
import pvlib
import pytest
from tests.python.conftest import small_system

import nightbus as nb
from nightbus.timeseries import InterruptedRun, tidy, time_series
from nightbus.weather import WeatherError, read_weather

if TYPE_CHECKING:
    from collections.abc import Callable

    import xarray as xr

GREENSBORO = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


@pytest.fixture(scope="module")
def run(shed_plan: nb.Plan) -> xr.Dataset:
    return time_series(shed_plan, "2026-06-10", days=2, step_s="1 min", rows_s="10 min")


def test_times_are_aware_and_every_variable_has_its_unit(run: xr.Dataset) -> None:
    stamps = pd.DatetimeIndex(run.indexes["time"])
    assert str(stamps.tz) == "UTC"
    assert len(stamps) == 2 * 144
    assert (np.diff(stamps.asi8) == np.diff(stamps.asi8)[0]).all()
    local = stamps.tz_convert(str(run.attrs["time_zone"]))
    assert str(local[0].time()) == "00:00:00"
    for name, variable in run.data_vars.items():
        assert variable.attrs["units"], name
    assert run["bus_voltage"].attrs["units"] == "V"
    assert run["bank_current"].dims == ("bank", "time")
    assert set(run.coords["load"].to_numpy()) >= {"router", "lamp"}


def test_the_ledger_in_the_dataset_closes(run: xr.Dataset) -> None:
    ledger = dict(zip(run.coords["entry"].to_numpy(), run["ledger"].to_numpy(), strict=True))
    given = ledger["array"] - ledger["curtailed"] + ledger["charger"]
    taken = sum(
        ledger[name]
        for name in (
            "controller_loss", "delivered", "converter_loss", "wire_loss", "bank_standby",
            "controller_standby", "bank_resistance", "bank_charge_loss", "self_discharge",
        )
    )  # fmt: skip
    assert given == pytest.approx(taken + ledger["stored_change"], rel=1e-9)
    assert run.attrs["relative_gap"] < 1e-9
    assert ledger["delivered"] == pytest.approx(float(run["load_energy"].sum()), rel=1e-12)
    hours = run.attrs["row_s"] / 3600.0
    assert float(run["load_power"].sum()) * hours == pytest.approx(ledger["delivered"], rel=1e-9)


def test_the_tidy_table_holds_the_same_numbers(run: xr.Dataset) -> None:
    table = tidy(run)
    assert list(table.columns) == ["time", "local", "quantity", "item", "value", "unit"]
    volts = table[table["quantity"] == "bus_voltage"]
    assert np.array_equal(volts["value"].to_numpy(), run["bus_voltage"].to_numpy())
    assert (volts["unit"] == "V").all()
    for load in run.coords["load"].to_numpy():
        rows = table[(table["quantity"] == "load_draw") & (table["item"] == load)]
        assert np.array_equal(rows["value"].to_numpy(), run["load_draw"].sel(load=load).to_numpy())


def test_a_weather_file_drives_the_run_and_nothing_beyond_it(shed_plan: nb.Plan) -> None:
    weather = read_weather(GREENSBORO)
    with pytest.raises(WeatherError, match="degrees apart"):
        time_series(shed_plan, weather=weather)
    system = small_system()
    system.site.latitude_deg, system.site.longitude_deg = 36.1, -79.95
    system.site.time_zone = "America/New_York"
    moved = nb.plan(system, margins=False)
    found = time_series(moved, weather=weather, days=3, step_s=600.0)
    assert found.attrs["weather"] == "tmy3"
    assert "typical" in found.attrs["weather_notes"]
    start_s = pd.DatetimeIndex(found.indexes["time"])[0].timestamp()
    assert start_s == weather.start_s
    # The sun of an hour is that of the file, whatever the step of the run.
    hourly = found["global_irradiance"].to_numpy().reshape(-1, 6).mean(axis=1)
    assert hourly.sum() == pytest.approx(weather.ghi_wm2[:72].sum(), rel=0.01)
    with pytest.raises(WeatherError, match="nothing is made up beyond it"):
        time_series(moved, weather=weather, days=366)
    with pytest.raises(WeatherError, match="nothing is made up beyond it"):
        time_series(moved, "2024-06-01", weather=weather, days=3)


def test_the_quick_bus_tells_nearly_the_same(shed_plan: nb.Plan) -> None:
    wired, quick = (
        time_series(shed_plan, "2026-06-10", days=2, step_s=300.0, lumped=lumped)
        for lumped in (False, True)
    )
    gap = np.abs(wired["bank_charge"].to_numpy() - quick["bank_charge"].to_numpy())
    assert gap.max() < 0.02


@pytest.mark.parametrize(
    ("options", "word"),
    [
        ({"start": "2026-06-10", "step_s": 0.5}, "step_s"),
        ({"start": "2026-06-10", "days": -1.0}, "days"),
        ({"start": "2026-06-10", "charge": 1.5}, "charge"),
        ({"start": "2026-06-10", "step_s": 60.0, "rows_s": 90.0}, "whole number"),
        ({}, "start"),
    ],
)
def test_what_cannot_be_is_refused(
    shed_plan: nb.Plan, options: dict[str, object], word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        time_series(shed_plan, **options)  # type: ignore[arg-type]


def test_an_interruption_keeps_what_is_done(shed_plan: nb.Plan) -> None:
    calls = []

    def impatient(share: float) -> None:
        calls.append(share)
        raise KeyboardInterrupt

    whole = time_series(shed_plan, "2026-01-01", days=20, step_s=60.0, lumped=True)
    import nightbus.timeseries as module

    before, module.SHOW_AFTER_S = module.SHOW_AFTER_S, 0.0
    try:
        with pytest.warns(InterruptedRun, match="rows are kept"):
            part = time_series(
                shed_plan, "2026-01-01", days=20, step_s=60.0, lumped=True, progress=impatient
            )
    finally:
        module.SHOW_AFTER_S = before
    kept = part.sizes["time"]
    assert len(calls) == 1
    assert part.attrs["interrupted"] == 1
    assert 0 < kept < whole.sizes["time"]
    assert part.attrs["relative_gap"] < 1e-9
    assert np.array_equal(part["bank_charge"].to_numpy(), whole["bank_charge"].to_numpy()[:, :kept])


LONG_RUN = """
import signal, sys, warnings
signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background ignores it
import nightbus as nb
from nightbus.timeseries import InterruptedRun, time_series
from tests.python.conftest import small_system

made = nb.plan(small_system(), margins=False)
print("ready", flush=True)
with warnings.catch_warnings(record=True) as seen:
    warnings.simplefilter("always")
    run = time_series(made, "2026-01-01", days=3650, step_s=60.0, rows_s=3600.0, progress=True)
print(run.attrs["interrupted"], run.sizes["time"], run.attrs["relative_gap"] < 1e-9)
print(any(issubclass(one.category, InterruptedRun) for one in seen))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="signals of another kind")
def test_a_long_run_shows_how_far_it_is_and_ends_at_ctrl_c_with_what_it_has() -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(LONG_RUN)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    assert child.stderr is not None
    assert child.stdout.readline().strip() == "ready"
    shown = child.stderr.read(len("\rsimulated   0 %")).strip()
    child.send_signal(signal.SIGINT)
    out, _ = child.communicate(timeout=60)
    assert shown.startswith("simulated")
    assert child.returncode == 0, out
    interrupted, rows, closes = out.splitlines()[0].split()
    assert interrupted == "1"
    assert int(rows) > 0
    assert closes == "True"
    assert out.splitlines()[1] == "True"


def test_a_short_run_shows_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    time_series(nb.plan(small_system()), "2026-06-10", days=1, step_s=3600.0, progress=True)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("lumped", [True, False])
def test_halving_the_step_changes_a_year_by_less_than_the_stated_bound(lumped: bool) -> None:
    """A typical year with an array too small for its load, so that lock-outs are many."""
    weather = read_weather(GREENSBORO)
    system = small_system()
    system.site.latitude_deg, system.site.longitude_deg = 36.1, -79.95
    system.site.time_zone = "America/New_York"
    for array in system.arrays:
        array.power = "60 W"
    made = nb.plan(system, margins=False)
    answers = []
    for step_s in (900.0, 450.0):
        run = time_series(made, weather=weather, step_s=step_s, rows_s=3600.0, lumped=lumped)
        assert run.attrs["relative_gap"] < 1e-9
        ledger = dict(zip(run.coords["entry"].to_numpy(), run["ledger"].to_numpy(), strict=True))
        answers.append((ledger["delivered"], ledger["unmet"], float(run.attrs["unmet_h"])))
    coarse, fine = answers
    assert fine[1] > 1000.0
    for before, after in zip(coarse, fine, strict=True):
        assert before == pytest.approx(after, rel=2e-3)


# ---- Measured watts --------------------------------------------------------------------------


def measured(hours: int = 48) -> pd.Series:
    """Watts of a device every ten minutes, by a rule a test can follow."""
    stamps = pd.date_range("2026-06-10", periods=6 * hours, freq="10min", tz="Europe/Rome")
    return pd.Series(10.0 + (stamps.hour % 5), index=stamps, name="power_w")


def drawn(made: nb.Plan, source: Any, **options: Any) -> tuple[np.ndarray, str]:
    run = time_series(
        made,
        "2026-06-10",
        days=2,
        step_s=600.0,
        traces={"router": source},
        **options,
    )
    assert run.attrs["relative_gap"] < 1e-9
    return run["load_draw"].sel(load="router").to_numpy(), str(run.attrs["traces"])


def test_measured_watts_are_played_as_they_were_from_csv_parquet_and_frame(
    shed_plan: nb.Plan, tmp_path: Path
) -> None:
    watts = measured()
    assert str(shed_plan.system.site.time_zone) == "Europe/Rome"
    watts.to_csv(tmp_path / "router.csv", index_label="time")
    watts.to_frame().to_parquet(tmp_path / "router.parquet")
    for source in (watts, watts.to_frame(), tmp_path / "router.csv", tmp_path / "router.parquet"):
        played, told = drawn(shed_plan, source)
        assert np.allclose(played, watts.to_numpy(), atol=1e-6)
        assert told == "router: no gaps"


def test_gaps_of_measured_watts_are_told_and_filled_from_the_same_time_of_day(
    shed_plan: nb.Plan,
) -> None:
    watts = measured()
    short = watts.drop(watts.index[[20]])
    played, told = drawn(shed_plan, short, longest_fill_s=1200.0)
    assert told == "router: no gaps"
    assert played[20] == pytest.approx(watts.iloc[19])  # held
    broken = watts.copy()
    broken.iloc[30:42] = np.nan
    played, told = drawn(shed_plan, broken, longest_fill_s=1200.0)
    assert "1 gaps" in told
    assert np.allclose(played[30:42], watts.to_numpy()[30 + 144 : 42 + 144], atol=1e-6)


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda s: s.tz_localize(None), "how far they are from UTC"),
        (lambda s: s * -1.0, "negative watts"),
        (lambda s: s.iloc[::-1], "goes back in time"),
        (lambda s: pd.concat([s.iloc[:5], s.iloc[4:]]), "repeats the time"),
        (lambda s: pd.DataFrame({"a": s, "b": s}), "which of its columns"),
        (lambda s: s * np.nan, "no number at all"),
    ],
)
def test_bad_measured_watts_get_a_message(
    shed_plan: nb.Plan, spoil: Callable[[pd.Series], object], message: str
) -> None:
    with pytest.raises(nb.Error, match=message):
        drawn(shed_plan, spoil(measured()))


def test_hours_outside_the_measured_watts_are_told(shed_plan: nb.Plan) -> None:
    played, told = drawn(shed_plan, measured(hours=36))
    assert told == "router: no gaps; 12 h of the run lie outside it, without draw"
    assert (played[217:] == 0.0).all()


def test_a_device_that_is_not_there_has_no_trace(shed_plan: nb.Plan) -> None:
    with pytest.raises(nb.LookupError, match="nobody"):
        time_series(shed_plan, "2026-06-10", days=1, traces={"nobody": measured()})
