"""Sun, sky and cells against pvlib over a year: other code for the same published formulas."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nightbus import _core as core

# Latitude, longitude, altitude: both hemispheres, the tropics, beyond the polar circles.
PLACES = [
    (0.0, 0.0, 0.0),
    (4.61, -74.08, 2550.0),
    (-17.8, 31.05, 1480.0),
    (-37.81, 144.96, 31.0),
    (46.2, 8.9, 2100.0),
    (59.33, 18.07, 28.0),
    (69.65, 18.96, 10.0),
    (-77.85, 166.67, 24.0),
]
# No whole divisor of a day, so that a year sweeps all hours.
YEAR = pd.date_range("2026-01-01", "2026-12-31 23:00", freq="211min", tz="UTC")
DELTA_T_S = 69.2
SKIES = {
    core.SkyModel.isotropic: "isotropic",
    core.SkyModel.klucher: "klucher",
    core.SkyModel.hay_davies: "haydavies",
    core.SkyModel.reindl: "reindl",
    core.SkyModel.perez: "perez",
}


def seconds(times: pd.DatetimeIndex) -> Any:
    """Return UTC seconds of the stamps."""
    return (times - pd.Timestamp("1970-01-01", tz="UTC")).total_seconds().to_numpy()


def angle(a: Any, b: Any) -> Any:
    """Return the unsigned difference of two bearings in degrees."""
    return np.abs((np.asarray(a) - np.asarray(b) + 180.0) % 360.0 - 180.0)


def spa(latitude: float, longitude: float, altitude: float) -> Any:
    return pvlib.solarposition.spa_python(
        YEAR, latitude, longitude, altitude, pressure=90000.0, temperature=7.0, delta_t=DELTA_T_S
    )


def ours(latitude: float, longitude: float, altitude: float, *, exact: bool) -> dict[str, Any]:
    found: dict[str, Any] = core.sun_positions(
        seconds(YEAR),
        latitude,
        longitude,
        altitude,
        pressure_pa=90000.0,
        temp_c=7.0,
        delta_t_s=DELTA_T_S,
        exact=exact,
    )
    return found


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("exact", "limit_deg"), [(True, 1e-6), (False, 1e-4)])
def test_the_sun_stands_where_the_reference_algorithm_puts_it_all_year(
    place: tuple[float, float, float], exact: bool, limit_deg: float
) -> None:
    truth = spa(*place)
    found = ours(*place, exact=exact)
    assert np.max(np.abs(found["zenith_deg"] - truth["zenith"])) < limit_deg
    # The bearing loses its meaning near the zenith; what counts is the arc on the sky.
    arc = angle(found["azimuth_deg"], truth["azimuth"]) * np.sin(np.radians(truth["zenith"]))
    assert np.max(arc) < limit_deg
    up = truth["elevation"].to_numpy() > 0.0
    refracted = np.abs(found["apparent_zenith_deg"] - truth["apparent_zenith"].to_numpy())
    assert np.max(refracted[up], initial=0.0) < limit_deg
    gap_min = np.abs(found["equation_of_time_min"] - truth["equation_of_time"])
    assert np.max(gap_min) < 1e-2


@pytest.mark.parametrize("place", PLACES)
def test_at_rise_and_set_the_sun_stands_on_the_horizon_and_noon_is_its_highest(
    place: tuple[float, float, float],
) -> None:
    """The horizon of the algorithm: centre at -0.8333°, seen from the centre of the earth."""
    latitude, longitude, _ = place
    horizon_deg = -0.8333
    parallax_deg = 8.794 / 3600.0  # the sun's, which the observer's place adds
    rises = 0
    for day in pd.date_range("2026-01-03 12:00", "2026-12-30", freq="9D", tz="UTC"):
        noon_s = day.timestamp() - longitude * 240.0
        found = core.sun_times(noon_s, latitude, longitude, delta_t_s=DELTA_T_S)

        def elevation(at_s: Any) -> Any:
            stamps = pd.to_datetime(np.atleast_1d(at_s), unit="s", utc=True)
            sun = pvlib.solarposition.spa_python(
                stamps, latitude, longitude, 0.0, delta_t=DELTA_T_S
            )
            return sun["elevation"].to_numpy()

        around = elevation(found.transit_s + np.arange(-43200.0, 43201.0, 300.0))
        top = elevation(found.transit_s + np.array([-900.0, 0.0, 900.0]))
        assert top[1] > top[0]
        assert top[1] > top[2]
        if found.polar_day:
            assert around.min() > horizon_deg - 0.05
        if found.polar_night:
            assert around.max() < horizon_deg + 0.05
        ends = [t for t in (found.rise_s, found.set_s) if t is not None]
        assert bool(ends) != (found.polar_day or found.polar_night)
        for at_s in ends:  # one alone: the last rise before, the first set after a polar day
            rises += 1
            inwards = 60.0 if at_s < found.transit_s else -60.0
            at_end, inside = elevation(np.array([at_s, at_s + inwards]))
            assert abs(at_end - horizon_deg) < parallax_deg + 0.002
            assert inside > at_end
    assert rises > 20


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("turbidity", [2.0, 3.5, 6.0])
def test_the_clear_sky_is_the_one_of_the_formulas(
    place: tuple[float, float, float], turbidity: float
) -> None:
    truth = spa(*place)
    extra = np.asarray(pvlib.irradiance.get_extra_radiation(YEAR.day_of_year, method="spencer"))
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(truth["apparent_zenith"]),
        pvlib.atmosphere.alt2pres(place[2]),
    )
    theirs = pvlib.clearsky.ineichen(
        truth["apparent_zenith"], mass, turbidity, altitude=place[2], dni_extra=extra
    ).fillna(0.0)
    found = core.clear_sky(
        core.ClearSkyModel.ineichen,
        truth["zenith"].to_numpy(),
        truth["apparent_zenith"].to_numpy(),
        extra,
        altitude_m=place[2],
        linke_turbidity=turbidity,
    )
    for mine, name in zip(found, ("ghi", "dni", "dhi"), strict=True):
        assert np.max(np.abs(mine - theirs[name].to_numpy())) < 1e-6, name
    haurwitz = pvlib.clearsky.haurwitz(truth["apparent_zenith"])["ghi"].to_numpy()
    mine, _, _ = core.clear_sky(
        core.ClearSkyModel.haurwitz,
        truth["zenith"].to_numpy(),
        truth["apparent_zenith"].to_numpy(),
        extra,
    )
    assert np.max(np.abs(mine - haurwitz)) < 1e-9


@pytest.mark.parametrize("model", SKIES)
@settings(max_examples=40, deadline=None)
@given(
    place=st.sampled_from(PLACES),
    tilt=st.floats(0.0, 90.0),
    facing=st.floats(0.0, 360.0),
    albedo=st.floats(0.0, 0.8),
    clearness=st.floats(0.05, 1.0),
    cloud=st.floats(0.0, 1.0),
)
def test_every_plane_gets_what_the_published_models_give_it(
    model: Any,
    place: tuple[float, float, float],
    tilt: float,
    facing: float,
    albedo: float,
    clearness: float,
    cloud: float,
) -> None:
    """A year under a sky between clear and overcast, on any plane anywhere."""
    sun = spa(*place)
    zenith = sun["apparent_zenith"].to_numpy()
    azimuth = sun["azimuth"].to_numpy()
    extra = np.asarray(pvlib.irradiance.get_extra_radiation(YEAR.day_of_year, method="spencer"))
    mass = pvlib.atmosphere.get_relative_airmass(zenith)
    cosine = np.maximum(np.cos(np.radians(zenith)), 0.0)
    # Low sun is left out: there each program caps its own way, for little light.
    high = zenith < 87.0
    dni = np.where(high, 0.75 * extra * clearness * (1.0 - cloud), 0.0)
    dhi = np.where(high, 60.0 + 300.0 * cosine * clearness * cloud, 0.0)
    ghi = dni * cosine + dhi
    theirs = pvlib.irradiance.get_total_irradiance(
        tilt,
        facing,
        zenith,
        azimuth,
        dni,
        ghi,
        dhi,
        dni_extra=extra,
        airmass=mass,
        albedo=albedo,
        model=SKIES[model],
        model_perez="allsitescomposite1990",
    )
    beam, sky, ground = core.plane_irradiance(
        model, tilt, facing, zenith, azimuth, ghi, dni, dhi, extra, mass, albedo=albedo
    )
    for mine, name in [
        (beam, "poa_direct"),
        (sky, "poa_sky_diffuse"),
        (ground, "poa_ground_diffuse"),
    ]:
        gap = np.abs(mine - np.nan_to_num(np.asarray(theirs[name])))[high]
        assert np.max(gap, initial=0.0) < 1e-6, name


@given(
    light=st.floats(0.0, 1400.0),
    air=st.floats(-40.0, 55.0),
    wind=st.floats(0.0, 30.0),
    u0=st.floats(15.0, 35.0),
    u1=st.floats(0.0, 12.0),
)
def test_cells_are_as_warm_as_faiman_says(
    light: float, air: float, wind: float, u0: float, u1: float
) -> None:
    theirs = pvlib.temperature.faiman(light, air, wind, u0, u1)
    mine = core.faiman_cell_c(np.array([light]), np.array([air]), np.array([wind]), u0=u0, u1=u1)
    assert mine[0] == pytest.approx(theirs, abs=1e-9)
