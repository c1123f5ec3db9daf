"""Weather files: the two typical years in pvlib's wheel, every kind of file, and bad ones."""

from __future__ import annotations

import warnings
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pvlib
import pytest

from nightbus import _core as core
from nightbus.weather import Weather, WeatherError, WeatherWarning, read_weather

DATA = Path(pvlib.__file__).parent / "data"
GREENSBORO = DATA / "723170TYA.CSV"  # TMY3, NREL/TP-581-43156
SAND_POINT = DATA / "703165TY.csv"
SOLAR_CONSTANT_WM2 = 1366.1
HOURS = 8760


@cache
def greensboro() -> Weather:
    return read_weather(GREENSBORO)


@cache
def frame() -> pd.DataFrame:
    """Three weeks of July of that file, a frame as a user would bring it; stamps end the hour."""
    table = greensboro().frame().iloc[4700:5204]
    table.index = table.index + pd.Timedelta(hours=1)
    return table


def taken(table: pd.DataFrame, **options: Any) -> Weather:
    return read_weather(
        table, **{"latitude_deg": 36.1, "longitude_deg": -79.95, "label": "right", **options}
    )


# ---- Sums of the files -----------------------------------------------------------------------
# Computed once from the files by pvlib alone (closure with its spa_python at the stamp, half an
# hour before and after); the files are NREL's.


def test_the_year_of_greensboro_has_the_sums_of_its_file() -> None:
    weather = greensboro()
    assert (weather.kind, weather.label, len(weather), weather.step_s) == (
        "tmy3",
        "right",
        HOURS,
        3600.0,
    )
    for column, kwh in (
        (weather.ghi_wm2, 1566.203),
        (weather.dni_wm2, 1476.549),
        (weather.dhi_wm2, 682.223),
    ):
        assert column.sum() / 1000.0 == pytest.approx(kwh, rel=1e-6)
    air = weather.temp_c
    assert (air.min(), air.max()) == pytest.approx((-16.7, 35.6))
    assert air.mean() == pytest.approx(14.422, abs=5e-4)
    local = weather.frame().tz_convert("Etc/GMT+5")
    daily = local["ghi"].groupby(pd.DatetimeIndex(local.index).month).sum() / 1000.0
    days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    by_month = [2.414, 3.063, 4.251, 5.410, 5.636, 6.251, 6.083, 5.615, 4.427, 3.589, 2.435, 2.243]
    assert (daily.to_numpy() / days).tolist() == pytest.approx(by_month, abs=6e-4)
    row = local.iloc[11]
    assert row.tolist() == pytest.approx([261.0, 3.0, 260.0, 11.7, 5.2])
    assert str(row.name) == "2025-01-01 11:00:00-05:00"
    assert local.iloc[4692].tolist() == pytest.approx([919.0, 727.0, 215.0, 29.4, 3.1])


def test_closure_finds_where_the_stamp_stands() -> None:
    closure = greensboro().closure_wm2
    assert closure["right"] == pytest.approx(0.823, abs=2e-3)
    assert closure["mid"] == pytest.approx(17.72, abs=0.02)
    assert closure["left"] == pytest.approx(34.96, abs=0.02)
    sand_point = read_weather(SAND_POINT)
    assert sand_point.closure_wm2["right"] < 1.5 < sand_point.closure_wm2["mid"]


@pytest.mark.parametrize("label", ["left", "mid"])
def test_a_wrong_label_is_warned_about(label: Any) -> None:
    with pytest.warns(WeatherWarning, match='fits "right" better'):
        weather = read_weather(GREENSBORO, label=label)
    assert weather.label == label
    assert any("fits" in note for note in weather.notes)


def test_a_frame_without_a_label_takes_the_one_that_closes() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        weather = taken(frame(), label=None)
    assert weather.label == "right"
    assert any("as the sun in them shows" in note for note in weather.notes)
    assert weather.start_s == taken(frame()).start_s


# ---- A year of the plain balance -------------------------------------------------------------
# Sun at mid-hour, Hay-Davies, Faiman, 0.4 %/K, 15 % losses; a bank of watt-hours charged at 0.95,
# floor a fifth, full at the start. Computed with another program (NumPy and pvlib) from the files.

YEARS = [
    # file, tilt, load W, array W, bank Wh, PV kWh, unmet h, unmet Wh, least share, longest run h
    (GREENSBORO, 45.0, 15.0, 100.0, 1280.0, 140.585, 326, 4170.5, 0.200, 42),
    (GREENSBORO, 45.0, 15.0, 200.0, 1280.0, 281.171, 0, 0.0, 0.2153, 0),
    (GREENSBORO, 45.0, 15.0, 100.0, 2560.0, 140.585, 161, 2052.2, 0.200, 42),
    (SAND_POINT, 60.0, 15.0, 300.0, 2560.0, 260.014, 133, 1753.0, 0.200, 40),
]


@cache
def plane(path: Path, tilt_deg: float) -> tuple[Any, Weather]:
    """Irradiance on a plane facing south, W/m²; the sun is that of the original years."""
    weather = read_weather(path)
    table, _ = pvlib.iotools.read_tmy3(path, map_variables=True)
    middle = table.index - pd.Timedelta(minutes=30)
    middle_s = np.asarray((middle - pd.Timestamp(0, tz="UTC")).total_seconds(), dtype=float)
    sun = core.sun_positions(
        middle_s,
        weather.latitude_deg,
        weather.longitude_deg,
        pressure_pa=101325.0,
        delta_t_s=67.0,
    )
    e0 = core.extraterrestrial_wm2(
        np.asarray(middle.day_of_year, dtype=float), constant_wm2=SOLAR_CONSTANT_WM2
    )
    beam, sky, ground = core.plane_irradiance(
        core.SkyModel.hay_davies,
        tilt_deg,
        180.0,
        sun["apparent_zenith_deg"],
        sun["azimuth_deg"],
        weather.ghi_wm2,
        weather.dni_wm2,
        weather.dhi_wm2,
        e0,
        np.full(HOURS, np.nan),
    )
    return np.asarray(beam) + np.asarray(sky) + np.asarray(ground), weather


@pytest.mark.parametrize("row", YEARS)
def test_a_year_of_plain_balance_has_the_published_unmet_hours(row: Any) -> None:
    path, tilt, load_w, array_w, bank_wh, pv_kwh, unmet_h, unmet_wh, least, longest = row
    light, weather = plane(path, tilt)
    cell = core.faiman_cell_c(light, weather.temp_c, weather.wind_ms)
    watts = np.maximum(0.85 * np.asarray(core.simple_power_w(light, cell, array_w, -0.004)), 0.0)
    year = core.plain_year(watts, np.full(HOURS, load_w), 3600.0, bank_wh, 0.2, 1.0, 0.95)
    assert year["array_wh"] / 1000.0 == pytest.approx(pv_kwh, rel=0.005)
    assert abs(year["unmet_steps"] - unmet_h) <= max(3, 0.03 * unmet_h)
    assert abs(year["unmet_wh"] - unmet_wh) <= max(45.0, 0.03 * unmet_wh)
    assert year["lowest_share"] == pytest.approx(least, abs=0.01)
    assert abs(year["longest_unmet_steps"] - longest) <= 3
    # PV + (E_start - E_end) + unmet = load + curtailed + 0.05 charged
    left = year["array_wh"] + year["start_wh"] - year["end_wh"] + year["unmet_wh"]
    right = year["load_wh"] + year["curtailed_wh"] + 0.05 * year["charged_wh"]
    assert left == pytest.approx(right, rel=1e-12)


def test_the_plane_of_greensboro_gets_the_published_kilowatt_hours() -> None:
    light, _ = plane(GREENSBORO, 45.0)
    assert light.sum() / 1000.0 == pytest.approx(1701.1, rel=1e-3)
    by_day = light.reshape(365, 24).sum(axis=1) / 1000.0
    days = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    by_month = [by_day[a:b].mean() for a, b in pairwise(days)]
    assert by_month == pytest.approx(
        [3.752, 4.363, 4.951, 5.327, 4.937, 5.147, 5.136, 5.244, 4.837, 4.638, 3.730, 3.851],
        rel=2e-3,
    )
    assert by_day.min() == pytest.approx(0.613, abs=2e-3)
    for length, lowest in ((3, 0.834), (7, 2.049)):
        means = np.convolve(by_day, np.full(length, 1.0 / length), mode="valid")
        assert means.min() == pytest.approx(lowest, abs=3e-3)


# ---- Other kinds of file ---------------------------------------------------------------------


def write_epw(path: Path, weather: Weather) -> None:
    """Write the rows as an EPW of our own making: hour 1 of a day is 00:00 to 01:00."""
    head = [
        "LOCATION,Nowhere,NC,USA,made,000000,36.1,-79.95,-5.0,273.0",
        *(f"{name},0" for name in ("DESIGN CONDITIONS", "TYPICAL/EXTREME PERIODS")),
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,made by a test",
        "COMMENTS 2,",
        "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ]
    rows = []
    table = weather.frame().tz_convert("Etc/GMT+5")
    for stamp, (_, row) in zip(pd.DatetimeIndex(table.index), table.iterrows(), strict=True):
        cells = ["0"] * 35
        cells[0:6] = ["2025", str(stamp.month), str(stamp.day), str(stamp.hour + 1), "60", "made"]
        cells[6] = f"{row['temp_air']:g}"
        cells[13], cells[14], cells[15] = (f"{row[k]:g}" for k in ("ghi", "dni", "dhi"))
        cells[21] = f"{row['wind_speed']:g}"
        rows.append(",".join(cells))
    path.write_text("\n".join(head + rows) + "\n", encoding="utf-8")


def write_surfrad(path: Path, weather: Weather) -> list[float]:
    """Write a day of minutes, UTC, with the small negative nights of such stations."""
    start = 86400 * round(weather.start_s / 86400) + 180 * 86400
    rows = [" Nowhere", "   36.100  -79.950  273 m version 1"]
    sky = []
    for minute in range(1440):
        at = pd.Timestamp(start + 60 * minute, unit="s", tz="UTC")
        sun = core.sun_positions(np.array([start + 60.0 * minute + 30.0]), 36.1, -79.95)
        up = float(np.cos(np.radians(sun["zenith_deg"][0])))
        dni = 800.0 if up > 0.0 else 0.0
        dhi = 90.0 if up > 0.0 else -2.0
        ghi = dhi + dni * max(up, 0.0)
        sky.append(ghi)
        cells = [
            at.year, at.day_of_year, at.month, at.day, at.hour, at.minute,
            at.hour + at.minute / 60.0, float(sun["zenith_deg"][0]),
        ]  # fmt: skip
        values = [ghi, 0.0, dni, dhi, *[0.0] * 11, 20.0, 50.0, 3.0, 180.0, 980.0]
        cells += [cell for value in values for cell in (round(value, 2), 0)]
        rows.append(" ".join(str(cell) for cell in cells))
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return sky


def test_an_epw_holds_the_same_year_with_stamps_at_the_left(tmp_path: Path) -> None:
    write_epw(tmp_path / "made.epw", greensboro())
    weather = read_weather(tmp_path / "made.epw")
    assert (weather.kind, weather.label) == ("epw", "left")
    assert weather.start_s == greensboro().start_s
    for name in ("ghi_wm2", "dni_wm2", "dhi_wm2", "temp_c", "wind_ms"):
        assert np.array_equal(getattr(weather, name), getattr(greensboro(), name)), name
    assert weather.closure_wm2["left"] < weather.closure_wm2["mid"]


@pytest.mark.filterwarnings("ignore::pandas.errors.Pandas4Warning")  # of the reader itself
def test_a_minute_file_has_its_negative_nights_set_to_zero_and_says_so(tmp_path: Path) -> None:
    sky = write_surfrad(tmp_path / "made25001.dat", greensboro())
    weather = read_weather(tmp_path / "made25001.dat")
    assert (weather.kind, weather.step_s, len(weather)) == ("surfrad", 60.0, 1440)
    assert np.allclose(weather.ghi_wm2, np.maximum(sky, 0.0), atol=0.006)
    assert sum("slightly negative" in note for note in weather.notes) == 2


def test_a_satellite_file_of_a_typical_year_is_read(tmp_path: Path) -> None:
    head = [
        "Latitude (decimal degrees): 36.100",
        "Longitude (decimal degrees): -79.950",
        "Elevation (m): 273.0",
        "month,year",
        *(f"{month},{2005 + month}" for month in range(1, 13)),
        "time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),WS10m,WD10m,SP",
    ]
    table = greensboro().frame()
    rows = []
    for k in range(HOURS):
        # Hours of the UTC year; the sun of the same stamps, so that the light fits.
        at = pd.Timestamp("2025-01-01", tz="UTC") + pd.Timedelta(hours=k)
        sun = core.sun_positions(np.array([at.timestamp()]), 36.1, -79.95)
        up = max(float(np.cos(np.radians(sun["zenith_deg"][0]))), 0.0)
        direct, diffuse = (700.0, 80.0) if up > 0.0 else (0.0, 0.0)
        cells = [
            f"{2005 + at.month}{at.month:02d}{at.day:02d}:{at.hour:02d}00",
            f"{table['temp_air'].iloc[k]:.2f}", "60.0", f"{diffuse + direct * up:.1f}",
            f"{direct:.1f}", f"{diffuse:.1f}", "300.0", "2.0", "180.0", "98000.0",
        ]  # fmt: skip
        rows.append(",".join(cells))
    tail = ["", "T2m: 2-m air temperature (degree Celsius)"]
    (tmp_path / "made.csv").write_text("\r\n".join(head + rows + tail), encoding="utf-8")
    weather = read_weather(tmp_path / "made.csv", kind="pvgis")
    assert (weather.kind, weather.label, len(weather)) == ("pvgis", "mid", HOURS)
    assert weather.closure_wm2["mid"] < 1.0 < weather.closure_wm2["left"]
    assert weather.latitude_deg == pytest.approx(36.1)


# ---- Bad ones --------------------------------------------------------------------------------


def spoiled(**columns: Any) -> pd.DataFrame:
    table = frame().copy()
    for name, change in columns.items():
        table[name] = change(table[name])
    return table


def put(at: slice | int, value: float) -> Any:
    def change(column: pd.Series) -> pd.Series:
        column = column.copy()
        column.iloc[at] = value
        return column

    return change


def test_gaps_are_refused_with_their_place_unless_they_may_be_filled() -> None:
    table = frame().drop(frame().index[[30, 31, 32, 200]])
    with pytest.raises(WeatherError, match=r"2 gaps, 4 steps in all; the longest, 3 h"):
        taken(table)
    with pytest.raises(WeatherError, match="longest_fill_h = 2 h"):
        taken(table, longest_fill_h=2.0)
    weather = taken(table, longest_fill_h=3.0)
    assert len(weather) == len(frame())
    notes = [note for note in weather.notes if "filled by straight lines" in note]
    assert len(notes) == 5
    assert all("4 steps in 2 gaps" in note for note in notes)
    between = np.interp([30, 31, 32], [29, 33], frame()["temp_air"].to_numpy()[[29, 33]])
    assert weather.temp_c[30:33].tolist() == pytest.approx(between.tolist())


def test_what_is_not_there_in_one_column_counts_as_a_gap_of_that_column() -> None:
    with pytest.raises(WeatherError, match="temp_air has 1 gaps, 5 steps"):
        taken(spoiled(temp_air=put(slice(40, 45), np.nan)))
    with pytest.raises(WeatherError, match="ghi has 1 gaps, 1 steps"):
        taken(spoiled(ghi=put(len(frame()) - 1, np.nan)))


@pytest.mark.parametrize(
    ("table", "message"),
    [
        (lambda: pd.concat([frame().iloc[:50], frame().iloc[49:]]), "stand there twice"),
        (lambda: frame().iloc[::-1], "cannot be used|time goes back"),
        (lambda: pd.concat([frame().iloc[100:200], frame().iloc[:100]]), "time goes back"),
        (lambda: frame().tz_localize(None), "no time zone"),
        (lambda: frame().drop(columns="temp_air"), "no column temp_air"),
        (lambda: spoiled(ghi=put(12, -999.0)), "ghi falls to -999"),
        (lambda: spoiled(dni=put(12, -50.0)), "dni falls to -50"),
        (lambda: spoiled(ghi=put(12, 3000.0)), "more than the sun gives"),
        (lambda: spoiled(temp_air=lambda c: c + 273.15), "kelvin"),
        (lambda: spoiled(temp_air=lambda c: 1.8 * c + 32.0), "Fahrenheit"),
        (lambda: spoiled(temp_air=put(3, -99.9)), "marker for missing"),
        (lambda: spoiled(wind_speed=put(3, 999.0)), "wind outside"),
        (lambda: frame().tz_convert(None).tz_localize("Etc/GMT-5"), "Wrong time zone"),
        (lambda: frame().tz_convert(None).tz_localize("Etc/GMT+5"), "Wrong time zone"),
    ],
)
def test_a_bad_frame_gets_a_message_that_says_what_is_wrong(table: Any, message: str) -> None:
    with pytest.raises(WeatherError, match=message):
        taken(table())


def test_a_longitude_with_the_wrong_sign_is_found() -> None:
    with pytest.raises(WeatherError, match="longitude with the wrong sign"):
        taken(frame(), longitude_deg=79.95)


def test_uneven_rows_are_refused() -> None:
    table = frame().copy()
    stamps = table.index.to_list()
    stamps[77] = stamps[77] + pd.Timedelta(minutes=17)
    table.index = pd.DatetimeIndex(stamps)
    with pytest.raises(WeatherError, match="uneven"):
        taken(table)


def test_a_leap_day_left_out_of_a_real_year_is_named() -> None:
    table = greensboro().frame().iloc[24 * 50 : 24 * 66]
    first = pd.Timestamp("2024-02-20", tz="UTC")
    stamps = [first + pd.Timedelta(hours=k) for k in range(len(table))]
    stamps = [s + pd.Timedelta(days=1) if s >= pd.Timestamp("2024-02-29", tz="UTC") else s
              for s in stamps]  # fmt: skip
    table = table.set_axis(pd.DatetimeIndex(stamps))
    with pytest.raises(WeatherError, match="leap day was left out"):
        taken(table, label="left")


def test_a_leap_day_in_a_typical_year_is_refused() -> None:
    table, _ = pvlib.iotools.read_tmy3(GREENSBORO, map_variables=True)
    leap = [s.replace(day=29) if (s.month, s.day) == (2, 28) else s for s in table.index]
    with pytest.raises(WeatherError, match="29 February"):
        taken(table.set_axis(pd.DatetimeIndex(leap)))


def test_an_unknown_file_and_a_missing_one_are_told_apart(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("a,b\n1,2\n3,4\n", encoding="utf-8")
    with pytest.raises(WeatherError, match="none of EPW, TMY3, PVGIS and SURFRAD"):
        read_weather(tmp_path / "list.csv")
    with pytest.raises(WeatherError, match="there is no weather file"):
        read_weather(tmp_path / "none.epw")
    with pytest.raises(WeatherError, match="place is not known"):
        read_weather(frame())


def test_a_file_with_the_global_alone_is_split_and_says_so() -> None:
    weather = taken(frame()[["ghi", "temp_air"]])
    assert any("by Erbs" in note for note in weather.notes)
    assert any("1 m/s" in note for note in weather.notes)
    middle_s = weather.start_s + 3600.0 * (np.arange(len(weather)) + 0.5)
    zenith = np.radians(
        core.sun_positions(middle_s, weather.latitude_deg, weather.longitude_deg)["zenith_deg"]
    )
    high = np.cos(zenith) > 0.1
    total = weather.dhi_wm2 + weather.dni_wm2 * np.cos(zenith)
    assert np.allclose(total[high], weather.ghi_wm2[high], rtol=1e-6, atol=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_what_is_filled_is_what_the_notes_say_and_nothing_else(seed: int) -> None:
    chance = np.random.default_rng(seed)
    table = frame().copy()
    longest = int(chance.integers(1, 5))
    lost: dict[str, set[int]] = {name: set() for name in table.columns}
    for name in table.columns:
        for _ in range(int(chance.integers(0, 6))):
            at = int(chance.integers(1, len(table) - longest - 1))
            lost[name].update(range(at, at + int(chance.integers(1, longest + 1))))
        table.loc[table.index[sorted(lost[name])], name] = np.nan
    runs = {name: _runs(places) for name, places in lost.items()}
    longest_h = max((b - a for pairs in runs.values() for a, b in pairs), default=0)
    if longest_h > 1:
        with pytest.raises(WeatherError, match=f"the longest, {longest_h} h|the longest, "):
            taken(table, longest_fill_h=longest_h - 1.0)
    weather = taken(table, longest_fill_h=float(longest_h))
    whole = taken(frame())
    names = {"ghi": "ghi_wm2", "dni": "dni_wm2", "dhi": "dhi_wm2",
             "temp_air": "temp_c", "wind_speed": "wind_ms"}  # fmt: skip
    for name, own in names.items():
        kept = [k for k in range(len(whole)) if k not in lost[name]]
        assert np.array_equal(getattr(weather, own)[kept], getattr(whole, own)[kept]), name
        told = [note for note in weather.notes if note.startswith(f"{name}: ") and "filled" in note]
        words = f"{name}: {len(lost[name])} steps in {len(runs[name])} gaps filled"
        assert [note[: len(words)] for note in told] == ([words] if lost[name] else [])


def _runs(places: set[int]) -> list[tuple[int, int]]:
    """Return stretches of neighbours, the end left out."""
    found: list[tuple[int, int]] = []
    for place in sorted(places):
        if found and found[-1][1] == place:
            found[-1] = (found[-1][0], place + 1)
        else:
            found.append((place, place + 1))
    return found


def test_an_older_typical_year_of_pvlibs_wheel_comes_in_as_a_frame() -> None:
    """12839.tm2, Miami (NREL, TMY2): tenths of degrees, stamps put to the left by its reader."""
    table, place = pvlib.iotools.read_tmy2(DATA / "12839.tm2")
    names = {"GHI": "ghi", "DNI": "dni", "DHI": "dhi", "DryBulb": "temp_air", "Wspd": "wind_speed"}
    table = table.rename(columns=names)[list(names.values())].astype(float)
    at = {"latitude_deg": place["latitude"], "longitude_deg": place["longitude"]}
    with pytest.raises(WeatherError, match="hotter than any on earth"):
        read_weather(table, label="left", **at)
    table[["temp_air", "wind_speed"]] *= 0.1
    with pytest.warns(WeatherWarning, match='the sun fits "left" better'):
        read_weather(table, label="right", **at)
    weather = read_weather(table, **at)
    assert (weather.label, len(weather), weather.step_s) == ("left", HOURS, 3600.0)
    assert weather.closure_wm2["left"] < 4.0 < 15.0 < weather.closure_wm2["mid"]
    assert weather.ghi_wm2.sum() / 1000.0 == pytest.approx(1792.618)  # summed from the file alone
    assert weather.temp_c.mean() == pytest.approx(24.314, abs=5e-4)
